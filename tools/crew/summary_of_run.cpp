#include "tools/crew/summary_of_run.hpp"

#include "cases/beds.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tools/screen/pressing_table.hpp"
#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

/// The holds as they were, in the form of a forecast: the same doubts are asked of both.
std::vector<cases::HoldForecast> holds_met(const solver::Summary& summary) {
  std::vector<cases::HoldForecast> holds;
  for (const solver::HoldSummary& hold : summary.holds) {
    cases::HoldForecast met;
    met.name = hold.name;
    met.current_A = hold.current_A;
    met.voltage_V = hold.voltage_V;
    met.power_W = hold.power_W;
    met.set_K = hold.sensor_K;
    if (hold.powder) {
      met.powder_K = hold.powder->mean_K;
      met.powder_max_K = hold.powder->max_K;
    }
    holds.push_back(std::move(met));
  }
  return holds;
}

}  // namespace

SummaryHead head_of_run(const cases::Case& c, const solver::Problem& problem, const std::string& case_sha256,
                        const solver::RunResult& result, const solver::Summary& summary) {
  SummaryHead head;
  head.version = JOULEPRESS_VERSION;
  head.title = c.title;
  head.case_sha256 = case_sha256;
  head.cells = problem.mesh.n_cells();
  head.cells_solved = solver::solved(problem).mesh.n_cells();
  head.accuracy = c.accuracy;
  head.warnings = doubts(c, problem, holds_met(summary));
  head.warnings.insert(head.warnings.end(), result.warnings.begin(), result.warnings.end());
  head.not_modelled = solver::not_modelled(problem);
  head.held = cases::held_density_reasons(c, result.frame.powder_names);
  for (const cases::IncludedFile& file : c.included) head.included.push_back({file.name, sha256(file.text)});
  return head;
}

}  // namespace joulepress::tools
