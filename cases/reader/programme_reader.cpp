#include "cases/reader/group_readers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace joulepress::cases {
namespace {

ProgrammeStep read_step(const SourceNode& node, Kind kind, bool pressure, ErrorList& errors) {
  MapReader map(node, errors);
  ProgrammeStep step;
  step.place = node.place;
  step.name = map.text("name").value_or("");
  if (map.find("ramp to")) {
    step.kind = ProgrammeStep::Kind::ramp;
    step.to = map.need_quantity("ramp to", kind);
    require_not_negative(*map.find("ramp to"), step.to, errors);
    if (kind == Kind::temperature) step.rate = positive_if_any(map, "rate", Kind::temperature_rate);
    step.duration = positive_if_any(map, "in", Kind::time);
    if (step.rate.has_value() == step.duration.has_value())
      errors.add(
          node.place, node.path, "A ramp needs its rate or its time, one of them.",
          kind == Kind::temperature ? "Write `rate: 100 degC/min` or `in: 10 min`." : "Write `in: 2 min`.");
  } else if (map.find("hold")) {
    step.kind = ProgrammeStep::Kind::hold;
    if (pressure) {
      step.to = map.need_quantity("hold", kind);
      require_not_negative(*map.find("hold"), step.to, errors);
      step.duration = positive(map, "for", Kind::time);
    } else {
      step.duration = positive(map, "hold", Kind::time);
    }
  } else if (map.find("cool") && !pressure) {
    step.kind = ProgrammeStep::Kind::cool_free;
    const std::string how = map.need_text("cool");
    if (how != "free")
      errors.add(map.find("cool")->place, map.path_of("cool"),
                 fmt::format("Cooling \"{}\" is not known.", how),
                 "Write `cool: free` (current off), or a ramp.");
    step.duration = positive(map, "for", Kind::time);
  } else if (node.type == SourceNode::Type::map) {
    errors.add(
        node.place, node.path, "A step is a ramp, a hold or a free cooling.",
        "Write `{ramp to: 1350 degC, rate: 100 degC/min}`, `{hold: 5 min}` or `{cool: free, for: 5 min}`.");
    return step;
  }
  map.finish();
  return step;
}

/// The temperature after a free cooling is not known, so no ramp or hold of a temperature can follow.
void check_after_cooling(const std::vector<ProgrammeStep>& steps, const std::string& path,
                         ErrorList& errors) {
  for (std::size_t k = 1; k < steps.size(); ++k)
    if (steps[k - 1].kind == ProgrammeStep::Kind::cool_free &&
        steps[k].kind != ProgrammeStep::Kind::cool_free)
      errors.add(steps[k].place, path, "After a free cooling the temperature is not known.",
                 "Let the free cooling be the last step, or write a ramp down instead of it.");
}

}  // namespace

Programme read_programme(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  Programme programme;
  programme.place = node.place;
  programme.control = map.text("control").value_or("");
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
      programme.steps.push_back(read_step(step, way.kind, false, errors));
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
  if (programme.driven == Programme::Driven::temperature && programme.control.empty())
    errors.add(node.place, map.path_of("control"), "A temperature programme needs the sensor it runs on.",
               "Add `control: <sensor>`.");
  if (const SourceNode* pressure = map.find("pressure on powder"))
    for (const SourceNode& step : items_of(*pressure, errors))
      programme.pressure.push_back(read_step(step, Kind::pressure, true, errors));
  map.finish();
  return programme;
}

}  // namespace joulepress::cases
