#include "tools/screen/results_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>
#include <set>

#include "cases/reader/case_difference.hpp"
#include "tools/screen/difference_table.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t width = 98;
constexpr std::size_t label_width = 31, unit_width = 5, least_column = 12, widest_name = 22;
constexpr std::size_t changes_shown = 20;

using Cells = std::vector<std::string>;

using Row = ResultsTable::Row;
using Section = ResultsTable::Section;

std::string heading(const std::string& text) {
  return "\n" + text + "\n" + std::string(text.size(), '-') + "\n";
}

std::string trimmed(const std::string& line) {
  return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
}

/// The end of a long text.
std::string tail(const std::string& text, std::size_t most) {
  return text.size() <= most ? text : ".." + text.substr(text.size() - most + 2);
}

/// How long a beginning all share, up to a mark between words: the folders of a study begin alike.
std::size_t common_beginning(const Cells& names) {
  std::size_t same = names.front().size();
  for (const std::string& name : names)
    same = std::min(
        same, static_cast<std::size_t>(
                  std::mismatch(name.begin(), name.end(), names.front().begin(), names.front().end()).first -
                  name.begin()));
  const std::size_t mark = names.front().substr(0, same).find_last_of("-_ .");
  return mark == std::string::npos ? 0 : mark + 1;
}

/// The last part of each folder, without the words that all long ones begin with; all of it where two are the
/// same.
Cells short_names(const std::vector<NamedResults>& all) {
  Cells names;
  for (const NamedResults& one : all) {
    std::filesystem::path folder = std::filesystem::path(one.folder).lexically_normal();
    if (folder.filename().empty()) folder = folder.parent_path();
    names.push_back(folder.filename().string());
  }
  const Cells last = names;
  for (std::size_t k = 0; k < all.size(); ++k)
    if (std::count(last.begin(), last.end(), last[k]) > 1) names[k] = all[k].folder;
  const bool wide = std::any_of(names.begin(), names.end(),
                                [](const std::string& name) { return name.size() > least_column; });
  const std::size_t same = wide ? common_beginning(names) : 0;
  for (std::string& name : names) name = tail(name.substr(same), widest_name);
  return names;
}

// --- what differs in the cases

/// Says nothing that a part or a number does not say: titles, and materials that a part brings along.
bool says_nothing(const cases::CaseChange& change) {
  return change.key == "title" || (change.key.starts_with("materials[") && change.key.ends_with("]") &&
                                   (change.first.empty() || change.then.empty()));
}

/// Keys with the value of every case.
std::vector<Row> changed_rows(const std::vector<NamedResults>& all) {
  std::vector<Row> rows;
  for (std::size_t k = 1; k < all.size(); ++k) {
    for (const cases::CaseChange& change :
         cases::case_differences(all[0].results.case_text, all[k].results.case_text)) {
      if (says_nothing(change)) continue;
      auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.what == change.key; });
      if (row == rows.end()) row = rows.insert(rows.end(), {change.key, "", Cells(all.size(), change.first)});
      row->cells[k] = change.then;
    }
  }
  return rows;
}

/// A cell of the column's width: a part that is too long to be written is there.
std::string cell_text(const std::string& value, std::size_t most) {
  if (value.empty()) return "-";
  if (value.size() <= most) return value;
  const bool group = value.find('{') != std::string::npos || value.find(':') != std::string::npos;
  return group ? "there" : tail(value, most);
}

// --- numbers

struct Number {
  std::string what;
  Shown how;
  std::vector<double> values;  ///< one per result
};

Row row_of(const Number& number) {
  Row row{number.what, number.how.unit, {}};
  for (const double value : number.values) row.cells.push_back(number_text(value, number.how));
  return row;
}

bool is_known(double value) {
  return !std::isnan(value);
}

/// Rows of which no result knows anything are left out.
std::vector<Row> rows_of(const std::vector<Number>& numbers) {
  std::vector<Row> rows;
  for (const Number& number : numbers)
    if (std::any_of(number.values.begin(), number.values.end(), is_known)) rows.push_back(row_of(number));
  return rows;
}

std::vector<Number> hold_numbers(const std::vector<const StoredHold*>& holds) {
  std::vector<Number> numbers;
  const auto add = [&](const char* what, const Shown& how,
                       const std::function<double(const StoredHold&)>& of) {
    Number number{what, how, {}};
    for (const StoredHold* hold : holds) number.values.push_back(of(*hold));
    numbers.push_back(std::move(number));
  };
  add("reading", in_degC, [](const StoredHold& h) { return h.sensor_K; });
  add("powder, mean", in_degC, [](const StoredHold& h) { return h.sample_mean_K; });
  add("offset, powder mean - reading", in_kelvin, [](const StoredHold& h) { return h.offset_mean_K; });
  add("powder, hottest - coldest", in_kelvin,
      [](const StoredHold& h) { return h.sample_max_K - h.sample_min_K; });
  add("current (effective)", in_ampere, [](const StoredHold& h) { return h.current_A; });
  add("voltage between the column ends", in_volt, [](const StoredHold& h) { return h.voltage_V; });
  add("power", in_kW, [](const StoredHold& h) { return h.power_W; });
  add("density at the end, mean", in_density,
      [](const StoredHold& h) { return h.relative_density_end_mean; });
  return numbers;
}

std::vector<Number> run_numbers(const std::vector<NamedResults>& all) {
  std::vector<Number> numbers;
  const auto add = [&](const char* what, double StoredSummary::*member, const Shown& how) {
    Number number{what, how, {}};
    for (const NamedResults& one : all) number.values.push_back(one.results.summary.*member);
    numbers.push_back(std::move(number));
  };
  add("electric energy", &StoredSummary::electric_J, in_kJ);
  add("  radiated", &StoredSummary::radiation_J, in_kJ);
  add("  into the cooling water", &StoredSummary::films_J, in_kJ);
  add("tooling, hottest", &StoredSummary::tool_max_K, in_degC);
  add("tools, least margin", &StoredSummary::tool_margin, in_margin);
  add("force to push the compact out", &StoredSummary::push_out_N, in_kN);
  add("end of the run", &StoredSummary::end_s, in_seconds);
  return numbers;
}

/// From the least to the largest, with what parts them: a factor where percent are shown, else a difference.
std::string range_line(const Number& number, const Cells& names) {
  std::size_t least = 0, most = 0;
  for (std::size_t k = 0; k < number.values.size(); ++k) {
    if (!is_known(number.values[k])) continue;
    if (!is_known(number.values[least]) || number.values[k] < number.values[least]) least = k;
    if (!is_known(number.values[most]) || number.values[k] > number.values[most]) most = k;
  }
  const double low = number.values[least], high = number.values[most];
  if (!is_known(low) || number_text(low, number.how) == number_text(high, number.how)) return {};
  const std::string apart =
      number.how.percent && low > 0.0
          ? fmt::format("{:.2f} times", high / low)
          : fmt::format("{} {}", difference_text(low, high, number.how), number.how.unit_of_difference);
  const std::string text =
      fmt::format("{}: {} {} ({}) to {} {} ({}), {}", number.what.substr(number.what.find_first_not_of(' ')),
                  number_text(low, number.how), number.how.unit, names[least], number_text(high, number.how),
                  number.how.unit, names[most], apart);
  return "  " + wrapped(text, width, 4) + "\n";
}

std::string range_lines(const std::vector<Number>& numbers, const Cells& names) {
  std::string text;
  for (const Number& number : numbers) text += range_line(number, names);
  return text;
}

// --- holds

const StoredHold* hold_named(const StoredSummary& s, const std::string& name) {
  const auto hold =
      std::find_if(s.holds.begin(), s.holds.end(), [&](const StoredHold& h) { return h.name == name; });
  return hold == s.holds.end() ? nullptr : &*hold;
}

struct CommonHold {
  std::string name;
  std::vector<const StoredHold*> of;  ///< one per result
};

std::vector<CommonHold> common_holds(const std::vector<NamedResults>& all) {
  std::vector<CommonHold> common;
  for (const StoredHold& first : all[0].results.summary.holds) {
    CommonHold hold{first.name, {}};
    for (const NamedResults& one : all)
      if (const StoredHold* its = hold_named(one.results.summary, first.name)) hold.of.push_back(its);
    if (hold.of.size() == all.size()) common.push_back(std::move(hold));
  }
  return common;
}

std::string holds_left_out(const std::vector<NamedResults>& all, const std::vector<CommonHold>& common) {
  std::set<std::string> others;
  for (const NamedResults& one : all)
    for (const StoredHold& hold : one.results.summary.holds)
      if (std::none_of(common.begin(), common.end(),
                       [&](const CommonHold& c) { return c.name == hold.name; }))
        others.insert("\"" + hold.name + "\"");
  if (others.empty()) return {};
  return wrapped(fmt::format("Not every run has a hold of the name {}.", fmt::join(others, ", ")), width, 0) +
         "\n";
}

// --- layout

/// A block of columns from `from` to `to`.
std::string block(const std::vector<Section>& sections, const Cells& names, std::size_t from, std::size_t to,
                  std::size_t column) {
  const auto line = [&](const std::string& what, const Cells& cells, const std::string& unit) {
    std::string text = fmt::format("  {:<{}}", what, label_width);
    if (what.size() > label_width)
      text = "  " + tail(what, width - 2) + "\n  " + std::string(label_width, ' ');
    for (std::size_t k = from; k < to; ++k)
      text += fmt::format("{:>{}}", cell_text(cells[k], column - 1), column);
    return trimmed(text + (unit.empty() ? "" : " " + unit));
  };
  std::string text;
  for (const Section& section : sections) {
    if (section.rows.empty()) continue;
    text += heading(section.title) + line("", names, "");
    for (const Row& row : section.rows) text += line(row.what, row.cells, row.unit);
  }
  return text;
}

std::string blocks(const std::vector<Section>& sections, const Cells& names) {
  std::size_t column = least_column;
  for (const std::string& name : names) column = std::max(column, name.size() + 2);
  const std::size_t side_by_side = (width - 2 - label_width - unit_width) / column;
  std::string text;
  for (std::size_t from = 0; from < names.size(); from += side_by_side)
    text += block(sections, names, from, std::min(from + side_by_side, names.size()), column);
  return text;
}

// --- what to know before believing it

std::string remarks(const std::vector<NamedResults>& all, const Cells& names) {
  std::string text;
  const auto say = [&text](const std::string& sentence) { text += wrapped(sentence, width, 0) + "\n"; };
  for (std::size_t k = 0; k < all.size(); ++k) {
    const StoredSummary& s = all[k].results.summary;
    if (s.status != "completed") say(fmt::format("{} did not complete: {}.", names[k], s.reason));
    if (!(s.energy_balance_relative <= 1e-8 && s.charge_balance_relative <= 1e-8))
      say(fmt::format("A balance of {} is NOT CLOSED (above 1e-8): do not trust it.", names[k]));
    if (s.version != all[0].results.summary.version)
      say(fmt::format("{} was made with joulepress {}, {} with {}.", names[k], s.version, names[0],
                      all[0].results.summary.version));
    for (std::size_t j = 0; j < k; ++j)
      if (all[j].results.fingerprint == all[k].results.fingerprint)
        say(fmt::format("{} and {} are the same to the last bit.", names[j], names[k]));
  }
  return text;
}

}  // namespace

ResultsTable tabled(const std::vector<NamedResults>& all) {
  ResultsTable table;
  table.names = short_names(all);
  std::vector<Row> changes = changed_rows(all);
  table.more_changes = changes.size() > changes_shown ? changes.size() - changes_shown : 0;
  changes.resize(changes.size() - table.more_changes);
  table.sections.push_back({"What differs in the cases", std::move(changes)});
  for (const CommonHold& hold : common_holds(all))
    table.sections.push_back({fmt::format("Hold \"{}\"", hold.name), rows_of(hold_numbers(hold.of))});
  Section run{"Whole run", rows_of(run_numbers(all))};
  Row status{"status", "", {}};
  for (const NamedResults& one : all) status.cells.push_back(one.results.summary.status);
  run.rows.push_back(std::move(status));
  table.sections.push_back(std::move(run));
  return table;
}

std::string results_table(const std::vector<NamedResults>& all) {
  const ResultsTable table = tabled(all);
  const Cells& names = table.names;
  std::string text;
  for (std::size_t k = 0; k < all.size(); ++k) {
    const std::string& title = all[k].results.summary.title;
    text += fmt::format("{:<{}}  {}", names[k], widest_name, title.empty() ? all[k].folder : title)
                .substr(0, width) +
            "\n";
  }
  text += blocks(table.sections, names);

  const std::vector<CommonHold> holds = common_holds(all);
  std::string ranges;
  for (const CommonHold& hold : holds)
    if (const std::string lines = range_lines(hold_numbers(hold.of), names); !lines.empty())
      ranges += fmt::format("in \"{}\"\n", hold.name) + lines;
  if (const std::string lines = range_lines(run_numbers(all), names); !lines.empty())
    ranges += "in the whole run\n" + lines;
  text += heading("From the least to the most") + (ranges.empty() ? "All numbers are the same.\n" : ranges);

  std::string notes = holds_left_out(all, holds) + remarks(all, names);
  if (table.sections.front().rows.empty())
    notes += "The cases differ in titles, comments or form only, if at all.\n";
  if (table.more_changes > 0)
    notes += fmt::format("The cases differ in {} entries more: compare two of them.\n", table.more_changes);
  return notes.empty() ? text : text + "\n" + notes;
}

}  // namespace joulepress::tools
