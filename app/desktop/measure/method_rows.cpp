// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/small_parts.h"
#include "app/desktop/components/workshop_style.h"
#include "app/desktop/measure/fresh_measurement.h"
#include "app/desktop/session/project_files.h"
#include "core/document/fields.h"
#include "core/document/whole_file.h"

#include <QFile>
#include <QFileDialog>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QPushButton>
#include <QVBoxLayout>

namespace portwright {
namespace {

constexpr qint64 largestTable = 1 << 20;  // bytes; a table of 200 outlines has less

QString rowsKey(MeasureDesk& desk)
{
    const Measurement* chosen = desk.measurement();
    if (!chosen) return QStringLiteral("none");
    QString key = QStringLiteral("%1|%2|%3").arg(int(desk.cavityId())).arg(desk.current()).arg(chosen->method.index());
    if (const auto* fill = std::get_if<FillMeasurement>(&chosen->method))
        key += QStringLiteral("|%1").arg(int(fill->medium));
    return key;
}

/// In what state the cavity was: the question that matters most comes first.
void inPlaceRow(MeasureDesk& desk, Form& form)
{
    form.choice({.label = Form::tr("In place"),
                 .names = {Form::tr("nothing: bare shell"), Form::tr("everything that will be there")},
                 .field = QStringLiteral("measurement/in_place"),
                 .read =
                     [&desk](const Project& p) {
                         const Measurement* m = desk.measurementIn(p);
                         return m ? int(m->inPlace.value_or(InPlace::nothing)) : 0;
                     },
                 .write =
                     [&desk](Project& p, int place) {
                         if (Measurement* m = desk.measurementIn(p)) m->inPlace = InPlace(place);
                     }});
}

/// Whether a measurement counts, and a note.
void commonRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("This measurement"));
    form.choice({.label = Form::tr("Reckoned"),
                 .names = {Form::tr("used"), Form::tr("set aside")},
                 .field = QStringLiteral("measurement/unused"),
                 .read =
                     [&desk](const Project& p) {
                         const Measurement* m = desk.measurementIn(p);
                         return m && m->unused ? 1 : 0;
                     },
                 .write =
                     [&desk](Project& p, int unused) {
                         if (Measurement* m = desk.measurementIn(p)) m->unused = unused == 1;
                     }});
    form.text(
        Form::tr("Note"),
        [&desk](const Project& p) {
            const Measurement* m = desk.measurementIn(p);
            return m ? m->note : std::string();
        },
        [&desk](Project& p, const std::string& words) {
            if (Measurement* m = desk.measurementIn(p)) m->note = words;
        });
}

/// Each method as a button, beside it what it takes.
void methodButtons(MeasureDesk& desk, Form& form)
{
    auto* table = new QWidget(&form);
    auto* grid = new QGridLayout(table);
    grid->setContentsMargins(0, px(10), 0, 0);
    grid->setHorizontalSpacing(px(12));
    grid->setVerticalSpacing(px(8));
    grid->setColumnStretch(1, 1);
    for (int kind = 0; kind <= int(MeasurementKind::stated); ++kind) {
        const auto which = MeasurementKind(kind);
        auto* button = new QPushButton(methodName(which), table);
        button->setAccessibleDescription(methodHint(which));
        button->setProperty("helpTopic", QStringLiteral("measure"));
        QObject::connect(button, &QPushButton::clicked, &desk, [&desk, which] { desk.add(freshMeasurement(which)); });
        auto* hint = new DimLabel(methodHint(which), table);
        hint->setWordWrap(true);
        grid->addWidget(button, kind, 0);
        grid->addWidget(hint, kind, 1);
    }
    form.add(table);
}

void build(MeasureDesk& desk, ScanDesk& scans, Form& form)
{
    const Measurement* chosen = desk.measurement();
    if (!chosen) {
        form.title(Form::tr("Measure the cavity"), {}, true);
        form.words([] {
            return Form::tr("Choose how: each method gives a volume with its uncertainty, and any number of them "
                            "combine.");
        });
        return methodButtons(desk, form);
    }
    const MeasurementKind kind = kindOf(*chosen);
    form.title(QString::fromStdString(nameOf(*chosen)), methodHint(kind), true);
    if (kind != MeasurementKind::resonance && kind != MeasurementKind::bottles) inPlaceRow(desk, form);
    switch (kind) {
    case MeasurementKind::fill:
        fillRows(desk, form);
        break;
    case MeasurementKind::sections:
        sectionsRows(desk, form);
        break;
    case MeasurementKind::solids:
        solidsRows(desk, form);
        break;
    case MeasurementKind::scan:
        scanRows(desk, scans, form);
        break;
    case MeasurementKind::resonance:
        resonanceRows(desk, form);
        break;
    case MeasurementKind::bottles:
        bottlesRows(desk, form);
        break;
    case MeasurementKind::stated:
        statedRows(desk, form);
        break;
    }
    commonRows(desk, form);
}

}  // namespace

StationForm methodForm(MeasureDesk& desk, ScanDesk& scans)
{
    return {.helpPage = QStringLiteral("measure"),
            .rowsKey = [&desk](Workbench&) { return rowsKey(desk); },
            .build = [&desk, &scans](Workbench&, Form& form) { build(desk, scans, form); }};
}

ValueTable* tableRows(Form& form, const QString& name, std::vector<TableColumn> columns,
                      std::function<TableRow(const TableRows&)> fresh)
{
    auto* table = new ValueTable(name);
    table->values()->setColumns(std::move(columns));
    table->setProperty("helpTopic", QStringLiteral("measure#tables"));
    const bool grows = bool(fresh);
    if (grows) table->setFreshRow(std::move(fresh));
    form.add(table);
    auto* refusal = new StateLine(&form);
    refusal->hide();
    QObject::connect(table, &ValueTable::refused, refusal, [refusal](const QString& sentence) {
        refusal->setState(sentence.isEmpty() ? Mark::fine : Mark::over, Form::tr("Not taken"), sentence);
        refusal->setVisible(!sentence.isEmpty());
    });
    form.add(refusal);
    if (grows)
        for (QPushButton* button : form.buttons({{Form::tr("Add row"), [table] { table->addRow(); }},
                                                 {Form::tr("Remove row"), [table] { table->removeRows(); }},
                                                 {Form::tr("Paste"), [table] { table->paste(); }}}))
            button->setFocusPolicy(Qt::TabFocus);  // a click leaves the table where it is: they act on its current row
    return table;
}

TableCell::Measure measureOf(const char* object, const char* key)
{
    const FieldInfo* info = fieldInfo(object, key);
    Q_ASSERT(info);
    return {info->dimension, info->min / info->perSi, info->max / info->perSi};
}

double quantityIn(const TableCell& cell, double otherwise)
{
    const auto* si = std::get_if<double>(&cell.value);
    return si ? *si : otherwise;
}

int choiceIn(const TableCell& cell, int otherwise)
{
    const auto* choice = std::get_if<int>(&cell.value);
    return choice ? *choice : otherwise;
}

std::string wordsIn(const TableCell& cell)
{
    const auto* words = std::get_if<QString>(&cell.value);
    return words ? words->toStdString() : std::string();
}

void csvRows(Form& form, const QString& fileStem, const std::function<std::string()>& write,
             const std::function<std::optional<Error>(const std::string&)>& read)
{
    auto* refusal = new StateLine(&form);
    refusal->hide();
    const auto say = [refusal](const QString& word, const QString& sentence) {
        refusal->setState(sentence.isEmpty() ? Mark::fine : Mark::over, word, sentence);
        refusal->setVisible(!sentence.isEmpty());
    };
    const QString filter = Form::tr("Comma-separated values (*.csv);;All files (*)");
    form.buttons({{Form::tr("Read CSV\u2026"),
                   [&form, say, read, filter] {
                       const QString path = QFileDialog::getOpenFileName(&form, Form::tr("Read a Table"), {}, filter);
                       if (path.isEmpty()) return;
                       const auto bytes = readWhole(path, largestTable);
                       if (!bytes) return say(Form::tr("Not read"), QString::fromStdString(bytes.error().message));
                       const auto refused = read(bytes->toStdString());
                       say(Form::tr("Not read"),
                           !refused ? QString()
                                    : Form::tr("%1, %2: %3")
                                          .arg(QFileInfo(path).fileName(), QString::fromStdString(refused->field),
                                               QString::fromStdString(refused->message)));
                   }},
                  {Form::tr("Write CSV\u2026"), [&form, say, write, filter, fileStem] {
                       QFileDialog dialog(&form, Form::tr("Write a Table"), fileStem + QStringLiteral(".csv"), filter);
                       dialog.setAcceptMode(QFileDialog::AcceptSave);
                       dialog.setDefaultSuffix(QStringLiteral("csv"));
                       if (dialog.exec() != QDialog::Accepted) return;
                       const QString path = dialog.selectedFiles().value(0);
                       const auto written = writeWhole(QFile::encodeName(path).toStdString(), write());
                       say(Form::tr("Not written"),
                           written ? QString() : QString::fromStdString(written.error().message));
                   }}});
    form.add(refusal);
}

}  // namespace portwright
