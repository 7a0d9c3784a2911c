#include "tools/screen/stack_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/build_problem.hpp"

namespace joulepress::tools {
namespace {

double mm(double metres) {
  return 1e3 * metres;
}

std::string parts_table(const solver::Problem& p) {
  std::string text =
      fmt::format("{:<34} {:<26} {:>15} {:>17}\n", "part", "material", "diameter [mm]", "z [mm]");
  std::vector<const mesh::Block*> blocks;
  for (const mesh::Block& block : p.mesh.layout) blocks.push_back(&block);
  std::stable_sort(blocks.begin(), blocks.end(), [](const mesh::Block* a, const mesh::Block* b) {
    return std::pair(a->r_inner > 0.0, a->z_bottom) < std::pair(b->r_inner > 0.0, b->z_bottom);
  });
  for (const mesh::Block* block : blocks) {
    const solver::Part& part = p.parts[block->part];
    const std::string bore = block->r_inner > 0.0 ? fmt::format("{:.1f} / ", mm(2 * block->r_inner)) : "";
    text += fmt::format("{:<34} {:<26} {:>15} {:>8.2f} {:>8.2f}\n", part.name,
                        p.materials[part.material].name, bore + fmt::format("{:.1f}", mm(2 * block->r_outer)),
                        mm(block->z_bottom), mm(block->z_top));
  }
  return text;
}

std::string heat_word(double conductance) {
  return std::isinf(conductance) ? "perfect" : fmt::format("{:.2f}", 1e-3 * conductance);
}

std::string contacts_table(const cases::Case& c, const solver::Problem& p) {
  std::string text =
      fmt::format("\n{:<58} {:>18} {:>18}\n", "contact, touch alone", "[1e-9 ohm m2]", "[kW/m2K]");
  for (const cases::ContactSeries& s : cases::contact_series(c, p))
    text += fmt::format("{:<58} {:>18.1f} {:>18}\n", s.name, 1e9 * s.electric_touch, heat_word(s.heat_touch));
  text += fmt::format(
      "foil and its two touches add up to: axial {:.2g} ohm m2, {:.3g} kW/m2K; lateral {:.2g} ohm m2, {:.3g} "
      "kW/m2K\n",
      c.contacts.electric_axial, 1e-3 * c.contacts.heat_axial, c.contacts.electric_lateral,
      1e-3 * c.contacts.heat_lateral);
  text += "(published totals at 20 MPa; axial touches are those of the programme's final pressure)\n";
  return text;
}

std::string programme_table(const solver::Drive& drive) {
  std::string text = "\nprogramme\n";
  const bool degrees = drive.kind == solver::DriveKind::tracking;
  const char* unit = drive.kind == solver::DriveKind::current   ? "A"
                     : drive.kind == solver::DriveKind::voltage ? "V"
                     : drive.kind == solver::DriveKind::power   ? "W"
                                                                : "degC";
  for (const solver::Segment& s : drive.segments) {
    const double shift = degrees ? solver::zero_celsius : 0.0;
    text += s.off ? fmt::format("  {:>7.0f} s to {:>7.0f} s   current off\n", s.start, s.end)
                  : fmt::format("  {:>7.0f} s to {:>7.0f} s   {:.4g} to {:.4g} {}   {}\n", s.start, s.end,
                                s.from - shift, s.to - shift, unit, s.name);
  }
  return text;
}

std::string powder_lines(const cases::Case& c, const solver::Problem& p) {
  std::string text;
  for (const cases::ColumnPart& part : c.column) {
    if (!part.powder) continue;
    for (const mesh::Block& block : p.mesh.layout)
      if (block.name == part.name)
        text += fmt::format("{}: {:.2f} mm high at relative density {:.3g}\n", part.name,
                            mm(block.z_top - block.z_bottom), p.parts[block.part].relative_density);
    if (c.programme.pressure.empty()) continue;
    const double area = 0.25 * std::numbers::pi * (part.diameter * part.diameter - part.bore * part.bore);
    const double force = area * c.programme.pressure.back().to;
    text += fmt::format(
        "force at {:.3g} MPa on {}: {:.2f} kN{}\n", 1e-6 * c.programme.pressure.back().to, part.name,
        1e-3 * force, c.press.force_limit && force > *c.press.force_limit ? "   ABOVE THE PRESS LIMIT" : "");
  }
  return text;
}

}  // namespace

std::string stack_table(const cases::Case& c, const solver::Problem& p) {
  double bottom = 0.0, top = 0.0;
  for (const mesh::Block& block : p.mesh.layout) {
    bottom = std::min(bottom, block.z_bottom);
    top = std::max(top, block.z_top);
  }
  std::string text =
      fmt::format("Is this your stack?   {}\npress: {}\n\n", c.title, c.press.name) + parts_table(p);
  text += fmt::format("\ncolumn length {:.2f} mm, {} cells\n", mm(top - bottom), p.mesh.n_cells()) +
          powder_lines(c, p);
  if (!p.interfaces.pairs.empty()) text += contacts_table(c, p);
  text += "\nsensors\n";
  for (const solver::Sensor& s : p.sensors)
    text += fmt::format("  {}: in {}, junction at r {:.2f} mm, z {:.2f} mm, inserted {:.1f} mm\n", s.name,
                        p.parts[s.part].name, mm(s.r), mm(s.z), mm(s.depth));
  return text + programme_table(p.drive);
}

}  // namespace joulepress::tools
