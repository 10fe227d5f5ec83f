// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractButton>

namespace portwright {

/// The heading of a group of rows that folds away: a dim demi-bold word behind a triangle, and in dim letters at the
/// right what the rows hold, so that a folded group is no secret. Checked: unfolded.
class FoldHeading : public QAbstractButton {
    Q_OBJECT
public:
    explicit FoldHeading(const QString& text, QWidget* parent = nullptr);
    void setRemark(const QString& remark);
    QString remark() const { return remark_; }
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    void tell();
    QString remark_;
};

}  // namespace portwright
