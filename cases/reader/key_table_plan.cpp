#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

Row key_row() {
  return text("key",
              "Address of a key of the case, entries of lists by name or by number from 0; of a material a "
              "property, which is multiplied.")
      .needed()
      .example("sleeves[die].outer diameter");
}

}  // namespace

void add_plan_keys(KeyTable& table) {
  table.add(
      "plan",
      {
          one_of("format", "1", "Version of the layout of this file.").needed().example("1"),
          text("title", "One line that names the study in tables and pages.")
              .otherwise("no title")
              .example("Die walls for the 20 mm set"),
          text("case", "The case that is varied; a file, relative to the plan.")
              .needed()
              .example("../alumina-20mm.yaml"),
          list_of("variation", "vary", "Keys and their values; several make a grid of all combinations.")
              .otherwise("the members listed"),
          list_of("listed member", "members", "Variants one by one; with `vary`, each of them over the grid.")
              .otherwise("the grid alone"),
          list_of("", "collect",
                  "What to look at, in the words of `vary --values` or as an address in "
                  "summary.json.")
              .otherwise("offset, spread in the powder, power, largest current, time"),
          list_of("requirement", "require", "What a variant must keep to be called good.")
              .otherwise("nothing"),
          keys_of("recommendation", "recommend", "Which of the good variants to recommend.")
              .otherwise("none is"),
      });
  table.add(
      "variation",
      {
          key_row(),
          list_of("", "values", "The values, with their unit; names of materials and words too.")
              .otherwise("a range, or sizes of a stock list"),
          text("from", "First value of a range, with its unit; of a stock list the smallest size taken.")
              .otherwise("`values` are listed; all sizes of the stock list")
              .example("50 K/min"),
          text("to", "Last value of a range, in the same unit; of a stock list the largest size taken.")
              .otherwise("`values` are listed; all sizes of the stock list")
              .example("200 K/min"),
          whole_number("count", "How many values a range has, both ends included.")
              .otherwise("`values` are listed")
              .least("2")
              .most("1000")
              .example("4"),
          one_of("spacing", "even|ratio", "Values of a range follow at the same distance or the same ratio.")
              .standard("even"),
          text("stock", "File of stock sizes, relative to the plan, whose sizes are the values.")
              .otherwise("`values` are listed, or a range is given")
              .example("stock/graphite-rounds.yaml"),
          list_of("in step", "with", "Keys that change along, value by value.").otherwise("none"),
      });
  table.add("in step", {
                           key_row(),
                           list_of("", "values", "As many values as the variation has.").needed(),
                       });
  table.add("listed member",
            {
                text("name", "What you call the variant.").needed().example("felt on the wall"),
                list_of("setting", "set", "What is different in it.").otherwise("nothing"),
            });
  table.add("setting", {
                           key_row(),
                           text("value", "Its value, with its unit.").needed().example("60 mm"),
                       });
  table.add(
      "requirement",
      {
          text("value", "What must keep to it, as in `collect`.").needed().example("largest current"),
          text("at most", "Highest good value, with its unit.").otherwise("no upper bound").example("3 kA"),
          text("at least", "Lowest good value, with its unit.").otherwise("no lower bound").example("0.98"),
      });
  const char* const decides = "a key that varies, or a value as in `collect`";
  table.add("recommendation",
            {
                text("least", "Whichever has the least of it.")
                    .otherwise(decides)
                    .example("sleeves[die].outer diameter"),
                text("most", "Whichever has the most of it.").otherwise(decides).example("margin"),
            });
  table.add("stock",
            {
                one_of("format", "1", "Version of the layout of this file.").needed().example("1"),
                text("name", "What the list is.").otherwise("the file's name").example("graphite rounds"),
                text("note", "Anything worth knowing; not used.").otherwise("none"),
                list_of("", "sizes", "The sizes, with their unit, ascending.").needed(),
            });
}

}  // namespace joulepress::cases
