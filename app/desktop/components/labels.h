// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>

namespace portwright {

/// A name that is cut with dots where there is no room; the whole of it is in the tip.
class NameLabel : public QLabel {
    Q_OBJECT
public:
    using QLabel::QLabel;
    QSize minimumSizeHint() const override;
    void setTwoLines(bool two);  ///< a second line before it is cut
    bool hasHeightForWidth() const override { return two_; }
    int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;
    bool event(QEvent* event) override;

private:
    QStringList linesIn(int width) const;  ///< as shown, one or two
    bool two_ = false;
};

/// A dim demi-bold word with a line: opens a group of rows.
class GroupHeading : public QWidget {
    Q_OBJECT
public:
    explicit GroupHeading(const QString& text, QWidget* parent = nullptr);
    void setText(const QString& text);
    QString text() const { return text_; }
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QString text_;
};

/// Remarks and units: dim, 0.92 of the base.
void makeRemark(QLabel& label);

}  // namespace portwright
