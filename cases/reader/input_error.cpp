#include "cases/reader/input_error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <sstream>
#include <tuple>

#include "cases/reader/keys.hpp"

namespace joulepress::cases {
namespace {

/// Levenshtein distance with transposed neighbours counted once.
std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  }
  return d[a.size()][b.size()];
}

/// Characters on the screen of what stood at a place: a quoted text with its quotes, never beyond the line.
std::string mark_under(const std::string& line, const Place& place) {
  const auto from = static_cast<std::size_t>(std::max(place.column, 1) - 1);
  if (from >= line.size()) return "^";
  std::size_t to = from + static_cast<std::size_t>(place.length);
  if (line[from] == '"' || line[from] == '\'') {
    const std::size_t quote = line.find(line[from], from + 1);
    if (quote != std::string::npos) to = quote + 1;
  }
  std::string mark;
  for (std::size_t k = from; k < std::min(to, line.size()); ++k)
    if ((static_cast<unsigned char>(line[k]) & 0xC0u) != 0x80u) mark += '^';
  return mark;
}

/// As wide on the screen as the line before the column (columns count bytes; an umlaut has two; tabs stay).
std::string room_before(const std::string& line, int column) {
  std::string room;
  for (std::size_t k = 0; k + 1 < static_cast<std::size_t>(std::max(column, 1)); ++k) {
    const auto byte = static_cast<unsigned char>(k < line.size() ? line[k] : ' ');
    if ((byte & 0xC0u) != 0x80u) room += byte == '\t' ? '\t' : ' ';
  }
  return room;
}

}  // namespace

bool Written::has(std::string_view key) const {
  return std::any_of(values.begin(), values.end(), [key](const auto& value) { return value.first == key; });
}

const Place& Written::at(std::string_view key) const {
  for (const auto& [name, where] : values)
    if (name == key) return where;
  return place;
}

std::string Written::path_of(std::string_view key) const {
  return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}

void ErrorList::remember(const std::string& file, const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    lines.push_back(line);
  }
  lines_[file] = std::move(lines);
}

void ErrorList::add(const Place& place, std::string key, std::string problem, std::string remedy) {
  errors_.push_back({place, std::move(key), std::move(problem), std::move(remedy)});
}

std::string ErrorList::text_of(const InputError& error) const {
  std::string text = error.place.line > 0
                         ? fmt::format("{}:{}:{}", error.place.file, error.place.line, error.place.column)
                         : error.place.file;
  text += error.key.empty() ? "  error\n" : fmt::format("  error in {}\n", error.key);
  const auto lines = lines_.find(error.place.file);
  const auto number = static_cast<std::size_t>(std::max(error.place.line, 0));
  if (lines != lines_.end() && number > 0 && number <= lines->second.size()) {
    const std::string& line = lines->second[number - 1];
    text += fmt::format("{:>6} | {}\n", number, line);
    text +=
        fmt::format("       | {}{}\n", room_before(line, error.place.column), mark_under(line, error.place));
  }
  text += fmt::format("  {}\n", error.problem);
  if (!error.remedy.empty()) text += fmt::format("  {}\n", error.remedy);
  if (const Key* key = error.key.empty() ? nullptr : key_at(error.key))
    text += fmt::format("  See: joulepress explain \"{}\"\n", address_of(*key));
  return text;
}

void ErrorList::throw_if_any() const {
  if (errors_.empty()) return;
  std::vector<InputError> sorted = errors_;
  std::stable_sort(sorted.begin(), sorted.end(), [](const InputError& a, const InputError& b) {
    return std::tie(a.place.file, a.place.line, a.place.column) <
           std::tie(b.place.file, b.place.line, b.place.column);
  });
  constexpr std::size_t shown_max = 20;
  std::string text;
  for (std::size_t k = 0; k < std::min(sorted.size(), shown_max); ++k) text += text_of(sorted[k]) + "\n";
  if (sorted.size() > shown_max) text += fmt::format("... and {} more.\n", sorted.size() - shown_max);
  text += sorted.size() == 1 ? "1 error; nothing was written.\n"
                             : fmt::format("{} errors; nothing was written.\n", sorted.size());
  throw InputErrors(std::move(sorted), text);
}

std::string nearest(const std::string& word, std::span<const std::string> known) {
  std::string best;
  if (word.size() <= 2) return {};  // nearly every short word is near to every other
  std::size_t least = (word.size() <= 4 ? 1 : std::max<std::size_t>(2, word.size() / 3)) + 1;
  for (const std::string& candidate : known) {
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

std::string listed(std::span<const std::string> words) {
  std::string text;
  for (const std::string& word : words)
    if (!word.empty()) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string suggestion(const std::string& word, std::span<const std::string> known) {
  if (known.empty()) return "None is defined.";
  const std::string near = nearest(word, known);
  const std::string list = fmt::format("Known: {}.", listed(known));
  return near.empty() ? list : fmt::format("Did you mean \"{}\"?  {}", near, list);
}

}  // namespace joulepress::cases
