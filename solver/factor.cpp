#include "solver/factor.hpp"

#include <Eigen/Sparse>
#include <algorithm>
#include <cmath>
#include <type_traits>

namespace joulepress::solver {
namespace {

using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;

/// Up to four neighbouring columns of L with the rows they share, zeros filled in: an index is read once for
/// all of them, and what a row needs stands side by side.  The panel's own rows come first, its lower
/// triangle with L; then the rows below.
struct Panel {
  int first = 0, width = 0;
  int rows_begin = 0, rows_end = 0;  ///< of the rows below, into Pattern::rows
  std::size_t values = 0;            ///< of its first row, `width` numbers a row
  const int* begin(const std::vector<int>& rows) const { return rows.data() + rows_begin; }
};

constexpr int widest = 4;

/// Where a row of a panel stands.
template <class Number>
Number* row_at(Number* first, int row, int width) {
  return first + static_cast<std::ptrdiff_t>(row) * width;
}

/// Calls f with the width as a constant, so that loops over columns unroll.
template <class F>
void with_width(const Panel& p, F&& f) {
  switch (p.width) {
    case 1:
      return f(std::integral_constant<int, 1>{});
    case 2:
      return f(std::integral_constant<int, 2>{});
    case 3:
      return f(std::integral_constant<int, 3>{});
    default:
      return f(std::integral_constant<int, 4>{});
  }
}

/// Lower triangle of n unknowns coupled by the links, numbered by `position`; weak couplings, so that it can
/// be factorised.
template <class Position>
Matrix triangle_of(int n, std::span<const Link> links, Position&& position) {
  std::vector<Eigen::Triplet<double, int>> entries;
  entries.reserve(static_cast<std::size_t>(n) + links.size());
  for (int i = 0; i < n; ++i) entries.emplace_back(i, i, 1.0);
  for (const Link& link : links) {
    const int p = position(link.a), q = position(link.b);
    entries.emplace_back(std::max(p, q), std::min(p, q), -1e-3);
  }
  Matrix lower(n, n);
  lower.setFromTriplets(entries.begin(), entries.end());
  return lower;
}

}  // namespace

/// What follows from the links alone.
struct Factor::Pattern {
  std::vector<int> position;  ///< per cell
  std::vector<Panel> panels;
  std::vector<int> panel_of;  ///< per position
  std::vector<int> rows;
  std::size_t n_values = 0;
  std::vector<std::size_t> diagonal_slot, link_slot;

  Pattern(int n, std::span<const Link> links);
  std::size_t slot(int row, int column) const;

 private:
  void arrange(const Matrix& l);
};

// Eigen's minimum-degree ordering is as good as nested dissection at 5 to 20 thousand cells (docs/decisions);
// its factor of a matrix of the same pattern shows which rows each column of L has.
Factor::Pattern::Pattern(int n, std::span<const Link> links) : panel_of(n) {
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> inverse;
  Eigen::AMDOrdering<int> ordering;
  ordering(triangle_of(n, links, [](int cell) { return cell; }).selfadjointView<Eigen::Lower>(), inverse);
  const auto order = inverse.inverse().eval();
  position.assign(order.indices().data(), order.indices().data() + n);
  const Eigen::SimplicialLDLT<Matrix, Eigen::Lower, Eigen::NaturalOrdering<int>> ldlt(
      triangle_of(n, links, [this](int cell) { return position[cell]; }));
  arrange(ldlt.matrixL().nestedExpression());
  for (int i = 0; i < n; ++i) diagonal_slot.push_back(slot(position[i], position[i]));
  for (const Link& link : links) {
    const int p = position[link.a], q = position[link.b];
    link_slot.push_back(slot(std::max(p, q), std::min(p, q)));
  }
}

void Factor::Pattern::arrange(const Matrix& l) {
  constexpr int worth = 3;  // zeros a column may cost: fewer indices and better rhythm
  const int n = static_cast<int>(l.cols());
  const int* outer = l.outerIndexPtr();
  const int* inner = l.innerIndexPtr();
  const auto below = [&](int j) { return outer[j + 1] - outer[j]; };
  for (int first = 0; first < n;) {
    int width = 1, zeros = 0;
    // The rows of a column are among those of its first one below (its parent), which may take it in.
    while (width < widest && first + width < n) {
      const int last = first + width - 1, next = first + width;
      if (below(last) == 0 || inner[outer[last]] != next) break;
      const int more = width * (below(next) - (below(last) - 1));
      if (zeros + more > worth * (width + 1)) break;
      zeros += more;
      ++width;
    }
    const int last = first + width - 1;
    Panel panel{first, width, static_cast<int>(rows.size()), 0, n_values};
    rows.insert(rows.end(), inner + outer[last], inner + outer[last + 1]);
    panel.rows_end = static_cast<int>(rows.size());
    n_values += static_cast<std::size_t>(width) * (width + below(last));
    std::fill_n(panel_of.begin() + first, width, static_cast<int>(panels.size()));
    panels.push_back(panel);
    first += width;
  }
}

std::size_t Factor::Pattern::slot(int row, int column) const {
  const Panel& p = panels[panel_of[column]];
  int its = row - p.first;
  if (its >= p.width) {
    const auto begin = rows.begin() + p.rows_begin;
    its = p.width + static_cast<int>(std::lower_bound(begin, rows.begin() + p.rows_end, row) - begin);
  }
  return p.values + static_cast<std::size_t>(its) * p.width + (column - p.first);
}

namespace {

/// L D L^T of a matrix that stands in the panels of L, panel by panel: what the panels to its left owe it
/// first, then its own columns.  A panel to the left waits in the list of the one that holds its next row.
class Elimination {
 public:
  Elimination(const std::vector<Panel>& panels, const std::vector<int>& panel_of,
              const std::vector<int>& rows, std::vector<double>& values, std::vector<double>& pivots)
      : panels_(panels),
        panel_of_(panel_of),
        rows_(rows),
        values_(values),
        pivots_(pivots),
        first_waiting_(panels.size(), -1),
        next_waiting_(panels.size(), -1),
        reached_(panels.size(), 0),
        place_(panel_of.size(), 0) {}

  bool run() {
    bool positive = true;
    for (int j = 0; positive && j < static_cast<int>(panels_.size()); ++j) {
      const Panel& p = panels_[j];
      for (int k = 0; k < p.width; ++k) place_[p.first + k] = k;
      for (int k = p.rows_begin; k < p.rows_end; ++k) place_[rows_[k]] = p.width + k - p.rows_begin;
      for (int left = first_waiting_[j]; left >= 0;) {
        const int after = next_waiting_[left];
        with_width(panels_[left], [&](auto width) { take_from<width>(left, p); });
        left = after;
      }
      with_width(p, [&](auto width) { positive = own_columns<width>(p); });
      reached_[j] = p.rows_begin;
      wait(j);
    }
    return positive;
  }

 private:
  void wait(int panel) {
    if (reached_[panel] == panels_[panel].rows_end) return;
    const int where = panel_of_[rows_[reached_[panel]]];
    next_waiting_[panel] = first_waiting_[where];
    first_waiting_[where] = panel;
  }

  template <int width>
  void take_from(int left, const Panel& p) {
    const Panel& l = panels_[left];
    const int from = reached_[left];
    int to = from;
    while (to < l.rows_end && rows_[to] < p.first + p.width) ++to;
    const double* const below = row_at(values_.data() + l.values, width, width);
    double* const target = values_.data() + p.values;
    double scaled[widest][width];
    int column[widest];
    for (int c = from; c < to; ++c) {
      column[c - from] = rows_[c] - p.first;
      const double* row = row_at(below, c - l.rows_begin, width);
      for (int k = 0; k < width; ++k) scaled[c - from][k] = row[k] * pivots_[l.first + k];
    }
    for (int r = from; r < l.rows_end; ++r) {
      const double* row = row_at(below, r - l.rows_begin, width);
      double* const taken = row_at(target, place_[rows_[r]], p.width);
      const int columns = std::min(to, r + 1) - from;
      for (int c = 0; c < columns; ++c) {
        double sum = 0.0;
        for (int k = 0; k < width; ++k) sum += row[k] * scaled[c][k];
        taken[column[c]] -= sum;
      }
    }
    reached_[left] = to;
    wait(left);
  }

  template <int width>
  bool own_columns(const Panel& p) {
    double* const block = values_.data() + p.values;
    double* const pivot = pivots_.data() + p.first;
    const auto eliminate = [&](double* row, int columns, double* unscaled) {
      for (int k = 0; k < columns; ++k) {
        double value = row[k];
        for (int m = 0; m < k; ++m) value -= unscaled[m] * block[k * width + m];
        unscaled[k] = value;
        row[k] = value / pivot[k];
      }
    };
    double unscaled[width];
    for (int j = 0; j < width; ++j) {
      double* row = row_at(block, j, width);
      eliminate(row, j, unscaled);
      double value = row[j];
      for (int k = 0; k < j; ++k) value -= unscaled[k] * row[k];
      if (!(value > 0.0) || !std::isfinite(value)) return false;
      pivot[j] = value;
    }
    double* row = row_at(block, width, width);
    for (int r = p.rows_begin; r < p.rows_end; ++r, row += width) eliminate(row, width, unscaled);
    return true;
  }

  const std::vector<Panel>& panels_;
  const std::vector<int>&panel_of_, &rows_;
  std::vector<double>&values_, &pivots_;
  std::vector<int> first_waiting_, next_waiting_;
  std::vector<int> reached_;  ///< per panel: its first row below that no panel has taken yet
  std::vector<int> place_;    ///< per position: row within the present panel
};

template <int width>
void forward(const Panel& p, const int* rows, const double* block, double* x) {
  double y[width];
  for (int j = 0; j < width; ++j) {
    y[j] = x[p.first + j];
    for (int k = 0; k < j; ++k) y[j] -= block[j * width + k] * y[k];
    x[p.first + j] = y[j];
  }
  const double* v = row_at(block, width, width);
  for (int row = p.rows_begin; row < p.rows_end; ++row, v += width) {
    double sum = 0.0;
    for (int k = 0; k < width; ++k) sum += v[k] * y[k];
    x[rows[row]] -= sum;
  }
}

template <int width>
void backward(const Panel& p, const int* rows, const double* block, double* x) {
  double y[width];
  for (int k = 0; k < width; ++k) y[k] = x[p.first + k];
  const double* v = row_at(block, width, width);
  for (int row = p.rows_begin; row < p.rows_end; ++row, v += width) {
    const double value = x[rows[row]];
    for (int k = 0; k < width; ++k) y[k] -= v[k] * value;
  }
  for (int j = width - 1; j >= 0; --j) {
    for (int m = j + 1; m < width; ++m) y[j] -= block[m * width + j] * y[m];
    x[p.first + j] = y[j];
  }
}

}  // namespace

Factor::Factor(int n, std::span<const Link> links) : Factor(std::make_shared<const Pattern>(n, links)) {}

Factor::Factor(std::shared_ptr<const Pattern> pattern)
    : pattern_(std::move(pattern)), pivots_(pattern_->position.size()), work_(pivots_.size()) {}

Factor Factor::of_same_pattern() const {
  return Factor(pattern_);
}

bool Factor::factorise(const MatrixValues& values) {
  const Pattern& p = *pattern_;
  values_.assign(p.n_values, 0.0);
  for (std::size_t i = 0; i < values.diagonal.size(); ++i) values_[p.diagonal_slot[i]] = values.diagonal[i];
  for (std::size_t k = 0; k < values.coupling.size(); ++k) values_[p.link_slot[k]] += values.coupling[k];
  return Elimination(p.panels, p.panel_of, p.rows, values_, pivots_).run();
}

void Factor::solve(std::span<double> right_side) const {
  const Pattern& p = *pattern_;
  const int* position = p.position.data();
  const int* rows = p.rows.data();
  double* x = work_.data();
  const std::size_t n = right_side.size();
  for (std::size_t i = 0; i < n; ++i) x[position[i]] = right_side[i];
  for (const Panel& panel : p.panels)
    with_width(panel, [&](auto width) { forward<width>(panel, rows, values_.data() + panel.values, x); });
  for (std::size_t i = 0; i < n; ++i) x[i] /= pivots_[i];
  for (auto panel = p.panels.rbegin(); panel != p.panels.rend(); ++panel)
    with_width(*panel, [&](auto width) { backward<width>(*panel, rows, values_.data() + panel->values, x); });
  for (std::size_t i = 0; i < n; ++i) right_side[i] = x[position[i]];
}

}  // namespace joulepress::solver
