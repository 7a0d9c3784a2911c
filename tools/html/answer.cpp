#include <fmt/format.h>

#include <cmath>

#include "cases/calibrate.hpp"
#include "solver/summary.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"
#include "tools/screen/clock.hpp"
#include "tools/screen/powder_given.hpp"

namespace joulepress::tools::html {
namespace {

double entry_of(const Matter& m, const StoredHold& hold) {
  return solver::first_entry_K(m.problem.initial_temperature, hold.set_K, hold.sample_mean_K, hold.set_K);
}

bool enters(const Matter& m, const StoredHold& hold) {
  return m.tracked() && std::isfinite(hold.offset_mean_K) && std::abs(hold.offset_mean_K) >= solver::as_hot_K;
}

std::string offset_words(const Matter& m, const StoredHold& hold) {
  const double offset = hold.offset_mean_K;
  if (std::abs(offset) < solver::as_hot_K)
    return m.say(m.furnace() ? "the powder is as hot as the furnace reads"
                             : "the powder is as hot as the sensor reads");
  const char* words = m.furnace()  ? (offset > 0 ? "the powder is {} K hotter than the furnace reads"
                                                 : "the powder is {} K colder than the furnace reads")
                      : offset > 0 ? "the powder is {} K hotter than the sensor reads"
                                   : "the powder is {} K colder than the sensor reads";
  return m.say(words, m.say.number(std::abs(offset)));
}

/// The answer in one sentence.
std::string sentence(const Matter& m, const StoredHold& hold) {
  if (enters(m, hold))
    return m.say("Enter {} instead of {}: {}.", m.say.celsius(entry_of(m, hold)), m.say.celsius(hold.set_K),
                 offset_words(m, hold));
  if (std::isfinite(hold.offset_mean_K)) return m.say("In “{}” {}.", hold.name, offset_words(m, hold));
  if (std::isfinite(hold.sample_mean_K))
    return m.say("In “{}” the powder has {}.", hold.name, m.say.celsius(hold.sample_mean_K));
  return m.say("In “{}” the hottest tool has at most {}.", hold.name,
               m.say.celsius(m.results.summary.tool_max_K));
}

std::string without_hold(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  if (std::isfinite(s.powder_max_K))
    return m.say("The powder came to {} at most, at {} s; there was no hold.", m.say.celsius(s.powder_max_K),
                 m.say.number(s.powder_max_s));
  return m.say("The tooling came to {} at most, at {} s; there was no hold.", m.say.celsius(s.tool_max_K),
               m.say.number(s.tool_max_s));
}

/// A row of the table, unless no hold has the value.
template <class F>
void add(const Matter& m, Table& table, const std::string& what, F&& value) {
  std::vector<std::string> row{what};
  bool any = false;
  for (const StoredHold& hold : m.results.summary.holds) {
    const std::string text = value(hold);
    row.push_back(text.empty() ? "–" : text);
    any = any || !text.empty();
  }
  if (any) table.rows.push_back(std::move(row));
}

Table answer_table(const Matter& m) {
  Table table{"answer-table", m.say("Means over the settled half of the hold"), {""}, {}};
  for (const StoredHold& hold : m.results.summary.holds)
    table.columns.push_back(
        m.say("“{}”, {} s to {} s", hold.name, m.say.number(hold.start_s), m.say.number(hold.end_s)));
  const auto degrees = [&](double kelvin) {
    return std::isfinite(kelvin) ? m.say.celsius(kelvin) : std::string();
  };
  const auto difference = [&](double kelvin) {
    return std::isfinite(kelvin) ? m.say.signed_number(kelvin, 1) + " K" : std::string();
  };
  const auto amount = [&](double value, int decimals, const char* unit) {
    return std::isfinite(value) ? m.say.number(value, decimals) + " " + unit : std::string();
  };
  if (m.tracked()) {
    table.first_counts = true;
    add(m, table, m.say("enter"),
        [&](const StoredHold& h) { return enters(m, h) ? m.say.celsius(entry_of(m, h)) : degrees(h.set_K); });
    add(m, table, m.say("wanted in the powder"), [&](const StoredHold& h) { return degrees(h.set_K); });
  }
  add(m, table,
      m.say(m.furnace() ? "as programmed now, the furnace reads" : "as programmed now, the sensor reads"),
      [&](const StoredHold& h) { return degrees(h.sensor_K); });
  add(m, table, m.say("powder, mean"), [&](const StoredHold& h) { return degrees(h.sample_mean_K); });
  add(m, table, m.say("powder, coldest"), [&](const StoredHold& h) { return degrees(h.sample_min_K); });
  add(m, table, m.say("powder, hottest"), [&](const StoredHold& h) { return degrees(h.sample_max_K); });
  add(m, table, m.say("offset, powder mean minus reading"),
      [&](const StoredHold& h) { return difference(h.offset_mean_K); });
  add(m, table, m.say("offset at the start of the hold"),
      [&](const StoredHold& h) { return difference(h.offset_start_K); });
  add(m, table, m.say("relative density at the end"),
      [&](const StoredHold& h) { return amount(100.0 * h.relative_density_end_mean, 1, "%"); });
  if (!m.furnace()) {
    add(m, table, m.say("current (effective)"),
        [&](const StoredHold& h) { return amount(h.current_A, 0, "A"); });
    add(m, table, m.say("power"), [&](const StoredHold& h) { return amount(1e-3 * h.power_W, 2, "kW"); });
  }
  return table;
}

std::vector<PowderGiven> given_by(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  std::vector<PowderGiven> holds;
  for (const StoredHold& hold : s.holds)
    holds.push_back(
        {hold.set_K, hold.sample_mean_K, hold.sample_min_K, hold.sample_max_K, hold.end_s - hold.start_s});
  std::vector<Closing> bodies;
  for (const StoredDensification& body : s.densification) {
    const auto reached = body.reached_s.find(given_density);
    bodies.push_back({body.start_density, !body.held_reason.empty(),
                      reached == body.reached_s.end() ? not_there : reached->second});
  }
  if (const std::vector<double>* means = m.results.column("powder mean"))
    add_to_hottest(holds, m.results.times, *means, dense_time(bodies));
  return holds;
}

/// What the programme gives the powder as it stands, hold by hold.
std::string given_words(const Matter& m) {
  if (!m.tracked()) return {};
  const std::vector<PowderGiven> given = given_by(m);
  std::string text;
  for (std::size_t k = 0; k < given.size(); ++k) {
    const PowderGiven& g = given[k];
    if (!std::isfinite(g.mean_K) || !std::isfinite(g.asked_K)) continue;
    const char* gives =
        m.furnace()
            ? "In “{}” the programme as it stands gives the powder {} in the mean ({} to {}) for {}, where "
              "{} is asked for of the furnace."
        : m.problem.drive.controller ? "In “{}” the programme as it stands, followed by the press's own "
                                       "controller, gives the powder {} "
                                       "in the mean ({} to {}) for {}, where {} is asked for at the sensor."
                                     : "In “{}” the programme as it stands, followed exactly, gives the "
                                       "powder {} in the mean ({} to {}) "
                                       "for {}, where {} is asked for at the sensor.";
    std::string said =
        m.say(gives, m.results.summary.holds[k].name, m.say.celsius(g.mean_K), m.say.celsius(g.coldest_K),
              m.say.celsius(g.hottest_K), clock_words(g.length_s), m.say.celsius(g.asked_K));
    if (std::isfinite(g.above_s))
      said += " " + (std::isfinite(g.dense_s)
                         ? m.say("It is above {} for {} in all and reaches {} % density at {}.",
                                 m.say.celsius(g.level_K), clock_words(g.above_s),
                                 m.say.number(100.0 * given_density), clock_words(g.dense_s))
                         : m.say("It is above {} for {} in all.", m.say.celsius(g.level_K),
                                 clock_words(g.above_s)));
    text += paragraph(said);
  }
  return text;
}

/// What a factor of 3 in the weakest input, or what a calibration has left of it, does to the answer; scaled
/// in series.
std::string how_sure(const Matter& m) {
  if (m.c.sleeves.empty() || !(m.c.contacts.heat_lateral > 0.0) || m.results.summary.holds.empty()) return {};
  const StoredHold& hold = m.results.summary.holds.back();
  const double term = hold.parts ? hold.parts->lateral_contact_K : 0.0;
  if (std::abs(term) < solver::as_hot_K || !m.problem.fits.empty()) return {};
  if (const auto factor = cases::factor_left(m.c, "contacts.lateral.thermal"))
    return paragraph(m.say(
        "How sure: the lateral contact between column and die is known to a factor of {}, by the "
        "calibration. Its own part of the offset, {} K, would be about {} K with so much more of it and "
        "up to {} K with so much less (scaled in series, an estimate).",
        m.say.number(*factor, 2), m.say.number(term), m.say.number(term / *factor),
        m.say.number(*factor * term)));
  return paragraph(
      m.say("How sure: the lateral contact between column and die is the weakest input, known to a factor of "
            "3. Its own part of "
            "the offset, {} K, would be about {} K with three times the conductance and up to {} K with a "
            "third of it "
            "(scaled in series, an estimate).",
            m.say.number(term), m.say.number(term / 3.0), m.say.number(3.0 * term)));
}

/// FAILED, or whatever else ended the run before its programme did.
std::string alarm(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  if (s.status == "completed") return {};
  const char* head = s.status == "failed"        ? "FAILED"
                     : s.status == "interrupted" ? "INTERRUPTED"
                                                 : "STOPPED EARLY";
  return fmt::format(
      "<div class=\"alarm\" role=\"alert\">\n<p><strong>{}</strong> <span "
      "lang=\"en\">{}</span></p>\n{}</div>\n",
      svg::escaped(m.say(head)), svg::escaped(s.reason),
      paragraph(m.say("It ended at {} s. What there is of it follows.", m.say.number(s.end_s, 1))));
}

}  // namespace

std::string answer_section(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  std::string text = alarm(m);
  const std::string tools_hold = strength_sentence(m).empty() ? "" : paragraph(strength_sentence(m));
  if (s.holds.empty())
    return section("answer", m.say("The answer"), text + paragraph(without_hold(m)) + tools_hold);
  for (const StoredHold& hold : s.holds) text += paragraph(sentence(m, hold));
  text += table(answer_table(m)) + csv_button("table:answer-table", m.say("this table as CSV")) +
          given_words(m) + tools_hold;
  bool any = false;
  for (const StoredHold& hold : s.holds) any = any || enters(m, hold);
  if (any)
    text +=
        paragraph(m.say("The value to enter is a first estimate, as if powder and reading rose in proportion "
                        "from {}; run the case again with it "
                        "before it is typed in.",
                        m.say.celsius(m.problem.initial_temperature)));
  return section("answer", m.say("The answer"), text + how_sure(m));
}

}  // namespace joulepress::tools::html
