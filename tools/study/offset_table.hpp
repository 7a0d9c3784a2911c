// The offsets of a stack as a table: the case over the temperature of its last hold, over the heating rate
// before it and over the density that the powder begins with; and from these what to enter so that the powder
// has a round temperature.
//
//   offset(T_entered, rate, density) = powder mean - reading, over the settled half of the last hold
//   of one rate and density, between members of neighbouring temperatures k, k + 1:
//   T_entered(X) = T_k + (T_k+1 - T_k) (X - mean_k) / (mean_k+1 - mean_k),  mean_k <= X <= mean_k+1
// Straight, and never beyond the members.  Steps of temperature, rate and density: own choice.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "tools/crew/crew.hpp"

namespace joulepress::tools {

/// What a table holds for.
struct TableSubject {
  struct Part {
    std::string name;
    double bore_m = 0, diameter_m = 0;
    std::optional<double> height_m, mass_kg;  ///< one of them
  };
  struct Powder {
    std::string name, material;
    std::optional<double> start_density;  ///< relative
    bool varied = false;                  ///< whether the table varies it
  };
  std::string title, version, press;
  std::vector<Part> column, sleeves;  ///< bottom to top; as the case has them
  std::vector<Powder> powders;
  std::string control;     ///< name of the control sensor
  std::string control_in;  ///< the part that it is in, or looks at; empty: a furnace's own
  bool pyrometer = false;
  double depth_m = 0;  ///< of a couple's bore
  std::string hold;    ///< name; empty: none
  double hold_s = 0;
  double pressure_Pa = 0;  ///< on the powder, where its programme ends; not a number: none
  std::string gas;         ///< in the chamber; empty: vacuum
};

struct OffsetTablePlan {
  TableSubject subject;
  std::vector<double> temperatures_K;          ///< of the hold, rising
  std::vector<double> rates;                   ///< of the ramp before it [K/s], rising
  std::vector<std::vector<double>> densities;  ///< a level one a varied powder, rising; one empty: not varied
  std::size_t own_rate = 0, own_density = 0;   ///< those of the case
  std::string why_not;                         ///< why there are no members; empty: there are
  std::vector<Member> members;                 ///< `table-t1-r2-d0`; temperature by temperature, rate by rate
};

/// Of a case without faults; names in it are looked for beside `folder`.  Strength is not judged.
OffsetTablePlan offset_table_plan(const cases::Case& c, const std::filesystem::path& folder);

/// One member.
struct OffsetCell {
  std::string id;
  std::optional<Finished> finished;  ///< none: not yet
  std::string why_not;               ///< why it does not count; empty: it does
  /// Of the last hold, not a number where there is none: offset over its settled half and at its start; K;
  /// density relative, at its end.
  double offset_K, offset_start_K, reading_K, mean_K, spread_K, density;
};

struct OffsetTable {
  TableSubject subject;
  std::vector<double> temperatures_K, rates;
  std::vector<std::vector<double>> densities;
  std::vector<OffsetCell> cells;              ///< as the plan's members
  std::vector<double> powder_K;               ///< round temperatures that a column to show covers, rising
  bool complete = false;                      ///< all members have ended
  std::size_t own_rate = 0, own_density = 0;  ///< those of the case
  /// Offsets differ between rates (start densities) by no more than alike_K, also where both are alike, and
  /// count at the same temperatures: those of the case are shown for all of them.
  bool rates_alike = false, densities_alike = false;
  const OffsetCell& cell(std::size_t density, std::size_t rate, std::size_t temperature) const;
};

/// A round temperature is a multiple of it in degC [K].
inline constexpr double table_step_K = 50;

/// A member counts where its reading comes this near to what was entered; own choice.
inline constexpr double followed_K = 10;

/// Entries are read to a kelvin; own choice.
inline constexpr double alike_K = 1;

/// From what the crew has run.  Throws FileError when a summary cannot be read.
OffsetTable offset_table(const OffsetTablePlan& plan, const CrewResult& result);

/// What to enter for a powder mean, at one density and rate; none where no two members lie about it, or more
/// than two.
std::optional<double> to_enter(const OffsetTable& table, std::size_t density, std::size_t rate,
                               double powder_K);

/// Rates and densities to show: all, or that of the case where they are alike.
std::vector<std::size_t> shown_rates(const OffsetTable& table);
std::vector<std::size_t> shown_densities(const OffsetTable& table);

/// A row a member, SI.
std::string offsets_csv(const OffsetTable& table);
std::string offsets_screen(const OffsetTable& table);

}  // namespace joulepress::tools
