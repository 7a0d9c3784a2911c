#include "cases/calibrate.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/many/edits.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "materials/scaling.hpp"

namespace joulepress::cases {
namespace {

/// Messages about a case lead to where it was written, also after its resolved text was read in its place.
void keep_places(const Case& written, Case& c) {
  const auto keep = [](const auto& from, auto& to) {
    for (std::size_t k = 0; k < std::min(from.size(), to.size()); ++k) to[k].written = from[k].written;
  };
  c.file = written.file;
  c.text = written.text;
  c.included = written.included;
  c.press.written = written.press.written;
  c.press.usual_sensor = written.press.usual_sensor;
  c.programme.written = written.programme.written;
  keep(written.column, c.column);
  keep(written.sleeves, c.sleeves);
  keep(written.foils, c.foils);
  keep(written.sensors, c.sensors);
  keep(written.programme.steps, c.programme.steps);
  keep(written.programme.pressure, c.programme.pressure);
  keep(written.programme.aborts, c.programme.aborts);
  keep(written.scales, c.scales);
}

const materials::Material* material_of(const Case& c, const std::string& name) {
  const auto found = std::find_if(c.materials.begin(), c.materials.end(),
                                  [&name](const materials::Material& m) { return m.name == name; });
  return found == c.materials.end() ? nullptr : &*found;
}

/// Whether the case has what a value is about.  Of a group inside a case an entry or a material that is not
/// there is a mistake; a key that has no value there (of ends without a film) never is.
bool has(const Case& c, const SourceNode& resolved, const std::string& address, const ReadValue& value,
         bool from_file, ErrorList& errors) {
  const CalibratedPlace& place = value.leads_to;
  if (!place.key) {
    const materials::Material* material = material_of(c, place.material);
    if (!material && !from_file)
      errors.add(value.at, address, fmt::format("The case has no material \"{}\".", place.material),
                 "Leave the value out.");
    return material && materials::has(*material, place.property);
  }
  ErrorList kept;
  if (!addressed(resolved, address, value.at, from_file ? kept : errors)) return false;
  return scalar_at(resolved, address) != nullptr;
}

/// `column[powder].mass` of a filled cavity.
const SourceNode* in_filling(const SourceNode& document, const std::string& address) {
  const SourceNode* fillings = child_of(document, "fillings");
  const std::size_t end = address.rfind("].");
  if (!fillings || !address.starts_with("column[") || end == std::string::npos) return nullptr;
  for (const SourceNode& filling : fillings->children)
    if (text_behind(filling, "in") == address.substr(7, end - 7))
      return scalar_at(filling, address.substr(end + 2));
  return nullptr;
}

const SourceNode* in_scales(const SourceNode& document, const CalibratedPlace& place) {
  const SourceNode* scales = child_of(document, "scales");
  if (!scales) return nullptr;
  for (const SourceNode& scale : scales->children)
    if (text_behind(scale, "of") == place.material && text_behind(scale, "property") == place.property)
      return child_of(scale, "factor");
  return nullptr;
}

/// Where the file of the case itself says the value; null: nowhere.
const SourceNode* own_words(const CaseSource& source, const std::string& address,
                            const CalibratedPlace& place) {
  if (!place.key) return in_scales(source.document, place);
  const std::string of_press = "press.";
  if (address.starts_with(of_press)) {
    // The ends of the column may stand beside the press.
    if (const SourceNode* node = scalar_at(source.document, address.substr(of_press.size()))) return node;
    if (source.other_press) return nullptr;
  }
  const SourceNode* node = scalar_at(source.document, address);
  return node ? node : in_filling(source.document, address);
}

std::string place_text(const Place& place) {
  return fmt::format("{}:{}:{}", std::filesystem::path(place.file).filename().string(), place.line,
                     place.column);
}

}  // namespace

void calibrate(Case& c, const ReadCalibration& read, const CaseSource& source, ErrorList& errors) {
  const std::size_t before = errors.size();
  const SourceNode resolved = resolved_document(c);
  Calibration calibration = read.calibration;
  for (CalibratedInput& input : calibration.inputs) input.values.clear();
  std::vector<Edit> edits;
  for (const ReadValue& value : read.values) {
    const CalibratedValue& its = read.calibration.inputs[value.input].values[value.value];
    // What was learned of one press says nothing of another; contacts and materials go with the tools.
    const bool of_other_press = source.other_press && !source.chosen && its.address.starts_with("press.");
    if (of_other_press || !has(c, resolved, its.address, value, read.from_file, errors)) {
      calibration.not_taken.push_back(its.address);
      continue;
    }
    calibration.inputs[value.input].values.push_back(its);
    if (!value.is) continue;
    if (const SourceNode* own = own_words(source, its.address, value.leads_to))
      errors.add(
          own->place, its.address,
          fmt::format("The case says it and so does its calibration ({}).", place_text(value.is->place)),
          "Leave one of the two out.");
    edits.push_back({its.address, *value.is, value.at});
  }
  if (errors.size() > before) return;
  if (!edits.empty()) {
    const SourceNode changed = edited(resolved, edits, errors);
    if (errors.size() > before) return;
    Case with = read_case(changed, source.folder, errors);
    if (errors.size() > before) return;
    keep_places(c, with);
    c = std::move(with);
  }
  std::vector<std::size_t> taken;
  for (std::size_t k = 0; k < calibration.inputs.size(); ++k)
    if (!calibration.inputs[k].values.empty()) taken.push_back(k);
  c.calibration = part_of(calibration, taken);
}

Calibration part_of(const Calibration& calibration, const std::vector<std::size_t>& inputs) {
  Calibration part = calibration;
  part.inputs.clear();
  part.correlation.clear();
  for (const std::size_t row : inputs) {
    part.inputs.push_back(calibration.inputs[row]);
    for (const std::size_t column : inputs)
      part.correlation.push_back(calibration.correlation[row * calibration.inputs.size() + column]);
  }
  return part;
}

double whole_factor(const Case& c, const std::string& material, const std::string& property) {
  double factor = 1.0;
  for (const MaterialScale& scale : c.scales)
    if (scale.material == material && scale.property == property) factor *= scale.factor;
  return factor;
}

std::optional<double> factor_left(const Case& c, const std::string& address) {
  if (c.calibration)
    for (const CalibratedInput& input : c.calibration->inputs)
      for (const CalibratedValue& value : input.values)
        if (value.address == address && value.factor > 0.0) return value.factor;
  return std::nullopt;
}

std::string logs_in_words(const Calibration& calibration) {
  std::string text;
  for (const CalibrationLog& log : calibration.logs) {
    std::string began = log.began;
    std::replace(began.begin(), began.end(), 'T', ' ');
    text += fmt::format("{}{}{}", text.empty() ? "" : ", ", log.file,
                        began.empty() ? "" : fmt::format(" (began {})", began));
  }
  return text;
}

}  // namespace joulepress::cases
