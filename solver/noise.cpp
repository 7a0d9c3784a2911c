#include "solver/noise.hpp"

#include <cmath>
#include <numbers>

namespace joulepress::solver {

namespace {

constexpr std::uint64_t stride = 0x9E3779B97F4A7C15u;

std::uint64_t mix(std::uint64_t x) {
  x += stride;
  x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
  x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
  return x ^ (x >> 31);
}

/// In (0, 1].
double uniform(std::uint64_t bits) {
  return static_cast<double>((bits >> 11) + 1) * 0x1p-53;
}

}  // namespace

double normal_deviate(std::uint64_t seed, std::uint64_t stream, std::uint64_t index) {
  const std::uint64_t key = mix(mix(mix(seed) ^ stream) ^ index);
  const double u = uniform(mix(key)), v = uniform(mix(key + stride));
  return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
}

}  // namespace joulepress::solver
