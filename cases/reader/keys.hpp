// The key table: every key of case, press, tooling and material files, declared once with what it holds, unit
// kind, bounds, default and meaning.  The readers, `check`, `explain`, docs/case_reference.md and the JSON
// Schema all come from it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cases/reader/units.hpp"

namespace joulepress::cases {

/// What may stand after a key; several forms may be joined, as in `height: middle` or `height: 5 mm`.
enum Holds : unsigned {
  quantity = 1,  ///< a number with a unit of `kind`
  words = 2,     ///< any text
  word = 4,      ///< one of `choices`
  flag = 8,      ///< on or off
  whole = 16,    ///< a whole number
  group = 32,    ///< keys of the group `inner`
  list = 64,     ///< a list; of groups of keys when `inner` is set
  numbers = 128  ///< a list of numbers, or of lists of numbers
};

/// How unsure a value of this key is when nobody has measured it; what `bound` and `fit` will draw from.
struct Spread {
  enum class Kind { none, deviation, factor };
  Kind kind = Kind::none;
  std::string_view size = {};    ///< deviation: one standard deviation, as written; factor: two-sigma factor
  std::string_view source = {};  ///< where the size comes from
};

struct Key {
  std::string_view group;         ///< the group of keys it stands in
  std::string_view name;          ///< as written
  unsigned holds = words;         ///< joined from Holds
  std::string_view means;         ///< one sentence
  std::optional<Kind> kind = {};  ///< of a quantity; empty: that of the property or programme around it
  bool required = false;
  std::string_view standard = {};   ///< default as it would be written
  std::string_view otherwise = {};  ///< in words, what holds when it is absent and has no default
  std::string_view above = {}, least = {}, most = {};  ///< bounds as written; empty: none
  std::string_view choices = {};                       ///< of a word, separated by '|'
  std::string_view inner = {};                         ///< group that opens behind it
  std::string_view example = {};                       ///< a value, as written
  bool may_vary = false;                               ///< a study may vary it
  Spread spread = {};
};

/// A group of keys: where it stands and what it describes.
struct KeyGroup {
  std::string_view name;
  std::string_view where;  ///< how to reach it, e.g. `column: - ...`
  std::string_view means;
};

const std::vector<Key>& all_keys();
const std::vector<KeyGroup>& all_groups();

/// Null when the group has no such key.
const Key* find_key(std::string_view group, std::string_view name);

/// Names of the keys of a group, in the order of the table.
std::vector<std::string> key_names(std::string_view group);

/// Choices of a word as a list.
std::vector<std::string> choices_of(const Key& key);

/// The key at an address such as `sleeves.outer diameter` or `column[2].height`, walked from a case or a
/// material file; null when there is none.
const Key* key_at(std::string_view address);

/// The same from a case only.
const Key* key_of_case(std::string_view address);

/// The shortest address of a key, e.g. `programme.temperature.ramp to`.
std::string address_of(const Key& key);

/// "above 0 mm, at most 2 m"; empty: any.
std::string bounds_of(const Key& key);

/// Why a value is outside the bounds of its key ("is not above 0 mm"); empty when it is inside.
std::string outside_bounds(const Key& key, Kind kind, double value);

/// A text as a value of a key: a quantity of the kind and inside the bounds, or the problem and its remedy.
Quantity value_of(const Key& key, Kind kind, const std::string& text);

}  // namespace joulepress::cases
