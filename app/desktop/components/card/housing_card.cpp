// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/housing_card.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/card/card_tag.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/labels.h"
#include "app/desktop/components/measures.h"

#include <QAction>
#include <QContextMenuEvent>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLineEdit>
#include <QMenu>
#include <QMouseEvent>
#include <QPainter>
#include <QSignalBlocker>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {

HousingCard::HousingCard(int slot, QWidget* parent) : QFrame(parent), slot_(slot)
{
    setFrameShape(QFrame::NoFrame);
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Minimum);
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(px(10), px(7), px(9), px(9));
    rows->setSpacing(px(6));
    verdicts_ = new VerdictList(this);
    buildHead();
    buildMiddle();
    rows->addWidget(verdicts_);
    buildMenu();
    dress();
    setMovable(false, false);
    setSlot(slot);
}

// --- Building ---

void HousingCard::buildHead()
{
    tag_ = new CardTag(slot_, TagFace::filled, this);
    tag_->setDraggable(true);
    connect(tag_, &CardTag::dragMoved, this, &HousingCard::dragMoved);
    connect(tag_, &CardTag::dragEnded, this, &HousingCard::dragEnded);
    connect(tag_, &CardTag::dragCancelled, this, &HousingCard::dragCancelled);
    nameLabel_ = new NameLabel(this);
    nameLabel_->setTwoLines(true);
    nameLabel_->installEventFilter(this);
    nameEdit_ = new QLineEdit(this);
    nameEdit_->installEventFilter(this);
    nameEdit_->setMaxLength(200);
    nameEdit_->hide();
    eye_ = new IconButton(QStringLiteral("show"), tr("Hide"), this);
    connect(eye_, &QToolButton::clicked, this, [this] { emit shownToggled(!shown_); });
    dots_ = new IconButton(QStringLiteral("dots"), tr("More"), this);
    dots_->setPopupMode(QToolButton::InstantPopup);

    auto* head = new QHBoxLayout;
    head->setSpacing(px(7));
    head->addWidget(tag_);
    head->addWidget(nameLabel_, 1);
    head->addWidget(nameEdit_, 1);
    head->addWidget(eye_);
    head->addWidget(dots_);
    static_cast<QVBoxLayout*>(layout())->addLayout(head);
}

void HousingCard::buildMiddle()
{
    middle_ = new QGridLayout;
    middle_->setHorizontalSpacing(px(8));
    middle_->setVerticalSpacing(px(1));
    middle_->setColumnStretch(0, 1);
    for (int i = 0; i < 4; ++i) {
        auto*& name = figureNames_[std::size_t(i)];
        auto*& value = figureValues_[std::size_t(i)];
        name = new QLabel(this);
        value = new QLabel(this);
        value->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
        middle_->addWidget(name, i, 1);
        middle_->addWidget(value, i, 2);
    }
    remark_ = new QLabel(this);
    remark_->setAlignment(Qt::AlignRight | Qt::AlignTop);
    middle_->addWidget(remark_, 4, 1, 1, 2);
    middle_->setRowStretch(5, 1);
    static_cast<QVBoxLayout*>(layout())->addLayout(middle_);
}

void HousingCard::buildMenu()
{
    menu_ = new QMenu(this);
    const auto add = [this](const QString& words, const QKeySequence& keys, auto&& act) {
        QAction* action = menu_->addAction(words, this, act);
        action->setShortcut(keys);
        action->setShortcutContext(Qt::WidgetShortcut);  // shown here; the card's own key handling acts on it
        return action;
    };
    add(tr("Rename"), QKeySequence(Qt::Key_F2), [this] { rename(); });
    add(tr("Copy"), {}, [this] { emit copyWanted(); });
    removeAction_ =
        add(tr("Remove"), QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Backspace), [this] { emit removeWanted(); });
    menu_->addSeparator();
    ownFeedAction_ = add(tr("Own Feed"), {}, [this] { emit ownFeedToggled(ownFeedAction_->isChecked()); });
    ownFeedAction_->setCheckable(true);
    menu_->addSeparator();
    upAction_ = add(tr("Move Up"), QKeySequence(Qt::CTRL | Qt::Key_Up), [this] { emit moveWanted(-1); });
    downAction_ = add(tr("Move Down"), QKeySequence(Qt::CTRL | Qt::Key_Down), [this] { emit moveWanted(1); });
    dots_->setMenu(menu_);
}

void HousingCard::dress()
{
    nameLabel_->setFont(lettersFont(Letters::readout));
    nameEdit_->setFont(lettersFont(Letters::readout));
    for (QLabel* name : figureNames_)
        name->setForegroundRole(QPalette::PlaceholderText);
    for (QLabel* value : figureValues_) {
        QFont font = figureFont(Letters::body);
        font.setWeight(QFont::DemiBold);
        value->setFont(font);
    }
    makeRemark(*remark_);
}

void HousingCard::nameChildren()
{
    const QString letter = housingLetter(slot_);
    setAccessibleName(tr("Housing %1: %2").arg(letter, name_));
    nameEdit_->setAccessibleName(tr("Name of housing %1").arg(letter));
    eye_->setAccessibleName(shown_ ? tr("Hide %1").arg(letter) : tr("Show %1").arg(letter));
    eye_->setToolTip(eye_->accessibleName());
    dots_->setAccessibleName(tr("More for %1").arg(letter));
    dots_->setToolTip(tr("Copy, remove, own feed"));
}

// --- What it is told ---

void HousingCard::setSlot(int slot)
{
    slot_ = slot;
    tag_->setSlot(slot);
    nameChildren();
}

void HousingCard::setName(const QString& name)
{
    name_ = name;
    nameLabel_->setText(name);
    nameChildren();
}

void HousingCard::setChosen(bool chosen)
{
    chosen_ = chosen;
    setAccessibleDescription(chosen ? tr("chosen") : QString());
    update();
}

void HousingCard::setHousingShown(bool shown)
{
    shown_ = shown;
    eye_->setIconName(shown ? QStringLiteral("show") : QStringLiteral("hide"), shown ? Ink::text : Ink::dim);
    nameChildren();
}

void HousingCard::setOwnFeed(bool own) { ownFeedAction_->setChecked(own); }

void HousingCard::setMovable(bool up, bool down)
{
    upAction_->setEnabled(up);
    downAction_->setEnabled(down);
}

void HousingCard::setRemovable(bool removable) { removeAction_->setEnabled(removable); }

void HousingCard::setCut(QWidget* cut)
{
    if (cut_ == cut) return;
    if (cut_) cut_->deleteLater();
    cut_ = cut;
    if (!cut_) return;
    cut_->setParent(this);
    middle_->addWidget(cut_, 0, 0, 6, 1);
}

void HousingCard::setFigures(const CardFigures& figures)
{
    for (std::size_t i = 0; i < figures.figures.size(); ++i) {
        figureNames_[i]->setText(figures.figures[i].name);
        figureValues_[i]->setText(figures.figures[i].value);
    }
    remark_->setText(figures.remark);
}

int HousingCard::roomForCut() const
{
    int names = 0, values = 0;
    for (std::size_t i = 0; i < figureNames_.size(); ++i) {
        names = std::max(names, figureNames_[i]->sizeHint().width());
        values = std::max(values, figureValues_[i]->sizeHint().width());
    }
    const int gap = middle_->horizontalSpacing();
    const int figures = std::max(names + gap + values, remark_->sizeHint().width());
    const QMargins edge = layout()->contentsMargins();
    return width() - edge.left() - edge.right() - gap - figures;
}

int HousingCard::placeAt(const QList<QWidget*>& column, int globalY)
{
    int place = 0;
    for (const QWidget* card : column)
        if (globalY > card->mapToGlobal(card->rect().center()).y()) ++place;
    return place;
}

// --- The name in place ---

void HousingCard::rename()
{
    nameEdit_->setText(name_);
    nameLabel_->hide();
    nameEdit_->show();
    nameEdit_->setFocus();
    nameEdit_->selectAll();
}

void HousingCard::endRename(bool take)
{
    if (nameEdit_->isHidden()) return;
    const QString typed = nameEdit_->text().simplified();
    const bool hadFocus = nameEdit_->hasFocus();
    nameEdit_->hide();
    nameLabel_->show();
    if (hadFocus) setFocus();
    if (!take || typed.isEmpty() || typed == name_) return;
    setName(typed);
    emit nameChanged(typed);
}

// --- Events ---

void HousingCard::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const double width = chosen_ ? pxf(2) : std::max(1.0, pxf(1));
    painter.setPen(QPen(chosen_ ? palette.accent : palette.line, width));
    painter.setBrush(palette.raised);
    const QRectF frame = QRectF(rect()).adjusted(width / 2, width / 2, -width / 2, -width / 2);
    painter.drawRoundedRect(frame, pxf(5), pxf(5));
    if (!hasFocus()) return;
    const double inset = pxf(3.5);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.accent, pxf(chosen_ ? 1 : 2)));
    painter.drawRoundedRect(frame.adjusted(inset, inset, -inset, -inset), pxf(3), pxf(3));
}

void HousingCard::mousePressEvent(QMouseEvent* event)
{
    if (event->button() == Qt::LeftButton && !chosen_) emit chosen();
    setFocus(Qt::MouseFocusReason);
    event->accept();
}

void HousingCard::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers() & Qt::ControlModifier;
    switch (event->key()) {
    case Qt::Key_F2:
        return rename();
    case Qt::Key_Return:
    case Qt::Key_Enter:
    case Qt::Key_Space:
        return void(emit chosen());
    case Qt::Key_Delete:
        if (removeAction_->isEnabled()) emit removeWanted();
        return;
    case Qt::Key_Up:
    case Qt::Key_Down: {
        const bool up = event->key() == Qt::Key_Up;
        if (!control) break;
        if ((up ? upAction_ : downAction_)->isEnabled()) emit moveWanted(up ? -1 : 1);
        return;
    }
    case Qt::Key_Escape:
        if (!tag_->dragging()) break;
        return tag_->cancelDrag();
    default:
        break;
    }
    QFrame::keyPressEvent(event);
}

void HousingCard::focusInEvent(QFocusEvent* event)
{
    QFrame::focusInEvent(event);
    update();
}

void HousingCard::focusOutEvent(QFocusEvent* event)
{
    QFrame::focusOutEvent(event);
    update();
}

void HousingCard::contextMenuEvent(QContextMenuEvent* event) { menu_->popup(event->globalPos()); }

void HousingCard::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::ApplicationFontChange) dress();
    QFrame::changeEvent(event);
}

bool HousingCard::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == nameLabel_ && event->type() == QEvent::MouseButtonDblClick) {
        rename();
        return true;
    }
    if (watched != nameEdit_) return false;
    if (event->type() == QEvent::FocusOut && static_cast<QFocusEvent*>(event)->reason() != Qt::PopupFocusReason)
        endRename(true);
    if (event->type() != QEvent::KeyPress && event->type() != QEvent::ShortcutOverride) return false;
    const int key = static_cast<QKeyEvent*>(event)->key();
    if (key != Qt::Key_Escape && key != Qt::Key_Return && key != Qt::Key_Enter) return false;
    event->accept();
    if (event->type() == QEvent::KeyPress) endRename(key != Qt::Key_Escape);
    return true;
}

}  // namespace portwright
