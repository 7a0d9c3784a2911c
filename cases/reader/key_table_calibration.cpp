#include "cases/reader/key_table.hpp"

namespace joulepress::cases {

void add_calibration_keys(KeyTable& table) {
  table.add("calibration",
            {
                list_of("calibration log", "logs", "The measured runs it was learned from.").needed(),
                list_of("calibration input", "inputs",
                        "What was learned, entry by entry: values that one standard score moves together.")
                    .needed(),
                rows_of_numbers("correlation",
                                "How the inputs hang together: a row an input, as many columns, ones on the "
                                "diagonal.")
                    .otherwise("they do not hang together"),
            });
  table.add("calibration log",
            {
                text("file", "The file of the log.").needed().example("run-12.csv"),
                text("sha256", "Fingerprint of its bytes, 64 digits to the base 16.").otherwise("not known"),
                text("began", "When the run began: date, or date and time, by ISO 8601.")
                    .otherwise("the log does not say")
                    .example("2026-03-02T07:15"),
                text("case", "Title of the case that was held against it.").otherwise("no title"),
            });
  table.add(
      "calibration input",
      {
          text("name", "What it is called among the causes that `bound` tells.")
              .needed()
              .example("thermal lateral contact"),
          amount(
              "left", Kind::ratio,
              "Share of the standard deviation before the logs that is left; above 1 where they contradict "
              "it.")
              .standard("1")
              .least("0")
              .most("1e4"),
          list_of("calibration value", "values", "What its score moves.").needed(),
      });
  table.add(
      "calibration value",
      {
          text("at", "Address of a key or of a property of a material, as in a plan.")
              .needed()
              .example("contacts.lateral.thermal"),
          amount("is", Kind::ratio,
                 "The value learned, with a unit of the key, which is set there; of a property the factor of "
                 "its curve.")
              .or_text()
              .otherwise("what the case has there")
              .example("1.1"),
          amount("factor", Kind::ratio,
                 "Log-normal: two standard deviations either way are this factor; this or `deviation`.")
              .otherwise("normal, by its `deviation`")
              .least("1")
              .most("1e6")
              .example("1.4"),
          amount("deviation", Kind::ratio,
                 "Normal: one standard deviation with a unit of the key; of a property that of its whole "
                 "factor.")
              .or_text()
              .otherwise("log-normal, by its `factor`")
              .example("0.05"),
      });
}

}  // namespace joulepress::cases
