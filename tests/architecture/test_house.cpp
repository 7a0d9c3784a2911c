// The house rule: {mesh, materials} <- solver <- cases <- tools.  Read from the sources themselves.
#include <doctest/doctest.h>
#include <yaml-cpp/yaml.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;
const std::vector<std::string> folders{"mesh", "materials", "solver", "cases", "tools"};

struct Source {
  std::string folder, name;
  std::vector<std::string> lines;
};

std::vector<Source> sources() {
  std::vector<Source> all;
  for (const std::string& folder : folders) {
    for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
      const std::string extension = entry.path().extension().string();
      if (extension != ".cpp" && extension != ".hpp") continue;
      Source source{folder, fs::relative(entry.path(), root).string(), {}};
      std::ifstream stream(entry.path());
      for (std::string line; std::getline(stream, line);) source.lines.push_back(line);
      all.push_back(std::move(source));
    }
  }
  return all;
}

/// Name between the quotes or brackets of an include line; empty for other lines.
std::string included(const std::string& line) {
  if (line.rfind("#include", 0) != 0) return {};
  const auto from = line.find_first_of("\"<"), to = line.find_last_of("\">");
  return line.substr(from + 1, to - from - 1);
}

/// Whether a line defines a variable that can change and outlives a call.  The formatter puts everything of
/// namespace scope at column 0, so that a definition there is a global; an indented `static` is one in
/// disguise.
bool is_mutable_static(const std::string& line) {
  const std::size_t first = line.find_first_not_of(' ');
  if (first == std::string::npos) return false;
  // What stands before a value, split into words; a parenthesis there makes it a function.
  const std::size_t stop = line.find_first_of("={;", first);
  if (stop == std::string::npos) return false;
  const std::string head = line.substr(first, stop - first);
  if (head.find_first_of("()#/}") != std::string::npos || head.find("operator") != std::string::npos)
    return false;
  std::istringstream stream(head);
  std::vector<std::string> words;
  for (std::string word; stream >> word;) words.push_back(word);
  if (words.size() < 2) return false;
  static const std::set<std::string> storage{"static", "inline", "thread_local"};
  static const std::set<std::string> not_variables{"using",   "typedef",   "return",   "struct", "class",
                                                   "enum",    "namespace", "template", "extern", "friend",
                                                   "public:", "private:",  "case",     "else"};
  static const std::set<std::string> fixed{"const", "constexpr", "consteval"};
  std::size_t type = 0;
  while (type < words.size() && storage.count(words[type])) ++type;
  if (type + 1 >= words.size() || fixed.count(words[type]) || not_variables.count(words[type])) return false;
  return first == 0 || words[0] == "static" || words[0] == "thread_local";
}

}  // namespace

TEST_CASE("folders include only what the house allows") {
  const std::map<std::string, std::set<std::string>> allowed{
      {"mesh", {"mesh"}},
      {"materials", {"materials"}},
      {"solver", {"solver", "mesh", "materials"}},
      {"cases", {"cases", "solver", "mesh", "materials"}},
      {"tools", {"tools", "cases", "solver", "mesh", "materials"}}};
  int seen = 0;
  for (const Source& source : sources()) {
    for (const std::string& line : source.lines) {
      const std::string name = included(line);
      const std::string folder = name.substr(0, name.find('/'));
      if (!allowed.count(folder)) continue;
      ++seen;
      INFO(source.name << " includes " << name << ": {mesh, materials} <- solver <- cases <- tools");
      CHECK(allowed.at(source.folder).count(folder) == 1);
    }
  }
  CHECK(seen > 50);
}

TEST_CASE("the mathematics of many runs knows nothing of a run") {
  int seen = 0;
  for (const Source& source : sources()) {
    if (source.name.rfind("solver/inverse/", 0) != 0) continue;
    ++seen;
    for (const std::string& line : source.lines) {
      const std::string name = included(line);
      INFO(source.name << " includes " << name);
      CHECK((name.rfind("solver/", 0) != 0 || name.rfind("solver/inverse/", 0) == 0));
      for (const char* folder : {"mesh/", "materials/"}) CHECK(name.rfind(folder, 0) != 0);
    }
  }
  CHECK(seen > 5);
}

TEST_CASE("libraries enter where they belong") {
  const std::map<std::string, std::set<std::string>> homes{
      {"yaml-cpp/", {"cases/reader/source_node.cpp"}},
      {"Eigen/",
       {"solver/factor.cpp", "solver/esdirk.cpp", "solver/enclosure.cpp", "solver/inverse/least_squares.cpp",
        "solver/inverse/learned.cpp", "solver/inverse/principal_directions.cpp", "solver/inverse/ranking.cpp",
        "solver/solid/body.cpp"}},
      {"boost/",
       {"solver/inverse/sampling.cpp", "solver/inverse/quantiles.cpp", "solver/inverse/distribution.cpp"}},
      {"hdf5", {"tools/store/h5.cpp"}},
      {"vtk", {"tools/vtk/vtu_module.cpp"}}};
  for (const Source& source : sources()) {
    for (const std::string& line : source.lines) {
      const std::string name = included(line);
      for (const auto& [library, places] : homes) {
        if (name.rfind(library, 0) != 0) continue;
        INFO(source.name << " includes " << name);
        CHECK(places.count(source.name) == 1);
      }
      if (source.folder == "tools") continue;
      INFO(source.name << " includes " << name << ": files, clock and screen belong to tools");
      for (const char* outer : {"nlohmann/", "CLI/", "chrono", "iostream", "openssl/"})
        CHECK(name.rfind(outer, 0) != 0);
    }
  }
}

TEST_CASE("no file longer than 450 lines") {
  for (const Source& source : sources()) {
    INFO(source.name);
    CHECK(source.lines.size() <= 450);
  }
}

TEST_CASE("every deliberate fault finds its place once") {
  const YAML::Node faults = YAML::LoadFile((root / "tests" / "mutations" / "faults.yaml").string());
  CHECK(faults.size() > 100);
  for (const YAML::Node& fault : faults) {
    const std::string file = fault["file"].as<std::string>(), was = fault["was"].as<std::string>();
    std::ostringstream text;
    text << std::ifstream(root / file).rdbuf();
    const std::string source = text.str();
    const std::size_t at = source.find(was);
    CHECK_MESSAGE(at != std::string::npos, file << " has no \"" << was << "\"");
    CHECK_MESSAGE(source.find(was, at + 1) == std::string::npos, file << " has it twice: " << was);
  }
}

TEST_CASE("no variable that can change outlives a call") {
  for (const char* bad : {"int counter = 0;", "std::vector<double> cache;", "static int calls;",
                          "  static double last = 0.0;", "std::map<int, double> known{{1, 2.0}};",
                          "inline Settings settings;", "  thread_local int depth = 0;", "double table[4];"}) {
    INFO(bad);
    CHECK(is_mutable_static(bad));
  }
  for (const char* good :
       {"constexpr double room = 298.15;", "inline constexpr int n = 3;", "double area(int k);",
        "  static const std::regex word(\"a\");", "struct Part {", "using Layout = int;",
        "enum class Axis { r, z };", "  double local = 0.0;", "}  // namespace",
        "  static double of(int k) { return k; }", "const std::set<int> primes{2, 3};",
        "Factor& Factor::operator=(Factor&&) noexcept = default;"}) {
    INFO(good);
    CHECK(!is_mutable_static(good));
  }
  // What a signal handler may set and threads may read.
  const std::set<std::string> allowed{"std::atomic<bool> stop_asked"};
  for (const Source& source : sources()) {
    for (const std::string& line : source.lines) {
      if (!is_mutable_static(line)) continue;
      INFO(source.name << ": " << line);
      CHECK(allowed.count(line.substr(0, line.find(" ="))) == 1);
    }
  }
}
