#include "cases/pressing.hpp"

#include <algorithm>
#include <stdexcept>

#include "cases/beds.hpp"

namespace joulepress::cases {
namespace {

double density_in(const Case& c, const ColumnPart& powder, PowderState state) {
  switch (state) {
    case PowderState::start:
      return start_density(c, powder);
    case PowderState::preload:
      return powder.relative_density.value();
    case PowderState::end:
      return powder.end_density;
    case PowderState::dense:
      break;
  }
  return 1.0;
}

const mesh::Block& block_of(const Stack& stack, Role role, int source) {
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const bool same_role =
        stack.parts[k].role == role || (role == Role::column && stack.parts[k].role == Role::powder);
    if (same_role && stack.parts[k].source == source) return stack.layout[k];
  }
  throw std::logic_error("no such part in the stack");
}

/// The entry from one end: walks from the powder outward along the column.
Entry entry_of(const Case& c, const Stack& stack, int sleeve, int powder, bool upper) {
  const mesh::Block& around = block_of(stack, Role::sleeve, sleeve);
  const int step = upper ? 1 : -1;
  Entry entry{sleeve, upper, powder + step, -1, 0.0, 0.0};
  const double end = upper ? around.z_top : -around.z_bottom;
  const auto near_face = [&](int part) {
    const mesh::Block& b = block_of(stack, Role::column, part);
    return upper ? b.z_bottom : -b.z_top;
  };
  entry.guided = end - near_face(entry.punch);
  for (int part = entry.punch; part >= 0 && part < static_cast<int>(c.column.size()); part += step) {
    const mesh::Block& b = block_of(stack, Role::column, part);
    if (b.r_outer > around.r_inner) {
      entry.stop = part;
      entry.free = near_face(part) - end;
      return entry;
    }
    entry.free = (upper ? b.z_top : -b.z_bottom) - end;
  }
  return entry;
}

}  // namespace

bool start_is_known(const Case& c) {
  return std::all_of(c.column.begin(), c.column.end(), [](const ColumnPart& part) {
    return !part.powder || part.relative_density.value_or(0.0) > 0.0;
  });
}

Stack stack_of(const Case& c, PowderState state) {
  if (state == PowderState::end) return stack_of(c);
  Case other = c;
  for (ColumnPart& part : other.column) {
    if (!part.powder) continue;
    const double density = density_in(c, part, state);
    if (part.height) *part.height *= part.end_density / density;
    part.end_density = density;
  }
  return stack_of(other);
}

std::vector<Entry> entries_of(const Case& c, PowderState state) {
  const Stack stack = stack_of(c, state), dense = stack_of(c);
  const int last = static_cast<int>(c.column.size()) - 1;
  std::vector<Entry> entries;
  for (int s = 0; s < static_cast<int>(c.sleeves.size()); ++s) {
    const int block = block_named(dense, c.sleeves[s].name);
    const mesh::Block& around = dense.layout[block];
    int low = -1, high = -1;  // powders it holds, lowest and highest
    for (int k = 1; k < last; ++k) {
      if (!c.column[k].powder || around.r_inner == 0.0) continue;
      const mesh::Block& b = block_of(dense, Role::column, k);
      const double middle = 0.5 * (b.z_bottom + b.z_top);
      if (b.r_outer > around.r_inner || sleeve_around(dense, b, middle, middle) != block) continue;
      if (low < 0) low = k;
      high = k;
    }
    if (low < 0) continue;
    entries.push_back(entry_of(c, stack, s, low, false));
    entries.push_back(entry_of(c, stack, s, high, true));
  }
  return entries;
}

double force_at(const Case& c, double pressure) {
  for (const ColumnPart& part : c.column)
    if (part.powder) return pressure * cross_section(part);
  return 0.0;
}

double force_on_column(const Case& c, double pressure) {
  return force_at(c, pressure) + c.press.vacuum_pull + c.press.moving_weight;
}

std::optional<double> highest_pressure(const Case& c) {
  std::optional<double> highest;
  for (const ProgrammeStep& step : c.programme.pressure) highest = std::max(highest.value_or(0.0), step.to);
  return highest;
}

bool is_punch(const Case& c, std::size_t k) {
  return !c.column[k].powder &&
         ((k > 0 && c.column[k - 1].powder) || (k + 1 < c.column.size() && c.column[k + 1].powder));
}

}  // namespace joulepress::cases
