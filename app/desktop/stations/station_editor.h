// SPDX-License-Identifier: GPL-3.0-or-later
// The editor column: one form for the chosen station, rebuilt only when its rows become others.
#pragma once

#include "app/desktop/stations/form.h"

#include <QScrollArea>

#include <functional>

namespace portwright {

/// What a station's form is: the rows it has now (equal keys: only values differ), and how they are built.
struct StationForm {
    QString helpPage;
    std::function<QString(Workbench&)> rowsKey;
    std::function<void(Workbench&, Form&)> build;
};

StationForm driverForm();
StationForm cavityForm();
StationForm openingForm();
StationForm radioForm();
StationForm amplifierForm();
StationForm riderForm();

class StationEditor : public QScrollArea {
    Q_OBJECT
public:
    StationEditor(Workbench& workbench, const QString& name, StationForm description, QWidget* parent = nullptr);
    Form* form() const { return form_; }
    void refresh();
    bool jumpTo(const QString& field);

private:
    void rebuild(const QString& key);

    Workbench& workbench_;
    StationForm description_;
    QString key_;
    Form* form_ = nullptr;
};

// Pieces that several stations share.
QString originKeyOf(const QString& field);  ///< "driver/xmax_mm" -> "xmax_mm"
/// Whose feed Radio and Amplifier speak of, with the switch between the project's and the housing's own.
void feedScopeRows(Workbench& workbench, Form& form);
void missingHousingRow(Form& form);  ///< form 13 of the words: choose a card first
/// The verdicts of the chosen housing on the given subjects, below a form.
void verdictRows(Workbench& workbench, Form& form, const QStringList& subjects);
VerdictLine lineOf(const Verdict& verdict);
void applyRemedy(Workbench& workbench, const std::string& housingId, const Verdict& verdict);

}  // namespace portwright
