// The page of a run: what it says, in both languages, for all kinds of runs; that texts are never markup;
// that its policy names what it carries.  How it behaves in a browser: tests/browser/page.py.
#include <doctest/doctest.h>
#include <openssl/evp.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>

#include "solver/summary.hpp"
#include "tests/support/text.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/page.hpp"
#include "tools/html/page_data.hpp"
#include "tools/html/pictures.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using test::holds;
namespace fs = std::filesystem;
namespace html = tools::html;

namespace {

const fs::path cases_folder = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";

/// Results of a case in a folder of their own; gone at the end.
struct Run {
  fs::path folder;
  explicit Run(const std::string& name, const std::string& old = "", const std::string& then = "")
      : folder(fs::temp_directory_path() / ("joulepress-page-" + name + "-" + std::to_string(getpid()))) {
    fs::remove_all(folder);
    fs::create_directories(folder);
    std::string text = tools::read_whole(cases_folder / (name + ".yaml"));
    if (const std::size_t at = text.find(old); !old.empty() && at != std::string::npos)
      text.replace(at, old.size(), then);
    for (const auto& entry : fs::directory_iterator(cases_folder))
      if (entry.is_directory()) fs::create_directory_symlink(entry.path(), folder / entry.path().filename());
    tools::write_whole(folder / "case.yaml", text);
    tools::run_case({folder / "case.yaml", folder / "out", true});
  }
  Run(const Run&) = delete;
  Run& operator=(const Run&) = delete;
  ~Run() { fs::remove_all(folder); }
  std::string page() const { return tools::read_whole(folder / "out" / "report.html"); }
  html::Matter matter(html::Language language = html::Language::english) const {
    return html::matter_of(folder / "out", language);
  }
};

/// The numbers of a packed list, by the rule that page_data.hpp states.
std::vector<double> unpacked(const nlohmann::json& packed) {
  const std::string text = packed.at("values");
  std::vector<unsigned char> bytes(text.size() / 4 * 3 + 1);
  REQUIRE(EVP_DecodeBlock(bytes.data(), reinterpret_cast<const unsigned char*>(text.data()),
                          static_cast<int>(text.size())) >= 0);
  std::vector<double> values;
  const double low = packed.at("low"), high = packed.at("high");
  for (std::size_t k = 0; k + 2 < text.size() / 4 * 3; k += 3)
    values.push_back(low +
                     (high - low) * (65536.0 * bytes[k] + 256.0 * bytes[k + 1] + bytes[k + 2]) / 16777215.0);
  return values;
}

}  // namespace

TEST_CASE("page: what to enter follows powder and reading in proportion") {
  // 1000 K above the start are asked for, 1200 K come: 1000 / 1.2 above the start bring 1000.
  CHECK(solver::first_entry_K(300.0, 1300.0, 1500.0, 1300.0) ==
        doctest::Approx(300.0 + 1000.0 / 1.2).epsilon(1e-12));
  CHECK(solver::first_entry_K(300.0, 1300.0, 1300.0, 1300.0) == 1300.0);
}

TEST_CASE("page: the answer, every section, a title that is no markup, and its policy") {
  const Run run("heated-rod", "title:", "title: \"<script>alert(1)</script> & <b>x</b>\" #");
  const std::string page = run.page();
  CHECK(holds(page, "<title>&lt;script&gt;alert(1)&lt;/script&gt; &amp; &lt;b&gt;x&lt;/b&gt;</title>"));
  CHECK(!holds(page, "<script>alert"));
  CHECK(!holds(page, "<b>x"));
  for (const char* id :
       {"answer", "stack", "history", "fields", "current", "trust", "sources", "methods", "case", "cautions"})
    CHECK_MESSAGE(holds(page, "<section id=\"" + std::string(id) + "\""), id);
  const std::size_t body = page.find("<body>");
  CHECK(!holds(page.substr(body, page.find("<script>", body) - body), " style="));  // the policy forbids them

  // Every script that runs and the style, hashed anew, stand in the policy (W3C CSP3, 2.3.1), and no other.
  std::smatch policy;
  REQUIRE(std::regex_search(page, policy, std::regex("script-src([^;]*); style-src '([^']*)'")));
  std::size_t scripts = 0;
  for (std::size_t at = page.find("<script>"); at != std::string::npos;
       at = page.find("<script>", at + 1), ++scripts) {
    const std::string script = page.substr(at + 8, page.find("</script>", at) - at - 8);
    CHECK(holds(policy[1], "'" + html::policy_hash(script) + "'"));
  }
  const std::string listed = policy[1];
  CHECK(scripts == 3);
  CHECK(std::count(listed.begin(), listed.end(), '\'') == 6);
  const std::size_t style = page.find("<style>") + 7;
  CHECK(policy[2] == html::policy_hash(page.substr(style, page.find("</style>") - style)));
}

TEST_CASE("page: the hash of a policy, against the example of the standard") {
  // W3C CSP Level 3, 6.7.3.3 (from memory): alert('Hello, world.'); has this hash.
  CHECK(html::policy_hash("alert('Hello, world.');") ==
        "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=");
}

TEST_CASE("page: fields are those of the file within a part in sixteen million") {
  const Run run("heated-rod");
  const html::Matter m = run.matter();
  const nlohmann::json data = html::page_data(m);
  const std::vector<std::size_t> frames = html::frames_of(m);
  REQUIRE(frames.size() == data.at("frames").size());
  CHECK(frames.front() == 0);
  CHECK(frames.back() + 1 == m.fields.times.size());
  const std::size_t n = m.results.cells.part.size();
  const nlohmann::json& temperature = data.at("fields").at(0);
  CHECK(temperature.at("key") == "temperature");
  double worst = 0.0, span = 0.0;
  for (std::size_t k = 0; k < frames.size(); ++k) {
    const std::vector<double> values = unpacked(temperature.at("frames").at(k));
    REQUIRE(values.size() == n);
    span = std::max(span, temperature.at("frames").at(k).at("high").get<double>() -
                              temperature.at("frames").at(k).at("low").get<double>());
    for (std::size_t cell = 0; cell < n; ++cell)
      worst = std::max(worst, std::abs(values[cell] - m.fields.temperature[frames[k] * n + cell]));
  }
  CHECK(span > 100.0);
  CHECK(worst <= 0.51 * span / 16777215.0);
}

TEST_CASE("page: a run that failed says so first, and shows what there is") {
  // Alumina is known to 1727 degC, and comes to more.
  const Run run("alumina-20mm", "title:", "numerics: {strict: on}\ntitle:");
  const std::string page = run.page();
  const std::size_t failed = page.find("<strong>FAILED</strong>");
  REQUIRE(failed != std::string::npos);
  CHECK(failed < page.find("<p>", page.find("</div>", failed)));
  CHECK(failed < page.find("<table"));
  CHECK(holds(page, "The stack at the end"));
}

TEST_CASE("full: page: shipped cases of every kind, in German without a word that is missing") {
  for (const char* name : {"alumina-20mm", "furnace-heated-20mm", "insulation-17mm-felt-wall",
                           "two-pellets-20mm", "graphite-column"}) {
    INFO(name);
    const Run run(name);
    const html::Matter m = run.matter(html::Language::german);
    const std::string page = html::page_of(m);
    CHECK(holds(page, "<html lang=\"de\">"));
    CHECK(holds(page, "Die Antwort"));
    CHECK(page.size() < 3'000'000);
    CHECK(html::pictures_of(m).size() >= 3);
    // What the programme gives stands below the table, so that the number to enter comes first.
    const std::size_t gives = page.find("gibt das Programm, wie es ist");
    CHECK((gives != std::string::npos) == m.tracked());
    if (m.tracked()) {
      const tools::StoredHold& hold = m.results.summary.holds.back();
      CHECK(gives > page.find("id=\"answer-table\""));
      CHECK(holds(page, "dem Pulver " + m.say.celsius(hold.sample_mean_K) + " im Mittel (" +
                            m.say.celsius(hold.sample_min_K) + " bis "));
      CHECK(holds(page, "Es liegt insgesamt "));
    }
    if (m.furnace()) {
      CHECK(!holds(page, "<section id=\"current\""));
      CHECK(holds(page, "Ofen"));
    }
  }
}
