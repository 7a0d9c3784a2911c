// What a press would log: rounding, noise, the columns by hand, the same bits twice, when it is refused.
#include "tools/store/log_csv.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using test::Folder;
using test::relative;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;
const fs::path rod = root / "cases" / "heated-rod.yaml";  // its press has no meters

/// The bench of the heated rod with meters.
std::string bench(const Folder& folder) {
  return folder
      .write("bench.yaml",
             "name: bench supply\nlimits: {current: 2 kA, voltage: 10 V}\n"
             "column ends: {temperature: 25 degC}\n"
             "meters: {current: effective, voltage: effective, every: 0.5 s, noise: 1 %, rounds current to: "
             "0.5 A}\n")
      .string();
}

tools::RunOptions options(const fs::path& case_file, const fs::path& folder, const fs::path& log,
                          const std::string& press = {}) {
  tools::RunOptions o{case_file, folder, true};
  o.log = log;
  o.press = press;
  return o;
}

std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> fields{""};
  for (const char c : line) {
    if (c == ',')
      fields.emplace_back();
    else
      fields.back() += c;
  }
  return fields;
}

/// Columns by their titles, as text; the tests have no commas in names.
std::map<std::string, std::vector<std::string>> table(const std::string& csv) {
  std::istringstream lines(csv);
  std::string line;
  std::getline(lines, line);
  const std::vector<std::string> titles = split(line);
  std::map<std::string, std::vector<std::string>> columns;
  while (std::getline(lines, line)) {
    const std::vector<std::string> fields = split(line);
    REQUIRE(fields.size() == titles.size());
    for (std::size_t k = 0; k < titles.size(); ++k) columns[titles[k]].push_back(fields[k]);
  }
  return columns;
}

double number(const std::string& text) {
  double value = std::nan("");
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

/// A press of two sensors, without noise.
struct Bench {
  cases::Case c;
  solver::Problem problem;
  Bench() {
    cases::Meters& m = c.press.meters.emplace();
    m.every = 2.0;
    m.temperature = 1.0;
    m.current = 5.0;
    m.voltage = 0.01;
    m.force = 100.0;
    m.stroke = 1e-5;
    problem.drive.kind = solver::DriveKind::tracking;
    problem.force = {{0.0, 0.0}};
    problem.sensors.resize(2);
    problem.sensors[0].name = "couple";
    problem.sensors[1].name = "pyrometer";
    problem.sensors[1].kind = solver::SensorKind::pyrometer;
    problem.sensors[1].optics.lower_limit = 623.15;
  }
  solver::HistoryRow row(double time = 0.0) const {
    solver::HistoryRow row;
    row.time_s = time;
    row.target = 1273.15;
    row.current_A = 1000.0;
    row.current_mean_A = 800.0;
    row.voltage_V = 5.0;
    row.voltage_mean_V = 4.0;
    row.taps_V = 4.5;
    row.power_W = 5000.0;
    row.sensors.resize(2);
    row.sensors[0].reading_K = 1272.4;
    row.sensors[1].reading_K = 623.15;
    row.sensors[1].in_sight = false;
    return row;
  }
  std::map<std::string, std::vector<std::string>> log(const std::vector<solver::HistoryRow>& rows) const {
    tools::Log log(c, problem);
    for (const solver::HistoryRow& row : rows) log.add(row);
    return table(log.csv());
  }
};

struct Moments {
  double mean = 0, deviation = 0;
};

Moments moments(const std::vector<double>& values) {
  Moments m;
  for (const double v : values) m.mean += v / static_cast<double>(values.size());
  for (const double v : values)
    m.deviation += (v - m.mean) * (v - m.mean) / static_cast<double>(values.size());
  m.deviation = std::sqrt(m.deviation);
  return m;
}

}  // namespace

TEST_CASE("log: halves are rounded away from zero, with the decimals of the last digit and no -0") {
  const auto text = [](double value, double digit) {
    return tools::digits_of(tools::rounded(value, digit), digit);
  };
  CHECK(text(1349.4, 1.0) == "1349");
  CHECK(text(0.5, 1.0) == "1");
  CHECK(text(2.5, 1.0) == "3");
  CHECK(text(-2.5, 1.0) == "-3");
  CHECK(text(1682.4, 5.0) == "1680");
  CHECK(text(1682.5, 5.0) == "1685");
  CHECK(text(4.3249, 0.01) == "4.32");
  CHECK(text(4.0, 0.01) == "4.00");
  CHECK(text(15.708, 0.1) == "15.7");
  CHECK(text(1.13, 0.25) == "1.25");
  CHECK(text(7.0, 2.5) == "7.5");
  CHECK(text(3.1, 10.0) == "0");
  CHECK(text(-0.004, 0.01) == "0.00");
  CHECK(text(-0.4, 1.0) == "0");
  CHECK(text(0.125, 0.02) == "0.12");
}

TEST_CASE("log: columns of a press with effective meters, by hand") {
  Bench bench;
  bench.c.press.gauge_area = 20e-4;
  solver::HistoryRow row = bench.row();
  row.force_N = 50e6 * std::numbers::pi / 4 * 0.02 * 0.02;  // 15.708 kN
  row.stroke.densification = 3.922e-3;
  row.stroke.growth = -0.951e-3;
  tools::Log log(bench.c, bench.problem);
  log.add(row);
  CHECK(log.csv() ==
        "time [s],programme [degC],couple [degC],pyrometer [degC],current effective [A],voltage effective "
        "[V],power [kW],force [kN],gauge pressure [bar],stroke [mm]\n"
        "0,1000,999,350,1000,5.00,5.00,15.7,78.5,2.97\n");  // 15.7 kN / 20 cm2 = 78.5 bar
}

TEST_CASE("log: mean meters, taps, vacuum pull and weight off the gauge; power from what is shown") {
  Bench bench;
  bench.c.press.meters->mean_current = bench.c.press.meters->mean_voltage = true;
  bench.c.press.meters->force = 1000.0;
  bench.c.press.vacuum_pull = 1500.0;
  bench.c.press.moving_weight = 400.0;
  bench.c.press.gauge_area = 120e-4;
  solver::HistoryRow row = bench.row();
  row.force_N = 15708.0 + 1900.0;
  auto log = bench.log({row});
  CHECK(log.at("current mean [A]")[0] == "800");
  CHECK(log.at("voltage mean [V]")[0] == "4.00");
  CHECK(log.at("power [kW]")[0] == "3.20");  // the mean power is 5 kW
  CHECK(log.at("force [kN]")[0] == "16");
  CHECK(log.at("gauge pressure [bar]")[0] == "13.3");  // 16 kN / 120 cm2 = 13.33 bar
  CHECK(log.count("current effective [A]") == 0);

  bench.c.press.meters->taps = {"bottom of lower punch", "top of upper punch"};
  CHECK(bench.log({row}).at("voltage mean [V]")[0] == "3.60");  // 4.5 V x 800 / 1000
  bench.c.press.meters->mean_voltage = false;
  CHECK(bench.log({row}).at("voltage effective [V]")[0] == "4.50");
  row.current_A = row.current_mean_A = row.taps_V = 0.0;
  log = bench.log({row});
  CHECK(log.at("voltage effective [V]")[0] == "0.00");
  CHECK(log.at("power [kW]")[0] == "0.00");

  bench.c.press.gauge_area.reset();
  CHECK(bench.log({row}).count("gauge pressure [bar]") == 0);
  bench.problem.force.clear();  // no programme of the pressure: nobody knows what the gauge shows
  CHECK(bench.log({row}).count("force [kN]") == 0);
}

TEST_CASE("log: programmes of other kinds, none behind the last step, names with commas") {
  Bench bench;
  solver::HistoryRow row = bench.row();
  row.target = 1240.0;
  bench.problem.drive.kind = solver::DriveKind::power;
  CHECK(bench.log({row}).at("programme [kW]")[0] == "1.24");
  bench.problem.drive.kind = solver::DriveKind::current;
  CHECK(bench.log({row}).at("programme [A]")[0] == "1240");
  row.target = 1.5;
  bench.problem.drive.kind = solver::DriveKind::voltage;
  CHECK(bench.log({row}).at("programme [V]")[0] == "1.50");
  row.target = std::nan("");
  CHECK(bench.log({row}).at("programme [V]")[0].empty());
  bench.problem.drive.kind = solver::DriveKind::none;
  for (const auto& [title, values] : bench.log({row})) CHECK(title.rfind("programme", 0) != 0);
  bench.problem.sensors[0].name = "die, left";
  CHECK(tools::Log(bench.c, bench.problem).csv().find(",\"die, left [degC]\",") != std::string::npos);
}

TEST_CASE("log: a line a sample, one where two rows share an instant, times with the digits they need") {
  Bench bench;
  bench.c.press.meters->every = 0.5;
  solver::HistoryRow later = bench.row(1.0);
  later.sensors[0].reading_K = 1300.15;
  const auto log = bench.log({bench.row(0.0), bench.row(0.5), bench.row(1.0), later});
  CHECK(log.at("time [s]") == std::vector<std::string>{"0.0", "0.5", "1.0"});
  CHECK(log.at("couple [degC]")[2] == "999");
}

TEST_CASE("log: errors have the deviation of noise and rounding together, no bias, nothing in common") {
  Bench bench;
  bench.problem.sensors[0].noise = 0.5;
  bench.problem.sensors[1].noise = 2.0;
  bench.c.press.meters->noise = 0.003;
  constexpr int n = 20000;
  std::vector<solver::HistoryRow> rows;
  for (int k = 0; k < n; ++k) {
    solver::HistoryRow row = bench.row(2.0 * k);
    // steps that share no period with the last digits, so that rounding errors are even
    row.sensors[0].reading_K = 900.0 + 0.0377 * k;
    row.sensors[1].reading_K = 1000.0 + 0.0291 * k;
    row.sensors[1].in_sight = true;
    row.current_A = 1700.0 + 0.0173 * k;
    row.taps_V = row.voltage_V = 4.3;
    rows.push_back(row);
  }
  const auto log = bench.log(rows);
  std::vector<double> couple, pyrometer, current, voltage;
  for (int k = 0; k < n; ++k) {
    couple.push_back(number(log.at("couple [degC]")[k]) - (rows[k].sensors[0].reading_K - 273.15));
    pyrometer.push_back(number(log.at("pyrometer [degC]")[k]) - (rows[k].sensors[1].reading_K - 273.15));
    current.push_back((number(log.at("current effective [A]")[k]) - rows[k].current_A) / rows[k].current_A);
    voltage.push_back(number(log.at("voltage effective [V]")[k]) / 4.3 - 1.0);
  }
  // Rounding adds d/sqrt(12); four standard errors, sigma/sqrt(n) of a mean, sigma/sqrt(2 n) of a deviation.
  const auto agrees = [](const std::vector<double>& errors, double noise, double digit) {
    const double expected = std::sqrt(noise * noise + digit * digit / 12.0);
    CAPTURE(expected);
    const Moments m = moments(errors);
    CHECK(std::abs(m.mean) <= 4.0 * expected / std::sqrt(n));
    CHECK(std::abs(m.deviation - expected) <= 4.0 * expected / std::sqrt(2.0 * n));
  };
  agrees(couple, 0.5, 1.0);
  agrees(pyrometer, 2.0, 1.0);
  agrees(voltage, 0.003, 0.01 / 4.3);
  agrees(current, 0.003, 5.0 / 1873.0);  // of 1700 to 2046 A: the digit counts 0.27 % in the middle
  for (const auto* other : {&pyrometer, &current, &voltage}) {
    double product = 0.0;
    for (int k = 0; k < n; ++k) product += couple[k] * (*other)[k] / n;
    const double scale = moments(couple).deviation * moments(*other).deviation;
    CHECK(std::abs(product) <= 4.0 * scale / std::sqrt(n));
  }
}

TEST_CASE("log: a pyrometer out of sight shows its lower limit and no noise, in sight never less") {
  Bench bench;
  bench.problem.sensors[1].noise = 5.0;
  std::vector<solver::HistoryRow> rows;
  for (int k = 0; k < 400; ++k) {
    rows.push_back(bench.row(2.0 * k));
    if (k < 200) continue;
    rows.back().sensors[1].in_sight = true;
    rows.back().sensors[1].reading_K = 624.15;
  }
  const auto shown = bench.log(rows).at("pyrometer [degC]");
  int above = 0, at_limit = 0;
  for (int k = 0; k < 400; ++k) {
    if (k < 200) CHECK(shown[k] == "350");
    CHECK(number(shown[k]) >= 350.0);
    if (k >= 200) ++(shown[k] == "350" ? at_limit : above);
  }
  // 1 K above the limit with 5 K of noise: half a kelvin or more above it in 54 of 100 (normal, z = -0.1)
  CHECK(above > 80);
  CHECK(at_limit > 60);
}

TEST_CASE(
    "run --log: a line every half second, near the history, the same bits twice, the answer unchanged") {
  const Folder folder("rod");
  const std::string press = bench(folder);
  const fs::path log = folder.path / "logs" / "rod.csv";
  REQUIRE(tools::run_case(options(rod, folder.path / "a", log, press)) == tools::done);
  REQUIRE(tools::run_case(options(rod, folder.path / "b", folder.path / "again.csv", press)) == tools::done);
  REQUIRE(tools::run_case(options(rod, folder.path / "c", {}, press)) == tools::done);
  const std::string csv = tools::read_whole(log);
  CHECK(csv == tools::read_whole(folder.path / "again.csv"));
  CHECK(!fs::exists(folder.path / "logs" / "rod.csv.part"));
  for (const char* name : {"history.csv", "summary.json", "results.h5", "resolved_case.yaml"})
    CHECK(tools::read_whole(folder.path / "a" / name) == tools::read_whole(folder.path / "c" / name));

  auto logged = table(csv);
  const auto history = table(tools::read_whole(folder.path / "c" / "history.csv"));
  const std::vector<std::string>& times = logged.at("time [s]");
  REQUIRE(times.size() == 2 * 930 + 1);  // 30 s of ramp, 15 min of hold
  CHECK(times[3] == "1.5");
  CHECK(times.back() == "930.0");
  std::map<double, std::size_t> line_at;
  for (std::size_t k = 0; k < times.size(); ++k) line_at[number(times[k])] = k;
  int compared = 0;
  for (std::size_t k = 0; k < history.at("time [s]").size(); ++k) {
    const auto found = line_at.find(number(history.at("time [s]")[k]));
    if (found == line_at.end()) continue;
    ++compared;
    const std::size_t line = found->second;
    CHECK(std::abs(number(logged.at("middle [degC]")[line]) + 273.15 -
                   number(history.at("middle reading [K]")[k])) <= 0.5 + 1e-9);
    const double amperes = number(history.at("current effective [A]")[k]);
    CHECK(std::abs(number(logged.at("current effective [A]")[line]) - amperes) <= 0.25 + 0.05 * amperes);
  }
  CHECK(compared >= 90);  // the history has a row every ten seconds at the least
  CHECK(logged.at("programme [V]")[line_at.at(15.0)] == "0.75");
  CHECK(logged.count("force [kN]") == 0);
}

TEST_CASE("run --log: force, gauge and stroke of a pressed powder") {
  const Folder folder("nickel");
  const fs::path log = folder.path / "nickel.csv";
  REQUIRE(tools::run_case(options(root / "cases" / "nickel-20mm.yaml", folder.path / "out", log)) ==
          tools::done);
  auto logged = table(tools::read_whole(log));
  REQUIRE(logged.at("time [s]").size() == 585 + 300 + 300 + 1);  // 975 K at 100 K/min, hold, cool
  // 16 and 50 MPa on a disc of 20 mm are 5.027 and 15.708 kN; over 20 cm2 of oil 5.0 and 15.7 kN as shown
  CHECK(logged.at("force [kN]")[60] == "5.0");
  CHECK(logged.at("gauge pressure [bar]")[60] == "25.0");
  CHECK(logged.at("force [kN]")[180] == "10.4");  // halfway up: 33 MPa, 10.367 kN
  CHECK(logged.at("force [kN]").back() == "15.7");
  CHECK(logged.at("gauge pressure [bar]").back() == "78.5");
  CHECK(logged.at("stroke [mm]")[0] == "0.00");
  CHECK(number(logged.at("stroke [mm]").back()) > 1.0);
  CHECK(logged.at("programme [degC]")[0] == "25");
  CHECK(logged.at("programme [degC]")[600] == "1000");
  CHECK(logged.at("programme [degC]")[1000].empty());  // free cooling
  CHECK(logged.at("die thermocouple [degC]")[600] == "1000");
}

TEST_CASE("run --log: a run that fails leaves the log of what there was") {
  const Folder folder("failed");
  const std::string text =
      "format: 1\npress: {name: bench, meters: {current: effective, voltage: effective}}\n"
      "column: [{name: rod, material: copper, diameter: 10 mm, height: 30 mm}]\n"
      "start temperature: 900 degC\nnumerics: {strict: on}\n"
      "programme: {power: [{ramp to: 8 kW, in: 10 s}, {hold: 60 s}]}\n";
  const fs::path log = folder.path / "rod.csv";
  CHECK(tools::run_case(options(folder.write("case.yaml", text), folder.path / "out", log)) ==
        tools::unsolved);
  const auto logged = table(tools::read_whole(log));
  CHECK(logged.at("time [s]").size() >= 2);
  CHECK(logged.at("time [s]").size() < 71);
}

TEST_CASE(
    "run --log: refused without meters, with --resume, under a name that is taken; nothing is written") {
  const Folder folder("refused");
  const fs::path out = folder.path / "out", log = folder.path / "rod.csv";
  const std::string press = bench(folder);
  CHECK(tools::run_case(options(rod, out, log)) == tools::bad_input);
  tools::RunOptions resumed = options(rod, out, log, press);
  resumed.resume = true;
  CHECK(tools::run_case(resumed) == tools::bad_input);
  CHECK(tools::run_case(options(rod, out, folder.path / "rod.yaml", press)) == tools::bad_input);
  CHECK(tools::run_case(options(rod, out, out / "history.csv", press)) == tools::bad_input);
  CHECK(!fs::exists(out));
  CHECK(!fs::exists(log));

  folder.write("rod.csv", "measured, and not to be lost\n");
  CHECK(tools::run_case(options(rod, out, log, press)) == tools::bad_input);
  CHECK(tools::read_whole(log) == "measured, and not to be lost\n");
  CHECK(!fs::exists(out));
  tools::RunOptions replacing = options(rod, out, log, press);
  replacing.replace = true;
  CHECK(tools::run_case(replacing) == tools::done);
  CHECK(tools::read_whole(log).rfind("time [s],", 0) == 0);
}

TEST_CASE("run --log: messages name the key or the option and what to do") {
  Bench bench;
  bench.c.press.written.place.file = "my-press.yaml";
  const auto holds = [](const std::string& text, const char* part) {
    return text.find(part) != std::string::npos;
  };
  CHECK(tools::why_no_log(bench.c, {"log.csv", "out"}).empty());
  CHECK(holds(tools::why_no_log(bench.c, {"log.csv", "out", true}), "--resume"));
  CHECK(holds(tools::why_no_log(bench.c, {"log.txt", "out"}), "does not end in .csv"));
  bench.c.press.meters.reset();
  const std::string none = tools::why_no_log(bench.c, {"log.csv", "out"});
  CHECK(holds(none, "press.meters is missing in my-press.yaml"));
  CHECK(holds(none, "`meters: {current: effective, voltage: effective, every: 1 s}`"));
}

TEST_CASE("run --log: where it cannot be written is known before the run; complete results are left") {
  const Folder folder("places");
  const std::string press = bench(folder);
  const fs::path out = folder.path / "out", log = folder.path / "rod.csv";
  folder.write("file", "");
  fs::create_directories(folder.path / "folder.csv");
  for (const fs::path& bad : {folder.path / "file" / "rod.csv", folder.path / "folder.csv"}) {
    CHECK_THROWS_AS(tools::run_case(options(rod, out, bad, press)), tools::FileError);
    CHECK(!fs::exists(out));
  }
  REQUIRE(tools::run_case(options(rod, out, {}, press)) == tools::done);
  CHECK(tools::run_case(options(rod, out, log, press)) == tools::done);  // says that it was not written
  CHECK(!fs::exists(log));
}

TEST_CASE("run --press, check --press: another press, its own results") {
  const Folder folder("press");
  const std::string press = bench(folder);
  REQUIRE(tools::run_case(options(rod, folder.path / "own", {})) == tools::done);
  REQUIRE(tools::run_case(options(rod, folder.path / "other", {}, press)) == tools::done);
  const std::string resolved = tools::read_whole(folder.path / "other" / "resolved_case.yaml");
  CHECK(resolved.find("rounds current to: 0.5 A") != std::string::npos);
  // another case in the eyes of the folder, and its summary names the press file
  CHECK(tools::run_case(options(rod, folder.path / "own", {}, press)) == tools::bad_input);
  const std::string summary = tools::read_whole(folder.path / "other" / "summary.json");
  CHECK(summary.find(press) != std::string::npos);
  CHECK(summary.find(tools::sha256(tools::read_whole(press))) != std::string::npos);
  CHECK(tools::check_case(rod, press) == tools::done);
  CHECK_THROWS_AS(tools::check_case(rod, "no-such-press"), cases::InputErrors);
}
