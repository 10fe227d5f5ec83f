// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/port_rows.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/stations/opening_rows.h"
#include "core/cavity/net_volume.h"
#include "core/document/fields.h"
#include "core/port/air_speed.h"
#include "core/port/classical.h"
#include "core/port/geometry.h"
#include "core/port/port_tuning.h"
#include "core/response/compression.h"
#include "core/sizing/alignment_place.h"

#include <QHeaderView>
#include <QPushButton>

#include <algorithm>
#include <cmath>
#include <memory>

namespace portwright {

const Computed* chosenComputed(Workbench& bench)
{
    const HousingResult* result = bench.chosenResult();
    return result ? result->computed.get() : nullptr;
}

const PortOpening* computedPort(const Computed* computed, std::size_t opening)
{
    if (!computed || opening >= computed->model.housing.openings.size()) return nullptr;
    return std::get_if<PortOpening>(&computed->model.housing.openings[opening].kind);
}

CavityRoom roomOfPort(const Computed& computed, std::size_t opening)
{
    return roomOf(cavityOf(computed.model.housing, int(opening)));
}

namespace {

using PortValue = std::function<std::optional<double>(const Computed&, const PortOpening&)>;

/// A port value of the shown project, or none where the housing cannot be computed.
ValueRow* follow(Workbench& bench, Form& form, std::size_t opening, const QString& label, Dimension dimension,
                 const PortValue& value)
{
    return form.derived(label, dimension, [&bench, opening, value]() -> std::optional<double> {
        const Computed* computed = chosenComputed(bench);
        const PortOpening* port = computedPort(computed, opening);
        return port ? value(*computed, *port) : std::nullopt;
    });
}

/// A sentence on the port of the shown project; empty where there is none to say.
void say(Workbench& bench, Form& form, std::size_t opening,
         const std::function<QString(const Computed&, const PortOpening&)>& sentence)
{
    form.words([&bench, opening, sentence]() -> QString {
        const Computed* computed = chosenComputed(bench);
        const PortOpening* port = computedPort(computed, opening);
        return port ? sentence(*computed, *port) : QString();
    });
}

/// How the tuning goes with the length, Hz/m, by the whole model as the console has it; reckoned once for each result.
struct Slope {
    std::shared_ptr<const Computed> of;
    std::optional<double> known;

    std::optional<double> at(Workbench& bench, std::size_t opening)
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        if (computed == of) return known;
        of = computed;
        known.reset();
        if (const PortOpening* port = computedPort(computed.get(), opening))
            if (const auto sized = tuningAt(port->length, tuningOfCut(computed->model, int(opening))))
                known = sized->tuningPerLength;
        return known;
    }
};

void tuningRows(Workbench& bench, Form& form, std::size_t i)
{
    follow(bench, form, i, Form::tr("Tuning"), Dimension::frequency,
           [](const Computed& c, const PortOpening&) { return c.summary.fb; });
    follow(bench, form, i, Form::tr("By the textbook"), Dimension::frequency,
           [i](const Computed& c, const PortOpening& p) -> std::optional<double> {
               if (portToTune(c.model.housing) != i) return {};
               return tuningsOf(p, roomOfPort(c, i), c.model.air).textbook;
           });
    say(bench, form, i, [i](const Computed& c, const PortOpening& p) -> QString {
        if (p.classical || profileOf(c.model.housing.cavity)) return {};
        const double spread = 100 * assumedShapeSpread(p, roomOfPort(c, i), c.model.air);
        if (!(spread >= 0.05)) return {};
        return Form::tr("The cavity's inner sizes are not given: its true shape may move the tuning by %1\u00A0%.")
            .arg(localNumber(QString::number(spread, 'f', spread < 1 ? 1 : 0)));
    });
    const bool inches = bench.units() == UnitSystem::us;
    const double step = inches ? 2.54e-3 : 1e-3;  // m
    const auto slope = std::make_shared<Slope>();
    follow(bench, form, i, inches ? Form::tr("0.1\u00A0in longer") : Form::tr("1\u00A0mm longer"), Dimension::frequency,
           [&bench, i, step, slope](const Computed&, const PortOpening&) -> std::optional<double> {
               const auto perLength = slope->at(bench, i);
               return perLength ? std::optional(*perLength * step) : std::nullopt;
           });
}

void bodyRows(Workbench& bench, Form& form, std::size_t i)
{
    follow(bench, form, i, Form::tr("Tube rings at"), Dimension::frequency,
           [i](const Computed& c, const PortOpening& p) {
               return std::optional(pipeResonanceOf(portInCavity(p, roomOfPort(c, i), c.model.air)));
           })
        ->setToolTip(Form::tr("the tube by itself; the waves of the cavity move it, or make two of it, in the charts"));
    follow(bench, form, i, Form::tr("Air in motion"), Dimension::mass, [](const Computed& c, const PortOpening& p) {
        const double section = countOf(p) * areaOf(p);
        return std::optional(portInertance(p, c.model.air) * section * section);
    });
    follow(bench, form, i, Form::tr("Takes inside"), Dimension::volume,
           [](const Computed&, const PortOpening& p) { return std::optional(outlineVolume(p)); });
}

/// The ports' air at three drives, reckoned once for each result.
struct Drives {
    std::shared_ptr<const Computed> of;
    std::vector<PortAtDrives> known;

    const PortAtDrives* port(Workbench& bench, std::size_t opening)
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        if (computed != of) {
            of = computed;
            known = computed ? portsAtDrives(computed->model).value_or(std::vector<PortAtDrives>{})
                             : std::vector<PortAtDrives>{};
        }
        const auto found = std::find_if(known.begin(), known.end(),
                                        [&](const PortAtDrives& p) { return std::size_t(p.opening) == opening; });
        return found == known.end() ? nullptr : &*found;
    }
};

TableRows driveRows(const PortAtDrives* port, UnitSystem units)
{
    TableRows rows;
    const QString words[] = {Form::tr("half"), Form::tr("as fed"), Form::tr("double")};
    for (std::size_t i = 0; i < 3; ++i) {
        if (!port) {
            rows.push_back({{.value = words[i]}, {}, {}, {}});
            continue;
        }
        const AtDrive& at = port->drive[i];
        rows.push_back({{.value = words[i]},
                        {.value = figureText(at.voltage, Dimension::voltage, units)},
                        {.value = figureText(at.airSpeed, Dimension::airSpeed, units)},
                        {.value = figureText(at.loss, Dimension::level, units)}});
    }
    return rows;
}

/// The port's air at half, as fed and double drive.
void driveTable(Workbench& bench, Form& form, const std::shared_ptr<Drives>& drives, std::size_t i)
{
    auto* table = new ValueTable(Form::tr("The port's air by drive"));
    table->values()->setColumns(
        {{.head = Form::tr("Drive"), .kind = TableColumn::Kind::computed},
         {.head = Form::tr("Feed"), .kind = TableColumn::Kind::computed},
         {.head = Form::tr("Air, peak"), .kind = TableColumn::Kind::computed},
         {.head = Form::tr("Lost"),
          .kind = TableColumn::Kind::computed,
          .meaning = Form::tr("level that separation at the port's ends takes from what a soft signal promises")}});
    table->verticalHeader()->hide();
    table->setShownRows(3);
    table->setProperty("helpTopic", QStringLiteral("opening#drive"));
    form.whenRefreshed(
        [&bench, table, drives, i] { table->setRows(driveRows(drives->port(bench, i), bench.units())); });
    form.add(table);
}

/// One dimensionless number with what it says here; where that is known from, in the tip.
void meaningLine(Workbench& bench, Form& form, const std::shared_ptr<Drives>& drives, std::size_t i, std::size_t number)
{
    auto* line = new DimLabel({});
    line->setWordWrap(true);
    form.whenRefreshed([&bench, line, drives, i, number] {
        const PortAtDrives* port = drives->port(bench, i);
        const auto meanings = port ? meaningsOf(port->numbers) : std::vector<AirSpeedMeaning>{};
        line->setVisible(number < meanings.size() && meanings[number].value > 0);
        if (line->isHidden()) return;
        const AirSpeedMeaning& m = meanings[number];
        line->setText(Form::tr("%1 %2: %3.")
                          .arg(QString::fromStdString(m.name), localNumber(QString::fromStdString(figureOf(m))),
                               localSentence(m.text)));
        line->setToolTip(Form::tr("Rests on: %1").arg(QString::fromStdString(m.source)));
    });
    form.add(line);
}

void airRows(Workbench& bench, Form& form, std::size_t i)
{
    const auto drives = std::make_shared<Drives>();
    form.fold(Form::tr("Its air"), QStringLiteral("port/air"), [&bench, drives, i]() -> QString {
        const PortAtDrives* port = drives->port(bench, i);
        return port ? Form::tr("%1 at %2")
                          .arg(figureText(port->drive[1].airSpeed, Dimension::airSpeed, bench.units()),
                               figureText(port->frequency, Dimension::frequency, bench.units()))
                    : QString();
    });
    follow(bench, form, i, Form::tr("Stay below"), Dimension::airSpeed,
           [](const Computed&, const PortOpening& p) { return std::optional(recommendedAirSpeed(p)); });
    form.words([] { return Form::tr("Recommended by flare: common practice, no source."); });
    driveTable(bench, form, drives, i);
    form.words([&bench, drives, i]() -> QString {
        const PortAtDrives* port = drives->port(bench, i);
        if (!port) return {};
        const QString where = figureText(port->frequency, Dimension::frequency, bench.units());
        if (!(port->K > 0))
            return Form::tr("Where its air is fastest, %1. Its loss is given, so none is added.").arg(where);
        return Form::tr("Where its air is fastest, %1; its ends lose %2 velocity heads.")
            .arg(where, localNumber(QString::number(port->K, 'f', 2)));
    });
    constexpr std::size_t numbers = 5;  // Mach, Reynolds, wall layer, both Strouhal numbers
    for (std::size_t n = 0; n < numbers; ++n)
        meaningLine(bench, form, drives, i, n);
    form.endFold();
}

/// Where driver and volume stand among the classical alignments, reckoned once for each result.
struct Alignments {
    std::shared_ptr<const Computed> of;
    UnitSystem units = UnitSystem::metric;
    QString name, words;

    void look(Workbench& bench)
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        if (computed == of && units == bench.units()) return;
        of = computed, units = bench.units();
        name.clear(), words.clear();
        if (!computed) return;
        const AlignmentPlace place = alignmentPlace(computed->model);
        if (place.wanted)
            name = Form::tr("%1 wants %2")
                       .arg(QString::fromStdString(nameOf(place.wanted->alignment)),
                            figureText(place.wantedVolume, Dimension::volume, units));
        QStringList sentences;
        for (const std::string& sentence : alignmentWords(place, units))
            sentences << localSentence(sentence);
        words = sentences.join(QLatin1Char(' '));
    }
};

void alignmentRows(Workbench& bench, Form& form)
{
    const auto place = std::make_shared<Alignments>();
    form.fold(Form::tr("Alignment"), QStringLiteral("port/alignment"), [&bench, place] {
        place->look(bench);
        return place->name;
    });
    form.words([&bench, place] {
        place->look(bench);
        return place->words;
    });
    form.endFold();
}

void useLength(Workbench& bench, std::size_t opening, double length)
{
    bench.document().edit(Form::tr("Tune the Port"), [&](Project& p) {
        if (const auto chosen = bench.chosenIn(p)) cutPort(p, *chosen, opening, length);
    });
}

/// The last answer, kept while nothing it rests on is another one.
struct Tuned {
    std::optional<double> wanted;  ///< Hz; the field's alone, not the project's
    std::shared_ptr<const Computed> of;
    std::optional<double> askedFor;
    Result<SizedPort> found = fail({}, {});

    const Result<SizedPort>& at(Workbench& bench, std::size_t opening)
    {
        const HousingResult* result = bench.chosenResult();
        const auto computed = result ? result->computed : nullptr;
        if (computed == of && askedFor == wanted) return found;
        of = computed, askedFor = wanted;
        found = fail({}, {});
        if (!computedPort(computed.get(), opening) || !wanted) return found;
        if (portToTune(computed->model.housing) == opening)
            found = lengthInHousing(computed->model, opening, *wanted);
        else
            found = fail({}, Form::tr("Only for a port that is alone on the main cavity.").toStdString());
        return found;
    }
};

/// A wanted tuning, the length it takes, and a button that puts it in.
void lengthRows(Workbench& bench, Form& form, std::size_t opening)
{
    const auto tuned = std::make_shared<Tuned>();
    const auto length = [&bench, opening, tuned]() -> const Result<SizedPort>& { return tuned->at(bench, opening); };
    const FieldInfo* info = fieldInfo("driver", "fs_hz");
    auto* row = new FieldRow(Form::tr("Tune to"), Dimension::frequency);
    row->box()->setRangeSi(info->min, info->max);
    row->box()->setOptional(true);
    row->setMeaning(Form::tr("wanted tuning; the length for it stands below, Return puts it in"));
    row->setHelpTopic(QStringLiteral("opening#tune_to"));
    form.add(row);
    form.derived(Form::tr("Cut it to"), Dimension::length, [length]() -> std::optional<double> {
        const auto& found = length();
        return found ? std::optional(found->length) : std::nullopt;
    });
    say(bench, form, opening, [length, &bench, tuned](const Computed& c, const PortOpening& p) -> QString {
        const auto& found = length();
        if (!found) {
            const QString why = localSentence(found.error().message);
            return why.isEmpty() || why.endsWith(QLatin1Char('.')) ? why : why + QLatin1Char('.');
        }
        const double taken = outlineVolume(cutTo(p, found->length)) - outlineVolume(p);
        if (std::abs(taken) < 1e-6) return {};
        return Form::tr("In the same shell: the port takes %1 %2, which leaves %3 net.")
            .arg(figureText(std::abs(taken), Dimension::volume, bench.units()),
                 taken > 0 ? Form::tr("more") : Form::tr("less"),
                 figureText(c.model.housing.cavity.netVolume - taken, Dimension::volume, bench.units()));
    });
    const auto use = [&bench, opening, length] {
        if (const auto& found = length()) useLength(bench, opening, found->length);
    };
    QPushButton* set = form.button(Form::tr("Use this length"), use);
    form.whenRefreshed([set, length] { set->setVisible(length().has_value()); });
    const auto take = [&form, tuned](std::optional<double> hertz) {
        tuned->wanted = hertz;
        form.refresh();
    };
    QObject::connect(row->box(), &QuantityBox::previewed, &form, [take](double hertz) { take(hertz); });
    QObject::connect(row->box(), &QuantityBox::committed, &form, [take](double hertz) { take(hertz); });
    QObject::connect(row->box(), &QuantityBox::cleared, &form, [take] { take({}); });
    QObject::connect(row->box(), &QuantityBox::entered, &form, use);
}

}  // namespace

void portFollowRows(Workbench& bench, Form& form, std::size_t opening)
{
    form.group(Form::tr("What follows"));
    tuningRows(bench, form, opening);
    bodyRows(bench, form, opening);
    lengthRows(bench, form, opening);
    airRows(bench, form, opening);
    const Housing* housing = bench.chosenHousing();
    if (housing && portToTune(*housing) == opening) alignmentRows(bench, form);
}

}  // namespace portwright
