// The card as a page.
#include <nlohmann/json.hpp>

#include "tools/html/card.hpp"
#include "tools/html/card_content.hpp"
#include "tools/html/charts.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

std::string language_of(const CardSentence& sentence, const Words& say) {
  return sentence.english && say.language() != Language::english ? " lang=\"en\"" : "";
}

/// Sentences in one paragraph.
std::string running(const std::vector<CardSentence>& sentences, const Words& say) {
  std::string text;
  for (const CardSentence& sentence : sentences)
    text += fmt::format("{}<span{}>{}</span>", text.empty() ? "" : " ", language_of(sentence, say),
                        svg::escaped(sentence.text));
  return text.empty() ? "" : "<p>" + text + "</p>\n";
}

std::string apart(const std::vector<CardSentence>& sentences, const Words& say) {
  std::string text;
  for (const CardSentence& sentence : sentences)
    text += fmt::format("<p{}>{}</p>\n", language_of(sentence, say), svg::escaped(sentence.text));
  return text;
}

std::string listed(const std::vector<CardSentence>& sentences, const Words& say) {
  std::string text;
  for (const CardSentence& sentence : sentences)
    text += fmt::format("<li{}>{}</li>\n", language_of(sentence, say), svg::escaped(sentence.text));
  return text.empty() ? "" : "<ul>\n" + text + "</ul>\n";
}

// On paper; own choice.
constexpr std::size_t long_programme = 8;  ///< lines at their full size
constexpr std::size_t many_columns = 14;   ///< of the panel, with whole words as heads
constexpr std::size_t half_columns = 7;    ///< of the holds, beside the pressure

/// What the style has to make smaller on paper.
std::string classes_of(const CorrectStudy& study, const CardContent& content) {
  std::string classes = study.completed ? "sheet card" : "sheet card tried";
  if (study.programme.size() > long_programme) classes += " long";
  for (const CardSection& section : content.sections) {
    const std::size_t columns = section.table ? section.table->columns.size() : 0;
    if (section.id == "panel" && columns > many_columns) classes += " many";
    if (section.id == "gets" && columns > half_columns) classes += " ranged";
  }
  return classes;
}

std::string table_of(const CardTable& given) {
  Table table{given.id, "", given.columns, given.rows};
  table.numbers = true;
  return html::table(table);
}

std::string section_of(const CardSection& given, const Words& say) {
  return section(given.id, given.heading,
                 apart(given.above, say) + (given.table ? table_of(*given.table) : "") +
                     listed(given.list, say) + running(given.below, say));
}

/// Loud, and before everything else.
std::string alarm(const CardContent& content, const Words& say) {
  if (content.alarm.empty()) return {};
  return fmt::format("<div class=\"alarm\" role=\"alert\">\n<p><strong>{}</strong></p>\n{}</div>\n",
                     svg::escaped(content.alarm), running(content.alarm_reasons, say));
}

}  // namespace

std::string card_page(const CorrectStudy& study, const Words& say) {
  const CardContent content = card_content(study, say);
  std::string body = alarm(content, say) + running(content.facts, say);
  for (const CardSection& section : content.sections) body += section_of(section, say);
  body += "<div class=\"quiet\">" + running(content.foot, say) + "</div>\n";
  Document document{content.title, content.below,
                    fmt::format("<div class=\"{}\">\n{}</div>\n", classes_of(study, content), body)};
  document.charts = false;
  return html_of(document, say, {{"language", say.tag()}, {"words", script_words(say)}});
}

}  // namespace joulepress::tools::html
