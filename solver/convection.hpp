// Natural convection from the outside of a stack to the gas in the chamber: films per face.
//
//   h = k Nu / L,   Ra = g beta |Ts - Tg| L^3 / (nu alpha),   beta = 1/T,   properties at T = (Ts + Tg) / 2
// vertical faces, L the height (Churchill and Chu 1975, Int J Heat Mass Transfer 18:1323, for all Ra):
//   Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}^2
// horizontal faces, L = area / perimeter (Raithby and Hollands 1998, ch. 4 of Rohsenow, Hartnett and Cho,
// Handbook of Heat Transfer, from memory; 1 < Ra < 1e10).  Gas that moves away (hot face
// up, cold face down):
//   Nu = (Nu_l^10 + Nu_t^10)^(1/10),   Nu_l = 1.4 / ln(1 + 1.4/N),   Nu_t = 0.14 Ra^(1/3)
//   N = 0.835 x 0.671 [1 + (0.492/Pr)^(9/16)]^(-4/9) Ra^(1/4)
// gas that is held (hot face down, cold face up):
//   Nu = 2.5 / ln(1 + 2.5/N),   N = 0.527 [1 + (1.9/Pr)^(9/10)]^(-2/9) Ra^(1/5)
// They are chosen because they go on to the small Ra of small faces (10 mm at 1300 K in argon: about 1e3),
// where the power laws of textbooks end at 1e4, and have no step.  Held gas is the least sure: published laws
// differ by 40 % at Ra = 1e8, by a third at 1e4.
//
// A vertical cylinder counts as a plate; for D/L < 35 / Gr^(1/4) it loses more (Incropera and DeWitt, from
// memory), 50 mm by 100 mm at 1300 K about a tenth.  Faces in each other's wake are not known of.  In thin
// gas the jump at the wall comes in series, so that the film goes to zero with the pressure.
// The heat flow h (Ts - Tg) is continuous and rises with Ts.  Its slope is continuous too for vertical faces;
// horizontal ones change their law at Ts = Tg, and the slope there by less than a tenth of the film at 10 K.
#pragma once

#include "materials/gas.hpp"

namespace joulepress::solver {

double nusselt_vertical(double rayleigh, double prandtl);
double nusselt_leaving(double rayleigh, double prandtl);  ///< hot face up, cold face down
double nusselt_held(double rayleigh, double prandtl);     ///< hot face down, cold face up

enum class Orientation { vertical, up, down };  ///< where a face looks

/// Film [W/(m2 K)] between a face at surface_T and gas at gas_T [K]; `length` [m] as above.
double film(const materials::Gas& gas, Orientation orientation, double length, double surface_T,
            double gas_T);

}  // namespace joulepress::solver
