// A compact that cools in its die: soft while it creeps, then solid and perhaps gripped.
//
// A compact forgets its stresses at the rate  E e'(s)/s  of a solid that creeps, s the pressure on it.  Going
// back from the end of the run, it is solid from where what it can still forget adds up to one e-fold:
//   int_lock^end  E e'(s)/s dt = 1
// (the temperature at which the time of relaxation equals that of cooling, said of any programme).  There it
// fits its die as the die is then, under the side pressure that it had as a soft body; from there on it is
// elastic, grows and shrinks by its own expansion, and touches its die by pressure only.  A porous one is as
// stiff as  E (1 - 1.9 P + 0.9 P^2)  (MacKenzie 1950, Proc Phys Soc B 63:2, from memory).
// Tests: tests/verification/test_strength.cpp.
#pragma once

#include <optional>

#include "solver/solid/stack_body.hpp"

namespace joulepress::solid {

/// From when on a compact is solid.
struct Lock {
  enum class Found {
    by_creep,
    hot_end,   ///< the run ends before: the end is taken, and a slower end would grip less
    no_creep,  ///< its creep is not known: the end of its highest temperature is taken, the worst there is
  };
  double time_s = 0;
  double temperature_K = 0;  ///< mean of the compact
  Found found = Found::by_creep;
};

/// Mean temperature [K] and pressure [Pa] of a compact over time.
struct CompactHistory {
  std::vector<double> time_s, temperature_K, pressure_Pa;
};

/// None where it never creeps enough to forget anything, so that it stays a powder.
std::optional<Lock> lock_of(const materials::Material& material, std::optional<double> grain,
                            const CompactHistory& history);

/// Young's modulus of a porous body [Pa].
double porous_modulus(double dense, double relative_density);

/// A compact from its lock on.
class Compact {
 public:
  /// `at_lock`: the stack there with the powder still soft.  Throws std::invalid_argument where the modulus
  /// or the expansion of the material is not known.
  Compact(Instant at_lock, int block);

  bool solved() const { return lock_.solved; }
  SolidPowder solid() const;
  const Instant& instant() const { return instant_; }

 private:
  Instant instant_;
  int block_;
  Pressed pressed_;
  StackBody stack_;
  Deformed lock_;
};

/// How a compact is held by what lies around it.
struct Grip {
  double mean_Pa = 0, largest_Pa = 0;  ///< of the pressure on its outside
  double core_Pa = 0;                  ///< of a ring: mean of that in its bore
  double force_N = 0;                  ///< sum of pressure times area of both, image included
};
Grip grip_of(const Instant& instant, const StackBody& stack, const Deformed& deformed, int block);

}  // namespace joulepress::solid
