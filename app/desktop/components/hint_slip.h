// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QPointer>
#include <QString>
#include <QWidget>

class QLabel;
class QPushButton;

namespace portwright {

class IconButton;

/// An ink slip that points at the real thing: a child of the window, never a window.
class HintSlip : public QWidget {
    Q_OBJECT
public:
    explicit HintSlip(QWidget* parent);

    void setHint(const QString& title, const QString& text, int number, int count);
    /// Shows the slip below (or above) a rectangle of `target`; follows when the parent is resized, and
    /// goes when the target does.
    void pointAt(QWidget* target, const QRect& within = {});
    QPoint tip() const;  ///< of the arrow, in the parent

signals:
    void gotIt();
    void dismissed();  ///< x or Esc: no more of them

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void place();
    void dress();
    QPointer<QWidget> target_;
    QRect within_;
    QLabel *title_, *text_, *count_;
    QPushButton* gotIt_;
    IconButton* close_;
    int arrowX_ = 0;
    bool above_ = false;
};

}  // namespace portwright
