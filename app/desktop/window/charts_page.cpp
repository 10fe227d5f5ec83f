// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/charts_page.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/session/port_cut.h"
#include "plots/chart/shown_curves.h"

#include <QApplication>
#include <QBuffer>
#include <QClipboard>
#include <QEvent>
#include <QGridLayout>
#include <QMenu>
#include <QMimeData>
#include <QPainter>
#include <QSvgGenerator>

#include <cmath>
#include <limits>

namespace portwright {
namespace {

/// A frequency pointed at rather than typed: to 0.1 Hz, so that field, ledger and readouts show the one they stand for.
double roundedFrequency(double hertz) { return std::round(hertz * 10) / 10; }

}  // namespace

ChartsPage::ChartsPage(Workbench& workbench, QWidget* parent) : QWidget(parent), workbench_(workbench)
{
    setAccessibleName(tr("Charts"));
    auto* grid = new QGridLayout(this);
    grid->setContentsMargins(0, 0, 0, 0);
    grid->setSpacing(1);
    for (std::size_t i = 0; i < charts_.size(); ++i) {
        charts_[i] = new FrequencyChart(this);
        grid->addWidget(charts_[i], int(i) / 2, int(i) % 2);
        connectChart(charts_[i]);
        if (i == level || i == impedance) connectTuning(charts_[i]);
    }
    for (int i = 0; i < 2; ++i) {
        grid->setRowStretch(i, 1);
        grid->setColumnStretch(i, 1);
    }
    nameUnits();
    charts_[level]->setRangePolicy(RangePolicy::levelWindow50dB);
    charts_[travel]->setRangePolicy(RangePolicy::travelTwiceLimit);
    charts_[air]->setRangePolicy(RangePolicy::airTwiceLimit);
    charts_[impedance]->setRangePolicy(RangePolicy::fromZero);
    ink();
    connect(&workbench_, &Workbench::cursorChanged, this, &ChartsPage::tellCursor);
    connect(&workbench_.computation(), &Computation::rangesReady, this, [this] {
        if (bands_) refresh();
    });
}

void ChartsPage::nameUnits()
{
    named_ = workbench_.units();
    const QString mm = unitName(Dimension::travel, named_), speed = unitName(Dimension::airSpeed, named_);
    charts_[level]->setQuantity(tr("Level at the rider"), tr("dB"), tr("Level at the rider in dB over frequency"));
    charts_[travel]->setQuantity(tr("Cone travel"), tr("%1, peak").arg(mm),
                                 tr("Cone travel in %1 peak over frequency").arg(mm));
    charts_[air]->setQuantity(tr("Port air"), tr("%1, peak").arg(speed),
                              tr("Port air speed in %1 peak over frequency").arg(speed));
    charts_[impedance]->setQuantity(tr("Impedance"), tr("\u03A9"), tr("Impedance in ohm over frequency"));
}

// Ranges set by hand stay where they are, told in the other unit; the others are fitted to their limit anyway.
void ChartsPage::changeUnits()
{
    const UnitSystem former = named_;
    nameUnits();
    history_.clear();
    for (const auto& [which, dimension] : {std::pair(travel, Dimension::travel), std::pair(air, Dimension::airSpeed)}) {
        const ChartView view = charts_[which]->view();
        const double ratio = fromSi(shownUnit(dimension, named_), 1) / fromSi(shownUnit(dimension, former), 1);
        if (view.valueByHand) charts_[which]->setValueRange(view.value.lower * ratio, view.value.upper * ratio);
    }
}

void ChartsPage::connectChart(FrequencyChart* chart)
{
    chart->setFittedFrequencyRange(shownFrom, shownTo);
    chart->setFrequencyRange(shownFrom, shownTo);
    connect(chart, &FrequencyChart::cursorFrequencyMoved, this,
            [this](double hertz) { workbench_.setCursor(roundedFrequency(hertz)); });
    connect(chart, &FrequencyChart::frequencyRangeMoved, this, [this](double lower, double upper) {
        for (FrequencyChart* other : charts_)
            other->setFrequencyRange(lower, upper);  // says nothing where it changes nothing, so this ends
        emit viewChanged();
    });
    connect(chart, &FrequencyChart::valueRangeMoved, this, &ChartsPage::viewChanged);
    connect(chart, &FrequencyChart::viewAboutToChange, this, &ChartsPage::remember);
    connect(chart, &FrequencyChart::backRequested, this, &ChartsPage::back);
    connect(chart, &FrequencyChart::slotToggled, this, [this](int slot) {
        const auto& results = workbench_.computation().results();
        if (slot >= 0 && std::size_t(slot) < results.size()) {
            const std::string id = results[std::size_t(slot)].id;
            workbench_.computation().setHidden(id, !workbench_.computation().hidden(id));
        }
    });
    connect(chart, &FrequencyChart::digitTyped, this, &ChartsPage::digitTyped);
    connect(chart, &FrequencyChart::homeRequested, this, &ChartsPage::moveToTuning);
    connect(chart, &FrequencyChart::endRequested, this, &ChartsPage::moveToThreeDecibel);
    connect(chart, &FrequencyChart::contextMenuWanted, this, [this, chart](const QPoint& at) { menuAt(chart, at); });
}

void ChartsPage::refresh()
{
    std::array<std::vector<Curve>, 4> curves;
    QStringList absent;
    std::optional<LimitLine> travelLimit;
    const UnitSystem units = workbench_.units();
    const HousingResult* chosen = workbench_.chosenResult();
    for (const HousingResult& result : workbench_.computation().results()) {
        if (!result.computed) continue;
        ShownCurves shown = shownCurves(result.slot, result.name, result.computed->curves, units);
        if (bands_ && result.uncertainty) addBands(shown, result.uncertainty->lower, result.uncertainty->upper, units);
        const std::array<Curve*, 4> each{&shown.level, &shown.travel, &shown.air, &shown.impedance};
        for (std::size_t i = 0; i < each.size(); ++i) {
            each[i]->slot = result.slot;
            each[i]->name = result.name;
            each[i]->visible = result.visible;
            each[i]->chosen = chosen && chosen->id == result.id;
            each[i]->preview = !workbench_.newcomer().empty() && result.id == workbench_.newcomer();
            curves[i].push_back(std::move(*each[i]));
        }
        if (result.visible && result.computed->curves.portAir.empty())
            absent << tr("%1 has no port").arg(housingLetter(result.slot));
    }
    if (chosen && chosen->computed && chosen->computed->model.driver.Xmax) {
        const double limit = *chosen->computed->model.driver.Xmax;
        travelLimit = LimitLine{.value = fromSi(shownUnit(Dimension::travel, units), limit),
                                .words = tr("cone limit %1").arg(figureText(limit, Dimension::travel, units))};
    }
    const double airLimit = fromSi(shownUnit(Dimension::airSpeed, units), portAirLimit(workbench_.document().shown()));
    if (named_ != units) changeUnits();
    charts_[air]->setLimit(LimitLine{
        .value = airLimit,
        .words =
            tr("air limit %1 %2").arg(QLocale().toString(airLimit, 'g', 3), unitName(Dimension::airSpeed, units))});
    charts_[air]->setAbsentRemarks(absent);
    charts_[travel]->setLimit(travelLimit);
    const bool typing = workbench_.document().previewing();
    for (std::size_t i = 0; i < charts_.size(); ++i) {
        charts_[i]->drawFast(typing);
        charts_[i]->setCurves(std::move(curves[i]));
    }
    showTuning();
    tellCursor();
}

void ChartsPage::setBands(bool shown)
{
    if (shown == bands_) return;
    bands_ = shown;
    refresh();
}

void ChartsPage::tellCursor()
{
    std::array<std::vector<std::pair<int, double>>, 4> figures;
    const auto shown = [this](Dimension d, double si) { return fromSi(shownUnit(d, workbench_.units()), si); };
    for (const HousingResult& result : workbench_.computation().results()) {
        const auto at = workbench_.atCursor(result);
        if (!at) continue;
        figures[level].emplace_back(result.slot, at->level);
        figures[travel].emplace_back(result.slot, shown(Dimension::travel, at->coneTravel));
        figures[air].emplace_back(result.slot, shown(Dimension::airSpeed, at->portAirMost));
        figures[impedance].emplace_back(result.slot, at->impedance);
    }
    for (std::size_t i = 0; i < charts_.size(); ++i) {
        charts_[i]->setCursorFrequency(workbench_.cursor());
        charts_[i]->setCursorReadouts(workbench_.cursor(), std::move(figures[i]));
    }
}

void ChartsPage::fit()
{
    remember(false);
    for (FrequencyChart* chart : charts_)
        chart->fit();
}

void ChartsPage::connectTuning(FrequencyChart* chart)
{
    connect(chart, &FrequencyChart::tuningDragged, this, &ChartsPage::dragTuning);
    connect(chart, &FrequencyChart::tuningDropped, this, &ChartsPage::dropTuning);
    connect(chart, &FrequencyChart::tuningDragGivenUp, this, &ChartsPage::giveUpTuning);
}

/// The chosen housing's tuning as a handle, where one port alone makes it.
void ChartsPage::showTuning()
{
    const HousingResult* chosen = workbench_.chosenResult();
    const Computed* computed = chosen ? chosen->computed.get() : nullptr;
    std::optional<double> tuning;
    if (computed && chosen->visible && portToTune(computed->model.housing)) tuning = computed->summary.fb;
    const QString words =
        tuning ? tr("Tuning of %1, %2: drag it to retune by the port's length; Esc leaves it")
                     .arg(housingLetter(chosen->slot), figureText(*tuning, Dimension::frequency, workbench_.units()))
               : QString();
    for (const Which which : {level, impedance})
        charts_[which]->setTuningMark(tuning, chosen ? chosen->slot : 0, words);
}

void ChartsPage::dragTuning(double hertz)
{
    if (!tuningDrag_) {
        commitTyping();
        const HousingResult* chosen = workbench_.chosenResult();
        const auto opening = chosen && chosen->computed ? portToTune(chosen->computed->model.housing) : std::nullopt;
        if (!opening) return;
        tuningDrag_ = TuningDrag{.from = chosen->computed, .opening = *opening};
    }
    const auto sized = lengthInHousing(tuningDrag_->from->model, tuningDrag_->opening, hertz);
    if (!sized) return;  // no length gives that: the mark stays where the last one put it
    tuningDrag_->length = sized->length;
    workbench_.document().preview([this](Project& p) {
        if (const auto chosen = workbench_.chosenIn(p)) cutPort(p, *chosen, tuningDrag_->opening, *tuningDrag_->length);
    });
}

void ChartsPage::dropTuning()
{
    if (!tuningDrag_ || !tuningDrag_->length) return giveUpTuning();
    const TuningDrag done = *tuningDrag_;
    tuningDrag_.reset();
    workbench_.document().edit(tr("Tune the Port"), [&](Project& p) {
        if (const auto chosen = workbench_.chosenIn(p)) cutPort(p, *chosen, done.opening, *done.length);
    });
}

void ChartsPage::giveUpTuning()
{
    tuningDrag_.reset();
    workbench_.document().endPreview();
}

ChartViews ChartsPage::views() const
{
    ChartViews all;
    for (std::size_t i = 0; i < all.size(); ++i)
        all[i] = charts_[i]->view();
    return all;
}

void ChartsPage::remember(bool stepwise) { history_.remember(views(), stepwise); }

void ChartsPage::back()
{
    const auto former = history_.back(views());
    if (!former) return;
    for (std::size_t i = 0; i < charts_.size(); ++i)
        charts_[i]->setView((*former)[i]);
}

void ChartsPage::setFrequencyLimits(double lower, double upper)
{
    remember(false);
    charts_[level]->setFrequencyRange(lower, upper);
}

void ChartsPage::setValueLimits(Which which, double lower, double upper)
{
    remember(false);
    charts_[which]->setValueRange(lower, upper);
}

void ChartsPage::moveToTuning()
{
    const HousingResult* chosen = workbench_.chosenResult();
    if (!chosen || !chosen->computed) return;
    const Summary& summary = chosen->computed->summary;
    if (const auto hertz = summary.fb ? summary.fb : summary.fc) workbench_.setCursor(roundedFrequency(*hertz));
}

void ChartsPage::moveToThreeDecibel()
{
    const HousingResult* chosen = workbench_.chosenResult();
    if (chosen && chosen->computed && chosen->computed->summary.f3)
        workbench_.setCursor(roundedFrequency(*chosen->computed->summary.f3));
}

void ChartsPage::menuAt(FrequencyChart* chart, const QPoint& at)
{
    QMenu menu(this);
    menu.addAction(tr("Fit All Charts"), this, &ChartsPage::fit);
    menu.addAction(tr("Back to Previous View"), this, &ChartsPage::back)->setEnabled(canGoBack());
    menu.addAction(tr("Set Axis Limits\u2026"), this, &ChartsPage::limitsWanted);
    menu.addAction(tr("Copy Chart"), this,
                   [this, chart] { copyChart(*chart, QString::fromStdString(workbench_.project().title)); });
    menu.exec(at);
}

void ChartsPage::ink()
{
    const PlotPalette palette = currentPlotPalette();
    for (FrequencyChart* chart : charts_)
        if (chart) chart->setPlotPalette(palette);
    update();
}

void ChartsPage::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) ink();
}

void ChartsPage::paintEvent(QPaintEvent*) { QPainter(this).fillRect(rect(), currentPlotPalette().line); }

void copyChart(FrequencyChart& chart, const QString& title)
{
    const PlotPalette former = currentPlotPalette();
    chart.setPlotPalette(lightPalette());
    auto* data = new QMimeData;
    QBuffer buffer;
    QSvgGenerator generator;
    generator.setOutputDevice(&buffer);
    generator.setSize(chart.size());
    generator.setViewBox(QRect(QPoint(), chart.size()));
    generator.setTitle(title);
    {
        QPainter painter(&generator);
        chart.paintTo(painter, chart.size());
    }
    data->setData(QStringLiteral("image/svg+xml"), buffer.data());
    data->setImageData(chart.picture(chart.size(), 2));
    QString text = QStringLiteral("Frequency (Hz)");
    for (const Curve& curve : chart.curves())
        text += QLatin1Char('\t') + curve.name;
    text += QLatin1Char('\n');
    if (!chart.curves().empty())
        for (std::size_t i = 0; i < chart.curves().front().x.size(); ++i) {
            text += QString::number(chart.curves().front().x[i], 'g', 6);
            for (const Curve& curve : chart.curves())
                text +=
                    QLatin1Char('\t') +
                    (i < curve.y.size() && std::isfinite(curve.y[i]) ? QString::number(curve.y[i], 'g', 6) : QString());
            text += QLatin1Char('\n');
        }
    data->setText(text);
    chart.setPlotPalette(former);
    QApplication::clipboard()->setMimeData(data);
}

}  // namespace portwright
