// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/typing.h"
#include "app/desktop/session/housing_edits.h"
#include "app/desktop/stations/station_editor.h"
#include "core/document/fields.h"

#include <algorithm>
#include <set>

namespace portwright {
namespace {

using Member = std::optional<double> DriverSheet::*;

struct SheetRow {
    const char* key;
    const char* label;
    Member member;
};
constexpr SheetRow lossRows[] = {{"fs_hz", "fs", &DriverSheet::fs},
                                 {"qes", "Qes", &DriverSheet::Qes},
                                 {"qms", "Qms", &DriverSheet::Qms},
                                 {"qts", "Qts", &DriverSheet::Qts},
                                 {"rms_kg_s", "Rms", &DriverSheet::Rms}};
constexpr SheetRow coneRows[] = {{"vas_l", "Vas", &DriverSheet::Vas},
                                 {"sd_cm2", "Sd", &DriverSheet::Sd},
                                 {"mms_g", "Mms", &DriverSheet::Mms},
                                 {"cms_mm_n", "Cms", &DriverSheet::Cms},
                                 {"xmax_mm", "Xmax", &DriverSheet::Xmax},
                                 {"xmech_mm", "Xmech", &DriverSheet::Xmech},
                                 {"displacement_l", "Own volume", &DriverSheet::displacement}};
constexpr SheetRow coilRows[] = {{"re_ohm", "Re", &DriverSheet::Re},
                                 {"bl_t_m", "Bl", &DriverSheet::Bl},
                                 {"power_w", "Power", &DriverSheet::power},
                                 {"nominal_ohm", "Nominal", &DriverSheet::nominalImpedance}};

/// The usual sufficient set, marked as missing while the driver is not whole.
bool ofTheSix(const std::string& key)
{
    static const std::set<std::string> six{"fs_hz", "qes", "qms", "vas_l", "re_ohm", "sd_cm2"};
    return six.contains(key);
}

double perSiOf(const char* key)
{
    const FieldInfo* info = fieldInfo("driver", key);
    return info ? info->perSi : 1;
}

void sheetRow(Workbench& bench, Form& form, const SheetRow& row)
{
    const std::string key = row.key;
    const double perSi = perSiOf(row.key);
    const Member member = row.member;
    FieldRow* field = form.quantity({.object = "driver",
                                     .key = row.key,
                                     .label = QString::fromLatin1(row.label),
                                     .field = QStringLiteral("driver/") + QLatin1String(row.key),
                                     .optional = true,
                                     .read =
                                         [&bench, member](const Project& p) {
                                             const DriverSheet* d = bench.driverIn(p);
                                             return d ? d->*member : std::nullopt;
                                         },
                                     .write =
                                         [&bench, member, key](Project& p, std::optional<double> si) {
                                             DriverSheet& d = bench.driverToEdit(p);
                                             d.*member = si;
                                             if (!si) {
                                                 d.origin.erase(key);
                                                 d.uncertainty.erase(key);
                                             }
                                         }});
    field->setUncertaintyEditable(true);
    QObject::connect(field, &FieldRow::originChosen, &form, [&bench, key](Origin origin) {
        bench.document().edit(Form::tr("Say where %1 is from").arg(QString::fromStdString(key)),
                              [&](Project& p) { bench.driverToEdit(p).origin[key] = origin; });
    });
    QObject::connect(field, &FieldRow::uncertaintyCommitted, &form, [&bench, key, perSi](double si) {
        bench.document().edit(Form::tr("Change Uncertainty"),
                              [&](Project& p) { bench.driverToEdit(p).uncertainty[key] = si * perSi; });
    });
    QObject::connect(field, &FieldRow::uncertaintyCleared, &form, [&bench, key] {
        bench.document().edit(Form::tr("Remove Uncertainty"),
                              [&](Project& p) { bench.driverToEdit(p).uncertainty.erase(key); });
    });
    form.whenRefreshed([&bench, field, key, member, perSi] {
        const DriverSheet* d = bench.driver();
        const bool given = d && (d->*member);
        std::optional<Origin> origin;
        if (given) {
            const auto found = d->origin.find(key);
            origin = found == d->origin.end() ? Origin::datasheet : found->second;
        }
        field->setOrigin(origin);
        const auto known = given ? d->uncertainty.find(key) : std::map<std::string, double>::const_iterator{};
        field->setUncertaintySi(given && known != d->uncertainty.end() ? std::optional(known->second / perSi)
                                                                       : std::nullopt);
        const auto whole = d ? complete(*d) : Result<CompleteDriver>(fail("", ""));
        field->setMissing(!whole && !given && (whole.error().field == key || ofTheSix(key)));
        QString remark;
        if (whole && !given)
            field->box()->setEmptyShows([&]() -> QString {
                const CompleteDriver& c = *whole;
                const std::map<std::string, double> reckoned{{"fs_hz", c.fs},
                                                             {"qes", c.Qes},
                                                             {"qms", c.Qms},
                                                             {"qts", c.Qts},
                                                             {"vas_l", c.Vas},
                                                             {"mms_g", c.driver.Mms},
                                                             {"cms_mm_n", c.driver.Cms},
                                                             {"bl_t_m", c.driver.Bl},
                                                             {"rms_kg_s", c.driver.Rms}};
                const auto value = reckoned.find(key);
                return value == reckoned.end() ? QString()
                                               : QString::fromStdString(formatNumber(
                                                     value->second, field->box()->dimension(), bench.units()));
            }());
        else
            field->box()->setEmptyShows({});
    });
}

void chooserRows(Workbench& bench, Form& form)
{
    const Project& project = bench.project();
    if (project.drivers.empty()) return;
    QStringList names;
    for (const DriverSheet& d : project.drivers)
        names << QString::fromStdString(d.name.empty() ? d.id : d.name);
    if (bench.chosenIndex())
        form.choice({.label = Form::tr("Chosen"),
                     .names = names,
                     .field = QStringLiteral("driver/id"),
                     .read =
                         [&bench](const Project& p) {
                             const DriverSheet* d = bench.driverIn(p);
                             return d ? int(d - p.drivers.data()) : -1;
                         },
                     .write =
                         [&bench](Project& p, int index) {
                             if (const auto chosen = bench.chosenIn(p); chosen && index >= 0)
                                 p.housings[*chosen].driver = p.drivers[std::size_t(index)].id;
                         }});
    form.text(
        Form::tr("Name"),
        [&bench](const Project& p) {
            const DriverSheet* d = bench.driverIn(p);
            return d ? d->name : std::string();
        },
        [&bench](Project& p, const std::string& name) { bench.driverToEdit(p).name = name; });
}

void addDriver(Workbench& bench, bool copy)
{
    commitTyping();
    bench.document().edit(copy ? Form::tr("Copy Driver") : Form::tr("Add Driver"), [&](Project& p) {
        DriverSheet fresh;
        if (const DriverSheet* d = bench.driverIn(p); d && copy) fresh = *d;
        fresh.id = freshDriverId(p);
        fresh.name = copy ? Form::tr("%1, copy").arg(QString::fromStdString(fresh.name)).toStdString()
                          : Form::tr("New driver").toStdString();
        p.drivers.push_back(fresh);
        if (const auto chosen = bench.chosenIn(p)) p.housings[*chosen].driver = fresh.id;
    });
}

/// Takes the driver out of this housing; the housings that had it get the project's first other driver.
void removeThisDriver(Workbench& bench)
{
    const DriverSheet* d = bench.driver();
    if (!d) return;
    const std::string id = d->id;
    bench.document().edit(Form::tr("Remove Driver"), [&](Project& p) {
        const auto other =
            std::find_if(p.drivers.begin(), p.drivers.end(), [&](const DriverSheet& one) { return one.id != id; });
        if (other == p.drivers.end()) {
            if (p.housings.empty())
                removeDriver(p, id);
            else
                for (DriverSheet& one : p.drivers) {  // a housing needs one: it becomes an empty sheet
                    one = DriverSheet{};
                    one.id = id;
                    one.name = Form::tr("New driver").toStdString();
                }
            return;
        }
        const std::string heir = other->id;
        for (Housing& housing : p.housings)
            if (housing.driver == id) housing.driver = heir;
        removeDriver(p, id);
    });
}

int inductanceKind(const DriverSheet* d)
{
    if (!d || !d->inductance) return 0;
    return std::holds_alternative<SemiInductance>(*d->inductance) ? 2
           : std::holds_alternative<TwoInductor>(*d->inductance)  ? 1
                                                                  : 0;
}

template <class Kind>
void inductanceRow(Workbench& bench, Form& form, const char* key, const char* label, double Kind::* member)
{
    form.quantity({.object = "inductance",
                   .key = key,
                   .label = QString::fromLatin1(label),
                   .field = QStringLiteral("driver/inductance/") + QLatin1String(key),
                   .read = [&bench, member](const Project& p) -> std::optional<double> {
                       const DriverSheet* d = bench.driverIn(p);
                       const Kind* kind = d && d->inductance ? std::get_if<Kind>(&*d->inductance) : nullptr;
                       return kind ? std::optional(kind->*member) : std::nullopt;
                   },
                   .write =
                       [&bench, member](Project& p, std::optional<double> si) {
                           DriverSheet& d = bench.driverToEdit(p);
                           if (auto* kind = d.inductance ? std::get_if<Kind>(&*d.inductance) : nullptr; kind && si)
                               kind->*member = *si;
                       }});
}

void inductanceRows(Workbench& bench, Form& form)
{
    form.choice({.label = Form::tr("Inductance"),
                 .names = {Form::tr("plain"), Form::tr("two inductors"), Form::tr("semi-inductance")},
                 .field = QStringLiteral("driver/inductance"),
                 .read = [&bench](const Project& p) { return inductanceKind(bench.driverIn(p)); },
                 .write =
                     [&bench](Project& p, int kind) {
                         DriverSheet& d = bench.driverToEdit(p);
                         const double Le = d.Le.value_or(0.2e-3);
                         d.inductance.reset();
                         if (kind == 1)
                             d.inductance = TwoInductor{
                                 .Le = Le / 2, .L2 = Le / 2, .R2 = 5};  // a place to start from: two equal halves
                         else if (kind == 2)
                             d.inductance = SemiInductance{.K = 0.02, .n = 0.7};  // likewise
                         if (kind != 0) d.Le.reset();
                     }});
    switch (inductanceKind(bench.driver())) {
    case 1:
        inductanceRow<TwoInductor>(bench, form, "le_mh", "Le", &TwoInductor::Le);
        inductanceRow<TwoInductor>(bench, form, "l2_mh", "L2", &TwoInductor::L2);
        inductanceRow<TwoInductor>(bench, form, "r2_ohm", "R2", &TwoInductor::R2);
        break;
    case 2:
        inductanceRow<SemiInductance>(bench, form, "k", "K", &SemiInductance::K);
        inductanceRow<SemiInductance>(bench, form, "n", "n", &SemiInductance::n);
        break;
    default:
        sheetRow(bench, form, {"le_mh", "Le", &DriverSheet::Le});
    }
}

void sensitivityRows(Workbench& bench, Form& form)
{
    sheetRow(bench, form, {"sensitivity_db", "Sensitivity", &DriverSheet::sensitivity});
    const DriverSheet* d = bench.driver();
    if (!d || !d->sensitivity) return;
    form.choice({.label = Form::tr("At"),
                 .names = {Form::tr("not said"), Form::tr("1 W, 1 m"), Form::tr("2.83 V, 1 m")},
                 .field = QStringLiteral("driver/sensitivity_at"),
                 .read =
                     [&bench](const Project& p) {
                         const DriverSheet* one = bench.driverIn(p);
                         return !one || !one->sensitivityAt ? 0 : *one->sensitivityAt == SensitivityAt::oneWatt ? 1 : 2;
                     },
                 .write =
                     [&bench](Project& p, int at) {
                         DriverSheet& one = bench.driverToEdit(p);
                         one.sensitivityAt =
                             at == 0 ? std::nullopt
                                     : std::optional(at == 1 ? SensitivityAt::oneWatt : SensitivityAt::voltage283);
                     }});
}

void findingRows(Workbench& bench, Form& form)
{
    form.note([&bench]() -> std::pair<Mark, QString> {
        const DriverSheet* d = bench.driver();
        if (!d) return {Mark::missing, Form::tr("all six: fs, Qes, Qms, Vas, Re and Sd are enough.")};
        const auto whole = complete(*d);
        if (!whole) return {Mark::missing, QString::fromStdString(whole.error().message)};
        return {Mark::fine, {}};
    });
    auto* list = new VerdictList;
    list->setAccessibleName(Form::tr("Findings on this driver"));
    const auto findings = [&bench]() -> std::vector<Finding> {
        const DriverSheet* d = bench.driver();
        const auto whole = d ? complete(*d) : Result<CompleteDriver>(fail("", ""));
        return whole ? findingsOf(*d, *whole, bench.units()) : std::vector<Finding>{};
    };
    QObject::connect(list, &VerdictList::verdictClicked, &form, [&form, findings](int index) {
        const auto found = findings();
        if (index >= 0 && std::size_t(index) < found.size())
            form.jumpTo(QStringLiteral("driver/") + QString::fromStdString(found[std::size_t(index)].key));
    });
    form.whenRefreshed([list, findings] {
        QList<VerdictLine> lines;
        for (const Finding& finding : findings())
            lines << VerdictLine{.mark = finding.size == Finding::Size::wrong  ? Mark::over
                                         : finding.size == Finding::Size::warn ? Mark::near
                                                                               : Mark::note,
                                 .text = QString::fromStdString(finding.text),
                                 .applyWords = {},
                                 .tip = {}};
        list->setVerdicts(lines);
        list->setVisible(!lines.isEmpty());
    });
    form.add(list);
}

QString rowsKey(Workbench& bench)
{
    const DriverSheet* d = bench.driver();
    QString key;
    for (const DriverSheet& one : bench.project().drivers)
        key += QString::fromStdString(one.id + "=" + one.name + ";");
    key += QString::fromStdString(d ? d->id : "") + QString::number(inductanceKind(d));
    return key + (d && d->sensitivity ? QStringLiteral("s") : QString());
}

void build(Workbench& bench, Form& form)
{
    const DriverSheet* d = bench.driver();
    form.title(Form::tr("Driver"), d ? QString::fromStdString(d->name) : Form::tr("none chosen"), false);
    chooserRows(bench, form);
    if (d)
        form.buttons({{Form::tr("Add"), [&bench] { addDriver(bench, false); }},
                      {Form::tr("Copy"), [&bench] { addDriver(bench, true); }},
                      {Form::tr("Remove"), [&bench] { removeThisDriver(bench); }}});
    form.group(d ? Form::tr("Resonance and loss") : Form::tr("Six values are enough"));
    for (const SheetRow& row : lossRows)
        sheetRow(bench, form, row);
    form.group(Form::tr("Cone"));
    for (const SheetRow& row : coneRows)
        sheetRow(bench, form, row);
    form.group(Form::tr("Coil and limits"));
    for (const SheetRow& row : coilRows)
        sheetRow(bench, form, row);
    inductanceRows(bench, form);
    sensitivityRows(bench, form);
    form.group(Form::tr("What follows"));
    const auto whole = [&bench]() -> std::optional<CompleteDriver> {
        const DriverSheet* one = bench.driverIn(bench.document().shown());
        const auto done = one ? complete(*one) : Result<CompleteDriver>(fail("", ""));
        return done ? std::optional(*done) : std::nullopt;
    };
    form.derived(Form::tr("Qts"), Dimension::quality, [whole]() {
        const auto c = whole();
        return c ? std::optional(c->Qts) : std::nullopt;
    });
    form.derived(Form::tr("Mms"), Dimension::mass, [whole]() {
        const auto c = whole();
        return c ? std::optional(c->driver.Mms) : std::nullopt;
    });
    form.derived(Form::tr("Bl"), Dimension::forceFactor, [whole]() {
        const auto c = whole();
        return c ? std::optional(c->driver.Bl) : std::nullopt;
    });
    form.derived(Form::tr("At 2.83 V, 1 m"), Dimension::level, [whole]() {
        const auto c = whole();
        return c ? std::optional(sensitivity(c->driver, 2.83, referenceAir())) : std::nullopt;
    });
    findingRows(bench, form);
    verdictRows(bench, form, {QStringLiteral("cone travel"), QStringLiteral("end stop"), QStringLiteral("power")});
}

}  // namespace

StationForm driverForm() { return {QStringLiteral("driver"), rowsKey, build}; }

}  // namespace portwright
