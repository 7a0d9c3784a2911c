// Checkpoints: a run that goes on from one ends in the same bits, and a checkpoint that cannot be trusted is
// refused.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <limits>
#include <optional>
#include <stdexcept>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/checkpoint.hpp"
#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tools/store/checkpoint_h5.hpp"
#include "tools/store/history_csv.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::Folder;

const fs::path root = JOULEPRESS_SOURCE_DIR;

/// A shipped case on a grid that is quick to run.
solver::Problem coarse(const char* name) {
  mesh::GridRule rule;
  rule.smallest = 1e-3;
  rule.largest = 6e-3;
  rule.cells_across_min = 1;
  return cases::build_coarse_problem(cases::read_case(root / "cases" / name), rule);
}

struct Run {
  solver::RunResult result;
  std::vector<solver::CellFields> fields;
  std::optional<solver::Checkpoint> kept;  ///< the first checkpoint past a share of the programme
};

Run march(const solver::Problem& problem, const solver::Checkpoint* from = nullptr, double share = 0.5) {
  Run run;
  const double past = share * problem.drive.segments.back().end;
  solver::Observers observers;
  observers.checkpoint_every = 3;
  observers.fields = [&](const solver::CellFields& fields) { run.fields.push_back(fields); };
  observers.checkpoint = [&](const solver::Checkpoint& checkpoint) {
    if (!run.kept && checkpoint.state.time > past) run.kept = checkpoint;
  };
  run.result = solver::run(problem, observers, from);
  return run;
}

void flip_a_bit(const fs::path& file, std::uintmax_t at) {
  std::fstream stream(file, std::ios::in | std::ios::out | std::ios::binary);
  stream.seekg(static_cast<std::streamoff>(at));
  const char byte = static_cast<char>(stream.get() ^ 1);
  stream.seekp(static_cast<std::streamoff>(at));
  stream.put(byte);
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("resume: the rest of a run is the same to the last bit, through flattened numbers too") {
  // tracking with a cooling that cannot follow, a driven current, a voltage without powder, a furnace
  for (const char* name :
       {"nickel-20mm.yaml", "graphite-column.yaml", "heated-rod.yaml", "furnace-heated-20mm.yaml"}) {
    CAPTURE(name);
    const solver::Problem problem = coarse(name);
    const Run whole = march(problem);
    REQUIRE(whole.result.status == solver::RunStatus::completed);
    REQUIRE(whole.kept.has_value());
    const solver::Checkpoint kept = solver::unflatten(solver::flatten(*whole.kept));
    REQUIRE(solver::fits(kept, problem));
    CHECK(solver::flatten(kept).size() == solver::flatten(*whole.kept).size());
    const Run rest = march(problem, &kept);
    // it began where the checkpoint was, not at the start
    REQUIRE(rest.kept.has_value());
    CHECK(rest.kept->state.counts.steps == kept.state.counts.steps + 3);
    CHECK(rest.fields.size() < whole.fields.size());
    // every bit of the history, of the ledger and of the fields
    CHECK(tools::history_csv(rest.result.frame, rest.result.rows) ==
          tools::history_csv(whole.result.frame, whole.result.rows));
    CHECK(rest.result.ledger.stored == whole.result.ledger.stored);
    CHECK(rest.result.ledger.electric == whole.result.ledger.electric);
    CHECK(rest.result.limited.size() == whole.result.limited.size());
    CHECK(rest.result.counts.sweeps == whole.result.counts.sweeps);
    CHECK(rest.fields.back().temperature == whole.fields.back().temperature);
    CHECK(rest.fields.back().heat_flux == whole.fields.back().heat_flux);
  }
}

TEST_CASE(
    "full: resume: where a powder creeps by less than its lines can tell, what walls exchange stays the "
    "same") {
  const solver::Problem problem = cases::build_problem(cases::read_case(root / "cases" / "nickel-20mm.yaml"));
  REQUIRE(problem.walls_exchange);
  const Run whole = march(problem, nullptr, 0.93);  // cooling, below 430 degC
  REQUIRE(whole.kept.has_value());
  const Run rest = march(problem, &*whole.kept, 0.93);
  CHECK(tools::history_csv(rest.result.frame, rest.result.rows) ==
        tools::history_csv(whole.result.frame, whole.result.rows));
}

TEST_CASE("resume: numbers that are no checkpoint are refused") {
  const solver::Problem problem = coarse("heated-rod.yaml");
  const std::vector<double> good = solver::flatten(*march(problem).kept);
  std::vector<double> torn(good.begin(), good.end() - 1);
  CHECK_THROWS_AS(solver::unflatten(torn), std::invalid_argument);
  std::vector<double> longer = good;
  longer.push_back(0.0);
  CHECK_THROWS_AS(solver::unflatten(longer), std::invalid_argument);
  CHECK_THROWS_AS(solver::unflatten(std::vector<double>{}), std::invalid_argument);
  std::vector<double> endless = good;
  endless[1] = 1e18;  // the length of the first list
  CHECK_THROWS_AS(solver::unflatten(endless), std::invalid_argument);
  endless[1] = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(solver::unflatten(endless), std::invalid_argument);
  CHECK(!solver::fits(solver::unflatten(good), coarse("graphite-column.yaml")));
}

TEST_CASE("checkpoint files: the newest is used, else the one before, and each refusal has its reason") {
  const Folder folder("joulepress_checkpoints");
  const solver::Problem problem = coarse("heated-rod.yaml");
  const Run run = march(problem);
  const tools::CheckpointOwner owner{"1.0", "abc"};
  tools::StoredCheckpoint first{*run.kept, run.fields}, second = first;
  second.march.state.next_step += 1.0;
  CHECK(!tools::find_checkpoint(folder.path, owner, problem).checkpoint.has_value());
  tools::write_checkpoint(folder.path, owner, first);
  tools::write_checkpoint(folder.path, owner, second);
  const fs::path newest = folder.path / "checkpoint.h5";

  tools::FoundCheckpoint found = tools::find_checkpoint(folder.path, owner, problem);
  REQUIRE(found.checkpoint.has_value());
  CHECK(found.refused.empty());
  CHECK(solver::flatten(found.checkpoint->march) == solver::flatten(second.march));
  CHECK(found.checkpoint->fields.back().temperature == run.fields.back().temperature);

  // foreign: another case, another version
  found = tools::find_checkpoint(folder.path, {"1.0", "xyz"}, problem);
  CHECK(!found.checkpoint.has_value());
  REQUIRE(found.refused.size() == 2);
  CHECK(holds(found.refused[0], "it is of another case"));
  CHECK(holds(tools::find_checkpoint(folder.path, {"2.0", "abc"}, problem).refused[0], "another version"));

  // flipped: one bit in the middle of the numbers
  flip_a_bit(newest, fs::file_size(newest) / 2);
  found = tools::find_checkpoint(folder.path, owner, problem);
  REQUIRE(found.refused.size() == 1);
  CHECK(holds(found.refused[0], "checkpoint.h5 is not used"));
  CHECK(holds(found.refused[0], "damaged (checksum)"));
  REQUIRE(found.checkpoint.has_value());
  CHECK(solver::flatten(found.checkpoint->march) == solver::flatten(first.march));

  // torn: half of the file
  fs::resize_file(newest, fs::file_size(newest) / 2);
  found = tools::find_checkpoint(folder.path, owner, problem);
  REQUIRE(found.refused.size() == 1);
  CHECK(found.checkpoint.has_value());

  tools::remove_checkpoints(folder.path);
  CHECK(fs::is_empty(folder.path));
}
