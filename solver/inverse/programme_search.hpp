// What to enter so that a response follows a wish: a programme of few straight legs, by least squares over
// their ends and lengths.
//
// The programme begins with a leg for every step of the wish.  Unknowns are the value v at the end of every
// leg that is not level, and the lengths between times that are fixed, which are the end of every level step
// of the wish and the end of all: m legs in a stretch T last
//   d_k = d_min + (T - m d_min) exp(u_k) / sum_j exp(u_j),   u_m = 0,
// which keeps their order and their sum whatever u is.  Ramps are cut to the fastest one allowed.  What is
// made least, with y the response, w the wish and settled the second half of a level step, is
//   sum_i dt_i/T_all (y_i - w_i)^2  +  W^2 sum_levels (mean over settled of y - w)^2,   W = 5 (own choice),
// so that holds are met before ramps.  While the root of the first sum, the rms, is above `good`, the leg
// over which the squares add up to most is split: a ramp in its middle, a level leg by a ramp before it,
// which becomes an approach.  Another leg stays where it lowers the rms by `least_gain` of it.
//
// Runs are dear.  Of one that was made, with the programme p and the response y, others are told by their
// image, which costs nothing,
//   y'(t) = y(t) + g(t) (p'(t) - p(t)),   g = (y - y(0)) / (p - p(0))
// The legs are chosen on images of two runs, one after the other; only then the model itself is fitted, with
// the Jacobian of the image as its first guess, and further legs are tried where it still misses.
// Tests on toy responses with known answers: tests/solver/test_programme_search.cpp.
#pragma once

#include <functional>
#include <limits>
#include <span>
#include <vector>

#include "solver/inverse/least_squares.hpp"

namespace joulepress::inverse {

struct Leg {
  double length = 0;   ///< s
  double to = 0;       ///< value at its end; of a level leg that of its start too
  bool level = false;  ///< stays where it is
  int step = 0;        ///< of the wish, to which it belongs
};

struct LegProgramme {
  double start = 0;  ///< value at time 0
  std::vector<Leg> legs;
};

struct WishStep {
  double length = 0;   ///< s
  bool level = false;  ///< a hold
  double guess = 0;    ///< of the programme's value at its end, from which the search starts
};

struct Wish {
  double start = 0;                   ///< of the programme at time 0
  std::vector<WishStep> steps;        ///< one after another from time 0
  std::vector<double> times, values;  ///< wished response; times ascend from 0 to the end of the last step
};

/// Responses at the times of the wish to several programmes, so that they may be computed side by side; empty
/// where there is none.
using Responses = std::function<std::vector<std::vector<double>>(std::span<const LegProgramme>)>;

struct SearchRules {
  int most_legs = 8;
  int most_runs = 80;
  double fastest = std::numeric_limits<double>::infinity();  ///< slope of a ramp, per s
  double shortest = 60;                                      ///< s, of a leg
  double lowest = 0, highest = 3000;                         ///< values
  double value_step = 5;                                     ///< of differences
  double good = 5;                                           ///< rms that needs no further leg
  double least_gain = 0.15;                                  ///< of the rms, by a further leg
};

struct FoundProgramme {
  bool answered = false;  ///< whether the model answered the guesses; nothing else is told where not
  LegProgramme programme;
  std::vector<double> response;        ///< at the times of the wish
  double rms = 0;                      ///< response less wish
  std::vector<double> first_response;  ///< to the guesses of the wish
  Table jacobian;                      ///< of the residuals by the unknowns, for refine_programme
  int runs = 0;
};

/// Value of a programme at a time; the last one beyond its end.
double value_at(const LegProgramme& programme, double time);

/// Throws std::invalid_argument for a wish without steps or times, and for times that do not ascend.
/// `legs`: a programme of the legs to keep, as near as is known, from which the search starts; null: it
/// chooses its own.
FoundProgramme search_programme(const Wish& wish, const Responses& model, const SearchRules& rules,
                                const LegProgramme* legs = nullptr);

/// The same legs, made better from where they are on a model that differs a little: the Jacobian found is the
/// first guess of this one.  A start that the model does not answer leaves it as it was, not answered.
FoundProgramme refine_programme(const Wish& wish, const Responses& model, const SearchRules& rules,
                                const FoundProgramme& from);

/// Starts and ends of the settled halves of the level steps [s].
std::vector<std::pair<double, double>> settled_spans(const Wish& wish);

/// Mean over [from, to] of straight lines through (times, values); of a span without width the value there.
double mean_over(std::span<const double> times, std::span<const double> values, double from, double to);

}  // namespace joulepress::inverse
