#include <fmt/format.h>

#include "tools/reference/explain.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int explain_key(const std::string& asked) {
  if (const auto text = explain(asked)) {
    fmt::print("{}", *text);
    return done;
  }
  fmt::print(stderr, "There is no key \"{}\". {}\n", asked, explain_suggestion(asked));
  return bad_input;
}

int print_reference() {
  fmt::print("{}", case_reference());
  return done;
}

int print_schema() {
  fmt::print("{}", case_schema());
  return done;
}

}  // namespace joulepress::tools
