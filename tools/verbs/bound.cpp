#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "tools/html/bound_page.hpp"
#include "tools/store/files.hpp"
#include "tools/study/bound_study.hpp"
#include "tools/verbs/study.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int bound_case(const BoundOptions& options) {
  const cases::Case c = cases::load_case(options.study.file, {}, options.calibration).c;
  const BoundPlan plan = bound_plan(c, options.study.file.parent_path(), options.request);
  const CrewResult result = run_members(crew_request(options.study), plan.members);
  say_who_ran(result, plan.members.size());
  BoundStudy study = bound_study(plan, result);
  if (study.complete && options.request.indices) {
    const IndicesPlan indices = indices_plan(plan, study);
    const CrewResult designed = run_members(crew_request(options.study), indices.members);
    say_who_ran(designed, indices.members.size());
    add_indices(indices, designed, study);
    if (!study.complete) return unfinished(designed);
  }
  if (!study.complete) return unfinished(result);
  write_whole(options.study.folder / "samples.csv", samples_csv(plan, result));
  write_whole(options.study.folder / "bound.json", bound_json(study));
  write_whole(options.study.folder / "report.html",
              html::bound_page(study, html::Words(options.study.language)));
  fmt::print("{}\nIn {}: report.html, bound.json, samples.csv; each run in members.\n", bound_screen(study),
             options.study.folder.string());
  return study.holds.empty() ? unsolved : done;
}

}  // namespace joulepress::tools
