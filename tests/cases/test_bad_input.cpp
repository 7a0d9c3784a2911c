// Every case in tests/bad_input is refused with exactly the text beside it, and nothing else.  (Plans:
// tests/tools/test_bad_plans.cpp.)
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress::cases;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "bad_input";

std::vector<fs::path> bad_cases() {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".yaml" && !entry.path().filename().string().starts_with("plan-"))
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

/// The message with the folder taken out, so that it is the same wherever the tree stands.
std::string message_of(const fs::path& file) {
  try {
    load_case(file);
  } catch (const InputErrors& errors) {
    return joulepress::test::without_folders(errors.what(), {folder, JOULEPRESS_SOURCE_DIR});
  }
  return "accepted";
}

const InputErrors errors_of(const fs::path& file) {
  try {
    load_case(file);
  } catch (const InputErrors& errors) {
    return errors;
  }
  FAIL("accepted: " << file.string());
  return {{}, ""};
}

}  // namespace

TEST_CASE("every bad case is refused with the text beside it") {
  const auto files = bad_cases();
  CHECK(files.size() >= 65);
  for (const fs::path& file : files) {
    fs::path expected = file;
    expected.replace_extension(".txt");
    CAPTURE(file.filename().string());
    CHECK(fs::exists(expected));
    CHECK(message_of(file) == joulepress::test::content(expected));
  }
}

TEST_CASE("all mistakes of a file come in one pass, in the order of its lines") {
  const InputErrors errors = errors_of(folder / "many-at-once.yaml");
  std::vector<int> lines;
  for (const InputError& error : errors.errors()) lines.push_back(error.place.line);
  CHECK(std::is_sorted(lines.begin(), lines.end()));
  for (const int line : {1, 5, 6, 9, 11, 13, 16})  // the seven lines with a mistake
    CHECK(std::count(lines.begin(), lines.end(), line) >= 1);
}

TEST_CASE("one mistake of each class: all of them are found in one pass, also those of the stack") {
  CHECK(errors_of(folder / "one-of-each-class.yaml").errors().size() == 11);
}

TEST_CASE("the caret stands under the mistake even after umlauts") {
  const InputErrors errors = errors_of(folder / "umlaut-before-the-mistake.yaml");
  std::istringstream text(errors.what());
  std::string line, marked;
  for (; std::getline(text, line); marked = line)
    if (line.find('^') != std::string::npos) break;
  const std::size_t key = marked.find("iner diameter");
  REQUIRE(key != std::string::npos);
  const auto wide = std::count_if(marked.begin(), marked.begin() + static_cast<std::ptrdiff_t>(key),
                                  [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; });
  CHECK(wide == 2);  // two umlauts of two bytes each
  CHECK(line.find('^') == key - static_cast<std::size_t>(wide));
}
