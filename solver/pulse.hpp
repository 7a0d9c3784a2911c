// Pulsed direct current: what of it makes heat, and what of it a meter shows.
//
//   mean       I_m = <i>               Peltier and Seebeck follow it, with its sign
//   effective  I_e = sqrt(<i^2>)       heat: <u i> = R I_e^2 in a stack that is a resistance, u = R i
//   flat pulses of height I_p:  I_m = d I_p,   I_e = sqrt(d) I_p,   d = on / (on + off), the duty
// <> mean over a period [A], R resistance [ohm].  So mean power is not mean voltage x mean current, R I_m^2:
// that is d times the mean power for flat pulses, (I_m/I_e)^2 of it for any (definitions).
//
// Where the pulses are not flat, a measured table of I_e/I_m against the output x = I_m/(largest mean)
// serves.  Of one kind of source the ratio falls with the logarithm of the output ("Effect of the current
// pulse pattern during heating in an SPS device", of which the abstract alone was seen).
//
// Neglected: inductance, hence the flanks of the pulses, and the skin effect: see skin_depth.
// Tests: tests/solver/test_pulse.cpp.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace joulepress::solver {

struct Pulse {
  double on = 0;   ///< s
  double off = 0;  ///< s; 0: continuous
  /// {output 0..1, effective over mean >= 1}, linear between the points, held beyond.  Empty: flat pulses.
  std::vector<std::pair<double, double>> ratio;
};

/// What is wrong with a pulse, in words; empty when nothing is.
/// mean_current needs x ratio(x) to rise wherever it is asked, or two means had one effective value.  Between
/// two points it is a parabola with the slope  ratio + x d(ratio)/dx,  lowest at the right end where the
/// ratio falls and never below 1 where it rises: that slope, positive at the right end of every stretch, is
/// enough.  That x ratio is larger at the next point is not enough: a steep stretch peaks inside.
std::string why_not(const Pulse& pulse);

// What follows expects a pulse that why_not has nothing against, and currents >= 0.

/// Share of the time with current on [-]; 1 when continuous.
double duty(const Pulse& pulse);

/// Effective over mean current [-], >= 1, at an output (mean over the largest mean); flat pulses:
/// 1/sqrt(duty).
double effective_over_mean(const Pulse& pulse, double output);

/// The mean current [A] of which `effective` [A] is the effective value; the largest mean the source can give
/// [A] counts with a table only.
double mean_current(const Pulse& pulse, double effective, double largest_mean);

/// Height of flat pulses [A]; of others with that duty the least their peak can be.
double peak_current(const Pulse& pulse, double effective);

/// Pulses a second [1/s]; 0 when continuous.  Steep flanks hold multiples of it too.
double base_frequency(const Pulse& pulse);

/// Depth at which an alternating current in a half space has fallen to 1/e [m], for a resistivity [ohm m] and
/// a frequency [1/s]:  sqrt(2 rho / (omega mu_0)),  omega = 2 pi f, not magnetic.  Textbook.  Parts much
/// thinner than that carry it evenly.
double skin_depth(double resistivity, double frequency);

}  // namespace joulepress::solver
