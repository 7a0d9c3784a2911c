#include "tools/html/fit_page.hpp"

#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/reader/units.hpp"
#include "solver/inverse/covariance.hpp"
#include "solver/inverse/distribution.hpp"
#include "tools/figures/history_panels.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"
#include "tools/screen/clock.hpp"

namespace joulepress::tools::html {
namespace {

using inverse::in_95;
constexpr std::size_t most_points = 400;  // of a line of a figure

std::string csv_of(const Table& table, const Words& say) {
  return html::table(table) + csv_button("table:" + table.id, say("this table as CSV"));
}

std::string celsius_and(double kelvin, double deviation, const Words& say) {
  return fmt::format("{} ± {} °C", say.number(cases::in_celsius(kelvin)), say.number(in_95 * deviation));
}

std::string kelvin_and(double kelvin, double deviation, const Words& say) {
  return fmt::format("{} ± {} K", say.signed_number(kelvin), say.number(in_95 * deviation));
}

/// Three digits, with the mark of the language; thousands without a power of ten.
std::string three_digits(double value, const Words& say) {
  if (std::abs(value) >= 1e3 && std::abs(value) < 1e6) return say.number(value);
  std::string text = fmt::format("{:.3g}", value);
  if (const auto point = text.find('.'); point != std::string::npos) text[point] = say.decimal_mark();
  return text;
}

std::string with_range(const FittedValue& value, double at, double low, double high, const Words& say) {
  return fmt::format("{}{} ({} … {})", value.on_curve ? "× " : "", three_digits(value.shown(at), say),
                     three_digits(value.shown(low), say), three_digits(value.shown(high), say));
}

std::string answer_section(const FitStudy& study, const Words& say) {
  std::string text;
  for (const PowderLearned& p : study.powder) {
    text += paragraph(
        say("While “{}” was hottest ({} to {}), the powder was on average at {}; before the logs it could "
            "only be said to be at {}.",
            p.sensor, clock_words(p.from_s), clock_words(p.to_s),
            celsius_and(p.powder_K, p.powder_deviation_K, say),
            celsius_and(p.powder_before_K, p.powder_deviation_before_K, say)));
    text += paragraph(say("The offset was {}, before the logs {}.",
                          kelvin_and(p.offset_K, p.offset_deviation_K, say),
                          kelvin_and(p.offset_before_K, p.offset_deviation_before_K, say)));
    text += paragraph(say(
        "Of both ranges ±{} K are for what the model has wrong where nothing was measured; its reading was "
        "{} K off that of the log.",
        say.number(in_95 * p.beyond_logs_K), say.signed_number(p.missed_K, 1)));
  }
  const auto told = std::count_if(study.inputs.begin(), study.inputs.end(),
                                  [](const FittedInput& input) { return input.left <= not_determined; });
  text += paragraph(
      say("Of {} uncertain inputs the logs tell something of {}; all others keep the spread they had.",
          study.inputs.size(), told));
  text += paragraph(say(
      "Ranges hold 95 % of what is possible, taken straight about the estimate; a study of the uncertainty "
      "of the calibrated case follows the curves."));
  if (!study.warnings.empty()) text += bullets(say, study.warnings);
  return section("answer", say("The answer"), text);
}

std::string inputs_section(const FitStudy& study, const Words& say) {
  Table table{
      "inputs", "", {say("uncertain input"), say("left %"), say("before"), say("now"), say("unit")}, {}};
  table.numbers = true;
  if (say.language() != Language::english) table.english = {0};
  std::vector<std::string> open;
  for (const FittedInput& input : study.inputs) {
    if (input.left > not_determined) {
      open.push_back(input.name);
      continue;
    }
    for (const FittedValue& value : input.values)
      table.rows.push_back({&value == &input.values.front() ? input.name : value.address,
                            say.number(100.0 * input.left, input.left < 0.1 ? 1 : 0),
                            with_range(value, value.before.centre, inverse::at_score(value.before, -in_95),
                                       inverse::at_score(value.before, in_95), say),
                            with_range(value, value.value, value.low, value.high, say),
                            value.on_curve ? say("factor") : value.shown_unit});
  }
  std::string text =
      table.rows.empty() ? paragraph(say("The logs tell nothing of any input.")) : csv_of(table, say);
  text += paragraph(
      say("Left: share of the spread that is still open. A factor is one on the curve of the material."));
  if (!open.empty()) text += folded(say("not determined by these logs, kept as they were"), bullets(open));
  return section("inputs", say("What the logs tell"), text);
}

/// Of the inputs that were determined, the least open first.
std::string correlation_section(const FitStudy& study, const Words& say) {
  std::vector<int> told;
  for (int k = 0; k < study.correlation.rows; ++k)
    if (study.inputs[static_cast<std::size_t>(k)].left <= not_determined) told.push_back(k);
  if (told.size() < 2) return {};
  Table table{"correlation", "", {""}, {}};
  table.numbers = true;
  if (say.language() != Language::english) table.english = {0};
  for (std::size_t k = 0; k < told.size(); ++k) table.columns.push_back(fmt::format("{}", k + 1));
  for (std::size_t i = 0; i < told.size(); ++i) {
    std::vector<std::string> row{
        fmt::format("{} {}", i + 1, study.inputs[static_cast<std::size_t>(told[i])].name)};
    for (std::size_t j = 0; j < told.size(); ++j)
      row.push_back(j > i ? "" : say.number(study.correlation(told[i], told[j]), 2));
    table.rows.push_back(std::move(row));
  }
  return section(
      "together", say("How the inputs hang together"),
      fmt::format("<div class=\"wide\">{}</div>", html::table(table)) +
          csv_button("table:correlation", say("this table as CSV")) +
          paragraph(say("Correlation of what is left. Near 1 or −1 the logs know two inputs only together: "
                        "another kind of measurement parts them.")));
}

std::string column_figure(const FitStudy& study, const FittedColumn& column, const Words& say) {
  const ToldIn told = told_in(column.what);
  const std::size_t every = 1 + column.time_s.size() / most_points;
  figures::HistoryFigure figure;
  const std::string& log = study.logs[static_cast<std::size_t>(column.log)].file;
  const std::string caption =
      say("“{}” in {}: above the log and the runs before and now, below the runs less the log.",
          column.heading, log);
  figure.head = {column.heading, caption, say.decimal_mark()};
  figure.time_label = say("time in min");
  const std::string name =
      column.heading.substr(0, column.heading.find(" ["));  // the unit is that of the figure
  figures::HistoryPanel above{fmt::format("{} [{}]", name, told.unit), {}};
  above.lines = {{say("log"), figures::LineRole::sensor, {}},
                 {say("run before"), figures::LineRole::programme, {}},
                 {say("run now"), figures::LineRole::mean, {}}};
  figures::HistoryPanel below{fmt::format("{} [{}]", say("run less log"), told.unit_of_difference), {}};
  below.lines = {{say("before"), figures::LineRole::programme, {}},
                 {say("now"), figures::LineRole::mean, {}}};
  for (std::size_t i = 0; i < column.time_s.size(); i += every) {
    figure.times.push_back(column.time_s[i] / 60.0);
    const double measured = column.measured[i], before = column.before[i], after = column.after[i];
    above.lines[0].values.push_back(told.factor * (measured - told.zero));
    above.lines[1].values.push_back(told.factor * (before - told.zero));
    above.lines[2].values.push_back(told.factor * (after - told.zero));
    below.lines[0].values.push_back(told.of_difference * (before - measured));
    below.lines[1].values.push_back(told.of_difference * (after - measured));
  }
  figure.panels = {std::move(above), std::move(below)};
  const std::string svg = figures::history_panels(figure);
  return svg.empty() ? "" : html::figure(svg, caption);
}

std::string columns_section(const FitStudy& study, const Words& say) {
  Table table{"columns",
              "",
              {say("column"), say("rms before"), say("rms now"), say("scatter"),
               say("values per independent one"), say("far off"), say("unit")},
              {}};
  table.numbers = true;
  std::string figures;
  for (const FittedColumn& column : study.columns) {
    const ToldIn told = told_in(column.what);
    const auto row = [&](const std::string& name, const inverse::SeriesFit& fit) {
      table.rows.push_back({name, three_digits(told.of_difference * fit.rms_before, say),
                            three_digits(told.of_difference * fit.rms, say),
                            three_digits(told.of_difference * fit.deviation, say), say.number(fit.memory, 1),
                            fmt::format("{}", fit.far_off), told.unit_of_difference});
    };
    row(column.heading, column.fit);
    if (column.off) row(say("{}, after the current was cut", column.heading), *column.off);
    figures += column_figure(study, column, say);
  }
  for (const FittedMelt& melt : study.melts)
    figures += paragraph(
        say("{} melts at {} °C (at {}): the centre of the powder had {} °C before, has {} °C now.",
            melt.melts, say.number(cases::in_celsius(melt.temperature_K), 1), clock_words(melt.time_s),
            say.number(cases::in_celsius(melt.before_K), 1), say.number(cases::in_celsius(melt.after_K), 1)));
  return section(
      "columns", say("How the runs meet the logs"),
      csv_of(table, say) + figures +
          paragraph(say("Scatter: what the fit took a single value to be good for. Where the run is off the "
                        "log for long, many values tell no more than one.")));
}

std::string choices_section(const FitStudy& study, const Words& say) {
  if (study.choices.empty()) return {};
  Table table{"choices",
              "",
              {say("as the case has it"), say("made the other way"), say("meets the logs"),
               say("ln likelihood"), say("offset by K"), say("with")},
              {}};
  if (say.language() != Language::english) table.english = {0, 1, 5};
  for (const FittedChoice& choice : study.choices)
    table.rows.push_back(
        {choice.taken, choice.other, choice.runs ? say(met_how(choice)) : say("does not run"),
         choice.runs ? say.signed_number(choice.better, 1) : "",
         choice.offset_by_K ? say.signed_number(*choice.offset_by_K) : "",
         choice.better > -as_likely ? fmt::format("{}", fmt::join(choice.moved, "; ")) : ""});
  return section(
      "choices", say("Choices of model"),
      paragraph(
          say("What a number cannot bound, made the other way one at a time and learned again from where "
              "the case ended. The ranges hold each of them by how likely it is.")) +
          csv_of(table, say));
}

std::string advice_section(const FitStudy& study, const Words& say) {
  if (study.advice.empty()) return {};
  Table table{"more", "", {say("measurement"), say("read to ± K"), say("offset then ± K")}, {}};
  table.numbers = true;
  if (say.language() != Language::english) table.english = {0};
  for (const MoreMeasured& advice : study.advice)
    table.rows.push_back(
        {advice.measurement, say.number(in_95 * advice.deviation_K), say.number(in_95 * advice.left_K)});
  return section(
      "more", say("What would tell more"),
      paragraph(say("The offset is known to ± {} K (95 %). One of these in the same run would leave:",
                    say.number(in_95 * study.powder.back().offset_deviation_K))) +
          csv_of(table, say));
}

std::string logs_section(const FitStudy& study, const Words& say) {
  Table table{
      "logs", "", {say("log"), say("began"), say("rows"), say("length"), say("driven by"), "SHA-256"}, {}};
  std::vector<std::string> remarks;
  for (const FitLog& log : study.logs) {
    table.rows.push_back({log.file, log.began.empty() ? "–" : log.began, fmt::format("{}", log.rows),
                          clock_words(log.length_s), log.driven_by, log.sha256.substr(0, 16)});
    for (const std::string& remark : log.remarks) remarks.push_back(log.file + ": " + remark);
  }
  return section("logs", say("The logs"),
                 html::table(table) + (remarks.empty() ? "" : bullets(say, remarks)));
}

}  // namespace

std::string fit_page(const FitStudy& study, const Words& say) {
  Document document;
  document.title = study.title;
  document.below = say("what logs of one's own press tell of it");
  document.charts = false;
  document.body = answer_section(study, say) + inputs_section(study, say) + columns_section(study, say) +
                  choices_section(study, say) + advice_section(study, say) + correlation_section(study, say) +
                  logs_section(study, say);
  return html_of(document, say, nlohmann::json::object());
}

}  // namespace joulepress::tools::html
