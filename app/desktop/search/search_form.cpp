// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/search/search_form.h"

#include "app/desktop/components/field_row.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/session/folders.h"

#include <QDir>
#include <QFileDialog>
#include <QLocale>
#include <QVBoxLayout>

#include <cmath>

namespace portwright {
namespace {

constexpr qint64 longestList = 1 << 20;  // bytes

double toMillimetre(double metres) { return std::round(metres * 1e3) / 1e3; }

}  // namespace

SearchForm::SearchForm(Workbench& workbench, SearchWishes& wishes, QWidget* parent)
    : QScrollArea(parent), workbench_(workbench), wishes_(wishes)
{
    setAccessibleName(tr("What the search is asked for"));
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::NoFocus);
    auto* body = new QWidget;
    column_ = new QVBoxLayout(body);
    column_->setContentsMargins(px(14), 0, px(14), px(10));
    column_->setSpacing(0);
    haveRows();
    roomRows();
    aimRows();
    column_->addStretch(1);
    setWidget(body);
    setMinimumWidth(body->minimumSizeHint().width());
    refresh(nullptr);
}

FieldRow* SearchForm::quantity(const QString& label, Dimension dimension, double low, double high, Wish wish,
                               const QString& meaning, const QString& empty)
{
    auto* row = new FieldRow(label, dimension);
    row->box()->setRangeSi(low, high);
    row->box()->setOptional(true);
    row->setMeaning(meaning);
    row->setHelpTopic(QStringLiteral("search#fields"));
    row->setUnitSystem(workbench_.units());
    row->box()->setEmptyShows(empty);
    row->setCompact(true);
    connect(&workbench_, &Workbench::unitsChanged, row, [this, row] { row->setUnitSystem(workbench_.units()); });
    const auto put = [this, wish](std::optional<double> si) {
        wishes_.*wish = si;
        emit changed();
    };
    connect(row->box(), &QuantityBox::committed, this, [put](double si) { put(si); });
    connect(row->box(), &QuantityBox::cleared, this, [put] { put({}); });
    refreshers_.push_back([this, row, wish] { row->box()->setSi(wishes_.*wish); });
    rows_.emplace_back(label, row);
    column_->addWidget(row);
    return row;
}

FieldRow* SearchForm::room(const RoomSize& size)
{
    const RoomRow added = roomRow(workbench_, size, [this] { return CavityMeant{subject_, -1}; });
    added.row->setCompact(true);
    refreshers_.push_back(added.refresh);
    rows_.emplace_back(size.label, added.row);
    column_->addWidget(added.row);
    return added.row;
}

QuietComboBox* SearchForm::choice(const QString& label, const QStringList& names, const QString& meaning,
                                  const std::function<int()>& read, const std::function<void(int)>& write)
{
    auto* combo = new QuietComboBox;
    combo->addItems(names);
    combo->setAccessibleName(label);
    combo->setToolTip(meaning);
    combo->setProperty("helpTopic", QStringLiteral("search#fields"));
    connect(combo, &QComboBox::activated, this, [this, write](int index) {
        write(index);
        emit changed();
    });
    refreshers_.push_back([combo, read] { combo->setCurrentIndex(read()); });
    auto* row = new FieldRow(label, combo);
    rows_.emplace_back(label, row);
    column_->addWidget(row);
    return combo;
}

void SearchForm::chooseList(int list)
{
    if (SearchWishes::List(list) != SearchWishes::List::own) {
        wishes_.list = SearchWishes::List(list);
        return;
    }
    QFileDialog dialog(this, tr("Stock List"),
                       workbench_.projectFolder().isEmpty() ? QDir::homePath() : workbench_.projectFolder(),
                       tr("Tables (*.csv)"));
    dialog.setFileMode(QFileDialog::ExistingFile);
    if (dialog.exec() == QDialog::Accepted) readList(dialog.selectedFiles().value(0));
    emit changed();  // also where it stays as it was: the choice shows that
}

void SearchForm::readList(const QString& path)
{
    const auto bytes = readWhole(path, longestList);
    const auto stock = bytes ? readPortStock(bytes->toStdString()) : Result<PortStock>(fail(bytes.error()));
    if (!stock) {
        const QString where = QString::fromStdString(stock.error().field);
        emit refused(tr("%1: %2%3.")
                         .arg(path, where.startsWith(QLatin1String("line")) ? where + tr(", ") : QString(),
                              localSentence(stock.error().message)));
        return;
    }
    emit refused({});
    wishes_.own = *stock;
    wishes_.list = SearchWishes::List::own;
    emit changed();
}

void SearchForm::haveRows()
{
    column_->addWidget(new GroupHeading(tr("To be had")));
    choice(
        tr("Stock"), {tr("metric sizes"), tr("inch sizes"), tr("both"), tr("a list\u2026")},
        tr("Common sizes of the trade, to be measured before cutting; or a table of your own"),
        [this] { return int(wishes_.list); }, [this](int list) { chooseList(list); });
    choice(
        tr("Made as"), {tr("tube or slot"), tr("tube"), tr("slot")}, tr("Tubes by the length, or slots of panels"),
        [this] { return int(wishes_.shapes); }, [this](int shapes) { wishes_.shapes = SearchWishes::Shapes(shapes); });
    choice(
        tr("Flares"), {tr("sharp or flared"), tr("sharp")}, tr("Whether ends may be rounded"),
        [this] { return wishes_.flares ? 0 : 1; }, [this](int sharp) { wishes_.flares = sharp == 0; });
    quantity(tr("At most tubes"), Dimension::count, 1, 16, &SearchWishes::mostTubes, tr("tubes side by side"),
             QStringLiteral("2"));
    auto* shared = choice(
        tr("Shares"), {tr("no wall"), tr("any or none"), tr("one wall"), tr("two walls"), tr("three walls")},
        tr("Walls of the cavity that a slot may use as its own: one is its bottom, two a side with it, three both"),
        [this] { return int(wishes_.sharedWalls); },
        [this](int walls) { wishes_.sharedWalls = SearchWishes::SharedWalls(walls); });
    refreshers_.push_back([this, shared] { shared->setEnabled(wishes_.shapes != SearchWishes::Shapes::tubes); });
}

void SearchForm::roomRows()
{
    column_->addSpacing(px(4));
    column_->addWidget(new GroupHeading(tr("The cavity allows")));
    FieldRow* straight = room({.key = "straight_mm",
                               .label = tr("Straight run"),
                               .meaning = tr("from the port's wall to the magnet or wall opposite; the job keeps it"),
                               .size = &RoomForPort::straight});
    FieldRow* across = room({.key = "across_mm",
                             .label = tr("Run across"),
                             .meaning = tr("for a run across after a bend; the job keeps it"),
                             .size = &RoomForPort::across});
    const auto allowed = [this] {
        return of_ ? spaceOf(of_->model, openingToReplace(of_->model.housing)) : PortSpace{};
    };
    choice(
        tr("Bends"), {tr("none"), tr("up to one"), tr("up to two")},
        tr("Right angles; the second turns the port back. Unless chosen: one, or as many as the port has now"),
        [this, allowed] { return wishes_.mostBends.value_or(allowed().mostBends); },
        [this](int bends) { wishes_.mostBends = bends; });
    quantity(tr("Clear before it"), Dimension::ratio, 0, 5, &SearchWishes::clearance,
             tr("bores free before the inner mouth; one is common practice"), QStringLiteral("1"));
    FieldRow* wall =
        room({.key = "wall_mm",
              .label = tr("Its wall"),
              .meaning = tr("thickness of the housing's wall, part of the port's length; the job keeps it"),
              .size = &RoomForPort::wall});
    FieldRow* outside = quantity(tr("May stand out"), Dimension::length, 0, 1, &SearchWishes::outside,
                                 tr("that the port may reach outside"));
    mouthRows();
    refreshers_.push_back([this, allowed, straight, across, wall, outside] {
        if (!of_) return;
        const PortSpace space = allowed();
        for (const auto& [row, size] : {std::pair{straight, straightRun(space)}, std::pair{across, acrossRun(space)},
                                        std::pair{wall, space.wall}, std::pair{outside, space.outside}})
            row->box()->setEmptyShows(row->box()->shownText(toMillimetre(size)));
    });
}

void SearchForm::mouthRows()
{
    const auto place = [this](const char* key, const QString& label, const QString& meaning,
                              std::optional<double> RoomForPort::* size) {
        room({.key = key, .label = label, .meaning = meaning, .size = size})->box()->setEmptyShows(tr("cavity"));
    };
    place("mouth_width_mm", tr("Place wide"), tr("free width for the mouths; the job keeps it"),
          &RoomForPort::mouthWidth);
    place("mouth_height_mm", tr("Place high"), tr("free height for the mouths; the job keeps it"),
          &RoomForPort::mouthHeight);
}

void SearchForm::aimRows()
{
    column_->addSpacing(px(4));
    column_->addWidget(new GroupHeading(tr("Wanted")));
    choice(
        tr("First aim"),
        {tr("loudness"), tr("low reach"), tr("flatness"), tr("little travel"), tr("short port")},  // as enum Aim
        tr("Counts most: the ranking adds up aims, this one whole, each further one 0.4 of the one before. Loudness, "
           "low reach "
           "(3 dB point) and a short port always count, so a port can lead without being the best in any"),
        [this] { return int(wishes_.aim); }, [this](int aim) { wishes_.aim = Aim(aim); });
    const FastBand usual;
    quantity(tr("Band from"), Dimension::frequency, 10, 2000, &SearchWishes::bandFrom,
             tr("loudness and flatness count from here"), QLocale().toString(usual.from));
    quantity(tr("to"), Dimension::frequency, 10, 2000, &SearchWishes::bandTo,
             tr("loudness and flatness count up to here"), QLocale().toString(usual.to));
    FieldRow* low = quantity(tr("Tuned from"), Dimension::frequency, 5, 1000, &SearchWishes::tuningFrom,
                             tr("lowest tuning looked at"));
    FieldRow* high =
        quantity(tr("up to"), Dimension::frequency, 5, 1000, &SearchWishes::tuningTo, tr("highest tuning looked at"));
    refreshers_.push_back([this, low, high] {
        if (!of_) return;
        const double resonance = fs(of_->model.driver.driver);
        low->box()->setEmptyShows(low->box()->shownText(0.6 * resonance));
        high->box()->setEmptyShows(high->box()->shownText(1.4 * resonance));
    });
    leastRows();
}

void SearchForm::leastRows()
{
    choice(
        tr("Port air"), {tr("one limit"), tr("by its flares")},
        tr("What each port's air speed is held to: the job's limit or the one below, or what its flares allow "
           "(common practice)"),
        [this] { return wishes_.airByFlares ? 1 : 0; }, [this](int flares) { wishes_.airByFlares = flares == 1; });
    FieldRow* air =
        quantity(tr("Air below"), Dimension::airSpeed, 1, 100, &SearchWishes::portAir, tr("peak speed allowed"));
    refreshers_.push_back([this, air] {
        air->box()->setEmptyShows(wishes_.airByFlares ? tr("by flares")
                                  : of_               ? air->box()->shownText(of_->model.portAirLimit)
                                                      : QString());
    });
    quantity(tr("At least"), Dimension::level, 40, 160, &SearchWishes::leastLevel,
             tr("level that must be clean over the whole band"), tr("any"));
    quantity(tr("3 dB below"), Dimension::frequency, 10, 500, &SearchWishes::highestF3,
             tr("highest 3 dB point that will do"), tr("any"));
    choice(
        tr("At the feed"), {tr("limits are told"), tr("within all limits")},
        tr("Whether ports that pass a limit at the feed in force are left out"),
        [this] { return wishes_.cleanAtFeed ? 1 : 0; }, [this](int clean) { wishes_.cleanAtFeed = clean == 1; });
}

void SearchForm::refresh(const Computed* of)
{
    of_ = of;
    subject_ = of ? of->inputs.housing.id : std::string();
    for (const auto& one : refreshers_)
        one();
    of_ = nullptr;
}

FieldRow* SearchForm::row(const QString& label) const
{
    for (const auto& [name, one] : rows_)
        if (name == label) return one;
    return nullptr;
}

}  // namespace portwright
