// Several results in one table.
#include <doctest/doctest.h>

#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "tools/screen/results_table.hpp"

using namespace joulepress;

namespace {

std::string flat(const std::string& line) {
  std::istringstream words(line);
  std::string packed;
  for (std::string word; words >> word;) packed += (packed.empty() ? "" : " ") + word;
  return packed;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

/// How many lines have these words, whatever the spaces between them.
int count_lines(const std::string& text, const std::string& words) {
  int count = 0;
  for (const std::string& line : lines_of(text)) count += flat(line) == words;
  return count;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

void check_form(const std::string& text) {
  for (const std::string& line : lines_of(text)) {
    INFO(line);
    CHECK(line.size() <= 100);
    CHECK((line.empty() || line.back() != ' '));
  }
}

/// Results as files would hold them: one hold at 1200 degC that takes the given power.
tools::NamedResults named(const std::string& folder, double power_W, const std::string& sleeves) {
  tools::NamedResults one{folder, {}};
  tools::StoredSummary& s = one.results.summary;
  s.status = "completed";
  s.version = "9.9";
  s.title = "disc in " + folder;
  s.energy_balance_relative = s.charge_balance_relative = 1e-12;
  s.electric_J = 600 * power_W;
  s.tool_max_K = 1600;
  s.tool_part = "punch";
  one.results.case_text = "title: " + folder + "\nsleeves:\n  - {name: die, height: 30 mm}\n" + sleeves;
  one.results.fingerprint = folder;
  tools::StoredHold hold;
  hold.name = "dwell";
  hold.sensor_K = 1473.15;
  hold.sample_mean_K = 1473.15 + 0.05 * power_W;
  hold.offset_mean_K = 0.05 * power_W;
  hold.sample_min_K = hold.sample_mean_K - 10;
  hold.sample_max_K = hold.sample_mean_K + 15;
  hold.current_A = 1000;
  hold.voltage_V = power_W / 1000;
  hold.power_W = power_W;
  s.holds = {hold};
  return one;
}

std::vector<tools::NamedResults> three() {
  const std::string jacket =
      "  - {name: jacket, material: carbon felt, inner diameter: 36 mm, height: 30 mm}\n";
  return {named("out/bare", 2400, ""), named("out/felt/", 1600, jacket),
          named("out/all", 1200, jacket + "  - {name: cap, material: carbon felt, stands on: die}\n")};
}

}  // namespace

TEST_CASE(
    "results table: a column each, headed by the folder's last part; what differs, holds, run, ranges") {
  const std::string text = tools::results_table(three());
  check_form(text);
  CHECK(count_lines(text, "bare disc in out/bare") == 1);
  CHECK(count_lines(text, "bare felt all") == 3);  // over each of the three sections
  CHECK(count_lines(text, "sleeves[jacket] - there there") == 1);
  CHECK(count_lines(text, "sleeves[cap] - - there") == 1);
  CHECK_FALSE(holds(text, "  title"));
  CHECK(count_lines(text, "reading 1200.0 1200.0 1200.0 degC") == 1);
  CHECK(count_lines(text, "powder, mean 1320.0 1280.0 1260.0 degC") == 1);
  CHECK(count_lines(text, "offset, powder mean - reading 120.0 80.0 60.0 K") == 1);
  CHECK(count_lines(text, "powder, hottest - coldest 25.0 25.0 25.0 K") == 1);
  CHECK(count_lines(text, "power 2.40 1.60 1.20 kW") == 1);
  CHECK(count_lines(text, "electric energy 1440.0 960.0 720.0 kJ") == 1);
  CHECK(count_lines(text, "status completed completed completed") == 1);
  CHECK(count_lines(text, "power: 1.20 kW (all) to 2.40 kW (bare), 2.00 times") == 1);
  CHECK(count_lines(text, "offset, powder mean - reading: 60.0 K (all) to 120.0 K (bare), +60.0 K") == 1);
  CHECK_FALSE(holds(text, "current (effective):"));  // the same in all
  CHECK_FALSE(holds(text, "density at the end"));    // known in none
  CHECK_FALSE(holds(text, "NOT CLOSED"));
}

TEST_CASE("results table: what only the first has is there in no other") {
  std::vector<tools::NamedResults> all = three();
  std::swap(all[0], all[2]);
  const std::string text = tools::results_table(all);
  CHECK(count_lines(text, "sleeves[jacket] there there -") == 1);
  CHECK(count_lines(text, "sleeves[cap] there - -") == 1);
}

TEST_CASE("results table: values of a changed key stand in its row, long ones and long keys keep the width") {
  std::vector<tools::NamedResults> all = three();
  for (std::size_t k = 0; k < all.size(); ++k)
    all[k].results.case_text =
        "contacts: {lateral: {thermal: " + std::to_string(1000 * (k + 1)) + " W/m2K}}\n";
  CHECK(count_lines(tools::results_table(all), "contacts.lateral.thermal 1 kW/m2K 2 kW/m2K 3 kW/m2K") == 1);
  all[1].results.case_text = all[0].results.case_text;
  CHECK(count_lines(tools::results_table(all), "contacts.lateral.thermal 1 kW/m2K 1 kW/m2K 3 kW/m2K") == 1);
  const std::string key = "a key that is rather longer than its place in the table";
  for (std::size_t k = 0; k < all.size(); ++k)
    all[k].results.case_text = key + ": a value of some length, ending in " + std::to_string(k) + "\n";
  const std::string text = tools::results_table(all);
  check_form(text);
  CHECK(count_lines(text, key) == 1);
  CHECK(holds(text, "..ding in 2"));
  all[1].results.case_text = all[2].results.case_text = all[0].results.case_text;
  CHECK(holds(tools::results_table(all), "What differs") == false);
}

TEST_CASE("results table: what does not fit side by side follows below, with the same rows") {
  std::vector<tools::NamedResults> all;
  for (int k = 1; k <= 7; ++k) all.push_back(named("study/run-" + std::to_string(k), 1000 + 100 * k, ""));
  std::string text = tools::results_table(all);
  check_form(text);
  CHECK(count_lines(text, "run-1 run-2 run-3 run-4 run-5") == 2);
  CHECK(count_lines(text, "run-6 run-7") == 2);
  CHECK(count_lines(text, "power 1.10 1.20 1.30 1.40 1.50 kW") == 1);
  CHECK(count_lines(text, "power 1.60 1.70 kW") == 1);
  CHECK(count_lines(text, "power: 1.10 kW (run-1) to 1.70 kW (run-7), 1.55 times") == 1);

  for (tools::NamedResults& one : all) one.folder = one.folder + "-of-a-very-long-name-indeed/result";
  text = tools::results_table(all);  // the last parts are alike, so that more of the folders is shown
  check_form(text);
  CHECK(holds(text, "name-indeed/result"));
}

TEST_CASE("results table: holds that not all have, runs that failed, balances that do not close") {
  std::vector<tools::NamedResults> all = three();
  all[2].results.summary.holds[0].name = "sinter";
  all[1].results.summary.status = "failed";
  all[1].results.summary.reason = "at t = 12 s: \"powder\" melts";
  all[0].results.summary.energy_balance_relative = std::nan("");
  all[2].results.fingerprint = all[0].results.fingerprint;
  const std::string text = tools::results_table(all);
  check_form(text);
  CHECK_FALSE(holds(text, "Hold \"dwell\""));
  CHECK(holds(text, "Not every run has a hold of the name \"dwell\", \"sinter\".\n"));
  CHECK(count_lines(text, "status completed failed completed") == 1);
  CHECK(holds(text, "felt did not complete: at t = 12 s: \"powder\" melts.\n"));
  CHECK(holds(text, "A balance of bare is NOT CLOSED"));
  CHECK(holds(text, "bare and all are the same to the last bit.\n"));
}
