// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/measurement_list.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/measure/fresh_measurement.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QListWidget>
#include <QMenu>
#include <QPushButton>
#include <QVBoxLayout>

namespace portwright {

MeasurementList::MeasurementList(MeasureDesk& desk, QWidget* parent)
    : QWidget(parent), desk_(desk), cavities_(new SegmentSwitch(tr("Cavity"))), list_(new QListWidget),
      add_(new QPushButton(tr("Add"))), copy_(new QPushButton(tr("Copy"))), remove_(new QPushButton(tr("Remove")))
{
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(px(10), px(8), px(6), px(8));
    column->setSpacing(px(6));
    cavities_->setSegments({{.words = tr("Main"), .icon = {}, .tip = tr("Measurements of the main cavity")},
                            {.words = tr("Second"), .icon = {}, .tip = tr("Measurements of the second cavity")}});
    list_->setAccessibleName(tr("Measurements"));
    list_->setWordWrap(false);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->setMinimumHeight(px(60));
    list_->setIconSize(QSize(px(14), px(14)));
    list_->setProperty("helpTopic", QStringLiteral("measure"));
    auto* menu = new QMenu(add_);
    for (int kind = 0; kind <= int(MeasurementKind::stated); ++kind) {
        const auto which = MeasurementKind(kind);
        QAction* action = menu->addAction(methodName(which));
        action->setToolTip(methodHint(which));
        connect(action, &QAction::triggered, &desk_, [this, which] { desk_.add(freshMeasurement(which)); });
    }
    menu->setToolTipsVisible(true);
    add_->setMenu(menu);
    add_->setToolTip(tr("Add a measurement of this cavity"));
    copy_->setToolTip(tr("A copy of the chosen measurement, to vary it"));
    remove_->setToolTip(tr("Remove the chosen measurement (Delete); undo brings it back"));
    for (QPushButton* button : {add_, copy_, remove_})
        button->setAccessibleName(tr("%1 measurement").arg(button->text()));
    auto* row = new QHBoxLayout;
    row->setSpacing(px(4));
    for (QPushButton* button : {add_, copy_, remove_})
        row->addWidget(button);
    column->addWidget(cavities_);
    column->addWidget(list_, 1);
    column->addLayout(row);

    connect(cavities_, &SegmentSwitch::chosen, &desk_, [this](int at) { desk_.setCavity(CavityId(at)); });
    connect(list_, &QListWidget::currentRowChanged, this, [this](int at) {
        if (!filling_ && at >= 0) desk_.choose(at);
    });
    connect(list_, &QListWidget::itemChanged, this, [this](QListWidgetItem* item) {
        if (!filling_) desk_.setUsed(list_->row(item), item->checkState() == Qt::Checked);
    });
    connect(copy_, &QPushButton::clicked, &desk_, &MeasureDesk::duplicate);
    connect(remove_, &QPushButton::clicked, &desk_, &MeasureDesk::remove);
    auto* removeByKey = new QAction(list_);
    removeByKey->setShortcut(Qt::Key_Delete);
    removeByKey->setShortcutContext(Qt::WidgetShortcut);
    connect(removeByKey, &QAction::triggered, &desk_, &MeasureDesk::remove);
    list_->addAction(removeByKey);
}

QString MeasurementList::wordsOf(int at) const
{
    const Measurement& measurement = desk_.cavity()->measurements[std::size_t(at)];
    const VolumeReading& reading = desk_.readings()[std::size_t(at)];
    QString words = QString::fromStdString(nameOf(measurement)) + QStringLiteral(", ");
    words += reading.error ? tr("no volume yet") : volumeText(reading.volume, reading.uncertainty, desk_.units());
    if (measurement.unused)
        words += tr(", set aside");
    else if (desk_.disagrees(at))
        words += tr(", disagrees");
    // Last, so that a narrow list elides it and not the figures; the tip has it whole.
    if (!measurement.note.empty()) words += QStringLiteral(": ") + QString::fromStdString(measurement.note);
    return words;
}

void MeasurementList::refresh()
{
    filling_ = true;
    const Cavity* cavity = desk_.cavity();
    const Housing* housing = desk_.bench().chosenHousing();
    cavities_->setVisible(housing && housing->secondCavity);
    cavities_->setCurrent(int(desk_.cavityId()));
    const int count = cavity ? int(cavity->measurements.size()) : 0;
    while (list_->count() > count)
        delete list_->takeItem(list_->count() - 1);
    while (list_->count() < count)
        list_->addItem(QString());
    for (int i = 0; i < count; ++i) {
        QListWidgetItem* item = list_->item(i);
        const bool unused = cavity->measurements[std::size_t(i)].unused;
        const VolumeReading& reading = desk_.readings()[std::size_t(i)];
        const Mark mark = unused               ? Mark::fine
                          : reading.error      ? Mark::missing
                          : desk_.disagrees(i) ? Mark::near
                                               : Mark::holds;
        item->setText(wordsOf(i));
        item->setFlags(Qt::ItemIsEnabled | Qt::ItemIsSelectable | Qt::ItemIsUserCheckable);
        item->setCheckState(unused ? Qt::Unchecked : Qt::Checked);
        item->setToolTip(wordsOf(i) + QLatin1Char('\n') + tr("Used where ticked (Space)"));
        item->setIcon(mark == Mark::fine ? QIcon()
                                         : inkedIcon(markIcon(mark), currentPlotPalette(),
                                                     mark == Mark::near    ? Ink::near
                                                     : mark == Mark::holds ? Ink::holds
                                                                           : Ink::dim));
        item->setData(Qt::AccessibleTextRole, wordsOf(i));
    }
    if (desk_.current() >= 0) list_->setCurrentRow(desk_.current());
    copy_->setEnabled(count > 0);
    remove_->setEnabled(count > 0);
    filling_ = false;
}

void MeasurementList::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange && !filling_ && desk_.cavity() &&
        desk_.readings().size() == desk_.cavity()->measurements.size())
        refresh();
}

}  // namespace portwright
