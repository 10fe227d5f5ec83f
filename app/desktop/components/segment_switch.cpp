// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/segment_switch.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"

#include <QAbstractButton>
#include <QButtonGroup>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QPainter>
#include <QPainterPath>

namespace portwright {

namespace {

enum class Place { only, first, middle, last };

class SegmentButton : public QAbstractButton {
public:
    SegmentButton(const Segment& segment, Place place, QWidget* parent)
        : QAbstractButton(parent), icon_(segment.icon), place_(place)
    {
        setText(segment.words);
        setToolTip(segment.tip);
        setCheckable(true);
        setFocusPolicy(Qt::StrongFocus);
        setAttribute(Qt::WA_Hover);
        setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
    }

    QSize sizeHint() const override
    {
        const QFontMetrics metrics(letters(true));  // so that the choice moves nothing
        const int icon = icon_.isEmpty() ? 0 : px(16) + px(5);
        return {metrics.horizontalAdvance(text()) + icon + px(20), std::max(px(22), metrics.height() + px(5))};
    }
    QSize minimumSizeHint() const override { return sizeHint(); }

protected:
    void paintEvent(QPaintEvent*) override
    {
        const PlotPalette palette = currentPlotPalette();
        QPainter painter(this);
        painter.setRenderHint(QPainter::Antialiasing);
        paintPlate(painter, palette);
        const QColor ink = isChecked() ? palette.onInk : palette.text;
        painter.setFont(letters(isChecked()));
        painter.setPen(ink);
        QRect words = rect();
        if (!icon_.isEmpty()) {
            const int size = px(16), gap = px(5);
            const int whole = painter.fontMetrics().horizontalAdvance(text()) + size + gap;
            const int left = (width() - whole) / 2;
            paintIcon(painter, QRectF(left, (height() - size) / 2.0, size, size), icon_, ink, palette.base);
            words.setLeft(left + size + gap);
        }
        painter.drawText(words, Qt::AlignVCenter | (icon_.isEmpty() ? Qt::AlignHCenter : Qt::AlignLeft), text());
    }

    void keyPressEvent(QKeyEvent* event) override
    {
        const int by = event->key() == Qt::Key_Left ? -1 : event->key() == Qt::Key_Right ? 1 : 0;
        if (by == 0 || !group()) return QAbstractButton::keyPressEvent(event);
        QAbstractButton* next = group()->button(group()->id(this) + by);
        if (!next) return;
        next->setFocus(Qt::TabFocusReason);
        next->click();
    }

private:
    static QFont letters(bool strong)
    {
        QFont font = lettersFont(Letters::body);
        if (strong) font.setWeight(QFont::DemiBold);
        return font;
    }

    /// Rounded only where the frame of the whole ends.
    void paintPlate(QPainter& painter, const PlotPalette& palette) const
    {
        const double line = std::max(1.0, pxf(1)), radius = pxf(4);
        QRectF box = QRectF(rect()).adjusted(line / 2, line / 2, -line / 2, -line / 2);
        const double beyond = radius + line;
        painter.save();
        painter.setClipRect(rect());
        if (place_ == Place::middle || place_ == Place::last) box.setLeft(-beyond);
        if (place_ == Place::middle || place_ == Place::first) box.setRight(width() + beyond);
        painter.setPen(QPen(palette.edge, line));
        painter.setBrush(isChecked() ? palette.ink : underMouse() ? palette.raised : palette.field);
        painter.drawRoundedRect(box, radius, radius);
        if (place_ == Place::middle || place_ == Place::last)
            painter.drawLine(QPointF(line / 2, line), QPointF(line / 2, height() - line));
        painter.restore();
        if (!hasFocus()) return;
        const double inset = pxf(2.5);
        painter.setPen(QPen(isChecked() ? palette.onInk : palette.accent, pxf(isChecked() ? 1.2 : 2)));
        painter.setBrush(Qt::NoBrush);
        painter.drawRoundedRect(QRectF(rect()).adjusted(inset, inset, -inset, -inset), pxf(2.5), pxf(2.5));
    }

    QString icon_;
    Place place_;
};

Place placeOf(int i, int count)
{
    if (count == 1) return Place::only;
    return i == 0 ? Place::first : i == count - 1 ? Place::last : Place::middle;
}

}  // namespace

SegmentSwitch::SegmentSwitch(const QString& accessibleName, QWidget* parent)
    : QWidget(parent), name_(accessibleName), group_(new QButtonGroup(this))
{
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(0);
    setAccessibleName(accessibleName);
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
    connect(group_, &QButtonGroup::idClicked, this, &SegmentSwitch::chosen);
}

void SegmentSwitch::setSegments(const QList<Segment>& segments)
{
    const int before = current();
    for (QAbstractButton* old : group_->buttons())
        delete old;
    for (int i = 0; i < segments.size(); ++i) {
        auto* button = new SegmentButton(segments[i], placeOf(i, static_cast<int>(segments.size())), this);
        button->setAccessibleName(name_.isEmpty() ? segments[i].words
                                                  : QStringLiteral("%1: %2").arg(name_, segments[i].words));
        group_->addButton(button, i);
        layout()->addWidget(button);
    }
    setCurrent(before >= 0 && before < segments.size() ? before : 0);
}

void SegmentSwitch::setCurrent(int index)
{
    if (QAbstractButton* button = group_->button(index)) button->setChecked(true);
}

int SegmentSwitch::current() const { return group_->checkedId(); }
QAbstractButton* SegmentSwitch::button(int index) const { return group_->button(index); }

void SegmentSwitch::setStretched(bool stretched)
{
    setSizePolicy(stretched ? QSizePolicy::Expanding : QSizePolicy::Fixed, QSizePolicy::Fixed);
    auto* row = static_cast<QHBoxLayout*>(layout());
    for (int i = 0; i < row->count(); ++i)
        row->setStretch(i, stretched ? 1 : 0);
}

}  // namespace portwright
