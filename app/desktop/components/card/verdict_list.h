// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/mark.h"

#include <QList>
#include <QWidget>

class QPushButton;
class QVBoxLayout;

namespace portwright {

struct VerdictLine {
    Mark mark = Mark::note;
    QString text;        ///< the sentence without the state word
    QString applyWords;  ///< "High-pass at 63 Hz"; empty: no button
    QString tip;         ///< the rule it rests on
    bool operator==(const VerdictLine&) const = default;
};

/// Verdicts in the order given (worst first), at most three until "and 2 more" is pressed.
class VerdictList : public QWidget {
    Q_OBJECT
public:
    explicit VerdictList(QWidget* parent = nullptr);

    void setVerdicts(const QList<VerdictLine>& verdicts);
    const QList<VerdictLine>& verdicts() const { return verdicts_; }
    void setUnfolded(bool unfolded);
    bool unfolded() const { return unfolded_; }
    int shownCount() const;

signals:
    void applyWanted(int index);
    void verdictClicked(int index);

private:
    void build();
    QList<VerdictLine> verdicts_;
    QVBoxLayout* rows_;
    bool unfolded_ = false;
};

}  // namespace portwright
