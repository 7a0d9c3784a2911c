#include "tools/html/page.hpp"

#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/html/assets.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/page_data.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

std::string head(const Matter& m) {
  const std::string policy = fmt::format(
      "default-src 'none'; script-src '{}' '{}'; style-src '{}'; img-src data:; base-uri 'none'; form-action "
      "'none'",
      policy_hash(charts_script), policy_hash(page_script), policy_hash(page_style));
  const std::string& title = m.results.summary.title;
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, "
      "initial-scale=1\">\n<title>{}</title>\n<style>{}</style>\n</head>\n",
      m.say.tag(), policy, svg::escaped(title.empty() ? m.say("a run") : title), page_style);
}

}  // namespace

Matter matter_of(const std::filesystem::path& folder, Language language) {
  StoredResults results = read_results(folder);
  StoredFields fields = read_fields(folder, results);
  cases::Case c = cases::read_case(folder / "resolved_case.yaml", results.case_text);
  solver::Problem problem = cases::build_problem(c);
  return {std::move(results), std::move(fields), std::move(c), std::move(problem), Words(language)};
}

std::string page_of(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  std::string text = head(m);
  text += fmt::format("<body>\n<header>\n<h1>{}</h1>\n<p>joulepress {} · {} {}</p>\n</header>\n<main>\n",
                      svg::escaped(s.title.empty() ? m.say("a run") : s.title), svg::escaped(s.version),
                      m.say("case"), s.case_sha256.substr(0, 12));
  text += answer_section(m) + stack_section(m) + history_section(m) + fields_section(m) +
          picture_sections(m) + trust_section(m) + sources_section(m) + methods_section(m) + case_section(m) +
          cautions_section(m);
  text += "</main>\n<script type=\"application/json\" id=\"data\">" + page_data(m) + "</script>\n";
  text +=
      fmt::format("<script>{}</script>\n<script>{}</script>\n</body>\n</html>\n", charts_script, page_script);
  return text;
}

}  // namespace joulepress::tools::html
