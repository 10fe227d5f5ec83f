// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/small_parts.h"

#include "app/desktop/components/app_palette.h"

#include <QKeyEvent>
#include <QPainter>

namespace portwright {

LetteredLabel::LetteredLabel(const QString& text, Letters letters, QWidget* parent)
    : QLabel(text, parent), letters_(letters)
{
    setFont(lettersFont(letters));
}

void LetteredLabel::changeEvent(QEvent* event)
{
    QLabel::changeEvent(event);
    if (event->type() != QEvent::ApplicationFontChange || changing_) return;
    changing_ = true;
    setFont(lettersFont(letters_));
    changing_ = false;
}

DimLabel::DimLabel(const QString& text, QWidget* parent) : QLabel(text, parent) { style(); }

void DimLabel::style()
{
    QPalette own = palette();
    own.setColor(QPalette::WindowText, currentPlotPalette().dim);
    changing_ = true;
    setPalette(own);
    changing_ = false;
}

void DimLabel::changeEvent(QEvent* event)
{
    QLabel::changeEvent(event);
    if ((event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) && !changing_)
        style();
}

TextLine::TextLine(QWidget* parent) : QLineEdit(parent)
{
    connect(this, &QLineEdit::textChanged, this, [this] {
        if (!hasFocus()) setCursorPosition(0);
    });
}

void TextLine::commitTyped()
{
    if (isModified()) emit editingFinished();
}

bool TextLine::event(QEvent* event)
{
    if (event->type() == QEvent::FocusOut) setCursorPosition(0);
    if (event->type() == QEvent::ShortcutOverride) {
        const auto* key = static_cast<QKeyEvent*>(event);
        const bool history = key->matches(QKeySequence::Undo) || key->matches(QKeySequence::Redo);
        if (history && !(isModified() && isUndoAvailable())) {
            event->ignore();
            return false;
        }
    }
    return QLineEdit::event(event);
}

SlotTag::SlotTag(QWidget* parent) : QWidget(parent) { setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Fixed); }

void SlotTag::setSlot(int slot)
{
    slot_ = slot;
    setToolTip(tr("Housing %1").arg(housingLetter(slot)));
    update();
}

QSize SlotTag::sizeHint() const { return {px(16), px(16)}; }

void SlotTag::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setFont(lettersFont(Letters::remark));
    paintHousingTag(painter, QRectF(0, 0, width(), height()), currentPlotPalette(), slot_, TagFace::filled);
}

}  // namespace portwright
