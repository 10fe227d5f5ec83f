// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/search/search_page.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/labels.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/measure/task_strip.h"
#include "app/desktop/search/search_form.h"
#include "app/desktop/session/housing_edits.h"
#include "plots/chart/scatter_view.h"

#include <QGridLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QResizeEvent>
#include <QSplitter>
#include <QStackedWidget>
#include <QVBoxLayout>

#include <cmath>

namespace portwright {
namespace {

constexpr double besideFrom = 860;  // px of width, at which the scatter has room beside the table

QString sentences(const std::vector<std::string>& parts)
{
    QString all;
    for (const std::string& part : parts) {
        QString one = localSentence(part);
        if (one.isEmpty()) continue;
        one[0] = one[0].toUpper();
        all += (all.isEmpty() ? QString() : QStringLiteral(" ")) + one + (one.endsWith(QLatin1Char('.')) ? "" : ".");
    }
    return all;
}

/// Where no port found keeps to its air speed, the one that comes nearest.
const FoundPort* calmestPast(const std::vector<FoundPort>& ports)
{
    const FoundPort* calmest = nullptr;
    for (const FoundPort& port : ports) {
        if (port.airSpeed <= port.airLimit) return nullptr;
        if (!calmest || port.airSpeed / port.airLimit < calmest->airSpeed / calmest->airLimit) calmest = &port;
    }
    return calmest;
}

/// Feed and high-pass that a way without a port is reckoned with.
Housing housingOfWay(const Project& project, const OtherWay& way)
{
    Housing housing = way.housing;
    if (way.highPass) {
        if (!housing.feed) housing.feed = project.feed.value_or(Feed{});
        housing.feed->highPass = way.highPass;
    }
    return housing;
}

}  // namespace

SearchPage::SearchPage(Workbench& workbench, QWidget* parent)
    : QWidget(parent), workbench_(workbench), form_(new SearchForm(workbench, wishes_)),
      scatter_(new ScatterView(tr("Level over air speed of the ports found"))),
      table_(new ValueTable(tr("Ports found"))), leftOut_(new QListWidget),
      which_(new SegmentSwitch(tr("Ports found or left out"))), lists_(new QStackedWidget),
      search_(new QPushButton(tr("Search"))), take_(new QPushButton(tr("Into a new housing"))), state_(new StateLine),
      details_(new QLabel), tag_(new SlotTag), name_(new NameLabel), what_(new DimLabel({}))
{
    setMinimumHeight(px(150));
    setProperty("helpTopic", QStringLiteral("search"));
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    columns_ = new QSplitter(Qt::Horizontal);
    columns_->setChildrenCollapsible(false);
    columns_->setHandleWidth(1);
    columns_->addWidget(buildHead());
    columns_->addWidget(buildFound());
    columns_->setStretchFactor(1, 1);
    column->addWidget(columns_, 1);
    connect(form_, &SearchForm::changed, this, &SearchPage::refresh);
    connect(form_, &SearchForm::refused, this, [this](const QString& sentence) {
        refusal_ = sentence;
        showState();
    });
    connect(&task_, &LongTask::cancelled, this, [this] {
        refusal_ = tr("Stopped before it was finished.");
        showAll();
    });
    connect(table_, &ValueTable::rowChosen, this, &SearchPage::choose);
    connect(table_, &QAbstractItemView::doubleClicked, this, &SearchPage::takeCurrent);
    table_->installEventFilter(this);
    table_->viewport()->installEventFilter(this);
    connect(table_, &QAbstractItemView::entered, this, [this](const QModelIndex& index) { point(index.row()); });
    connect(scatter_, &ScatterView::chosen, this, [this](int row) {
        showLeftOut(false);
        table_->setCurrentIndex(table_->model()->index(row, 0));
    });
    connect(scatter_, &ScatterView::activated, this, &SearchPage::takeCurrent);
    connect(scatter_, &ScatterView::hoveredChanged, this, &SearchPage::showChosen);
    connect(&workbench_, &Workbench::unitsChanged, this, [this] {
        showAll();
        tellAnew();
    });
}

/// What is asked for, and the button below it.
QWidget* SearchPage::buildHead()
{
    auto* left = new QWidget;
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, px(2), 0, px(8));
    column->setSpacing(px(6));
    column->addWidget(buildSubject());
    column->addWidget(form_, 1);
    setButtonFace(*search_, ButtonFace::main);
    search_->setToolTip(tr("Tries every port that can be made of the stock, for this housing (Ctrl+Return)"));
    search_->installEventFilter(this);
    search_->setProperty("helpTopic", QStringLiteral("search"));
    connect(search_, &QPushButton::clicked, this, &SearchPage::start);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(px(14), 0, px(14), 0);
    row->addWidget(search_);
    row->addStretch();
    column->addLayout(row);
    return left;
}

void SearchPage::dressTable()
{
    table_->verticalHeader()->hide();
    table_->setSelectionBehavior(QAbstractItemView::SelectRows);
    table_->setSelectionMode(QAbstractItemView::SingleSelection);
    table_->setMouseTracking(true);
    table_->setWrappedColumn(1);
    table_->horizontalHeader()->setMinimumSectionSize(px(24));
    table_->setProperty("helpTopic", QStringLiteral("search#found"));
}

QWidget* SearchPage::buildFound()
{
    dressTable();
    leftOut_->setAccessibleName(tr("Ports left out"));
    leftOut_->setWordWrap(true);
    leftOut_->setSpacing(px(2));
    leftOut_->setFrameShape(QFrame::NoFrame);
    leftOut_->setProperty("helpTopic", QStringLiteral("search#left"));
    scatter_->setProperty("helpTopic", QStringLiteral("search#found"));
    details_->setWordWrap(true);
    details_->setTextInteractionFlags(Qt::TextSelectableByMouse);
    details_->setFocusPolicy(Qt::NoFocus);
    details_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
    details_->setFixedHeight(px(98));  // pointing along the rows must not move them
    take_->setToolTip(
        tr("Copies the housing with this port, beside the others; Return does the same, undo takes it out"));
    take_->installEventFilter(this);
    take_->setProperty("helpTopic", QStringLiteral("search#found"));
    connect(take_, &QPushButton::clicked, this, &SearchPage::takeCurrent);
    which_->setSegments({{.words = tr("Found"), .icon = {}, .tip = tr("The ranking")},
                         {.words = tr("Left out"), .icon = {}, .tip = tr("What does not do, and why")}});
    connect(which_, &SegmentSwitch::chosen, this, [this](int which) { showLeftOut(which == 1); });

    auto* listColumn = new QWidget;
    auto* column = new QVBoxLayout(listColumn);
    column->setContentsMargins(px(10), px(4), px(10), px(8));
    column->setSpacing(px(4));
    auto* head = new QHBoxLayout;
    head->addWidget(which_);
    head->addStretch();
    head->addWidget(take_);
    column->addLayout(head);
    column->addWidget(new TaskStrip(task_, tr("Search")));
    column->addWidget(state_);
    lists_->addWidget(table_);
    lists_->addWidget(leftOut_);
    column->addWidget(lists_, 1);
    column->addWidget(details_);
    pictures_ = new QSplitter(Qt::Vertical);
    pictures_->setChildrenCollapsible(false);
    pictures_->setHandleWidth(1);
    pictures_->addWidget(scatter_);
    pictures_->addWidget(listColumn);
    pictures_->setStretchFactor(0, 1);
    pictures_->setStretchFactor(1, 1);
    return pictures_;
}

/// Which housing is searched for, and what becomes of its port.
QWidget* SearchPage::buildSubject()
{
    auto* head = new QWidget;
    auto* grid = new QGridLayout(head);
    grid->setContentsMargins(px(14), px(4), px(14), 0);
    grid->setHorizontalSpacing(px(8));
    grid->setVerticalSpacing(0);
    grid->addWidget(tag_, 0, 0, Qt::AlignVCenter);
    name_->setFont(lettersFont(Letters::readout));
    grid->addWidget(name_, 0, 1);
    what_->setWordWrap(true);
    grid->addWidget(what_, 1, 1);
    grid->setColumnStretch(1, 1);
    return head;
}

const HousingResult* SearchPage::subject() const
{
    const Housing* chosen = workbench_.chosenHousing();
    if (chosen && found_ && !added_.empty() && chosen->id == added_)
        return workbench_.computation().find(found_->of.housing.id);
    return workbench_.chosenResult();
}

const Computed* SearchPage::computed() const
{
    const HousingResult* result = subject();
    return result ? result->computed.get() : nullptr;
}

/// Names and units change no port.
bool SearchPage::sameInputs(const HousingInputs& now, const SearchWishes& wishes) const
{
    if (!found_ || !(found_->wishes == wishes)) return false;
    HousingInputs then = found_->of;
    then.units = now.units;
    then.housing.name = now.housing.name;
    return then == now;
}

const SearchResult* SearchPage::result() const
{
    const Computed* now = computed();
    return now && sameInputs(now->inputs, wishes_) ? &found_->result : nullptr;
}

std::vector<SearchPage::Row> SearchPage::rows() const
{
    std::vector<Row> rows;
    const SearchResult* all = result();
    if (!all) return rows;
    if (all->present)
        rows.push_back({.port = &*all->present, .label = housingLetter(subject()->slot), .present = true});
    int rank = 0;
    for (const FoundPort& port : all->ranked.empty() ? all->compromises : all->ranked)
        rows.push_back({.port = &port, .label = QString::number(++rank)});
    for (const OtherWay& way : all->otherWays)
        rows.push_back({.way = &way});
    return rows;
}

std::optional<SearchPage::Row> SearchPage::rowAt(int row) const
{
    const auto all = rows();
    return row >= 0 && std::size_t(row) < all.size() ? std::optional(all[std::size_t(row)]) : std::nullopt;
}

void SearchPage::start()
{
    commitTyping();
    const Computed* now = computed();
    if (!now || task_.running()) return;
    refusal_.clear();
    tellAdded_ = false;
    startedFrom_ = columns_->widget(0)->isAncestorOf(focusWidget()) ? focusWidget() : nullptr;
    const int opening = openingToReplace(now->model.housing);
    Found asked{.of = now->inputs,
                .wishes = wishes_,
                .request = requestOf(wishes_, now->model, opening),
                .opening = opening,
                .result = {}};
    asked.request.units = workbench_.units();
    const std::function<Result<SearchResult>(const Watch&)> work = [model = now->model, opening,
                                                                    request = asked.request](const Watch& watch) {
        return searchPorts(model, opening, request, watch);
    };
    startTask<SearchResult>(task_, work, [this, asked](Result<SearchResult> found) mutable {
        if (found) {
            asked.result = std::move(*found);
            found_ = std::move(asked);
            showLeftOut(false);
            showAll();
            if (startedFrom_ && startedFrom_->hasFocus()) takeFocus();  // nobody has gone elsewhere meanwhile
        } else {
            refusal_ = localSentence(found.error().message) + QLatin1Char('.');
        }
        showAll();
        tellAnew();
    });
    showAll();
}

/// What was found is told in the units it was searched in: in others it is searched again. Whether it is.
bool SearchPage::tellAnew()
{
    if (task_.running() || !result() || found_->request.units == workbench_.units()) return false;
    start();
    return task_.running();
}

void SearchPage::takeFocus()
{
    (table_->model()->rowCount() > 0 ? static_cast<QWidget*>(table_) : search_)->setFocus(Qt::OtherFocusReason);
}

void SearchPage::refresh()
{
    if (!added_.empty() && workbench_.letterOf(added_).isEmpty()) {  // undone or removed: back to where it came from
        added_.clear();
        if (found_ && !workbench_.letterOf(found_->of.housing.id).isEmpty())
            return workbench_.choose(found_->of.housing.id);  // which comes back here
    }
    form_->refresh(computed());
    scatter_->setPlotPalette(currentPlotPalette());
    showAll();
}

void SearchPage::showAll()
{
    showSubject();
    showTable();
    showScatter();
    showRejected();
    showState();
    showChosen();
}

void SearchPage::showSubject()
{
    const HousingResult* of = subject();
    for (QWidget* one : std::initializer_list<QWidget*>{tag_, name_, what_})
        one->setVisible(of != nullptr);
    if (!of) return;
    tag_->setSlot(of->slot);
    name_->setText(of->name);
    if (!of->computed) return what_->setText(tr("It cannot be computed yet."));
    const Model& model = of->computed->model;
    const int opening = openingToReplace(model.housing);
    QString words = opening >= 0 ? tr("Its port is the one replaced.") : tr("It has no port yet.");
    if (const PortSpace space = spaceOf(model, opening); !sizesKnown(space.empty))
        words += space.empty.depth > 0 ? tr(" Only its depth is known: the ranking takes a box of that.")
                                       : tr(" Its inner sizes are not given: a compact box is taken.");
    what_->setText(words);
}

QString SearchPage::bandText() const
{
    const FastBand usual;
    return tr("%1 to %2")
        .arg(QLocale().toString(wishes_.bandFrom.value_or(usual.from), 'g', 4),
             figureText(wishes_.bandTo.value_or(usual.to), Dimension::frequency, workbench_.units()));
}

/// Units stand in the heads, so that what a port is made of has room.
void SearchPage::setHeads()
{
    const UnitSystem units = workbench_.units();
    const QString band = bandText();
    if (headUnits_ == units && headBand_ == band) return;
    headUnits_ = units, headBand_ = band;
    const auto head = [units](const QString& words, Dimension dimension) {
        return words + QLatin1Char('\n') + unitName(dimension, units);
    };
    constexpr auto computed = TableColumn::Kind::computed;
    table_->values()->setColumns(
        {{.head = QStringLiteral("#"), .kind = computed, .meaning = tr("rank, and number in the picture")},
         {.head = tr("Port"), .kind = computed, .meaning = tr("what it is made of")},
         {.head = head(tr("Tuning"), Dimension::frequency), .kind = computed, .meaning = tr("in this cavity")},
         {.head = head(tr("Clean"), Dimension::level),
          .kind = computed,
          .meaning = tr("level that stays clean over the whole band, %1: the lowest of the loudest clean levels in it. "
                        "\"Loudest\" on a card is the one at the cursor")
                         .arg(band)},
         {.head = head(tr("3 dB at"), Dimension::frequency), .kind = computed, .meaning = tr("3 dB point")},
         {.head = head(tr("Air"), Dimension::airSpeed),
          .kind = computed,
          .meaning = tr("peak speed in the port at the feed in force")}});
}

void SearchPage::showTable()
{
    const UnitSystem units = workbench_.units();
    const auto figure = [units](double si, Dimension dimension) -> TableCell {
        return {.value = localNumber(QString::fromStdString(formatNumber(si, dimension, units)))};
    };
    const auto point = [&](double f3) -> TableCell { return f3 > 0 ? figure(f3, Dimension::frequency) : TableCell{}; };
    TableRows shown;
    int first = 0;
    for (const Row& row : rows()) {
        if (row.present) first = 1;
        if (row.port)
            shown.push_back({{.value = row.label},
                             {.value = row.present ? tr("What you have: %1").arg(localSentence(row.port->words))
                                                   : localSentence(row.port->words)},
                             figure(row.port->tuning, Dimension::frequency),
                             figure(row.port->loudest, Dimension::level),
                             point(row.port->f3),
                             figure(row.port->airSpeed, Dimension::airSpeed)});
        else
            shown.push_back({{},
                             {.value = QString::fromStdString(row.way->name)},
                             {},
                             figure(row.way->loudest, Dimension::level),
                             point(row.way->f3),
                             {}});
    }
    setHeads();
    table_->setRows(std::move(shown));
    const int count = table_->model()->rowCount();
    if (table_->currentRow() < 0 && count > first) table_->setCurrentIndex(table_->model()->index(first, 0));
}

void SearchPage::showScatter()
{
    const UnitSystem units = workbench_.units();
    const Unit speed = shownUnit(Dimension::airSpeed, units);
    std::vector<ScatterPoint> points;
    std::optional<double> limit;
    bool oneLimit = true;
    for (const Row& row : rows()) {
        if (!row.port) continue;
        const FoundPort& port = *row.port;
        oneLimit = oneLimit && limit.value_or(port.airLimit) == port.airLimit;
        limit = port.airLimit;
        const bool over = port.airSpeed > port.airLimit;
        QString words = localSentence(port.words);
        if (row.present) words = tr("What you have: %1").arg(words);
        if (over) words = tr("%1 (past its air limit)").arg(words);
        points.push_back({.x = fromSi(speed, port.airSpeed),
                          .y = port.loudest,
                          .words = words,
                          .over = over,
                          .label = row.label,
                          .standing = row.present});
    }
    scatter_->setAxes({tr("Air at the feed, peak"), unitName(Dimension::airSpeed, units)},
                      {tr("Clean over the band"), tr("dB, %1").arg(bandText())});
    scatter_->setEmptyWords(computed() ? tr("Level against air speed of the ports found stands here.")
                                       : tr("A housing that can be computed is needed first."));
    scatter_->setPoints(std::move(points));
    scatter_->setLimit(limit && oneLimit ? std::optional(ScatterLimit{
                                               fromSi(speed, *limit),
                                               tr("limit %1").arg(figureText(*limit, Dimension::airSpeed, units))})
                                         : std::nullopt);
    scatter_->setCurrent(table_->currentRow());
}

void SearchPage::showRejected()
{
    const SearchResult* all = result();
    leftOut_->clear();
    if (all)
        for (const RejectedPorts& one : all->rejected)
            leftOut_->addItem(QString::fromStdString(one.what) + QStringLiteral(": ") + localSentence(one.why) +
                              QLatin1Char('.'));
    which_->setVisible(all != nullptr);
}

void SearchPage::showState()
{
    const SearchResult* all = result();
    search_->setEnabled(computed() != nullptr);
    const QString cone =
        all && all->pastTravel > 0 ? tr(" The cone passes its travel at this feed: high-pass it first.") : QString();
    if (!refusal_.isEmpty()) {
        state_->setState(Mark::over, tr("Not found"), refusal_);
    } else if (task_.running()) {
        state_->setState(Mark::note, tr("Every port of the stock is being tried."));
    } else if (!all) {
        state_->setState(Mark::note, found_ ? tr("The housing or the wishes are others since the last search.")
                                            : tr("Say what is to be had and what is wanted, then search."));
    } else if (const QString letter = workbench_.letterOf(added_); tellAdded_ && !letter.isEmpty()) {
        state_->setState(Mark::holds, tr("Added"),
                         tr("It is housing %1, now chosen: Ctrl+K makes its parts, undo takes it out again. %2")
                             .arg(letter, addedNotes_)
                             .trimmed());
    } else if (all->ranked.empty()) {
        state_->setState(Mark::over, tr("Nothing fits"),
                         all->compromises.empty() ? tr("See what was left out, and why.")
                                                  : tr("These come nearest; below them what would do without a port."));
    } else if (const FoundPort* calmest = calmestPast(all->ranked)) {
        state_->setState(
            Mark::near, tr("Found"),
            tr("but at this feed none holds %1 of port air: the least is %2. A longer way, one more bend, more "
               "volume or a lower feed would.%3")
                .arg(figureText(calmest->airLimit, Dimension::airSpeed, workbench_.units()),
                     figureText(calmest->airSpeed, Dimension::airSpeed, workbench_.units()), cone));
    } else {
        state_->setState(cone.isEmpty() ? Mark::holds : Mark::near, tr("Found"),
                         tr("%1 of %2 that no other beats in all aims, out of %3 tried.%4")
                             .arg(all->ranked.size())
                             .arg(all->undominated)
                             .arg(QLocale().toString(qulonglong(all->candidates)), cone));
    }
    QStringList notes;
    if (all)
        for (const std::string& note : all->notes)
            notes << localSentence(note);
    state_->setToolTip(notes.join(QLatin1Char('\n')));
}

/// What changes from what the housing has, with a space behind it; empty where it has no port.
QString SearchPage::againstPresent(const FoundPort& port) const
{
    const SearchResult* all = result();
    if (!all || !all->present) return {};
    const FoundPort& now = *all->present;
    const UnitSystem units = workbench_.units();
    const double louder = port.loudest - now.loudest, lower = now.f3 - port.f3;
    QStringList parts;
    if (std::abs(louder) >= 0.05)
        parts << (louder > 0 ? tr("%1 more that is clean") : tr("%1 less that is clean"))
                     .arg(figureText(std::abs(louder), Dimension::level, units));
    if (port.f3 > 0 && now.f3 > 0 && std::abs(lower) >= 0.05)
        parts << (lower > 0 ? tr("3 dB point %1 lower") : tr("3 dB point %1 higher"))
                     .arg(figureText(std::abs(lower), Dimension::frequency, units));
    return parts.isEmpty() ? QString() : tr("Against what you have: %1. ").arg(parts.join(tr(", ")));
}

void SearchPage::showChosen()
{
    const int pointed = scatter_->hovered();
    const auto row = rowAt(pointed >= 0 ? pointed : table_->currentRow());
    const UnitSystem units = workbench_.units();
    QString words;
    if (row && row->port) {
        const FoundPort& port = *row->port;
        words = tr("%1: air %2, limit %3. %4")
                    .arg(localSentence(port.words), figureText(port.airSpeed, Dimension::airSpeed, units),
                         figureText(port.airLimit, Dimension::airSpeed, units),
                         row->present
                             ? tr("%1 net. %2")
                                   .arg(figureText(port.netVolume, Dimension::volume, units), sentences(port.reasons))
                                   .trimmed()
                             : againstPresent(port) + sentences(port.reasons));
    } else if (row && row->way) {
        words = localSentence(row->way->words);
    }
    details_->setText(words);
    details_->setToolTip(words);
    const bool any = table_->model()->rowCount() > 0 && lists_->currentWidget() == table_;
    details_->setVisible(any);
    take_->setVisible(any);
    const auto current = rowAt(table_->currentRow());
    take_->setEnabled(current && !current->present);
}

/// Pointed at in the table: ringed in the picture, told below.
void SearchPage::point(int row)
{
    scatter_->setHovered(row);
    showChosen();
}

void SearchPage::choose(int row)
{
    tellAdded_ = false;
    showState();
    scatter_->setCurrent(row);
    showChosen();
}

void SearchPage::showLeftOut(bool leftOut)
{
    lists_->setCurrentWidget(leftOut ? static_cast<QWidget*>(leftOut_) : table_);
    which_->setCurrent(leftOut ? 1 : 0);
    showChosen();
}

Result<PortExchange> SearchPage::housingOf(const Row& row) const
{
    const Model& model = computed()->model;
    const auto exchanged =
        exchangedPort(found_->of.housing, found_->opening, row.port ? std::optional(row.port->port) : std::nullopt,
                      model.driver, model.air, workbench_.units());
    if (!exchanged) return exchanged;
    PortExchange taken = *exchanged;
    if (row.way) {
        const Cavity cavity = taken.housing.cavity;  // as it was measured, where it was
        taken.housing = housingOfWay(workbench_.project(), *row.way);
        taken.housing.cavity = cavity;
    }
    taken.housing.name = row.port ? row.port->words : row.way->name;
    return taken;
}

void SearchPage::takeCurrent()
{
    const auto row = rowAt(table_->currentRow());
    if (!row) return;
    refusal_.clear();
    tellAdded_ = false;
    if (row->present) {
        refusal_ = tr("That is what the housing has already; choose one of those below.");
        return showState();
    }
    auto taken = housingOf(*row);
    if (!taken) {
        refusal_ = localSentence(taken.error().message) + QLatin1Char('.');
        return showState();
    }
    workbench_.document().edit(tr("Add the Port Found"), [&](Project& p) {
        taken->housing.id = freshHousingId(p);
        append(p, taken->housing);
    });
    added_ = taken->housing.id;
    addedNotes_ = sentences(taken->notes);
    tellAdded_ = true;
    workbench_.choose(added_);
    showState();
}

/// Scatter beside the table where both have room, else above it.
void SearchPage::place()
{
    const bool beside = width() >= px(besideFrom);
    if (beside_ == beside) return;
    beside_ = beside;
    pictures_->setOrientation(beside ? Qt::Horizontal : Qt::Vertical);
    const int form = px(250), room = qMax(px(200), width() - form);
    columns_->setSizes({form, room});
    if (beside)
        pictures_->setSizes({room * 45 / 100, room * 55 / 100});
    else
        pictures_->setSizes({height() * 38 / 100, height() * 62 / 100});
}

void SearchPage::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    place();
}

/// Return in the table takes the port, there is nothing to edit in it; on a button it presses the button.
bool SearchPage::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == table_->viewport() && event->type() == QEvent::Leave) point(-1);
    if (event->type() != QEvent::KeyPress) return QWidget::eventFilter(watched, event);
    const auto* key = static_cast<QKeyEvent*>(event);
    if ((key->key() != Qt::Key_Return && key->key() != Qt::Key_Enter) || key->modifiers() & Qt::ControlModifier)
        return QWidget::eventFilter(watched, event);
    if (watched == table_)
        takeCurrent();
    else if (auto* button = qobject_cast<QPushButton*>(watched))
        button->click();
    return true;
}

/// Ctrl+Return searches from any field, Esc stops a search.
void SearchPage::keyPressEvent(QKeyEvent* event)
{
    const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    if (enter && event->modifiers() & Qt::ControlModifier) return search_->click();
    if (event->key() == Qt::Key_Escape && task_.running()) return task_.cancel();
    QWidget::keyPressEvent(event);
}

/// Who comes back searches for what is chosen then.
void SearchPage::hideEvent(QHideEvent* event)
{
    if (!event->spontaneous()) added_.clear(), tellAdded_ = false;
    QWidget::hideEvent(event);
}

void SearchPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange)
        scatter_->setPlotPalette(currentPlotPalette());
}

}  // namespace portwright
