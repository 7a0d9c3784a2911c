// Rows of numbers of equal length: one row per run, one column per uncertain input.
#pragma once

#include <cstddef>
#include <vector>

namespace joulepress::inverse {

struct Table {
  Table() = default;
  Table(int n_rows, int n_columns)
      : rows(n_rows), columns(n_columns), values(static_cast<std::size_t>(n_rows) * n_columns) {}

  double& operator()(int row, int column) { return values[place(row, column)]; }
  double operator()(int row, int column) const { return values[place(row, column)]; }
  std::vector<double> row(int k) const {
    const auto from = values.begin() + static_cast<std::ptrdiff_t>(place(k, 0));
    return {from, from + columns};
  }

  int rows = 0, columns = 0;
  std::vector<double> values;  ///< row by row

 private:
  std::size_t place(int row, int column) const { return static_cast<std::size_t>(row) * columns + column; }
};

}  // namespace joulepress::inverse
