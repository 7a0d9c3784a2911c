#include "cases/blank_case.hpp"

#include "cases/pressing.hpp"

namespace joulepress::cases {

std::optional<Case> blank_case(const Case& c) {
  const Stack end = stack_of(c, PowderState::end);
  Case blank = c;
  bool any = false;
  for (std::size_t k = 0; k < blank.column.size(); ++k) {
    ColumnPart& part = blank.column[k];
    if (!part.powder) continue;
    if (k + 1 == blank.column.size() || blank.column[k + 1].powder) return std::nullopt;
    for (std::size_t block = 0; block < end.parts.size(); ++block) {
      if (end.parts[block].role != Role::powder || end.parts[block].source != static_cast<int>(k)) continue;
      const mesh::Block& powder = end.layout[block];
      part.height = powder.z_top - powder.z_bottom;
    }
    part.powder = false;
    part.material = blank.column[k + 1].material;
    part.mass.reset();
    part.relative_density.reset();
    part.density_pressure.reset();
    part.grain.reset();
    any = true;
  }
  if (!any) return std::nullopt;
  return blank;
}

}  // namespace joulepress::cases
