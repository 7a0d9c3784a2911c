#include "tools/html/document.hpp"

#include <nlohmann/json.hpp>

#include "tools/html/assets.hpp"
#include "tools/html/markup.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

std::string data_text(const nlohmann::json& data) {
  std::string text = data.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  // A text of the case must not end the script element it stands in.
  for (std::size_t at = text.find('<'); at != std::string::npos; at = text.find('<', at))
    text.replace(at, 1, "\\u003c");
  return text;
}

}  // namespace

std::string html_of(const Document& d, const Words& say, const nlohmann::json& data) {
  std::vector<std::string_view> scripts{page_script};
  if (d.charts) scripts.push_back(charts_script);
  if (d.maps) scripts.push_back(maps_script);
  std::string hashes, tail;
  for (const std::string_view script : scripts) {
    hashes += fmt::format(" '{}'", policy_hash(script));
    tail += fmt::format("<script>{}</script>\n", script);
  }
  const std::string policy = fmt::format(
      "default-src 'none'; script-src{}; style-src '{}'; img-src data:; base-uri 'none'; form-action 'none'",
      hashes, policy_hash(page_style));
  return fmt::format(
             "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
             "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
             "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n"
             "<style>{}</style>\n</head>\n",
             say.tag(), policy, svg::escaped(d.title), page_style) +
         fmt::format("<body>\n<header>\n<h1>{}</h1>\n<p>{}</p>\n</header>\n<main>\n", svg::escaped(d.title),
                     svg::escaped(d.below)) +
         d.body + "</main>\n<script type=\"application/json\" id=\"data\">" + data_text(data) +
         "</script>\n" + tail + "</body>\n</html>\n";
}

}  // namespace joulepress::tools::html
