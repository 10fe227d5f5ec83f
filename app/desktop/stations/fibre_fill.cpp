// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/fibre_fill.h"

#include "app/desktop/components/typing.h"

#include "core/cavity/fill_material.h"

#include <QMenu>
#include <QPushButton>

#include <algorithm>
#include <cmath>
#include <memory>

namespace portwright {
namespace {

/// To the digits that such a reckoning is worth, within what the file takes.
double worth(double value, double step, double least, double most)
{
    return std::clamp(std::round(value / step) * step, least, most);
}

/// Puts the fibres in; the sentence says what they did, or why they could not.
QString fillWith(Workbench& bench, const FillMaterial& fill)
{
    commitTyping();
    const HousingResult* result = bench.chosenResult();
    if (!result || !result->computed) return Form::tr("The housing cannot be computed yet, so neither can its fill.");
    const Model& model = result->computed->model;
    const Summary& summary = result->computed->summary;
    const double frequency = summary.fb.value_or(summary.fc.value_or(model.omega0 / (2 * pi)));
    const auto effect = fillEffect(fill, model.housing.cavity.netVolume, frequency, model.air);
    if (!effect) return QString::fromStdString(effect.error().message);
    bench.document().edit(Form::tr("Fill with Fibres"), [&](Project& p) {
        const auto index = bench.chosenIn(p);
        if (!index) return;
        Cavity& cavity = p.housings[*index].cavity;
        cavity.fillFactor = worth(effect->factor, 0.01, 1, 1.4);
        cavity.absorptionQ =
            std::isfinite(effect->absorptionQ) ? std::optional(worth(effect->absorptionQ, 0.1, 1, 1000)) : std::nullopt;
    });
    QString words =
        Form::tr("At %1 the fibres make the air %2 times as springy, with a Q of %3 (straight fibres, evenly "
                 "spread: a real fill does rather less). Keep 50 mm from any port (common practice).")
            .arg(QString::fromStdString(formatQuantity(frequency, Dimension::frequency)),
                 QString::number(effect->factor, 'f', 2), QString::number(effect->absorptionQ, 'f', 1));
    for (const std::string& remark : effect->remarks)
        words += QLatin1Char(' ') + QString::fromStdString(remark);
    return words;
}

}  // namespace

void fibreFillRows(Workbench& bench, Form& form)
{
    auto* button = form.button(
        Form::tr("Fill with fibres"), [] {},
        Form::tr("Fill factor and lining Q from a fibre fill, between adiabatic and isothermal"));
    auto told = std::make_shared<QString>();
    auto* menu = new QMenu(button);
    menu->setObjectName(QStringLiteral("fibres"));
    const std::pair<double, QString> shares[] = {
        {0.25, Form::tr("a quarter")}, {0.5, Form::tr("half")}, {1, Form::tr("all")}};
    for (const Fibre& fibre : usualFibres()) {
        QMenu* kind = menu->addMenu(QString::fromStdString(fibre.name));
        for (const auto& [share, words] : shares)
            for (const double density : {8.0, 16.0}) {
                const FillMaterial fill{fibre, density, share};
                QObject::connect(
                    kind->addAction(Form::tr("%1 of the cavity, %2 kg/m\u00B3 where it lies").arg(words).arg(density)),
                    &QAction::triggered, &form, [&bench, &form, fill, told] {
                        *told = fillWith(bench, fill);
                        form.refresh();
                    });
            }
    }
    button->setMenu(menu);
    form.words([told] { return *told; });
}

}  // namespace portwright
