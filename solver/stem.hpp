// The tip of a sheathed thermocouple in a bore: heat runs out along the sheath, so the tip is not at the
// material temperature.  A steady fin from the tip (x = 0) to the mouth (x = L), joined to an endless one
// outside (textbook fin, films of radiation kept as fourth powers):
//   bore     k d/4 T'' = e_b s (T^4 - Tm^4) + h_g (T - Tm),     tip  k T' = -h_c (Tm - T)
//   outside  k d/4 T'' = e_o s (T^4 - Ta^4) + h_o (T - Ta),     T -> Ta far away
// T [K], Tm material (bore wall, uniform), Ta surroundings, d sheath diameter [m], k its conductivity
// [W/(m K)], h_g gas across the gap, h_o convection outside, h_c contact of the tip [W/(m2 K)], s the
// Stefan-Boltzmann constant.  Both equations have a first integral, with t = Tm - T and F' = k d/4 t'':
//   k d/8 t'^2 = F(t) - F(t_tip) + h_c^2 d/(8 k) t_tip^2
//   k d/8 T'^2 = e_o s (T^5/5 - Ta^4 T + 4/5 Ta^5) + h_o/2 (T - Ta)^2
// Equal at the mouth, they give t there; dx = dt/t' summed over the bore must give L.
// Why so: the solution is one number, the length S of the linear fin (film at Tm, distance in 1/m) with
// the same t_mouth/t_tip; m L is S plus a smooth part (Gauss points, within 0.001 K of many more), no mesh,
// and nothing is lost where t_tip is 1e-20 of t_mouth.
//
// Tests: tests/solver/test_stem.cpp; boundary-value reference: tests/reference/stem_reference.py.
#pragma once

namespace joulepress::solver {

/// A sheath in a bore.  Without a film there (emissivity and gas both 0) only the tip contact heats it.
struct Stem {
  double depth = 0;                 ///< inserted length L [m]
  double diameter = 1.5e-3;         ///< d of the sheath [m]
  double conductivity = 15;         ///< k along it, wires and filling included [W/(m K)]
  double bore_emissivity = 0.7;     ///< e_b, exchange factor with the bore wall
  double outside_emissivity = 0.5;  ///< e_o
  double gas_conductance = 0;  ///< h_g: conductivity of the gas over the radial gap [W/(m2 K)]; 0 in vacuum
  double outside_film = 0;     ///< h_o: convection outside [W/(m2 K)]; 0 in vacuum
  double tip_contact = 0;      ///< h_c: spring contact with the bottom of the bore [W/(m2 K)]
};

/// Tip [K] with constant films: h = 4 e_b s Tm^3 in the bore, 4 e_o s ((Tm + Ta)/2)^3 outside; no gas,
/// convection or contact whatever the stem says.  No bound in general: the first film is too strong, the
/// second too weak.  With the emissivities above its error is the larger one from Tm = 3 Ta on (about 880 K
/// in a room), by up to 18 %, and about 4 % short at worst below that; it is the larger one where Tm < Ta.
double linear_tip(const Stem& stem, double material, double ambient);

/// Tip [K] of the equations above: between ambient and material, smooth and rising in both.
double tip_temperature(const Stem& stem, double material, double ambient);

/// Tip [K] at least as far from the material as tip_temperature, by constant films: in the bore the weakest,
/// e_b s (T + Tm)(T^2 + Tm^2) + h_g at the coldest T it may have, outside the strongest of those that carry
/// what that side carries, 2/5 e_o s (T^3 + 2 Ta T^2 + 3 Ta^2 T + 4 Ta^3) + h_o at the hottest mouth.
double bound_tip(const Stem& stem, double material, double ambient);

/// The material temperature [K] whose tip is at `tip`; about 1 K where none is cold enough.
double material_for_tip(const Stem& stem, double tip, double ambient);

}  // namespace joulepress::solver
