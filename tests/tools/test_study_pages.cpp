// The pages of `vary` and `bound`: what they say of studies of every kind, and that texts are never markup.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <limits>
#include <regex>

#include "tests/support/folder.hpp"
#include "tests/support/svg.hpp"
#include "tests/support/text.hpp"
#include "tools/html/bound_page.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/study_words.hpp"
#include "tools/html/variant_panels.hpp"
#include "tools/html/vary_page.hpp"
#include "tools/html/word_list.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using namespace joulepress::test;
namespace html = joulepress::tools::html;
using tools::Outcome;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
const html::Words english(html::Language::english), german(html::Language::german);
const std::string hostile = "<script>alert(1)</script> & \"<b>x</b>\"";

tools::Finished ended(Outcome outcome, const std::string& reason = "") {
  return {outcome, reason, {}};
}

/// Walls from 30 to 60 mm at one or two rates; at most 2 kW.
tools::VaryStudy small_study(bool two_settings) {
  tools::VaryStudy study;
  study.title = "die walls";
  study.case_title = "a case";
  study.version = "0.0.0";
  study.measures = {*tools::measure_of("offset at sinter"), *tools::measure_of("power"),
                    *tools::measure_of("hottest tool")};
  tools::Bound bound;
  bound.measure = *tools::measure_of("power");
  bound.at_most = 2000.0;
  study.bounds = {bound};
  study.settings.push_back({"sleeves[die].outer diameter", {}, {}, "mm"});
  if (two_settings) study.settings.push_back({"programme.temperature[0].rate", {}, {}, "K/min"});
  for (int wall = 0; wall < 4; ++wall)
    for (int rate = 0; rate < (two_settings ? 2 : 1); ++rate) {
      const double d = 30.0 + 10.0 * wall, r = 50.0 + 50.0 * rate;
      study.settings[0].numbers.push_back(d);
      study.settings[0].written.push_back(fmt::format("{} mm", d));
      if (two_settings) {
        study.settings[1].numbers.push_back(r);
        study.settings[1].written.push_back(fmt::format("{} K/min", r));
      }
      tools::VariedMember member;
      member.id = fmt::format("{:04}", study.members.size() + 1);
      member.label = fmt::format("{} mm", d) + (two_settings ? fmt::format(", {} K/min", r) : "");
      member.finished = ended(Outcome::completed);
      member.values = {10.0 + wall + 5.0 * rate, 1000.0 + 400.0 * wall, 1500.25};
      if (member.values[1] > 2000.0) member.misses = {"power 2.20 kW, at most 2.00 kW"};
      study.members.push_back(member);
    }
  return study;
}

tools::VaryStudy study_of_words() {
  tools::VaryStudy study = small_study(false);
  study.settings = {{"member", {"thin", "thick", hostile, "broken"}, {}, {}}};
  for (std::size_t k = 0; k < 4; ++k) study.members[k].label = study.settings[0].written[k];
  study.members[3].finished = ended(Outcome::refused, "The wall <i>ends</i>\n inside the bore.");
  study.members[3].values.assign(3, nothing);
  study.members[3].misses.clear();
  return study;
}

tools::BoundedValue bounded(const char* name, double value) {
  tools::BoundedValue b;
  b.measure = *tools::measure_of(name);
  b.value = value;
  b.numerical = inverse::GridConvergence{};
  b.numerical->half_width = 0.37;
  b.numerical->observed_order = 1.87;
  b.quantiles = {{0.025, value - 20.0, value - 27.0, value - 16.0},
                 {0.5, value + 2.0, value + 0.5, value + 3.5},
                 {0.975, value + 30.0, value + 24.0, value + 41.0}};
  return b;
}

inverse::Index index_of(double first, double low, double high, double total) {
  inverse::Index index;
  index.first = first;
  index.total = total;
  index.first_interval = {low, high};
  index.total_interval = {low, high};
  return index;
}

tools::BoundStudy small_bound() {
  tools::BoundStudy study;
  study.title = "nickel in a die";
  study.version = "0.0.0";
  study.request.samples = 64;
  study.request.seed = 7;
  study.samples_used = 62;
  study.inputs = {{"lateral contact, thermal", "factor 3", "common practice, no source", {}},
                  {"graphite resistivity", "25 %", "", {}},
                  {"depth of the couple", "0.5 mm", "common practice, no source", {}}};
  tools::BoundedHold hold;
  hold.name = "sinter";
  hold.values = {bounded("offset", 94.6), bounded("powder mean", 1367.75)};
  hold.ranking = {{0, index_of(0.61, 0.52, 0.70, 0.66), 0.58, -11.2},
                  {1, index_of(0.22, 0.15, 0.28, 0.25), nothing, 6.4},
                  {2, index_of(0.07, 0.03, 0.11, 0.08), 0.06, 0.02}};
  hold.q2 = 0.93;
  hold.linear_r2 = 0.9;
  hold.linear_q2 = 0.84;
  hold.choices = {{"walls see each other", "walls see the chamber only", 3.1, ""},
                  {"the stem carries heat", "the stem carries none", {}, "it did not come to an end"}};
  study.holds = {hold};
  study.left_out = {{"sample-0007", "the powder melts"}, {"sample-0031", "the powder melts"}};
  study.not_included = {"cracks", "the lot of the graphite"};
  study.complete = true;
  return study;
}

/// What every page has to be: whole by itself, and safe.
void check_page(const std::string& page) {
  std::smatch policy;
  REQUIRE(std::regex_search(page, policy, std::regex("script-src([^;]*); style-src '([^']*)'")));
  const std::size_t script = page.find("<script>") + 8;
  CHECK(count(page, "<script>") == 1);  // no charts, no maps
  CHECK(policy[1] ==
        " '" + html::policy_hash(page.substr(script, page.find("</script>", script) - script)) + "'");
  const std::size_t body = page.find("<body>");
  const std::string shown = page.substr(body, page.find("<script", body) - body);
  CHECK(!holds(shown, " style="));
  CHECK(!holds(shown, "src="));
  CHECK(!holds(shown, "href="));
  CHECK(!holds(shown, "url("));
  CHECK(!holds(shown, "nan"));
  // Names of elements that sections and buttons point to are there once.
  std::vector<std::string> ids;
  const std::regex id(" id=\"([^\"]*)\"");
  for (std::sregex_iterator k(page.begin(), page.end(), id), end; k != end; ++k) ids.push_back((*k)[1]);
  for (const std::string& one : ids) CHECK_MESSAGE(std::count(ids.begin(), ids.end(), one) == 1, one);
  const std::regex button("data-csv=\"table:([^\"]*)\"");
  for (std::sregex_iterator k(page.begin(), page.end(), button), end; k != end; ++k)
    CHECK(std::count(ids.begin(), ids.end(), (*k)[1].str()) == 1);
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

}  // namespace

TEST_CASE("vary page: the sentence, the table in shown units, a picture a measure") {
  const std::string page = html::vary_page(small_study(false), english);
  check_page(page);
  // 1000, 1400, 1800, 2200 W against 2000 W at most.
  CHECK(holds(page,
              "Good: 3 of 4 variants. Among these “30 mm” has the lowest value of offset at sinter (10.0 K), "
              "“50 mm” the highest (12.0 K)."));
  const auto rows = cells_of(page, "variants");
  REQUIRE(rows.size() == 5);
  CHECK(rows[0] == std::vector<std::string>{"variant", "outer diameter [mm]", "offset at sinter [K]",
                                            "power [kW]", "hottest tool [°C]", "good", "why not"});
  CHECK(rows[1] == std::vector<std::string>{"0001", "30", "10.0", "1.00", "1227.1", "yes", ""});
  CHECK(rows[4] == std::vector<std::string>{"0004", "60", "13.0", "2.20", "1227.1", "no", "power"});
  CHECK(count(page, "<figure>") == 3);
  CHECK(count(page, "class=\"panel-key\"") == 0);
  CHECK(holds(page, ">at most 2.00 kW<"));
  CHECK(holds(page, "<p>Required: power at most 2.00 kW.</p>"));
  CHECK(!holds(page, "id=\"ended\""));
  // What is required but not looked at has its own words.
  tools::VaryStudy other = small_study(false);
  other.measures[1] = *tools::measure_of("voltage");
  CHECK(cells_of(html::vary_page(other, english), "variants")[4].back() == "power 2.20 kW, at most 2.00 kW");
  CHECK(holds(page, "id=\"cautions\""));
}

TEST_CASE("vary page: over the first number, a line a combination of the others") {
  const tools::VaryStudy study = small_study(true);
  const html::VariantPanels panels = html::variant_panels(study, english);
  REQUIRE(panels.svgs.size() == 3);
  const std::vector<std::string> marks = tags(panels.svgs[0], "circle", "class=\"variant");
  REQUIRE(marks.size() == 8);
  // The first line: 50 K/min, offsets 10 to 13; the second 15 to 18.
  std::vector<double> offsets, walls;
  for (int k = 0; k < 8; ++k) {
    offsets.push_back((k < 4 ? 10.0 : 15.0) + k % 4);
    walls.push_back(30.0 + 10.0 * (k % 4));
  }
  check_straight(offsets, attributes(marks, "cy"));
  check_straight(walls, attributes(marks, "cx"));
  CHECK(holds(panels.key, ">rate 50 K/min<"));
  CHECK(holds(panels.key, ">rate 100 K/min<"));
  check_page(html::vary_page(study, english));
}

TEST_CASE("vary page: words, hostile ones, a refused variant with its reason") {
  tools::VaryStudy study = study_of_words();
  study.title = hostile;
  study.case_title = hostile;
  const std::string page = html::vary_page(study, english);
  check_page(page);
  CHECK(!holds(page, "<script>alert"));
  CHECK(!holds(page, "<b>x"));
  CHECK(!holds(page, "<i>ends"));
  CHECK(holds(page, "&lt;script&gt;alert(1)&lt;/script&gt;"));
  CHECK(holds(page, "0004 (broken): refused. <span lang=\"en\">The wall &lt;i&gt;ends"));
  CHECK(cells_of(page, "variants")[4] ==
        std::vector<std::string>{"0004", "broken", "–", "–", "–", "refused"});
  for (const std::string& svg : html::variant_panels(study, english).svgs)
    CHECK(tags(svg, "circle", "class=\"variant").size() == 3);
}

TEST_CASE("vary page: nothing has ended, nothing is required, too much to draw") {
  tools::VaryStudy study = small_study(false);
  study.bounds.clear();
  for (tools::VariedMember& member : study.members) {
    member.finished.reset();
    member.values.assign(3, nothing);
    member.misses.clear();
  }
  std::string page = html::vary_page(study, english);
  check_page(page);
  CHECK(holds(page, "Run to the end: 0 of 4 variants; the plan requires nothing of them.</p>"));
  CHECK(holds(page, "No variant has a number to show."));
  CHECK(holds(page, "<li>0001 (30 mm), 0002 (40 mm), 0003 (50 mm), 0004 (60 mm): not run yet</li>"));

  tools::VaryStudy words = study_of_words();
  words.members.resize(3);
  while (words.members.size() < 61) {
    words.members.push_back(words.members[0]);
    words.settings[0].written.push_back("more");
  }
  CHECK(html::variant_panels(words, english).svgs.empty());

  // Seventeen rates are one too many to tell apart.
  tools::VaryStudy many = small_study(true);
  const tools::VariedMember member = many.members[0];
  many.members.clear();
  for (tools::Setting& setting : many.settings) setting.written.clear(), setting.numbers.clear();
  for (int k = 0; k < 17; ++k)
    for (const double d : {30.0, 40.0}) {
      many.members.push_back(member);
      many.settings[0].numbers.push_back(d);
      many.settings[0].written.push_back(fmt::format("{} mm", d));
      many.settings[1].numbers.push_back(k + 1.0);
      many.settings[1].written.push_back(fmt::format("{} K/min", k + 1));
    }
  const html::VariantPanels panels = html::variant_panels(many, english);
  CHECK(panels.key.empty());
  CHECK(tags(panels.svgs[0], "polyline", "series-alike").size() == 17);
}

TEST_CASE("bound page: the numbers of every hold, causes, choices, what is left out") {
  const std::string page = html::bound_page(small_bound(), english);
  check_page(page);
  for (const std::string& sentence : tools::bound_sentences(small_bound()))
    CHECK(holds(page, "lang=\"en\">" + tools::svg::escaped(sentence) + "</p>"));
  const auto values = cells_of(page, "values-0");
  REQUIRE(values.size() == 3);
  CHECK(values[1] == std::vector<std::string>{"offset [K]", "94.6", "74.6 (67.6\u00a0…\u00a078.6)", "96.6",
                                              "124.6 (118.6\u00a0…\u00a0135.6)", "0.37", "1.9", "1.25"});
  // 1367.75 K are 1094.6 degC; a width has no zero of its own.
  CHECK(values[2][1] == "1094.6");
  CHECK(values[2][5] == "0.37");
  const auto causes = cells_of(page, "causes-table-0");
  REQUIRE(causes.size() == 4);
  CHECK(causes[1] == std::vector<std::string>{"lateral contact, thermal", "factor 3", "61",
                                              "52\u00a0…\u00a070", "66", "58", "−11.2",
                                              "common practice, no source"});
  CHECK(causes[2] == std::vector<std::string>{"graphite resistivity", "25 %", "22", "15\u00a0…\u00a028", "25",
                                              "–", "+6.4", "with the property, in its material file"});
  CHECK(causes[3][2] == "7.0");
  CHECK(causes[3][6] == "0.0");
  CHECK(holds(page, "explains 93 % of the variance of runs it has not seen"));
  CHECK(holds(page, "A straight one explains 90 % of those it has (adjusted R²) and 84 % of others (Q²)."));
  CHECK(!holds(page, "is a hint"));
  const auto choices = cells_of(page, "choices-table-0");
  CHECK(choices[1][2] == "+3.1 K");
  CHECK(choices[2] == std::vector<std::string>{"the stem carries heat", "the stem carries none", "–",
                                               "it did not come to an end"});
  CHECK(holds(page, "62 of 64 samples came to their end and count; seed 7."));
  CHECK(holds(page, "sample-0031: the powder melts"));
  CHECK(holds(page, "the lot of the graphite"));
  CHECK(cells_of(page, "inputs").size() == 4);
  CHECK(count(page, "<svg") == 2);
  CHECK(tags(page, "rect", "bar-cause").size() == 3);
}

TEST_CASE("bound page: no causes, no range, no hold, two holds, hostile names") {
  tools::BoundStudy study = small_bound();
  study.holds[0].ranking.clear();
  study.holds[0].values[0].quantiles.clear();
  study.holds[0].values[0].numerical.reset();
  study.holds[0].choices.clear();
  study.problems = {"3 samples came to their end; quantiles need at least 8."};
  std::string page = html::bound_page(study, english);
  check_page(page);
  CHECK(holds(page, "There are too few samples to tell causes."));
  CHECK(cells_of(page, "values-0")[1] ==
        std::vector<std::string>{"offset [K]", "94.6", "–", "–", "–", "–", "–", "–"});
  CHECK(holds(page, "quantiles need at least 8."));

  study = small_bound();
  study.holds[0].q2 = -0.2;
  study.holds[0].linear_r2.reset();
  page = html::bound_page(study, english);
  CHECK(holds(page, "explains nothing of runs it has not seen (Q²). Below 80 %"));
  CHECK(holds(page, "For a straight one there are too few samples."));

  study.holds.clear();
  study.inputs.clear();
  page = html::bound_page(study, english);
  check_page(page);
  CHECK(holds(page, "Nothing in the case is uncertain."));
  CHECK(holds(page, "There is no offset"));
  CHECK(!holds(page, "<svg"));

  study = small_bound();
  study.title = study.holds[0].name = study.inputs[0].name = study.inputs[1].source =
      study.left_out[0].reason = study.holds[0].choices[0].other = hostile;
  study.holds.push_back(study.holds[0]);
  page = html::bound_page(study, english);
  check_page(page);
  CHECK(!holds(page, "<script>alert"));
  CHECK(!holds(page, "<b>x"));
  CHECK(count(page, "<svg") == 4);
}

TEST_CASE("study pages: German has every word, and marks what is not") {
  for (const auto& page :
       {html::vary_page(small_study(false), german), html::vary_page(small_study(true), german),
        html::vary_page(study_of_words(), german), html::bound_page(small_bound(), german)}) {
    check_page(page);
    CHECK(holds(page, "<html lang=\"de\">"));
    CHECK(holds(page, "Die Antwort"));
  }
  const std::string varied = html::vary_page(small_study(false), german);
  CHECK(holds(varied,
              "Gut: 3 von 4 Varianten. Unter diesen hat „30 mm“ den kleinsten Wert von Versatz in „sinter“ "
              "(10,0 K), „50 mm“ den größten (12,0 K)."));
  CHECK(cells_of(varied, "variants")[4].back() == "Leistung");
  tools::VaryStudy other = small_study(false);
  other.measures[1] = *tools::measure_of("voltage");
  CHECK(holds(html::vary_page(other, german), "<td lang=\"en\">power 2.20 kW, at most 2.00 kW</td>"));
  CHECK(cells_of(varied, "variants")[1][3] == "1,00");
  CHECK(holds(html::bound_page(small_bound(), german),
              "<th scope=\"row\" lang=\"en\">lateral contact, thermal</th>"));
  // Every measure with a name, every outcome; no English that two parts of the table translate.
  for (const tools::Measure& measure : tools::named_measures()) CHECK_NOTHROW(german.text(measure.name));
  for (const Outcome outcome : {Outcome::completed, Outcome::stopped, Outcome::failed, Outcome::refused})
    CHECK_NOTHROW(german.text(tools::outcome_name(outcome)));
  for (const html::WordEntry& of_study : html::words_of_studies())
    for (const html::WordEntry& of_run : html::words_of_run())
      CHECK_MESSAGE(of_study.english != of_run.english, std::string(of_run.english));
}

TEST_CASE("study pages: report on the folder of a study says what to ask for") {
  const Folder folder("study");
  folder.write("bound.json", "{}");
  CHECK(tools::report_results({folder.path}) == tools::bad_input);
  CHECK(!std::filesystem::exists(folder.path / "report.html"));
}
