// A small SVG writer (SVG 1.1, W3C 2011): what a drawing or a diagram of ours needs, no more.
//
// User units are millimetres on the page, x to the right, y downward.  Numbers have at most four decimals
// without trailing zeros, so that the same picture is the same bytes.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace joulepress::tools::svg {

struct Point {
  double x = 0, y = 0;  ///< mm
};

/// How a shape is drawn.  Colours as SVG names them ("black", "#aabbcc", "none", "url(#id)"); "currentColor"
/// is black in a file of its own and the colour of the lettering around it inside a page.
struct Pen {
  std::string stroke = "black";
  double width = 0.25;  ///< mm
  std::string fill = "none";
  std::string dashes = {};  ///< lengths in mm, "4 1 0.5 1"; empty: full line
};

enum class Anchor { start, middle, end };

struct Lettering {
  double height = 2.5;  ///< of the capitals and figures [mm]
  Anchor anchor = Anchor::start;
  double angle = 0;  ///< degrees, counter-clockwise as seen
  bool bold = false;
  std::string colour = "black";
  bool halo = false;  ///< a rim, so that it reads on lines and tints
  std::string halo_colour = "white";
};

/// Lines over a tint, repeated; reads in grey by its lines.
struct Hatch {
  enum class Kind { lines, crossed, dots, dashes, plain } kind = Kind::lines;
  double angle = 45;  ///< degrees, counter-clockwise as seen
  double pitch = 2;   ///< mm between lines or dots
  double width = 0.13;
  std::string tint = "white", colour = "black";
};

/// Further attributes of an element: {"id", "die"}, {"data-part", "die"}.
using Attributes = std::vector<std::pair<std::string, std::string>>;

/// Width that a text takes on the page at most [mm]: advance widths of DejaVu Sans, a wide face; the narrower
/// ones that come first in the list of fonts take less.
double text_width(std::string_view text, double height, bool bold = false);

/// Bytes of the UTF-8 character that begins at `at`; 0 when there is none.
std::size_t utf8_length(std::string_view text, std::size_t at);

/// Text for between tags or quotes: the five reserved characters escaped; control characters and bytes that
/// are not UTF-8 become U+FFFD.
std::string escaped(std::string_view text);

/// "12.5", "-0.0625", "3": at most four decimals.  Infinite and undefined numbers throw std::logic_error.
std::string number(double value);

/// One document; open groups are closed by `finish`.
class Document {
 public:
  /// Title and description are read out by screen readers and shown by viewers.
  Document(double width_mm, double height_mm, std::string_view title, std::string_view description);

  void line(Point a, Point b, const Pen& pen, const Attributes& more = {});
  void rectangle(Point corner, double width, double height, const Pen& pen, const Attributes& more = {});
  void circle(Point centre, double radius, const Pen& pen, const Attributes& more = {});
  void polyline(const std::vector<Point>& points, const Pen& pen, const Attributes& more = {});
  void polygon(const std::vector<Point>& points, const Pen& pen, const Attributes& more = {});
  /// Commands of a path (SVG 1.1, 8.3), coordinates written by `number`.
  void path(std::string_view commands, const Pen& pen, const Attributes& more = {});
  /// `at` is the anchor on the base line.
  void text(Point at, std::string_view text, const Lettering& lettering, const Attributes& more = {});
  /// An image at `corner`; `data` as a data URI.
  void image(Point corner, double width, double height, std::string_view data, const Attributes& more = {});

  void open_group(const Attributes& more = {});
  void close_group();
  /// A pattern to fill with: Pen::fill = "url(#id)".
  void define_hatch(const std::string& id, const Hatch& hatch);
  /// A rectangle to cut with: {"clip-path", "url(#id)"} on a group.
  void define_clip(const std::string& id, Point corner, double width, double height);

  /// The whole file.
  std::string finish();

 private:
  std::string head_, definitions_, body_;
  int open_groups_ = 0;
};

}  // namespace joulepress::tools::svg
