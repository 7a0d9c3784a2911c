#include "solver/inverse/bootstrap.hpp"

#include <algorithm>
#include <random>

#include "solver/inverse/quantiles.hpp"

namespace joulepress::inverse {

std::vector<Interval> bootstrap(int n, const Statistic& statistic, std::uint64_t seed) {
  constexpr int replicates = 200;
  std::mt19937_64 generator(seed);
  std::vector<int> rows(n);
  std::vector<std::vector<double>> found;  // per number, one value per replicate
  for (int replicate = 0; replicate < replicates; ++replicate) {
    for (int& row : rows) row = static_cast<int>(generator() % static_cast<std::uint64_t>(n));
    const std::vector<double> numbers = statistic(rows);
    found.resize(numbers.size());
    for (std::size_t k = 0; k < numbers.size(); ++k) found[k].push_back(numbers[k]);
  }
  std::vector<Interval> intervals;
  for (std::vector<double>& values : found) {
    std::sort(values.begin(), values.end());
    intervals.push_back({quantile(values, 0.025), quantile(values, 0.975)});
  }
  return intervals;
}

}  // namespace joulepress::inverse
