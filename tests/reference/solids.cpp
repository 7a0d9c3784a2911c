// The bodies of solids.json by our elastic solver: displacements and stresses at their places, as JSON.
//
//   solids FILE SIZE      SIZE: of the cells [m]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "solver/solid/body.hpp"

namespace {

using namespace joulepress;
using Json = nlohmann::json;

/// A weld of two blocks of one part: far stiffer than they are [Pa/m].
constexpr double weld = 1e19;

mesh::Side side_of(const std::string& name) {
  return std::map<std::string, mesh::Side>{{"inner", mesh::Side::inner},
                                           {"outer", mesh::Side::outer},
                                           {"bottom", mesh::Side::bottom},
                                           {"top", mesh::Side::top}}
      .at(name);
}

/// Even steps of at most `size` between marks.
std::vector<double> lines(std::vector<double> marks, double size) {
  std::sort(marks.begin(), marks.end());
  std::vector<double> out{marks.front()};
  for (std::size_t k = 1; k < marks.size(); ++k) {
    const double length = marks[k] - marks[k - 1];
    const int cells = static_cast<int>(std::ceil(length / size - 1e-9));
    for (int c = 1; c <= cells; ++c) out.push_back(c == cells ? marks[k] : marks[k - 1] + length * c / cells);
  }
  return out;
}

/// The body, and where its blocks are by name.
struct Read {
  solid::Body body;
  std::map<std::string, int> blocks;
};

Read read(const Json& json, double size) {
  Read out;
  for (const Json& block : json["blocks"]) {
    auto r_marks = block["r"].get<std::vector<double>>(), z_marks = block["z"].get<std::vector<double>>();
    for (const Json& pressure : json["pressures"]) {
      if (pressure["block"] != block["name"]) continue;
      const bool upright = pressure["side"] == "inner" || pressure["side"] == "outer";
      std::vector<double>& marks = upright ? z_marks : r_marks;
      for (const double mark : {pressure["from"].get<double>(), pressure["to"].get<double>()})
        if (mark > marks[0] && mark < marks[1]) marks.push_back(mark);
    }
    solid::SolidBlock b{lines(r_marks, size), lines(z_marks, size), {}, {}};
    const solid::Elastic elastic{block["modulus"], block["poisson"]};
    b.elastic.assign(static_cast<std::size_t>(b.n_r()) * b.n_z(), elastic);
    for (const double z : b.z_lines)
      for (const double r : b.r_lines) {
        double growth = 0.0;
        for (const Json& term : block["growth"])
          growth += term[0].get<double>() * std::pow(r, term[1].get<int>()) * std::pow(z, term[2].get<int>());
        b.free_strain.push_back(growth);
      }
    out.blocks[block["name"]] = static_cast<int>(out.body.blocks.size());
    out.body.blocks.push_back(b);
  }
  for (const Json& held : json["held"])
    out.body.held.push_back({out.blocks.at(held["block"]), side_of(held["side"])});
  for (const Json& pressure : json["pressures"]) {
    const double from = pressure["from"], to = pressure["to"], value = pressure["pressure"];
    out.body.pressures.push_back({out.blocks.at(pressure["block"]), side_of(pressure["side"]),
                                  [=](double at) { return at > from && at < to ? value : 0.0; }});
  }
  for (const Json& joint : json["welds"])
    out.body.joints.push_back({out.blocks.at(joint["a"]), out.blocks.at(joint["b"]), side_of(joint["side a"]),
                               side_of(joint["side b"]), weld, weld, 0.0, false});
  return out;
}

/// The cell that holds a place between lines, and where in it (-1 to 1).
std::pair<int, double> within(const std::vector<double>& lines, double place) {
  const auto after = std::upper_bound(lines.begin() + 1, lines.end() - 1, place);
  const double low = *(after - 1), high = *after;
  return {static_cast<int>(after - lines.begin()) - 1, 2.0 * (place - low) / (high - low) - 1.0};
}

Json at_place(const Read& of, const solid::Deformed& deformed, const Json& place) {
  const int block = of.blocks.at(place["block"]);
  const auto [i, xi] = within(of.body.blocks[block].r_lines, place["at"][0]);
  const auto [j, eta] = within(of.body.blocks[block].z_lines, place["at"][1]);
  const solid::Stress stress = solid::stress_at(of.body, deformed, block, i, j, xi, eta);
  const auto across = solid::line_functions(xi), along = solid::line_functions(eta);
  double outward = 0.0, upward = 0.0;
  for (int b = 0; b < 3; ++b)
    for (int a = 0; a < 3; ++a) {
      const auto way = solid::displacement_at(of.body, deformed, block, 2 * i + a, 2 * j + b);
      outward += across[a] * along[b] * way[0];
      upward += across[a] * along[b] * way[1];
    }
  return {{"outward", outward},        {"upward", upward},         {"radial stress", stress.rr},
          {"axial stress", stress.zz}, {"hoop stress", stress.tt}, {"shear stress", stress.rz}};
}

}  // namespace

int main(int count, char** words) {
  if (count != 3) {
    std::fputs("usage: solids FILE SIZE\n", stderr);
    return 2;
  }
  const Json bodies = Json::parse(std::ifstream(words[1]));
  Json out;
  for (const auto& [name, json] : bodies.items()) {
    const Read of = read(json, std::atof(words[2]));
    const solid::Deformed deformed = solid::deform(of.body);
    if (!deformed.solved) {
      std::fprintf(stderr, "%s: %s\n", name.c_str(), deformed.reason.c_str());
      return 1;
    }
    for (const Json& place : json["places"])
      out[name][place["name"].get<std::string>()] = at_place(of, deformed, place);
  }
  std::puts(out.dump(1).c_str());
  return 0;
}
