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

/// Which of the good variants is recommended, and its neighbours in what decides; numbers of members.
struct Advice {
  std::string by;  ///< the key or value that decides
  bool least = true;
  std::optional<std::size_t> chosen;         ///< none: no variant is good
  std::optional<std::size_t> before, after;  ///< with the next less and the next more of it
};

struct VaryStudy {
  std::string title, case_title, version;
  std::vector<Setting> settings;  ///< the listed names come first, as the setting "member"
  std::vector<Measure> measures;
  std::vector<Bound> bounds;
  std::vector<VariedMember> members;
  std::optional<Advice> advice;  ///< none: the plan asks for none
  bool complete() const;
};

/// What a plan asks to look at and to keep.  Throws cases::InputErrors for names nobody knows and for bounds
/// that are no quantity of their kind, at their place in the plan; for holds the case does not have and for
/// names that stand twice.
struct Wishes {
  std::vector<Measure> measures;
  std::vector<Bound> bounds;
  std::optional<Measure> decides;  ///< what the recommendation goes by, where it is no key that varies
  bool strength() const;           ///< whether anything of it asks how well the tools hold
};
Wishes wishes_of(const cases::Plan& plan);

/// Members of a plan as the crew runs them, in the order of cases::members_of.  Whether their tools hold is
/// looked at where it is asked for only.
std::vector<Member> crew_members(const cases::Plan& plan, const Wishes& wishes);

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
