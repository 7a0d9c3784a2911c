#include "solver/solid/element.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace joulepress::solid {
namespace {

constexpr std::array gauss_points{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563,
                                  0.8611363115940526};
constexpr std::array gauss_weights{0.3478548451374538, 0.6521451548625461, 0.6521451548625461,
                                   0.3478548451374538};

using Three = std::array<double, 3>;

Three line_slopes(double x) {
  return {x - 0.5, -2.0 * x, x + 0.5};
}

/// Strains per unknown at one place.
struct StrainRows {
  CellVector rr{}, zz{}, tt{}, shear{}, div{};
};

StrainRows strains_at(const CellShape& shape, double xi, double eta) {
  const double half_r = 0.5 * (shape.r_high - shape.r_low), half_z = 0.5 * (shape.z_high - shape.z_low);
  const double r = 0.5 * (shape.r_low + shape.r_high) + xi * half_r;
  const Three f = line_functions(xi), g = line_functions(eta), df = line_slopes(xi), dg = line_slopes(eta);
  StrainRows rows;
  for (std::size_t b = 0; b < 3; ++b)
    for (std::size_t a = 0; a < 3; ++a) {
      const std::size_t radial = 2 * (3 * b + a), axial = radial + 1;
      const double by_r = df[a] * g[b] / half_r, by_z = f[a] * dg[b] / half_z;
      rows.rr[radial] = by_r;
      rows.zz[axial] = by_z;
      rows.tt[radial] = r > 0.0 ? f[a] * g[b] / r : by_r;  // u_r is zero on the axis, and linear beside it
      rows.shear[radial] = by_z;
      rows.shear[axial] = by_r;
      rows.div[radial] = by_r + rows.tt[radial];
      rows.div[axial] = by_z;
    }
  return rows;
}

double between_corners(const std::array<double, 4>& corner, double xi, double eta) {
  return 0.25 * ((1 - xi) * (1 - eta) * corner[0] + (1 + xi) * (1 - eta) * corner[1] +
                 (1 - xi) * (1 + eta) * corner[2] + (1 + xi) * (1 + eta) * corner[3]);
}

/// Solves a symmetric positive definite system of three.
Three solved(std::array<Three, 3> m, Three right) {
  for (std::size_t k = 0; k < 3; ++k)
    for (std::size_t row = k + 1; row < 3; ++row) {
      const double factor = m[row][k] / m[k][k];
      for (std::size_t c = k; c < 3; ++c) m[row][c] -= factor * m[k][c];
      right[row] -= factor * right[k];
    }
  for (std::size_t k = 3; k-- > 0;) {
    for (std::size_t c = k + 1; c < 3; ++c) right[k] -= m[k][c] * right[c];
    right[k] /= m[k][k];
  }
  return right;
}

/// Mean-square fit by 1, xi, eta: its matrix, and the integrals of div u per unknown and of the free strain.
struct PressureFit {
  std::array<Three, 3> mass{};
  std::array<Three, cell_unknowns> div{};
  Three free{};  ///< of three times the free strain
};

template <class Visit>
void at_gauss_points(const CellShape& shape, Visit&& visit) {
  const double half_r = 0.5 * (shape.r_high - shape.r_low), half_z = 0.5 * (shape.z_high - shape.z_low);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t j = 0; j < 4; ++j) {
      const double xi = gauss_points[i], eta = gauss_points[j];
      const double r = 0.5 * (shape.r_low + shape.r_high) + xi * half_r;
      visit(xi, eta, 2.0 * std::numbers::pi * r * half_r * half_z * gauss_weights[i] * gauss_weights[j]);
    }
}

PressureFit pressure_fit(const CellShape& shape, const std::array<double, 4>& free_strain) {
  PressureFit fit;
  at_gauss_points(shape, [&](double xi, double eta, double weight) {
    const StrainRows rows = strains_at(shape, xi, eta);
    const Three basis{1.0, xi, eta};
    const double free = 3.0 * between_corners(free_strain, xi, eta);
    for (std::size_t k = 0; k < 3; ++k) {
      for (std::size_t m = 0; m < 3; ++m) fit.mass[k][m] += weight * basis[k] * basis[m];
      for (std::size_t n = 0; n < cell_unknowns; ++n) fit.div[n][k] += weight * basis[k] * rows.div[n];
      fit.free[k] += weight * basis[k] * free;
    }
  });
  return fit;
}

double shear_modulus(const Elastic& e) {
  return e.modulus / (2.0 * (1.0 + e.poisson));
}
double bulk_modulus(const Elastic& e) {
  return e.modulus / (3.0 * (1.0 - 2.0 * e.poisson));
}

}  // namespace

std::array<double, 3> line_functions(double x) {
  return {0.5 * x * (x - 1.0), 1.0 - x * x, 0.5 * x * (x + 1.0)};
}

CellMatrices cell_matrices(const CellShape& shape, const Elastic& elastic,
                           const std::array<double, 4>& free_strain) {
  const double G = shear_modulus(elastic), kappa = bulk_modulus(elastic);
  CellMatrices out;
  at_gauss_points(shape, [&](double xi, double eta, double weight) {
    const StrainRows e = strains_at(shape, xi, eta);
    for (std::size_t m = 0; m < cell_unknowns; ++m)
      for (std::size_t n = 0; n < cell_unknowns; ++n)
        out.stiffness[m][n] += weight * G *
                               (2.0 * (e.rr[m] * e.rr[n] + e.zz[m] * e.zz[n] + e.tt[m] * e.tt[n]) +
                                e.shear[m] * e.shear[n] - 2.0 / 3.0 * e.div[m] * e.div[n]);
  });
  const PressureFit fit = pressure_fit(shape, free_strain);
  const Three free = solved(fit.mass, fit.free);
  for (std::size_t n = 0; n < cell_unknowns; ++n) {
    const Three mean = solved(fit.mass, fit.div[n]);
    for (std::size_t m = 0; m < cell_unknowns; ++m)
      for (std::size_t k = 0; k < 3; ++k) out.stiffness[m][n] += kappa * fit.div[m][k] * mean[k];
    for (std::size_t k = 0; k < 3; ++k) out.free_strain[n] += kappa * fit.div[n][k] * free[k];
  }
  return out;
}

Stress cell_stress(const CellShape& shape, const Elastic& elastic, const std::array<double, 4>& free_strain,
                   const CellVector& displacement, double xi, double eta) {
  const PressureFit fit = pressure_fit(shape, free_strain);
  Three change{-fit.free[0], -fit.free[1], -fit.free[2]};
  for (std::size_t n = 0; n < cell_unknowns; ++n)
    for (std::size_t k = 0; k < 3; ++k) change[k] += fit.div[n][k] * displacement[n];
  const Three mean = solved(fit.mass, change);
  const double pressure = bulk_modulus(elastic) * (mean[0] + mean[1] * xi + mean[2] * eta);
  const StrainRows rows = strains_at(shape, xi, eta);
  const auto sum = [&displacement](const CellVector& row) {
    double total = 0.0;
    for (std::size_t n = 0; n < cell_unknowns; ++n) total += row[n] * displacement[n];
    return total;
  };
  const double G = shear_modulus(elastic), third = sum(rows.div) / 3.0;
  return {2.0 * G * (sum(rows.rr) - third) + pressure, 2.0 * G * (sum(rows.zz) - third) + pressure,
          2.0 * G * (sum(rows.tt) - third) + pressure, G * sum(rows.shear)};
}

}  // namespace joulepress::solid
