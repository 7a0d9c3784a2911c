// What cannot be pressed or heated: parts that overlap, float or are absurdly large, open gaps, no path for
// the current.  Every message names the parts and the millimetres.
#pragma once

#include "cases/reader/input_error.hpp"
#include "cases/stack.hpp"

namespace joulepress::cases {

/// Faults that no mesh can be made of.  `collides`: that tools do not enter their sleeves was said already.
void report_impossible_layout(const Case& c, const Stack& stack, bool collides, ErrorList& errors);

/// Parts that would meet as the powder closes, whatever they move with: an end cap and a spacer.  Of a layout
/// without faults.
void report_closing(const Case& c, const Stack& stack, ErrorList& errors);

/// Reports a grid that would fill the memory, from the least number of cells it would have.
void report_cells(const Case& c, const Stack& stack, const mesh::GridRule& rule, ErrorList& errors);

/// Faults that show when it is known who touches whom.
void report_impossible_contacts(const Case& c, const Stack& stack, const solver::Problem& p,
                                ErrorList& errors);

}  // namespace joulepress::cases
