// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/question_bar.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/workshop_style.h"

#include <QHBoxLayout>
#include <QPainter>
#include <QPushButton>

namespace portwright {

QuestionBar::QuestionBar(QWidget* parent) : QWidget(parent), line_(new StateLine(this)), row_(new QHBoxLayout(this))
{
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    row_->setContentsMargins(px(14), px(6), px(14), px(7));
    row_->setSpacing(px(8));
    row_->addWidget(line_, 1, Qt::AlignVCenter);
    hide();
}

void QuestionBar::ask(const QString& question, const QStringList& verbs, int mainVerb)
{
    line_->setState(Mark::note, question);
    setAccessibleName(question);
    qDeleteAll(buttons_);
    buttons_.clear();
    for (int i = 0; i < verbs.size(); ++i) {
        auto* button = new QPushButton(verbs[i], this);
        setButtonFace(*button, i == mainVerb ? ButtonFace::main : ButtonFace::plain);
        button->setAccessibleDescription(question);
        connect(button, &QPushButton::clicked, this, [this, i] { emit answered(i); });
        row_->addWidget(button, 0, Qt::AlignVCenter);
        buttons_.append(button);
    }
    show();
}

QString QuestionBar::question() const { return line_->text(); }

void QuestionBar::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.fillRect(rect(), palette.raised);
    painter.fillRect(0, height() - 1, width(), 1, palette.line);
}

}  // namespace portwright
