// "strength" of a stored summary.json as plain numbers (docs/output_format.md).  SI and kelvin.
#pragma once

#include <limits>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

namespace joulepress::tools {

/// The worst of a part or of a load case; the names are those of the file.
struct StoredWorst {
  double margin = 0;
  std::string part, load_case;
  bool tension = true;
  double time_s = 0, force_N = 0, stress_Pa = 0, strength_Pa = 0, temperature_K = 0, r_m = 0,
         z_from_middle_of_part_m = 0;
};

struct StoredStrength {
  struct Part {
    std::string name;
    std::optional<StoredWorst> tension, compression;
    std::optional<double> break_chance;
  };
  struct Tube {
    std::string part;
    double time_s = 0, side_pressure_Pa = 0, ratio = 0, formula_hoop_Pa = 0, computed_hoop_Pa = 0,
           computed_by_force_Pa = 0, pressed_share_of_height = 0;
  };
  struct Grip {
    double solid_from_s = 0, solid_from_K = 0, cold_Pa = 0, cold_largest_Pa = 0, cold_on_core_Pa = 0,
           push_out_N = 0, push_out_on_punch_Pa = 0;
    std::optional<double> cold_margin;  ///< none: nothing is known of what bears then
  };
  struct Force {
    bool hot = false;
    double force_N = 0, pressure_Pa = 0, time_s = 0;
  };
  struct Instant {
    double time_s = 0;
    std::string load_case;
    double margin = std::numeric_limits<double>::quiet_NaN();  ///< not a number: nothing loaded, or not known
  };
  std::string refused;  ///< why nothing was judged; empty: it was
  double asked = 0;
  std::optional<StoredWorst> worst;
  std::vector<StoredWorst> load_cases;
  std::vector<Part> parts;
  std::optional<Tube> tube;
  std::optional<Grip> grip;
  std::vector<Force> largest;  ///< cold, hot
  std::vector<Instant> instants;
  std::vector<std::string> remarks;
  bool holds() const { return worst && worst->margin >= asked; }
};

/// None where the file has none, or null: files of before it was told, or a case that does not ask.  Throws
/// nlohmann::json::exception where the file is damaged.
std::optional<StoredStrength> strength_of(const nlohmann::json& summary);

}  // namespace joulepress::tools
