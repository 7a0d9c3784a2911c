#include <fmt/format.h>

#include "tools/html/compare_page.hpp"
#include "tools/screen/comparison.hpp"
#include "tools/screen/results_table.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int compare_results(const CompareRequest& request) {
  const std::vector<std::filesystem::path>& folders = request.folders;
  try {
    std::vector<NamedResults> all;
    for (const std::filesystem::path& folder : folders)
      all.push_back({folder.string(), read_results(folder)});
    for (std::size_t k = 0; k < folders.size(); ++k)
      for (std::size_t j = 0; j < k; ++j)
        if (std::filesystem::equivalent(folders[j], folders[k])) {
          fmt::print(stderr, "\"{}\" and \"{}\" are the same folder; give each once.\n", folders[j].string(),
                     folders[k].string());
          return bad_input;
        }
    fmt::print("{}", all.size() == 2
                         ? comparison(all[0].folder, all[0].results, all[1].folder, all[1].results)
                         : results_table(all));
    if (!request.page.empty()) write_whole(request.page, html::compare_page(all));
    return done;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
}

}  // namespace joulepress::tools
