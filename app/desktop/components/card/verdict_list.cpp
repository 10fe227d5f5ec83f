// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/verdict_list.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/workshop_style.h"

#include <QApplication>
#include <QHBoxLayout>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {

namespace {

constexpr int shownFolded = 3;

/// A link-like button under the words of a verdict.
QPushButton* linkUnderWords(const QString& words, QVBoxLayout& rows, QWidget* parent)
{
    auto* button = new QPushButton(words, parent);
    setButtonFace(*button, ButtonFace::link);
    auto* row = new QHBoxLayout;
    row->setContentsMargins(px(14), 0, 0, px(2));  // the button's own margin brings it under the words
    row->addWidget(button);
    row->addStretch(1);
    rows.addLayout(row);
    return button;
}

/// What holds the list and can have the focus: the focus stays there when the pressed button goes with its verdict.
/// Not the next button, or a second press would apply something that was not read.
QWidget* focusableAbove(const QWidget& list)
{
    for (QWidget* widget = list.parentWidget(); widget && !widget->isWindow(); widget = widget->parentWidget())
        if ((widget->focusPolicy() & Qt::TabFocus) && widget->isEnabled()) return widget;
    return nullptr;
}

void clear(QLayout& layout)
{
    while (QLayoutItem* item = layout.takeAt(0)) {
        if (item->layout()) clear(*item->layout());
        if (QWidget* widget = item->widget()) {
            widget->hide();
            widget->deleteLater();  // it may be the button whose click led here
        }
        delete item;
    }
}

}  // namespace

VerdictList::VerdictList(QWidget* parent) : QWidget(parent), rows_(new QVBoxLayout(this))
{
    rows_->setContentsMargins(0, 0, 0, 0);
    rows_->setSpacing(px(2));
}

void VerdictList::setVerdicts(const QList<VerdictLine>& verdicts)
{
    if (verdicts == verdicts_) return;
    verdicts_ = verdicts;
    const QWidget* focus = QApplication::focusWidget();
    QWidget* keeper = focus && isAncestorOf(focus) ? focusableAbove(*this) : nullptr;
    build();
    if (keeper) keeper->setFocus();
}

void VerdictList::setUnfolded(bool unfolded)
{
    if (unfolded == unfolded_) return;
    unfolded_ = unfolded;
    build();
}

int VerdictList::shownCount() const
{
    const int all = static_cast<int>(verdicts_.size());
    return unfolded_ ? all : std::min(all, shownFolded);
}

void VerdictList::build()
{
    clear(*rows_);
    const int shown = shownCount(), rest = static_cast<int>(verdicts_.size()) - shownFolded;
    for (int i = 0; i < shown; ++i) {
        const VerdictLine& verdict = verdicts_[i];
        auto* line = new StateLine(this);
        line->setState(verdict.mark, verdict.text);
        line->setToolTip(verdict.tip);
        connect(line, &StateLine::clicked, this, [this, i] { emit verdictClicked(i); });
        rows_->addWidget(line);
        if (verdict.applyWords.isEmpty()) continue;
        QPushButton* apply = linkUnderWords(verdict.applyWords, *rows_, this);
        apply->setAccessibleName(verdict.applyWords);
        apply->setAccessibleDescription(verdict.text);
        connect(apply, &QPushButton::clicked, this, [this, i] { emit applyWanted(i); });
    }
    if (rest <= 0) return;
    QPushButton* fold = linkUnderWords(unfolded_ ? tr("show fewer") : tr("and %1 more").arg(rest), *rows_, this);
    fold->setAccessibleName(fold->text());
    connect(fold, &QPushButton::clicked, this, [this] {
        setUnfolded(!unfolded_);
        if (!isVisible()) return;
        const QList<QPushButton*> buttons = findChildren<QPushButton*>();
        if (!buttons.isEmpty()) buttons.last()->setFocus();  // the same button, built anew
    });
}

}  // namespace portwright
