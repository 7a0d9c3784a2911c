#include "tools/study/bound_study.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/inverse/pick_freeze.hpp"
#include "solver/summary.hpp"

namespace joulepress::tools {
namespace {

constexpr double low_tail = 0.025, high_tail = 0.975;
constexpr int fewest_samples = 8;     ///< for quantiles that mean anything
constexpr double negligible = 0.001;  ///< share of the variance below which an input is left out

/// What is told of every hold; the offset first.
const char* const told[]{"offset", "powder mean", "spread in the powder", "sensor error", "current",
                         "power",  "density"};

/// The measure of that name in the hold of that number; names of holds may be the same.
Measure of_hold(const char* name, std::size_t hold) {
  Measure measure = *measure_of(name);
  measure.address = fmt::format("holds[{}]{}", hold, measure.address.substr(measure.address.find('.')));
  return measure;
}

/// The summaries of the members that came to their end; none of the others.
using Summaries = std::vector<std::optional<SummaryNode>>;

Summaries summaries_of(const BoundPlan& plan, const CrewResult& result, BoundStudy& study) {
  Summaries summaries;
  for (std::size_t k = 0; k < plan.members.size(); ++k) {
    const std::optional<Finished>& member = result.members[k];
    summaries.emplace_back();
    if (member && member->outcome == Outcome::completed)
      summaries.back() = summary_of(*member);
    else if (member)
      study.left_out.push_back({plan.members[k].id, member->reason});
  }
  return summaries;
}

std::vector<std::string> hold_names(const SummaryNode& summary) {
  std::vector<std::string> names;
  for (const SummaryNode& node : summary.inside)
    if (node.name == "holds")
      for (const SummaryNode& hold : node.inside) names.push_back(hold.name);
  return names;
}

double number_of(const SummaryNode& summary, const std::string& address) {
  return number_at(summary, address).value_or(std::nan(""));
}

double spacing_of(const SummaryNode& summary) {
  return 1.0 / std::sqrt(number_of(summary, "cells"));
}

struct Samples {
  std::vector<const SummaryNode*> summaries;  ///< of the completed ones
  inverse::Table scores;
};

Samples samples_of(const BoundPlan& plan, const Summaries& summaries) {
  Samples samples;
  std::vector<int> rows;
  const std::size_t first = plan.members.size() - static_cast<std::size_t>(plan.shares.rows);
  for (int row = 0; row < plan.shares.rows; ++row)
    if (const auto& summary = summaries[first + static_cast<std::size_t>(row)]) {
      samples.summaries.push_back(&*summary);
      rows.push_back(row);
    }
  samples.scores = inverse::Table(static_cast<int>(rows.size()), plan.shares.columns);
  for (int row = 0; row < samples.scores.rows; ++row)
    for (int column = 0; column < samples.scores.columns; ++column)
      samples.scores(row, column) =
          inverse::standard_score(plan.shares(rows[static_cast<std::size_t>(row)], column));
  return samples;
}

std::vector<double> values_of(const Samples& samples, const std::string& address) {
  std::vector<double> values;
  for (const SummaryNode* summary : samples.summaries) values.push_back(number_of(*summary, address));
  return values;
}

bool all_finite(const std::vector<double>& values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

BoundedValue bounded(const Measure& measure, const BoundPlan& plan, const Summaries& summaries,
                     const Samples& samples) {
  BoundedValue value;
  value.measure = measure;
  std::array<inverse::GridLevel, 3> levels;
  for (std::size_t k = 0; k < 3; ++k)
    levels[k] = {spacing_of(*summaries[k]), number_of(*summaries[k], measure.address)};
  value.value = levels[static_cast<std::size_t>(plan.own)].value;
  const bool told_by_all = std::all_of(levels.begin(), levels.end(), [](const inverse::GridLevel& level) {
    return std::isfinite(level.value);
  });
  if (told_by_all) value.numerical = inverse::grid_convergence(levels, plan.own);
  const std::vector<double> sample = values_of(samples, measure.address);
  if (static_cast<int>(sample.size()) >= fewest_samples && all_finite(sample)) {
    const std::array shares{low_tail, 0.5, high_tail};
    value.quantiles = inverse::quantiles(sample, shares);
    value.moments = inverse::moments(sample);
  }
  return value;
}

/// The linear part of a fit: what one deviation of an input is worth.
double slope_of(const inverse::QuadraticRanking& fit, int input) {
  double slope = 0.0;
  for (const inverse::Term& term : fit.terms)
    if (term.first == input && term.second < 0) slope += term.coefficient;
  return slope;
}

/// Whether nobody would set a press by any offset of the range.
bool is_none(const BoundedValue& offset) {
  return std::abs(offset.value) < solver::as_hot_K &&
         std::all_of(offset.quantiles.begin(), offset.quantiles.end(),
                     [](const inverse::QuantileEstimate& q) {
                       return std::max(std::abs(q.low), std::abs(q.high)) < solver::as_hot_K;
                     });
}

void rank(const Samples& samples, const std::string& address, BoundedHold& hold) {
  const std::vector<double> offsets = values_of(samples, address);
  if (static_cast<int>(offsets.size()) < fewest_samples || !all_finite(offsets)) return;
  const auto linear = inverse::linear_ranking(samples.scores, offsets);
  const inverse::QuadraticRanking fit = inverse::quadratic_ranking(samples.scores, offsets);
  hold.q2 = fit.q2;
  if (linear) {
    hold.linear_r2 = linear->adjusted_r2;
    hold.linear_q2 = linear->q2;
  }
  for (int k = 0; k < samples.scores.columns; ++k) {
    const auto n = static_cast<std::size_t>(k);
    if (fit.indices[n].total < negligible) continue;
    hold.ranking.push_back({k, fit.indices[n], linear ? linear->shares[n] : std::nan(""), slope_of(fit, k)});
  }
  std::stable_sort(hold.ranking.begin(), hold.ranking.end(),
                   [](const RankedInput& a, const RankedInput& b) { return a.index.first > b.index.first; });
}

std::vector<ChoiceMade> choices_made(const BoundPlan& plan, const CrewResult& result,
                                     const Summaries& summaries, const std::string& address) {
  std::vector<ChoiceMade> made;
  const double own = number_of(*summaries[static_cast<std::size_t>(plan.own)], address);
  for (std::size_t k = 0; k < plan.choices.size(); ++k) {
    ChoiceMade choice{plan.choices[k].taken, plan.choices[k].other, {}, {}};
    if (summaries[3 + k])
      choice.difference = number_of(*summaries[3 + k], address) - own;
    else if (result.members[3 + k])
      choice.reason = result.members[3 + k]->reason;
    else
      choice.reason = "not run yet";
    made.push_back(std::move(choice));
  }
  return made;
}

/// Rows that have a number in every matrix of the full design.
int whole_rows(const std::vector<double>& outputs, int rows) {
  int whole = 0;
  for (int row = 0; row < rows; ++row) {
    bool all = true;
    for (std::size_t k = static_cast<std::size_t>(row); k < outputs.size();
         k += static_cast<std::size_t>(rows))
      all = all && std::isfinite(outputs[k]);
    whole += all;
  }
  return whole;
}

}  // namespace

const BoundedValue* offset_of(const BoundedHold& hold) {
  return !hold.values.empty() && hold.values.front().measure.name == told[0] ? &hold.values.front() : nullptr;
}

BoundStudy bound_study(const BoundPlan& plan, const CrewResult& result) {
  BoundStudy study;
  study.title = plan.title;
  study.version = plan.version;
  study.request = plan.request;
  study.inputs = plan.inputs;
  study.not_included = plan.not_included;
  study.calibrated_on = plan.calibrated_on;
  study.complete =
      std::all_of(result.members.begin(), result.members.end(), [](const auto& m) { return m.has_value(); });
  const Summaries summaries = summaries_of(plan, result, study);
  const Samples samples = samples_of(plan, summaries);
  study.samples_used = static_cast<int>(samples.summaries.size());
  if (!summaries[0] || !summaries[1] || !summaries[2]) {
    study.problems.emplace_back(
        "The case at three accuracies has not come to its end: nothing can be said of its numerical error.");
    return study;
  }
  if (study.samples_used < fewest_samples)
    study.problems.push_back(fmt::format("{} samples came to their end; quantiles need at least {}.",
                                         study.samples_used, fewest_samples));
  if (!(spacing_of(*summaries[0]) < spacing_of(*summaries[1]) &&
        spacing_of(*summaries[1]) < spacing_of(*summaries[2]))) {
    study.problems.emplace_back(
        "The three accuracies do not give three grids: nothing can be said of the numerical error.");
    return study;
  }
  const std::vector<std::string> holds = hold_names(*summaries[static_cast<std::size_t>(plan.own)]);
  if (holds.empty()) study.problems.emplace_back("The case has no hold: there is no offset to bound.");
  for (std::size_t h = 0; h < holds.size(); ++h) {
    BoundedHold hold;
    hold.name = holds[h];
    for (const char* what : told) {
      const Measure measure = of_hold(what, h);
      if (std::isfinite(number_of(*summaries[static_cast<std::size_t>(plan.own)], measure.address)))
        hold.values.push_back(bounded(measure, plan, summaries, samples));
    }
    if (const BoundedValue* offset = offset_of(hold)) {
      hold.as_hot = is_none(*offset);
      if (!hold.as_hot) rank(samples, offset->measure.address, hold);
      hold.choices = choices_made(plan, result, summaries, offset->measure.address);
    }
    study.holds.push_back(std::move(hold));
  }
  return study;
}

void add_indices(const IndicesPlan& indices, const CrewResult& result, BoundStudy& study) {
  const int inputs = static_cast<int>(indices.inputs.size());
  std::vector<std::optional<SummaryNode>> summaries;
  for (std::size_t k = 0; k < indices.members.size(); ++k) {
    const std::optional<Finished>& member = result.members[k];
    summaries.emplace_back();
    if (!member) {
      study.complete = false;
    } else if (member->outcome == Outcome::completed) {
      summaries.back() = summary_of(*member);
    } else {
      study.left_out.push_back({indices.members[k].id, member->reason});
    }
  }
  if (!study.complete || inputs == 0) return;
  for (BoundedHold& hold : study.holds) {
    const BoundedValue* offset = offset_of(hold);
    if (!offset) continue;
    std::vector<double> outputs;
    for (const auto& summary : summaries)
      outputs.push_back(summary ? number_of(*summary, offset->measure.address) : std::nan(""));
    if (whole_rows(outputs, indices.rows) < 2) {
      study.problems.emplace_back("Hardly any row of the full design came to its end: it tells nothing.");
      continue;
    }
    const std::vector<inverse::Index> found = inverse::pick_freeze_indices(indices.rows, inputs, outputs);
    for (std::size_t k = 0; k < found.size(); ++k)
      hold.full.push_back({indices.inputs[k], found[k], std::nan(""), std::nan("")});
  }
}

}  // namespace joulepress::tools
