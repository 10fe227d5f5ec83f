// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/search/search_wishes.h"
#include "app/desktop/session/long_task.h"
#include "app/desktop/window/workbench.h"

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
class StateLine;
class ValueTable;

/// Which port? Wishes, a search away from the window, and the ranking as a table beside a scatter of level against air
/// speed, chosen and pointed at together; what was left out with its reasons. A port found becomes a housing of its
/// own. What was found stays until the housing or the wishes are others.
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
    void takeCurrent();  ///< the chosen port into a new housing, one undo step
    void showLeftOut(bool leftOut);

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    struct Found {
        HousingInputs of;
        SearchWishes wishes;
        SearchRequest request;
        int opening = -1;
        SearchResult result;
    };
    QWidget* buildHead();
    QWidget* buildFound();
    const Computed* computed() const;
    bool sameInputs(const HousingInputs& a, const SearchWishes& wishes) const;
    const std::vector<FoundPort>& shownPorts() const;  ///< ranked, or the nearest compromises
    void show();
    void showTable();
    void showScatter();
    void showRejected();
    void showState();
    void showChosen();
    void choose(int row);
    void point(int row);
    void place();
    std::optional<Housing> housingOf(int row) const;

    Workbench& workbench_;
    SearchWishes wishes_;
    LongTask task_;
    std::optional<Found> found_;
    QString refusal_;
    std::string added_;  ///< id of the housing made last
    SearchForm* form_;
    ScatterView* scatter_;
    ValueTable* table_;
    QListWidget* leftOut_;
    SegmentSwitch* which_;
    QStackedWidget* lists_;
    QPushButton *search_, *take_;
    StateLine* state_;
    QLabel* details_;
    QSplitter *columns_ = nullptr, *pictures_ = nullptr;
    std::optional<bool> beside_;
};

}  // namespace portwright
