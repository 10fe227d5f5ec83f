// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/measure/measure_desk.h"
#include "app/desktop/measure/scan_desk.h"

#include <QWidget>

class QSplitter;
class QStackedWidget;

namespace portwright {

class MeasurementList;
class MeasurePicture;
class ModesPage;
class ResultStrip;
class SegmentSwitch;
class StationEditor;
class WhatIfPage;

/// Measuring the chosen housing's cavity: readings with the picture beside them, its modes, and what living with it
/// does.
class MeasurePage : public QWidget {
    Q_OBJECT
public:
    explicit MeasurePage(Workbench& workbench, QWidget* parent = nullptr);

    enum Part { readings, modes, whatIf };
    void showPart(int part);
    int part() const;
    MeasureDesk& desk() { return *desk_; }
    ScanDesk& scans() { return *scans_; }
    MeasurementList* list() const { return list_; }
    StationEditor* editor() const { return editor_; }
    MeasurePicture* picture() const { return picture_; }
    ModesPage* modesPage() const { return modes_; }
    WhatIfPage* whatIfPage() const { return whatIf_; }
    void refresh();
    void readScan(const QString& path);  ///< into the chosen measurement if it is a scan, else into a new one

protected:
    void resizeEvent(QResizeEvent* event) override;
    void dragEnterEvent(QDragEnterEvent* event) override;
    void dropEvent(QDropEvent* event) override;

private:
    QWidget* buildReadings();
    void placePicture();
    void followRows();

    Workbench& workbench_;
    MeasureDesk* desk_;
    ScanDesk* scans_;
    SegmentSwitch* switch_;
    QStackedWidget* stack_;
    QSplitter *columns_ = nullptr, *left_ = nullptr;
    MeasurementList* list_ = nullptr;
    StationEditor* editor_ = nullptr;
    MeasurePicture* picture_ = nullptr;
    ResultStrip* results_ = nullptr;
    ModesPage* modes_ = nullptr;
    WhatIfPage* whatIf_ = nullptr;
    bool beside_ = true;
};

}  // namespace portwright
