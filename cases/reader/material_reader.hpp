// Material files -> materials::Material.  Format: materials/data/README.md.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

/// Folder with the shipped materials and presses: the source tree, or JOULEPRESS_SHARE when set.
std::filesystem::path share_folder();

std::vector<std::filesystem::path> shipped_materials();

/// Throws InputErrors.
materials::Material read_material(const std::filesystem::path& path);

/// Reads a parsed document; mistakes go to the list.  `known`: materials already read, among them those it
/// names.
materials::Material read_material(const SourceNode& document, ErrorList& errors,
                                  std::span<const materials::Material> known = {});

/// Name of the material a document starts from (`from:`); empty: none.
std::string base_of(const SourceNode& document);

/// Names of the materials a document needs to have read before: the one it starts from, those it mixes.
std::vector<std::string> named_in(const SourceNode& document);

/// Where the shipped material of this name would be.
std::filesystem::path shipped_material(const std::string& name);

/// File of the material named `name`: one beside the case wins over a shipped one.  Empty: none.
std::filesystem::path find_material(const std::string& name, const std::filesystem::path& case_folder);

/// Names of the shipped materials.
std::vector<std::string> material_names();

}  // namespace joulepress::cases
