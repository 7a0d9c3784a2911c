// What both searches of `correct` share: the two models they run on and how a programme is typed in.
#pragma once

#include "tools/study/correct_search.hpp"
#include "tools/study/programme_runs.hpp"

namespace joulepress::tools {

inline constexpr double coarse_K = 2.0;  ///< accuracy of the search

/// Runs of the case at an accuracy [K], exactly followed where its sensor can be from the start, else as the
/// case says.
ProgrammeRuns exact_runs(const cases::Case& c, double accuracy, int threads, std::function<bool()> go_on);

/// The case as the press will run it: with its own controller where it has one that can follow; says in the
/// correction whether it has, and why not.
cases::Case as_the_press(const cases::Case& c, Correction& correction);

/// Last digits as the press takes them: temperatures in degC, times counted from the start.  What comes to
/// stand level goes into the hold behind it; the coolings of the wish follow.
std::vector<EnteredStep> as_typed(std::vector<EnteredStep> driven, const PowderWish& wish,
                                  const cases::ProgrammeEntry& entry);

/// Lowers what is typed in to the readings that the press comes to where a limit keeps it below them: nobody
/// should type in more than is meant to be reached.  Whether there was any.  One run.
bool lower_to_reach(const ProgrammeRuns& exact, Correction& correction);

/// A programme for a wished density instead of temperatures (CorrectRequest::density); the level of the last
/// hold alone is moved.
Correction find_for_density(const cases::Case& c, const PowderWish& wish, const CorrectRequest& request,
                            const std::function<bool()>& go_on, const Told& told);

}  // namespace joulepress::tools
