// What stands on the card, built once and shown as text and as a page (card.hpp).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tools/html/words.hpp"
#include "tools/study/correct_study.hpp"

namespace joulepress::tools::html {

struct CardSentence {
  std::string text;
  bool english = false;  ///< made elsewhere; a page in another language marks it
};

struct CardTable {
  std::string id;
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;
  std::vector<std::size_t> left = {};  ///< columns of words; numbers stand to the right
  std::size_t stays = 1;               ///< first columns, repeated where text breaks the table into parts
};

struct CardSection {
  std::string id, heading;
  std::vector<CardSentence> above;      ///< its table
  std::optional<CardTable> table = {};  ///< without rows there is none
  std::vector<CardSentence> list = {}, below = {};

  bool empty() const { return above.empty() && !table && below.empty() && list.empty(); }
};

struct CardContent {
  std::string title, below;                 ///< a line below the title
  std::string alarm;                        ///< a word or two; empty: there is none
  std::vector<CardSentence> alarm_reasons;  ///< what is said with it
  std::vector<CardSentence> facts;          ///< press, sensor, what is meant, how it was verified
  std::vector<CardSection> sections;        ///< none of them empty
  std::vector<CardSentence> foot;
};

/// A hold whose powder is farther than this from the wish is missed [K]; own choice.
inline constexpr double missed_K = 2.0;
/// The same of a relative density; own choice.
inline constexpr double missed_density = 0.005;

CardContent card_content(const CorrectStudy& study, const Words& say);

/// Whether a hold, or the density at the end, is missed.
bool is_missed(const CorrectStudy& study);

// Its sentences (card_sentences.cpp)
// -------------------------------------------------------------------------

/// Every hold that is missed, and a density; empty: none.
std::vector<CardSentence> missed_sentences(const CorrectStudy& study, const Words& say);
/// Which limit kept the programme from the wish, and when.
std::vector<CardSentence> binding_sentences(const CorrectStudy& study, const Words& say);
/// Deviation over all, and how the powder follows in each ramp.
std::vector<CardSentence> near_sentences(const CorrectStudy& study, const Words& say);
/// When to stop.
std::vector<CardSentence> stop_sentences(const CorrectStudy& study, const Words& say);

// Words and numbers of a card (card_words.cpp)
// ---------------------------------------------------------------

/// A text of the case without characters that control a terminal, a printer or the direction of reading, and
/// without what is not UTF-8; white space in it is single blanks.
std::string harmless(std::string_view text);

/// Degrees Celsius without the unit: whole, or with a tenth where it is not.
std::string entered_celsius(double kelvin, const Words& say);
/// A number or "–".
std::string number_or_dash(double value, int decimals, const Words& say);
/// Whole degrees Celsius with the unit, or "–".
std::string whole_celsius(double kelvin, const Words& say);
/// Of a relative density, in percent without the sign: "98.3", and not "100.0" while pores are left.
std::string percent_dense(double density, const Words& say);

/// Whether the chamber heats, and no current.
bool by_furnace(const CorrectStudy& study);

}  // namespace joulepress::tools::html
