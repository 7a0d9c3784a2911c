// The input of the mesh: parts of revolution as rectangles in the r-z half plane.
//
// A block is one rectangle r_inner <= r <= r_outer, z_bottom <= z <= z_top, turned about the axis r = 0.
// A part is one block, or several that touch (a bored part is two).  All lengths in metres, areas and
// volumes are those of the full revolution.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace joulepress::mesh {

struct Block {
  std::string name;  ///< name of the part, as messages say it
  int part = 0;      ///< index of the part the block belongs to
  double r_inner = 0, r_outer = 0;
  double z_bottom = 0, z_top = 0;
};

/// How fine the grid is.  The wanted cell size at x is
///   h(x) = min(largest, min over features f of (smallest + growth * |x - x_f|)),
/// features being the block's own ends and the ends of every contact on its edges: there current turns.
/// Where two features lie closer than cells_across_min cells of the smallest size, the cells between them are
/// smaller still, and grow from there by the same rule.  Where they lie further apart, no cell is larger than
/// the stretch over per_stretch (or three of the smallest: sheets need no more across).
struct GridRule {
  double smallest = 0.1e-3;  ///< cell size at corners and contact edges [m]
  double growth = 0.4;       ///< how much a cell may be larger per distance from a feature [-]
  double largest = 1.2e-3;   ///< cell size far from any feature [m]
  int cells_across_min = 2;  ///< least number of cells between two features
  double per_stretch = 1;    ///< least number of cells between two features that are far apart [-]
  int refinement = 1;        ///< every cell is divided by this in both directions, along the same grading
  std::optional<double>
      mirror;  ///< height of a mid-plane on which a line shall lie where a stretch is centred on it
};

using Layout = std::vector<Block>;

/// Lengths closer than this count as equal [m].
inline constexpr double touch_tolerance = 1e-8;

/// What is wrong with a layout.  Lengths in metres.
struct LayoutFault {
  enum class Kind {
    empty,     ///< a block without extent (size = the smaller side)
    overlap,   ///< two blocks share space (size = the shortest way in r or z that would part them)
    floating,  ///< a block from which no chain of contacts leads to block 0 (size = the nearest gap)
  };
  Kind kind;
  int block = 0;
  std::optional<int> other;  ///< the block it overlaps, or the nearest one
  double size = 0;
};

/// All faults of the layout, empty when it can be meshed.
std::vector<LayoutFault> faults_of(const Layout& layout);

}  // namespace joulepress::mesh
