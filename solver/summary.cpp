#include "solver/summary.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace joulepress::solver {
namespace {

/// Time average over [from, to] of what `value` reads from the rows (trapezoids between rows inside).
template <class F>
double average(std::span<const HistoryRow> rows, F&& value) {
  if (rows.size() == 1) return value(rows.front());
  double sum = 0.0;
  for (std::size_t i = 1; i < rows.size(); ++i)
    sum += 0.5 * (value(rows[i]) + value(rows[i - 1])) * (rows[i].time_s - rows[i - 1].time_s);
  return sum / (rows.back().time_s - rows.front().time_s);
}

/// Net radiation into the stack [W].
double taken_up(const HistoryRow& row) {
  double lost = 0.0;
  for (const double radiation : row.radiation_by_part_W) lost += radiation;
  return -lost;
}

/// Rows within [from, to], both ends included.
std::span<const HistoryRow> between(const std::vector<HistoryRow>& rows, double from, double to) {
  constexpr double slack = 1e-6;
  const auto first = std::lower_bound(rows.begin(), rows.end(), from - slack,
                                      [](const HistoryRow& row, double t) { return row.time_s < t; });
  const auto last = std::upper_bound(first, rows.end(), to + slack,
                                     [](double t, const HistoryRow& row) { return t < row.time_s; });
  return {first, last};
}

/// Time average of the powder value that `pick` takes from a row.
template <class F>
PowderValue average_powder(std::span<const HistoryRow> rows, F&& pick) {
  PowderValue all;
  for (double PowderValue::*member :
       {&PowderValue::mean_K, &PowderValue::centre_K, &PowderValue::edge_K, &PowderValue::min_K,
        &PowderValue::max_K, &PowderValue::wall_K, &PowderValue::inner_edge_K, &PowderValue::outside_K,
        &PowderValue::density_mean, &PowderValue::density_min, &PowderValue::density_max,
        &PowderValue::layer_min, &PowderValue::layer_max, &PowderValue::apart_spread})
    all.*member = average(rows, [&](const HistoryRow& row) { return pick(row).*member; });
  return all;
}

void add_powders(const HistoryFrame& frame, std::span<const HistoryRow> settled, HoldSummary& hold) {
  if (!settled.front().powder) return;
  hold.powder = average_powder(settled, [](const HistoryRow& row) { return *row.powder; });
  for (std::size_t k = 0; k < frame.powder_names.size(); ++k)
    hold.powders.push_back({frame.powder_names[k],
                            average_powder(settled, [k](const HistoryRow& row) { return row.powders[k]; }),
                            std::nullopt});
}

void add_sensors(const HistoryFrame& frame, std::span<const HistoryRow> settled, HoldSummary& hold) {
  for (int k = 0; k < static_cast<int>(frame.sensor_names.size()); ++k) {
    SensorValue mean;
    for (double SensorValue::*member : {&SensorValue::reading_K, &SensorValue::material_K,
                                        &SensorValue::settled_K, &SensorValue::stem_bound_K})
      mean.*member = average(settled, [&](const HistoryRow& row) { return row.sensors[k].*member; });
    SensorSummary sensor;
    sensor.name = frame.sensor_names[k];
    sensor.controls = k == hold.control_sensor;
    sensor.in_sight = std::all_of(settled.begin(), settled.end(),
                                  [k](const HistoryRow& row) { return row.sensors[k].in_sight; });
    sensor.reading_K = mean.reading_K;
    sensor.material_K = mean.material_K;
    sensor.bound_K = mean.stem_bound_K;
    const HistoryFrame::SensorTraits traits = traits_of(frame, k);
    sensor.pyrometer = traits.pyrometer;
    if (traits.type) sensor.tolerance_K = tolerance(*traits.type, traits.tolerance_class, mean.reading_K);
    if (hold.powder) {
      sensor.offset_mean_K = hold.powder->mean_K - mean.reading_K;
      sensor.parts = offset_parts(*hold.powder, mean, traits);
    }
    hold.sensors.push_back(std::move(sensor));
  }
}

void add_offsets(const HistoryFrame& frame, std::span<const HistoryRow> whole, HoldSummary& hold) {
  const int control = hold.control_sensor;
  const auto offset = [&](const HistoryRow& row) {
    return row.powder->mean_K - row.sensors[control].reading_K;
  };
  hold.offset_mean_K = hold.powder->mean_K - hold.sensor_K;
  for (BodySummary& body : hold.powders) body.offset_mean_K = body.value.mean_K - hold.sensor_K;
  hold.offset_field_K = hold.powder->mean_K - hold.sensor_material_K;
  hold.offset_start_K = offset(whole.front());
  hold.offset_end_K = offset(whole.back());
  hold.drift = drift_between(frame, whole.front(), whole.back());
  hold.parts = hold.sensors[control].parts;
}

FurnaceHeat heat_of_furnace(const std::vector<HistoryRow>& rows) {
  FurnaceHeat heat;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const double now = taken_up(rows[i]);
    if (now > heat.largest_W) {
      heat.largest_W = now;
      heat.largest_s = rows[i].time_s;
    }
    if (i == 0) continue;
    const double energy = 0.5 * (now + taken_up(rows[i - 1])) * (rows[i].time_s - rows[i - 1].time_s);
    (energy > 0.0 ? heat.given_J : heat.taken_back_J) += std::abs(energy);
  }
  return heat;
}

HoldSummary summarise_hold(const HistoryFrame& frame, const std::vector<HistoryRow>& rows,
                           const HistoryFrame::Hold& window) {
  HoldSummary hold;
  hold.name = window.name;
  hold.start_s = window.start_s;
  hold.end_s = std::min(window.end_s, rows.back().time_s);
  hold.settled_from_s = 0.5 * (hold.start_s + hold.end_s);
  hold.set_K = window.set_K;
  const auto whole = between(rows, hold.start_s, hold.end_s);
  auto settled = between(rows, hold.settled_from_s, hold.end_s);
  if (settled.empty()) settled = whole;
  hold.last = whole.back();
  const auto mean = [&](double HistoryRow::*member) {
    return average(settled, [member](const HistoryRow& row) { return row.*member; });
  };
  hold.current_A = mean(&HistoryRow::current_A);
  hold.voltage_V = mean(&HistoryRow::voltage_V);
  hold.power_W = mean(&HistoryRow::power_W);
  hold.taken_up_W = average(settled, taken_up);
  hold.taken_up_start_W = taken_up(whole.front());
  hold.taken_up_end_W = taken_up(whole.back());
  if (std::all_of(settled.begin(), settled.end(),
                  [](const HistoryRow& r) { return r.current_share_powder.has_value(); }))
    hold.current_share_powder =
        average(settled, [](const HistoryRow& row) { return *row.current_share_powder; });
  add_powders(frame, settled, hold);
  hold.control_sensor = control_sensor(frame, whole.back());
  add_sensors(frame, settled, hold);
  if (hold.control_sensor >= 0) {
    const SensorSummary& control = hold.sensors[hold.control_sensor];
    hold.sensor_K = control.reading_K;
    hold.sensor_material_K = control.material_K;
    hold.stem_bound_K = control.bound_K;
    hold.sensor_error_K = hold.sensor_material_K - hold.sensor_K;
    if (hold.powder) add_offsets(frame, whole, hold);
  }
  return hold;
}

Peak find_peak(const HistoryFrame& frame, const std::vector<HistoryRow>& rows) {
  Peak peak;
  for (const HistoryRow& row : rows) {
    if (row.tool_max_K > peak.tool_max_K) {
      peak.tool_max_K = row.tool_max_K;
      peak.tool_time_s = row.time_s;
      peak.tool_r = row.tool_max_r;
      peak.tool_z = row.tool_max_z;
      peak.tool_part = frame.part_names[row.tool_max_part];
    }
    if (row.powder && !(peak.powder_max_K >= row.powder->max_K)) {
      peak.powder_max_K = row.powder->max_K;
      peak.powder_time_s = row.time_s;
    }
    if (row.current_A > peak.current_A) {
      peak.current_A = row.current_A;
      peak.current_time_s = row.time_s;
    }
    peak.voltage_V = std::max(peak.voltage_V, row.voltage_V);
    if (row.power_W > peak.power_W) {
      peak.power_W = row.power_W;
      peak.power_time_s = row.time_s;
    }
  }
  return peak;
}

}  // namespace

double Ledger::charge_balance_relative() const {
  return largest_current > 0.0 ? worst_charge_residual / largest_current : 0.0;
}

double Ledger::energy_balance_relative() const {
  const double scale = std::max({delivered, std::abs(stored), 1e-6 * held});
  return scale > 0.0 ? std::abs(stored - (electric + press + source - radiation - film - gas - fixed)) / scale
                     : 0.0;
}

Summary summarise(const HistoryFrame& frame, const std::vector<HistoryRow>& rows) {
  Summary summary;
  for (const HistoryFrame::Hold& window : frame.holds)
    if (window.start_s < rows.back().time_s) summary.holds.push_back(summarise_hold(frame, rows, window));
  summary.peak = find_peak(frame, rows);
  summary.densification =
      densification_of(frame, rows, summary.holds.empty() ? nullptr : &summary.holds.back().last);
  if (heated_by_furnace(frame)) summary.furnace = heat_of_furnace(rows);
  summary.end = rows.back();
  return summary;
}

}  // namespace joulepress::solver
