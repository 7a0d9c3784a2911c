#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/page/drawing.hpp"
#include "tools/page/png.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

int draw_case(const DrawRequest& request) {
  const std::string ending = request.out.extension().string();
  if (ending != ".svg" && ending != ".png") {
    fmt::print(stderr, "\"{}\" ends neither in .svg nor in .png; name the file with one of them.\n",
               request.out.string());
    return bad_input;
  }
  const cases::Case c = cases::read_case(request.case_file);
  const std::string svg =
      draw_stack(c, cases::build_pressed_problem(c), {request.mesh, request.case_file.filename().string()});
  write_whole(request.out, ending == ".svg" ? svg : png_of(svg));
  return done;
}

}  // namespace joulepress::tools
