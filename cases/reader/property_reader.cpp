#include "cases/reader/property_reader.hpp"

#include <fmt/format.h>

#include <stdexcept>
#include <utility>
#include <vector>

namespace joulepress::cases {
namespace {

using materials::Curve;
using materials::Property;

double plain_number(const SourceNode& node, ErrorList& errors) {
  return quantity_of(node, Kind::ratio, errors);
}

/// value, terms + range, or table at one place.
Curve read_simple_curve(MapReader& map, std::optional<double> unit, Kind kind) {
  ErrorList& errors = map.errors();
  const double factor = unit.value_or(1.0);
  if (const SourceNode* value = map.find("value"))
    return Curve::constant(unit ? factor * plain_number(*value, errors) : quantity_of(*value, kind, errors));
  if (const SourceNode* table = map.find("table")) {
    std::vector<std::pair<double, double>> points;
    for (const SourceNode& row : items_of(*table, errors)) {
      if (row.children.size() == 2)
        points.emplace_back(plain_number(row.children[0], errors),
                            factor * plain_number(row.children[1], errors));
      else
        errors.add(row.place, row.path, "A row of a table is [K, value].", "Write two numbers.");
    }
    return Curve::table(points);
  }
  const SourceNode* terms = map.find("terms");
  const SourceNode* range = map.find("range");
  if (!terms || !range) {
    if (map.node().type == SourceNode::Type::map)
      errors.add(map.node().place, map.node().path, "A curve is a value, a table, or terms with their range.",
                 "Write `value:`, `table: [[K, value], ...]` or `terms: [[c, p], ...]` and `range: [K, K]`.");
    return {};
  }
  std::vector<materials::Term> sum;
  for (const SourceNode& row : items_of(*terms, errors)) {
    if (row.children.size() == 2)
      sum.push_back({factor * plain_number(row.children[0], errors), plain_number(row.children[1], errors)});
    else
      errors.add(row.place, row.path, "A term is [coefficient, power].", "Write two numbers.");
  }
  if (range->children.size() != 2) {
    errors.add(range->place, range->path, "A range is [from, to].", "Write two temperatures.");
    return {};
  }
  return Curve::polynomial(sum, quantity_of(range->children[0], Kind::temperature, errors),
                           quantity_of(range->children[1], Kind::temperature, errors));
}

Curve read_curve(MapReader& map, Kind kind) {
  ErrorList& errors = map.errors();
  std::optional<double> factor;
  if (const SourceNode* unit = map.find("unit")) {
    const auto known = unit_factor(unit->text, kind);
    factor = known.value_or(1.0);
    if (!known)
      errors.add(unit->place, unit->path,
                 fmt::format("\"{}\" is no unit of {}.", unit->text, kind_name(kind)),
                 fmt::format("Units: {}.", units_of(kind)));
  }
  const SourceNode* pieces = map.find("pieces");
  if (!pieces) return read_simple_curve(map, factor, kind);
  std::vector<Curve> curves;
  for (const SourceNode& piece : items_of(*pieces, errors)) {
    MapReader one(piece, "piece", errors, kind);
    curves.push_back(read_simple_curve(one, factor, kind));
    one.finish();
  }
  return Curve::joined(curves);
}

materials::Specimen read_specimen(const SourceNode& node, ErrorList& errors) {
  using Loading = materials::Specimen::Loading;
  MapReader map(node, "specimen", errors);
  const std::string loading = map.text("loading");
  const bool pulled = loading == "tension", three = loading == "three points",
             four = loading == "four points";
  const bool unknown = !pulled && !three && !four;  // reported; then every size has its place
  const auto size = [&](const char* key) {
    if (!map.find(key) && !unknown)
      map.refuse(key, fmt::format("The loading \"{}\" needs \"{}\".", loading, key), "Add it.");
    return map.amount(key);
  };
  materials::Specimen specimen;
  if (pulled || unknown) {
    specimen.loading = Loading::tension;
    specimen.height = size("diameter");
    specimen.length = size("length");
  }
  if (!pulled) {
    specimen.loading = three ? Loading::three_point : Loading::four_point;
    specimen.width = size("width");
    specimen.height = size("height");
    specimen.length = size("span");
  }
  if (four || unknown) specimen.inner_span = size("inner span");
  if (specimen.inner_span > 0.0 && specimen.length > 0.0 && specimen.inner_span >= specimen.length)
    map.refuse("inner span", "The inner rollers do not stand within the outer ones.",
               "Write an inner span below the span.");
  map.finish();
  return specimen;
}

}  // namespace

materials::Uncertainty read_uncertainty(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "uncertainty", errors);
  materials::Uncertainty u;
  if (const auto relative = map.amount_if_any("relative")) {
    u.kind = materials::Uncertainty::Kind::relative;
    u.size = *relative;
  }
  if (const auto factor = map.amount_if_any("factor")) {
    u.kind = materials::Uncertainty::Kind::factor;
    u.size = *factor;
  }
  u.group = map.text("group");
  map.finish();
  return u;
}

Property read_property(const SourceNode& node, Kind kind, ErrorList& errors,
                       std::optional<Property>* across) {
  MapReader map(node, "property", errors, kind);
  Property property;
  try {
    property.curve = read_curve(map, kind);
  } catch (const std::invalid_argument& problem) {
    errors.add(node.place, node.path, fmt::format("The curve cannot be used: {}.", problem.what()),
               "Check its numbers and ranges.");
  }
  property.source = map.text("source");
  property.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) property.uncertainty = read_uncertainty(*u, errors);
  if (across)
    if (const SourceNode* other = map.find("across")) *across = read_property(*other, kind, errors);
  map.finish();
  return property;
}

Property read_poisson_ratio(const SourceNode& node, ErrorList& errors) {
  Property ratio = read_property(node, Kind::ratio, errors);
  const auto [lowest, highest] = ratio.curve.extremes();
  if (!(lowest >= 0.0) || !(highest <= materials::largest_poisson_ratio))
    errors.add(node.place, node.path,
               fmt::format("A Poisson ratio lies from 0 to {:g}, this one from {:g} to {:g}.",
                           materials::largest_poisson_ratio, lowest, highest),
               "Check its numbers; 0.1 to 0.35 are usual of tools.");
  return ratio;
}

materials::Weibull read_weibull(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "weibull", errors);
  materials::Weibull weibull;
  weibull.modulus = map.amount("modulus");
  if (const SourceNode* specimen = map.find("specimen")) weibull.specimen = read_specimen(*specimen, errors);
  weibull.source = map.text("source");
  map.finish();
  return weibull;
}

materials::GasInPores read_gas_in_pores(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "gas in pores", errors);
  materials::GasInPores pores;
  pores.factor = map.amount("factor");
  pores.pore = map.amount("pore");
  pores.source = map.text("source");
  pores.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) pores.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  return pores;
}

}  // namespace joulepress::cases
