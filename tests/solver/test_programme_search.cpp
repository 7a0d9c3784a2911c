// The search for a programme, on toy responses whose best programme is known.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solver/inverse/programme_search.hpp"

using namespace joulepress::inverse;

namespace {

/// A ramp to `top` in `ramp` seconds, a hold of `hold` seconds; guesses as if the response were the
/// programme.
Wish ramp_and_hold(double top, double ramp, double hold) {
  Wish wish;
  wish.start = 300.0;
  wish.steps = {{ramp, false, top}, {hold, true, top}};
  for (double t = 0.0; t <= ramp + hold + 1e-9; t += 5.0) {
    wish.times.push_back(t);
    wish.values.push_back(t < ramp ? 300.0 + (top - 300.0) * t / ramp : top);
  }
  return wish;
}

/// Follows the programme by a lag, a gain on what it has risen, and a bend: y = x + bend (x - 300)^2.
struct Toy {
  double lag = 0, gain = 1, bend = 0;
  std::vector<double> operator()(const Wish& wish, const LegProgramme& programme) const {
    std::vector<double> y;
    double x = 300.0, time = 0.0;
    for (const double t : wish.times) {
      for (const double dt = 0.5; time < t - 1e-9; time += dt) {
        const double drive = 300.0 + gain * (value_at(programme, time + 0.5 * dt) - 300.0);
        x = lag > 0.0 ? x + (drive - x) * (1.0 - std::exp(-dt / lag)) : drive;
      }
      if (!(lag > 0.0)) x = 300.0 + gain * (value_at(programme, t) - 300.0);
      y.push_back(x + bend * (x - 300.0) * (x - 300.0));
    }
    return y;
  }
};

Responses model_of(const Wish& wish, const Toy& toy, int* calls = nullptr) {
  return [&wish, toy, calls](std::span<const LegProgramme> programmes) {
    std::vector<std::vector<double>> answers;
    for (const LegProgramme& programme : programmes) answers.push_back(toy(wish, programme));
    if (calls) *calls += static_cast<int>(programmes.size());
    return answers;
  };
}

double length_of(const LegProgramme& programme) {
  double sum = 0.0;
  for (const Leg& leg : programme.legs) sum += leg.length;
  return sum;
}

double settled_miss(const Wish& wish, const FoundProgramme& found) {
  double worst = 0.0;
  for (const auto& [from, to] : settled_spans(wish))
    worst = std::max(worst, std::abs(mean_over(wish.times, found.response, from, to) -
                                     mean_over(wish.times, wish.values, from, to)));
  return worst;
}

}  // namespace

TEST_CASE("a response in proportion is met to the last kelvin by one leg a step") {
  const Wish wish = ramp_and_hold(1500.0, 600.0, 300.0);
  int calls = 0;
  const FoundProgramme found = search_programme(wish, model_of(wish, {0.0, 1.2, 0.0}, &calls), {});
  REQUIRE(found.answered);
  CHECK(found.programme.legs.size() == 2);
  CHECK(std::abs(found.programme.legs.back().to - 1300.0) < 0.05);  // 300 + 1200 / 1.2
  CHECK(std::abs(found.programme.legs.front().length - 600.0) < 1.0);
  CHECK(found.rms < 0.2);
  CHECK(found.runs == calls);
  CHECK(calls <= 10);
  // The first response is to the wish itself, typed in.
  CHECK(std::abs(found.first_response.back() - (300.0 + 1.2 * 1200.0)) < 1e-9);
}

TEST_CASE("a bend takes more legs, and holds are met whatever the ramp misses") {
  const Wish wish = ramp_and_hold(1500.0, 600.0, 300.0);
  const Toy toy{0.0, 0.8, 3e-4};
  SearchRules rules;
  const FoundProgramme free = search_programme(wish, model_of(wish, toy), rules);
  rules.most_legs = 2;
  const FoundProgramme two = search_programme(wish, model_of(wish, toy), rules);
  CHECK(two.programme.legs.size() == 2);
  CHECK(free.programme.legs.size() > 2);
  CHECK(free.programme.legs.size() <= 8);
  CHECK(two.rms > 10.0);
  CHECK(free.rms < 5.0);
  CHECK(settled_miss(wish, two) < 1.0);
  CHECK(settled_miss(wish, free) < 0.5);
  // 0.8 x + 3e-4 (0.8 x)^2 = 1200:  x = 1166.7 above the start.
  const double top = (-1.0 + std::sqrt(1.0 + 4.0 * 3e-4 * 1200.0)) / (2.0 * 3e-4) / 0.8;
  CHECK(std::abs(free.programme.legs.back().to - 300.0 - top) < 1.0);
}

TEST_CASE("of a lag the programme runs ahead, and the wish's end stays where it is") {
  const Wish wish = ramp_and_hold(1300.0, 600.0, 600.0);
  const Toy toy{40.0, 1.0, 0.0};
  const FoundProgramme found = search_programme(wish, model_of(wish, toy), {});
  REQUIRE(found.answered);
  CHECK(std::abs(length_of(found.programme) - 1200.0) < 1e-6);
  CHECK(settled_miss(wish, found) < 0.5);
  // Typed in as it stands, the response is behind by the ramp's rate times the lag, 66.7 K at its end.
  const std::vector<double> as_it_stands = found.first_response;
  double plain = 0.0;
  for (std::size_t i = 0; i < as_it_stands.size(); ++i)
    plain = std::max(plain, std::abs(as_it_stands[i] - wish.values[i]));
  CHECK(std::abs(plain - 1000.0 / 600.0 * 40.0) < 1.0);
  // Ahead of the wish by that in the middle of the ramp.
  CHECK(std::abs(value_at(found.programme, 400.0) - (300.0 + 1000.0 * 400.0 / 600.0) - 66.7) < 12.0);
  CHECK(found.rms < 0.25 * 66.7);
}

TEST_CASE("no ramp is faster than allowed, and what cannot be met is told as missed") {
  const Wish wish = ramp_and_hold(1500.0, 300.0, 300.0);  // 4 K/s
  SearchRules rules;
  rules.fastest = 3.0;
  const FoundProgramme found = search_programme(wish, model_of(wish, {}), rules);
  REQUIRE(found.answered);
  double before = wish.start;
  for (const Leg& leg : found.programme.legs) {
    CHECK(std::abs(leg.to - before) <= 3.0 * leg.length * (1.0 + 1e-9));
    CHECK((!leg.level || leg.to == before));
    before = leg.to;
  }
  CHECK(found.rms > 50.0);                 // 300 K short at the end of the ramp
  CHECK(settled_miss(wish, found) < 1.0);  // and there in time for the settled half
}

TEST_CASE("runs that fail are gone round; a case that fails is not answered") {
  const Wish wish = ramp_and_hold(1500.0, 600.0, 300.0);
  const auto failing = [&wish](std::span<const LegProgramme> programmes) {
    std::vector<std::vector<double>> answers;
    for (const LegProgramme& programme : programmes) {
      double highest = 0.0;
      for (const Leg& leg : programme.legs) highest = std::max(highest, leg.to);
      answers.push_back(highest > 1501.0 ? std::vector<double>{} : Toy{0.0, 1.1, 0.0}(wish, programme));
    }
    return answers;
  };
  const FoundProgramme found = search_programme(wish, failing, {});
  REQUIRE(found.answered);
  CHECK(settled_miss(wish, found) < 0.5);
  const auto never = [](std::span<const LegProgramme> programmes) {
    return std::vector<std::vector<double>>(programmes.size());
  };
  CHECK(!search_programme(wish, never, {}).answered);
}

TEST_CASE("refined on a model that differs a little, the hold is met there in a few runs") {
  const Wish wish = ramp_and_hold(1500.0, 600.0, 300.0);
  const FoundProgramme found = search_programme(wish, model_of(wish, {10.0, 1.2, 0.0}), {});
  SearchRules rules;
  rules.most_runs = 3;
  const Toy other{14.0, 1.17, 0.0};
  const FoundProgramme last = refine_programme(wish, model_of(wish, other), rules, found);
  REQUIRE(last.answered);
  CHECK(last.runs <= 3);
  CHECK(last.programme.legs.size() == found.programme.legs.size());
  CHECK(settled_miss(wish, last) < 1.0);
}

TEST_CASE("two holds are met both") {
  Wish wish;
  wish.start = 300.0;
  wish.steps = {{300.0, false, 900.0}, {200.0, true, 900.0}, {400.0, false, 1500.0}, {300.0, true, 1500.0}};
  const std::vector<double> times{0.0, 300.0, 500.0, 900.0, 1200.0},
      values{300.0, 900.0, 900.0, 1500.0, 1500.0};
  for (double t = 0.0; t <= 1200.0; t += 5.0) {
    wish.times.push_back(t);
    wish.values.push_back(mean_over(times, values, t, t));
  }
  const FoundProgramme found = search_programme(wish, model_of(wish, {15.0, 1.1, 5e-5}), {});
  REQUIRE(found.answered);
  CHECK(settled_spans(wish).size() == 2);
  CHECK(settled_miss(wish, found) < 1.0);
  CHECK(found.rms < 10.0);
}

TEST_CASE("means over a span, values of a programme, and wishes that are none") {
  const std::vector<double> times{0.0, 10.0, 20.0}, values{0.0, 10.0, 0.0};
  CHECK(std::abs(mean_over(times, values, 0.0, 20.0) - 5.0) < 1e-12);
  CHECK(std::abs(mean_over(times, values, 5.0, 15.0) - 7.5) < 1e-12);
  CHECK(std::abs(mean_over(times, values, 12.0, 12.0) - 8.0) < 1e-12);
  CHECK(std::abs(mean_over(times, values, -5.0, -5.0)) < 1e-12);
  const LegProgramme programme{100.0, {{10.0, 200.0, false, 0}, {10.0, 200.0, true, 1}}};
  CHECK(value_at(programme, 5.0) == 150.0);
  CHECK(value_at(programme, 15.0) == 200.0);
  CHECK(value_at(programme, 99.0) == 200.0);
  Wish wish = ramp_and_hold(1500.0, 600.0, 300.0);
  wish.times[3] = wish.times[2];
  CHECK_THROWS_AS(search_programme(wish, model_of(wish, {}), {}), std::invalid_argument);
  CHECK_THROWS_AS(search_programme({}, model_of(wish, {}), {}), std::invalid_argument);
}
