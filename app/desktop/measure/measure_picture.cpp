// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/measure_picture.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/measure/readings_picture.h"
#include "plots/cavity/section_stack.h"
#include "plots/cavity/solids_view.h"

#include <QEvent>

namespace portwright {

MeasurePicture::MeasurePicture(MeasureDesk& desk, ScanDesk& scans, QWidget* parent)
    : QStackedWidget(parent), desk_(desk), scans_(scans), readings_(new ReadingsPicture),
      sections_(new SectionStackView), solids_(new SolidsView), scan_(new ScanView)
{
    for (QWidget* one : std::initializer_list<QWidget*>{readings_, sections_, solids_, scan_})
        addWidget(one);
    connect(sections_, &SectionStackView::sectionPicked, this, &MeasurePicture::rowPicked);
    connect(solids_, &SolidsView::stepPicked, this, &MeasurePicture::rowPicked);
    ink();
}

void MeasurePicture::setChosenRow(int row)
{
    sections_->setChosen(row);
    solids_->setChosen(row);
}

void MeasurePicture::showReadings()
{
    std::vector<ReadingsPicture::Reading> shown;
    const Cavity* cavity = desk_.cavity();
    const auto& all = desk_.fromMeasurements();
    // All on one scale: where the band is the bare shell's, what was measured with everything in place gets back what
    // is taken off.
    double takenOff = 0;
    if (all && all->gross)
        for (const DeductionLine& line : all->deductions)
            takenOff += line.volume;
    for (std::size_t i = 0; cavity && i < desk_.readings().size(); ++i) {
        const VolumeReading& r = desk_.readings()[i];
        const bool finished = takenOff > 0 && r.volume > 0 && r.inPlace == InPlace::everything;
        const QString name = QString::fromStdString(nameOf(cavity->measurements[i]));
        shown.push_back({.name = finished ? tr("%1, and what is taken off").arg(name) : name,
                         .volume = finished ? r.volume + takenOff : r.volume,
                         .uncertainty = r.uncertainty,
                         .used = !r.unused,
                         .chosen = int(i) == desk_.current()});
    }
    std::optional<std::pair<double, double>> band;
    if (all && all->gross)
        band = std::pair(all->gross->volume, all->gross->uncertainty);
    else if (all && all->uncertainty)
        band = std::pair(all->value, *all->uncertainty);
    readings_->setReadings(std::move(shown), band, desk_.units());
}

void MeasurePicture::refresh()
{
    sections_->setUnits(desk_.units());
    solids_->setUnits(desk_.units());
    scan_->setUnits(desk_.units());
    showReadings();
    QWidget* wanted = readings_;
    if (const auto* m = desk_.method<SectionsMeasurement>()) {
        sections_->setSections(*m);
        wanted = sections_;
    } else if (const auto* solids = desk_.method<SolidsMeasurement>()) {
        solids_->setSolids(*solids);
        wanted = solids_;
    } else if (const auto* scan = desk_.method<ScanMeasurement>()) {
        const auto read = scans_.loaded(*scan);
        if (read && read != shown_) scan_->setScan(read->picture);
        if (!read && shown_) scan_->clearScan();
        shown_ = read;
        if (read) wanted = scan_;
    }
    setCurrentWidget(wanted);
}

void MeasurePicture::ink()
{
    const PlotPalette palette = currentPlotPalette();
    sections_->setPlotPalette(palette);
    solids_->setPlotPalette(palette);
    scan_->setPlotPalette(palette);
    readings_->update();
}

void MeasurePicture::changeEvent(QEvent* event)
{
    QStackedWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationPaletteChange) ink();
}

}  // namespace portwright
