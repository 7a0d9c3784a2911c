// What the half found, told of the whole.
#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/half.hpp"

namespace joulepress::solver {

HistoryRow unfold(const Problem& whole, const Half& half, const HistoryRow& row) {
  HistoryRow out = row;
  if (whole.drive.kind == DriveKind::voltage || whole.drive.kind == DriveKind::power) out.target *= 2.0;
  for (double HistoryRow::*doubled :
       {&HistoryRow::voltage_V, &HistoryRow::voltage_mean_V, &HistoryRow::taps_V, &HistoryRow::power_W,
        &HistoryRow::contact_heat_W, &HistoryRow::fixed_W, &HistoryRow::stored_W, &HistoryRow::press_W})
    out.*doubled *= 2.0;
  for (double Stroke::*doubled :
       {&Stroke::densification, &Stroke::elastic, &Stroke::frame, &Stroke::growth, &Stroke::foil})
    out.stroke.*doubled *= 2.0;
  out.tool_max_z -= 0.5 * out.stroke.densification;  // the half hangs from the mid-plane
  out.film_low_W = out.film_high_W = row.film_low_W + row.film_high_W;
  out.tool_max_part = half.part_above[row.tool_max_part];
  out.joule_by_part_W.resize(half.part.size());
  out.radiation_by_part_W.resize(half.part.size());
  for (std::size_t k = 0; k < half.part.size(); ++k) {
    const double share = half.cut[k] ? 2.0 : 1.0;
    out.joule_by_part_W[k] = share * row.joule_by_part_W[half.part[k]];
    out.radiation_by_part_W[k] = share * row.radiation_by_part_W[half.part[k]];
  }
  out.powders.clear();
  for (const int body : half.body) out.powders.push_back(row.powders[body]);
  return out;
}

namespace {

/// Lines of all blocks of the whole: those of its upper half and their images, counted from the bottom of the
/// column as it stands.
mesh::Placement unfold(const Problem& whole, const Half& half, const mesh::Placement& above) {
  const double plane = mid_plane(whole.mesh.layout);
  mesh::Placement placement;
  for (std::size_t k = 0; k < whole.mesh.grids.size(); ++k) {
    const mesh::BlockGrid& grid = whole.mesh.grids[k];
    const std::vector<double>& lines = above[half.block[k]];
    std::vector<double> own;
    const bool cut = half.cut[whole.mesh.layout[k].part], below = half.below[grid.first_cell];
    if (cut || below)
      for (auto z = lines.rbegin(); z != lines.rend() - (cut ? 1 : 0); ++z) own.push_back(2.0 * plane - *z);
    if (cut || !below) own.insert(own.end(), lines.begin(), lines.end());
    placement.push_back(std::move(own));
  }
  // The whole stands on its lower end, the half hangs from the mid-plane.
  const double down = placement.front().front() - whole.mesh.grids.front().z_lines.front();
  for (std::vector<double>& lines : placement)
    for (double& z : lines) z -= down;
  return placement;
}

}  // namespace

CellFields unfold(const Problem& whole, const Half& half, const CellFields& fields, double half_voltage) {
  CellFields out;
  out.time = fields.time;
  out.placement = unfold(whole, half, fields.placement);
  for (std::size_t i = 0; i < half.cell.size(); ++i) {
    const int cell = half.cell[i];
    const double sign = half.below[i] ? -1.0 : 1.0;
    const auto [j_r, j_z] = fields.current_density[cell];
    const auto [q_r, q_z] = fields.heat_flux[cell];
    out.temperature.push_back(fields.temperature[cell]);
    out.electric_potential.push_back(half_voltage + sign * fields.electric_potential[cell]);
    out.current_density.push_back({sign * j_r, j_z});
    out.joule_heat.push_back(fields.joule_heat[cell]);
    out.heat_flux.push_back({q_r, sign * q_z});
    out.relative_density.push_back(fields.relative_density[cell]);
  }
  return out;
}

Ledger unfold(const Ledger& ledger) {
  Ledger out = ledger;
  for (double Ledger::*doubled :
       {&Ledger::electric, &Ledger::joule, &Ledger::source, &Ledger::press, &Ledger::radiation, &Ledger::film,
        &Ledger::fixed, &Ledger::stored, &Ledger::worst_charge_residual, &Ledger::delivered, &Ledger::held})
    out.*doubled *= 2.0;
  return out;
}

}  // namespace joulepress::solver
