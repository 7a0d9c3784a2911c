// What to enter so that the powder gets what the case asks of it, and what the verifying run showed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cases/case.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::tools {

/// Which temperature of the powder the programme of the case is meant for.
enum class MeantFor { mean, centre, coldest, hottest };
/// By its word; nothing for other words.
std::optional<MeantFor> meant_for(std::string_view word);
std::string word_of(MeantFor meant);

/// One line of a programme as it is typed in.
struct EnteredStep {
  enum class Kind { ramp, hold, cool } kind = Kind::ramp;
  double start_s = 0, length_s = 0;
  double from_K = 0, to_K = 0;                                ///< of the sensor's reading; of a hold the same
  std::string name;                                           ///< of a hold
  double rate() const { return (to_K - from_K) / length_s; }  ///< K/s
};

/// Pressure on the powder, straight from line to line.
struct EnteredPressure {
  double start_s = 0, length_s = 0;
  double from_Pa = 0, to_Pa = 0;
  double gauge_N = 0;  ///< force that the gauge then shows at the end of the line
};

/// What the panel shows at one time of the verifying run, and what the powder has then.
struct PanelCheck {
  double time_s = 0;
  int step = 0;                    ///< line of the programme that ends here, from 0; -1: in between
  std::vector<std::string> shown;  ///< one a column of CorrectStudy::panel_columns
  double wished_K = 0;             ///< of the powder; not a number: nothing is wished then
  solver::PowderValue powder;
};

/// One hold of the wish.
struct HoldMet {
  std::string name;
  double start_s = 0, end_s = 0, settled_from_s = 0;
  double wished_K = 0, met_K = 0;  ///< means over the settled half, of what is meant
  double sensor_K = 0;             ///< mean reading over it
  double mean_K = 0, coldest_K = 0, hottest_K = 0;
  double density_end = 0;
  /// Of the powder mean, where a study of its uncertainty was at hand: 2.5 and 97.5 % of the offset's samples
  /// about the offset of that case, put on the mean met here [K].
  std::optional<double> low_K, high_K;
};

/// How the powder follows the wish in one ramp.
struct RampFollowed {
  int step = 0;  ///< of the wish, from 0
  double start_s = 0, end_s = 0, from_K = 0, to_K = 0;
  double largest_lag_K = 0, largest_lag_s = 0;  ///< wished less met where it is furthest behind, and when
  double end_lag_K = 0;                         ///< at the end of the ramp
  double end_spread_K = 0;                      ///< hottest less coldest powder there
  double sensor_ahead_K = 0;                    ///< reading less powder at the end of the ramp
};

/// The same wish with its ramps longer by a factor, corrected for itself.
struct SlowerRamps {
  double factor = 2;
  double longer_s = 0;              ///< by which the programme takes longer
  std::vector<RampFollowed> ramps;  ///< of the ramps of the wish
  double rms_K = 0;
};

/// A value at which the operator stops the run.
struct StopValue {
  enum class What { current, voltage, reading, stroke } what = What::current;
  double above = 0;               ///< A and V as the meters show them (mean or effective), K, m
  std::optional<double> until_K;  ///< it holds until the control sensor reads this
};

/// Something that kept the programme from the wish.
struct Binding {
  enum class What { current, voltage, power, off, rate } what = What::power;
  double start_s = 0, end_s = 0;
};

struct CorrectStudy {
  std::string title, version;
  std::string asked;           ///< the question in a line
  std::string case_sha256;     ///< of the case as it was given
  std::string control, press;  ///< names
  MeantFor meant = MeantFor::mean;
  std::optional<double> density;  ///< wished at the end of the last hold instead of temperatures
  std::string like;            ///< title of the run whose powder history is the wish; empty: the case's own
  bool by_controller = false;  ///< the verifying run had the press's own controller; else exact following
  std::string why_exact;       ///< why it had not
  bool completed = false;      ///< the verifying run came to its end
  std::string reason;          ///< why not
  std::vector<EnteredStep> wish;  ///< as the case has it
  std::vector<EnteredStep> programme;
  int most_steps = 0;  ///< that the press takes; 0: it does not say
  std::vector<EnteredPressure> pressure;
  std::vector<std::string> panel_columns;  ///< "current effective [A]", ... as the press's log has them
  std::vector<PanelCheck> panel;
  std::vector<HoldMet> holds;
  double rms_K = 0, largest_K = 0, largest_s = 0;  ///< met less wished, over all that is wished
  std::vector<RampFollowed> ramps;
  std::optional<SlowerRamps> slower;
  std::vector<Binding> binding;
  double current_A = 0, voltage_V = 0, power_W = 0;  ///< largest of the verifying run, effective
  double density_end = 0;                            ///< at the end of the last hold, mean
  std::vector<StopValue> stops;
  int runs = 0;                        ///< of the search, with the verifying one
  std::vector<double> as_it_stands_K;  ///< powder over the settled holds, were the wish typed in as it is
  std::vector<std::string> warnings;
};

struct PowderWish;
struct Correction;
struct CorrectRequest;

/// The study from what the search found and the verifying run, whose problem and results these are.  Throws
/// FileError, or NoResults where the folder of a study of uncertainty holds none.
CorrectStudy correct_study(const cases::Case& c, const std::string& case_sha256, const PowderWish& wish,
                           const Correction& correction, const CorrectRequest& request,
                           const solver::Problem& problem, const solver::RunResult& result);

std::string correct_json(const CorrectStudy& study);

}  // namespace joulepress::tools
