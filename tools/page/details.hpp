// The two enlarged views: the die region before pressing and dense, and the corner of the powder at the bore.
#pragma once

#include "cases/case.hpp"
#include "cases/stack.hpp"
#include "solver/problem.hpp"
#include "tools/page/dimensions.hpp"
#include "tools/page/section.hpp"

namespace joulepress::tools::page {

/// The column with every powder at its height before pressing, sleeves at the middle of what they sit on;
/// empty when a powder's relative density before pressing is not known, or there is none.
mesh::Layout before_pressing(const cases::Case& c, const cases::Stack& stack, const solver::Problem& p);

/// Whether the stack has a powder, so that the details are worth drawing.
bool has_details(const cases::Stack& stack);

/// Left of the axis before pressing, right of it dense, in the box at `corner`.
void draw_pressing(svg::Document& doc, const cases::Case& c, const cases::Stack& stack,
                   const solver::Problem& p, svg::Point corner, double width, double height);

/// The upper outer corner of the first powder, foils readable, in the box at `corner`.
void draw_corner(svg::Document& doc, const cases::Stack& stack, const solver::Problem& p, svg::Point corner,
                 double width, double height);

/// Circle round that corner in the main view; returns the label that names it.
Label draw_corner_mark(svg::Document& doc, const View& view, const cases::Stack& stack);

}  // namespace joulepress::tools::page
