// What is wished of the powder: the programme of the case itself, or the history of another run's powder.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/reader/case_reader.hpp"
#include "tools/store/results_read.hpp"
#include "tools/study/correct_search.hpp"
#include "tools/study/programme_runs.hpp"

namespace joulepress::tools {
namespace {

using Kind = EnteredStep::Kind;

constexpr int points = 240;        // of a track
constexpr double closest_s = 2.0;  // between two of them

void refuse_others(const cases::Case& c) {
  cases::ErrorList errors;
  errors.remember(c.file, c.text);
  const cases::Programme& programme = c.programme;
  if (programme.driven != cases::Programme::Driven::temperature)
    errors.add(programme.written.place, programme.written.path,
               "Only a programme of temperature can be meant for the powder.",
               "Write the wish as `temperature:` steps of the programme.");
  if (std::none_of(c.column.begin(), c.column.end(), [](const cases::ColumnPart& p) { return p.powder; }))
    errors.add(programme.written.place, "column",
               "There is no powder for which the programme could be meant.",
               "Add a part with `powder:` to the column.");
  if (static_cast<int>(programme.steps.size()) > c.press.entry.steps)
    errors.add(programme.written.at("temperature"), programme.written.path_of("temperature"),
               fmt::format("The programme has {} steps, the press takes {}.", programme.steps.size(),
                           c.press.entry.steps),
               "Use fewer steps, or give the press `programme entry: {steps: ...}`.");
  if (!programme.steps.empty() && programme.steps.front().kind == cases::ProgrammeStep::Kind::cool_free)
    errors.add(programme.written.at("temperature"), programme.written.path_of("temperature"),
               "The programme only cools.", "Begin with a ramp.");
  errors.throw_if_any();
}

/// Ascending times over the driven steps, every corner among them.
std::vector<double> times_of(const std::vector<EnteredStep>& steps, int driven) {
  const EnteredStep& last = steps[static_cast<std::size_t>(driven - 1)];
  const double end = last.start_s + last.length_s, wanted = std::max(closest_s, end / points);
  std::vector<double> times{0.0};
  for (int k = 0; k < driven; ++k) {
    const EnteredStep& step = steps[static_cast<std::size_t>(k)];
    const int n = std::max(1, static_cast<int>(std::ceil(step.length_s / wanted)));
    for (int i = 1; i <= n; ++i) times.push_back(step.start_s + step.length_s * i / n);
  }
  return times;
}

void add_track(double start, PowderWish& wish) {
  wish.driven = static_cast<int>(std::count_if(wish.steps.begin(), wish.steps.end(),
                                               [](const EnteredStep& s) { return s.kind != Kind::cool; }));
  wish.track.start = start;
  for (int k = 0; k < wish.driven; ++k) {
    const EnteredStep& step = wish.steps[static_cast<std::size_t>(k)];
    wish.track.steps.push_back({step.length_s, step.kind == Kind::hold, step.to_K});
  }
  wish.track.times = times_of(wish.steps, wish.driven);
}

/// The wish as the case's own steps draw it; from where the powder is, which a furnace may not be.
PowderWish own_wish(const cases::Case& c) {
  PowderWish wish;
  wish.steps = entered_steps(c);
  add_track(cases::start_of_programme(c), wish);
  std::size_t k = 0;
  for (const double t : wish.track.times) {
    while (k + 1 < static_cast<std::size_t>(wish.driven) &&
           t > wish.steps[k].start_s + wish.steps[k].length_s)
      ++k;
    const EnteredStep& step = wish.steps[k];
    const double from = k == 0 ? c.initial_temperature : step.from_K;
    wish.track.values.push_back(from + (step.to_K - from) * (t - step.start_s) / step.length_s);
  }
  return wish;
}

const char* column_of(MeantFor meant) {
  switch (meant) {
    case MeantFor::centre:
      return "powder centre";
    case MeantFor::coldest:
      return "powder coldest";
    case MeantFor::hottest:
      return "powder hottest";
    case MeantFor::mean:
      break;
  }
  return "powder mean";
}

/// Holds where the run had them: a controller waits for its reading.
void set_holds(const StoredSummary& summary, std::vector<EnteredStep>& steps) {
  std::size_t hold = 0;
  for (std::size_t k = 0; k < steps.size(); ++k) {
    if (steps[k].kind != Kind::hold || hold >= summary.holds.size()) continue;
    const StoredHold& had = summary.holds[hold++];
    if (k > 0 && had.start_s > steps[k - 1].start_s)
      steps[k - 1].length_s = had.start_s - steps[k - 1].start_s;
    steps[k].start_s = had.start_s;
    steps[k].length_s = had.end_s - had.start_s;
    if (k + 1 == steps.size()) continue;
    const double end = steps[k + 1].start_s + steps[k + 1].length_s;
    steps[k + 1].start_s = had.end_s;
    if (steps[k + 1].kind != Kind::cool) steps[k + 1].length_s = std::max(1.0, end - had.end_s);
  }
}

bool same_pressure(const cases::Case& a, const cases::Case& b) {
  const auto &p = a.programme.pressure, &q = b.programme.pressure;
  return std::equal(p.begin(), p.end(), q.begin(), q.end(), [](const auto& x, const auto& y) {
    return x.kind == y.kind && std::abs(x.to - y.to) <= 1e-6 * std::abs(x.to) &&
           std::abs(x.duration.value_or(0.0) - y.duration.value_or(0.0)) < 0.5;
  });
}

PowderWish wish_like(const cases::Case& c, const CorrectRequest& request) {
  const StoredResults other = read_results(request.like);
  const std::vector<double>* history = other.column(column_of(request.meant));
  const cases::Case its = cases::read_case(request.like / "resolved_case.yaml", other.case_text);
  if (!history || its.programme.driven != cases::Programme::Driven::temperature)
    throw NoResults(fmt::format(
        "\"{}\" has no powder that followed a programme of temperature; name the folder of such a run.",
        request.like.string()));
  if (other.summary.status != "completed")
    throw NoResults(fmt::format("The run in \"{}\" did not come to its end.", request.like.string()));
  PowderWish wish;
  wish.like = other.summary.title;
  wish.steps = entered_steps(its);
  set_holds(other.summary, wish.steps);
  add_track(cases::start_of_programme(c), wish);
  for (const double t : wish.track.times)
    wish.track.values.push_back(inverse::mean_over(other.times, *history, t, t));
  if (!same_pressure(c, its))
    wish.warnings.push_back(fmt::format(
        "The pressure on the powder is not programmed as in \"{}\": temperatures are brought over, densities "
        "may differ.",
        other.summary.title));
  return wish;
}

}  // namespace

PowderWish wish_of(const cases::Case& c, const CorrectRequest& request) {
  refuse_others(c);
  return request.like.empty() ? own_wish(c) : wish_like(c, request);
}

}  // namespace joulepress::tools
