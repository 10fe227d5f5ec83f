// SPDX-License-Identifier: GPL-3.0-or-later
// Everything computed of the project shown, housing by housing. A housing whose inputs have not changed keeps its
// results; one that cannot be computed says why. Requests coalesce: many changes before the next look cost one run.
#pragma once

#include "app/desktop/session/document.h"
#include "core/response/ledger.h"
#include "core/response/uncertainty.h"
#include "core/response/verdicts.h"

#include <QSet>
#include <QTimer>

#include <memory>
#include <vector>

namespace portwright {

inline constexpr double computedFrom = 10, computedTo = 2000;  ///< Hz
inline constexpr int computedPoints = 400;
inline constexpr double shownFrom = 20, shownTo = 1000;  ///< Hz, the charts' range when fitted

/// What a housing is computed from; equal inputs give equal results, words included.
struct HousingInputs {
    Housing housing;
    DriverSheet driver;
    Feed feed;
    AirConditions air;
    Place place;
    LimitSettings limits;
    UnitSystem units = UnitSystem::metric;
    bool operator==(const HousingInputs&) const = default;
};

struct Computed {
    HousingInputs inputs;
    Model model;
    Curves curves;
    Summary summary;
    LimitCurves limits;
    std::vector<Verdict> verdicts;
};

struct HousingResult {
    int slot = 0;  ///< index in Project::housings: letter, colour, dash
    std::string id;
    QString name;
    bool visible = true;
    std::shared_ptr<const Computed> computed;  ///< null: it cannot be computed
    Error error;                               ///< then why; field is a JSON pointer
    /// How well it is all known: null while it is not reckoned yet, or where no input is known to be uncertain.
    std::shared_ptr<const Uncertainty> uncertainty = nullptr;
    bool rangesReckoned = false;
};

/// One housing computed whole. Errors name what is missing.
Result<std::shared_ptr<const Computed>> compute(const Project& project, std::size_t housingIndex,
                                                UnitSystem units = UnitSystem::metric);

/// Values of one housing at one frequency, the same everywhere they are shown.
struct AtCursor {
    double level = 0, coneTravel = 0, impedance = 0;  ///< dB, m peak, ohm
    std::vector<double> portAir;                      ///< m/s peak, by port
    double portAirMost = 0;                           ///< NaN without a port
    double loudest = 0;                               ///< dB; +inf if nothing limits
    LimitKind limit = LimitKind::none;
};
std::optional<AtCursor> valuesAt(const Computed& computed, double frequency);

class Computation : public QObject {
    Q_OBJECT
public:
    explicit Computation(Document& document, QObject* parent = nullptr);

    const std::vector<HousingResult>& results();  ///< never stale: computes first if something has changed
    const HousingResult* find(const std::string& id);
    double milliseconds() const { return milliseconds_; }  ///< of the last run
    int runs() const { return runs_; }                     ///< how many housings have been computed so far
    int passes() const { return passes_; }                 ///< how often the whole project was gone through

    bool hidden(const std::string& id) const { return hidden_.contains(QString::fromStdString(id)); }
    void setUnits(UnitSystem units);  ///< of the verdicts' and findings' words; changes no number
    void setHidden(const std::string& id, bool hide);
    void showAll();

    void reckonRanges();  ///< now, of all housings that wait for theirs

signals:
    void updated();
    /// The uncertainties of the results are there: a moment after updated(), so that no edit waits for them.
    void rangesReady();

private:
    void bring();
    bool reckonOneRange();
    void tellRanges();

    Document& document_;
    QTimer later_, rangesLater_;
    bool dirty_ = true, rangesNew_ = false;
    UnitSystem units_ = UnitSystem::metric;
    std::vector<HousingResult> results_;
    QSet<QString> hidden_;
    double milliseconds_ = 0;
    int runs_ = 0, passes_ = 0;
};

}  // namespace portwright
