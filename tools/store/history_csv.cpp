#include "tools/store/history_csv.hpp"

#include <fmt/format.h>

#include <cmath>

#include "tools/store/history_table.hpp"

namespace joulepress::tools {

std::string csv_field(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + "\"";
}

namespace {

std::string entry(const HistoryColumn& column, const solver::HistoryRow& row) {
  const double value = column.value(row);
  if (!column.words.empty()) return csv_field(column.words[static_cast<std::size_t>(value)]);
  return std::isfinite(value) ? fmt::format("{}", value) : std::string();
}

}  // namespace

std::string history_csv(const solver::HistoryFrame& frame, const std::vector<solver::HistoryRow>& rows) {
  const std::vector<HistoryColumn> columns = history_columns(frame);
  std::string text;
  const auto line = [&](auto&& of) {
    for (std::size_t k = 0; k < columns.size(); ++k) text += (k == 0 ? "" : ",") + of(columns[k]);
    text += "\n";
  };
  line([](const HistoryColumn& column) { return csv_field(title_of(column)); });
  for (const solver::HistoryRow& row : rows)
    line([&row](const HistoryColumn& column) { return entry(column, row); });
  return text;
}

}  // namespace joulepress::tools
