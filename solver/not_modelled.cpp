#include "solver/march.hpp"

namespace joulepress::solver {

std::vector<std::string> not_modelled(const Problem& problem) {
  std::vector<std::string> sentences;
  if (!problem.powders.empty()) {
    sentences.emplace_back(
        "Densification: the powder has its expected end density from the start, so that loose powder "
        "early in the cycle conducts less than stated here.");
    sentences.emplace_back("Grain growth and differences of density within the powder.");
  }
  sentences.emplace_back(
      "Contacts that change during the run or with use: touches are constant, the axial ones those of the "
      "programme's final pressure, "
      "the lateral ones those published for 20 MPa.");
  sentences.emplace_back("Pulsed current: heat follows the effective value; a meter of the mean shows less.");
  sentences.emplace_back(
      "View factors beyond a plate-to-plate estimate between faces that look at each other.");
  sentences.emplace_back(
      "Gas, convection and radiation across felt pores; the chamber is a black body at its own temperature.");
  sentences.emplace_back("Thermal expansion, stresses and the strength of the tooling.");
  if (!problem.sensors.empty())
    sentences.emplace_back(
        "The bore itself (missing wall section), the sensor's response time and its tolerance; "
        "the stem error is a closed-form upper bound.");
  sentences.emplace_back("Peltier and Seebeck heat.");
  return sentences;
}

}  // namespace joulepress::solver
