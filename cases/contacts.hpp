// Laws of the contacts and gaps of a stack.
#pragma once

#include "cases/stack.hpp"

namespace joulepress::cases {

/// Emissivity of a block at 1000 degC; 0.8 where its material has none (graphite tooling, Zavaliangos et al.
/// 2004, Mater. Sci. Eng. A 379:218, from memory).
double emissivity_of(const solver::Problem& p, int block);

/// One law for each pair of the problem's interfaces: touches from the published totals, gaps by radiation.
void set_contacts(const Case& c, const Stack& stack, solver::Problem& p);

/// Problem::fits and sleeve_of, where touches follow pressure and temperature.
void set_fits(const Case& c, const Stack& stack, solver::Problem& p);

}  // namespace joulepress::cases
