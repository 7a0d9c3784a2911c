// Every plan in tests/bad_input (plan-*.yaml) is refused with exactly the text beside it, and nothing else.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "cases/many/plan.hpp"
#include "cases/reader/input_error.hpp"
#include "tests/support/text.hpp"
#include "tools/store/files.hpp"
#include "tools/study/vary_study.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "bad_input";

/// The message with the folder taken out, so that it is the same wherever the tree stands.  What a plan
/// wishes to see is read where its keys are in order.
std::string message_of(const fs::path& file) {
  try {
    tools::wishes_of(cases::read_plan(file));
  } catch (const cases::InputErrors& errors) {
    return test::without_folders(errors.what(), {folder, JOULEPRESS_SOURCE_DIR});
  }
  return "accepted";
}

}  // namespace

TEST_CASE("every bad plan is refused with the text beside it") {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".yaml" && entry.path().filename().string().starts_with("plan-"))
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  CHECK(files.size() >= 15);
  for (const fs::path& file : files) {
    fs::path expected = file;
    expected.replace_extension(".txt");
    CAPTURE(file.filename().string());
    REQUIRE(fs::exists(expected));
    CHECK(message_of(file) == tools::read_whole(expected));
  }
}
