// results.h5, format joulepress.results/1: mesh, fields, history, ledger, strength and case of a run in one
// file
// (docs/output_format.md, docs/decisions/0008-results-in-hdf5-and-vtk.md).
#pragma once

#include <chrono>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/fields.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "solver/solid/strength.hpp"

namespace joulepress::tools {

struct ResultsHead {
  std::string version, case_sha256;
  std::string case_text;  ///< the resolved case, materials included
};

/// What the file holds at one time.
struct Results {
  std::vector<solver::HistoryRow> rows;
  std::vector<solver::CellFields> fields;
  std::string status = "running";
  std::optional<solver::Ledger> ledger;  ///< none while the run goes on
  std::shared_ptr<const solver::Enclosure> enclosure =
      nullptr;                                ///< likewise, and where walls do not exchange
  const solid::Strength* strength = nullptr;  ///< likewise, and where nothing was judged
};

/// Writes the whole file, the same bytes for the same input; packed: compressed.  Throws FileError.
void write_results_h5(const std::filesystem::path& path, const ResultsHead& head,
                      const solver::Problem& problem, const Results& results, bool packed);

/// results.h5 of a run that goes on.  Until it ends, results.h5.part holds what there is: written whole
/// beside it and renamed, so that it can be read whenever the run is killed.  It is renewed with the first
/// output that comes half a second after the last renewal, later when renewing takes more than a twentieth of
/// the time.
class ResultsFile {
 public:
  /// Begins with the rows and fields that exist already.
  ResultsFile(const std::filesystem::path& folder, ResultsHead head, const solver::Problem& problem,
              Results begun = {});

  void add(const solver::HistoryRow& row);
  void add(const solver::CellFields& fields);
  /// The run has ended: results.h5 takes the place of results.h5.part.
  void finish(const solver::RunResult& result, const solid::Strength* strength = nullptr);

 private:
  using Clock = std::chrono::steady_clock;
  void renew_when_due();

  std::filesystem::path path_, part_, draft_;
  ResultsHead head_;
  const solver::Problem& problem_;
  Results results_;
  Clock::time_point due_;
};

}  // namespace joulepress::tools
