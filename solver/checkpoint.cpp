#include "solver/checkpoint.hpp"

#include <array>
#include <cmath>
#include <memory>
#include <stdexcept>
#include <type_traits>

#include "solver/half.hpp"

namespace joulepress::solver {
namespace {

// One function names the members of each struct; writing and reading both walk it.

template <class Walker>
void walk(Walker& w, Powers& p) {
  w(p.electric, p.joule, p.source, p.radiation, p.film, p.fixed, p.source_magnitude, p.press,
    p.thermoelectric, p.gas);
}

template <class Walker>
void walk(Walker& w, EdgeTemperatures& e) {
  w(e.pair_a, e.pair_b, e.outer);
}

template <class Walker>
void walk(Walker& w, HeatFaces& f) {
  w(f.inner, f.pair, f.outer);
}

template <class Walker>
void walk(Walker& w, HeatMatrix& m) {
  w(m.gamma_dt, m.capacity, m.faces);
}

template <class Walker>
void walk(Walker& w, ElectricFaces& f) {
  w(f.inner, f.pair, f.outer, f.half_a, f.half_b, f.half_outer);
}

template <class Walker>
void walk(Walker& w, Ledger& l) {
  w(l.electric, l.joule, l.source, l.press, l.radiation, l.film, l.fixed, l.stored, l.largest_current,
    l.worst_charge_residual, l.delivered, l.held, l.thermoelectric, l.gas);
}

template <class Walker>
void walk(Walker& w, Counts& c) {
  w(c.steps, c.rejected, c.stages, c.sweeps, c.heat_factorisations, c.electric_factorisations,
    c.triangular_solves);
}

template <class Walker>
void walk(Walker& w, SensorValue& s) {
  w(s.material_K, s.reading_K, s.settled_K, s.stem_bound_K, s.in_sight);
}

template <class Walker>
void walk(Walker& w, PowderValue& p) {
  w(p.mean_K, p.centre_K, p.edge_K, p.inner_edge_K, p.min_K, p.max_K, p.wall_K, p.outside_K, p.density_mean,
    p.density_min, p.density_max, p.layer_min, p.layer_max, p.apart_spread);
}

template <class Walker>
void walk(Walker& w, Stroke& s) {
  w(s.densification, s.elastic, s.frame, s.growth, s.foil);
}

template <class Walker>
void walk(Walker& w, BedState& b) {
  w(b.L, b.apart, b.stress);
}

template <class Walker>
void walk(Walker& w, BedCells& s) {
  w(s.L, s.apart);
}

template <class Walker>
void walk(Walker& w, HistoryRow& r) {
  w(r.time_s, r.mode, r.limit, r.target, r.programme_s, r.control_sensor, r.current_A, r.voltage_V, r.power_W,
    r.current_mean_A, r.voltage_mean_V, r.taps_V, r.sensors, r.powder, r.powders, r.current_share_powder,
    r.tool_max_K, r.tool_max_r, r.tool_max_z, r.tool_max_part, r.joule_by_part_W, r.contact_heat_W,
    r.radiation_by_part_W, r.film_low_W, r.film_high_W, r.fixed_W, r.stored_W, r.press_W, r.force_N,
    r.on_powder_N, r.side_pressure_Pa, r.stroke, r.seebeck_V, r.thermoelectric_W, r.gas_W);
}

template <class Walker>
void walk(Walker& w, Snapshot& s) {
  w(s.time_s, s.force_N, s.temperature, s.relative_density, s.heights, s.side_pressure);
}

template <class Walker>
void walk(Walker& w, LimitedInterval& i) {
  w(i.start_s, i.end_s, i.mode, i.limit);
}

template <class Walker>
void walk(Walker& w, std::array<double, 2>& vector) {
  w(vector[0], vector[1]);
}

template <class Walker>
void walk(Walker& w, CellFields& f) {
  w(f.time, f.temperature, f.electric_potential, f.current_density, f.joule_heat, f.heat_flux,
    f.relative_density, f.placement);
}

template <class Walker>
void walk(Walker& w, Trend& t) {
  w(t.potential, t.current_squared);
}

template <class Walker>
void walk(Walker& w, ControlState& c) {
  w(c.sensor, c.waited, c.skipped, c.stands, c.segment, c.arrived, c.delays, c.blind, c.samples, c.sampled_at,
    c.from, c.to, c.integral, c.derivative, c.reading, c.conductance, c.highest);
}

template <class Walker>
void walk(Walker& w, State& s) {
  w(s.time, s.enthalpy, s.temperature, s.slope, s.slope_powers, s.potential, s.trend, s.edges, s.beds,
    s.bed_slopes, s.mode, s.limit, s.control, s.readings, s.current_squared, s.next_step, s.heat_matrix,
    s.electric_matrix, s.response, s.refresh_heat, s.refresh_electric, s.two_point, s.heat_contraction,
    s.current_contraction, s.ledger, s.counts, s.lowest, s.highest);
}

template <class Walker>
void walk(Walker& w, Turns& turns) {
  w(turns.last, turns.longer);
}

template <class Walker>
void walk(Walker& w, Checkpoint& c) {
  w(c.state, c.rows, c.snapshots, c.limited, c.warnings, c.open, c.fields_until, c.attempts, c.stalled,
    c.turns);
}

class Writer {
 public:
  template <class... Members>
  void operator()(Members&... members) {
    (one(members), ...);
  }
  std::vector<double> numbers;

 private:
  template <class T>
  void one(T& value) {
    if constexpr (std::is_arithmetic_v<T> || std::is_enum_v<T>)
      numbers.push_back(static_cast<double>(value));
    else
      walk(*this, value);
  }
  void one(std::string& text) {
    numbers.push_back(static_cast<double>(text.size()));
    for (const char c : text) numbers.push_back(c);
  }
  template <class T>
  void one(std::vector<T>& list) {
    numbers.push_back(static_cast<double>(list.size()));
    for (T& value : list) one(value);
  }
  template <class T>
  void one(std::optional<T>& value) {
    numbers.push_back(value ? 1.0 : 0.0);
    if (value) one(*value);
  }
  template <class T>
  void one(std::shared_ptr<const T>& value) {
    numbers.push_back(value ? 1.0 : 0.0);
    if (!value) return;
    T copy = *value;
    one(copy);
  }
};

class Reader {
 public:
  explicit Reader(std::span<const double> numbers) : left_(numbers) {}
  template <class... Members>
  void operator()(Members&... members) {
    (one(members), ...);
  }
  bool empty() const { return left_.empty(); }

 private:
  double next() {
    if (left_.empty()) throw std::invalid_argument("the checkpoint ends early");
    const double value = left_.front();
    left_ = left_.subspan(1);
    return value;
  }
  /// A whole number that cannot ask for more than there is.
  std::size_t length() {
    const double value = next();
    if (!(value >= 0.0 && value <= static_cast<double>(left_.size()) + 1.0 && value == std::floor(value)))
      throw std::invalid_argument("the checkpoint has a list of impossible length");
    return static_cast<std::size_t>(value);
  }
  int whole() {
    const double value = next();
    if (!(std::abs(value) < 2e9))
      throw std::invalid_argument("the checkpoint has an impossible whole number");
    return static_cast<int>(value);
  }
  template <class T>
  void one(T& value) {
    if constexpr (std::is_same_v<T, double>)
      value = next();
    else if constexpr (std::is_arithmetic_v<T> || std::is_enum_v<T>)
      value = static_cast<T>(whole());
    else
      walk(*this, value);
  }
  void one(std::string& text) {
    text.resize(length());
    for (char& c : text) c = static_cast<char>(whole());
  }
  template <class T>
  void one(std::vector<T>& list) {
    list.resize(length());
    for (T& value : list) one(value);
  }
  template <class T>
  void one(std::optional<T>& value) {
    value.reset();
    if (next() != 0.0) one(value.emplace());
  }
  template <class T>
  void one(std::shared_ptr<const T>& value) {
    value.reset();
    if (next() == 0.0) return;
    auto made = std::make_shared<T>();
    one(*made);
    value = std::move(made);
  }
  std::span<const double> left_;
};

}  // namespace

std::vector<double> flatten(const Checkpoint& checkpoint) {
  Checkpoint copy = checkpoint;  // walked as changeable by both ways
  Writer writer;
  writer(copy);
  return std::move(writer.numbers);
}

Checkpoint unflatten(std::span<const double> numbers) {
  Checkpoint checkpoint;
  Reader reader(numbers);
  reader(checkpoint);
  if (!reader.empty()) throw std::invalid_argument("the checkpoint holds more than a checkpoint");
  return checkpoint;
}

std::vector<double> flatten_fields(const std::vector<CellFields>& fields) {
  std::vector<CellFields> copy = fields;
  Writer writer;
  writer(copy);
  return std::move(writer.numbers);
}

std::vector<CellFields> unflatten_fields(std::span<const double> numbers) {
  std::vector<CellFields> fields;
  Reader reader(numbers);
  reader(fields);
  if (!reader.empty()) throw std::invalid_argument("the checkpoint holds more than cell fields");
  return fields;
}

bool fits(const Checkpoint& checkpoint, const Problem& problem) {
  const State& s = checkpoint.state;
  const Problem& asked = solved(problem);
  const std::size_t cells = asked.mesh.volume.size(), pairs = asked.interfaces.pair_faces.size(),
                    outer = asked.interfaces.outer_faces.size();
  const auto is = [](const auto& list, std::size_t size) { return list.size() == size; };
  const auto is_or_empty = [](const auto& list, std::size_t size) {
    return list.empty() || list.size() == size;
  };
  bool good = is(s.enthalpy, cells) && is(s.temperature, cells) && is_or_empty(s.slope, cells) &&
              is_or_empty(s.potential, cells) && is_or_empty(s.trend.potential, cells) &&
              is(s.lowest, cells) && is(s.highest, cells) && is_or_empty(s.edges.pair_a, pairs) &&
              is_or_empty(s.edges.pair_b, pairs) && is_or_empty(s.edges.outer, outer);
  if (s.heat_matrix)
    good = good && is(s.heat_matrix->capacity, cells) &&
           is(s.heat_matrix->faces.inner, asked.mesh.inner_faces.size()) &&
           is(s.heat_matrix->faces.pair, pairs) && is(s.heat_matrix->faces.outer, outer);
  if (s.response) good = good && is(*s.response, cells);
  if (s.electric_matrix)
    good = good && is(s.electric_matrix->inner, asked.mesh.inner_faces.size()) &&
           is(s.electric_matrix->pair, pairs) && is(s.electric_matrix->outer, outer);
  for (const HistoryRow& row : checkpoint.rows)
    good = good && is(row.sensors, problem.sensors.size()) && is(row.joule_by_part_W, problem.parts.size());
  return good;
}

}  // namespace joulepress::solver
