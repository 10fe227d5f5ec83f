// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/search/search_wishes.h"
#include "app/desktop/session/long_task.h"
#include "app/desktop/session/workbench.h"
#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/cavity/port_exchange.h"
#endif

#include <QPointer>
#include <QWidget>

class QLabel;
class QListWidget;
class QPushButton;
class QSplitter;
class QStackedWidget;

namespace portwright {

class ScatterView;
class SearchForm;
class SegmentSwitch;
class SlotTag;
class StateLine;
class ValueTable;

/// Which port? Wishes, a search away from the window, and the ranking as a table beside a scatter of level against air
/// speed, chosen and pointed at together, below the port there is now; what was left out with its reasons. A port found
/// becomes a housing of its own, which is then the chosen one; the ranking stays that of the housing searched for until
/// this one or the wishes are others, another one is chosen or the page is left.
class SearchPage : public QWidget {
    Q_OBJECT
public:
    explicit SearchPage(Workbench& workbench, QWidget* parent = nullptr);

    SearchForm* form() const { return form_; }
    ValueTable* table() const { return table_; }
    ScatterView* scatter() const { return scatter_; }
    QListWidget* leftOut() const { return leftOut_; }
    QPushButton* searchButton() const { return search_; }
    QPushButton* takeButton() const { return take_; }
    StateLine* state() const { return state_; }
    LongTask& task() { return task_; }
    SearchWishes& wishes() { return wishes_; }
    const SearchResult* result() const;  ///< null while there is none for these inputs

    void refresh();
    void start();
    void takeFocus();    ///< to the ranking, or to the button where there is none
    void takeCurrent();  ///< the chosen port into a new housing, one undo step
    void showLeftOut(bool leftOut);

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void hideEvent(QHideEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Found {
        HousingInputs of;
        SearchWishes wishes;
        SearchRequest request;
        int opening = -1;
        SearchResult result;
    };
    /// A row of the table. Those with a port come first and are the points of the scatter, in the same order.
    struct Row {
        const FoundPort* port = nullptr;
        const OtherWay* way = nullptr;
        QString label = {};    ///< rank, or letter of the housing that has it
        bool present = false;  ///< what the housing has now: not to be taken
    };
    QWidget* buildHead();
    QWidget* buildSubject();
    void dressTable();
    QWidget* buildFound();
    const HousingResult* subject() const;  ///< the housing to search for; null: there is none
    const Computed* computed() const;      ///< the same, null unless it can be computed
    std::vector<Row> rows() const;
    std::optional<Row> rowAt(int row) const;
    bool sameInputs(const HousingInputs& a, const SearchWishes& wishes) const;
    QString bandText() const;  ///< "40 to 160 Hz"
    void showAll();
    bool tellAnew();
    void showSubject();
    void setHeads();
    void showTable();
    void showScatter();
    void showRejected();
    void showState();
    void showChosen();
    QString againstPresent(const FoundPort& port) const;
    void choose(int row);
    void point(int row);
    void place();
    /// As it goes into the job; the notes on its net volume with it, or why it cannot be.
    Result<PortExchange> housingOf(const Row& row) const;

    Workbench& workbench_;
    SearchWishes wishes_;
    LongTask task_;
    std::optional<Found> found_;
    QString refusal_;
    std::string added_;   ///< id of the housing made last; while it is the chosen one, the ranking stays
    QString addedNotes_;  ///< on its net volume
    bool tellAdded_ = false;
    QPointer<QWidget> startedFrom_;  ///< what had the focus when the search began
    SearchForm* form_;
    ScatterView* scatter_;
    ValueTable* table_;
    QListWidget* leftOut_;
    SegmentSwitch* which_;
    QStackedWidget* lists_;
    QPushButton *search_, *take_;
    StateLine* state_;
    QLabel* details_;
    SlotTag* tag_;
    QLabel *name_, *what_;
    std::optional<UnitSystem> headUnits_;
    QString headBand_;
    QSplitter *columns_ = nullptr, *pictures_ = nullptr;
    std::optional<bool> beside_;
};

}  // namespace portwright
