// The verbs of the command line; each returns the exit code.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "tools/crew/crew.hpp"
#include "tools/html/words.hpp"
#include "tools/study/bound_study.hpp"
#include "tools/study/correct_search.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::tools {

enum ExitCode { done = 0, bad_input = 2, unsolved = 3, io_failed = 4, interrupted = 130 };

struct RunOptions {
  std::filesystem::path case_file, folder;
  bool quiet = false, replace = false;
  bool resume = false;             ///< go on from the last checkpoint in the folder
  int sectors = 0;                 ///< fields as solids of so many sectors; 0: as the half plane r, z
  std::filesystem::path log = {};  ///< what the meters of the press show, .csv; empty: no log
  html::Language language = html::Language::english;  ///< of the report
  std::string press = {};        ///< one to use instead of the case's own, by its name; empty: its own
  std::string calibration = {};  ///< the same of the calibration
};

struct NewOptions {
  std::filesystem::path file;  ///< empty: it is asked for
  bool replace = false;        ///< an existing file may be overwritten
  bool echo = false;           ///< answers come from a pipe: they are shown behind their questions
};

/// Asks for a stack and a programme, line by line, and writes the case.
int new_case(const NewOptions& options, std::istream& answers, std::ostream& screen);

/// The stack to scale as .svg or .png.
struct DrawRequest {
  std::filesystem::path case_file, out;
  bool mesh = false;  ///< grid lines on top
};

/// `press`, `calibration`: one to use instead of the case's own, by its name.
int check_case(const std::filesystem::path& case_file, const std::string& press = {},
               const std::string& calibration = {});
/// What is understood of a log of a press; `map`: empty: the one beside it, if any.
int check_log(const std::filesystem::path& log, const std::filesystem::path& map = {});
int draw_case(const DrawRequest& request);
/// What a run would have told on the screen.
struct RunTold {
  solver::Problem problem;
  solver::RunResult result;
};
/// `told`: takes that instead of the screen.
int run_case(const RunOptions& options, RunTold* told = nullptr);
struct CompareRequest {
  std::vector<std::filesystem::path> folders;  ///< two in every detail, more in one table
  std::filesystem::path page;                  ///< the same as HTML; empty: none
};

/// Of the verbs that run many members.
struct StudyOptions {
  std::filesystem::path file, folder;  ///< plan or case; where its members and tables go
  Share share = {};
  int threads = 0;  ///< 0: all cores
  bool quiet = false;
  html::Language language = html::Language::english;  ///< of the report
};

/// A plan: members run, tables written when all have ended.
int vary_case(const StudyOptions& options);

struct BoundOptions {
  StudyOptions study;
  BoundRequest request;
  std::string calibration = {};  ///< one to use instead of the case's own, by its name; empty: its own
};

/// How sure the numbers of a case are.
int bound_case(const BoundOptions& options);

struct CorrectOptions {
  std::filesystem::path case_file, folder;
  bool quiet = false, replace = false;
  bool table = false;  ///< the offset table of the stack instead
  CorrectRequest request;
  html::Language language = html::Language::english;  ///< of the card
  std::string press = {};        ///< one to use instead of the case's own, by its name; empty: its own
  std::string calibration = {};  ///< the same of the calibration
};

/// What to enter so that the powder gets what the case asks of it.
int correct_case(const CorrectOptions& options);

struct FitOptions {
  std::filesystem::path case_file, folder;
  bool quiet = false, replace = false;
  FitRequest request;
  html::Language language = html::Language::english;  ///< of the page
  std::string press = {},
              calibration = {};  ///< one to use instead of the case's own, by its name; empty: its own
};

/// The uncertain inputs of a case from logs of one's own press, and the case calibrated by them.
int fit_case(const FitOptions& options);

/// Folders of results side by side.  Throws FileError for files that cannot be read or written.
int compare_results(const CompareRequest& request);

struct ReportRequest {
  std::filesystem::path folder;
  html::Language language = html::Language::english;
  bool pictures = false;  ///< its figures too, as SVG and PNG in the folder "pictures"
};

/// The page of results that exist, report.html beside them.
int report_results(const ReportRequest& request);
/// The same at the end of a run.  Throws as html::matter_of does.
void write_report(const std::filesystem::path& folder, html::Language language);

int list_materials();
/// A shipped material, one beside the working folder, or a material file; plotted too unless `out` is empty.
int show_material(const std::string& name, const std::filesystem::path& out);

/// What a key means; everything when `asked` is empty.
int explain_key(const std::string& asked);
int print_reference();  ///< all keys as Markdown
int print_schema();     ///< JSON Schema of a case

}  // namespace joulepress::tools
