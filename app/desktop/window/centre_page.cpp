// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/centre_page.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/quantity_box.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/measure/measure_page.h"
#include "app/desktop/search/search_page.h"
#include "app/desktop/window/axis_row.h"
#include "core/driver/sheet.h"

#include <QHBoxLayout>
#include <QLineEdit>
#include <QPushButton>
#include <QResizeEvent>
#include <QStackedWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {

CentrePage::CentrePage(Workbench& workbench, QWidget* parent)
    : QWidget(parent), workbench_(workbench), charts_(new ChartsPage(workbench)), table_(new TablePage(workbench)),
      empty_(new EmptyState), measure_(new MeasurePage(workbench)), search_(new SearchPage(workbench)),
      limits_(new AxisRow(*charts_))
{
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    bar_ = buildBar();
    column->addWidget(bar_);
    column->addWidget(limits_);
    limits_->hide();
    stack_ = new QStackedWidget;
    stack_->addWidget(charts_);
    stack_->addWidget(table_);
    stack_->addWidget(empty_);
    stack_->addWidget(measure_);
    stack_->addWidget(search_);
    column->addWidget(stack_, 1);
    connect(charts_, &ChartsPage::limitsWanted, this, &CentrePage::openLimits);
    connect(charts_, &ChartsPage::viewChanged, this, &CentrePage::tellRange);
    connect(limits_, &AxisRow::closed, this, [this] {
        limitsOpen_ = false;
        charts_->chart(ChartsPage::level)->setFocus();
    });
    connect(charts_, &ChartsPage::digitTyped, this, &CentrePage::typeDigits);
    connect(&workbench_, &Workbench::cursorChanged, this, [this](double hertz) { cursorBox_->setSi(hertz); });
    ink();
}

QWidget* CentrePage::buildBar()
{
    auto* bar = new QWidget;
    auto* row = new QHBoxLayout(bar);
    row->setContentsMargins(px(10), px(4), px(10), px(4));
    row->setSpacing(px(8));
    icon_ = new QLabel;
    cursorBox_ = new QuantityBox(Dimension::frequency);
    cursorBox_->setRangeSi(computedFrom, computedTo);
    cursorBox_->setSi(workbench_.cursor());
    cursorBox_->setAccessibleName(tr("Cursor frequency"));
    cursorBox_->setToolTip(tr("Frequency of the one cursor, %1").arg(cursorBox_->rangeText()));
    cursorBox_->setProperty("helpTopic", QStringLiteral("reading#cursor"));
    connect(cursorBox_, &QuantityBox::previewed, &workbench_, &Workbench::setCursor);
    connect(cursorBox_, &QuantityBox::committed, &workbench_, &Workbench::setCursor);
    keys_ = new DimLabel(tr("\u2190 \u2192 moves it in every chart"));
    range_ = new DimLabel(tr("20 Hz to 1 kHz"));
    drawer_ = new QPushButton;
    drawer_->setAccessibleName(tr("Show the housings"));
    drawer_->hide();
    connect(drawer_, &QPushButton::clicked, this, &CentrePage::drawerWanted);
    switch_ = new SegmentSwitch(tr("Charts, table, measuring or finding a port"));
    offerPages(false);
    connect(switch_, &SegmentSwitch::chosen, this, [this](int index) { showPage(Page(index)); });
    for (QWidget* one : std::initializer_list<QWidget*>{icon_, cursorBox_, keys_})
        row->addWidget(one);
    row->addStretch();
    for (QWidget* one : std::initializer_list<QWidget*>{range_, switch_, drawer_})
        row->addWidget(one);
    return bar;
}

void CentrePage::offerPages(bool housing)
{
    if (switch_->button(0) && housing == housingOffered_) return;
    housingOffered_ = housing;
    QList<Segment> segments{{.words = tr("Charts"), .icon = QStringLiteral("charts"), .tip = tr("Charts (Ctrl+T)")},
                            {.words = tr("Table"), .icon = QStringLiteral("table"), .tip = tr("Table (Ctrl+T)")}};
    if (housing)
        segments << Segment{.words = tr("Measure"),
                            .icon = QStringLiteral("station-cavity"),
                            .tip = tr("Measure the cavity of the chosen housing (Ctrl+M)")}
                 << Segment{.words = tr("Find"),
                            .icon = QStringLiteral("station-opening"),
                            .tip = tr("Find a port for the chosen housing (Ctrl+F)")};
    switch_->setSegments(segments);
    switch_->setCurrent(int(page_));
}

void CentrePage::showPage(Page page)
{
    if ((page == measurePage || page == findPage) && !workbench_.chosenHousing()) return;
    page_ = page;
    switch_->setCurrent(int(page));
    refresh();
    if (stack_->currentWidget() == table_) table_->setFocus();
    if (stack_->currentWidget() == search_) search_->takeFocus();
    emit pageShown();
}

void CentrePage::refresh()
{
    const auto& results = workbench_.computation().results();
    const bool anything =
        std::any_of(results.begin(), results.end(), [](const HousingResult& r) { return r.computed != nullptr; });
    const bool housing = workbench_.chosenHousing() != nullptr;
    if (!housing && (page_ == measurePage || page_ == findPage)) page_ = chartsPage;
    offerPages(housing);
    bar_->setVisible(anything || housing);
    limits_->setVisible(anything && limitsOpen_ && page_ == chartsPage);
    tellRange();
    if (page_ == measurePage) {
        stack_->setCurrentWidget(measure_);
        measure_->refresh();
        return;
    }
    if (page_ == findPage) {
        stack_->setCurrentWidget(search_);
        search_->refresh();
        return;
    }
    if (anything) {
        charts_->refresh();
        if (page_ == tablePage) table_->refresh();
        stack_->setCurrentWidget(page_ == tablePage ? static_cast<QWidget*>(table_) : charts_);
        return;
    }
    const Project& project = workbench_.document().shown();
    const DriverSheet* driver = workbench_.driverIn(project);
    const bool whole = driver && complete(*driver);
    const Housing* first = project.housings.empty() ? nullptr : &project.housings.front();
    const bool volume = first && (first->cavity.netVolume > 0 || !first->cavity.measurements.empty());
    empty_->setAnswered(whole, volume, first != nullptr);
    stack_->setCurrentWidget(empty_);
}

void CentrePage::openLimits()
{
    limitsOpen_ = true;
    showTable(false);
    if (bar_->isVisible()) limits_->open();
}

/// The frequencies on view: the charts' own, and the table's rows.
void CentrePage::tellRange()
{
    const auto words = [](double hertz) {
        const QLocale locale;
        return hertz < 999.5 ? locale.toString(hertz, 'g', 3) + tr("\u00A0Hz")
                             : locale.toString(hertz / 1000, 'g', 3) + tr("\u00A0kHz");
    };
    const AxisRange charts = charts_->chart(ChartsPage::level)->frequencyRange();
    const AxisRange shown =
        page_ == tablePage ? AxisRange{tableFrequencies().front(), tableFrequencies().back()} : charts;
    range_->setText(page_ == measurePage || page_ == findPage
                        ? QString()
                        : tr("%1 to %2").arg(words(shown.lower), words(shown.upper)));
}

void CentrePage::setDrawerLetters(const QString& letters)
{
    drawer_->setText(letters);
    drawer_->setVisible(!letters.isEmpty());
    drawer_->setToolTip(tr("Show or hide the housings"));
}

void CentrePage::typeDigits(const QString& text)
{
    cursorBox_->setFocus();
    if (auto* line = cursorBox_->findChild<QLineEdit*>()) {
        line->selectAll();
        line->insert(text);
        emit line->textEdited(line->text());
    }
}

void CentrePage::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    keys_->setVisible(width() > px(560));
    range_->setVisible(width() > px(760));
}

void CentrePage::ink()
{
    icon_->setPixmap(inkedIcon(QStringLiteral("cursor-line"), currentPlotPalette(), Ink::accent).pixmap(px(16)));
    table_->viewport()->update();
}

void CentrePage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if ((event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) && icon_) ink();
}

}  // namespace portwright
