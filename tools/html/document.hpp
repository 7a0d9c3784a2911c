// The frame of a page: head with its content security policy, body, data and scripts.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "tools/html/words.hpp"

namespace joulepress::tools::html {

/// What a page holds.
struct Document {
  std::string title;
  std::string below;   ///< a line below the title
  std::string body;    ///< markup
  bool maps = false;   ///< it has fields to draw
  bool charts = true;  ///< it has diagrams over time
};

/// The HTML.  The policy allows the scripts and the style inside it by their hashes, images within it, and
/// nothing else.  `data` is what the scripts read.
std::string html_of(const Document& document, const Words& say, const nlohmann::json& data);

}  // namespace joulepress::tools::html
