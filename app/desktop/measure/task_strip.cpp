// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/task_strip.h"

#include "app/desktop/components/measures.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QProgressBar>
#include <QPushButton>

namespace portwright {

TaskStrip::TaskStrip(LongTask& task, const QString& name, QWidget* parent)
    : QWidget(parent), task_(task), name_(name), step_(new QLabel), bar_(new QProgressBar)
{
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, px(4), 0, px(4));
    row->setSpacing(px(8));
    auto* stop = new QPushButton(tr("Cancel"));
    stop->setAccessibleName(tr("Cancel: %1").arg(name));
    bar_->setRange(0, 100);
    bar_->setAccessibleName(name);
    bar_->setMaximumWidth(px(160));
    step_->setMinimumWidth(0);
    step_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    row->addWidget(step_, 1);
    row->addWidget(bar_);
    row->addWidget(stop);
    connect(stop, &QPushButton::clicked, &task_, &LongTask::cancel);
    connect(&task_, &LongTask::progressed, this, &TaskStrip::show);
    connect(&task_, &LongTask::finished, this, &TaskStrip::show);
    connect(&task_, &LongTask::cancelled, this, &TaskStrip::show);
    show();
}

void TaskStrip::show()
{
    setVisible(task_.slow());
    const QString step = task_.step();
    step_->setText(step.isEmpty() ? name_ : tr("%1: %2").arg(name_, step));
    bar_->setValue(int(100 * task_.fraction()));
}

}  // namespace portwright
