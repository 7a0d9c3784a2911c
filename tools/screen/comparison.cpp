#include "tools/screen/comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "cases/reader/case_difference.hpp"
#include "cases/reader/units.hpp"
#include "solver/summary.hpp"
#include "tools/screen/comparison_powder.hpp"
#include "tools/screen/difference_table.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/result_differences.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t width = 98;
constexpr std::size_t changes_shown = 20;

using Pair = std::pair<const StoredHold*, const StoredHold*>;

std::string heading(const std::string& text) {
  return "\n" + text + "\n" + std::string(text.size(), '-') + "\n";
}

std::string sentence(const std::string& text) {
  return wrapped(text, width, 0) + "\n";
}

std::string degrees(double kelvin) {
  return fmt::format("{:.0f} degC", cases::in_celsius(kelvin));
}

// --- the answer in words

/// "failed at t = 12 s: ...", without a full stop.
std::string how_it_ended(const StoredSummary& s) {
  const char* between = s.status == "failed" ? " " : ": ";  // the reason of a failure begins with its place
  const std::string text = s.reason.empty() ? s.status : s.status + between + s.reason;
  return text.ends_with('.') ? text.substr(0, text.size() - 1) : text;
}

std::string ends(const StoredSummary& a, const StoredSummary& b) {
  const std::string version = a.version == b.version
                                  ? ", with joulepress " + a.version
                                  : fmt::format(", A with joulepress {}, B with {}", a.version, b.version);
  if (a.status == "completed" && b.status == "completed")
    return sentence("Both runs completed" + version + ".");
  const auto one = [](const char* name, const StoredSummary& s) {
    return s.status == "completed" ? fmt::format("{} completed.", name)
                                   : fmt::format("{} did not complete: {}.", name, how_it_ended(s));
  };
  return sentence(one("A", a)) + sentence(one("B", b)) +
         sentence("Compared is what there is" + version + ".");
}

/// A long value from just before the place where it leaves the other one.
std::string excerpt(const std::string& value, const std::string& other) {
  constexpr std::size_t most = 80, before = 20;
  if (value.empty()) return "(not there)";
  if (value.size() <= most) return value;
  const auto leaves = static_cast<std::size_t>(
      std::mismatch(value.begin(), value.end(), other.begin(), other.end()).first - value.begin());
  const std::size_t from = leaves > most / 2 && !other.empty() ? leaves - before : 0;
  const std::string cut = value.substr(from, most);
  return (from ? "..." : "") + cut + (from + cut.size() < value.size() ? "..." : "");
}

std::string change_lines(const std::vector<cases::CaseChange>& changes) {
  std::string text;
  for (std::size_t k = 0; k < std::min(changes.size(), changes_shown); ++k) {
    const cases::CaseChange& change = changes[k];
    const std::string first = excerpt(change.first, change.then), then = excerpt(change.then, change.first);
    const std::string line = fmt::format("  {}: {} -> {}\n", change.key, first, then);
    text += line.size() <= width + 1 ? line
                                     : fmt::format("  {}\n    A  {}\n    B  {}\n", change.key,
                                                   wrapped(first, width, 7), wrapped(then, width, 7));
  }
  if (changes.size() > changes_shown)
    text += fmt::format("  and {} more; see resolved_case.yaml in both folders\n",
                        changes.size() - changes_shown);
  return text;
}

std::string cases_in_words(const StoredResults& a, const StoredResults& b) {
  if (a.summary.case_sha256 == b.summary.case_sha256) return "Both ran the same case.\n";
  const std::vector<cases::CaseChange> changes = cases::case_differences(a.case_text, b.case_text);
  if (changes.empty()) return "The cases differ in comments or form only.\n";
  return fmt::format("The cases differ in {} (A -> B):\n",
                     changes.size() == 1 ? "one entry" : fmt::format("{} entries", changes.size())) +
         change_lines(changes);
}

/// The part of the offset that changed most, as the end of a sentence.
std::string why(const StoredHold& a, const StoredHold& b) {
  if (!a.parts || !b.parts) return {};
  // Of a sensor in the column, one in the die and a furnace the terms are not the same ones.
  if ((a.parts->along_axis_K == 0.0) != (b.parts->along_axis_K == 0.0)) return {};
  if ((a.parts->surface_K == 0.0) != (b.parts->surface_K == 0.0)) return {};
  const auto change = [&](const solver::OffsetTerm& term) {
    return (*b.parts).*term.value - (*a.parts).*term.value;
  };
  const auto most = std::max_element(solver::offset_terms.begin(), solver::offset_terms.end(),
                                     [&](const solver::OffsetTerm& x, const solver::OffsetTerm& y) {
                                       return std::abs(change(x)) < std::abs(change(y));
                                     });
  return fmt::format(", its largest change in {} ({:+.0f} K)", most->words, change(*most));
}

/// What the operator of B types to give the powder of A: the sensor of B may be another one.
std::string what_to_enter(const StoredHold& a, const StoredHold& b) {
  if (b.control_sensor.empty() || std::isnan(b.set_K) || std::isnan(b.offset_mean_K)) return {};
  // Offsets grow with what flows, and that with the temperature above the room.
  const double enter = solver::first_entry_K(298.15, b.set_K, b.sample_mean_K, a.sample_mean_K);
  const std::string whose = a.control_sensor == b.control_sensor
                                ? fmt::format("at {}", b.control_sensor)
                                : fmt::format("at {} (A controls on {})", b.control_sensor, a.control_sensor);
  return sentence(fmt::format(
      "To give the powder the {} it has in A, enter {} instead of {} {} in B (first estimate, as if powder "
      "and reading rose in proportion; run B again with this value).",
      degrees(a.sample_mean_K), degrees(enter), degrees(b.set_K), whose));
}

std::string hold_in_words(const StoredHold& a, const StoredHold& b) {
  const double change = b.sample_mean_K - a.sample_mean_K;
  const std::string where = fmt::format("In \"{}\"", a.name);
  if (std::isnan(change)) {
    const double reading = b.sensor_K - a.sensor_K;
    if (!(std::abs(reading) >= 0.5)) return {};
    return sentence(fmt::format("{} the sensor reads {:.0f} K {} in B than in A ({} against {}).", where,
                                std::abs(reading), reading > 0.0 ? "more" : "less", degrees(b.sensor_K),
                                degrees(a.sensor_K)));
  }
  if (std::abs(change) < 0.5 && !(std::abs(b.offset_mean_K - a.offset_mean_K) >= 0.5))
    return sentence(change == 0.0
                        ? where + " the powder means are the same to the last bit."
                        : fmt::format("{} the powder means agree within {:.1g} K.", where, std::abs(change)));
  std::string text =
      fmt::format("{} the powder is {:.0f} K {} in B than in A ({} against {})", where, std::abs(change),
                  change > 0.0 ? "hotter" : "colder", degrees(b.sample_mean_K), degrees(a.sample_mean_K));
  if (!std::isnan(b.offset_mean_K - a.offset_mean_K))
    text += fmt::format("; its offset to the reading is {:+.0f} K instead of {:+.0f} K{}", b.offset_mean_K,
                        a.offset_mean_K, why(a, b));
  return sentence(text + ".") + what_to_enter(a, b);
}

// --- hold by hold

/// Holds of the same name belong together, the others in their order.
std::vector<Pair> pairs_of(const std::vector<StoredHold>& a, const std::vector<StoredHold>& b) {
  std::vector<const StoredHold*> partner(a.size(), nullptr);
  std::vector<bool> taken(b.size(), false);
  const auto match = [&](auto&& fits) {
    for (std::size_t i = 0; i < a.size(); ++i)
      for (std::size_t j = 0; j < b.size() && !partner[i]; ++j)
        if (!taken[j] && fits(a[i], b[j])) {
          partner[i] = &b[j];
          taken[j] = true;
        }
  };
  match([](const StoredHold& x, const StoredHold& y) { return x.name == y.name; });
  match([](const StoredHold&, const StoredHold&) { return true; });
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < a.size(); ++i) pairs.emplace_back(&a[i], partner[i]);
  for (std::size_t j = 0; j < b.size(); ++j)
    if (!taken[j]) pairs.emplace_back(nullptr, &b[j]);
  return pairs;
}

std::string body_rows(const StoredHold& a, const StoredHold& b) {
  std::string text;
  if (a.powders.size() < 2 && b.powders.size() < 2) return text;
  const StoredBody none;
  const auto rows = [&](const StoredBody& x, const StoredBody& y, const std::string& name) {
    text += table_row(name + ", mean", x.mean_K, y.mean_K, in_degC);
    text += table_row(name + ", its offset", x.offset_mean_K, y.offset_mean_K, in_kelvin);
  };
  const auto named = [](const std::vector<StoredBody>& list, const std::string& name) {
    return std::find_if(list.begin(), list.end(), [&](const StoredBody& body) { return body.name == name; });
  };
  for (const StoredBody& body : a.powders) {
    const auto other = named(b.powders, body.name);
    rows(body, other == b.powders.end() ? none : *other, body.name);
  }
  for (const StoredBody& body : b.powders)
    if (named(a.powders, body.name) == a.powders.end()) rows(none, body, body.name);
  return text;
}

/// The terms of the offset, those that are nothing in both left out.
std::string part_rows(const StoredHold& a, const StoredHold& b) {
  const auto of = [](const StoredHold& hold, const solver::OffsetTerm& term) {
    return hold.parts ? (*hold.parts).*term.value : std::nan("");
  };
  const auto size = [&](const solver::OffsetTerm& term) {
    const double x = std::abs(of(a, term)), y = std::abs(of(b, term));
    return std::isnan(x) ? y : std::isnan(y) ? x : std::max(x, y);
  };
  std::vector<solver::OffsetTerm> terms(solver::offset_terms.begin(), solver::offset_terms.end());
  std::stable_sort(terms.begin(), terms.end(),
                   [&](const auto& x, const auto& y) { return size(x) > size(y); });
  std::string text;
  for (const solver::OffsetTerm& term : terms)
    if (size(term) > 0.0)
      text += table_row(fmt::format("    {}", term.words), of(a, term), of(b, term), in_kelvin);
  return text;
}

std::string hold_rows(const StoredHold& a, const StoredHold& b, const std::string& sensor) {
  std::string text;
  const auto row = [&](const std::string& what, double StoredHold::*member, const Shown& how) {
    text += table_row(what, a.*member, b.*member, how);
  };
  const auto block = [&text](const std::string& rows) {
    if (!rows.empty()) text += "\n" + rows;
  };
  if (a.start_s != b.start_s || a.end_s != b.end_s) {
    row("start", &StoredHold::start_s, in_seconds);
    row("end", &StoredHold::end_s, in_seconds);
    row("averages from", &StoredHold::settled_from_s, in_seconds);
  }
  row(sensor + " reads", &StoredHold::sensor_K, in_degC);
  row("stack at its place", &StoredHold::sensor_material_K, in_degC);
  row("powder, mean", &StoredHold::sample_mean_K, in_degC);
  row("powder, centre", &StoredHold::sample_centre_K, in_degC);
  row("powder, edge at mid-height", &StoredHold::sample_edge_K, in_degC);
  row("powder, coldest", &StoredHold::sample_min_K, in_degC);
  row("powder, hottest", &StoredHold::sample_max_K, in_degC);
  text += body_rows(a, b);

  block(table_row("offset, powder mean - reading", a.offset_mean_K, b.offset_mean_K, in_kelvin));
  row("  field: powder - material", &StoredHold::offset_field_K, in_kelvin);
  row("  sensor: material - reading", &StoredHold::sensor_error_K, in_kelvin);
  row("  at the start of the hold", &StoredHold::offset_start_K, in_kelvin);
  row("  at the end of the hold", &StoredHold::offset_end_K, in_kelvin);
  if (a.parts || b.parts) text += "  why, largest first\n" + part_rows(a, b);

  block(table_row("current (effective)", a.current_A, b.current_A, in_ampere));
  row("voltage between the column ends", &StoredHold::voltage_V, in_volt);
  row("power", &StoredHold::power_W, in_kW);
  row("share of current in the powder", &StoredHold::current_share_powder, in_percent);
  block(density_rows(a, b));
  return text;
}

std::string hold_title(const StoredHold& a, const StoredHold& b) {
  std::string title = fmt::format("Hold \"{}\"", a.name);
  if (a.name != b.name) title += fmt::format(" of A, \"{}\" of B", b.name);
  if (a.start_s == b.start_s && a.end_s == b.end_s)
    title += fmt::format(", {:.0f} s to {:.0f} s, averages from {:.0f} s on", a.start_s, a.end_s,
                         a.settled_from_s);
  return title;
}

/// The sensor that controls, or both where they differ.
std::string sensor_of(const StoredSummary& a, const StoredSummary& b) {
  if (a.control_sensor.empty() || a.control_sensor != b.control_sensor) return "control sensor";
  return a.control_sensor;
}

std::string holds(const StoredSummary& a, const StoredSummary& b, const std::vector<Pair>& pairs) {
  std::string text;
  for (const auto& [x, y] : pairs) {
    if (x && y)
      text += heading(hold_title(*x, *y)) + table_head() + hold_rows(*x, *y, sensor_of(a, b));
    else
      text += heading(fmt::format("Hold \"{}\" is in {} only", x ? x->name : y->name, x ? "A" : "B"));
  }
  return text;
}

// --- the whole run

std::string balance_text(double relative) {
  return fmt::format("{:.1e}{}", relative, relative <= 1e-8 ? "" : "!");
}

std::string whole_run(const StoredSummary& a, const StoredSummary& b) {
  std::string text = heading("Whole run") + table_head();
  const auto row = [&](const char* what, double StoredSummary::*member, const Shown& how) {
    text += table_row(what, a.*member, b.*member, how);
  };
  row("powder, hottest", &StoredSummary::powder_max_K, in_degC);
  row("  at", &StoredSummary::powder_max_s, in_seconds);
  row("tooling, hottest", &StoredSummary::tool_max_K, in_degC);
  row("  at", &StoredSummary::tool_max_s, in_seconds);
  text += a.tool_part == b.tool_part ? fmt::format("    in {}\n", a.tool_part)
                                     : fmt::format("    in {} (A), in {} (B)\n", a.tool_part, b.tool_part);
  row("    r", &StoredSummary::tool_r_m, in_mm);
  row("    z", &StoredSummary::tool_z_m, in_mm);
  if (const std::string closing = densification_rows(a, b); !closing.empty()) text += "\n" + closing;
  text += "\n";
  row("electric energy", &StoredSummary::electric_J, in_kJ);
  row("  radiated", &StoredSummary::radiation_J, in_kJ);
  row("  into the cooling water", &StoredSummary::films_J, in_kJ);
  if (a.fixed_surfaces_J != 0.0 || b.fixed_surfaces_J != 0.0)
    row("  into surfaces held at a temperature", &StoredSummary::fixed_surfaces_J, in_kJ);
  row("  still stored at the end", &StoredSummary::stored_J, in_kJ);
  if (a.at_limit_s != 0.0 || b.at_limit_s != 0.0)
    row("time at a limit of the press", &StoredSummary::at_limit_s, in_seconds);
  if (a.too_fast_s != 0.0 || b.too_fast_s != 0.0)
    row("time it could not cool fast enough", &StoredSummary::too_fast_s, in_seconds);
  row("end of the run", &StoredSummary::end_s, in_seconds);
  text += "\n";
  row("cells", &StoredSummary::cells, as_count);
  row("steps", &StoredSummary::steps, as_count);
  text += word_row("energy balance, relative", balance_text(a.energy_balance_relative),
                   balance_text(b.energy_balance_relative));
  text += word_row("charge balance, relative", balance_text(a.charge_balance_relative),
                   balance_text(b.charge_balance_relative));
  for (const auto& [name, s] : {std::pair{"A", &a}, std::pair{"B", &b}})
    if (!(s->energy_balance_relative <= 1e-8 && s->charge_balance_relative <= 1e-8))
      text += fmt::format("  A balance of {} is NOT CLOSED (above 1e-8, marked !): do not trust it.\n", name);
  return text;
}

// --- histories and fields

/// The offset over time; empty where the powder or the reading is not there.
std::vector<double> offsets(const StoredResults& results) {
  const auto* powder = results.column("powder mean");
  std::string sensor = results.summary.control_sensor;
  std::replace(sensor.begin(), sensor.end(), '/', '_');  // as data sets are named
  const auto* reading = results.column(sensor + " reading");
  std::vector<double> values;
  const auto* sees = results.column(sensor + " sees");
  if (powder && reading && !sensor.empty())
    for (std::size_t k = 0; k < powder->size(); ++k)
      values.push_back(sees && (*sees)[k] == 0.0 ? std::nan("") : (*powder)[k] - (*reading)[k]);
  return values;
}

std::string histories(const StoredResults& a, const StoredResults& b) {
  std::string rows;
  const auto add = [&](const std::string& what, const std::vector<double>& x, const std::vector<double>& y,
                       const Shown& how) {
    if (const auto largest = largest_difference({a.times, x}, {b.times, y}))
      rows += table_row(what, largest->a, largest->b, how,
                        largest->a == largest->b ? " " : fmt::format("{:.1f} s", largest->time_s));
  };
  const auto add_column = [&](const std::string& name, const std::string& what, const Shown& how) {
    const auto *x = a.column(name), *y = b.column(name);
    if (x && y) add(what, *x, *y, how);
  };
  for (const StoredColumn& column : a.history)
    if (column.name.ends_with(" reading")) add_column(column.name, column.name, in_degC);
  add_column("powder mean", "powder mean", in_degC);
  if (const std::vector<double> x = offsets(a), y = offsets(b); !x.empty() && !y.empty())
    add("offset, powder mean - reading", x, y, in_kelvin);
  add_column("current effective", "current (effective)", in_ampere);
  add_column("voltage", "voltage", in_volt);
  add_column("power", "power", in_kW);
  add_column("relative density mean", "relative density, mean", in_density);
  add_column("stroke", "stroke", in_fine_mm);
  if (rows.empty()) return heading("Histories") + "They have no time in common.\n";
  return heading(fmt::format("Histories: where they differ most, {:.0f} s to {:.0f} s",
                             std::max(a.times.front(), b.times.front()),
                             std::min(a.times.back(), b.times.back()))) +
         table_head("at") + rows;
}

std::string fields(const StoredResults& a, const StoredResults& b) {
  std::string text = heading("Temperature fields");
  if (!same_cells(a.cells, b.cells)) {
    const std::size_t n = a.cells.part.size(), m = b.cells.part.size();
    return text +
           (n == m ? fmt::format("The grids differ in the places of their {} cells", n)
                   : fmt::format("The grids differ ({} cells in A, {} in B)", n, m)) +
           ": not compared cell by cell.\n";
  }
  const auto largest = largest_field_difference(a, b);
  if (!largest) return text + "The grids are the same, but the fields have no output time in common.\n";
  const LargestDifference& at = largest->at;
  const std::string times = largest->outputs == 1
                                ? fmt::format("the one common output time, {:.0f} s", largest->at.time_s)
                                : fmt::format("{} common output times", largest->outputs);
  const std::string difference = difference_text(at.a, at.b, in_kelvin);
  if (difference == "same") return text + fmt::format("The same to the last bit at {}.\n", times);
  if (difference == "~0") return text + fmt::format("The same but for rounding at {}.\n", times);
  return text + sentence(fmt::format("Of {}, B differs most from A at {:.1f} s: by {} K in {} (r {:.1f} mm, "
                                     "z {:.1f} mm), {:.1f} degC against {:.1f} degC.",
                                     times, at.time_s, difference, largest->part, 1e3 * largest->r_m,
                                     1e3 * largest->z_m, cases::in_celsius(at.b), cases::in_celsius(at.a)));
}

// --- warnings

/// A warning without its numbers: the same doubt is raised by both runs with numbers of their own.
std::string without_numbers(const std::string& warning) {
  std::string text;
  for (const char c : warning) {
    const bool digit = (c >= '0' && c <= '9') || (c == '.' && !text.empty() && text.back() == '#');
    if (!digit)
      text += c;
    else if (text.empty() || text.back() != '#')
      text += '#';
  }
  return text;
}

std::string only_in(const std::string& name, const StoredSummary& one, const StoredSummary& other) {
  std::string text;
  for (const std::string& warning : one.warnings)
    if (std::none_of(other.warnings.begin(), other.warnings.end(),
                     [&](const std::string& w) { return without_numbers(w) == without_numbers(warning); }))
      text += "- " + wrapped(fmt::format("{}: {}", name, warning), width, 2) + "\n";
  return text;
}

std::string warnings(const StoredSummary& a, const StoredSummary& b) {
  const std::string only = only_in("A", a, b) + only_in("B", b, a);
  if (!only.empty()) return heading("Warnings that one of them has") + only;
  const char* same = a.warnings.empty()         ? "None in either."
                     : a.warnings == b.warnings ? "The same in both."
                                                : "The same in both, with numbers of their own.";
  return heading("Warnings") + same + "\n";
}

}  // namespace

std::string comparison(const std::string& name_a, const StoredResults& a, const std::string& name_b,
                       const StoredResults& b) {
  const auto legend = [](const char* letter, const std::string& name, const StoredSummary& s) {
    return fmt::format("{}  {}{}\n", letter, name, s.title.empty() ? "" : "   (" + s.title + ")");
  };
  std::string text = legend("A", name_a, a.summary) + legend("B", name_b, b.summary) + "\n";
  if (a.fingerprint == b.fingerprint) {
    const std::string ended =
        a.summary.status == "completed" ? "" : "; neither run completed: " + how_it_ended(a.summary);
    return text +
           sentence("The results are the same to the last bit (summary.json and results.h5)" + ended + ".");
  }
  const std::vector<Pair> pairs = pairs_of(a.summary.holds, b.summary.holds);
  text += ends(a.summary, b.summary) + cases_in_words(a, b);
  std::string answers;
  for (const auto& [x, y] : pairs)
    if (x && y) answers += hold_in_words(*x, *y);
  if (!answers.empty()) text += "\n" + answers;
  return text + holds(a.summary, b.summary, pairs) + whole_run(a.summary, b.summary) + histories(a, b) +
         fields(a, b) + warnings(a.summary, b.summary);
}

}  // namespace joulepress::tools
