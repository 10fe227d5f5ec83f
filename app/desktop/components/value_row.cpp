// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/value_row.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/row_columns.h"

#include <QEvent>
#include <QHBoxLayout>

#include <cmath>
#include <limits>

namespace portwright {

ValueRow::ValueRow(const QString& label, QWidget* parent)
    : QWidget(parent), label_(new NameLabel(label, this)), number_(new QLabel(this)), unit_(new QLabel(this)),
      remark_(new QLabel(this)), mark_(new QLabel(this))
{
    auto* columns = new QHBoxLayout(this);
    columns->setContentsMargins(0, 0, 0, 0);
    columns->setSpacing(0);
    columns->addWidget(label_, 1);
    columns->addSpacing(row::gap());
    columns->addWidget(number_);
    columns->addSpacing(px(3));
    columns->addWidget(unit_);
    columns->addSpacing(row::gap());
    columns->addWidget(remark_);
    columns->addSpacing(px(2));
    columns->addWidget(mark_);
    number_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    mark_->setAlignment(Qt::AlignCenter);
    mark_->setToolTip(tr("derived: reckoned from the other values"));
    dress();
}

void ValueRow::dress()
{
    setFixedHeight(px(22));
    number_->setFont(figureFont(Letters::body));
    makeRemark(*unit_);
    makeRemark(*remark_);
    unit_->setMinimumWidth(row::unitWidth());
    remark_->setFixedWidth(row::asideWidth());
    mark_->setFixedWidth(row::markWidth());
    const PlotPalette palette = currentPlotPalette();
    mark_->setPixmap(
        inkedPixmap(QStringLiteral("from-derived"), palette.dim, palette.window, px(16), devicePixelRatioF()));
}

void ValueRow::setLabel(const QString& label) { label_->setText(label); }

void ValueRow::setValue(const QString& number, const QString& unit)
{
    number_->setText(number);
    unit_->setText(unit);
    setAccessibleName(QStringLiteral("%1: %2 %3").arg(label_->text(), number, unit).trimmed());
}

void ValueRow::setValueSi(std::optional<double> si, Dimension dimension, UnitSystem system)
{
    const QString whole = figureText(si.value_or(std::numeric_limits<double>::quiet_NaN()), dimension, system);
    const qsizetype blank = whole.indexOf(QChar(0x00A0));  // the unit may be kHz rather than the field's
    setValue(blank < 0 ? whole : whole.left(blank), blank < 0 ? QString() : whole.mid(blank + 1));
}

void ValueRow::setRemark(const QString& remark) { remark_->setText(remark); }

QString ValueRow::number() const { return number_->text(); }
QString ValueRow::unit() const { return unit_->text(); }

void ValueRow::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationFontChange) dress();
    QWidget::changeEvent(event);
}

}  // namespace portwright
