#include <fmt/format.h>

#include "tools/html/vary_page.hpp"
#include "tools/store/files.hpp"
#include "tools/study/advice.hpp"
#include "tools/verbs/study.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int vary_case(const StudyOptions& options) {
  const cases::Plan plan = cases::read_plan(options.file);
  const Wishes wishes = wishes_of(plan);
  const std::vector<Member> members = crew_members(plan, wishes);
  const CrewResult result = run_members(crew_request(options), members);
  const VaryStudy study = vary_study(plan, wishes, members, result);
  say_who_ran(result, members.size());
  if (!study.complete()) return unfinished(result);
  write_vary_h5(study, options.folder / "table.h5");
  write_whole(options.folder / "table.csv", vary_csv(study));
  write_whole(options.folder / "vary.json", vary_json(study));
  write_whole(options.folder / "report.html", html::vary_page(study, html::Words(options.language)));
  const std::string drawing = advised_part(study, members, plan.case_file.filename().string());
  if (!drawing.empty()) write_whole(options.folder / "part.svg", drawing);
  fmt::print("{}{}\n{}\n{}\nIn {}: report.html, table.csv, table.h5, vary.json{}; each variant in members.\n",
             study.title, study.title.empty() ? "" : "\n", vary_screen(study), advice_screen(study),
             options.folder.string(), drawing.empty() ? "" : ", part.svg");
  return done;
}

}  // namespace joulepress::tools
