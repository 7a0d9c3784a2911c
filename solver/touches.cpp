#include "solver/touches.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solver/stroke.hpp"

namespace joulepress::solver {
namespace {

constexpr double published_temperature = 1273.15;  // K
constexpr double side_over_axial = 0.5;            // of a powder that does not densify

/// Harmonic mean over the two sides of what conducts, at T.
template <class Conductivity>
double harmonic(const Part& a, const Part& b, Conductivity&& of) {
  if (a.is_powder == b.is_powder) return 2.0 / (1.0 / of(a) + 1.0 / of(b));
  return of(a.is_powder ? b : a);
}

class Touches {
 public:
  Touches(const Problem& problem, std::span<const double> temperature, const TouchLoads& loads)
      : p_(problem),
        loads_(loads),
        strain_(problem.mesh.layout.size(), std::nan("")),
        temperature_(temperature) {}

  double pressure_over_reference(const mesh::PairFace& face) {
    const mesh::BlockPair& pair = p_.interfaces.pairs[face.pair];
    if (pair.side_a != mesh::Side::outer)
      return std::max(pair.area > 0.0 ? loads_.force / pair.area : 0.0, standing_pressure) /
             published_pressure;
    const Part& inner = part_of(pair.block_a);
    if (!inner.in_column && !inner.is_foil) return 1.0;
    const int block = column_block_at(face.r, face.z);
    if (block < 0) return 1.0;
    if (part_of(block).is_powder)
      return std::max(side_pressure(block), standing_pressure) / published_pressure;
    const Fit& fit = p_.fits[block];
    if (!(fit.radius > 0.0)) return 1.0;
    const double reference = lateral_pressure(fit, published_pressure, 0.0, 0.0);
    return lateral_pressure(fit, axial_pressure(block), strain(block), strain(p_.sleeve_of[block])) /
           reference;
  }

 private:
  const Part& part_of(int block) const { return p_.parts[p_.mesh.layout[block].part]; }

  double axial_pressure(int block) const {
    const mesh::Block& b = p_.mesh.layout[block];
    return loads_.force / (std::numbers::pi * (b.r_outer * b.r_outer - b.r_inner * b.r_inner));
  }

  double side_pressure(int block) const {
    const int bed = bed_in(p_, block);
    if (bed >= 0 && !loads_.side_pressure.empty()) return loads_.side_pressure[bed];
    return side_over_axial * axial_pressure(block);
  }

  /// The widest part of the column inside r at a height; foils between parts count with what lies beside.
  int column_block_at(double r, double z) const {
    int found = -1;
    for (std::size_t k = 0; k < p_.mesh.layout.size(); ++k) {
      const mesh::Block& b = p_.mesh.layout[k];
      const Part& part = part_of(static_cast<int>(k));
      if (!part.in_column || part.is_foil || b.r_outer > r + mesh::touch_tolerance || z < b.z_bottom ||
          z > b.z_top)
        continue;
      if (found < 0 || b.r_outer > p_.mesh.layout[found].r_outer) found = static_cast<int>(k);
    }
    return found;
  }

  /// Along r, kept: every face of a pair asks for the same two.
  double strain(int block) {
    double& known = strain_[block];
    if (std::isnan(known)) known = thermal_strain(p_, block, mesh::Axis::r, temperature_);
    return known;
  }

  const Problem& p_;
  const TouchLoads& loads_;
  std::vector<double> strain_;  ///< per block; NaN: not computed yet
  std::span<const double> temperature_;
};

}  // namespace

TouchLoads loads_of(const Problem& problem, double force_time, std::span<const Closing> closings) {
  TouchLoads loads;
  if (problem.fits.empty()) return loads;
  loads.force = force_at(problem, force_time);
  for (const Closing& closing : closings) loads.side_pressure.push_back(closing.side_pressure);
  return loads;
}

void touches_at(const Problem& p, std::span<const double> temperature, std::span<const double> pair_a,
                std::span<const double> pair_b, const TouchLoads& loads, Properties& out) {
  out.touch_resistance.clear();
  out.touch_conductance.clear();
  if (p.fits.empty() && !p.gas) return;
  Touches touches(p, temperature, loads);
  const auto& faces = p.interfaces.pair_faces;
  for (std::size_t f = 0; f < faces.size(); ++f) {
    const ContactLaw& law = p.contacts[faces[f].pair];
    out.touch_resistance.push_back(law.electric_resistance);
    out.touch_conductance.push_back(law.heat_conductance);
    if (faces[f].area == 0.0) continue;
    const mesh::BlockPair& pair = p.interfaces.pairs[faces[f].pair];
    const double T = 0.5 * (pair_a[f] + pair_b[f]);
    if (p.gas && pair.gap > 0.0)
      out.touch_conductance.back() += materials::gap_conductance(*p.gas, pair.gap, T);
    if (!law.follows) continue;
    const mesh::Axis axis = pair.side_a == mesh::Side::outer ? mesh::Axis::r : mesh::Axis::z;
    const Part &a = p.parts[p.mesh.layout[pair.block_a].part], &b = p.parts[p.mesh.layout[pair.block_b].part];
    const auto heat = [&](double at) {
      return harmonic(a, b, [&](const Part& part) {
        return curve_along(p.materials[part.material].conductivity, part, axis).value(at);
      });
    };
    const auto current = [&](double at) {
      return harmonic(a, b, [&](const Part& part) {
        return 1.0 / curve_along(p.materials[part.material].resistivity, part, axis).value(at);
      });
    };
    const double pressed = touch_factor(touches.pressure_over_reference(faces[f]), 1.0);
    out.touch_resistance.back() /= pressed * current(T) / current(published_temperature);
    out.touch_conductance.back() *= pressed * heat(T) / heat(published_temperature);
  }
}

ContactLaw law_of(const Problem& present, const Properties& properties, std::size_t face) {
  ContactLaw law = present.contacts[present.interfaces.pair_faces[face].pair];
  if (properties.touch_resistance.empty()) return law;
  law.electric_resistance = properties.touch_resistance[face];
  law.heat_conductance = properties.touch_conductance[face];
  return law;
}

}  // namespace joulepress::solver
