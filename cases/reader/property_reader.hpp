// One property of a material file: its curve, source and uncertainty; how a strength scatters; and what gas
// adds in pores.
#pragma once

#include <optional>

#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

materials::Uncertainty read_uncertainty(const SourceNode& node, ErrorList& errors);

/// `across`: where the same property through a sheet goes; null: it has none.
materials::Property read_property(const SourceNode& node, Kind kind, ErrorList& errors,
                                  std::optional<materials::Property>* across = nullptr);

/// A ratio from 0 to 0.45 over its whole range.
materials::Property read_poisson_ratio(const SourceNode& node, ErrorList& errors);

/// Scatter of a strength with the specimen it was measured on.
materials::Weibull read_weibull(const SourceNode& node, ErrorList& errors);

/// What a gas adds to the heat conductivity of a felt.
materials::GasInPores read_gas_in_pores(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
