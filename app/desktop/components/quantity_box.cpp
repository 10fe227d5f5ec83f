// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/quantity_box.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/step_size.h"
#include "app/desktop/components/unit_line_edit.h"
#include "app/desktop/components/workshop_style.h"

#include <QApplication>
#include <QClipboard>
#include <QContextMenuEvent>
#include <QKeyEvent>
#include <QMenu>
#include <QPainter>
#include <QStyleOptionSpinBox>

#include <algorithm>
#include <cmath>
#include <limits>

namespace portwright {

namespace {

constexpr int stepsPauseMilliseconds = 700;
constexpr double coarse = 10, fine = 0.1;

bool same(const std::optional<double>& a, const std::optional<double>& b)
{
    if (!a || !b) return a.has_value() == b.has_value();
    return *a == *b || std::abs(*a - *b) <= 1e-12 * std::max(std::abs(*a), std::abs(*b));
}

/// A bound of a range: no zeros at the end, three digits where the unit makes it crooked.
QString boundText(double shown)
{
    QString text = QString::number(shown, 'f', 6);
    while (text.endsWith(QLatin1Char('0')))
        text.chop(1);
    if (text.endsWith(QLatin1Char('.'))) text.chop(1);
    if (text.size() > 6 && shown != 0) {
        const int tens = static_cast<int>(std::floor(std::log10(std::abs(shown))));
        text = QString::number(shown, 'f', std::max(0, 2 - tens));
    }
    return localNumber(text);
}

double stepFactor(Qt::KeyboardModifiers modifiers)
{
    if (modifiers & Qt::ShiftModifier) return coarse;
    return modifiers & Qt::ControlModifier ? fine : 1;
}

}  // namespace

QuantityBox::QuantityBox(Dimension dimension, QWidget* parent)
    : QAbstractSpinBox(parent), dimension_(dimension), low_(-std::numeric_limits<double>::infinity()),
      high_(std::numeric_limits<double>::infinity()), line_(new UnitLineEdit(this))
{
    setLineEdit(line_);
    setButtonSymbols(QAbstractSpinBox::NoButtons);
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed);
    setFont(figureFont(Letters::body));
    setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    line_->setUnit(unitName(dimension_, system_));
    stepsPause_.setSingleShot(true);
    stepsPause_.setInterval(stepsPauseMilliseconds);
    connect(&stepsPause_, &QTimer::timeout, this, &QuantityBox::commit);
    connect(line_, &QLineEdit::textEdited, this, &QuantityBox::textTyped);
}

// --- What it is told ---

void QuantityBox::setRangeSi(double low, double high)
{
    low_ = low;
    high_ = high;
}

void QuantityBox::setOptional(bool optional) { optional_ = optional; }
void QuantityBox::setEmptyShows(const QString& text) { line_->setPlaceholderText(text); }

void QuantityBox::setUnitSystem(UnitSystem system)
{
    if (system == system_) return;
    if (edited_) restore();  // what was being typed meant the other unit
    system_ = system;
    line_->setUnit(unitName(dimension_, system_));
    showSi();
    updateGeometry();
}

void QuantityBox::setSi(std::optional<double> si)
{
    if (si && !std::isfinite(*si)) si.reset();
    if (edited_ && (same(si, si_) || (previewed_ && same(si, previewed_)))) return;
    stepsPause_.stop();
    si_ = si;
    edited_ = stepped_ = false;
    previewed_.reset();
    endRejection();
    showSi();
}

// --- Text and numbers ---

QString QuantityBox::shownText(double si) const
{
    return localNumber(QString::fromStdString(fieldText(si, dimension_, system_)));
}

QString QuantityBox::rangeText() const
{
    const Unit& unit = shownUnit(dimension_, system_);
    const QString tail = unit.name.empty() ? QString() : QChar(0x00A0) + QString::fromStdString(unit.name);
    const bool lowGiven = std::isfinite(low_), highGiven = std::isfinite(high_);
    const QString low = lowGiven ? boundText(fromSi(unit, low_)) : QString();
    const QString high = highGiven ? boundText(fromSi(unit, high_)) : QString();
    if (lowGiven && highGiven) return tr("%1 to %2").arg(low, high) + tail;
    if (lowGiven) return tr("%1 and more").arg(low) + tail;
    return highGiven ? tr("up to %1").arg(high) + tail : tr("any number");
}

Result<double> QuantityBox::read(const QString& text) const
{
    const Result<double> si = parseQuantity(text.toStdString(), dimension_, system_);
    if (!si) return si;
    if (dimension_ == Dimension::count && *si != std::round(*si))
        return fail({}, tr("%1 is not a whole number.").arg(text.trimmed()).toStdString());
    const double slack = 1e-12 * std::abs(*si);  // 19.685 in need not miss a bound of 500 mm by the last bit
    if (*si >= low_ - slack && *si <= high_ + slack) return std::clamp(*si, low_, high_);
    const bool bare =
        std::none_of(text.begin(), text.end(), [](QChar c) { return c.isLetter() || c == QLatin1Char('"'); });
    const QString unit = unitName(dimension_, system_);
    const QString found = text.trimmed() + (bare && !unit.isEmpty() ? QChar(0x00A0) + unit : QString());
    const Unit& shown = shownUnit(dimension_, system_);
    QString why = tr("%1 is outside %2.").arg(found, rangeText());
    if (!std::isfinite(low_))
        why = tr("%1 is more than %2.").arg(found, boundText(fromSi(shown, high_)));
    else if (!std::isfinite(high_))
        why = tr("%1 is less than %2.").arg(found, boundText(fromSi(shown, low_)));
    return fail({}, why.toStdString());
}

QString QuantityBox::still() const
{
    if (!si_) return {};
    const QString unit = unitName(dimension_, system_);
    const QString value = shownText(*si_) + (unit.isEmpty() ? QString() : QChar(0x00A0) + unit);
    return QLatin1Char(' ') + tr("Still reckoned with %1.").arg(value);
}

void QuantityBox::showSi()
{
    line_->setText(si_ ? shownText(*si_) : QString());  // also forgets the line's own undo, so Ctrl+Z is the window's
    line_->setModified(false);
    if (hasFocus()) line_->selectAll();
}

// --- Typing ---

void QuantityBox::textTyped(const QString& text)
{
    stepsPause_.stop();
    edited_ = true;
    stepped_ = false;
    const Result<double> si = read(text);
    if (si) {
        endRejection();
        previewed_ = *si;
        emit previewed(*si);
        return;
    }
    // Most text on the way to a number is not one yet. Only what more typing cannot mend is marked at once.
    const bool bareNumber = parseQuantity(text.toStdString(), Dimension::ratio, system_).has_value();
    const Result<double> number = parseQuantity(text.toStdString(), dimension_, system_);
    const bool tooLarge = bareNumber && number && *number > high_;
    const bool twoMarks = text.count(QLatin1Char('.')) + text.count(QLatin1Char(',')) > 1;
    if (tooLarge || twoMarks || !rejection_.isEmpty()) reject(QString::fromStdString(si.error().message) + still());
}

void QuantityBox::reject(const QString& why)
{
    const bool news = rejection_ != why;
    rejection_ = why;
    setNotTaken(*this, true);
    setToolTip(why);
    if (news) emit rejected(why);
    if (previewed_) {
        previewed_.reset();
        emit reverted();
    }
}

void QuantityBox::endRejection()
{
    if (rejection_.isEmpty()) return;
    rejection_.clear();
    setNotTaken(*this, false);
    setToolTip({});
    emit accepted();
}

void QuantityBox::commit()
{
    stepsPause_.stop();
    if (!edited_) return;
    const QString text = line_->text().trimmed();
    const bool asShown = si_ ? text == shownText(*si_) : text.isEmpty();
    if (asShown) return restore();
    if (text.isEmpty()) {
        if (!optional_) return reject(tr("the field is empty; it takes %1.").arg(rangeText()) + still());
        si_.reset();
        previewed_.reset();
        edited_ = stepped_ = false;
        endRejection();
        showSi();
        emit cleared();
        return;
    }
    const Result<double> si = read(text);
    if (!si) return reject(QString::fromStdString(si.error().message) + still());
    if (si_ && *si_ == *si) return restore();
    si_ = *si;
    previewed_.reset();
    edited_ = stepped_ = false;
    endRejection();
    showSi();
    emit committed(*si);
}

void QuantityBox::restore()
{
    stepsPause_.stop();
    const bool shown = previewed_.has_value();
    previewed_.reset();
    edited_ = stepped_ = false;
    endRejection();
    showSi();
    if (shown) emit reverted();
}

// --- Steps ---

QAbstractSpinBox::StepEnabled QuantityBox::stepEnabled() const
{
    if (isReadOnly() || !(previewed_ || si_)) return StepNone;
    return StepUpEnabled | StepDownEnabled;
}

double QuantityBox::shownStep() const { return stepShown(dimension_, system_); }

void QuantityBox::stepBy(int steps) { stepByShown(steps * shownStep()); }

void QuantityBox::stepByShown(double step)
{
    if (stepEnabled() == StepNone || step == 0) return;
    if (dimension_ == Dimension::count) step = std::copysign(std::max(1.0, std::abs(step)), step);
    const double from = previewed_.value_or(si_.value_or(0));
    const Unit& unit = shownUnit(dimension_, system_);
    const QString now = shownText(from);
    const qsizetype mark = now.indexOf(QLocale().decimalPoint());
    const int decimals = std::max(mark < 0 ? 0 : static_cast<int>(now.size() - mark - 1), decimalsOf(std::abs(step)));
    QString text = localNumber(QString::number(fromSi(unit, from) + step, 'f', decimals));
    Result<double> si = read(text);
    if (!si) {
        const double bound = step > 0 ? high_ : low_;
        if (!std::isfinite(bound)) return;
        text = shownText(bound);
        si = bound;
    }
    if (*si == from) return;
    line_->setText(text);
    line_->selectAll();
    edited_ = stepped_ = true;
    endRejection();
    previewed_ = *si;
    emit previewed(*si);
    stepsPause_.start();
}

// --- Events ---

QValidator::State QuantityBox::validate(QString&, int&) const { return QValidator::Acceptable; }

bool QuantityBox::event(QEvent* event)
{
    if (event->type() == QEvent::ShortcutOverride) {
        auto* key = static_cast<QKeyEvent*>(event);
        const bool undo = key->matches(QKeySequence::Undo);
        if (undo && edited_ && stepped_) {
            event->accept();
            return true;
        }
        if ((undo || key->matches(QKeySequence::Redo)) && !line_->isUndoAvailable()) {
            event->ignore();
            return false;
        }
    }
    return QAbstractSpinBox::event(event);
}

void QuantityBox::keyPressEvent(QKeyEvent* event)
{
    const double factor = stepFactor(event->modifiers());
    switch (event->key()) {
    case Qt::Key_Up:
        return stepByShown(factor * shownStep());
    case Qt::Key_Down:
        return stepByShown(-factor * shownStep());
    case Qt::Key_PageUp:
        return stepByShown(coarse * shownStep());
    case Qt::Key_PageDown:
        return stepByShown(-coarse * shownStep());
    case Qt::Key_Return:
    case Qt::Key_Enter:
        commit();
        line_->selectAll();
        event->setAccepted(!rejection_.isEmpty());  // a form may act on Return, but not with text that was not taken
        if (rejection_.isEmpty()) emit entered();
        return;
    case Qt::Key_Escape:
        event->setAccepted(edited_);
        if (edited_) restore();
        return;
    default:
        break;
    }
    if (event->matches(QKeySequence::Undo) && stepped_) return restore();
    const bool whole = !line_->hasSelectedText() || line_->selectedText() == line_->text();
    if (event->matches(QKeySequence::Copy) && whole && si_ && !edited_) return copyWithUnit();
    QAbstractSpinBox::keyPressEvent(event);
}

void QuantityBox::copyWithUnit() const
{
    const QString unit = unitName(dimension_, system_);
    QApplication::clipboard()->setText(line_->text() + (unit.isEmpty() ? QString() : QLatin1Char(' ') + unit));
}

void QuantityBox::wheelEvent(QWheelEvent* event)
{
    if (!hasFocus()) return event->ignore();
    const int turned = event->angleDelta().y() != 0 ? event->angleDelta().y() : event->angleDelta().x();
    if (turned != 0) stepByShown((turned > 0 ? 1 : -1) * stepFactor(event->modifiers()) * shownStep());
    event->accept();
}

void QuantityBox::focusOutEvent(QFocusEvent* event)
{
    QAbstractSpinBox::focusOutEvent(event);
    if (event->reason() != Qt::PopupFocusReason) commit();  // the field's own menu is not leaving it
}

void QuantityBox::contextMenuEvent(QContextMenuEvent* event)
{
    QMenu* menu = line_->createStandardContextMenu();
    menu->setAttribute(Qt::WA_DeleteOnClose);
    if (!actions().isEmpty()) {
        menu->addSeparator();
        menu->addActions(actions());
    }
    menu->popup(event->globalPos());
    event->accept();
}

void QuantityBox::changeEvent(QEvent* event)
{
    QAbstractSpinBox::changeEvent(event);
    if (event->type() == QEvent::FontChange) updateGeometry();
    if (event->type() == QEvent::LocaleChange) showSi();
}

void QuantityBox::paintEvent(QPaintEvent*)
{
    QStyleOptionSpinBox option;
    initStyleOption(&option);
    option.subControls = QStyle::SC_SpinBoxFrame;
    QPainter painter(this);
    style()->drawComplexControl(QStyle::CC_SpinBox, &option, &painter, this);
}

QSize QuantityBox::sizeHint() const
{
    const QFontMetrics metrics(font());
    const int text = metrics.horizontalAdvance(QStringLiteral("000.00")) + line_->unitWidth() + px(14);
    return {std::max(px(84), text), std::max(px(22), metrics.height() + px(4))};
}

QSize QuantityBox::minimumSizeHint() const { return sizeHint(); }

}  // namespace portwright
