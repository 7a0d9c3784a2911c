// The verbs on real cases: exit codes, what lies in the folder afterwards, the same bytes twice.
#include <doctest/doctest.h>
#include <unistd.h>

#include <charconv>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/screen/stack_table.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;
const fs::path rod = root / "cases" / "heated-rod.yaml";

/// A folder of its own, also when two builds are tested at once; gone at the end.
struct Scratch {
  fs::path path;
  explicit Scratch(const std::string& name)
      : path(fs::temp_directory_path() / ("joulepress-" + name + "-" + std::to_string(getpid()))) {
    fs::remove_all(path);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() { fs::remove_all(path); }
};

int run(const fs::path& case_file, const fs::path& folder, bool replace = false) {
  return tools::run_case({case_file, folder, true, replace});
}

}  // namespace

TEST_CASE("run: all files, the same bytes twice but for timing.json, nothing half-written") {
  const Scratch first("first"), second("second");
  REQUIRE(run(rod, first.path) == tools::done);
  REQUIRE(run(rod, second.path) == tools::done);
  int files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(first.path)) {
    if (entry.is_directory()) continue;
    ++files;
    const std::string name = fs::relative(entry.path(), first.path).string();
    INFO(name);
    CHECK(entry.path().extension() != ".part");
    if (name != "timing.json")
      CHECK(tools::read_whole(entry.path()) == tools::read_whole(second.path / name));
  }
  for (const char* name : {"summary.json", "history.csv", "results.h5", "fields.pvd", "fields/0000.vtu",
                           "resolved_case.yaml", "report.html", "timing.json"})
    CHECK(fs::exists(first.path / name));
  CHECK(files >= 8);  // at least two times
  const auto summary = nlohmann::json::parse(tools::read_whole(first.path / "summary.json"));
  CHECK(summary["status"] == "completed");
  CHECK(summary["case_sha256"] == tools::sha256(tools::read_whole(first.path / "resolved_case.yaml")));
  CHECK(summary["holds"][0]["sample_mean_K"].is_null());
  CHECK(summary["energy_balance_relative"].get<double>() <= 1e-8);  // the contract's bounds
  CHECK(summary["charge_balance_relative"].get<double>() <= 1e-8);
  const auto timing = nlohmann::json::parse(tools::read_whole(first.path / "timing.json"));
  for (const char* key : {"wall_s", "cpu_s", "march_cpu_s", "cores", "processor", "compiler", "variant"})
    CHECK(timing.contains(key));
}

TEST_CASE("run: whose results lie in the folder decides") {
  const Scratch folder("whose");
  REQUIRE(run(rod, folder.path) == tools::done);
  const std::string summary = tools::read_whole(folder.path / "summary.json");
  const auto written = fs::last_write_time(folder.path / "history.csv");

  CHECK(run(rod, folder.path) == tools::done);  // the same case, complete: says so
  CHECK(fs::last_write_time(folder.path / "history.csv") == written);

  const fs::path other = root / "cases" / "checks" / "insulated-stack.yaml";
  CHECK(run(other, folder.path) == tools::bad_input);
  CHECK(tools::read_whole(folder.path / "summary.json") == summary);
  CHECK(fs::last_write_time(folder.path / "history.csv") == written);

  CHECK(run(other, folder.path, true) == tools::done);
  CHECK(tools::read_whole(folder.path / "summary.json") != summary);

  std::ofstream(folder.path / "summary.json") << "{\"status\": \"comp";  // not a whole summary
  CHECK(run(rod, folder.path) == tools::bad_input);
}

TEST_CASE("run: a case that did not complete is run again without asking") {
  const Scratch folder("again");
  REQUIRE(run(rod, folder.path) == tools::done);
  auto summary = nlohmann::ordered_json::parse(tools::read_whole(folder.path / "summary.json"));
  const std::string whole = tools::read_whole(folder.path / "summary.json");
  summary["status"] = "interrupted";
  tools::write_whole(folder.path / "summary.json", summary.dump(2) + "\n");
  CHECK(run(rod, folder.path) == tools::done);
  CHECK(tools::read_whole(folder.path / "summary.json") == whole);
}

TEST_CASE("run: bad input writes nothing, a folder that cannot be made is a file error") {
  const Scratch folder("bad");
  CHECK_THROWS_AS(run(root / "tests" / "bad_input" / "unknown-key.yaml", folder.path), cases::InputErrors);
  CHECK(!fs::exists(folder.path));
  std::ofstream(folder.path) << "a file where the folder should be";
  CHECK_THROWS_AS(run(rod, folder.path), tools::FileError);
}

TEST_CASE("run: numbers in history.csv read back to the bits of summary.json") {
  const Scratch folder("bits");
  REQUIRE(run(rod, folder.path) == tools::done);
  const auto summary = nlohmann::json::parse(tools::read_whole(folder.path / "summary.json"));
  std::istringstream table(tools::read_whole(folder.path / "history.csv"));
  std::string head, line, last;
  std::getline(table, head);
  while (std::getline(table, line)) last = line;
  std::istringstream names(head), values(last);
  std::string name, value;
  bool seen = false;
  while (std::getline(names, name, ',') && std::getline(values, value, ',')) {
    if (name != "hottest tool [K]") continue;
    seen = true;
    double number = 0.0;
    std::from_chars(value.data(), value.data() + value.size(), number);
    CHECK(number == summary["end"]["tool_max_K"].get<double>());
  }
  CHECK(seen);
}

TEST_CASE("check: every shipped stack within 100 columns; foil and two touches give the published total") {
  for (const fs::path& folder : {root / "cases", root / "cases" / "checks"}) {
    for (const auto& entry : fs::directory_iterator(folder)) {
      if (entry.path().extension() != ".yaml") continue;
      const cases::Case c = cases::read_case(entry.path());
      std::istringstream text(tools::stack_table(c, cases::build_problem(c)));
      for (std::string line; std::getline(text, line);) {
        INFO(entry.path().filename() << ": " << line);
        CHECK(line.size() <= 100);
        CHECK((line.empty() || line.back() != ' '));
        // Lateral: 1.3e-7 ohm m2 and 1.32 kW/m2K, Zavaliangos and others 2004 and users, from memory.
        if (line.rfind("foil in bore of die | die", 0) == 0) {
          CHECK(line.find("30.0    70.0   130.0") != std::string::npos);
          CHECK(line.find("20.00    1.32") != std::string::npos);
        }
      }
    }
  }
  const cases::Case c = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  const std::string text = tools::stack_table(c, cases::build_problem(c));
  // 6 g of 3984 kg/m3 over pi/4 (20 mm)^2 is 4.794 mm dense: 4.84 mm at 0.99, 8.72 mm at 0.55; 50 MPa: 15.71
  // kN.
  CHECK(text.find("powder high (0.55 to 0.99)                      8.72        4.84        4.79") !=
        std::string::npos);
  CHECK(text.find("15.71 kN") != std::string::npos);
  CHECK(text.find("foil in bore of die | die") != std::string::npos);
  CHECK(text.find("current enters at   top of upper spacer") != std::string::npos);
}

TEST_CASE(
    "report: the same page from the folder alone, pictures beside it, nothing for a folder without results") {
  const Scratch scratch("report");
  REQUIRE(run(rod, scratch.path) == tools::done);
  const std::string at_the_end = tools::read_whole(scratch.path / "report.html");
  fs::remove(scratch.path / "report.html");
  CHECK(tools::report_results({scratch.path, tools::html::Language::english, true}) == tools::done);
  CHECK(tools::read_whole(scratch.path / "report.html") == at_the_end);
  for (const char* name : {"stack", "history", "current"}) {
    CHECK(tools::read_whole(scratch.path / "pictures" / (std::string(name) + ".svg")).starts_with("<?xml"));
    CHECK(tools::read_whole(scratch.path / "pictures" / (std::string(name) + ".png")).substr(1, 3) == "PNG");
  }
  CHECK(tools::report_results({scratch.path, tools::html::Language::german}) == tools::done);
  CHECK(tools::read_whole(scratch.path / "report.html") != at_the_end);
  CHECK(tools::report_results({scratch.path / "none"}) == tools::bad_input);
}
