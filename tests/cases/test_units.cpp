// Quantities: every accepted form and every refusal.  Factors are the SI's own (BIPM, SI brochure).
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "cases/reader/units.hpp"

using joulepress::cases::Kind;
using joulepress::cases::parse_quantity;

TEST_CASE("good quantities") {
  struct Good {
    const char* text;
    Kind kind;
    double value;
  };
  for (const Good& g : std::vector<Good>{{"20 mm", Kind::length, 0.02},
                                         {"2cm", Kind::length, 0.02},
                                         {"0.02 m", Kind::length, 0.02},
                                         {"+20 mm", Kind::length, 0.02},
                                         {"200 um", Kind::length, 2e-4},
                                         {"6 g", Kind::mass, 6e-3},
                                         {"0.5 kg", Kind::mass, 0.5},
                                         {"500 mg", Kind::mass, 5e-4},
                                         {"30 s", Kind::time, 30},
                                         {"5 min", Kind::time, 300},
                                         {"1.5 h", Kind::time, 5400},
                                         {"1350 degC", Kind::temperature, 1623.15},
                                         {"-20 degC", Kind::temperature, 253.15},
                                         {"300 K", Kind::temperature, 300},
                                         {"100 degC/min", Kind::temperature_rate, 100.0 / 60},
                                         {"100 K/min", Kind::temperature_rate, 100.0 / 60},
                                         {"2 K/s", Kind::temperature_rate, 2},
                                         {"50 MPa", Kind::pressure, 5e7},
                                         {"1e5 Pa", Kind::pressure, 1e5},
                                         {"10 kPa", Kind::pressure, 1e4},
                                         {"1.2 bar", Kind::pressure, 1.2e5},
                                         {"5 mbar", Kind::pressure, 500},
                                         {"16 kN", Kind::force, 16000},
                                         {"5 N", Kind::force, 5},
                                         {"1.6 kA", Kind::current, 1600},
                                         {"900 A", Kind::current, 900},
                                         {"4.5 V", Kind::voltage, 4.5},
                                         {"20 mV", Kind::voltage, 0.02},
                                         {"7 kW", Kind::power, 7000},
                                         {"5 W", Kind::power, 5},
                                         {"8e-8 ohm m2", Kind::area_resistance, 8e-8},
                                         {"2.4 kW/m2K", Kind::film, 2400},
                                         {"880 W/m2K", Kind::film, 880},
                                         {"45 W/mK", Kind::conductivity, 45},
                                         {"10 uohm m", Kind::resistivity, 1e-5},
                                         {"1e-5 ohm m", Kind::resistivity, 1e-5},
                                         {"1.85 g/cm3", Kind::density, 1850},
                                         {"1850 kg/m3", Kind::density, 1850},
                                         {"713 J/kgK", Kind::heat_capacity, 713},
                                         {"8.1e-6 1/K", Kind::expansion, 8.1e-6},
                                         {"1.7 J/m2", Kind::surface_energy, 1.7},
                                         {"0.02 mm/kN", Kind::compliance, 2e-8},
                                         {"2e-8 m/N", Kind::compliance, 2e-8},
                                         {"0.55", Kind::ratio, 0.55},
                                         {"55 %", Kind::ratio, 0.55},
                                         {"55%", Kind::ratio, 0.55},
                                         {" 7 mm ", Kind::length, 0.007}}) {
    CAPTURE(std::string(g.text));
    const auto q = parse_quantity(g.text, g.kind);
    CHECK(q.good());
    CHECK(q.value == doctest::Approx(g.value).epsilon(1e-14));
  }
}

TEST_CASE("bad quantities are refused with a reason that names the trouble") {
  struct Bad {
    const char* text;
    Kind kind;
    const char* says;
  };
  for (const Bad& b :
       std::vector<Bad>{{"20", Kind::length, "no unit"},
                        {"20,5 mm", Kind::length, "decimal comma"},
                        {"", Kind::length, "number"},
                        {"mm", Kind::length, "number"},
                        {"twenty mm", Kind::length, "number"},
                        {"20 kg", Kind::length, "is a mass, a length is wanted"},
                        {"100 degC", Kind::temperature_rate, "a rate is wanted"},
                        {"100 K", Kind::temperature_rate, "a rate is wanted"},
                        {"1350 C", Kind::temperature, "could be a temperature or a charge"},
                        {"1350", Kind::temperature, "no unit"},
                        {"50 mpa", Kind::pressure, "no unit \"mpa\""},
                        {"50 MPA", Kind::pressure, "no unit \"MPA\""},
                        {"20 MM", Kind::length, "no unit \"MM\""},
                        {"7 KW", Kind::power, "no unit \"KW\""},
                        {"nan mm", Kind::length, "number"},
                        {"inf mm", Kind::length, "number"},
                        {"0.55 mm", Kind::ratio, "a ratio is wanted"},
                        {"5 minutes", Kind::time, "no unit \"minutes\""},
                        {"5 m", Kind::time, "is a length"},
                        {"900 A", Kind::voltage, "is a current"},
                        {"20 mm 3", Kind::length, "no unit \"mm 3\""},
                        {"20 mm4", Kind::length, "no unit \"mm4\""},
                        {"1.000,5 mm", Kind::length, "decimal comma"},
                        {"0,55", Kind::ratio, "decimal comma"},
                        {"1e999 mm", Kind::length, "number"},
                        {"++1 mm", Kind::length, "number"},
                        {"+-1 mm", Kind::length, "number"},
                        {"0x10 mm", Kind::length, "no unit \"x10 mm\""},
                        {"3 kN", Kind::pressure, "is a force, a pressure is wanted"},
                        {"25 degc", Kind::temperature, "no unit \"degc\""},
                        {"25 k", Kind::temperature, "no unit \"k\""},
                        {"25 °C", Kind::temperature, "no unit \"°C\""},
                        {"-300 degC", Kind::temperature, "absolute zero"},
                        {"0 K", Kind::temperature, "absolute zero"},
                        {"100 C/min", Kind::temperature_rate, "no unit"},
                        {"2.4 W/mK", Kind::film, "is a heat conductivity"},
                        {"1 ohm m", Kind::area_resistance, "an electrical resistivity, a contact"}}) {
    CAPTURE(std::string(b.text));
    const auto q = parse_quantity(b.text, b.kind);
    CHECK(!q.good());
    CHECK(q.problem.find(b.says) != std::string::npos);
    CHECK(!q.remedy.empty());
  }
  CHECK(parse_quantity("50 mpa", Kind::pressure).remedy.find("did you mean \"MPa\"") != std::string::npos);
}
