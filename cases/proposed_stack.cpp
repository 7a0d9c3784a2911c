#include "cases/proposed_stack.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "cases/reader/keys.hpp"

namespace joulepress::cases {
namespace {

// Rules of the stack: common practice, no source.
constexpr double guided_least = 2e-3;          // m, of a punch in the die, powder loose
constexpr double guided_usual = 5e-3;          // m
constexpr double free_least = 5e-3;            // m, of a punch outside the die at full density
constexpr double rest_before_cavity = 3.5e-3;  // m, 3 to 4 after rounding, as in the shipped cases
constexpr double wall_least = 4e-3;            // m, room for that and a bore
constexpr std::array sheaths{1.5e-3, 1.0e-3, 0.5e-3};
constexpr double usual_full_pressure = 50e6;  // Pa

double si(const std::string& text, Kind kind) {
  return parse_quantity(text, kind).value;
}

double millimetres(double m) {
  return 1e3 * m;
}

double end_density_assumed() {
  return si(std::string(find_key("column", "end density")->standard), Kind::ratio);
}

double area(double diameter) {
  return 0.25 * std::numbers::pi * diameter * diameter;
}

bool is_mass(const std::string& amount) {
  return parse_quantity(amount, Kind::mass).good();
}

/// Height at the expected end density, as the case reader takes it.
double dense_height(const Answers& a, const materials::Material& powder) {
  if (!is_mass(a.amount)) return si(a.amount, Kind::length);
  return si(a.amount, Kind::mass) /
         (end_density_assumed() * powder.density.curve.value(298.15) * area(si(a.diameter, Kind::length)));
}

double loose_height(const Answers& a, const materials::Material& powder) {
  return dense_height(a, powder) * end_density_assumed() / si(a.start_density, Kind::ratio);
}

/// Of each punch inside a die, for a powder of this height between two foils.
double inserted(double die_height, double powder_height) {
  return 0.5 * (die_height - powder_height) - foil_thickness;
}

/// Rounded down.
std::string pressure_words(double pascal) {
  return pascal >= 1e6 ? fmt::format("{:.0f} MPa", std::floor(1e-6 * pascal + 1e-9))
                       : fmt::format("{:.0f} kPa", std::max(1.0, std::floor(1e-3 * pascal)));
}

}  // namespace

std::optional<FirstLiquid> first_liquid(const materials::Material& powder) {
  if (powder.carbon_eutectic_K)
    return FirstLiquid{*powder.carbon_eutectic_K, powder.name + " in touch with graphite melts"};
  if (powder.melting_K) return FirstLiquid{*powder.melting_K, powder.name + " melts"};
  return std::nullopt;
}

bool pressed_as_powder(const materials::Material& material) {
  return material.melting_K && !material.conductivity.across &&
         material.name.find("ram alloy") == std::string::npos;
}

Quantity amount_of(const std::string& text) {
  Quantity mass = value_of(*find_key("column", "mass"), Kind::mass, text);
  if (parse_quantity(text, Kind::mass).good()) return mass;
  Quantity height = value_of(*find_key("column", "height"), Kind::length, text);
  if (!parse_quantity(text, Kind::length).good())
    height.remedy = fmt::format("Write a mass with one of: {}; or a height with one of: {}.",
                                units_of(Kind::mass), units_of(Kind::length));
  return height;
}

ProposedStack proposed_stack(const Answers& a, const materials::Material& powder) {
  const double diameter = si(a.diameter, Kind::length);
  const double die_height = si(a.die_height, Kind::length);
  ProposedStack s;
  s.usual = usual_tools(diameter);
  s.bore = diameter + 2.0 * foil_thickness;
  s.wall = 0.5 * (si(a.die_diameter, Kind::length) - s.bore);
  s.dense_height = dense_height(a, powder);
  s.loose_height = loose_height(a, powder);
  s.guided = inserted(die_height, s.loose_height);
  const double inside = inserted(die_height, s.dense_height);
  s.punch_length = std::max(s.usual.punch_length, 1e-3 * std::ceil(millimetres(inside + free_least) - 1e-9));
  s.free = s.punch_length - inside;
  s.sensor_depth = 1e-3 * std::max(1.0, std::round(millimetres(s.wall - rest_before_cavity)));
  s.rest = s.wall - s.sensor_depth;
  s.sheath = sheaths.back();
  for (const double sheath : sheaths)
    if (s.sensor_depth >= sheaths_deep_usual * sheath - 1e-9) {
      s.sheath = sheath;
      break;
    }
  s.force = si(a.pressure, Kind::pressure) * area(diameter);
  return s;
}

std::string usual_amount(const Answers& a) {
  return fmt::format("{:.3g} mm", 0.25 * millimetres(si(a.diameter, Kind::length)));
}

std::string usual_start_density(const materials::Material& powder) {
  return powder.insulator ? "0.55" : "0.60";
}

std::string usual_die_diameter(const Answers& a) {
  return fmt::format("{:.0f} mm", millimetres(usual_tools(si(a.diameter, Kind::length)).die_diameter));
}

std::string usual_die_height(const Answers& a, const materials::Material& powder) {
  const double usual = millimetres(usual_tools(si(a.diameter, Kind::length)).die_height);
  const double needed = millimetres(loose_height(a, powder) + 2.0 * (guided_usual + foil_thickness));
  return fmt::format("{:.0f} mm", std::max(usual, std::ceil(needed)));
}

std::string usual_temperature(const materials::Material& powder) {
  const auto liquid = first_liquid(powder);
  if (!liquid) return "1350 degC";
  // 0.7 of the melting point in kelvin, to 50 K: common practice, no source
  return fmt::format("{:.0f} degC",
                     std::max(100.0, 50.0 * std::round((0.7 * liquid->kelvin - zero_celsius) / 50.0)));
}

std::string usual_pressure(const Answers& a, const Press& press) {
  if (!press.force_limit) return pressure_words(usual_full_pressure);
  const double largest = *press.force_limit / area(si(a.diameter, Kind::length));
  return pressure_words(std::min(usual_full_pressure, largest));
}

std::string fault_of_start_density(const Answers& a) {
  if (si(a.start_density, Kind::ratio) < end_density_assumed()) return {};
  return fmt::format("\"{}\" is not below the expected end density, {}. Give the density before sintering.",
                     a.start_density, end_density_assumed());
}

std::string fault_of_die_diameter(const Answers& a) {
  const double bore = si(a.diameter, Kind::length) + 2.0 * foil_thickness;
  const double wall = 0.5 * (si(a.die_diameter, Kind::length) - bore);
  if (wall >= wall_least) return {};
  return fmt::format(
      "\"{}\" leaves a wall of {:.3g} mm around the bore of {:.4g} mm; the thermocouple needs {:.0f} mm. "
      "Write at least {:.4g} mm.",
      a.die_diameter, millimetres(wall), millimetres(bore), millimetres(wall_least),
      millimetres(bore + 2.0 * wall_least));
}

std::string fault_of_die_height(const Answers& a, const materials::Material& powder) {
  const double loose = loose_height(a, powder);
  if (inserted(si(a.die_height, Kind::length), loose) >= guided_least) return {};
  return fmt::format(
      "\"{}\" is too short: the loose powder is {:.1f} mm high and each punch must enter {:.0f} mm. "
      "Write at least {:.0f} mm, or go back and take less powder.",
      a.die_height, millimetres(loose), millimetres(guided_least),
      std::ceil(millimetres(loose + 2.0 * (guided_least + foil_thickness))));
}

std::string fault_of_temperature(const Answers& a, const materials::Material& powder) {
  constexpr double start = 25.0 + zero_celsius;  // the run starts at the chamber's temperature
  const double T = si(a.temperature, Kind::temperature);
  if (!(T > start))
    return fmt::format("\"{}\" is not above the 25 degC at which the run starts. Write a hold temperature.",
                       a.temperature);
  const auto liquid = first_liquid(powder);
  if (!liquid || T < liquid->kelvin) return {};
  return fmt::format("\"{}\" is too hot: {} at {:.0f} degC. Write a lower one, or go back to the powder.",
                     a.temperature, liquid->where, liquid->kelvin - zero_celsius);
}

std::string fault_of_pressure(const Answers& a, const Press& press) {
  const double pressure = si(a.pressure, Kind::pressure), diameter = si(a.diameter, Kind::length);
  if (!(pressure > 0.0)) return fmt::format("\"{}\" is not above 0 MPa. Write a pressure.", a.pressure);
  const double force = pressure * area(diameter);
  if (!press.force_limit || force <= *press.force_limit) return {};
  return fmt::format(
      "\"{}\" on {} is {:.4g} kN; {} gives {:.4g} kN. Write at most {}, or go back to the press or the "
      "diameter.",
      a.pressure, a.diameter, 1e-3 * force, press.name, 1e-3 * *press.force_limit,
      pressure_words(*press.force_limit / area(diameter)));
}

}  // namespace joulepress::cases
