#include "materials/oxide_film.hpp"

#include <cmath>

#include "materials/smooth.hpp"

namespace joulepress::materials {

double film_left(const OxideFilm& film, double hottest) {
  return 1 - smooth_step((hottest - film.gone_from) / (film.gone_to - film.gone_from));
}

double with_film(const OxideFilm& film, double bare, double share) {
  return bare * std::pow(1 + film.resistivity / bare, share);
}

}  // namespace joulepress::materials
