// A YAML document as a plain tree that knows where everything stood.  The only user of yaml-cpp.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "cases/reader/keys.hpp"
#include "cases/reader/units.hpp"

namespace joulepress::cases {

struct SourceNode {
  enum class Type { nothing, scalar, sequence, map };
  Type type = Type::nothing;
  Place place;
  std::string path;                  ///< key path for messages
  std::string text;                  ///< scalar
  std::vector<std::string> keys;     ///< map: one per child
  std::vector<Place> key_places;     ///< map: where each key stood
  std::vector<SourceNode> children;  ///< of a sequence or a map
};

/// Parses text; structural mistakes (syntax, duplicate keys, merge keys) go to the list.  `root` is the key
/// path of the document as a whole: "press" for a press file, empty for a case.
SourceNode parse_document(const std::string& file, const std::string& text, ErrorList& errors,
                          const std::string& root = {});

/// Reads a file; a file that cannot be read is an error too.  `said_at` is where the name stood.
std::optional<SourceNode> load_document(const std::filesystem::path& path, const Place& said_at,
                                        ErrorList& errors, std::string* text = nullptr,
                                        const std::string& root = {});

/// What stands behind a key of a map; null: nothing, or no map.
const SourceNode* child_of(const SourceNode& node, std::string_view key);
SourceNode* child_of(SourceNode& node, std::string_view key);

/// The same as text; empty: no single value stands there.
std::string text_behind(const SourceNode& node, std::string_view key);

/// A map under reading.  What its keys hold, their kinds, bounds and defaults come from the key table; asking
/// for a key the table does not know is a mistake of ours (std::logic_error).
class MapReader {
 public:
  /// `kind` is that of the keys whose kind depends on what they belong to (steps, properties).
  MapReader(const SourceNode& node, std::string_view group, ErrorList& errors, std::optional<Kind> kind = {});

  const SourceNode* find(std::string_view name);               ///< null when absent
  std::optional<double> amount_if_any(std::string_view name);  ///< nothing when absent or one of its words
  double amount(std::string_view name);                        ///< the default when absent; 0 after an error
  std::string text(std::string_view name);                     ///< the default or nothing when absent
  bool on(std::string_view name);
  int whole(std::string_view name);
  /// Reports keys that do not belong here, those nobody asked for (they would be ignored in silence) and,
  /// where the entry stands alone, those that are missing.
  void finish(bool alone = true);

  const SourceNode& node() const { return node_; }
  ErrorList& errors() { return errors_; }
  std::string path_of(std::string_view name) const;
  /// An error at the value of a key, or at the entry when it is absent.
  void refuse(std::string_view name, std::string problem, std::string remedy);

 private:
  const Key& key_of(std::string_view name) const;
  double bounded(const Key& key, Kind kind, const SourceNode& node);
  void report_unknown(std::size_t index);
  std::string meant_by(const std::string& unknown) const;
  std::vector<std::string> absent_keys() const;
  bool is_rest_of_a_number(std::size_t index) const;
  std::string rest_of(const SourceNode& number) const;
  const SourceNode& node_;
  std::string_view group_;
  ErrorList& errors_;
  std::optional<Kind> kind_;
  std::set<std::string, std::less<>> asked_;
};

/// Where an entry and its values stood.
Written written_at(const SourceNode& node);

/// Scalar as a quantity; 0 after an error.
double quantity_of(const SourceNode& node, Kind kind, ErrorList& errors);

/// Children of a sequence; an error and none when it is something else.
const std::vector<SourceNode>& items_of(const SourceNode& node, ErrorList& errors);

/// Scalar text; an error and empty when it is something else.
std::string text_of(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
