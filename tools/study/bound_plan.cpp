#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/calibrate.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/keys.hpp"
#include "solver/inverse/pick_freeze.hpp"
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

Member member_of(const BoundPlan& plan, std::string id, std::string label,
                 const std::vector<cases::Edit>& edits) {
  cases::Variant variant = cases::variant_of(plan.resolved, edits, plan.folder);
  return {std::move(id), std::move(label), std::move(variant.text), std::move(variant.refused)};
}

/// Sentences on what no sample and no choice shows.
std::vector<std::string> not_included(const cases::Case& c, const solver::Problem& problem) {
  std::vector<std::string> sentences{
      "How the error of a sensor changes with temperature and use, a couple's drift in hot graphite for one: "
      "what it reads too high or too low is one number in each sample.",
      "Inputs without a spread in the key table or their material file, and the form of curves: a property "
      "varies by one factor at all temperatures."};
  if (!c.sleeves.empty())
    sentences.emplace_back(
        "Fits: diameters that slide in each other and foils between them keep their drawing; what they leave "
        "open is in the factors of the contacts.");
  for (std::string& sentence : solver::not_modelled(problem)) sentences.push_back(std::move(sentence));
  return sentences;
}

/// Values of the calibration that no input moves: the case does not use them.
std::vector<std::string> without_effect(const cases::Case& c,
                                        const std::vector<cases::UncertainInput>& inputs) {
  std::vector<std::string> idle;
  for (const cases::CalibratedInput& input : c.calibration->inputs)
    for (const cases::CalibratedValue& value : input.values) {
      const bool moved = std::any_of(inputs.begin(), inputs.end(), [&value](const auto& by) {
        return std::any_of(by.values.begin(), by.values.end(),
                           [&value](const auto& known) { return known.address == value.address; });
      });
      if (!moved) idle.push_back(value.address);
    }
  return idle;
}

}  // namespace

BoundPlan bound_plan(const cases::Case& c, const std::filesystem::path& folder, const BoundRequest& request) {
  BoundPlan plan;
  plan.title = c.title;
  plan.version = JOULEPRESS_VERSION;
  plan.request = request;
  cases::Case unjudged = c;  // what tools bear is no question of a bound
  unjudged.judge_strength = false;
  plan.resolved = cases::resolved_document(unjudged);
  plan.folder = folder;
  const auto add = [&](std::string id, std::string label, const std::vector<cases::Edit>& edits) {
    plan.members.push_back(member_of(plan, std::move(id), std::move(label), edits));
  };
  set_levels(c.accuracy, plan);
  for (int k = 0; k < 3; ++k)
    add(fmt::format("level-{}", k + 1), fmt::format("accuracy {:.3g} K", plan.accuracies[k]),
        {accuracy(plan.accuracies[k])});
  plan.choices = cases::model_choices(c);
  for (const cases::ModelChoice& choice : plan.choices)
    add("choice-" + choice.id, choice.other, choice.edits);
  plan.inputs = cases::uncertain_inputs(c, plan.resolved);
  const int inputs = static_cast<int>(plan.inputs.size());
  if (inputs > 0) plan.shares = inverse::sobol_points(request.samples, inputs, request.seed);
  for (int row = 0; row < plan.shares.rows; ++row) {
    std::vector<double> shares;
    for (int column = 0; column < inputs; ++column) shares.push_back(plan.shares(row, column));
    add(fmt::format("sample-{:04}", row + 1), fmt::format("sample {}", row + 1),
        cases::sample_edits(plan.inputs, shares));
  }
  plan.not_included = not_included(c, cases::build_problem(c));
  if (c.calibration) {
    plan.calibrated_on = cases::logs_in_words(*c.calibration);
    const std::vector<std::string> idle = without_effect(c, plan.inputs);
    if (!idle.empty())
      plan.not_included.push_back("Of the calibration, without effect in this case: " + cases::listed(idle) +
                                  ".");
  }
  return plan;
}

IndicesPlan indices_plan(const BoundPlan& plan, const BoundStudy& study) {
  constexpr std::size_t most = 6;
  IndicesPlan indices;
  std::vector<RankedInput> ranking;
  for (const BoundedHold& hold : study.holds)
    if (!hold.ranking.empty()) ranking = hold.ranking;
  std::stable_sort(ranking.begin(), ranking.end(),
                   [](const RankedInput& a, const RankedInput& b) { return a.index.total > b.index.total; });
  for (std::size_t k = 0; k < std::min(most, ranking.size()); ++k) indices.inputs.push_back(ranking[k].input);
  if (indices.inputs.empty()) return indices;
  indices.rows = std::max(2, plan.request.samples / 2);
  const inverse::Table shares = inverse::pick_freeze_points(
      indices.rows, static_cast<int>(indices.inputs.size()), plan.request.seed + 1);  // other points
  for (int row = 0; row < shares.rows; ++row) {
    std::vector<double> all(plan.inputs.size(), 0.5);
    for (int column = 0; column < shares.columns; ++column)
      all[static_cast<std::size_t>(indices.inputs[static_cast<std::size_t>(column)])] = shares(row, column);
    indices.members.push_back(member_of(plan, fmt::format("index-{:05}", row + 1),
                                        fmt::format("row {} of the full design", row + 1),
                                        cases::sample_edits(plan.inputs, all)));
  }
  return indices;
}

}  // namespace joulepress::tools
