// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/session/long_task.h"

#include <QWidget>

class QLabel;
class QProgressBar;

namespace portwright {

/// What a long work is doing, how far it is, and a button that stops it. Shown only once the work is slow.
class TaskStrip : public QWidget {
    Q_OBJECT
public:
    TaskStrip(LongTask& task, const QString& name, QWidget* parent = nullptr);

private:
    void show();

    LongTask& task_;
    QString name_;
    QLabel* step_;
    QProgressBar* bar_;
};

}  // namespace portwright
