// SPDX-License-Identifier: GPL-3.0-or-later
// Which port? Everything that can be made of the stock, as long as the cavity lets it be, reckoned and ranked; what is
// left out is told with its reason in numbers.
#pragma once

#include "core/response/limits.h"
#include "core/search/fast_response.h"
#include "core/search/stock.h"
#include "core/sizing/port_in_model.h"
#include "core/work.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

enum class Aim { loudest, lowestF3, flattest, leastTravel, shortest };
std::string nameOf(Aim aim);  ///< "loudest", "f3", "flat", "travel", "short"
std::optional<Aim> aimNamed(std::string_view name);
std::string wordsOf(Aim aim);  ///< "loudest clean level" ...

struct SearchRequest {
    PortStock stock = metricPortStock();
    PortSpace space;
    int mostTubes = 2;  ///< side by side, 1..16
    /// How many walls of the cavity a slot may have for its own, each 0 to 3: 0 none, 1 the floor (along its width), 2
    /// floor and a side, 3 floor and both sides, as wide as the cavity. Other than 0 only in a box of known sizes.
    std::vector<int> sharedWalls{0};
    double tuningFrom = 0, tuningTo = 0;  ///< Hz; 0: 0.6 and 1.4 of the driver's fs
    double lengthStep = 1e-3;             ///< m
    FastBand band;
    std::vector<Aim> aims{Aim::loudest, Aim::lowestF3, Aim::shortest};  ///< the first counts most
    std::optional<double> portAir;          ///< m/s peak; default the model's, as everywhere else in the program
    bool airByFlares = false;               ///< without portAir: recommendedAirSpeed() of each port instead
    std::optional<double> leastLevel;       ///< dB: the loudest clean level must reach it
    std::optional<double> highestF3;        ///< Hz
    bool cleanAtFeed = false;               ///< no limit may be passed at the feed in force
    std::size_t show = 12;                  ///< at most, 1 or more
    int threads = 0;                        ///< 0: what the machine has; the result is the same
    UnitSystem units = UnitSystem::metric;  ///< of all that is told
};

/// One port of the ranking. What the search reckoned stands in `scores`; the rest is from the whole model, separation
/// at the ends and the cavity's measured shape included.
struct FoundPort {
    PortOpening port;
    std::string words;     ///< "2 x 50 mm port tube, 148 mm, one bend, 10 mm round-over"
    std::string material;  ///< as the stock names it
    std::string flare;     ///< likewise, empty: none
    int bends = 0;
    FastScores scores;
    double netVolume = 0;               ///< m3 with the port in place
    double tuning = 0;                  ///< Hz
    double loudest = 0;                 ///< dB, lowest over the band
    LimitKind limit = LimitKind::none;  ///< what stops it there
    double limitAt = 0;                 ///< Hz
    double f3 = 0;                      ///< Hz; 0: none found
    double ripple = 0;                  ///< dB over the band at the feed in force
    double travel = 0;                  ///< m peak at the feed in force
    double airSpeed = 0, airLimit = 0;  ///< m/s peak: at the feed in force, and what it is held to
    double smallestArea = 0;  ///< m2, Small's minimum for that tuning and the drivers' displaced volume; 0: no Xmax
    std::vector<Aim> bestAt;  ///< of the aims asked for, among all candidates
    /// Of the ranked: where it stands in each aim asked for between the best of all that no other beats, 0, and the
    /// worst, 1; the order is by their sum, the first whole and each next one 0.4 of the one before.
    std::vector<double> places;
    double placeSum = 0;
    bool asExtreme = false;  ///< stands behind the order, as the best in one aim
    std::vector<std::string> reasons;
};

/// Ports left out, all for one reason.
struct RejectedPorts {
    enum class Reason { place, body, tooLow, tooHigh, room, piece, level, f3, limits } reason = Reason::room;
    std::string what;                  ///< "63 mm port tube", "2 x 50 mm port tube"
    std::string why;                   ///< sentence without full stop, with both numbers
    double needed = 0, available = 0;  ///< SI, of what the sentence compares
    std::size_t candidates = 0;        ///< lengths tried, 0: it did not come to that
};

/// What a housing without a port would do instead, from the whole model.
struct OtherWay {
    std::string name;  ///< "passive radiator", "sealed with a high-pass"
    Housing housing;   ///< to be taken over
    std::optional<HighPass> highPass;
    double loudest = 0, f3 = 0, travel = 0;  ///< as above
    std::string words;                       ///< one or two sentences
};

struct SearchResult {
    std::vector<FoundPort> ranked;     ///< best first; empty: nothing fits
    std::optional<FoundPort> present;  ///< the port that would be replaced, as it is
    std::vector<RejectedPorts> rejected;
    std::vector<FoundPort> compromises;  ///< only if nothing fits: the nearest that can be built
    std::vector<OtherWay> otherWays;     ///< likewise
    std::size_t candidates = 0;          ///< that were reckoned
    std::size_t undominated = 0;         ///< of them no other is at least as good in every aim
    std::size_t pastTravel = 0;          ///< of the ranked, with which the cone passes Xmax at the feed in force
    std::vector<std::string> notes;
};

/// Searches. `opening`: index of the port in the housing that is to be replaced, -1: a new one. Any other opening
/// stays. A candidate is kept if no other is at least as good in all aims and better in one (differences below 0.1 dB,
/// 0.5 Hz, 0.05 mm of travel and 1 mm of length are none), and the best in each aim always is; where the clean level
/// counts most, of those that are at least as loud as the housing without the port. The result does not depend on the
/// number of threads. Errors: a request that cannot be (field names it), a model that cannot be solved, "cancelled".
Result<SearchResult> searchPorts(const Model& model, int opening, const SearchRequest& request,
                                 const Watch& watch = {});

/// Passive radiator and sealed cavity with a high-pass, for the same band. `tuning` [Hz] of the radiator.
std::vector<OtherWay> otherWays(const Model& model, int opening, const PortSpace& space, const FastBand& band,
                                double tuning, UnitSystem units = UnitSystem::metric);

/// Clean level over the band of the housing sealed where the port would be, dB; infinite: nothing limits it, or it
/// cannot be solved.
double loudestWithout(const Model& model, int opening, const PortSpace& space, const FastBand& band);

/// --- Parts of the search, for its tests and benchmark ---

/// A port by its body, all lengths of it.
struct PortFamily {
    PortOpening body;  ///< length and bends unset
    std::string material, flare;
    double bendRadius = 0;    ///< 0: straight only
    double longestPiece = 0;  ///< m, 0: any
};
std::vector<PortFamily> familiesOf(const SearchRequest& request);

/// One candidate with its scores.
struct SearchCandidate {
    std::uint32_t family = 0;
    int bends = 0;
    double length = 0, tuning = 0;  ///< m, Hz
    FastScores scores;
};
/// Every candidate of a family that fits and is in the wanted range of tuning, in order of length; what stands in the
/// way of the others goes to `rejected`.
std::vector<SearchCandidate> candidatesOf(const FastModel& fast, const SearchRequest& request, const Air& air,
                                          const std::vector<PortFamily>& families, std::uint32_t family,
                                          std::vector<RejectedPorts>* rejected = nullptr);
/// Those that no other beats, by the rule of searchPorts; order and duplicates of the input do not matter.
std::vector<SearchCandidate> undominated(const std::vector<SearchCandidate>& candidates, const std::vector<Aim>& aims);

}  // namespace portwright
