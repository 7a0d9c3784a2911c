// The bytes of a log as lines cut into cells: letters, ends of lines, separators, quotes, decimal signs.
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cases/reader/input_error.hpp"

namespace joulepress::cases {

enum class Encoding { utf8, utf16_le, utf16_be, latin1 };

std::string encoding_name(Encoding encoding);
std::optional<Encoding> encoding_called(std::string_view name);

/// From a mark at the start, from zeros in every other byte, else UTF-8 where the bytes are, else Latin-1.
Encoding encoding_of(std::string_view bytes);

/// As UTF-8 without mark, every end of line (CR LF, CR, LF) as one \n.
std::string decoded(std::string_view bytes, Encoding encoding);

/// A text cut into cells.  Cells know where they stood, without the spaces and quotes around them.
struct LogTable {
  struct Cell {
    std::size_t from = 0, length = 0;  ///< in `text`
    int column = 1;                    ///< in its line, bytes from 1, of the cell with its quotes
  };
  struct Row {
    int line = 0;  ///< in which it begins, from 1
    std::size_t first = 0, count = 0;
  };
  std::string file;
  std::string text;  ///< behind the file stand cells from which doubled quotes were taken out
  char separator = ',';
  bool ends_open = false;  ///< the last line has no end: it may have been cut off
  std::vector<Cell> cells;
  std::vector<Row> rows;  ///< lines that are not empty

  /// Empty beyond the last cell of the row.
  std::string_view cell(const Row& row, std::size_t k) const {
    if (k >= row.count) return {};
    const Cell& c = cells[row.first + k];
    return std::string_view(text).substr(c.from, c.length);
  }
  Place place(const Row& row, std::size_t k) const;
  /// Number of cells that hold something.
  std::size_t filled(const Row& row) const;
};

/// Cuts at most so many lines.  A quote that is never closed is an error.
LogTable cut(const std::string& file, const std::string& text, char separator, ErrorList& errors,
             std::size_t lines_max = std::numeric_limits<std::size_t>::max());

/// How numbers are written: the sign before the decimals, and whether the other one groups thousands.
struct NumberStyle {
  char decimal = '.';
  bool thousands = false;
};

/// Digits with signs between that may be a number in one style or the other: 12, -0,5, 1.250, 1.2E+03.
bool looks_like_number(std::string_view cell);

struct LogNumber {
  double value = 0;
  int digits = 0;  ///< power of ten of the last digit written: -2 of 3.50
};

/// Nothing where the cell is no number in this style.
std::optional<LogNumber> number_in(std::string_view cell, NumberStyle style);

/// Sign of the decimals as the cells from a row on show it; what can be read in two ways is an error.
/// `said`: by the map, ',' or '.'; 0: nothing.
NumberStyle style_of(const LogTable& table, std::size_t first_row, char said, ErrorList& errors);

}  // namespace joulepress::cases
