// A case with some of its values changed, by the addresses of their keys.
//
// The case is taken as resolved, self-contained text, in which every key that has a value is written out; a
// change replaces what stands at an address, and the case is read again like any other.  So whatever a case
// file may say can be varied, every check of a case holds for its variants, and a mistake in a changed value
// is told with the place of that value, in the plan.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// One change.  Addresses are those of messages about a case, entries of a list by their name or their number
/// from 0:  sleeves[die].outer diameter,  programme.temperature[sinter].hold,  contacts.lateral.thermal.
/// A property of a material, materials[isotropic graphite].resistivity, is multiplied by the value; at the
/// address `materials` the text of a material file is added.
struct Edit {
  std::string address;
  SourceNode value;  ///< with the place where it was written
  Place at;          ///< where the address was written
};

/// What an address leads to: a key, or a property of a material to scale.
struct Addressed {
  const Key* key = nullptr;        ///< null: a property
  std::string material, property;  ///< of a property; else empty
};

/// Where an address leads in a resolved case; or, at the place where it was written, an error in the list (no
/// such key, no such entry, a group of keys) and nothing.
std::optional<Addressed> addressed(const SourceNode& resolved, const std::string& address, const Place& at,
                                   ErrorList& errors);

/// A scalar for an edit that no file holds.
SourceNode value_node(std::string text);

/// The changed document.  Where edits cannot be applied the list says so.
SourceNode edited(const SourceNode& resolved, const std::vector<Edit>& edits, ErrorList& errors);

/// The scalar that stands at an address of a document, the `value` of a group that has one; null when none
/// does.
const SourceNode* scalar_at(const SourceNode& document, const std::string& address);

/// The text of it; nothing when none stands there.
std::optional<std::string> value_at(const SourceNode& resolved, const std::string& address);

}  // namespace joulepress::cases
