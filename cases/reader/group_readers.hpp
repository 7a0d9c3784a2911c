// Readers of the groups of a case file, one function a group; mistakes go to the list.
#pragma once

#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

ColumnPart read_column_part(const SourceNode& node, ErrorList& errors);
Sleeve read_sleeve(const SourceNode& node, ErrorList& errors);
FoilLayer read_foil(const SourceNode& node, ErrorList& errors);
CaseSensor read_sensor(const SourceNode& node, ErrorList& errors);
/// Gives holds of the pressure that end with a temperature or a step their time; `start` [K].
void settle_pressure(Programme& programme, double start, ErrorList& errors);

/// `usual_sensor`: of the press, controls where the programme names none.
Programme read_programme(const SourceNode& node, const std::string& usual_sensor, ErrorList& errors);
/// Null: the defaults.
ContactTotals read_contacts(const SourceNode* node, ErrorList& errors);

/// What fills one cavity.
struct Filling {
  std::string in;
  ColumnPart powder;  ///< name and dimensions of the cavity are not in it
};
Filling read_filling(const SourceNode& node, ErrorList& errors);

Press read_press(const SourceNode& node, ErrorList& errors);
void read_column_ends(const SourceNode& node, Press& press, ErrorList& errors);

}  // namespace joulepress::cases
