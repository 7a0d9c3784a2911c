#include "tools/html/bound_page.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/figures/cause_bars.hpp"
#include "tools/figures/range_rows.hpp"
#include "tools/html/charts.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/sections.hpp"
#include "tools/html/study_words.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

constexpr double sure_fit = 0.8;  ///< Q2 below which causes are a hint; own choice

const cases::UncertainInput& input_of(const BoundStudy& study, const RankedInput& ranked) {
  return study.inputs.at(static_cast<std::size_t>(ranked.input));
}

std::string csv_of(const Table& table, const Words& say) {
  return html::table(table) + csv_button("table:" + table.id, say("this table as CSV"));
}

std::string percent(double share, const Words& say) {
  return std::isfinite(share) ? say.number(100.0 * share, std::abs(share) < 0.0995 ? 1 : 0) : "–";
}

std::string interval(const inverse::Interval& i, const Words& say) {
  return percent(i.low, say) + "\u00a0…\u00a0" + percent(i.high, say);
}

std::string source_of(const cases::UncertainInput& input, const Words& say) {
  return input.source.empty() ? say("with the property, in its material file") : input.source;
}

std::string answer(const BoundStudy& study, const Words& say) {
  std::string text;
  for (const std::string& sentence : bound_sentences(study))
    text += fmt::format("<p class=\"sentence\" lang=\"en\">{}</p>\n", svg::escaped(sentence));
  if (text.empty())
    text = paragraph(say("There is no offset: the case has no powder, or no sensor controls it."));
  return section("answer", say("The answer"), text);
}

std::string range_picture(const BoundedHold& hold, const BoundedValue& offset, const Words& say) {
  figures::RangeRows rows;
  const std::string caption =
      say("The offset of the case; where the samples lie, half of them on each side of the gap in the bar "
          "(slim bars: the ends are known to this, 95 %); the error of the computation; and each choice of "
          "model made the other way.");
  rows.head = {say("How sure the numbers of “{}” are", hold.name), caption, say.decimal_mark()};
  rows.axis_label = say("offset in K");
  rows.unit = "K";
  rows.case_name = say("the case");
  rows.span_name = say("2.5 to 97.5 % of the samples");
  rows.numerical_name = say("error of the computation");
  rows.value = offset.value;
  if (offset.quantiles.size() == 3) {
    const auto end = [&](std::size_t k) {
      const inverse::QuantileEstimate& q = offset.quantiles[k];
      return figures::RangeEnd{q.value, q.low, q.high};
    };
    rows.span = figures::RangeSpan{end(0), end(1), end(2)};
  }
  if (offset.numerical) rows.half_width = offset.numerical->half_width;
  for (const ChoiceMade& choice : hold.choices)
    if (choice.difference && std::isfinite(*choice.difference))
      rows.shifts.push_back({choice.taken + " → " + choice.other, *choice.difference});
  const std::string svg = figures::range_rows(rows);
  return svg.empty() ? "" : figure(svg, caption);
}

std::string quantile(const BoundedValue& value, std::size_t k, const Words& say) {
  if (value.quantiles.size() <= k) return "–";
  const inverse::QuantileEstimate& q = value.quantiles[k];
  const auto number = [&](double si) { return shown_number(value.measure, si, say); };
  if (k == 1) return number(q.value);
  return fmt::format("{} ({}\u00a0…\u00a0{})", number(q.value), number(q.low), number(q.high));
}

std::string range_section(const BoundedHold& hold, std::size_t h, const Words& say) {
  std::string text;
  if (const BoundedValue* offset = offset_of(hold)) text += range_picture(hold, *offset, say);
  Table table{
      fmt::format("values-{}", h),
      "",
      {"", say("the case"), say("2.5 % (95 % interval)"), say("median"), say("97.5 % (95 % interval)"),
       say("computation ±"), say("observed order"), say("safety factor")},
      {}};
  table.numbers = true;
  for (const BoundedValue& value : hold.values) {
    const auto& numerical = value.numerical;
    table.rows.push_back(
        {measure_heading(value.measure, say), shown_number(value.measure, value.value, say),
         quantile(value, 0, say), quantile(value, 1, say), quantile(value, 2, say),
         numerical ? shown_width(value.measure, numerical->half_width, say) : "–",
         numerical && numerical->observed_order ? say.number(*numerical->observed_order, 1) : "–",
         numerical ? say.number(numerical->safety, 2) : "–"});
  }
  text += csv_of(table, say);
  text += paragraph(
      say("The error of the computation is half of the interval about the case's value, told from the case "
          "at three accuracies; the factor is 1.25 where they approach at an order of 0.5 to 2, else 3 "
          "(Celik et al., J. Fluids Eng. 130 (2008) 078001, from memory; limits and 3: own choice)."));
  return section(fmt::format("range-{}", h), say("How sure the numbers of “{}” are", hold.name), text);
}

std::string cause_picture(const BoundStudy& study, const BoundedHold& hold, const Words& say) {
  figures::CauseBars bars;
  const std::string caption =
      say("The share of the offset's variance that each input explains by itself, with its 95 % interval; "
          "the table has the small ones too.");
  bars.head = {say("What makes the offset in “{}” unsure", hold.name), caption, say.decimal_mark()};
  bars.axis_label = say("share of the variance in %");
  for (const RankedInput& ranked : hold.ranking)
    bars.bars.push_back({input_of(study, ranked).name, ranked.index.first, ranked.index.first_interval.low,
                         ranked.index.first_interval.high});
  const std::string svg = figures::cause_bars(bars);
  return svg.empty() ? paragraph(say("No input explains half a percent of the range."))
                     : figure(svg, caption);
}

Table cause_table(const BoundStudy& study, const BoundedHold& hold, std::size_t h, const Words& say) {
  Table table{fmt::format("causes-table-{}", h),
              "",
              {say("uncertain input"), say("spread"), say("share %"), say("95 % interval"),
               say("with others %"), say("linear %"), say("K per sigma"), say("source")},
              {}};
  table.numbers = true;
  if (say.language() != Language::english) table.english = {0, 1};
  for (const RankedInput& ranked : hold.ranking) {
    const cases::UncertainInput& input = input_of(study, ranked);
    table.rows.push_back({input.name, input.amount, percent(ranked.index.first, say),
                          interval(ranked.index.first_interval, say), percent(ranked.index.total, say),
                          percent(ranked.linear_share, say), say.signed_number(ranked.slope, 1),
                          source_of(input, say)});
  }
  return table;
}

/// How far the fits may be believed.
std::string fit_words(const BoundedHold& hold, const Words& say) {
  std::string text =
      hold.q2 > 0.0
          ? say("The fit behind the shares explains {} % of the variance of runs it has not seen (Q²).",
                say.number(100.0 * hold.q2))
          : say("The fit behind the shares explains nothing of runs it has not seen (Q²).");
  if (!(hold.q2 >= sure_fit))
    text += " " + say("Below 80 % the order of the causes is a hint; more samples make it surer.");
  text +=
      " " + (hold.linear_r2 && hold.linear_q2
                 ? say("A straight one explains {} % of those it has (adjusted R²) and {} % of others (Q²).",
                       say.number(100.0 * std::max(0.0, *hold.linear_r2)),
                       say.number(100.0 * std::max(0.0, *hold.linear_q2)))
                 : say("For a straight one there are too few samples."));
  return paragraph(text);
}

/// By the full design; empty: there was none.
std::string full_table(const BoundStudy& study, const BoundedHold& hold, std::size_t h, const Words& say) {
  if (hold.full.empty()) return {};
  Table table{fmt::format("full-table-{}", h),
              "",
              {say("uncertain input"), say("share %"), say("95 % interval"), say("with others %"),
               say("95 % interval")},
              {}};
  table.numbers = true;
  if (say.language() != Language::english) table.english = {0};
  for (const RankedInput& ranked : hold.full)
    table.rows.push_back({input_of(study, ranked).name, percent(ranked.index.first, say),
                          interval(ranked.index.first_interval, say), percent(ranked.index.total, say),
                          interval(ranked.index.total_interval, say)});
  return paragraph(say("By the full design of the inputs that matter most, of the variance that these make "
                       "together:")) +
         csv_of(table, say);
}

std::string cause_section(const BoundStudy& study, const BoundedHold& hold, std::size_t h, const Words& say) {
  if (!offset_of(hold) || hold.as_hot) return {};
  const std::string id = fmt::format("causes-{}", h),
                    heading = say("What makes the offset in “{}” unsure", hold.name);
  if (hold.ranking.empty())
    return section(id, heading, paragraph(say("There are too few samples to tell causes.")));
  return section(
      id, heading,
      cause_picture(study, hold, say) + fit_words(hold, say) + csv_of(cause_table(study, hold, h, say), say) +
          paragraph(say("“With others” counts what an input does together with others too; “linear” is the "
                        "share by a straight fit; K per sigma is what one standard deviation of the input "
                        "moves.")) +
          full_table(study, hold, h, say));
}

std::string choice_section(const BoundedHold& hold, std::size_t h, const Words& say) {
  if (hold.choices.empty()) return {};
  const bool failed = std::any_of(hold.choices.begin(), hold.choices.end(),
                                  [](const ChoiceMade& choice) { return !choice.difference; });
  Table table{fmt::format("choices-table-{}", h),
              "",
              {say("as the case has it"), say("made the other way"), say("offset changes by")},
              {}};
  if (failed) table.columns.push_back(say("no result because"));
  if (say.language() != Language::english) table.english = {0, 1, 3};
  for (const ChoiceMade& choice : hold.choices) {
    table.rows.push_back({choice.taken, choice.other,
                          choice.difference && std::isfinite(*choice.difference)
                              ? say.signed_number(*choice.difference, 1) + " K"
                              : "–"});
    if (failed) table.rows.back().push_back(choice.reason);
  }
  return section(fmt::format("choices-{}", h), say("Choices of model in “{}”", hold.name),
                 csv_of(table, say));
}

std::string behind(const BoundStudy& study, const Words& say) {
  std::string text = paragraph(say("{} of {} samples came to their end and count; seed {}.",
                                   study.samples_used, study.request.samples, study.request.seed));
  if (!study.left_out.empty()) {
    std::vector<std::string> members;
    for (const LeftOut& member : study.left_out) members.push_back(member.id + ": " + member.reason);
    text += fmt::format("<h3>{}</h3>\n", svg::escaped(say("Left out"))) + bullets(say, members);
  }
  text += fmt::format("<h3>{}</h3>\n", svg::escaped(say("Not included"))) +
          (study.not_included.empty() ? paragraph(say("none")) : bullets(say, study.not_included));
  text += fmt::format("<h3>{}</h3>\n", svg::escaped(say("What is uncertain")));
  if (study.inputs.empty())
    return section("behind", say("What is behind it"),
                   text + paragraph(say("Nothing in the case is uncertain.")));
  Table table{"inputs", "", {say("uncertain input"), say("spread"), say("source")}, {}};
  if (say.language() != Language::english) table.english = {0, 1};
  for (const cases::UncertainInput& input : study.inputs)
    table.rows.push_back({input.name, input.amount, source_of(input, say)});
  return section(
      "behind", say("What is behind it"),
      text + folded(say("everything that is uncertain, {} inputs", study.inputs.size()), csv_of(table, say)));
}

}  // namespace

std::string bound_page(const BoundStudy& study, const Words& say) {
  std::string body = answer(study, say);
  for (std::size_t h = 0; h < study.holds.size(); ++h)
    body += range_section(study.holds[h], h, say) + cause_section(study, study.holds[h], h, say) +
            choice_section(study.holds[h], h, say);
  body += behind(study, say) + cautions_section(say);
  const std::string kind = say("how sure a case is");
  Document document{study.title.empty() ? kind : study.title,
                    fmt::format("joulepress {} · {}", study.version, kind), body};
  document.charts = false;
  return html_of(document, say, {{"language", say.tag()}, {"words", script_words(say)}});
}

}  // namespace joulepress::tools::html
