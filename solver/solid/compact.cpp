#include "solver/solid/compact.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "mesh/watch.hpp"

namespace joulepress::solid {
namespace {

constexpr double least_pressure = 1e6;  // Pa, at which creep is asked for where nothing presses
constexpr double same_as_peak = 2.0;    // K

double relaxation_rate(const materials::Material& material, std::optional<double> grain, double T,
                       double pressure) {
  const double stress = std::max(pressure, least_pressure);
  return material.elastic_modulus->curve.value(T) *
         materials::creep_rate(material.creep.back(), stress, T, grain) / stress;
}

Lock end_of_peak(const CompactHistory& h) {
  const double peak = *std::max_element(h.temperature_K.begin(), h.temperature_K.end());
  std::size_t k = h.temperature_K.size() - 1;
  while (h.temperature_K[k] < peak - same_as_peak) --k;
  return {h.time_s[k], h.temperature_K[k], Lock::Found::no_creep};
}

}  // namespace

std::optional<Lock> lock_of(const materials::Material& material, std::optional<double> grain,
                            const CompactHistory& h) {
  if (material.creep.empty()) return end_of_peak(h);
  const auto rate = [&](std::size_t k) {
    return relaxation_rate(material, grain, h.temperature_K[k], h.pressure_Pa[k]);
  };
  double forgotten = 0.0;
  for (std::size_t k = h.time_s.size() - 1; k > 0; --k) {
    const double here = rate(k - 1), dt = h.time_s[k] - h.time_s[k - 1];
    const double more = 0.5 * dt * (here + rate(k));
    if (forgotten + more >= 1.0) {
      const double share = (1.0 - forgotten) / more;  // of the interval, from its end
      const double time = h.time_s[k] - share * dt;
      const double T = h.temperature_K[k] + share * (h.temperature_K[k - 1] - h.temperature_K[k]);
      const bool at_end = k + 1 == h.time_s.size();
      return Lock{time, T, at_end ? Lock::Found::hot_end : Lock::Found::by_creep};
    }
    forgotten += more;
  }
  return {};
}

double porous_modulus(double dense, double relative_density) {
  const double P = 1.0 - relative_density;
  return dense * (1.0 - 1.9 * P + 0.9 * P * P);
}

Compact::Compact(Instant at_lock, int block)
    : instant_(std::move(at_lock)),
      block_(block),
      pressed_(pressed_by(instant_, block)),
      stack_(body_of(instant_, {})),
      lock_(deform(stack_.body)) {
  const auto& problem = instant_.problem;
  const materials::Material& m = problem.materials[problem.parts[instant_.mesh.layout[block].part].material];
  if (!m.elastic_modulus || !m.expansion)
    throw std::invalid_argument("modulus and expansion of \"" + m.name + "\" must be known");
}

SolidPowder Compact::solid() const {
  const solver::Problem& problem = instant_.problem;
  const materials::Material& m = problem.materials[problem.parts[instant_.mesh.layout[block_].part].material];
  const mesh::BlockGrid& grid = instant_.mesh.grids[block_];
  double density = 0.0;
  const int cells = grid.n_r() * grid.n_z();
  for (int k = 0; k < cells; ++k) density += instant_.snapshot.relative_density[grid.first_cell + k] / cells;
  SolidPowder out;
  out.block = block_;
  out.modulus = [&m, density](double T) {
    return porous_modulus(m.elastic_modulus->curve.value(T), density);
  };
  out.free_strain = [this, &m, modulus = out.modulus](double r, double z, double T) {
    const double then = mesh::point(instant_.mesh, block_, r, z).of(instant_.snapshot.temperature);
    // What it was compressed by from all sides comes back when the pressure goes.
    return growth_of(m, T) - growth_of(m, then) + pressed_.side * (1.0 - 2.0 * poisson_of(m)) / modulus(then);
  };
  out.gap = [this](int other, mesh::Side side, double across, double place) {
    const auto found = std::find(stack_.block.begin(), stack_.block.end(), other);
    const bool upright = side == mesh::Side::inner || side == mesh::Side::outer;
    const double pressure = upright ? pressed_.side : pressed_.axial;
    return way_out(stack_.body, lock_, static_cast<int>(found - stack_.block.begin()), side, place) -
           pressure / across;
  };
  return out;
}

Grip grip_of(const Instant& instant, const StackBody& stack, const Deformed& deformed, int block) {
  Grip grip;
  double outside = 0.0, on_outside = 0.0, inside = 0.0, on_inside = 0.0;
  for (std::size_t n = 0; n < stack.body.joints.size(); ++n) {
    const Joint& joint = stack.body.joints[n];
    if (joint.side_a != mesh::Side::outer) continue;
    const bool out = stack.block[joint.a] == block, in = stack.block[joint.b] == block;
    for (const JointPoint& point : deformed.joints[n]) {
      if (out) {
        outside += point.area;
        on_outside += point.pressure * point.area;
        grip.largest_Pa = std::max(grip.largest_Pa, point.pressure);
      } else if (in) {
        inside += point.area;
        on_inside += point.pressure * point.area;
      }
    }
  }
  if (outside > 0.0) grip.mean_Pa = on_outside / outside;
  if (inside > 0.0) grip.core_Pa = on_inside / inside;
  grip.force_N = (on_outside + on_inside) * (instant.mesh.grids[block].mirrored ? 2.0 : 1.0);
  return grip;
}

}  // namespace joulepress::solid
