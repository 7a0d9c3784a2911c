#include "cases/many/uncertain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "cases/many/calibrated_inputs.hpp"
#include "cases/reader/keys.hpp"
#include "materials/scaling.hpp"

namespace joulepress::cases {
namespace {

using inverse::Distribution;

/// Keys of the case that carry a spread, gathered while the tree is walked.
class Gatherer {
 public:
  Gatherer(const Case& c, std::vector<UncertainInput>& inputs)
      : case_(c), inputs_(inputs), calibrated_(calibrated_addresses(c)) {}

  /// `owner`: what the group is called in the name of an input.
  void walk(const SourceNode& node, std::string_view group, const std::string& address,
            const std::string& owner) {
    for (std::size_t k = 0; k < node.keys.size(); ++k) {
      const Key* key = find_key(group, node.keys[k]);
      if (!key || key->name == "materials" || key->name == "calibration") continue;
      const SourceNode& value = node.children[k];
      const std::string at = address.empty() ? node.keys[k] : address + "." + node.keys[k];
      if (key->spread.kind != Spread::Kind::none || calibrated_.contains(at)) {
        if (has_effect(*key, owner)) add(*key, value, at, owner);
      } else if (value.type == SourceNode::Type::map) {
        walk(value, key->inner, at, std::string(key->inner));
      } else if (value.type == SourceNode::Type::sequence && !key->inner.empty()) {
        for (std::size_t n = 0; n < value.children.size(); ++n) {
          const std::string name = text_behind(value.children[n], "name");
          const std::string entry = name.empty() ? std::to_string(n) : name;
          walk(value.children[n], key->inner, fmt::format("{}[{}]", at, entry),
               name.empty() ? fmt::format("{} {}", key->inner, n + 1) : name);
        }
      }
    }
  }

 private:
  /// What a case does not use must not be drawn: a fit to few samples would find it guilty of something.
  bool has_effect(const Key& key, const std::string& owner) const {
    if (key.name == "foil fit" || key.name == "foil stiffness") return case_.contacts.follow;
    if (key.group == "sleeve" && key.name == "outer diameter") return !stands_in_a_bore(owner);
    const CaseSensor* sensor = key.group == "sensor" ? sensor_named(owner) : nullptr;
    if (!sensor) return true;
    if (key.name == "sheath conductivity" || key.name == "tip contact") return sensor->stem;
    return key.name != "height" || !sensor->in_bore;  // it looks at the bottom of its bore, wherever that is
  }

  /// A die in its jacket, a core rod in the punches: the outside is one half of a fit, which has no spread.
  bool stands_in_a_bore(const std::string& name) const {
    constexpr double widest_fit = 1e-3;  // m of the diameter; foils included
    const auto own = std::find_if(case_.sleeves.begin(), case_.sleeves.end(),
                                  [&name](const Sleeve& sleeve) { return sleeve.name == name; });
    if (own == case_.sleeves.end()) return false;
    const auto holds_it = [&own](double bore) {
      return bore > 0.0 && std::abs(bore - own->outer_diameter) < widest_fit;
    };
    return std::any_of(case_.sleeves.begin(), case_.sleeves.end(),
                       [&](const Sleeve& sleeve) { return holds_it(sleeve.inner_diameter); }) ||
           std::any_of(case_.column.begin(), case_.column.end(),
                       [&](const ColumnPart& part) { return holds_it(part.bore); });
  }

  const CaseSensor* sensor_named(const std::string& name) const {
    for (const CaseSensor& sensor : case_.sensors)
      if (sensor.name == name) return &sensor;
    return nullptr;
  }

  /// The part a sensor is in or looks at [m]; a height of 0: not known.
  struct Extent {
    double wall = 0, height = 0;
  };
  Extent extent_of(const std::string& part_name) const {
    for (const Sleeve& sleeve : case_.sleeves)
      if (sleeve.name == part_name)
        return {0.5 * (sleeve.outer_diameter - sleeve.inner_diameter - sleeve.worn_by), sleeve.height};
    for (const ColumnPart& part : case_.column)
      if (part.name == part_name)
        return {0.5 * (part.diameter - part.bore - part.worn_by), part.height.value_or(0.0)};
    return {};
  }

  /// The tip of a couple and the spot of a pyrometer stay on their part, also where that is a little smaller
  /// than drawn.
  void keep_on_part(const Key& key, const std::string& owner, Distribution& spread) const {
    constexpr double smaller = 0.2e-3;  // m, four deviations of a height
    const CaseSensor* sensor = key.group == "sensor" ? sensor_named(owner) : nullptr;
    if (!sensor || (key.name != "depth" && key.name != "height")) return;
    const Extent part = extent_of(sensor->part);
    const double reach = key.name == "depth" ? part.wall : part.height;
    const double spot = sensor->pyrometer ? 0.5 * sensor->spot : 0.0;
    if (!(reach > 0.0)) return;
    spread.low = std::max(spread.low, std::min(spread.centre, spot));
    spread.high = std::min(spread.high, std::max(spread.centre, reach - spot - smaller));
  }

  /// In trade words: "thermal lateral contact", "water temperature of column ends", "mass of powder".
  static std::string in_words(const Key& key, const std::string& owner) {
    if (key.name == "reads high by") return "instrument error of " + owner;
    std::string name(key.name);
    if (key.kind == Kind::temperature) name += " temperature";
    if (owner == "surroundings") return name;
    return owner.ends_with(" contact") ? name + " " + owner : name + " of " + owner;
  }

  static const SourceNode& scalar_of(const SourceNode& node) {
    const SourceNode* inner = child_of(node, "value");
    return inner ? *inner : node;
  }

  /// Middle of the part a sensor is in [m]; none where its height is not known.
  std::optional<double> middle_of(const std::string& sensor_name) const {
    const CaseSensor* sensor = sensor_named(sensor_name);
    const double height = sensor ? extent_of(sensor->part).height : 0.0;
    return height > 0.0 ? std::optional(0.5 * height) : std::nullopt;
  }

  static Distribution spread_of(const Key& key, Kind kind, double centre) {
    Distribution d;
    d.centre = centre;
    if (key.spread.kind == Spread::Kind::factor) {
      d.kind = Distribution::Kind::log_normal;
      d.size = parse_quantity(std::string(key.spread.size), Kind::ratio).value;
    } else if (key.spread.kind == Spread::Kind::deviation) {
      d.kind = Distribution::Kind::normal;
      const bool share = key.spread.size.ends_with('%') && kind != Kind::ratio;
      const Kind of = share ? Kind::ratio : kind == Kind::temperature ? Kind::temperature_difference : kind;
      d.size = parse_quantity(std::string(key.spread.size), of).value * (share ? centre : 1.0);
    }
    // A millionth inside, so that a bound that is itself forbidden is not drawn.
    const auto bound = [&](std::string_view text) { return parse_quantity(std::string(text), kind).value; };
    if (!key.least.empty()) d.low = bound(key.least);
    if (!key.above.empty()) d.low = bound(key.above) + 1e-6 * std::abs(centre);
    if (!key.most.empty()) d.high = bound(key.most);
    return d;
  }

  void add(const Key& key, const SourceNode& node, const std::string& address, const std::string& owner) {
    const std::string& written = scalar_of(node).text;
    double centre = 0.0;
    const auto choices = choices_of(key);
    if (std::find(choices.begin(), choices.end(), written) != choices.end()) {
      const auto middle = written == "middle" ? middle_of(owner) : std::nullopt;
      if (!middle) return;  // a word that stands for no number
      centre = *middle;
    } else {
      centre = parse_quantity(written, key.kind.value()).value;
    }
    Distribution spread = spread_of(key, *key.kind, centre);
    keep_on_part(key, owner, spread);
    if (spread.kind == Distribution::Kind::log_normal && !(centre > 0.0)) return;  // not there at all
    const UncertainValue value{address, spread, si_unit(*key.kind)};
    // Parts of one drawing: the same key with the same value.
    for (std::size_t k = 0; k < drawings_.size(); ++k)
      if (drawings_[k].key == &key && drawings_[k].written == written &&
          (key.group == "column" || key.group == "sleeve")) {
        inputs_[drawings_[k].input].values.push_back(value);
        inputs_[drawings_[k].input].name += " and " + owner;
        return;
      }
    drawings_.push_back({&key, written, inputs_.size()});
    inputs_.push_back(
        {in_words(key, owner), std::string(key.spread.size), std::string(key.spread.source), {value}});
    if (key.spread.kind == Spread::Kind::factor) inputs_.back().amount = "factor " + inputs_.back().amount;
  }

  struct Drawing {
    const Key* key;
    std::string written;
    std::size_t input;
  };
  const Case& case_;
  std::vector<UncertainInput>& inputs_;
  std::set<std::string, std::less<>> calibrated_;  ///< values whose spread is not that of the key table
  std::vector<Drawing> drawings_;
};

/// What changes neither temperatures nor densities: only the stroke and, later, stresses.
bool only_mechanical(const std::string& property) {
  return property.find("strength") != std::string::npos
             ? property != "yield strength"
             : property.starts_with("expansion") || property == "elastic modulus" ||
                   property == "poisson ratio";
}

bool counts(const Case& c, const std::string& property) {
  if (property == "seebeck") return c.programme.thermoelectric;
  if (property == "gas in pores") return c.gas.has_value();
  return !only_mechanical(property);
}

/// Whether a part is made of it; others were read because a material is made from them.
bool used(const Case& c, const std::string& material) {
  const auto made_of_it = [&material](const auto& part) { return part.material == material; };
  return std::any_of(c.column.begin(), c.column.end(), made_of_it) ||
         std::any_of(c.sleeves.begin(), c.sleeves.end(), made_of_it) ||
         std::any_of(c.foils.begin(), c.foils.end(), made_of_it);
}

void add_materials(const Case& c, std::vector<UncertainInput>& inputs) {
  const std::size_t first = inputs.size();
  const auto calibrated = calibrated_addresses(c);
  std::vector<std::string> groups;
  for (const materials::Material& m : c.materials)
    for (const std::string& property : materials::scalable()) {
      const materials::Uncertainty u = materials::uncertainty_of(m, property);
      const std::string address = fmt::format("materials[{}].{}", m.name, property);
      if (u.kind == materials::Uncertainty::Kind::none && !calibrated.contains(address)) continue;
      if (!counts(c, property) || !used(c, m.name)) continue;
      // A property is above 0 however far out a factor is drawn: a relative spread is one of the logarithm
      // too.
      Distribution spread;
      spread.kind = Distribution::Kind::log_normal;
      spread.centre = 1.0;
      spread.size = materials::two_sigma_factor(u);
      spread.high = materials::largest_factor(m, property);
      const UncertainValue value{address, spread, ""};
      const std::string group = u.group.empty() ? m.name + " " + property : u.group;
      const auto known = std::find(groups.begin(), groups.end(), group);
      if (known != groups.end()) {
        inputs[first + static_cast<std::size_t>(known - groups.begin())].values.push_back(value);
        continue;
      }
      groups.push_back(group);
      inputs.push_back({group,
                        u.kind == materials::Uncertainty::Kind::factor
                            ? fmt::format("factor {:g}", u.size)
                            : fmt::format("{:g} %", 100.0 * u.size),
                        {},
                        {value}});
    }
}

}  // namespace

std::vector<UncertainInput> uncertain_inputs(const Case& c, const SourceNode& resolved) {
  std::vector<UncertainInput> inputs;
  Gatherer(c, inputs).walk(resolved, "case", "", "case");
  add_materials(c, inputs);
  return with_calibration(std::move(inputs), c);
}

std::vector<Edit> edits_at(const std::vector<UncertainInput>& inputs, const std::vector<double>& scores) {
  struct Moved {
    const UncertainValue* value;
    double score;
  };
  std::vector<Moved> moved;
  std::map<std::string_view, std::size_t> places;
  for (std::size_t k = 0; k < inputs.size(); ++k)
    for (const UncertainValue& value : inputs[k].values) {
      const auto [place, first] = places.emplace(value.address, moved.size());
      if (first)
        moved.push_back({&value, value.weight * scores[k]});
      else
        moved[place->second].score += value.weight * scores[k];
    }
  std::vector<Edit> edits;
  for (const auto& [value, score] : moved) {
    Edit edit;
    edit.address = value->address;
    const double x = inverse::at_score(value->spread, score);
    edit.value =
        value_node(value->unit.empty() ? fmt::format("{}", x) : fmt::format("{} {}", x, value->unit));
    edits.push_back(std::move(edit));
  }
  return edits;
}

std::vector<Edit> sample_edits(const std::vector<UncertainInput>& inputs, const std::vector<double>& shares) {
  std::vector<double> scores;
  for (std::size_t k = 0; k < inputs.size(); ++k) scores.push_back(inverse::standard_score(shares[k]));
  return edits_at(inputs, scores);
}

}  // namespace joulepress::cases
