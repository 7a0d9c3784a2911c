// What a material file says about a powder of it: conduction, oxide film, creep, densification.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

/// The current of a mixture needs no law of its own.
materials::Porous read_porous(const SourceNode& node, bool mixture, ErrorList& errors);

/// Makes `material` the mixture of two of those already read.
void read_mixture(const SourceNode& node, std::span<const materials::Material> known,
                  materials::Material& material, ErrorList& errors);

materials::OxideFilm read_oxide_film(const SourceNode& node, ErrorList& errors);

materials::Densification read_densification(const SourceNode& node, ErrorList& errors);

/// One set, or a list of sets by density.  `melting` of the material [K], which dislocation creep needs.
std::vector<materials::Creep> read_creep(const SourceNode& node, const std::optional<double>& melting,
                                         ErrorList& errors);

}  // namespace joulepress::cases
