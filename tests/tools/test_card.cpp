// The card beside the press: what it says of studies of every kind, made up here, that text and page tell the
// same numbers, and that texts of a case are never markup and control no terminal.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <regex>
#include <sstream>

#include "tests/support/card_studies.hpp"
#include "tools/html/card.hpp"
#include "tools/html/card_content.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/word_list.hpp"

using namespace joulepress;
using namespace joulepress::test;
namespace html = joulepress::tools::html;
using tools::CorrectStudy;
using tools::EnteredStep;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN(), zero = 273.15;
const html::Words english(html::Language::english), german(html::Language::german);
bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
  return n;
}

/// A text with every stretch of white space as one blank.
std::string unbroken(const std::string& text) {
  std::istringstream words(text);
  std::string out, word;
  while (words >> word) out += (out.empty() ? "" : " ") + word;
  return out;
}

/// Whole by itself, and safe.
void check_page(const std::string& page) {
  CHECK(count(page, "<script>") == 1);
  const std::size_t body = page.find("<body>");
  const std::string shown = page.substr(body, page.find("<script", body) - body);
  for (const char* part : {" style=", "src=", "href=", "url(", "nan", "inf"})
    CHECK_MESSAGE(!holds(shown, part), std::string(part));
  std::vector<std::string> ids;
  const std::regex id(" id=\"([^\"]*)\"");
  for (std::sregex_iterator k(shown.begin(), shown.end(), id), end; k != end; ++k) ids.push_back((*k)[1]);
  CHECK(!ids.empty());
  for (const std::string& one : ids) CHECK_MESSAGE(std::count(ids.begin(), ids.end(), one) == 1, one);
}

/// No wider than promised, and nothing in it that moves the cursor.
void check_text(const std::string& text) {
  std::istringstream lines(text);
  std::string line;
  std::size_t n = 0;
  while (std::getline(lines, line)) {
    ++n;
    CHECK_MESSAGE(std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xc0) != 0x80; }) <= 78,
                  line);
    CHECK_MESSAGE(std::none_of(line.begin(), line.end(),
                               [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }),
                  line);
    CHECK((line.empty() || line.back() != ' '));
  }
  CHECK(n > 10);
  for (const char* part : {"\xc2\x9b", "\xe2\x80\xae", "\xff", "nan", "inf"})
    CHECK_MESSAGE(!holds(text, part), std::string(part));
}

/// The texts of the cells of a table, by rows, heads first.
std::vector<std::vector<std::string>> cells_of(const std::string& page, const std::string& id) {
  const std::size_t from = page.find("<table id=\"" + id + "\"");
  REQUIRE(from != std::string::npos);
  const std::string table = page.substr(from, page.find("</table>", from) - from);
  std::vector<std::vector<std::string>> rows;
  const std::regex row("<tr>(.*?)</tr>"), cell("<t[hd][^>]*>(.*?)</t[hd]>");
  for (std::sregex_iterator r(table.begin(), table.end(), row), end; r != end; ++r) {
    const std::string line = (*r)[1];
    rows.emplace_back();
    for (std::sregex_iterator c(line.begin(), line.end(), cell); c != end; ++c)
      rows.back().push_back((*c)[1]);
  }
  return rows;
}

/// Seconds of "1:02:05", "12:30" or "1:30,5".
double seconds_of(std::string clock) {
  std::replace(clock.begin(), clock.end(), ',', '.');
  double seconds = 0.0;
  std::istringstream parts(clock);
  std::string part;
  while (std::getline(parts, part, ':')) seconds = 60.0 * seconds + std::stod(part);
  return seconds;
}

double number_of(std::string shown) {
  std::replace(shown.begin(), shown.end(), ',', '.');
  if (shown.rfind("−", 0) == 0) shown.replace(0, std::string("−").size(), "-");
  return std::stod(shown);
}

/// The lines of the programme in the text, by their numbers: cells are two blanks apart at least.
std::vector<std::vector<std::string>> lines_in_text(const std::string& text, const std::string& heading) {
  std::istringstream lines(text.substr(text.find(heading)));
  std::vector<std::vector<std::string>> rows;
  std::string line;
  int next = 1;
  while (std::getline(lines, line)) {
    static const std::regex apart(" {2,}");
    std::vector<std::string> cells;
    for (std::sregex_token_iterator k(line.begin(), line.end(), apart, -1), end; k != end; ++k)
      if (k->length() > 0) cells.push_back(*k);
    if (!cells.empty() && cells[0] == std::to_string(next)) {
      rows.push_back(cells);
      ++next;
    }
    if (next > 1 && cells.size() == 1 && cells[0].size() > 10) break;  // the sentence below the table
  }
  return rows;
}

}  // namespace

TEST_CASE("card: every kind of study, in both languages, is a safe page and a text of 78 columns") {
  for (const CorrectStudy& study : all_kinds())
    for (const html::Words* say : {&english, &german}) {
      check_page(html::card_page(study, *say));
      check_text(html::card_text(study, *say));
    }
}

TEST_CASE("card: the programme comes first, and its numbers are those of the study, on page and text") {
  const CorrectStudy study = made_up_card();
  for (const html::Words* say : {&english, &german}) {
    const std::string page = html::card_page(study, *say), text = html::card_text(study, *say);
    const auto cells = cells_of(page, "programme");
    const auto lines = lines_in_text(text, say->language() == html::Language::german ? "eingeben" : "Enter");
    REQUIRE(cells.size() == study.programme.size() + 1);
    REQUIRE(lines.size() == study.programme.size());
    for (std::size_t k = 0; k < study.programme.size(); ++k) {
      const EnteredStep& s = study.programme[k];
      for (const std::vector<std::string>& row : {cells[k + 1], lines[k]}) {
        REQUIRE(row.size() >= 5);
        CHECK(row[0] == std::to_string(k + 1));
        CHECK(std::abs(seconds_of(row[3]) - s.length_s) < 0.051);
        if (s.kind == EnteredStep::Kind::cool) {
          CHECK(row[2] == "–");
        } else {
          CHECK(std::abs(number_of(row[2]) + zero - s.to_K) < 0.051);
        }
        if (s.kind == EnteredStep::Kind::ramp) {
          CHECK(std::abs(number_of(row[4]) - 60.0 * s.rate()) < 0.051);
        } else {
          CHECK(row[4] == "–");
        }
      }
    }
    CHECK(cells[1][5].empty());
    CHECK(cells[2][5] == "899 (882\u00a0…\u00a0921)");
    CHECK(cells[4][5] == "1101 (1084\u00a0…\u00a01123)");
    CHECK(lines[3][5] == "1101 (1084 … 1123)");
    const auto pressure = cells_of(page, "pressure-table");
    const auto pressed_lines =
        lines_in_text(text, say->language() == html::Language::german ? "\nDruck\n" : "\nPressure\n");
    REQUIRE(pressure.size() == study.pressure.size() + 1);
    REQUIRE(pressed_lines.size() == study.pressure.size());
    for (std::size_t k = 0; k < study.pressure.size(); ++k)
      for (const std::vector<std::string>& row : {pressure[k + 1], pressed_lines[k]}) {
        CHECK(std::abs(seconds_of(row[2]) - study.pressure[k].start_s) < 0.051);
        CHECK(std::abs(seconds_of(row[3]) - study.pressure[k].length_s) < 0.051);
        CHECK(std::abs(1e6 * number_of(row[4]) - study.pressure[k].to_Pa) < 5.1e4);
        CHECK(std::abs(1e3 * number_of(row[5]) - study.pressure[k].gauge_N) < 5.1);
      }
    CHECK(page.find("<table id=\"programme\"") < page.find("<table id=\"pressure-table\""));
    CHECK(page.find("<table") == page.rfind("<table", page.find(" id=\"programme\"")));
  }
  const std::string page = html::card_page(study, english);
  CHECK(holds(
      page,
      "It begins at a reading of 25 °C and takes 1:16:21.5 in all. 5 lines of the 16 that the press takes."));
  CHECK(holds(page,
              "Press: workshop 25 kN. Control sensor: die thermocouple. Wished: the temperatures of the "
              "case for the mean of the powder."));
  CHECK(holds(page, "the press's own controller followed") == false);  // the apostrophe is escaped
  CHECK(holds(page, "In the verifying run the press&#39;s own controller followed the programme."));
}

TEST_CASE("card: holds, checkpoints, deviations, limits and stop values are those of the study") {
  const CorrectStudy study = made_up_card();
  const std::string page = html::card_page(study, english), text = unbroken(html::card_text(study, english));
  const auto gets = cells_of(page, "holds");
  REQUIRE(gets.size() == 3);
  CHECK(gets[1] ==
        std::vector<std::string>{"degas", "2:00", "900", "899.2", "882\u00a0…\u00a0921", "718", "97.3"});
  CHECK(gets[2] ==
        std::vector<std::string>{"sinter", "5:00", "1100", "1100.6", "1084\u00a0…\u00a01123", "718", "97.3"});
  CHECK(holds(page, "“joulepress bound CASE” tells how sure"));
  const auto panel = cells_of(page, "panel-table");
  REQUIRE(panel.size() == 5);
  CHECK(panel[0] == std::vector<std::string>{"time", "end of line", "programme [°C]", "die thermocouple [°C]",
                                             "current effective [A]", "voltage effective [V]", "power [kW]",
                                             "powder mean [°C]"});
  CHECK(panel[1] == std::vector<std::string>{"4:00", "", "378", "377", "1010", "2.50", "2.53", "466"});
  CHECK(panel[2] == std::vector<std::string>{"7:51", "1", "718", "716", "1490", "3.70", "5.51", "888"});
  CHECK(panel[4] == std::vector<std::string>{"1:16:22", "5", "–", "61", "0", "0.00", "0.00", "63"});
  for (const char* sentence :
       {"Over all that is wished the powder is 8.3 K (rms) from the wish, at most −31.4 K, at 5:12.",
        "In the ramp to 900 °C the powder stays up to 31 K behind the wish (at 5:12); at its end it is 12 K "
        "behind "
        "and 55 K uneven. With ramps twice as long (19 min more in all) it would be up to 14 K behind, then "
        "5 K "
        "behind and 30 K uneven.",
        "In the ramp to 1100 °C the powder runs up to 10 K ahead of the wish (at 10:40); at its end it is 1 "
        "K ahead "
        "and 61 K uneven. With those longer ramps it would be up to 4 K behind",
        "the current is above 1900 A before the sensor reads 600 °C (contact lost, or couple not seated)",
        "the voltage is above 5.16 V (", "the sensor reads above 1090 °C (", "the stroke is above 4.25 mm (",
        "The verifying run has at most 1520 A, 4.13 V and 5.66 kW (effective)."}) {
    CHECK_MESSAGE(holds(page, sentence), std::string(sentence));
    CHECK_MESSAGE(holds(text, sentence), std::string(sentence));
  }
  for (const char* sentence : {"From 3:10 to 4:05 the power was at the press's limit.",
                               "They do not replace the press's own interlocks.",
                               "press maker's limits, local codes", "Found by 14 runs of the model."})
    CHECK_MESSAGE(holds(text, sentence), std::string(sentence));
  for (const char* word : {"FAILED", "WISH NOT MET", "***", "NOT enter"}) {
    CHECK(!holds(page, word));
    CHECK(!holds(text, word));
  }
}

TEST_CASE("card: a falling ramp is behind where the powder is hotter, and every limit has its words") {
  const std::string text = unbroken(html::card_text(everything(), english));
  for (const char* sentence :
       {"In the ramp to 600 °C the powder stays up to 20 K behind the wish (at 25:00); at its end it is 4 K",
        "In the ramp to 500 °C the powder follows the wish; at its end it is 12 K uneven.",
        "With ramps 1.5 times as long (75 s more in all)", "From 3:10 to 4:05 the current was at",
        "From 1:03:10 to 1:04:05 the voltage was at",
        "From 2:03:10 to 2:04:05, from 5:03:10 to 5:04:05 the power was at",
        "From 3:03:10 to 3:04:05 the programme falls faster than the stack cools; the current is off.",
        "From 4:03:10 to 4:04:05 the programme has the fastest rate that the press takes.",
        "the current is above 1900 A (contact lost"})
    CHECK_MESSAGE(holds(text, sentence), std::string(sentence));
}

TEST_CASE(
    "card: of many checkpoints all ends of lines are shown and others evenly, in parts as wide as a line") {
  const std::string page = html::card_page(everything(), english);
  const auto panel = cells_of(page, "panel-table");
  REQUIRE(panel.size() == 11);
  std::vector<std::string> ends;
  for (std::size_t k = 1; k < panel.size(); ++k)
    if (!panel[k][1].empty()) ends.push_back(panel[k][1]);
  CHECK(ends == std::vector<std::string>{"1", "2", "3", "4"});
  for (std::size_t k = 2; k < panel.size(); ++k) {
    CHECK(seconds_of(panel[k][0]) - seconds_of(panel[k - 1][0]) >= 100.0);
    CHECK(seconds_of(panel[k][0]) - seconds_of(panel[k - 1][0]) <= 700.0);  // every sixth, and an end
  }
  // Each part of the text begins with the time.
  const std::string text = html::card_text(everything(), english);
  CHECK(count(text, panel[1][0] + "  ") >= 2);
}

TEST_CASE("card: for a density, for the history of another run, with a range") {
  std::string text = unbroken(html::card_text(for_density(), english));
  CHECK(holds(text, "Wished: a relative density of 97.5 % at the end of the last hold."));
  CHECK(holds(text, "Density at the end of the last hold: 97.3 %, wished 97.5 %."));
  CHECK(!holds(text, "(rms)"));
  CHECK(!holds(text, "WISH NOT MET"));
  CHECK(cells_of(html::card_page(for_density(), english), "holds")[1][2] == "–");
  CorrectStudy loose = for_density();
  loose.density_end = 0.9;
  text = unbroken(html::card_text(loose, english));
  CHECK(holds(text,
              "*** WISH NOT MET No programme that was found meets the wish. The density at the end is 90.0 % "
              "and not the 97.5 % wished."));

  const std::string page = html::card_page(transferred(), english);
  CHECK(holds(
      page, "Wished: the powder history of “the run on the old press” for the hottest place of the powder."));
  CHECK(holds(page,
              "In the verifying run the programme was followed exactly, not by a controller.</span> "
              "<span>The press file has no controller.</span>"));
  CHECK(holds(html::card_page(transferred(), german),
              "<span lang=\"en\">The press file has no controller.</span>"));
  const auto gets = cells_of(page, "holds");
  CHECK(gets[0].back() == "mean, 95 % of samples °C");
  CHECK(gets[1].back() == "875\u00a0…\u00a0930");
  CHECK(!holds(page, "joulepress bound CASE"));
}

TEST_CASE("card: a hold that is missed by more than 2 K is said first, with what bound it") {
  for (const std::string& shown :
       {html::card_page(missing(), english), html::card_text(missing(), english)}) {
    const std::string card = unbroken(shown);
    const std::size_t alarm = card.find("WISH NOT MET");
    REQUIRE(alarm != std::string::npos);
    CHECK(alarm < card.find("Enter this programme"));
    CHECK(holds(card, "In “sinter” the powder gets 1061 °C: 38.7 K less than the 1100 °C wished."));
    CHECK(!holds(card, "In “degas” the powder gets"));
    CHECK(count(card, "From 3:10 to 4:05 the power was at the press") == 1);
    CHECK(card.find("From 3:10 to 4:05") < card.find("Enter this programme"));
  }
  CorrectStudy study = made_up_card();
  study.binding.clear();
  study.holds[0].met_K = study.holds[0].wished_K + 2.1;
  CHECK(
      holds(unbroken(html::card_text(study, english)),
            "2.1 K more than the 900 °C wished. No limit of the press was met: the search came no nearer."));
  study.holds[0].met_K = study.holds[0].wished_K + 1.9;
  CHECK(!holds(html::card_text(study, english), "WISH NOT MET"));
  study.holds[0].met_K = nothing;
  CHECK(holds(unbroken(html::card_text(study, english)), "In “degas” it is not known what the powder gets"));
}

TEST_CASE("card: a run that failed is loud, and offers no programme") {
  for (const std::string& shown :
       {html::card_page(failing(), english), html::card_text(failing(), english)}) {
    const std::string card = unbroken(shown);
    const std::size_t alarm = card.find("FAILED: not verified");
    REQUIRE(alarm != std::string::npos);
    const std::size_t tried = card.find("Tried and not verified: do NOT enter");
    REQUIRE(tried != std::string::npos);
    CHECK(alarm < tried);
    CHECK(card.find("At 640 s the powder melts.") < tried);
    for (const char* part : {"Enter this programme", "What the powder gets", "Stop when",
                             "Compare on the panel", "Pressure", "WISH NOT MET", "1101"})
      CHECK_MESSAGE(!holds(card, part), std::string(part));
    CHECK(holds(card, "Carbon monoxide"));
  }
  CHECK(holds(html::card_page(failing(), english), "<div class=\"sheet card tried\">"));
  CHECK(holds(html::card_page(failing(), english), "role=\"alert\""));
}

TEST_CASE("card: texts of the case are never markup and control no terminal") {
  for (const CorrectStudy& study : {nasty(), nasty_failure()})
    for (const html::Words* say : {&english, &german}) {
      const std::string page = html::card_page(study, *say), text = html::card_text(study, *say);
      for (const char* part : {"<script>alert", "<b>x", "\x1b", "\x07", "\xc2\x9b", "\xe2\x80\xae", "\xff"})
        CHECK_MESSAGE(!holds(page, part), std::string(part));
      CHECK(holds(page, "&lt;script&gt;alert(1)&lt;/script&gt; &amp;"));
      CHECK(!holds(text, "\x1b"));
      CHECK(holds(text, "<script>alert(1)</script> & \"<b>x</b>\" [2J"));
    }
  CHECK(html::harmless("  a\t\x1b[1mb\n\n c\xc2\xa0"
                       "d\x7f ") == "a [1mb c d");
  CHECK(html::harmless("Müller, 5 µm … 漢") == "Müller, 5 µm … 漢");
}

TEST_CASE("card: without pressure, meters, press, ramps; in a furnace") {
  const std::string page = html::card_page(bare(), english), text = html::card_text(bare(), english);
  for (const char* id : {"pressure", "stops", "warnings"})
    CHECK_MESSAGE(!holds(page, fmt::format("id=\"{}\"", id)), std::string(id));
  CHECK(!holds(text, "Pressure"));
  CHECK(!holds(text, "Stop values"));
  CHECK(holds(unbroken(text), "Control sensor: die thermocouple."));
  CHECK(holds(text, "No limit of the press was met."));
  CHECK(cells_of(page, "panel-table")[1] == std::vector<std::string>{"4:00", "", "466"});
  CHECK(text.rfind("a case\n======\n", 0) == 0);

  const std::string furnace = unbroken(html::card_text(in_furnace(), english));
  CHECK(holds(furnace, "Furnace: workshop 25 kN, by its own reading."));
  CHECK(holds(furnace, "the furnace reads above 1090 °C"));
  for (const char* part : {"current", " A,", "kW", "Control sensor", "sensor reads"})
    CHECK_MESSAGE(!holds(furnace, part), std::string(part));
  CHECK(holds(unbroken(html::card_text(CorrectStudy{}, english)), "Nothing here is to be entered."));
}

TEST_CASE("card: German has every word, its comma, and marks what is not German") {
  const std::string page = html::card_page(made_up_card(), german);
  CHECK(holds(page, "<html lang=\"de\">"));
  CHECK(cells_of(page, "programme")[4][2] == "871,5");
  CHECK(cells_of(page, "programme")[3][3] == "1:30,5");
  const auto panel = cells_of(page, "panel-table");
  CHECK(panel[0] == std::vector<std::string>{"Zeit", "Ende der Zeile", "Programm [°C]",
                                             "die thermocouple [°C]", "Strom effektiv [A]",
                                             "Spannung effektiv [V]", "Leistung [kW]",
                                             "Pulver, Mittel [°C]"});
  CHECK(panel[1][5] == "2,50");
  CHECK(holds(page, "<li lang=\"en\">The contact is a made-up one.</li>"));
  CHECK(holds(page, "der Strom über 1900 A liegt, bevor der Sensor 600 °C anzeigt (Kontakt verloren"));
  // Every text of the card has its German, and no English stands in two parts of the table.
  for (const html::WordEntry& of_card : html::words_of_card()) {
    CHECK_MESSAGE(!of_card.german.empty(), std::string(of_card.english));
    CHECK_MESSAGE(count(std::string(of_card.english), "{}") == count(std::string(of_card.german), "{}"),
                  std::string(of_card.english));
    for (const auto& others : {html::words_of_run(), html::words_of_strength(), html::words_of_studies()})
      for (const html::WordEntry& other : others)
        CHECK_MESSAGE(of_card.english != other.english, std::string(of_card.english));
  }
  // No English word of the table is left in a German card.
  const std::string text = unbroken(html::card_text(everything(), german));
  for (const char* part :
       {"the ", "powder", "wish", "press's", "current", "voltage", "line", "ramp ", "hold ", "K behind"})
    CHECK_MESSAGE(!holds(text.substr(0, text.find("Warnungen")), part), std::string(part));
}
