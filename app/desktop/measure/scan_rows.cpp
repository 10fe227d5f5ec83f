// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/measure/method_rows.h"
#include "app/desktop/measure/scan_desk.h"
#include "app/desktop/measure/task_strip.h"
#include "core/document/fields.h"

#include <QFileDialog>
#include <QPushButton>

#include <array>
#include <cmath>

namespace portwright {
namespace {

struct FileUnit {
    const char* name;
    double length;  ///< m
};
constexpr std::array fileUnits{
    FileUnit{QT_TRANSLATE_NOOP("Form", "millimetres"), 1e-3}, FileUnit{QT_TRANSLATE_NOOP("Form", "centimetres"), 1e-2},
    FileUnit{QT_TRANSLATE_NOOP("Form", "inches"), 0.0254}, FileUnit{QT_TRANSLATE_NOOP("Form", "metres"), 1}};

void openByDialog(MeasureDesk& desk, ScanDesk& scans, Form& form)
{
    const auto* now = desk.method<ScanMeasurement>();
    if (!now) return;
    const QString path = QFileDialog::getOpenFileName(&form, Form::tr("Open a Scan"), scans.pathOf(*now),
                                                      Form::tr("Meshes (*.stl *.obj *.ply);;All files (*)"));
    if (!path.isEmpty()) scans.read(path, {}, now->wall);
}

/// The unit is not the project's to change: the file is read again with it.
void unitRow(MeasureDesk& desk, ScanDesk& scans, Form& form)
{
    auto* combo = new QuietComboBox;
    for (const FileUnit& unit : fileUnits)
        combo->addItem(Form::tr(unit.name));
    combo->setAccessibleName(Form::tr("Unit of the file"));
    combo->setToolTip(Form::tr("What one unit of the file is; the scan is read again with another one"));
    QObject::connect(combo, &QComboBox::activated, &form, [&desk, &scans](int at) {
        const auto* m = desk.method<ScanMeasurement>();
        if (m && fileUnits[std::size_t(at)].length != m->unit)
            scans.readAgain(fileUnits[std::size_t(at)].length, m->wall);
    });
    form.whenRefreshed([&desk, combo] {
        const auto* m = desk.method<ScanMeasurement>();
        int at = -1;
        for (std::size_t i = 0; m && i < fileUnits.size(); ++i)
            if (std::abs(fileUnits[i].length / m->unit - 1) < 1e-9) at = int(i);
        combo->setCurrentIndex(at);
        combo->setEnabled(m && !m->file.empty());
    });
    form.add(new FieldRow(Form::tr("File in"), combo, &form));
}

void wallRow(MeasureDesk& desk, ScanDesk& scans, Form& form)
{
    const FieldInfo* info = fieldInfo("measurement", "wall_mm");
    auto* row = new FieldRow(Form::tr("Outside, wall of"), info->dimension, &form);
    row->box()->setRangeSi(info->min / info->perSi, info->max / info->perSi);
    row->box()->setOptional(true);
    row->box()->setEmptyShows(Form::tr("inside"));
    row->setMeaning(Form::tr("wall thickness, where the outside was scanned; empty for a scan of the inside"));
    row->setHelpTopic(QStringLiteral("measure#scan"));
    const auto put = [&desk, &scans](std::optional<double> wall) {
        if (const auto* m = desk.method<ScanMeasurement>()) scans.readAgain(m->unit, wall);
    };
    QObject::connect(row->box(), &QuantityBox::committed, &form, [put](double si) { put(si); });
    QObject::connect(row->box(), &QuantityBox::cleared, &form, [put] { put({}); });
    form.whenRefreshed([&desk, row] {
        row->setUnitSystem(desk.units());
        const auto* m = desk.method<ScanMeasurement>();
        row->box()->setEnabled(m && !m->file.empty());
        if (m) row->box()->setSi(m->wall);
    });
    form.add(row);
}

QString crossingWords(MeasureDesk& desk, ScanDesk& scans)
{
    const auto* m = desk.method<ScanMeasurement>();
    if (!m || !scans.loaded(*m)) return {};
    const auto found = scans.crossings(*m);
    if (!found)
        return scans.crossing().running() ? Form::tr("Faces that cross each other are being looked for.")
                                          : Form::tr("Faces that cross each other were not looked for.");
    if (*found == 0) return Form::tr("No faces cross each other.");
    return Form::tr("%1 pairs of faces cross each other: what lies in two folds counts twice. Mend the mesh where it "
                    "was made.")
        .arg(*found);
}

}  // namespace

void scanRows(MeasureDesk& desk, ScanDesk& scans, Form& form)
{
    form.group(Form::tr("The file"));
    form.button(
        Form::tr("Open scan\u2026"), [&desk, &scans, &form] { openByDialog(desk, scans, form); },
        Form::tr("An STL, OBJ or PLY file; it can be dropped here, too"));
    form.words([&desk]() -> QString {
        const auto* m = desk.method<ScanMeasurement>();
        return !m || m->file.empty()
                   ? Form::tr("STL, OBJ or PLY; or drop the file here. The file stays where it is, the "
                              "project keeps what was measured.")
                   : QString::fromStdString(m->file);
    });
    form.add(new TaskStrip(scans.reading(), Form::tr("Reading the scan"), &form));
    form.note([&scans] {
        return scans.refusal().isEmpty() ? std::pair(Mark::fine, QString()) : std::pair(Mark::over, scans.refusal());
    });
    unitRow(desk, scans, form);
    wallRow(desk, scans, form);
    form.button(
        Form::tr("Read again"),
        [&desk, &scans] {
            if (const auto* m = desk.method<ScanMeasurement>()) scans.readAgain(m->unit, m->wall);
        },
        Form::tr("Reads the file anew, with this unit and wall"));
    form.group(Form::tr("What was found"));
    form.derived(Form::tr("Longest inside"), Dimension::length, [&desk]() -> std::optional<double> {
        const auto* m = desk.method<ScanMeasurement>();
        return m ? m->longest : std::nullopt;
    });
    const auto read = [&desk, &scans]() -> std::shared_ptr<const ReadScan> {
        const auto* m = desk.method<ScanMeasurement>();
        return m ? scans.loaded(*m) : nullptr;
    };
    form.derived(Form::tr("Inner surface"), Dimension::area, [read]() -> std::optional<double> {
        const auto scan = read();
        return scan ? std::optional(scan->scan.area) : std::nullopt;
    });
    form.words([&desk, &scans, read]() -> QString {
        const auto* m = desk.method<ScanMeasurement>();
        if (!m || m->file.empty()) return {};
        const auto scan = read();
        if (!scan)
            return scans.reading().running()
                       ? QString()
                       : Form::tr("The mesh itself is not in the project. Read it again to see it.");
        if (scan->picture.openings.empty()) return Form::tr("No openings: the mesh was closed already.");
        return Form::tr("Openings, closed for the volume: %1.")
            .arg(openingLines(scan->picture, desk.units()).join(QStringLiteral("; ")));
    });
    form.words([read]() -> QString {
        const auto scan = read();
        QStringList lines;
        if (scan)
            for (const std::string& remark : scan->scan.remarks)
                lines << localSentence(remark);
        return lines.join(QLatin1Char(' '));
    });
    form.add(new TaskStrip(scans.crossing(), Form::tr("Looking for crossing faces"), &form));
    form.words([&desk, &scans] { return crossingWords(desk, scans); });
}

}  // namespace portwright
