// What an SVG of ours holds, read back: elements, their numbers, and where letters stand.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <regex>
#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::test {

struct Text {
  std::string words;
  tools::figures::Box box;
};

inline double attribute(const std::string& tag, const std::string& name) {
  std::smatch found;
  REQUIRE(std::regex_search(tag, found, std::regex(" " + name + "=\"([-0-9.]+)\"")));
  return std::stod(found[1]);
}

inline std::vector<std::string> tags(const std::string& file, const std::string& kind,
                                     const std::string& with) {
  std::vector<std::string> list;
  const std::regex tag("<" + kind + " [^>]*>");
  for (std::sregex_iterator k(file.begin(), file.end(), tag), end; k != end; ++k)
    if (k->str().find(with) != std::string::npos) list.push_back(k->str());
  return list;
}

/// Whether numbers on the page [mm] follow those of the data by one straight line, which it has to do over
/// all of them: y = a x + b by the two ends of the data, then every other one.
inline void check_straight(const std::vector<double>& data, const std::vector<double>& page) {
  REQUIRE(data.size() == page.size());
  REQUIRE(data.size() >= 2);
  const auto [low, high] = std::minmax_element(data.begin(), data.end());
  REQUIRE(*high > *low);
  const double from = page[static_cast<std::size_t>(low - data.begin())],
               to = page[static_cast<std::size_t>(high - data.begin())];
  CHECK(std::abs(to - from) > 5.0);
  for (std::size_t k = 0; k < data.size(); ++k)
    CHECK(std::abs(page[k] - (from + (to - from) * (data[k] - *low) / (*high - *low))) < 1e-3);
}

inline std::vector<double> attributes(const std::vector<std::string>& elements, const std::string& name) {
  std::vector<double> values;
  for (const std::string& element : elements) values.push_back(attribute(element, name));
  return values;
}

/// All texts but the rims below others; turned ones stand upright.
inline std::vector<Text> texts_of(const std::string& file) {
  std::vector<Text> texts;
  const std::regex element("(<text [^>]*>)([^<]*)</text>");
  for (std::sregex_iterator k(file.begin(), file.end(), element), end; k != end; ++k) {
    const std::string tag = (*k)[1],
                      words = std::regex_replace((*k)[2].str(), std::regex("&[a-z#0-9]+;"), "x");
    if (tag.find("aria-hidden") != std::string::npos) continue;
    const double height = 0.72 * attribute(tag, "font-size"), x = attribute(tag, "x"),
                 y = attribute(tag, "y");
    const double width = tools::svg::text_width(words, height, tag.find("bold") != std::string::npos);
    const bool middle = tag.find("\"middle\"") != std::string::npos,
               end_anchor = tag.find("\"end\"") != std::string::npos;
    const double before = middle ? 0.5 * width : end_anchor ? width : 0.0;
    if (tag.find("rotate") == std::string::npos)
      texts.push_back({words, {x - before, y - height, x - before + width, y}});
    else
      texts.push_back({words, {x - height, y - 0.5 * width, x, y + 0.5 * width}});
  }
  return texts;
}

/// No text meets another or leaves the page; colours follow the lettering around; nothing that a policy
/// forbids.
inline void check_lettering(const std::string& file) {
  REQUIRE(!file.empty());
  CHECK(file.find("style=") == std::string::npos);
  CHECK(file.find("currentColor") != std::string::npos);
  std::smatch page;
  REQUIRE(std::regex_search(file, page, std::regex("viewBox=\"0 0 ([0-9.]+) ([0-9.]+)\"")));
  const double width = std::stod(page[1]), height = std::stod(page[2]);
  const std::vector<Text> texts = texts_of(file);
  for (std::size_t k = 0; k < texts.size(); ++k) {
    INFO(texts[k].words);
    CHECK(texts[k].box.x0 >= 0.0);
    CHECK(texts[k].box.y0 >= 0.0);
    CHECK(texts[k].box.x1 <= width);
    CHECK(texts[k].box.y1 <= height);
    for (std::size_t other = 0; other < k; ++other) {
      INFO(texts[other].words);
      CHECK(!texts[k].box.meets(texts[other].box));
    }
  }
}

}  // namespace joulepress::test
