#include "solver/inverse/learned.hpp"

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
using Map = Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>;

constexpr double unseen = 0.04;           // of a sum of squares, in deviations of the instruments; own choice
constexpr int few_points = 8;             // of searches that follow slopes known from near by
constexpr double as_good_as_open = 0.02;  // of sums of squared weighted slopes: 1 - 1/sqrt(1.02) is 1 %
constexpr int most_polishes = 3;
constexpr int most_last_rounds = 4;
constexpr double clear_gain = 1.0;       // of a cost in units of S
constexpr double clear_step = 0.1;       // of the deviation that is left
constexpr double far_from_seen = 1e-3;   // of a slope of rho: what is let go tells nothing of its own slope
constexpr double far_from_slopes = 0.3;  // deviations
constexpr double start_aside = 1.5;      // deviations
constexpr double nearly_as_good = 6.0;   // of S
constexpr double another = 1.0;          // deviations beforehand, longest component between two answers

double sum_of_squares(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v * v;
  return sum;
}

class Learner {
 public:
  Learner(const LearnProblem& problem, const LearnRules& rules)
      : problem_(problem), rules_(rules), weights_(problem.series) {
    if (problem.unknowns < 1) throw std::invalid_argument("nothing to learn");
    steps_.assign(static_cast<std::size_t>(problem.unknowns), rules.step);
    for (int k = 0; k < problem.unknowns; ++k) live_.push_back(k);
  }

  Learned run() {
    Learned out;
    const Point centre(static_cast<std::size_t>(problem_.unknowns), 0.0);
    const auto first = differences(centre, false);
    if (!first) {
      out.points = points_;
      return out;
    }
    out.before = first->values;
    out.slope_before = first->slope;
    known_slope_ = first->slope;
    leave_out_the_unseen();
    weights_.weigh(out.before);
    Table slope = first->slope;
    Found best = best_of_starts(centre, slope, out);
    shorten_steps(best.values, slope);  // slopes at the centre may be far from those here
    if (const auto here = differences(best.x, false)) slope = known_slope_ = here->slope;
    out.end = Learned::End::rounds;
    Point slopes_at = best.x;
    for (int round = 0; round < rules_.most_rounds; ++round) {
      if (!weights_.weigh(best.values)) {
        if (apart(best.x, slopes_at) < far_from_slopes) {
          out.end = Learned::End::settled;
          break;
        }
        // Nothing more to gain by slopes of elsewhere.
        shorten_steps(best.values, slope);
        if (const auto here = differences(best.x, false)) slope = known_slope_ = here->slope;
        slopes_at = best.x;
      }
      best = search(best.x, best.values, slope, round == 0 ? rules_.most_points : few_points);
    }
    const std::vector<int> seen = live_;
    weights_.remember(best.values);
    for (int round = 0; round < most_last_rounds; ++round) {
      best = search(best.x, best.values, slope, few_points);
      live_ = seen;
      leave_out_the_open(best.values);
      slope = polished(best, std::move(slope));
      live_ = seen;
      if (come_nearer(best, slope)) {
        weights_.weigh(best.values);
        weights_.remember(best.values);
      } else if (!weights_.refine(best.values)) {
        break;
      }
    }
    add_others(best, out);
    out.scores = best.x;
    out.after = best.values;
    out.slope = slope;
    out.covariance = covariance_of(best.values, out.slope);
    out.series = weights_.told(out.before, out.after);
    for (const Residuals& model : problem_.other_models) out.models.push_back(ended(model, best, slope));
    out.points = points_;
    return out;
  }

 private:
  struct Differences {
    std::vector<double> values;
    Table slope;
  };
  struct Found {
    Point x;
    std::vector<double> values;
    double sum = std::numeric_limits<double>::infinity();
  };

  std::vector<std::vector<double>> ask(std::span<const Point> points) { return ask(problem_.misfit, points); }

  std::vector<std::vector<double>> ask(const Residuals& model, std::span<const Point> points) {
    points_ += static_cast<int>(points.size());
    auto answers = model(points);
    if (answers.size() != points.size()) throw std::invalid_argument("as many misfits as points");
    for (auto& values : answers) {
      if (!values.empty() && values.size() != weights_.length())
        throw std::invalid_argument("misfits of another length than the series have");
      if (std::any_of(values.begin(), values.end(), [](double v) { return !std::isfinite(v); }))
        values.clear();
    }
    return answers;
  }

  /// Forward or central; a side without a run is left to the other one.
  std::optional<Differences> differences(const Point& x, bool central) {
    std::vector<Point> points{x};
    const auto aside = [&](std::size_t k, double by) {
      Point p = x;
      p[k] += by * steps_[k];
      points.push_back(std::move(p));
    };
    for (const int k : live_) {
      aside(static_cast<std::size_t>(k), 1.0);
      if (central) aside(static_cast<std::size_t>(k), -1.0);
    }
    const auto answers = ask(points);
    if (answers[0].empty()) return std::nullopt;
    Differences out{answers[0], known_slope_.rows > 0
                                    ? known_slope_
                                    : Table(static_cast<int>(weights_.length()), problem_.unknowns)};
    for (std::size_t n = 0; n < live_.size(); ++n) {
      const int k = live_[n];
      const std::size_t up = central ? 1 + 2 * n : 1 + n;
      const std::vector<double>& high = answers[up].empty() ? answers[0] : answers[up];
      const std::vector<double>& low = central && !answers[up + 1].empty() ? answers[up + 1] : answers[0];
      const double own = steps_[static_cast<std::size_t>(k)];
      const double apart = (answers[up].empty() ? 0.0 : own) + (&low == answers.data() ? 0.0 : own);
      if (!(apart > 0.0)) continue;
      for (int i = 0; i < out.slope.rows; ++i) {
        const auto at = static_cast<std::size_t>(i);
        out.slope(i, k) = (high[at] - low[at]) / apart;
      }
    }
    return out;
  }

  /// What no instrument would see at all keeps what it has, and costs no more runs.
  void leave_out_the_unseen() {
    std::vector<double> seen(static_cast<std::size_t>(problem_.unknowns), 0.0);
    weights_.each([&](std::size_t series, std::size_t i) {
      for (std::size_t k = 0; k < seen.size(); ++k) {
        const double e =
            known_slope_(static_cast<int>(i), static_cast<int>(k)) / problem_.series[series].deviation;
        seen[k] += e * e;
      }
    });
    std::erase_if(live_, [&](int k) { return seen[static_cast<std::size_t>(k)] < unseen; });
  }

  /// Of which so little is told, in the weights of now, that its deviation stays what it was to a hundredth.
  void leave_out_the_open(const std::vector<double>& values) {
    const Table J = jacobian_of(values, known_slope_, ones());
    std::erase_if(live_, [&](int k) {
      double told = 0.0;
      for (int i = 0; i < weights_.counted(); ++i) told += J(i, k) * J(i, k);
      return told < as_good_as_open;
    });
  }

  std::vector<double> residuals_of(const Point& x, const std::vector<double>& values) const {
    std::vector<double> r;
    weights_.each([&](std::size_t k, std::size_t i) { r.push_back(weights_.weighted(k, values[i])); });
    r.insert(r.end(), x.begin(), x.end());
    return r;
  }

  /// Of the weighted residuals and the scores, by the scores in steps.
  Table jacobian_of(const std::vector<double>& values, const Table& slope, const Point& steps) const {
    Table J(weights_.counted() + problem_.unknowns, problem_.unknowns);
    int row = 0;
    weights_.each([&](std::size_t k, std::size_t i) {
      const double factor = weights_.slope(k, values[i]);
      for (int j = 0; j < problem_.unknowns; ++j)
        J(row, j) = factor * slope(static_cast<int>(i), j) * steps[static_cast<std::size_t>(j)];
      ++row;
    });
    for (int j = 0; j < problem_.unknowns; ++j)
      J(weights_.counted() + j, j) = steps[static_cast<std::size_t>(j)];
    return J;
  }

  Point ones() const { return Point(static_cast<std::size_t>(problem_.unknowns), 1.0); }

  /// Differences span what the data leave open: wider ones miss the least, far shorter ones see the steps
  /// that a model of runs takes.
  void shorten_steps(const std::vector<double>& values, const Table& slope) {
    const Table C = covariance_of(values, slope);
    for (int k = 0; k < problem_.unknowns; ++k)
      steps_[static_cast<std::size_t>(k)] =
          std::clamp(2.0 * std::sqrt(C(k, k)), rules_.least_step, rules_.step);
  }

  /// `near`: misfits there, or where the slopes are those of; `slope` follows the residuals met.
  Found search(const Point& from, const std::vector<double>& near, Table& slope, int most_points) {
    return search(problem_.misfit, from, near, slope, most_points);
  }

  Found search(const Residuals& model, const Point& from, const std::vector<double>& near, Table& slope,
               int most_points) {
    Found found;
    LeastSquaresProblem least;
    least.start = from;
    least.lowest = least.highest = from;
    for (const int k : live_) {
      least.lowest[static_cast<std::size_t>(k)] = -rules_.most_score;
      least.highest[static_cast<std::size_t>(k)] = rules_.most_score;
    }
    least.step = steps_;
    least.residuals = [&](std::span<const Point> points) {
      const auto answers = ask(model, points);
      std::vector<std::vector<double>> all;
      for (std::size_t k = 0; k < points.size(); ++k) {
        all.emplace_back();
        if (answers[k].empty()) continue;
        all.back() = residuals_of(points[k], answers[k]);
        const double sum = sum_of_squares(all.back());
        if (sum < found.sum) found = {points[k], answers[k], sum};
      }
      return all;
    };
    LeastSquaresRules rules;
    rules.most_points = most_points;
    rules.least_move = 0.01;
    rules.least_gain = 1e-4;
    const Table J = jacobian_of(near, slope, steps_);
    follow(least_squares(least, rules, &J), found, slope);
    return found;
  }

  /// Slopes out of the Jacobian of a search that ended at `found`.
  void follow(const LeastSquaresResult& result, const Found& found, Table& slope) const {
    if (result.jacobian.rows == 0 || found.values.empty()) return;
    int row = 0;
    weights_.each([&](std::size_t k, std::size_t i) {
      const double factor = weights_.slope(k, found.values[i]);
      for (const int j : live_)
        if (factor > far_from_seen / weights_.scatter(k))
          slope(static_cast<int>(i), j) =
              result.jacobian(row, j) / factor / steps_[static_cast<std::size_t>(j)];
      ++row;
    });
  }

  Found best_of_starts(const Point& centre, const Table& slope, const Learned& out) {
    Table followed = slope;
    Found best = search(centre, out.before, followed, rules_.most_points);
    starts_ = {best};
    if (!rules_.several_starts) return best;
    const Table J = jacobian_of(out.before, slope, ones());
    const Map all(J.values.data(), J.rows, J.columns);
    const Matrix normal = all.transpose() * all;
    const Eigen::SelfAdjointEigenSolver<Matrix> eigen(normal);
    const Vector seen_best = eigen.eigenvectors().col(problem_.unknowns - 1);
    for (const double side : {start_aside, -start_aside}) {
      Point aside(centre);
      for (std::size_t k = 0; k < aside.size(); ++k)
        aside[k] = side * seen_best[static_cast<Eigen::Index>(k)];
      Table own = slope;
      const Found found = search(aside, out.before, own, few_points + few_points);
      if (!found.values.empty()) starts_.push_back(found);
      if (found.sum < best.sum) best = found;
    }
    return best;
  }

  /// Central differences at the best point; where they still lead away from it by a clear part of what is
  /// open, to the better point and its own differences.  Searches follow slopes of points near by, and may
  /// end where those see nothing more to gain.
  Table polished(Found& best, Table slope) {
    for (int k = 0; k < most_polishes; ++k) {
      shorten_steps(best.values, slope);
      const auto here = differences(best.x, true);
      if (!here) return slope;
      slope = here->slope;
      const Vector step = newton_step(best, slope);
      const Table C = covariance_of(best.values, slope);
      double longest = 0.0;
      for (int j = 0; j < problem_.unknowns; ++j)
        longest = std::max(longest, std::abs(step[j]) / std::sqrt(C(j, j)));
      if (longest < clear_step || !moved(best, step)) return slope;
    }
    return slope;
  }

  Vector newton_step(const Found& at, const Table& slope) const {
    const Table J = jacobian_of(at.values, slope, ones());
    const Map all(J.values.data(), J.rows, J.columns);
    const std::vector<double> r = residuals_of(at.x, at.values);
    const Vector g =
        all.transpose() * Eigen::Map<const Vector>(r.data(), static_cast<Eigen::Index>(r.size()));
    return -(all.transpose() * all).llt().solve(g);
  }

  /// Whether a search that trusts the data as far as it may leads to runs that meet them better, by more than
  /// the scores it takes: what is left of a series for long may only not have been learned yet.
  bool come_nearer(Found& best, Table& slope) {
    const SeriesWeights weights = weights_;
    const auto cost = [&](const Found& found) {
      return weights.unmet(found.values) + sum_of_squares(found.x);
    };
    weights_.trust(best.values);
    Table followed = slope;
    Found there = search(best.x, best.values, followed, few_points);
    weights_ = weights;
    if (there.values.empty() || cost(there) > cost(best) - clear_gain) return false;
    best = std::move(there);
    slope = std::move(followed);
    return true;
  }

  /// Along the step, or the start of it, to a smaller sum.
  bool moved(Found& best, const Vector& step) {
    best.sum = sum_of(best);
    for (const double part : {1.0, 0.3}) {
      Found there;
      for (std::size_t k = 0; k < best.x.size(); ++k)
        there.x.push_back(std::clamp(best.x[k] + part * step[static_cast<Eigen::Index>(k)],
                                     -rules_.most_score, rules_.most_score));
      there.values = ask(std::span(&there.x, 1)).front();
      if (there.values.empty()) continue;
      there.sum = sum_of(there);
      if (!(there.sum < best.sum)) continue;
      best = there;
      return true;
    }
    return false;
  }

  /// Longest component between two points.
  static double apart(const Point& a, const Point& b) {
    double longest = 0.0;
    for (std::size_t k = 0; k < a.size(); ++k) longest = std::max(longest, std::abs(a[k] - b[k]));
    return longest;
  }

  double sum_of(const Found& found) const { return sum_of_squares(residuals_of(found.x, found.values)); }

  void add_others(const Found& best, Learned& out) const {
    for (const Found& start : starts_) {
      const double worse = sum_of(start) - sum_of(best);
      if (apart(start.x, best.x) > another && worse < nearly_as_good) out.others.push_back({start.x, worse});
    }
  }

  /// Where another model gets to from the best point of this one, along its slopes.
  OtherModel ended(const Residuals& model, const Found& best, Table slope) {
    const Found there = search(model, best.x, best.values, slope, few_points + few_points);
    if (there.values.empty()) return {};
    const double worse = there.sum - sum_of(best);
    return {there.x, there.values, worse, 1.0 / (1.0 + std::exp(0.5 * worse))};
  }

  Table covariance_of(const std::vector<double>& values, const Table& slope) const {
    const Table J = jacobian_of(values, slope, ones());
    const Map all(J.values.data(), J.rows, J.columns);
    const Matrix precision = all.transpose() * all;  // the scores are its last rows: never singular
    const Matrix inverse = precision.llt().solve(Matrix::Identity(J.columns, J.columns));
    Table C(J.columns, J.columns);
    for (int i = 0; i < J.columns; ++i)
      for (int j = 0; j < J.columns; ++j) C(i, j) = 0.5 * (inverse(i, j) + inverse(j, i));
    return C;
  }

  const LearnProblem& problem_;
  const LearnRules& rules_;
  SeriesWeights weights_;
  std::vector<int> live_;  // unknowns that the data see
  Table known_slope_;      // of the last differences, those of unknowns left out included
  Point steps_;            // of differences
  std::vector<Found> starts_;
  int points_ = 0;
};

}  // namespace

Learned learn(const LearnProblem& problem, const LearnRules& rules) {
  return Learner(problem, rules).run();
}

Table covariance_in_all(const Learned& learned) {
  Table C = learned.covariance;
  for (const OtherModel& model : learned.models) {
    if (model.scores.empty()) continue;
    const auto by = [&](int k) {
      return model.scores[static_cast<std::size_t>(k)] - learned.scores[static_cast<std::size_t>(k)];
    };
    for (int i = 0; i < C.rows; ++i)
      for (int j = 0; j < C.columns; ++j) C(i, j) += model.share * by(i) * by(j);
  }
  return C;
}

double deviation_by_models(const Learned& learned, std::size_t misfit) {
  double square = 0.0;
  for (const OtherModel& model : learned.models) {
    if (model.scores.empty()) continue;
    const double by = model.misfits[misfit] - learned.after[misfit];
    square += model.share * by * by;
  }
  return std::sqrt(square);
}

}  // namespace joulepress::inverse
