#include "cases/reader/key_table.hpp"

namespace joulepress::cases {

void add_log_keys(KeyTable& table) {
  const char* const by_heading = "the heading says it, or the row below it";
  table.add(
      "log",
      {
          one_of("format", "1", "Version of the layout of this file.").needed().example("1"),
          text("note", "Anything worth knowing; not used.").otherwise("none"),
          one_of("encoding", "utf-8|utf-16-le|utf-16-be|latin-1", "How the letters of the log are stored.")
              .otherwise("as its bytes show"),
          one_of("separator", "comma|semicolon|tab", "What stands between two columns.")
              .otherwise("the one with which headings and a time are found"),
          one_of("decimal", "point|comma", "Sign before the decimals.").otherwise("as the numbers show"),
          whole_number("headings", "Line of the log in which the headings of the columns stand.")
              .otherwise("the first line with a heading of the time and numbers below it")
              .least("1")
              .most("100000")
              .example("12"),
          keys_of("log time", "time", "Which column tells the time, and how.")
              .otherwise("the headings tell it"),
          list_of("log column", "columns", "What the headings do not say, column by column.")
              .otherwise("the headings say all"),
          list_of("melt event", "events", "What melted during the run, and when that was seen.")
              .otherwise("nothing"),
      });
  table.add("log time",
            {
                text("column", "Heading of the column of the time.")
                    .otherwise("the one that is called time, Zeit, clock or the like")
                    .example("Uhrzeit"),
                text("date", "Heading of a column of the date, where it stands apart from the clock.")
                    .otherwise("the one that is called date or Datum, beside a column of the clock")
                    .example("Datum"),
                one_of("written as", "s|ms|min|h|h:m:s|h:m|m:s|date and time",
                       "Unit or form in which the time stands there.")
                    .otherwise(by_heading),
                one_of("order", "year-month-day|day.month.year|month/day/year",
                       "Order of the date, whatever signs stand between.")
                    .otherwise("as the dates show; it must be said where they can be read in two ways"),
            });
  table.add(
      "log column",
      {
          text("heading", "Heading of the column, with or without its unit.")
              .otherwise("`number` says which")
              .example("T1 [°C]"),
          whole_number("number", "Number of the column, counted from 1, where headings are not unique.")
              .otherwise("`heading` says which")
              .least("1")
              .most("1000"),
          text("is",
               "What the column shows: programme, current, voltage, power, force, gauge pressure, stroke, "
               "ignored, or the name of the sensor that it is the reading of.")
              .otherwise("what its heading says; of a temperature the sensor called like the heading")
              .example("die thermocouple"),
          text("unit", "Unit of its numbers: degC, K, A, kA, V, kW, kN, N, t, bar, MPa, mm ...")
              .otherwise(by_heading)
              .example("degC"),
          one_of("shows", "mean|effective", "Which value of a pulsed current or its voltage is shown.")
              .otherwise("the heading says it"),
          amount("open above", Kind::temperature,
                 "Reading of a broken or unplugged couple: values from here on are left out.")
              .otherwise("only words such as OL or open are")
              .example("1370 degC"),
          amount("sees from", Kind::temperature,
                 "Lowest temperature that a pyrometer shows: values down to here are left out.")
              .otherwise("all its values count")
              .example("600 degC"),
          keys_of("log column range", "valid",
                  "Range in which it counts; of two columns of one sensor the first that counts is taken.")
              .otherwise("everywhere"),
          one_of("sign", "as written|reversed",
                 "Of a stroke or force that counts the other way: a stroke is positive as the punches come "
                 "together.")
              .standard("as written"),
          one_of("zero", "as written|at start", "Of a stroke: where it is zero.").standard("as written"),
      });
  table.add("log column range", {
                                    amount("from", Kind::temperature, "Lowest value that counts.")
                                        .otherwise("no lower bound")
                                        .example("600 degC"),
                                    amount("to", Kind::temperature, "Highest value that counts.")
                                        .otherwise("no upper bound")
                                        .example("1000 degC"),
                                });
  table.add(
      "melt event",
      {
          text("melts", "What melted: a fixed point by its name, or its temperature in degC.")
              .needed()
              .example("nickel-carbon"),
          amount("at", Kind::time, "When it melted, from the first row of the log.")
              .otherwise("`when` and `reads` tell it")
              .least("0 s")
              .example("512 s"),
          text("when", "Sensor whose reading tells the moment.")
              .otherwise("`at` tells it")
              .example("die thermocouple"),
          amount("reads", Kind::temperature,
                 "What that sensor read; the first time it reads so much is the moment.")
              .otherwise("`at` tells it")
              .example("1010 degC"),
          amount("deviation", Kind::temperature_difference,
                 "One standard deviation of the temperature at that moment (the default is an own "
                 "choice).")
              .standard("3 K")
              .above("0 K")
              .most("100 K"),
          on_off("kept from carbon", "Whether a metal that takes up carbon melted without touching graphite.")
              .standard("off"),
      });
}

}  // namespace joulepress::cases
