#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/keys.hpp"
#include "solver/inverse/sampling.hpp"
#include "solver/march.hpp"
#include "tools/study/bound_study.hpp"

namespace joulepress::tools {
namespace {

/// Three accuracies a factor of sqrt(10) apart; the case's own is the coarsest where the finest that a case
/// may ask for leaves room, else the finest.
void set_levels(double own, BoundPlan& plan) {
  const double finest = cases::parse_quantity(std::string(cases::find_key("numerics", "accuracy")->least),
                                              cases::Kind::temperature_difference)
                            .value;
  const double step = std::sqrt(10.0);
  plan.own = own / 10.0 >= finest * (1.0 - 1e-9) ? 2 : 0;
  for (int k = 0; k < 3; ++k) plan.accuracies[k] = k == plan.own ? own : own * std::pow(step, k - plan.own);
}

cases::Edit accuracy(double kelvin) {
  cases::Edit edit;
  edit.address = "numerics.accuracy";
  edit.value = cases::value_node(fmt::format("{} K", kelvin));
  return edit;
}

}  // namespace

BoundPlan bound_plan(const cases::Case& c, const std::filesystem::path& folder, const BoundRequest& request) {
  BoundPlan plan;
  plan.title = c.title;
  plan.version = JOULEPRESS_VERSION;
  plan.request = request;
  const cases::SourceNode resolved = cases::resolved_document(c);
  const auto add = [&](std::string id, std::string label, const std::vector<cases::Edit>& edits) {
    cases::Variant variant = cases::variant_of(resolved, edits, folder);
    plan.members.push_back(
        {std::move(id), std::move(label), std::move(variant.text), std::move(variant.refused)});
  };
  set_levels(c.accuracy, plan);
  for (int k = 0; k < 3; ++k)
    add(fmt::format("level-{}", k + 1), fmt::format("accuracy {:.3g} K", plan.accuracies[k]),
        {accuracy(plan.accuracies[k])});
  plan.choices = cases::model_choices(c);
  for (const cases::ModelChoice& choice : plan.choices)
    add("choice-" + choice.id, choice.other, choice.edits);
  plan.inputs = cases::uncertain_inputs(c, resolved);
  const int inputs = static_cast<int>(plan.inputs.size());
  if (inputs > 0) plan.shares = inverse::sobol_points(request.samples, inputs, request.seed);
  for (int row = 0; row < plan.shares.rows; ++row) {
    std::vector<double> shares;
    for (int column = 0; column < inputs; ++column) shares.push_back(plan.shares(row, column));
    add(fmt::format("sample-{:04}", row + 1), fmt::format("sample {}", row + 1),
        cases::sample_edits(plan.inputs, shares));
  }
  plan.not_modelled = solver::not_modelled(cases::build_problem(c));
  return plan;
}

}  // namespace joulepress::tools
