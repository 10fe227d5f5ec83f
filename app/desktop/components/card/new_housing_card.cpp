// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/new_housing_card.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/card/card_tag.h"
#include "app/desktop/components/field_row.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/segment_switch.h"
#include "app/desktop/components/workshop_style.h"
#include "core/document/fields.h"

#include <QApplication>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>

namespace portwright {

namespace {

constexpr int sealedPlace = 0, portedPlace = 1, copyPlace = 2;

NewHousing::Kind kindAt(int place)
{
    if (place == portedPlace) return NewHousing::Kind::ported;
    return place == copyPlace ? NewHousing::Kind::copy : NewHousing::Kind::sealed;
}

/// "Another housing..." with its key at the right.
class ClosedRow : public QAbstractButton {
public:
    explicit ClosedRow(QWidget* parent) : QAbstractButton(parent)
    {
        setText(NewHousingCard::tr("Another housing\u2026"));
        setAccessibleName(text());
        setFocusPolicy(Qt::StrongFocus);
        setCursor(Qt::PointingHandCursor);
        setAttribute(Qt::WA_Hover);
        setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    }
    QSize sizeHint() const override { return {px(220), px(34)}; }
    QSize minimumSizeHint() const override { return {px(150), px(34)}; }

protected:
    void paintEvent(QPaintEvent*) override
    {
        const PlotPalette palette = currentPlotPalette();
        QPainter painter(this);
        const double icon = pxf(18);
        paintIcon(painter, {pxf(10), (height() - icon) / 2, icon, icon}, QStringLiteral("add-housing"), palette.accent,
                  palette.window);
        QFont letters = lettersFont(Letters::body);
        letters.setWeight(QFont::DemiBold);
        painter.setFont(letters);
        painter.setPen(palette.accent);
        const QRectF words(pxf(36), 0, width() - pxf(46), height());
        painter.drawText(words, Qt::AlignLeft | Qt::AlignVCenter, text());
        const double used = painter.fontMetrics().horizontalAdvance(text()) + pxf(8);
        painter.setFont(lettersFont(Letters::remark));
        painter.setPen(palette.dim);
        const QString keys = QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_N).toString(QKeySequence::NativeText);
        if (used + painter.fontMetrics().horizontalAdvance(keys) <= words.width())
            painter.drawText(words, Qt::AlignRight | Qt::AlignVCenter, keys);
    }
};

}  // namespace

NewHousingCard::NewHousingCard(QWidget* parent) : QFrame(parent)
{
    setFrameShape(QFrame::NoFrame);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    start_ = {.kind = NewHousing::Kind::sealed, .netVolume = 5e-3, .tuning = 80, .leakQ = 7};
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    closedRow_ = new ClosedRow(this);
    connect(closedRow_, &QAbstractButton::clicked, this, &NewHousingCard::open);
    form_ = new QWidget(this);
    auto* form = new QVBoxLayout(form_);
    form->setContentsMargins(px(12), px(7), px(12), px(10));
    form->setSpacing(px(2));
    rows->addWidget(closedRow_);
    rows->addWidget(form_);
    buildHead();
    buildForm();
    dress();
    setCopyOf({});
    showOpen(false);
}

// --- Building ---

void NewHousingCard::buildHead()
{
    tag_ = new CardTag(slot_, TagFace::outlined, form_);
    title_ = new QLabel(tr("New housing"), form_);
    forget_ = new IconButton(QStringLiteral("remove"), tr("Forget the new housing"), form_);
    connect(forget_, &QToolButton::clicked, this, &NewHousingCard::close);
    auto* head = new QHBoxLayout;
    head->setSpacing(px(7));
    head->addWidget(tag_);
    head->addWidget(title_, 1);
    head->addWidget(forget_);
    static_cast<QVBoxLayout*>(form_->layout())->addLayout(head);
}

void NewHousingCard::buildForm()
{
    auto* rows = static_cast<QVBoxLayout*>(form_->layout());
    kind_ = new SegmentSwitch(tr("Kind of the new housing"), form_);
    connect(kind_, &SegmentSwitch::chosen, this, [this](int place) {
        typed_.kind = kindAt(place);
        showKind();
        emit previewed(typed_);
    });
    rows->addSpacing(px(4));
    rows->addWidget(kind_);
    rows->addSpacing(px(4));
    volume_ = addField(tr("Net volume"), "cavity", "net_volume_l", &NewHousing::netVolume);
    tuning_ = addField(tr("Tune to"), nullptr, nullptr, &NewHousing::tuning);
    tuning_->box()->setRangeSi(10, 500);
    leak_ = addField(tr("Leak Q"), "leak", "q", &NewHousing::leakQ);
    remark_ = new QLabel(form_);
    remark_->setWordWrap(true);
    add_ = new QPushButton(tr("Add it"), form_);
    add_->setAutoDefault(false);
    setButtonFace(*add_, ButtonFace::main);
    connect(add_, &QPushButton::clicked, this, &NewHousingCard::add);
    keys_ = new QLabel(tr("Enter adds, Esc forgets"), form_);
    auto* foot = new QHBoxLayout;
    foot->setSpacing(px(14));
    foot->addWidget(add_);
    foot->addWidget(keys_, 1);
    rows->addWidget(remark_);
    rows->addSpacing(px(4));
    rows->addLayout(foot);
}

FieldRow* NewHousingCard::addField(const QString& label, const char* object, const char* key,
                                   double NewHousing::* value)
{
    const FieldInfo* info = object ? fieldInfo(object, key) : nullptr;
    auto* row = new FieldRow(label, info ? info->dimension : Dimension::frequency, form_);
    QuantityBox* box = row->box();
    if (info) box->setRangeSi(info->min / info->perSi, info->max / info->perSi);
    row->setCompact(true);
    const auto typed = [this, value](double si) {
        typed_.*value = si;
        emit previewed(typed_);
    };
    connect(box, &QuantityBox::previewed, this, typed);
    connect(box, &QuantityBox::committed, this, typed);
    connect(box, &QuantityBox::reverted, this, [box, typed] { typed(box->si().value_or(0)); });
    form_->layout()->addWidget(row);
    return row;
}

void NewHousingCard::dress()
{
    title_->setFont(lettersFont(Letters::readout));
    makeRemark(*remark_);
    makeRemark(*keys_);
}

// --- What it is told ---

void NewHousingCard::setSlot(int slot)
{
    slot_ = slot;
    tag_->setSlot(slot);
}

void NewHousingCard::setCopyOf(const QString& letter)
{
    if (letter == copyOf_ && kind_->current() >= 0) return;
    copyOf_ = letter;
    QList<Segment> segments{{tr("Sealed"), {}, {}}, {tr("Ported"), {}, {}}};
    if (!letter.isEmpty()) segments.append({tr("Copy of %1").arg(letter), {}, {}});
    kind_->setSegments(segments);
    kind_->setStretched(true);
    typed_.kind = kindAt(kind_->current());
    showKind();
}

void NewHousingCard::setStart(const NewHousing& start)
{
    start_ = start;
    if (!open_) showStart();
}

void NewHousingCard::setRemark(const QString& remark)
{
    remark_->setText(remark);
    remark_->setVisible(!remark.isEmpty());
}

void NewHousingCard::setUnitSystem(UnitSystem system)
{
    for (FieldRow* row : {volume_, tuning_, leak_})
        row->setUnitSystem(system);
}

NewHousing NewHousingCard::current() const { return typed_; }

// --- Opening, adding, forgetting ---

void NewHousingCard::showStart()
{
    typed_ = start_;
    kind_->setCurrent(start_.kind == NewHousing::Kind::ported ? portedPlace
                      : start_.kind == NewHousing::Kind::copy ? copyPlace
                                                              : sealedPlace);
    typed_.kind = kindAt(kind_->current());
    volume_->box()->setSi(start_.netVolume);
    tuning_->box()->setSi(start_.tuning);
    leak_->box()->setSi(start_.leakQ);
    showKind();
}

void NewHousingCard::showKind()
{
    volume_->setVisible(typed_.kind != NewHousing::Kind::copy);
    tuning_->setVisible(typed_.kind == NewHousing::Kind::ported);
    leak_->setVisible(typed_.kind == NewHousing::Kind::sealed);
    updateGeometry();
}

void NewHousingCard::showOpen(bool open)
{
    open_ = open;
    closedRow_->setVisible(!open);
    form_->setVisible(open);
    updateGeometry();
    update();
}

void NewHousingCard::open()
{
    if (!open_) {
        showStart();
        showOpen(true);
        emit opened();
        emit previewed(typed_);
    }
    if (typed_.kind == NewHousing::Kind::copy)
        kind_->button(copyPlace)->setFocus();
    else
        volume_->takeFocus();
}

void NewHousingCard::offer()
{
    if (open_) return;
    showStart();
    showOpen(true);
    emit opened();
}

void NewHousingCard::close()
{
    if (!open_) return;
    const bool focused = isAncestorOf(QApplication::focusWidget());
    showOpen(false);
    if (focused) closedRow_->setFocus();
    emit dismissed();
}

/// Commits what is being typed; false if a field holds text that was not taken.
bool NewHousingCard::takeFields()
{
    for (FieldRow* row : {volume_, tuning_, leak_}) {
        if (row->isHidden()) continue;
        row->box()->commit();
        if (row->box()->rejection().isEmpty()) continue;
        row->takeFocus();
        return false;
    }
    return true;
}

void NewHousingCard::add()
{
    if (!open_ || !takeFields()) return;
    const NewHousing housing = typed_;
    showOpen(false);
    closedRow_->setFocus();
    emit added(housing);
}

// --- Events ---

void NewHousingCard::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    const bool strong = open_ || closedRow_->hasFocus();
    const double width = strong ? pxf(2) : std::max(1.0, pxf(1));
    QPen pen(strong ? palette.accent : palette.edge, width);
    pen.setCapStyle(Qt::FlatCap);
    pen.setDashPattern({4 * pxf(1) / width, 3 * pxf(1) / width});
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(pen);
    painter.setBrush(open_ || closedRow_->underMouse() ? QBrush(palette.raised) : QBrush(Qt::NoBrush));
    painter.drawRoundedRect(QRectF(rect()).adjusted(width / 2, width / 2, -width / 2, -width / 2), pxf(5), pxf(5));
}

void NewHousingCard::keyPressEvent(QKeyEvent* event)
{
    const int key = event->key();
    if (open_ && key == Qt::Key_Escape) return close();
    if (open_ && (key == Qt::Key_Return || key == Qt::Key_Enter)) return add();
    QFrame::keyPressEvent(event);
}

void NewHousingCard::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::ApplicationFontChange) dress();
    QFrame::changeEvent(event);
}

}  // namespace portwright
