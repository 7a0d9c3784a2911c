// What measured runs tell of unknowns that were known before only by a spread.
//
// Each unknown is a standard score z, normal with mean 0 and deviation 1 beforehand.  With d the model less
// the data,
//   least S(z) = sum over series k and values i of  rho(d_i / s_k) / g_k  +  |z|^2
//   rho(e) = 2 c^2 (sqrt(1 + (e / c)^2) - 1), c = 3: e^2 near 0, 2 c |e| far away, so that a value far off
//   pulls
//            no more than one three deviations off (Huber, Ann. Math. Stat. 35 (1964) 73, in a smooth form);
//            once a search has come near,
//   rho(e) = c^2 ln(1 + (e / c)^2)  instead, whose pull falls beyond c, so that a couple that jumps for a
//   moment
//            is as good as left out (Cauchy's; Holland and Welsch, Commun. Stat. A6 (1977) 813)
//   s_k      the largest of the instrument's own deviation, that of the model and the scatter of d: 1.4826
//   times the median of |d|
//            (for normal errors the deviation), or the root of its mean square where that is smaller
//   g_k      1 + 2 (sum of the autocorrelations of d in the series up to the first that is not positive):
//            so many values tell as much as one that stands alone.  What the model has wrong is wrong for
//            minutes, and a thousand values of it must not pass for a thousand witnesses.  Where the model is
//            said to be wrong no series counts for more than ten values: unknowns can make up for what it has
//            wrong in one run, so that nothing of it is left to be seen, and are wrong in every other.
//
// s follows from what is left after a search and makes the next one, until it stays; each series counts for
// ten values meanwhile (own choice), so that this only ever lowers  sum over k of 10 ln s_k^2 + |z|^2.  Then
// g is taken from what is left for a last search.  Were it to follow at once, what has not been learned yet
// would pass for what cannot be learned, and the search would end where it began.  From there a search with
// the least g a series can have is tried, and taken where  sum over k of (values that count at the most) ln
// s_k^2 + |z|^2  falls; s and g follow it, as they follow runs that tell clearly more than they were taken
// to.
//
// Searches: from the centre; from 1.5 deviations to either side along the direction which the data see best.
// The least S of them counts; another minimum nearly as good is told.  Unknowns that no instrument sees (sum
// over the values of (slope / its deviation)^2 below 0.04) stay at 0; those of which next to nothing is told
// in the end cost no further runs.
//
// At the end steps of Gauss and Newton with central differences, while they still lead a clear part of what
// is open away.  Covariance of z, with J of the weighted residuals at the best point:
//   C = (J^T J + 1)^-1          (Gauss-Newton; Tarantola, Inverse Problem Theory, SIAM 2005, chapter 3)
//
// Other models that may as well be behind the data are searched from there, in the weights met.  With z_m and
// S_m where that ends, both models as likely beforehand,
//   share_m = 1 / (1 + exp((S_m - S) / 2)),   covariance of z in all:  C + sum over m of share_m (z_m -
//   z)(z_m - z)^T
//             (second moment about z; averages over models: Hoeting et al., Statist. Sci. 14 (1999) 382; of
//             several other models each is one more thing unknown)
// and of whatever else a model shows, in place of (z_m - z), by how much model m there shows more.
// Sources from memory.  Tests: tests/solver/test_learned.cpp.
#pragma once

#include <vector>

#include "solver/inverse/least_squares.hpp"
#include "solver/inverse/series_weights.hpp"
#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

struct LearnProblem {
  Residuals misfit;  ///< at scores, several points in one call; empty where there is no run
  std::vector<Residuals> other_models;  ///< the same of models that may as well be the right one
  std::vector<DataSeries> series;
  int unknowns = 0;
};

struct LearnRules {
  double most_score = 4;     ///< box
  double step = 0.25;        ///< of the first differences [deviations]; later ones span what is still open,
  double least_step = 0.05;  ///< no less than this
  int most_rounds = 12;      ///< of searches, each with the s of the one before
  int most_points = 40;      ///< of one search
  bool several_starts = true;
};

/// Another minimum.
struct OtherAnswer {
  Point scores;
  double worse = 0;  ///< S there less S of the best, in the same weights
};

/// Where another model ends, in the weights of the one that was asked.
struct OtherModel {
  Point scores;                 ///< empty: it does not run
  std::vector<double> misfits;  ///< as Learned::after
  double worse = 0;             ///< S there less S of the best; below 0: it meets the data better
  double share = 0;             ///< how likely it is that this one is behind the data, of the two; 0 to 1
};

struct Learned {
  enum class End { settled, rounds, none } end = End::none;  ///< none: no run at the centre
  Point scores;                                              ///< the best
  Table covariance;                                          ///< C, by this model
  std::vector<SeriesFit> series;
  std::vector<double> before, after;  ///< misfits at the centre and at the best point, unweighted
  Table slope_before, slope;          ///< of them by the scores: a row a value, a column an unknown
  std::vector<OtherAnswer> others;    ///< worse by less than 6 (a likelihood ratio of 20)
  std::vector<OtherModel> models;     ///< as many as LearnProblem::other_models
  int points = 0;                     ///< at which the misfit was asked for
};

/// Throws std::invalid_argument for no unknowns, series without values or deviations not above 0, misfits of
/// another length than the series have.
Learned learn(const LearnProblem& problem, const LearnRules& rules = {});

/// Covariance of the scores in all, other models included.
Table covariance_in_all(const Learned& learned);

/// Deviation that one of the misfits has by other models alone.
double deviation_by_models(const Learned& learned, std::size_t misfit);

}  // namespace joulepress::inverse
