// SPDX-License-Identifier: GPL-3.0-or-later
// The middle of the window: the cursor's field, Charts | Table | Measure | Find, and the empty state while there is
// nothing to draw.
#pragma once

#include "app/desktop/components/card/empty_state.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/window/charts_page.h"
#include "app/desktop/window/table_page.h"

#include <QWidget>

class QLabel;
class QStackedWidget;
class QPushButton;

namespace portwright {

class AxisRow;
class MeasurePage;
class QuantityBox;
class SearchPage;

class CentrePage : public QWidget {
    Q_OBJECT
public:
    explicit CentrePage(Workbench& workbench, QWidget* parent = nullptr);

    ChartsPage* charts() const { return charts_; }
    TablePage* table() const { return table_; }
    EmptyState* emptyState() const { return empty_; }
    QuantityBox* cursorBox() const { return cursorBox_; }
    MeasurePage* measure() const { return measure_; }
    SearchPage* search() const { return search_; }
    enum Page { chartsPage, tablePage, measurePage, findPage };
    Page page() const { return page_; }
    void showPage(Page page);  ///< measuring and finding a port only where a housing is chosen
    bool showsTable() const { return page_ == tablePage; }
    void showTable(bool table) { showPage(table ? tablePage : chartsPage); }
    AxisRow* axisRow() const { return limits_; }
    void openLimits();  ///< the row in which axis limits are typed; shows the charts
    void refresh();
    /// The letters that open the drawer of cards in a narrow window; empty: the cards are in view.
    void setDrawerLetters(const QString& letters);

signals:
    void drawerWanted();
    void pageShown();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    QWidget* buildBar();
    void typeDigits(const QString& text);
    void tellRange();
    void offerPages(bool housing);
    void ink();

    Workbench& workbench_;
    QWidget* bar_ = nullptr;
    QLabel *icon_ = nullptr, *keys_ = nullptr, *range_ = nullptr;
    QuantityBox* cursorBox_ = nullptr;
    QPushButton* drawer_ = nullptr;
    SegmentSwitch* switch_ = nullptr;
    QStackedWidget* stack_ = nullptr;
    ChartsPage* charts_;
    TablePage* table_;
    EmptyState* empty_;
    MeasurePage* measure_;
    SearchPage* search_;
    AxisRow* limits_;
    bool limitsOpen_ = false;
    Page page_ = chartsPage;
    bool housingOffered_ = false;
};

}  // namespace portwright
