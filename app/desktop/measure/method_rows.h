// SPDX-License-Identifier: GPL-3.0-or-later
// Rows of a method's editor, bound to the chosen measurement. One builder a method.
#pragma once

#include "app/desktop/components/table/quantity_column.h"
#include "app/desktop/components/table/value_table.h"
#include "app/desktop/measure/measure_desk.h"
#include "app/desktop/stations/station_editor.h"

namespace portwright {

class ScanDesk;

/// The editor of the chosen measurement, whatever its method.
StationForm methodForm(MeasureDesk& desk, ScanDesk& scans);

void fillRows(MeasureDesk& desk, Form& form);
void sectionsRows(MeasureDesk& desk, Form& form);
void solidsRows(MeasureDesk& desk, Form& form);
void scanRows(MeasureDesk& desk, ScanDesk& scans, Form& form);
void resonanceRows(MeasureDesk& desk, Form& form);
void bottlesRows(MeasureDesk& desk, Form& form);
void statedRows(MeasureDesk& desk, Form& form);

/// A quantity of the chosen measurement; `key` of object "measurement" gives unit, range and meaning.
template <class Method>
FieldRow* methodQuantity(MeasureDesk& desk, Form& form, const char* key, const QString& label, bool optional,
                         std::function<std::optional<double>(const Method&)> read,
                         std::function<void(Method&, std::optional<double>)> write)
{
    return form.quantity({.object = "measurement",
                          .key = key,
                          .label = label,
                          .field = QStringLiteral("measurement/") + QLatin1String(key),
                          .optional = optional,
                          .read = [&desk, read](const Project& p) -> std::optional<double> {
                              const Measurement* m = desk.measurementIn(p);
                              const Method* method = m ? std::get_if<Method>(&m->method) : nullptr;
                              return method ? read(*method) : std::nullopt;
                          },
                          .write =
                              [&desk, write](Project& p, std::optional<double> si) {
                                  Measurement* m = desk.measurementIn(p);
                                  if (Method* method = m ? std::get_if<Method>(&m->method) : nullptr)
                                      write(*method, si);
                              }});
}

template <class Method>
FieldRow* methodQuantity(MeasureDesk& desk, Form& form, const char* key, const QString& label,
                         std::optional<double> Method::* member)
{
    return methodQuantity<Method>(
        desk, form, key, label, true, [member](const Method& m) { return m.*member; },
        [member](Method& m, std::optional<double> si) { m.*member = si; });
}

template <class Method>
FieldRow* methodQuantity(MeasureDesk& desk, Form& form, const char* key, const QString& label, double Method::* member)
{
    return methodQuantity<Method>(
        desk, form, key, label, false, [member](const Method& m) { return std::optional(m.*member); },
        [member](Method& m, std::optional<double> si) { m.*member = si.value_or(m.*member); });
}

/// A table of the chosen measurement: how its rows are read from the method and written back. With the buttons that
/// change its rows, and the line that says what was not taken.
template <class Method>
ValueTable* methodTable(MeasureDesk& desk, Form& form, const QString& name, std::vector<TableColumn> columns,
                        std::function<TableRows(const Method&)> read,
                        std::function<void(Method&, const TableRows&)> write,
                        std::function<TableRow(const TableRows&)> fresh);

/// Puts a table with its buttons and its line of refusal into a form.
ValueTable* tableRows(Form& form, const QString& name, std::vector<TableColumn> columns,
                      std::function<TableRow(const TableRows&)> fresh);

TableCell::Measure measureOf(const char* object, const char* key);
inline TableCell quantityCell(double si) { return {.value = si}; }
double quantityIn(const TableCell& cell, double otherwise = 0);
int choiceIn(const TableCell& cell, int otherwise = 0);
std::string wordsIn(const TableCell& cell);

/// Buttons that exchange a table with a file of comma-separated values. A refusal is one sentence below them.
void csvRows(Form& form, const QString& fileStem, const std::function<std::string()>& write,
             const std::function<std::optional<Error>(const std::string&)>& read);

// --- templates ---

template <class Method>
ValueTable* methodTable(MeasureDesk& desk, Form& form, const QString& name, std::vector<TableColumn> columns,
                        std::function<TableRows(const Method&)> read,
                        std::function<void(Method&, const TableRows&)> write,
                        std::function<TableRow(const TableRows&)> fresh)
{
    ValueTable* table = tableRows(form, name, std::move(columns), std::move(fresh));
    QObject::connect(table, &ValueTable::previewed, &desk, [&desk, write](const TableRows& rows) {
        desk.previewMethod<Method>([&](Method& m) { write(m, rows); });
    });
    QObject::connect(table, &ValueTable::edited, &desk, [&desk, write](const TableRows& rows, const QString& step) {
        desk.editMethod<Method>(step, [&](Method& m) { write(m, rows); });
    });
    QObject::connect(table, &ValueTable::previewEnded, &desk, [&desk] { desk.endPreview(); });
    form.whenRefreshed([&desk, table, read] {
        table->values()->setUnits(desk.units());
        if (const Method* method = desk.method<Method>()) table->setRows(read(*method));
    });
    return table;
}

}  // namespace portwright
