// Every key can be asked for, and the documents made from the key table are up to date.
#include <doctest/doctest.h>

#include <filesystem>

#include "cases/many/plan.hpp"
#include "cases/reader/keys.hpp"
#include "tools/reference/explain.hpp"
#include "tools/store/files.hpp"
#include "tools/study/vary_study.hpp"

using namespace joulepress;

namespace {
const std::filesystem::path root = JOULEPRESS_SOURCE_DIR;
}

TEST_CASE("reference: every key is explained by its address, others are not") {
  for (const cases::Key& key : cases::all_keys()) {
    CAPTURE(cases::address_of(key));
    CHECK(tools::explain(cases::address_of(key)).has_value());
  }
  CHECK(!tools::explain("colum").has_value());
}

TEST_CASE("reference: what the plan of all keys looks at is known") {
  CHECK_NOTHROW(tools::wishes_of(cases::read_plan(root / "tests" / "all_keys" / "plan.yaml")));
}

TEST_CASE("reference: the generated documents are up to date") {
  // tools/check fails here until `joulepress explain --reference > docs/case_reference.md` (and --schema >
  // docs/case.schema.json) is run after a change of the table.
  CHECK(tools::read_whole(root / "docs" / "case_reference.md") == tools::case_reference());
  CHECK(tools::read_whole(root / "docs" / "case.schema.json") == tools::case_schema());
}
