#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/summary.hpp"
#include "tools/screen/report.hpp"
#include "tools/study/bound_study.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t named_causes = 4;

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100.0 * share);
}

/// "+-0.05 K": two digits of what is small.
std::string plus_minus(double kelvin) {
  return kelvin < 0.005 ? "less than 0.01 K" : fmt::format("+-{:.{}f} K", kelvin, kelvin < 1.0 ? 2 : 1);
}

std::string above_or_below(double offset) {
  return fmt::format("{:.0f} K {} the reading", std::abs(offset), offset < 0.0 ? "below" : "above");
}

std::string causes(const BoundStudy& study, const BoundedHold& hold) {
  std::string text;
  double rest = 1.0;
  for (std::size_t k = 0; k < std::min(named_causes, hold.ranking.size()); ++k) {
    const RankedInput& ranked = hold.ranking[k];
    if (ranked.index.first < 0.01) break;
    text += fmt::format("{}{}{} {}", text.empty() ? "" : ", ",
                        study.inputs[static_cast<std::size_t>(ranked.input)].name,
                        text.empty() ? " explains" : "", percent(ranked.index.first));
    rest -= ranked.index.first;
  }
  if (text.empty()) return "No single input explains a hundredth of the range.";
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return fmt::format("{}; all others and what they do together {}.", text, percent(std::max(0.0, rest)));
}

std::string range_text(const BoundedValue& value) {
  if (value.quantiles.empty()) return {};
  return fmt::format("{} to {}", number_text(value.quantiles.front().value, value.measure.shown),
                     number_text(value.quantiles.back().value, value.measure.shown));
}

/// Half width of the interval about a quantile.
double half(const inverse::QuantileEstimate& estimate) {
  return 0.5 * (estimate.high - estimate.low);
}

std::string row(const BoundedValue& value) {
  const char* unit = value.measure.shown.unit;
  return fmt::format(
      "  {:<28}{:>10}  {:<20}{:>12}  {}\n", value.measure.name, number_text(value.value, value.measure.shown),
      range_text(value),
      value.numerical ? fmt::format("{:.2g}", value.numerical->half_width * value.measure.shown.factor) : "-",
      unit);
}

/// A name that is longer than its column has a line to itself.
std::string in_column(const std::string& name) {
  constexpr std::size_t width = 52;
  return name.size() > width ? name + "\n  " + std::string(width, ' ') : fmt::format("{:<{}}", name, width);
}

std::string ranking_table(const BoundStudy& study, const BoundedHold& hold) {
  std::string text =
      fmt::format("  {:<52}{:>8}  {:<12}{:>8}{:>13}\n", "what the range of the offset comes from", "share",
                  "95 %", "linear", "K per sigma");
  for (const RankedInput& ranked : hold.ranking) {
    if (ranked.index.first < 0.005) continue;
    const cases::UncertainInput& input = study.inputs[static_cast<std::size_t>(ranked.input)];
    text +=
        fmt::format("  {}{:>8}  {:<12}{:>8}{:>13}\n",
                    in_column(fmt::format("{} ({})", input.name, input.amount)), percent(ranked.index.first),
                    fmt::format("{:.0f} to {:.0f}", 100.0 * ranked.index.first_interval.low,
                                100.0 * ranked.index.first_interval.high),
                    std::isfinite(ranked.linear_share) ? percent(ranked.linear_share) : "-",
                    fmt::format("{:+.1f}", ranked.slope));
  }
  text += fmt::format("  The fit behind the shares explains {} of the variance of runs it has not seen (Q2)",
                      percent(hold.q2));
  text += hold.linear_r2 ? fmt::format("; a plain linear one {} of those it has (adjusted R2).\n",
                                       percent(*hold.linear_r2))
                         : "; too few samples for a plain linear one.\n";
  return text;
}

/// Of the full design; empty: there was none.
std::string full_table(const BoundStudy& study, const BoundedHold& hold) {
  if (hold.full.empty()) return {};
  std::string text = fmt::format("  {:<52}{:>8}  {:<12}{:>8}  {:<12}\n",
                                 "by the full design, of the variance these make together", "alone", "95 %",
                                 "in all", "95 %");
  const auto interval = [](const inverse::Interval& i) {
    return fmt::format("{:.0f} to {:.0f}", 100.0 * i.low, 100.0 * i.high);
  };
  for (const RankedInput& ranked : hold.full)
    text += fmt::format("  {}{:>8}  {:<12}{:>8}  {:<12}\n",
                        in_column(study.inputs[static_cast<std::size_t>(ranked.input)].name),
                        percent(ranked.index.first), interval(ranked.index.first_interval),
                        percent(ranked.index.total), interval(ranked.index.total_interval));
  return text + "\n";
}

std::string choices_table(const BoundedHold& hold) {
  std::string text = "  model choices, made the other way one at a time\n";
  for (const ChoiceMade& choice : hold.choices)
    text += "    " +
            wrapped(fmt::format("{} -> {}: {}", choice.taken, choice.other,
                                choice.difference ? fmt::format("{:+.1f} K", *choice.difference)
                                                  : "no result: " + choice.reason),
                    96, 6) +
            "\n";
  return text;
}

}  // namespace

std::vector<std::string> bound_sentences(const BoundStudy& study) {
  std::vector<std::string> sentences;
  for (const BoundedHold& hold : study.holds) {
    const BoundedValue* offset = offset_of(hold);
    if (!offset) continue;
    if (hold.as_hot) {
      sentences.push_back(
          fmt::format("In \"{}\" the powder mean is as hot as the reading, within {} K whatever is unsure.",
                      hold.name, solver::as_hot_K));
      continue;
    }
    std::string text =
        fmt::format("In \"{}\" the powder mean is {}", hold.name, above_or_below(offset->value));
    if (!offset->quantiles.empty())
      text +=
          fmt::format(", 2.5-97.5 %: {:.0f} to {:.0f} K (these ends are known to +-{:.0f} and +-{:.0f} K)",
                      offset->quantiles.front().value, offset->quantiles.back().value,
                      half(offset->quantiles.front()), half(offset->quantiles.back()));
    if (offset->numerical)
      text += fmt::format(", of which numerical {}", plus_minus(offset->numerical->half_width));
    text += ". ";
    if (!hold.ranking.empty()) text += causes(study, hold);
    sentences.push_back(std::move(text));
  }
  if (!study.calibrated_on.empty())
    sentences.push_back(fmt::format("Calibrated on {}.", study.calibrated_on));
  for (const std::string& problem : study.problems) sentences.push_back(problem);
  return sentences;
}

std::string bound_screen(const BoundStudy& study) {
  std::string text = study.title.empty() ? "" : study.title + "\n\n";
  for (const std::string& sentence : bound_sentences(study)) text += wrapped(sentence, 98, 2) + "\n";
  for (const BoundedHold& hold : study.holds) {
    text += fmt::format("\n{}\n  {:<28}{:>10}  {:<20}{:>12}\n", hold.name, "", "the case", "2.5 to 97.5 %",
                        "numerical +-");
    for (const BoundedValue& value : hold.values) text += row(value);
    if (!hold.ranking.empty()) text += "\n" + ranking_table(study, hold);
    if (!hold.full.empty()) text += "\n" + full_table(study, hold);
    if (!hold.choices.empty()) text += "\n" + choices_table(hold);
  }
  if (!study.left_out.empty()) {
    text += fmt::format("\n{} of {} samples are behind these ranges; left out:\n", study.samples_used,
                        study.request.samples);
    for (const LeftOut& member : study.left_out)
      text += "  " + wrapped(member.id + ": " + member.reason, 96, 4) + "\n";
  }
  text += "\nNot included:\n";
  for (const std::string& what : study.not_included) text += "  - " + wrapped(what, 94, 4) + "\n";
  return text + "\n" + cautions();
}

}  // namespace joulepress::tools
