// What happens to the stack while it is pressed, as far as cold dimensions tell: heights of the powder, how
// far the punches stand free of the die, forces and pressures.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/stack.hpp"

namespace joulepress::cases {

/// How dense the powder is: under the preload, as expected at the end, without any pore; `start`: as the run
/// begins, under the preload where it densifies and as expected at the end where it does not.
enum class PowderState { preload, end, dense, start };

/// Whether every powder says its density under the preload.
bool start_is_known(const Case& c);

/// The stack with the powder in that state.  `preload` needs start_is_known.
Stack stack_of(const Case& c, PowderState state);

/// One side of a sleeve that holds powder: the tool that enters it and the next part too wide to follow.
struct Entry {
  int sleeve = 0;     ///< index into the sleeves of the case
  bool upper = true;  ///< from above, or from below
  int punch = 0;      ///< index into the column of the case
  int stop = -1;      ///< column part that is too wide to enter; -1: none before the end of the column
  double free = 0;  ///< from the end of the sleeve to the stop, or to the end of the column [m]; below 0: it
                    ///< would have to enter
  double guided = 0;  ///< how far the punch is inside the sleeve [m]; below 0: the powder stands proud
};

/// Both entries of every sleeve that holds powder, at one state of the powder.
std::vector<Entry> entries_of(const Case& c, PowderState state);

/// Force on the column at a pressure on the (first) powder [N]; 0 without powder.
double force_at(const Case& c, double pressure);

/// The same with what pulls and weighs without showing on the gauge [N].
double force_on_column(const Case& c, double pressure);

/// Highest pressure of the programme [Pa]; nothing without a programme of it.
std::optional<double> highest_pressure(const Case& c);

/// Whether the part touches a powder in the column (foil between them does not count as a part).
bool is_punch(const Case& c, std::size_t column_part);

}  // namespace joulepress::cases
