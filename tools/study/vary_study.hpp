// A plan carried out: its members, what came out of them, which are good.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/many/plan.hpp"
#include "tools/crew/crew.hpp"
#include "tools/study/measures.hpp"

namespace joulepress::tools {

/// What a value must keep to [SI].
struct Bound {
  Measure measure;
  std::optional<double> at_least, at_most;
};

/// A key that varied, over all members.
struct Setting {
  std::string name;                  ///< its address
  std::vector<std::string> written;  ///< one a member, as the plan writes it
  /// One a member where they are numbers with the same unit, in that unit; else empty.
  std::vector<double> numbers;
  std::string unit;
};

struct VariedMember {
  std::string id, label;
  std::optional<Finished> finished;  ///< none: not yet
  std::vector<double> values;        ///< one a measure; not a number: none
  std::vector<std::string> misses;   ///< "largest current 1.9 kA, at most 1.5 kA"; empty: good or unfinished
  bool good() const { return finished && finished->outcome == Outcome::completed && misses.empty(); }
};

struct VaryStudy {
  std::string title, case_title, version;
  std::vector<Setting> settings;  ///< the listed names come first, as the setting "member"
  std::vector<Measure> measures;
  std::vector<Bound> bounds;
  std::vector<VariedMember> members;
  bool complete() const;
};

/// Members of a plan as the crew runs them, in the order of cases::members_of.
std::vector<Member> crew_members(const cases::Plan& plan);

/// What a plan asks to look at and to keep.  Throws cases::InputErrors for names nobody knows and for bounds
/// that are no quantity of their kind, at their place in the plan; for holds the case does not have and for
/// names that stand twice.
struct Wishes {
  std::vector<Measure> measures;
  std::vector<Bound> bounds;
};
Wishes wishes_of(const cases::Plan& plan);

/// Throws FileError when a finished member's summary cannot be read.
VaryStudy vary_study(const cases::Plan& plan, const Wishes& wishes, const std::vector<Member>& members,
                     const CrewResult& result);

/// The table as text: files hold SI, the screen what people use.
std::string vary_csv(const VaryStudy& study);
std::string vary_screen(const VaryStudy& study);
std::string vary_json(const VaryStudy& study);
/// Groups `settings` and `values` with one data set a column.  Throws FileError.
void write_vary_h5(const VaryStudy& study, const std::filesystem::path& file);

}  // namespace joulepress::tools
