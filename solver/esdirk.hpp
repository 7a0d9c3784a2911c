// The time scheme: ESDIRK of order 4 with an embedded third-order estimate, six stages, stage order 2,
// stiffly accurate and L-stable (gamma = 1/4).
//
//   H_i = H_n + dt * sum_{j<=i} a_ij K_j,   K_i = F(H_i, t_n + c_i dt),   H_{n+1} = H_6
//
// The first stage is explicit and takes the last slope of the step before.  Coefficients: implicit part of
// ARK4(3)6L[2]SA, Kennedy and Carpenter, Appl Numer Math 44 (2003) 139 (from memory;
// tests/solver/test_esdirk.cpp checks row sums, stage order 2, every order condition to order 4 and
// R(infinity) = 0 exactly).
#pragma once

#include <array>

namespace joulepress::solver {

inline constexpr int n_stages = 6;

struct Tableau {
  double gamma = 0;
  std::array<double, n_stages> c{}, b{}, b_embedded{};
  std::array<std::array<double, n_stages>, n_stages> a{};
};

const Tableau& esdirk();

/// Weights of the fourth-order continuous extension: H(t_n + theta dt) = H_n + dt * sum_j b_j(theta) K_j.
/// b(0) = 0, b(1) = b, and the slope meets K_1 at theta = 0 and K_6 at theta = 1.  The polynomials follow
/// from the order conditions (a 5 x 6 system, since stage order 2 makes the other trees redundant).
std::array<double, n_stages> dense_weights(double theta);

}  // namespace joulepress::solver
