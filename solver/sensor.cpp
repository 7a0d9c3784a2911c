#include "solver/sensor.hpp"

#include <cmath>

namespace joulepress::solver {

double stem_error(const Sensor& sensor, double T, double ambient) {
  if (!sensor.stem) return 0.0;
  constexpr double bore_emissivity = 0.7, outside_emissivity = 0.5;
  const double mean = 0.5 * (T + ambient);
  const double h_inside = 4.0 * bore_emissivity * stefan_boltzmann * T * T * T;
  const double h_outside = 4.0 * outside_emissivity * stefan_boltzmann * mean * mean * mean;
  const double per_film = 4.0 / (sensor.sheath_conductivity * sensor.sheath_diameter);
  const double inside = std::sqrt(per_film * h_inside), outside = std::sqrt(per_film * h_outside);
  const double length = inside * sensor.depth;
  return (T - ambient) * outside / (outside + inside * std::tanh(length)) / std::cosh(length);
}

double reading(const Sensor& sensor, double material, double ambient) {
  return material - stem_error(sensor, material, ambient);
}

double material_for_reading(const Sensor& sensor, double shown, double ambient) {
  if (!sensor.stem) return shown;
  // The reading rises with the material temperature: secant steps inside a bracket.
  double low = std::min(shown, ambient), high = std::max(shown, ambient) + 1.0;
  while (reading(sensor, high, ambient) < shown && high < 1e6) high = ambient + 2.0 * (high - ambient);
  // A cold stem ends in the ambient: far below it no material is cold enough for the reading.
  while (reading(sensor, low, ambient) > shown && low > 1.0) low *= 0.9;
  double T = shown;
  for (int k = 0; k < 200 && high - low > 1e-13 * high; ++k) {
    const double miss = reading(sensor, T, ambient) - shown;
    (miss > 0 ? high : low) = T;
    const double width = 1e-4 * T;
    const double slope =
        (reading(sensor, T + width, ambient) - reading(sensor, T - width, ambient)) / (2.0 * width);
    double next = T - miss / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::abs(next - T) <= 1e-13 * T) return next;
    T = next;
  }
  return T;
}

}  // namespace joulepress::solver
