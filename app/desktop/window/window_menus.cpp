// SPDX-License-Identifier: GPL-3.0-or-later
// The menus of MainWindow, and the four everyday actions in their corner.
#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/session/housing_edits.h"
#include "app/desktop/window/help_window.h"
#include "app/desktop/window/main_window.h"
#include "core/document/project_file.h"

#include <QActionGroup>
#include <QApplication>
#include <QClipboard>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QLineEdit>
#include <QMenu>
#include <QMenuBar>
#include <QToolButton>

namespace portwright {
namespace {

constexpr const char* cornerIcons[] = {"undo", "redo", "save"};

QAction* action(QMenu* menu, const QString& words, const QKeySequence& keys, QObject* context,
                const std::function<void()>& act)
{
    QAction* made = menu->addAction(words);
    made->setShortcut(keys);
    QObject::connect(made, &QAction::triggered, context, [act] { act(); });
    return made;
}

}  // namespace

void MainWindow::buildMenus()
{
    buildFileMenu();
    buildEditMenu();
    buildHousingMenu();
    buildChartMenu();
    buildViewMenu();
    buildHelpMenu();
    buildCorner();
}

void MainWindow::buildFileMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("&File"));
    action(menu, tr("&New"), QKeySequence::New, this, [this] { startNew(); });
    action(menu, tr("&Open\u2026"), QKeySequence::Open, this, [this] { openByDialog(); });
    recentMenu_ = menu->addMenu(tr("Open &Recent"));
    QMenu* sampleMenu = menu->addMenu(tr("Sa&mple Jobs"));
    for (const QString& resource : samples()) {
        QString name = QFileInfo(resource).completeBaseName().replace(QLatin1Char('-'), QLatin1Char(' '));
        name[0] = name[0].toUpper();
        action(sampleMenu, name, {}, this, [this, resource] { openSample(resource); });
    }
    menu->addSeparator();
    save_ = action(menu, tr("&Save"), QKeySequence::Save, this, [this] { save(); });
    action(menu, tr("Save &As\u2026"), QKeySequence(tr("Ctrl+Shift+S")), this, [this] { saveAs(); });
    menu->addSeparator();
    housingActions_ << action(menu, tr("&Export Comparison\u2026"), QKeySequence(tr("Ctrl+E")), this,
                              [this] { exportByDialog(); });
    housingActions_ << action(menu, tr("Ma&ke Parts\u2026"), QKeySequence(tr("Ctrl+K")), this, [this] { showParts(); });
    housingActions_ << action(menu, tr("&Print\u2026"), QKeySequence::Print, this, [this] { printByDialog(); });
    menu->addSeparator();
    action(menu, tr("&Job Notes\u2026"), QKeySequence(tr("Ctrl+J")), this, [this] { showNotes(); });
    menu->addSeparator();
    action(menu, tr("&Quit"), QKeySequence(tr("Ctrl+Q")), this, [this] { close(); });
    connect(files_, &ProjectFiles::recentChanged, this, [this](const QStringList& recent) {
        state_.recent = recent;
        fillRecent();
    });
}

void MainWindow::fillRecent()
{
    recentMenu_->clear();
    for (const QString& path : files_->recent()) {
        QAction* one = recentMenu_->addAction(QFileInfo(path).fileName());
        one->setToolTip(path);
        one->setStatusTip(path);
        connect(one, &QAction::triggered, this, [this, path] {
            if (!QFileInfo::exists(path)) files_->forgetRecent(path);  // looked at here, not at start
            openFile(path);
        });
    }
    recentMenu_->setEnabled(!files_->recent().isEmpty());
}

void MainWindow::buildEditMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("&Edit"));
    QUndoStack& history = workbench_.document().history();
    undo_ = history.createUndoAction(this, tr("&Undo"));
    undo_->setShortcuts(QKeySequence::Undo);
    redo_ = history.createRedoAction(this, tr("&Redo"));
    redo_->setShortcuts({QKeySequence(tr("Ctrl+Shift+Z")), QKeySequence(tr("Ctrl+Y"))});
    menu->addAction(undo_);
    menu->addAction(redo_);
    menu->addSeparator();
    action(menu, tr("Copy &Table or Chart"), QKeySequence(tr("Ctrl+Alt+C")), this, [this] { copySelection(); });
}

void MainWindow::buildHousingMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("&Housing"));
    action(menu, tr("&Another Housing\u2026"), QKeySequence(tr("Ctrl+Shift+N")), this, [this] {
        if (narrow_ && !drawerOpen_) toggleDrawer();
        cards_->openNew();
    });
    const auto add = [&](const QString& words, const QKeySequence& keys, const std::function<void()>& act) {
        housingActions_ << action(menu, words, keys, this, act);
    };
    add(tr("&Copy Housing"), QKeySequence(tr("Ctrl+D")), [this] { cards_->copyChosen(); });
    add(tr("Rena&me"), QKeySequence(Qt::Key_F2), [this] { cards_->renameChosen(); });
    add(tr("Move &Up"), QKeySequence(tr("Ctrl+Up")), [this] { cards_->moveChosen(-1); });
    add(tr("Move &Down"), QKeySequence(tr("Ctrl+Down")), [this] { cards_->moveChosen(1); });
    add(tr("&Hide or Show"), QKeySequence(tr("Ctrl+H")), [this] { cards_->toggleChosen(); });
    add(tr("&Remove"), QKeySequence(tr("Ctrl+Shift+Backspace")), [this] { cards_->removeChosen(); });
    menu->addSeparator();
    add(tr("Copy to Clip&board"), QKeySequence(tr("Ctrl+Shift+C")), [this] { copyHousingText(); });
    action(menu, tr("&Paste from Clipboard"), QKeySequence(tr("Ctrl+Shift+V")), this, [this] { pasteHousingText(); });
    action(menu, tr("Show A&ll"), {}, this, [this] { workbench_.computation().showAll(); });
}

void MainWindow::buildChartMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("&Chart"));
    tableAction_ = action(menu, tr("Charts or &Table"), QKeySequence(tr("Ctrl+T")), this,
                          [this] { centre_->showTable(!centre_->showsTable()); });
    housingActions_ << action(menu, tr("&Measure the Cavity"), QKeySequence(tr("Ctrl+M")), this,
                              [this] { centre_->showPage(CentrePage::measurePage); });
    housingActions_ << action(menu, tr("Find a &Port"), QKeySequence(tr("Ctrl+F")), this,
                              [this] { centre_->showPage(CentrePage::findPage); });
    action(menu, tr("&Fit All"), QKeySequence(tr("Ctrl+0")), this, [this] { centre_->charts()->fit(); });
    QAction* back = action(menu, tr("&Back to Previous View"), {}, this, [this] { centre_->charts()->back(); });
    back->setText(back->text() + tr("\tBackspace"));  // shown only: the key is the focused chart's own
    action(menu, tr("Set Axis &Limits\u2026"), QKeySequence(tr("Ctrl+L")), this, [this] { centre_->openLimits(); });
    connect(menu, &QMenu::aboutToShow, this, [this, back] { back->setEnabled(centre_->charts()->canGoBack()); });
    connect(menu, &QMenu::aboutToHide, back, [back] { back->setEnabled(true); });
    action(menu, tr("Cursor to T&uning"), QKeySequence(tr("Ctrl+Home")), this,
           [this] { centre_->charts()->moveToTuning(); });
    action(menu, tr("Cursor to &3 dB Point"), QKeySequence(tr("Ctrl+End")), this,
           [this] { centre_->charts()->moveToThreeDecibel(); });
}

void MainWindow::buildViewMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("&View"));
    const QStringList names{tr("&Radio"), tr("&Amplifier"), tr("&Driver"), tr("&Cavity"), tr("&Opening"), tr("R&ider")};
    for (int i = 0; i < stationCount; ++i)
        action(menu, names[i], QKeySequence(tr("Alt+%1").arg(i + 1)), this, [this, i] { showStation(i); });
    menu->addSeparator();
    QMenu* theme = menu->addMenu(tr("&Theme"));
    themes_ = new QActionGroup(this);
    const QStringList themeNames{tr("As the &Desktop"), tr("&Light"), tr("D&ark")};
    for (int i = 0; i < 3; ++i) {
        QAction* one = action(theme, themeNames[i], {}, this, [this, i] {
            preferences_.theme = static_cast<ThemeChoice>(i);
            applyPreferences();
        });
        one->setCheckable(true);
        one->setChecked(int(preferences_.theme) == i);
        themes_->addAction(one);
    }
    usUnits_ = action(menu, tr("&US Units"), {}, this, [this] {
        preferences_.units = usUnits_->isChecked() ? UnitSystem::us : UnitSystem::metric;
        workbench_.setUnits(preferences_.units);
    });
    usUnits_->setCheckable(true);
    bands_ = action(menu, tr("U&ncertainty Bands"), {}, this, [this] {
        preferences_.uncertaintyBands = bands_->isChecked();
        applyPreferences();
    });
    bands_->setCheckable(true);
    reduceMotion_ = action(menu, tr("Reduce &Motion"), {}, this, [this] {
        preferences_.reduceMotion = reduceMotion_->isChecked();
        applyPreferences();
    });
    reduceMotion_->setCheckable(true);
    menu->addSeparator();
    action(menu, tr("Show &Housings"), QKeySequence(tr("Ctrl+B")), this, [this] { toggleDrawer(); });
    QAction* full = action(menu, tr("&Full Screen"), QKeySequence::FullScreen, this,
                           [this] { setWindowState(windowState() ^ Qt::WindowFullScreen); });
    if (full->shortcut().isEmpty()) full->setShortcut(Qt::Key_F11);
    action(menu, tr("Reset &Layout"), {}, this, [this] { resetLayout(); });
}

void MainWindow::buildHelpMenu()
{
    QMenu* menu = menuBar()->addMenu(tr("He&lp"));
    action(menu, tr("&Help on This"), QKeySequence::HelpContents, this, [this] { showHelpForFocus(); });
    action(menu, tr("&First Steps"), {}, this, [this] { emit workbench_.helpWanted(QStringLiteral("start")); });
    action(menu, tr("&Cautions"), {}, this, [this] { emit workbench_.helpWanted(QStringLiteral("cautions")); });
    action(menu, tr("Show the Hints A&gain"), {}, this, [this] {
        preferences_.hintsSeen = 0;
        showHints();
    });
    menu->addSeparator();
    action(menu, tr("&About Portwright"), {}, this, [this] { showAbout(this); });
}

void MainWindow::buildCorner()
{
    auto* corner = new QWidget;
    auto* row = new QHBoxLayout(corner);
    row->setContentsMargins(0, 0, px(8), 0);
    row->setSpacing(px(4));
    titleEdit_ = new TextLine;
    titleEdit_->setFrame(false);
    titleEdit_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    titleEdit_->setPlaceholderText(tr("Untitled job"));
    titleEdit_->setAccessibleName(tr("Title of the job"));
    titleEdit_->setToolTip(tr("Title of the job; click to change it"));
    titleEdit_->setMaxLength(120);
    titleEdit_->setMinimumWidth(px(220));
    titleEdit_->setFocusPolicy(Qt::ClickFocus);
    connect(titleEdit_, &QLineEdit::editingFinished, this, [this] {
        const std::string typed = titleEdit_->text().trimmed().toStdString();
        titleEdit_->setText(QString::fromStdString(typed));
        workbench_.document().edit(tr("Change Title"), [&](Project& p) { p.title = typed; });
    });
    row->addWidget(titleEdit_);
    const std::array<QAction*, 3> actions{undo_, redo_, save_};
    for (std::size_t i = 0; i < actions.size(); ++i) {
        corner_[i] = new QToolButton;
        corner_[i]->setDefaultAction(actions[i]);
        corner_[i]->setToolButtonStyle(Qt::ToolButtonIconOnly);
        corner_[i]->setAutoRaise(true);
        corner_[i]->setIconSize(QSize(px(18), px(18)));
        corner_[i]->setFocusPolicy(Qt::TabFocus);
        row->addWidget(corner_[i]);
    }
    corner_[0]->setAccessibleName(tr("Undo"));
    corner_[1]->setAccessibleName(tr("Redo"));
    corner_[2]->setAccessibleName(tr("Save"));
    menuBar()->setCornerWidget(corner, Qt::TopRightCorner);
    inkCorner();
}

void MainWindow::inkCorner()
{
    const std::array<QAction*, 3> actions{undo_, redo_, save_};
    for (std::size_t i = 0; i < actions.size(); ++i)
        actions[i]->setIcon(inkedIcon(QString::fromLatin1(cornerIcons[i]), currentPlotPalette()));
}

void MainWindow::copySelection()
{
    if (centre_->showsTable()) {
        centre_->table()->copy();
        return;
    }
    FrequencyChart* chart = centre_->charts()->chart(ChartsPage::level);
    for (int i = 0; i < 4; ++i)
        if (centre_->charts()->chart(ChartsPage::Which(i))->hasFocus())
            chart = centre_->charts()->chart(ChartsPage::Which(i));
    copyChart(*chart, QString::fromStdString(workbench_.project().title));
}

void MainWindow::copyHousingText()
{
    const Housing* housing = workbench_.chosenHousing();
    if (!housing) return;
    Project alone;
    alone.housings.push_back(*housing);
    if (const DriverSheet* driver = findDriver(workbench_.project(), housing->driver)) alone.drivers.push_back(*driver);
    QApplication::clipboard()->setText(QString::fromStdString(projectText(alone)));
}

void MainWindow::pasteHousingText()
{
    const auto loaded = parseProject(QApplication::clipboard()->text().toStdString());
    if (!loaded || loaded->project.housings.empty()) {
        ask({.words =
                 tr("There is no housing on the clipboard. Copy one first, by Copy to Clipboard in the Housing menu."),
             .verbs = {tr("Close")},
             .mainVerb = -1,
             .answer = {}});
        return;
    }
    std::string last;
    workbench_.document().edit(tr("Paste Housing"), [&](Project& p) {
        for (Housing housing : loaded->project.housings) {
            const DriverSheet* driver = findDriver(loaded->project, housing.driver);
            const DriverSheet* here = findDriver(p, housing.driver);
            if (driver && (!here || *here != *driver)) {
                DriverSheet fresh = *driver;
                if (here) fresh.id = freshDriverId(p);
                housing.driver = fresh.id;
                p.drivers.push_back(fresh);
            }
            housing.id = freshHousingId(p);
            last = housing.id;
            append(p, housing);
        }
    });
    workbench_.choose(last);
}

}  // namespace portwright
