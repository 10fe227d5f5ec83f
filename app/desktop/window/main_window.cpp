// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/main_window.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/question_bar.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/window/help_window.h"
#include "app/desktop/window/notes_page.h"
#include "core/sizing/sizing.h"

#include <QApplication>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QLineEdit>
#include <QMenu>
#include <QMenuBar>
#include <QSplitter>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTimer>
#include <QToolButton>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace portwright {

MainWindow::MainWindow(Folders folders, QWidget* parent)
    : QMainWindow(parent), folders_(std::move(folders)),
      recovery_(new Recovery(workbench_.document(), folders_.state, this)),
      files_(new ProjectFiles(workbench_.document(), *recovery_, folders_.state, this))
{
    const auto preferences = readPreferences(folders_);
    const auto state = readWindowState(folders_);
    preferences_ = preferences.value;
    state_ = state.value;
    setAcceptDrops(true);
    setAccessibleName(tr("Portwright"));
    setMinimumSize(px(760), px(520));
    buildBody();
    buildStatus();
    buildMenus();
    connectParts();
    connectFiles();
    applyPreferences();
    files_->setRecent(state_.recent);
    restoreWindow();
    showStation(state_.station);
    refreshNow();
    tellTitle();
    centre_->charts()->chart(ChartsPage::level)->setFocus();
    for (const QString& damaged : {preferences.damaged, state.damaged})
        if (!damaged.isEmpty())
            ask({.words = damaged.mid(damaged.indexOf(QLatin1Char(' ')) + 1),
                 .verbs = {tr("Close")},
                 .mainVerb = -1,
                 .answer = {}});
}

MainWindow::~MainWindow()
{
    if (QWidget* field = focusWidget()) field->clearFocus();  // it commits on leaving: while there is a project
    workbench_.document().disconnect(this);
    workbench_.disconnect(this);
}

void MainWindow::buildBody()
{
    auto* body = new QWidget;
    auto* column = new QVBoxLayout(body);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    path_ = new PathStrip;
    questions_ = new QuestionBar;
    questions_->hide();
    column->addWidget(path_);
    column->addWidget(questions_);

    editorColumn_ = new QWidget;
    auto* left = new QVBoxLayout(editorColumn_);
    left->setContentsMargins(0, 0, 0, 0);
    left->setSpacing(0);
    editorStack_ = new QStackedWidget;
    const std::array<QString, stationCount> names{tr("Radio"),  tr("Amplifier"), tr("Driver"),
                                                  tr("Cavity"), tr("Opening"),   tr("Rider")};
    const std::array<StationForm, stationCount> forms{radioForm(),  amplifierForm(), driverForm(),
                                                      cavityForm(), openingForm(),   riderForm()};
    for (std::size_t i = 0; i < editors_.size(); ++i) {
        editors_[i] = new StationEditor(workbench_, names[i], forms[i]);
        editorStack_->addWidget(editors_[i]);
    }
    notes_ = new NotesPage(workbench_);
    editorStack_->addWidget(notes_);
    largeCutTitle_ = new LetteredLabel({}, Letters::readout);
    largeCutTitle_->setWordWrap(true);  // a long name must not widen the column
    largeCutTitle_->setContentsMargins(px(14), px(4), px(14), 0);
    largeCut_ = new CutView;
    largeCut_->setAccessibleName(tr("Large cut of the chosen housing"));
    left->addWidget(editorStack_, 1);
    left->addWidget(largeCutTitle_);
    auto* framed = new QHBoxLayout;
    framed->setContentsMargins(px(14), px(4), px(14), px(8));
    framed->addWidget(largeCut_);
    left->addLayout(framed);

    centre_ = new CentrePage(workbench_);
    cards_ = new CardsColumn(workbench_);
    columns_ = new QSplitter(Qt::Horizontal);
    columns_->setHandleWidth(1);
    columns_->setChildrenCollapsible(false);
    for (QWidget* one : std::initializer_list<QWidget*>{editorColumn_, centre_, cards_})
        columns_->addWidget(one);
    columns_->setStretchFactor(1, 1);
    ledger_ = new LedgerView;
    ledger_->setAccessibleName(tr("Where the bass went"));
    rows_ = new QSplitter(Qt::Vertical);
    rows_->setHandleWidth(1);
    rows_->setChildrenCollapsible(false);
    rows_->addWidget(columns_);
    rows_->addWidget(ledger_);
    rows_->setStretchFactor(0, 1);
    column->addWidget(rows_, 1);
    setCentralWidget(body);
}

void MainWindow::buildStatus()
{
    QStatusBar* bar = statusBar();
    bar->setSizeGripEnabled(false);
    bar->setContentsMargins(px(10), 0, px(10), 0);
    saved_ = new DimLabel({});
    airText_ = new DimLabel({});
    timing_ = new DimLabel({});
    unitsButton_ = new QToolButton;
    unitsButton_->setAutoRaise(true);
    unitsButton_->setToolTip(tr("Switch between metric and US units; no value changes"));
    connect(unitsButton_, &QToolButton::clicked, this, [this] { usUnits_->trigger(); });
    bar->addWidget(saved_);
    bar->addWidget(airText_, 1);
    bar->addPermanentWidget(timing_);
    bar->addPermanentWidget(unitsButton_);
    bar->addPermanentWidget(new DimLabel(QLocale::languageToString(QLocale::English)));
}

void MainWindow::connectParts()
{
    connect(&workbench_.computation(), &Computation::updated, this, &MainWindow::refreshNow);
    connect(&workbench_, &Workbench::chosenChanged, this, &MainWindow::refreshNow);
    connect(&workbench_, &Workbench::unitsChanged, this, &MainWindow::refreshNow);
    connect(&workbench_, &Workbench::cursorChanged, this, [this] {
        tellLedger();
        tellLargeCut();
    });
    connect(&workbench_, &Workbench::jumpWanted, this, &MainWindow::jump);
    connect(&workbench_, &Workbench::findWanted, this, [this] { centre_->showPage(CentrePage::findPage); });
    connect(&workbench_, &Workbench::partsWanted, this, &MainWindow::showParts);
    connect(&workbench_, &Workbench::measureWanted, this, [this] { centre_->showPage(CentrePage::measurePage); });
    connectLargeCut();
    connect(&workbench_.document(), &Document::unsavedChanged, this, &MainWindow::tellTitle);
    connect(&workbench_.document(), &Document::replaced, this, [this] {
        centre_->charts()->fit();
        centre_->charts()->forgetViews();
        if (hintsOn_) QTimer::singleShot(400, this, &MainWindow::showHints);
    });
    connect(path_, &PathStrip::stationChosen, this, &MainWindow::showStation);
    connect(path_, &PathStrip::markClicked, this, [this](int station) {
        const StationAt& at = stations_[std::size_t(station)];
        if (!at.housing.empty()) workbench_.choose(at.housing);
        jump(station, at.field);
    });
    connect(ledger_, &LedgerView::causeClicked, this, &MainWindow::causeClicked);
    connect(ledger_, &LedgerView::startClicked, this, [this] { jump(int(Station::driver), {}); });
    connect(ledger_, &LedgerView::endClicked, this,
            [this] { jump(int(Station::rider), QStringLiteral("place/distance_m")); });
    connect(ledger_, &LedgerView::slotChosen, this, [this](int slot) {
        const auto& housings = workbench_.project().housings;
        if (slot >= 0 && std::size_t(slot) < housings.size())
            workbench_.choose(std::string(housings[std::size_t(slot)].id));
    });
    connect(cards_, &CardsColumn::cautionsWanted, this,
            [this] { emit workbench_.helpWanted(QStringLiteral("cautions")); });
    connect(centre_, &CentrePage::drawerWanted, this, &MainWindow::toggleDrawer);
    connect(centre_, &CentrePage::pageShown, this, &MainWindow::layOut);
    connect(centre_->emptyState(), &EmptyState::mainActionWanted, this,
            [this] { jump(int(Station::driver), QStringLiteral("driver/fs_hz")); });
    connect(centre_->emptyState(), &EmptyState::sampleWanted, this, [this] {
        if (!samples().isEmpty()) openSample(samples().first());
    });
    connect(&workbench_, &Workbench::helpWanted, this, [this](const QString& topic) {
        if (!help_) help_ = new HelpWindow(this);
        help_->showTopic(topic);
        help_->show();
        help_->raise();
    });
}

void MainWindow::refreshNow()
{
    workbench_.computation().results();
    editors_[std::size_t(state_.station)]->refresh();
    centre_->refresh();
    cards_->refresh();
    tellStations();
    tellLedger();
    tellLargeCut();
    tellStatus();
    for (QAction* action : housingActions_)
        action->setEnabled(workbench_.chosenIndex().has_value());
    if (titleEdit_ && !titleEdit_->hasFocus()) showTitle();
    layOut();
}

void MainWindow::tellStations()
{
    stations_ = stationsOf(workbench_);
    std::array<StationState, stationCount> shown;
    for (std::size_t i = 0; i < shown.size(); ++i)
        shown[i] = stations_[i].state;
    path_->setStations(shown);
}

void MainWindow::tellLedger()
{
    std::vector<LedgerColumn> ledgers;
    for (const HousingResult& result : workbench_.computation().results()) {
        if (!result.computed || !result.visible ||
            (!workbench_.newcomer().empty() && result.id == workbench_.newcomer()))
            continue;
        if (auto ledger = ledgerOf(result.computed->model, workbench_.cursor(), workbench_.units()))
            ledgers.push_back({.slot = result.slot, .name = result.name, .ledger = std::move(*ledger)});
    }
    ledger_->setVisible(!ledgers.empty());
    ledger_->setPlotPalette(currentPlotPalette());
    ledger_->setLedgers(std::move(ledgers));
    const auto chosen = workbench_.chosenIndex();
    ledger_->setChosen(chosen ? int(*chosen) : -1);
    if (ledger_->model()->rows().size() != ledgerRows_) {  // another cause is in play
        ledgerRows_ = ledger_->model()->rows().size();
        sizeLedger();
    }
}

/// In a wide window always; else where the fields of a port that it draws stand, while these keep the larger part.
bool MainWindow::roomForLargeCut() const
{
    constexpr double leastColumn = 380;
    if (wide_) return true;
    const Housing* housing = workbench_.chosenHousing();
    return housing && state_.station == int(Station::opening) && editorStack_->currentWidget() != notes_ &&
           editorColumn_->height() >= px(leastColumn) &&
           std::any_of(housing->openings.begin(), housing->openings.end(),
                       [](const Opening& o) { return std::holds_alternative<PortOpening>(o.kind); });
}

void MainWindow::tellLargeCut()
{
    const auto chosen = workbench_.chosenIndex();
    const auto input = chosen && roomForLargeCut() ? cutInputOf(workbench_.document().shown(), *chosen)
                                                   : Result<CutInput>(fail({}, {}));
    largeCut_->setVisible(input.has_value());
    largeCutTitle_->setVisible(input.has_value() && wide_);
    if (!input) return;
    largeCut_->setMinimumHeight(px(wide_ ? 190 : 118));
    largeCut_->setMaximumHeight(wide_ ? QWIDGETSIZE_MAX : px(118));
    largeCutTitle_->setText(QString::fromStdString(workbench_.chosenHousing()->name));
    largeCut_->setPlotPalette(currentPlotPalette());
    largeCut_->setFace({.pixelsPerMm = 0,
                        .scaleBar = true,
                        .dimensions = true,
                        .words = wide_,
                        .travel = true,
                        .arrows = true,
                        .units = workbench_.units()});
    largeCut_->setCut(cutGeometry(*input));
    const HousingResult* result = workbench_.chosenResult();
    largeCut_->setCursor(cutAtCursor(result ? workbench_.atCursor(*result) : std::nullopt));
}

/// A port's inner end dragged in the large cut is its length typed: previewed, then one step.
void MainWindow::connectLargeCut()
{
    largeCut_->setLengthsDraggable(true);
    const auto cut = [this](Project& p, std::size_t number, double length) {
        const auto chosen = workbench_.chosenIn(p);
        if (!chosen) return;
        for (Opening& opening : p.housings[*chosen].openings)
            if (auto* port = std::get_if<PortOpening>(&opening.kind); port && number-- == 0) {
                *port = cutTo(*port, length);
                return;
            }
    };
    connect(largeCut_, &CutView::lengthDragged, this, [this, cut](std::size_t port, double length) {
        workbench_.document().preview([&](Project& p) { cut(p, port, length); });
    });
    connect(largeCut_, &CutView::lengthDropped, this, [this, cut](std::size_t port, double length) {
        workbench_.document().edit(tr("Change Length"), [&](Project& p) { cut(p, port, length); });
    });
    connect(largeCut_, &CutView::dragGivenUp, this, [this] { workbench_.document().endPreview(); });
}

void MainWindow::tellStatus()
{
    const auto air = airAt(workbench_.document().shown().air.value_or(AirConditions{}));
    if (air) {
        const double altitude = workbench_.document().shown().air.value_or(AirConditions{}).altitude.value_or(0);
        const bool byPressure = workbench_.document().shown().air && workbench_.document().shown().air->pressure;
        QLocale locale;
        locale.setNumberOptions(QLocale::OmitGroupSeparator);
        airText_->setText(tr("Air %1, %2, %3\u00A0%: density %4\u00A0kg/m\u00B3, sound %5")
                              .arg(figureText(air->temperature, Dimension::temperature, workbench_.units()),
                                   byPressure ? figureText(air->pressure, Dimension::pressure, workbench_.units())
                                              : figureText(altitude, Dimension::distance, workbench_.units()),
                                   locale.toString(air->relativeHumidity * 100, 'f', 0),
                                   locale.toString(air->rho, 'f', 3),
                                   figureText(air->c, Dimension::airSpeed, workbench_.units())));
    }
    const auto count = workbench_.computation().results().size();
    const QString ms = QLocale().toString(workbench_.computation().milliseconds(), 'f', 1);
    timing_->setText(count == 1 ? tr("1 housing computed in %1\u00A0ms").arg(ms)
                                : tr("%1 housings computed in %2\u00A0ms").arg(count).arg(ms));
    timing_->setVisible(count > 0);
    unitsButton_->setText(workbench_.units() == UnitSystem::us ? tr("in \u00B7 ft\u00B3 \u00B7 \u00B0F")
                                                               : tr("mm \u00B7 L \u00B7 \u00B0C"));
    unitsButton_->setAccessibleName(workbench_.units() == UnitSystem::us ? tr("Units: US") : tr("Units: metric"));
    QString saved = files_->path().isEmpty()          ? tr("Never saved")
                    : workbench_.document().unsaved() ? tr("Unsaved changes")
                                                      : tr("Saved");
    if (files_->savedAt() && !workbench_.document().unsaved() && !files_->path().isEmpty())
        saved = tr("Saved %1").arg(files_->savedAt()->time().toString(QStringLiteral("HH:mm")));
    saved_->setText(saved);
}

void MainWindow::tellTitle()
{
    workbench_.setProjectFolder(files_->path().isEmpty() ? QString() : QFileInfo(files_->path()).path());
    setWindowTitle(tr("%1[*] \u2013 Portwright").arg(files_->name()));
    setWindowModified(workbench_.document().unsaved());
    tellStatus();
}

void MainWindow::showTitle()
{
    titleEdit_->setText(QString::fromStdString(workbench_.project().title));
    titleEdit_->setCursorPosition(0);
    const int wanted = titleEdit_->fontMetrics().horizontalAdvance(titleEdit_->text()) + px(20);
    titleEdit_->setMinimumWidth(qBound(px(150), wanted, qMax(px(150), width() / 3)));
    menuBar()->cornerWidget()->adjustSize();
    menuBar()->adjustSize();
}

void MainWindow::showStation(int station)
{
    if (station < 0 || station >= stationCount) return;
    commitTyping();
    editors_[std::size_t(station)]->refresh();
    editorStack_->setCurrentIndex(station);
    path_->setChosen(station);
    state_.station = station;
    tellLargeCut();
}

void MainWindow::showNotes()
{
    commitTyping();
    notes_->refresh();
    editorStack_->setCurrentWidget(notes_);
    tellLargeCut();
    notes_->notes()->setFocus();
}

void MainWindow::jump(int station, const QString& field)
{
    showStation(station);
    if (!field.isEmpty()) editors_[std::size_t(station)]->jumpTo(field);
}

void MainWindow::causeClicked(int cause)
{
    const HousingResult* result = workbench_.chosenResult();
    if (!result || !result->computed || cause < 0 || cause >= causeCount) return;
    const auto [station, field] = placeOf(static_cast<Cause>(cause), *result->computed);
    jump(int(station), field);
}

void MainWindow::applyPreferences()
{
    applyTheme(static_cast<Theme>(preferences_.theme));
    if (auto* style = qobject_cast<WorkshopStyle*>(QApplication::style()))
        style->setReducedMotion(preferences_.reduceMotion);
    ledger_->setReducedMotion(preferences_.reduceMotion);
    largeCut_->setReducedMotion(preferences_.reduceMotion);
    workbench_.setUnits(preferences_.units);
    if (usUnits_) usUnits_->setChecked(preferences_.units == UnitSystem::us);
    if (reduceMotion_) reduceMotion_->setChecked(preferences_.reduceMotion);
    centre_->charts()->setBands(preferences_.uncertaintyBands);
    if (bands_) bands_->setChecked(preferences_.uncertaintyBands);
}

}  // namespace portwright
