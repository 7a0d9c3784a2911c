#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "cases/reader/press_log.hpp"
#include "tools/screen/log_table.hpp"
#include "tools/screen/stack_table.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int check_case(const std::filesystem::path& case_file, const std::string& press,
               const std::string& calibration) {
  const auto [c, problem] = cases::load_case(case_file, press, calibration);
  fmt::print("{}", stack_table(c, problem));
  return done;
}

int check_log(const std::filesystem::path& log, const std::filesystem::path& map) {
  fmt::print("{}", log_table(cases::read_press_log(log, map)));
  return done;
}

}  // namespace joulepress::tools
