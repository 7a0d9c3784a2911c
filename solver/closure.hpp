// Side pressure between a punch and the die around it: they close on each other, foil or nothing between.
//
//   delta = r [nu P/E + e_p - e_d]                      closing of the cold gap: the punch swells under its
//                                                       axial pressure and grows, the bore grows
//   p     = p_0 + (delta - gap) / (c_f + c_p + c_d)     never below the floor
//   c_f   = t/E_f                                       foil, pressed through its thickness
//   c_p   = (r/E) (1 - nu)                              solid cylinder under side pressure
//   c_d   = (r/E_d) [(K^2 + 1)/(K^2 - 1) + nu_d]        thick wall under inner pressure (Lame 1852)
// r radius of the punch [m], taken for the bore too; E, nu modulus [Pa] and Poisson's ratio [-] of the punch,
// E_d, nu_d of the die; P axial and p side pressure [Pa]; e thermal strain a (T - T_0) [-], T_0 that of
// assembly; c compliances [m/Pa]; K outer over inner radius of the die; t, E_f thickness and stiffness of the
// foil.  Closed forms: textbook elasticity, from memory.
//
// The fitting pressure p_0 is that of a foil which fills.  Without foil, or with some of the gap left
// unfilled, nothing presses cold: p_0 does not act, and p rises from zero where the gap closes, without a
// jump.
//
// Neglected: growth of the foil through its thickness, and that foil does not spring back all the way; load
// over part of the height (the wall beyond it stiffens the die); creep.
// Where temperature varies over a section, e is its mean over the section: the rim of a free cylinder and the
// bore of a free ring move with it (Timoshenko and Goodier, from memory).
// Tests: tests/solver/test_closure.cpp.
#pragma once

namespace joulepress::solver {

/// Punch, die and foil as assembled, cold.
struct Fit {
  double radius = 0;          ///< of the punch [m]
  double die_ratio = 2;       ///< outer over inner radius of the die [-], > 1
  double punch_modulus = 0;   ///< Pa
  double punch_poisson = 0;   ///< -
  double die_modulus = 0;     ///< Pa
  double die_poisson = 0;     ///< -
  double foil_thickness = 0;  ///< m; 0: no foil
  double foil_modulus = 0;    ///< through the thickness [Pa]; 0: no foil
  double fit_pressure = 0;    ///< p_0, of the press fit [Pa]
  double gap = 0;             ///< left unfilled, radial [m], >= 0
  double floor_pressure = 0;  ///< what stays where the foil has let go [Pa], >= 0
};

/// By how much punch and die have closed on each other, were nothing between them [m]; negative: they part.
double closing(const Fit& fit, double axial_pressure, double punch_strain, double die_strain);

/// Side pressure between the two [Pa], never below the floor.
double lateral_pressure(const Fit& fit, double axial_pressure, double punch_strain, double die_strain);

/// What is left of a touch that bears nothing, as a share of that at the reference pressure: a number that
/// keeps matrices regular (own choice, no source); radiation and gas across the gap are others' business.
inline constexpr double least_touch_factor = 1e-6;

/// Conductance of a touch over that at the reference pressure [-]:  (P/P_ref)^0.95, at least the above.
/// Source: Cooper, Mikic and Yovanovich 1969, Int J Heat Mass Transfer 12:279, from memory.
double touch_factor(double pressure, double reference_pressure);

/// Conductance of two rough faces that touch [W/(m2 K) from k in W/(m K), S/m2 from conductivities in S/m]:
///   1.25 k_s (m/sigma) (P/H)^0.95,   k_s = 2 k_a k_b / (k_a + k_b)
/// m/sigma mean slope over roughness of the two profiles [1/m], H hardness of the softer face [Pa].  The form
/// for current has the same spots in it, hence the same numbers.  Source: as above, from memory.
double touch_conductance(double k_a, double k_b, double slope_over_roughness, double pressure,
                         double hardness);

}  // namespace joulepress::solver
