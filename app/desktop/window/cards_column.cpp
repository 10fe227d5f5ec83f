// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/cards_column.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/session/housing_edits.h"
#include "app/desktop/stations/station_editor.h"
#include "app/desktop/stations/stations.h"
#include "app/desktop/window/card_texts.h"
#include "core/driver/sheet.h"

#include <QPushButton>
#include <QResizeEvent>
#include <QScrollBar>
#include <QTimer>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>
#include <limits>

namespace portwright {

CutAtCursor cutAtCursor(const std::optional<AtCursor>& at)
{
    return at ? CutAtCursor{.coneTravel = at->coneTravel, .portAirSpeed = at->portAir} : CutAtCursor{};
}

CardsColumn::CardsColumn(Workbench& workbench, QWidget* parent)
    : QScrollArea(parent), workbench_(workbench), newCard_(new NewHousingCard), caution_(new StateLine)
{
    setAccessibleName(tr("Housings"));
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::NoFocus);
    auto* inside = new QWidget;
    column_ = new QVBoxLayout(inside);
    column_->setContentsMargins(px(8), px(8), px(8), px(8));
    column_->setSpacing(px(8));
    column_->addWidget(newCard_);
    column_->addWidget(caution_);
    auto* more = new QPushButton(tr("All cautions"));
    setButtonFace(*more, ButtonFace::link);
    connect(more, &QPushButton::clicked, this, &CardsColumn::cautionsWanted);
    moreCautions_ = more;
    column_->addWidget(more, 0, Qt::AlignLeft);
    column_->addStretch(1);
    setWidget(inside);
    connectNewCard();
    connect(&workbench_.document(), &Document::replaced, this, [this] {
        offered_ = false;
        newCard_->close();  // it spoke of the project that was open
    });
    connect(&workbench_, &Workbench::cursorChanged, this, &CardsColumn::tellCursor);
    connect(&workbench_, &Workbench::chosenChanged, this, [this] {
        bringing_ = true;
        QTimer::singleShot(0, this, &CardsColumn::bringIntoView);
        constexpr int settled = 300;  // ms: from then on the user's own scrolling holds
        QTimer::singleShot(settled, this, [this] { bringing_ = false; });
    });
    connect(verticalScrollBar(), &QScrollBar::rangeChanged, this, [this] {
        if (bringing_) bringIntoView();  // a new card has got its height
    });
    connect(&workbench_.computation(), &Computation::rangesReady, this, [this] {
        tellCursor();
        drawCuts();  // figures with their uncertainty leave less room
    });
    connect(&workbench_, &Workbench::unitsChanged, this, [this] { newCard_->setUnitSystem(workbench_.units()); });
}

std::optional<std::size_t> CardsColumn::indexOf(const std::string& id) const
{
    const auto& housings = workbench_.project().housings;
    const auto found = std::find_if(housings.begin(), housings.end(), [&](const Housing& h) { return h.id == id; });
    return found == housings.end() ? std::nullopt : std::optional(std::size_t(found - housings.begin()));
}

HousingCard* CardsColumn::card(const std::string& id) const
{
    const auto found = std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return e.id == id; });
    return found == entries_.end() ? nullptr : found->card;
}

std::vector<HousingCard*> CardsColumn::cards() const
{
    std::vector<HousingCard*> all;
    for (const Entry& entry : entries_)
        all.push_back(entry.card);
    return all;
}

CardsColumn::Entry CardsColumn::makeCard(const std::string& id)
{
    Entry entry{.id = id, .card = new HousingCard(0), .cut = new CutView};
    entry.cut->setMinimumSize(px(60), px(40));  // figures with their uncertainty stand beside it
    entry.card->setCut(entry.cut);
    connectCard(entry);
    return entry;
}

void CardsColumn::connectCard(const Entry& entry)
{
    const std::string id = entry.id;
    HousingCard* card = entry.card;
    connect(card, &HousingCard::chosen, this, [this, id] { workbench_.choose(id); });
    connect(card, &HousingCard::nameChanged, this, [this, id](const QString& name) {
        workbench_.document().edit(tr("Rename Housing"), [&](Project& p) {
            if (const auto i = indexOf(id)) p.housings[*i].name = name.toStdString();
        });
    });
    connect(card, &HousingCard::shownToggled, this,
            [this, id](bool shown) { workbench_.computation().setHidden(id, !shown); });
    connect(card, &HousingCard::copyWanted, this, [this, id] { copyHousing(id); });
    connect(card, &HousingCard::removeWanted, this, [this, id] { removeHousing(id); });
    connect(card, &HousingCard::moveWanted, this, [this, id](int by) { moveHousing(id, by); });
    connect(card, &HousingCard::ownFeedToggled, this, [this, id](bool own) {
        workbench_.document().edit(own ? tr("Give Its Own Feed") : tr("Use the Project's Feed"), [&](Project& p) {
            if (const auto i = indexOf(id))
                p.housings[*i].feed = own ? std::optional(p.feed.value_or(Feed{})) : std::nullopt;
        });
    });
    connect(card, &HousingCard::dragEnded, this, [this, id](const QPoint& at) {
        QList<QWidget*> column;
        for (const Entry& one : entries_)
            column << one.card;
        const auto from = indexOf(id);
        const int place = HousingCard::placeAt(column, at.y());
        if (from) moveHousing(id, (place > int(*from) ? place - 1 : place) - int(*from));
    });
    connect(card->verdicts(), &VerdictList::applyWanted, this, [this, id](int index) {
        const HousingResult* result = workbench_.computation().find(id);
        if (result && result->computed && index >= 0 && std::size_t(index) < result->computed->verdicts.size())
            applyRemedy(workbench_, id, Verdict(result->computed->verdicts[std::size_t(index)]));
    });
    connect(card->verdicts(), &VerdictList::verdictClicked, this, [this, id](int index) {
        const HousingResult* result = workbench_.computation().find(id);
        if (!result) return;
        workbench_.choose(id);
        if (!result->computed) {
            emit workbench_.jumpWanted(int(stationOf(result->error)), rowOf(result->error));
        } else if (index >= 0 && std::size_t(index) < result->computed->verdicts.size()) {
            const Verdict& verdict = result->computed->verdicts[std::size_t(index)];
            emit workbench_.jumpWanted(int(stationOf(verdict)), QString::fromStdString(verdict.field));
        }
    });
}

void CardsColumn::connectNewCard()
{
    const auto forget = [this] {
        workbench_.setNewcomer({});
        workbench_.document().endPreview();
    };
    connect(newCard_, &NewHousingCard::previewed, this, [this, forget](const NewHousing& wish) {
        const Candidate candidate = candidateFrom(workbench_.project(), wish, workbench_.chosenIndex());
        newCard_->setRemark(candidate.remark);
        if (!candidate.housing) return forget();
        workbench_.setNewcomer(candidate.housing->id);
        workbench_.document().preview([&](Project& p) { append(p, *candidate.housing); });
    });
    connect(newCard_, &NewHousingCard::added, this, [this, forget](const NewHousing& wish) {
        const Candidate candidate = candidateFrom(workbench_.project(), wish, workbench_.chosenIndex());
        forget();
        if (!candidate.housing) return newCard_->open();
        workbench_.document().edit(tr("Add Housing"), [&](Project& p) { append(p, *candidate.housing); });
        workbench_.choose(candidate.housing->id);
    });
    connect(newCard_, &NewHousingCard::dismissed, this, forget);
}

void CardsColumn::bringIntoView()
{
    const Housing* chosen = workbench_.chosenHousing();
    const HousingCard* one = chosen ? card(chosen->id) : nullptr;
    if (!one) return;
    const QRect place(one->mapTo(widget(), QPoint()), one->size());
    const int from = verticalScrollBar()->value(), seen = viewport()->height(), edge = px(8);
    const bool begins = place.top() >= from && place.top() + std::min(place.height(), px(100)) <= from + seen;
    if (begins) return;
    // Whole where it goes in, else from its head on.
    const bool below = place.top() > from && place.height() + 2 * edge <= seen;
    verticalScrollBar()->setValue(below ? place.bottom() + edge - seen : place.top() - edge);
}

void CardsColumn::lineUp()
{
    const auto& housings = workbench_.project().housings;
    std::vector<Entry> next;
    for (const Housing& housing : housings) {
        const auto known =
            std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return e.id == housing.id; });
        if (known == entries_.end()) {
            next.push_back(makeCard(housing.id));
        } else {
            next.push_back(*known);
            entries_.erase(known);
        }
    }
    for (const Entry& gone : entries_) {
        column_->removeWidget(gone.card);
        gone.card->hide();
        gone.card->deleteLater();
    }
    entries_ = std::move(next);
    for (std::size_t i = 0; i < entries_.size(); ++i)
        if (column_->indexOf(entries_[i].card) != int(i)) column_->insertWidget(int(i), entries_[i].card);
}

void CardsColumn::fill(Entry& entry, std::size_t index)
{
    const Project& project = workbench_.project();
    const Housing& housing = project.housings[index];
    const HousingResult* result = workbench_.computation().find(entry.id);
    HousingCard* card = entry.card;
    card->setSlot(int(index));
    card->setName(QString::fromStdString(housing.name));
    card->setChosen(workbench_.chosenIndex() == index);
    card->setHousingShown(!workbench_.computation().hidden(entry.id));
    card->setOwnFeed(housing.feed.has_value());
    card->setMovable(index > 0, index + 1 < project.housings.size());
    card->setRemovable(true);
    QList<VerdictLine> lines;
    if (result && result->computed) {
        for (const Verdict& verdict : result->computed->verdicts)
            lines << lineOf(verdict);
    } else if (result) {
        lines << VerdictLine{.mark = markOf(result->error, workbench_.document().shown()),
                             .text = sentenceOf(result->error),
                             .applyWords = {},
                             .tip = QString::fromStdString(result->error.field)};
    }
    card->verdicts()->setVerdicts(lines);
}

void CardsColumn::refresh()
{
    lineUp();
    for (std::size_t i = 0; i < entries_.size(); ++i)
        fill(entries_[i], i);
    const auto chosen = workbench_.chosenIndex();
    newCard_->setSlot(int(entries_.size()));
    newCard_->setCopyOf(chosen ? housingLetter(int(*chosen)) : QString());
    drawCuts();
    tellCursor();
    tellCautions();
    offerFirst();
}

void CardsColumn::drawCuts()
{
    const PlotPalette palette = currentPlotPalette();
    const CutFace face{.pixelsPerMm = 1,
                       .scaleBar = viewport()->width() > px(380),
                       .dimensions = false,
                       .words = false,
                       .travel = false,
                       .arrows = true,
                       .units = workbench_.units()};
    int room = px(viewport()->width() > px(380) ? 150 : 104);
    for (const Entry& entry : entries_)
        if (entry.card->isVisible()) room = std::min(room, std::max(px(60), entry.card->roomForCut()));
    const QSizeF box(room, px(100));
    std::vector<std::pair<Entry*, CutGeometry>> drawn;
    double scale = 0;
    for (std::size_t i = 0; i < entries_.size(); ++i) {
        const auto input = cutInputOf(workbench_.document().shown(), i);
        if (!input) {
            entries_[i].cut->clearCut();
            continue;
        }
        drawn.emplace_back(&entries_[i], cutGeometry(*input));
        const double fitting = fittingPixelsPerMm(drawn.back().second, box, face, QFontMetricsF(font()));
        scale = scale == 0 ? fitting : std::min(scale, fitting);
    }
    for (auto& [entry, geometry] : drawn) {
        CutFace own = face;
        own.pixelsPerMm = scale;
        entry->cut->setPlotPalette(palette);
        entry->cut->setFace(own);
        entry->cut->setPixelsPerMm(scale);
        entry->cut->setCut(geometry);
        // Just as high as what is drawn, so that the verdicts below begin where the figures end.
        const QSizeF size = cutSize(geometry, own, QFontMetricsF(font()));
        entry->cut->setFixedHeight(std::max(px(40), int(std::ceil(size.height()))));
        entry->cut->setAccessibleName(tr("Cut through %1").arg(entry->card->name()));
    }
}

void CardsColumn::tellCursor()
{
    for (Entry& entry : entries_) {
        const HousingResult* result = workbench_.computation().find(entry.id);
        const auto at = result ? workbench_.atCursor(*result) : std::nullopt;
        entry.card->setFigures(cardFigures(result, at, workbench_.cursor(), workbench_.units()));
        entry.cut->setCursor(cutAtCursor(at));
    }
}

void CardsColumn::tellCautions()
{
    double loudest = -std::numeric_limits<double>::infinity();
    for (const HousingResult& result : workbench_.computation().results())
        if (result.visible && result.computed) loudest = std::max(loudest, loudestShown(result.computed->curves));
    const auto sentences = cautions(loudest, workbench_.units());
    caution_->setState(Mark::note, tr("Caution"),
                       sentences.empty() ? QString() : QString::fromStdString(sentences.front()));
    QStringList all;
    for (const std::string& sentence : sentences)
        all << QString::fromStdString(sentence);
    caution_->setToolTip(all.join(QStringLiteral("\n\n")));
    caution_->setVisible(!entries_.empty());
    moreCautions_->setVisible(!entries_.empty());
}

void CardsColumn::moveHousing(const std::string& id, int by)
{
    const auto from = indexOf(id);
    if (!from) return;
    const int to = std::clamp(int(*from) + by, 0, int(workbench_.project().housings.size()) - 1);
    workbench_.document().edit(tr("Move Housing"), [&](Project& p) { portwright::move(p, *from, std::size_t(to)); });
}

void CardsColumn::removeHousing(const std::string& id)
{
    const auto index = indexOf(id);
    if (!index) return;
    commitTyping();
    const auto& housings = workbench_.project().housings;
    if (workbench_.chosenIndex() == index && housings.size() > 1)
        workbench_.choose(housings[*index > 0 ? *index - 1 : 1].id);
    workbench_.document().edit(tr("Remove Housing"),
                               [&](Project& p) { p.housings.erase(p.housings.begin() + std::ptrdiff_t(*index)); });
}

void CardsColumn::copyHousing(const std::string& id)
{
    const auto index = indexOf(id);
    if (!index) return;
    commitTyping();
    const Housing copy = copyOf(workbench_.project(), *index);
    workbench_.document().edit(tr("Copy Housing"), [&](Project& p) {
        p.housings.insert(p.housings.begin() + std::ptrdiff_t(*index) + 1, copy);
    });
    workbench_.choose(copy.id);
}

void CardsColumn::offerFirst()
{
    const DriverSheet* driver = workbench_.driver();
    if (offered_ || !workbench_.project().housings.empty() || !driver || !complete(*driver)) return;
    offered_ = true;
    newCard_->setStart(startOfNew());
    newCard_->offer();
}

NewHousing CardsColumn::startOfNew()
{
    const Housing* chosen = workbench_.chosenHousing();
    const HousingResult* result = workbench_.chosenResult();
    NewHousing start{.kind = chosen ? NewHousing::Kind::ported : NewHousing::Kind::sealed,
                     .netVolume = chosen ? chosen->cavity.netVolume : 1.6e-3,
                     .tuning = 80,
                     .leakQ = 10};
    if (result && result->computed) start.netVolume = result->computed->model.housing.cavity.netVolume;
    if (result && result->computed && result->computed->summary.fb) start.tuning = *result->computed->summary.fb;
    return start;
}

void CardsColumn::openNew()
{
    newCard_->setStart(startOfNew());
    newCard_->open();
    QTimer::singleShot(0, this, [this] { ensureWidgetVisible(newCard_, 0, px(8)); });  // once it has its height
}

void CardsColumn::copyChosen()
{
    if (const Housing* h = workbench_.chosenHousing()) copyHousing(std::string(h->id));
}
void CardsColumn::removeChosen()
{
    if (const Housing* h = workbench_.chosenHousing()) removeHousing(std::string(h->id));
}
void CardsColumn::renameChosen()
{
    if (const Housing* h = workbench_.chosenHousing())
        if (HousingCard* found = card(h->id)) found->rename();
}
void CardsColumn::moveChosen(int by)
{
    if (const Housing* h = workbench_.chosenHousing()) moveHousing(std::string(h->id), by);
}
void CardsColumn::toggleChosen()
{
    if (const Housing* h = workbench_.chosenHousing())
        workbench_.computation().setHidden(h->id, !workbench_.computation().hidden(h->id));
}

void CardsColumn::resizeEvent(QResizeEvent* event)
{
    QScrollArea::resizeEvent(event);
    if (event->size().width() != event->oldSize().width()) drawCuts();
}

}  // namespace portwright
