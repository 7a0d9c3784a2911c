#include <fmt/format.h>

#include "tools/screen/comparison.hpp"
#include "tools/store/results_read.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int compare_results(const std::filesystem::path& a, const std::filesystem::path& b) {
  try {
    const StoredResults of_a = read_results(a), of_b = read_results(b);
    if (std::filesystem::equivalent(a, b)) {
      fmt::print(stderr, "\"{}\" and \"{}\" are the same folder; give two.\n", a.string(), b.string());
      return bad_input;
    }
    fmt::print("{}", comparison(a.string(), of_a, b.string(), of_b));
    return done;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
}

}  // namespace joulepress::tools
