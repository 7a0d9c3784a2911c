#include "cases/reader/group_readers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace joulepress::cases {
namespace {

void require_not_negative(MapReader& map, double value) {
  if (value < 0.0)
    map.refuse("ramp to", fmt::format("\"{}\" is below zero.", map.find("ramp to")->text),
               "Write zero or a positive value.");
}

/// A step of temperature, current, voltage or power, whose kind is `kind`.
ProgrammeStep read_step(const SourceNode& node, Kind kind, ErrorList& errors) {
  MapReader map(node, "step", errors, kind);
  ProgrammeStep step;
  step.written = written_at(node);
  step.name = map.text("name");
  const bool ramp = map.find("ramp to"), hold = map.find("hold"), cool = map.find("cool");
  if (ramp + hold + cool != 1) {
    if (node.type == SourceNode::Type::map)
      errors.add(
          node.place, node.path, "A step is a ramp, a hold or a free cooling, one of them.",
          "Write `{ramp to: 1350 degC, rate: 100 degC/min}`, `{hold: 5 min}` or `{cool: free, for: 5 min}`.");
  } else if (ramp) {
    step.kind = ProgrammeStep::Kind::ramp;
    step.to = *map.amount_if_any("ramp to");
    require_not_negative(map, step.to);
    step.rate = map.amount_if_any("rate");
    step.duration = map.amount_if_any("in");
    if (step.rate && kind != Kind::temperature)
      map.refuse("rate", "A rate in degrees does not fit what is driven here.", "Write `in: 2 min` instead.");
    else if (step.rate.has_value() == step.duration.has_value())
      errors.add(
          node.place, node.path, "A ramp needs its rate or its time, one of them.",
          kind == Kind::temperature ? "Write `rate: 100 degC/min` or `in: 10 min`." : "Write `in: 2 min`.");
  } else if (hold) {
    step.kind = ProgrammeStep::Kind::hold;
    step.duration = map.amount("hold");
  } else {
    step.kind = ProgrammeStep::Kind::cool_free;
    map.text("cool");
    step.duration = map.amount("for");
  }
  const auto only = [&map](const char* key, bool fits, const char* what) {
    if (map.find(key) && !fits)
      map.refuse(key, fmt::format("\"{}\" belongs to {}.", key, what), "Leave it out.");
  };
  only("rate", ramp, "a ramp");
  only("in", ramp, "a ramp");
  only("for", cool, "a free cooling; a hold has its time behind `hold`");
  if (cool && !map.find("for")) map.refuse("for", "A free cooling needs its time.", "Add `for: 5 min`.");
  map.finish();
  return step;
}

ProgrammeStep read_pressure_step(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "pressure step", errors);
  ProgrammeStep step;
  step.written = written_at(node);
  step.name = map.text("name");
  const bool ramp = map.find("ramp to"), hold = map.find("hold");
  step.kind = ramp ? ProgrammeStep::Kind::ramp : ProgrammeStep::Kind::hold;
  step.to = map.amount(ramp ? "ramp to" : "hold");
  step.duration = map.amount_if_any(ramp ? "in" : "for");
  if (hold) {
    step.until = map.amount_if_any("until");
    step.until_start_of = map.text("until start of");
  }
  const int ends = step.duration.has_value() + step.until.has_value() + !step.until_start_of.empty();
  if (node.type == SourceNode::Type::map && (ramp == hold || ends != 1))
    errors.add(
        node.place, node.path, "A step of the pressure is a ramp with its time, or a hold with what ends it.",
        "Write `{ramp to: 50 MPa, in: 2 min}`, `{hold: 16 MPa, for: 2 min}`, `{hold: 16 MPa, until: 600 "
        "degC}` or `{hold: 16 MPa, until start of: sinter}`.");
  map.finish();
  return step;
}

/// The temperature after a free cooling is not known, so no ramp or hold of a temperature can follow.
void check_after_cooling(const std::vector<ProgrammeStep>& steps, const std::string& path,
                         ErrorList& errors) {
  for (std::size_t k = 1; k < steps.size(); ++k)
    if (steps[k - 1].kind == ProgrammeStep::Kind::cool_free &&
        steps[k].kind != ProgrammeStep::Kind::cool_free)
      errors.add(steps[k].written.place, path, "After a free cooling the temperature is not known.",
                 "Let the free cooling be the last step, or write a ramp down instead of it.");
}

/// Length of a step of the programme that begins at a value.
double length_of(const ProgrammeStep& step, double from) {
  return step.duration ? *step.duration : std::abs(step.to - from) / step.rate.value_or(1.0);
}

/// When the temperature programme first reaches a temperature; none: never.
std::optional<double> time_of(const Programme& programme, double start, double wanted) {
  double time = 0.0, value = start;
  for (const ProgrammeStep& step : programme.steps) {
    const double length = length_of(step, value);
    if (step.kind == ProgrammeStep::Kind::ramp) {
      const double low = std::min(value, step.to), high = std::max(value, step.to);
      if (wanted >= low && wanted <= high)
        return time + (high > low ? length * (wanted - value) / (step.to - value) : 0.0);
      value = step.to;
    }
    time += length;
  }
  return std::nullopt;
}

std::vector<std::string> names_of(const Programme& programme) {
  std::vector<std::string> names;
  for (const ProgrammeStep& step : programme.steps)
    if (!step.name.empty()) names.push_back(step.name);
  return names;
}

std::optional<double> start_of(const Programme& programme, double start, const std::string& name) {
  double time = 0.0, value = start;
  for (const ProgrammeStep& step : programme.steps) {
    if (step.name == name) return time;
    time += length_of(step, value);
    if (step.kind == ProgrammeStep::Kind::ramp) value = step.to;
  }
  return std::nullopt;
}

}  // namespace

void settle_pressure(Programme& programme, double start, ErrorList& errors) {
  double time = 0.0;
  for (ProgrammeStep& step : programme.pressure) {
    const char* key = step.until ? "until" : "until start of";
    if (step.until || !step.until_start_of.empty()) {
      const bool by_temperature = programme.driven == Programme::Driven::temperature;
      const std::optional<double> end = !step.until      ? start_of(programme, start, step.until_start_of)
                                        : by_temperature ? time_of(programme, start, *step.until)
                                                         : std::nullopt;
      if (!end)
        errors.add(
            step.written.at(key), step.written.path_of(key),
            step.until ? "The programme has no temperature that reaches this."
                       : fmt::format("No step of the programme is called \"{}\".", step.until_start_of),
            step.until ? "Give a temperature between start and highest of a temperature programme, or `for`."
                       : suggestion(step.until_start_of, names_of(programme)));
      else if (*end < time)
        errors.add(step.written.at(key), step.written.path_of(key),
                   fmt::format("That is at {:.0f} s, before this hold begins at {:.0f} s.", *end, time),
                   "Shorten what comes before it.");
      step.duration = end ? std::max(*end - time, 0.0) : 0.0;
    }
    time += step.duration.value_or(0.0);
  }
}

namespace {

CaseAbortRule read_abort_rule(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "abort rule", errors);
  CaseAbortRule rule;
  rule.written = written_at(node);
  rule.current = map.amount_if_any("current above");
  rule.voltage = map.amount_if_any("voltage above");
  rule.power = map.amount_if_any("power above");
  rule.reading = map.amount_if_any("reading above");
  rule.of = map.text("of");
  rule.until = map.amount_if_any("until");
  if (rule.current.has_value() + rule.voltage.has_value() + rule.power.has_value() +
              rule.reading.has_value() !=
          1 &&
      node.type == SourceNode::Type::map)
    errors.add(node.place, node.path, "A rule watches one quantity.",
               "Write `{current above: 2 kA}` or `{reading above: 1500 degC, of: die thermocouple}`.");
  if (!rule.of.empty() && !rule.reading)
    map.refuse("of", "Only a reading belongs to a sensor.", "Leave it out.");
  map.finish();
  return rule;
}

/// How the programme is followed.
void read_following(MapReader& map, Programme& programme) {
  programme.by_controller = map.text("follow") == "by the controller";
  programme.pulses = map.on("pulses");
  programme.thermoelectric = map.on("thermoelectric");
  if (const SourceNode* node = map.find("hand over")) {
    MapReader inner(*node, "hand over", map.errors());
    programme.hand_over_to = inner.text("to");
    programme.hand_over_at = inner.amount("at");
    inner.finish();
  }
  if (const SourceNode* node = map.find("start")) {
    MapReader inner(*node, "start", map.errors());
    programme.start_power = inner.amount("power");
    programme.start_until = inner.amount_if_any("until");
    inner.finish();
    if (!programme.by_controller && !programme.by_furnace)
      map.refuse("start", "A programme that is followed exactly begins at once.",
                 "Add `follow: by the controller`, or leave it out.");
  }
  if (const SourceNode* list = map.find("abort when"))
    for (const SourceNode& rule : items_of(*list, map.errors()))
      programme.aborts.push_back(read_abort_rule(rule, map.errors()));
}

/// What means nothing where a furnace heats.
void check_furnace(MapReader& map, Programme& programme) {
  if (programme.driven != Programme::Driven::temperature && !programme.steps.empty())
    map.refuse("heated by", "A furnace follows a programme of temperature.",
               "Give `temperature:`, or leave this out.");
  if (!programme.control.empty() && programme.control != furnace_name)
    map.refuse("control", "A furnace is controlled by its own reading, that of its wall.",
               "Leave it out; every sensor of the case is shown all the same.");
  programme.control = furnace_name;
  if (programme.by_controller)
    map.refuse("follow",
               "A controller sets a current, and in a furnace none flows: its wall is on the programme.",
               "Leave it out.");
  if (programme.pulses)
    map.refuse("pulses", "In a furnace no current flows that could be pulsed.", "Leave it out.");
  for (const char* key : {"hand over", "start"})
    if (map.find(key))
      map.refuse(key, "A furnace is controlled by its own reading from the start to the end.",
                 "Leave it out.");
  for (const ProgrammeStep& step : programme.steps)
    if (step.kind == ProgrammeStep::Kind::cool_free)
      map.errors().add(step.written.at("cool"), step.written.path_of("cool"),
                       "A furnace cools at its own rate, which the program does not know.",
                       "Write the rate it can cool at, as in `{ramp to: 200 degC, rate: 10 degC/min}`.");
  for (const CaseAbortRule& rule : programme.aborts)
    if (!rule.reading)
      map.errors().add(rule.written.place, rule.written.path,
                       "In a furnace no current flows, so that this never happens.",
                       "Leave it out, or watch a reading.");
}

}  // namespace

Programme read_programme(const SourceNode& node, const std::string& usual_sensor, ErrorList& errors) {
  MapReader map(node, "programme", errors);
  Programme programme;
  programme.written = written_at(node);
  programme.by_furnace = map.text("heated by") == furnace_name;
  programme.control = map.text("control");
  read_following(map, programme);
  struct Way {
    const char* key;
    Programme::Driven driven;
    Kind kind;
  };
  int ways = 0;
  for (const Way& way : {Way{"temperature", Programme::Driven::temperature, Kind::temperature},
                         Way{"current", Programme::Driven::current, Kind::current},
                         Way{"voltage", Programme::Driven::voltage, Kind::voltage},
                         Way{"power", Programme::Driven::power, Kind::power}}) {
    const SourceNode* steps = map.find(way.key);
    if (!steps) continue;
    ++ways;
    programme.driven = way.driven;
    for (const SourceNode& step : items_of(*steps, errors))
      programme.steps.push_back(read_step(step, way.kind, errors));
    if (steps->type == SourceNode::Type::sequence && steps->children.empty())
      errors.add(steps->place, steps->path, "The programme has no steps.",
                 "Write at least one ramp, hold or cooling.");
    if (way.driven == Programme::Driven::temperature)
      check_after_cooling(programme.steps, steps->path, errors);
  }
  if (ways != 1)
    errors.add(
        node.place, node.path,
        ways == 0 ? "The programme drives nothing." : "The programme drives several quantities at once.",
        "Give one of: temperature, current, voltage, power.");
  if (programme.by_furnace) check_furnace(map, programme);
  const bool of_temperature = programme.driven == Programme::Driven::temperature;
  if (!of_temperature && !programme.by_furnace)
    for (const char* key : {"hand over", "start"})
      if (map.find(key)) map.refuse(key, "It belongs to a programme of temperature.", "Leave it out.");
  if (!of_temperature && programme.by_controller && !programme.by_furnace)
    map.refuse("follow", "A controller follows a programme of temperature.", "Leave it out.");
  if (of_temperature && programme.control.empty()) programme.control = usual_sensor;
  if (of_temperature && programme.control.empty())
    errors.add(node.place, map.path_of("control"), "A temperature programme needs the sensor it runs on.",
               "Add `control: <sensor>`.");
  if (const SourceNode* pressure = map.find("pressure on powder"))
    for (const SourceNode& step : items_of(*pressure, errors))
      programme.pressure.push_back(read_pressure_step(step, errors));
  map.finish();
  return programme;
}

}  // namespace joulepress::cases
