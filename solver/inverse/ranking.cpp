#include "solver/inverse/ranking.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;

constexpr double same_direction = 1e-10;  // what is left of a column's square beside others: nothing
constexpr double all_told = 1e-24;        // share of TSS that is rounding
constexpr int patience = 10;              // terms without gain until the search ends

void refuse_unusable(const Table& scores, std::span<const double> outputs) {
  const auto finite = [](double x) { return std::isfinite(x); };
  if (scores.rows < 2 || outputs.size() != static_cast<std::size_t>(scores.rows))
    throw std::invalid_argument("ranking: not one output per run, or fewer than two runs");
  if (!std::all_of(scores.values.begin(), scores.values.end(), finite) ||
      !std::all_of(outputs.begin(), outputs.end(), finite))
    throw std::invalid_argument("ranking: a number is not finite");
}

bool all_equal(std::span<const double> outputs) {
  return std::all_of(outputs.begin(), outputs.end(), [&](double y) { return y == outputs[0]; });
}

/// Outputs about their mean.
Vector centred(std::span<const double> outputs) {
  const Vector y = Eigen::Map<const Vector>(outputs.data(), static_cast<Eigen::Index>(outputs.size()));
  return y.array() - y.mean();
}

Vector column_of(const Table& scores, const Term& term) {
  Vector column(scores.rows);
  for (int i = 0; i < scores.rows; ++i) {
    const double z = scores(i, term.first);
    column[i] = term.second < 0             ? z
                : term.second == term.first ? (z * z - 1.0) / std::numbers::sqrt2
                                            : z * scores(i, term.second);
  }
  return column;
}

/// Terms taken one by one: psi = Q R with orthonormal Q whose first column is the constant.
class Selection {
 public:
  Selection(const Table& scores, std::span<const double> outputs, int most)
      : table(scores), n(scores.rows), rest(centred(outputs)), q(n, most + 1), inverse(most + 1, most + 1) {
    inverse.setZero();
    loads = Vector::Zero(most + 1);
    q.col(0).setConstant(1.0 / std::sqrt(double(n)));
    inverse(0, 0) = 1.0 / std::sqrt(double(n));
    hat = q.col(0).cwiseAbs2();
    has_term.assign(table.columns, false);
    for (int j = 0; j < table.columns; ++j) {
      offer({j, -1, 0.0});
      offer({j, j, 0.0});
    }
  }

  /// Takes the term that lowers RSS most; false if none is left.
  bool take_one() {
    const auto best = std::max_element(offers.begin(), offers.end(),
                                       [&](const Offer& a, const Offer& b) { return gain(a) < gain(b); });
    if (best == offers.end() || !(gain(*best) > 0.0)) return false;
    const Offer taken = *best;
    offers.erase(best);
    const int size = n_taken() + 1;
    const double length = taken.left.norm();
    q.col(size) = taken.left / length;
    const Vector psi = column_of(table, taken.term);
    const Vector beside = inverse.topLeftCorner(size, size) * (q.leftCols(size).transpose() * psi);
    inverse.col(size).head(size) = -beside / length;
    inverse(size, size) = 1.0 / length;
    loads[size] = q.col(size).dot(rest);
    rest -= loads[size] * q.col(size);
    hat += q.col(size).cwiseAbs2();
    terms.push_back(taken.term);
    for (Offer& other : offers) other.left -= q.col(size).dot(other.left) * q.col(size);
    if (!has_term[taken.term.first]) offer_products(taken.term.first);
    return true;
  }

  int n_taken() const { return static_cast<int>(terms.size()); }

  double rss() const { return rest.squaredNorm(); }

  /// Corrected leave-one-out error, unit of the output squared.
  double error() const {
    const int size = n_taken() + 1;
    if (!((1.0 - hat.array()).minCoeff() > same_direction)) return std::numeric_limits<double>::infinity();
    const double press = (rest.array() / (1.0 - hat.array())).square().sum();
    return press / (n - 1.0 - 2.0 * n_taken()) * (1.0 + inverse.topLeftCorner(size, size).squaredNorm());
  }

  /// The first terms, with coefficients as if the others had not been taken.
  std::vector<Term> first_terms(int count) const {
    const Vector c = inverse.topLeftCorner(count + 1, count + 1) * loads.head(count + 1);
    std::vector<Term> first(terms.begin(), terms.begin() + count);
    for (int k = 0; k < count; ++k) first[k].coefficient = c[k + 1];
    return first;
  }

 private:
  struct Offer {
    Term term;
    Vector left;  ///< of its column beside the terms taken
    double square = 0;
  };

  double gain(const Offer& offer) const {
    const double square = offer.left.squaredNorm(), along = offer.left.dot(rest);
    return square > same_direction * offer.square ? along * along / square : 0.0;
  }

  void offer(const Term& term) {
    Offer made{term, column_of(table, term), 0.0};
    made.square = made.left.squaredNorm();
    const auto taken = q.leftCols(n_taken() + 1);
    for (int pass = 0; pass < 2; ++pass) made.left -= taken * (taken.transpose() * made.left).eval();
    offers.push_back(std::move(made));
  }

  void offer_products(int input) {
    has_term[input] = true;
    for (int other = 0; other < table.columns; ++other)
      if (has_term[other] && other != input) offer({std::min(input, other), std::max(input, other), 0.0});
  }

  const Table& table;
  int n;
  Vector rest;
  Matrix q, inverse;  ///< of R
  Vector loads, hat;
  std::vector<bool> has_term;
  std::vector<Offer> offers;
  std::vector<Term> terms;
};

/// First orders, then totals.
std::vector<double> indices_of(const std::vector<Term>& terms, int inputs) {
  std::vector<double> found(2 * static_cast<std::size_t>(inputs));
  double variance = 0.0;
  for (const Term& term : terms) variance += term.coefficient * term.coefficient;
  if (!(variance > 0.0)) return found;
  for (const Term& term : terms) {
    const double share = term.coefficient * term.coefficient / variance;
    const bool alone = term.second < 0 || term.second == term.first;
    if (alone) found[term.first] += share;
    found[inputs + term.first] += share;
    if (!alone) found[inputs + term.second] += share;
  }
  return found;
}

/// Coefficients of the terms by least squares over some rows.
std::vector<Term> fitted(std::vector<Term> terms, const Matrix& psi, const Vector& y,
                         std::span<const int> rows) {
  const Eigen::Map<const Eigen::VectorXi> chosen(rows.data(), static_cast<Eigen::Index>(rows.size()));
  const Matrix drawn = psi(chosen, Eigen::all);
  const Vector c = drawn.colPivHouseholderQr().solve(Vector(y(chosen)));
  for (std::size_t k = 0; k < terms.size(); ++k) terms[k].coefficient = c[static_cast<Eigen::Index>(k) + 1];
  return terms;
}

}  // namespace

std::optional<LinearRanking> linear_ranking(const Table& scores, std::span<const double> outputs) {
  refuse_unusable(scores, outputs);
  const int n = scores.rows, d = scores.columns;
  if (n <= d + 1) return std::nullopt;
  Matrix design(n, d + 1);
  design.col(0).setOnes();
  for (int j = 0; j < d; ++j) design.col(j + 1) = column_of(scores, {j, -1, 0.0});
  const Eigen::ColPivHouseholderQR<Matrix> qr(design);
  if (qr.rank() <= d) return std::nullopt;
  const Matrix q = qr.householderQ() * Matrix::Identity(n, d + 1);
  const Vector left_out = 1.0 - q.rowwise().squaredNorm().array();
  if (!(left_out.minCoeff() > same_direction)) return std::nullopt;

  LinearRanking found;
  found.coefficients.assign(d, 0.0);
  found.shares.assign(d, 0.0);
  if (all_equal(outputs)) return found;
  const Vector y = centred(outputs), b = qr.solve(y), rest = y - design * b;
  const double tss = y.squaredNorm(), rss = rest.squaredNorm();
  const double variance = b.tail(d).squaredNorm() + rss / (n - d - 1);
  for (int j = 0; j < d; ++j) {
    found.coefficients[j] = b[j + 1] / std::sqrt(variance);
    found.shares[j] = found.coefficients[j] * found.coefficients[j];
  }
  found.r2 = 1.0 - rss / tss;
  found.adjusted_r2 = 1.0 - rss / tss * (n - 1) / (n - d - 1);
  found.q2 = 1.0 - (rest.array() / left_out.array()).square().sum() / tss;
  return found;
}

QuadraticRanking quadratic_ranking(const Table& scores, std::span<const double> outputs,
                                   std::uint64_t bootstrap_seed) {
  refuse_unusable(scores, outputs);
  const int n = scores.rows, d = scores.columns, most = (n - 2) / 3;
  QuadraticRanking found;
  found.indices.resize(d);
  if (all_equal(outputs)) return found;

  Selection selection(scores, outputs, most);
  const double tss = selection.rss();
  double least = selection.error();
  int best = 0;
  while (selection.n_taken() < std::min(most, best + patience) && selection.rss() > all_told * tss) {
    if (!selection.take_one()) break;
    if (!(selection.error() < least)) continue;
    least = selection.error();
    best = selection.n_taken();
  }
  found.terms = selection.first_terms(best);
  found.q2 = 1.0 - least * (n - 1) / tss;

  Matrix psi(n, best + 1);
  psi.col(0).setOnes();
  for (int k = 0; k < best; ++k) psi.col(k + 1) = column_of(scores, found.terms[k]);
  const Vector y = centred(outputs);
  const auto drawn = [&](std::span<const int> rows) {
    return indices_of(fitted(found.terms, psi, y, rows), d);
  };
  const std::vector<double> indices = indices_of(found.terms, d);
  const std::vector<Interval> intervals = bootstrap(n, drawn, bootstrap_seed);
  for (int j = 0; j < d; ++j) found.indices[j] = {indices[j], indices[d + j], intervals[j], intervals[d + j]};
  return found;
}

}  // namespace joulepress::inverse
