#include "solver/observe.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "solver/control.hpp"
#include "solver/drive.hpp"
#include "solver/half.hpp"
#include "solver/sensor.hpp"
#include "solver/stroke.hpp"
#include "solver/thermoelectric.hpp"

namespace joulepress::solver {
namespace {

bool contains(std::span<const int> parts, int part) {
  return std::find(parts.begin(), parts.end(), part) != parts.end();
}

/// Temperature in the middle of every cell.  A cell's value is its mean m; in the middle of a parabola with
/// the values a and b on two opposite sides it is  m + (m - a)/4 + (m - b)/4,  and so on in the other
/// direction.
CellField cell_middles(const Problem& problem, const Frame& frame) {
  CellField middles = frame.temperature;
  if (problem.rows.fluxes == mesh::Fluxes::two_point) return middles;  // whose values are the middles
  const auto& inner = problem.mesh.inner_faces;
  const auto add = [&](int cell, double on_side) {
    middles[cell] += 0.25 * (frame.temperature[cell] - on_side);
  };
  for (std::size_t f = 0; f < inner.size(); ++f) {
    const double on_face = mesh::value_on(problem.rows.inner[f], frame.flows.values);
    add(inner[f].a, on_face);
    add(inner[f].b, on_face);
  }
  const auto piece = [&](int cell, const mesh::SideStencil& row, double x) {
    middles[cell] += 0.25 * row.share * (frame.temperature[cell] - x);
  };
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    piece(pairs[f].a.cell, problem.rows.pair_a[f], frame.edges.pair_a[f]);
    piece(pairs[f].b.cell, problem.rows.pair_b[f], frame.edges.pair_b[f]);
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t f = 0; f < outer.size(); ++f)
    piece(outer[f].a.cell, problem.rows.outer[f], frame.edges.outer[f]);
  return middles;
}

/// The lowest and the highest of a part.
struct Extremes {
  double low = std::numeric_limits<double>::infinity(), high = -std::numeric_limits<double>::infinity();
  double high_r = 0, high_z = 0;
  void take(double T, double r, double z) {
    low = std::min(low, T);
    if (!(T > high)) return;
    high = T;
    high_r = r;
    high_z = z;
  }
};

/// Over the middles of cells, the faces between them and the surfaces, part by part.
std::vector<Extremes> extremes_of_parts(const Problem& problem, const Frame& frame) {
  const mesh::Mesh& mesh = problem.mesh;
  std::vector<Extremes> parts(problem.parts.size());
  const auto of = [&](int cell) -> Extremes& { return parts[mesh.part_of(cell)]; };
  const CellField middles = cell_middles(problem, frame);
  for (int i = 0; i < mesh.n_cells(); ++i) of(i).take(middles[i], mesh.r[i], mesh.z[i]);
  for (std::size_t k = 0; k < mesh.inner_faces.size(); ++k) {
    const mesh::InnerFace& face = mesh.inner_faces[k];
    const double away = face.path_a * face.area;  // from the middle of a to the face
    const bool radial = face.normal == mesh::Axis::r;
    of(face.a).take(mesh::value_on(problem.rows.inner[k], frame.flows.values),
                    mesh.r[face.a] + (radial ? away : 0.0), mesh.z[face.a] + (radial ? 0.0 : away));
  }
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t k = 0; k < pairs.size(); ++k) {
    of(pairs[k].a.cell).take(frame.edges.pair_a[k], pairs[k].r, pairs[k].z);
    of(pairs[k].b.cell).take(frame.edges.pair_b[k], pairs[k].r, pairs[k].z);
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t k = 0; k < outer.size(); ++k)
    of(outer[k].a.cell).take(frame.edges.outer[k], outer[k].r, outer[k].z);
  return parts;
}

PowderValue value_of(const Problem& present, const Frame& frame, const PowderBody& body,
                     const std::vector<Extremes>& extremes) {
  const Readings at = readings_of(present, body);
  PowderValue value;
  value.mean_K = at.mean.of(frame.temperature);
  value.centre_K = at.centre.of(frame.temperature);
  const auto edge = [&](const mesh::EdgeWatch& watch) {
    return watch.faces.empty() ? std::nan("") : edge_value(watch, frame.edges);
  };
  value.edge_K = edge(at.edge);
  value.wall_K = edge(at.wall);
  value.inner_edge_K = edge(at.inner);
  if (!at.outside.faces.empty()) value.outside_K = at.outside.of(frame.edges.outer);
  value.min_K = extremes[body.part].low;
  value.max_K = extremes[body.part].high;
  // Points read through cubics may lie beyond all means near them.
  for (const double T : {value.centre_K, value.edge_K, value.inner_edge_K}) {
    if (T < value.min_K) value.min_K = T;
    if (T > value.max_K) value.max_K = T;
  }
  return value;
}

void read_density(const Problem& problem, const Workspace& ws, const Frame& frame, const PowderBody& body,
                  PowderValue& value) {
  const double held = problem.parts[body.part].relative_density;
  for (double PowderValue::*density :
       {&PowderValue::density_mean, &PowderValue::density_min, &PowderValue::density_max,
        &PowderValue::layer_min, &PowderValue::layer_max})
    value.*density = held;
  const int b = bed_in(problem, body.block);
  if (b < 0) return;
  const BedShape& shape = ws.present.shapes()[b];
  const BedState& bed = frame.beds[b];
  value.density_mean = shape.dense_height / height_of(shape, bed.L, bed.stress);
  const auto [low, high] = std::minmax_element(bed.L.begin(), bed.L.end());
  value.density_min = relative_density(*low);
  value.density_max = relative_density(*high);
  value.layer_min = 1.0;
  value.layer_max = 0.0;
  const std::vector<double> layers = layer_heights(shape, bed.L);
  for (std::size_t row = 0; row < layers.size(); ++row) {
    value.layer_min = std::min(value.layer_min, shape.dense[row] / layers[row]);
    value.layer_max = std::max(value.layer_max, shape.dense[row] / layers[row]);
  }
  const std::vector<double> apart = column_densities(shape, bed.apart);
  const auto [loosest, densest] = std::minmax_element(apart.begin(), apart.end());
  value.apart_spread = *densest - *loosest;
}

/// Mean over the bodies by volume.
template <class F>
double over_bodies(const Problem& problem, F&& value) {
  double sum = 0.0, volume = 0.0;
  for (std::size_t k = 0; k < problem.powders.size(); ++k) {
    sum += problem.powders[k].volume * value(k);
    volume += problem.powders[k].volume;
  }
  return sum / volume;
}

PowderValue over_all(const Problem& problem, const std::vector<PowderValue>& bodies) {
  const auto mean = [&](double PowderValue::*member) {
    return over_bodies(problem, [&](std::size_t k) { return bodies[k].*member; });
  };
  PowderValue all = bodies.front();
  for (double PowderValue::*member :
       {&PowderValue::mean_K, &PowderValue::centre_K, &PowderValue::edge_K, &PowderValue::wall_K,
        &PowderValue::inner_edge_K, &PowderValue::outside_K})
    all.*member = mean(member);
  // Solid over volume, each body's solid being that of the start.
  double solid = 0.0, volume = 0.0;
  for (std::size_t k = 0; k < bodies.size(); ++k) {
    const double its = problem.powders[k].volume * problem.parts[problem.powders[k].part].relative_density;
    solid += its;
    volume += its / bodies[k].density_mean;
  }
  all.density_mean = solid / volume;
  for (const PowderValue& body : bodies) {
    all.min_K = std::min(all.min_K, body.min_K);
    all.max_K = std::max(all.max_K, body.max_K);
    all.density_min = std::min(all.density_min, body.density_min);
    all.density_max = std::max(all.density_max, body.density_max);
    all.layer_min = std::min(all.layer_min, body.layer_min);
    all.layer_max = std::max(all.layer_max, body.layer_max);
    all.apart_spread = std::max(all.apart_spread, body.apart_spread);
  }
  return all;
}

void read_powders(const Problem& present, const Workspace& ws, const Frame& frame,
                  const std::vector<Extremes>& extremes, HistoryRow& row) {
  if (present.powders.empty()) return;
  for (const PowderBody& body : present.powders) {
    row.powders.push_back(value_of(present, frame, body, extremes));
    read_density(present, ws, frame, body, row.powders.back());
  }
  row.powder = over_all(present, row.powders);
  if (frame.current > 0.0)
    row.current_share_powder = over_bodies(present, [&](std::size_t k) {
      const PowderBody& body = present.powders[k];
      return axial_current(present, frame, std::array{body.part}, mid_height(present, body)) / frame.current;
    });
}

void read_press(const Problem& start, const Workspace& ws, const Frame& frame, HistoryRow& row) {
  row.force_N = row.on_powder_N = force_at(start, frame.force_time);
  row.stroke = elastic_and_thermal_stroke(start, row.force_N, frame.temperature);
  for (std::size_t b = 0; b < start.beds.size(); ++b) {
    const mesh::Block& block = start.mesh.layout[start.beds[b].block];
    row.stroke.densification += block.z_top - block.z_bottom -
                                height_of(ws.present.shapes()[b], frame.beds[b].L, frame.beds[b].stress);
    row.press_W += row.force_N * frame.closings[b].speed;
    if (b > 0) continue;
    row.on_powder_N = frame.closings[b].on_powder;
    row.side_pressure_Pa = frame.closings[b].side_pressure;
  }
}

/// Mean potential of a face at unit voltage [-].
double potential_of(const Problem& problem, const Currents& currents, const Tap& tap) {
  double sum = 0.0, area = 0.0;
  const auto take = [&](const mesh::FaceSide& face, double potential) {
    if (problem.mesh.block_of[face.cell] != tap.block || face.side != tap.side) return;
    sum += face.area * potential;
    area += face.area;
  };
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t k = 0; k < pairs.size(); ++k) {
    take(pairs[k].a, currents.edge_a[k]);
    take(pairs[k].b, currents.edge_b[k]);
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t k = 0; k < outer.size(); ++k) take(outer[k].a, currents.edge_outer[k]);
  return sum / area;
}

/// Effective voltage between the taps [V], of the resistance between them alone; of a half that from its
/// upper one to the mid-plane.
double tap_voltage(const Problem& problem, const Frame& frame) {
  if (frame.currents.edge_outer.empty()) return frame.voltage;
  const double low =
      problem.taps.size() > 1 ? potential_of(problem, frame.currents, problem.taps.front()) : 0.0;
  return frame.voltage * (potential_of(problem, frame.currents, problem.taps.back()) - low);
}

void find_hottest_tool(const Problem& problem, const std::vector<Extremes>& extremes, HistoryRow& row) {
  for (std::size_t part = 0; part < extremes.size(); ++part) {
    if (problem.parts[part].is_powder || !(extremes[part].high > row.tool_max_K)) continue;
    row.tool_max_K = extremes[part].high;
    row.tool_max_part = static_cast<int>(part);
    row.tool_max_r = extremes[part].high_r;
    row.tool_max_z = extremes[part].high_z;
  }
}

void sum_losses(const Problem& problem, const Frame& frame, HistoryRow& row) {
  const mesh::Mesh& mesh = problem.mesh;
  const double middle = mid_plane(mesh.layout);
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t k = 0; k < outer.size(); ++k) {
    const Losses part = split_outer(problem, frame.flows, k, frame.edges.outer[k]);
    row.radiation_by_part_W[mesh.part_of(outer[k].a.cell)] += part.radiation;
    (outer[k].z < middle ? row.film_low_W : row.film_high_W) += part.film;
    row.fixed_W += part.fixed;
    row.gas_W += part.gas;
  }
}

}  // namespace

double edge_value(const mesh::EdgeWatch& watch, const EdgeTemperatures& edges) {
  const std::vector<double>& values = watch.on_a ? edges.pair_a : edges.pair_b;
  double sum = 0.0;
  for (std::size_t k = 0; k < watch.faces.size(); ++k) sum += watch.weights[k] * values[watch.faces[k]];
  return sum;
}

double axial_current(const Problem& problem, const Frame& frame, std::span<const int> parts, double z) {
  const mesh::Mesh& mesh = problem.mesh;
  double sum = 0.0;
  for (const mesh::BlockGrid& grid : mesh.grids) {
    if (!contains(parts, mesh.layout[grid.block].part)) continue;
    if (z < grid.z_lines.front() || z >= grid.z_lines.back()) continue;
    // What enters the row of cells that holds z from below and what leaves it above, and between the two in
    // proportion.
    const auto line = std::upper_bound(grid.z_lines.begin(), grid.z_lines.end(), z);
    const int row = static_cast<int>(line - grid.z_lines.begin()) - 1;
    const double share = (z - grid.z_lines[row]) / (grid.z_lines[row + 1] - grid.z_lines[row]);
    const int first = grid.cell(0, row), last = first + grid.n_r();
    const auto in_row = [&](int cell) { return cell >= first && cell < last; };
    const auto add = [&](int cell, mesh::Side side, double leaving) {
      if (!in_row(cell)) return;
      if (side == mesh::Side::bottom) sum -= (1.0 - share) * leaving;
      if (side == mesh::Side::top) sum += share * leaving;
    };
    const auto& inner = mesh.inner_faces;
    for (std::size_t f = 0; f < inner.size(); ++f) {
      if (inner[f].normal != mesh::Axis::z) continue;
      add(inner[f].a, mesh::Side::top, frame.currents.inner[f]);
      add(inner[f].b, mesh::Side::bottom, -frame.currents.inner[f]);
    }
    const auto& pairs = problem.interfaces.pair_faces;
    for (std::size_t f = 0; f < pairs.size(); ++f) {
      add(pairs[f].a.cell, pairs[f].a.side, frame.currents.pair[f]);
      add(pairs[f].b.cell, pairs[f].b.side, -frame.currents.pair[f]);
    }
    const auto& outer = problem.interfaces.outer_faces;
    for (std::size_t f = 0; f < outer.size(); ++f)
      add(outer[f].a.cell, outer[f].a.side, frame.currents.outer[f]);
  }
  // Current runs from the high electrode above to the low one below.
  return -sum * frame.voltage;
}

namespace {

/// The face of the stack that looks outward to the chamber at a height, farthest from the axis.
mesh::Spot outside_at(const Problem& present, double z) {
  constexpr double piece = 0.1e-3;  // m, half of the stretch
  mesh::Spot outside;
  double radius = 0.0;
  for (const mesh::BlockGrid& grid : present.mesh.grids) {
    const double r = grid.r_lines.back();
    if (!(r > radius)) continue;
    // Of a half the stretch below the mid-plane is its image.
    const double from = grid.mirrored ? std::max(z - piece, grid.z_lines.front()) : z - piece;
    mesh::Spot its =
        mesh::spot(present.mesh, present.interfaces, grid.block, mesh::Side::outer, from, z + piece);
    if (its.faces.empty()) continue;
    outside = std::move(its);
    radius = r;
  }
  return outside;
}

}  // namespace

Readings readings_of(const Problem& present, const PowderBody& body) {
  const mesh::Block& b = present.mesh.layout[body.block];
  const double middle = mid_height(present, body);
  Readings at;
  at.mean = mesh::mean(present.mesh, std::array{body.block});
  at.centre =
      mesh::point(present.mesh, body.block, b.r_inner > 0.0 ? 0.5 * (b.r_inner + b.r_outer) : 0.0, middle);
  const auto edge = [&](int block, mesh::Side side) {
    return mesh::edge_point(present.mesh, present.interfaces, block, side, middle);
  };
  at.edge = edge(body.block, mesh::Side::outer);
  at.inner = edge(body.block, mesh::Side::inner);
  if (body.wall_block >= 0) at.wall = edge(body.wall_block, mesh::Side::inner);
  if (present.drive.kind == DriveKind::furnace) at.outside = outside_at(present, middle);
  return at;
}

double mid_height(const Problem& present, const PowderBody& body) {
  const mesh::Block& b = present.mesh.layout[body.block];
  // Of a body that a mid-plane cuts the other half lies below it.
  return present.mesh.grids[body.block].mirrored ? b.z_bottom : 0.5 * (b.z_bottom + b.z_top);
}

double powder_mean(const Problem& present, std::span<const double> temperature) {
  return over_bodies(present, [&](std::size_t k) {
    return mesh::mean(present.mesh, std::array{present.powders[k].block}).of(temperature);
  });
}

HistoryFrame history_frame(const Problem& problem) {
  HistoryFrame frame;
  for (const Part& part : problem.parts) frame.part_names.push_back(part.name);
  for (const PowderBody& body : problem.powders) frame.powder_names.push_back(body.name);
  for (const Sensor& sensor : problem.sensors) {
    frame.sensor_names.push_back(sensor.name);
    const bool in_column = sensor.part >= 0 && problem.parts[sensor.part].in_column;
    frame.sensor_traits.push_back({sensor.kind == SensorKind::pyrometer, in_column, sensor.type,
                                   sensor.tolerance_class, sensor.kind == SensorKind::furnace,
                                   sensor.reads_high_by});
  }
  frame.control_sensor =
      problem.drive.sensor >= 0 ? problem.drive.sensor : (problem.sensors.empty() ? -1 : 0);
  frame.thermoelectric = problem.thermoelectric;
  frame.gas = problem.gas.has_value();
  const bool of_temperature =
      problem.drive.kind == DriveKind::tracking || problem.drive.kind == DriveKind::furnace;
  for (const Segment& segment : problem.drive.segments)
    if (segment.hold)
      frame.holds.push_back(
          {segment.name, segment.start, segment.end, of_temperature ? segment.to : std::nan("")});
  return frame;
}

HistoryRow row_of(const Problem& start, Workspace& ws, const Frame& frame, DriveMode mode, Limit limit) {
  const Problem& problem = ws.present.at(frame.beds);
  HistoryRow row;
  row.time_s = frame.time;
  row.mode = mode;
  row.limit = limit;
  row.programme_s = frame.programme;
  row.control_sensor = frame.control_sensor;
  const Segment* segment = segment_at(problem.drive, frame.programme);
  row.target = segment && !segment->off ? value_in(*segment, frame.programme) : std::nan("");
  row.current_A = frame.current;
  row.voltage_V = frame.voltage;
  row.power_W = frame.current * frame.voltage;
  row.current_mean_A =
      problem.pulse ? mean_current(*problem.pulse, frame.current, problem.largest_mean) : frame.current;
  // The stack is a resistance: voltage and current have one form.
  row.voltage_mean_V =
      frame.current > 0.0 ? frame.voltage * row.current_mean_A / frame.current : frame.voltage;
  if (problem.thermoelectric) {
    row.seebeck_V = frame.seebeck;
    row.thermoelectric_W = frame.thermoelectric;
    row.power_W += frame.thermoelectric;
    row.voltage_V = with_seebeck(row.voltage_V, row.voltage_mean_V, frame.seebeck);
    row.voltage_mean_V += frame.seebeck;
  }
  row.taps_V = problem.taps.empty() ? row.voltage_V : tap_voltage(problem, frame);
  const double ambient = chamber_at(problem, frame.time);
  for (std::size_t k = 0; k < problem.sensors.size(); ++k) {
    const Sensor& sensor = problem.sensors[k];
    SensorValue value;
    value.material_K = material_at(sensor, frame.temperature, frame.edges.outer, ambient);
    value.settled_K = settled_reading(sensor, value.material_K, ambient);
    value.reading_K = frame.readings[k];
    value.stem_bound_K = error_bound(sensor, value.material_K, ambient);
    value.in_sight = is_in_sight(sensor, value.material_K);
    row.sensors.push_back(value);
  }
  const std::vector<Extremes> extremes = extremes_of_parts(problem, frame);
  read_powders(problem, ws, frame, extremes, row);
  read_press(start, ws, frame, row);
  find_hottest_tool(problem, extremes, row);
  row.joule_by_part_W.assign(problem.parts.size(), 0.0);
  row.radiation_by_part_W.assign(problem.parts.size(), 0.0);
  for (int i = 0; i < problem.mesh.n_cells(); ++i)
    row.joule_by_part_W[problem.mesh.part_of(i)] += frame.joule[i];
  row.contact_heat_W = frame.contact_heat;
  sum_losses(problem, frame, row);
  for (std::size_t i = 0; i < ws.mass.size(); ++i) row.stored_W += frame.flows.into_cells[i] + frame.joule[i];
  row.stored_W += row.press_W;
  return row;
}

}  // namespace joulepress::solver
