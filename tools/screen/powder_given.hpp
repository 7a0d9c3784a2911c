// The inverse question of a run: the press was given this programme, what did the powder get for it?
#pragma once

#include <limits>
#include <vector>

namespace joulepress::tools {

/// A hold as the powder had it.  What is not known, or need not be said, is not a number.
struct PowderGiven {
  static constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
  double asked_K = nothing;                                           ///< of the sensor, by the programme
  double mean_K = nothing, coldest_K = nothing, hottest_K = nothing;  ///< over its settled half
  double length_s = nothing;
  double level_K = nothing, above_s = nothing;  ///< how long the mean is above a level, in the whole run
  double dense_s = nothing;                     ///< when all powders have `given_density`
};

inline constexpr double given_density = 0.99;

/// The level below a mean that one would ask the time above of: 50 K less, in whole tens of degC; own choice.
double level_below(double mean_K);

/// How long values are above a level, on straight lines between the times; values that are not numbers are
/// not above.  Both of the same length, times ascending.
double time_above(const std::vector<double>& times, const std::vector<double>& values, double level);

/// A powder on its way to `given_density`.
struct Closing {
  double start = 1;    ///< relative density
  bool held = false;   ///< it keeps its density
  double dense_s = 0;  ///< when it has it; not a number: not in this run
};

/// When the last of them has it; not a number: one does not, or none began below it.
double dense_time(const std::vector<Closing>& powders);

/// Adds level, time above and density to the hottest hold: what comes before and after on the way belongs to
/// it.
void add_to_hottest(std::vector<PowderGiven>& holds, const std::vector<double>& times,
                    const std::vector<double>& means_K, double dense_s);

}  // namespace joulepress::tools
