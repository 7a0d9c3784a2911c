#include "solver/solid/margin.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace joulepress::solid {
namespace {

constexpr double gauss = 0.5773502691896257;  // two points
constexpr double none = 1.0;                  // Pa, below which nothing is stressed

/// Strengths of a material, each where it is known.
struct Strengths {
  explicit Strengths(const materials::Material& m)
      : tension(m.tensile_strength ? m.tensile_strength : m.flexural_strength),
        compression(m.compressive_strength),
        bending(m.flexural_strength),
        weibull(m.weibull) {}
  /// Of specimens like those of the scatter: bent bars, or pulled rods.
  const std::optional<materials::Property>& scattering() const {
    return weibull->specimen.loading == materials::Specimen::Loading::tension ? tension : bending;
  }
  const std::optional<materials::Property>&tension, &compression, &bending;
  const std::optional<materials::Weibull>& weibull;
};

/// Middle of every part in height [m]; of one that a mid-plane cuts, the plane.
std::map<int, double> middles(const Instant& instant) {
  std::map<int, std::array<double, 2>> ends;
  for (const mesh::BlockGrid& grid : instant.mesh.grids) {
    const double top = grid.z_lines.back(),
                 low = grid.mirrored ? 2.0 * grid.z_lines.front() - top : grid.z_lines.front();
    const auto [at, is_new] = ends.try_emplace(instant.mesh.layout[grid.block].part, std::array{low, top});
    if (!is_new) at->second = {std::min(at->second[0], low), std::max(at->second[1], top)};
  }
  std::map<int, double> out;
  for (const auto& [part, range] : ends) out[part] = 0.5 * (range[0] + range[1]);
  return out;
}

void keep_worse(std::optional<Spot>& worst, const Spot& spot) {
  if (spot.stress > none && (!worst || spot.margin() < worst->margin())) worst = spot;
}

/// Goes through the cells of one block.
class Reader {
 public:
  Reader(const Instant& instant, const StackBody& stack, const Deformed& deformed, int block, double middle)
      : stack_(stack), deformed_(deformed), block_(block), of_(stack.body.blocks[block]), middle_(middle) {
    const mesh::Block& drawn = instant.mesh.layout[stack.block[block]];
    material_ = &instant.problem.materials[instant.problem.parts[drawn.part].material];
    images_ = instant.mesh.grids[stack.block[block]].mirrored ? 2.0 : 1.0;
  }

  void read(PartLoad& load, double& risk) {
    const Strengths strengths(*material_);
    for (int j = 0; j < of_.n_z(); ++j)
      for (int i = 0; i < of_.n_r(); ++i)
        for (const double eta : {-gauss, gauss})
          for (const double xi : {-gauss, gauss}) at_point(strengths, i, j, xi, eta, load, risk);
    if (of_.r_lines.front() > 0.0)
      for (int j = 0; j < of_.n_z(); ++j)
        load.hoop_at_bore =
            std::max(load.hoop_at_bore, stress_at(stack_.body, deformed_, block_, 0, j, -1.0, 0.0).tt);
  }

  void at_point(const Strengths& strengths, int i, int j, double xi, double eta, PartLoad& load,
                double& risk) const {
    const auto [s1, s2, s3] = principal_stresses(stress_at(stack_.body, deformed_, block_, i, j, xi, eta));
    Spot spot;
    spot.r = within(of_.r_lines, i, xi);
    spot.z = within(of_.z_lines, j, eta) - middle_;
    spot.temperature = temperature(i, j, xi, eta);
    if (strengths.tension) {
      spot.stress = s1;
      spot.strength = strengths.tension->curve.value(spot.temperature);
      keep_worse(load.tension, spot);
    }
    if (strengths.compression && !near_edge(spot.r, spot.z + middle_)) {
      spot.stress = std::min(s1, 0.0) - s3;
      spot.strength = strengths.compression->curve.value(spot.temperature);
      keep_worse(load.compression, spot);
    }
    if (!strengths.weibull || !strengths.scattering()) return;
    const double scale =
        materials::scale_of(*strengths.weibull, strengths.scattering()->curve.value(spot.temperature));
    const double volume = 0.5 * std::numbers::pi * spot.r * (of_.r_lines[i + 1] - of_.r_lines[i]) *
                          (of_.z_lines[j + 1] - of_.z_lines[j]);
    for (const double s : {s1, s2, s3})
      if (s > 0.0) risk += images_ * volume * std::pow(s / scale, strengths.weibull->modulus);
  }

 private:
  bool near_edge(double r, double z) const {
    const auto& edges = stack_.edges[block_];
    return std::any_of(edges.begin(), edges.end(),
                       [&](const StackBody::Edge& at) { return std::hypot(at.r - r, at.z - z) < at.around; });
  }

  static double within(const std::vector<double>& lines, int k, double x) {
    return 0.5 * (lines[k] + lines[k + 1]) + 0.5 * x * (lines[k + 1] - lines[k]);
  }

  double temperature(int i, int j, double xi, double eta) const {
    const std::vector<double>& T = stack_.temperature[block_];
    const int row = of_.n_r() + 1, corner = j * row + i;
    return 0.25 * ((1 - xi) * (1 - eta) * T[corner] + (1 + xi) * (1 - eta) * T[corner + 1] +
                   (1 - xi) * (1 + eta) * T[corner + row] + (1 + xi) * (1 + eta) * T[corner + row + 1]);
  }

  const StackBody& stack_;
  const Deformed& deformed_;
  int block_;
  const SolidBlock& of_;
  double middle_;
  double images_ = 1;  ///< the block and its image
  const materials::Material* material_ = nullptr;
};

}  // namespace

std::array<double, 3> principal_stresses(const Stress& s) {
  const double middle = 0.5 * (s.rr + s.zz), half = std::hypot(0.5 * (s.rr - s.zz), s.rz);
  std::array<double, 3> out{middle + half, middle - half, s.tt};
  std::sort(out.begin(), out.end(), std::greater<>());
  return out;
}

std::vector<PartLoad> loads_of(const Instant& instant, const StackBody& stack, const Deformed& deformed) {
  const std::map<int, double> middle = middles(instant);
  std::map<int, PartLoad> loads;
  std::map<int, double> risks;
  for (std::size_t b = 0; b < stack.block.size(); ++b) {
    const int part = instant.mesh.layout[stack.block[b]].part;
    const solver::Part& of = instant.problem.parts[part];
    if (of.is_powder) continue;
    PartLoad& load = loads[part];
    load.part = part;
    double& risk = risks[part];
    Reader(instant, stack, deformed, static_cast<int>(b), middle.at(part)).read(load, risk);
    const materials::Material& material = instant.problem.materials[of.material];
    if (const Strengths strengths(material); strengths.weibull && strengths.scattering())
      load.break_chance = materials::failure_probability(risk);
  }
  std::vector<PartLoad> out;
  for (auto& [part, load] : loads) out.push_back(load);
  return out;
}

double margin_at(const Instant& instant, const StackBody& stack, const Deformed& deformed, int block, int i,
                 int j, double xi, double eta) {
  const solver::Part& part = instant.problem.parts[instant.mesh.layout[stack.block[block]].part];
  const Strengths strengths(instant.problem.materials[part.material]);
  if (part.is_powder || !(strengths.tension || strengths.compression))
    return std::numeric_limits<double>::quiet_NaN();
  PartLoad load;
  double risk = 0.0;
  Reader(instant, stack, deformed, block, 0.0).at_point(strengths, i, j, xi, eta, load, risk);
  return least_margin({load});
}

double least_margin(const std::vector<PartLoad>& loads) {
  double least = std::numeric_limits<double>::infinity();
  for (const PartLoad& load : loads)
    for (const std::optional<Spot>* spot : {&load.tension, &load.compression})
      if (*spot) least = std::min(least, (*spot)->margin());
  return least;
}

}  // namespace joulepress::solid
