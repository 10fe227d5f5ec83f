// SPDX-License-Identifier: GPL-3.0-or-later
// Rows bound to one opening of the chosen housing.
#pragma once

#include "app/desktop/stations/form.h"

#include <cmath>

namespace portwright {

/// The opening in the project, null if there is none of that number.
inline Opening* openingOf(Workbench& bench, Project& project, std::size_t index)
{
    const auto chosen = bench.chosenIn(project);
    if (!chosen || index >= project.housings[*chosen].openings.size()) return nullptr;
    return &project.housings[*chosen].openings[index];
}

template <class Kind> Kind* kindOf(Workbench& bench, Project& project, std::size_t index)
{
    Opening* opening = openingOf(bench, project, index);
    return opening ? std::get_if<Kind>(&opening->kind) : nullptr;
}

template <class Kind> const Kind* kindOf(Workbench& bench, const Project& project, std::size_t index)
{
    return kindOf<Kind>(bench, const_cast<Project&>(project), index);
}

template <class Kind> using TakeOf = std::function<std::optional<double>(const Kind&)>;
template <class Kind> using PutOf = std::function<void(Kind&, std::optional<double>)>;

/// One quantity of an opening of a certain kind. `field`: below "openings/n/", where it is not the key.
template <class Kind>
FieldRow* kindRow(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key,
                  const QString& label, bool optional, TakeOf<Kind> take, PutOf<Kind> put, const QString& field = {})
{
    return form.quantity(
        {.object = object,
         .key = key,
         .label = label,
         .field = QStringLiteral("openings/%1/%2").arg(index).arg(field.isEmpty() ? QString::fromLatin1(key) : field),
         .optional = optional,
         .read = [&bench, index, take](const Project& p) -> std::optional<double> {
             const Kind* kind = kindOf<Kind>(bench, p, index);
             return kind ? take(*kind) : std::nullopt;
         },
         .write =
             [&bench, index, put](Project& p, std::optional<double> si) {
                 if (Kind* kind = kindOf<Kind>(bench, p, index)) put(*kind, si);
             }});
}

template <class Kind>
void needed(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key, const QString& label,
            double Kind::* member)
{
    kindRow<Kind>(
        bench, form, index, object, key, label, false, [member](const Kind& k) { return std::optional(k.*member); },
        [member](Kind& k, std::optional<double> si) { k.*member = si.value_or(k.*member); });
}

template <class Kind>
FieldRow* optionalRow(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key,
                      const QString& label, std::optional<double> Kind::* member)
{
    return kindRow<Kind>(
        bench, form, index, object, key, label, true, [member](const Kind& k) { return k.*member; },
        [member](Kind& k, std::optional<double> si) { k.*member = si; });
}

template <class Kind>
void counted(Workbench& bench, Form& form, std::size_t index, const char* object, const char* key, const QString& label,
             std::optional<int> Kind::* member)
{
    kindRow<Kind>(
        bench, form, index, object, key, label, true,
        [member](const Kind& k) { return k.*member ? std::optional(double(*(k.*member))) : std::nullopt; },
        [member](Kind& k, std::optional<double> n) {
            k.*member = n ? std::optional(int(std::lround(*n))) : std::nullopt;
        });
}

}  // namespace portwright
