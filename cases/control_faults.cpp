#include "cases/control_faults.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/units.hpp"
#include "cases/stack.hpp"
#include "solver/pulse.hpp"

namespace joulepress::cases {
namespace {

void report_controller(const Case& c, ErrorList& errors) {
  const bool by_power = c.press.controller.by_power;
  const auto& full = by_power ? c.press.power_limit : c.press.current_limit;
  if (full || c.press.written.place.line == 0) return;  // a press that was not read has been reported
  errors.add(
      c.programme.written.at("follow"), c.programme.written.path_of("follow"),
      fmt::format("The controller of \"{}\" sets the {}, and the press has no limit of it that would be "
                  "its full output.",
                  c.press.name, by_power ? "power" : "current"),
      by_power ? "Add to the press `limits: {power: 40 kW}`."
               : "Add to the press `limits: {current: 5 kA}`.");
}

/// A pyrometer that controls from the start must see, or be waited for.
void report_blindness(const Case& c, ErrorList& errors) {
  const int control = sensor_named(c, c.programme.control);
  const CaseSensor* sensor = control < 0 ? nullptr : &c.sensors[control];
  if (!sensor || !sensor->pyrometer || c.initial_temperature >= sensor->sees_from) return;
  if (c.programme.by_controller && c.programme.start_power) return;
  errors.add(c.programme.written.at("control"), c.programme.written.path_of("control"),
             fmt::format("\"{}\" controls from the start, but sees from {:.0f} degC on.", sensor->name,
                         in_celsius(sensor->sees_from)),
             c.programme.by_controller
                 ? "Add `start: {power: 2 kW}`, or begin with a thermocouple and `hand over`."
                 : "Begin with a thermocouple and `hand over`, or write `follow: by the controller` and "
                   "`start: {power: 2 kW}`.");
}

void report_thermoelectric(const Case& c, ErrorList& errors) {
  if (!c.programme.thermoelectric) return;
  const auto has = [&c](const auto& part) {
    return std::any_of(c.materials.begin(), c.materials.end(), [&part](const materials::Material& m) {
      return m.name == part.material && m.seebeck;
    });
  };
  if (std::any_of(c.column.begin(), c.column.end(), has) ||
      std::any_of(c.sleeves.begin(), c.sleeves.end(), has) ||
      std::any_of(c.foils.begin(), c.foils.end(), has))
    return;
  errors.add(c.programme.written.at("thermoelectric"), c.programme.written.path_of("thermoelectric"),
             "No part is of a material whose Seebeck coefficient is known.",
             "Add to a material file `seebeck: {value: 200 uV/K, source: \"...\"}`, or leave it off.");
}

}  // namespace

void report_control(const Case& c, ErrorList& errors) {
  report_thermoelectric(c, errors);
  if (c.programme.driven != Programme::Driven::temperature || c.programme.by_furnace) return;
  if (c.programme.by_controller) report_controller(c, errors);
  report_blindness(c, errors);
  if (!c.programme.hand_over_to.empty() && c.programme.hand_over_to == c.programme.control)
    errors.add(c.programme.written.at("hand over"), c.programme.written.path_of("hand over"),
               fmt::format("\"{}\" would hand over to itself.", c.programme.control), "Name another sensor.");
  if (c.programme.start_power && c.press.power_limit && *c.programme.start_power > *c.press.power_limit)
    errors.add(c.programme.written.at("start"), c.programme.written.path_of("start"),
               fmt::format("The start asks for {:.3g} kW, the press gives {:.3g} kW.",
                           1e-3 * *c.programme.start_power, 1e-3 * *c.press.power_limit),
               "Start with less.");
}

std::vector<Doubt> doubts_of_pulses(const Case& c) {
  std::vector<Doubt> doubts;
  if (!c.programme.pulses || !c.press.pulse) return doubts;
  const double frequency = solver::base_frequency({c.press.pulse->on, c.press.pulse->off, {}});
  if (!(frequency > 0.0)) return doubts;
  for (const ColumnPart& part : c.column) {
    const materials::Material& material = material_named(c, part.material);
    // Dense and cold: where current enters least deep.
    const double depth = solver::skin_depth(material.resistivity.along.curve.value(298.15), frequency);
    const double radius = 0.5 * (part.diameter - part.bore);
    if (material.insulator || depth > radius) continue;
    doubts.push_back(
        {part.written.place,
         fmt::format(
             "At the {:.0f} pulses a second of \"{}\" current enters {} only {:.0f} mm deep when dense and "
             "cold: in \"{}\" it crowds outward, which is not modelled.",
             frequency, c.press.name, material.name, in_mm(depth), part.name)});
  }
  return doubts;
}

}  // namespace joulepress::cases
