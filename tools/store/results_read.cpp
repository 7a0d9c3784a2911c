#include "tools/store/results_read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cases/reader/input_error.hpp"
#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"

namespace joulepress::tools {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

constexpr const char* summary_schema = "joulepress.summary/1";
constexpr const char* results_format = "joulepress.results/1";

/// NaN for null and for keys that are not there: later versions add keys.
double number(const Json& json, const char* key) {
  const auto found = json.find(key);
  return found == json.end() || found->is_null() ? not_there : found->get<double>();
}

/// Empty for null.
std::string text(const Json& json, const char* key) {
  const auto found = json.find(key);
  return found == json.end() || found->is_null() ? std::string() : found->get<std::string>();
}

StoredBody body_of(const Json& json) {
  return {.name = text(json, "name"),
          .mean_K = number(json, "mean_K"),
          .centre_K = number(json, "centre_K"),
          .edge_K = number(json, "edge_K"),
          .min_K = number(json, "min_K"),
          .max_K = number(json, "max_K"),
          .offset_mean_K = number(json, "offset_mean_K")};
}

/// An object, or an empty one where it is null or not there.
Json object(const Json& json, const char* key) {
  const auto found = json.find(key);
  return found != json.end() && found->is_object() ? *found : Json::object();
}

StoredStroke stroke_of(const Json& json) {
  return {.total_m = number(json, "total_m"),
          .densification_m = number(json, "densification_m"),
          .elastic_m = number(json, "elastic_m"),
          .frame_m = number(json, "frame_m"),
          .growth_m = number(json, "growth_m"),
          .foil_m = number(json, "foil_m")};
}

StoredDensification densification_of(const Json& json) {
  StoredDensification body;
  body.name = text(json, "name");
  body.held_reason = text(json, "held_reason");
  body.start_density = number(json, "start_density");
  body.end_density = number(json, "end_density");
  body.end_density_min = number(json, "end_density_min");
  body.end_density_max = number(json, "end_density_max");
  for (const Json& at : json.value("reached", Json::array()))
    body.reached_s[number(at, "density")] = number(at, "time_s");
  body.dense_s = number(object(json, "dense"), "time_s");
  return body;
}

StoredHold hold_of(const Json& json) {
  StoredHold hold;
  hold.name = text(json, "name");
  hold.start_s = number(json, "start_s");
  hold.end_s = number(json, "end_s");
  hold.settled_from_s = number(json, "settled_from_s");
  hold.sensor_K = number(json, "sensor_K");
  hold.sensor_material_K = number(json, "sensor_material_K");
  hold.sample_mean_K = number(json, "sample_mean_K");
  hold.sample_centre_K = number(json, "sample_centre_K");
  hold.sample_edge_K = number(json, "sample_edge_K");
  hold.sample_min_K = number(json, "sample_min_K");
  hold.sample_max_K = number(json, "sample_max_K");
  hold.offset_mean_K = number(json, "offset_mean_K");
  hold.offset_field_K = number(json, "offset_field_K");
  hold.sensor_error_K = number(json, "sensor_error_K");
  hold.offset_start_K = number(json, "offset_start_K");
  hold.offset_end_K = number(json, "offset_end_K");
  hold.control_sensor = text(json, "control_sensor");
  hold.set_K = number(json, "set_K");
  if (const Json parts = object(json, "offset_parts_K"); !parts.empty()) {
    hold.parts.emplace();
    for (const solver::OffsetTerm& term : solver::offset_terms)
      if (parts.contains(term.key)) (*hold.parts).*term.value = number(parts, term.key);
  }
  hold.current_A = number(json, "current_A");
  hold.voltage_V = number(json, "voltage_V");
  hold.power_W = number(json, "power_W");
  hold.current_share_powder = number(json, "current_share_powder");
  hold.relative_density_mean = number(json, "relative_density_mean");
  hold.relative_density_end_mean = number(json, "relative_density_end_mean");
  hold.relative_density_end_min = number(json, "relative_density_end_min");
  hold.relative_density_end_max = number(json, "relative_density_end_max");
  hold.stroke = stroke_of(object(json, "stroke"));
  for (const Json& body : json.value("powders", Json::array())) hold.powders.push_back(body_of(body));
  return hold;
}

StoredSummary summary_of(const Json& json) {
  StoredSummary s;
  s.status = text(json, "status");
  s.reason = text(json, "reason");
  s.version = text(json, "version");
  s.title = text(json, "title");
  s.case_sha256 = text(json, "case_sha256");
  s.control_sensor = text(json, "control_sensor");
  s.cells = number(json, "cells");
  s.steps = number(json, "steps");
  s.charge_balance_relative = number(json, "charge_balance_relative");
  s.energy_balance_relative = number(json, "energy_balance_relative");
  s.warnings = json.at("warnings").get<std::vector<std::string>>();
  s.not_modelled = json.value("not_modelled", std::vector<std::string>());
  for (const Json& interval : json.at("drive_limited"))
    (text(interval, "mode") == "off" ? s.too_fast_s : s.at_limit_s) +=
        number(interval, "end_s") - number(interval, "start_s");
  s.end_s = number(json.at("end"), "time_s");
  const Json& peak = json.at("peak");
  s.powder_max_K = number(peak, "powder_max_K");
  s.powder_max_s = number(peak, "powder_time_s");
  s.tool_max_K = number(peak, "tool_max_K");
  s.tool_max_s = number(peak, "tool_time_s");
  s.tool_part = text(peak, "tool_part");
  s.tool_r_m = number(peak, "tool_r_m");
  s.tool_z_m = number(peak, "tool_z_m");
  const Json& energy = json.at("energy_J");
  s.electric_J = number(energy, "electric");
  s.radiation_J = number(energy, "radiation");
  s.films_J = number(energy, "films");
  s.fixed_surfaces_J = number(energy, "fixed_surfaces");
  s.stored_J = number(energy, "stored");
  s.press_work_J = number(json, "press_work_J");
  const Json densification = object(json, "densification");
  for (const Json& body : densification.value("bodies", Json::array()))
    s.densification.push_back(densification_of(body));
  s.moved_in_s = number(object(densification, "current_moved_in"), "time_s");
  s.stroke = stroke_of(object(json, "stroke"));
  for (const Json& hold : json.at("holds")) s.holds.push_back(hold_of(hold));
  s.strength = strength_of(json);
  if (s.strength && s.strength->worst) s.tool_margin = s.strength->worst->margin;
  if (s.strength && s.strength->grip) s.push_out_N = s.strength->grip->push_out_N;
  return s;
}

StoredSummary read_summary(const fs::path& file, const std::string& bytes) {
  const Json json = Json::parse(bytes, nullptr, false);
  if (!json.is_object())
    throw FileError(fmt::format("\"{}\" cannot be read: it is not JSON or damaged.", file.string()));
  const Json schema = json.value("schema", Json());
  if (schema != summary_schema)
    throw NoResults(fmt::format("\"{}\" has {}; this joulepress reads {}.", file.string(),
                                schema.is_string() ? "the schema " + schema.get<std::string>() : "no schema",
                                summary_schema));
  try {
    return summary_of(json);
  } catch (const Json::exception& problem) {
    throw FileError(fmt::format("\"{}\" is damaged: {}.", file.string(), problem.what()));
  }
}

/// The members of `results` that stand in results.h5.
void read_h5(const fs::path& path, StoredResults& results) {
  const h5::File file = h5::File::open(path);
  if (const std::string format = file.text_attribute("/", "format"); format != results_format)
    throw NoResults(fmt::format("\"{}\" has the format {}; this joulepress reads {}.", path.string(), format,
                                results_format));
  if (file.text_attribute("/", "case_sha256") != results.summary.case_sha256)
    throw NoResults(
        fmt::format("\"{}\" is of another case than the summary.json beside it; run the case again with "
                    "--replace.",
                    path.string()));
  for (const std::string& text : file.texts("/case")) results.case_text = text;
  StoredCells& cells = results.cells;
  cells.r_low = file.numbers("/mesh/r_low");
  cells.r_high = file.numbers("/mesh/r_high");
  cells.z_low = file.numbers("/mesh/z_low");
  cells.z_high = file.numbers("/mesh/z_high");
  cells.part = file.integers("/mesh/part");
  cells.part_names = file.texts("/mesh/part_names");
  results.field_times = file.numbers("/fields/time");
  results.temperatures = file.numbers("/fields/temperature");
  results.times = file.numbers("/history/time");
  for (const std::string& name : file.names("/history"))
    if (name != "time" && file.has_attribute("/history/" + name, "unit"))
      results.history.push_back({name, file.numbers("/history/" + name)});

  const std::size_t n = cells.part.size();
  bool fits = !results.case_text.empty() && results.temperatures.size() == n * results.field_times.size();
  for (const auto* edges : {&cells.r_low, &cells.r_high, &cells.z_low, &cells.z_high})
    fits = fits && edges->size() == n;
  for (const std::int32_t part : cells.part)
    fits = fits && part >= 0 && static_cast<std::size_t>(part) < cells.part_names.size();
  for (const StoredColumn& column : results.history)
    fits = fits && column.values.size() == results.times.size();
  if (!fits)
    throw FileError(fmt::format("\"{}\" is damaged: its data sets do not fit together.", path.string()));
}

/// Folders with results beside one that is not there.
std::vector<std::string> neighbours(const fs::path& folder) {
  std::vector<std::string> names;
  std::error_code problem;
  const fs::path parent = folder.has_parent_path() ? folder.parent_path() : fs::path(".");
  for (const auto& entry : fs::directory_iterator(parent, problem))
    if (fs::exists(entry.path() / "summary.json", problem)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

void require_results(const fs::path& folder) {
  const std::string name = folder.string();
  std::error_code problem;
  if (!fs::exists(folder, problem)) {
    const std::vector<std::string> others = neighbours(folder);
    throw NoResults(fmt::format("There is no folder \"{}\". {}", name,
                                others.empty() ? "Give the one that `joulepress run CASE --out` named."
                                               : cases::suggestion(folder.filename().string(), others)));
  }
  if (!fs::is_directory(folder, problem))
    throw NoResults(fmt::format("\"{}\" is a file; give the folder of a run.", name));
  if (!fs::exists(folder / "summary.json", problem)) {
    if (fs::exists(folder / "results.h5.part", problem))
      throw NoResults(fmt::format(
          "The run in \"{0}\" has not ended: wait for it or, when it was killed, go on with `joulepress run "
          "CASE --out {0} --resume`.",
          name));
    throw NoResults(fmt::format(
        "\"{0}\" holds no results (no summary.json); make some with `joulepress run CASE --out {0}`.", name));
  }
  if (!fs::exists(folder / "results.h5", problem))
    throw NoResults(
        fmt::format("\"{}\" has a summary.json but no results.h5; run the case again with --replace.", name));
}

}  // namespace

const std::vector<double>* StoredResults::column(std::string name) const {
  std::replace(name.begin(), name.end(), '/', '_');
  const auto found = std::find_if(history.begin(), history.end(),
                                  [&](const StoredColumn& column) { return column.name == name; });
  return found == history.end() ? nullptr : &found->values;
}

StoredResults read_results(const fs::path& given) {
  // "out/a/" and "out/a" are the same folder.
  const fs::path folder = given.has_filename() || !given.has_parent_path() ? given : given.parent_path();
  require_results(folder);
  StoredResults results;
  const std::string summary = read_whole(folder / "summary.json");
  results.summary = read_summary(folder / "summary.json", summary);
  results.fingerprint = sha256(summary) + sha256(read_whole(folder / "results.h5"));
  read_h5(folder / "results.h5", results);
  return results;
}

}  // namespace joulepress::tools
