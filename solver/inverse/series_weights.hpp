// How much the values of each series of a misfit count: formulas and sources in learned.hpp.
// Tests: tests/solver/test_learned.cpp.
#pragma once

#include <cstddef>
#include <vector>

#include "solver/inverse/robust.hpp"

namespace joulepress::inverse {

/// Values that belong together, in the order they were taken.
struct DataSeries {
  /// data: model less data;  single: the same of events that stand alone, whose deviation is what it is;
  /// watched: a value of the model that nothing was measured of, followed through the last differences
  enum class Use { data, single, watched } use = Use::data;
  int count = 0;         ///< of its values in a vector of misfits; series follow each other there
  double deviation = 1;  ///< of one value, by its instrument [unit of the series], above 0
  /// What the model may be wrong by all along [unit of the series]; 0: it is the model behind the data.
  double model_deviation = 0;
};

/// How well runs meet a series.
struct SeriesFit {
  double deviation = 0;            ///< s, unit of the series
  double memory = 1;               ///< g
  double rms_before = 0, rms = 0;  ///< of the misfit, at the centre and at the best point
  std::size_t values = 0;
  int far_off = 0;  ///< values more than 4 s off
};

class SeriesWeights {
 public:
  /// Throws std::invalid_argument for series without values or with deviations not above 0.
  explicit SeriesWeights(std::vector<DataSeries> series);

  std::size_t length() const { return length_; }  ///< of a misfit
  int counted() const { return counted_; }        ///< of its values: those that are not watched

  /// New scatters from what is left; whether any of them changed by much.
  bool weigh(const std::vector<double>& misfits);

  /// The memories of what is left; from now on values far off are let go.
  void remember(const std::vector<double>& misfits);

  /// Scatter and memory again of series of which the runs that are left say clearly more with them; whether
  /// there are any.
  bool refine(const std::vector<double>& misfits);

  /// As if nothing that is left were more than scatter.
  void trust(const std::vector<double>& misfits);

  /// Sum over the series of (values that count at the most) ln s^2: how badly runs meet the data.
  double unmet(const std::vector<double>& misfits) const;

  /// Root of rho / g of a value, with its sign, and the slope of that by the value.
  double weighted(std::size_t series, double misfit) const;
  double slope(std::size_t series, double misfit) const;
  double scatter(std::size_t series) const { return weights_[series].s; }

  /// Calls f(index of the series, index of the value) for all values that count.
  template <class F>
  void each(F&& f) const {
    std::size_t i = 0;
    for (std::size_t k = 0; k < series_.size(); ++k) {
      const auto end = i + static_cast<std::size_t>(series_[k].count);
      if (series_[k].use == DataSeries::Use::watched)
        i = end;
      else
        for (; i < end; ++i) f(k, i);
    }
  }

  std::vector<SeriesFit> told(const std::vector<double>& before, const std::vector<double>& after) const;

 private:
  struct Weight {
    double s = 1, g = 1;
  };
  /// Scatter and memory of what is left of a series.
  double scatter_in(const std::vector<double>& misfits, std::size_t series) const;
  double memory_in(const std::vector<double>& misfits, std::size_t series, double scatter) const;
  std::vector<double> part(const std::vector<double>& misfits, std::size_t series) const;

  std::vector<DataSeries> series_;
  std::vector<Weight> weights_;
  Bend bend_ = Bend::pulls_on;
  std::size_t length_ = 0;
  int counted_ = 0;
};

}  // namespace joulepress::inverse
