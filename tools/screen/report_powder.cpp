#include "tools/screen/report_powder.hpp"

#include <algorithm>
#include <cmath>

#include "tools/screen/report_lines.hpp"

namespace joulepress::tools {
namespace {

constexpr double unseen_drift = 0.5;    // K; no operator acts on less
constexpr double unseen_share = 0.001;  // of the current

/// "98.3 %", and not 100.0 % while pores are left.
std::string percent(double density) {
  if (density >= 1.0 - 1.5 * solver::dense_porosity) return "100 %";
  return density > 0.9995 ? fmt::format("{:.3f} %", 100.0 * std::min(density, 0.99999))
                          : fmt::format("{:.1f} %", 100.0 * density);
}

std::string held_reason(const ReportHead& head, std::size_t body) {
  return body < head.held.size() ? head.held[body] : std::string();
}

std::string when(const std::string& what, const std::optional<solver::Reached>& reached,
                 const std::string& sensor) {
  if (!reached) return line(what, "   not in this run");
  std::string text =
      fmt::format("{:>7.0f} s    powder {:.0f} degC", reached->time_s, cases::in_celsius(reached->powder_K));
  if (reached->sensor_K)
    text += fmt::format(", {} {:.0f} degC", sensor, cases::in_celsius(*reached->sensor_K));
  return line(what, text);
}

std::string densified(const solver::BodyDensification& body, const std::string& sensor) {
  std::string text = line("at the start, mean", fmt::format("{:>9}", percent(body.start)));
  text += line("at the end, mean", fmt::format("{:>9}", percent(body.end)));
  text += line("at the end, lowest / highest",
               fmt::format("{:>9} / {}", percent(body.end_min), percent(body.end_max)));
  text += line("by height, loosest / densest layer",
               fmt::format("{:>9} / {}", percent(body.end_layer_min), percent(body.end_layer_max)));
  for (std::size_t k = 0; k < body.reached.size(); ++k) {
    if (body.start >= solver::reported_densities[k]) continue;
    text +=
        when(fmt::format("mean of {:.0f} %", 100.0 * solver::reported_densities[k]), body.reached[k], sensor);
    if (!body.reached[k]) return text;  // nor any higher
  }
  return text + when("without pores (below 1e-6)", body.dense, sensor);
}

std::string held(const solver::BodyDensification& body, const std::string& reason) {
  return paragraph(
      fmt::format("\"{}\" keeps a density of {} through the run: {}.", body.name, percent(body.end), reason));
}

/// What the columns would do without the common punches.
std::string radial(double at_end, double largest) {
  const auto points = [](double bound) { return fmt::format("{:.2g} %", 100.0 * bound); };
  const std::string between =
      at_end < 1e-5 ? "none are left at the end" : "between 0 and " + points(at_end) + " at the end";
  return paragraph(fmt::format(
      "Radial density differences are not predicted; {}, between 0 and {} on the way (the upper bound: as "
      "if every column closed by itself).",
      between, points(largest)));
}

std::string shares(const solver::Summary& summary) {
  const solver::Densification& all = summary.densification;
  if (!all.largest_share) return {};
  if (*all.largest_share < unseen_share)
    return paragraph("Never more than 0.1 % of the current passes the powder.");
  std::string rows;
  for (const solver::ShareAtDensity& at : all.shares)
    rows += line(fmt::format("  at {:.0f} %, {:.0f} s", 100.0 * at.density, at.time_s),
                 fmt::format("{:>7.1f} %", 100.0 * at.share));
  for (const solver::HoldSummary& hold : summary.holds)
    if (hold.current_share_powder && hold.powder)
      rows += line(fmt::format("  in \"{}\", at {}", hold.name, percent(hold.powder->density_mean)),
                   fmt::format("{:>7.1f} %", 100.0 * *hold.current_share_powder));
  return "\n  current share against density (in the powder at mid-height)\n" + rows;
}

std::string moved_in(const solver::Densification& all) {
  if (!all.moved_in) return {};
  const solver::CurrentMovedIn& at = *all.moved_in;
  return paragraph(fmt::format(
      "The current moved into the powder at {:.0f} s: there its share rose through half of its largest "
      "value ({:.1f} %, from {:.2g} % at the least), at a density of {} and a powder mean of {:.0f} degC.",
      at.time_s, 100.0 * at.largest, 100.0 * at.least, percent(at.density), cases::in_celsius(at.powder_K)));
}

/// The part that did most of a change, by its sign.
const solver::OffsetTerm& largest_part(const solver::OffsetDrift& drift) {
  const double sign = drift.to_K >= drift.from_K ? 1.0 : -1.0;
  return *std::max_element(solver::offset_terms.begin(), solver::offset_terms.end(),
                           [&](const solver::OffsetTerm& a, const solver::OffsetTerm& b) {
                             return sign * drift.change.*a.value < sign * drift.change.*b.value;
                           });
}

std::string stroke_row(const std::string& when, const solver::Stroke& s) {
  const auto mm = [](double value) {
    const std::string text = fmt::format("{:.3f}", cases::in_mm(value));
    return text == "-0.000" ? std::string("0.000") : text;
  };
  return fmt::format("  {:<34} {:>9}{:>9}{:>9}{:>9}{:>9}{:>9}\n", when, mm(s.total()), mm(s.densification),
                     mm(s.elastic), mm(s.frame), mm(s.growth), mm(s.foil));
}

}  // namespace

std::string held_lines(const ReportHead& head, const solver::Summary& summary) {
  std::string text;
  const auto& bodies = summary.densification.bodies;
  for (std::size_t k = 0; k < bodies.size(); ++k)
    if (!held_reason(head, k).empty())
      text += paragraph(fmt::format("\"{}\" keeps a density of {} through the run; why: under \"Density\".",
                                    bodies[k].name, percent(bodies[k].end)));
  return text;
}

std::string density_section(const ReportHead& head, const solver::RunResult& result,
                            const solver::Summary& summary) {
  const solver::Densification& all = summary.densification;
  if (all.bodies.empty()) return {};
  const int control = result.frame.control_sensor;
  const std::string sensor =
      control >= 0 ? result.frame.sensor_names[static_cast<std::size_t>(control)] : std::string();
  std::string text = heading("Density"), closing;
  double bound = 0.0, largest = 0.0;
  for (std::size_t k = 0; k < all.bodies.size(); ++k) {
    const solver::BodyDensification& body = all.bodies[k];
    if (const std::string reason = held_reason(head, k); !reason.empty()) {
      text += held(body, reason);
      continue;
    }
    closing += all.bodies.size() > 1 ? body.name + "\n" : std::string();
    closing += densified(body, sensor);
    bound = std::max(bound, body.end_spread_bound);
    largest = std::max(largest, body.largest_spread_bound);
  }
  text += closing;
  if (closing.empty()) return text + moved_in(all);
  text += radial(bound, largest) + shares(summary) + moved_in(all);
  if (all.late)
    text += paragraph(drift_sentence(fmt::format("From 90 % density ({:.0f} s) to the end of \"{}\"",
                                                 all.late->from_s, summary.holds.back().name),
                                     *all.late));
  return text;
}

std::string stroke_section(const solver::Problem& problem, const solver::RunResult& result,
                           const solver::Summary& summary) {
  if (summary.densification.bodies.empty()) return {};
  std::string text = heading("Stroke since the start, mm, positive as the punches come together");
  text += fmt::format("  {:<34} {:>9}{:>9}{:>9}{:>9}{:>9}{:>9}\n", "", "total", "powder", "elastic", "frame",
                      "growth", "foil");
  for (const solver::HoldSummary& hold : summary.holds)
    text += stroke_row(fmt::format("end of \"{}\"", hold.name), hold.last.stroke);
  text += stroke_row("end of the run", summary.end.stroke);
  std::string note = "Growth: heat makes the column longer, which counts against the powder.";
  if (problem.frame_compliance == 0.0) note += " Frame: the press file does not say how far it gives.";
  if (result.ledger.press != 0.0)
    note += fmt::format(" Work of the punches on the powder: {:.3g} J.", result.ledger.press);
  return text + paragraph(note);
}

std::string drift_sentence(const std::string& where, const solver::OffsetDrift& drift) {
  if (std::abs(drift.to_K - drift.from_K) < unseen_drift)
    return fmt::format("{} the offset stays at {:+.0f} K (first to last within {:.1f} K).", where, drift.to_K,
                       unseen_drift);
  const solver::OffsetTerm& most = largest_part(drift);
  return fmt::format("{} the offset went from {:+.1f} K to {:+.1f} K, chiefly in {} ({:+.1f} K).", where,
                     drift.from_K, drift.to_K, most.words, drift.change.*most.value);
}

}  // namespace joulepress::tools
