// A YAML document as a plain tree that knows where everything stood.  The only user of yaml-cpp.
#pragma once

#include <filesystem>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "cases/reader/input_error.hpp"
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

/// Parses text; structural mistakes (syntax, duplicate keys, merge keys) go to the list.
SourceNode parse_document(const std::string& file, const std::string& text, ErrorList& errors);

/// Reads a file; a file that cannot be read is an error too.  `said_at` is where the name stood.
std::optional<SourceNode> load_document(const std::filesystem::path& path, const Place& said_at,
                                        ErrorList& errors, std::string* text = nullptr);

/// A map under reading: every key asked for is a known key; `finish` reports what is left over.
class MapReader {
 public:
  MapReader(const SourceNode& node, ErrorList& errors);

  const SourceNode* find(const std::string& key);  ///< null when absent
  const SourceNode* need(const std::string& key);  ///< an error when absent
  std::optional<std::string> text(const std::string& key);
  std::string need_text(const std::string& key);  ///< empty after an error
  std::optional<double> quantity(const std::string& key, Kind kind);
  double need_quantity(const std::string& key, Kind kind);  ///< 0 after an error
  std::optional<bool> flag(const std::string& key);         ///< on/off, true/false, yes/no
  std::optional<int> whole_number(const std::string& key);
  /// Reports keys that were never asked for.
  void finish();

  const SourceNode& node() const { return node_; }
  ErrorList& errors() { return errors_; }
  std::string path_of(const std::string& key) const;

 private:
  const SourceNode& node_;
  ErrorList& errors_;
  std::set<std::string> asked_;
};

/// Whether the scalar reads as a quantity of this kind; says nothing when it does not.
bool is_quantity(const SourceNode& node, Kind kind);

/// Scalar as a quantity; 0 after an error.
double quantity_of(const SourceNode& node, Kind kind, ErrorList& errors);

/// Children of a sequence; an error and none when it is something else.
const std::vector<SourceNode>& items_of(const SourceNode& node, ErrorList& errors);

/// Scalar text; an error and empty when it is something else.
std::string text_of(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
