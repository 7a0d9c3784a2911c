#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "cases/reader/units.hpp"
#include "solver/inverse/covariance.hpp"
#include "tools/screen/clock.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::tools {
namespace {

using inverse::in_95;

std::string percent(double share) {
  return share > 0.0 && share < 0.01 ? "< 1 %" : fmt::format("{:.0f} %", 100.0 * share);
}

/// A property of a material as the factor on its curve.
std::string value_text(const FittedValue& value, double si) {
  return fmt::format("{}{:.4g}", value.on_curve ? "x " : "", value.shown(si));
}

std::string log_line(const FitLog& log) {
  return fmt::format("  {}{}: {} rows, {}; driven by \"{}\" in {} straight pieces\n", log.file,
                     log.began.empty() ? "" : ", began " + log.began, log.rows, clock_words(log.length_s),
                     log.driven_by, log.pieces);
}

std::string input_rows(const FittedInput& input) {
  std::string text;
  for (const FittedValue& value : input.values) {
    const bool first = &value == &input.values.front();
    const std::string before = fmt::format("{} ({} to {})", value_text(value, value.before.centre),
                                           value_text(value, inverse::at_score(value.before, -in_95)),
                                           value_text(value, inverse::at_score(value.before, in_95)));
    const std::string now = fmt::format("{} ({} to {})", value_text(value, value.value),
                                        value_text(value, value.low), value_text(value, value.high));
    text += fmt::format("  {:<52}{:>6}  {:<28} {:<28} {}\n", first ? input.name : "  and " + value.address,
                        first ? percent(input.left) : "", before, now, value.shown_unit);
  }
  return text;
}

std::string inputs_text(const FitStudy& study) {
  std::string text = fmt::format("\n  {:<52}{:>6}  {:<28} {:<28} {}\n", "what the logs tell, with 95 %",
                                 "left", "before", "now", "unit");
  std::vector<std::string> open;
  for (const FittedInput& input : study.inputs)
    if (input.left <= not_determined)
      text += input_rows(input);
    else
      open.push_back(input.name);
  text +=
      "  (left: share of the earlier spread that is still open; x: factor on the curve of the material)\n";
  if (!open.empty())
    text += fmt::format("Not determined by these logs, kept as they were: {}.\n", fmt::join(open, "; "));
  return text;
}

std::string together_text(const FitStudy& study) {
  std::string text;
  for (int i = 0; i < study.correlation.rows; ++i)
    for (int j = 0; j < i; ++j) {
      const FittedInput &a = study.inputs[static_cast<std::size_t>(j)],
                        &b = study.inputs[static_cast<std::size_t>(i)];
      const double r = study.correlation(i, j);
      if (std::abs(r) < close_together || std::max(a.left, b.left) > not_determined) continue;
      text += fmt::format("  {} and {}: {:+.2f}\n", a.name, b.name, r);
    }
  return text.empty() ? "" : "\nKnown only together (correlation):\n" + text;
}

std::string columns_text(const FitStudy& study) {
  std::string text = fmt::format("\n  {:<52}{:>10}{:>10}{:>10}  {:<4}{:>16}\n", "run less log (rms)",
                                 "before", "now", "scatter", "", "values per news");
  for (const FittedColumn& column : study.columns) {
    const ToldIn told = told_in(column.what);
    const double f = told.of_difference;
    const auto row = [&](const std::string& name, const inverse::SeriesFit& fit) {
      text += fmt::format("  {:<52}{:>10.3g}{:>10.3g}{:>10.2g}  {:<4}{:>16.1f}\n", name, f * fit.rms_before,
                          f * fit.rms, f * fit.deviation, told.unit_of_difference, fit.memory);
    };
    row(column.heading, column.fit);
    if (column.off) row("  after the current was cut", *column.off);
  }
  for (const FittedMelt& melt : study.melts)
    text += fmt::format("  {} melts at {:.1f} degC ({}): the powder's centre had {:.1f}, has {:.1f} degC\n",
                        melt.melts, cases::in_celsius(melt.temperature_K), clock_words(melt.time_s),
                        cases::in_celsius(melt.before_K), cases::in_celsius(melt.after_K));
  return text;
}

std::string powder_text(const FitStudy& study) {
  std::string text;
  for (const PowderLearned& p : study.powder) {
    text += fmt::format(
        "\nWhile \"{}\" of {} was hottest ({} to {}):\n"
        "  powder mean  {:.0f} +-{:.0f} degC before, {:.0f} +-{:.0f} degC now\n"
        "  offset       {:.0f} +-{:.0f} K before, {:.0f} +-{:.0f} K now (95 %, by straight lines)\n",
        p.sensor, study.logs[static_cast<std::size_t>(p.log)].file, clock_words(p.from_s),
        clock_words(p.to_s), cases::in_celsius(p.powder_before_K), in_95 * p.powder_deviation_before_K,
        cases::in_celsius(p.powder_K), in_95 * p.powder_deviation_K, p.offset_before_K,
        in_95 * p.offset_deviation_before_K, p.offset_K, in_95 * p.offset_deviation_K);
    text += fmt::format(
        "  (+-{:.0f} K of this: what the model has wrong where nothing was measured; its reading is {:.1f} K "
        "{} the log)\n",
        in_95 * p.beyond_logs_K, std::abs(p.missed_K), p.missed_K > 0.0 ? "above" : "below");
  }
  return text;
}

std::string choices_text(const FitStudy& study) {
  if (study.choices.empty()) return {};
  std::string text = "\nChoices of model made the other way, one at a time, learned again from here:\n";
  for (const FittedChoice& choice : study.choices) {
    text += fmt::format("  {} -> {}: ", choice.taken, choice.other);
    if (!choice.runs) {
      text += "does not run\n";
      continue;
    }
    text += fmt::format("meets the logs {} (ln likelihood {:+.1f})", met_how(choice), choice.better);
    if (choice.offset_by_K) text += fmt::format(", offset {:+.0f} K", *choice.offset_by_K);
    text += "\n";
    if (!choice.moved.empty() && choice.better > -as_likely)
      text += fmt::format("    with {}\n", fmt::join(choice.moved, "; "));
  }
  return text + "  (the ranges above hold them, each by how likely it is)\n";
}

std::string advice_text(const FitStudy& study) {
  if (study.advice.empty()) return {};
  std::string text = fmt::format("\nWhat would tell more of the offset, now +-{:.0f} K (95 %):\n",
                                 in_95 * study.powder.back().offset_deviation_K);
  for (const MoreMeasured& advice : study.advice)
    text += fmt::format("  +-{:<4.0f} K  {} (read to +-{:.0f} K)\n", in_95 * advice.left_K,
                        advice.measurement, in_95 * advice.deviation_K);
  return text;
}

}  // namespace

const char* met_how(const FittedChoice& choice) {
  if (std::abs(choice.better) < as_likely) return "as well";
  return choice.better > 0.0 ? "better" : "worse";
}

std::string fit_screen(const FitStudy& study) {
  std::string text = study.title + "\n";
  for (const FitLog& log : study.logs) text += log_line(log);
  text += inputs_text(study) + together_text(study) + columns_text(study) + powder_text(study) +
          choices_text(study) + advice_text(study);
  for (const auto& [worse, where] : study.others)
    text += fmt::format("\nAnother answer is nearly as good (ln likelihood {:.1f} less): {}.\n", 0.5 * worse,
                        where);
  for (const FitLog& log : study.logs) {
    if (!log.unused.empty())
      text += fmt::format("\nNot used of {}: {}.\n", log.file, fmt::join(log.unused, ", "));
    for (const std::string& remark : log.remarks) text += fmt::format("{}: {}\n", log.file, remark);
  }
  for (const std::string& warning : study.warnings) text += "\nWarning: " + warning + "\n";
  return text + fmt::format("\n{} runs.\n", study.runs);
}

}  // namespace joulepress::tools
