#include <fmt/format.h>

#include "cases/reader/material_reader.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

/// A shipped material, or one in a file of its own.
std::filesystem::path file_of(const std::string& name) {
  if (std::filesystem::is_regular_file(name)) return name;
  return cases::find_material(name, std::filesystem::current_path());
}

}  // namespace

int list_materials() {
  std::vector<materials::Material> all;
  for (const std::filesystem::path& file : cases::shipped_materials())
    all.push_back(cases::read_material(file));
  fmt::print("{}", materials_table(all));
  return done;
}

int show_material(const std::string& name) {
  const std::filesystem::path file = file_of(name);
  if (file.empty()) {
    fmt::print(stderr, "There is no material \"{}\". {}\n", name,
               cases::suggestion(name, cases::material_names()));
    return bad_input;
  }
  fmt::print("{}", material_page(cases::read_material(file)));
  return done;
}

}  // namespace joulepress::tools
