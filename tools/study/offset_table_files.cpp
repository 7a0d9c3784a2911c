#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/reader/units.hpp"
#include "tools/screen/report.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/study/offset_table.hpp"

namespace joulepress::tools {
namespace {

std::string level_text(const std::vector<double>& level) {
  std::string text;
  for (const double density : level)
    text += fmt::format("{}{:.3g} %", text.empty() ? "" : " / ", 100.0 * density);
  return text;
}

std::string outcome_of(const OffsetCell& cell) {
  return cell.finished ? outcome_name(cell.finished->outcome) : "not run yet";
}

std::string rates_text(const OffsetTable& table, std::size_t r) {
  if (!table.rates_alike) return fmt::format("{:.4g} K/min", 60.0 * table.rates[r]);
  return fmt::format("{:.4g}-{:.4g} K/min", 60.0 * table.rates.front(), 60.0 * table.rates.back());
}

/// Rows of a block: round temperatures of the powder, a column a rate.
std::string block(const OffsetTable& table, std::size_t d) {
  std::string text;
  if (!table.densities[d].empty())
    text += "\nstart density " +
            (table.densities_alike
                 ? level_text(table.densities.front()) + " to " + level_text(table.densities.back())
                 : level_text(table.densities[d])) +
            "\n";
  text += fmt::format("  {:<14}", "powder degC");
  for (const std::size_t r : shown_rates(table)) text += fmt::format("{:>16}", rates_text(table, r));
  text += "\n";
  for (const double powder_K : table.powder_K) {
    text += fmt::format("  {:<14.0f}", cases::in_celsius(powder_K));
    for (const std::size_t r : shown_rates(table)) {
      const auto entry = to_enter(table, d, r, powder_K);
      text += entry ? fmt::format("{:>16.0f}", cases::in_celsius(*entry)) : fmt::format("{:>16}", "-");
    }
    text += "\n";
  }
  return text;
}

}  // namespace

std::string offsets_csv(const OffsetTable& table) {
  std::string text = "id,entered [K],rate [K/s]";
  for (const TableSubject::Powder& powder : table.subject.powders)
    if (powder.varied) text += "," + csv_field("start density of " + powder.name + " [1]");
  text +=
      ",offset [K],offset at the start of the hold [K],reading [K],powder mean [K],spread in the powder "
      "[K],density [1],outcome,why it does not "
      "count\n";
  for (std::size_t k = 0; k < table.cells.size(); ++k) {
    const OffsetCell& cell = table.cells[k];
    const std::size_t t = k % table.temperatures_K.size(), column = k / table.temperatures_K.size();
    text +=
        fmt::format("{},{},{}", cell.id, table.temperatures_K[t], table.rates[column % table.rates.size()]);
    for (const double density : table.densities[column / table.rates.size()])
      text += fmt::format(",{}", density);
    for (const double value :
         {cell.offset_K, cell.offset_start_K, cell.reading_K, cell.mean_K, cell.spread_K, cell.density})
      text += std::isfinite(value) ? fmt::format(",{}", value) : ",";
    text += fmt::format(",{},{}\n", outcome_of(cell), csv_field(cell.why_not));
  }
  return text;
}

std::string offsets_screen(const OffsetTable& table) {
  std::string text;
  if (table.powder_K.empty())
    text = "No two neighbouring members have a round temperature between them.\n";
  else
    text = "To give the powder a mean temperature, enter [degC]\n";
  if (!table.powder_K.empty())
    for (const std::size_t d : shown_densities(table)) text += block(table, d);
  std::string remarks;
  for (const OffsetCell& cell : table.cells)
    if (!cell.why_not.empty())
      remarks +=
          "  " + wrapped(fmt::format("{}: {}: {}", cell.id, outcome_of(cell), cell.why_not), 98, 4) + "\n";
  return text + (remarks.empty() ? "" : "\nDo not count:\n" + remarks);
}

}  // namespace joulepress::tools
