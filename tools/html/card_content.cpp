#include "tools/html/card_content.hpp"

#include <algorithm>
#include <cmath>

#include "tools/html/sections.hpp"
#include "tools/screen/clock.hpp"

namespace joulepress::tools::html {
namespace {

constexpr std::size_t most_checks = 10;  ///< rows of the panel that find room on the sheet; own choice

std::string counted(std::size_t index) {
  return fmt::format("{}", index + 1);
}

// What the card is for
// ---------------------------------------------------------------------------------------

struct MeantWords {
  const char *head, *sentence;
};

MeantWords meant_words(MeantFor meant) {
  switch (meant) {
    case MeantFor::mean:
      return {"powder mean", "the mean of the powder"};
    case MeantFor::centre:
      return {"powder centre", "the centre of the powder"};
    case MeantFor::coldest:
      return {"coldest in the powder", "the coldest place of the powder"};
    case MeantFor::hottest:
      return {"hottest in the powder", "the hottest place of the powder"};
  }
  return {};
}

std::string wish_words(const CorrectStudy& study, const Words& say) {
  const std::string_view of = say.text(meant_words(study.meant).sentence);
  if (study.density)
    return say("Wished: a relative density of {} % at the end of the last hold.",
               percent_dense(*study.density, say));
  if (!study.like.empty()) return say("Wished: the powder history of “{}” for {}.", harmless(study.like), of);
  return say("Wished: the temperatures of the case for {}.", of);
}

std::string press_words(const CorrectStudy& study, const Words& say) {
  const std::string press = harmless(study.press), sensor = harmless(study.control);
  if (by_furnace(study))
    return press.empty() ? say("In a furnace, by its own reading.")
                         : say("Furnace: {}, by its own reading.", press);
  return press.empty() ? say("Control sensor: {}.", sensor)
                       : say("Press: {}. Control sensor: {}.", press, sensor);
}

std::vector<CardSentence> facts(const CorrectStudy& study, const Words& say) {
  std::vector<CardSentence> said{{press_words(study, say) + " " + wish_words(study, say)}};
  if (study.by_controller) {
    said.push_back({say("In the verifying run the press's own controller followed the programme.")});
  } else {
    said.push_back({say("In the verifying run the programme was followed exactly, not by a controller.")});
    if (!study.why_exact.empty()) said.push_back({harmless(study.why_exact), true});
  }
  return said;
}

// The programme
// ----------------------------------------------------------------------------------------------

/// The hold whose time a line of the programme has at least half of; null: none.
const HoldMet* hold_of(const CorrectStudy& study, const EnteredStep& step) {
  for (const HoldMet& hold : study.holds) {
    const double both =
        std::min(hold.end_s, step.start_s + step.length_s) - std::max(hold.start_s, step.start_s);
    if (both > 0.0 && both >= 0.5 * step.length_s) return &hold;
  }
  return nullptr;
}

std::string step_words(const EnteredStep& step, const Words& say) {
  switch (step.kind) {
    case EnteredStep::Kind::ramp:
      return say("ramp");
    case EnteredStep::Kind::hold:
      return step.name.empty() ? say("hold") : say("hold “{}”", harmless(step.name));
    case EnteredStep::Kind::cool:
      return say("free cooling");
  }
  return {};
}

std::string between(double low_K, double high_K, const Words& say) {
  return number_or_dash(low_K - 273.15, 0, say) + "\u00a0…\u00a0" + number_or_dash(high_K - 273.15, 0, say);
}

std::vector<std::string> step_row(const CorrectStudy& study, std::size_t k, const Words& say) {
  const EnteredStep& step = study.programme[k];
  const bool ramp = step.kind == EnteredStep::Kind::ramp;
  std::vector<std::string> row{counted(k), step_words(step, say),
                               step.kind == EnteredStep::Kind::cool ? "–" : entered_celsius(step.to_K, say),
                               entered_time(step.length_s, say.decimal_mark()),
                               ramp ? number_or_dash(60.0 * step.rate(), 1, say) : "–"};
  if (!study.completed) return row;
  const HoldMet* hold = step.kind == EnteredStep::Kind::hold ? hold_of(study, step) : nullptr;
  row.push_back(hold ? fmt::format("{} ({})", number_or_dash(hold->mean_K - 273.15, 0, say),
                                   between(hold->coldest_K, hold->hottest_K, say))
                     : "");
  return row;
}

CardSection programme_section(const CorrectStudy& study, const Words& say) {
  CardSection s{
      "enter", say(study.completed ? "Enter this programme" : "Tried and not verified: do NOT enter"), {}};
  if (study.programme.empty()) {
    s.below.push_back({say("There is no programme.")});
    return s;
  }
  CardTable table{
      "programme", {say("line"), say("step"), say("to °C"), say("time"), say("K/min")}, {}, {1}, 2};
  if (study.completed) table.columns.push_back(say("powder mean (coldest … hottest) °C"));
  for (std::size_t k = 0; k < study.programme.size(); ++k) table.rows.push_back(step_row(study, k, say));
  s.table = std::move(table);
  const EnteredStep &first = study.programme.front(), &last = study.programme.back();
  s.below.push_back(
      {say("It begins at a reading of {} °C and takes {} in all.", entered_celsius(first.from_K, say),
           entered_time(last.start_s + last.length_s, say.decimal_mark()))});
  const int lines = static_cast<int>(study.programme.size());
  if (study.most_steps > 0)
    s.below.back().text +=
        " " + say(lines <= study.most_steps ? "{} lines of the {} that the press takes."
                                            : "These are {} lines, and the press takes only {}.",
                  lines, study.most_steps);
  return s;
}

CardSection pressure_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"pressure", say("Pressure"), {}};
  if (study.pressure.empty()) return s;
  CardTable table{"pressure-table",
                  {say("line"), say("step"), say("starts at"), say("time"), say("to MPa"), say("gauge, kN")},
                  {},
                  {1},
                  2};
  for (std::size_t k = 0; k < study.pressure.size(); ++k) {
    const EnteredPressure& line = study.pressure[k];
    const char* step = line.to_Pa > line.from_Pa ? "rise" : line.to_Pa < line.from_Pa ? "release" : "hold";
    table.rows.push_back({counted(k), say(step), entered_time(line.start_s, say.decimal_mark()),
                          entered_time(line.length_s, say.decimal_mark()),
                          number_or_dash(1e-6 * line.to_Pa, 1, say),
                          number_or_dash(1e-3 * line.gauge_N, 2, say)});
  }
  s.table = std::move(table);
  s.below.push_back({say("After its last line the pressure stays. The force is what the gauge shows then.")});
  return s;
}

// What comes of it
// -------------------------------------------------------------------------------------------

CardSection gets_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"gets", say("What the powder gets"), {}};
  if (study.density)
    s.above.push_back({say("Density at the end of the last hold: {} %, wished {} %.",
                           percent_dense(study.density_end, say), percent_dense(*study.density, say))});
  const bool ranges = std::any_of(study.holds.begin(), study.holds.end(),
                                  [](const HoldMet& hold) { return hold.low_K && hold.high_K; });
  CardTable table{"holds",
                  {say("hold"), say("time"), say("wished °C"),
                   fmt::format("{} °C", say.text(meant_words(study.meant).head)), say("coldest … hottest °C"),
                   say(by_furnace(study) ? "furnace °C" : "reading °C"), say("density at the end %")},
                  {},
                  {0}};
  if (ranges) table.columns.push_back(say("mean, 95 % of samples °C"));
  for (const HoldMet& hold : study.holds) {
    table.rows.push_back({harmless(hold.name), entered_time(hold.end_s - hold.start_s, say.decimal_mark()),
                          entered_celsius(hold.wished_K, say), number_or_dash(hold.met_K - 273.15, 1, say),
                          between(hold.coldest_K, hold.hottest_K, say),
                          number_or_dash(hold.sensor_K - 273.15, 0, say),
                          percent_dense(hold.density_end, say)});
    if (ranges)
      table.rows.back().push_back(hold.low_K && hold.high_K ? between(*hold.low_K, *hold.high_K, say) : "–");
  }
  if (!table.rows.empty()) s.table = std::move(table);
  if (!study.density && std::isfinite(study.density_end) && !study.holds.empty())
    s.below.push_back({say("Means over the settled half of each hold; density at its end.")});
  if (!ranges) s.below.push_back({say("“joulepress bound CASE” tells how sure these numbers are.")});
  return s;
}

/// The checkpoints that are shown: the ends of lines, and of the others as many as there is room for, spread
/// evenly.
std::vector<const PanelCheck*> shown_checks(const CorrectStudy& study) {
  const auto ends = static_cast<std::size_t>(std::count_if(
      study.panel.begin(), study.panel.end(), [](const PanelCheck& check) { return check.step >= 0; }));
  const std::size_t others = study.panel.size() - ends,
                    room = std::min(others, most_checks > ends ? most_checks - ends : std::size_t{0});
  std::vector<const PanelCheck*> shown;
  std::size_t seen = 0;
  for (const PanelCheck& check : study.panel) {
    if (check.step < 0) {
      const std::size_t before = seen++ * room / others;
      if (seen * room / others == before) continue;
    }
    shown.push_back(&check);
  }
  return shown;
}

/// "Strom effektiv [A]": what the program names is translated, sensors keep their names.
std::string panel_head(const std::string& column, const Words& say) {
  std::string name = harmless(column);
  const std::size_t unit = name.rfind(" [");
  if (unit == std::string::npos) return name;
  const bool degrees = name.compare(unit, std::string::npos, " [degC]") == 0;
  const std::string what = name.substr(0, unit);
  const auto known = degrees && what != "programme" ? std::nullopt : say.known(what);
  return std::string(known ? *known : std::string_view(what)) + (degrees ? " [°C]" : name.substr(unit));
}

std::string panel_cell(const std::string& shown, const Words& say) {
  std::string text = harmless(shown);
  std::replace(text.begin(), text.end(), '.', say.decimal_mark());
  return text.empty() ? "–" : text;
}

CardSection panel_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"panel", say("Compare on the panel"), {}};
  if (study.panel.empty()) return s;
  std::vector<std::size_t> columns;
  for (std::size_t c = 0; c < study.panel_columns.size(); ++c)
    if (!study.panel_columns[c].starts_with("time")) columns.push_back(c);
  CardTable table{"panel-table", {say("time"), say("end of line")}, {}, {}, 2};
  for (const std::size_t c : columns) table.columns.push_back(panel_head(study.panel_columns[c], say));
  table.columns.push_back(say("powder mean [°C]"));
  for (const PanelCheck* check : shown_checks(study)) {
    std::vector<std::string> row{clock_time(check->time_s),
                                 check->step < 0 ? "" : counted(static_cast<std::size_t>(check->step))};
    for (const std::size_t c : columns)
      row.push_back(c < check->shown.size() ? panel_cell(check->shown[c], say) : "–");
    row.push_back(number_or_dash(check->powder.mean_K - 273.15, 0, say));
    table.rows.push_back(std::move(row));
  }
  s.table = std::move(table);
  s.below.push_back(
      {say("Where the panel shows something else, the stack is not as the case has it, and what "
           "the powder has is not known.")});
  return s;
}

CardSection near_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"near", say("How near it comes"), near_sentences(study, say)};
  if (is_missed(study)) return s;  // its reasons stand with the alarm
  std::vector<CardSentence> bound = binding_sentences(study, say);
  if (bound.empty()) bound.push_back({say("No limit of the press was met.")});
  s.above.insert(s.above.end(), bound.begin(), bound.end());
  return s;
}

CardSection stop_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"stops", say("Stop when"), {}};
  s.list = stop_sentences(study, say);
  if (s.list.empty()) return s;
  if (!by_furnace(study) && study.current_A > 0.0)
    s.below.push_back({say("The verifying run has at most {} A, {} V and {} kW (effective).",
                           number_or_dash(study.current_A, 0, say), number_or_dash(study.voltage_V, 2, say),
                           number_or_dash(1e-3 * study.power_W, 2, say))});
  s.below.push_back({say(
      "Currents and voltages are the model's largest plus a quarter, as the meters show them; the "
      "reading is 50 K above the programme (own choice). They do not replace the press's own interlocks.")});
  return s;
}

CardSection warning_section(const CorrectStudy& study, const Words& say) {
  CardSection s{"warnings", say("Warnings"), {}};
  for (const std::string& warning : study.warnings) {
    const auto known = say.known(warning);
    s.list.push_back({harmless(known ? *known : std::string_view(warning)), !known});
  }
  return s;
}

CardSection caution_section(const Words& say) {
  CardSection s{"cautions", say("Cautions"), {}};
  for (const std::string& caution : caution_sentences(say)) s.list.push_back({caution});
  return s;
}

void raise_alarm(const CorrectStudy& study, const Words& say, CardContent& content) {
  if (!study.completed) {
    content.alarm = say("FAILED: not verified");
    content.alarm_reasons.push_back(
        {say("The verifying run did not come to its end. Nothing here is to be "
             "entered.")});
    if (!study.reason.empty()) content.alarm_reasons.push_back({harmless(study.reason), true});
    return;
  }
  if (!is_missed(study)) return;
  content.alarm = say("WISH NOT MET");
  content.alarm_reasons.push_back({say("No programme that was found meets the wish.")});
  for (CardSentence& sentence : missed_sentences(study, say))
    content.alarm_reasons.push_back(std::move(sentence));
  std::vector<CardSentence> bound = binding_sentences(study, say);
  if (bound.empty()) bound.push_back({say("No limit of the press was met: the search came no nearer.")});
  content.alarm_reasons.insert(content.alarm_reasons.end(), bound.begin(), bound.end());
}

}  // namespace

CardContent card_content(const CorrectStudy& study, const Words& say) {
  CardContent content;
  content.title = study.title.empty() ? say("a case") : harmless(study.title);
  content.below = fmt::format("joulepress {} · {}", harmless(study.version), say("card for the press"));
  raise_alarm(study, say, content);
  content.facts = facts(study, say);
  std::vector<CardSection> sections{programme_section(study, say)};
  if (study.completed) {
    sections.push_back(pressure_section(study, say));
    sections.push_back(gets_section(study, say));
    sections.push_back(panel_section(study, say));
    sections.push_back(near_section(study, say));
    sections.push_back(stop_section(study, say));
  } else {
    std::vector<CardSentence> bound = binding_sentences(study, say);
    sections.push_back({"near", say("What bound it"), std::move(bound)});
  }
  sections.push_back(warning_section(study, say));
  sections.push_back(caution_section(say));
  for (CardSection& section : sections)
    if (!section.empty()) content.sections.push_back(std::move(section));
  content.foot.push_back({say("Found by {} runs of the model. SHA-256 of the case: {}.", study.runs,
                              harmless(study.case_sha256))});
  return content;
}

}  // namespace joulepress::tools::html
