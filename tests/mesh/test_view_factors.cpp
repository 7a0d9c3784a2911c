// View factors against the closed forms of the configuration-factor catalogues (Howell, A catalog of
// radiation configuration factors, 1982; formulas from memory), and against rays where no closed form exists.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <random>

#include "mesh/openings.hpp"
#include "mesh/view_factors.hpp"
#include "tests/mesh/geometry.hpp"
#include "tests/support/record.hpp"

using namespace joulepress;
using namespace joulepress::mesh;
using test::compare;

namespace {

constexpr double pi = std::numbers::pi;

double view(const Ring& from, const Ring& to, const std::vector<Block>& solids = {}) {
  return exchange_area(from, to, solids, 2e-5) / area_of(from);
}

/// Coaxial parallel discs of radii a and b at a distance h, from a to b (C-41).
double disc_to_disc(double a, double b, double h) {
  const double X = 1 + (h * h + b * b) / (a * a);
  return 0.5 * (X - std::sqrt(X * X - 4 * b * b / (a * a)));
}

/// Two coaxial cylinders of radii 1 and R and length H: from the outer one to the inner one, and to itself
/// (C-91, C-92).
struct CoaxialCylinders {
  double to_inner, to_itself;
  CoaxialCylinders(double R, double H) {
    const double A = H * H + R * R - 1, B = H * H - R * R + 1;
    to_inner = (1 - (std::acos(B / A) - (std::sqrt((A + 2) * (A + 2) - 4 * R * R) * std::acos(B / (R * A)) +
                                         B * std::asin(1 / R) - pi * A / 2) /
                                            (2 * H)) /
                        pi) /
               R;
    const double root = std::sqrt(4 * R * R + H * H) / H;
    to_itself =
        1 - 1 / R + 2 / (pi * R) * std::atan(2 * std::sqrt(R * R - 1) / H) -
        H / (2 * pi * R) *
            (root * std::asin((4 * (R * R - 1) + H * H / (R * R) * (R * R - 2)) / (H * H + 4 * (R * R - 1))) -
             std::asin((R * R - 2) / (R * R)) + pi / 2 * (root - 1));
  }
};

const char* const catalogue = "Howell's catalogue of configuration factors (formula from memory)";

void check(const std::string& what, double expected, double found) {
  compare({what, catalogue, expected, found, 1e-3 * expected, "-", "view factors"});
}

/// Where a ray from p along d first meets a solid: which one, and how far; -1 when it leaves.
struct Hit {
  int solid;
  double way;
};
using Vector = std::array<double, 3>;
Hit first_hit(const std::vector<Block>& solids, const Vector& p, const Vector& d) {
  Hit hit{-1, 1e9};
  const auto radius = [&](double t) { return std::hypot(p[0] + t * d[0], p[1] + t * d[1]); };
  const auto try_at = [&](int solid, double t, bool inside) {
    if (t > 1e-9 && t < hit.way && inside) hit = {solid, t};
  };
  for (int k = 0; k < static_cast<int>(solids.size()); ++k) {
    const Block& b = solids[k];
    for (const double z : {b.z_bottom, b.z_top}) {
      const double t = (z - p[2]) / d[2];
      if (t > 0) try_at(k, t, radius(t) >= b.r_inner && radius(t) <= b.r_outer);
    }
    for (const double R : {b.r_inner, b.r_outer}) {
      const double a = d[0] * d[0] + d[1] * d[1], h = p[0] * d[0] + p[1] * d[1],
                   c = p[0] * p[0] + p[1] * p[1] - R * R, root = h * h - a * c;
      if (root <= 0) continue;
      for (const double t : {(-h - std::sqrt(root)) / a, (-h + std::sqrt(root)) / a})
        try_at(k, t, p[2] + t * d[2] >= b.z_bottom && p[2] + t * d[2] <= b.z_top);
    }
  }
  return hit;
}

/// Shares of the rays from a ring (even over it, by the cosine) that meet each solid first; the last is what
/// leaves.
std::vector<double> shares_by_rays(const Ring& ring, const std::vector<Block>& solids, int rays) {
  std::mt19937_64 random(1);
  const auto uniform = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  std::vector<double> share(solids.size() + 1, 0.0);
  const bool flat = ring.looks == Side::top || ring.looks == Side::bottom;
  for (int k = 0; k < rays; ++k) {
    const double u = uniform(), sine = std::sqrt(uniform()), cosine = std::sqrt(1 - sine * sine),
                 turn = 2 * pi * uniform();
    Vector p, d;
    if (flat) {
      const double r = std::sqrt(ring.from * ring.from + u * (ring.to * ring.to - ring.from * ring.from));
      const double up = ring.looks == Side::top ? 1 : -1;
      p = {r, 0, ring.at + up * 1e-7};
      d = {sine * std::cos(turn), sine * std::sin(turn), up * cosine};
    } else {
      const double out = ring.looks == Side::outer ? 1 : -1;
      p = {ring.at + out * 1e-7, 0, ring.from + u * (ring.to - ring.from)};
      d = {out * cosine, sine * std::cos(turn), sine * std::sin(turn)};
    }
    const Hit hit = first_hit(solids, p, d);
    share[hit.solid < 0 ? solids.size() : static_cast<std::size_t>(hit.solid)] += 1.0 / rays;
  }
  return share;
}

/// Spacers, punches and a die, without foils [m].
std::vector<Block> tools() {
  return {{"", 0, 0, .04, 0, .04},     {"", 1, 0, .02, .04, .06},   {"", 2, 0, .01, .06, .115},
          {"", 3, 0, .02, .115, .135}, {"", 4, 0, .04, .135, .175}, {"", 5, .01, .025, .0695, .1055}};
}

}  // namespace

TEST_CASE("coaxial discs see each other as in the catalogue") {
  check("discs of one radius, that far apart", 0.3820, view({Side::top, 0, 0, 1}, {Side::bottom, 1, 0, 1}));
  for (const auto& [a, b, h] :
       {std::array{1.0, 1.0, 0.1}, {1.0, 2.0, 1.0}, {3.0, 0.1, 1.0}, {1.0, 1.0, 10.0}})
    check(fmt::format("coaxial discs, radii {} and {}, {} apart", a, b, h), disc_to_disc(a, b, h),
          view({Side::top, 0, 0, a}, {Side::bottom, h, 0, b}));
}

TEST_CASE("a disc sees a ring as the difference of two discs") {
  const double expected = disc_to_disc(1, 2, 1.5) - disc_to_disc(1, 1.2, 1.5);
  check("disc of radius 1 to a ring 1.2 to 2, 1.5 apart", expected,
        view({Side::top, 0, 0, 1}, {Side::bottom, 1.5, 1.2, 2}));
}

TEST_CASE("inside of a tube: its wall sees itself, its ends and parts of it") {
  for (const double H : {0.2, 1.0, 6.0}) {  // length over radius
    const Ring wall{Side::inner, 1, 0, H};
    const double ends = disc_to_disc(1, 1, H);
    check(fmt::format("inside of a tube {} radii long to itself", H), 1 - (1 - ends) / H, view(wall, wall));
    check(fmt::format("end of a tube {} radii long to its wall", H), 1 - ends,
          view({Side::top, 0, 0, 1}, wall));
    // a piece of the wall by differences of discs: what passes one section and not the other
    const double piece = disc_to_disc(1, 1, 0.5 * H) - ends;
    check(fmt::format("end of a tube {} radii long to the far half of its wall", H), piece,
          view({Side::top, 0, 0, 1}, {Side::inner, 1, 0.5 * H, H}));
  }
}

TEST_CASE("coaxial cylinders of finite length, and the rings that close the space between them") {
  for (const auto& [R, H] : {std::pair{2.0, 2.0}, {1.25, 1.0}, {4.0, 0.8}}) {
    const std::vector<Block> core{{"", 0, 0, 1, 0, H}};
    const Ring inner{Side::outer, 1, 0, H}, outer{Side::inner, R, 0, H}, low{Side::top, 0, 1, R},
        high{Side::bottom, H, 1, R};
    const CoaxialCylinders known(R, H);
    const std::string of = fmt::format(", radii 1 and {}, length {}", R, H);
    check("outer cylinder to inner" + of, known.to_inner, view(outer, inner, core));
    check("outer cylinder to itself past the inner" + of, known.to_itself, view(outer, outer, core));
    const double to_end = 0.5 * (1 - known.to_inner - known.to_itself);
    check("outer cylinder to one end" + of, to_end, view(outer, low, core));
    const double inner_to_end = 0.5 * (1 - known.to_inner * R);
    check("inner cylinder to one end" + of, inner_to_end, view(inner, low, core));
    // What is left for the other end is hidden in part by the inner cylinder.
    const double A = R * R - 1, through = 1 - to_end * 2 * R * H / A - inner_to_end * 2 * H / A;
    check("ring to ring past the inner cylinder" + of, through, view(low, high, core));
  }
}

TEST_CASE("what stands between hides: a disc between two discs") {
  // The middle disc, as a thin plate, takes all that goes through its own disc: of what the lower one sends
  // to the upper, what passes outside it.  Rays, 0.1 %.
  const std::vector<Block> solids{{"", 0, 0, 1, -1, 0}, {"", 1, 0, 0.5, 0.4, 0.42}, {"", 2, 0, 1, 1, 2}};
  const Ring low{Side::top, 0, 0, 1}, high{Side::bottom, 1, 0, 1};
  const double by_rays = shares_by_rays(low, solids, 4000000)[2];
  CHECK(view(low, high, solids) < 0.75 * view(low, high));
  compare({"disc to disc past a smaller one", "rays, four million", by_rays, view(low, high, solids),
           1e-3 * by_rays + 3e-4, "-", "view factors"});
}

TEST_CASE("every wall of a stack of tools sees what rays see") {
  const std::vector<Block> solids = tools();
  for (const Ring& ring : {Ring{Side::top, .1055, .01, .025}, Ring{Side::outer, .01, .106, .114},
                           Ring{Side::bottom, .135, .02, .04}, Ring{Side::outer, .025, .0695, .1055}}) {
    const std::vector<double> rays = shares_by_rays(ring, solids, 400000);
    std::vector<double> found(solids.size(), 0.0);
    for (std::size_t k = 0; k < solids.size(); ++k) {
      const Block& b = solids[k];
      found[k] = view(ring, {Side::outer, b.r_outer, b.z_bottom, b.z_top}, solids) +
                 view(ring, {Side::top, b.z_top, b.r_inner, b.r_outer}, solids) +
                 view(ring, {Side::bottom, b.z_bottom, b.r_inner, b.r_outer}, solids);
      // Four standard deviations of the rays, and what the Gauss points leave.
      CHECK(std::abs(found[k] - rays[k]) <= 4 * std::sqrt(rays[k] * (1 - rays[k]) / 400000) + 5e-4);
    }
  }
}

TEST_CASE("exchange areas close and are mutual to rounding, over a stroke and with a mid-plane") {
  for (const double stroke : {0.0, 1e-3, 3e-3}) {
    std::vector<Block> solids = tools();
    for (const std::size_t k : {3u, 4u}) {
      solids[k].z_bottom -= stroke;
      solids[k].z_top -= stroke;
    }
    solids[2].z_top -= stroke;
    std::vector<Ring> rings;
    const Mesh mesh = build_mesh(solids, {});
    for (const Opening& wall : openings_of(mesh).walls) {
      const Block& b = solids[wall.block];
      const double at = wall.side == Side::outer   ? b.r_outer
                        : wall.side == Side::inner ? b.r_inner
                        : wall.side == Side::top   ? b.z_top
                                                   : b.z_bottom;
      const double middle = 0.5 * (wall.from + wall.to);
      rings.push_back({wall.side, at, wall.from, middle});
      rings.push_back({wall.side, at, middle, wall.to});
    }
    REQUIRE(rings.size() >= 24);
    const ExchangeAreas x = exchange_areas(rings, solids);
    for (std::size_t i = 0; i < x.n; ++i) {
      double sum = x.outside[i];
      for (std::size_t j = 0; j < x.n; ++j) {
        sum += x.between[i * x.n + j];
        CHECK(x.between[i * x.n + j] == x.between[j * x.n + i]);
        CHECK(x.between[i * x.n + j] >= 0.0);
      }
      CHECK(std::abs(sum / area_of(rings[i]) - 1) < 1e-10);
      CHECK(x.outside[i] >= 0.0);
      // Scaling has not moved anything by more than the Gauss points leave.
      CHECK(std::abs(x.outside[i] - [&] {
              double open = area_of(rings[i]);
              for (std::size_t j = 0; j < x.n; ++j) open -= exchange_area(rings[i], rings[j], solids);
              return open;
            }()) < 2e-3 * area_of(rings[i]));
    }
  }
}
