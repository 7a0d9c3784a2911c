#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/screen/stack_table.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int check_case(const std::filesystem::path& case_file) {
  const cases::Case c = cases::read_case(case_file);
  fmt::print("{}", stack_table(c, cases::build_problem(c)));
  return done;
}

}  // namespace joulepress::tools
