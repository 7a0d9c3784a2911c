// Where the correction to cubic fluxes does not settle, the run goes on with two-point ones and says so.
#include <doctest/doctest.h>

#include <cmath>

#include "solver/march.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

solver::Problem short_case(mesh::Fluxes fluxes) {
  mesh::GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 4e-3;
  solver::Problem p = small_stack({.conducting_powder = true, .rule = rule});
  track(p, {segment(0, 40, 298.15, 400), segment(40, 60, 400, 400, true)});
  p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, fluxes);
  return p;
}

/// Cubic weights whose distance from the two-point ones is multiplied: a correction that overshoots by more
/// than the matrix holds, as on a grid far too strongly graded.
solver::Problem overshooting(double factor) {
  solver::Problem p = short_case(mesh::Fluxes::cubic);
  const solver::Problem plain = short_case(mesh::Fluxes::two_point);
  for (std::size_t f = 0; f < p.rows.inner.size(); ++f) {
    mesh::FaceStencil& face = p.rows.inner[f];
    const mesh::InnerFace& cells = p.mesh.inner_faces[f];
    for (std::size_t k = 0; k < face.at.size(); ++k) {
      const double two_point = face.at[k] == cells.a ? 1.0 : face.at[k] == cells.b ? -1.0 : 0.0;
      if (face.drop[k] != 0.0) face.drop[k] = two_point + factor * (face.drop[k] - two_point);
    }
  }
  return p;
}

bool fell_back(const solver::RunResult& result) {
  for (const std::string& warning : result.warnings)
    if (warning.find("two-point fluxes") != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("a correction that overshoots: the run falls back, completes, says so, and is the two-point run") {
  const solver::RunResult cubic = solver::run(short_case(mesh::Fluxes::cubic));
  const solver::RunResult plain = solver::run(short_case(mesh::Fluxes::two_point));
  const solver::RunResult bent = solver::run(overshooting(30));
  REQUIRE(cubic.status == solver::RunStatus::completed);
  CHECK_FALSE(fell_back(cubic));
  CHECK_FALSE(fell_back(plain));
  REQUIRE(bent.status == solver::RunStatus::completed);
  REQUIRE(fell_back(bent));
  CHECK(bent.ledger.energy_balance_relative() < 1e-12);
  CHECK(bent.ledger.charge_balance_relative() < 1e-12);
  const solver::HistoryRow &a = bent.rows.back(), &b = plain.rows.back(), &c = cubic.rows.back();
  CHECK(std::abs(a.powder->mean_K - b.powder->mean_K) < 0.05);
  CHECK(std::abs(a.powder->mean_K - c.powder->mean_K) > 0.1);  // the two fluxes can be told apart
}

TEST_CASE("a run that goes on from a checkpoint behind the fall-back keeps the fluxes and the warning") {
  const solver::Problem p = overshooting(30);
  std::vector<solver::Checkpoint> kept;
  solver::Observers observers;
  observers.checkpoint_every = 3;
  observers.checkpoint = [&](const solver::Checkpoint& checkpoint) { kept.push_back(checkpoint); };
  const solver::RunResult whole = solver::run(p, observers);
  REQUIRE(kept.size() > 2);
  const solver::Checkpoint& middle = kept[kept.size() / 2];
  REQUIRE(middle.state.two_point);
  const solver::Checkpoint read = solver::unflatten(solver::flatten(middle));
  const solver::RunResult rest = solver::run(p, {}, &read);
  CHECK(fell_back(rest));
  CHECK(rest.warnings == whole.warnings);
  CHECK(rest.rows.back().powder->mean_K == whole.rows.back().powder->mean_K);
  CHECK(rest.ledger.electric == whole.ledger.electric);
}
