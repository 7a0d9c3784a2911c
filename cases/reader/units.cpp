#include "cases/reader/units.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <string_view>
#include <utility>

namespace joulepress::cases {
namespace {

struct Unit {
  std::string_view name;
  Kind kind;
  double factor;
  double offset = 0;
};

constexpr double per_minute = 1.0 / 60.0;

constexpr std::array units{
    Unit{"mm", Kind::length, 1e-3},
    Unit{"cm", Kind::length, 1e-2},
    Unit{"m", Kind::length, 1.0},
    Unit{"um", Kind::length, 1e-6},
    Unit{"cm2", Kind::area, 1e-4},
    Unit{"mm2", Kind::area, 1e-6},
    Unit{"m2", Kind::area, 1.0},
    Unit{"g", Kind::mass, 1e-3},
    Unit{"kg", Kind::mass, 1.0},
    Unit{"mg", Kind::mass, 1e-6},
    Unit{"s", Kind::time, 1.0},
    Unit{"min", Kind::time, 60.0},
    Unit{"h", Kind::time, 3600.0},
    Unit{"ms", Kind::time, 1e-3},
    Unit{"degC", Kind::temperature, 1.0, 273.15},
    Unit{"K", Kind::temperature, 1.0},
    Unit{"K", Kind::temperature_difference, 1.0},
    Unit{"mK", Kind::temperature_difference, 1e-3},
    Unit{"degC/min", Kind::temperature_rate, per_minute},
    Unit{"K/min", Kind::temperature_rate, per_minute},
    Unit{"degC/s", Kind::temperature_rate, 1.0},
    Unit{"K/s", Kind::temperature_rate, 1.0},
    Unit{"MPa", Kind::pressure, 1e6},
    Unit{"GPa", Kind::pressure, 1e9},
    Unit{"kPa", Kind::pressure, 1e3},
    Unit{"Pa", Kind::pressure, 1.0},
    Unit{"bar", Kind::pressure, 1e5},
    Unit{"mbar", Kind::pressure, 1e2},
    Unit{"kN", Kind::force, 1e3},
    Unit{"N", Kind::force, 1.0},
    Unit{"A", Kind::current, 1.0},
    Unit{"kA", Kind::current, 1e3},
    Unit{"V", Kind::voltage, 1.0},
    Unit{"mV", Kind::voltage, 1e-3},
    Unit{"uV/K", Kind::seebeck, 1e-6},
    Unit{"V/K", Kind::seebeck, 1.0},
    Unit{"kW", Kind::power, 1e3},
    Unit{"W", Kind::power, 1.0},
    Unit{"kJ", Kind::energy, 1e3},
    Unit{"MJ", Kind::energy, 1e6},
    Unit{"J", Kind::energy, 1.0},
    Unit{"ohm m2", Kind::area_resistance, 1.0},
    Unit{"W/m2K", Kind::film, 1.0},
    Unit{"kW/m2K", Kind::film, 1e3},
    Unit{"W/mK", Kind::conductivity, 1.0},
    Unit{"ohm m", Kind::resistivity, 1.0},
    Unit{"uohm m", Kind::resistivity, 1e-6},
    Unit{"kg/m3", Kind::density, 1.0},
    Unit{"g/cm3", Kind::density, 1e3},
    Unit{"J/kgK", Kind::heat_capacity, 1.0},
    Unit{"1/s", Kind::strain_rate, 1.0},
    Unit{"kJ/mol", Kind::molar_energy, 1e3},
    Unit{"J/mol", Kind::molar_energy, 1.0},
    Unit{"m2/s", Kind::diffusivity, 1.0},
    Unit{"1/K", Kind::expansion, 1.0},
    Unit{"J/m2", Kind::surface_energy, 1.0},
    Unit{"mm/kN", Kind::compliance, 1e-6},
    Unit{"m/N", Kind::compliance, 1.0},
    Unit{"%", Kind::ratio, 1e-2},
};

const Unit* find_unit(std::string_view name) {
  for (const Unit& unit : units)
    if (unit.name == name) return &unit;
  return nullptr;
}

/// The unit of that name and kind, else any of that name: "K" is a temperature and a difference of two.
const Unit* find_unit(std::string_view name, Kind kind) {
  for (const Unit& unit : units)
    if (unit.name == name && unit.kind == kind) return &unit;
  return find_unit(name);
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

Quantity bad(std::string problem, std::string remedy, double likely = 0.0) {
  return {likely, std::move(problem), std::move(remedy)};
}

double in_si(double number, const Unit& unit) {
  return number * unit.factor + unit.offset;
}

/// The unit a workshop would mean when it writes none: the first of its kind.
double in_usual_unit(double number, Kind kind) {
  for (const Unit& unit : units)
    if (unit.kind == kind) return in_si(number, unit);
  return number;
}

std::string with_article(Kind kind) {
  return (kind == Kind::resistivity || kind == Kind::expansion || kind == Kind::area || kind == Kind::energy
              ? "an "
              : "a ") +
         kind_name(kind);
}

std::string with_one_of(Kind kind) {
  if (kind == Kind::ratio) return "Write a plain number, or a percentage such as 55 %.";
  return fmt::format("Write {} with one of: {}.", with_article(kind), units_of(kind));
}

/// Why a unit that exists, or does not, cannot stand here.
Quantity wrong_unit(const std::string& text, double number, std::string_view unit, Kind kind) {
  const std::string allowed = with_one_of(kind);
  if (unit == "C" || unit == "c")
    return bad(fmt::format("\"{}\": \"C\" could be a temperature or a charge.", text),
               "Write degC for a temperature.",
               kind == Kind::temperature ? in_usual_unit(number, kind) : 0.0);
  if (kind == Kind::temperature_rate && (unit == "degC" || unit == "K"))
    return bad(fmt::format("\"{}\" is a temperature, a rate is wanted.", text), allowed,
               in_usual_unit(number, kind));
  for (const auto& [sign, plain] :
       {std::pair{"°C", "degC"}, {"µm", "um"}, {"μm", "um"}, {"°C/min", "degC/min"}})
    if (unit == sign)
      return bad(fmt::format("\"{}\": there is no unit \"{}\".", text, unit),
                 fmt::format("Write \"{}\", which every keyboard has.", plain),
                 in_si(number, *find_unit(plain)));
  if (const Unit* known = find_unit(unit))
    return bad(
        fmt::format("\"{}\" is {}, {} is wanted.", text, with_article(known->kind), with_article(kind)),
        allowed);
  for (const Unit& candidate : units)
    if (lower(candidate.name) == lower(unit))
      return bad(fmt::format("\"{}\": there is no unit \"{}\".", text, unit),
                 fmt::format("Capitals matter: did you mean \"{}\"?  {}", candidate.name, allowed),
                 candidate.kind == kind ? in_si(number, candidate) : 0.0);
  return bad(fmt::format("\"{}\": there is no unit \"{}\".", text, unit), allowed);
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::string kind_name(Kind kind) {
  switch (kind) {
    case Kind::length:
      return "length";
    case Kind::area:
      return "area";
    case Kind::mass:
      return "mass";
    case Kind::time:
      return "time";
    case Kind::temperature:
      return "temperature";
    case Kind::temperature_difference:
      return "temperature difference";
    case Kind::temperature_rate:
      return "heating rate";
    case Kind::pressure:
      return "pressure";
    case Kind::force:
      return "force";
    case Kind::current:
      return "current";
    case Kind::voltage:
      return "voltage";
    case Kind::power:
      return "power";
    case Kind::energy:
      return "energy";
    case Kind::area_resistance:
      return "contact resistance";
    case Kind::film:
      return "heat conductance";
    case Kind::conductivity:
      return "heat conductivity";
    case Kind::resistivity:
      return "electrical resistivity";
    case Kind::density:
      return "density";
    case Kind::heat_capacity:
      return "heat capacity";
    case Kind::strain_rate:
      return "strain rate";
    case Kind::molar_energy:
      return "molar energy";
    case Kind::diffusivity:
      return "diffusivity";
    case Kind::expansion:
      return "expansion coefficient";
    case Kind::surface_energy:
      return "surface energy";
    case Kind::compliance:
      return "compliance";
    case Kind::seebeck:
      return "Seebeck coefficient";
    case Kind::ratio:
      break;
  }
  return "ratio";
}

std::string units_of(Kind kind) {
  if (kind == Kind::ratio) return "a plain number, or %";
  std::string text;
  for (const Unit& unit : units)
    if (unit.kind == kind) text += (text.empty() ? "" : ", ") + std::string(unit.name);
  return text;
}

std::string si_unit(Kind kind) {
  for (const Unit& unit : units)
    if (unit.kind == kind && unit.factor == 1.0 && unit.offset == 0.0) return std::string(unit.name);
  return {};
}

std::optional<double> unit_factor(const std::string& unit, Kind kind) {
  if (kind == Kind::ratio && (unit == "1" || unit == "-")) return 1.0;
  const Unit* known = find_unit(unit, kind);
  if (!known || known->kind != kind || known->offset != 0.0) return std::nullopt;
  return known->factor;
}

Quantity parse_quantity(const std::string& text, Kind kind) {
  const std::string_view whole = trimmed(text);
  double number = 0.0;
  const char* begin = whole.data();
  const char* end = begin + whole.size();
  const bool plus = begin != end && *begin == '+';
  const auto [stop, status] = std::from_chars(begin + (plus ? 1 : 0), end, number);
  const bool two_signs = plus && begin + 1 != end && begin[1] == '-';
  if (status != std::errc{} || two_signs || !std::isfinite(number))
    return bad(fmt::format("\"{}\" does not start with a number.", text), with_one_of(kind));
  std::string_view unit = trimmed(std::string_view(stop, static_cast<std::size_t>(end - stop)));
  if (!unit.empty() && unit.front() == ',') {
    std::string pointed(text);
    pointed[pointed.find(',')] = '.';
    return bad(fmt::format("\"{}\" has a decimal comma.", text), "Write a decimal point.",
               parse_quantity(pointed, kind).value);
  }
  if (kind == Kind::ratio && unit.empty()) return {number, {}, {}};
  if (unit.empty())
    return bad(fmt::format("\"{}\" has no unit.", text), with_one_of(kind), in_usual_unit(number, kind));
  const Unit* known = find_unit(unit, kind);
  if (!known || known->kind != kind) return wrong_unit(text, number, unit, kind);
  const double value = in_si(number, *known);
  if (kind == Kind::temperature && !(value > 0.0))
    return bad(fmt::format("\"{}\" is not above absolute zero.", text),
               "Write a temperature above -273.15 degC.");
  return {value, {}, {}};
}

}  // namespace joulepress::cases
