// `new`: a scripted dialogue gives a case that reads and builds; bad answers are explained and asked again.
#include <doctest/doctest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/propose_case.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_files.hpp"
#include "cases/stack.hpp"
#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
namespace fs = std::filesystem;

namespace {

struct Folder : test::Folder {
  explicit Folder(const std::string& name) : test::Folder("new-" + name) {}
  int entries() const { return static_cast<int>(std::distance(fs::directory_iterator(path), {})); }
};

struct Talk {
  int code = 0;
  std::string screen;
  bool says(const std::string& words) const { return screen.find(words) != std::string::npos; }
};

Talk talk(const std::string& answers, const fs::path& file, bool replace = false) {
  std::istringstream input(answers);
  std::ostringstream screen;
  const int code = tools::new_case({file, replace, true}, input, screen);
  return {code, screen.str()};
}

/// Lines typed at the start, then Enter for every other question.
std::string typed(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text + std::string(20, '\n');
}

struct Sample {
  const char *diameter, *powder, *amount;
};

const mesh::Block& block(const solver::Problem& p, const std::string& name) {
  for (const mesh::Block& b : p.mesh.layout)
    if (b.name == name) return b;
  throw std::runtime_error("no block " + name);
}

cases::Answers twenty() {
  return {"20 mm",  "alumina", "6 g",       "0.55",         "presses/workshop-30kN.yaml",
          "50 mm",  "40 mm",   "1350 degC", "100 degC/min", "5 min",
          "50 MPa", false};
}

}  // namespace

TEST_CASE("new: every size and powder gives a case that reads and builds, the punches guided and free") {
  const Folder folder("sizes");
  for (const Sample& sample :
       {Sample{"10 mm", "copper", "2 g"}, Sample{"20 mm", "alumina", "6 g"},
        Sample{"20 mm", "nickel", "5 mm"}, Sample{"2 cm", "alumina", ""},
        Sample{"40 mm", "stainless steel", "12 mm"}, Sample{"40 mm", "alumina", "200 g"},
        Sample{"100 mm", "copper", ""}, Sample{"100 mm", "alumina", "1 kg"}, Sample{"5 mm", "alumina", ""},
        Sample{"150 mm", "nickel", "40 mm"}}) {
    INFO(sample.diameter << " " << sample.powder << " " << sample.amount);
    const fs::path file = folder.path / "case.yaml";
    const Talk answer = talk(typed({sample.diameter, sample.powder, sample.amount}), file, true);
    INFO(answer.screen);
    REQUIRE(answer.code == tools::done);
    const cases::Case c = cases::read_case(file);
    CHECK_NOTHROW(cases::build_problem(c));
    const solver::Problem p = cases::build_pressed_problem(c);  // the punches are least far out at the end
    // the sample, its foil and the bore meet; the die stands clear of the spacers but holds both punches
    const mesh::Block &powder = block(p, "powder"), &die = block(p, "die");
    CHECK(powder.r_outer ==
          test::relative(0.5 * cases::parse_quantity(sample.diameter, cases::Kind::length).value));
    CHECK(die.r_inner - powder.r_outer == test::relative(0.2e-3).epsilon(1e-6));
    CHECK(die.z_bottom - block(p, "lower punch").z_bottom >= 5e-3 - 1e-9);
    CHECK(block(p, "upper punch").z_top - die.z_top >= 5e-3 - 1e-9);
    const cases::ColumnPart* part = nullptr;
    for (const cases::ColumnPart& candidate : c.column)
      if (candidate.powder) part = &candidate;
    REQUIRE(part != nullptr);
    const double loose = (powder.z_top - powder.z_bottom) * part->end_density / *part->relative_density;
    CHECK(die.z_top - die.z_bottom >= loose + 2.0 * 2e-3);
    // the bore of the thermocouple ends 3 to 4 mm before the cavity, as in the shipped cases
    REQUIRE(p.sensors.size() == 1);
    CHECK(p.sensors[0].r - die.r_inner >= 3e-3 - 1e-9);
    CHECK(p.sensors[0].r - die.r_inner <= 4e-3 + 1e-9);
    REQUIRE(c.press.force_limit.has_value());
    CHECK(c.programme.pressure.back().to * cases::cross_section(*part) <= *c.press.force_limit);
    // what was typed stands there in the same words
    const std::string text = tools::read_whole(file);
    CHECK(text.find(std::string("diameter: ") + sample.diameter) != std::string::npos);
    CHECK(text.find(sample.amount) != std::string::npos);
    CHECK(text.rfind("# Question:", 0) == 0);
  }
}

TEST_CASE("new: the sizes of the table of typical tool sets, and between its rows") {
  // facts sheet of published set-ups, from memory: 40 mm sample: die 80-90 x 60, punch 35, 80 x 20, 120 x 40
  const cases::ToolSizes forty = cases::usual_tools(40e-3);
  CHECK(forty.die_diameter == test::relative(90e-3));
  CHECK(forty.die_height == test::relative(60e-3));
  CHECK(forty.punch_length == test::relative(35e-3));
  REQUIRE(forty.spacers.size() == 2);
  CHECK(forty.spacers[0].diameter == test::relative(80e-3));
  CHECK(forty.spacers[1].height == test::relative(40e-3));
  const cases::ToolSizes fifty =
      cases::usual_tools(50e-3);  // half-way to 120 x 70, punch 40 (37.5 rounds up)
  CHECK(fifty.die_diameter == test::relative(105e-3));
  CHECK(fifty.die_height == test::relative(65e-3));
  CHECK(fifty.punch_length == test::relative(38e-3));
  CHECK(fifty.published);
  CHECK(!cases::usual_tools(150e-3).published);
  CHECK(cases::usual_tools(10e-3).spacers.size() == 3);
}

TEST_CASE("new: stack and force by hand") {
  const materials::Material alumina = cases::read_material(cases::shipped_material("alumina"));
  const cases::ProposedStack s = cases::proposed_stack(twenty(), alumina);
  const double dense = 6e-3 / (0.99 * 3984.0 * std::numbers::pi * 1e-4);
  CHECK(s.dense_height == test::relative(dense).epsilon(1e-9));
  CHECK(s.loose_height == test::relative(dense * 0.99 / 0.55).epsilon(1e-9));
  CHECK(s.guided == test::relative(0.5 * (40e-3 - s.loose_height) - 0.2e-3).epsilon(1e-9));
  CHECK(s.free == test::relative(25e-3 - (0.5 * (40e-3 - dense) - 0.2e-3)).epsilon(1e-9));
  CHECK(s.force == test::relative(50e6 * std::numbers::pi * 1e-4).epsilon(1e-9));
  CHECK(s.sensor_depth == test::relative(11e-3));  // wall 14.8 mm
  cases::Answers tall = twenty();
  tall.die_height = "80 mm";  // the punches grow with the die
  const cases::ProposedStack t = cases::proposed_stack(tall, alumina);
  CHECK(t.punch_length > s.punch_length);
  CHECK(t.free >= 5e-3 - 1e-9);
}

TEST_CASE("new: a bad answer is explained in the words of the reader and asked again") {
  const Folder folder("bad");
  const fs::path file = folder.path / "case.yaml";
  struct Wrong {
    std::vector<std::string> lines;
    const char* words;
  };
  const std::vector<Wrong> all{
      {{"20"}, "\"20\" has no unit. Write a length with one of: mm, cm, m, um."},
      {{"0 mm"}, "\"0 mm\" is not above 0 mm. Write a value above 0 mm, at most 2 m."},
      {{"20,5 mm"}, "has a decimal comma"},
      {{"", "alumnia"}, "There is no material \"alumnia\". Did you mean \"alumina\"?"},
      {{"", "", "6 s"},
       "\"6 s\" is a time, a length is wanted. Write a mass with one of: g, kg, mg; or a height"},
      {{"", "", "-6 g"}, "\"-6 g\" is not above 0 g."},
      {{"", "", "", "1.2"}, "\"1.2\" is above 1."},
      {{"", "", "", "0.99"}, "is not below the expected end density"},
      {{"", "", "", "", "workshop-30k"},
       "There is no press \"workshop-30k\". Did you mean \"workshop-30kN\"?"},
      {{"", "", "", "", "workshop-hot-press"}, "heats by a furnace, and this writes a case for a current"},
      {{"", "", "", "", "", "21 mm"}, "leaves a wall of 0.3 mm"},
      {{"", "", "", "", "", "", "8 mm"}, "is too short"},
      // 120 MPa on 314.16 mm2
      {{"", "", "", "", "", "", "", "120 MPa"},
       "is 37.7 kN; workshop press, 30 kN gives 30 kN. Write at most 95"},
      {{"", "", "", "", "", "", "", "0 MPa"}, "is not above 0 MPa"},
      {{"", "", "", "", "", "", "", "", "2060 degC"}, "alumina melts at 2050 degC"},
      {{"", "", "", "", "", "", "", "", "20 degC"}, "is not above the 25 degC"},
      {{"", "", "", "", "", "", "", "", "", "powdr"},
       "\"powdr\" is not known here. Did you mean \"powder\"?"},
      {{"", "", "", "", "", "", "", "", "", "", "100 degC"}, "is a temperature, a rate is wanted"},
      {{"", "", "", "", "", "", "", "", "", "", "", "5"}, "\"5\" has no unit"}};
  const std::string plain = [&] {
    REQUIRE(talk(typed({}), file, true).code == tools::done);
    return tools::read_whole(file);
  }();
  for (const Wrong& wrong : all) {
    INFO(wrong.words);
    const Talk answer = talk(typed(wrong.lines), file, true);
    INFO(answer.screen);
    CHECK(answer.code == tools::done);
    CHECK(answer.says(wrong.words));
    // asked again and answered by Enter: the same file as if nothing had happened, byte for byte
    CHECK(tools::read_whole(file) == plain);
  }
}

TEST_CASE("new: when the input ends early nothing is written") {
  const Folder folder("early");
  const std::string whole = std::string(12, '\n');
  for (std::size_t lines = 0; lines < whole.size(); ++lines) {
    const Talk answer = talk(whole.substr(0, lines), folder.path / "case.yaml");
    CHECK(answer.code == tools::bad_input);
    CHECK(answer.says("nothing was written"));
    CHECK(folder.entries() == 0);
  }
  CHECK(talk(whole, folder.path / "case.yaml").code == tools::done);
  CHECK(folder.entries() == 1);
}

TEST_CASE("new: back, files that exist, names that would be taken for a material") {
  const Folder folder("names");
  const fs::path file = folder.path / "case.yaml";
  // what was typed stays the proposal; what was not is proposed anew
  const Talk back = talk(typed({"40 mm", "nickel", "back", "back", "", ""}), file);
  REQUIRE(back.code == tools::done);
  CHECK(back.says("Sample diameter [40 mm]"));
  CHECK(back.says("your own) [nickel]"));
  const std::string text = tools::read_whole(file);
  CHECK(text.find("powder: nickel, diameter: 40 mm, height: 10 mm") != std::string::npos);
  CHECK(text.find("presses/workshop-250kN.yaml") != std::string::npos);

  const Talk exists = talk(typed({}), file);
  CHECK(exists.code == tools::bad_input);
  CHECK(exists.says("exists"));
  CHECK(tools::read_whole(file) == text);
  CHECK(talk(typed({}), folder.path / "alumina.yaml").says("would be taken for the material \"alumina\""));
  CHECK(talk(typed({}), folder.path / "nowhere" / "case.yaml").says("There is no folder"));

  // asked for: refused names are asked again, the ending is added
  const std::string enters(12, '\n');
  const std::string names = file.string() + "\n" + (folder.path / "alumina").string() + "\n" +
                            (folder.path / "mine").string() + "\n";
  const Talk asked = talk(enters + names, {});
  INFO(asked.screen);
  CHECK(asked.code == tools::done);
  CHECK(asked.says("Give another name, or start with --replace."));
  CHECK(fs::exists(folder.path / "mine.yaml"));
  CHECK(folder.entries() == 2);
}

TEST_CASE("new: a private powder and a press file beside the case; a temperature wished for the powder") {
  const Folder folder("private");
  std::ofstream(folder.path / "lot-7.yaml")
      << "material: lot 7\nfrom: nickel\neutectic with carbon: 1329 degC\n";  // Ni-C, as in the fact sheet
  std::ofstream(folder.path / "bench.yaml") << "name: bench\nlimits: {force: 10 kN, current: 1 kA}\n";
  std::ofstream(folder.path / "broken.yaml") << "name: bench\nlimits: {force: 10}\n";
  const fs::path file = folder.path / "case.yaml";
  const Talk answer = talk(typed({"20 mm", "lot 7", "", "", "broken.yaml", "bench.yaml", "", "", "12 MPa",
                                  "1340 degC", "1300 degC", "powder"}),
                           file);
  INFO(answer.screen);
  REQUIRE(answer.code == tools::done);
  CHECK(answer.says("\"10\" has no unit."));
  CHECK(answer.says("[31 MPa]"));  // 10 kN on 314.16 mm2 is 31.8 MPa
  CHECK(answer.says("lot 7 in touch with graphite melts at 1329 degC"));
  const std::string text = tools::read_whole(file);
  CHECK(text.find("You wish 1300 degC for the powder") != std::string::npos);
  CHECK(text.find("the press gives 1 kA") != std::string::npos);
  CHECK(text.find("{hold: 12 MPa, for: 2 min}]") != std::string::npos);  // below the usual preload
  const cases::Case c = cases::read_case(file);
  CHECK(c.press.name == "bench");
  CHECK(cases::material_named(c, "lot 7").carbon_eutectic_K.has_value());
}

TEST_CASE("full: a proposed case runs to its end") {
  const materials::Material alumina = cases::read_material(cases::shipped_material("alumina"));
  const cases::Press press = cases::read_press(cases::included_file("presses/workshop-30kN.yaml", {}));
  const std::string text = cases::propose_case(twenty(), alumina, press, "case.yaml");
  CHECK(text == cases::propose_case(twenty(), alumina, press, "case.yaml"));
  const solver::Problem p = cases::build_problem(cases::read_case("case.yaml", text));
  const solver::RunResult result = solver::run(p);
  INFO(result.reason);
  REQUIRE(result.status == solver::RunStatus::completed);
  // 1325 K at 100 K/min, five minutes of hold, five of cooling
  CHECK(result.rows.back().time_s == test::relative(795.0 + 300.0 + 300.0).epsilon(1e-6));
}
