#include "tools/store/timing_json.hpp"

#include <ctime>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>

namespace joulepress::tools {
namespace {

std::string processor_name() {
  std::ifstream info("/proc/cpuinfo");
  for (std::string line; std::getline(info, line);)
    if (line.rfind("model name", 0) == 0) return line.substr(std::min(line.size(), line.find(':') + 2));
  return "unknown";
}

}  // namespace

double cpu_seconds() {
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

std::string timing_json(const Timing& timing, const solver::Counts& counts) {
  nlohmann::ordered_json j;
  j["schema"] = "joulepress.timing/1";
  j["wall_s"] = timing.wall_s;
  j["cpu_s"] = timing.cpu_s;
  j["march_cpu_s"] = timing.march_cpu_s;
  j["judging_cpu_s"] = timing.judging_cpu_s;
  j["steps"] = counts.steps;
  j["rejected"] = counts.rejected;
  j["stages"] = counts.stages;
  j["sweeps"] = counts.sweeps;
  j["heat_factorisations"] = counts.heat_factorisations;
  j["electric_factorisations"] = counts.electric_factorisations;
  j["triangular_solves"] = counts.triangular_solves;
  j["processor"] = processor_name();
  j["cores"] = std::thread::hardware_concurrency();
  j["compiler"] = __VERSION__;
  j["variant"] = JOULEPRESS_VARIANT_NAME;
  return j.dump(2) + "\n";
}

}  // namespace joulepress::tools
