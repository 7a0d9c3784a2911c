// What a thermocouple shows when its junction sits at the bottom of a bore.
//
// Heat runs out along the sheath: a fin in the bore (radiation from the bore wall) that continues as a fin
// outside.  Closed form, all in vacuum, bare and without spring contact, hence an upper bound of the error:
//   (T - T_tip) / (T - T_amb) = [ m_o / (m_o + m_i tanh(m_i L)) ] / cosh(m_i L),   m = sqrt(4 h / (k d))
// L inserted length [m], d sheath diameter [m], k its conductivity [W/(m K)], h_i = 4 e s T^3 with e = 0.7 in
// the bore, h_o = 4 e s ((T + T_amb)/2)^3 with e = 0.5 outside (about h_i / 6 at 1000 degC).  Derivation: two
// fins joined at the mouth, the tip adiabatic (textbook). Tests: tests/solver/test_sensor.cpp.
#pragma once

#include "solver/problem.hpp"

namespace joulepress::solver {

/// material - reading [K] for a junction in material at T [K], surroundings at ambient [K]; >= 0 when hotter.
double stem_error(const Sensor& sensor, double T, double ambient);

/// What the instrument shows [K].
double reading(const Sensor& sensor, double material, double ambient);

/// The material temperature at which the instrument shows `shown` [K]; about 1 K where none is cold enough.
double material_for_reading(const Sensor& sensor, double shown, double ambient);

}  // namespace joulepress::solver
