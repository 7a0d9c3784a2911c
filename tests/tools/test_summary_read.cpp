// Numbers of summary.json by address.
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tools/store/files.hpp"
#include "tools/store/summary_read.hpp"

using namespace joulepress;
using tools::number_at;

namespace {

const std::string text = R"({
  "schema": "joulepress.summary/1", "status": "completed", "reason": null, "cells": 7, "warnings": ["a"],
  "peak": {"current_A": 1200.5, "tool_part": "punch"},
  "stroke": null,
  "holds": [
    {"name": "sinter", "offset_mean_K": -3.25, "sensors": [
      {"name": "die thermocouple", "reading_K": 1500, "controls": true},
      {"name": "top, [r] 3.5 mm", "reading_K": 1600, "controls": false},
      {"name": "0", "reading_K": 1700}]},
    {"name": "cool", "offset_mean_K": null},
    {"name": "cool", "offset_mean_K": 8}],
  "reached": [{"density": 0.9}, {"density": 0.95}]
})";

tools::SummaryNode summary() {
  return tools::read_summary(text, "summary.json");
}

}  // namespace

TEST_CASE("an address finds its number: keys by dots, entries by name or number") {
  const auto s = summary();
  CHECK(number_at(s, "cells") == 7.0);
  CHECK(number_at(s, "peak.current_A") == 1200.5);
  CHECK(number_at(s, "holds[sinter].offset_mean_K") == -3.25);
  CHECK(number_at(s, "holds[0].offset_mean_K") == -3.25);
  CHECK(number_at(s, "holds[-3].offset_mean_K") == -3.25);
  CHECK(number_at(s, "holds[-1].offset_mean_K") == 8.0);
  CHECK(number_at(s, "holds[sinter].sensors[die thermocouple].reading_K") == 1500.0);
  CHECK(number_at(s, "holds[sinter].sensors[top, [r] 3.5 mm].reading_K") == 1600.0);  // any character
  CHECK(number_at(s, "holds[sinter].sensors[0].reading_K") == 1700.0);                // a name goes first
  CHECK(number_at(s, "holds[sinter].sensors[die thermocouple].controls") == 1.0);
  CHECK(number_at(s, "holds[sinter].sensors[1].controls") == 0.0);
  CHECK(number_at(s, "reached[1].density") == 0.95);
}

TEST_CASE("an address without a number gives none") {
  const auto s = summary();
  for (const char* address : {"",
                              "reason",
                              "status",
                              "peak",
                              "peak.tool_part",
                              "stroke",
                              "stroke.total_m",
                              "nobody",
                              "peak.nobody",
                              "holds",
                              "holds[cool].offset_mean_K",
                              "holds[1].offset_mean_K",
                              "holds[3].offset_mean_K",
                              "holds[-4].offset_mean_K",
                              "holds[nobody].offset_mean_K",
                              "holds[0]",
                              "holds[0",
                              "holds[",
                              "holds[]",
                              "holds[0].",
                              "holds.0",
                              "holds[0]offset_mean_K",
                              ".cells",
                              "cells.",
                              "cells[0]",
                              "peak..current_A",
                              "peak.current_A.more",
                              "holds[99999999999999].offset_mean_K",
                              "holds[0 ].offset_mean_K"}) {
    INFO(address);
    CHECK(!number_at(s, address));
  }
}

TEST_CASE(
    "all addresses: of numbers and nulls, by names where they are their own, and each finds its value") {
  const auto s = summary();
  const auto all = tools::number_addresses(s);
  CHECK(all ==
        std::vector<std::string>{"reason", "cells", "peak.current_A", "stroke", "holds[sinter].offset_mean_K",
                                 "holds[sinter].sensors[die thermocouple].reading_K",
                                 "holds[sinter].sensors[die thermocouple].controls",
                                 "holds[sinter].sensors[top, [r] 3.5 mm].reading_K",
                                 "holds[sinter].sensors[top, [r] 3.5 mm].controls",
                                 "holds[sinter].sensors[0].reading_K", "holds[cool].offset_mean_K",
                                 "holds[2].offset_mean_K", "reached[0].density", "reached[1].density"});
  for (const std::string& address : all) {
    INFO(address);
    const bool null = address == "reason" || address == "stroke" || address == "holds[cool].offset_mean_K";
    CHECK(number_at(s, address).has_value() != null);
  }
}

TEST_CASE("a text that is no summary is refused, not read as an empty one") {
  for (const char* bad :
       {"", "{", "[]", "7", "{}", R"({"schema": 1})", R"({"schema": "joulepress.summary/2"})"}) {
    INFO(bad);
    CHECK_THROWS_WITH_AS(tools::read_summary(bad, "x/summary.json"),
                         "\"x/summary.json\" is no summary that can be read here.", tools::FileError);
  }
}
