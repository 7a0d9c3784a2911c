#include "tools/page/title_block.hpp"

#include <algorithm>

#include "tools/page/dimensions.hpp"
#include "tools/page/section.hpp"

namespace joulepress::tools::page {
namespace {

constexpr double heading_height = 10.8, pitch = 4.6;

}  // namespace

double height_of(const TitleBlock& block) {
  return heading_height + pitch * static_cast<double>(block.lines.size());
}

void draw_title_block(svg::Document& doc, const TitleBlock& block) {
  const double h = height_of(block), w = sheet_width - 2 * margin;
  const double x = margin, y = sheet_height - margin - h, middle = y + 0.5 * h;
  const svg::Pen thick{"black", 0.5, "none", ""}, thin{"black", 0.25, "none", ""};
  doc.rectangle({x, margin}, w, sheet_height - 2 * margin, thick);
  doc.rectangle({x, y}, w, h, thick);
  const double split = x + 118;
  doc.line({split, y}, {split, y + h}, thin);
  doc.line({split, middle}, {x + w, middle}, thin);
  doc.line({split + 36, y}, {split + 36, y + h}, thin);
  double height = 3.5;
  while (height > lettering && svg::text_width(block.heading, height, true) > 112)
    height = std::max(lettering, height - 0.3);
  doc.text({x + 3, y + 7}, cut(block.heading, height, 112, true), {height, svg::Anchor::start, 0, true},
           {{"class", "title"}});
  double line = y + 12.4;
  for (const std::string& text : block.lines) {
    doc.text({x + 3, line}, cut(text, lettering, 112), {lettering});
    line += pitch;
  }
  doc.text({split + 2, y + 6.2}, "scale " + scale_text(block.scale), {2.5, svg::Anchor::start, 0, true},
           {{"class", "scale"}});
  doc.text({split + 38, y + 6.2}, "dimensions in mm", {lettering});
  doc.text({split + 2, middle + 6.2}, block.view, {lettering});
  doc.text({split + 38, middle + 6.2}, "A4, joulepress", {lettering});
}

}  // namespace joulepress::tools::page
