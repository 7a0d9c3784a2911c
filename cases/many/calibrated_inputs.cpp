#include "cases/many/calibrated_inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "cases/calibrate.hpp"
#include "solver/inverse/principal_directions.hpp"

namespace joulepress::cases {
namespace {

using inverse::Distribution;

constexpr double no_variance = 1e-8;     ///< of a direction, of scores of variance 1; own choice
constexpr double no_weight = 1e-12;      ///< rounding of a component that is none
constexpr double no_correlation = 0.05;  ///< of what hangs together in nothing else either; own choice
constexpr double named_from = 0.5;  ///< components of a direction in its name, of the largest; own choice
constexpr std::size_t most_named = 3;

/// The spread the logs have left, within the limits of the value; nothing where its centre bears no factor.
std::optional<UncertainValue> left_of(const CalibratedValue& value, UncertainValue known, const Case& c) {
  Distribution& spread = known.spread;
  if (value.factor > 0.0) {
    if (!(spread.centre > 0.0)) return std::nullopt;  // not there at all
    spread.kind = Distribution::Kind::log_normal;
    spread.size = value.factor;
    return known;
  }
  spread.kind = Distribution::Kind::normal;
  spread.size = value.deviation;
  // A sample multiplies what the scales have multiplied already; the deviation is of the whole factor.
  if (const auto place = calibrated_place(value.address); place && !place->key)
    spread.size /= whole_factor(c, place->material, place->property);
  return known;
}

/// "thermal lateral contact with graphite resistivity against film of column ends": the leading components,
/// what moves the other way behind `against`.
std::string name_of(const Calibration& calibration, const inverse::Directions& directions, int d) {
  std::vector<int> order(calibration.inputs.size());
  for (std::size_t k = 0; k < order.size(); ++k) order[k] = static_cast<int>(k);
  const auto size = [&](int k) { return std::abs(directions.vectors(k, d)); };
  // Rounding must not choose between equal ones.
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return size(a) > size(b) + 1e-9; });
  std::vector<std::string> along, against;
  for (std::size_t k = 0; k < std::min(order.size(), most_named); ++k) {
    if (size(order[k]) < named_from * size(order[0])) break;
    const bool same = directions.vectors(order[k], d) * directions.vectors(order[0], d) > 0.0;
    (same ? along : against).push_back(calibration.inputs[static_cast<std::size_t>(order[k])].name);
  }
  std::string name = "calibrated: " + along.front();
  for (std::size_t k = 1; k < along.size(); ++k) name += (k == 1 ? " with " : " and ") + along[k];
  for (std::size_t k = 0; k < against.size(); ++k) name += (k == 0 ? " against " : " and ") + against[k];
  return name;
}

/// Of the standard deviations before the logs, in the direction.
double left_in(const Calibration& calibration, const inverse::Directions& directions, int d) {
  double sum = 0.0;
  for (std::size_t k = 0; k < calibration.inputs.size(); ++k) {
    const double part = directions.vectors(static_cast<int>(k), d) * calibration.inputs[k].left;
    sum += part * part;
  }
  return std::sqrt(sum);
}

std::string source_of(const Calibration& calibration) {
  std::string files;
  for (const CalibrationLog& log : calibration.logs) files += (files.empty() ? "" : ", ") + log.file;
  return (calibration.logs.size() == 1 ? "log " : "logs ") + files;
}

/// Inputs that hang together, over others or by themselves; all others are groups of one.  Where nothing
/// hangs together every direction is as good as any other, and rounding would mix what has nothing in common.
std::vector<std::vector<std::size_t>> groups_of(const Calibration& calibration) {
  const std::size_t n = calibration.inputs.size();
  std::vector<std::vector<std::size_t>> groups;
  std::vector<bool> taken(n, false);
  for (std::size_t first = 0; first < n; ++first) {
    if (taken[first]) continue;
    taken[first] = true;
    std::vector<std::size_t> group{first};
    for (std::size_t k = 0; k < group.size(); ++k)
      for (std::size_t other = 0; other < n; ++other) {
        if (taken[other] || !(std::abs(calibration.correlation[group[k] * n + other]) >= no_correlation))
          continue;
        taken[other] = true;
        group.push_back(other);
      }
    std::sort(group.begin(), group.end());
    groups.push_back(std::move(group));
  }
  return groups;
}

/// The directions of inputs that hang together; `moved`: what each of them moves.
void add_directions(const Calibration& part, const std::vector<std::vector<UncertainValue>>& moved,
                    std::vector<UncertainInput>& inputs) {
  const int n = static_cast<int>(moved.size());
  inverse::Table correlation(n, n);
  correlation.values = part.correlation;
  const inverse::Directions directions = inverse::principal_directions(correlation);
  for (int d = 0; d < n; ++d) {
    const double variance = directions.variances[static_cast<std::size_t>(d)];
    if (!(variance > no_variance)) continue;
    UncertainInput input;
    input.name = name_of(part, directions, d);
    const double left = left_in(part, directions, d);
    input.amount = left < 1.5 ? fmt::format("{:.0f} % left", 100.0 * left)
                              : fmt::format("{:.1f} times as open as before", left);
    input.source = source_of(part);
    for (int row = 0; row < n; ++row) {
      if (std::abs(directions.vectors(row, d)) < no_weight) continue;
      for (UncertainValue value : moved[static_cast<std::size_t>(row)]) {
        value.weight = directions.vectors(row, d) * std::sqrt(variance);
        input.values.push_back(std::move(value));
      }
    }
    // Two directions may have the same leading components.
    const std::string name = input.name;
    const auto is_taken = [&inputs](const std::string& wanted) {
      return std::any_of(inputs.begin(), inputs.end(),
                         [&wanted](const UncertainInput& other) { return other.name == wanted; });
    };
    for (int count = 2; is_taken(input.name); ++count) input.name = fmt::format("{} ({})", name, count);
    inputs.push_back(std::move(input));
  }
}

}  // namespace

std::set<std::string, std::less<>> calibrated_addresses(const Case& c) {
  std::set<std::string, std::less<>> addresses;
  if (c.calibration)
    for (const CalibratedInput& input : c.calibration->inputs)
      for (const CalibratedValue& value : input.values) addresses.insert(value.address);
  return addresses;
}

std::vector<UncertainInput> with_calibration(std::vector<UncertainInput> inputs, const Case& c) {
  if (!c.calibration) return inputs;
  const auto addresses = calibrated_addresses(c);
  std::map<std::string, UncertainValue> known;
  for (UncertainInput& input : inputs) {
    for (const UncertainValue& value : input.values)
      if (addresses.contains(value.address)) known.emplace(value.address, value);
    std::erase_if(input.values,
                  [&addresses](const UncertainValue& value) { return addresses.contains(value.address); });
  }
  std::erase_if(inputs, [](const UncertainInput& input) { return input.values.empty(); });

  // What has no effect here goes, and with it the inputs that move nothing else.
  std::vector<std::vector<UncertainValue>> moved;
  std::vector<std::size_t> kept;
  for (std::size_t k = 0; k < c.calibration->inputs.size(); ++k) {
    std::vector<UncertainValue> values;
    for (const CalibratedValue& value : c.calibration->inputs[k].values)
      if (const auto found = known.find(value.address); found != known.end())
        if (auto left = left_of(value, found->second, c)) values.push_back(std::move(*left));
    if (values.empty()) continue;
    kept.push_back(k);
    moved.push_back(std::move(values));
  }
  const Calibration part = part_of(*c.calibration, kept);
  for (const std::vector<std::size_t>& group : groups_of(part)) {
    std::vector<std::vector<UncertainValue>> values;
    for (const std::size_t k : group) values.push_back(std::move(moved[k]));
    add_directions(part_of(part, group), values, inputs);
  }
  return inputs;
}

}  // namespace joulepress::cases
