// The card as plain text.
#include <algorithm>
#include <array>
#include <cctype>

#include "tools/html/card.hpp"
#include "tools/html/card_content.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

constexpr std::size_t columns = 78;
constexpr std::size_t gap = 2;                              ///< between the columns of a table
constexpr std::size_t widest_words = 24, widest_head = 12;  ///< of a cell, of a word in a head; own choice

/// Characters of a text; each takes one column.
std::size_t length_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xc0) != 0x80; }));
}

/// The first `count` characters.
std::string_view first_of(std::string_view text, std::size_t count) {
  std::size_t at = 0;
  while (at < text.size() && count-- > 0) at += std::max<std::size_t>(1, svg::utf8_length(text, at));
  return text.substr(0, at);
}

/// What stays with the number before it.
bool is_unit(std::string_view word) {
  static constexpr std::array units{"K", "A", "V", "%", "kW", "mm", "min", "s"};
  const std::string_view bare = word.substr(0, word.find_last_not_of(".,:;)") + 1);
  return bare.starts_with("°C") || std::find(units.begin(), units.end(), bare) != units.end();
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string_view word = text.substr(at, end - at);
    if (!words.empty() && is_unit(word) && std::isdigit(static_cast<unsigned char>(words.back().back())))
      words.back() += ' ' + std::string(word);
    else if (!word.empty())
      words.emplace_back(word);
    at = end + 1;
  }
  return words;
}

/// Broken at blanks, and a word that is too long where the line ends; at least one line.
std::vector<std::string> lines_of(std::string_view text, std::size_t width) {
  std::vector<std::string> lines;
  std::string line;
  for (std::string word : words_of(text)) {
    if (!line.empty() && length_of(line) + 1 + length_of(word) <= width) {
      line += ' ' + word;
      continue;
    }
    if (!line.empty()) lines.push_back(std::move(line));
    while (length_of(word) > width) {
      const std::string_view piece = first_of(word, width);
      lines.emplace_back(piece);
      word.erase(0, piece.size());
    }
    line = std::move(word);
  }
  if (!line.empty() || lines.empty()) lines.push_back(std::move(line));
  return lines;
}

std::string hanging(std::string_view text, std::string_view first, std::size_t indent) {
  std::string out;
  for (const std::string& line : lines_of(text, columns - indent))
    out += (out.empty() ? std::string(first) : std::string(indent, ' ')) + line + "\n";
  return out;
}

std::string paragraph_of(std::string_view text) {
  return hanging(text, "", 0);
}

std::string underlined(std::string_view heading, char under) {
  const std::vector<std::string> lines = lines_of(heading, columns);
  std::string out;
  std::size_t longest = 0;
  for (const std::string& line : lines) {
    out += line + "\n";
    longest = std::max(longest, length_of(line));
  }
  return out + std::string(longest, under) + "\n";
}

// Tables
// -----------------------------------------------------------------------------------------------------

bool is_left(const CardTable& table, std::size_t column) {
  return std::find(table.left.begin(), table.left.end(), column) != table.left.end();
}

std::size_t width_of(const CardTable& table, std::size_t column) {
  std::size_t width = 1;
  for (const std::string& word : words_of(table.columns[column]))
    width = std::max(width, std::min(length_of(word), widest_head));
  for (const std::vector<std::string>& row : table.rows)
    width = std::max(width, std::min(length_of(row[column]), widest_words));
  return width;
}

/// Columns side by side as far as they go; the first ones begin every part.
std::vector<std::vector<std::size_t>> parts_of(const CardTable& table,
                                               const std::vector<std::size_t>& widths) {
  std::vector<std::size_t> part;
  std::size_t used = 0;
  const auto add = [&](std::size_t c) {
    used += widths[c] + (part.empty() ? 0 : gap);
    part.push_back(c);
  };
  const auto begin = [&] {
    part.clear();
    used = 0;
    for (std::size_t c = 0; c < table.stays; ++c) add(c);
  };
  std::vector<std::vector<std::size_t>> parts;
  begin();
  for (std::size_t c = table.stays; c < table.columns.size(); ++c) {
    if (used + gap + widths[c] > columns && part.size() > table.stays) {
      parts.push_back(part);
      begin();
    }
    add(c);
  }
  parts.push_back(part);
  return parts;
}

/// One row, in as many lines as its highest cell; heads stand at their bottom, cells at their top.
std::string row_text(const CardTable& table, const std::vector<std::string>& cells,
                     const std::vector<std::size_t>& part, const std::vector<std::size_t>& widths,
                     bool head) {
  std::vector<std::vector<std::string>> broken;
  std::size_t height = 1;
  for (const std::size_t c : part) {
    broken.push_back(lines_of(cells[c], widths[c]));
    height = std::max(height, broken.back().size());
  }
  std::string out;
  for (std::size_t k = 0; k < height; ++k) {
    std::string line;
    for (std::size_t p = 0; p < part.size(); ++p) {
      const std::size_t above = head ? height - broken[p].size() : 0;
      const std::string text = k >= above && k - above < broken[p].size() ? broken[p][k - above] : "";
      const std::string blanks(widths[part[p]] - length_of(text), ' ');
      line +=
          (p == 0 ? "" : std::string(gap, ' ')) + (is_left(table, part[p]) ? text + blanks : blanks + text);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

std::string table_text(const CardTable& table) {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) widths.push_back(width_of(table, c));
  std::string out;
  for (const std::vector<std::size_t>& part : parts_of(table, widths)) {
    if (!out.empty()) out += "\n";
    out += row_text(table, table.columns, part, widths, true);
    std::size_t wide = gap * (part.size() - 1);
    for (const std::size_t c : part) wide += widths[c];
    out += std::string(wide, '-') + "\n";
    for (const std::vector<std::string>& row : table.rows) out += row_text(table, row, part, widths, false);
  }
  return out;
}

std::string section_text(const CardSection& section) {
  std::string out = "\n" + underlined(section.heading, '-');
  for (const CardSentence& sentence : section.above) out += paragraph_of(sentence.text);
  if (section.table) out += table_text(*section.table);
  for (const CardSentence& sentence : section.list) out += hanging(sentence.text, "- ", 2);
  for (const CardSentence& sentence : section.below) out += paragraph_of(sentence.text);
  return out;
}

}  // namespace

std::string card_text(const CorrectStudy& study, const Words& say) {
  const CardContent content = card_content(study, say);
  std::string out = underlined(content.title, '=') + paragraph_of(content.below);
  if (!content.alarm.empty()) {
    out += "\n" + hanging(content.alarm, "*** ", 4);
    for (const CardSentence& sentence : content.alarm_reasons) out += hanging(sentence.text, "    ", 4);
  }
  out += "\n";
  for (const CardSentence& sentence : content.facts) out += paragraph_of(sentence.text);
  for (const CardSection& section : content.sections) out += section_text(section);
  out += "\n";
  for (const CardSentence& sentence : content.foot) out += paragraph_of(sentence.text);
  constexpr std::string_view fixed_blank = "\u00a0";  // has done its work
  for (std::size_t at = out.find(fixed_blank); at != std::string::npos; at = out.find(fixed_blank, at))
    out.replace(at, fixed_blank.size(), " ");
  return out;
}

}  // namespace joulepress::tools::html
