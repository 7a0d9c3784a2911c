// Readers of the groups of a case file, one function a group; mistakes go to the list.
#pragma once

#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// Required quantity above zero; 0 after an error.
double positive(MapReader& map, const std::string& key, Kind kind);
/// The same where the key may be absent.
std::optional<double> positive_if_any(MapReader& map, const std::string& key, Kind kind);
/// An error when a quantity that may be zero is negative.
void require_not_negative(const SourceNode& node, double value, ErrorList& errors);

ColumnPart read_column_part(const SourceNode& node, ErrorList& errors);
Sleeve read_sleeve(const SourceNode& node, ErrorList& errors);
FoilLayer read_foil(const SourceNode& node, ErrorList& errors);
ContactTotals read_contacts(const SourceNode& node, ErrorList& errors);
CaseSensor read_sensor(const SourceNode& node, ErrorList& errors);
Programme read_programme(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
