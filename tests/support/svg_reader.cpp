#include "tests/support/svg_reader.hpp"

#include <doctest/doctest.h>

#include "tools/page/svg.hpp"

namespace joulepress::test {
namespace {

std::string plain(std::string text) {
  for (const auto& [code, sign] : std::vector<std::pair<std::string, std::string>>{
           {"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}})
    for (std::size_t at = 0; (at = text.find(code, at)) != std::string::npos; at += sign.size())
      text.replace(at, code.size(), sign);
  return text;
}

}  // namespace

std::vector<Element> parse(const std::string& file) {
  std::vector<Element> elements;
  std::vector<std::size_t> open;
  std::size_t at = file.find("?>") + 2;
  while ((at = file.find('<', at)) != std::string::npos) {
    const std::size_t end = file.find('>', at);
    REQUIRE(end != std::string::npos);
    std::string tag = file.substr(at + 1, end - at - 1);
    REQUIRE(tag.find('<') == std::string::npos);
    if (tag[0] == '/') {
      REQUIRE(!open.empty());
      REQUIRE(elements[open.back()].tag == tag.substr(1));
      open.pop_back();
    } else {
      Element element;
      const bool closed = tag.back() == '/';
      if (closed) tag.pop_back();
      std::size_t k = tag.find(' ');
      element.tag = tag.substr(0, k);
      while (k != std::string::npos && k < tag.size()) {
        const std::size_t equals = tag.find("=\"", k), quote = tag.find('"', equals + 2);
        REQUIRE(equals != std::string::npos);
        REQUIRE(quote != std::string::npos);
        const std::string name = tag.substr(k + 1, equals - k - 1);
        REQUIRE(element.attributes.count(name) == 0);
        element.attributes[name] = plain(tag.substr(equals + 2, quote - equals - 2));
        k = quote + 1 < tag.size() ? quote + 1 : std::string::npos;
      }
      for (const std::size_t parent : open)
        if (elements[parent].attributes.count("data-view")) element.view = elements[parent].attributes;
      if (!closed) {
        element.text = plain(file.substr(end + 1, file.find('<', end) - end - 1));
        open.push_back(elements.size());
      }
      elements.push_back(element);
    }
    at = end;
  }
  REQUIRE(open.empty());
  return elements;
}

Box box_of(const Element& text) {
  const double height = 0.72 * text.number("font-size"), x = text.number("x"), y = text.number("y");
  const double width = tools::svg::text_width(text.text, height, text.attributes.count("font-weight") > 0);
  const std::string anchor = text.attributes.at("text-anchor");
  const double x0 = anchor == "start" ? x : anchor == "middle" ? x - 0.5 * width : x - width;
  return {x0, y - height, x0 + width, y};
}

std::vector<std::string> texts(const std::vector<Element>& elements) {
  std::vector<std::string> all;
  for (const Element& e : elements)
    if (e.tag == "text") all.push_back(e.text);
  return all;
}

void check_lettering(const std::vector<Element>& elements) {
  std::vector<Element> words;
  for (const Element& e : elements)
    if (e.tag == "text" && !e.attributes.count("aria-hidden")) words.push_back(e);
  for (std::size_t a = 0; a < words.size(); ++a) {
    const Box one = box_of(words[a]);
    INFO(words[a].text);
    CHECK(one.x0 >= 10.0);
    CHECK(one.x1 <= 200.0);
    CHECK(one.y0 >= 10.0);
    CHECK(one.y1 <= 287.0);
    CHECK(0.72 * words[a].number("font-size") >= 2.199);  // legible on A4
    for (std::size_t b = a + 1; b < words.size(); ++b) {
      const Box other = box_of(words[b]);
      INFO(words[b].text);
      CHECK(!(one.x0 < other.x1 && other.x0 < one.x1 && one.y0 < other.y1 && other.y0 < one.y1));
    }
  }
}

}  // namespace joulepress::test
