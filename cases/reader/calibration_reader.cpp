#include "cases/reader/calibration_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>

#include "materials/scaling.hpp"
#include "solver/inverse/principal_directions.hpp"

namespace joulepress::cases {
namespace {

/// Correlations are written to the last bit; this forgives those who type them in.
constexpr double slack = 1e-8;  // own choice

/// "2026-03-02", with "T07:15" or "T07:15:30" behind it where the time is known; a blank serves as T.
bool is_iso_time(const std::string& text) {
  const std::string form = "dddd-dd-ddTdd:dd:dd";
  if (text.size() != 10 && text.size() != 16 && text.size() != 19) return false;
  for (std::size_t k = 0; k < text.size(); ++k) {
    const bool digit = std::isdigit(static_cast<unsigned char>(text[k])) != 0;
    if (form[k] == 'd' ? !digit : form[k] == 'T' ? text[k] != 'T' && text[k] != ' ' : text[k] != form[k])
      return false;
  }
  return true;
}

CalibrationLog read_log(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "calibration log", errors);
  CalibrationLog log;
  log.file = map.text("file");
  log.sha256 = map.text("sha256");
  log.began = map.text("began");
  log.case_title = map.text("case");
  if (!log.sha256.empty() &&
      (log.sha256.size() != 64 || log.sha256.find_first_not_of("0123456789abcdef") != std::string::npos))
    map.refuse("sha256", fmt::format("\"{}\" is no SHA-256.", log.sha256),
               "Write its 64 digits (`sha256sum FILE`), or leave it out.");
  if (!log.began.empty() && !is_iso_time(log.began))
    map.refuse("began", fmt::format("\"{}\" is no date and time by ISO 8601.", log.began),
               "Write it as in 2026-03-02T07:15, or leave it out.");
  map.finish();
  return log;
}

/// Reads the value behind `at`; nothing where its address leads nowhere.
std::optional<ReadValue> read_value(const SourceNode& node, CalibratedValue& value, ErrorList& errors) {
  MapReader map(node, "calibration value", errors);
  value.address = map.text("at");
  value.factor = map.amount_if_any("factor").value_or(0.0);
  const SourceNode *is = map.find("is"), *deviation = map.find("deviation");
  map.finish();
  if (!map.find("at")) return std::nullopt;
  const auto place = calibrated_place(value.address);
  if (!place) {
    map.refuse("at", fmt::format("\"{}\" is no key with a unit of its own.", value.address),
               "Write it as in `contacts.lateral.thermal` or `materials[isotropic graphite].resistivity`; "
               "`joulepress explain` lists all keys.");
    return std::nullopt;
  }
  if ((map.find("factor") != nullptr) == (deviation != nullptr))
    errors.add(node.place, node.path, "How unsure the value still is stands as a factor or as a deviation.",
               "Give one of them, e.g. `factor: 1.4` or `deviation: 3 K`.");
  if (deviation) {
    value.deviation = quantity_of(*deviation, place->kind_of_deviation(), errors);
    if (!(value.deviation >= 0.0))
      map.refuse("deviation", fmt::format("\"{}\" is below 0.", deviation->text), "Give its size.");
  }
  ReadValue read;
  read.leads_to = *place;
  read.at = map.find("at")->place;
  if (is) {
    const Key* key = place->key ? place->key : find_key("scale", "factor");
    const Quantity quantity = value_of(*key, place->kind(), text_of(*is, errors));
    if (is->type == SourceNode::Type::scalar && !quantity.good())
      errors.add(is->place, is->path, quantity.problem, quantity.remedy);
    read.is = *is;
  }
  return read;
}

void read_inputs(const SourceNode& list, ReadCalibration& read, ErrorList& errors) {
  std::set<std::string> names, addresses;
  for (const SourceNode& node : items_of(list, errors)) {
    MapReader map(node, "calibration input", errors);
    CalibratedInput input;
    input.name = map.text("name");
    input.left = map.amount("left");
    const SourceNode* values = map.find("values");
    map.finish();
    if (!names.insert(input.name).second)
      map.refuse("name", fmt::format("Two inputs are called \"{}\".", input.name),
                 "Give each input its own name.");
    if (values)
      for (const SourceNode& entry : items_of(*values, errors)) {
        CalibratedValue value;
        if (auto known = read_value(entry, value, errors)) {
          if (!addresses.insert(value.address).second)
            errors.add(known->at, entry.path, fmt::format("\"{}\" stands here twice.", value.address),
                       "A value has one input; leave one of them out.");
          known->input = read.calibration.inputs.size();
          known->value = input.values.size();
          read.values.push_back(std::move(*known));
        }
        input.values.push_back(std::move(value));
      }
    if (values && values->type == SourceNode::Type::sequence && input.values.empty())
      map.refuse("values", "The input moves nothing.", "Add a value, or leave the input out.");
    read.calibration.inputs.push_back(std::move(input));
  }
}

/// Why a matrix is no correlation, and in which row; empty: it is one.
std::string why_none(const inverse::Table& matrix, int& row) {
  for (row = 0; row < matrix.rows; ++row) {
    if (!(std::abs(matrix(row, row) - 1.0) <= slack))
      return fmt::format("On the diagonal stands {:g}, not 1.", matrix(row, row));
    for (int column = 0; column < row; ++column) {
      if (!(std::abs(matrix(row, column) - matrix(column, row)) <= slack))
        return fmt::format("It is not symmetric: {:g} here, {:g} across the diagonal.", matrix(row, column),
                           matrix(column, row));
      if (!(std::abs(matrix(row, column)) <= 1.0 + slack))
        return fmt::format("A correlation lies between -1 and 1; here stands {:g}.", matrix(row, column));
    }
  }
  row = 0;
  const inverse::Directions directions = inverse::principal_directions(matrix);
  if (!directions.variances.empty() && !(directions.variances.back() >= -slack))
    return fmt::format("The correlations contradict each other: a sum of the inputs has the variance {:.2g}.",
                       directions.variances.back());
  return {};
}

void read_correlation(const SourceNode& rows, Calibration& calibration, ErrorList& errors) {
  const std::size_t n = calibration.inputs.size();
  const auto refuse = [&](const SourceNode& node, const std::string& problem) {
    errors.add(
        node.place, node.path, problem,
        fmt::format("Write {0} rows of {0} numbers, in the order of the inputs, as a fit leaves them.", n));
  };
  const std::size_t before = errors.size();
  const std::vector<SourceNode>& given = items_of(rows, errors);
  if (errors.size() > before) return;
  if (given.size() != n)
    return refuse(rows, fmt::format("{0} inputs want {0} rows; here are {1}.", n, given.size()));
  inverse::Table matrix(static_cast<int>(n), static_cast<int>(n));
  for (std::size_t i = 0; i < n; ++i) {
    const SourceNode& row = given[i];
    if (row.type != SourceNode::Type::sequence || row.children.size() != n)
      return refuse(
          row, fmt::format("{0} inputs want {0} numbers in a row; here are {1}.", n, row.children.size()));
    for (std::size_t j = 0; j < n; ++j)
      matrix(static_cast<int>(i), static_cast<int>(j)) = quantity_of(row.children[j], Kind::ratio, errors);
  }
  if (errors.size() > before) return;
  int row = 0;
  const std::string why = why_none(matrix, row);
  if (!why.empty()) return refuse(given[static_cast<std::size_t>(row)], why);
  calibration.correlation = matrix.values;
}

}  // namespace

Kind CalibratedPlace::kind_of_deviation() const {
  return kind() == Kind::temperature ? Kind::temperature_difference : kind();
}

std::optional<CalibratedPlace> calibrated_place(const std::string& address) {
  CalibratedPlace place;
  const std::size_t end = address.rfind("].");
  if (address.starts_with("materials[") && end != std::string::npos) {
    place.material = address.substr(10, end - 10);
    place.property = address.substr(end + 2);
    const std::vector<std::string> known = materials::scalable();
    if (std::find(known.begin(), known.end(), place.property) == known.end()) return std::nullopt;
    return place;
  }
  place.key = key_of_case(address);
  if (!place.key || (place.key->holds & Holds::quantity) == 0 || !place.key->kind) return std::nullopt;
  return place;
}

ReadCalibration read_calibration(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "calibration", errors);
  ReadCalibration read;
  read.calibration.written = written_at(node);
  if (const SourceNode* logs = map.find("logs"))
    for (const SourceNode& log : items_of(*logs, errors))
      read.calibration.logs.push_back(read_log(log, errors));
  if (const SourceNode* inputs = map.find("inputs")) read_inputs(*inputs, read, errors);
  const SourceNode* correlation = map.find("correlation");
  map.finish();
  const std::size_t n = read.calibration.inputs.size();
  read.calibration.correlation.assign(n * n, 0.0);
  for (std::size_t k = 0; k < n; ++k) read.calibration.correlation[k * (n + 1)] = 1.0;
  if (correlation) read_correlation(*correlation, read.calibration, errors);
  return read;
}

}  // namespace joulepress::cases
