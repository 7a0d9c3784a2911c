// Numbers from real grids and steps whose true values are known, for tests/solver/test_grid_convergence.cpp.
// Truths are closed forms of textbooks, written beside each problem.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <vector>

struct ConvergenceProblem {
  std::string name;
  double order;                      ///< of the scheme on this problem, by theory
  std::function<double(int)> value;  ///< with so many cells or steps
  double truth;
  std::array<int, 3> cells;  ///< finest first
};

std::vector<ConvergenceProblem> conduction_problems();
std::vector<ConvergenceProblem> quadrature_problems();
std::vector<ConvergenceProblem> step_problems();
