#include "solver/inverse/least_squares.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using End = LeastSquaresResult::End;

constexpr double endless = std::numeric_limits<double>::infinity();
constexpr double no_direction = 1e-12;  // singular value over the largest: rounding
constexpr double foretold_little = 0.25, foretold_well = 0.75;
constexpr double most_shorter = 0.1, least_shorter = 0.5, shorter_when_failed = 0.25, longer_by = 2.0;

void refuse_unusable(const LeastSquaresProblem& problem, const LeastSquaresRules& rules, const Table* given) {
  const std::size_t n = problem.start.size();
  if (n == 0 || problem.lowest.size() != n || problem.highest.size() != n || problem.step.size() != n ||
      (given && given->columns != static_cast<int>(n)))
    throw std::invalid_argument("least_squares: lengths of start, box, step and Jacobian differ, or are 0");
  for (std::size_t i = 0; i < n; ++i) {
    if (!std::isfinite(problem.start[i]))
      throw std::invalid_argument("least_squares: the start is not finite");
    if (!(problem.lowest[i] <= problem.highest[i]) || problem.lowest[i] == endless ||
        problem.highest[i] == -endless)
      throw std::invalid_argument("least_squares: the box is none");
    if (!(problem.step[i] > 0.0) || !std::isfinite(problem.step[i]))
      throw std::invalid_argument("least_squares: a step is not above 0");
  }
  if (rules.most_points < 1) throw std::invalid_argument("least_squares: no point to ask for");
}

/// The black box: its answers checked, its points counted.
class Model {
 public:
  Model(const Residuals& residuals, int most) : box(residuals), left_(most) {}

  /// One vector a point, empty where there is none.
  std::vector<Vector> at(const std::vector<Point>& points) {
    left_ -= static_cast<int>(points.size());
    const std::vector<std::vector<double>> answers = box(points);
    if (answers.size() != points.size())
      throw std::invalid_argument("least_squares: not one vector of residuals a point");
    std::vector<Vector> checked;
    for (const std::vector<double>& answer : answers) checked.push_back(check(answer));
    return checked;
  }

  int left() const { return left_; }

 private:
  Vector check(const std::vector<double>& answer) {
    if (!std::all_of(answer.begin(), answer.end(), [](double x) { return std::isfinite(x); })) return {};
    if (length == 0) length = answer.size();
    if (!answer.empty() && answer.size() != length)
      throw std::invalid_argument("least_squares: residuals of several lengths");
    Vector r(static_cast<Eigen::Index>(answer.size()));
    std::copy(answer.begin(), answer.end(), r.data());
    return r;
  }

  const Residuals& box;
  int left_;
  std::size_t length = 0;
};

struct Place {
  Point x;
  Vector r;
  double sum = 0;
};

/// The end of a difference for one column; as far as `step`, or as the box lets it.
struct Probe {
  int column;
  Point x;
};

std::optional<Probe> probe(const LeastSquaresProblem& problem, const Point& x, int i, bool other_side) {
  const double up = std::min(problem.step[i], problem.highest[i] - x[i]);
  const double down = std::min(problem.step[i], x[i] - problem.lowest[i]);
  const bool forward = (up >= problem.step[i] || up >= down) != other_side;
  Probe there{i, x};
  there.x[i] = forward ? std::min(x[i] + up, problem.highest[i]) : std::max(x[i] - down, problem.lowest[i]);
  if (there.x[i] == x[i]) return std::nullopt;
  return there;
}

std::vector<Probe> probes(const LeastSquaresProblem& problem, const Point& x) {
  std::vector<Probe> all;
  for (int i = 0; i < static_cast<int>(x.size()); ++i)
    if (const auto there = probe(problem, x, i, false)) all.push_back(*there);
  return all;
}

/// A column a probe that has residuals, per step; the others tried on the other side, or zero.  Empty if none
/// has any.
std::optional<Matrix> differences(const LeastSquaresProblem& problem, Model& model, const Place& here,
                                  const std::vector<Probe>& first, const std::vector<Vector>& met) {
  Matrix J = Matrix::Zero(here.r.size(), static_cast<Eigen::Index>(here.x.size()));
  std::vector<Probe> others;
  bool any = first.empty();
  const auto enter = [&](const Probe& there, const Vector& r) {
    if (r.size() == 0) return false;
    const int i = there.column;
    J.col(i) = (r - here.r) * (problem.step[i] / (there.x[i] - here.x[i]));
    return any = true;
  };
  for (std::size_t k = 0; k < first.size(); ++k) {
    if (enter(first[k], met[k])) continue;
    const auto other = probe(problem, here.x, first[k].column, true);
    if (other && static_cast<int>(others.size()) < model.left()) others.push_back(*other);
  }
  if (!others.empty()) {
    std::vector<Point> points;
    for (const Probe& there : others) points.push_back(there.x);
    const std::vector<Vector> answers = model.at(points);
    for (std::size_t k = 0; k < others.size(); ++k) enter(others[k], answers[k]);
  }
  if (!any) return std::nullopt;
  return J;
}

std::vector<Point> points_of(const std::vector<Probe>& all) {
  std::vector<Point> points;
  for (const Probe& there : all) points.push_back(there.x);
  return points;
}

/// Least |rest + J p|^2 with |p| <= radius.
Vector within(const Matrix& J, const Vector& rest, double radius) {
  const Eigen::JacobiSVD<Matrix> svd(J, Eigen::ComputeThinU | Eigen::ComputeThinV);
  const Vector& s = svd.singularValues();
  const Vector b = -(svd.matrixU().transpose() * rest);
  const auto along = [&](double lambda) {
    Vector q = Vector::Zero(s.size());
    for (Eigen::Index k = 0; k < s.size(); ++k)
      if (s[k] > no_direction * s[0]) q[k] = s[k] * b[k] / (s[k] * s[k] + lambda);
    return q;
  };
  double lambda = 0.0;
  if (along(0.0).norm() > radius) {
    // |p| falls with lambda and is below |g| / lambda: halve the interval of its logarithm
    double high = s.cwiseProduct(b).norm() / radius, low = 1e-18 * high;
    for (int k = 0; k < 60; ++k) {
      lambda = std::sqrt(low * high);
      (along(lambda).norm() > radius ? low : high) = lambda;
    }
    lambda = high;
  }
  return svd.matrixV() * along(lambda);
}

struct Step {
  Point x;
  Vector p;
  double foretold = 0;  ///< fall of the sum of squares
};

Step step_within(const LeastSquaresProblem& problem, const Place& here, const Matrix& J, double radius) {
  const int n = static_cast<int>(here.x.size());
  const Vector g = J.transpose() * here.r;
  Step step{here.x, Vector::Zero(n), 0.0};
  std::vector<int> free;
  for (int i = 0; i < n; ++i)
    if (!(here.x[i] <= problem.lowest[i] && g[i] >= 0.0) && !(here.x[i] >= problem.highest[i] && g[i] <= 0.0))
      free.push_back(i);
  for (std::size_t before = 0; !free.empty() && free.size() != before;) {
    before = free.size();
    const Vector rest = here.r + J * step.p;
    const double room =
        std::isfinite(radius) ? std::sqrt(std::max(0.0, radius * radius - step.p.squaredNorm())) : radius;
    if (!(room > 0.0)) break;
    Matrix columns(J.rows(), static_cast<Eigen::Index>(free.size()));
    for (std::size_t k = 0; k < free.size(); ++k) columns.col(k) = J.col(free[k]);
    const Vector p = within(columns, rest, room);
    std::vector<int> inside;
    for (std::size_t k = 0; k < free.size(); ++k) {
      const int i = free[k];
      const double to = here.x[i] + p[k] * problem.step[i];
      step.x[i] = std::clamp(to, problem.lowest[i], problem.highest[i]);
      if (step.x[i] == to) inside.push_back(i);
    }
    const bool all_inside = inside.size() == free.size();
    for (const int i : free) step.p[i] = (step.x[i] - here.x[i]) / problem.step[i];
    if (all_inside) break;
    for (const int i : inside) {
      step.p[i] = 0.0;
      step.x[i] = here.x[i];
    }
    free = inside;
  }
  step.foretold = here.sum - (here.r + J * step.p).squaredNorm();
  return step;
}

/// The first step, from the radius downwards, of which something is foretold.
std::optional<Step> next_step(const LeastSquaresProblem& problem, const Place& here, const Matrix& J,
                              double& radius) {
  for (int k = 0; k < 60; ++k) {
    Step step = step_within(problem, here, J, radius);
    const double length = step.p.norm();
    if (!(length > 0.0)) return std::nullopt;
    if (step.foretold > 0.0) return step;
    radius = 0.25 * length;
  }
  return std::nullopt;
}

/// The radius after a trial that brought `fall` of the sum of squares; not a number: no residuals.
double radius_after(double radius, const Step& step, double slope, double fall) {
  const double length = step.p.norm(), q = fall / step.foretold;
  if (std::isnan(fall)) return shorter_when_failed * length;
  if (q > foretold_well) return std::max(radius, longer_by * length);
  if (q >= foretold_little) return radius;
  const double curving = -fall - slope;
  const double least = curving > 0.0 ? -slope / (2.0 * curving) : least_shorter;
  return std::clamp(least, most_shorter, least_shorter) * length;
}

Table per_unit(const Matrix& J, const Point& step) {
  Table table(static_cast<int>(J.rows()), static_cast<int>(J.cols()));
  for (int i = 0; i < table.rows; ++i)
    for (int j = 0; j < table.columns; ++j) table(i, j) = J(i, j) / step[j];
  return table;
}

Matrix per_step(const Table& table, const Point& step) {
  Matrix J(table.rows, table.columns);
  for (int i = 0; i < table.rows; ++i)
    for (int j = 0; j < table.columns; ++j) J(i, j) = table(i, j) * step[j];
  return J;
}

/// A search on its way.
struct Search {
  Place here;
  Matrix J;
  bool differenced_here = false;
  double radius = endless;
};

/// The way from a start with residuals and a Jacobian; `search` is left at the best point.
End descend(const LeastSquaresProblem& problem, const LeastSquaresRules& rules, Model& model,
            Search& search) {
  const auto room_for_differences = [&] { return model.left() > static_cast<int>(problem.start.size()); };
  const auto take_differences = [&] {
    const std::vector<Probe> first = probes(problem, search.here.x);
    const auto J = differences(problem, model, search.here, first, model.at(points_of(first)));
    if (J) search.J = *J;
    search.differenced_here = true;
    return J.has_value();
  };
  while (true) {
    const std::optional<Step> step = next_step(problem, search.here, search.J, search.radius);
    if (!step) {
      if (search.differenced_here) return End::gain;
      if (!room_for_differences()) return End::budget;
      if (!take_differences()) return End::none;
      continue;
    }
    if (model.left() < 1) return End::budget;
    const Vector r = model.at({step->x})[0];
    const bool met = r.size() > 0, is_short = step->p.lpNorm<Eigen::Infinity>() < rules.least_move;
    const double sum = met ? r.squaredNorm() : endless;
    const double slope = 2.0 * search.here.r.dot(search.J * step->p);
    const double fall = met ? search.here.sum - sum : std::numeric_limits<double>::quiet_NaN();
    const bool better = fall > 0.0, trusted = search.differenced_here;
    if (met && rules.secant) {
      const Vector missed = r - search.here.r - search.J * step->p;
      search.J += missed * step->p.transpose() / step->p.squaredNorm();
    }
    bool renew = !trusted;
    if (better) {
      const bool little = fall < rules.least_gain * search.here.sum;
      const bool doubtful = little && !trusted && fall < foretold_little * step->foretold;
      search.here = {step->x, r, sum};
      search.differenced_here = false;
      if (sum == 0.0 || (little && !doubtful)) return End::gain;
      renew = doubtful || !rules.secant;
    }
    if (is_short) return End::move;
    if (renew && room_for_differences()) {
      if (!better) search.radius = std::min(search.radius, step->p.norm());
      if (!take_differences()) return End::none;
      if (!better) continue;
    }
    search.radius = radius_after(search.radius, *step, slope, fall);
  }
}

}  // namespace

LeastSquaresResult least_squares(const LeastSquaresProblem& problem, const LeastSquaresRules& rules,
                                 const Table* jacobian) {
  refuse_unusable(problem, rules, jacobian);
  Model model(problem.residuals, rules.most_points);
  Search search;
  for (std::size_t i = 0; i < problem.start.size(); ++i)
    search.here.x.push_back(std::clamp(problem.start[i], problem.lowest[i], problem.highest[i]));

  std::vector<Probe> first;
  if (!jacobian) first = probes(problem, search.here.x);
  const bool too_many = static_cast<int>(first.size()) >= rules.most_points;
  if (too_many) first.clear();
  std::vector<Point> points = points_of(first);
  points.insert(points.begin(), search.here.x);
  std::vector<Vector> met = model.at(points);
  search.here.r = met[0];
  search.here.sum = met[0].squaredNorm();
  met.erase(met.begin());

  LeastSquaresResult result;
  if (search.here.r.size() > 0) {
    search.J = Matrix::Zero(search.here.r.size(), static_cast<Eigen::Index>(search.here.x.size()));
    if (jacobian) {
      if (jacobian->rows != search.here.r.size())
        throw std::invalid_argument("least_squares: the Jacobian has another number of residuals");
      search.J = per_step(*jacobian, problem.step);
      result.end = descend(problem, rules, model, search);
    } else if (too_many) {
      result.end = End::budget;
    } else if (const auto J = differences(problem, model, search.here, first, met)) {
      search.J = *J;
      search.differenced_here = true;
      result.end = search.here.sum == 0.0 ? End::gain : descend(problem, rules, model, search);
    }
  }
  result.x = search.here.x;
  result.residuals.assign(search.here.r.data(), search.here.r.data() + search.here.r.size());
  result.sum_of_squares = search.here.sum;
  result.jacobian = per_unit(search.J, problem.step);
  result.points = rules.most_points - model.left();
  return result;
}

}  // namespace joulepress::inverse
