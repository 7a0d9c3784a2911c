// What check, the report and the page of a run say of a calibration, on a small run of a calibrated case.
#include <doctest/doctest.h>

#include <filesystem>
#include <string>

#include "cases/build_problem.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tests/support/folder.hpp"
#include "tools/html/page.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/stack_table.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;

const fs::path keys = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "all_keys";

/// Words with single blanks between them.
std::string flat(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const char word = c == '\n' ? ' ' : c;
    if (word != ' ' || (!out.empty() && out.back() != ' ')) out += word;
  }
  return out;
}

int count(const std::string& text, const std::string& part) {
  int n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

}  // namespace

TEST_CASE("calibrated words: check says on what, what was taken, and what was not") {
  const auto [c, p] = cases::load_case(keys / "case-calibrated.yaml");
  const std::string text = flat(tools::stack_table(c, p));
  CHECK(count(text, "calibrated on run-12.csv (began 2026-03-02 07:15), run-13.csv") == 1);
  CHECK(count(text, "thermal lateral contact, 30 % of its spread left: contacts.lateral.thermal") == 1);
  CHECK(count(text,
              "Of the calibration this case does not have, and did not take: sleeves[jacket].height.") == 1);
  CHECK(count(text, "reads 2.0 K too low") == 1);
  const auto [other, q] = cases::load_case(keys / ".." / ".." / "cases" / "alumina-20mm.yaml");
  const std::string plain = tools::stack_table(other, q);
  CHECK(count(plain, "calibrat") == 0);
  CHECK(count(plain, "K too ") == 0);
}

TEST_CASE("calibrated words: the report and the page say it once, and how well the contact is known now") {
  const test::Folder folder("calibrated-words");
  fs::copy_file(keys / "calibration.yaml", folder.path / "calibration.yaml");
  std::string text = tools::read_whole(keys / "case-calibrated.yaml");
  text += "numerics: {accuracy: 2 K}\nstrength: {judge: off}\n";
  const fs::path file = folder.write("case.yaml", text);
  const fs::path out = folder.path / "out";
  tools::RunTold told;
  tools::RunOptions options{file, out, true};
  REQUIRE(tools::run_case(options, &told) == tools::done);
  const auto c = cases::load_case(file).c;
  const solver::Summary summary = solver::summarise(told.result.frame, told.result.rows);
  tools::ReportHead head;
  head.lateral_heat_total = c.contacts.heat_lateral;
  head.calibrated_on = "run-12.csv (began 2026-03-02 07:15)";
  head.lateral_factor = 1.25;
  const std::string report = flat(tools::terminal_report(head, told.problem, told.result, summary));
  CHECK(count(report, "Calibrated on run-12.csv (began 2026-03-02 07:15).") == 1);
  CHECK(count(report, "1.9 kW/m2K in all, by the calibration known to a factor of 1.25.") == 1);
  CHECK(count(report, "factor of 3") == 0);
  CHECK(count(report, "what the instrument reads wrong +2.0 K") == 1);
  // The terms still sum to the offset.
  const solver::HoldSummary& hold = summary.holds.at(0);
  CHECK(hold.parts->instrument_K == 2.0);
  CHECK(hold.parts->sum() == doctest::Approx(*hold.offset_mean_K).epsilon(1e-9));
  CHECK(tools::read_whole(out / "summary.json").find("\"instrument\": 2.0") != std::string::npos);
  CHECK(tools::read_whole(out / "summary.json").find("did not take: sleeves[jacket].height.") !=
        std::string::npos);

  const std::string english = tools::read_whole(out / "report.html");
  CHECK(count(english, "Calibrated on run-12.csv (began 2026-03-02 07:15), run-13.csv.") == 1);
  CHECK(count(english, "is known to a factor of 1.25, by the calibration.") == 1);
  tools::write_report(out, tools::html::Language::german);
  const std::string german = tools::read_whole(out / "report.html");
  CHECK(count(german, "Kalibriert an run-12.csv (Beginn 2026-03-02 07:15), run-13.csv.") == 1);
  CHECK(count(german, "durch die Kalibrierung auf einen Faktor 1,25 bekannt.") == 1);
  CHECK(count(german, "weakest input") == 0);
}
