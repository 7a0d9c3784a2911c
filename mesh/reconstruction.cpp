#include "mesh/reconstruction.hpp"

#include <numbers>

#include "mesh/polynomial.hpp"

namespace joulepress::mesh {
namespace {

using std::numbers::pi;

/// One row of cells of a block, in the coordinate t of its polynomials.
struct Row {
  std::span<const double> lines;  ///< r or z [m]
  bool radial = false;
  bool axis = false;      ///< the row begins on the axis: no edge there
  bool mirrored = false;  ///< the row begins on a mid-plane

  int n() const { return static_cast<int>(lines.size()) - 1; }
  double t(int line) const { return radial ? lines[line] * lines[line] : lines[line]; }
  double dt_dx(int line) const { return radial ? 2.0 * lines[line] : 1.0; }
  Datum cell(int k) const { return {t(k), t(k + 1)}; }
  Datum edge(int line) const { return {t(line), t(line)}; }
  Datum image(int k) const { return {2.0 * lines[0] - lines[k + 1], 2.0 * lines[0] - lines[k]}; }
};

/// Stencil of the face between cells k and k + 1 of a row; `number(k)` names the datum of cell k, -1 and n
/// those of the edges.
template <class F>
FaceStencil face_stencil(const Row& row, int k, Fluxes fluxes, F&& number) {
  FaceStencil stencil;
  if (fluxes == Fluxes::two_point) {
    stencil.at = {number(k), number(k + 1), number(k), number(k)};
    const double share = (row.lines[k + 1] - row.lines[k]) / (row.lines[k + 2] - row.lines[k]);
    stencil.drop = {1.0, -1.0, 0.0, 0.0};
    stencil.value = {1.0 - share, share, 0.0, 0.0};
    return stencil;
  }
  std::array<Datum, data_max> data;
  int count = 0;
  const auto add = [&](const Datum& datum, int its_number) {
    stencil.at[count] = its_number;
    data[count++] = datum;
  };
  if (k > 0)
    add(row.cell(k - 1), number(k - 1));
  else if (!row.axis)
    add(row.mirrored ? row.image(0) : row.edge(0), number(-1));
  add(row.cell(k), number(k));
  add(row.cell(k + 1), number(k + 1));
  if (k + 2 < row.n())
    add(row.cell(k + 2), number(k + 2));
  else
    add(row.edge(row.n()), number(row.n()));
  const std::span<const Datum> known = std::span(data).first(count);
  const Weights slope = slope_weights(known, row.t(k + 1));
  const double distance = 0.5 * (row.lines[k + 2] - row.lines[k]);
  for (int d = 0; d < count; ++d) stencil.drop[d] = -distance * row.dt_dx(k + 1) * slope[d];
  stencil.value = value_weights(known, row.edge(k + 1));
  for (int d = count; d < data_max; ++d) stencil.at[d] = stencil.at[0];
  return stencil;
}

Row row_of(const BlockGrid& grid, bool radial) {
  const std::vector<double>& lines = radial ? grid.r_lines : grid.z_lines;
  return {lines, radial, radial && lines.front() <= touch_tolerance, !radial && grid.mirrored};
}

/// Numbers of edge values: per block those of its inner, outer, bottom and top side.
std::vector<std::array<int, 4>> number_edges(const Mesh& mesh, int& n_edges) {
  std::vector<std::array<int, 4>> first;
  for (const BlockGrid& grid : mesh.grids) {
    const int z = grid.n_z(), r = grid.n_r();
    first.push_back({n_edges, n_edges + z, n_edges + 2 * z, n_edges + 2 * z + r});
    n_edges += 2 * (z + r);
  }
  return first;
}

/// The face between a row and its image, from two cells and their images: the odd field's flux, as the half
/// cell's, and the even one's value.
void read_mid_plane(const Row& row, SideRow& side) {
  const std::array<Datum, 4> data{row.image(1), row.image(0), row.cell(0), row.cell(1)};
  const Weights slope = slope_weights(data, row.t(0)), value = value_weights(data, row.edge(0));
  const double first = slope[2] - slope[1], second = slope[3] - slope[0];
  side.slope = first + second;
  side.beyond = -second / (first + second);
  side.level = -(value[0] + value[3]);
}

SideRow side_row(const BlockGrid& grid, Side which, Fluxes fluxes) {
  const bool radial = which == Side::inner || which == Side::outer;
  const bool low = which == Side::inner || which == Side::bottom;
  const Row row = row_of(grid, radial);
  const int at = low ? 0 : row.n(), first = low ? 0 : row.n() - 1, second = low ? 1 : row.n() - 2;
  SideRow side;
  side.slope = 2.0 / (row.lines[first + 1] - row.lines[first]);
  side.mid_plane = which == Side::bottom && grid.mirrored;
  if (fluxes == Fluxes::two_point || row.n() < 2) return side;
  side.inward = (low ? 1 : -1) * (radial ? 1 : grid.n_r());
  if (side.mid_plane) {
    read_mid_plane(row, side);
    return side;
  }
  if (radial && low && row.axis) return side;  // no area there
  const std::array<Datum, 3> data{row.edge(at), row.cell(first), row.cell(second)};
  const Weights slope = slope_weights(data, row.t(at));
  // Slope along the inward normal: s1 T1 + s2 T2 - (s1 + s2) x.
  side.slope = (low ? 1.0 : -1.0) * row.dt_dx(at) * (slope[1] + slope[2]);
  side.beyond = -slope[2] / (slope[1] + slope[2]);
  const std::array<Datum, 2> cells{row.cell(first), row.cell(second)};
  side.stretch = -value_weights(cells, row.edge(at))[1];
  return side;
}

/// Faces low, here and high cover stretches of one line; where there is none beside, `here` takes its place.
Beside beside(int low, const Datum& at_low, const Datum& here, int high, const Datum& at_high) {
  Beside out;
  out.low = low;
  out.high = high;
  const double width = here.to - here.from;
  const double apart = 0.5 * (at_high.from + at_high.to) - 0.5 * (at_low.from + at_low.to);
  if (low != high) out.factor = width * width / (12.0 * apart * apart);
  return out;
}

/// The same where the image of the face itself lies below it.
Beside beside_image(int f, const Datum& image, const Datum& here, int high, const Datum& at_high) {
  Beside out = beside(-1, image, here, high, at_high);
  out.low = f;
  out.low_sign = -1.0;
  return out;
}

bool begins_on_mid_plane(const Mesh& mesh, const PairFace& face, const Datum& stretch) {
  const BlockGrid& grid = mesh.grids[mesh.block_of[face.a.cell]];
  return face.a.side == Side::outer && grid.mirrored &&
         stretch.from - grid.z_lines.front() <= touch_tolerance;
}

int column_of(const BlockGrid& grid, int cell) {
  return (cell - grid.first_cell) % grid.n_r();
}
int row_of_cell(const BlockGrid& grid, int cell) {
  return (cell - grid.first_cell) / grid.n_r();
}

/// Numbers the values that one row's stencils speak of.
struct Numbering {
  int first, stride;  ///< cell k has the number first + k * stride
  int low, high;      ///< of the edges at its ends
  int of(int k, int n) const { return k < 0 ? low : k == n ? high : first + k * stride; }
};

void read_sides(const BlockGrid& grid, Reconstruction& out) {
  for (const Side side : {Side::inner, Side::outer, Side::bottom, Side::top})
    out.sides[grid.block][static_cast<std::size_t>(side)] = side_row(grid, side, out.fluxes);
}

/// Stencils of the inner faces of a block: those of one row serve all rows, but for their numbers.
void read_inner_faces(const Mesh& mesh, const BlockGrid& grid, Reconstruction& out) {
  const Row across = row_of(grid, true), up = row_of(grid, false);
  std::vector<FaceStencil> in_r, in_z;  // at: number of the cell along the row, -1 and n those of the edges
  const auto local = [](int k) { return k; };
  for (int i = 0; i + 1 < across.n(); ++i) in_r.push_back(face_stencil(across, i, out.fluxes, local));
  for (int j = 0; j + 1 < up.n(); ++j) in_z.push_back(face_stencil(up, j, out.fluxes, local));
  const auto numbered = [](FaceStencil stencil, const Numbering& number, int n) {
    for (int& at : stencil.at) at = number.of(at, n);
    return stencil;
  };
  const auto edge = [&](Side side, int k) {
    return mesh.n_cells() + out.first_edge[grid.block][static_cast<std::size_t>(side)] + k;
  };
  // Beside a face across r lie those of the next rows, beside one across z its neighbours in r.
  const auto side_by_side = [&](const Row& along, int at, int f, int stride) {
    const int low = at > 0 ? at - 1 : at, high = at + 1 < along.n() ? at + 1 : at;
    if (out.fluxes == Fluxes::two_point) return Beside{f, f, 0.0};
    if (at == 0 && along.mirrored)
      return beside_image(f, along.image(0), along.cell(0), f + stride * (high - at), along.cell(high));
    return beside(f - stride * (at - low), along.cell(low), along.cell(at), f + stride * (high - at),
                  along.cell(high));
  };
  int f = grid.first_inner_face;
  for (int j = 0; j < up.n(); ++j) {
    const Numbering row{grid.cell(0, j), 1, edge(Side::inner, j), edge(Side::outer, j)};
    for (int i = 0; i + 1 < across.n(); ++i, ++f) {
      out.inner[f] = numbered(in_r[i], row, across.n());
      out.inner_beside[f] = side_by_side(up, j, f, grid.n_r() - 1);
    }
  }
  for (int j = 0; j + 1 < up.n(); ++j) {
    for (int i = 0; i < across.n(); ++i, ++f) {
      const Numbering column{grid.cell(i, 0), grid.n_r(), edge(Side::bottom, i), edge(Side::top, i)};
      out.inner[f] = numbered(in_z[j], column, up.n());
      out.inner_beside[f] = side_by_side(across, i, f, 1);
    }
  }
}

SideStencil numbered_side(const Mesh& mesh, const FaceSide& side, const Reconstruction& out) {
  const int block = mesh.block_of[side.cell];
  const BlockGrid& grid = mesh.grids[block];
  const bool vertical = side.side == Side::inner || side.side == Side::outer;
  const int i = column_of(grid, side.cell), j = row_of_cell(grid, side.cell);
  const SideRow& row = out.sides[block][static_cast<std::size_t>(side.side)];
  SideStencil stencil{row};
  stencil.path = 1.0 / (side.area * row.slope);
  stencil.edge = out.first_edge[block][static_cast<std::size_t>(side.side)] + (vertical ? j : i);
  const double radius = side.side == Side::inner ? grid.r_lines.front() : grid.r_lines.back();
  const double whole =
      vertical ? 2.0 * pi * radius * (grid.z_lines[j + 1] - grid.z_lines[j])
               : pi * (grid.r_lines[i + 1] - grid.r_lines[i]) * (grid.r_lines[i + 1] + grid.r_lines[i]);
  stencil.share = side.area / whole;
  return stencil;
}

/// What lies beside every piece of a pair that is there.
void read_beside(const Mesh& mesh, const Interfaces& interfaces, Reconstruction& out) {
  const int n = static_cast<int>(interfaces.pair_faces.size());
  std::vector<int> there;
  std::vector<Datum> stretches;
  for (int f = 0; f < n; ++f) {
    out.pair_beside[f] = {f, f, 0.0};
    if (interfaces.pair_faces[f].area == 0.0 || out.fluxes == Fluxes::two_point) continue;
    there.push_back(f);
    stretches.push_back(stretch_of(mesh, interfaces.pair_faces[f]));
  }
  const int count = static_cast<int>(there.size());
  for (int k = 0; k < count; ++k) {
    const int f = there[k];
    const auto same = [&](int other) {
      return other >= 0 && other < count &&
             interfaces.pair_faces[there[other]].pair == interfaces.pair_faces[f].pair;
    };
    const int low = same(k - 1) ? k - 1 : k, high = same(k + 1) ? k + 1 : k;
    const Datum& here = stretches[k];
    if (low == k && begins_on_mid_plane(mesh, interfaces.pair_faces[f], here))
      out.pair_beside[f] =
          beside_image(f, {2.0 * here.from - here.to, here.from}, here, there[high], stretches[high]);
    else
      out.pair_beside[f] = beside(there[low], stretches[low], here, there[high], stretches[high]);
  }
}

void read_borders(const Mesh& mesh, const Interfaces& interfaces, Reconstruction& out) {
  for (std::size_t f = 0; f < interfaces.pair_faces.size(); ++f) {
    out.pair_a[f] = numbered_side(mesh, interfaces.pair_faces[f].a, out);
    out.pair_b[f] = numbered_side(mesh, interfaces.pair_faces[f].b, out);
  }
  for (std::size_t f = 0; f < interfaces.outer_faces.size(); ++f)
    out.outer[f] = numbered_side(mesh, interfaces.outer_faces[f].a, out);
  read_beside(mesh, interfaces, out);
}

}  // namespace

Reconstruction reconstruction_of(const Mesh& mesh, const Interfaces& interfaces, Fluxes fluxes) {
  Reconstruction out;
  out.fluxes = fluxes;
  out.first_edge = number_edges(mesh, out.n_edges);
  out.inner.resize(mesh.inner_faces.size());
  out.inner_beside.resize(mesh.inner_faces.size());
  out.pair_a.resize(interfaces.pair_faces.size());
  out.pair_b.resize(interfaces.pair_faces.size());
  out.pair_beside.resize(interfaces.pair_faces.size());
  out.outer.resize(interfaces.outer_faces.size());
  out.sides.resize(mesh.grids.size());
  for (const BlockGrid& grid : mesh.grids) {
    read_sides(grid, out);
    read_inner_faces(mesh, grid, out);
  }
  read_borders(mesh, interfaces, out);
  return out;
}

void read_again(const Mesh& mesh, const Interfaces& interfaces, std::span<const int> changed_blocks,
                Reconstruction& rows) {
  for (const int block : changed_blocks) {
    read_sides(mesh.grids[block], rows);
    read_inner_faces(mesh, mesh.grids[block], rows);
  }
  read_borders(mesh, interfaces, rows);
}

}  // namespace joulepress::mesh
