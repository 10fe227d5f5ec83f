// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "plots/plot_palette.h"

#include <QPoint>
#include <QWidget>

namespace portwright {

/// Letter tag and dash sample of a housing; the handle by which a card is dragged.
class CardTag : public QWidget {
    Q_OBJECT
public:
    CardTag(int slot, TagFace face, QWidget* parent = nullptr);
    void setSlot(int slot);
    void setDraggable(bool draggable);
    bool dragging() const { return dragging_; }
    void cancelDrag();
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override { return sizeHint(); }

signals:
    void dragMoved(const QPoint& globalPosition);
    void dragEnded(const QPoint& globalPosition);
    void dragCancelled();

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;

private:
    int slot_;
    TagFace face_;
    bool draggable_ = false, pressed_ = false, dragging_ = false;
    QPoint pressedAt_;
};

}  // namespace portwright
