#include "solver/density_summary.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::solver {
namespace {

constexpr double risen = 10.0;         // times the least: the current has moved in
constexpr double worth_saying = 0.01;  // of the current; below it nobody would call it moved in

double between(double share, double low, double high) {
  return low + share * (high - low);
}

/// A place between two rows.
struct Crossing {
  std::size_t after = 0;  ///< the row that ends the stretch
  double share = 0;       ///< of the stretch
  double of(double low, double high) const { return between(share, low, high); }
};

/// Where `value(row)` first rises through `level`, looking from row `first` on.
template <class F>
std::optional<Crossing> rise_through(const std::vector<HistoryRow>& rows, double level, F&& value,
                                     std::size_t first = 0) {
  for (std::size_t i = first + 1; i < rows.size(); ++i) {
    const double low = value(rows[i - 1]), high = value(rows[i]);
    if (low < level && high >= level) return Crossing{i, (level - low) / (high - low)};
  }
  return std::nullopt;
}

Reached reached_at(const HistoryFrame& frame, const std::vector<HistoryRow>& rows, std::size_t body,
                   const Crossing& at) {
  const HistoryRow &low = rows[at.after - 1], &high = rows[at.after];
  Reached reached{at.of(low.time_s, high.time_s), at.of(low.powders[body].mean_K, high.powders[body].mean_K),
                  std::nullopt};
  if (const int control = control_sensor(frame, high); control >= 0)
    reached.sensor_K = at.of(low.sensors[control].reading_K, high.sensors[control].reading_K);
  return reached;
}

BodyDensification body_of(const HistoryFrame& frame, const std::vector<HistoryRow>& rows, std::size_t body) {
  const auto density = [body](const HistoryRow& row) { return row.powders[body].density_mean; };
  const PowderValue& last = rows.back().powders[body];
  BodyDensification its;
  its.name = frame.powder_names[body];
  its.start = density(rows.front());
  its.end = last.density_mean;
  its.end_min = last.density_min;
  its.end_max = last.density_max;
  its.end_layer_min = last.layer_min;
  its.end_layer_max = last.layer_max;
  its.end_spread_bound = last.apart_spread;
  for (const HistoryRow& row : rows)
    its.largest_spread_bound = std::max(its.largest_spread_bound, row.powders[body].apart_spread);
  const auto when = [&](double level) -> std::optional<Reached> {
    const auto at = rise_through(rows, level, density);
    return at ? std::optional(reached_at(frame, rows, body, *at)) : std::nullopt;
  };
  for (std::size_t k = 0; k < reported_densities.size(); ++k) its.reached[k] = when(reported_densities[k]);
  // Cells stop at this porosity: their mean may lie above it by rounding.
  its.dense = when(1.0 - dense_porosity * (1.0 + 1e-6));
  return its;
}

std::vector<ShareAtDensity> shares_of(const std::vector<HistoryRow>& rows) {
  std::vector<ShareAtDensity> shares;
  for (const double density : share_densities) {
    const auto at =
        rise_through(rows, density, [](const HistoryRow& row) { return row.powder->density_mean; });
    std::size_t low = 0, high = 0;
    if (at) {
      low = at->after - 1;
      high = at->after;
    } else if (std::abs(rows.front().powder->density_mean - density) > 1e-9) {
      continue;
    } else {  // there from the start, when no current has flown yet
      while (high < rows.size() && !rows[high].current_share_powder) ++high;
      low = high;
    }
    if (high >= rows.size() || !rows[low].current_share_powder || !rows[high].current_share_powder) continue;
    const Crossing here = at.value_or(Crossing{high, 0.0});
    shares.push_back({density, here.of(rows[low].time_s, rows[high].time_s),
                      here.of(*rows[low].current_share_powder, *rows[high].current_share_powder)});
  }
  return shares;
}

OffsetParts change_of(const OffsetParts& from, const OffsetParts& to) {
  OffsetParts change;
  for (const OffsetTerm& term : offset_terms) change.*term.value = to.*term.value - from.*term.value;
  return change;
}

/// From where the mean density of all bodies meets 0.9 to the end of the last hold.
std::optional<OffsetDrift> late_drift(const HistoryFrame& frame, const std::vector<HistoryRow>& rows,
                                      const HistoryRow* last_hold) {
  const auto at = rise_through(rows, reported_densities.front(),
                               [](const HistoryRow& row) { return row.powder->density_mean; });
  if (!last_hold || !at) return std::nullopt;
  const HistoryRow &low = rows[at->after - 1], &high = rows[at->after];
  const double time = at->of(low.time_s, high.time_s);
  if (time >= last_hold->time_s) return std::nullopt;
  const auto before = offset_parts(frame, low), after = offset_parts(frame, high),
             end = offset_parts(frame, *last_hold);
  if (!before || !after || !end) return std::nullopt;
  OffsetParts from;
  for (const OffsetTerm& term : offset_terms)
    from.*term.value = at->of((*before).*term.value, (*after).*term.value);
  return OffsetDrift{time, last_hold->time_s, from.sum(), end->sum(), change_of(from, *end)};
}

}  // namespace

double OffsetParts::sum() const {
  double all = 0.0;
  for (const OffsetTerm& term : offset_terms) all += this->*term.value;
  return all;
}

std::optional<OffsetParts> offset_parts(const PowderValue& powder, const SensorValue& sensor,
                                        const HistoryFrame::SensorTraits& traits) {
  OffsetParts parts;
  const double settled = std::isnan(sensor.settled_K) ? sensor.reading_K : sensor.settled_K;
  (traits.pyrometer ? parts.optics_K : parts.stem_K) = sensor.material_K - settled + traits.reads_high_by;
  parts.instrument_K = 0.0 - traits.reads_high_by;
  parts.lag_K = settled - sensor.reading_K;
  if (traits.furnace && std::isnan(powder.outside_K)) return std::nullopt;
  if (traits.in_column) {
    parts.along_axis_K = powder.mean_K - sensor.material_K;
    return parts;
  }
  if (std::isnan(powder.edge_K) || std::isnan(powder.wall_K)) return std::nullopt;
  parts.powder_gradient_K = powder.mean_K - powder.edge_K;
  parts.lateral_contact_K = powder.edge_K - powder.wall_K;
  parts.wall_drop_K = powder.wall_K - (traits.furnace ? powder.outside_K : sensor.material_K);
  if (traits.furnace) parts.surface_K = powder.outside_K - sensor.material_K;
  return parts;
}

int control_sensor(const HistoryFrame& frame, const HistoryRow& row) {
  return row.control_sensor >= 0 ? row.control_sensor : frame.control_sensor;
}

HistoryFrame::SensorTraits traits_of(const HistoryFrame& frame, int sensor) {
  return static_cast<std::size_t>(sensor) < frame.sensor_traits.size() ? frame.sensor_traits[sensor]
                                                                       : HistoryFrame::SensorTraits{};
}

bool heated_by_furnace(const HistoryFrame& frame) {
  return frame.control_sensor >= 0 && traits_of(frame, frame.control_sensor).furnace;
}

std::optional<OffsetParts> offset_parts(const HistoryFrame& frame, const HistoryRow& row) {
  const int control = control_sensor(frame, row);
  if (!row.powder || control < 0) return std::nullopt;
  return offset_parts(*row.powder, row.sensors[control], traits_of(frame, control));
}

std::optional<OffsetDrift> drift_between(const HistoryFrame& frame, const HistoryRow& from,
                                         const HistoryRow& to) {
  const auto first = offset_parts(frame, from), last = offset_parts(frame, to);
  if (!first || !last) return std::nullopt;
  return OffsetDrift{from.time_s, to.time_s, first->sum(), last->sum(), change_of(*first, *last)};
}

std::optional<CurrentMovedIn> current_moved_in(const std::vector<HistoryRow>& rows) {
  std::vector<HistoryRow> flowing;
  for (const HistoryRow& row : rows)
    if (row.powder && row.current_share_powder) flowing.push_back(row);
  const auto share = [](const HistoryRow& row) { return std::max(*row.current_share_powder, 0.0); };
  const auto less = [&share](const HistoryRow& a, const HistoryRow& b) { return share(a) < share(b); };
  if (flowing.empty()) return std::nullopt;
  const auto most = std::max_element(flowing.begin(), flowing.end(), less);
  const auto least = std::min_element(flowing.begin(), most + 1, less);
  const double low = share(*least), high = share(*most);
  if (high < worth_saying || high < risen * low) return std::nullopt;
  const auto at = rise_through(flowing, 0.5 * high, share, static_cast<std::size_t>(least - flowing.begin()));
  if (!at) return std::nullopt;
  const HistoryRow &before = flowing[at->after - 1], &after = flowing[at->after];
  return CurrentMovedIn{at->of(before.time_s, after.time_s),
                        at->of(before.powder->density_mean, after.powder->density_mean),
                        at->of(before.powder->mean_K, after.powder->mean_K), low, high};
}

Densification densification_of(const HistoryFrame& frame, const std::vector<HistoryRow>& rows,
                               const HistoryRow* last_hold) {
  Densification all;
  if (rows.empty() || !rows.front().powder) return all;
  for (std::size_t k = 0; k < frame.powder_names.size(); ++k) all.bodies.push_back(body_of(frame, rows, k));
  all.shares = shares_of(rows);
  for (const HistoryRow& row : rows)
    if (row.current_share_powder)
      all.largest_share = std::max(all.largest_share.value_or(0.0), *row.current_share_powder);
  all.moved_in = current_moved_in(rows);
  all.late = late_drift(frame, rows, last_hold);
  return all;
}

}  // namespace joulepress::solver
