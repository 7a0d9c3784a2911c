#include "solver/solid/strength.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include "solver/half.hpp"

namespace joulepress::solid {
namespace {

using solver::Problem;
using solver::RunResult;
using solver::Snapshot;

constexpr double full_force = 0.99;   // of the largest: full
constexpr double no_pressure = 1e5;   // Pa on the column: nothing holds it together
constexpr int tries = 8;              // to find a largest force
constexpr double near_enough = 1e-3;  // of a margin
constexpr double nudge = 0.02;        // of the force, to see what it brings

/// The part of the whole that a part of what is solved is, or belongs to.
int whole_part(const Problem& problem, int part) {
  return problem.half ? problem.half->part_above[part] : part;
}

double section(const mesh::Block& block) {
  return std::numbers::pi * (block.r_outer + block.r_inner) * (block.r_outer - block.r_inner);
}

class Judge {
 public:
  Judge(const Problem& problem, const RunResult& result)
      : whole_(problem), p_(solver::solved(problem)), result_(result), shots_(result.snapshots) {
    for (const Snapshot& shot : shots_) largest_force_ = std::max(largest_force_, shot.force_N);
    if (!p_.powders.empty()) powder_ = p_.powders.front().block;
    find_lock();
  }

  Strength judge() {
    Strength out;
    out.asked = whole_.strength.safety_factor;
    out.refused = why_not();
    if (!out.refused.empty()) return out;
    for (const Snapshot& shot : shots_) look(shot, out);
    if (compact_) look_cold(out);
    gather(out);
    out.formula = tube_formula(out);
    out.largest = largest_forces(out);
    remark(out);
    return out;
  }

  std::vector<Posed> poses(const Strength& strength) {
    std::vector<Posed> out;
    if (!strength.worst) return out;
    if (strength.worst->load_case != LoadCase::push_out)
      for (const Snapshot& shot : shots_)
        if (shot.time_s == strength.worst->time_s) out.push_back(posed(shot));
    if (compact_) out.push_back(posed_cold());
    return out;
  }

 private:
  std::string why_not() const {
    if (shots_.empty()) return "no force stands on the column";
    for (const solver::Part& part : p_.parts)
      if (part.in_column && !part.is_powder && !part.is_foil && !p_.materials[part.material].elastic_modulus)
        return "the elastic modulus of \"" + p_.materials[part.material].name + "\" is not known";
    if (!(largest_force_ > 0.0)) return "no force stands on the column";
    return {};
  }

  const materials::Material& powder_material() const {
    return p_.materials[p_.parts[p_.mesh.layout[powder_].part].material];
  }

  /// When the first powder becomes solid, if it does.
  void find_lock() {
    if (powder_ < 0 || shots_.size() < 2) return;
    const materials::Material& material = powder_material();
    if (!material.elastic_modulus || !material.expansion) {
      remarks_.push_back("whether \"" + material.name +
                         "\" is gripped while it cools: its modulus or its expansion is not known");
      return;
    }
    std::optional<double> grain;
    for (const solver::Bed& bed : p_.beds)
      if (bed.block == powder_) grain = bed.grain;
    CompactHistory history;
    for (const solver::HistoryRow& row : result_.rows) {
      if (row.powders.empty()) return;
      history.time_s.push_back(row.time_s);
      history.temperature_K.push_back(row.powders[body_of_whole()].mean_K);
      history.pressure_Pa.push_back(row.force_N / section(p_.mesh.layout[powder_]));
    }
    lock_ = lock_of(material, grain, history);
    if (!lock_) {
      remarks_.push_back("\"" + material.name +
                         "\" never gets hot enough to creep: it stays a powder, no grip");
      return;
    }
    const auto after = std::find_if(shots_.begin() + 1, shots_.end(),
                                    [&](const Snapshot& shot) { return shot.time_s >= lock_->time_s; });
    if (after == shots_.end()) return;
    compact_ =
        std::make_unique<Compact>(instant_of(p_, between(*(after - 1), *after, lock_->time_s)), powder_);
    if (!compact_->solved()) compact_.reset();
  }

  /// The body of the whole that the first one of what is solved is.
  int body_of_whole() const {
    if (!whole_.half) return 0;
    const auto& body = whole_.half->body;
    return static_cast<int>(std::find(body.begin(), body.end(), 0) - body.begin());
  }

  bool is_solid_at(double time) const { return compact_ && time > lock_->time_s; }

  LoadCase case_at(const Snapshot& shot) const {
    double last_hold = -1.0;
    for (const solver::HistoryFrame::Hold& hold : result_.frame.holds) {
      if (shot.time_s >= hold.start_s && shot.time_s <= hold.end_s) return LoadCase::hold;
      last_hold = std::max(last_hold, hold.end_s);
    }
    if (is_solid_at(shot.time_s) || (last_hold >= 0.0 && shot.time_s > last_hold)) return LoadCase::cooling;
    return shot.force_N >= full_force * largest_force_ ? LoadCase::rise : LoadCase::preload;
  }

  Posed posed(const Snapshot& shot, double force_times = 1.0) {
    Snapshot here = shot;
    const bool solid = is_solid_at(shot.time_s);
    if (solid) here.heights = compact_->instant().snapshot.heights;
    Posed out{instant_of(p_, std::move(here)), {}, {}};
    SolidPowder compact;
    Wanted wanted;
    wanted.force_times = force_times;
    if (solid) {
      compact = compact_->solid();
      wanted.solid = &compact;
      wanted.column = shot.force_N > no_pressure * section(p_.mesh.layout[powder_]);
    }
    out.stack = body_of(out.instant, wanted);
    out.deformed = deform(out.stack.body, like_ && like_solid_ == solid ? &*like_ : nullptr);
    like_ = out.deformed;
    like_solid_ = solid;
    return out;
  }

  /// Everything at the temperature of the chamber, the press open.
  Posed posed_cold() const {
    Snapshot cold = compact_->instant().snapshot;
    cold.time_s = shots_.back().time_s;
    cold.force_N = 0.0;
    const double T = std::min(p_.chamber_temperature, p_.initial_temperature);
    std::fill(cold.temperature.begin(), cold.temperature.end(), T);
    Posed out{instant_of(p_, std::move(cold)), {}, {}};
    const SolidPowder compact = compact_->solid();
    Wanted wanted;
    wanted.column = false;
    wanted.solid = &compact;
    out.stack = body_of(out.instant, wanted);
    out.deformed = deform(out.stack.body);
    out.cold = true;
    return out;
  }

  void look(const Snapshot& shot, Strength& out) {
    if (!(shot.force_N > 0.0) && !is_solid_at(shot.time_s)) return;
    const Posed pose = posed(shot);
    without_ = pose.stack.without;
    if (!pose.deformed.solved) {
      ++out.unsolved;
      why_unsolved_ = pose.deformed.reason;
      return;
    }
    Judged judged;
    judged.load_case = case_at(shot);
    judged.time_s = shot.time_s;
    judged.force_N = shot.force_N;
    if (is_solid_at(shot.time_s))
      judged.grip_Pa = grip_of(pose.instant, pose.stack, pose.deformed, powder_).mean_Pa;
    else if (powder_ >= 0)
      judged.side_pressure_Pa = pressed_by(pose.instant, powder_).side;
    judged.loads = loads_of(pose.instant, pose.stack, pose.deformed);
    out.instants.push_back(std::move(judged));
  }

  void look_cold(Strength& out) {
    const Posed pose = posed_cold();
    GripJudged grip;
    grip.lock = *lock_;
    grip.at_end_K = result_.rows.back().powders[body_of_whole()].mean_K;
    if (!out.instants.empty()) grip.at_end_Pa = out.instants.back().grip_Pa;
    if (!pose.deformed.solved) {
      ++out.unsolved;
      why_unsolved_ = pose.deformed.reason;
      return;
    }
    const Grip cold = grip_of(pose.instant, pose.stack, pose.deformed, powder_);
    grip.cold_Pa = cold.mean_Pa;
    grip.cold_largest_Pa = cold.largest_Pa;
    grip.cold_core_Pa = cold.core_Pa;
    grip.push_out_N = whole_.strength.ejection_friction * cold.force_N;
    grip.on_punch_Pa = grip.push_out_N / section(p_.mesh.layout[powder_]);
    Judged judged;
    judged.load_case = LoadCase::push_out;
    judged.time_s = shots_.back().time_s;
    judged.grip_Pa = cold.mean_Pa;
    judged.loads = loads_of(pose.instant, pose.stack, pose.deformed);
    grip.margin = least_margin(judged.loads);
    out.instants.push_back(std::move(judged));
    out.grip = grip;
  }

  /// The worst of all instants, by part and by load case.
  void gather(Strength& out) const {
    const auto keep = [](std::optional<Worst>& worst, const Worst& found) {
      if (!worst || found.spot.margin() < worst->spot.margin()) worst = found;
    };
    for (Judged& judged : out.instants)
      for (PartLoad& load : judged.loads) {
        load.part = whole_part(whole_, load.part);
        auto part = std::find_if(out.parts.begin(), out.parts.end(),
                                 [&](const PartJudged& of) { return of.part == load.part; });
        if (part == out.parts.end()) part = out.parts.insert(part, {load.part, {}, {}, {}});
        if (load.break_chance)
          part->break_chance = std::max(part->break_chance.value_or(0.0), *load.break_chance);
        for (const bool tension : {true, false}) {
          const std::optional<Spot>& spot = tension ? load.tension : load.compression;
          if (!spot) continue;
          const Worst found{load.part, judged.load_case, judged.time_s, judged.force_N, tension, *spot};
          keep(tension ? part->tension : part->compression, found);
          keep(out.cases[static_cast<std::size_t>(judged.load_case)], found);
          keep(out.worst, found);
        }
      }
    std::sort(out.parts.begin(), out.parts.end(),
              [](const PartJudged& a, const PartJudged& b) { return a.part < b.part; });
  }

  /// The sleeve whose bore faces the first powder; -1: none.
  int sleeve_block(const Posed& pose) const {
    int nearest = -1;
    const mesh::Block& powder = pose.instant.mesh.layout[powder_];
    for (const int block : pose.stack.block) {
      const mesh::Block& b = pose.instant.mesh.layout[block];
      if (b.r_inner < powder.r_outer || b.z_top <= powder.z_bottom || b.z_bottom >= powder.z_top) continue;
      if (nearest < 0 || b.r_inner < pose.instant.mesh.layout[nearest].r_inner) nearest = block;
    }
    return nearest;
  }

  static double hoop_of(const std::vector<PartLoad>& loads, int part) {
    for (const PartLoad& load : loads)
      if (load.part == part) return load.hoop_at_bore;
    return 0.0;
  }

  std::optional<TubeFormula> tube_formula(const Strength& out) {
    if (powder_ < 0) return {};
    const Judged* worst = nullptr;
    for (const Judged& judged : out.instants)
      if (judged.side_pressure_Pa > 0.0 && (!worst || judged.side_pressure_Pa > worst->side_pressure_Pa))
        worst = &judged;
    if (!worst) return {};
    const auto shot = std::find_if(shots_.begin(), shots_.end(),
                                   [&](const Snapshot& s) { return s.time_s == worst->time_s; });
    const Posed pose = posed(*shot), more = posed(*shot, 1.0 + nudge);
    const int block = sleeve_block(pose);
    if (block < 0 || !pose.deformed.solved || !more.deformed.solved) return {};
    const mesh::Block& sleeve = pose.instant.mesh.layout[block];
    const mesh::Block& powder = pose.instant.mesh.layout[powder_];
    TubeFormula formula;
    formula.part = whole_part(whole_, sleeve.part);
    formula.time_s = worst->time_s;
    formula.side_pressure_Pa = worst->side_pressure_Pa;
    formula.ratio = sleeve.r_outer / sleeve.r_inner;
    const double K2 = formula.ratio * formula.ratio;
    formula.hoop_Pa = formula.side_pressure_Pa * (K2 + 1.0) / (K2 - 1.0);
    formula.computed_Pa = hoop_of(loads_of(pose.instant, pose.stack, pose.deformed), sleeve.part);
    formula.by_force_Pa =
        (hoop_of(loads_of(more.instant, more.stack, more.deformed), sleeve.part) - formula.computed_Pa) /
        nudge;
    formula.height_share = (powder.z_top - powder.z_bottom) / (sleeve.z_top - sleeve.z_bottom);
    return formula;
  }

  double margin_at(const Snapshot& shot, double force_times) {
    const Posed pose = posed(shot, force_times);
    if (!pose.deformed.solved) return std::numeric_limits<double>::quiet_NaN();
    return least_margin(loads_of(pose.instant, pose.stack, pose.deformed));
  }

  /// By Newton's rule for a margin that falls as one over the force.
  std::optional<LargestForce> largest_force(const Snapshot& shot, bool hot, double margin) {
    double times = 1.0;
    const double asked = whole_.strength.safety_factor;
    for (int k = 0; k < tries && std::isfinite(margin); ++k) {
      if (std::abs(margin / asked - 1.0) < near_enough) break;
      times *= std::clamp(margin / asked, 0.2, 5.0);
      margin = margin_at(shot, times);
    }
    if (!(std::abs(margin / asked - 1.0) < 0.02)) return {};
    const double force = times * shot.force_N;
    return LargestForce{hot, shot.time_s, force,
                        powder_ < 0 ? 0.0 : force / section(p_.mesh.layout[powder_])};
  }

  /// Cold: at the start.  Hot: at the worst instant while the powder is soft.
  std::vector<LargestForce> largest_forces(const Strength& out) {
    std::vector<LargestForce> found;
    const auto add = [&](const Snapshot& shot, bool hot) {
      const auto force = largest_force(shot, hot, margin_at(shot, 1.0));
      if (force) found.push_back(*force);
    };
    if (shots_.front().force_N > 0.0) add(shots_.front(), false);
    const Judged* worst = nullptr;
    double least = std::numeric_limits<double>::infinity();
    for (const Judged& judged : out.instants)
      if (!is_solid_at(judged.time_s) && judged.time_s > shots_.front().time_s &&
          least_margin(judged.loads) < least) {
        worst = &judged;
        least = least_margin(judged.loads);
      }
    if (worst)
      for (const Snapshot& shot : shots_)
        if (shot.time_s == worst->time_s) add(shot, true);
    return found;
  }

  void remark(Strength& out) const {
    out.remarks = remarks_;
    for (const std::string& name : without_)
      out.remarks.push_back("\"" + name + "\" bears nothing here: the modulus of its material is not known");
    for (const PartJudged& part : out.parts) {
      const materials::Material& m = whole_.materials[whole_.parts[part.part].material];
      if (!m.tensile_strength && !m.flexural_strength)
        out.remarks.push_back("\"" + whole_.parts[part.part].name + "\" in tension: the strength of " +
                              m.name + " is not known");
      else if (!m.tensile_strength)
        out.remarks.push_back("\"" + whole_.parts[part.part].name +
                              "\" in tension is held against the bending " + "strength of " + m.name +
                              ", which is higher");
      if (!m.compressive_strength)
        out.remarks.push_back("\"" + whole_.parts[part.part].name + "\" under pressure: the strength of " +
                              m.name + " is not known");
    }
    if (out.unsolved > 0)
      out.remarks.push_back(std::to_string(out.unsolved) + " instants left out: " + why_unsolved_);
  }

  const Problem& whole_;
  const Problem& p_;  ///< what is solved
  const RunResult& result_;
  const std::vector<Snapshot>& shots_;
  double largest_force_ = 0;
  int powder_ = -1;  ///< block of the first powder
  std::optional<Lock> lock_;
  std::unique_ptr<Compact> compact_;
  std::vector<std::string> remarks_, without_;
  std::string why_unsolved_;
  std::optional<Deformed> like_;  ///< the last one, whose joints the next one is likely to share
  bool like_solid_ = false;
};

}  // namespace

Strength judge(const Problem& problem, const RunResult& result) {
  return Judge(problem, result).judge();
}

std::optional<Strength> judge_if_wanted(const Problem& problem, const RunResult& result) {
  if (!problem.strength.wanted) return {};
  return judge(problem, result);
}

std::vector<Posed> poses_of(const Problem& problem, const RunResult& result, const Strength& strength) {
  return Judge(problem, result).poses(strength);
}

}  // namespace joulepress::solid
