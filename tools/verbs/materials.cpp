#include <fmt/format.h>

#include "cases/reader/material_reader.hpp"
#include "tools/page/material_sheet.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/store/files.hpp"
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

int show_material(const std::string& name, const std::filesystem::path& out) {
  const std::filesystem::path file = file_of(name);
  if (file.empty()) {
    fmt::print(stderr, "There is no material \"{}\". {}\n", name,
               cases::suggestion(name, cases::material_names()));
    return bad_input;
  }
  const materials::Material material = cases::read_material(file);
  fmt::print("{}", material_page(material));
  if (out.empty()) return done;
  write_whole(out, material_sheet(material));
  fmt::print("\nPlots in {}.\n", out.string());
  return done;
}

}  // namespace joulepress::tools
