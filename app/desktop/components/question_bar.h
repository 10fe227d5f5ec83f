// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/mark.h"

#include <QStringList>
#include <QWidget>

class QHBoxLayout;
class QPushButton;

namespace portwright {

/// A full-width strip with the Note mark, a question and verbs as buttons. Never modal.
class QuestionBar : public QWidget {
    Q_OBJECT
public:
    explicit QuestionBar(QWidget* parent = nullptr);
    void ask(const QString& question, const QStringList& verbs, int mainVerb = -1);  ///< and shows itself
    QString question() const;

signals:
    void answered(int verb);  ///< index; the asker hides the bar

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    StateLine* line_;
    QHBoxLayout* row_;
    QList<QPushButton*> buttons_;
};

}  // namespace portwright
