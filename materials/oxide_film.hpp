// The oxide between the grains of a metal powder: it blocks the current until it breaks, and never comes
// back.
//
// What is left of it depends on the hottest temperature met, T_max:
//   left = 1 - s^2 (3 - 2 s),   s = (T_max - T1) / (T2 - T1) held to 0..1
// and the resistivity runs from film and grains in series (left = 1) to the grains alone (left = 0):
//   resistivity = bare^(1 - left) (bare + film)^left
// The fade is geometric because the film is worth decades: grains open one touch at a time.  All touches in
// series (a linear fade of the resistivity) would hide the current until the last of them opens, all in
// parallel (a linear fade of the conductivity) would let it through with the first; the geometric mean lies
// between the two.  It spreads the decades evenly over the window, so that no time step meets a cliff.
// No law for the film has been agreed on: the numbers of a material file are of an order of magnitude.
#pragma once

#include <string>

#include "materials/uncertainty.hpp"

namespace joulepress::materials {

struct OxideFilm {
  double resistivity = 0;  ///< in series with the powder, before it breaks [ohm m]
  double gone_from = 0;    ///< K, the window in which it goes
  double gone_to = 0;      ///< K
  std::string source, note;
  Uncertainty uncertainty;  ///< of the resistivity
};

/// What is left of the film after `hottest` [K], 1 to 0.
double film_left(const OxideFilm& film, double hottest);

/// Resistivity of a powder [ohm m] with that share of its film, `bare` being that without.
double with_film(const OxideFilm& film, double bare, double share);

}  // namespace joulepress::materials
