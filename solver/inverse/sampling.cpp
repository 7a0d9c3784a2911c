#include "solver/inverse/sampling.hpp"

#include <boost/random/sobol.hpp>
#include <stdexcept>
#include <vector>

namespace joulepress::inverse {
namespace {

constexpr int most_dimensions = 3667;  // of Boost's table
constexpr int bits = 32, further_bits = 20;

/// One step of SplitMix64.
std::uint64_t mix(std::uint64_t x) {
  x += 0x9E3779B97F4A7C15u;
  x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
  x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
  return x ^ (x >> 31);
}

/// The bits above one another form a path in a tree; every node of it has a flip of its own.  A node's number
/// is the path with a one before it.
double scrambled(std::uint32_t x, std::uint64_t key) {
  std::uint64_t flipped = 0, node = 1;
  for (int k = bits - 1; k >= 0; --k) {
    const std::uint64_t bit = (x >> k) & 1u;
    flipped = 2 * flipped + (bit ^ (mix(key + node) >> 63));
    node = 2 * node + bit;
  }
  const std::uint64_t whole = (flipped << further_bits) | (mix(key + node) >> (64 - further_bits));
  return (static_cast<double>(whole) + 0.5) * 0x1p-52;  // exact: 53 bits
}

}  // namespace

Table sobol_points(int n, int dimensions, std::uint64_t seed) {
  if (n < 1) throw std::invalid_argument("Sobol points: fewer than one");
  if (dimensions < 1 || dimensions > most_dimensions)
    throw std::invalid_argument("Sobol points: from 1 to 3667 dimensions");
  std::vector<std::uint64_t> keys;
  for (int j = 0; j < dimensions; ++j) keys.push_back(mix(mix(seed) ^ static_cast<std::uint64_t>(j)));
  boost::random::sobol_engine<std::uint32_t, bits> engine(static_cast<std::size_t>(dimensions));
  Table points(n, dimensions);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < dimensions; ++j)  // Boost leaves out the zero at the start
      points(i, j) = scrambled(i == 0 ? 0u : static_cast<std::uint32_t>(engine()), keys[j]);
  return points;
}

}  // namespace joulepress::inverse
