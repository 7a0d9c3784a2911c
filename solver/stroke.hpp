// The stroke a press logs: how far its ends have come together since the start, part by part.
//
//   densification   height the beds have lost (cold heights)
//   elastic         sum over the column of  h (F/A - F_0/A) / E
//   frame           compliance x (F - F_0)
//   growth          - sum over the column of  h (e(T) - e(T_0)),  e(T) = a(T) (T - 20 degC)
//   foil            the same for the foils between the parts
// h heights and A sections as drawn, E at the mean temperature of the part, a mean linear expansion from
// 20 degC (through the sheet of a layered part that lies flat), e averaged over the part's volume.  A part
// whose data say nothing adds nothing and is named among what is not modelled.  How foil gives under pressure
// is not known: its thickness is that under pressure.  Tests: tests/verification/test_stroke.cpp.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

/// All parts but the densification, at a force on the column and cell temperatures.
Stroke elastic_and_thermal_stroke(const Problem& start, double force, std::span<const double> temperature);

/// Mean thermal strain of a block since the start, in a direction; 0 where its expansion is not known.
double thermal_strain(const Problem& problem, int block, mesh::Axis axis,
                      std::span<const double> temperature);

/// Names of parts of the column whose modulus or expansion is not known.
std::vector<std::string> parts_without_stroke(const Problem& problem);

}  // namespace joulepress::solver
