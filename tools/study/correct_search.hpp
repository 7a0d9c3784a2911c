// From the wish for the powder to the programme of the sensor: solver/inverse/programme_search over runs of
// the case, first on a coarser grid and followed exactly, then as the press itself will run it.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "solver/inverse/programme_search.hpp"
#include "tools/study/correct_study.hpp"

namespace joulepress::tools {

struct CorrectRequest {
  MeantFor meant = MeantFor::mean;
  std::optional<double> density;  ///< wished at the end of the last hold; then temperatures are not
  std::filesystem::path like;     ///< folder of a run whose powder history is the wish; empty: the case's own
  std::filesystem::path bound;    ///< folder of a study of the case's uncertainty; empty: none
  int threads = 0;                ///< 0: all cores
};

/// What is wished of the powder.
struct PowderWish {
  std::vector<EnteredStep> steps;  ///< one after another; free coolings last
  int driven = 0;                  ///< so many of them are no cooling
  inverse::Wish track;             ///< of the driven ones
  std::string like;                ///< title of the run it is taken from
  std::vector<std::string> warnings;
};

/// Throws cases::InputErrors for a case whose powder can be given no programme: none of temperature, no
/// powder, more steps than the press takes; NoResults or FileError for the other run's folder.
PowderWish wish_of(const cases::Case& c, const CorrectRequest& request);

struct Correction {
  std::string why_not;                 ///< empty: found
  std::vector<EnteredStep> programme;  ///< as it is typed in, rounded as the press has it
  std::vector<double> as_it_stands_K;  ///< powder over the settled holds, were the wish typed in as it is
  cases::Case corrected;               ///< the case with it, followed as the press will
  bool by_controller = false;
  std::string why_exact;  ///< why the press's own controller does not follow it; empty: it does, or furnace
  inverse::FoundProgramme found;  ///< on the coarse grid; of a density nothing
  int runs = 0;
};

/// Hears after every few runs how many there have been and how near the powder came in them (rms) [K].
using Told = std::function<void(int runs, double rms_K)>;

/// `go_on`: false ends the search; then Interrupted is thrown.
Correction find_correction(const cases::Case& c, const PowderWish& wish, const CorrectRequest& request,
                           const std::function<bool()>& go_on, const Told& told);

/// Puts a programme into a correction and its case.
void set_programme(std::vector<EnteredStep> programme, Correction& correction);

/// Moves the levels of holds that a verifying run missed by more than a kelvin; whether there were any.
bool move_levels(const CorrectStudy& verified, const cases::Case& c, Correction& correction);

/// The same wish with ramps longer by a factor, corrected for itself; nothing where the powder follows the
/// wish as it is.  Runs one after another.
std::optional<SlowerRamps> find_slower(const cases::Case& c, const PowderWish& wish,
                                       const CorrectRequest& request, const Correction& correction,
                                       const std::function<bool()>& go_on);

/// How the powder follows the ramps of a wish in a run.
std::vector<RampFollowed> ramps_followed(const PowderWish& wish, const solver::RunResult& result,
                                         MeantFor meant);

/// Temperature wished at a time, straight between the points of the track; the last one beyond them.
double wished_at(const PowderWish& wish, double time);

}  // namespace joulepress::tools
