#include "cases/reader/calibration_writer.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/calibrate.hpp"
#include "cases/many/edits.hpp"
#include "cases/reader/case_writer.hpp"

namespace joulepress::cases {
namespace {

/// With the unit in which values of a kind are held behind it; a plain number has none.
std::string with_unit(double value, Kind kind) {
  const std::string unit = si_unit(kind);
  return unit.empty() ? fmt::format("{}", value) : fmt::format("{} {}", value, unit);
}

std::string spread_text(const CalibratedValue& value) {
  if (value.factor > 0.0) return fmt::format("factor: {}", value.factor);
  const auto place = calibrated_place(value.address);
  return "deviation: " + with_unit(value.deviation, place ? place->kind_of_deviation() : Kind::ratio);
}

std::string log_text(const CalibrationLog& log) {
  const auto entry = [](const char* key, const std::string& text) {
    return text.empty() ? std::string() : fmt::format(", {}: {}", key, quoted(text));
  };
  return fmt::format("- {{file: {}{}{}{}}}", quoted(log.file), entry("sha256", log.sha256),
                     entry("began", log.began), entry("case", log.case_title));
}

/// `is`: what stands at an address, to be written beside its spread; empty: nothing is.
template <class Is>
std::string group_text(const Calibration& calibration, const std::string& indent, const Is& is) {
  std::string text = indent + "logs:" + (calibration.logs.empty() ? " []\n" : "\n");
  for (const CalibrationLog& log : calibration.logs) text += indent + "  " + log_text(log) + "\n";
  text += indent + "inputs:" + (calibration.inputs.empty() ? " []\n" : "\n");
  for (const CalibratedInput& input : calibration.inputs) {
    text += fmt::format("{0}  - name: {1}\n{0}    left: {2}\n{0}    values:\n", indent, quoted(input.name),
                        input.left);
    for (const CalibratedValue& value : input.values) {
      const std::string known = is(value.address);
      text += fmt::format("{}      - {{at: {}, {}{}}}\n", indent, quoted(value.address),
                          known.empty() ? "" : fmt::format("is: {}, ", known), spread_text(value));
    }
  }
  const std::size_t n = calibration.inputs.size();
  if (n == 0) return text;
  text += indent + "correlation:\n";
  for (std::size_t row = 0; row < n; ++row) {
    text += indent + "  - [";
    for (std::size_t column = 0; column < n; ++column)
      text += fmt::format("{}{}", column ? ", " : "", calibration.correlation[row * n + column]);
    text += "]\n";
  }
  return text;
}

/// What goes with a press from case to case.
bool belongs_to_press(const CalibratedValue& value) {
  constexpr const char* groups[]{"contacts.", "press.", "column ends.", "materials["};
  return std::any_of(std::begin(groups), std::end(groups),
                     [&value](const char* group) { return value.address.starts_with(group); });
}

/// A comment stays on its line.
std::string on_one_line(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
  return text;
}

}  // namespace

std::string calibration_text(const Calibration& calibration) {
  return "calibration:\n" + group_text(calibration, "  ", [](const std::string&) { return std::string(); });
}

std::string calibration_file(const Case& calibrated) {
  if (!calibrated.calibration) return {};
  const Calibration& whole = *calibrated.calibration;
  std::vector<std::size_t> kept;
  for (std::size_t k = 0; k < whole.inputs.size(); ++k)
    if (std::all_of(whole.inputs[k].values.begin(), whole.inputs[k].values.end(), belongs_to_press))
      kept.push_back(k);
  std::string text =
      "# What measured runs taught about a press and its materials.  A case on that press names this file:\n"
      "#   calibration: FILE\n";
  for (const CalibrationLog& log : whole.logs)
    text += on_one_line(fmt::format(
                "# learned from {}{}{}", log.file, log.began.empty() ? "" : ", began " + log.began,
                log.case_title.empty() ? "" : fmt::format(", held against \"{}\"", log.case_title))) +
            "\n";
  ErrorList errors;
  const SourceNode resolved = parse_document(calibrated.file, resolved_case(calibrated), errors);
  errors.throw_if_any();
  return text + group_text(part_of(whole, kept), "", [&](const std::string& address) {
           const auto place = calibrated_place(address);
           if (place && !place->key)
             return fmt::format("{}", whole_factor(calibrated, place->material, place->property));
           return value_at(resolved, address).value_or("");
         });
}

}  // namespace joulepress::cases
