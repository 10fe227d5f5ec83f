// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/trim_rows.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/table/quantity_column.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/components/typing.h"
#include "app/desktop/stations/opening_rows.h"
#include "app/desktop/stations/port_rows.h"
#include "core/cavity/net_volume.h"
#include "core/port/geometry.h"
#include "core/sizing/trimming.h"

#include <QHeaderView>
#include <QPushButton>

#include <memory>

namespace portwright {
namespace {

/// The plan for what the file holds of the port, found anew only where something it rests on is another thing.
struct Trimming {
    Workbench& bench;
    std::size_t opening;
    std::shared_ptr<const Computed> of = {};
    Result<TrimPlan> plan = fail({}, {});

    const PortOpening* port() const { return kindOf<PortOpening>(bench, bench.project(), opening); }

    /// Cut since it was last swept: then nothing more is cut before it is swept again. What is being typed counts.
    std::optional<double> notSweptAt() const
    {
        const PortOpening* now = kindOf<PortOpening>(bench, bench.document().shown(), opening);
        if (!now || now->readings.size() < 2 || now->readings.back().frequency != 0) return {};
        return cutReadings(*now).empty() ? std::nullopt : std::optional(now->readings.back().length);
    }

    const Result<TrimPlan>& now()
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        if (computed == of) return plan;
        of = computed;
        plan = reckon();
        return plan;
    }

    /// The cut to make now, if there is one to make.
    const TrimStage* cut()
    {
        const auto& found = now();
        if (!found || found->state != TrimPlan::State::cut || found->stages.empty() || notSweptAt()) return nullptr;
        return &found->stages.front();
    }

private:
    Result<TrimPlan> reckon() const
    {
        const PortOpening* measured = computedPort(of.get(), opening);
        if (!measured || !measured->wantedTuning) return fail({}, {});
        const std::vector<CutReading> readings = cutReadings(*measured);
        if (readings.empty()) return fail({}, {});
        if (portToTune(of->model.housing) != opening)
            return fail({}, Form::tr("Only for a port that is alone on the main cavity.").toStdString());
        CavityRoom empty = roomOfPort(*of, opening);
        const Cavity& cavity = of->model.housing.cavity;
        const double uncertainty =
            cavity.netUncertainty && cavity.netVolume > 0 ? *cavity.netUncertainty / cavity.netVolume : 0.05;
        empty.netVolume += outlineVolume(*measured);
        const bool lines = !measured->classical && !profileOf(cavity);  // the same tuning, sooner
        const TuningOfCut cut =
            lines ? tuningOfCut(*measured, empty, of->model.air) : tuningOfCut(of->model, int(opening));
        return trimPlan({cut, dipOfCut(of->model, int(opening))}, *measured->wantedTuning, readings,
                        trimOptions(*measured, uncertainty));
    }
};

enum Column { length, frequency, uncertainty, readAs, origin };  // origin, not shown: which reading it was
constexpr int dipChosen = 0, tuningChosen = 1;                   // of readAs

TableRow rowOf(const PortReading& reading, int from)
{
    return {{.value = reading.length},
            {.value = reading.frequency},
            {.value = reading.uncertainty.value_or(0)},
            {.value = reading.readAs == ReadAs::impedanceDip ? dipChosen : tuningChosen},
            {.value = from}};
}

PortReading notSwept(double length, ReadAs readAs = ReadAs::impedanceDip)
{
    return {.length = length, .uncertainty = {}, .readAs = readAs};
}

/// As long as nothing is noted, one row to begin with.
TableRows rowsOf(const PortOpening& port)
{
    TableRows rows;
    for (std::size_t i = 0; i < port.readings.size(); ++i)
        rows.push_back(rowOf(port.readings[i], int(i)));
    if (rows.empty()) rows.push_back(rowOf(notSwept(port.length), -1));
    return rows;
}

void putReadings(PortOpening& port, const TableRows& rows)
{
    std::vector<PortReading> readings;
    for (const TableRow& row : rows) {
        const auto number = [&](Column column) {
            const double* si = std::get_if<double>(&row[column].value);
            return si ? *si : 0.0;
        };
        const int* from = std::get_if<int>(&row[origin].value);
        PortReading reading =
            from && std::size_t(*from) < port.readings.size() ? port.readings[std::size_t(*from)] : PortReading{};
        reading.length = number(length);
        reading.frequency = number(frequency);
        reading.uncertainty = number(uncertainty) > 0 ? std::optional(number(uncertainty)) : std::nullopt;
        const int* chosen = std::get_if<int>(&row[readAs].value);
        const ReadAs as = chosen && *chosen == dipChosen ? ReadAs::impedanceDip : ReadAs::tuning;
        if (as != reading.readAs.value_or(ReadAs::tuning)) reading.readAs = as;
        readings.push_back(std::move(reading));
    }
    port.readings = std::move(readings);
}

TableColumn readingColumn(const QString& head, const char* key, const QString& meaning, const QString& atZero = {})
{
    TableColumn column = quantityColumn(head, "port_reading", key);
    column.meaning = meaning;
    column.atZero = atZero;
    return column;
}

std::vector<TableColumn> readingColumns()
{
    return {readingColumn(Form::tr("Length"), "length_mm", Form::tr("its length when it was read, mouth to mouth")),
            readingColumn(Form::tr("Reading"), "fb_hz",
                          Form::tr("what was read at that length: where the impedance dips between its two peaks, or "
                                   "the tuning itself"),
                          Form::tr("not swept yet")),
            readingColumn(QStringLiteral("\u00B1"), "uncertainty_hz", Form::tr("standard uncertainty of that reading"),
                          Form::tr("half a per cent of the reading")),
            {.head = Form::tr("Read as"),
             .kind = TableColumn::Kind::choice,
             .choices = {Form::tr("dip"), Form::tr("tuning")},
             .meaning = Form::tr("dip: of the impedance between its two peaks; what it is worth as a tuning is "
                                 "reckoned\ntuning: itself, where the cone moves least at constant voltage")}};
}

ValueTable* readingsTable(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    auto* table = new ValueTable(Form::tr("Readings of the port"));
    table->values()->setColumns(readingColumns());
    table->verticalHeader()->hide();
    table->setShownRows(4);
    table->setLeastRows(1);
    table->setProperty("helpTopic", QStringLiteral("opening#trim"));
    table->setFreshRow([trimming](const TableRows&) -> TableRow {
        const PortOpening* port = trimming->port();
        return rowOf(notSwept(port ? port->length : 0.1), -1);
    });
    const auto put = [&bench, trimming](Project& p, const TableRows& rows) {
        if (auto* port = kindOf<PortOpening>(bench, p, trimming->opening)) putReadings(*port, rows);
    };
    QObject::connect(table, &ValueTable::previewed, &form, [&bench, put](const TableRows& rows) {
        bench.document().preview([&](Project& p) { put(p, rows); });
    });
    QObject::connect(table, &ValueTable::edited, &form, [&bench, put](const TableRows& rows, const QString& step) {
        bench.document().edit(step, [&](Project& p) { put(p, rows); });
    });
    QObject::connect(table, &ValueTable::previewEnded, &form, [&bench] { bench.document().endPreview(); });
    form.whenRefreshed([&bench, table, trimming] {
        const PortOpening* port = trimming->port();
        if (!port) return;
        table->values()->setUnits(bench.units());
        table->setRows(rowsOf(*port));
    });
    form.add(table);
    for (QPushButton* button : form.buttons({{Form::tr("Add reading"), [table] { table->addRow(); }},
                                             {Form::tr("Remove reading"), [table] { table->removeRows(); }}}))
        button->setFocusPolicy(Qt::TabFocus);
    return table;
}

void refusalLine(Form& form, ValueTable* table)
{
    auto* line = new StateLine;
    line->hide();
    QObject::connect(table, &ValueTable::refused, line, [line](const QString& sentence) {
        line->setState(sentence.isEmpty() ? Mark::fine : Mark::over, Form::tr("Not taken"), sentence);
        line->setVisible(!sentence.isEmpty());
    });
    form.add(line);
}

/// A value and its standard uncertainty, 0: none to tell.
using CutFigure = std::optional<std::pair<double, double>>;

/// A figure of the cut to make now; hidden while there is none.
void cutRow(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming, const QString& label,
            Dimension dimension, const std::function<CutFigure(const TrimPlan&, const TrimStage&)>& value)
{
    const auto known = [trimming, value]() -> CutFigure {
        const TrimStage* stage = trimming->cut();
        return stage ? value(*trimming->now(), *stage) : std::nullopt;
    };
    ValueRow* row = form.derived(
        label, dimension,
        [known]() -> std::optional<double> {
            const auto now = known();
            return now ? std::optional(now->first) : std::nullopt;
        },
        [&bench, known, dimension]() -> QString {
            const auto now = known();
            return now && now->second > 0
                       ? QStringLiteral("\u00B1 ") + uncertaintyText(now->second, dimension, bench.units())
                       : QString();
        });
    form.whenRefreshed([row, known] { row->setVisible(known().has_value()); });
}

void planRows(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    const auto row = [&](const QString& label, Dimension dimension, auto value) {
        cutRow(bench, form, trimming, label, dimension,
               [value](const TrimPlan& p, const TrimStage& s) -> CutFigure { return value(p, s); });
    };
    row(Form::tr("Tunes to now"), Dimension::frequency,
        [](const TrimPlan& p, const TrimStage&) { return std::pair(p.tuning, p.tuningUncertainty); });
    row(Form::tr("Cut off now"), Dimension::length,
        [](const TrimPlan&, const TrimStage& s) { return std::pair(s.takeOff, 0.0); });
    row(Form::tr("Length then"), Dimension::length,
        [](const TrimPlan&, const TrimStage& s) { return std::pair(s.length, 0.0); });
    row(Form::tr("Dip then"), Dimension::frequency, [](const TrimPlan&, const TrimStage& s) {
        return s.readAs == ReadAs::impedanceDip ? CutFigure({s.shown, s.shownUncertainty}) : CutFigure();
    });
    row(Form::tr("Tuning then"), Dimension::frequency,
        [](const TrimPlan&, const TrimStage& s) { return std::pair(s.tuning, s.tuningUncertainty); });
    row(Form::tr("Still to come off"), Dimension::length,
        [](const TrimPlan& p, const TrimStage& s) { return std::pair(p.takeOff - s.takeOff, p.uncertainty); });
    row(Form::tr("Finished length"), Dimension::length,
        [](const TrimPlan& p, const TrimStage&) { return std::pair(p.length, p.uncertainty); });
}

QString cutWords(const TrimPlan& plan, const TrimStage& stage)
{
    QString words = Form::tr("Cut, sweep again, enter what it shows. Two times in three the truth lies within \u00B1; "
                             "each cut stops %1 times that short of the finished length, so that none goes too far.")
                        .arg(plan.safety, 0, 'f', 0);
    if (stage.readAs != ReadAs::impedanceDip) return words;
    const double off = 100 * (stage.shown / stage.tuning - 1);
    const QString percent = localNumber(QString::number(std::abs(off), 'f', 1));
    return words + QLatin1Char(' ') +
           (off < 0 ? Form::tr("Coil and losses put the dip %1\u00A0% below the tuning; that is reckoned with.")
                    : Form::tr("Coil and losses put the dip %1\u00A0% above the tuning; that is reckoned with."))
               .arg(percent);
}

/// What to do, while the rows do not say it, and how sure they are.
QString nextWords(Workbench& bench, Trimming& trimming)
{
    const PortOpening* port = trimming.port();
    if (!port || !port->wantedTuning)
        return Form::tr("Cut the port some 15\u00A0% longer than it should come out. Say which tuning is wanted, sweep "
                        "the impedance at low level, and enter where it dips between its two peaks. The dip is not "
                        "quite the tuning: by how much is reckoned from driver and housing.");
    const auto figure = [&](double si, Dimension d) { return figureText(si, d, bench.units()); };
    if (const auto length = trimming.notSweptAt())
        return Form::tr("It is cut to %1: sweep it again, and enter in the last row what it shows.")
            .arg(figure(*length, Dimension::length));
    const auto& plan = trimming.now();
    if (!plan) {
        const QString why = localSentence(plan.error().message);
        if (why.isEmpty()) return Form::tr("Enter what a sweep shows with the port at this length.");
        return why.endsWith(QLatin1Char('.')) ? why : why + QLatin1Char('.');
    }
    if (const TrimStage* stage = trimming.cut()) return cutWords(*plan, *stage);
    QStringList words;
    for (const std::string& sentence : trimWords(*plan, *port->wantedTuning, bench.units()))
        words << localSentence(sentence);
    return words.join(QLatin1Char(' '));
}

void cutButton(Workbench& bench, Form& form, const std::shared_ptr<Trimming>& trimming)
{
    QPushButton* cut = form.button(Form::tr("It is cut"), [&bench, trimming] {
        commitTyping();
        const TrimStage* stage = trimming->cut();
        if (!stage) return;
        const double length = std::round(stage->length * 1e4) / 1e4;
        const ReadAs next = stage->readAs;
        bench.document().edit(Form::tr("Trim the Port"), [&](Project& p) {
            const auto chosen = bench.chosenIn(p);
            if (!chosen) return;
            cutPort(p, *chosen, trimming->opening, length);
            if (auto* port = kindOf<PortOpening>(bench, p, trimming->opening))
                port->readings.push_back(notSwept(length, next));
        });
    });
    form.whenRefreshed([&bench, cut, trimming] {
        const TrimStage* stage = trimming->cut();
        cut->setVisible(stage);
        if (stage)
            cut->setText(Form::tr("It is cut to %1").arg(figureText(stage->length, Dimension::length, bench.units())));
    });
}

}  // namespace

void trimRows(Workbench& bench, Form& form, std::size_t opening)
{
    const auto trimming = std::make_shared<Trimming>(Trimming{bench, opening});
    form.fold(Form::tr("Trim to a tuning"), QStringLiteral("port/trim"), [&bench, trimming]() -> QString {
        if (const TrimStage* stage = trimming->cut())
            return Form::tr("cut off %1").arg(figureText(stage->takeOff, Dimension::length, bench.units()));
        if (trimming->notSweptAt()) return Form::tr("sweep it again");
        const auto& plan = trimming->now();
        if (!plan) return Form::tr("cut long, measure, cut");
        return plan->state == TrimPlan::State::reached ? Form::tr("reached") : QString();
    });
    optionalRow<PortOpening>(bench, form, opening, "port", "wanted_fb_hz", Form::tr("Wanted"),
                             &PortOpening::wantedTuning);
    refusalLine(form, readingsTable(bench, form, trimming));
    planRows(bench, form, trimming);
    form.words([&bench, trimming] { return nextWords(bench, *trimming); });
    cutButton(bench, form, trimming);
    form.endFold();
}

}  // namespace portwright
