// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

#include "app/desktop/components/figure_text.h"
#include "core/cavity/resonances.h"

namespace portwright {

void resonanceRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("How to go about it"));
    for (const char* step :
         {QT_TRANSLATE_NOOP(
              "Form", "1. Mount the driver, and seal everything else: ports, wire holes, drains, the lid's edge."),
          QT_TRANSLATE_NOOP("Form", "2. Sweep its impedance from 20 to 500 Hz at a small level (under 1 V)."),
          QT_TRANSLATE_NOOP(
              "Form",
              "3. Read the frequency where the impedance is highest, or better where its phase crosses zero. A hand on "
              "the lid must not move it.")})
        form.words([step] { return Form::tr(step); });
    form.group(Form::tr("Reading"));
    methodQuantity(desk, form, "fc_hz", Form::tr("Peak at"), &ResonanceMeasurement::fc);
    methodQuantity(desk, form, "uncertainty_hz", Form::tr("Uncertainty"), &ResonanceMeasurement::uncertainty);
    form.words([&desk] {
        QString words;
        desk.inContext([&](const CavityContext& context) {
            const SpringGauge gauge = gaugeOf(context);
            words = Form::tr("Reckoned with this driver's resonance of %1 in open air and a springy volume of %2.")
                        .arg(figureText(gauge.fs, Dimension::frequency, desk.units()),
                             figureText(gauge.spring, Dimension::volume, desk.units()));
        });
        return words.isEmpty() ? Form::tr("The driver is not whole yet: open the Driver station first.") : words;
    });
}

}  // namespace portwright
