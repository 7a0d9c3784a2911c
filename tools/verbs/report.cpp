#include <fmt/format.h>

#include "tools/html/page.hpp"
#include "tools/html/pictures.hpp"
#include "tools/page/png.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

/// Width and height of a PNG, which stand in its first chunk (ISO/IEC 15948, 11.2.2).
std::pair<unsigned, unsigned> size_of_png(const std::string& png) {
  const auto number = [&png](std::size_t at) {
    unsigned value = 0;
    for (std::size_t k = 0; k < 4; ++k) value = 256 * value + static_cast<unsigned char>(png.at(at + k));
    return value;
  };
  return {number(16), number(20)};
}

void write_pictures(const std::filesystem::path& folder, const html::Matter& matter) {
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  if (problem)
    throw FileError(fmt::format("The folder \"{}\" cannot be made: {}.", folder.string(), problem.message()));
  for (const html::Picture& picture : html::pictures_of(matter)) {
    const std::string png = png_of(picture.svg);
    const auto [width, height] = size_of_png(png);
    write_whole(folder / (picture.name + ".svg"), picture.svg);
    write_whole(folder / (picture.name + ".png"), png);
    fmt::print("{}  {:.0f} x {:.0f} mm, as PNG {} x {} dots at 200 dpi\n",
               (folder / (picture.name + ".svg")).string(), width / 200.0 * 25.4, height / 200.0 * 25.4,
               width, height);
  }
}

}  // namespace

void write_report(const std::filesystem::path& folder, html::Language language) {
  write_whole(folder / "report.html", html::page_of(html::matter_of(folder, language)));
}

int report_results(const ReportRequest& request) {
  for (const auto& [file, verb] : {std::pair{"vary.json", "vary"}, {"bound.json", "bound"}})
    if (std::filesystem::exists(request.folder / file)) {
      fmt::print(
          stderr,
          "\"{}\" is the folder of a study; its page comes from asking `{}` once more with --out on it, "
          "which runs nothing again.\n",
          request.folder.string(), verb);
      return bad_input;
    }
  try {
    const html::Matter matter = html::matter_of(request.folder, request.language);
    write_whole(request.folder / "report.html", html::page_of(matter));
    if (request.pictures) write_pictures(request.folder / "pictures", matter);
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
  fmt::print("{}\n", (request.folder / "report.html").string());
  return done;
}

}  // namespace joulepress::tools
