#include "cases/many/variant.hpp"

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"

namespace joulepress::cases {

SourceNode resolved_document(const Case& c) {
  ErrorList errors;
  SourceNode document = parse_document(c.file + " (resolved)", resolved_case(c), errors);
  errors.throw_if_any();
  return document;
}

Variant variant_of(const SourceNode& resolved, const std::vector<Edit>& edits,
                   const std::filesystem::path& folder) {
  try {
    ErrorList errors;
    const SourceNode document = edited(resolved, edits, errors);
    errors.throw_if_any();
    const Case c = read_case(document, folder, errors);
    build_problem(c, errors);
    errors.throw_if_any();
    return {resolved_case(c), {}};
  } catch (const InputErrors& problem) {
    std::string why;
    for (const InputError& error : problem.errors()) {
      if (!why.empty()) why += " ";
      why += error.problem;
      if (!error.remedy.empty()) why += " " + error.remedy;
    }
    return {{}, why};
  }
}

}  // namespace joulepress::cases
