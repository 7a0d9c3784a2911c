// Many seeds: do intervals hold what is behind noisy logs of the same model, and the range of the powder's
// temperature what is behind logs of another?
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "solver/inverse/covariance.hpp"
#include "solver/inverse/programme_search.hpp"
#include "solver/inverse/robust.hpp"
#include "solver/march.hpp"
#include "solver/noise.hpp"
#include "tests/tools/twin_logs.hpp"
#include "tools/store/files.hpp"

using namespace joulepress;
using solver::normal_deviate;
using test::at_scores;
using test::Folder;
using test::log_of;
using test::runs_of;
using test::shipped;
using test::small_case;

namespace {

/// Standard scores that a seed draws, none of them far out.
inverse::Point drawn(std::size_t n, std::uint64_t seed) {
  inverse::Point scores;
  for (std::size_t k = 0; k < n; ++k) scores.push_back(std::clamp(normal_deviate(seed, 9, k), -2.5, 2.5));
  return scores;
}

struct Twins {
  std::vector<int> inside;
  std::vector<std::vector<double>> errors, widths;
};

}  // namespace

TEST_CASE("slow: noisy twins of the same model, a hundred seeds: intervals hold what is behind the log") {
  const Folder folder("fit-twins");
  const cases::Case c = small_case(folder);
  const tools::FitRuns centre = runs_of(c, log_of(c, 5.0, 0), 2.0);
  const std::size_t n = centre.inputs().size();
  Twins twins{std::vector<int>(n, 0), std::vector<std::vector<double>>(n),
              std::vector<std::vector<double>>(n)};
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const inverse::Point truth = drawn(n, seed);
    const tools::FitRuns runs = runs_of(c, log_of(at_scores(centre, truth), 5.0, seed), 2.0);
    const inverse::Learned learned = inverse::learn(runs.problem(tools::no_model_error));
    REQUIRE(learned.end != inverse::Learned::End::none);
    for (std::size_t k = 0; k < n; ++k) {
      const double half =
          inverse::in_95 * std::sqrt(learned.covariance(static_cast<int>(k), static_cast<int>(k)));
      const double error = learned.scores[k] - truth[k];
      twins.inside[k] += std::abs(error) <= half ? 1 : 0;
      twins.errors[k].push_back(error);
      twins.widths[k].push_back(half);
    }
  }
  for (std::size_t k = 0; k < n; ++k) {
    double square = 0.0;
    for (const double e : twins.errors[k]) square += e * e;
    const double scatter = inverse::in_95 * std::sqrt(square / 100.0),
                 half = inverse::median_of(twins.widths[k]);
    MESSAGE(centre.inputs()[k].name << ": " << twins.inside[k] << " of 100, half width " << half
                                    << ", 1.96 scatter " << scatter);
    CHECK(twins.inside[k] >= 89);
    CHECK(half <= 1.5 * scatter);
  }
}

// The logs come from another model: graphite with curves of another shape, a finer grid with other fluxes,
// walls that see the chamber alone, which every other fit is asked with and every other one is not.  No score
// makes them the same; what counts is the temperature of the powder.
TEST_CASE("slow: twins of another model, a hundred seeds: the range holds the temperature of the powder") {
  const Folder folder("fit-others");
  folder.write("workshop-graphite.yaml", tools::read_whole(shipped / "logs" / "workshop-graphite.yaml"));
  const std::string head =
      "format: 1\ntitle: a small stack\npress: {name: bench, meters: {current: effective, voltage: "
      "effective, every: 5 s, noise: 0.3 %}, column ends: {film: 900 W/m2K, water: 20 degC}}\n";
  const auto stack = [&](const std::string& graphite, const std::string& walls, const std::string& numerics) {
    return head +
           fmt::format(
               "column:\n"
               "  - {{name: lower punch, material: {0}, diameter: 20 mm, height: 25 mm}}\n"
               "  - {{name: powder, powder: alumina, diameter: 20 mm, mass: 6 g, densification: off}}\n"
               "  - {{name: upper punch, material: {0}, diameter: 20 mm, height: 25 mm}}\n"
               "sleeves:\n"
               "  - {{name: die, material: {0}, inner diameter: 20.4 mm, outer diameter: 50 mm, height: 36 "
               "mm, centre "
               "on: powder}}\n"
               "foils: [{{along: bore of die, thickness: 0.2 mm}}]\n"
               "surroundings: {{chamber: 25 degC, walls see: {1}}}\n"
               "sensors: [{{name: couple, kind: thermocouple, in: die, depth: 8 mm, noise: 0.5 K}}]\n"
               "programme:\n"
               "  current: [{{ramp to: 1500 A, in: 60 s}}, {{hold: 180 s, name: soak}}, {{cool: free, for: "
               "60 s}}]\n"
               "numerics: {{{2}}}\n",
               graphite, walls, numerics);
  };
  const auto asked_with = [&](const std::string& walls) {
    return cases::read_case(folder.write("asked.yaml", stack("isotropic graphite", walls, "accuracy: 2 K")));
  };
  const cases::Case right_walls = asked_with("chamber only"), wrong_walls = asked_with("each other");
  const cases::Case other =
      cases::read_case(folder.write("behind.yaml", stack("workshop graphite", "chamber only",
                                                         "accuracy: 2 K, fluxes: two-point, refinement: 2")));
  const tools::FitRuns behind = runs_of(other, log_of(other, 5.0, 0), 2.0);
  int inside = 0;
  std::vector<double> errors, widths;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const cases::Case truth = at_scores(behind, drawn(behind.inputs().size(), seed));
    const cases::PressLog log = log_of(truth, 5.0, seed);
    const tools::FitRuns runs = runs_of(seed % 2 == 0 ? right_walls : wrong_walls, log, 2.0);
    const inverse::Learned learned = inverse::learn(runs.problem(tools::usual_model_error));
    REQUIRE(learned.end != inverse::Learned::End::none);
    // The mean of the powder over the hottest spell, of the model behind the log.
    const solver::RunResult result = solver::run(cases::build_problem(truth));
    const tools::HotSpell hot = *runs.hot(0);
    std::vector<double> times, means;
    for (const solver::HistoryRow& row : result.rows)
      times.push_back(row.time_s), means.push_back(row.powder->mean_K);
    const double met = inverse::mean_over(times, means, hot.from_s, hot.to_s);
    const double half = inverse::in_95 * runs.deviation_of(learned, learned.covariance, 0);
    const double error = learned.after[static_cast<std::size_t>(runs.watched_at(0))] - met;
    inside += std::abs(error) <= half ? 1 : 0;
    errors.push_back(std::abs(error));
    widths.push_back(half);
    if (seed % 10 == 0) MESSAGE(inside << " of " << seed);
  }
  MESSAGE("powder within its range in " << inside << " of 100; median error " << inverse::median_of(errors)
                                        << " K, median half width " << inverse::median_of(widths) << " K");
  CHECK(inside >= 90);
}
