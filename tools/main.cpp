// joulepress: the command line.  Exit codes: 0 done, 2 bad input, 3 not solved, 4 reading or writing failed,
// 130 interrupted.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <functional>
#include <iostream>
#include <memory>
#include <optional>
#include <system_error>

#include "cases/reader/input_error.hpp"
#include "cases/reader/press_log.hpp"
#include "cases/reader/units.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace tools = joulepress::tools;

namespace {

/// What the words on the command line ask for; set by the verb that was named.
using Action = std::function<int()>;

/// A word of several parts without quotes: joulepress explain sleeves.outer diameter.
std::string joined(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, " "));
}

void add_new(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("new", "ask for a stack and a programme, write the case");
  const auto options = std::make_shared<tools::NewOptions>();
  verb->add_option("--out", options->file, "case file to write; asked for when missing");
  verb->add_flag("--replace", options->replace, "overwrite an existing file");
  verb->callback([options, &action] {
    options->echo = isatty(fileno(stdin)) == 0;
    action = [options] { return tools::new_case(*options, std::cin, std::cout); };
  });
}

void add_language(CLI::App& verb, tools::html::Language& language) {
  verb.add_option_function<std::string>(
          "--language", [&language](const std::string& word) { language = *tools::html::language_of(word); },
          "of the report: english or german")
      ->check([](const std::string& word) {
        return tools::html::language_of(word) ? "" : "\"" + word + "\" is none; there are english and german";
      });
}

void add_press(CLI::App& verb, std::string& press) {
  verb.add_option("--press", press, "press to use instead of the case's own: a file, or a shipped one");
}

void add_calibration(CLI::App& verb, std::string& calibration) {
  verb.add_option("--calibration", calibration,
                  "calibration to use instead of the case's own: a file, as a fit leaves one");
}

void add_check(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand(
      "check", "read and check a case, show the stack; or a log of a press, show what is understood of it");
  struct Asked {
    std::filesystem::path file, columns;
    std::string press, calibration;
  };
  const auto asked = std::make_shared<Asked>();
  verb->add_option("FILE", asked->file, "case file (YAML), or a log (.csv, .tsv, .txt, .log, .dat)")
      ->required();
  add_press(*verb, asked->press);
  add_calibration(*verb, asked->calibration);
  verb->add_option("--columns", asked->columns,
                   "map of a log (YAML): what its headings do not say; LOG.yaml beside it when not given");
  verb->callback([asked, &action] {
    const bool log = joulepress::cases::is_press_log(asked->file);
    if (log && !asked->press.empty())
      throw CLI::ValidationError("--press", "goes with a case, and this is a log");
    if (log && !asked->calibration.empty())
      throw CLI::ValidationError("--calibration", "goes with a case, and this is a log");
    if (!log && !asked->columns.empty())
      throw CLI::ValidationError("--columns", "goes with a log, and this is a case");
    action = [asked, log] {
      return log ? tools::check_log(asked->file, asked->columns)
                 : tools::check_case(asked->file, asked->press, asked->calibration);
    };
  });
}

void add_draw(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("draw", "draw the stack of a case to scale");
  const auto request = std::make_shared<tools::DrawRequest>();
  verb->add_option("CASE", request->case_file, "case file (YAML)")->required();
  verb->add_option("--out", request->out, "the drawing, .svg or .png")->required();
  verb->add_flag("--mesh", request->mesh, "grid lines on top");
  verb->callback([request, &action] { action = [request] { return tools::draw_case(*request); }; });
}

void add_run(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("run", "run the cycle of a case");
  const auto options = std::make_shared<tools::RunOptions>();
  verb->add_option("CASE", options->case_file, "case file (YAML)")->required();
  verb->add_option("--out", options->folder, "folder for the results, made when missing")->required();
  verb->add_flag("--quiet", options->quiet, "no progress");
  verb->add_flag("--replace", options->replace, "overwrite what the folder holds");
  verb->add_flag("--resume", options->resume, "go on from the last checkpoint in the folder");
  verb->add_option("--revolve", options->sectors, "fields as solids of N sectors, for pictures in space")
      ->check(CLI::Range(3, 360));
  add_language(*verb, options->language);
  verb->add_option("--log", options->log, "what the meters of the press show of the run, .csv");
  add_press(*verb, options->press);
  add_calibration(*verb, options->calibration);
  verb->callback([options, &action] { action = [options] { return tools::run_case(*options); }; });
}

void add_study_options(CLI::App& verb, tools::StudyOptions& study) {
  verb.add_option("--out", study.folder, "folder for members and tables, made when missing")->required();
  verb.add_option_function<std::string>(
          "--share", [&study](const std::string& word) { study.share = *tools::share_of(word); },
          "K/N: only every N-th member from the K-th on; others may run the rest into the same folder")
      ->check([](const std::string& word) {
        return tools::share_of(word) ? "" : "\"" + word + "\" is no share; write for example 1/4";
      });
  verb.add_option("--threads", study.threads, "members at a time; as many as there are cores when not given")
      ->check(CLI::Range(1, 1024));
  verb.add_flag("--quiet", study.quiet, "no progress");
  add_language(verb, study.language);
}

void add_vary(CLI::App& app, Action& action) {
  CLI::App* verb =
      app.add_subcommand("vary", "one case varied by a plan: tables, charts, which variants are good");
  const auto options = std::make_shared<tools::StudyOptions>();
  verb->add_option("PLAN", options->file, "plan (YAML)")->required();
  add_study_options(*verb, *options);
  verb->callback([options, &action] { action = [options] { return tools::vary_case(*options); }; });
}

void add_bound(CLI::App& app, Action& action) {
  CLI::App* verb =
      app.add_subcommand("bound", "how sure the numbers of a case are, and what makes them unsure");
  const auto options = std::make_shared<tools::BoundOptions>();
  verb->add_option("CASE", options->study.file, "case file (YAML)")->required();
  add_study_options(*verb, options->study);
  verb->add_option("--samples", options->request.samples, "runs with other values of what is uncertain; 128")
      ->check(CLI::Range(1, 100000));
  verb->add_option("--seed", options->request.seed, "another set of samples; 1");
  verb->add_flag("--indices", options->request.indices,
                 "the full design of the six inputs that matter most; four times as many runs more");
  add_calibration(*verb, options->calibration);
  verb->callback([options, &action] { action = [options] { return tools::bound_case(*options); }; });
}

/// "98 %" or "0.98"; nothing where it is no relative density.
std::optional<double> density_of(const std::string& text) {
  const joulepress::cases::Quantity density =
      joulepress::cases::parse_quantity(text, joulepress::cases::Kind::ratio);
  if (!density.problem.empty() || !(density.value > 0.0 && density.value < 1.0)) return std::nullopt;
  return density.value;
}

/// Of the verbs that look for an answer by runs of one case.
template <class Options>
void add_search_options(CLI::App& verb, Options& options) {
  verb.add_option("--threads", options.request.threads,
                  "runs at a time; as many as there are cores when not given")
      ->check(CLI::Range(1, 1024));
  verb.add_flag("--quiet", options.quiet, "no progress");
  verb.add_flag("--replace", options.replace, "overwrite what the folder holds");
  add_language(verb, options.language);
  add_press(verb, options.press);
  add_calibration(verb, options.calibration);
}

void add_correct(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand(
      "correct", "what to enter so that the powder gets the programme of the case, as a card");
  const auto options = std::make_shared<tools::CorrectOptions>();
  tools::CorrectRequest& request = options->request;
  verb->add_option("CASE", options->case_file, "case file (YAML), its programme meant for the powder")
      ->required();
  verb->add_option("--out", options->folder, "folder for the card, made when missing")->required();
  verb->add_option_function<std::string>(
          "--powder", [&request](const std::string& word) { request.meant = *tools::meant_for(word); },
          "which temperature of the powder is meant: mean, centre, coldest or hottest; mean")
      ->check([](const std::string& word) {
        return tools::meant_for(word)
                   ? ""
                   : "\"" + word + "\" is none; there are mean, centre, coldest and hottest";
      });
  verb->add_option_function<std::string>(
          "--density", [&request](const std::string& word) { request.density = density_of(word); },
          "relative density wished at the end of the last hold instead, e.g. 98%")
      ->check([](const std::string& word) {
        return density_of(word) ? "" : "\"" + word + "\" is none; write for example 98% or 0.98";
      });
  verb->add_option("--like", request.like,
                   "folder of a run: the powder is to have what it had there, on another press or stack");
  verb->add_option("--bound", request.bound, "folder of `bound`: the range goes onto the card");
  verb->add_flag("--table", options->table,
                 "the offset table of the stack instead: hold temperature, heating rate, start density");
  add_search_options(*verb, *options);
  verb->callback([options, &action] { action = [options] { return tools::correct_case(*options); }; });
}

void add_fit(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("fit", "what logs of your own press tell of a case: a calibrated case");
  const auto options = std::make_shared<tools::FitOptions>();
  verb->add_option("CASE", options->case_file, "case file (YAML), as the stack was in these runs")
      ->required();
  verb->add_option("LOGS", options->request.logs, "logs of runs of this stack")
      ->required()
      ->expected(1, CLI::detail::expected_max_vector_size);
  verb->add_option("--out", options->folder, "folder for the calibrated case, made when missing")->required();
  verb->add_option(
          "--columns", options->request.maps,
          "what the columns of each log are (YAML), in the order of the logs; else the .yaml beside each")
      ->expected(1, CLI::detail::expected_max_vector_size);
  add_search_options(*verb, *options);
  verb->callback([options, &action] { action = [options] { return tools::fit_case(*options); }; });
}

void add_compare(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("compare", "folders of results side by side");
  const auto request = std::make_shared<tools::CompareRequest>();
  verb->add_option("FOLDERS", request->folders, "folders of runs: two in every detail, more in one table")
      ->required()
      ->expected(2, CLI::detail::expected_max_vector_size);
  verb->add_option("--page", request->page,
                   "HTML file for the tables and all histories in the same diagrams");
  verb->callback([request, &action] { action = [request] { return tools::compare_results(*request); }; });
}

void add_report(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("report", "the page of results that exist, to look at and to print");
  const auto request = std::make_shared<tools::ReportRequest>();
  verb->add_option("DIR", request->folder, "folder of a run")->required();
  add_language(*verb, request->language);
  verb->add_flag("--pictures", request->pictures, "its figures too, as SVG and PNG in DIR/pictures");
  verb->callback([request, &action] { action = [request] { return tools::report_results(*request); }; });
}

void add_explain(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("explain", "what a key of the case file means");
  struct Asked {
    std::vector<std::string> key;
    bool reference = false, schema = false;
  };
  const auto asked = std::make_shared<Asked>();
  verb->add_option("KEY", asked->key, "a key, e.g. sleeves.height; none: all of them");
  verb->add_flag("--reference", asked->reference, "every key as a Markdown page");
  verb->add_flag("--schema", asked->schema, "JSON Schema of a case, for editors");
  verb->callback([asked, &action] {
    action = [asked] {
      if (asked->reference) return tools::print_reference();
      return asked->schema ? tools::print_schema() : tools::explain_key(joined(asked->key));
    };
  });
}

void add_materials(CLI::App& app, Action& action) {
  CLI::App* verb = app.add_subcommand("materials", "what is known of a material, how surely, and from where");
  struct Asked {
    std::vector<std::string> name;
    std::filesystem::path plots;
  };
  const auto asked = std::make_shared<Asked>();
  verb->add_option("NAME", asked->name, "a material or a material file; none: all of them");
  verb->add_option("--out", asked->plots, "SVG file for plots of every property");
  verb->callback([asked, &action] {
    action = [asked] {
      return asked->name.empty() ? tools::list_materials()
                                 : tools::show_material(joined(asked->name), asked->plots);
    };
  });
}

int command(int argc, char** argv) {
  CLI::App app{"Current-heated die pressing: how far the sensor is from the powder, and why."};
  app.set_version_flag("--version", std::string("joulepress ") + JOULEPRESS_VERSION);
  app.require_subcommand(1);
  Action action;
  for (const auto add : {add_new, add_check, add_draw, add_run, add_vary, add_bound, add_correct, add_fit,
                         add_compare, add_report, add_explain, add_materials})
    add(app, action);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    const int code = app.exit(problem);
    return code == 0 ? tools::done : tools::bad_input;
  }
  return action();
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
