// How sure a case's numbers are: its members, and what they tell.
//
// numerical    the case at three accuracies, a factor of sqrt(10) apart: accuracy sets grid, time steps and
//              iterations together.  The spacing of a level is that of its cells (1 / root of their number).
// parametric   samples in which every uncertain input (cases/many/uncertain.hpp) is drawn anew
// choices      each choice of model made the other way (cases/many/choices.hpp)
// The case itself, at its own accuracy and with every input at its centre, is one of the three levels.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "cases/many/choices.hpp"
#include "cases/many/uncertain.hpp"
#include "solver/inverse/grid_convergence.hpp"
#include "solver/inverse/quantiles.hpp"
#include "solver/inverse/ranking.hpp"
#include "tools/crew/crew.hpp"
#include "tools/study/measures.hpp"

namespace joulepress::tools {

struct BoundRequest {
  int samples = 128;
  std::uint64_t seed = 1;
  bool indices = false;  ///< the full design too (indices_plan)
};

/// What is to be run, and in which order: levels, choices, samples.
struct BoundPlan {
  std::string title, version;
  cases::SourceNode resolved;    ///< of the case
  std::filesystem::path folder;  ///< where files that it names are looked for
  BoundRequest request;
  std::array<double, 3> accuracies{};  ///< K, finest first
  int own = 0;                         ///< which of them is the case's own
  std::vector<cases::ModelChoice> choices;
  std::vector<cases::UncertainInput> inputs;
  inverse::Table shares;  ///< a row a sample, a column an input
  std::vector<std::string> not_included;
  std::string calibrated_on;  ///< logs in words; empty: on none
  std::vector<Member> members;
};

/// Of a case without faults; names in it are looked for beside `folder`.
BoundPlan bound_plan(const cases::Case& c, const std::filesystem::path& folder, const BoundRequest& request);

/// One number of the results.
struct BoundedValue {
  Measure measure;
  double value = 0;                                   ///< of the case itself, SI
  std::optional<inverse::GridConvergence> numerical;  ///< SI; none: a coarser or finer run does not have it
  std::vector<inverse::QuantileEstimate> quantiles;   ///< at 2.5, 50 and 97.5 %; empty: too few samples
  std::optional<inverse::Moments> moments;
};

struct RankedInput {
  int input = 0;            ///< index into BoundPlan::inputs
  inverse::Index index;     ///< of the sparse quadratic fit
  double linear_share = 0;  ///< by standardised regression; not a number: it could not tell
  double slope = 0;         ///< K of offset per standard deviation of the input
};

struct ChoiceMade {
  std::string taken, other;
  std::optional<double> difference;  ///< K of offset, other minus taken
  std::string reason;                ///< why there is none
};

struct BoundedHold {
  std::string name;
  bool as_hot = false;  ///< nobody would set a press by any offset of the range: causes are not asked for
  std::vector<BoundedValue> values;  ///< the offset first
  std::vector<RankedInput> ranking;  ///< of the offset, largest first; those of no effect are left out
  double q2 = 1;                     ///< of the quadratic fit
  std::optional<double> linear_r2, linear_q2;
  std::vector<ChoiceMade> choices;
  std::vector<RankedInput> full;  ///< by the full design: share of the variance that its inputs make together
};

/// Null where a hold has no powder or no sensor.
const BoundedValue* offset_of(const BoundedHold& hold);

/// The full design of the few inputs that matter most, all others at their centres: n (d + 2) runs for n rows
/// and d inputs (solver/inverse/pick_freeze.hpp).
struct IndicesPlan {
  int rows = 0;
  std::vector<int> inputs;  ///< indices into BoundPlan::inputs, largest effect first
  std::vector<Member> members;
};

struct LeftOut {
  std::string id, reason;
};

struct BoundStudy {
  std::string title, version;
  BoundRequest request;
  int samples_used = 0;
  std::vector<LeftOut> left_out;  ///< members that failed or were refused
  std::vector<BoundedHold> holds;
  std::vector<cases::UncertainInput> inputs;
  std::vector<std::string> not_included;
  std::string calibrated_on;          ///< logs in words; empty: on none
  std::vector<std::string> problems;  ///< why something is missing
  bool complete = false;
};

/// From what the crew has run.  Without the three levels or without holds there are none: `problems` says
/// why. Throws FileError when a summary cannot be read.
BoundStudy bound_study(const BoundPlan& plan, const CrewResult& result);

/// Half as many rows as samples, of the six inputs with the largest total indices for the last offset; fewer
/// where fewer have any effect.
IndicesPlan indices_plan(const BoundPlan& plan, const BoundStudy& study);

/// Adds what the full design tells of every hold's offset.
void add_indices(const IndicesPlan& indices, const CrewResult& result, BoundStudy& study);

/// The answer in words, for screen and page.
std::vector<std::string> bound_sentences(const BoundStudy& study);

std::string bound_screen(const BoundStudy& study);
std::string bound_json(const BoundStudy& study);
/// A row a sample: the inputs as drawn and every value, SI.
std::string samples_csv(const BoundPlan& plan, const CrewResult& result);

}  // namespace joulepress::tools
