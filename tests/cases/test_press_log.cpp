// Logs of presses, each with a trouble of its own (tests/logs, invented): what is understood of them, number
// by number, and what is refused with which words.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "cases/reader/press_log.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress::cases;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "logs";

PressLog read(const std::string& name) {
  return read_press_log(folder / name);
}

const LoggedColumn& column(const PressLog& log, Logged what, const std::string& sensor = {}) {
  for (const LoggedColumn& c : log.columns)
    if (c.what == what && (sensor.empty() || c.sensor == sensor)) return c;
  FAIL("no such column");
  return log.columns.front();
}

/// Both as far as they go; NaN is NaN.
bool same(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t k = 0; k < a.size(); ++k)
    if (!(std::abs(a[k] - b[k]) <= 1e-9 * std::max(1.0, std::abs(b[k]))) &&
        !(std::isnan(a[k]) && std::isnan(b[k])))
      return false;
  return true;
}

/// The message with the folder taken out, so that it is the same wherever the tree stands.
std::string message_of(const fs::path& file) {
  try {
    read_press_log(file);
  } catch (const InputErrors& errors) {
    return joulepress::test::without_folders(errors.what(), {folder});
  }
  return "accepted";
}

const double none = std::nan("");

/// degC
std::vector<double> kelvin(std::vector<double> celsius) {
  for (double& t : celsius) t += 273.15;
  return celsius;
}

}  // namespace

TEST_CASE("log: one of ours needs no map") {
  const PressLog log = read("plain.csv");
  CHECK(log.map.empty());
  CHECK(log.began.empty());
  CHECK(log.remarks.empty());
  CHECK(log.ignored.empty());
  CHECK(same(log.time, {0, 2, 4, 6}));
  REQUIRE(log.columns.size() == 8);
  CHECK(same(column(log, Logged::programme).values, kelvin({25, 27, 30, none})));
  const LoggedColumn& couple = column(log, Logged::reading);
  CHECK(couple.sensor == "die thermocouple");
  CHECK(couple.unit == "degC");
  CHECK(same(couple.values, kelvin({25, 25, 26, 27})));
  CHECK(couple.digit == 1.0);
  const LoggedColumn& current = column(log, Logged::current);
  CHECK_FALSE(current.mean);
  CHECK(same(current.values, {580, 585, 590, 0}));
  CHECK_FALSE(column(log, Logged::voltage).mean);
  CHECK(same(column(log, Logged::power).values, {1510, 1530, 1550, 0}));
  CHECK(same(column(log, Logged::force).values, {5e3, 5e3, 5e3, 15.7e3}));
  CHECK(same(column(log, Logged::gauge_pressure).values, {25e5, 25e5, 25e5, 78.5e5}));
  const LoggedColumn& stroke = column(log, Logged::stroke);
  CHECK(same(stroke.values, {0, -1e-5, -1e-5, 3.26e-3}));
  CHECK(std::abs(stroke.digit / 1e-5 - 1.0) <= 1e-9);
}

namespace {

/// The first column of the kind; of a reading whatever its sensor.
std::vector<double> values(const PressLog& log, Logged what) {
  return column(log, what).values;
}

/// Most files of the corpus hold the same five rows, so that whatever surrounds them must not change them.
void check_usual_columns(const PressLog& log) {
  CHECK(same(values(log, Logged::reading), kelvin({25.0, 28.5, 36.0, 47.5, 61.0})));
  CHECK(same(values(log, Logged::current), {580, 1240, 1255, 1260, 1250}));
  CHECK(same(values(log, Logged::voltage), {1.20, 2.61, 2.63, 2.64, 2.62}));
  CHECK(same(values(log, Logged::force), {5.0e3, 5.0e3, 5.1e3, 5.0e3, 5.2e3}));
  CHECK(same(values(log, Logged::stroke), {0.0, -1e-5, -2e-5, -2e-5, 3e-5}));
  CHECK_FALSE(column(log, Logged::current).mean);
  CHECK_FALSE(column(log, Logged::voltage).mean);
  CHECK(log.columns.size() == 5);
}

bool has_remark(const PressLog& log, const std::string& part) {
  return std::any_of(log.remarks.begin(), log.remarks.end(),
                     [&part](const std::string& remark) { return remark.find(part) != std::string::npos; });
}

int left_out(const LoggedColumn& c, const std::string& why) {
  for (const LeftOutValues& values : c.left_out)
    if (values.why == why) return values.count;
  return 0;
}

std::string first_bytes(const std::string& name, std::size_t count) {
  return joulepress::test::content(folder / name).substr(0, count);
}

}  // namespace

TEST_CASE("log: encodings, ends of lines, separators and quotes change nothing") {
  struct Said {
    std::string name, layout;
  };
  const std::string semicolons = "semicolons, decimal commas, headings in line 1";
  const std::string commas = "commas, decimal points, headings in line 1";
  for (const Said& file :
       {Said{"semicolons-and-decimal-commas.csv", "UTF-8, " + semicolons},
        {"tabs-and-decimal-points.tsv", "UTF-8, tabs, decimal points, headings in line 1"},
        {"tabs-and-decimal-commas.dat", "UTF-8, tabs, decimal commas, headings in line 1"},
        {"utf8-with-mark.csv", "UTF-8, " + semicolons},
        {"utf16-le-with-mark.txt", "UTF-16, " + semicolons},
        {"utf16-be-with-mark.txt", "UTF-16, " + semicolons},
        {"utf16-le-without-mark.txt", "UTF-16, " + semicolons},
        {"utf16-be-without-mark.txt", "UTF-16, " + semicolons},
        {"latin1-degrees.csv", "Latin-1, " + semicolons},
        {"cr-lf.csv", "UTF-8, " + commas},
        {"lone-cr.csv", "UTF-8, " + commas},
        {"quoted-fields.csv", "UTF-8, commas, decimal commas, headings in line 1"},
        {"spaces-around-cells.csv", "UTF-8, " + commas},
        {"separators-at-the-end.csv", "UTF-8, " + commas},
        {"exponents.csv", "UTF-8, " + commas},
        {"long-minus.csv", "UTF-8, " + commas},
        {"heading-lines-before.csv", "UTF-8, semicolons, decimal commas, headings in line 13"},
        {"table-before-the-headings.csv", "UTF-8, semicolons, decimal commas, headings in line 4"},
        {"units-in-a-row-below.csv", "UTF-8, " + semicolons},
        {"units-in-brackets-in-a-row-below.csv", "UTF-8, " + commas},
        {"units-in-many-spellings.csv", "UTF-8, " + semicolons}}) {
    CAPTURE(file.name);
    const PressLog log = read(file.name);
    check_usual_columns(log);
    CHECK(same(log.time, {0, 2, 4, 6, 8}));
    CHECK(log.time_as == "s");
    CHECK(log.layout == file.layout);
    CHECK(log.remarks.empty());
    CHECK(log.ignored.empty());
  }
}

TEST_CASE("log: the bytes of the corpus are those of their names") {
  CHECK(first_bytes("utf8-with-mark.csv", 4) == "\xEF\xBB\xBFZ");
  CHECK(first_bytes("utf16-le-with-mark.txt", 4) == std::string("\xFF\xFEZ\0", 4));
  CHECK(first_bytes("utf16-be-with-mark.txt", 4) == std::string("\xFE\xFF\0Z", 4));
  CHECK(first_bytes("utf16-le-without-mark.txt", 4) == std::string("Z\0e\0", 4));
  CHECK(first_bytes("utf16-be-without-mark.txt", 4) == std::string("\0Z\0e", 4));
  CHECK(joulepress::test::content(folder / "latin1-degrees.csv")
            .find("[\xB0"
                  "C]") != std::string::npos);
  CHECK(joulepress::test::content(folder / "cr-lf.csv").find("\r\n") != std::string::npos);
  CHECK(joulepress::test::content(folder / "lone-cr.csv").find('\n') == std::string::npos);
}

TEST_CASE("log: times in every form") {
  struct Said {
    std::string name, as, began;
  };
  for (const Said& file :
       {Said{"time-in-ms.csv", "ms", ""},
        {"clock.csv", "h:m:s", ""},
        {"clock-past-midnight.csv", "h:m:s", ""},
        {"clock-with-decimals.csv", "h:m:s", ""},
        {"clock-with-decimal-commas.csv", "h:m:s", ""},
        {"clock-am-pm.csv", "h:m:s", ""},
        {"minutes-and-seconds.csv", "m:s", ""},
        {"minutes-and-seconds-by-heading.csv", "m:s", ""},
        {"date-iso.csv", "date and time, year-month-day", "2024-02-28T23:59:57.5"},
        {"date-with-points.csv", "date and time, day.month.year", "2024-03-05T14:03:11"},
        {"date-with-slashes.csv", "date and time, month/day/year", "2024-03-05T14:03:11"},
        {"date-with-slashes-that-tells-itself.csv", "date and time, month/day/year", "2023-12-31T23:59:55"},
        {"date-and-clock-apart.csv", "date and time, day.month.year", "2024-03-05T14:03:11"},
        {"two-times.csv", "s", ""}}) {
    CAPTURE(file.name);
    const PressLog log = read(file.name);
    check_usual_columns(log);
    CHECK(same(log.time, {0, 2, 4, 6, 8}));
    CHECK(log.time_as == file.as);
    CHECK(log.began == file.began);
  }
  CHECK(same(read("time-in-minutes.csv").time, {0, 6, 12, 18, 24}));
  CHECK(read("clock-past-midnight.csv").remarks ==
        std::vector<std::string>{"The clock passed midnight once (line 5)."});
  CHECK(read("two-times.csv").ignored == std::vector<std::string>{"Uhrzeit"});
}

TEST_CASE("log: rows that cannot count are left out and told") {
  struct Said {
    std::string name;
    std::vector<std::string> remarks;
  };
  for (const Said& file :
       {Said{"headings-again-after-a-pause.csv",
             {"One line repeats the headings and was left out (line 5).",
              "One line holds text, no numbers, and was left out (line 4)."}},
        {"times-that-stand-still.csv",
         {"2 rows have the time of the row before them; the first of each counts (the first: line 4)."}},
        {"times-that-run-backwards.csv",
         {"2 rows run backwards in time and were left out (the first: line 5)."}},
        {"last-line-cut-off.csv", {"One line at the end is cut off and was left out (line 7)."}},
        {"a-time-that-cannot-be-read.csv",
         {"One row has no time that can be read and was left out (line 4)."}}}) {
    CAPTURE(file.name);
    const PressLog log = read(file.name);
    check_usual_columns(log);
    CHECK(same(log.time, {0, 2, 4, 6, 8}));
    CHECK(log.remarks == file.remarks);
  }
  CHECK(read("a-pause.csv").remarks == std::vector<std::string>{"Nothing is logged for 60 s from 3 s on."});
}

TEST_CASE("log: cells without a number, by their reason") {
  const PressLog log = read("empty-cells-and-words.csv");
  const LoggedColumn& die = column(log, Logged::reading);
  CHECK(same(die.values, kelvin({25, none, none, none, none, 31})));
  CHECK(left_out(die, "open circuit") == 2);
  CHECK(left_out(die, "empty") == 1);
  CHECK(left_out(die, "no number") == 1);
  CHECK(same(values(log, Logged::force), {none, 5000, none, none, 5100, 5200}));
  CHECK(left_out(column(log, Logged::force), "no number") == 2);
  const PressLog open = read("all-couples-open-at-first.csv");
  CHECK(same(column(open, Logged::reading, "TC1").values, kelvin({none, 25, 26})));
  CHECK(left_out(column(open, Logged::reading, "TC3"), "open circuit") == 2);
}

TEST_CASE("log: what sensors show where they see nothing") {
  const PressLog open = read("open-couple-shows-its-end.csv");
  CHECK(same(column(open, Logged::reading, "Ofen").values, kelvin({25, 26, 27, none})));
  CHECK(same(column(open, Logged::reading, "TC 2").values, kelvin({none, 1371, 28, 29})));
  CHECK(left_out(column(open, Logged::reading, "TC 2"), "open circuit") == 1);
  const PressLog dark = read("pyrometer-below-its-sight.csv");
  CHECK(same(values(dark, Logged::reading), kelvin({none, none, none, 601, 640, none})));
  CHECK(left_out(column(dark, Logged::reading), "below its sight") == 4);
}

TEST_CASE("log: two columns of one sensor become one reading") {
  const PressLog log = read("couple-hands-over-to-pyrometer.csv");
  REQUIRE(log.columns.size() == 1);
  const LoggedColumn& die = log.columns.front();
  CHECK(die.sensor == "die");
  CHECK(die.heading == "TC die [degC] + pyrometer 1 [degC]");
  // couple up to 705, pyrometer from 700; where both count the couple does, which stands first
  CHECK(same(die.values, kelvin({500, 690, 712, 850, 702})));
  CHECK(left_out(die, "open circuit") == 1);
  CHECK(left_out(die, "below its sight") == 2);
  CHECK(left_out(die, "outside its range") == 1);
}

TEST_CASE("log: sign and zero of the stroke, sign of a force") {
  CHECK(
      same(values(read("stroke-reversed-from-its-start.csv"), Logged::stroke), {none, 0.0, -2e-5, 1.25e-3}));
  CHECK(same(values(read("force-that-pulls.csv"), Logged::force), {5e3, 15.7e3}));
}

TEST_CASE("log: forces and pressures in their units") {
  // standard gravity 9.80665 m/s2, 3rd CGPM 1901
  CHECK(same(values(read("force-in-tonnes.csv"), Logged::force), {4903.325, 9806.65}));
  CHECK(same(values(read("force-in-newtons.csv"), Logged::force), {5000, 15700}));
  const PressLog bar = read("oil-pressure-in-bar.csv");
  CHECK(same(values(bar, Logged::gauge_pressure), {25e5, 78.5e5}));
  CHECK(bar.ignored == std::vector<std::string>{"Vakuum [mbar]"});
  CHECK(same(values(read("oil-pressure-in-MPa.csv"), Logged::gauge_pressure), {25e5, 78.5e5}));
  CHECK(same(values(read("pressure-of-the-oil.csv"), Logged::gauge_pressure), {25e5, 78.5e5}));
  const PressLog unsure = read("pressure-of-what.csv");  // it may be that on the powder
  CHECK(unsure.columns.size() == 1);
  CHECK(unsure.ignored == std::vector<std::string>{"pressure [MPa]"});
  CHECK(has_remark(unsure, "is: gauge pressure"));
}

TEST_CASE("log: mean or effective, by the heading or the map") {
  const PressLog words = read("mean-by-its-words.csv");
  CHECK(column(words, Logged::current).mean);
  CHECK(column(words, Logged::voltage).mean);
  CHECK(same(values(words, Logged::current), {580, 1240}));
  CHECK(column(words, Logged::current).unit == "kA");
  CHECK(same(values(words, Logged::power), {700, 3200}));
  const PressLog rms = read("rms-by-its-words.csv");
  CHECK_FALSE(column(rms, Logged::current).mean);
  CHECK_FALSE(column(rms, Logged::voltage).mean);
  const PressLog map = read("mean-by-the-map.csv");
  CHECK(column(map, Logged::current).mean);
  CHECK_FALSE(column(map, Logged::voltage).mean);
  const PressLog both = read("mean-and-effective-both.csv");
  REQUIRE(both.columns.size() == 2);
  CHECK(both.columns[0].mean);
  CHECK_FALSE(both.columns[1].mean);
}

TEST_CASE("log: what the headings do not say stands in the map") {
  const PressLog log = read("units-only-in-the-map.csv");
  CHECK(log.map == (folder / "units-only-in-the-map.yaml").string());
  CHECK(same(log.time, {0, 60}));
  CHECK(same(column(log, Logged::reading, "die thermocouple").values, kelvin({25, 26})));
  CHECK(same(values(log, Logged::current), {580, 1240}));
  CHECK(same(values(log, Logged::stroke), {1.5e-3, 1.6e-3}));
  // the same map by its name
  CHECK(read_press_log(folder / "units-only-in-the-map.csv", folder / "units-only-in-the-map.yaml")
            .columns.size() == 3);
  const PressLog twice = read("same-heading-twice.csv");
  CHECK(same(column(twice, Logged::reading, "punch pyrometer").values, kelvin({350, 350})));
  const PressLog stated = read("headings-in-a-stated-line.csv");
  CHECK(same(stated.time, {0, 10}));
  CHECK(same(column(stated, Logged::reading, "punch").values, kelvin({600, 610})));
  const PressLog beside = read("case-of-the-same-name.csv");  // a case is not taken for the map
  CHECK(beside.map.empty());
  CHECK(has_remark(beside, "is no map of it"));
}

TEST_CASE("log: set values, differences and what nobody knows are no readings") {
  const PressLog log = read("set-points-and-columns-nobody-knows.csv");
  REQUIRE(log.columns.size() == 2);
  CHECK(same(values(log, Logged::programme), kelvin({30, 32})));
  CHECK(column(log, Logged::reading).sensor == "die");
  CHECK(log.ignored == std::vector<std::string>{"segment", "force setpoint [kN]", "output [%]",
                                                "heating rate [K/min]", "valve"});
  const PressLog kelvins = read("kelvin.csv");
  CHECK(same(values(kelvins, Logged::reading), {298.15, 300.15}));
  CHECK(kelvins.ignored == std::vector<std::string>{"deviation [K]"});
}

TEST_CASE("log: thousands in groups, where the numbers show that they are") {
  const PressLog log = read("thousands-in-groups.csv");
  CHECK(same(values(log, Logged::reading), kelvin({1250.5, 1300})));
  CHECK(same(values(log, Logged::current), {980, 1240}));
}

TEST_CASE("log: the last digit that a panel keeps") {
  const PressLog log = read("digits-in-steps-of-five.csv");
  CHECK(std::abs(column(log, Logged::current).digit / 5.0 - 1.0) <= 1e-9);
  CHECK(std::abs(column(log, Logged::reading).digit / 0.2 - 1.0) <= 1e-9);
  CHECK(std::abs(column(log, Logged::voltage).digit / 0.01 - 1.0) <= 1e-9);  // three values show no step
  CHECK(std::abs(column(read("force-in-newtons.csv"), Logged::force).digit - 1.0) <= 1e-9);
}

TEST_CASE("log: melt events by time and by reading") {
  const PressLog log = read("melt-events.csv");
  REQUIRE(log.melts.size() == 3);
  CHECK(log.melts[0].melts == "nickel-carbon");
  CHECK(std::abs(log.melts[0].temperature - (1329.0 + 273.15)) <= 1e-9);  // Yamada 1999, from memory
  CHECK(log.melts[0].deviation == 3.0);
  CHECK(moment_of(log.melts[0], log) == 45.0);
  // from 1004 at 20 s to 1014 at 30 s: 1010 at 26 s, not the second time at 40 s
  CHECK(std::abs(moment_of(log.melts[1], log) - 26.0) <= 1e-9);
  CHECK(std::abs(log.melts[1].temperature - 1357.77) <= 1e-4);  // ITS-90, table 1
  CHECK(log.melts[1].deviation == 5.0);
  CHECK(std::abs(log.melts[2].temperature - 1337.33) <= 1e-4);
  CHECK(moment_of(log.melts[2], log) == 30.0);
  CHECK(log.remarks.empty());
}

TEST_CASE("log: a metal that carbon touches melts elsewhere, and that is told") {
  const PressLog log = read("nickel-that-touched-graphite.csv");
  REQUIRE(log.remarks.size() == 2);  // neither the platinum kept from carbon nor the silver
  CHECK(log.remarks[0] ==
        "In touch with graphite nickel melts with carbon at 1329.0 degC, 126 K below its own 1455.0 degC: "
        "write "
        "`melts: nickel-carbon`; write `kept from carbon: yes` if it was in a crucible that keeps carbon "
        "away.");
  CHECK(log.remarks[1].find("titanium") != std::string::npos);
  CHECK(log.remarks[1].find("2761.0 degC, 1093 K above its own 1668.0 degC") != std::string::npos);
}

TEST_CASE("log: bad ones are refused with the text beside them") {
  std::vector<fs::path> files;
  int good = 0;
  for (const auto& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with("bad-") && entry.path().extension() == ".csv") files.push_back(entry.path());
    if (!name.starts_with("bad-") && is_press_log(entry.path())) ++good;
  }
  CHECK(files.size() >= 25);
  CHECK(good >= 60);
  for (const fs::path& file : files) {
    fs::path expected = file;
    expected.replace_extension(".txt");
    CAPTURE(file.filename().string());
    REQUIRE(fs::exists(expected));
    CHECK(message_of(file) == joulepress::test::content(expected));
  }
}

TEST_CASE("log: files that are logs by the end of their names") {
  for (const char* name : {"a.csv", "a.TSV", "a.txt", "dir/a.log", "a.dat"}) CHECK(is_press_log(name));
  for (const char* name : {"a.yaml", "a.xlsx", "csv", "a.csv.yaml"}) CHECK_FALSE(is_press_log(name));
}

TEST_CASE("log: broken ones are read or refused, never more; what is read holds together") {
  const joulepress::test::Folder scratch("broken-logs");
  std::uint64_t state = 1;
  const auto random = [&state](std::size_t below) {  // Knuth's MMIX constants, from memory
    state = state * 6364136223846793005u + 1442695040888963407u;
    return static_cast<std::size_t>(state >> 33) % below;
  };
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() != ".md" && !entry.path().filename().string().starts_with(".") &&
        is_press_log(entry.path()) && fs::file_size(entry.path()) > 0)
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  const std::string signs = "0;,\t.\"\n\r:-/x\xFF";
  int accepted = 0, refused = 0;
  for (const fs::path& file : files)
    for (int k = 0; k < 20; ++k) {
      std::string bytes = joulepress::test::content(file);
      for (std::size_t change = 0; change <= random(4); ++change) {
        const std::size_t at = random(bytes.size());
        const std::size_t kind = random(4);
        if (kind == 0) bytes.erase(at, 1 + random(8));
        if (kind == 1) bytes.insert(at, bytes.substr(random(bytes.size() + 1), random(30)));
        if (kind == 2 && !bytes.empty()) bytes[at] = signs[random(signs.size())];
        if (kind == 3) bytes.resize(at);
        if (bytes.empty()) bytes = "x";
      }
      const fs::path broken = scratch.write("broken.csv", bytes);
      CAPTURE(file.filename().string());
      CAPTURE(k);
      try {
        const PressLog log = read_press_log(broken);
        ++accepted;
        CHECK(log.time.size() >= 2);
        for (std::size_t row = 1; row < log.time.size(); ++row) CHECK(log.time[row] > log.time[row - 1]);
        for (const LoggedColumn& c : log.columns) {
          CHECK(c.values.size() == log.time.size());
          for (const double value : c.values) CHECK_FALSE(std::isinf(value));
        }
      } catch (const InputErrors& errors) {
        ++refused;
        CHECK_FALSE(errors.errors().empty());
      }
    }
  CHECK(accepted > 300);
  CHECK(refused > 300);
}
