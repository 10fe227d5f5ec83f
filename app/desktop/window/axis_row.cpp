// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/axis_row.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/quantity_box.h"
#include "app/desktop/components/quiet_combo_box.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QStackedWidget>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

const double narrowest = std::exp2(0.1);  // of a frequency axis, as the charts have it

/// The ends of the value axes, in the units the charts show, and the least there may be between two limits.
struct Ends {
    double low, high, apart;
};
constexpr std::array<Ends, 4> ends{Ends{-200, 300, 1}, Ends{0, 1000, 0.1}, Ends{0, 1000, 0.1}, Ends{0, 100e3, 0.1}};

QString spoken(const QString& axis, const QString& which) { return QStringLiteral("%1, %2").arg(axis, which); }

}  // namespace

AxisRow::AxisRow(ChartsPage& charts, QWidget* parent)
    : QWidget(parent), charts_(charts), axes_(new QuietComboBox), stack_(new QStackedWidget)
{
    setAccessibleName(tr("Limits of the axes"));
    const QStringList names{tr("Frequency"), tr("Level"), tr("Cone travel"), tr("Port air"), tr("Impedance")};
    axes_->addItems(names);
    axes_->setAccessibleName(tr("Axis"));
    stack_->addWidget(buildPair(0, Dimension::frequency, names[0]));
    stack_->addWidget(buildPair(1, Dimension::level, names[1]));
    stack_->addWidget(buildPair(2, Dimension::travel, names[2]));
    stack_->addWidget(buildPair(3, Dimension::airSpeed, names[3]));
    stack_->addWidget(buildPair(4, Dimension::resistance, names[4]));
    stack_->setSizePolicy(QSizePolicy::Maximum, QSizePolicy::Fixed);
    auto* back = new QPushButton(tr("Back"));
    back->setToolTip(tr("The view before (Backspace in a chart)"));
    connect(back, &QPushButton::clicked, &charts_, &ChartsPage::back);
    auto* done = new QPushButton(tr("Close"));
    connect(done, &QPushButton::clicked, this, &AxisRow::shut);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(px(10), 0, px(10), px(4));
    row->setSpacing(px(8));
    for (QWidget* one : std::initializer_list<QWidget*>{axes_, stack_, back})
        row->addWidget(one);
    row->addStretch(1);
    row->addWidget(done);
    connect(axes_, &QComboBox::currentIndexChanged, stack_, &QStackedWidget::setCurrentIndex);
    connect(&charts_, &ChartsPage::viewChanged, this, &AxisRow::refresh);
    refresh();
}

QWidget* AxisRow::buildPair(int axis, Dimension dimension, const QString& name)
{
    Pair& pair = pairs_[std::size_t(axis)];
    pair = {.from = new QuantityBox(dimension), .to = new QuantityBox(dimension), .dimension = dimension};
    pair.from->setAccessibleName(spoken(name, tr("from")));
    pair.to->setAccessibleName(spoken(name, tr("to")));
    auto* holder = new QWidget;
    auto* row = new QHBoxLayout(holder);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(px(6));
    for (QWidget* one :
         std::initializer_list<QWidget*>{new QLabel(tr("from")), pair.from, new QLabel(tr("to")), pair.to})
        row->addWidget(one);
    for (QuantityBox* box : {pair.from, pair.to})
        connect(box, &QuantityBox::committed, this, [this, axis] { take(axis); });
    return holder;
}

double AxisRow::shownPerSi(const Pair& pair) const { return fromSi(shownUnit(pair.dimension, charts_.units()), 1); }

void AxisRow::open()
{
    show();
    from(axes_->currentIndex())->setFocus();
    from(axes_->currentIndex())->selectAll();
}

void AxisRow::chooseAxis(int axis) { axes_->setCurrentIndex(axis); }

void AxisRow::take(int axis)
{
    const Pair& pair = pairs_[std::size_t(axis)];
    if (!pair.from->si() || !pair.to->si()) return;
    const double lower = *pair.from->si(), upper = *pair.to->si();
    if (axis == 0)
        charts_.setFrequencyLimits(lower, upper);
    else
        charts_.setValueLimits(ChartsPage::Which(axis - 1), lower * shownPerSi(pair), upper * shownPerSi(pair));
}

void AxisRow::refresh()
{
    if (isHidden()) return;
    for (int axis = 0; axis < axisCount; ++axis) {
        const Pair& pair = pairs_[std::size_t(axis)];
        const double scale = shownPerSi(pair);
        pair.from->setUnitSystem(charts_.units());
        pair.to->setUnitSystem(charts_.units());
        const FrequencyChart* chart = charts_.chart(ChartsPage::Which(std::max(axis - 1, 0)));
        const AxisRange now = axis == 0 ? chart->frequencyRange() : chart->valueRange();
        if (axis == 0) {
            pair.from->setRangeSi(frequencyBounds.lower, now.upper / narrowest);
            pair.to->setRangeSi(now.lower * narrowest, frequencyBounds.upper);
        } else {
            const Ends& end = ends[std::size_t(axis - 1)];
            pair.from->setRangeSi(end.low / scale, (now.upper - end.apart) / scale);
            pair.to->setRangeSi((now.lower + end.apart) / scale, end.high / scale);
        }
        pair.from->setSi(now.lower / scale);
        pair.to->setSi(now.upper / scale);
    }
}

void AxisRow::shut()
{
    hide();
    emit closed();
}

void AxisRow::showEvent(QShowEvent* event)
{
    QWidget::showEvent(event);
    refresh();
}

void AxisRow::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) return shut();
    QWidget::keyPressEvent(event);
}

}  // namespace portwright
