#include "solver/inverse/series_weights.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace joulepress::inverse {
namespace {

constexpr double far_off = 4.0;         // deviations, told as such
constexpr double settled_change = 0.1;  // of ln s between rounds; own choice
constexpr double counted_for = 10.0;    // values, a series at first and where the model errs; own choice

/// The memory with which a series counts for ten values.
double as_ten(const DataSeries& series) {
  return std::max(1.0, series.count / counted_for);
}

double least_memory(const DataSeries& series) {
  return series.model_deviation > 0.0 ? as_ten(series) : 1.0;
}

}  // namespace

SeriesWeights::SeriesWeights(std::vector<DataSeries> series) : series_(std::move(series)) {
  for (const DataSeries& one : series_) {
    if (one.count < 1 || !(one.deviation > 0.0))
      throw std::invalid_argument("a series without values, or without a deviation above 0");
    length_ += static_cast<std::size_t>(one.count);
    if (one.use != DataSeries::Use::watched) counted_ += one.count;
    weights_.push_back({one.deviation, one.use == DataSeries::Use::data ? as_ten(one) : 1.0});
  }
}

std::vector<double> SeriesWeights::part(const std::vector<double>& misfits, std::size_t series) const {
  std::size_t from = 0;
  for (std::size_t k = 0; k < series; ++k) from += static_cast<std::size_t>(series_[k].count);
  const auto begin = misfits.begin() + static_cast<std::ptrdiff_t>(from);
  return {begin, begin + series_[series].count};
}

double SeriesWeights::scatter_in(const std::vector<double>& misfits, std::size_t series) const {
  return std::max(
      {series_[series].deviation, series_[series].model_deviation, scatter_of(part(misfits, series))});
}

double SeriesWeights::memory_in(const std::vector<double>& misfits, std::size_t series,
                                double scatter) const {
  return std::max(least_memory(series_[series]), memory_of(part(misfits, series), scatter));
}

bool SeriesWeights::weigh(const std::vector<double>& misfits) {
  bool changed = false;
  for (std::size_t k = 0; k < series_.size(); ++k) {
    if (series_[k].use != DataSeries::Use::data) continue;
    const double s = scatter_in(misfits, k);
    changed = changed || std::abs(std::log(s / weights_[k].s)) > settled_change;
    weights_[k].s = s;
  }
  return changed;
}

void SeriesWeights::remember(const std::vector<double>& misfits) {
  for (std::size_t k = 0; k < series_.size(); ++k)
    if (series_[k].use == DataSeries::Use::data) weights_[k].g = memory_in(misfits, k, weights_[k].s);
  bend_ = Bend::lets_go;
}

bool SeriesWeights::refine(const std::vector<double>& misfits) {
  bool changed = false;
  for (std::size_t k = 0; k < series_.size(); ++k) {
    if (series_[k].use != DataSeries::Use::data) continue;
    const double s = scatter_in(misfits, k), g = memory_in(misfits, k, s);
    if (std::log(weights_[k].s / s * std::sqrt(weights_[k].g / g)) < settled_change) continue;
    weights_[k] = {s, g};
    changed = true;
  }
  return changed;
}

void SeriesWeights::trust(const std::vector<double>& misfits) {
  for (std::size_t k = 0; k < series_.size(); ++k)
    if (series_[k].use == DataSeries::Use::data)
      weights_[k] = {scatter_in(misfits, k), least_memory(series_[k])};
}

double SeriesWeights::unmet(const std::vector<double>& misfits) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < series_.size(); ++k)
    if (series_[k].use == DataSeries::Use::data)
      sum += series_[k].count / least_memory(series_[k]) * 2.0 * std::log(scatter_in(misfits, k));
  return sum;
}

double SeriesWeights::weighted(std::size_t series, double misfit) const {
  const Weight& w = weights_[series];
  return bent(misfit / w.s, bend_) / std::sqrt(w.g);
}

double SeriesWeights::slope(std::size_t series, double misfit) const {
  const Weight& w = weights_[series];
  return slope_of_bent(misfit / w.s, bend_) / w.s / std::sqrt(w.g);
}

std::vector<SeriesFit> SeriesWeights::told(const std::vector<double>& before,
                                           const std::vector<double>& after) const {
  std::vector<SeriesFit> fits;
  for (std::size_t k = 0; k < series_.size(); ++k) {
    const std::vector<double> own = part(after, k);
    SeriesFit fit{weights_[k].s, weights_[k].g, rms_of(part(before, k)), rms_of(own), own.size(), 0};
    fit.far_off = static_cast<int>(std::count_if(
        own.begin(), own.end(), [&](double d) { return std::abs(d) > far_off * fit.deviation; }));
    fits.push_back(fit);
  }
  return fits;
}

}  // namespace joulepress::inverse
