// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/measure_page.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/measure/fresh_measurement.h"
#include "app/desktop/measure/measure_picture.h"
#include "app/desktop/measure/measurement_list.h"
#include "app/desktop/measure/method_rows.h"
#include "app/desktop/measure/modes_page.h"
#include "app/desktop/measure/result_strip.h"
#include "app/desktop/measure/what_if_page.h"

#include <QDragEnterEvent>
#include <QDropEvent>
#include <QHBoxLayout>
#include <QMimeData>
#include <QSplitter>
#include <QStackedWidget>
#include <QUrl>
#include <QVBoxLayout>

namespace portwright {
namespace {

constexpr double besideFrom = 880;  // px of width, at which three columns have room

QString scanIn(const QMimeData* data)
{
    for (const QUrl& url : data->urls())
        if (url.isLocalFile() && isScanFile(url.toLocalFile())) return url.toLocalFile();
    return {};
}

}  // namespace

MeasurePage::MeasurePage(Workbench& workbench, QWidget* parent)
    : QWidget(parent), workbench_(workbench), desk_(new MeasureDesk(workbench, this)),
      scans_(new ScanDesk(*desk_, this)), switch_(new SegmentSwitch(tr("Part"))), stack_(new QStackedWidget)
{
    setAcceptDrops(true);
    setMinimumHeight(px(150));  // its parts scroll; they must not push the ledger out of the window
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    stack_->addWidget(buildReadings());
    modes_ = new ModesPage(*desk_, *scans_);
    whatIf_ = new WhatIfPage(workbench_);
    stack_->addWidget(modes_);
    stack_->addWidget(whatIf_);
    switch_->setSegments({{.words = tr("Readings"), .icon = {}, .tip = tr("What was measured, and what it comes to")},
                          {.words = tr("Modes"), .icon = {}, .tip = tr("Resonances of the closed cavity")},
                          {.words = tr("What if"), .icon = {}, .tip = tr("The housing as it is lived with")}});
    auto* head = new QHBoxLayout;
    head->setContentsMargins(px(10), px(2), px(10), px(4));
    head->addWidget(switch_);
    head->addStretch();
    column->addLayout(head);
    column->addWidget(stack_, 1);
    connect(switch_, &SegmentSwitch::chosen, this, &MeasurePage::showPart);
    connect(desk_, &MeasureDesk::chosenChanged, this, &MeasurePage::refresh);
    connect(scans_, &ScanDesk::changed, this, &MeasurePage::refresh);
    connect(picture_, &MeasurePicture::rowPicked, this, [this](int row) {
        if (auto* table = editor_->findChild<ValueTable*>())
            table->setCurrentIndex(table->model()->index(row, std::max(0, table->currentIndex().column())));
    });
}

QWidget* MeasurePage::buildReadings()
{
    list_ = new MeasurementList(*desk_);
    editor_ = new StationEditor(workbench_, tr("Measurement"), methodForm(*desk_, *scans_));
    picture_ = new MeasurePicture(*desk_, *scans_);
    results_ = new ResultStrip(*desk_);
    left_ = new QSplitter(Qt::Vertical);
    left_->addWidget(list_);
    left_->setChildrenCollapsible(false);
    left_->setHandleWidth(1);
    columns_ = new QSplitter(Qt::Horizontal);
    columns_->setChildrenCollapsible(false);
    columns_->setHandleWidth(1);
    columns_->addWidget(left_);
    columns_->addWidget(editor_);
    columns_->addWidget(picture_);
    columns_->setStretchFactor(1, 1);
    auto* page = new QWidget;
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(columns_, 1);
    column->addWidget(results_);
    return page;
}

void MeasurePage::placePicture()
{
    const bool beside = width() >= px(besideFrom);
    if (beside == beside_ && columns_->sizes().value(0) > 0 && isVisible()) {
        beside_ = beside;
        return;
    }
    beside_ = beside;
    if (beside) {
        columns_->addWidget(picture_);
        columns_->setSizes({px(230), width() - px(230) - width() / 3, width() / 3});
    } else {
        left_->addWidget(picture_);
        left_->setSizes({px(200), qMax(px(150), height() - px(240))});
        columns_->setSizes({px(250), qMax(px(200), width() - px(250))});
    }
}

void MeasurePage::followRows()
{
    auto* table = editor_->findChild<ValueTable*>();
    if (!table) return;
    connect(table, &ValueTable::rowChosen, picture_, &MeasurePicture::setChosenRow, Qt::UniqueConnection);
    picture_->setChosenRow(table->currentRow());
}

void MeasurePage::refresh()
{
    desk_->refresh();
    if (part() == modes) return modes_->refresh();
    if (part() == whatIf) return whatIf_->refresh();
    list_->refresh();
    editor_->refresh();
    scans_->load();
    picture_->refresh();
    results_->refresh();
    followRows();
}

int MeasurePage::part() const { return stack_->currentIndex(); }

void MeasurePage::showPart(int part)
{
    commitTyping();
    stack_->setCurrentIndex(part);
    switch_->setCurrent(part);
    refresh();
}

void MeasurePage::readScan(const QString& path)
{
    if (!desk_->cavity()) return;
    showPart(readings);
    if (!desk_->method<ScanMeasurement>()) desk_->add(freshMeasurement(MeasurementKind::scan));
    scans_->read(path, {}, desk_->method<ScanMeasurement>()->wall);
}

void MeasurePage::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    placePicture();
}

void MeasurePage::dragEnterEvent(QDragEnterEvent* event)
{
    if (!scanIn(event->mimeData()).isEmpty()) event->acceptProposedAction();
}

void MeasurePage::dropEvent(QDropEvent* event)
{
    const QString path = scanIn(event->mimeData());
    if (path.isEmpty()) return;
    event->acceptProposedAction();
    readScan(path);
}

}  // namespace portwright
