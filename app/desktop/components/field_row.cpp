// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/field_row.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/row_columns.h"
#include "app/desktop/components/workshop_style.h"

#include <QAction>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLineEdit>
#include <QMenu>
#include <QScrollArea>
#include <QShortcut>
#include <QVBoxLayout>

#include <array>
#include <cmath>

namespace portwright {

namespace {

constexpr std::array origins{Origin::datasheet, Origin::measured, Origin::derived, Origin::guessed};
const QString plusMinus = QStringLiteral("\u00B1 ");

QString capitalised(QString word)
{
    if (!word.isEmpty()) word[0] = word[0].toUpper();
    return word;
}

}  // namespace

QString originWord(Origin origin)
{
    switch (origin) {
    case Origin::datasheet:
        return FieldRow::tr("datasheet");
    case Origin::measured:
        return FieldRow::tr("measured");
    case Origin::derived:
        return FieldRow::tr("derived");
    case Origin::guessed:
        return FieldRow::tr("guessed");
    }
    return {};
}

QString originIcon(Origin origin)
{
    switch (origin) {
    case Origin::datasheet:
        return QStringLiteral("from-datasheet");
    case Origin::measured:
        return QStringLiteral("from-measured");
    case Origin::derived:
        return QStringLiteral("from-derived");
    case Origin::guessed:
        return QStringLiteral("from-guess");
    }
    return {};
}

QString originMeaning(Origin origin)
{
    switch (origin) {
    case Origin::datasheet:
        return FieldRow::tr("maker's figure");
    case Origin::measured:
        return FieldRow::tr("on your bench");
    case Origin::derived:
        return FieldRow::tr("from the others");
    case Origin::guessed:
        return FieldRow::tr("by class; check it");
    }
    return {};
}

// --- Building ---

FieldRow::FieldRow(const QString& label, Dimension dimension, QWidget* parent) : QWidget(parent)
{
    field_ = box_ = new QuantityBox(dimension, this);
    build(label);
    connectBox();
}

FieldRow::FieldRow(const QString& label, QWidget* field, QWidget* parent) : QWidget(parent), field_(field)
{
    field_->setParent(this);
    build(label);
}

void FieldRow::build(const QString& label)
{
    label_ = new NameLabel(this);
    label_->setBuddy(field_);
    message_ = new StateLine(this);
    message_->hide();
    buildAside();
    buildOriginButton();

    auto* columns = new QHBoxLayout;
    columns->setContentsMargins(0, px(2), 0, px(2));
    columns->setSpacing(0);
    columns->addWidget(label_, box_ ? 1 : 0);
    columns->addSpacing(row::gap());
    columns->addWidget(field_, box_ ? 0 : 1);
    if (!box_) {
        label_->setMinimumWidth(row::shortLabelWidth());
        field_->setMinimumWidth(px(90));  // a line of text asks for its widest letter, which can be very wide
    }
    if (box_) {
        columns->addSpacing(row::gap());
        columns->addWidget(asideColumn_);
        columns->addSpacing(px(2));
    }
    columns->addWidget(originButton_);
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(0);
    rows->addLayout(columns);
    rows->addWidget(message_);
    setLabel(label);
    showOrigin();
}

void FieldRow::buildAside()
{
    asideColumn_ = new QWidget(this);
    asideColumn_->setFixedWidth(row::asideWidth());
    asideColumn_->setVisible(box_ != nullptr);
    aside_ = new QLabel(asideColumn_);
    makeRemark(*aside_);
    aside_->installEventFilter(this);
    missingMark_ = new QLabel(asideColumn_);
    missingMark_->setAccessibleName(markWord(Mark::missing));
    missingMark_->setToolTip(markWord(Mark::missing));
    asideEdit_ = new QLineEdit(asideColumn_);
    asideEdit_->setFont(figureFont(Letters::remark));
    asideEdit_->setToolTip(tr("Standard uncertainty, as a number or in percent"));
    asideEdit_->installEventFilter(this);
    auto* column = new QHBoxLayout(asideColumn_);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(missingMark_);
    column->addWidget(aside_, 1);
    column->addWidget(asideEdit_, 1);
    asideEdit_->hide();
    missingMark_->hide();
}

void FieldRow::buildOriginButton()
{
    originButton_ = new IconButton(originIcon(Origin::datasheet), tr("Origin"), this);
    // Tab runs from number to number, so that a sheet can be typed in one go; Alt+Down in a field opens its mark's
    // menu.
    originButton_->setFocusPolicy(Qt::NoFocus);
    auto* openMark =
        new QShortcut(QKeySequence(Qt::ALT | Qt::Key_Down), this, nullptr, nullptr, Qt::WidgetWithChildrenShortcut);
    connect(openMark, &QShortcut::activated, this, [this] {
        if (originButton_->isVisible() && originButton_->menu()) originButton_->showMenu();
    });
    QSizePolicy policy = originButton_->sizePolicy();
    policy.setRetainSizeWhenHidden(true);
    originButton_->setSizePolicy(policy);
    originButton_->setFixedWidth(row::markWidth());
    originButton_->setPopupMode(QToolButton::InstantPopup);
    auto* menu = new QMenu(originButton_);
    originButton_->setMenu(menu);
    connect(menu, &QMenu::aboutToShow, this, &FieldRow::fillOriginMenu);
}

void FieldRow::connectBox()
{
    connect(box_, &QuantityBox::rejected, this, &FieldRow::say);
    connect(box_, &QuantityBox::accepted, this, &FieldRow::say);
    resetAction_ = new QAction(tr("Reset to Default"), this);
    connect(resetAction_, &QAction::triggered, this, &FieldRow::resetWanted);
}

void FieldRow::setCompact(bool compact)
{
    asideColumn_->setVisible(!compact && box_);
    QSizePolicy policy = originButton_->sizePolicy();
    policy.setRetainSizeWhenHidden(!compact);
    originButton_->setSizePolicy(policy);
    auto* columns = static_cast<QBoxLayout*>(layout()->itemAt(0)->layout());
    for (int i = 3; i < columns->count(); ++i)
        if (QSpacerItem* gap = columns->itemAt(i)->spacerItem()) gap->changeSize(0, 0);
    columns->invalidate();
}

// --- Label and tip ---

void FieldRow::setLabel(const QString& label)
{
    label_->setText(label);
    field_->setAccessibleName(label);
    asideEdit_->setAccessibleName(tr("Uncertainty of %1").arg(label));
    showOrigin();
}

void FieldRow::setMeaning(const QString& meaning)
{
    meaning_ = meaning;
    showTip();
}

void FieldRow::showTip()
{
    QString tip = meaning_;
    if (box_) {
        const QString unit = unitName(box_->dimension(), system_);
        if (!unit.isEmpty())
            tip += tr("\nin %1; %2").arg(unit, box_->rangeText());
        else
            tip += QLatin1Char('\n') + box_->rangeText();
    }
    if (box_ && default_) tip += tr("\ndefault %1").arg(figureText(*default_, box_->dimension(), system_));
    label_->setToolTip(tip);
    field_->setAccessibleDescription(tip);
}

void FieldRow::setUnitSystem(UnitSystem system)
{
    system_ = system;
    if (!box_) return;
    box_->setUnitSystem(system);
    showTip();
    showAside();
}

void FieldRow::setHelpTopic(const QString& topic) { field_->setProperty("helpTopic", topic); }

void FieldRow::setDefaultSi(std::optional<double> si)
{
    default_ = si;
    if (!box_) return;
    box_->removeAction(resetAction_);
    if (si) box_->addAction(resetAction_);
    showTip();
}

// --- Where it is from ---

void FieldRow::setOrigin(std::optional<Origin> origin)
{
    origin_ = origin;
    showOrigin();
}

void FieldRow::setOriginEditable(bool editable)
{
    originEditable_ = editable;
    showOrigin();
}

void FieldRow::setUncertaintyEditable(bool editable)
{
    uncertaintyEditable_ = editable;
    showOrigin();
}

void FieldRow::showOrigin()
{
    originButton_->setVisible(origin_.has_value());
    originButton_->setEnabled(true);
    if (!origin_) return;
    originButton_->setIconName(originIcon(*origin_), Ink::dim);
    const QString word = originWord(*origin_);
    originButton_->setAccessibleName(tr("Origin of %1: %2").arg(label_->text(), word));
    originButton_->setToolTip(QStringLiteral("%1: %2").arg(word, originMeaning(*origin_)));
}

void FieldRow::fillOriginMenu()
{
    QMenu* menu = originButton_->menu();
    menu->clear();
    for (const Origin origin : origins) {
        if (!originEditable_) break;
        QAction* action =
            menu->addAction(inkedIcon(originIcon(origin), currentPlotPalette()), capitalised(originWord(origin)));
        action->setCheckable(true);
        action->setChecked(origin == origin_);
        action->setToolTip(originMeaning(origin));
        connect(action, &QAction::triggered, this, [this, origin] { emit originChosen(origin); });
    }
    if (!uncertaintyEditable_) return;
    if (originEditable_) menu->addSeparator();
    connect(menu->addAction(tr("Uncertainty\u2026")), &QAction::triggered, this, &FieldRow::editUncertainty);
}

// --- The column of the uncertainty ---

void FieldRow::setUncertaintySi(std::optional<double> si)
{
    uncertainty_ = si;
    showAside();
}

void FieldRow::setRemark(const QString& remark)
{
    remark_ = remark;
    showAside();
}

void FieldRow::setMissing(bool missing)
{
    missing_ = missing;
    showAside();
}

void FieldRow::setDefaultShown(bool shown)
{
    defaultShown_ = shown;
    showAside();
}

void FieldRow::showAside()
{
    if (!box_ || asideEdit_->isVisibleTo(asideColumn_)) return;
    QString text = remark_;
    if (uncertainty_)
        text = plusMinus + uncertaintyText(*uncertainty_, box_->dimension(), system_);
    else if (defaultShown_)
        text = tr("default");
    aside_->setText(text);
    aside_->setVisible(!missing_);
    missingMark_->setVisible(missing_);
    const PlotPalette palette = currentPlotPalette();
    if (missing_)
        missingMark_->setPixmap(
            inkedPixmap(markIcon(Mark::missing), palette.dim, palette.window, px(15), devicePixelRatioF()));
    field_->setAccessibleName(missing_ ? tr("%1, missing").arg(label_->text()) : label_->text());
}

void FieldRow::editUncertainty()
{
    if (!box_) return;
    aside_->hide();
    missingMark_->hide();
    setNotTaken(*asideEdit_, false);
    asideEdit_->setText(uncertainty_ ? uncertaintyText(*uncertainty_, box_->dimension(), system_) : QString());
    asideEdit_->setModified(false);
    asideEdit_->show();
    asideEdit_->setFocus();
    asideEdit_->selectAll();
}

std::optional<double> FieldRow::readUncertainty(const QString& typed) const
{
    QString text = typed.trimmed();
    if (text.startsWith(QChar(0x00B1))) text = text.mid(1).trimmed();
    if (text.endsWith(QLatin1Char('%'))) {
        text.chop(1);
        const Result<double> percent = parseQuantity(text.toStdString(), Dimension::ratio, system_);
        if (!percent || !box_->si() || *percent < 0) return {};
        return std::abs(*box_->si()) * *percent / 100;
    }
    const Result<double> si = parseQuantity(text.toStdString(), box_->dimension(), system_);
    if (!si) return {};
    const Unit& unit = shownUnit(box_->dimension(), system_);
    const double width = *si - toSi(unit, 0);  // a width: the zero of the scale plays no part
    return width >= 0 ? std::optional(width) : std::nullopt;
}

void FieldRow::endUncertaintyEdit(bool take)
{
    if (asideEdit_->isHidden()) return;
    const QString text = asideEdit_->text().trimmed();
    const bool edited = take && asideEdit_->isModified();
    const std::optional<double> si = edited ? readUncertainty(text) : std::nullopt;
    if (edited && !text.isEmpty() && !si) return setNotTaken(*asideEdit_, true);
    const bool hadFocus = asideEdit_->hasFocus();
    asideEdit_->hide();
    showAside();
    if (hadFocus) originButton_->setFocus();
    if (!edited) return;
    if (si)
        emit uncertaintyCommitted(*si);
    else
        emit uncertaintyCleared();
}

// --- What is said below ---

void FieldRow::setMessage(Mark mark, const QString& text)
{
    outsideMark_ = mark;
    outsideText_ = text;
    say();
}

void FieldRow::say()
{
    const QString rejection = box_ ? box_->rejection() : QString();
    if (!rejection.isEmpty())
        message_->setState(Mark::over, tr("Not taken"), rejection);
    else
        message_->setState(outsideMark_, outsideText_);
    message_->setVisible(!rejection.isEmpty() || outsideMark_ != Mark::fine);
    if (box_) field_->setAccessibleDescription(rejection.isEmpty() ? label_->toolTip() : rejection);
}

void FieldRow::takeFocus()
{
    field_->setFocus(Qt::OtherFocusReason);
    if (box_) box_->selectAll();
    for (QWidget* up = parentWidget(); up; up = up->parentWidget())
        if (auto* area = qobject_cast<QScrollArea*>(up)) return area->ensureWidgetVisible(this);
}

// --- Events ---

void FieldRow::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::PaletteChange) showAside();
    QWidget::changeEvent(event);
}

bool FieldRow::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == aside_ && uncertaintyEditable_ && event->type() == QEvent::MouseButtonPress) {
        editUncertainty();
        return true;
    }
    if (watched != asideEdit_) return false;
    if (event->type() == QEvent::FocusOut) endUncertaintyEdit(true);
    if (event->type() != QEvent::KeyPress && event->type() != QEvent::ShortcutOverride) return false;
    const int key = static_cast<QKeyEvent*>(event)->key();
    const bool ends = key == Qt::Key_Escape || key == Qt::Key_Return || key == Qt::Key_Enter;
    if (!ends) return false;
    event->accept();
    if (event->type() == QEvent::KeyPress) endUncertaintyEdit(key != Qt::Key_Escape);
    return true;
}

}  // namespace portwright
