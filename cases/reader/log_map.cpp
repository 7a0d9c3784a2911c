#include "cases/reader/log_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/reader/log_headings.hpp"
#include "cases/reader/source_node.hpp"
#include "materials/fixed_points.hpp"

namespace joulepress::cases {
namespace {

SaidWord word_of(MapReader& map, const char* key) {
  SaidWord said;
  const SourceNode* node = map.find(key);
  if (!node) return said;
  said.text = map.text(key);
  said.place = node->place;
  return said;
}

void read_time(const SourceNode& node, LogMap& map, ErrorList& errors) {
  MapReader time(node, "log time", errors);
  map.time.column = word_of(time, "column");
  map.time.date = word_of(time, "date");
  map.time.written_as = word_of(time, "written as");
  map.time.order = word_of(time, "order");
  time.finish();
}

MappedColumn read_column(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "log column", errors);
  MappedColumn column;
  column.written = written_at(node);
  column.heading = map.text("heading");
  if (map.find("number")) column.number = map.whole("number");
  if (column.heading.empty() == (column.number == 0) && node.type == SourceNode::Type::map)
    map.refuse("heading",
               column.number ? "The column is given by its heading and by its number."
                             : "Nothing says which column this is.",
               "Give one: `heading:`, or `number:` counted from 1.");
  column.is = word_of(map, "is");
  column.unit = word_of(map, "unit");
  column.shows = word_of(map, "shows");
  column.open_above = map.amount_if_any("open above");
  column.sees_from = map.amount_if_any("sees from");
  if (const SourceNode* range = map.find("valid")) {
    MapReader valid(*range, "log column range", errors);
    column.has_range = true;
    column.valid_from = valid.amount_if_any("from");
    column.valid_to = valid.amount_if_any("to");
    if (range->type == SourceNode::Type::map && !column.valid_from && !column.valid_to)
      valid.refuse("from", "The range has no bound.", "Give `from:`, `to:` or both.");
    if (column.valid_from && column.valid_to && !(*column.valid_from < *column.valid_to))
      valid.refuse("to", "The range ends where it begins, or before.",
                   "Write the lower bound behind `from:`.");
    valid.finish();
  }
  column.reversed = map.text("sign") == "reversed";
  column.zero_at_start = map.text("zero") == "at start";
  map.finish();
  return column;
}

/// What is to be known of a pure metal that carbon touches.
std::string carbon_remark(const materials::FixedPoint& metal) {
  const materials::FixedPoint& beside = *materials::find_fixed_point(metal.beside_carbon);
  const double lower = metal.temperature - beside.temperature;
  const std::string kept = "write `kept from carbon: yes` if it was in a crucible that keeps carbon away";
  if (metal.carbide)
    return fmt::format(
        "In touch with graphite {0} takes up carbon and becomes a carbide, which melts with carbon at "
        "{1:.1f} "
        "degC, {2:.0f} K {3} its own {4:.1f} degC: the metal is no mark there. If the carbide melted, write "
        "`melts: {5}`; {6}.",
        metal.name, in_celsius(beside.temperature), std::abs(lower), lower > 0.0 ? "below" : "above",
        in_celsius(metal.temperature), beside.name, kept);
  return fmt::format(
      "In touch with graphite {0} melts with carbon at {1:.1f} degC, {2:.0f} K below its own {3:.1f} degC: "
      "write `melts: {4}`; {5}.",
      metal.name, in_celsius(beside.temperature), lower, in_celsius(metal.temperature), beside.name, kept);
}

bool begins_with_number(const std::string& text) {
  return !text.empty() && (text.find_first_of("0123456789") == 0 || (text[0] == '-' && text.size() > 1));
}

void read_melted(MapReader& map, MeltEvent& melt, bool kept_from_carbon, LogMap& log) {
  if (melt.melts.empty()) return;
  if (begins_with_number(melt.melts)) {
    const Quantity quantity = parse_quantity(melt.melts, Kind::temperature);
    if (!quantity.good()) map.refuse("melts", quantity.problem, quantity.remedy);
    melt.temperature = quantity.value;
    if (kept_from_carbon)
      map.refuse("kept from carbon", "A temperature is taken as it stands.", "Leave it out.");
    return;
  }
  const materials::FixedPoint* point = materials::find_fixed_point(melt.melts);
  if (!point) {
    std::vector<std::string> known;
    for (const materials::FixedPoint& p : materials::fixed_points()) known.emplace_back(p.name);
    map.refuse("melts", fmt::format("\"{}\" is no fixed point that is known.", melt.melts),
               suggestion(melt.melts, known) + " Or write its temperature in degC.");
    return;
  }
  melt.temperature = point->temperature;
  if (point->beside_carbon.empty()) {
    if (kept_from_carbon)
      map.refuse("kept from carbon", fmt::format("It changes nothing for {}.", point->name), "Leave it out.");
  } else if (!kept_from_carbon) {
    log.remarks.push_back(carbon_remark(*point));
  }
}

MeltEvent read_melt(const SourceNode& node, LogMap& log, ErrorList& errors) {
  MapReader map(node, "melt event", errors);
  MeltEvent melt;
  melt.written = written_at(node);
  melt.melts = map.text("melts");
  melt.at = map.amount_if_any("at");
  const bool seen = map.find("when") || map.find("reads");
  melt.sensor = map.text("when");
  melt.reading = map.amount("reads");
  melt.deviation = map.amount("deviation");
  read_melted(map, melt, map.on("kept from carbon"), log);
  if (node.type == SourceNode::Type::map) {
    if (melt.at && seen)
      map.refuse("at", "The moment is given twice: by its time and by a reading.", "Leave one of them out.");
    else if (!melt.at && !seen)
      map.refuse("at", "Nothing says when it melted.",
                 "Give the moment, `at: 512 s`, or a reading, `when: die thermocouple, reads: 1010 degC`.");
    else if (seen && !(map.find("when") && map.find("reads")))
      map.refuse(map.find("when") ? "reads" : "when", "`when` and `reads` go together.",
                 "Give the sensor behind `when:` and what it read behind `reads:`.");
  }
  map.finish();
  return melt;
}

char separator_called(const std::string& name) {
  return name == "comma" ? ',' : name == "semicolon" ? ';' : name == "tab" ? '\t' : '\0';
}

}  // namespace

LogMap read_log_map(const std::filesystem::path& file, ErrorList& errors) {
  LogMap log;
  log.file = file.string();
  const auto document = load_document(file, {}, errors);
  if (!document) return log;
  MapReader map(*document, "log", errors);
  map.text("format");
  map.text("note");
  log.encoding = encoding_called(map.text("encoding"));
  log.separator = separator_called(map.text("separator"));
  const std::string decimal = map.text("decimal");
  log.decimal = decimal == "comma" ? ',' : decimal == "point" ? '.' : '\0';
  if (const SourceNode* node = map.find("headings")) {
    log.headings = map.whole("headings");
    log.headings_place = node->place;
  }
  if (const SourceNode* node = map.find("time")) read_time(*node, log, errors);
  if (const SourceNode* list = map.find("columns"))
    for (const SourceNode& item : items_of(*list, errors)) log.columns.push_back(read_column(item, errors));
  if (const SourceNode* list = map.find("events"))
    for (const SourceNode& item : items_of(*list, errors)) log.melts.push_back(read_melt(item, log, errors));
  map.finish();
  return log;
}

std::filesystem::path map_beside(const std::filesystem::path& log, std::vector<std::string>& remarks) {
  std::filesystem::path beside = log;
  beside.replace_extension(".yaml");
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(beside, ignored)) return {};
  ErrorList faults;
  const auto document = load_document(beside, {}, faults);
  const auto is_case_key = [](const std::string& key) {
    return find_key("case", key) && !find_key("log", key);
  };
  if (document && std::any_of(document->keys.begin(), document->keys.end(), is_case_key)) {
    remarks.push_back(
        fmt::format("\"{}\" beside the log is no map of it: it has keys of a case.", beside.string()));
    return {};
  }
  return beside;
}

}  // namespace joulepress::cases
