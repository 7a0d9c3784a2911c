#include "tools/page/svg.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <stdexcept>

namespace joulepress::tools::svg {
namespace {

// Height of the capitals over the font size: 0.729 in DejaVu Sans, 0.716 in the metric relatives of Arial.
constexpr double cap_height = 0.72;

// Advance widths of DejaVu Sans, U+0020 to U+007E, thousandths of the font size (from the font's own table).
constexpr std::array<int, 95> advance{
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};

std::string attributes(const Attributes& more) {
  std::string text;
  for (const auto& [name, value] : more) text += fmt::format(" {}=\"{}\"", name, escaped(value));
  return text;
}

std::string pen_text(const Pen& pen) {
  std::string text = fmt::format(" fill=\"{}\" stroke=\"{}\"", escaped(pen.fill), escaped(pen.stroke));
  if (pen.stroke != "none") text += fmt::format(" stroke-width=\"{}\"", number(pen.width));
  if (!pen.dashes.empty()) text += fmt::format(" stroke-dasharray=\"{}\"", escaped(pen.dashes));
  return text;
}

std::string points_text(const std::vector<Point>& points) {
  std::string text;
  for (const Point& p : points)
    text += fmt::format("{}{},{}", text.empty() ? "" : " ", number(p.x), number(p.y));
  return text;
}

}  // namespace

std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[k]); };
  const unsigned char first = byte(at);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xc2 && first < 0xe0   ? 2
                             : first >= 0xe0 && first < 0xf0 ? 3
                             : first >= 0xf0 && first < 0xf5 ? 4
                                                             : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t k = at + 1; k < at + length; ++k)
    if ((byte(k) & 0xc0) != 0x80) return 0;
  const unsigned char second = byte(at + 1);
  // Overlong forms, surrogates, beyond U+10FFFF; U+FFFE and U+FFFF are not characters of XML.
  if ((first == 0xe0 && second < 0xa0) || (first == 0xed && second >= 0xa0) ||
      (first == 0xf0 && second < 0x90) || (first == 0xf4 && second >= 0x90))
    return 0;
  if (first == 0xef && second == 0xbf && byte(at + 2) >= 0xbe) return 0;
  return length;
}

std::string number(double value) {
  if (!std::isfinite(value)) throw std::logic_error("a coordinate of the drawing is not a number");
  std::string text = fmt::format("{:.4f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string escaped(std::string_view text) {
  std::string result;
  for (std::size_t k = 0; k < text.size();) {
    const std::size_t length = utf8_length(text, k);
    if (length == 1) {
      switch (const char letter = text[k]) {
        case '&':
          result += "&amp;";
          break;
        case '<':
          result += "&lt;";
          break;
        case '>':
          result += "&gt;";
          break;
        case '"':
          result += "&quot;";
          break;
        case '\'':
          result += "&#39;";
          break;
        case '\t':
        case '\n':
        case '\r':
          result += ' ';
          break;
        default:
          result += static_cast<unsigned char>(letter) < 0x20 ? std::string("\xef\xbf\xbd")
                                                              : std::string(1, letter);
      }
    } else {
      result += length == 0 ? std::string_view("\xef\xbf\xbd") : text.substr(k, length);
    }
    k += length == 0 ? 1 : length;
  }
  return result;
}

double text_width(std::string_view text, double height, bool bold) {
  int thousandths = 0;
  for (std::size_t k = 0; k < text.size();) {
    const unsigned char letter = static_cast<unsigned char>(text[k]);
    thousandths += letter >= 0x20 && letter < 0x7f ? advance[letter - 0x20u] : 800;
    const std::size_t length = utf8_length(text, k);
    k += length == 0 ? 1 : length;
  }
  return 1e-3 * thousandths * height / cap_height * (bold ? 1.15 : 1.0);
}

Document::Document(double width_mm, double height_mm, std::string_view title, std::string_view description)
    : head_(fmt::format("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" "
                        "height=\"{1}mm\" viewBox=\"0 0 {0} {1}\" role=\"img\" "
                        "font-family=\"Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif\">\n"
                        "<title>{2}</title>\n<desc>{3}</desc>\n",
                        number(width_mm), number(height_mm), escaped(title), escaped(description))) {}

void Document::line(Point a, Point b, const Pen& pen, const Attributes& more) {
  body_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}{}/>\n", number(a.x), number(a.y),
                       number(b.x), number(b.y), pen_text(pen), attributes(more));
}

void Document::rectangle(Point corner, double width, double height, const Pen& pen, const Attributes& more) {
  body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}{}/>\n", number(corner.x),
                       number(corner.y), number(width), number(height), pen_text(pen), attributes(more));
}

void Document::circle(Point centre, double radius, const Pen& pen, const Attributes& more) {
  body_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}{}/>\n", number(centre.x), number(centre.y),
                       number(radius), pen_text(pen), attributes(more));
}

void Document::polyline(const std::vector<Point>& points, const Pen& pen, const Attributes& more) {
  body_ +=
      fmt::format("<polyline points=\"{}\"{}{}/>\n", points_text(points), pen_text(pen), attributes(more));
}

void Document::polygon(const std::vector<Point>& points, const Pen& pen, const Attributes& more) {
  body_ +=
      fmt::format("<polygon points=\"{}\"{}{}/>\n", points_text(points), pen_text(pen), attributes(more));
}

void Document::path(std::string_view commands, const Pen& pen, const Attributes& more) {
  body_ += fmt::format("<path d=\"{}\"{}{}/>\n", escaped(commands), pen_text(pen), attributes(more));
}

void Document::text(Point at, std::string_view text, const Lettering& lettering, const Attributes& more) {
  const char* anchor = lettering.anchor == Anchor::start    ? "start"
                       : lettering.anchor == Anchor::middle ? "middle"
                                                            : "end";
  body_ +=
      fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"{}\"", number(at.x),
                  number(at.y), number(lettering.height / cap_height), anchor, escaped(lettering.colour));
  if (lettering.bold) body_ += " font-weight=\"bold\"";
  if (lettering.angle != 0.0)
    body_ +=
        fmt::format(" transform=\"rotate({} {} {})\"", number(-lettering.angle), number(at.x), number(at.y));
  // The rim is a copy underneath: not every reader knows `paint-order`.
  const std::string opening = body_.substr(body_.rfind("<text"));
  if (lettering.halo)
    body_ += fmt::format(
        " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" aria-hidden=\"true\">"
        "{}</text>\n{}",
        escaped(lettering.halo_colour), number(0.5 * lettering.height), escaped(text), opening);
  body_ += fmt::format("{}>{}</text>\n", attributes(more), escaped(text));
}

void Document::image(Point corner, double width, double height, std::string_view data,
                     const Attributes& more) {
  body_ += fmt::format(
      "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" "
      "xmlns:xlink=\"http://www.w3.org/1999/xlink\" xlink:href=\"{}\"{}/>\n",
      number(corner.x), number(corner.y), number(width), number(height), escaped(data), attributes(more));
}

void Document::open_group(const Attributes& more) {
  body_ += fmt::format("<g{}>\n", attributes(more));
  ++open_groups_;
}

void Document::close_group() {
  if (open_groups_ == 0) throw std::logic_error("no group is open");
  body_ += "</g>\n";
  --open_groups_;
}

void Document::define_hatch(const std::string& id, const Hatch& hatch) {
  const std::string p = number(hatch.pitch), half = number(0.5 * hatch.pitch);
  definitions_ += fmt::format(
      "<pattern id=\"{}\" patternUnits=\"userSpaceOnUse\" width=\"{}\" height=\"{}\" "
      "patternTransform=\"rotate({})\">\n<rect width=\"{}\" height=\"{}\" fill=\"{}\"/>\n",
      escaped(id), p, p, number(-hatch.angle), p, p, escaped(hatch.tint));
  const std::string stroke =
      fmt::format("stroke=\"{}\" stroke-width=\"{}\"", escaped(hatch.colour), number(hatch.width));
  const auto across = [&](const std::string& end) {
    definitions_ += fmt::format("<line x1=\"0\" y1=\"{0}\" x2=\"{1}\" y2=\"{0}\" {2}/>\n", half, end, stroke);
  };
  switch (hatch.kind) {
    case Hatch::Kind::lines:
      across(p);
      break;
    case Hatch::Kind::crossed:
      across(p);
      definitions_ += fmt::format("<line x1=\"{0}\" y1=\"0\" x2=\"{0}\" y2=\"{1}\" {2}/>\n", half, p, stroke);
      break;
    case Hatch::Kind::dashes:
      across(number(0.6 * hatch.pitch));
      break;
    case Hatch::Kind::dots:
      definitions_ += fmt::format("<circle cx=\"{0}\" cy=\"{0}\" r=\"{1}\" fill=\"{2}\"/>\n", half,
                                  number(hatch.width), escaped(hatch.colour));
      break;
    case Hatch::Kind::plain:
      break;
  }
  definitions_ += "</pattern>\n";
}

void Document::define_clip(const std::string& id, Point corner, double width, double height) {
  definitions_ +=
      fmt::format("<clipPath id=\"{}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n",
                  escaped(id), number(corner.x), number(corner.y), number(width), number(height));
}

std::string Document::finish() {
  while (open_groups_ > 0) close_group();
  return head_ + "<defs>\n" + definitions_ + "</defs>\n" + body_ + "</svg>\n";
}

}  // namespace joulepress::tools::svg
