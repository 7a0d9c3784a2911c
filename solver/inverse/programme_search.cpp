#include "solver/inverse/programme_search.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

constexpr double hold_weight = 5.0;
constexpr double length_step = 0.05;  // of the logarithm of a length
constexpr double longest_log = 5.0;   // either way: lengths of a stretch differ by no more than e^5
constexpr int images = 2;             // runs from which others are told before any is fitted
constexpr LeastSquaresRules on_image{400, 1e-4, 1e-3, false};  // an image costs nothing
constexpr int refine_runs = 12;                                // of the model itself, for the same legs
constexpr double least_rise = 0.02;                            // of the wish, from which a ratio is told
constexpr double least_ratio = 0.3;  // of response to programme, and its inverse the most
constexpr double approach = 0.3;     // of a level leg that gets a ramp before it

/// A stretch between two fixed times: legs [first, last).
struct Stretch {
  std::size_t first = 0, last = 0;
  double length = 0;
};

/// How a point of unknowns and a programme of the same legs follow from each other.
class Shape {
 public:
  Shape(const Wish& wish, const SearchRules& rules, const LegProgramme& like)
      : wish_(wish), rules_(rules), like_(like) {
    Stretch stretch;
    for (std::size_t k = 0; k < like.legs.size(); ++k) {
      stretch.length += like.legs[k].length;
      const bool last_of_all = k + 1 == like.legs.size();
      const bool last_of_step = last_of_all || like.legs[k + 1].step != like.legs[k].step;
      if (!last_of_all && !(last_of_step && wish.steps[like.legs[k].step].level)) continue;
      stretch.last = k + 1;
      stretches_.push_back(stretch);
      stretch = {k + 1, 0, 0.0};
    }
  }

  LeastSquaresProblem problem(const Responses& model) const {
    LeastSquaresProblem p;
    for (const Leg& leg : like_.legs)
      if (!leg.level) add(p, leg.to, rules_.lowest, rules_.highest, rules_.value_step);
    for (const Stretch& s : stretches_) {
      const double last = std::log(share(s, s.last - 1));
      for (std::size_t k = s.first; k + 1 < s.last; ++k)
        add(p, std::log(share(s, k)) - last, -longest_log, longest_log, length_step);
    }
    p.residuals = [this, &model](std::span<const Point> points) {
      std::vector<LegProgramme> programmes;
      for (const Point& point : points) programmes.push_back(programme(point));
      std::vector<std::vector<double>> answers = model(programmes);
      for (std::vector<double>& answer : answers) answer = residuals(answer);
      return answers;
    };
    return p;
  }

  LegProgramme programme(const Point& point) const {
    LegProgramme made = like_;
    auto next = point.begin();
    for (Leg& leg : made.legs)
      if (!leg.level) leg.to = *next++;
    for (const Stretch& s : stretches_) {
      double sum = 1.0;
      for (std::size_t k = s.first; k + 1 < s.last; ++k) {
        made.legs[k].length = std::exp(*next++);
        sum += made.legs[k].length;
      }
      made.legs[s.last - 1].length = 1.0;
      for (std::size_t k = s.first; k < s.last; ++k)
        made.legs[k].length = least(s) + spare(s) * made.legs[k].length / sum;
    }
    double from = made.start;
    for (Leg& leg : made.legs) {
      const double most = rules_.fastest * leg.length;
      leg.to = leg.level ? from : std::clamp(leg.to, from - most, from + most);
      from = leg.to;
    }
    return made;
  }

  /// Empty of an empty response.
  std::vector<double> residuals(const std::vector<double>& response) const {
    if (response.empty()) return {};
    const std::vector<double>&t = wish_.times, &w = wish_.values;
    std::vector<double> r;
    for (std::size_t i = 0; i < t.size(); ++i) r.push_back(weight(i) * (response[i] - w[i]));
    for (const auto& [from, to] : settled_spans(wish_))
      r.push_back(hold_weight * (mean_over(t, response, from, to) - mean_over(t, w, from, to)));
    return r;
  }

  /// The response behind residuals.
  std::vector<double> response(const std::vector<double>& residuals) const {
    std::vector<double> y;
    for (std::size_t i = 0; i < wish_.times.size(); ++i)
      y.push_back(wish_.values[i] + residuals[i] / weight(i));
    return y;
  }

 private:
  /// Root of the share of all time that a moment stands for.
  double weight(std::size_t i) const {
    const std::vector<double>& t = wish_.times;
    const std::size_t last = t.size() - 1;
    return std::sqrt(0.5 * (t[std::min(i + 1, last)] - t[i > 0 ? i - 1 : 0]) / (t.back() - t.front()));
  }
  static void add(LeastSquaresProblem& p, double start, double lowest, double highest, double step) {
    p.start.push_back(start);
    p.lowest.push_back(lowest);
    p.highest.push_back(highest);
    p.step.push_back(step);
  }
  /// Of a stretch too short for all its legs they get what there is.
  double least(const Stretch& s) const {
    return std::min(rules_.shortest, 0.5 * s.length / static_cast<double>(s.last - s.first));
  }
  double spare(const Stretch& s) const { return s.length - static_cast<double>(s.last - s.first) * least(s); }
  double share(const Stretch& s, std::size_t leg) const {
    return std::max((like_.legs[leg].length - least(s)) / spare(s), std::exp(-longest_log));
  }

  const Wish& wish_;
  const SearchRules& rules_;
  LegProgramme like_;
  std::vector<Stretch> stretches_;
};

void check(const Wish& wish) {
  if (wish.steps.empty() || wish.times.size() < 2 || wish.times.size() != wish.values.size())
    throw std::invalid_argument("a wish needs steps, and values at two times or more");
  for (std::size_t i = 1; i < wish.times.size(); ++i)
    if (!(wish.times[i] > wish.times[i - 1])) throw std::invalid_argument("times of a wish ascend");
  for (const WishStep& step : wish.steps)
    if (!(step.length > 0.0)) throw std::invalid_argument("a step of a wish takes time");
}

/// Square of response less wish by time, summed over each leg.
std::vector<double> squares_by_leg(const Wish& wish, const LegProgramme& programme,
                                   const std::vector<double>& response) {
  std::vector<double> squares(programme.legs.size(), 0.0);
  std::size_t leg = 0;
  double end = programme.legs.front().length;
  for (std::size_t i = 1; i < wish.times.size(); ++i) {
    const double middle = 0.5 * (wish.times[i] + wish.times[i - 1]);
    while (middle > end && leg + 1 < programme.legs.size()) end += programme.legs[++leg].length;
    const double miss = 0.5 * (response[i] - wish.values[i] + response[i - 1] - wish.values[i - 1]);
    squares[leg] += miss * miss * (wish.times[i] - wish.times[i - 1]);
  }
  return squares;
}

/// With one leg more, where the squares add up to most among legs long enough for two.
LegProgramme with_another_leg(const Wish& wish, const FoundProgramme& found, double shortest) {
  LegProgramme made = found.programme;
  const std::vector<double> squares = squares_by_leg(wish, made, found.response);
  std::size_t worst = made.legs.size();
  for (std::size_t k = 0; k < squares.size(); ++k)
    if (made.legs[k].length >= 2.0 * shortest && (worst == made.legs.size() || squares[k] > squares[worst]))
      worst = k;
  if (worst == made.legs.size()) return made;
  Leg& leg = made.legs[worst];
  const double from = worst > 0 ? made.legs[worst - 1].to : made.start;
  Leg before = leg;
  before.level = false;
  before.length = (leg.level ? approach : 0.5) * leg.length;
  before.to = leg.level ? leg.to : 0.5 * (from + leg.to);
  leg.length -= before.length;
  made.legs.insert(made.legs.begin() + static_cast<std::ptrdiff_t>(worst), before);
  return made;
}

double rms_of(const Wish& wish, const std::vector<double>& response) {
  std::vector<double> squares;
  for (std::size_t i = 0; i < response.size(); ++i) {
    const double miss = response[i] - wish.values[i];
    squares.push_back(miss * miss);
  }
  return std::sqrt(mean_over(wish.times, squares, wish.times.front(), wish.times.back()));
}

/// The best programme of the same legs.
FoundProgramme solved(const Wish& wish, const Responses& model, const SearchRules& rules,
                      const LegProgramme& start, const LeastSquaresRules& how, const Table* jacobian) {
  const Shape shape(wish, rules, start);
  LeastSquaresResult best = least_squares(shape.problem(model), how, jacobian);
  FoundProgramme found;
  found.runs = best.points;
  found.answered = best.end != LeastSquaresResult::End::none;
  found.programme = start;
  if (!found.answered) return found;
  found.programme = shape.programme(best.x);
  found.response = shape.response(best.residuals);
  found.rms = rms_of(wish, found.response);
  found.jacobian = std::move(best.jacobian);
  return found;
}

/// Legs of a wish, one a step, ending where its guesses say.
LegProgramme first_legs(const Wish& wish) {
  LegProgramme programme{wish.start, {}};
  for (std::size_t k = 0; k < wish.steps.size(); ++k) {
    const WishStep& step = wish.steps[k];
    const double before = programme.legs.empty() ? wish.start : programme.legs.back().to;
    programme.legs.push_back(
        {step.length, step.level ? before : step.guess, step.level, static_cast<int>(k)});
  }
  return programme;
}

/// What a run tells of others without running them: at every time the response moves with the programme as
/// both have risen from the start.
class Image {
 public:
  Image(const Wish& wish, LegProgramme run, std::vector<double> response)
      : wish_(wish), run_(std::move(run)), response_(std::move(response)) {}

  std::vector<double> operator()(const LegProgramme& other) const {
    std::vector<double> moved = response_;
    for (std::size_t i = 0; i < moved.size(); ++i) {
      const double here = value_at(run_, wish_.times[i]), risen = here - run_.start;
      const double ratio = std::abs(risen) > least_rise * (wish_.values.back() - wish_.values.front())
                               ? (response_[i] - response_.front()) / risen
                               : 1.0;
      moved[i] +=
          std::clamp(ratio, least_ratio, 1.0 / least_ratio) * (value_at(other, wish_.times[i]) - here);
    }
    return moved;
  }

 private:
  const Wish& wish_;
  LegProgramme run_;
  std::vector<double> response_;
};

Responses answers_of(const Image& image) {
  return [&image](std::span<const LegProgramme> programmes) {
    std::vector<std::vector<double>> answers;
    for (const LegProgramme& programme : programmes) answers.push_back(image(programme));
    return answers;
  };
}

/// Legs added one after another while they help: the best programme of an image, which costs nothing.
FoundProgramme best_of(const Wish& wish, const Image& image, const SearchRules& rules,
                       const LegProgramme& start) {
  FoundProgramme best = solved(wish, answers_of(image), rules, start, on_image, nullptr);
  while (best.rms > rules.good && static_cast<int>(best.programme.legs.size()) < rules.most_legs) {
    const LegProgramme longer = with_another_leg(wish, best, rules.shortest);
    if (longer.legs.size() == best.programme.legs.size()) break;
    FoundProgramme tried = solved(wish, answers_of(image), rules, longer, on_image, nullptr);
    if (!(tried.rms < (1.0 - rules.least_gain) * best.rms)) break;
    best = std::move(tried);
  }
  return best;
}

}  // namespace

std::vector<std::pair<double, double>> settled_spans(const Wish& wish) {
  std::vector<std::pair<double, double>> spans;
  double time = 0.0;
  for (const WishStep& step : wish.steps) {
    time += step.length;
    if (step.level) spans.emplace_back(time - 0.5 * step.length, time);
  }
  return spans;
}

double mean_over(std::span<const double> times, std::span<const double> values, double from, double to) {
  const auto at = [&](double time) {
    const auto upper = std::upper_bound(times.begin(), times.end(), time);
    if (upper == times.begin()) return values.front();
    if (upper == times.end()) return values.back();
    const auto k = static_cast<std::size_t>(upper - times.begin());
    const double share = (time - times[k - 1]) / (times[k] - times[k - 1]);
    return values[k - 1] + share * (values[k] - values[k - 1]);
  };
  if (!(to > from)) return at(from);
  double sum = 0.0, last_time = from, last = at(from);
  const auto add = [&](double time, double value) {
    sum += 0.5 * (value + last) * (time - last_time);
    last_time = time;
    last = value;
  };
  for (std::size_t k = 0; k < times.size(); ++k)
    if (times[k] > from && times[k] < to) add(times[k], values[k]);
  add(to, at(to));
  return sum / (to - from);
}

double value_at(const LegProgramme& programme, double time) {
  double start = 0.0, from = programme.start;
  for (const Leg& leg : programme.legs) {
    if (time <= start + leg.length) return from + (leg.to - from) * (time - start) / leg.length;
    start += leg.length;
    from = leg.to;
  }
  return from;
}

FoundProgramme search_programme(const Wish& wish, const Responses& model, const SearchRules& rules,
                                const LegProgramme* legs) {
  check(wish);
  FoundProgramme found;
  found.programme = legs ? *legs : first_legs(wish);
  const auto run = [&](const LegProgramme& programme) {
    ++found.runs;
    return std::move(model(std::span(&programme, 1)).front());
  };
  found.response = run(found.programme);
  if (found.response.empty()) return found;
  found.answered = true;
  found.first_response = found.response;
  for (int round = 0; round < images; ++round) {
    const Image image(wish, found.programme, found.response);
    FoundProgramme next = legs ? solved(wish, answers_of(image), rules, found.programme, on_image, nullptr)
                               : best_of(wish, image, rules, round == 0 ? first_legs(wish) : found.programme);
    std::vector<double> response = run(next.programme);
    if (response.empty()) break;
    found.programme = std::move(next.programme);
    found.response = std::move(response);
    found.jacobian = std::move(next.jacobian);
  }
  const auto refined = [&](const FoundProgramme& from) {
    SearchRules left = rules;
    left.most_runs = std::min(refine_runs, rules.most_runs - found.runs);
    FoundProgramme better = refine_programme(wish, model, left, from);
    found.runs += better.runs;
    return better;
  };
  const auto take = [&found](FoundProgramme better) {
    better.runs = found.runs;
    better.first_response = std::move(found.first_response);
    found = std::move(better);
  };
  take(refined(found));
  while (!legs && found.answered && found.rms > rules.good &&
         static_cast<int>(found.programme.legs.size()) < rules.most_legs && found.runs < rules.most_runs) {
    const LegProgramme longer = with_another_leg(wish, found, rules.shortest);
    if (longer.legs.size() == found.programme.legs.size()) break;
    const Image image(wish, found.programme, found.response);
    FoundProgramme tried = refined(solved(wish, answers_of(image), rules, longer, on_image, nullptr));
    if (!tried.answered || !(tried.rms < (1.0 - rules.least_gain) * found.rms)) break;
    take(std::move(tried));
  }
  return found;
}

FoundProgramme refine_programme(const Wish& wish, const Responses& model, const SearchRules& rules,
                                const FoundProgramme& from) {
  check(wish);
  LeastSquaresRules how;
  how.least_gain = 0.05;  // a run that gains less is not worth its time
  how.most_points = rules.most_runs;
  return solved(wish, model, rules, from.programme, how,
                from.jacobian.columns > 0 ? &from.jacobian : nullptr);
}

}  // namespace joulepress::inverse
