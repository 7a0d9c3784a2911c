#include "tools/html/page_data.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/figures/colour_tables.hpp"
#include "tools/html/charts.hpp"
#include "tools/html/markup.hpp"

namespace joulepress::tools::html {
namespace {

using Json = nlohmann::json;

constexpr double steps = 16777215.0;              // of three bytes
constexpr std::size_t room_for_fields = 2200000;  // bytes, so that a page stays below 3 MB

/// Of fields in the page.
struct Shown {
  const char* key;
  const char* name;
  const char* unit;
  double factor, add;  ///< shown = stored times factor plus add
  const char* table;
  const std::vector<double> StoredFields::*values;
  bool vector = false, powder_only = false;
  bool log = false;  ///< foils make a hundred times the heat of all else
};
const std::vector<Shown> shown_fields{
    {"temperature", "temperature", "°C", 1.0, -273.15, "heat", &StoredFields::temperature},
    {"relative_density", "relative density", "%", 100.0, 0.0, "ground", &StoredFields::relative_density,
     false, true},
    {"current_density", "current density", "A/mm²", 1e-6, 0.0, "heat", &StoredFields::current_density, true},
    {"joule_heat", "Joule heat", "W/cm³", 1e-6, 0.0, "heat", &StoredFields::joule_heat, false, false, true},
    {"heat_flux", "heat flux", "W/cm²", 1e-4, 0.0, "ground", &StoredFields::heat_flux, true},
};

Json packed(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  const double least = values.empty() ? 0.0 : *low, span = values.empty() ? 0.0 : *high - least;
  std::string bytes;
  bytes.reserve(3 * values.size());
  for (const double value : values) {
    const auto n = static_cast<std::uint32_t>(span > 0.0 ? std::lround((value - least) / span * steps) : 0);
    for (const int shift : {16, 8, 0}) bytes.push_back(static_cast<char>(n >> shift & 0xffU));
  }
  return {{"low", least}, {"high", least + span}, {"values", base64(bytes)}};
}

/// Numbers of the cells of the parts that `takes` takes.
template <class F>
std::vector<std::size_t> cells_where(const Matter& m, F&& takes) {
  std::vector<std::size_t> cells;
  for (std::size_t k = 0; k < m.results.cells.part.size(); ++k)
    if (takes(m.results.cells.part[k])) cells.push_back(k);
  return cells;
}

bool useful(const Matter& m, const Shown& shown) {
  if (shown.powder_only) return !m.problem.powders.empty();
  const std::vector<double>& values = m.fields.*shown.values;
  return std::any_of(values.begin(), values.end(), [](double v) { return v != 0.0; });
}

Json field_json(const Matter& m, const Shown& shown, const std::vector<std::size_t>& outputs) {
  Json field{{"key", shown.key}, {"name", m.say(shown.name)}, {"unit", shown.unit},
             {"add", shown.add}, {"table", shown.table},      {"frames", Json::array()}};
  if (shown.log) field["log"] = true;
  const std::size_t n = m.results.cells.part.size();
  const auto cells =
      cells_where(m, [&](std::int32_t part) { return !shown.powder_only || m.is_powder(part); });
  if (shown.powder_only) {
    field["parts"] = Json::array();
    for (std::int32_t part = 0; part < static_cast<std::int32_t>(m.problem.parts.size()); ++part)
      if (m.is_powder(part)) field["parts"].push_back(part);
  }
  const std::vector<double>& values = m.fields.*shown.values;
  for (const std::size_t output : outputs) {
    std::vector<double> frame;
    for (const std::size_t cell : cells) {
      const std::size_t at = output * n + cell;
      frame.push_back(shown.factor *
                      (shown.vector ? std::hypot(values[2 * at], values[2 * at + 1]) : values[at]));
    }
    field["frames"].push_back(packed(frame));
  }
  return field;
}

/// Rigid shifts of the parts, and the heights of the cells of those that are not rigid.
void add_heights(const Matter& m, const std::vector<std::size_t>& outputs, Json& data) {
  const StoredCells& cells = m.results.cells;
  const std::size_t n = cells.part.size();
  Json moved = Json::array(), heights = Json::object();
  std::vector<std::vector<std::size_t>> of_part(cells.part_names.size());
  for (std::size_t k = 0; k < n; ++k) of_part[cells.part[k]].push_back(k);
  const auto shift = [&](std::size_t output, std::size_t k) {
    return m.fields.z_low[output * n + k] - cells.z_low[k];
  };
  constexpr double rigid = 1e-9;  // m
  std::vector<bool> gives(of_part.size(), false);
  for (std::size_t part = 0; part < of_part.size(); ++part)
    for (const std::size_t output : outputs)
      for (const std::size_t k : of_part[part])
        if (std::abs(shift(output, k) - shift(output, of_part[part].front())) > rigid) gives[part] = true;
  for (const std::size_t output : outputs) {
    Json shifts = Json::array();
    for (std::size_t part = 0; part < of_part.size(); ++part)
      shifts.push_back(gives[part] ? Json() : Json(shift(output, of_part[part].front())));
    moved.push_back(shifts);
  }
  for (std::size_t part = 0; part < of_part.size(); ++part) {
    if (!gives[part]) continue;
    for (const std::size_t output : outputs) {
      std::vector<double> low, high;
      for (const std::size_t k : of_part[part]) {
        low.push_back(m.fields.z_low[output * n + k]);
        high.push_back(m.fields.z_high[output * n + k]);
      }
      heights[std::to_string(part)].push_back({{"z_low", packed(low)}, {"z_high", packed(high)}});
    }
  }
  data["moved"] = std::move(moved);
  data["heights"] = std::move(heights);
}

/// "start of "sinter"", where an output is one.
std::string label_of(const Matter& m, double time) {
  for (const StoredHold& hold : m.results.summary.holds) {
    if (std::abs(hold.start_s - time) < 1e-6) return m.say("start of “{}”", hold.name);
    if (std::abs(hold.end_s - time) < 1e-6) return m.say("end of “{}”", hold.name);
  }
  return {};
}

Json cells_json(const Matter& m) {
  const StoredCells& cells = m.results.cells;
  std::string parts;
  for (const std::int32_t part : cells.part)
    for (const int shift : {16, 8, 0}) parts.push_back(static_cast<char>(part >> shift & 0xff));
  return {{"count", cells.part.size()},   {"part", {{"low", 0}, {"high", steps}, {"values", base64(parts)}}},
          {"r_low", packed(cells.r_low)}, {"r_high", packed(cells.r_high)},
          {"z_low", packed(cells.z_low)}, {"z_high", packed(cells.z_high)}};
}

Json history_json(const Matter& m) {
  Json holds = Json::array();
  for (const StoredHold& hold : m.results.summary.holds)
    holds.push_back({{"name", hold.name},
                     {"start", hold.start_s},
                     {"end", hold.end_s},
                     {"settled", hold.settled_from_s}});
  return {{"time", m.results.times}, {"holds", holds}, {"charts", charts_json(charts_of(m))}};
}

}  // namespace

std::vector<std::string> field_names(const Matter& m) {
  std::vector<std::string> names;
  for (const Shown& shown : shown_fields)
    if (useful(m, shown)) names.push_back(m.say(shown.name));
  return names;
}

std::vector<std::size_t> frames_of(const Matter& m) {
  std::size_t numbers = 0;  // of one output
  for (const Shown& shown : shown_fields)
    if (useful(m, shown))
      numbers +=
          cells_where(m, [&](std::int32_t part) { return !shown.powder_only || m.is_powder(part); }).size();
  const std::size_t outputs = m.fields.times.size(),
                    most = std::max<std::size_t>(2, room_for_fields / std::max<std::size_t>(1, 4 * numbers));
  std::vector<std::size_t> kept;
  for (std::size_t k = 0; k < outputs; ++k)
    if (outputs <= most || k == 0 || k + 1 == outputs || !label_of(m, m.fields.times[k]).empty())
      kept.push_back(k);
  // Then the one in the middle of the widest stretch of time, as long as there is room.
  while (kept.size() < std::min(most, outputs)) {
    std::size_t best = 0;
    double widest = -1.0;
    for (std::size_t k = 0; k < outputs; ++k) {
      if (std::find(kept.begin(), kept.end(), k) != kept.end()) continue;
      double nearest = INFINITY;
      for (const std::size_t other : kept)
        nearest = std::min(nearest, std::abs(m.fields.times[other] - m.fields.times[k]));
      if (nearest > widest) widest = nearest, best = k;
    }
    kept.insert(std::upper_bound(kept.begin(), kept.end(), best), best);
  }
  return kept;
}

nlohmann::json page_data(const Matter& m) {
  const std::vector<std::size_t> outputs = frames_of(m);
  Json data{{"language", m.say.tag()}, {"half", m.problem.half != nullptr}};
  data["parts"] = Json::array();
  for (std::size_t part = 0; part < m.problem.parts.size(); ++part)
    data["parts"].push_back({{"name", m.problem.parts[part].name},
                             {"material", m.problem.materials[m.problem.parts[part].material].name},
                             {"powder", m.is_powder(static_cast<int>(part))}});
  data["cells"] = cells_json(m);
  data["frames"] = Json::array();
  for (const std::size_t output : outputs)
    data["frames"].push_back(
        {{"time", m.fields.times[output]}, {"label", label_of(m, m.fields.times[output])}});
  add_heights(m, outputs, data);
  data["fields"] = Json::array();
  for (const Shown& shown : shown_fields)
    if (useful(m, shown)) data["fields"].push_back(field_json(m, shown, outputs));
  const std::vector<StoredHold>& holds = m.results.summary.holds;
  const std::size_t first = output_at(m.fields, holds.empty() ? m.fields.times.back() : holds.back().end_s);
  data["start"] = std::find(outputs.begin(), outputs.end(), first) - outputs.begin();
  data["field"] = 0;
  data["history"] = history_json(m);
  data["words"] = script_words(m.say);
  data["tables"] = {{"heat", Json::array()}, {"ground", Json::array()}};
  for (const figures::Rgb& colour : figures::heat_colours())
    data["tables"]["heat"].push_back(figures::hex(colour));
  for (const figures::Rgb& colour : figures::ground_colours())
    data["tables"]["ground"].push_back(figures::hex(colour));
  return data;
}

}  // namespace joulepress::tools::html
