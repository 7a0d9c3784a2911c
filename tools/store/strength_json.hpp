// Whether the tools hold, as "strength" of summary.json (docs/output_format.md).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "solver/results.hpp"
#include "solver/solid/strength.hpp"

namespace joulepress::tools {

nlohmann::ordered_json strength_json(const solid::Strength& strength, const solver::HistoryFrame& frame);

/// "preload", "full force", "hold", "cooling", "push-out": as in files and on the screen.
const char* load_case_name(solid::LoadCase load_case);

}  // namespace joulepress::tools
