#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/beds.hpp"
#include "cases/control_faults.hpp"
#include "cases/process_faults.hpp"
#include "cases/reader/input_error.hpp"
#include "cases/reader/units.hpp"

namespace joulepress::cases {
namespace {

constexpr double room = 298.15;  // K

using Doubts = std::vector<Doubt>;

void doubt_pressure(const Case& c, Doubts& doubts) {
  const bool powder =
      std::any_of(c.column.begin(), c.column.end(), [](const ColumnPart& p) { return p.powder; });
  const auto highest = highest_pressure(c);
  if (powder && !highest)
    doubts.push_back(
        {c.programme.written.place,
         "The programme says nothing of the pressure: touches are taken as at 20 MPa, and force and "
         "strength are not checked."});
  if (!highest) return;
  const double force = force_at(c, *highest);
  for (const ColumnPart& part : c.column) {
    const auto& strength = material_named(c, part.material).compressive_strength;
    if (part.powder || !strength) continue;
    const double stress = force / cross_section(part), cold = strength->curve.value(room);
    if (stress > 0.5 * cold)
      doubts.push_back(
          {part.written.at("diameter"),
           fmt::format("\"{}\" carries {:.3g} MPa, more than half of the {:.3g} MPa at which \"{}\" crushes "
                       "cold; a brittle part wants a factor of 2 to 3 (common practice, no source).",
                       part.name, 1e-6 * stress, 1e-6 * cold, part.material)});
  }
}

void doubt_eutectic(const Case& c, Doubts& doubts) {
  const auto highest = highest_temperature(c);
  if (!highest || !touches_carbon(c)) return;
  // K: the powder is mostly hotter than the sensor, but not than a furnace.
  const double margin = c.programme.by_furnace ? 0 : 100;
  for (const ColumnPart& part : c.column) {
    const auto& eutectic = material_named(c, part.material).carbon_eutectic_K;
    if (part.powder && eutectic && *highest > *eutectic - margin)
      doubts.push_back(
          {part.written.at("powder"),
           fmt::format("\"{}\" in touch with carbon begins to melt at {:.0f} degC, and the programme goes to "
                       "{:.0f} degC: {}.",
                       part.material, in_celsius(*eutectic), in_celsius(*highest),
                       c.programme.by_furnace
                           ? "the powder comes to it when it is held"
                           : "the powder may be hotter than the sensor by more than the difference")});
  }
}

/// Creep by diffusion goes with a power of the grain size: the grains of the data are seldom those of a
/// powder.
void doubt_grains(const Case& c, Doubts& doubts) {
  for (const ColumnPart& part : c.column) {
    if (!part.powder || part.grain || !held_density_reason(c, part).empty()) continue;
    for (const materials::Creep& creep : material_named(c, part.material).creep)
      if (creep.grain > 0.0 && creep.grain_exponent > 0.0) {
        doubts.push_back(
            {part.written.at("powder"),
             fmt::format(
                 "\"{}\" has no `grain size`: it densifies like grains of {:.3g} um, those of the creep "
                 "data; grains a tenth of that close {:.0f} times as fast.",
                 part.name, 1e6 * creep.grain, std::pow(10.0, creep.grain_exponent))});
        break;
      }
  }
}

void doubt_foils(const Case& c, Doubts& doubts) {
  const auto lined = [&c](const std::string& low, const std::string& high) {
    return std::any_of(c.foils.begin(), c.foils.end(), [&](const FoilLayer& foil) {
      return foil.between_low == low && foil.between_high == high;
    });
  };
  for (std::size_t k = 1; k < c.column.size(); ++k) {
    const ColumnPart &low = c.column[k - 1], &high = c.column[k];
    if (low.powder == high.powder || lined(low.name, high.name)) continue;
    const ColumnPart &powder = low.powder ? low : high, &tool = low.powder ? high : low;
    doubts.push_back(
        {powder.written.place,
         fmt::format("No foil lies between \"{}\" and \"{}\": they may bond, and their joint is taken as one "
                     "bare touch.",
                     powder.name, tool.name)});
  }
  for (const Entry& entry : entries_of(c, PowderState::end)) {
    const Sleeve& sleeve = c.sleeves[entry.sleeve];
    const bool foil = std::any_of(c.foils.begin(), c.foils.end(),
                                  [&](const FoilLayer& f) { return f.along == sleeve.name && !f.outside; });
    if (!foil && entry.upper)
      doubts.push_back(
          {sleeve.written.place,
           fmt::format("The bore of \"{}\" has no foil: powder and punches run on its wall.", sleeve.name)});
    const ColumnPart& punch = c.column[entry.punch];
    const double clearance = sleeve.inner_diameter - punch.diameter;
    const double least = foil ? 0.35e-3 : 0.0, most = foil ? 0.85e-3 : 0.12e-3;
    if (clearance < least || clearance > most)
      doubts.push_back(
          {punch.written.at("diameter"),
           fmt::format("\"{}\" is {:.2f} mm under the bore of \"{}\"; {} is usual (common practice, no "
                       "source).",
                       punch.name, in_mm(clearance), sleeve.name,
                       foil ? "0.4 to 0.8 mm with foil" : "0.05 to 0.1 mm without foil")});
  }
}

void doubt_strokes(const Case& c, Doubts& doubts) {
  constexpr double least_free = 1e-3, least_guided = 2e-3;  // m, common practice, no source
  for (const Entry& entry : entries_of(c, PowderState::dense))
    if (entry.stop >= 0 && entry.free >= 0.0 && entry.free < least_free)
      doubts.push_back({c.column[entry.punch].written.place,
                        fmt::format("\"{}\" stands only {:.2f} mm free when the powder is dense.",
                                    c.column[entry.punch].name, in_mm(entry.free))});
  if (!start_is_known(c)) return;
  for (const Entry& entry : entries_of(c, PowderState::preload))
    if (entry.guided > 0.0 && entry.guided < least_guided)
      doubts.push_back(
          {c.column[entry.punch].written.place,
           fmt::format("\"{}\" is guided by only {:.2f} mm of \"{}\" under the preload and may tilt.",
                       c.column[entry.punch].name, in_mm(entry.guided), c.sleeves[entry.sleeve].name)});
}

void doubt_couple(const CaseSensor& sensor, const std::optional<double>& highest, Doubts& doubts) {
  if (sensor.stem && sensor.depth < 10.0 * sensor.sheath_diameter)
    doubts.push_back(
        {sensor.written.at("depth"),
         fmt::format("\"{}\" is inserted {:.1f} sheath diameters; 10 keep the heat lost along the sheath "
                     "small (common practice, no source).",
                     sensor.name, sensor.depth / sensor.sheath_diameter)});
  const bool hot_type = !sensor.type.empty() && std::string("BCRS").find(sensor.type) != std::string::npos;
  if (highest && *highest > 1473.15 && !hot_type)
    doubts.push_back(
        {sensor.written.at("kind"),
         fmt::format(
             "\"{}\" is asked for {:.0f} degC: couples of type K and N are tabled to 1200 degC (IEC "
             "60584-1), and in graphite they drift from about 1100 degC. Of another type, say `type:`.",
             sensor.name, in_celsius(*highest))});
}

void doubt_sensors(const Case& c, Doubts& doubts) {
  const auto highest = highest_temperature(c);
  for (const CaseSensor& sensor : c.sensors)
    if (!sensor.pyrometer) doubt_couple(sensor, highest, doubts);
}

void doubt_calibration(const Case& c, Doubts& doubts) {
  if (!c.calibration || c.calibration->not_taken.empty()) return;
  doubts.push_back({c.calibration->written.place,
                    fmt::format("Of the calibration this case does not have, and did not take: {}.",
                                listed(c.calibration->not_taken))});
}

}  // namespace

std::vector<Doubt> doubts_of(const Case& c) {
  Doubts doubts;
  doubt_pressure(c, doubts);
  doubt_eutectic(c, doubts);
  doubt_grains(c, doubts);
  doubt_foils(c, doubts);
  doubt_strokes(c, doubts);
  doubt_sensors(c, doubts);
  doubt_calibration(c, doubts);
  for (Doubt& doubt : doubts_of_pulses(c)) doubts.push_back(std::move(doubt));
  if (const auto highest = highest_temperature(c))
    for (const std::string& sentence : beyond_data(c, *highest))
      doubts.push_back({c.programme.written.place, sentence});
  return doubts;
}

}  // namespace joulepress::cases
