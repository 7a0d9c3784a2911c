#include "cases/contacts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/build_problem.hpp"
#include "cases/pressing.hpp"
#include "solver/touches.hpp"

namespace joulepress::cases {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double room = 298.15;  // K, where touches are derived from totals

/// Bulk of a foil through its thickness at room temperature.
struct FoilBulk {
  double electric = 0;  ///< ohm m2
  double heat = 0;      ///< m2 K/W
};

FoilBulk bulk_of(const Case& c, const FoilLayer& foil) {
  const materials::Material& m = material_named(c, foil.material);
  const auto through = [](const materials::DirectionalProperty& p) {
    return (p.across ? *p.across : p.along).curve.value(room);
  };
  return {foil.thickness * through(m.resistivity), foil.thickness / through(m.conductivity)};
}

struct Touch {
  double electric, heat;
};

/// Highest force of the pressure programme on the column [N], that of a tenth of a megapascal at the least: a
/// stack that stands at all touches.  None without powder or pressures.
std::optional<double> highest_force(const Case& c) {
  const auto pressure = highest_pressure(c);
  const double force = pressure ? force_at(c, std::max(*pressure, solver::standing_pressure)) : 0.0;
  return force > 0.0 ? std::optional(force) : std::nullopt;
}

/// How much better a touch conducts than at the pressure its total was published for: (P / 20 MPa)^0.95
/// (Cooper, Mikic, Yovanovich; from memory).  Axial: force over the contact's area at the programme's highest
/// pressure.  Lateral: 1, since the side pressure between punch and die is not known.
double pressure_factor(const Case& c, const mesh::BlockPair& pair) {
  const auto force = highest_force(c);
  if (!force || pair.side_a == mesh::Side::outer) return 1.0;
  return solver::touch_factor(*force / pair.area, solver::published_pressure);
}

/// What a soft part resists where it lies against another, for current [ohm m2]; none of two solids.
std::optional<double> loose_touch(const Case& c, const Stack& stack, const mesh::BlockPair& pair) {
  std::optional<double> most;
  for (const int block : {pair.block_a, pair.block_b})
    if (const auto& loose = material_named(c, stack.parts[block].material).loose_touch)
      most = std::max(most.value_or(0.0), loose->curve.value(room));
  return most;
}

/// Whether one lies above the other beside the column, where the force of the press does not pass.
bool is_unloaded(const Stack& stack, const mesh::BlockPair& pair) {
  const auto beside = [&stack](int block) {
    return stack.parts[block].role == Role::sleeve || stack.parts[block].role == Role::lining;
  };
  return pair.side_a != mesh::Side::outer && (beside(pair.block_a) || beside(pair.block_b));
}

/// Whether the touch follows what presses on it: not that of soft parts, nor one on which nothing presses.
bool can_follow(const Case& c, const Stack& stack, const mesh::BlockPair& pair) {
  return c.contacts.follow && !is_unloaded(stack, pair) && !loose_touch(c, stack, pair);
}

/// What stands between two touching parts so that foil and touches add up to the published total at 20 MPa.
/// Heat passes a soft part's touch freely: its conductivity was measured with its touches.
Touch touch_between(const Case& c, const Stack& stack, const mesh::BlockPair& pair) {
  if (const auto loose = loose_touch(c, stack, pair)) return {*loose, infinity};
  const double pressed = is_unloaded(stack, pair)
                             ? solver::touch_factor(solver::standing_pressure, solver::published_pressure)
                         : c.contacts.follow ? 1.0
                                             : pressure_factor(c, pair);
  const double factor = pressed / c.contacts.ageing;
  const bool lateral = pair.side_a == mesh::Side::outer;
  const double electric = lateral ? c.contacts.electric_lateral : c.contacts.electric_axial;
  const double heat = lateral ? c.contacts.heat_lateral : c.contacts.heat_axial;
  for (const int block : {pair.block_a, pair.block_b}) {
    if (!is_foil(stack.parts[block])) continue;
    const FoilBulk bulk = bulk_of(c, c.foils[stack.parts[block].source]);
    const double resistance = 0.5 * (1.0 / heat - bulk.heat);
    return {std::max(0.0, 0.5 * (electric - bulk.electric)) / factor,
            resistance > 1e-9 ? factor / resistance : infinity};
  }
  return {electric / factor, heat * factor};
}

}  // namespace

double emissivity_of(const solver::Problem& p, int block) {
  const auto& emissivity = p.materials[p.parts[p.mesh.layout[block].part].material].emissivity;
  return emissivity ? emissivity->curve.value(1273.15) : 0.8;
}

void set_contacts(const Case& c, const Stack& stack, solver::Problem& p) {
  for (const mesh::BlockPair& pair : p.interfaces.pairs) {
    solver::ContactLaw law;
    const mesh::Block &a = stack.layout[pair.block_a], &b = stack.layout[pair.block_b];
    const double ratio = pair.gap > 0.0 ? a.r_outer / b.r_inner : 1.0;
    if (c.radiating)
      law.radiation =
          solver::grey_exchange(emissivity_of(p, pair.block_a), emissivity_of(p, pair.block_b), ratio);
    if (pair.gap > 0.0) {
      law.electric_resistance = infinity;
      law.heat_conductance = 0.0;
    } else if (one_piece(stack.parts[pair.block_a], stack.parts[pair.block_b])) {
      law.electric_resistance = 0.0;
    } else {
      const Touch touch = touch_between(c, stack, pair);
      law.electric_resistance = touch.electric;
      law.heat_conductance = touch.heat;
      law.follows = can_follow(c, stack, pair) && std::isfinite(touch.heat);
    }
    p.contacts.push_back(law);
  }
}

namespace {

constexpr double poisson = 0.2;  // of graphite and most ceramics; common practice, no source

}  // namespace

void set_fits(const Case& c, const Stack& stack, solver::Problem& p) {
  if (!c.contacts.follow) return;
  constexpr double let_go = 1e4;  // Pa, what a foil keeps that punch and die have left; own choice
  p.fits.resize(stack.parts.size());
  p.sleeve_of.assign(stack.parts.size(), -1);
  const auto modulus = [&](std::size_t block) {
    const auto& property = p.materials[p.parts[block].material].elastic_modulus;
    return property ? property->curve.value(room) : 0.0;
  };
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != Role::column) continue;
    const int around = sleeve_around(stack, stack.layout[k], stack.layout[k].z_bottom, stack.layout[k].z_top);
    if (around < 0 || !(modulus(k) > 0.0) || !(modulus(around) > 0.0)) continue;
    const mesh::Block &punch = stack.layout[k], &die = stack.layout[around];
    const double foil = lining_thickness(c, die.name, false);
    solver::Fit fit;
    fit.radius = punch.r_outer;
    fit.die_ratio = die.r_outer / die.r_inner;
    fit.punch_modulus = modulus(k);
    fit.die_modulus = modulus(around);
    fit.punch_poisson = fit.die_poisson = poisson;
    fit.foil_thickness = foil;
    fit.foil_modulus = foil > 0.0 ? c.contacts.foil_stiffness : 0.0;
    fit.fit_pressure = foil > 0.0 ? c.contacts.foil_fit : 0.0;
    fit.gap = std::max(0.0, die.r_inner - foil - punch.r_outer);
    fit.floor_pressure = let_go;
    p.fits[k] = fit;
    p.sleeve_of[k] = around;
  }
}

std::vector<ContactSeries> contact_series(const Case& c, const solver::Problem& p) {
  const Stack stack = stack_of(c);
  std::vector<ContactSeries> list;
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    if (pair.gap > 0.0 || pair.area == 0.0 || one_piece(stack.parts[pair.block_a], stack.parts[pair.block_b]))
      continue;
    ContactSeries series;
    series.name = p.parts[pair.block_a].name + " | " + p.parts[pair.block_b].name;
    series.lateral = pair.side_a == mesh::Side::outer;
    series.electric_touch = p.contacts[k].electric_resistance;
    series.heat_touch = p.contacts[k].heat_conductance;
    series.area = pair.area;
    series.total_electric = series.lateral ? c.contacts.electric_lateral : c.contacts.electric_axial;
    series.total_heat = series.lateral ? c.contacts.heat_lateral : c.contacts.heat_axial;
    series.loose = loose_touch(c, stack, pair).has_value();
    for (const int block : {pair.block_a, pair.block_b}) {
      if (!is_foil(stack.parts[block]) || series.loose) continue;
      const FoilBulk bulk = bulk_of(c, c.foils[stack.parts[block].source]);
      series.foil_electric = bulk.electric;
      series.foil_heat = 1.0 / bulk.heat;
    }
    list.push_back(series);
  }
  return list;
}

}  // namespace joulepress::cases
