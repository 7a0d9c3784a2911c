#include "solver/factor.hpp"

#include <Eigen/Sparse>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <type_traits>

namespace joulepress::solver {

namespace {

/// Up to four neighbouring columns of L with the rows they share, zeros filled in: an index is then read once
/// for all of them, and what a row needs stands side by side.
struct Panel {
  int first = 0, width = 0;
  int rows_begin = 0, rows_end = 0;  ///< into Panels::rows
  std::size_t values = 0;            ///< of the first row; before them the triangle, row by row
};

constexpr int widest = 4;

/// L of L D L^T as panels.
class Panels {
 public:
  /// Groups the columns; the pattern stays, the values may change.
  template <class Matrix>
  void arrange(const Matrix& l) {
    panels_.clear();
    rows_.clear();
    const int n = static_cast<int>(l.cols());
    const int* outer = l.outerIndexPtr();
    const int* inner = l.innerIndexPtr();
    const auto below = [&](int j) { return outer[j + 1] - outer[j]; };
    std::size_t values = 0;
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
      Panel panel{first, width, static_cast<int>(rows_.size()), 0, values + triangle(width)};
      rows_.insert(rows_.end(), inner + outer[last], inner + outer[last + 1]);
      panel.rows_end = static_cast<int>(rows_.size());
      values = panel.values + static_cast<std::size_t>(width) * below(last);
      panels_.push_back(panel);
      first += width;
    }
    values_.assign(values, 0.0);
  }

  template <class Matrix>
  void take(const Matrix& l) {
    const int* outer = l.outerIndexPtr();
    const int* inner = l.innerIndexPtr();
    const double* value = l.valuePtr();
    for (const Panel& p : panels_)
      for (int k = 0; k < p.width; ++k) {
        const int column = p.first + k;
        int entry = outer[column];
        for (int j = k + 1; j < p.width; ++j) {
          const bool stored = entry < outer[column + 1] && inner[entry] == p.first + j;
          values_[p.values - triangle(p.width) + triangle(j) + k] = stored ? value[entry++] : 0.0;
        }
        double* out = values_.data() + p.values + k;
        for (int row = p.rows_begin; entry < outer[column + 1]; ++row, out += p.width)
          if (rows_[row] == inner[entry]) *out = value[entry++];
      }
  }

  void solve_lower(double* x) const {
    for (const Panel& p : panels_) dispatch(p, [&](auto width) { forward<width>(p, x); });
  }
  void solve_upper(double* x) const {
    for (auto p = panels_.rbegin(); p != panels_.rend(); ++p)
      dispatch(*p, [&](auto width) { backward<width>(*p, x); });
  }

 private:
  static constexpr int worth = 3;  // zeros a column may cost: fewer indices and better rhythm
  static constexpr std::size_t triangle(int width) {
    return static_cast<std::size_t>(width * (width - 1) / 2);
  }

  template <class F>
  static void dispatch(const Panel& p, F&& f) {
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

  template <int width>
  void forward(const Panel& p, double* x) const {
    const double* t = values_.data() + p.values - triangle(width);
    double y[width];
    for (int j = 0; j < width; ++j) {
      y[j] = x[p.first + j];
      for (int k = 0; k < j; ++k) y[j] -= t[triangle(j) + k] * y[k];
      x[p.first + j] = y[j];
    }
    const double* v = values_.data() + p.values;
    for (int row = p.rows_begin; row < p.rows_end; ++row, v += width) {
      double sum = 0.0;
      for (int k = 0; k < width; ++k) sum += v[k] * y[k];
      x[rows_[row]] -= sum;
    }
  }

  template <int width>
  void backward(const Panel& p, double* x) const {
    const double* t = values_.data() + p.values - triangle(width);
    double y[width];
    for (int k = 0; k < width; ++k) y[k] = x[p.first + k];
    const double* v = values_.data() + p.values;
    for (int row = p.rows_begin; row < p.rows_end; ++row, v += width) {
      const double value = x[rows_[row]];
      for (int k = 0; k < width; ++k) y[k] -= v[k] * value;
    }
    for (int j = width - 1; j >= 0; --j) {
      for (int m = j + 1; m < width; ++m) y[j] -= t[triangle(m) + j] * y[m];
      x[p.first + j] = y[j];
    }
  }

  std::vector<Panel> panels_;
  std::vector<int> rows_;
  std::vector<double> values_;
};

}  // namespace

// Eigen's minimum-degree ordering is as good as nested dissection at 5 to 20 thousand cells
// (docs/decisions); the matrix is permuted once here, so that each solve is two triangular sweeps.
struct Factor::Impl {
  using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
  Matrix lower;  ///< lower triangle in solver order
  std::vector<int> diagonal_slot, link_slot;
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> order;  ///< cell -> position
  Eigen::SimplicialLDLT<Matrix, Eigen::Lower, Eigen::NaturalOrdering<int>> ldlt;
  Panels panels;
  bool arranged = false;
  mutable Eigen::VectorXd work;
};

Factor::Factor(int n, std::span<const Link> links) : impl_(std::make_unique<Impl>()) {
  std::vector<Eigen::Triplet<double, int>> entries;
  entries.reserve(static_cast<std::size_t>(n) + links.size());
  for (int i = 0; i < n; ++i) entries.emplace_back(i, i, 1.0);
  for (const Link& link : links)
    entries.emplace_back(std::max(link.a, link.b), std::min(link.a, link.b), -1e-3);
  Impl::Matrix pattern(n, n);
  pattern.setFromTriplets(entries.begin(), entries.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> inverse;
  Eigen::AMDOrdering<int> ordering;
  ordering(pattern.selfadjointView<Eigen::Lower>(), inverse);
  impl_->order = inverse.inverse();

  const auto position = [&](int cell) { return impl_->order.indices()[cell]; };
  for (auto& entry : entries) {
    const int p = position(entry.row()), q = position(entry.col());
    entry = {std::max(p, q), std::min(p, q), 0.0};
  }
  impl_->lower.resize(n, n);
  impl_->lower.setFromTriplets(entries.begin(), entries.end());
  impl_->lower.makeCompressed();
  const auto slot = [&](int row, int column) {
    const int* begin = impl_->lower.innerIndexPtr() + impl_->lower.outerIndexPtr()[column];
    const int* end = impl_->lower.innerIndexPtr() + impl_->lower.outerIndexPtr()[column + 1];
    return static_cast<int>(std::lower_bound(begin, end, row) - impl_->lower.innerIndexPtr());
  };
  for (int i = 0; i < n; ++i) impl_->diagonal_slot.push_back(slot(position(i), position(i)));
  for (const Link& link : links) {
    const int p = position(link.a), q = position(link.b);
    impl_->link_slot.push_back(slot(std::max(p, q), std::min(p, q)));
  }
  impl_->ldlt.analyzePattern(impl_->lower);
  impl_->work.resize(n);
}

Factor::~Factor() = default;
Factor::Factor(Factor&&) noexcept = default;
Factor& Factor::operator=(Factor&&) noexcept = default;

bool Factor::factorise(const MatrixValues& values) {
  double* entry = impl_->lower.valuePtr();
  std::fill(entry, entry + impl_->lower.nonZeros(), 0.0);
  for (std::size_t i = 0; i < values.diagonal.size(); ++i)
    entry[impl_->diagonal_slot[i]] = values.diagonal[i];
  for (std::size_t k = 0; k < values.coupling.size(); ++k) entry[impl_->link_slot[k]] += values.coupling[k];
  impl_->ldlt.factorize(impl_->lower);
  if (impl_->ldlt.info() != Eigen::Success || !(impl_->ldlt.vectorD().minCoeff() > 0.0)) return false;
  const auto& l = impl_->ldlt.matrixL().nestedExpression();
  if (!impl_->arranged) impl_->panels.arrange(l);
  impl_->arranged = true;
  impl_->panels.take(l);
  return true;
}

void Factor::solve(std::span<double> right_side) const {
  const int* position = impl_->order.indices().data();
  const Eigen::VectorXd& d = impl_->ldlt.vectorD();
  double* x = impl_->work.data();
  const int n = static_cast<int>(right_side.size());
  for (int i = 0; i < n; ++i) x[position[i]] = right_side[i];
  impl_->panels.solve_lower(x);
  for (int i = 0; i < n; ++i) x[i] /= d[i];
  impl_->panels.solve_upper(x);
  for (int i = 0; i < n; ++i) right_side[i] = x[position[i]];
}

}  // namespace joulepress::solver
