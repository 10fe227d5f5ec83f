// SPDX-License-Identifier: GPL-3.0-or-later
// How a limit stands: mark, word, sentence.
#pragma once

#include "plots/plot_palette.h"

#include <QString>
#include <QWidget>

#include <memory>

class QTextLayout;

namespace portwright {

/// cannot: what is given cannot be. fine and absent have no icon and no word.
enum class Mark { fine, holds, near, over, cannot, missing, note, absent };

QString markIcon(Mark mark);                               ///< "over", empty for fine and absent
QString markWord(Mark mark);                               ///< "Over"
QColor markColour(const PlotPalette& palette, Mark mark);  ///< of word and mark

/// Mark, coloured word and a sentence that wraps under the word.
class StateLine : public QWidget {
    Q_OBJECT
public:
    explicit StateLine(QWidget* parent = nullptr);
    ~StateLine() override;

    void setState(Mark mark, const QString& text) { setState(mark, markWord(mark), text); }
    void setState(Mark mark, const QString& word, const QString& text);
    Mark mark() const { return mark_; }
    QString word() const { return word_; }
    QString text() const { return text_; }

    bool hasHeightForWidth() const override { return true; }
    int heightForWidth(int width) const override;
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void clicked();

protected:
    void paintEvent(QPaintEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    double layOut(QTextLayout& layout, int width) const;
    Mark mark_ = Mark::fine;
    QString word_, text_;
};

}  // namespace portwright
