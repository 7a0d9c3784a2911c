// Whether the tools hold: every load case of a run, the worst place and instant found by looking at all.
//
// The stack is looked at as an elastic body (solver/solid/stack_body.hpp) at the snapshots of a run, and once
// more cold, when the compact is pushed out.  What is asked is a margin, strength over stress, of at least
// the safety factor.  Beside it stands what the usual formula gives for an endless tube under the side
// pressure p all along,  p (K^2 + 1)/(K^2 - 1),  K outer over inner radius (Lame), and why it differs. Tests:
// tests/verification/test_strength.cpp.
#pragma once

#include <string>
#include <vector>

#include "solver/solid/compact.hpp"
#include "solver/solid/margin.hpp"

namespace joulepress::solid {

/// preload: before the full force; rise: full force outside of holds; push_out: cold, without the column
enum class LoadCase { preload, rise, hold, cooling, push_out };
inline constexpr int load_cases = 5;

/// What one instant showed.
struct Judged {
  LoadCase load_case = LoadCase::preload;
  double time_s = 0, force_N = 0;
  double side_pressure_Pa = 0;  ///< of the first powder while it is soft
  double grip_Pa = 0;           ///< mean, of the first powder once it is solid
  std::vector<PartLoad> loads;
};

/// The worst of all instants looked at, of one part or of one load case.
struct Worst {
  int part = -1;
  LoadCase load_case = LoadCase::preload;
  double time_s = 0, force_N = 0;
  bool tension = true;
  Spot spot;
};

struct PartJudged {
  int part = 0;
  std::optional<Worst> tension, compression;  ///< none: strength not known, or never so loaded
  std::optional<double> break_chance;         ///< at its worst instant, indicative
};

/// The endless tube beside the finite one: the sleeve around the first powder at its worst instant while
/// soft.
struct TubeFormula {
  int part = 0;
  double time_s = 0;
  double side_pressure_Pa = 0, ratio = 0;  ///< p, K
  double hoop_Pa = 0;                      ///< by the formula, at the bore
  double computed_Pa = 0;                  ///< largest at the bore
  double by_force_Pa = 0;                  ///< what of it the force brings; the rest is growth by heat
  double height_share = 0;                 ///< height over which the powder bears, over that of the sleeve
};

struct GripJudged {
  Lock lock;
  double at_end_K = 0, at_end_Pa = 0;  ///< mean temperature of the compact and mean grip where the run ends
  double cold_Pa = 0, cold_largest_Pa = 0;
  double cold_core_Pa = 0;  ///< of a ring, on its core
  double push_out_N = 0;    ///< grip times friction, cold
  double on_punch_Pa = 0;   ///< over the section of the compact
  double margin = 0;        ///< least when cold
};

/// Largest force for the margin asked, everything else as at that instant.
struct LargestForce {
  bool hot = false;
  double time_s = 0;
  double force_N = 0;
  double pressure_Pa = 0;  ///< on the first powder
};

struct Strength {
  std::string refused;           ///< why nothing could be judged; empty: it was
  double asked = 0;              ///< safety factor
  std::vector<Judged> instants;  ///< ascending in time, the cold one last
  std::array<std::optional<Worst>, load_cases> cases;
  std::vector<PartJudged> parts;  ///< ascending
  std::optional<Worst> worst;
  std::optional<TubeFormula> formula;
  std::optional<GripJudged> grip;
  std::vector<LargestForce> largest;  ///< cold, hot
  std::vector<std::string> remarks;   ///< what is not known or was left out
  int unsolved = 0;                   ///< instants whose joints did not settle
  double margin() const { return worst ? worst->spot.margin() : std::numeric_limits<double>::quiet_NaN(); }
  bool holds() const { return worst && worst->spot.margin() >= asked; }
};

/// Judges the tools of a run from its snapshots and rows.  Part numbers are those of the whole problem.
Strength judge(const solver::Problem& problem, const solver::RunResult& result);

/// The same where the case asks for it.
std::optional<Strength> judge_if_wanted(const solver::Problem& problem, const solver::RunResult& result);

/// One instant with its body, for pictures and files.
struct Posed {
  Instant instant;
  StackBody stack;
  Deformed deformed;
  bool cold = false;  ///< at the temperature of the chamber, the compact pushed out
};

/// The body at the worst instant, and cold where there is a grip.
std::vector<Posed> poses_of(const solver::Problem& problem, const solver::RunResult& result,
                            const Strength& strength);

}  // namespace joulepress::solid
