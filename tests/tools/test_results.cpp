// results.h5 and the VTK series: what is read back is what the solver computed, to the bit.
#include <doctest/doctest.h>
#include <unistd.h>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"
#include "tools/store/field_table.hpp"
#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/store/history_table.hpp"
#include "tools/store/results_h5.hpp"
#include "tools/store/summary_json.hpp"
#include "tools/vtk/field_series.hpp"

using namespace joulepress;
using test::Folder;
namespace fs = std::filesystem;

namespace {

solver::Problem heated_stack() {
  mesh::GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 4e-3;
  solver::Problem p = test::small_stack({.rule = rule});
  p.powders[0].name = "powder";
  p.parts[2].name = "lower disc / powder";  // a slash, as foils have it
  test::track(p, {test::segment(0, 30, 298.15, 400), test::segment(30, 60, 400, 400, true)});
  p.fields_every = 20;
  return p;
}

struct Run {
  solver::Problem problem = heated_stack();
  std::vector<solver::CellFields> fields;
  solver::RunResult result;
  Run() {
    solver::Observers observers;
    observers.fields = [this](const solver::CellFields& f) { fields.push_back(f); };
    result = solver::run(problem, observers);
  }
};

const tools::ResultsHead head{"0.0.0", "0123abcd", "title: ein Stück Grün\nformat: 1\n"};

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
}

std::vector<double> values_of(const solver::CellFields& f, const tools::FieldColumn& column) {
  if (column.scalar) return f.*column.scalar;
  std::vector<double> values;
  for (const auto& v : f.*column.vector) values.insert(values.end(), v.begin(), v.end());
  return values;
}

void check_fields(const tools::h5::File& file, const Run& run) {
  const std::uint64_t n = run.problem.mesh.volume.size();
  for (const tools::FieldColumn& column : tools::field_columns) {
    const std::string name = std::string("/fields/") + column.name;
    INFO(name);
    std::vector<double> all;
    for (const solver::CellFields& f : run.fields)
      for (const double v : values_of(f, column)) all.push_back(v);
    CHECK(same_bits(file.numbers(name), all));
    CHECK(file.text_attribute(name, "unit") == column.unit);
    std::vector<std::uint64_t> shape{run.fields.size(), n};
    if (column.vector) shape.push_back(2);
    CHECK(file.shape(name) == shape);
  }
}

void check_history(const tools::h5::File& file, const Run& run) {
  const auto columns = tools::history_columns(run.result.frame);
  CHECK(file.names("/history").size() == columns.size());
  for (const tools::HistoryColumn& column : columns) {
    std::string name = "/history/" + column.name;
    for (std::size_t k = 9; k < name.size(); ++k)
      if (name[k] == '/') name[k] = '_';
    INFO(name);
    std::vector<double> expected;
    for (const solver::HistoryRow& row : run.result.rows) expected.push_back(column.value(row));
    CHECK(same_bits(file.numbers(name), expected));
    if (column.words.empty())
      CHECK(file.text_attribute(name, "unit") == (column.unit == "-" ? "1" : column.unit));
    else
      CHECK(file.texts_attribute(name, "words") == column.words);
  }
  // Not by way of the table: the table itself could be wrong.
  const auto reading = file.numbers("/history/die thermocouple reading");
  const auto heat = file.numbers("/history/joule heat in lower disc _ powder");
  const auto drive = file.integers("/history/drive");
  const auto words = file.texts_attribute("/history/drive", "words");
  for (std::size_t k = 0; k < reading.size(); ++k) {
    CHECK(reading[k] == run.result.rows[k].sensors[0].reading_K);
    CHECK(heat[k] == run.result.rows[k].joule_by_part_W[2]);
    CHECK(words[drive[k]] == tools::mode_name(run.result.rows[k].mode));
  }
}

}  // namespace

TEST_CASE("results.h5 read back: attributes, mesh, fields, history, ledger and case, to the bit") {
  const Folder folder("whole");
  const Run run;
  REQUIRE(run.result.status == solver::RunStatus::completed);
  REQUIRE(run.fields.size() == 5);  // 0, 20, 30, 40, 60 s
  tools::ResultsFile writer(folder.path, head, run.problem);
  for (const auto& row : run.result.rows) writer.add(row);
  for (const auto& f : run.fields) writer.add(f);
  CHECK(fs::exists(folder.path / "results.h5.part"));
  CHECK(!fs::exists(folder.path / "results.h5"));
  writer.finish(run.result);
  CHECK(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator{}) == 1);

  const auto file = tools::h5::File::open(folder.path / "results.h5");
  CHECK(file.text_attribute("/", "format") == "joulepress.results/1");
  CHECK(file.text_attribute("/", "version") == head.version);
  CHECK(file.text_attribute("/", "case_sha256") == head.case_sha256);
  CHECK(file.text_attribute("/", "status") == "completed");
  CHECK(file.texts("/case") == std::vector<std::string>{head.case_text});
  check_fields(file, run);
  check_history(file, run);
  CHECK(file.numbers("/ledger/electric").at(0) == run.result.ledger.electric);
  CHECK(file.numbers("/ledger/stored").at(0) == run.result.ledger.stored);

  const auto volume = file.numbers("/mesh/volume");
  CHECK(same_bits(volume, run.problem.mesh.volume));
  const auto part = file.integers("/mesh/part");
  const auto names = file.texts("/mesh/part_names");
  CHECK(names.size() == run.problem.parts.size());
  CHECK(file.texts("/mesh/material_names").size() == names.size());
  const auto r_low = file.numbers("/mesh/r_low"), r_high = file.numbers("/mesh/r_high"),
             z_low = file.numbers("/mesh/z_low"), z_high = file.numbers("/mesh/z_high");
  std::vector<double> by_part(names.size(), 0.0);
  for (std::size_t i = 0; i < volume.size(); ++i) {
    by_part[part[i]] += volume[i];
    CHECK(volume[i] ==
          doctest::Approx(M_PI * (r_high[i] * r_high[i] - r_low[i] * r_low[i]) * (z_high[i] - z_low[i])));
  }
  // Die of 50 mm outside, 20.4 mm inside, 36 mm high; powder of 20 mm, 5 mm high.
  for (std::size_t k = 0; k < names.size(); ++k) {
    if (names[k] == "die") CHECK(by_part[k] == doctest::Approx(M_PI * (625 - 10.2 * 10.2) * 36e-9));
    if (names[k] == "powder") CHECK(by_part[k] == doctest::Approx(M_PI * 100 * 5e-9));
  }
}

TEST_CASE("results.h5: the same bytes twice, also when a writer goes on from what exists") {
  const Folder one("one"), two("two");
  const Run run;
  tools::ResultsFile first(one.path, head, run.problem);
  for (const auto& row : run.result.rows) first.add(row);
  for (const auto& f : run.fields) first.add(f);
  first.finish(run.result);
  const std::size_t half = run.result.rows.size() / 2;
  tools::Results begun;
  begun.rows.assign(run.result.rows.begin(), run.result.rows.begin() + half);
  begun.fields.assign(run.fields.begin(), run.fields.begin() + 2);
  tools::ResultsFile second(two.path, head, run.problem, begun);
  for (std::size_t k = half; k < run.result.rows.size(); ++k) second.add(run.result.rows[k]);
  for (std::size_t k = 2; k < run.fields.size(); ++k) second.add(run.fields[k]);
  second.finish(run.result);
  CHECK(tools::read_whole(one.path / "results.h5") == tools::read_whole(two.path / "results.h5"));
}

TEST_CASE("results.h5.part: readable while the run goes on, its rows the first ones, no ledger") {
  const Folder folder("part");
  const Run run;
  tools::ResultsFile writer(folder.path, head, run.problem);
  writer.add(run.fields.front());
  const auto file = tools::h5::File::open(folder.path / "results.h5.part");
  CHECK(file.text_attribute("/", "status") == "running");
  CHECK(file.shape("/fields/temperature") == std::vector<std::uint64_t>{1, run.problem.mesh.volume.size()});
  CHECK(file.shape("/history/time") == std::vector<std::uint64_t>{0});
  CHECK(!file.has("/ledger"));
}

TEST_CASE("results that cannot be written are a file error that names the file") {
  const Folder folder("refused");
  const solver::Problem problem = heated_stack();
  fs::create_directory(folder.path / "results.h5.part.new");  // in the way
  tools::ResultsFile writer(folder.path, head, problem);
  try {
    writer.add(solver::HistoryRow{});
    FAIL("written through a folder");
  } catch (const tools::FileError& error) {
    CHECK(std::string(error.what()).find("results.h5.part.new") != std::string::npos);
  }
  std::ofstream(folder.path / "fields") << "a file where the folder should be";
  CHECK_THROWS_AS(tools::FieldSeries(folder.path, problem, 0), tools::FileError);
  CHECK_THROWS_AS(tools::h5::File::open(folder.path / "fields"), tools::FileError);
}

TEST_CASE("names that two things share stay apart in results.h5") {
  const Folder folder("names");
  Run run;
  run.problem.parts[0].name = "a/b";
  run.problem.parts[1].name = "a_b";
  tools::ResultsFile writer(folder.path, head, run.problem);
  for (const auto& row : run.result.rows) writer.add(row);
  writer.finish(run.result);
  const auto file = tools::h5::File::open(folder.path / "results.h5");
  const auto first = file.numbers("/history/joule heat in a_b"),
             second = file.numbers("/history/joule heat in a_b (2)");
  CHECK(first.back() == run.result.rows.back().joule_by_part_W[0]);
  CHECK(second.back() == run.result.rows.back().joule_by_part_W[1]);
}

TEST_CASE("fields for viewers: a file for every time, the same bytes twice, listed in seconds when done") {
  const Folder one("vtk-one"), two("vtk-two");
  const Run run;
  for (const Folder* folder : {&one, &two}) {
    tools::FieldSeries series(folder->path, run.problem, 0);
    for (const auto& f : run.fields) series.add(f);
    CHECK(!fs::exists(folder->path / "fields.pvd"));
    series.finish();
  }
  int files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(one.path)) {
    if (entry.is_directory()) continue;
    ++files;
    CHECK(entry.path().extension() != ".part");
    CHECK(tools::read_whole(entry.path()) ==
          tools::read_whole(two.path / fs::relative(entry.path(), one.path)));
  }
  CHECK(files == 6);
  const std::string list = tools::read_whole(one.path / "fields.pvd");
  for (const char* entry : {"timestep=\"20\" group=\"\" part=\"0\" file=\"fields/0001.vtu\"",
                            "timestep=\"60\" group=\"\" part=\"0\" file=\"fields/0004.vtu\""})
    CHECK(list.find(entry) != std::string::npos);
  std::ofstream(one.path / "fields" / "mine.txt") << "not ours";
  tools::remove_field_series(one.path);
  CHECK(!fs::exists(one.path / "fields.pvd"));
  CHECK(!fs::exists(one.path / "fields" / "0000.vtu"));
  CHECK(fs::exists(one.path / "fields" / "mine.txt"));
}

TEST_CASE(
    "history.csv: every value under its name, empty where there is nothing, names quoted that need it") {
  solver::HistoryFrame frame;
  frame.part_names = {"die", "punch, \"upper\""};
  frame.sensor_names = {"couple"};
  frame.powder_names = {"low", "high"};
  solver::HistoryRow row;
  row.time_s = 1;
  row.programme_s = 0.5;
  row.mode = solver::DriveMode::at_limit;
  row.limit = solver::Limit::voltage;
  row.target = std::nan("");
  row.current_A = 2;
  row.voltage_V = 3;
  row.power_W = 6;
  row.current_mean_A = 1.5;
  row.voltage_mean_V = 2.5;
  row.taps_V = 2.75;
  row.sensors = {{.material_K = 301, .reading_K = 300, .stem_bound_K = 1, .settled_K = 299.5}};
  row.powder = solver::PowderValue{310, 311, 312, 313, 314, 315};
  row.powder->density_mean = 0.5;
  row.powder->density_min = 0.25;
  row.powder->density_max = 0.75;
  row.powder->layer_min = 0.375;
  row.powder->layer_max = 0.625;
  row.powder->apart_spread = 0.125;
  row.force_N = 70;
  row.on_powder_N = 71;
  row.side_pressure_Pa = 73;
  row.press_W = 72;
  row.stroke = {1, 2, 4, -8, -16};
  row.powders = {{.mean_K = 320}, {.mean_K = 321}};
  row.tool_max_K = 330;
  row.tool_max_part = 1;
  row.tool_max_r = 0.25;
  row.tool_max_z = 0.5;
  row.contact_heat_W = 40;
  row.film_low_W = 41;
  row.film_high_W = 42;
  row.fixed_W = 43;
  row.stored_W = 44;
  row.joule_by_part_W = {50, 51};
  row.radiation_by_part_W = {60, 61};
  CHECK(tools::history_csv(frame, {row}) ==
        "time [s],programme time [s],drive,limit,programme [SI],current effective [A],"
        "voltage [V],power [W],current mean [A],voltage mean [V],voltage at taps [V],"
        "couple reading [K],couple material [K],couple settled [K],couple stem bound [K],"
        "couple sees [-],powder mean [K],powder centre [K],powder edge [K],powder coldest [K],"
        "powder hottest [K],die wall [K],relative density mean [-],relative density lowest [-],"
        "relative density highest [-],relative density loosest layer [-],"
        "relative density densest layer [-],density spread bound [-],current share powder [-],"
        "low mean [K],high mean [K],force [N],force in powder [N],side pressure [Pa],"
        "press work [W],stroke [m],stroke by densification [m],stroke elastic [m],"
        "stroke of frame [m],stroke by thermal growth [m],stroke of foils [m],hottest tool [K],"
        "hottest tool part,hottest tool r [m],hottest tool z [m],contact heat [W],film low [W],"
        "film high [W],fixed surfaces [W],stored [W],joule heat in die [W],\"joule heat in punch,"
        " \"\"upper\"\" [W]\",radiation of die [W],\"radiation of punch, \"\"upper\"\" [W]\"\n1,"
        "0.5,at limit,voltage,,2,3,6,1.5,2.5,2.75,300,301,299.5,1,1,310,311,312,313,314,315,0.5,"
        "0.25,0.75,0.375,0.625,0.125,,320,321,70,71,73,72,-17,1,2,4,-8,-16,330,\"punch,"
        " \"\"upper\"\"\",0.25,0.5,40,41,42,43,44,50,51,60,61\n");
}

TEST_CASE("history.csv: thermoelectric columns where the heats count, and nowhere else") {
  solver::HistoryFrame frame;
  frame.part_names = {"rod"};
  solver::HistoryRow row;
  row.joule_by_part_W = row.radiation_by_part_W = {0.0};
  row.seebeck_V = 0.25;
  row.thermoelectric_W = -12.5;
  CHECK(tools::history_csv(frame, {row}).find("seebeck") == std::string::npos);
  frame.thermoelectric = true;
  const std::string text = tools::history_csv(frame, {row});
  CHECK(text.find(",stored [W],seebeck voltage [V],thermoelectric heat [W],joule heat in rod [W],") !=
        std::string::npos);
  CHECK(text.find(",0.25,-12.5,") != std::string::npos);
}
