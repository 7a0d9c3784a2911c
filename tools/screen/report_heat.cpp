#include "tools/screen/report_heat.hpp"

#include <algorithm>
#include <cmath>

#include "tools/screen/report_lines.hpp"

namespace joulepress::tools {
namespace {

struct TableRow {
  std::string what;
  double watt;
};

std::string heat_table(const char* title, std::vector<TableRow> rows, double whole) {
  rows.erase(std::remove_if(rows.begin(), rows.end(),
                            [whole](const TableRow& r) { return std::abs(r.watt) < 0.005 * whole; }),
             rows.end());
  std::stable_sort(rows.begin(), rows.end(),
                   [](const TableRow& a, const TableRow& b) { return a.watt > b.watt; });
  std::string text = fmt::format("  {}\n", title);
  for (const TableRow& row : rows)
    text += fmt::format("    {:<44} {:>8.0f} W  {:>5.1f} %\n", row.what, row.watt, 100.0 * row.watt / whole);
  return text;
}

/// What a furnace gave to the stack and took back, and what the ends of the column drew off.
std::string heat_from_furnace(const solver::RunResult& result, const solver::Summary& summary) {
  const solver::FurnaceHeat& heat = *summary.furnace;
  const auto kJ = [](double joule) { return fmt::format("{:>9.1f} kJ", 1e-3 * joule); };
  std::string text = heading("Heat from the furnace, whole run");
  text += line("taken up through the surface", kJ(heat.given_J));
  text +=
      line("  at the most", fmt::format("{:>9.2f} kW at {:.0f} s", 1e-3 * heat.largest_W, heat.largest_s));
  text += line("given back through the surface", kJ(heat.taken_back_J));
  if (result.ledger.gas != 0.0) text += line("of it from the gas, net", kJ(-result.ledger.gas));
  if (result.ledger.film != 0.0) text += line("into the cooling of the column ends", kJ(result.ledger.film));
  if (result.ledger.fixed != 0.0) text += line("into ends held at a temperature", kJ(result.ledger.fixed));
  return text + line("still stored at the end", kJ(result.ledger.stored));
}

}  // namespace

std::string heat_balance(const solver::RunResult& result, const solver::Summary& summary) {
  if (summary.furnace) return heat_from_furnace(result, summary);
  if (summary.holds.empty() || !(summary.holds.back().last.power_W > 0.0)) return {};
  const solver::HistoryRow& row = summary.holds.back().last;
  std::vector<TableRow> made, lost;
  for (std::size_t k = 0; k < result.frame.part_names.size(); ++k) {
    made.push_back({result.frame.part_names[k], row.joule_by_part_W[k]});
    lost.push_back({"radiation of " + result.frame.part_names[k], row.radiation_by_part_W[k]});
  }
  made.push_back({"work of the punches on the powder", row.press_W});
  made.push_back({"Peltier and Thomson heat, their sum", row.thermoelectric_W});
  lost.push_back({"cooling at the lower end", row.film_low_W});
  lost.push_back({"cooling at the upper end", row.film_high_W});
  lost.push_back({"natural convection to the gas", row.gas_W});
  lost.push_back({"ends held at a temperature", row.fixed_W});
  lost.push_back({"stored", row.stored_W});
  std::string text = heading(
      fmt::format("Heat at the end of \"{}\" (parts below 0.5 % left out)", summary.holds.back().name));
  text += heat_table("made in (contact heat half to each side)", std::move(made), row.power_W);
  text += fmt::format("    {:<44} {:>8.0f} W  {:>5.1f} %\n", "of this in contact resistances",
                      row.contact_heat_W, 100.0 * row.contact_heat_W / row.power_W);
  return text + heat_table("goes to", std::move(lost), row.power_W);
}

}  // namespace joulepress::tools
