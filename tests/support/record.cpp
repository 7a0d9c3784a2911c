#include "tests/support/record.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>

namespace joulepress::test {

void compare(const Comparison& c) {
  const double difference = std::abs(c.value - c.target);
  CAPTURE(c.check);
  CAPTURE(c.value);
  CAPTURE(c.target);
  CHECK(difference <= c.limit);
  const char* file = std::getenv("JOULEPRESS_RECORDS");
  if (!file) return;
  nlohmann::ordered_json line{
      {"check", c.check}, {"source", c.source}, {"target", c.target}, {"value", c.value},
      {"limit", c.limit}, {"unit", c.unit},     {"proves", c.proves}, {"agrees", difference <= c.limit}};
  std::ofstream(file, std::ios::app) << line.dump() << '\n';
}

}  // namespace joulepress::test
