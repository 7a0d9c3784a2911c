// How the strength of a brittle material scatters with the size of what is loaded.
//
// Weibull's weakest link with two parameters:   P = 1 - exp( - int (sigma/sigma_0)^m dV / V_0 )
// for tension only; of several principal stresses each counts by itself (independent action).  A test of bars
// whose strength is said as the largest stress in the bar has an effective volume V_e (what in even tension
// at that stress would break as often):
//   tension       V_e = V
//   three points  V_e = V / (2 (m + 1)^2),                V = width height span
//   four points   V_e = V (1 + m l/L) / (2 (m + 1)^2),    l inner, L outer span
// and the mean strength s of such bars belongs to the scale  sigma_0^m V_0 = (s / Gamma(1 + 1/m))^m V_e.
// Sources: Weibull 1939, and Davies 1973, Proc Brit Ceram Soc 22:429, from memory; derived again.
#pragma once

#include <string>

namespace joulepress::materials {

/// What was broken to measure a strength.
struct Specimen {
  enum class Loading { tension, three_point, four_point };
  Loading loading = Loading::four_point;
  double width = 0, height = 0;  ///< of a bar, or width 0 and height the diameter of a rod in tension [m]
  double length = 0;             ///< outer span of a bar in bending, gauge length in tension [m]
  double inner_span = 0;         ///< four points [m]
};

/// Scatter of a strength between specimens of one size.
struct Weibull {
  double modulus = 0;  ///< m
  Specimen specimen;   ///< that the strength belongs to
  std::string source;
};

/// V_e [m3].
double effective_volume(const Specimen& specimen, double modulus);

/// sigma_0^m V_0 as the stress sigma_0 of V_0 = 1 m3 [Pa m^(3/m)]; `mean_strength` [Pa] of such specimens.
double scale_of(const Weibull& weibull, double mean_strength);

/// 1 - exp(-risk), exact for small ones; risk = int (sigma/sigma_0)^m dV / V_0.
double failure_probability(double risk);

}  // namespace joulepress::materials
