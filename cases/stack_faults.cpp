#include "cases/stack_faults.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "cases/beds.hpp"
#include "cases/build_problem.hpp"

namespace joulepress::cases {
namespace {

constexpr double gap_beside_powder_max = 0.05e-3;  // m, design rule: wider and the powder runs out
constexpr double part_size_max = 2.0;              // m, no die press takes a larger part; a slip of the unit
constexpr double cells_max = 2e6;                  // a factor of such a matrix fills some gigabytes

const Place& place_of(const Case& c, const StackPart& part) {
  switch (part.role) {
    case Role::column:
    case Role::powder:
      return c.column[part.source].written.place;
    case Role::sleeve:
      return c.sleeves[part.source].written.place;
    case Role::disc_foil:
    case Role::lining:
      break;
  }
  return c.foils[part.source].written.place;
}

/// Parts no press could take; meshed anyway they would fill the memory.
void report_giants(const Case& c, const Stack& stack, ErrorList& errors) {
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const mesh::Block& b = stack.layout[k];
    const double size = std::max(2.0 * b.r_outer, b.z_top - b.z_bottom);
    if (size > part_size_max)
      errors.add(place_of(c, stack.parts[k]), "",
                 fmt::format("\"{}\" would be {:.6g} mm large; parts go up to {:.0f} mm.", b.name, 1e3 * size,
                             1e3 * part_size_max),
                 "Check the units and the powers of ten of its dimensions and its mass.");
  }
}

/// The ram sits on the column: a sleeve that stands proud of it would carry force and current instead.
void report_proud_sleeves(const Case& c, const Stack& stack, ErrorList& errors) {
  const double high = stack.layout[top_of_column(stack)].z_top;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != Role::sleeve) continue;
    const double proud = std::max(-stack.layout[k].z_bottom, stack.layout[k].z_top - high);
    if (proud > mesh::touch_tolerance)
      errors.add(place_of(c, stack.parts[k]), "",
                 fmt::format("\"{}\" reaches {:.3f} mm beyond the end of the column.", stack.layout[k].name,
                             1e3 * proud),
                 "The rams press on the column: shorten the sleeve or lengthen the column.");
  }
}

/// Whether a foil is said to line the bore of a core rod.
bool report_bores_of_rods(const Case& c, ErrorList& errors) {
  bool any = false;
  for (const FoilLayer& foil : c.foils)
    for (const Sleeve& sleeve : c.sleeves) {
      if (foil.outside || sleeve.name != foil.along || sleeve.inner_diameter > 0.0) continue;
      errors.add(foil.written.at("along"), foil.written.path_of("along"),
                 fmt::format("\"{}\" is solid and has no bore to line.", sleeve.name),
                 "Write `along: outside of " + sleeve.name + "`, or give the sleeve an inner diameter.");
      any = true;
    }
  return any;
}

/// Whether one of the two stands in the column and the other around it.
bool column_against_sleeve(const Stack& stack, const mesh::LayoutFault& fault) {
  const auto around = [&stack](int block) {
    return stack.parts[block].role == Role::sleeve || stack.parts[block].role == Role::lining;
  };
  return fault.other && around(fault.block) != around(*fault.other);
}

bool column_part(const Stack& stack, int block) {
  return stack.parts[block].role == Role::column || stack.parts[block].role == Role::powder;
}

void report_faults(const Case& c, const Stack& stack, bool collides, ErrorList& errors) {
  for (const mesh::LayoutFault& fault : mesh::faults_of(stack.layout)) {
    if (collides && fault.kind == mesh::LayoutFault::Kind::overlap && column_against_sleeve(stack, fault))
      continue;
    const mesh::Block& block = stack.layout[fault.block];
    const Place& place = place_of(c, stack.parts[fault.block]);
    const double mm = 1e3 * fault.size;
    if (fault.kind == mesh::LayoutFault::Kind::empty) {
      errors.add(place, "", fmt::format("\"{}\" has no thickness ({:.3f} mm).", block.name, mm),
                 "Check its diameters, thickness and height.");
    } else if (fault.kind == mesh::LayoutFault::Kind::overlap) {
      errors.add(place, "",
                 fmt::format("\"{}\" and \"{}\" overlap by {:.3f} mm.", block.name,
                             stack.layout[*fault.other].name, mm),
                 "Check diameters, bore, foil thickness and heights.");
    } else {
      errors.add(place, "",
                 fmt::format("\"{}\" touches nothing; the nearest part, \"{}\", is {:.3f} mm away.",
                             block.name, fault.other ? stack.layout[*fault.other].name : "none", mm),
                 "Line the bore or the core rod with a foil, or correct the diameters.");
    }
  }
}

void report_gaps(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  for (const mesh::BlockPair& pair : p.interfaces.pairs) {
    if (pair.side_a != mesh::Side::outer || pair.gap <= gap_beside_powder_max) continue;
    for (const int block : {pair.block_a, pair.block_b}) {
      if (stack.parts[block].role != Role::powder) continue;
      const int other = block == pair.block_a ? pair.block_b : pair.block_a;
      errors.add(place_of(c, stack.parts[block]), "",
                 fmt::format("Beside \"{}\" a gap of {:.3f} mm to \"{}\" is open; the powder would run out.",
                             stack.layout[block].name, 1e3 * pair.gap, stack.layout[other].name),
                 "Line the bore or the core rod with a foil, or make them fit (at most 0.05 mm).");
    }
  }
}

/// Powder that nothing holds at its side, or in its bore.
void report_bare_powder(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  for (const mesh::Side side : {mesh::Side::outer, mesh::Side::inner}) {
    const bool outside = side == mesh::Side::outer;
    std::vector<double> bare(stack.parts.size(), 0.0);  // m2
    for (const mesh::OuterFace& face : p.interfaces.outer_faces)
      if (face.a.side == side) bare[p.mesh.block_of[face.a.cell]] += face.a.area;
    for (const mesh::BlockPair& pair : p.interfaces.pairs)
      if (pair.side_a == mesh::Side::outer && pair.gap == 0.0 &&
          stack.parts[outside ? pair.block_b : pair.block_a].soft)
        bare[outside ? pair.block_a : pair.block_b] += pair.area;
    for (std::size_t k = 0; k < stack.parts.size(); ++k) {
      if (stack.parts[k].role != Role::powder || bare[k] == 0.0) continue;
      const mesh::Block& block = stack.layout[k];
      const double height = bare[k] / (2.0 * std::numbers::pi * (outside ? block.r_outer : block.r_inner));
      if (height > mesh::touch_tolerance)
        errors.add(place_of(c, stack.parts[k]), "",
                   fmt::format("Nothing holds \"{}\" {} over {:.3f} mm of its height.", block.name,
                               outside ? "at its side" : "in its bore", 1e3 * height),
                   outside ? "Add a sleeve around it, tall enough."
                           : "Add a core rod (a sleeve without inner diameter) in it, tall enough.");
    }
  }
}

/// Powder over the open bore of a punch.  Openings narrower than a wide gap are wear and warned of elsewhere.
void report_open_bores(const Case& c, const Stack& stack, ErrorList& errors) {
  constexpr double opening_max = 0.5e-3;  // m
  const auto block_of = [&stack](std::size_t column_part) -> const mesh::Block& {
    for (std::size_t k = 0; k < stack.parts.size(); ++k) {
      const bool in_column = stack.parts[k].role == Role::column || stack.parts[k].role == Role::powder;
      if (in_column && stack.parts[k].source == static_cast<int>(column_part)) return stack.layout[k];
    }
    throw std::logic_error("no such part in the stack");
  };
  for (std::size_t k = 1; k < c.column.size(); ++k) {
    if (c.column[k - 1].powder == c.column[k].powder) continue;
    const std::size_t powder = c.column[k].powder ? k : k - 1, tool = c.column[k].powder ? k - 1 : k;
    const double bore = block_of(tool).r_inner;
    if (bore - block_of(powder).r_inner < opening_max) continue;
    errors.add(
        c.column[tool].written.at("bore"), c.column[tool].written.path_of("bore"),
        fmt::format("Nothing holds \"{}\" over the bore of {:.2f} mm of \"{}\".", c.column[powder].name,
                    2e3 * bore, c.column[tool].name),
        "Leave the bore out, end it in a plate of its own below the powder, or fill it with a core rod.");
  }
}

/// Parts reached from the first column part through touching conductors.
void report_current_path(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  if (c.column.empty() || c.programme.by_furnace) return;
  // Felt would let some through, at a voltage no press has.
  const auto conducts = [&](int block) {
    return !material_named(c, stack.parts[block].material).insulator && !stack.parts[block].soft;
  };
  const int top = top_of_column(stack);
  std::vector<bool> reached(stack.parts.size(), false);
  reached[0] = conducts(0);
  for (std::size_t round = 0; round < stack.parts.size(); ++round)
    for (const mesh::BlockPair& pair : p.interfaces.pairs)
      if (pair.gap == 0.0 && conducts(pair.block_a) && conducts(pair.block_b) &&
          (reached[pair.block_a] || reached[pair.block_b]))
        reached[pair.block_a] = reached[pair.block_b] = true;
  if (!reached[top])
    errors.add(
        place_of(c, stack.parts[top]), "",
        fmt::format("The current finds no way from \"{}\" to \"{}\".", stack.layout[0].name,
                    stack.layout[top].name),
        fmt::format("A conducting chain of parts must touch from end to end: check the sleeve, its foil and "
                    "the punches.{}",
                    anything_worn(c) ? " Wear has opened a gap: a thicker foil takes it up." : ""));
}

}  // namespace

void report_impossible_layout(const Case& c, const Stack& stack, bool collides, ErrorList& errors) {
  if (stack.layout.empty()) {
    errors.add(Place{c.file, 0, 0}, "column", "The column is empty.", "List its parts from bottom to top.");
    return;
  }
  if (report_bores_of_rods(c, errors)) return;
  report_giants(c, stack, errors);
  report_faults(c, stack, collides, errors);
  report_proud_sleeves(c, stack, errors);
}

void report_closing(const Case& c, const Stack& stack, ErrorList& errors) {
  solver::Problem p;
  set_beds(c, stack, p);
  mesh::Layout closed = stack.layout;
  for (std::size_t b = 0; b < p.beds.size(); ++b) {
    const mesh::Block& bed = stack.layout[p.beds[b].block];
    const double density = start_density(c, c.column[stack.parts[p.beds[b].block].source]);
    const double lost = (1.0 - density) * (bed.z_top - bed.z_bottom);
    for (std::size_t k = 0; k < closed.size(); ++k) {
      closed[k].z_bottom -= p.rides[k][b] * lost;
      closed[k].z_top -= p.rides[k][b] * lost;
    }
    closed[p.beds[b].block].z_top -= lost;
  }
  for (const mesh::LayoutFault& fault : mesh::faults_of(closed)) {
    if (fault.kind != mesh::LayoutFault::Kind::overlap) continue;
    // A sleeve is what can be changed.
    const int block = column_part(stack, fault.block) ? *fault.other : fault.block;
    errors.add(
        place_of(c, stack.parts[block]), "",
        fmt::format("\"{}\" and \"{}\" would overlap by {:.3f} mm when the powder is dense.",
                    stack.layout[fault.block].name, stack.layout[*fault.other].name, 1e3 * fault.size),
        stack.parts[block].soft
            ? "Felt would be squeezed there, which is not modelled: give it the height that is left to it."
            : "Make it lower by that much, lengthen the punch, or let it move with what it would meet.");
  }
}

void report_cells(const Case& c, const Stack& stack, const mesh::GridRule& rule, ErrorList& errors) {
  double cells = 0.0;
  for (const mesh::Block& b : stack.layout)
    cells += std::ceil((b.r_outer - b.r_inner) / rule.largest) *
             std::ceil((b.z_top - b.z_bottom) / rule.largest) * rule.refinement * rule.refinement;
  if (cells > cells_max)
    errors.add(Place{c.file, 0, 0}, "numerics.refinement",
               fmt::format("The grid would have more than {:.1f} million cells; {:.0f} million are possible.",
                           1e-6 * cells, 1e-6 * cells_max),
               "Lower the refinement, ask for less accuracy, or check the dimensions of the parts.");
}

void report_impossible_contacts(const Case& c, const Stack& stack, const solver::Problem& p,
                                ErrorList& errors) {
  report_gaps(c, stack, p, errors);
  report_bare_powder(c, stack, p, errors);
  report_open_bores(c, stack, errors);
  report_current_path(c, stack, p, errors);
}

std::vector<std::string> gap_warnings(const Case& c, const solver::Problem& p) {
  constexpr double narrow = 1e-3;  // m; wider ones are meant
  const Stack stack = stack_of(c);
  const auto tool = [&](int block) { return stack.parts[block].role == Role::column; };
  std::vector<std::string> warnings;
  for (const mesh::BlockPair& pair : p.interfaces.pairs)
    if (pair.side_a == mesh::Side::outer && pair.gap > 0.0 && pair.gap < narrow &&
        !stack.parts[pair.block_a].soft && !stack.parts[pair.block_b].soft &&
        (tool(pair.block_a) || tool(pair.block_b)))
      warnings.push_back(
          fmt::format("Between \"{}\" and \"{}\" a gap of {:.3f} mm is open all around: {}heat by radiation "
                      "only.{}",
                      stack.layout[pair.block_a].name, stack.layout[pair.block_b].name, 1e3 * pair.gap,
                      c.programme.by_furnace ? "there passes " : "no current passes there, and ",
                      anything_worn(c) ? " A thicker foil takes wear up." : ""));
  return warnings;
}

}  // namespace joulepress::cases
