#include "solver/esdirk.hpp"

#include <Eigen/Dense>
#include <cmath>

namespace joulepress::solver {
namespace {

Tableau make_tableau() {
  Tableau t;
  t.gamma = 0.25;
  t.a[1] = {0.25, 0.25};
  t.a[2] = {8611.0 / 62500.0, -1743.0 / 31250.0, 0.25};
  t.a[3] = {5012029.0 / 34652500.0, -654441.0 / 2922500.0, 174375.0 / 388108.0, 0.25};
  t.a[4] = {15267082809.0 / 155376265600.0, -71443401.0 / 120774400.0, 730878875.0 / 902184768.0,
            2285395.0 / 8070912.0, 0.25};
  t.b = {82889.0 / 524892.0, 0.0, 15625.0 / 83664.0, 69875.0 / 102672.0, -2260.0 / 8211.0, 0.25};
  t.a[5] = t.b;
  t.b_embedded = {4586570599.0 / 29645900160.0, 0.0,
                  178811875.0 / 945068544.0,    814220225.0 / 1159782912.0,
                  -3700637.0 / 11593932.0,      61727.0 / 225920.0};
  t.c = {0.0, 0.5, 83.0 / 250.0, 31.0 / 50.0, 17.0 / 20.0, 1.0};
  return t;
}

/// beta(j, k): coefficient of theta^(k+1) in b_j(theta).
using DenseTable = Eigen::Matrix<double, n_stages, 4>;

DenseTable make_dense() {
  const Tableau& t = esdirk();
  using Row = Eigen::Matrix<double, 1, n_stages>;
  const Row c = Eigen::Map<const Row>(t.c.data());
  Row a_c2 = Row::Zero();
  for (int i = 0; i < n_stages; ++i)
    for (int j = 0; j <= i; ++j) a_c2[i] += t.a[i][j] * t.c[j] * t.c[j];
  Eigen::Matrix<double, 5, n_stages> conditions;
  conditions << Row::Ones(), c, c.cwiseProduct(c), c.cwiseProduct(c).cwiseProduct(c), a_c2;
  // Right sides per power of theta: theta, theta^2/2, theta^3/3, theta^4/4, theta^4/12.
  Eigen::Matrix<double, 5, 4> right = Eigen::Matrix<double, 5, 4>::Zero();
  right(0, 0) = 1.0;
  right(1, 1) = 0.5;
  right(2, 2) = 1.0 / 3.0;
  right(3, 3) = 0.25;
  right(4, 3) = 1.0 / 12.0;
  const Eigen::CompleteOrthogonalDecomposition<Eigen::Matrix<double, 5, n_stages>> least(conditions);
  DenseTable beta = least.solve(right);
  beta.col(0).setZero();
  beta(0, 0) = 1.0;  // slope K_1 at theta = 0, a solution of its conditions because c_1 = 0
  // One null vector n remains per power; use it in the cubic and the quartic so that b(1) = b and b'(1) =
  // e_6.
  const Eigen::JacobiSVD<Eigen::Matrix<double, 5, n_stages>> svd(conditions, Eigen::ComputeFullV);
  const Eigen::Matrix<double, n_stages, 1> null = svd.matrixV().col(n_stages - 1);
  const Eigen::Matrix<double, n_stages, 1> weights =
      Eigen::Map<const Eigen::Matrix<double, n_stages, 1>>(t.b.data());
  const Eigen::Matrix<double, n_stages, 1> value_gap = weights - beta.rowwise().sum();
  Eigen::Matrix<double, n_stages, 1> slope_gap = -beta * Eigen::Vector4d(1, 2, 3, 4);
  slope_gap[n_stages - 1] += 1.0;
  const double value = null.dot(value_gap), slope = null.dot(slope_gap);
  beta.col(2) += (4.0 * value - slope) * null;  // x + y = value, 3 x + 4 y = slope
  beta.col(3) += (slope - 3.0 * value) * null;
  return beta;
}

}  // namespace

const Tableau& esdirk() {
  static const Tableau tableau = make_tableau();
  return tableau;
}

std::array<double, n_stages> dense_weights(double theta) {
  static const DenseTable beta = make_dense();
  std::array<double, n_stages> weights{};
  for (int j = 0; j < n_stages; ++j)
    weights[j] = theta * (beta(j, 0) + theta * (beta(j, 1) + theta * (beta(j, 2) + theta * beta(j, 3))));
  return weights;
}

}  // namespace joulepress::solver
