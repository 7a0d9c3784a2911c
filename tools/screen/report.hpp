// The terminal report: the answer first, then why, then density and stroke, then whether the tools hold, then
// trust, then where heat is made and goes, then warnings.
#pragma once

#include <string>
#include <vector>

#include "solver/need.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "solver/solid/strength.hpp"
#include "solver/summary.hpp"
#include "solver/tuning.hpp"

namespace joulepress::tools {

struct ReportHead {
  std::string title, version;
  double lateral_heat_total = 0;  ///< W/(m2 K), as assumed; 0: the stack has no lateral contact
  double accuracy = 0.1;          ///< K, asked for
  std::vector<std::string> warnings, not_modelled;
  std::vector<std::string> held = {};         ///< per powder: why it keeps its density; empty: it densifies
  std::vector<solver::Need> needs = {};       ///< of intervals at a limit
  std::optional<solver::Gains> gains = {};    ///< of the controller, from a step of the model
  const solid::Strength* strength = nullptr;  ///< null: not asked for
  std::string calibrated_on = {};             ///< logs in words; empty: on none
  /// Within which the lateral total is known, by a calibration; none: by the literature.
  std::optional<double> lateral_factor = {};
};

/// Text for the screen, at most 100 columns wide.
std::string terminal_report(const ReportHead& head, const solver::Problem& problem,
                            const solver::RunResult& result, const solver::Summary& summary);

/// The cautions that every report carries.
std::string cautions();

/// Breaks text at spaces; following lines are indented.
std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

}  // namespace joulepress::tools
