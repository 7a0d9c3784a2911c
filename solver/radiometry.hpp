// What a pyrometer shows of a surface at T, and the surface behind what it shows.
//
// Spectral radiance L ~ 1 / (exp(c2 / (lambda T)) - 1) (Planck) or exp(-c2 / (lambda T)) (Wien); lambda the
// effective wavelength [m], c2 = h c / k [m K].  The instrument looks for the temperature Tr [K] at which a
// body of the properties it is set to would send the signal it receives:
//   one colour    emissivity window L(lambda, T) = set_emissivity L(lambda, Tr)
//     Planck      Tr = (c2 / lambda) / ln(1 + (exp(c2 / (lambda T)) - 1) / q),  q = emissivity window / set
//     Wien        1 / Tr = 1 / T - (lambda / c2) ln q
//   two colours   (e1 / e2) L(l1, T) / L(l2, T) = set_ratio L(l1, Tr) / L(l2, Tr); the grey window cancels
//     Wien        1 / Tr = 1 / T - ln q / D,  q = (e1 / e2) / set_ratio,  D = c2 (1 / l1 - 1 / l2)
//     Planck      Newton on g(b) = ln(exp(c2 b / l2) - 1) - ln(exp(c2 b / l1) - 1), b = 1 / T.
// For l1 < l2 the ratio L(l1) / L(l2) rises with T at every T: -dg/db = h(c2 / l1) - h(c2 / l2) with
// h(a) = a / (1 - exp(-a b)), which rises with a.  -g is convex too, its slope between D / 2 and D, so that
// Newton's method ends at the root from any start.  l1 > l2 is the same with both ratios turned over.
// Where q > 1 (two colours; one colour by Wien's law) a very hot surface sends what no body as set would at
// any temperature: the reading is then infinite, never below D / (2 ln q) (one colour, Wien: c2 / (lambda ln
// q)). For 0.95 and 1.05 um and q = 1.1 that is 7600 K.
//
// Neglected: the width of the band, the window's own glow, and what the surface reflects of hotter walls.
// Sources: Planck's and Wien's laws (textbook), readings derived here.  Tests:
// tests/solver/test_radiometry.cpp.
#pragma once

namespace joulepress::solver {

/// c2 = h c / k [m K], exact in the SI since 2019; CODATA 2018 prints it to these digits.
inline constexpr double second_radiation_constant = 1.438776877e-2;

struct Pyrometer {
  double wavelength = 0;           ///< effective [m]
  double second_wavelength = 0;    ///< m, other than the first; 0: one colour
  double emissivity = 0.8;         ///< true, of what it looks at, at the first wavelength [-]
  double second_emissivity = 0.8;  ///< true, at the second wavelength [-]
  double window = 1;               ///< true transmission of the window, grey [-]
  double set_emissivity = 0.8;  ///< one colour: what it is set to, for surface and window in one number [-]
  double set_ratio = 1;         ///< two colours: the emissivity ratio, first over second, it is set to [-]
  bool wien = false;            ///< Wien's law instead of Planck's
  double lower_limit = 0;       ///< K, the lowest it shows: below its sight it stays there
};

/// What it shows [K] of a surface [K]; never below its lower limit.
double shown_temperature(const Pyrometer& pyrometer, double surface);

/// Whether it sees the surface [K]: what it would show without the limit lies at or above the limit.
bool is_in_sight(const Pyrometer& pyrometer, double surface);

/// The surface [K] behind what is shown [K]; rises strictly, knows no limit, infinite where nothing is so
/// hot.
double surface_for_reading(const Pyrometer& pyrometer, double shown);

/// Effective emissivity [-] of the bottom of a cylindrical blind bore, seen along its axis: diffuse grey
/// walls of one temperature and emissivity e, depth L and radius r, x = L / r >= 0.
///
///   1 - e_eff = (1 - e) [ F + (1 - F) (1 - e) f / (e + (1 - e) f) ],   F = 1 / (1 + x^2),  f = 1 / (2 (1 +
///   x))
///
/// Of light that enters, 1 - e leaves the bottom's middle again, F of it straight through the mouth; the rest
/// goes round as in a sphere whose mouth is the share f of all its surface (mouth included).  By Kirchhoff's
/// law what does not come out is the emissivity.  This is Gouffe's formula of 1945 (from memory) with F, the
/// exact view of the mouth from the middle, as its solid angle.  Depth 0 gives e, infinite depth 1; it rises
/// with both. Against the integral equation solved by rings (calculated for this, see the test): within 0.003
/// for e = 0.8, 0.007 for 0.7, 0.024 for 0.5, low in bores deeper than 3 radii, high in shallower ones.
double cavity_emissivity(double wall_emissivity, double depth_over_radius);

}  // namespace joulepress::solver
