// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/search/search_page.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/value_table.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/measure/task_strip.h"
#include "app/desktop/search/search_form.h"
#include "app/desktop/window/housing_edits.h"
#include "plots/scatter_view.h"

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
      details_(new QLabel)
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
    connect(form_, &SearchForm::changed, this, &SearchPage::show);
    connect(form_, &SearchForm::refused, this, [this](const QString& sentence) {
        refusal_ = sentence;
        showState();
    });
    connect(&task_, &LongTask::cancelled, this, [this] {
        refusal_ = tr("Stopped before it was finished.");
        show();
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
    connect(&workbench_, &Workbench::unitsChanged, this, &SearchPage::show);
}

/// What is asked for, and the button below it.
QWidget* SearchPage::buildHead()
{
    auto* left = new QWidget;
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, px(2), 0, px(8));
    column->setSpacing(px(6));
    column->addWidget(form_, 1);
    setButtonFace(*search_, ButtonFace::main);
    search_->setToolTip(tr("Tries every port that can be made of the stock, for the chosen housing"));
    search_->setProperty("helpTopic", QStringLiteral("search"));
    connect(search_, &QPushButton::clicked, this, &SearchPage::start);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(px(14), 0, px(14), 0);
    row->addWidget(search_);
    row->addStretch();
    column->addLayout(row);
    return left;
}

QWidget* SearchPage::buildFound()
{
    table_->values()->setColumns(
        {{.head = QStringLiteral("#"),
          .kind = TableColumn::Kind::computed,
          .meaning = tr("rank, and number in the picture")},
         {.head = tr("Tuning"), .kind = TableColumn::Kind::computed},
         {.head = tr("Loudest"),
          .kind = TableColumn::Kind::computed,
          .meaning = tr("level at which the first limit is met, where over the band it is lowest")},
         {.head = tr("3 dB at"), .kind = TableColumn::Kind::computed},
         {.head = tr("Air"), .kind = TableColumn::Kind::computed, .meaning = tr("peak speed in the port at the feed")},
         {.head = tr("Port"), .kind = TableColumn::Kind::computed, .meaning = tr("what it is made of")}});
    table_->verticalHeader()->hide();
    table_->setSelectionBehavior(QAbstractItemView::SelectRows);
    table_->setSelectionMode(QAbstractItemView::SingleSelection);
    table_->setMouseTracking(true);
    table_->setProperty("helpTopic", QStringLiteral("search#found"));
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
    details_->setFixedHeight(px(84));  // pointing along the rows must not move them
    take_->setToolTip(
        tr("Copies the housing with this port, beside the others; Return does the same, undo takes it out"));
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

const Computed* SearchPage::computed() const
{
    const HousingResult* result = workbench_.chosenResult();
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

const std::vector<FoundPort>& SearchPage::shownPorts() const
{
    static const std::vector<FoundPort> none;
    const SearchResult* all = result();
    return !all ? none : all->ranked.empty() ? all->compromises : all->ranked;
}

void SearchPage::start()
{
    commitTyping();
    const Computed* now = computed();
    if (!now) return;
    refusal_.clear();
    added_.clear();
    const int opening = openingToReplace(now->model.housing);
    Found asked{.of = now->inputs,
                .wishes = wishes_,
                .request = requestOf(wishes_, now->model, opening),
                .opening = opening,
                .result = {}};
    const std::function<Result<SearchResult>(const Watch&)> work = [model = now->model, opening,
                                                                    request = asked.request](const Watch& watch) {
        return searchPorts(model, opening, request, watch);
    };
    found_.reset();
    startTask<SearchResult>(task_, work, [this, asked](Result<SearchResult> found) mutable {
        if (found) {
            asked.result = std::move(*found);
            found_ = std::move(asked);
            showLeftOut(false);
        } else {
            refusal_ = localSentence(found.error().message) + QLatin1Char('.');
        }
        show();
    });
    show();
}

void SearchPage::refresh()
{
    form_->refresh();
    scatter_->setPlotPalette(currentPlotPalette());
    show();
}

void SearchPage::show()
{
    showTable();
    showScatter();
    showRejected();
    showState();
    showChosen();
}

void SearchPage::showTable()
{
    const UnitSystem units = workbench_.units();
    TableRows rows;
    int rank = 0;
    const auto point = [units](double f3) {
        return f3 > 0 ? figureText(f3, Dimension::frequency, units) : QStringLiteral("\u2013");
    };
    for (const FoundPort& port : shownPorts())
        rows.push_back({{.value = QString::number(++rank)},
                        {.value = figureText(port.tuning, Dimension::frequency, units)},
                        {.value = figureText(port.loudest, Dimension::level, units)},
                        {.value = point(port.f3)},
                        {.value = figureText(port.airSpeed, Dimension::airSpeed, units)},
                        {.value = localSentence(port.words)}});
    if (const SearchResult* all = result())
        for (const OtherWay& way : all->otherWays)
            rows.push_back({{},
                            {},
                            {.value = figureText(way.loudest, Dimension::level, units)},
                            {.value = point(way.f3)},
                            {},
                            {.value = QString::fromStdString(way.name)}});
    table_->setRows(std::move(rows));
    if (table_->currentRow() < 0 && !shownPorts().empty()) table_->setCurrentIndex(table_->model()->index(0, 0));
}

void SearchPage::showScatter()
{
    const UnitSystem units = workbench_.units();
    scatter_->setAxes({tr("Air at the feed, peak"), unitName(Dimension::airSpeed, units)},
                      {tr("Loudest clean level"), tr("dB")});
    std::vector<ScatterPoint> points;
    for (const FoundPort& port : shownPorts())
        points.push_back({.x = fromSi(shownUnit(Dimension::airSpeed, units), port.airSpeed),
                          .y = port.loudest,
                          .words = port.airSpeed > port.airLimit
                                       ? tr("%1 (past its air limit)").arg(localSentence(port.words))
                                       : localSentence(port.words),
                          .over = port.airSpeed > port.airLimit});
    scatter_->setEmptyWords(computed() ? tr("Level against air speed of the ports found stands here.")
                                       : tr("A housing that can be computed is needed first."));
    scatter_->setPoints(std::move(points));
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
    if (!refusal_.isEmpty()) {
        state_->setState(Mark::over, tr("Not found"), refusal_);
    } else if (task_.running()) {
        state_->setState(Mark::note, tr("Every port of the stock is being tried."));
    } else if (!all) {
        state_->setState(Mark::note, found_ ? tr("The housing or the wishes are others since the last search.")
                                            : tr("Say what is to be had and what is wanted, then search."));
    } else if (const QString letter = workbench_.letterOf(added_); !added_.empty() && !letter.isEmpty()) {
        state_->setState(Mark::holds, tr("Added"), tr("It is housing %1; undo takes it out again.").arg(letter));
    } else if (all->ranked.empty()) {
        state_->setState(Mark::over, tr("Nothing fits"),
                         all->compromises.empty() ? tr("See what was left out, and why.")
                                                  : tr("These come nearest; below them what would do without a port."));
    } else if (const FoundPort* calmest = calmestPast(all->ranked)) {
        state_->setState(Mark::near, tr("Found"),
                         tr("but at this feed none holds %1 of port air: the least is %2. A longer way, a bend, more "
                            "volume or a lower feed would.")
                             .arg(figureText(calmest->airLimit, Dimension::airSpeed, workbench_.units()),
                                  figureText(calmest->airSpeed, Dimension::airSpeed, workbench_.units())));
    } else {
        state_->setState(Mark::holds, tr("Found"),
                         tr("%1 of %2 that no other beats in all aims, out of %3 tried.")
                             .arg(all->ranked.size())
                             .arg(all->undominated)
                             .arg(QLocale().toString(qulonglong(all->candidates))));
    }
    QStringList notes;
    if (all)
        for (const std::string& note : all->notes)
            notes << localSentence(note);
    state_->setToolTip(notes.join(QLatin1Char('\n')));
}

void SearchPage::showChosen()
{
    const int pointed = scatter_->hovered();
    const int row = pointed >= 0 ? pointed : table_->currentRow();
    const auto& ports = shownPorts();
    const SearchResult* all = result();
    const UnitSystem units = workbench_.units();
    QString words;
    if (all && row >= 0 && std::size_t(row) < ports.size()) {
        const FoundPort& port = ports[std::size_t(row)];
        words = tr("%1: air %2 of %3; %4 net. %5")
                    .arg(localSentence(port.words), figureText(port.airSpeed, Dimension::airSpeed, units),
                         figureText(port.airLimit, Dimension::airSpeed, units),
                         figureText(port.netVolume, Dimension::volume, units), sentences(port.reasons));
    } else if (all && row >= 0 && std::size_t(row) - ports.size() < all->otherWays.size()) {
        words = localSentence(all->otherWays[std::size_t(row) - ports.size()].words);
    }
    details_->setText(words);
    details_->setToolTip(words);
    const bool any = table_->model()->rowCount() > 0 && lists_->currentWidget() == table_;
    details_->setVisible(any);
    take_->setVisible(any);
}

/// Pointed at in the table: ringed in the picture, told below.
void SearchPage::point(int row)
{
    scatter_->setHovered(row);
    showChosen();
}

void SearchPage::choose(int row)
{
    added_.clear();
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

std::optional<Housing> SearchPage::housingOf(int row) const
{
    const SearchResult* all = result();
    const Computed* now = computed();
    if (!all || !now || row < 0) return {};
    const auto& ports = shownPorts();
    if (std::size_t(row) < ports.size()) {
        const FoundPort& port = ports[std::size_t(row)];
        Housing housing = withPort(now->model, found_->opening, found_->request.space, port.port).housing;
        housing.name = port.words;
        return housing;
    }
    const std::size_t way = std::size_t(row) - ports.size();
    if (way >= all->otherWays.size()) return {};
    Housing housing = housingOfWay(workbench_.project(), all->otherWays[way]);
    housing.name = all->otherWays[way].name;
    return housing;
}

void SearchPage::takeCurrent()
{
    auto housing = housingOf(table_->currentRow());
    if (!housing) return;
    workbench_.document().edit(tr("Add the Port Found"), [&](Project& p) {
        housing->id = freshHousingId(p);
        append(p, *housing);
    });
    added_ = housing->id;
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
        pictures_->setSizes({height() * 40 / 100, height() * 60 / 100});
}

void SearchPage::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    place();
}

/// Return in the table takes the port: there is nothing to edit in it.
bool SearchPage::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == table_->viewport() && event->type() == QEvent::Leave) point(-1);
    if (watched != table_ || event->type() != QEvent::KeyPress) return QWidget::eventFilter(watched, event);
    const int key = static_cast<QKeyEvent*>(event)->key();
    if (key != Qt::Key_Return && key != Qt::Key_Enter) return false;
    takeCurrent();
    return true;
}

void SearchPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange)
        scatter_->setPlotPalette(currentPlotPalette());
}

}  // namespace portwright
