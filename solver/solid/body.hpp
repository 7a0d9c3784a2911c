// Elastic bodies of revolution: blocks of cells that touch, are held, pressed and grow by heat.
//
// Every block is a body of its own until a joint holds it to another.  A joint is a layer without thickness
// between two sides that face each other, with a stiffness of its own across and along: a foil (its modulus
// over its thickness, no shear: it slides), or a weld of two blocks of one part (both far stiffer than the
// blocks).  Where a joint may open it carries pressure only: which places of it are closed is found by turns
// until nothing changes.  Small displacements; the shape is that of the drawing.
#pragma once

#include <array>
#include <functional>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "mesh/interfaces.hpp"
#include "solver/solid/element.hpp"

namespace joulepress::solid {

struct SolidBlock {
  std::vector<double> r_lines, z_lines;  ///< m, ascending
  std::vector<Elastic> elastic;          ///< per cell j n_r + i
  std::vector<double> free_strain;       ///< per corner j (n_r + 1) + i [-]; empty: none
  double anchor = 0;                     ///< N/m, of a spring along z at every node, for a block that floats
  int n_r() const { return static_cast<int>(r_lines.size()) - 1; }
  int n_z() const { return static_cast<int>(z_lines.size()) - 1; }
  int nodes() const { return (2 * n_r() + 1) * (2 * n_z() + 1); }
};

/// A side that something presses on, across it; a function of the place along the side (z of inner and outer
/// sides, r of bottom and top) [m] -> [Pa].
struct Pressure {
  int block = 0;
  mesh::Side side = mesh::Side::outer;
  std::function<double(double)> at;
};

/// A side that cannot move across itself.
struct Held {
  int block = 0;
  mesh::Side side = mesh::Side::bottom;
};

/// Two sides that face each other over the stretch that both have.
struct Joint {
  int a = 0, b = 0;
  mesh::Side side_a = mesh::Side::outer, side_b = mesh::Side::inner;
  double across = 0;     ///< stiffness [Pa/m]
  double along = 0;      ///< stiffness against sliding [Pa/m]; 0: slides
  double gap = 0;        ///< m, between the two before anything moves; negative: pressed into each other
  bool may_open = true;  ///< carries pressure only
  std::function<double(double)> gap_at = {};  ///< m, besides `gap`, at a place along the side; empty: none
};

struct Body {
  std::vector<SolidBlock> blocks;
  std::vector<Pressure> pressures;
  std::vector<Held> held;
  std::vector<Joint> joints;
};

/// What a place of a joint carries.
struct JointPoint {
  double place = 0;     ///< m along the side
  double pressure = 0;  ///< Pa, positive where the two press on each other
  double opening = 0;   ///< m
  double area = 0;      ///< m2, that the place stands for
};

struct Deformed {
  bool solved = false;
  std::string reason;  ///< why not: nothing holds a block, or the joints do not settle
  int turns = 0;       ///< of the joints
  /// Per block: u_r and u_z of node n at 2 n and 2 n + 1 [m]; nodes as cells, (2 n_r + 1) in a row.
  std::vector<std::vector<double>> displacement;
  std::vector<std::vector<JointPoint>> joints;  ///< ascending along the side
};

/// Static equilibrium.  `like`: the same body, or nearly so, under another load; its joints are tried first.
Deformed deform(const Body& body, const Deformed* like = nullptr);

/// At a place -1 <= xi, eta <= 1 of cell (i, j) of a block.
Stress stress_at(const Body& body, const Deformed& deformed, int block, int i, int j, double xi, double eta);

/// Displacement of a node (0 <= i <= 2 n_r, 0 <= j <= 2 n_z) [m].
std::array<double, 2> displacement_at(const Body& body, const Deformed& deformed, int block, int i, int j);

/// How far a side has moved out of its block at a place along it [m].
double way_out(const Body& body, const Deformed& deformed, int block, mesh::Side side, double place);

/// Work that the pressures do on the way there, half of force times way [J].
double work_of_pressures(const Body& body, const Deformed& deformed);

/// Elastic energy of the blocks and joints of a body without free strains and gaps [J].
double strain_energy(const Body& body, const Deformed& deformed);

}  // namespace joulepress::solid
