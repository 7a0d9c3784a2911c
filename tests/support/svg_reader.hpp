// A drawing of ours read back from its SVG: elements, the room its texts take, whether they can be read.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace joulepress::test {

struct Element {
  std::string tag, text;
  std::map<std::string, std::string> attributes;
  std::map<std::string, std::string> view;  ///< attributes of the enclosing group that has data-view
  double number(const std::string& key) const { return std::stod(attributes.at(key)); }
};

/// A strict reader of what a well-formed document of ours may hold; REQUIREs that tags nest and all is
/// quoted.
std::vector<Element> parse(const std::string& file);

struct Box {
  double x0, y0, x1, y1;
};

/// Of a level text [mm].
Box box_of(const Element& text);

/// Every text, the rims underneath included.
std::vector<std::string> texts(const std::vector<Element>& elements);

/// CHECKs of every text on an A4 sheet: inside its margins, legible, not on another one.
void check_lettering(const std::vector<Element>& elements);

}  // namespace joulepress::test
