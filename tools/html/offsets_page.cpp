#include "tools/html/offsets_page.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

#include "cases/reader/units.hpp"
#include "tools/figures/offset_chart.hpp"
#include "tools/html/charts.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

using svg::escaped;

constexpr std::size_t most_beside = 3;  // columns of a table that the figure stands beside

/// Up to so many decimals, none that are zeros.
std::string plain(double value, int most, const Words& say) {
  std::string text = say.number(value, most);
  if (text.find(say.decimal_mark()) == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == say.decimal_mark()) text.pop_back();
  return text;
}

std::string in_mm(double metres, const Words& say) {
  return plain(1e3 * metres, 2, say);
}

std::string per_minute(double rate, const Words& say) {
  return plain(60.0 * rate, 1, say);
}

/// Of one rate; of all of them where they are alike.
std::string rate_number(const OffsetTable& t, std::size_t r, const Words& say) {
  return t.rates_alike ? per_minute(t.rates.front(), say) + "…" + per_minute(t.rates.back(), say)
                       : per_minute(t.rates[r], say);
}

std::string rate_text(const OffsetTable& t, std::size_t r, const Words& say) {
  return rate_number(t, r, say) + " K/min";
}

/// Whether its tables are wider than half a page.
bool is_wide(const OffsetTable& t) {
  return shown_rates(t).size() * shown_densities(t).size() > most_beside;
}

std::string percents(const std::vector<double>& level, const Words& say) {
  std::string text;
  for (const double density : level) text += (text.empty() ? "" : " / ") + plain(100.0 * density, 1, say);
  return text;
}

/// Of one start density; of all of them where they are alike; empty where it is not varied.
std::string density_text(const OffsetTable& t, std::size_t d, const Words& say) {
  if (t.densities[d].empty()) return {};
  const std::string range = t.densities_alike && t.densities.size() > 1
                                ? percents(t.densities.front(), say) + "…" + percents(t.densities.back(), say)
                                : percents(t.densities[d], say);
  return say("start density {} %", range);
}

std::string piece(const TableSubject::Part& part, const Words& say) {
  std::string text = part.name + " ⌀ ";
  if (part.bore_m > 0.0) text += in_mm(part.bore_m, say) + "/";
  text += in_mm(part.diameter_m, say);
  if (part.height_m) text += " × " + in_mm(*part.height_m, say);
  if (part.mass_kg) text += ", " + plain(1e3 * *part.mass_kg, 2, say) + " g";
  return text;
}

/// The stack in one line, bottom to top.
std::string stack_line(const TableSubject& subject, const Words& say) {
  std::string text;
  for (const TableSubject::Part& part : subject.column)
    text += (text.empty() ? "" : " · ") + piece(part, say);
  std::string around;
  for (const TableSubject::Part& part : subject.sleeves)
    around += (around.empty() ? "" : " · ") + piece(part, say);
  return around.empty() ? say("The stack, bottom to top, in mm: {}.", text)
                        : say("The stack, bottom to top, in mm: {}; around it {}.", text, around);
}

/// A table whose columns stand in blocks of one start density; a cell a text.
template <class Cell>
std::string blocks(const OffsetTable& t, const char* id, const std::string& corner, const Words& say,
                   const std::vector<std::string>& rows, Cell&& cell) {
  const std::vector<std::size_t> densities = shown_densities(t), rates = shown_rates(t);
  const bool grouped = !t.densities.front().empty();
  std::string text = fmt::format("<div class=\"wide\"><table id=\"{}\" class=\"blocks\">\n<thead><tr>", id);
  const bool unit_aside = grouped && is_wide(t);  // a column is as wide as its numbers
  text += fmt::format("<th scope=\"col\"{}>{}</th>", grouped && !unit_aside ? " rowspan=\"2\"" : "",
                      escaped(corner));
  if (grouped) {
    for (const std::size_t d : densities)
      text += fmt::format("<th scope=\"colgroup\" class=\"first\" colspan=\"{}\">{}</th>", rates.size(),
                          escaped(density_text(t, d, say)));
    text += unit_aside ? "</tr>\n<tr><th scope=\"row\">K/min</th>" : "</tr>\n<tr>";
  }
  const auto place = [&rates](std::size_t r) { return r == rates.front() ? "number first" : "number"; };
  for (std::size_t d = 0; d < densities.size(); ++d)
    for (const std::size_t r : rates)
      text += fmt::format("<th scope=\"col\" class=\"{}\">{}</th>", place(r),
                          escaped(unit_aside ? rate_number(t, r, say) : rate_text(t, r, say)));
  text += "</tr></thead>\n<tbody>\n";
  for (std::size_t k = 0; k < rows.size(); ++k) {
    text += fmt::format("<tr><th scope=\"row\">{}</th>", escaped(rows[k]));
    for (const std::size_t d : densities)
      for (const std::size_t r : rates)
        text += fmt::format("<td class=\"{}\">{}</td>", place(r), escaped(cell(k, d, r)));
    text += "</tr>\n";
  }
  return text + "</tbody></table></div>\n";
}

std::string degrees(double kelvin, const Words& say) {
  return say.number(cases::in_celsius(kelvin));
}

std::string entry_section(const OffsetTable& t, const Words& say) {
  const std::string heading = say("To give the powder a mean temperature, enter");
  if (t.powder_K.empty())
    return section("enter", heading,
                   paragraph(say("No two neighbouring members have a round temperature between them.")));
  std::vector<std::string> rows;
  for (const double powder_K : t.powder_K) rows.push_back(degrees(powder_K, say));
  std::string below =
      say("In °C, over the heating rate of the ramp before the hold. A dash: outside what was "
          "computed; nothing is extrapolated.");
  if (t.rates_alike || (t.densities_alike && t.densities.size() > 1))
    below +=
        " " + say("What is shown as a range differs in itself by no more than {} K.", say.number(alike_K));
  return section("enter", heading,
                 blocks(t, "enter-table", say("powder, °C"), say, rows,
                        [&](std::size_t k, std::size_t d, std::size_t r) {
                          const auto entry = to_enter(t, d, r, t.powder_K[k]);
                          return entry ? degrees(*entry, say) : std::string("–");
                        }) +
                     paragraph(below));
}

/// Least and most of a number of the members that count; nothing where none has it.
template <class Number>
std::optional<std::pair<double, double>> range_of(const OffsetTable& t, Number&& number) {
  std::optional<std::pair<double, double>> range;
  for (const OffsetCell& cell : t.cells) {
    const double value = cell.why_not.empty() ? number(cell) : std::numeric_limits<double>::quiet_NaN();
    if (!std::isfinite(value)) continue;
    if (!range) range = {value, value};
    range->first = std::min(range->first, value);
    range->second = std::max(range->second, value);
  }
  return range;
}

std::string offset_section(const OffsetTable& t, const Words& say) {
  std::vector<std::string> rows;
  for (const double entered_K : t.temperatures_K) rows.push_back(degrees(entered_K, say));
  std::string below =
      say("Powder mean minus reading in K, over the settled half of the hold; in brackets what "
          "the powder differs in itself, hottest minus coldest.");
  if (const auto change =
          range_of(t, [](const OffsetCell& cell) { return cell.offset_start_K - cell.offset_K; }))
    below += " " + say("At the start of the hold it is other by {} to {} K.",
                       say.signed_number(change->first), say.signed_number(change->second));
  if (const auto density = range_of(t, [](const OffsetCell& cell) { return cell.density; }))
    below += " " + say("Relative density at the end of the hold: {} to {} %.",
                       say.number(100.0 * density->first, 1), say.number(100.0 * density->second, 1));
  return section("offsets", say("Offset of the stack"),
                 blocks(t, "offset-table", say("entered, °C"), say, rows,
                        [&](std::size_t k, std::size_t d, std::size_t r) {
                          const OffsetCell& cell = t.cell(d, r, k);
                          return cell.why_not.empty() ? say.signed_number(cell.offset_K) + " (" +
                                                            say.number(cell.spread_K) + ")"
                                                      : std::string("–");
                        }) +
                     paragraph(below));
}

std::string subject_section(const OffsetTable& t, const Words& say) {
  const TableSubject& s = t.subject;
  std::vector<std::string> lines{say("Press: {}.", s.press)};
  if (s.control_in.empty())
    lines.push_back(say("Controlled by “{}”.", s.control));
  else if (s.pyrometer)
    lines.push_back(say("Controlled by “{}”, a pyrometer on “{}”.", s.control, s.control_in));
  else if (s.depth_m > 0.0)
    lines.push_back(say("Controlled by “{}”, a couple {} mm deep in “{}”.", s.control, in_mm(s.depth_m, say),
                        s.control_in));
  else
    lines.push_back(say("Controlled by “{}”, a couple in “{}”.", s.control, s.control_in));
  std::string powders;
  for (const TableSubject::Powder& powder : s.powders)
    powders += (powders.empty() ? "" : "; ") + powder.material +
               (powder.start_density && !powder.varied
                    ? " (" + say("from {} %", plain(100.0 * *powder.start_density, 1, say)) + ")"
                    : "");
  lines.push_back(say("Powder: {}.", powders));
  if (std::isfinite(s.pressure_Pa))
    lines.push_back(say("Pressure on the powder: {} MPa.", plain(1e-6 * s.pressure_Pa, 1, say)));
  lines.push_back(s.gas.empty() ? say("Chamber: vacuum.") : say("Chamber: {}.", s.gas));
  lines.push_back(s.hold.empty() ? say("A hold of {} min.", plain(s.hold_s / 60.0, 1, say))
                                 : say("The hold “{}” of {} min.", s.hold, plain(s.hold_s / 60.0, 1, say)));
  lines.push_back(
      say("All else as in the case; what another stack, powder or lining of foil does is not in it. How "
          "sure an offset is, joulepress bound tells."));
  return section("subject", say("What it holds for"), bullets(lines));
}

/// Reasons, each with the members that it stands for.
std::string left_out(const OffsetTable& t, const Words& say) {
  std::vector<std::pair<std::string, std::vector<std::string>>> reasons;
  for (const OffsetCell& cell : t.cells) {
    if (cell.why_not.empty()) continue;
    const auto same = std::find_if(reasons.begin(), reasons.end(),
                                   [&](const auto& reason) { return reason.first == cell.why_not; });
    if (same == reasons.end())
      reasons.push_back({cell.why_not, {cell.id}});
    else
      same->second.push_back(cell.id);
  }
  if (reasons.empty()) return {};
  std::vector<std::string> lines;
  for (const auto& [reason, ids] : reasons) {
    std::string line = ids.front();
    if (ids.size() > 1) line += fmt::format(" (+{})", ids.size() - 1);
    line += ": " + reason;
    lines.push_back(std::move(line));
  }
  return section("ended", say("Members that do not count"), bullets(say, lines));
}

}  // namespace

std::string offsets_figure(const OffsetTable& table, const Words& say) {
  figures::OffsetChart chart;
  chart.head = {
      say("Offset of the stack"),
      say("Powder mean minus reading over what is entered; a line a heating rate, a panel a start density."),
      say.decimal_mark()};
  chart.x_label = say("entered, in °C");
  chart.y_label = say("powder mean minus reading, in K");
  for (const std::size_t r : shown_rates(table)) chart.names.push_back(rate_text(table, r, say));
  for (const std::size_t d : shown_densities(table)) {
    figures::OffsetPanel panel;
    panel.title = density_text(table, d, say);
    for (const std::size_t r : shown_rates(table)) {
      std::vector<svg::Point> line;
      for (std::size_t k = 0; k < table.temperatures_K.size(); ++k) {
        const OffsetCell& cell = table.cell(d, r, k);
        line.push_back({cases::in_celsius(table.temperatures_K[k]),
                        cell.why_not.empty() ? cell.offset_K : std::numeric_limits<double>::quiet_NaN()});
      }
      panel.lines.push_back(std::move(line));
    }
    chart.panels.push_back(std::move(panel));
  }
  return figures::offset_chart(chart);
}

std::string offsets_page(const OffsetTable& table, const Words& say) {
  const std::string kind = say("what to enter, and the offsets behind it"), svg = offsets_figure(table, say);
  const std::string picture =
      svg.empty() ? "" : "<figure class=\"picture\">" + std::string(inlined(svg)) + "</figure>\n";
  const std::string enter = entry_section(table, say), holds_for = subject_section(table, say);
  const std::string offsets = table.densities.empty() ? "" : offset_section(table, say);
  std::string body = paragraph(stack_line(table.subject, say));
  if (is_wide(table))
    body += fmt::format("<div class=\"below\">\n{}<div class=\"aside\">\n{}{}</div>\n{}</div>\n", enter,
                        picture, holds_for, offsets);
  else
    body += fmt::format("<div class=\"beside\">\n{}<div>\n{}{}</div>\n</div>\n{}", enter, picture, offsets,
                        holds_for);
  body += left_out(table, say) + cautions_section(say);
  Document document{table.subject.title.empty() ? kind : table.subject.title,
                    fmt::format("joulepress {} · {}", table.subject.version, kind),
                    "<div class=\"sheet offsets\">\n" + body + "</div>\n"};
  document.charts = false;
  return html_of(document, say, {{"language", say.tag()}, {"words", script_words(say)}});
}

}  // namespace joulepress::tools::html
