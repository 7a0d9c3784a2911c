// One kind of error for everything wrong with what a user wrote: where, what was read, what is allowed, the
// nearest valid word, what to do.  All errors of a case come in one pass, sorted by place.
#pragma once

#include <map>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/case.hpp"

namespace joulepress::cases {

struct InputError {
  Place place;
  std::string key;      ///< path of the key, e.g. column[2].height; empty at the top
  std::string problem;  ///< what was read and why it cannot be
  std::string remedy;   ///< what is allowed and what to do
};

/// Thrown with everything that is wrong; what() is the full text for the screen.
class InputErrors : public std::runtime_error {
 public:
  InputErrors(std::vector<InputError> errors, const std::string& text)
      : std::runtime_error(text), errors_(std::move(errors)) {}
  const std::vector<InputError>& errors() const { return errors_; }

 private:
  std::vector<InputError> errors_;
};

/// Collects errors while files are read and checked.
class ErrorList {
 public:
  /// Keeps the lines of a file for excerpts.
  void remember(const std::string& file, const std::string& text);
  void add(const Place& place, std::string key, std::string problem, std::string remedy = {});
  bool empty() const { return errors_.empty(); }
  std::size_t size() const { return errors_.size(); }
  /// Throws InputErrors when there is something to report.
  void throw_if_any() const;

 private:
  std::string text_of(const InputError& error) const;
  std::vector<InputError> errors_;
  std::map<std::string, std::vector<std::string>> lines_;
};

/// The word among `known` nearest to `word` (edit distance at most 2, or a third of its length; 1 in short
/// words, none in words of one or two letters); empty: none.
std::string nearest(const std::string& word, std::span<const std::string> known);

/// "a, b, c" for messages.
std::string listed(std::span<const std::string> words);

/// "Did you mean \"x\"?  Known: ..." as far as it helps.
std::string suggestion(const std::string& word, std::span<const std::string> known);

}  // namespace joulepress::cases
