// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/ledger/ledger_view.h"

#include "plots/chart/chart_state.h"
#include "plots/chart/line_clip.h"

#include <QClipboard>
#include <QFontInfo>
#include <QGuiApplication>
#include <QHelpEvent>
#include <QKeyEvent>
#include <QPainter>
#include <QStyle>
#include <QToolTip>
#include <QVariantAnimation>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

/// Where everything lies, px.
struct Columns {
    double em = 1, row = 19, head = 25;
    double causeLeft = 14, causeRight = 170, barsLeft = 176, barsRight = 420;
    double figure = 52, figuresLeft = 436, sentence = 558, right = 1266;
};

QFont pixels(const QFont& font, double factor, QFont::Weight weight)
{
    QFont f = font;
    f.setPixelSize(std::max(int(std::lround(QFontInfo(font).pixelSize() * factor)), 1));
    f.setWeight(weight);
    return f;
}

Columns columnsOf(const QFont& font, const QRectF& box, int rowHeight, const LedgerModel& model)
{
    Columns c;
    const QFontMetricsF bold(pixels(font, 1, QFont::DemiBold));
    c.em = QFontInfo(font).pixelSize() / 12.0;
    c.row = rowHeight > 0 ? rowHeight : std::max(19 * c.em, bold.height());
    c.head = 25 * c.em;
    c.causeLeft = box.left() + 14 * c.em;
    double cause = 0;
    for (const LedgerRow& row : model.rows())
        cause = std::max(cause, bold.horizontalAdvance(row.name));
    c.causeRight = c.causeLeft + std::max(cause, 100 * c.em) + 10 * c.em;
    c.figure = bold.horizontalAdvance(QStringLiteral("\u2212888.8")) + 12 * c.em;
    const double figures = c.figure * double(std::max<std::size_t>(model.columns().size(), 1));
    c.right = box.right() - 14 * c.em;
    const double room = c.right - c.causeRight - figures - 40 * c.em;
    const double bars = std::clamp(room * 0.36, 90 * c.em, 320 * c.em);  // the sentence needs the rest
    c.barsLeft = c.causeRight + 8 * c.em;
    c.barsRight = c.barsLeft + bars;
    c.figuresLeft = c.barsRight + 16 * c.em;
    c.sentence = c.figuresLeft + figures + 18 * c.em;
    return c;
}

/// Levels the bars are drawn between: a whole number of 5 dB steps around every step of the chosen housing.
AxisRange barRange(const std::vector<std::pair<double, double>>& bars)
{
    double low = 1e9, high = -1e9;
    for (const auto& [a, b] : bars)
        if (std::isfinite(a) && std::isfinite(b)) low = std::min({low, a, b}), high = std::max({high, a, b});
    if (low > high) return {60, 110};
    const double foot = std::floor(low / 5 - 0.6) * 5;  // a stump of the totals stays in sight
    return {foot, std::max(std::ceil(high / 5) * 5, foot + 10)};
}

/// Paints one ledger.
struct LedgerPainting {
    QPainter& painter;
    const LedgerModel& model;
    const PlotPalette& palette;
    QFont font;
    QLocale locale;
    Columns at;
    QRectF box;
    int current;  ///< row with the keyboard, -1: none
    const std::vector<std::pair<double, double>>& bars;

    double top(std::size_t row) const { return box.top() + at.head + at.row * double(row); }
    void head(bool folded) const;
    void rows(std::size_t first) const;
    void figures(const LedgerRow& row, const QRectF& line) const;
    void sentence(const LedgerRow& row, const QRectF& line) const;
    void bar(std::size_t i, const AxisRange& range) const;
    void totalBar(const QRectF& plate, bool start) const;
    void rules(std::size_t last) const;
    double x(double level, const AxisRange& range) const
    {
        const double share = (level - range.lower) / (range.upper - range.lower);
        return at.barsLeft + std::clamp(share, 0.0, 1.0) * (at.barsRight - at.barsLeft);
    }
    QColor colour() const { return housingColour(palette, model.columns()[std::size_t(model.chosenColumn())].slot); }
};

QString headWords(const LedgerModel& model, const QLocale& locale)
{
    if (model.columns().empty()) return {};
    return QObject::tr("at %1\u00a0Hz, for").arg(readoutText(model.columns().front().ledger.frequency, locale));
}

QString titleWords() { return QObject::tr("Where the bass went"); }

std::vector<std::pair<int, QRectF>> letterBoxes(const LedgerModel& model, const QFont& font, const Columns& at,
                                                const QRectF& box, const QLocale& locale)
{
    std::vector<std::pair<int, QRectF>> found;
    double x = at.causeLeft + QFontMetricsF(pixels(font, 1, QFont::DemiBold)).horizontalAdvance(titleWords()) +
               12 * at.em +
               QFontMetricsF(pixels(font, 0.92, QFont::Normal)).horizontalAdvance(headWords(model, locale)) + 6 * at.em;
    const double columns = double(model.columns().size());
    if (x + 21 * at.em * columns + 8 * at.em >
        at.figuresLeft) {  // no room beside the title: the letters head their columns
        for (std::size_t i = 0; i < model.columns().size(); ++i)
            found.emplace_back(model.columns()[i].slot, QRectF(at.figuresLeft + at.figure * double(i + 1) - 20 * at.em,
                                                               box.top() + 4.5 * at.em, 16 * at.em, 16 * at.em));
        return found;
    }
    for (const LedgerColumn& c : model.columns()) {
        found.emplace_back(c.slot, QRectF(x, box.top() + 4.5 * at.em, 16 * at.em, 16 * at.em));
        x += 21 * at.em;
    }
    return found;
}

void LedgerPainting::head(bool folded) const
{
    const double baseline = box.top() + 16.5 * at.em;
    painter.setFont(pixels(font, 1, QFont::DemiBold));
    painter.setPen(palette.text);
    painter.drawText(QPointF(at.causeLeft, baseline), titleWords());
    const double after = at.causeLeft + QFontMetricsF(painter.font()).horizontalAdvance(titleWords()) + 12 * at.em;
    const QFont small = pixels(font, 0.92, QFont::Normal);
    painter.setFont(small);
    painter.setPen(palette.dim);
    painter.drawText(QPointF(after, baseline), headWords(model, locale));
    const auto letters = letterBoxes(model, font, at, box, locale);
    const int chosen = model.chosenColumn();
    for (std::size_t i = 0; i < letters.size(); ++i)
        paintHousingTag(painter, letters[i].second, palette, letters[i].first,
                        int(i) == chosen ? TagFace::filled : TagFace::outlined);
    painter.setFont(small);
    painter.setPen(palette.dim);
    const bool heading = !letters.empty() && letters.front().second.left() > at.figuresLeft - 20 * at.em;
    const double used = letters.empty() || heading ? after : letters.back().second.right() + 8 * at.em;
    for (std::size_t i = 0; i < model.columns().size(); ++i) {
        const QRectF cell(at.figuresLeft + at.figure * double(i), box.top(), at.figure - 2 * at.em, at.head);
        if (cell.left() > used && !folded && !heading)
            painter.drawText(cell, Qt::AlignRight | Qt::AlignVCenter,
                             QObject::tr("%1, dB").arg(housingLetter(model.columns()[i].slot)));
    }
    const QRectF note(at.sentence, box.top(), at.right - at.sentence, at.head);
    const QString words = QObject::tr("each upright line is 5\u00a0dB; hatched takes, solid gives");
    if (!folded && QFontMetricsF(small).horizontalAdvance(words) <= note.width() && note.left() > used)
        painter.drawText(note, Qt::AlignLeft | Qt::AlignVCenter, words);
}

void LedgerPainting::figures(const LedgerRow& row, const QRectF& line) const
{
    const bool total = row.kind != LedgerRow::Kind::step;
    const int chosen = model.chosenColumn();
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        const LedgerCell& cell = row.cells[i];
        const bool strong = total || int(i) == chosen;
        const bool dim = !total && (cell.small || !cell.tenths);
        painter.setFont(pixels(font, 1, strong ? QFont::DemiBold : QFont::Normal));
        painter.setPen(dim || !strong ? palette.dim : palette.text);
        painter.drawText(
            QRectF(at.figuresLeft + at.figure * double(i), line.top(), at.figure - 2 * at.em, line.height()),
            Qt::AlignRight | Qt::AlignVCenter, ledgerFigure(cell, row.kind, locale));
    }
}

void LedgerPainting::sentence(const LedgerRow& row, const QRectF& line) const
{
    const LedgerCell& cell = row.cells[std::size_t(model.chosenColumn())];
    const bool dim = row.kind == LedgerRow::Kind::step && (cell.small || !cell.tenths);
    painter.setFont(pixels(font, 1, QFont::Normal));
    painter.setPen(dim ? palette.dim : palette.text);
    const QString words = painter.fontMetrics().elidedText(cell.sentence, Qt::ElideRight, int(at.right - at.sentence));
    painter.drawText(QRectF(at.sentence, line.top(), at.right - at.sentence, line.height()),
                     Qt::AlignLeft | Qt::AlignVCenter, words);
}

/// A total starts far left of the picture, so it carries a break mark.
void LedgerPainting::totalBar(const QRectF& plate, bool start) const
{
    painter.setPen(Qt::NoPen);
    painter.setBrush(start ? blended(colour(), palette.raised, 0.4) : colour());
    painter.drawRect(plate);
    painter.setPen(QPen(palette.raised, 2 * at.em));
    for (const double shift : {13.0, 18.0})
        if (plate.width() > (shift + 6) * at.em)
            painter.drawLine(QPointF(plate.left() + (shift - 2) * at.em, plate.bottom() + 1),
                             QPointF(plate.left() + (shift + 2) * at.em, plate.top() - 1));
    painter.setBrush(Qt::NoBrush);
}

void LedgerPainting::bar(std::size_t i, const AxisRange& range) const
{
    const LedgerRow& row = model.rows()[i];
    const auto [from, to] = bars[i];
    if (!std::isfinite(from) || !std::isfinite(to)) return;
    const double height = 10 * at.em, y = top(i) + (at.row - height) / 2;
    const double a = x(from, range), b = x(to, range);
    painter.setRenderHint(QPainter::Antialiasing, true);
    if (row.kind != LedgerRow::Kind::step) {
        totalBar(QRectF(at.barsLeft, y, std::max(b - at.barsLeft, 1.0), height), row.kind == LedgerRow::Kind::start);
    } else {
        const QRectF plate(std::min(a, b), y, std::abs(b - a), height);
        if (b >= a && plate.width() > 0.5) {
            painter.fillRect(plate, colour());
        } else if (plate.width() > 0.5) {
            painter.setPen(QPen(colour(), 1));
            painter.drawLines(hatchOf(plate, 4 * at.em));
            painter.setPen(QPen(colour(), 1.2));
            painter.setBrush(Qt::NoBrush);
            painter.drawRect(plate.adjusted(0.6, 0.6, -0.6, -0.6));
        }
    }
    if (i + 1 < bars.size()) {  // the step down to the next row
        painter.setPen(QPen(palette.dim, 1));
        painter.drawLine(QPointF(b, y + (row.kind == LedgerRow::Kind::step ? 0 : height)), QPointF(b, y + at.row));
    }
}

/// Single rule above the total, double below, as in an account book.
void LedgerPainting::rules(std::size_t last) const
{
    painter.setRenderHint(QPainter::Antialiasing, false);
    painter.setPen(QPen(palette.text, 1));
    const double right = at.figuresLeft + at.figure * double(model.columns().size());
    const double y = top(last), foot = y + at.row - 2;
    painter.drawLine(QLineF(at.figuresLeft, y, right, y));
    painter.drawLine(QLineF(at.figuresLeft, foot - 2, right, foot - 2));
    painter.drawLine(QLineF(at.figuresLeft, foot + 1, right, foot + 1));
}

void LedgerPainting::rows(std::size_t first) const
{
    const std::vector<LedgerRow>& all = model.rows();
    const AxisRange range = barRange(bars);
    painter.setRenderHint(QPainter::Antialiasing, false);
    painter.setPen(QPen(palette.line, 1));
    if (first == 0)
        for (double level = range.lower; level <= range.upper + 1e-9; level += 5)
            painter.drawLine(QLineF(x(level, range), top(0), x(level, range), top(all.size())));
    for (std::size_t i = first; i < all.size(); ++i) {
        const QRectF line(at.causeLeft, top(i - first), at.right - at.causeLeft, at.row);
        if (first == 0 && int(i) == current) {
            painter.fillRect(QRectF(box.left(), line.top(), box.width(), line.height()),
                             blended(palette.accent, palette.raised, 0.14));
            painter.fillRect(QRectF(box.left(), line.top(), 3 * at.em, line.height()), palette.accent);
        }
        painter.setFont(pixels(font, 1, all[i].kind == LedgerRow::Kind::step ? QFont::Normal : QFont::DemiBold));
        painter.setPen(palette.text);
        painter.drawText(line, Qt::AlignLeft | Qt::AlignVCenter, all[i].name);
        figures(all[i], line);
        sentence(all[i], line);
        if (i + 1 < all.size()) {
            painter.setRenderHint(QPainter::Antialiasing, false);
            painter.setPen(QPen(palette.line, 1));
            painter.drawLine(QLineF(line.left(), line.bottom(), at.causeRight - 6 * at.em, line.bottom()));
            painter.drawLine(QLineF(at.figuresLeft, line.bottom(), at.right, line.bottom()));
        }
    }
    if (first == 0) {
        for (std::size_t i = 0; i < all.size() && i < bars.size(); ++i)
            bar(i, range);
        rules(all.size() - 1);
    }
}

std::vector<std::pair<double, double>> barsOf(const LedgerModel& model)
{
    std::vector<std::pair<double, double>> bars;
    const int chosen = model.chosenColumn();
    for (const LedgerRow& row : model.rows())
        bars.emplace_back(row.cells[std::size_t(chosen)].from, row.cells[std::size_t(chosen)].to);
    return bars;
}

void paintLedger(QPainter& painter, const QRectF& box, const LedgerModel& model, const PlotPalette& palette,
                 const QFont& font, const QLocale& locale, int rowHeight, int current, bool folded,
                 const std::vector<std::pair<double, double>>& bars)
{
    painter.save();
    const LedgerPainting p{painter, model,   palette, font, locale, columnsOf(font, box, rowHeight, model),
                           box,     current, bars};
    p.head(folded);
    if (model.rows().empty()) {
        painter.setPen(palette.dim);
        painter.setFont(font);
        if (!folded)
            painter.drawText(QRectF(p.at.causeLeft, box.top() + p.at.head, box.width(), p.at.row),
                             Qt::AlignLeft | Qt::AlignVCenter,
                             QObject::tr("The account opens with the first complete housing."));
    } else {
        p.rows(folded ? model.rows().size() - 1 : 0);
    }
    painter.restore();
}

}  // namespace

LedgerView::LedgerView(QWidget* parent) : QWidget(parent), slide_(new QVariantAnimation(this))
{
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(titleWords());
    slide_->setDuration(120);
    slide_->setEasingCurve(QEasingCurve::OutCubic);
    slide_->setStartValue(0.0);
    slide_->setEndValue(1.0);
    connect(slide_, &QVariantAnimation::valueChanged, this, [this](const QVariant& value) {
        const double t = value.toDouble();
        const auto to = model_.rows().empty() ? decltype(barsShown_){} : barsOf(model_);
        barsShown_ = to;
        for (std::size_t i = 0; i < to.size() && i < barsFrom_.size() && to.size() == barsFrom_.size(); ++i) {
            barsShown_[i].first = barsFrom_[i].first + t * (to[i].first - barsFrom_[i].first);
            barsShown_[i].second = barsFrom_[i].second + t * (to[i].second - barsFrom_[i].second);
        }
        update();
    });
}

void LedgerView::setLedgers(std::vector<LedgerColumn> columns)
{
    model_.setLedger(std::move(columns), chosen_);
    refresh();
}

void LedgerView::setChosen(int slot)
{
    if (chosen_ == slot) return;
    chosen_ = slot;
    model_.setLedger(model_.columns(), chosen_);
    refresh();
}

void LedgerView::refresh()
{
    const auto target = model_.rows().empty() ? decltype(barsShown_){} : barsOf(model_);
    const bool still = reduced_ || !isVisible() || barsShown_.size() != target.size() ||
                       style()->styleHint(QStyle::SH_Widget_Animation_Duration) == 0;
    slide_->stop();
    barsFrom_ = barsShown_;
    if (still)
        barsShown_ = target;
    else
        slide_->start();
    current_ = std::clamp(current_, 0, std::max(int(model_.rows().size()) - 1, 0));
    describe();
    updateGeometry();
    update();
}

/// The whole account as text, for those who hear it.
void LedgerView::describe()
{
    QStringList lines;
    if (!model_.columns().empty())
        lines << headWords(model_, locale()) + u' ' +
                     housingLetter(model_.columns()[std::size_t(model_.chosenColumn())].slot);
    const int chosen = model_.chosenColumn();
    for (const LedgerRow& row : model_.rows())
        lines << row.name + u' ' + ledgerFigure(row.cells[std::size_t(chosen)], row.kind, locale()) +
                     QStringLiteral("\u00a0dB: ") + row.cells[std::size_t(chosen)].sentence;
    setAccessibleDescription(lines.join(u'\n'));
}

void LedgerView::setFolded(bool folded)
{
    folded_ = folded;
    updateGeometry();
    update();
}

void LedgerView::setRowHeight(int px)
{
    rowHeight_ = px;
    updateGeometry();
    update();
}

void LedgerView::setPlotPalette(const PlotPalette& palette)
{
    palette_ = palette;
    update();
}

void LedgerView::setReducedMotion(bool reduced) { reduced_ = reduced; }

void LedgerView::paintTo(QPainter& painter, const QRectF& box) const
{
    const auto bars = model_.rows().empty() ? decltype(barsShown_){} : barsOf(model_);
    paintLedger(painter, box, model_, palette_, font(), locale(), rowHeight_, -1, folded_, bars);
}

double LedgerView::heightFor(int rows) const
{
    const Columns at = columnsOf(font(), QRectF(rect()), rowHeight_, model_);
    return at.head + at.row * rows + 4;
}

QSize LedgerView::sizeHint() const
{
    const int rows = folded_ ? 1 : std::max(int(model_.rows().size()), 7);
    return {int(700 * QFontInfo(font()).pixelSize() / 12.0), int(std::ceil(heightFor(rows)))};
}

QSize LedgerView::minimumSizeHint() const
{
    return {int(320 * QFontInfo(font()).pixelSize() / 12.0), int(std::ceil(heightFor(1)))};
}

void LedgerView::copy() const { QGuiApplication::clipboard()->setText(model_.text()); }

bool LedgerView::event(QEvent* event)
{
    if (event->type() != QEvent::ToolTip) return QWidget::event(event);
    const auto* help = static_cast<QHelpEvent*>(event);
    const Columns at = columnsOf(font(), QRectF(rect()), rowHeight_, model_);
    for (const auto& [slot, box] : letterBoxes(model_, font(), at, QRectF(rect()), locale()))
        if (box.contains(help->pos())) {
            for (const LedgerColumn& c : model_.columns())
                if (c.slot == slot)
                    QToolTip::showText(help->globalPos(), tr("Show the account of %1").arg(c.name), this);
            return true;
        }
    const std::size_t row =
        folded_ ? model_.rows().size() - 1 : std::size_t(std::max(0.0, (help->pos().y() - at.head) / at.row));
    if (help->pos().x() > at.sentence && help->pos().y() > at.head && row < model_.rows().size())
        QToolTip::showText(help->globalPos(), model_.rows()[row].cells[std::size_t(model_.chosenColumn())].sentence,
                           this);
    else
        QToolTip::hideText();
    return true;
}

void LedgerView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.fillRect(rect(), palette_.raised);
    paintLedger(painter, QRectF(rect()), model_, palette_, font(), locale(), rowHeight_, hasFocus() ? current_ : -1,
                folded_, barsShown_);
    if (hasFocus()) {
        painter.setPen(QPen(palette_.accent, 2));
        painter.drawRect(QRectF(rect()).adjusted(1, 1, -1, -1));
    }
}

void LedgerView::mousePressEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton) return QWidget::mousePressEvent(event);
    const Columns at = columnsOf(font(), QRectF(rect()), rowHeight_, model_);
    for (const auto& [slot, box] : letterBoxes(model_, font(), at, QRectF(rect()), locale()))
        if (box.adjusted(-2, -3, 2, 3).contains(event->position())) {
            setChosen(slot);
            emit slotChosen(slot);
            return;
        }
    const double row = (event->position().y() - at.head) / at.row;
    if (folded_ || row < 0 || row >= double(model_.rows().size())) return;
    current_ = int(row);
    update();
    rowChosen();
}

void LedgerView::rowChosen()
{
    const LedgerRow& row = model_.rows()[std::size_t(current_)];
    if (row.kind == LedgerRow::Kind::start)
        emit startClicked();
    else if (row.kind == LedgerRow::Kind::end)
        emit endClicked();
    else if (row.cause >= 0)
        emit causeClicked(row.cause);
}

void LedgerView::keyPressEvent(QKeyEvent* event)
{
    const int rows = int(model_.rows().size()), columns = int(model_.columns().size());
    const int column = model_.chosenColumn();
    const auto choose = [&](int to) {
        if (to < 0 || to >= columns) return;
        const int slot = model_.columns()[std::size_t(to)].slot;
        setChosen(slot);
        emit slotChosen(slot);
    };
    if (event->matches(QKeySequence::Copy))
        copy();
    else if (event->key() == Qt::Key_Down && rows > 0)
        current_ = std::min(current_ + 1, rows - 1);
    else if (event->key() == Qt::Key_Up)
        current_ = std::max(current_ - 1, 0);
    else if (event->key() == Qt::Key_Left)
        choose(column - 1);
    else if (event->key() == Qt::Key_Right)
        choose(column + 1);
    else if ((event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter || event->key() == Qt::Key_Space) &&
             current_ < rows)
        rowChosen();
    else
        return QWidget::keyPressEvent(event);
    update();
}

void LedgerView::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::FontChange || event->type() == QEvent::LocaleChange) {
        describe();
        updateGeometry();
        update();
    }
}

}  // namespace portwright
