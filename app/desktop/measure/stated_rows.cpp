// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/method_rows.h"

namespace portwright {

void statedRows(MeasureDesk& desk, Form& form)
{
    form.group(Form::tr("As it is known"));
    methodQuantity(desk, form, "volume_l", Form::tr("Volume"), &StatedVolume::volume);
    methodQuantity(desk, form, "uncertainty_l", Form::tr("Uncertainty"), &StatedVolume::uncertainty);
    form.words([] {
        return Form::tr("One standard uncertainty: two times out of three the truth lies within it. Say in the note "
                        "where the figure is from.");
    });
}

}  // namespace portwright
