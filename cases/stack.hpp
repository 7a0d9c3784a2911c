// From the parts of a case to rectangles in space: the column stacked bottom to top from z = 0, foils between
// neighbours included, sleeves and core rods centred on their part, standing on one or hanging below one,
// bores and outsides lined, wear taken off.
//
// Wear: a worn bore is wider, a worn core rod and a worn tool of the column are thinner.  The powder fills
// the wider cavity, its mass kept: its diameter grows by the wear of the sleeve around it (its bore shrinks
// by that of its core rod), but no further than the lining leaves room.  Foil lies against the wall it lines.
// Punches keep their size, so that a gap opens beside them.
#pragma once

#include <vector>

#include "cases/case.hpp"
#include "mesh/layout.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

enum class Role { column, powder, disc_foil, sleeve, lining };

struct StackPart {
  Role role = Role::column;
  int source = 0;  ///< index into column, foils or sleeves of the case
  std::string material;
  bool floor = false;  ///< what a blind bore leaves of a tool: a part of its own, one piece with the other
  bool soft = false;   ///< felt: it lies loosely, carries no force and holds no powder
};

struct Stack {
  mesh::Layout layout;  ///< one block per part, block index = part index
  std::vector<StackPart> parts;
};

/// Cross-section of a column part as drawn, bore taken out [m2].
double cross_section(const ColumnPart& part);

/// Height of a powder at its expected end density [m].
double powder_height(const ColumnPart& powder, const materials::Material& material);

/// Expected relative density at the end, used through the run.
double end_density(const ColumnPart& powder);

/// Whether any tool has lost size.
bool anything_worn(const Case& c);

const materials::Material& material_named(const Case& c, const std::string& name);

/// Whether a part is of it; others are read because a material starts from them or mixes them.
bool is_used(const Case& c, const materials::Material& material);

/// Whether every part has its dimensions, material and place: true for any case read without mistakes, and
/// for many read with some.
bool stack_is_known(const Case& c);

/// The stack of a case that is known.
Stack stack_of(const Case& c);

bool is_foil(const StackPart& part);

/// Block of that name; -1: none.
int block_named(const Stack& stack, const std::string& name);

/// The part of the column, or the sensor, that a case calls so; null or -1: none.
const ColumnPart* column_part_named(const Case& c, const std::string& name);
int sensor_named(const Case& c, const std::string& name);

/// The sleeve of that name; null: none.
const Sleeve* sleeve_named(const Case& c, const std::string& name);

/// What it stands on or hangs below; empty: it is centred on a part.
const std::string& support_of(const Sleeve& sleeve);

/// The next sleeve outward from a part that covers some height between two, felt left out; -1: none.
int sleeve_around(const Stack& stack, const mesh::Block& part, double low, double high);

/// Thickness of the foil in the bore of a sleeve, or on its outside; 0: none.
double lining_thickness(const Case& c, const std::string& sleeve, bool outside);

/// Name of the part below a blind bore.
std::string floor_name(const std::string& tool);

/// Whether two parts are one piece of material: a tool and the floor of its blind bore.
bool one_piece(const StackPart& a, const StackPart& b);

/// Block at the upper end of the column; the lower end is block 0.
int top_of_column(const Stack& stack);

}  // namespace joulepress::cases
