#include "solver/compaction.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "materials/powder.hpp"

namespace joulepress::solver {
namespace {

using std::numbers::pi;
constexpr double yield_time = 1.0;  // s

const materials::Material& material_of(const Problem& problem, const Bed& bed) {
  return problem.materials[problem.parts[problem.mesh.layout[bed.block].part].material];
}

/// e of one cell by creep [1/s].
double rate_of(const materials::Material& material, const Bed& bed, double stress, double T, double L) {
  const double D = relative_density(std::min(L, dense_L));
  const double sintering = bed.grain ? materials::sintering_stress(material, 0.5 * *bed.grain, T, D) : 0.0;
  return materials::closing_rate(material, {stress + sintering, T, D, bed.grain});
}

double height_of_cell(const BedShape& shape, int row, double L) {
  return shape.dense[row] / relative_density(L);
}

/// Height of the pores, dense (1 - D) / D.
double pores_of_cell(const BedShape& shape, int row, double L) {
  return shape.dense[row] / std::expm1(L);
}

double column_height(const BedShape& shape, const CellField& L, int column) {
  double sum = 0.0;
  for (int row = 0; row < shape.n_z; ++row) sum += height_of_cell(shape, row, L[row * shape.n_r + column]);
  return sum;
}

/// Sum of h e over a column [m/s].
double column_speed(const materials::Material& material, const Bed& bed, const BedShape& shape,
                    const CellField& L, std::span<const double> T, int column, double stress) {
  double sum = 0.0;
  for (int row = 0; row < shape.n_z; ++row) {
    const int k = row * shape.n_r + column;
    sum += height_of_cell(shape, row, L[k]) * rate_of(material, bed, stress, T[shape.first_cell + k], L[k]);
  }
  return sum;
}

/// Radial over axial stress in the outermost column, mean over its height.
double side_ratio(const BedShape& shape, const CellField& L) {
  const int outermost = shape.n_r - 1;
  double height = 0.0, weighted = 0.0;
  for (int row = 0; row < shape.n_z; ++row) {
    const double its = std::min(L[row * shape.n_r + outermost], dense_L), h = height_of_cell(shape, row, its);
    height += h;
    weighted += h * materials::radial_stress_ratio(relative_density(its));
  }
  return weighted / height;
}

/// Friction at the wall: mean over the height of what is left of the force.
double left_by_friction(const Bed& bed, const BedShape& shape, const CellField& L) {
  if (bed.wall_friction == 0.0) return 1.0;
  const double way = bed.dragged * column_height(shape, L, shape.n_r - 1);
  const double x = bed.wall_friction * side_ratio(shape, L) * shape.perimeter_over_area * way;
  return x > 0.0 ? -std::expm1(-x) / x : 1.0;
}

/// Newton on ln S of all columns and ln v together: power laws are straight lines there, whatever the
/// viscosities.
class Columns {
 public:
  Columns(const Problem& problem, const Bed& bed, const BedShape& shape, const BedState& state,
          std::span<const double> temperature, std::span<const double> lag)
      : material_(material_of(problem, bed)),
        bed_(bed),
        shape_(shape),
        L_(state.L),
        T_(temperature),
        lag_(lag),
        stress_(state.stress) {}

  /// Speed at which the columns together carry the force; the stresses stay behind.
  double speed_under(double force) {
    const int n = shape_.n_r;
    own_.assign(n, 0.0);
    const bool sinters = bed_.grain && material_.surface_energy;
    if (sinters || !(force > 0.0))
      for (int j = 0; j < n; ++j) own_[j] = sinters ? speed(j, 0.0) : 0.0;
    if (!(force > 0.0)) {  // the punches rest on the column that stays highest
      stress_.assign(n, 0.0);
      return *std::min_element(own_.begin(), own_.end());
    }
    start(force);
    double v = 0.0;
    settled_ = false;
    for (int k = 0; k < iterations_max && !settled_; ++k) settled_ = improve(force, k == 0, v) <= last_step;
    return v;
  }
  const std::vector<double>& stress() const { return stress_; }
  bool settled() const { return settled_; }

 private:
  static constexpr int iterations_max = 80;
  static constexpr double last_step = 1e-13;  // of ln S and ln v
  static constexpr double longest = 4.0;      // step in ln S
  static constexpr double nudge = 1e-4;       // for the slope d ln(speed) / d ln(S)

  double speed(int j, double stress) const {
    return column_speed(material_, bed_, shape_, L_, T_, j, stress);
  }
  double lag(int j) const { return lag_.empty() ? 0.0 : lag_[j]; }

  void start(double force) {
    if (static_cast<int>(stress_.size()) != shape_.n_r) stress_.assign(shape_.n_r, 0.0);
    double carried = 0.0;
    for (int j = 0; j < shape_.n_r; ++j) {
      if (!(stress_[j] > 0.0)) stress_[j] = force / shape_.whole_area;
      carried += stress_[j] * shape_.area[j];
    }
    for (double& s : stress_) s *= force / carried;
  }

  /// One step; returns its length.  `v` is taken over from the columns in the first.
  double improve(double force, bool first, double& v) {
    const int n = shape_.n_r;
    std::vector<double> of(n), slope(n);
    const auto read = [&](int j) {
      of[j] = speed(j, stress_[j]);
      slope[j] = (std::log(speed(j, stress_[j] * (1.0 + nudge))) - std::log(of[j])) / std::log1p(nudge);
    };
    for (int j = 0; j < n; ++j)
      if (stress_[j] > 0.0) read(j);
    if (first) {
      double weighted = 0.0;
      for (int j = 0; j < n; ++j) weighted += shape_.area[j] * std::log(of[j]);
      v = std::exp(weighted / shape_.whole_area);
    }
    // A column carries when the punches come faster than it closes by itself.
    double carried = 0.0, miss = 0.0, compliance = 0.0;
    std::vector<double> step(n, 0.0);
    for (int j = 0; j < n; ++j) {
      const double wanted = v - lag(j);
      if (!(wanted > own_[j] * (1.0 + 1e-12))) {
        stress_[j] = 0.0;
        continue;
      }
      if (!(stress_[j] > 0.0)) {  // it takes up load again
        stress_[j] = 1e-3 * force / shape_.area[j];
        read(j);
      }
      const double load = shape_.area[j] * stress_[j];
      step[j] = (std::log(wanted) - std::log(of[j])) / slope[j];
      carried += load;
      miss += load * step[j];
      compliance += load * v / wanted / slope[j];
    }
    if (!(carried > 0.0)) {  // all stand apart: the punches must come faster
      v *= 2.0;
      return 1.0;
    }
    const double faster = std::clamp((force - carried - miss) / compliance, -longest, longest);
    double length = std::abs(faster);
    for (int j = 0; j < n; ++j) {
      if (!(stress_[j] > 0.0)) continue;
      const double wanted = v - lag(j);
      const double all = std::clamp(step[j] + faster * v / wanted / slope[j], -longest, longest);
      stress_[j] *= std::exp(all);
      length = std::max(length, std::abs(all));
    }
    v *= std::exp(faster);
    return length;
  }

  const materials::Material& material_;
  const Bed& bed_;
  const BedShape& shape_;
  const CellField& L_;
  std::span<const double> T_;
  std::span<const double> lag_;
  std::vector<double> stress_, own_;
  bool settled_ = true;
};

/// Rate at which a bed yields, all of it alike [1/s]: of the equation L = base + gamma_dt (creep + yields)
/// D/(1 - D) for its mean density, implicit, since the powder soon bears what presses it.
double yield_rate(const materials::Material& material, const Bed& bed, const BedShape& shape,
                  const CellField& base, std::span<const double> temperature, double on_powder,
                  double gamma_dt, double creep) {
  if (!(bed.loose > 0.0)) return 0.0;
  double mean_T = 0.0, height = 0.0;
  for (int j = 0; j < shape.n_r; ++j) {
    height += shape.area[j] * column_height(shape, base, j);
    double sum = 0.0;
    for (int row = 0; row < shape.n_z; ++row)
      sum += shape.dense[row] * temperature[shape.first_cell + row * shape.n_r + j];
    mean_T += shape.area[j] * sum;
  }
  const double area = shape.whole_area, dense = shape.dense_height;
  const double stress = on_powder / area, T = mean_T / (area * dense);
  const auto rate = [&](double L) {
    const double bears = materials::yield_pressure(material, T, relative_density(L), bed.loose);
    return std::max(0.0, stress / bears - 1.0) / yield_time;
  };
  const double from = L_of(dense * area / height);
  const auto miss = [&](double L) { return L - from - gamma_dt * (creep + rate(L)) * std::expm1(L); };
  double low = from, high = dense_L;  // the rate has its root between: above it the powder bears the stress
  for (int k = 0; k < 60; ++k) {
    const double middle = 0.5 * (low + high);
    (rate(middle) > 0.0 ? low : high) = middle;
  }
  double short_of = from, beyond = high;
  if (gamma_dt > 0.0 && !(miss(beyond) > 0.0)) return 0.0;  // creep alone goes further
  for (int k = 0; k < 100 && beyond - short_of > 1e-15 * beyond; ++k) {
    const double middle = 0.5 * (short_of + beyond);
    (miss(middle) > 0.0 ? beyond : short_of) = middle;
  }
  return rate(short_of);
}

/// dL/dt = e D / (1 - D).
double slope_of(double e, double L) {
  return e * std::expm1(L);
}

/// One Newton step of  L = base + gamma_dt dL/dt  at a given stress.
double corrected(const materials::Material& material, const Bed& bed, double loosest, double stress,
                 double yields, double T, double base, double gamma_dt, double L) {
  constexpr double nudge = 1e-6;
  const double here = slope_of(rate_of(material, bed, stress, T, L) + yields, L);
  const double beyond = slope_of(rate_of(material, bed, stress, T, L + nudge) + yields, L + nudge);
  const double slope = std::min((beyond - here) / nudge, 0.5 / gamma_dt);
  const double next = L - (L - base - gamma_dt * here) / (1.0 - gamma_dt * slope);
  return std::clamp(next, loosest, dense_L);
}

}  // namespace

double relative_density(double L) {
  return -std::expm1(-L);
}

double L_of(double relative_density) {
  return -std::log1p(-relative_density);
}

double force_at(const Problem& problem, double time) {
  const auto& points = problem.force;
  if (points.empty()) return 0.0;
  const auto after = std::upper_bound(points.begin(), points.end(), time,
                                      [](double t, const ForcePoint& p) { return t < p.time; });
  if (after == points.begin()) return points.front().force;
  if (after == points.end()) return points.back().force;
  const auto before = after - 1;
  return before->force +
         (after->force - before->force) * (time - before->time) / (after->time - before->time);
}

BedShape shape_of(const Problem& problem, const Bed& bed) {
  const mesh::BlockGrid& grid = problem.mesh.grids[bed.block];
  BedShape shape;
  shape.first_cell = grid.first_cell;
  shape.n_r = grid.n_r();
  shape.n_z = grid.n_z();
  const double D = problem.parts[problem.mesh.layout[bed.block].part].relative_density;
  for (int i = 0; i < shape.n_r; ++i)
    shape.area.push_back(pi * (grid.r_lines[i + 1] - grid.r_lines[i]) *
                         (grid.r_lines[i + 1] + grid.r_lines[i]));
  for (int j = 0; j < shape.n_z; ++j) shape.dense.push_back(D * (grid.z_lines[j + 1] - grid.z_lines[j]));
  for (const double a : shape.area) shape.whole_area += a;
  for (const double h : shape.dense) shape.dense_height += h;
  shape.loosest = L_of(D);
  shape.perimeter_over_area = 2.0 / (grid.r_lines.back() - grid.r_lines.front());
  return shape;
}

double height_of(const BedShape& shape, const CellField& L, const std::vector<double>& stress) {
  double sum = 0.0, area = 0.0;
  const bool known = static_cast<int>(stress.size()) == shape.n_r;
  for (int j = 0; j < shape.n_r; ++j) {
    if (known && !(stress[j] > 0.0)) continue;
    sum += shape.area[j] * column_height(shape, L, j);
    area += shape.area[j];
  }
  if (area > 0.0) return sum / area;
  for (int j = 0; j < shape.n_r; ++j) sum = std::max(sum, column_height(shape, L, j));
  return sum;
}

namespace {

/// Cells that have become dense close by what was left of their pores, whatever the law would have them do:
/// no punch works on a powder that gives no more.
void stop_at_dense(const BedShape& shape, const BedState& state, const CellField& base, double gamma_dt,
                   Closing& closing) {
  bool stopped = false;
  for (int k = 0; k < static_cast<int>(state.L.size()); ++k) {
    if (state.L[k] < dense_L) continue;
    stopped = true;
    const double left = dense_L - base[k];
    closing.rate[k] = left > 0.0 ? left / (gamma_dt * std::expm1(dense_L)) : 0.0;
  }
  if (!stopped) return;
  double volume = 0.0;  // lost per second
  for (int k = 0; k < static_cast<int>(state.L.size()); ++k)
    volume += shape.area[k % shape.n_r] * height_of_cell(shape, k / shape.n_r, state.L[k]) * closing.rate[k];
  closing.speed = volume / shape.whole_area;
}

/// In the equation that starts from `base`; gamma_dt 0: the present instant.  `lag` per column [m/s]: how
/// much slower than the punches it closes, so that they come after one that stands apart.
Closing closing_in(const Problem& problem, const Bed& bed, const BedShape& shape, const BedState& state,
                   std::span<const double> temperature, double force, std::span<const double> lag,
                   const CellField& base, double gamma_dt) {
  Closing closing;
  closing.on_powder = force * left_by_friction(bed, shape, state.L);
  Columns columns(problem, bed, shape, state, temperature, lag);
  closing.speed = columns.speed_under(closing.on_powder);
  closing.stress = columns.stress();
  closing.settled = columns.settled();
  closing.side_pressure = side_ratio(shape, state.L) * closing.on_powder / shape.whole_area;
  const materials::Material& material = material_of(problem, bed);
  closing.rate.resize(state.L.size());
  for (int k = 0; k < static_cast<int>(state.L.size()); ++k)
    closing.rate[k] =
        rate_of(material, bed, closing.stress[k % shape.n_r], temperature[shape.first_cell + k], state.L[k]);
  const double height = height_of(shape, state.L, state.stress);
  closing.yields = yield_rate(material, bed, shape, base, temperature, closing.on_powder, gamma_dt,
                              closing.speed / height);
  closing.speed += closing.yields * height;
  for (double& rate : closing.rate) rate += closing.yields;
  return closing;
}

}  // namespace

Closing closing_of(const Problem& problem, const Bed& bed, const BedShape& shape, const BedState& state,
                   std::span<const double> temperature, double force) {
  Closing closing = closing_in(problem, bed, shape, state, temperature, force, {}, state.L, 0.0);
  stop_at_dense(shape, state, state.L, 0.0, closing);
  return closing;
}

void add_press_work(const BedShape& shape, const BedState& state, const Closing& closing, double force,
                    CellField& per_cell) {
  const auto work = [&](std::size_t k) {
    const int column = static_cast<int>(k) % shape.n_r, row = static_cast<int>(k) / shape.n_r;
    return closing.stress[column] * shape.area[column] * height_of_cell(shape, row, state.L[k]) *
           closing.rate[k];
  };
  double sum = 0.0;
  for (std::size_t k = 0; k < state.L.size(); ++k) sum += work(k);
  if (!(sum > 0.0)) return;
  const double share = force * closing.speed / sum;
  for (std::size_t k = 0; k < state.L.size(); ++k) per_cell[shape.first_cell + k] += share * work(k);
}

void level(const BedShape& shape, BedState& state) {
  const std::vector<double>& stress = state.stress;
  CellField& L = state.L;
  std::vector<double> pores(shape.n_r, 0.0);
  double mean = 0.0, area = 0.0;
  for (int j = 0; j < shape.n_r; ++j) {
    if (!(stress[j] > 0.0)) continue;
    for (int row = 0; row < shape.n_z; ++row) pores[j] += pores_of_cell(shape, row, L[row * shape.n_r + j]);
    mean += shape.area[j] * pores[j];
    area += shape.area[j];
  }
  if (!(area > 0.0)) return;
  mean /= area;
  for (int j = 0; j < shape.n_r; ++j) {
    if (!(stress[j] > 0.0)) continue;
    const double wider = mean / pores[j];
    for (int row = 0; row < shape.n_z; ++row) {
      double& its = L[row * shape.n_r + j];
      its = std::log1p(std::expm1(its) / wider);  // pores wider by that factor
    }
  }
}

double compact(const Problem& problem, const Bed& bed, const BedShape& shape,
               std::span<const double> temperature, double force, const CellField& base, double gamma_dt,
               const std::vector<double>& stress_before, BedState& state, Closing& closing) {
  // How far the columns that stood apart are below the punches where the equation starts.
  std::vector<double> lag(shape.n_r, 0.0);
  const double punches = height_of(shape, base, stress_before);
  for (std::size_t j = 0; j < stress_before.size(); ++j)
    if (stress_before[j] == 0.0)
      lag[j] = std::max(0.0, punches - column_height(shape, base, static_cast<int>(j))) / gamma_dt;
  closing = closing_in(problem, bed, shape, state, temperature, force, lag, base, gamma_dt);
  state.stress = closing.stress;
  const materials::Material& material = material_of(problem, bed);
  const CellField before = state.L;
  for (std::size_t k = 0; k < state.L.size(); ++k)
    state.L[k] = corrected(material, bed, shape.loosest, closing.stress[k % shape.n_r], closing.yields,
                           temperature[shape.first_cell + k], base[k], gamma_dt, state.L[k]);
  stop_at_dense(shape, state, base, gamma_dt, closing);
  double largest = closing.settled ? 0.0 : std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < state.L.size(); ++k) {
    const double change = std::abs(relative_density(state.L[k]) - relative_density(before[k]));
    if (!(change <= largest)) largest = change;
  }
  return largest;
}

void compact_apart(const Problem& problem, const Bed& bed, const BedShape& shape,
                   std::span<const double> temperature, double force, double yields, const CellField& base,
                   double gamma_dt, CellField& apart) {
  const double stress = force * left_by_friction(bed, shape, apart) / shape.whole_area;
  const materials::Material& material = material_of(problem, bed);
  for (std::size_t k = 0; k < apart.size(); ++k)
    apart[k] = corrected(material, bed, shape.loosest, stress, yields, temperature[shape.first_cell + k],
                         base[k], gamma_dt, apart[k]);
}

std::vector<double> column_densities(const BedShape& shape, const CellField& L) {
  std::vector<double> densities;
  for (int j = 0; j < shape.n_r; ++j) densities.push_back(shape.dense_height / column_height(shape, L, j));
  return densities;
}

std::vector<double> layer_heights(const BedShape& shape, const CellField& L) {
  std::vector<double> heights;
  for (int row = 0; row < shape.n_z; ++row) {
    double volume = 0.0;
    for (int j = 0; j < shape.n_r; ++j)
      volume += shape.area[j] * height_of_cell(shape, row, L[row * shape.n_r + j]);
    heights.push_back(volume / shape.whole_area);
  }
  return heights;
}

int bed_in(const Problem& problem, int block) {
  for (std::size_t b = 0; b < problem.beds.size(); ++b)
    if (problem.beds[b].block == block) return static_cast<int>(b);
  return -1;
}

}  // namespace joulepress::solver
