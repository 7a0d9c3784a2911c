#include "tools/html/markup.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>

#include <algorithm>
#include <array>

#include "tools/page/svg.hpp"

namespace joulepress::tools::html {

using svg::escaped;

std::string paragraph(std::string_view text) {
  return fmt::format("<p>{}</p>\n", escaped(text));
}

std::string bullets(const std::vector<std::string>& texts) {
  std::string list = "<ul>\n";
  for (const std::string& text : texts) list += fmt::format("<li>{}</li>\n", escaped(text));
  return list + "</ul>\n";
}

std::string bullets(const Words& say, const std::vector<std::string>& sentences) {
  std::string list = "<ul>\n";
  for (const std::string& sentence : sentences) {
    const auto known = say.known(sentence);
    list += fmt::format("<li{}>{}</li>\n", known ? "" : " lang=\"en\"",
                        escaped(known ? *known : std::string_view(sentence)));
  }
  return list + "</ul>\n";
}

std::string table(const Table& t) {
  std::string text = fmt::format("<div class=\"wide\"><table id=\"{}\"{}>\n", t.id,
                                 t.first_counts ? " class=\"answer\""
                                 : t.numbers    ? " class=\"numbers\""
                                                : "");
  const auto language = [&t](std::size_t column) {
    return std::find(t.english.begin(), t.english.end(), column) == t.english.end() ? "" : " lang=\"en\"";
  };
  if (!t.caption.empty()) text += fmt::format("<caption>{}</caption>\n", escaped(t.caption));
  if (!t.columns.empty()) {
    text += "<thead><tr>";
    for (const std::string& column : t.columns)
      text += column.empty() ? "<td></td>" : fmt::format("<th scope=\"col\">{}</th>", escaped(column));
    text += "</tr></thead>\n";
  }
  text += "<tbody>\n";
  for (const std::vector<std::string>& row : t.rows) {
    text += fmt::format("<tr><th scope=\"row\"{}>{}</th>", language(0), escaped(row.front()));
    for (std::size_t k = 1; k < row.size(); ++k)
      text += fmt::format("<td{}>{}</td>", language(k), escaped(row[k]));
    text += "</tr>\n";
  }
  return text + "</tbody></table></div>\n";
}

std::string_view inlined(std::string_view svg) {
  return svg.substr(svg.find("<svg"));
}

std::string figure(std::string_view svg, std::string_view caption) {
  return fmt::format("<figure class=\"picture\">{}<figcaption>{}</figcaption></figure>\n", inlined(svg),
                     escaped(caption));
}

std::string folded(std::string_view summary, std::string_view body) {
  return fmt::format("<details><summary>{}</summary>\n{}</details>\n", escaped(summary), body);
}

std::string section(std::string_view id, std::string_view heading, std::string_view body) {
  return fmt::format(
      "<section id=\"{0}\" aria-labelledby=\"{0}-heading\">\n<h2 "
      "id=\"{0}-heading\">{1}</h2>\n{2}</section>\n\n",
      id, escaped(heading), body);
}

std::string csv_button(std::string_view what, std::string_view label) {
  return fmt::format("<button type=\"button\" class=\"csv\" data-csv=\"{}\">{}</button>\n", escaped(what),
                     escaped(label));
}

std::string base64(std::string_view bytes) {
  std::string text(4 * ((bytes.size() + 2) / 3) + 1, '\0');  // the function ends with a zero
  const int length =
      EVP_EncodeBlock(reinterpret_cast<unsigned char*>(text.data()),
                      reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<int>(bytes.size()));
  text.resize(static_cast<std::size_t>(length));
  return text;
}

std::string policy_hash(std::string_view content) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int length = 0;
  EVP_Digest(content.data(), content.size(), digest.data(), &length, EVP_sha256(), nullptr);
  return "sha256-" + base64({reinterpret_cast<const char*>(digest.data()), length});
}

}  // namespace joulepress::tools::html
