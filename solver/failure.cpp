#include "solver/failure.hpp"

#include <algorithm>
#include <cstdio>

namespace joulepress::solver {

std::string failure_text(const Problem& present, const State& state, const std::string& why,
                         const std::string& remedy) {
  constexpr const char* usual =
      "Try a slower ramp, a lower current, or check resistivities and contacts of the parts nearby.";
  const auto hottest = std::max_element(state.temperature.begin(), state.temperature.end());
  const int cell = static_cast<int>(hottest - state.temperature.begin());
  char text[600];
  std::snprintf(text, sizeof text,
                "at t = %.3f s: %s. Hottest place so far: %.0f degC in %s at r = %.1f mm, z = %.1f mm. %s",
                state.time, why.c_str(), *hottest - zero_celsius,
                present.parts[present.mesh.part_of(cell)].name.c_str(), 1e3 * present.mesh.r[cell],
                1e3 * present.mesh.z[cell], remedy.empty() ? usual : remedy.c_str());
  return text;
}

}  // namespace joulepress::solver
