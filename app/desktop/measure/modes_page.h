// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/measure/modes_source.h"
#include "app/desktop/session/long_task.h"

#include <QWidget>

class QComboBox;
class QLabel;
class QSlider;

namespace portwright {

class ModesView;
struct TableCell;
class StateLine;
class ValueTable;

/// Resonances of the closed cavity: their frequencies, where their pressure lies, and how they are met by driver and
/// ports at the places given. Computed when the page is seen, again when shape, fineness or air become others.
class ModesPage : public QWidget {
    Q_OBJECT
public:
    ModesPage(MeasureDesk& desk, ScanDesk& scans, QWidget* parent = nullptr);

    ValueTable* modesTable() const { return list_; }
    ValueTable* placesTable() const { return places_; }
    ModesView* view() const { return view_; }
    QSlider* slider() const { return slider_; }
    LongTask& task() { return task_; }
    const CavityModes* modes() const { return modes_.get(); }
    void refresh();

protected:
    void changeEvent(QEvent* event) override;

private:
    struct Wish {
        ModesSource source;
        int cubes = 0;
        Air air;
    };
    QWidget* buildLeft();
    QWidget* buildRight();
    void start(const Wish& wish);
    void place(const ModesSource& source);
    void takePlaces(const std::vector<std::vector<TableCell>>& rows, const QString& step);
    void show();
    void showMode();
    void warn();

    MeasureDesk& desk_;
    ScanDesk& scans_;
    QLabel* from_;
    QComboBox *fineness_, *across_;
    StateLine* state_;
    ValueTable *list_, *places_;
    QLabel* warnings_;
    ModesView* view_;
    QSlider* slider_;
    LongTask task_;
    std::optional<Wish> wish_;
    std::shared_ptr<const CavityModes> modes_;
    std::vector<NamedPlace> named_;
    QString refusal_;
    int shownMode_ = -1;
};

}  // namespace portwright
