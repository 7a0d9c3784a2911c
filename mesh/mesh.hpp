// Cells and inner faces of all blocks, each its own graded rectilinear grid.
//
// Cells and inner faces are for ever: what moves later changes positions and contacts, never numbering.
// A cell value is a mean over the cell.  Half-cell paths are plain distances over face area, in r as in z:
// on a solid cylinder with volumetric heat this is clean second order up to the axis (the axis has no area).
#pragma once

#include <span>
#include <vector>

#include "mesh/layout.hpp"

namespace joulepress::mesh {

enum class Axis { r, z };

/// One inner face between two cells of the same block.
struct InnerFace {
  int a = 0, b = 0;  ///< cells; b lies toward larger r or z
  Axis normal = Axis::r;
  double area = 0;                ///< full revolution [m2]
  double path_a = 0, path_b = 0;  ///< half-cell distance / area [1/m]; resistance = path * resistivity
};

/// The grid of one block.  Cell (i, j) of the block, i along r and j along z, has the number
/// first_cell + j * n_r + i.
struct BlockGrid {
  int block = 0;
  int first_cell = 0;
  int first_inner_face = 0;              ///< the block's faces follow each other: across r, then across z
  std::vector<double> r_lines, z_lines;  ///< ascending, with both ends [m]
  bool mirrored = false;                 ///< the bottom is a mid-plane: below it lies the block's image
  int n_r() const { return static_cast<int>(r_lines.size()) - 1; }
  int n_z() const { return static_cast<int>(z_lines.size()) - 1; }
  int cell(int i, int j) const { return first_cell + j * n_r() + i; }
};

struct Mesh {
  Layout layout;
  std::vector<BlockGrid> grids;  ///< one per block of the layout, same order
  std::vector<int> block_of;     ///< per cell
  std::vector<double> volume;    ///< per cell [m3]
  std::vector<double> r, z;      ///< per cell: middle of its r and z interval [m]
  std::vector<InnerFace> inner_faces;

  int n_cells() const { return static_cast<int>(volume.size()); }
  int part_of(int cell) const {
    return layout[static_cast<std::size_t>(block_of[static_cast<std::size_t>(cell)])].part;
  }
};

/// Puts a block onto other heights: lines, cells, faces and the layout.  Precondition (asserted): as many
/// lines as it has, ascending.
void set_heights(Mesh& mesh, int block, std::span<const double> z_lines);

/// Cells and faces on given lines; the cells are numbered here.
Mesh mesh_of(const Layout& layout, std::vector<BlockGrid> grids);

/// Builds the mesh by the rule.  Precondition (asserted): no block is empty or overlaps another; where heat
/// or current is to pass, none may float either.  `later`: where the same blocks lie at the end of the run;
/// rigid ones are graded toward the ends of the contacts they have then too.
Mesh build_mesh(const Layout& layout, const GridRule& rule, const Layout& later = {});

}  // namespace joulepress::mesh
