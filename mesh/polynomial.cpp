#include "mesh/polynomial.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

namespace joulepress::mesh {
namespace {

/// t scaled to the stretch that the data cover, so that powers stay near one.
struct Scale {
  double origin, length;
  double of(double t) const { return (t - origin) / length; }
};

Scale scale_of(std::span<const Datum> data) {
  double low = data[0].from, high = data[0].to;
  for (const Datum& d : data) {
    low = std::min(low, d.from);
    high = std::max(high, d.to);
  }
  return {0.5 * (low + high), std::max(0.5 * (high - low), 1e-300)};
}

/// Data of the monomials 1, x, x^2, x^3: (b^(m+1) - a^(m+1)) / ((m+1) (b - a)), divided out.
Weights moments_of(const Datum& d, const Scale& scale) {
  const double a = scale.of(d.from), b = scale.of(d.to);
  return {1.0, (a + b) / 2.0, (a * a + a * b + b * b) / 3.0, (a + b) * (a * a + b * b) / 4.0};
}

/// Weights w with  sum_k w_k datum_k(x^m) = wanted[m]  for every m below the number of data.
Weights weights_for(std::span<const Datum> data, const Scale& scale, Weights wanted) {
  const int n = static_cast<int>(data.size());
  assert(n >= 1 && n <= data_max);
  std::array<Weights, data_max> rows{};
  for (int k = 0; k < n; ++k) {
    const Weights moments = moments_of(data[k], scale);
    for (int m = 0; m < n; ++m) rows[m][k] = moments[m];
  }
  for (int c = 0; c < n; ++c) {
    int pivot = c;
    for (int m = c + 1; m < n; ++m)
      if (std::abs(rows[m][c]) > std::abs(rows[pivot][c])) pivot = m;
    std::swap(rows[c], rows[pivot]);
    std::swap(wanted[c], wanted[pivot]);
    assert(rows[c][c] != 0.0);
    for (int m = c + 1; m < n; ++m) {
      const double factor = rows[m][c] / rows[c][c];
      for (int k = c; k < n; ++k) rows[m][k] -= factor * rows[c][k];
      wanted[m] -= factor * wanted[c];
    }
  }
  Weights w{};
  for (int c = n - 1; c >= 0; --c) {
    double rest = wanted[c];
    for (int k = c + 1; k < n; ++k) rest -= rows[c][k] * w[k];
    w[c] = rest / rows[c][c];
  }
  return w;
}

}  // namespace

Weights slope_weights(std::span<const Datum> data, double at) {
  const Scale scale = scale_of(data);
  const double x = scale.of(at);
  return weights_for(data, scale,
                     {0.0, 1.0 / scale.length, 2.0 * x / scale.length, 3.0 * x * x / scale.length});
}

Weights value_weights(std::span<const Datum> data, const Datum& wanted) {
  const Scale scale = scale_of(data);
  return weights_for(data, scale, moments_of(wanted, scale));
}

}  // namespace joulepress::mesh
