// joulepress: the command line.  Exit codes: 0 done, 2 bad input, 3 not solved, 4 reading or writing failed,
// 130 interrupted.
#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "cases/reader/input_error.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace tools = joulepress::tools;

int main(int argc, char** argv) {
  CLI::App app{"Current-heated die pressing: how far the sensor is from the powder, and why."};
  app.set_version_flag("--version", std::string("joulepress ") + JOULEPRESS_VERSION);
  app.require_subcommand(1);

  std::string case_file;
  CLI::App* check = app.add_subcommand("check", "read and check a case, show the stack; writes nothing");
  check->add_option("CASE", case_file, "case file (YAML)")->required();

  tools::RunOptions options;
  std::string folder;
  CLI::App* run = app.add_subcommand("run", "run the cycle of a case");
  run->add_option("CASE", case_file, "case file (YAML)")->required();
  run->add_option("--out", folder, "folder for the results, made when missing")->required();
  run->add_flag("--quiet", options.quiet, "no progress");
  run->add_flag("--replace", options.replace, "overwrite what the folder holds");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    const int code = app.exit(problem);
    return code == 0 ? tools::done : tools::bad_input;
  }
  try {
    options.case_file = case_file;
    options.folder = folder;
    return check->parsed() ? tools::check_case(case_file) : tools::run_case(options);
  } catch (const joulepress::cases::InputErrors& problem) {
    fmt::print(stderr, "{}", problem.what());
    return tools::bad_input;
  } catch (const tools::FileError& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return tools::io_failed;
  }
}
