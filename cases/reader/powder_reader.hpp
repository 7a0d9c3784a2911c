// What a material file says about a powder of it: conduction, oxide film, creep, densification.
#pragma once

#include <optional>
#include <vector>

#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

materials::Porous read_porous(const SourceNode& node, ErrorList& errors);

materials::OxideFilm read_oxide_film(const SourceNode& node, ErrorList& errors);

materials::Densification read_densification(const SourceNode& node, ErrorList& errors);

/// One set, or a list of sets by density.  `melting` of the material [K], which dislocation creep needs.
std::vector<materials::Creep> read_creep(const SourceNode& node, const std::optional<double>& melting,
                                         ErrorList& errors);

}  // namespace joulepress::cases
