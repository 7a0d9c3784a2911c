// What the report says of the powder as it closes: density, stroke, where the current went, how the offset
// changed.
#pragma once

#include <string>

#include "tools/screen/report.hpp"

namespace joulepress::tools {

/// One line for each powder that keeps its density: it stands before all answers.
std::string held_lines(const ReportHead& head, const solver::Summary& summary);

/// Section "Density"; empty without powder.
std::string density_section(const ReportHead& head, const solver::RunResult& result,
                            const solver::Summary& summary);

/// Section "Stroke"; empty without powder.
std::string stroke_section(const solver::Problem& problem, const solver::RunResult& result,
                           const solver::Summary& summary);

/// How the offset went from one time to another and which part of it did most.
std::string drift_sentence(const std::string& where, const solver::OffsetDrift& drift);

}  // namespace joulepress::tools
