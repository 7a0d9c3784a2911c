#include "tools/html/page.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/html/document.hpp"
#include "tools/html/page_data.hpp"
#include "tools/html/sections.hpp"

namespace joulepress::tools::html {
Matter matter_of(const std::filesystem::path& folder, Language language) {
  StoredResults results = read_results(folder);
  StoredFields fields = read_fields(folder, results);
  cases::Case c = cases::read_case(folder / "resolved_case.yaml", results.case_text);
  solver::Problem problem = cases::build_problem(c);
  return {std::move(results), std::move(fields), std::move(c), std::move(problem), Words(language)};
}

std::string page_of(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  const std::string body = "<div class=\"top\">\n" + answer_section(m) + stack_section(m) + "</div>\n" +
                           history_section(m) + fields_section(m) + picture_sections(m) + trust_section(m) +
                           sources_section(m) + methods_section(m) + case_section(m) +
                           cautions_section(m.say);
  const std::string below =
      fmt::format("joulepress {} · {} {}", s.version, m.say("case"), s.case_sha256.substr(0, 12));
  return html_of({s.title.empty() ? m.say("a run") : s.title, below, body, true}, m.say, page_data(m));
}

}  // namespace joulepress::tools::html
