// Radiation between the open walls of a stack and the chamber: grey, diffuse, with every reflection.
//
// Open walls are divided into zones.  A zone sends out e A E, E the mean of s T^4 over it, and takes from
// every other the share of its exchange area B (Hottel's total exchange area, reflections included):
//   q_i = sum_j B_ij (E_i - E_j) + B_i0 (E_i - E_0)    [W],  0 the chamber (black),
//   B from  A_i J_i = e_i A_i E_i + (1 - e_i) ( sum_j S_ij J_j + S_i0 E_0 ),  S_ij = A_i F_ij
// B is symmetric and its rows sum to e A, so that walls and chamber at one temperature exchange nothing.
// Within a zone each face sends out by its own temperature and takes by its area.  While powder closes, B is
// interpolated in the share of the stroke by one polynomial (areas are straight lines in it, so that the rows
// still sum to e A).  Sides with a held temperature or an electrode take no part.
// Source: Hottel and Sarofim, Radiative transfer, from memory.  Tests: tests/verification/test_enclosure.cpp.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "mesh/openings.hpp"

namespace joulepress::solver {

struct Problem;

/// A strip of an opening, or the mouth of a narrow gap (no block: it sends back what it gets).
struct Zone {
  int block = -1;
  mesh::Side side = mesh::Side::outer;
  int ordinal = 0;
  int strip = 0, strips = 1;  ///< which of how many the opening has, finer toward its ends
  double emissivity = 0;
};

/// Total exchange areas [m2].
struct ExchangeAreas {
  std::vector<double> between;  ///< zones x zones
  std::vector<double> chamber;  ///< with the chamber, per zone
};

struct Enclosure {
  std::vector<Zone> zones;
  std::vector<mesh::Ring> rings;           ///< where the zones lie at the start
  std::vector<double> shares;              ///< of the stroke, where the tables below belong
  std::vector<mesh::ExchangeAreas> views;  ///< S, one per share; zeros for zones that are not there
  std::vector<ExchangeAreas> tables;       ///< B, likewise
  std::vector<double> seen;                ///< per zone: share of its view that is the chamber, at the end
};

/// What radiates to what as the parts lie at present.
struct Exchange {
  /// The part of an outer face that lies in a zone.
  struct Patch {
    int face = 0, zone = 0;
    double area = 0;  ///< m2
  };
  ExchangeAreas areas;
  std::vector<double> zone_area;  ///< m2; 0: the zone is not there at present
  std::vector<Patch> patches;     ///< ascending in the face
  /// Per outer face: what it would send out black, in effect [m2]; what is not in a zone sends nothing.
  std::vector<double> sends;
  /// Per outer face: the length that natural convection from it goes by (solver/convection.hpp), that of its
  /// opening [m]; 0 where the gas stands still, in spaces that see next to nothing of the chamber.
  std::vector<double> convects;
};

/// Tables of a problem whose walls exchange radiation (Problem::walls_exchange).
std::shared_ptr<const Enclosure> enclosure_of(const Problem& start);

/// The exchange when a share of the stroke is done and the parts lie as in `present`.
Exchange exchange_at(const Enclosure& enclosure, const Problem& present, double share);

/// What each zone takes [W/m2] when the outer faces have the given temperatures [K].
std::vector<double> irradiation(const Exchange& exchange, std::span<const double> outer, double chamber);

}  // namespace joulepress::solver
