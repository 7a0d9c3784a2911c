// What a gas adds to the heat conductivity of a felt, whose own curve is that in vacuum.
//
//   added = factor x pore x h(pore),   h the gap conductance of materials/gas.hpp
// The factor is more than the share of the pores, below one: gas also bridges the touches of the fibres,
// which is most of what it does.  The width of the pores counts where the mean free path comes near it, that
// is well below 1 bar.  Both are numbers of the material file; the form is a common one for fibre insulation
// (e.g. Bankvall 1973, J Test Eval 1:235, from memory), with the bridges in the factor our own
// simplification.
#pragma once

#include <string>

#include "materials/gas.hpp"
#include "materials/uncertainty.hpp"

namespace joulepress::materials {

struct GasInPores {
  double factor = 0;  ///< how many times the conductivity of the free gas is added, where pores are wide
  double pore = 0;    ///< m, width of a pore
  std::string source, note;
  Uncertainty uncertainty;  ///< of the factor
};

/// What is added at T [W/(m K)].
inline double conductivity_added(const GasInPores& pores, const Gas& gas, double T) {
  return pores.factor * pores.pore * gap_conductance(gas, pores.pore, T);
}

}  // namespace joulepress::materials
