// All that a page says, in English and German: one table (words*.cpp),
// looked up by the English.
//
// Sentences that are made elsewhere with numbers in them (warnings) are not in it; a German page shows them
// in English and marks their language.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>

namespace joulepress::tools::html {

enum class Language { english, german };

/// "english", "en", "german", "de"; nothing for other words.
std::optional<Language> language_of(std::string_view word);

class Words {
 public:
  explicit Words(Language language) : language_(language) {}

  Language language() const { return language_; }
  const char* tag() const;  ///< BCP 47, "en" or "de"

  /// The text of the table, with its {} filled in.  Throws std::logic_error when the table has none.
  template <class... Values>
  std::string operator()(std::string_view english, const Values&... values) const {
    return fmt::format(fmt::runtime(text(english)), values...);
  }
  /// As it stands in the table, {} and all; throws as above.
  std::string_view text(std::string_view english) const;
  /// The same of a sentence from elsewhere; nothing when the table does not have it.
  std::optional<std::string_view> known(std::string_view english) const;

  char decimal_mark() const { return language_ == Language::german ? ',' : '.'; }
  /// Fixed decimals, with the comma where the language has one.
  std::string number(double value, int decimals = 0) const;
  std::string signed_number(double value, int decimals = 0) const;  ///< "+12", "-3"; a true minus sign
  std::string celsius(double kelvin, int decimals = 0) const;       ///< "1350 °C"

 private:
  Language language_;
};

}  // namespace joulepress::tools::html
