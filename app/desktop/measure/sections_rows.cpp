// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/measures.h"
#include "core/cavity/sections.h"
#include "core/cavity/sections_csv.h"

#include <QLineEdit>

#include <cmath>

namespace portwright {
namespace {

enum Column { at, shape, width, height, corner, area, origin };  // origin, not shown: which section it was

const QStringList& shapeNames()
{
    static const QStringList names{Form::tr("rectangle"), Form::tr("rounded"), Form::tr("ellipse"), Form::tr("D"),
                                   Form::tr("triangle"),  Form::tr("outline"), Form::tr("area")};
    return names;
}

bool sided(SectionShape shape) { return shape != SectionShape::outline && shape != SectionShape::area; }

TableRow rowOf(const Section& section, int from, UnitSystem units)
{
    TableRow row(7);
    row[origin] = {.value = from};
    row[at] = quantityCell(section.at);
    row[shape] = {.value = int(section.shape)};
    if (sided(section.shape)) {
        row[width] = quantityCell(section.width);
        row[height] = quantityCell(section.height);
    }
    if (section.shape == SectionShape::rounded) row[corner] = quantityCell(section.corner);
    if (section.shape == SectionShape::area)
        row[area] = quantityCell(section.area);
    else if (const auto found = areaOf(section))
        row[area] = {.value = localNumber(QString::fromStdString(formatNumber(*found, Dimension::area, units)))};
    return row;
}

/// A shape chosen anew takes over what it can: an area from the sides it had, sides from a square of the same area.
Section sectionOf(const TableRow& row, const Section& former)
{
    Section section = former;
    section.at = quantityIn(row[at], former.at);
    section.shape = SectionShape(choiceIn(row[shape], int(former.shape)));
    section.width = quantityIn(row[width], former.width);
    section.height = quantityIn(row[height], former.height);
    section.corner = quantityIn(row[corner], former.corner);
    section.area = quantityIn(row[area], former.area);
    if (section.shape == former.shape) return section;
    const double before = areaOf(former).value_or(0);
    if (section.shape == SectionShape::area) section.area = quantityIn(row[area], before);
    if (sided(section.shape) && !sided(former.shape) && section.width == 0)
        section.width = section.height = std::sqrt(before);
    if (section.shape == SectionShape::outline && section.points.empty())
        section.points = {{0, 0}, {section.width, 0}, {section.width, section.height}, {0, section.height}};
    return section;
}

TableRow freshRow(const TableRows& before)
{
    if (before.empty()) return rowOf({.width = 0.1, .height = 0.1}, -1, UnitSystem::metric);
    TableRow row = before.back();
    const double last = quantityIn(row[at]);
    const double step = before.size() > 1 ? last - quantityIn(before[before.size() - 2][at]) : 0.05;
    row[at] = quantityCell(last + (step > 0 ? step : 0.05));
    return row;
}

QString pointsText(const Section& section, UnitSystem units)
{
    const Unit& unit = shownUnit(Dimension::length, units);
    QStringList points;
    for (const Point2& p : section.points)
        points << QStringLiteral("%1 %2").arg(QString::number(fromSi(unit, p[0]), 'g', 6),
                                              QString::number(fromSi(unit, p[1]), 'g', 6));
    return points.join(QStringLiteral("; "));
}

std::optional<std::vector<Point2>> pointsIn(const QString& text, UnitSystem units)
{
    std::vector<Point2> points;
    for (const QString& pair : text.split(QLatin1Char(';'), Qt::SkipEmptyParts)) {
        const QStringList numbers = pair.simplified().split(QLatin1Char(' '));
        if (numbers.size() != 2) return {};
        const auto x = parseQuantity(numbers[0].toStdString(), Dimension::length, units);
        const auto y = parseQuantity(numbers[1].toStdString(), Dimension::length, units);
        if (!x || !y) return {};
        points.push_back({*x, *y});
    }
    return points;
}

void capRows(MeasureDesk& desk, Form& form, const QString& label, const QString& heightLabel, const char* key,
             EndCap SectionsMeasurement::* cap)
{
    form.choice({.label = label,
                 .names = {Form::tr("ends flat there"), Form::tr("dome beyond it"), Form::tr("point beyond it")},
                 .field = QStringLiteral("measurement/") + QString::fromLatin1(key).chopped(3),
                 .read =
                     [&desk, cap](const Project& p) {
                         const Measurement* m = desk.measurementIn(p);
                         const auto* s = m ? std::get_if<SectionsMeasurement>(&m->method) : nullptr;
                         return s ? int((s->*cap).shape) : 0;
                     },
                 .write =
                     [&desk, cap](Project& p, int shape) {
                         Measurement* m = desk.measurementIn(p);
                         if (auto* s = m ? std::get_if<SectionsMeasurement>(&m->method) : nullptr)
                             (s->*cap).shape = CapShape(shape);
                     }});
    methodQuantity<SectionsMeasurement>(
        desk, form, key, heightLabel, false,
        [cap](const SectionsMeasurement& m) { return std::optional((m.*cap).height); },
        [cap](SectionsMeasurement& m, std::optional<double> si) { (m.*cap).height = si.value_or(0); });
}

/// The traced outlines, as words in one table: only the sections that have one.
void outlineRow(MeasureDesk& desk, Form& form)
{
    auto* edit = new QLineEdit;
    edit->setAccessibleName(Form::tr("Outline of the chosen section"));
    edit->setToolTip(Form::tr("Corners of the traced outline in order, \"0 0; 120 0; 60 80\", in the shown unit of "
                              "length; it closes by itself"));
    auto* row = new FieldRow(Form::tr("Outline"), edit, &form);
    form.add(row);
    const auto chosen = [&desk, &form]() -> int {
        const auto* table = form.findChild<ValueTable*>();
        const auto* sections = desk.method<SectionsMeasurement>();
        const int at = table ? table->currentRow() : -1;
        const bool has = sections && at >= 0 && std::size_t(at) < sections->sections.size() &&
                         sections->sections[std::size_t(at)].shape == SectionShape::outline;
        return has ? at : -1;
    };
    const auto show = [&desk, edit, row, chosen] {
        const int at = chosen();
        row->setVisible(at >= 0);
        if (at < 0 || (edit->hasFocus() && edit->isModified())) return;
        edit->setText(pointsText(desk.method<SectionsMeasurement>()->sections[std::size_t(at)], desk.units()));
    };
    QObject::connect(edit, &QLineEdit::editingFinished, row, [&desk, edit, row, chosen, show] {
        const int at = chosen();
        if (at < 0 || !edit->isModified()) return;
        const auto points = pointsIn(edit->text(), desk.units());
        if (!points || points->size() < 3)
            return row->setMessage(Mark::over,
                                   Form::tr("An outline is at least three corners, \"0 0; 120 0; 60 80\"."));
        row->setMessage(Mark::fine, {});
        edit->setModified(false);
        desk.editMethod<SectionsMeasurement>(
            Form::tr("Change Outline"), [&](SectionsMeasurement& m) { m.sections[std::size_t(at)].points = *points; });
        show();
    });
    form.whenRefreshed(show);
    if (auto* table = form.findChild<ValueTable*>())
        QObject::connect(table, &ValueTable::rowChosen, row, show, Qt::QueuedConnection);
}

}  // namespace

void sectionsRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("Sections along the axis"));
    ValueTable* table = methodTable<SectionsMeasurement>(
        desk, form, Form::tr("Sections"),
        {quantityColumn(Form::tr("At"), "section", "at_mm"),
         {.head = Form::tr("Shape"),
          .kind = TableColumn::Kind::choice,
          .choices = shapeNames(),
          .meaning = Form::tr("D: half an ellipse on its flat side; area: only that is known")},
         quantityColumn(Form::tr("Width"), "section", "width_mm"),
         quantityColumn(Form::tr("Height"), "section", "height_mm"),
         quantityColumn(Form::tr("Corner"), "section", "corner_mm"),
         quantityColumn(Form::tr("Area"), "section", "area_cm2")},
        [&desk](const SectionsMeasurement& m) {
            TableRows rows;
            for (std::size_t i = 0; i < m.sections.size(); ++i)
                rows.push_back(rowOf(m.sections[i], int(i), desk.units()));
            return rows;
        },
        [](SectionsMeasurement& m, const TableRows& rows) {
            std::vector<Section> sections;
            for (const TableRow& row : rows) {
                const auto from = std::size_t(choiceIn(row[origin], -1));
                sections.push_back(sectionOf(row, from < m.sections.size() ? m.sections[from] : Section{}));
            }
            m.sections = std::move(sections);
        },
        freshRow);
    table->setLeastRows(2);
    table->setShownRows(9);
    outlineRow(desk, form);
    csvRows(
        form, QStringLiteral("sections"),
        [&desk] {
            const auto* now = desk.method<SectionsMeasurement>();
            return now ? sectionsCsv(now->sections) : std::string();
        },
        [&desk](const std::string& text) -> std::optional<Error> {
            const auto read = parseSectionsCsv(text);
            if (!read) return read.error();
            desk.editMethod<SectionsMeasurement>(Form::tr("Read Sections"),
                                                 [&](SectionsMeasurement& m) { m.sections = *read; });
            return {};
        });
    form.group(Form::tr("Its ends"));
    capRows(desk, form, Form::tr("First end"), Form::tr("First cap"), "first_cap_mm", &SectionsMeasurement::firstCap);
    capRows(desk, form, Form::tr("Last end"), Form::tr("Last cap"), "last_cap_mm", &SectionsMeasurement::lastCap);
    form.group(Form::tr("How well it is known"));
    methodQuantity(desk, form, "length_uncertainty_mm", Form::tr("Each length"),
                   &SectionsMeasurement::lengthUncertainty);
    form.words([&desk]() -> QString {
        const auto* m = desk.method<SectionsMeasurement>();
        const auto found = m ? sectionsVolume(*m, desk.units()) : Result<SectionsVolume>(fail({}, {}));
        if (!found) return {};
        const auto litres = [&](double v) { return figureText(v, Dimension::volume, desk.units()); };
        return Form::tr("Between the first and the last section: Simpson %1, trapezoid %2, cones %3. Rules give %4, "
                        "lengths %5 of the uncertainty.")
            .arg(litres(found->simpson), litres(found->trapezoid), litres(found->cones), litres(found->fromRules),
                 litres(found->fromLengths));
    });
}

}  // namespace portwright
