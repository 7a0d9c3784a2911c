#include "cases/propose_case.hpp"

#include <fmt/format.h>

#include <cctype>

#include "cases/reader/case_writer.hpp"
#include "cases/reader/keys.hpp"

namespace joulepress::cases {
namespace {

constexpr const char* preload = "16 MPa";              // common practice, no source
constexpr double couples_end = 1100.0 + zero_celsius;  // K, sheathed types K and N, from memory
constexpr double offset_seen = 350.0;                  // K, of the shipped alumina-20mm, rounded

/// "7.5 mm"
std::string mm(double metres) {
  return fmt::format("{:.7g} mm", 1e3 * metres);
}

/// Plain where YAML takes it for nothing else, in quotes otherwise.
std::string scalar(const std::string& text) {
  const auto plain = [](char c, std::string_view others) {
    return std::isalnum(static_cast<unsigned char>(c)) || others.find(c) != std::string_view::npos;
  };
  bool all = !text.empty() && plain(text.front(), "");
  for (const char c : text) all = all && plain(c, " ./+-_");
  return all ? text : quoted(text);
}

double si(const std::string& text, Kind kind) {
  return parse_quantity(text, kind).value;
}

std::string head(const Answers& a, const materials::Material& powder, const std::string& file) {
  const std::string stem = file.substr(0, file.rfind(".yaml"));
  std::string text =
      fmt::format("# Question: by how many kelvin does the couple in the die wall miss {} of {} at {}?\n",
                  a.powder, a.diameter, a.temperature);
  text += powder.insulator
              ? "# Physics: current through punches, foil and die, none through the powder; contacts, "
                "radiation, cooled ends.\n"
              : "# Physics: current through punches, foil, die and the powder; contacts, radiation, cooled "
                "ends; stem error.\n";
  text +=
      "# Expected: not known before the run; in the shipped 20 mm cases the powder is some hundred kelvin "
      "hotter.\n"
      "# Run time: seconds for 20 mm, up to a minute for 100 mm.\n";
  return text + fmt::format("# Next: joulepress check {0}, then draw {0}, then run {0} --out {1}-results\n",
                            file, stem);
}

/// Spacers from the ram inward (`inward`) or from the punch outward.
std::string spacers(const ProposedStack& s, const char* side, bool inward) {
  const std::size_t n = s.usual.spacers.size();
  std::string text;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t which = inward ? n - 1 - k : k;
    const Disc& disc = s.usual.spacers[which];
    const char* kind = which == 0 ? "step spacer" : which + 1 == n ? "spacer" : "middle spacer";
    text += fmt::format("  - {{name: {} {}, material: isotropic graphite, diameter: {}, height: {}}}\n", side,
                        kind, mm(disc.diameter), mm(disc.height));
  }
  return text;
}

std::string punch(const Answers& a, const ProposedStack& s, const char* side) {
  return fmt::format("  - {{name: {} punch, material: isotropic graphite, diameter: {}, height: {}}}\n", side,
                     a.diameter, mm(s.punch_length));
}

bool with_preload(const Answers& a) {
  return si(a.pressure, Kind::pressure) > si(preload, Kind::pressure);
}

std::string column(const Answers& a, const ProposedStack& s) {
  const bool mass = parse_quantity(a.amount, Kind::mass).good();
  std::string text = fmt::format(
      "\n# Spacers: rule.  Punches: rule, so long that {:.1f} mm of each stay outside the die at full "
      "density.\n"
      "# Powder: your words; {:.2f} mm high when dense, {:.1f} mm under the preload, where each punch is "
      "guided\n"
      "# over {:.1f} mm of the die.  One graphite for all: give your own grade (docs/case_file.md).\n"
      "column:                                   # bottom to top\n",
      1e3 * s.free, 1e3 * s.dense_height, 1e3 * s.loose_height, 1e3 * s.guided);
  text += spacers(s, "lower", true) + punch(a, s, "lower");
  text += fmt::format(
      "  - {{name: powder, powder: {}, diameter: {}, {}: {}, relative density: {{value: {}, at pressure: "
      "{}}}, "
      "end density: {}}}\n",
      scalar(a.powder), a.diameter, mass ? "mass" : "height", a.amount, a.start_density,
      with_preload(a) ? preload : a.pressure, find_key("column", "end density")->standard);
  return text + punch(a, s, "upper") + spacers(s, "upper", false);
}

std::string die_and_foils(const Answers& a, const ProposedStack& s) {
  std::string text = fmt::format(
      "\n# Outside of the die: as answered.  Bore: rule, sample and two foils of {}.  Wall: {}.\n"
      "sleeves:\n"
      "  - {{name: die, material: isotropic graphite, inner diameter: {}, outer diameter: {}, height: {}, "
      "centre on: powder, moves with: powder}}\n",
      mm(foil_thickness), mm(s.wall), mm(s.bore), a.die_diameter, a.die_height);
  text += fmt::format(
      "\n# Foils: rule.  Without one above or below the powder strike its line.\n"
      "foils:\n"
      "  - {{along: bore of die, thickness: {0}}}\n"
      "  - {{between: [lower punch, powder], thickness: {0}}}\n"
      "  - {{between: [powder, upper punch], thickness: {0}}}\n",
      mm(foil_thickness));
  return text + "\nsurroundings: {chamber: 25 degC, atmosphere: vacuum}\n";
}

std::string sensor(const Answers& a, const ProposedStack& s) {
  const double deep = s.sensor_depth / s.sheath;
  std::string text = fmt::format(
      "\n# Bore of the thermocouple: rule, at mid-height, its end {} before the cavity, {:.3g} sheath "
      "diameters "
      "deep.\n",
      mm(s.rest), deep);
  if (deep < sheaths_deep_usual - 1e-9)
    text += fmt::format(
        "# That is less than {:.0f}: the stem carries heat away and the couple reads low (the report says "
        "how "
        "much).\n",
        sheaths_deep_usual);
  if (si(a.temperature, Kind::temperature) > couples_end)
    text +=
        "# Sheathed couples of type K or N end at about 1100 degC (from memory): check that yours is made "
        "for "
        "this.\n";
  return text + fmt::format(
                    "sensors:\n  - {{name: die thermocouple, kind: thermocouple, in: die, bore from: outer "
                    "surface, depth: {}, height: middle, sheath: {}}}\n",
                    mm(s.sensor_depth), mm(s.sheath));
}

std::string limits(const ProposedStack& s, const Press& press) {
  std::string text = fmt::format("# Force at full pressure: {:.4g} kN", 1e-3 * s.force);
  if (press.force_limit) text += fmt::format(" of {:.4g} kN", 1e-3 * *press.force_limit);
  text +=
      fmt::format(".  Sets of this size take {:.1f} to {:.1f} kA (published set-ups, from memory, unsure)",
                  1e-3 * s.usual.current_low, 1e-3 * s.usual.current_high);
  if (press.current_limit && *press.current_limit < s.usual.current_high)
    text += fmt::format(";\n# the press gives {:.3g} kA, so that the programme may not be followed",
                        1e-3 * *press.current_limit);
  return text + ".\n";
}

std::string programme(const Answers& a, const ProposedStack& s, const materials::Material& powder,
                      const Press& press) {
  std::string text = a.for_powder ? fmt::format(
                                        "\n# You wish {0} for the powder, but a programme sets what the "
                                        "sensor reads.  Run once with {0} "
                                        "here, then\n# replace it by the value the report says to enter, and "
                                        "run again until the powder "
                                        "has {0}.\n",
                                        a.temperature)
                                  : "\n# The temperature is what the sensor reads, as you said; the report "
                                    "says what the powder has.\n";
  const auto liquid = first_liquid(powder);
  if (liquid && liquid->kelvin < si(a.temperature, Kind::temperature) + offset_seen)
    text += fmt::format(
        "# Mind: {} at {:.0f} degC, and the powder may be hotter than the sensor by {:.0f} K and more; "
        "watch\n# \"hottest\" in the report.\n",
        liquid->where, liquid->kelvin - zero_celsius, offset_seen);
  text += limits(s, press);
  text += fmt::format(
      "programme:\n  control: die thermocouple\n"
      "  temperature: [{{ramp to: {}, rate: {}}}, {{hold: {}, name: sinter}}, {{cool: free, for: 5 min}}]\n",
      a.temperature, a.rate, a.hold);
  return text +
         (with_preload(a)
              ? fmt::format("  pressure on powder: [{{hold: {}, for: 2 min}}, {{ramp to: {}, in: 2 min}}]"
                            "   # preload and times: rule\n",
                            preload, a.pressure)
              : fmt::format("  pressure on powder: [{{hold: {}, for: 2 min}}]\n", a.pressure));
}

}  // namespace

std::string propose_case(const Answers& a, const materials::Material& powder, const Press& press,
                         const std::string& file) {
  const ProposedStack s = proposed_stack(a, powder);
  std::string text = head(a, powder, file);
  text +=
      fmt::format("format: 1\ntitle: {}\npress: {}\n",
                  quoted(fmt::format("{} {} disc, {} for {}", a.diameter, a.powder, a.temperature, a.hold)),
                  scalar(a.press));
  text +=
      "\n# Written by joulepress new.  What you answered stands in your words.  Every size marked `rule` is "
      "usual for\n# such a set (interpolated between published set-ups, from memory; clearances and foils: "
      "common "
      "practice, no\n# source): compare each with your drawing.\n";
  if (!s.usual.published)
    text +=
        "# The published set-ups are for samples of 10 to 100 mm; this one continues them in a straight "
        "line.\n";
  return text + column(a, s) + die_and_foils(a, s) + sensor(a, s) + programme(a, s, powder, press);
}

}  // namespace joulepress::cases
