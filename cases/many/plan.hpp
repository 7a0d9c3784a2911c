// A plan: one case varied.  Plan file -> base case, resolved -> members, each a case of its own.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/many/edits.hpp"

namespace joulepress::cases {

/// A text of the plan and where it stood.
struct PlanText {
  std::string text;
  Place place;
};

/// A key that varies, with its values; `with` follow it value by value.
struct Variation {
  PlanText key;
  std::vector<SourceNode> values;  ///< scalars
  struct InStep {
    PlanText key;
    std::vector<SourceNode> values;
  };
  std::vector<InStep> with;
};

struct ListedMember {
  PlanText name;
  std::vector<Edit> set;
};

struct Requirement {
  PlanText value;
  std::optional<PlanText> at_most, at_least;
};

/// Of all good variants the one with the least or most of something: a key that varies, or what a study looks
/// at.
struct Recommendation {
  PlanText by;
  bool least = true;
};

struct Plan {
  std::string file, text;  ///< of the plan, for excerpts
  std::string title;
  std::filesystem::path case_file;
  Case base;
  SourceNode resolved;  ///< of the base case
  std::vector<Variation> vary;
  std::vector<ListedMember> members;
  std::vector<PlanText> collect;
  std::vector<Requirement> require;
  std::optional<Recommendation> recommend;
};

/// One variant.  `settings` are the values as the plan writes them, one for each of plan.vary.
struct PlanMember {
  std::string name;  ///< of a listed one; empty: of the grid alone
  std::vector<std::string> settings;
  std::vector<Edit> edits;
};

/// At most so many members; a slip of a range is one error, not a week of running.
inline constexpr std::size_t members_max = 10000;

/// Reads a plan and its case; throws InputErrors with everything that is wrong with either: keys the case
/// does not have, lists that differ in length, ranges without a unit.
Plan read_plan(const std::filesystem::path& path);

/// Listed members over the grid of all variations, the last variation fastest.
std::vector<PlanMember> members_of(const Plan& plan);

}  // namespace joulepress::cases
