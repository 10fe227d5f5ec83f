// SPDX-License-Identifier: GPL-3.0-or-later
// The window: path strip, editor, charts, cards, ledger; menus and what they do.
#pragma once

#include "app/desktop/components/path_strip.h"
#include "app/desktop/session/folders.h"
#include "app/desktop/session/preferences.h"
#include "app/desktop/session/project_files.h"
#include "app/desktop/session/recovery.h"
#include "app/desktop/session/workbench.h"
#include "app/desktop/stations/station_editor.h"
#include "app/desktop/stations/stations.h"
#include "app/desktop/window/cards_column.h"
#include "app/desktop/window/centre_page.h"
#include "plots/ledger/ledger_view.h"

#include <QMainWindow>

#include <deque>

class QActionGroup;
class QLabel;
class QLineEdit;
class QPrinter;
class QSplitter;
class QStackedWidget;
class QToolButton;

namespace portwright {

class HelpWindow;
class HintSlip;
class NotesPage;
class PartsWindow;
class QuestionBar;

class MainWindow : public QMainWindow {
    Q_OBJECT
public:
    explicit MainWindow(Folders folders, QWidget* parent = nullptr);
    ~MainWindow() override;

    Workbench& workbench() { return workbench_; }
    ProjectFiles& files() { return *files_; }
    Recovery& recovery() { return *recovery_; }
    CentrePage* centre() const { return centre_; }
    CardsColumn* cards() const { return cards_; }
    LedgerView* ledger() const { return ledger_; }
    PathStrip* path() const { return path_; }
    QuestionBar* questionBar() const { return questions_; }
    StationEditor* editor(Station station) const { return editors_[std::size_t(station)]; }
    NotesPage* notes() const { return notes_; }
    HelpWindow* help() const { return help_; }
    PartsWindow* parts() const { return parts_; }  ///< null until it was asked for

    void showStation(int station);
    void showNotes();                    ///< title and notes of the job, in the place of the station's form
    bool openFile(const QString& path);  ///< asks about unsaved work first
    void offerLeftWork();                ///< after a crash
    void showHintsAtStart();             ///< now, or when the first housing is there
    void refreshNow();                   ///< everything that shows results
    static QStringList samples();        ///< resource paths

    struct Question {
        QString words;
        QStringList verbs;
        int mainVerb = -1;
        std::function<void(int)> answer;
    };
    void ask(Question question);

    /// The sheet of the housings shown, in the units shown, as the name's ending says: .png, .svg, .pdf. Whole or not
    /// at all; what failed is told with file, cause and way out.
    bool exportComparison(const QString& path);
    bool printComparison(QPrinter& printer);  ///< on its page layout, as vectors

protected:
    void closeEvent(QCloseEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dropEvent(QDropEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool event(QEvent* event) override;

private:
    // construction (main_window.cpp)
    void buildBody();
    void buildStatus();
    void connectParts();
    void tellStatus();
    void tellTitle();
    void showTitle();
    void tellStations();
    void tellLedger();
    void tellLargeCut();
    bool roomForLargeCut() const;
    void connectLargeCut();
    void jump(int station, const QString& field);
    void causeClicked(int cause);
    void applyPreferences();
    // menus (window_menus.cpp)
    void buildMenus();
    void buildCorner();
    void buildFileMenu();
    void buildEditMenu();
    void buildHousingMenu();
    void buildChartMenu();
    void buildViewMenu();
    void buildHelpMenu();
    void fillRecent();
    void inkCorner();
    void copySelection();
    void copyHousingText();
    void pasteHousingText();
    // files (window_files.cpp)
    void connectFiles();
    bool maySetAside();  ///< Save / Discard / Cancel once
    void openByDialog();
    void openSample(const QString& resource);
    void startNew();
    bool save();
    bool saveAs();
    void showNext();
    // paper (window_output.cpp)
    QStringList shownHousings();
    void tell(const QString& sentence);
    void exportByDialog();
    void showParts();
    void printByDialog();
    // layout (window_layout.cpp)
    void layOut();
    void toggleDrawer();
    void placeDrawer();
    void resetLayout();
    void sizeLedger();
    void restoreWindow();
    void keepWindow();
    void showHints();
    void showHint(int number);
    void showHelpForFocus();

    Folders folders_;
    Preferences preferences_;
    WindowState state_;
    Workbench workbench_;
    Recovery* recovery_;
    ProjectFiles* files_;

    PathStrip* path_ = nullptr;
    QuestionBar* questions_ = nullptr;
    std::deque<Question> asked_;
    QWidget* editorColumn_ = nullptr;
    QStackedWidget* editorStack_ = nullptr;
    std::array<StationEditor*, stationCount> editors_{};
    NotesPage* notes_ = nullptr;
    std::array<StationAt, stationCount> stations_;
    QLabel* largeCutTitle_ = nullptr;
    CutView* largeCut_ = nullptr;
    CentrePage* centre_ = nullptr;
    CardsColumn* cards_ = nullptr;
    LedgerView* ledger_ = nullptr;
    QSplitter *columns_ = nullptr, *rows_ = nullptr;
    QLineEdit* titleEdit_ = nullptr;
    QLabel *saved_ = nullptr, *airText_ = nullptr, *timing_ = nullptr;
    QToolButton* unitsButton_ = nullptr;
    QMenu* recentMenu_ = nullptr;
    QAction *undo_ = nullptr, *redo_ = nullptr, *save_ = nullptr, *tableAction_ = nullptr, *usUnits_ = nullptr,
            *reduceMotion_ = nullptr, *bands_ = nullptr;
    QList<QAction*> housingActions_;
    QActionGroup* themes_ = nullptr;
    std::array<QToolButton*, 3> corner_{};
    HelpWindow* help_ = nullptr;
    PartsWindow* parts_ = nullptr;
    HintSlip* hint_ = nullptr;
    std::size_t ledgerRows_ = 0;
    bool hintsOn_ = false;
    bool drawerOpen_ = false, narrow_ = false, wide_ = false, laidOut_ = false;
};

}  // namespace portwright
