// What the tests of stacks share: parts, blocks and contacts by their names, and what a case is refused with.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "cases/build_problem.hpp"

namespace joulepress::test {

template <class T>
T& named(std::vector<T>& items, const std::string& name) {
  for (T& item : items)
    if (item.name == name) return item;
  FAIL("no part " << name);
  return items.front();
}

inline const mesh::Block& block(const solver::Problem& p, const std::string& name) {
  for (const mesh::Block& b : p.mesh.layout)
    if (b.name == name) return b;
  FAIL("no block " << name);
  return p.mesh.layout.front();
}

inline double height_of(const mesh::Block& b) {
  return b.z_top - b.z_bottom;
}

/// The pair of two blocks and its law, the inner or lower block first.
struct Found {
  mesh::BlockPair pair;
  solver::ContactLaw law;
};
inline Found between(const solver::Problem& p, const std::string& a, const std::string& b) {
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    if (p.mesh.layout[pair.block_a].name == a && p.mesh.layout[pair.block_b].name == b)
      return {pair, p.contacts[k]};
  }
  FAIL("no pair " << a << " | " << b);
  return {};
}

inline const solver::Part& part(const solver::Problem& p, const std::string& name) {
  return p.parts[block(p, name).part];
}

inline std::string message(const cases::Case& c) {
  try {
    cases::build_problem(c);
  } catch (const cases::InputErrors& errors) {
    return errors.what();
  }
  return "accepted";
}

}  // namespace joulepress::test
