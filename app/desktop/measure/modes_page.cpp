// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/modes_page.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/measure/method_rows.h"
#include "app/desktop/measure/task_strip.h"
#include "core/air/air.h"
#include "plots/cavity/modes_view.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QSlider>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>
#include <array>
#include <cmath>

namespace portwright {
namespace {

constexpr int modeCount = 12;
constexpr std::array cubesOf{4'000, 12'000, 30'000};
constexpr int sliderSteps = 1000;

bool sameAir(const Air& a, const Air& b) { return a.c == b.c && a.rho == b.rho; }

QString couplingText(double coupling)
{
    return localNumber(QString::number(100 * std::abs(coupling), 'f', 0)) + QStringLiteral("\u00A0%");
}

int portsOf(const Housing& housing, CavityId cavity)
{
    return int(std::count_if(housing.openings.begin(), housing.openings.end(), [&](const Opening& o) {
        return std::holds_alternative<PortOpening>(o.kind) && o.cavity.value_or(CavityId::main) == cavity;
    }));
}

/// Where the file says that driver and ports sit; null for a measurement of no shape in space.
std::vector<PartPlace>* placesIn(Cavity* cavity, int measurement)
{
    if (!cavity || std::size_t(measurement) >= cavity->measurements.size()) return nullptr;
    auto& method = cavity->measurements[std::size_t(measurement)].method;
    if (auto* solids = std::get_if<SolidsMeasurement>(&method)) return &solids->places;
    if (auto* scan = std::get_if<ScanMeasurement>(&method)) return &scan->places;
    return nullptr;
}
const std::vector<PartPlace>* placesIn(const Cavity* cavity, int measurement)
{
    return placesIn(const_cast<Cavity*>(cavity), measurement);
}

}  // namespace

ModesPage::ModesPage(MeasureDesk& desk, ScanDesk& scans, QWidget* parent)
    : QWidget(parent), desk_(desk), scans_(scans), from_(new DimLabel({})), fineness_(new QuietComboBox),
      across_(new QuietComboBox), state_(new StateLine), list_(new ValueTable(tr("Modes"))),
      places_(new ValueTable(tr("Places of driver and ports"))), warnings_(new QLabel), view_(new ModesView),
      slider_(new QSlider(Qt::Horizontal))
{
    auto* columns = new QSplitter(Qt::Horizontal);
    columns->setChildrenCollapsible(false);
    columns->setHandleWidth(1);
    columns->addWidget(buildLeft());
    columns->addWidget(buildRight());
    columns->setStretchFactor(0, 1);
    columns->setStretchFactor(1, 1);
    auto* row = new QVBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(columns);
    setProperty("helpTopic", QStringLiteral("measure#modes"));
    connect(list_, &ValueTable::rowChosen, this, [this] { showMode(); });
    connect(fineness_, &QComboBox::activated, this, [this] { refresh(); });
    connect(across_, &QComboBox::activated, this, [this](int axis) { view_->setAcross(SolidAxis(axis)); });
    connect(view_, &ModesView::acrossChanged, this, [this](SolidAxis axis) { across_->setCurrentIndex(int(axis)); });
    connect(slider_, &QSlider::valueChanged, this, [this](int at) { view_->setPosition(double(at) / sliderSteps); });
    connect(view_, &ModesView::positionChanged, this, [this](double at) {
        const QSignalBlocker quiet(slider_);
        slider_->setValue(int(at * sliderSteps + 0.5));
    });
    connect(&task_, &LongTask::cancelled, this, [this] {
        refusal_ = tr("Stopped. Choose a fineness to compute them.");
        show();
    });
    connect(places_, &ValueTable::edited, this, &ModesPage::takePlaces);
}

QWidget* ModesPage::buildLeft()
{
    auto* left = new QWidget;
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(px(14), px(8), px(10), px(8));
    column->setSpacing(px(6));
    from_->setWordWrap(true);
    fineness_->addItems({tr("coarse, 4000 cubes"), tr("usual, 12\u00A0000 cubes"), tr("fine, 30\u00A0000 cubes")});
    fineness_->setCurrentIndex(1);
    fineness_->setAccessibleName(tr("Fineness"));
    fineness_->setToolTip(tr("Cubes that fill the cavity; more take longer and reach higher"));
    auto* row = new QHBoxLayout;
    row->addWidget(from_, 1);
    row->addWidget(fineness_);
    column->addLayout(row);
    column->addWidget(new TaskStrip(task_, tr("Modes")));
    column->addWidget(state_);
    list_->values()->setColumns({{.head = tr("Mode"), .kind = TableColumn::Kind::computed},
                                 {.head = tr("Frequency"), .kind = TableColumn::Kind::computed},
                                 {.head = tr("At the driver"),
                                  .kind = TableColumn::Kind::computed,
                                  .meaning = tr("pressure there, over the greatest in the cavity")},
                                 {.head = tr("At port 1"),
                                  .kind = TableColumn::Kind::computed,
                                  .meaning = tr("pressure there, over the greatest in the cavity")}});
    list_->verticalHeader()->hide();
    list_->setSelectionBehavior(QAbstractItemView::SelectRows);
    list_->setSelectionMode(QAbstractItemView::SingleSelection);
    column->addWidget(list_, 1);
    column->addWidget(new GroupHeading(tr("Where they sit")));
    places_->values()->setColumns({{.head = tr("Part"), .kind = TableColumn::Kind::computed},
                                   quantityColumn(QStringLiteral("x"), "solid", "at_mm"),
                                   quantityColumn(QStringLiteral("y"), "solid", "at_mm"),
                                   quantityColumn(QStringLiteral("z"), "solid", "at_mm")});
    places_->verticalHeader()->hide();
    places_->setShownRows(3);
    column->addWidget(places_);
    auto* refusal = new StateLine;
    refusal->hide();
    connect(places_, &ValueTable::refused, refusal, [refusal](const QString& sentence) {
        refusal->setState(sentence.isEmpty() ? Mark::fine : Mark::over, tr("Not taken"), sentence);
        refusal->setVisible(!sentence.isEmpty());
    });
    column->addWidget(refusal);
    warnings_->setWordWrap(true);
    warnings_->setTextInteractionFlags(Qt::TextSelectableByMouse);
    warnings_->setFocusPolicy(Qt::NoFocus);
    column->addWidget(warnings_);
    return left;
}

QWidget* ModesPage::buildRight()
{
    auto* right = new QWidget;
    auto* column = new QVBoxLayout(right);
    column->setContentsMargins(0, 0, 0, px(8));
    column->setSpacing(px(4));
    column->addWidget(view_, 1);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(px(10), 0, px(10), 0);
    across_->addItems({tr("slice across x"), tr("slice across y"), tr("slice across z")});
    across_->setCurrentIndex(int(view_->across()));
    across_->setAccessibleName(tr("Slice across"));
    slider_->setRange(0, sliderSteps);
    slider_->setPageStep(sliderSteps / 10);
    slider_->setSingleStep(sliderSteps / 50);
    slider_->setValue(int(view_->position() * sliderSteps));
    slider_->setAccessibleName(tr("Place of the slice"));
    row->addWidget(across_);
    row->addWidget(slider_, 1);
    column->addLayout(row);
    return right;
}

void ModesPage::refresh()
{
    view_->setPlotPalette(currentPlotPalette());
    view_->setUnits(desk_.units());
    const auto source = modesSource(desk_, scans_);
    if (!source) {
        task_.cancel();
        wish_.reset();
        modes_.reset();
        refusal_ = QString::fromStdString(source.error().message);
        return show();
    }
    const Project& project = desk_.bench().document().shown();
    const auto air = airAt(project.air.value_or(AirConditions{}));
    const Wish wish{.source = *source,
                    .cubes = cubesOf[std::size_t(std::max(0, fineness_->currentIndex()))],
                    .air = air ? *air : referenceAir()};
    place(*source);
    const bool same =
        wish_ && wish_->source == wish.source && wish_->cubes == wish.cubes && sameAir(wish_->air, wish.air);
    if (!same) start(wish);
    show();
}

void ModesPage::start(const Wish& wish)
{
    wish_ = wish;
    modes_.reset();
    refusal_.clear();
    startTask<std::shared_ptr<const CavityModes>>(
        task_, [wish](const Watch& watch) { return modesFrom(wish.source, wish.cubes, modeCount, wish.air, watch); },
        [this](Result<std::shared_ptr<const CavityModes>> found) {
            if (found)
                modes_ = std::move(*found);
            else
                refusal_ = localSentence(found.error().message);
            show();
        });
}

/// As the file has them, and where it says nothing, where they may be.
void ModesPage::place(const ModesSource& source)
{
    const Housing* housing = desk_.bench().chosenHousing();
    named_ = startingPlaces(source, housing ? portsOf(*housing, desk_.cavityId()) : 0);
    const auto* kept = placesIn(desk_.cavity(), source.measurement);
    if (!kept) return;
    std::size_t port = 1;
    for (const PartPlace& one : *kept) {
        const std::size_t at = one.part == PlacedPart::driver ? 0 : port++;
        if (at < named_.size()) named_[at].at = one.at;
    }
}

/// All of them go into the file once one is typed: the driver first, then the ports in their order.
void ModesPage::takePlaces(const TableRows& rows, const QString& step)
{
    if (!wish_) return;
    std::vector<PartPlace> places;
    for (std::size_t i = 0; i < rows.size() && i < named_.size(); ++i) {
        PartPlace place{.part = i == 0 ? PlacedPart::driver : PlacedPart::port, .at = named_[i].at};
        for (std::size_t axis = 0; axis < 3; ++axis)
            place.at[axis] = quantityIn(rows[i][axis + 1], place.at[axis]);
        places.push_back(std::move(place));
    }
    desk_.editCavity(step, [&, at = wish_->source.measurement](Cavity& cavity) {
        if (auto* kept = placesIn(&cavity, at)) *kept = places;
    });
}

void ModesPage::show()
{
    const Cavity* cavity = desk_.cavity();
    from_->setText(
        wish_ && cavity && std::size_t(wish_->source.measurement) < cavity->measurements.size()
            ? tr("Closed cavity, rigid walls, from %1.")
                  .arg(QString::fromStdString(nameOf(cavity->measurements[std::size_t(wish_->source.measurement)])))
            : QString());
    QString words = refusal_;
    if (modes_)
        for (const std::string& remark : modes_->remarks)
            words += (words.isEmpty() ? QString() : QStringLiteral(" ")) + localSentence(remark);
    else if (words.isEmpty())
        words = tr("They are being computed.");
    state_->setState(Mark::note, words);
    state_->setVisible(!words.isEmpty());
    TableRows rows;
    for (std::size_t i = 0; modes_ && i < modes_->frequency.size(); ++i) {
        TableRow row{{.value = QString::number(i + 1)},
                     {.value = figureText(modes_->frequency[i], Dimension::frequency, desk_.units())},
                     {},
                     {}};
        for (std::size_t p = 0; p < 2 && p < named_.size(); ++p)
            row[2 + p] = {.value = couplingText(couplingAt(*modes_, i, named_[p].at))};
        rows.push_back(std::move(row));
    }
    list_->setRows(std::move(rows));
    if (modes_ && list_->currentRow() < 0) list_->setCurrentIndex(list_->model()->index(0, 0));
    TableRows places;
    for (const NamedPlace& one : named_)
        places.push_back({{.value = QString::fromStdString(one.name)},
                          quantityCell(one.at[0]),
                          quantityCell(one.at[1]),
                          quantityCell(one.at[2])});
    places_->values()->setUnits(desk_.units());
    places_->setRows(std::move(places));
    std::vector<MarkedPlace> marked;
    for (std::size_t i = 0; i < named_.size(); ++i)
        marked.push_back({.at = named_[i].at, .driver = i == 0, .name = QString::fromStdString(named_[i].name)});
    view_->setPlaces(std::move(marked));
    shownMode_ = -1;
    showMode();
    warn();
}

void ModesPage::showMode()
{
    const int mode = modes_ ? std::clamp(list_->currentRow(), 0, int(modes_->frequency.size()) - 1) : -1;
    if (mode < 0) return view_->clearMode();
    if (mode == shownMode_) return;
    shownMode_ = mode;
    const VoxelGrid& grid = modes_->cells.grid;
    view_->setMode({.frequency = modes_->frequency[std::size_t(mode)],
                    .cell = grid.cell,
                    .size = grid.size,
                    .origin = grid.origin,
                    .inside = grid.inside,
                    .pressure = pressureOnGrid(*modes_, std::size_t(mode))},
                   mode + 1);
}

void ModesPage::warn()
{
    QStringList lines;
    for (const NamedPlace& one : named_)
        if (modes_ && distanceFromAir(*modes_, one.at) > 0)
            lines
                << tr("The place of %1 lies outside the air, and counts as the nearest point of it: type where it is.")
                       .arg(QString::fromStdString(one.name));
    if (modes_) {
        const auto warnings = placeWarnings(*modes_, named_, shownTo, desk_.units());
        constexpr std::size_t most = 3;
        for (std::size_t i = 0; i < std::min(most, warnings.size()); ++i)
            lines << localSentence(warnings[i].text);
        if (warnings.size() > most) lines << tr("And %n more like these.", nullptr, int(warnings.size() - most));
        if (lines.isEmpty())
            lines << (modes_->frequency.empty() || modes_->frequency.front() > shownTo
                          ? tr("No resonance lies below 1 kHz: up to there the cavity is no place to worry about.")
                          : tr("Neither driver nor ports sit where a resonance below 1 kHz is loud."));
    }
    warnings_->setText(lines.join(QLatin1Char('\n')));
    warnings_->setVisible(!lines.isEmpty());
}

void ModesPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange)
        view_->setPlotPalette(currentPlotPalette());
}

}  // namespace portwright
