// joulepress: the command line.  Exit codes: 0 done, 2 bad input, 3 not solved, 4 reading or writing failed,
// 130 interrupted.
#include <fmt/format.h>

#include <fmt/ranges.h>
#include <unistd.h>
#include <CLI/CLI.hpp>

#include <cstdio>
#include <exception>
#include <iostream>
#include <system_error>

#include "cases/reader/input_error.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace tools = joulepress::tools;

namespace {

int command(int argc, char** argv) {
  CLI::App app{"Current-heated die pressing: how far the sensor is from the powder, and why."};
  app.set_version_flag("--version", std::string("joulepress ") + JOULEPRESS_VERSION);
  app.require_subcommand(1);

  tools::NewOptions fresh;
  CLI::App* create = app.add_subcommand("new", "ask for a stack and a programme, write the case");
  create->add_option("--out", fresh.file, "case file to write; asked for when missing");
  create->add_flag("--replace", fresh.replace, "overwrite an existing file");

  std::string case_file;
  CLI::App* check = app.add_subcommand("check", "read and check a case, show the stack; writes nothing");
  check->add_option("CASE", case_file, "case file (YAML)")->required();

  tools::DrawRequest drawing;
  std::string picture;
  CLI::App* draw = app.add_subcommand("draw", "draw the stack of a case to scale");
  draw->add_option("CASE", case_file, "case file (YAML)")->required();
  draw->add_option("--out", picture, "the drawing, .svg or .png")->required();
  draw->add_flag("--mesh", drawing.mesh, "grid lines on top");

  tools::RunOptions options;
  std::string folder;
  CLI::App* run = app.add_subcommand("run", "run the cycle of a case");
  run->add_option("CASE", case_file, "case file (YAML)")->required();
  run->add_option("--out", folder, "folder for the results, made when missing")->required();
  run->add_flag("--quiet", options.quiet, "no progress");
  run->add_flag("--replace", options.replace, "overwrite what the folder holds");
  run->add_flag("--resume", options.resume, "go on from the last checkpoint in the folder");
  run->add_option("--revolve", options.sectors, "fields as solids of N sectors, for pictures in space")
      ->check(CLI::Range(3, 360));

  std::string folder_a, folder_b;
  CLI::App* compare = app.add_subcommand("compare", "two folders of results side by side; writes nothing");
  compare->add_option("A", folder_a, "folder of a run")->required();
  compare->add_option("B", folder_b, "folder of another run")->required();

  std::vector<std::string> key;
  bool reference = false, schema = false;
  CLI::App* explain = app.add_subcommand("explain", "what a key of the case file means");
  explain->add_option("KEY", key, "a key, e.g. \"sleeves.height\"; none: all of them");
  explain->add_flag("--reference", reference, "every key as a Markdown page");
  explain->add_flag("--schema", schema, "JSON Schema of a case, for editors");

  std::vector<std::string> material;
  CLI::App* materials =
      app.add_subcommand("materials", "what is known of a material, how surely, and from where");
  materials->add_option("NAME", material, "a material or a material file; none: all of them");
  std::string plots;
  materials->add_option("--out", plots, "SVG file for plots of every property");

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    const int code = app.exit(problem);
    return code == 0 ? tools::done : tools::bad_input;
  }
  if (materials->parsed())
    return material.empty() ? tools::list_materials()
                            : tools::show_material(fmt::format("{}", fmt::join(material, " ")), plots);
  if (explain->parsed())
    return reference ? tools::print_reference()
           : schema  ? tools::print_schema()
                     : tools::explain_key(fmt::format("{}", fmt::join(key, " ")));
  if (compare->parsed()) return tools::compare_results(folder_a, folder_b);
  if (create->parsed()) {
    fresh.echo = isatty(fileno(stdin)) == 0;
    return tools::new_case(fresh, std::cin, std::cout);
  }
  if (draw->parsed()) {
    drawing.case_file = case_file;
    drawing.out = picture;
    return tools::draw_case(drawing);
  }
  options.case_file = case_file;
  options.folder = folder;
  return check->parsed() ? tools::check_case(case_file) : tools::run_case(options);
}

/// A message that cannot be written is given up: the exit code still says what happened.
int fail(int code, const char* message, const char* end = "\n") noexcept {
  std::fprintf(stderr, "%s%s", message, end);
  return code;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    const int code = command(argc, argv);
    // What is still buffered may not reach a full disk.
    if (std::fflush(stdout) != 0) return fail(tools::io_failed, "The output cannot be written.");
    return code;
  } catch (const joulepress::cases::InputErrors& problem) {
    return fail(tools::bad_input, problem.what(), "");
  } catch (const tools::FileError& problem) {
    return fail(tools::io_failed, problem.what());
  } catch (const std::system_error& problem) {
    return fail(tools::io_failed, problem.what());
  } catch (const std::exception& problem) {
    std::fprintf(stderr, "This should not happen; please report it with the case file.\n");
    return fail(tools::unsolved, problem.what());
  }
}
