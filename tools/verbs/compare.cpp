#include <fmt/format.h>

#include "tools/screen/comparison.hpp"
#include "tools/screen/results_table.hpp"
#include "tools/store/results_read.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

int refuse_twice(const std::filesystem::path& a, const std::filesystem::path& b) {
  fmt::print(stderr, "\"{}\" and \"{}\" are the same folder; give each once.\n", a.string(), b.string());
  return bad_input;
}

}  // namespace

int compare_results(const std::filesystem::path& a, const std::filesystem::path& b) {
  try {
    const StoredResults of_a = read_results(a), of_b = read_results(b);
    if (std::filesystem::equivalent(a, b)) return refuse_twice(a, b);
    fmt::print("{}", comparison(a.string(), of_a, b.string(), of_b));
    return done;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
}

int compare_results(const std::vector<std::filesystem::path>& folders) {
  if (folders.size() == 2) return compare_results(folders[0], folders[1]);
  try {
    std::vector<NamedResults> all;
    for (const std::filesystem::path& folder : folders)
      all.push_back({folder.string(), read_results(folder)});
    for (std::size_t k = 0; k < folders.size(); ++k)
      for (std::size_t j = 0; j < k; ++j)
        if (std::filesystem::equivalent(folders[j], folders[k])) return refuse_twice(folders[j], folders[k]);
    fmt::print("{}", results_table(all));
    return done;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
}

}  // namespace joulepress::tools
