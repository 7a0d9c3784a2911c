#include "cases/reader/log_text.hpp"

#include <algorithm>
#include <array>

namespace joulepress::cases {
namespace {

constexpr std::string_view utf8_mark = "\xEF\xBB\xBF", le_mark = "\xFF\xFE", be_mark = "\xFE\xFF";

/// Length of a well-formed UTF-8 letter at the start; 0: none.
std::size_t letter_length(std::string_view text) {
  const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(k < text.size() ? text[k] : 0); };
  const std::size_t length = byte(0) < 0x80    ? 1
                             : byte(0) < 0xC2  ? 0
                             : byte(0) < 0xE0  ? 2
                             : byte(0) < 0xF0  ? 3
                             : byte(0) <= 0xF4 ? 4
                                               : 0;
  for (std::size_t k = 1; k < length; ++k)
    if ((byte(k) & 0xC0u) != 0x80u) return 0;
  return length;
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = letter_length(text.substr(at, 4));
    if (length == 0) return false;
    at += length;
  }
  return true;
}

void append_utf8(std::string& out, char32_t c) {
  const auto add = [&out](char32_t byte) { out += static_cast<char>(static_cast<unsigned char>(byte)); };
  if (c < 0x80) {
    add(c);
  } else if (c < 0x800) {
    add(0xC0 | (c >> 6));
    add(0x80 | (c & 0x3F));
  } else if (c < 0x10000) {
    add(0xE0 | (c >> 12));
    add(0x80 | ((c >> 6) & 0x3F));
    add(0x80 | (c & 0x3F));
  } else {
    add(0xF0 | (c >> 18));
    add(0x80 | ((c >> 12) & 0x3F));
    add(0x80 | ((c >> 6) & 0x3F));
    add(0x80 | (c & 0x3F));
  }
}

std::string from_utf16(std::string_view bytes, bool little) {
  constexpr char32_t unknown = 0xFFFD;
  const auto unit = [&](std::size_t k) {
    const auto a = static_cast<unsigned char>(bytes[k]), b = static_cast<unsigned char>(bytes[k + 1]);
    return static_cast<char32_t>(little ? a | (b << 8) : b | (a << 8));
  };
  std::string out;
  out.reserve(bytes.size() / 2);
  for (std::size_t k = 0; k + 1 < bytes.size(); k += 2) {
    const char32_t c = unit(k);
    const bool high = c >= 0xD800 && c < 0xDC00, low = c >= 0xDC00 && c < 0xE000;
    if (high && k + 3 < bytes.size() && unit(k + 2) >= 0xDC00 && unit(k + 2) < 0xE000) {
      append_utf8(out, 0x10000 + ((c - 0xD800) << 10) + (unit(k + 2) - 0xDC00));
      k += 2;
    } else {
      append_utf8(out, high || low ? unknown : c);
    }
  }
  return out;
}

std::string from_latin1(std::string_view bytes) {
  std::string out;
  out.reserve(bytes.size() + bytes.size() / 16);
  for (const char c : bytes) append_utf8(out, static_cast<unsigned char>(c));
  return out;
}

std::string_view without_mark(std::string_view bytes, std::string_view mark) {
  if (bytes.starts_with(mark)) bytes.remove_prefix(mark.size());
  return bytes;
}

std::string with_plain_ends(const std::string& text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t k = 0; k < text.size(); ++k) {
    if (text[k] != '\r')
      out += text[k];
    else if (k + 1 >= text.size() || text[k + 1] != '\n')
      out += '\n';
  }
  return out;
}

constexpr std::string_view no_break_space = "\xC2\xA0";

/// Spaces of every kind around a cell.
std::size_t space_before(std::string_view text) {
  if (text.starts_with(no_break_space)) return no_break_space.size();
  return !text.empty() && (text.front() == ' ' || text.front() == '\t') ? 1 : 0;
}
std::size_t space_behind(std::string_view text) {
  if (text.ends_with(no_break_space)) return no_break_space.size();
  return !text.empty() && (text.back() == ' ' || text.back() == '\t') ? 1 : 0;
}

/// Cuts one text; knows where it is.
class Cutter {
 public:
  Cutter(LogTable& table, std::size_t end, ErrorList& errors) : table_(table), end_(end), errors_(errors) {}

  void run(std::size_t lines_max) {
    while (at_ < end_ && table_.rows.size() < lines_max) {
      LogTable::Row row{line_, table_.cells.size(), 0};
      bool any = false;
      while (true) {
        add_cell();
        ++row.count;
        any = any || table_.cells.back().length > 0;
        if (at_ >= end_ || table_.text[at_] == '\n') break;
        ++at_;  // the separator
      }
      ++at_;
      new_line(at_);
      if (any)
        table_.rows.push_back(row);
      else
        table_.cells.resize(row.first);
    }
  }

 private:
  void new_line(std::size_t start) {
    ++line_;
    line_start_ = start;
  }
  bool is_end(std::size_t at) const {
    return at >= end_ || table_.text[at] == '\n' || table_.text[at] == table_.separator;
  }

  void add_cell() {
    std::size_t from = at_;
    while (from < end_ && table_.text[from] == ' ') ++from;
    const int column = static_cast<int>(from - line_start_) + 1;
    if (from < end_ && table_.text[from] == '"' && add_quoted(from, column)) return;
    std::size_t to = at_;
    while (!is_end(to)) ++to;
    at_ = to;
    std::string_view cell = std::string_view(table_.text).substr(from, to - from);
    while (const std::size_t n = space_before(cell)) {
      cell.remove_prefix(n);
      from += n;
    }
    while (const std::size_t n = space_behind(cell)) cell.remove_suffix(n);
    table_.cells.push_back({from, cell.size(), column});
  }

  /// False where the quote is one of inches or the like: something follows it before the separator.
  bool add_quoted(std::size_t open, int column) {
    bool doubled = false;
    std::size_t close = open + 1;
    int lines = 0;
    for (; close < end_; ++close) {
      if (table_.text[close] == '\n') ++lines;
      if (table_.text[close] != '"') continue;
      if (close + 1 >= end_ || table_.text[close + 1] != '"') break;
      doubled = true;
      ++close;
    }
    if (close >= end_) {
      errors_.add({table_.file, line_, column}, {}, "The quote that opens here is never closed.",
                  "Close it, or take it out.");
      return false;
    }
    std::size_t next = close + 1;
    while (next < end_ && table_.text[next] == ' ') ++next;
    if (!is_end(next)) return false;
    std::size_t from = open + 1, length = close - from;
    if (doubled || lines > 0) {
      std::string plain;
      for (std::size_t k = from; k < close; ++k) {
        plain += table_.text[k] == '\n' ? ' ' : table_.text[k];
        if (table_.text[k] == '"') ++k;
      }
      from = table_.text.size();
      length = plain.size();
      table_.text += plain;
    }
    line_ += lines;
    if (lines > 0) line_start_ = table_.text.rfind('\n', close) + 1;
    std::string_view cell = std::string_view(table_.text).substr(from, length);
    while (const std::size_t n = space_before(cell)) {
      cell.remove_prefix(n);
      from += n;
    }
    while (const std::size_t n = space_behind(cell)) cell.remove_suffix(n);
    table_.cells.push_back({from, cell.size(), column});
    at_ = next;
    return true;
  }

  LogTable& table_;
  std::size_t end_;
  ErrorList& errors_;
  std::size_t at_ = 0, line_start_ = 0;
  int line_ = 1;
};

}  // namespace

std::string encoding_name(Encoding encoding) {
  switch (encoding) {
    case Encoding::utf8:
      return "UTF-8";
    case Encoding::utf16_le:
    case Encoding::utf16_be:
      return "UTF-16";
    case Encoding::latin1:
      break;
  }
  return "Latin-1";
}

std::optional<Encoding> encoding_called(std::string_view name) {
  if (name == "utf-8") return Encoding::utf8;
  if (name == "utf-16-le") return Encoding::utf16_le;
  if (name == "utf-16-be") return Encoding::utf16_be;
  if (name == "latin-1") return Encoding::latin1;
  return std::nullopt;
}

Encoding encoding_of(std::string_view bytes) {
  if (bytes.starts_with(utf8_mark)) return Encoding::utf8;
  if (bytes.starts_with(le_mark)) return Encoding::utf16_le;
  if (bytes.starts_with(be_mark)) return Encoding::utf16_be;
  std::array<std::size_t, 2> zeros{};
  const std::size_t looked_at = std::min<std::size_t>(bytes.size(), 4000) / 2 * 2;
  for (std::size_t k = 0; k < looked_at; ++k)
    if (bytes[k] == '\0') ++zeros[k % 2];
  // Latin letters, digits and signs: nearly every second byte is zero, the others are not.
  if (zeros[1] > looked_at / 3 && zeros[0] < looked_at / 20) return Encoding::utf16_le;
  if (zeros[0] > looked_at / 3 && zeros[1] < looked_at / 20) return Encoding::utf16_be;
  return is_utf8(bytes) ? Encoding::utf8 : Encoding::latin1;
}

std::string decoded(std::string_view bytes, Encoding encoding) {
  switch (encoding) {
    case Encoding::utf8:
      return with_plain_ends(std::string(without_mark(bytes, utf8_mark)));
    case Encoding::utf16_le:
      return with_plain_ends(from_utf16(without_mark(bytes, le_mark), true));
    case Encoding::utf16_be:
      return with_plain_ends(from_utf16(without_mark(bytes, be_mark), false));
    case Encoding::latin1:
      break;
  }
  return with_plain_ends(from_latin1(bytes));
}

Place LogTable::place(const Row& row, std::size_t k) const {
  if (k >= row.count) return {file, row.line, 1};
  const Cell& c = cells[row.first + k];
  return {file, row.line, c.column, std::max(1, static_cast<int>(c.length))};
}

std::size_t LogTable::filled(const Row& row) const {
  return static_cast<std::size_t>(
      std::count_if(cells.begin() + static_cast<std::ptrdiff_t>(row.first),
                    cells.begin() + static_cast<std::ptrdiff_t>(row.first + row.count),
                    [](const Cell& c) { return c.length > 0; }));
}

LogTable cut(const std::string& file, const std::string& text, char separator, ErrorList& errors,
             std::size_t lines_max) {
  LogTable table;
  table.file = file;
  table.text = text;
  table.separator = separator;
  table.ends_open = !text.empty() && text.back() != '\n';
  Cutter(table, text.size(), errors).run(lines_max);
  return table;
}

}  // namespace joulepress::cases
