// Compaction: a powder bed closes between two flat punches in a rigid die.
//
//   closing rate of a cell   e = -dh/(h dt) = e(S + P_L, T, D)          materials/powder.hpp
//   yield                    e grows by  max(0, F/(A P_y) - 1)/t_y,  everywhere alike
//   sintering stress         P_L = (3 gamma / r0) D^2                    (Skorohod and Olevsky, from memory)
//   column j, cells i        sum_i h_ij e_ij = v,   S_j >= 0             for every column that carries
//   force                    sum_j S_j A_j = F (1 - exp(-x)) / x,        x = mu k (perimeter/area) l
// P_y(T, D) what the powder bears without yielding at once, of the bed's mean temperature and density; t_y =
// 1 s, short beside a cycle, is our choice.  S_j axial stress of a column, v closing speed of the punches, F
// force on the punch.  The last line is the mean over the height of what friction at the wall leaves of it
// (Janssen 1895, from memory): mu coefficient of friction, k radial over axial stress in the outermost
// column, l longest way to a punch that moves. Unknown per cell is L = -ln(1 - D): it needs no clipping, and
// with n = 1 it grows evenly. Heights follow from mass, D h = constant.  A column that sinters away from the
// punch carries nothing until the punch has come after it.  From a porosity of 1e-6 on a cell counts as dense
// and stays as it is. Every column has the same mean density, by construction: radial differences are not
// predicted.  Thermal strain is not in v: the drawing is cold, and what columns expand differently is taken
// up elastically. Tests: tests/verification/test_compaction.cpp.
#pragma once

#include <cmath>
#include <span>
#include <vector>

#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

inline const double dense_L = -std::log(dense_porosity);

double relative_density(double L);
double L_of(double relative_density);

/// Force on the column at a time [N].
double force_at(const Problem& problem, double time);

/// The rings a bed is made of; geometry of the start, which mass carries on.
struct BedShape {
  int first_cell = 0, n_r = 0, n_z = 0;
  std::vector<double> area;        ///< per column [m2]
  std::vector<double> dense;       ///< per row: height it has without pores [m]
  double whole_area = 0;           ///< m2
  double dense_height = 0;         ///< m
  double perimeter_over_area = 0;  ///< of the walls [1/m]
  double loosest = 0;              ///< L of the start: no powder grows looser
};
BedShape shape_of(const Problem& problem, const Bed& bed);

/// Height of the columns [m], the mean of those that carry; `stress` empty: not yet known, all do.
double height_of(const BedShape& shape, const CellField& L, const std::vector<double>& stress);

/// What a bed does at one instant.
struct Closing {
  bool settled = true;         ///< false: the stresses were not found
  double speed = 0;            ///< of the punches toward each other [m/s]
  std::vector<double> stress;  ///< per column [Pa]; 0: apart from the punch
  CellField rate;              ///< e per cell [1/s]
  double yields = 0;           ///< share of e that is yield, not creep [1/s]
  /// On the wall, mean over the height [Pa]: k of the outermost column times the mean of all S.  A colder
  /// rim bears more along the axis, but across it stresses even out, or the columns would not stand still.
  double side_pressure = 0;
  double on_powder = 0;  ///< N, what friction leaves of the force, mean over the height
};

/// Solves speed and stresses at one instant.
Closing closing_of(const Problem& problem, const Bed& bed, const BedShape& shape, const BedState& state,
                   std::span<const double> temperature, double force);

/// Adds the work of the punches, force times speed, to the cells that close [W]: by stress times the volume
/// they lose, friction at the wall with the rest.  `per_cell` runs over all cells of the problem.
void add_press_work(const BedShape& shape, const BedState& state, const Closing& closing, double force,
                    CellField& per_cell);

/// One sweep of the implicit equation  L = base + gamma_dt dL/dt:  stresses at the present L, then one
/// correction of every L.  `stress_before` per column: of the step's start, 0 where the column stood apart.
/// Returns the largest change of D; `closing` receives what was solved.
double compact(const Problem& problem, const Bed& bed, const BedShape& shape,
               std::span<const double> temperature, double force, const CellField& base, double gamma_dt,
               const std::vector<double>& stress_before, BedState& state, Closing& closing);

/// Brings the columns that carry to one height after a step, by their pores in proportion: their speeds are
/// equal but for the error of the step.  In the stages it would spoil the order in time.
void level(const BedShape& shape, BedState& state);

/// The same for columns that know nothing of each other, each under the mean stress whatever its height comes
/// to: `apart` of the state.  The spread of their densities bounds what the common punches leave unpredicted.
void compact_apart(const Problem& problem, const Bed& bed, const BedShape& shape,
                   std::span<const double> temperature, double force, double yields, const CellField& base,
                   double gamma_dt, CellField& apart);

/// Relative density of every column, from the L of its cells.
std::vector<double> column_densities(const BedShape& shape, const CellField& L);

/// Height of every layer [m], the area's mean over the columns, whether they carry or not.
std::vector<double> layer_heights(const BedShape& shape, const CellField& L);

/// Number of the bed in a block; -1: none.
int bed_in(const Problem& problem, int block);

}  // namespace joulepress::solver
