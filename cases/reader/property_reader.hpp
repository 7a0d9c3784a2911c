// One property of a material file: its curve, source and uncertainty; and what gas adds in pores.
#pragma once

#include <optional>

#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

materials::Uncertainty read_uncertainty(const SourceNode& node, ErrorList& errors);

/// `across`: where the same property through a sheet goes; null: it has none.
materials::Property read_property(const SourceNode& node, Kind kind, ErrorList& errors,
                                  std::optional<materials::Property>* across = nullptr);

/// What a gas adds to the heat conductivity of a felt.
materials::GasInPores read_gas_in_pores(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
