#include "tools/study/offset_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "cases/many/variant.hpp"
#include "cases/stack.hpp"

namespace joulepress::tools {
namespace {

using Kind = cases::ProgrammeStep::Kind;

constexpr std::array temperature_steps{-200.0, -100.0, 0.0, 100.0, 200.0};  // K
constexpr std::array rate_factors{0.5, 1.0, 2.0};
constexpr std::array density_steps{-0.05, 0.0, 0.05};
constexpr double least_density = 0.3, most_density = 0.9;
constexpr double above_start = 100.0;  // K
constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// The last hold and the ramp that leads to it.
struct Place {
  int ramp = -1, hold = -1;  ///< steps of the programme; -1: none
  double from = 0, to = 0;   ///< K
  double rate = 0;           ///< K/s
};

Place place_in(const cases::Case& c) {
  Place place;
  const std::vector<cases::ProgrammeStep>& steps = c.programme.steps;
  for (int k = 0; k < static_cast<int>(steps.size()); ++k)
    if (steps[static_cast<std::size_t>(k)].kind == Kind::hold) place.hold = k;
  double level = cases::start_of_programme(c);
  for (int k = 0; k < place.hold; ++k) {
    const cases::ProgrammeStep& step = steps[static_cast<std::size_t>(k)];
    if (step.kind != Kind::ramp) continue;
    place.ramp = k;
    place.from = level;
    place.to = level = step.to;
    place.rate = step.rate ? *step.rate : std::abs(place.to - place.from) / *step.duration;
  }
  return place;
}

std::string why_none(const cases::Case& c, const Place& place) {
  const auto is_powder = [](const cases::ColumnPart& part) { return part.powder; };
  if (std::none_of(c.column.begin(), c.column.end(), is_powder)) return "The case has no powder.";
  if (c.programme.driven != cases::Programme::Driven::temperature)
    return "No temperature is programmed, so there is none to enter.";
  if (place.hold < 0) return "The programme has no hold.";
  if (place.ramp < 0 || !(place.rate > 0.0)) return "No ramp leads to the last hold.";
  return {};
}

cases::Edit edit(std::string address, std::string value) {
  cases::Edit e;
  e.address = std::move(address);
  e.value = cases::value_node(std::move(value));
  return e;
}

std::vector<double> temperatures_of(const cases::Case& c, const Place& place) {
  std::vector<double> all;
  const double up = place.to > place.from ? 1.0 : -1.0;
  for (const double step : temperature_steps) {
    const double to = place.to + step;
    if (step == 0.0 || (to >= cases::start_of_programme(c) + above_start && up * (to - place.from) > 0.0))
      all.push_back(to);
  }
  return all;
}

/// Parts of the column whose start density varies.
std::vector<std::size_t> varied_powders(const cases::Case& c) {
  std::vector<std::size_t> all;
  for (std::size_t k = 0; k < c.column.size(); ++k) {
    const cases::ColumnPart& part = c.column[k];
    if (part.powder && part.densification && part.relative_density &&
        !cases::material_named(c, part.material).creep.empty())
      all.push_back(k);
  }
  return all;
}

std::vector<std::vector<double>> densities_of(const cases::Case& c, const std::vector<std::size_t>& powders) {
  std::vector<std::vector<double>> levels;
  for (const double step : density_steps) {
    std::vector<double> level;
    bool another = false, loose = true;
    for (const std::size_t k : powders) {
      const double own = *c.column[k].relative_density;
      const double moved = step == 0.0 ? own : std::clamp(own + step, least_density, most_density);
      level.push_back(std::round(1e6 * moved) / 1e6);  // as it is written
      another = another || std::abs(level.back() - own) > 1e-6;
      loose = loose && level.back() < cases::end_density(c.column[k]);
    }
    if (step == 0.0 || (another && loose)) levels.push_back(std::move(level));
  }
  return levels;
}

TableSubject subject_of(const cases::Case& c, const Place& place, const std::vector<std::size_t>& varied) {
  TableSubject s;
  s.title = c.title;
  s.version = JOULEPRESS_VERSION;
  s.press = c.press.name;
  for (std::size_t k = 0; k < c.column.size(); ++k) {
    const cases::ColumnPart& part = c.column[k];
    TableSubject::Part piece{part.name, part.bore, part.diameter, part.height, part.mass};
    if (part.height) piece.mass_kg.reset();
    s.column.push_back(std::move(piece));
    if (part.powder)
      s.powders.push_back({part.name, part.material, part.relative_density,
                           std::find(varied.begin(), varied.end(), k) != varied.end()});
  }
  for (const cases::Sleeve& sleeve : c.sleeves)
    s.sleeves.push_back(
        {sleeve.name, sleeve.inner_diameter, sleeve.outer_diameter, sleeve.height, std::nullopt});
  s.control = c.programme.control;
  if (const int sensor = cases::sensor_named(c, s.control); sensor >= 0) {
    const cases::CaseSensor& found = c.sensors[static_cast<std::size_t>(sensor)];
    s.control_in = found.part;
    s.pyrometer = found.pyrometer;
    s.depth_m = found.pyrometer ? 0.0 : found.depth;
  }
  s.pressure_Pa = c.programme.pressure.empty() ? none : c.programme.pressure.back().to;
  if (c.gas) s.gas = c.gas->name;
  if (place.hold >= 0) {
    const cases::ProgrammeStep& hold = c.programme.steps[static_cast<std::size_t>(place.hold)];
    s.hold = hold.name;
    s.hold_s = hold.duration.value_or(0.0);
  }
  return s;
}

std::string member_label(double to, double rate, const std::vector<double>& densities) {
  std::string label = fmt::format("{:.4g} degC at {:.4g} K/min", cases::in_celsius(to), 60.0 * rate);
  for (std::size_t k = 0; k < densities.size(); ++k)
    label += fmt::format("{} {:.3g}", k == 0 ? ", from" : " /", densities[k]);
  return label;
}

/// Whether offsets of all levels are near that of the first, and all of them count or none; `level` names the
/// cell of one level at place k of `places`.
template <class Level>
bool alike(std::size_t levels, std::size_t places, Level&& level) {
  for (std::size_t k = 0; k < places; ++k) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (std::size_t m = 0; m < levels; ++m) {
      const OffsetCell& cell = level(m, k);
      if (cell.why_not.empty() != level(0, k).why_not.empty()) return false;
      if (!cell.why_not.empty()) continue;
      low = std::min(low, cell.offset_K);
      high = std::max(high, cell.offset_K);
    }
    if (high - low > alike_K) return false;
  }
  return true;
}

std::vector<std::size_t> all_or(std::size_t count, bool alike, std::size_t own) {
  if (alike) return {own};
  std::vector<std::size_t> all(count);
  for (std::size_t k = 0; k < count; ++k) all[k] = k;
  return all;
}

/// Numbers of the last hold; whether they count.
void read_numbers(const SummaryNode& summary, double entered_K, OffsetCell& cell) {
  const auto number = [&summary](const char* key) {
    return number_at(summary, std::string("holds[-1].") + key).value_or(none);
  };
  cell.offset_K = number("offset_mean_K");
  cell.offset_start_K = number("offset_start_K");
  cell.reading_K = number("sensor_K");
  cell.mean_K = number("sample_mean_K");
  cell.spread_K = number("sample_spread_K");
  cell.density = number("relative_density_end_mean");
  if (!cell.why_not.empty()) return;
  if (!std::isfinite(cell.offset_K) || !std::isfinite(cell.mean_K))
    cell.why_not = "The last hold has no offset.";
  else if (!(std::abs(cell.reading_K - entered_K) <= followed_K))
    cell.why_not = fmt::format("The reading is {:.0f} K from what is entered: the hold is not met.",
                               std::abs(cell.reading_K - entered_K));
}

}  // namespace

OffsetTablePlan offset_table_plan(const cases::Case& c, const std::filesystem::path& folder) {
  OffsetTablePlan plan;
  const Place place = place_in(c);
  const std::vector<std::size_t> powders = varied_powders(c);
  plan.subject = subject_of(c, place, powders);
  plan.why_not = why_none(c, place);
  if (!plan.why_not.empty()) return plan;
  plan.temperatures_K = temperatures_of(c, place);
  for (const double factor : rate_factors) {
    if (factor == 1.0) plan.own_rate = plan.rates.size();
    plan.rates.push_back(factor * place.rate);
  }
  plan.densities = densities_of(c, powders);
  for (std::size_t d = 0; d < plan.densities.size(); ++d) {
    bool own = true;
    for (std::size_t k = 0; k < powders.size(); ++k)
      own = own && std::abs(plan.densities[d][k] - *c.column[powders[k]].relative_density) < 1e-6;
    if (own) plan.own_density = d;
  }

  cases::Case unjudged = c;  // what tools bear is no question of a table of offsets
  unjudged.judge_strength = false;
  const cases::SourceNode resolved = cases::resolved_document(unjudged);
  const std::string step = fmt::format("programme.temperature[{}].", place.ramp);
  const bool by_time = !c.programme.steps[static_cast<std::size_t>(place.ramp)].rate;
  for (std::size_t d = 0; d < plan.densities.size(); ++d)
    for (std::size_t r = 0; r < plan.rates.size(); ++r)
      for (std::size_t t = 0; t < plan.temperatures_K.size(); ++t) {
        const double to = plan.temperatures_K[t], rate = plan.rates[r];
        std::vector<cases::Edit> edits{edit(step + "ramp to", fmt::format("{} K", to))};
        edits.push_back(by_time ? edit(step + "in", fmt::format("{} s", std::abs(to - place.from) / rate))
                                : edit(step + "rate", fmt::format("{} K/s", rate)));
        for (std::size_t k = 0; k < powders.size(); ++k)
          edits.push_back(edit(fmt::format("column[{}].relative density.value", powders[k]),
                               fmt::format("{}", plan.densities[d][k])));
        cases::Variant variant = cases::variant_of(resolved, edits, folder);
        plan.members.push_back({fmt::format("table-t{}-r{}-d{}", t, r, d),
                                member_label(to, rate, plan.densities[d]), std::move(variant.text),
                                std::move(variant.refused)});
      }
  return plan;
}

const OffsetCell& OffsetTable::cell(std::size_t density, std::size_t rate, std::size_t temperature) const {
  return cells.at((density * rates.size() + rate) * temperatures_K.size() + temperature);
}

OffsetTable offset_table(const OffsetTablePlan& plan, const CrewResult& result) {
  OffsetTable table;
  table.subject = plan.subject;
  table.temperatures_K = plan.temperatures_K;
  table.rates = plan.rates;
  table.densities = plan.densities;
  table.own_rate = plan.own_rate;
  table.own_density = plan.own_density;
  table.complete = true;
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (std::size_t k = 0; k < plan.members.size(); ++k) {
    OffsetCell cell{plan.members[k].id, result.members.at(k), {}, none, none, none, none, none, none};
    if (!cell.finished) {
      table.complete = false;
      cell.why_not = "Not run yet.";
    } else {
      if (cell.finished->outcome != Outcome::completed)
        cell.why_not =
            cell.finished->reason.empty() ? outcome_name(cell.finished->outcome) : cell.finished->reason;
      if (cell.finished->outcome != Outcome::refused)
        read_numbers(summary_of(*cell.finished), plan.temperatures_K[k % plan.temperatures_K.size()], cell);
    }
    if (cell.why_not.empty()) {
      low = std::min(low, cell.mean_K);
      high = std::max(high, cell.mean_K);
    }
    table.cells.push_back(std::move(cell));
  }
  if (!(low <= high)) return table;
  const std::size_t T = table.temperatures_K.size(), R = table.rates.size(), D = table.densities.size();
  table.rates_alike = alike(R, D * T, [&](std::size_t r, std::size_t k) -> const OffsetCell& {
    return table.cell(k / T, r, k % T);
  });
  const auto of_both = [&](std::size_t column, std::size_t t) -> const OffsetCell& {
    return table.cell(column / R, column % R, t);
  };
  table.densities_alike = table.rates_alike
                              ? alike(D * R, T, of_both)
                              : alike(D, R * T, [&](std::size_t d, std::size_t k) -> const OffsetCell& {
                                  return table.cell(d, k / T, k % T);
                                });
  const double first = std::ceil(cases::in_celsius(low) / table_step_K);
  for (double k = first; k * table_step_K <= cases::in_celsius(high); k += 1.0) {
    const double powder_K = k * table_step_K + cases::zero_celsius;
    bool any = false;
    for (const std::size_t d : shown_densities(table))
      for (const std::size_t r : shown_rates(table)) any = any || to_enter(table, d, r, powder_K).has_value();
    if (any) table.powder_K.push_back(powder_K);
  }
  return table;
}

std::vector<std::size_t> shown_rates(const OffsetTable& table) {
  return all_or(table.rates.size(), table.rates_alike, table.own_rate);
}

std::vector<std::size_t> shown_densities(const OffsetTable& table) {
  return all_or(table.densities.size(), table.densities_alike, table.own_density);
}

std::optional<double> to_enter(const OffsetTable& table, std::size_t density, std::size_t rate,
                               double powder_K) {
  std::optional<double> found;
  const OffsetCell* before = nullptr;
  double before_K = 0.0;
  for (std::size_t t = 0; t < table.temperatures_K.size(); ++t) {
    const OffsetCell& cell = table.cell(density, rate, t);
    if (!cell.why_not.empty()) continue;
    const double entered_K = table.temperatures_K[t];
    if (before && std::min(before->mean_K, cell.mean_K) <= powder_K &&
        powder_K <= std::max(before->mean_K, cell.mean_K) && before->mean_K != cell.mean_K) {
      const double share = (powder_K - before->mean_K) / (cell.mean_K - before->mean_K);
      const double entry = before_K + share * (entered_K - before_K);
      if (found && std::abs(*found - entry) > 1e-6) return std::nullopt;  // the mean turns between them
      found = entry;
    }
    before = &cell;
    before_K = entered_K;
  }
  return found;
}

}  // namespace joulepress::tools
