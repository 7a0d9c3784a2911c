#include <fmt/format.h>

#include "tools/html/page.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

void write_report(const std::filesystem::path& folder, html::Language language) {
  write_whole(folder / "report.html", html::page_of(html::matter_of(folder, language)));
}

int report_results(const ReportRequest& request) {
  const auto language = html::language_of(request.language);
  if (!language) {
    fmt::print(stderr, "There is no report in \"{}\"; there are english and german.\n", request.language);
    return bad_input;
  }
  try {
    write_report(request.folder, *language);
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
  fmt::print("{}\n", (request.folder / "report.html").string());
  return done;
}

}  // namespace joulepress::tools
