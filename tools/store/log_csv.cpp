#include "tools/store/log_csv.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <system_error>

#include "cases/panel.hpp"
#include "cases/reader/units.hpp"
#include "solver/noise.hpp"
#include "tools/store/files.hpp"
#include "tools/store/history_csv.hpp"

namespace joulepress::tools {
namespace {

using solver::HistoryRow;

constexpr std::uint64_t log_noise_seed = 2;  // that of the controller is 1
enum Stream : std::uint64_t { current_stream, voltage_stream, first_sensor_stream };

constexpr double kilo = 1e-3, bar = 1e-5, milli = 1e3;  // from SI to what a panel shows
constexpr double power_digit = 0.01;                    // kW

double deviate(std::uint64_t stream, std::uint64_t sample) {
  return solver::normal_deviate(log_noise_seed, stream, sample);
}

int decimals_of(double digit) {
  constexpr int most = 9;
  double scaled = digit;
  for (int k = 0; k < most; ++k, scaled *= 10.0)
    if (std::round(scaled) >= 1.0 && std::abs(scaled - std::round(scaled)) <= 1e-6 * scaled) return k;
  return most;
}

/// The programme as the drive has it; none without a drive.
void add_programme(const solver::Drive& drive, const cases::Meters& meters, std::vector<LogColumn>& columns) {
  const auto add = [&](const char* unit, double digit, double factor, double zero) {
    columns.push_back({"programme", unit, digit, [=](const HistoryRow& row, std::uint64_t) {
                         return rounded((row.target - zero) * factor, digit);
                       }});
  };
  switch (drive.kind) {
    case solver::DriveKind::tracking:
    case solver::DriveKind::furnace:
      return add("degC", meters.temperature, 1.0, cases::zero_celsius);
    case solver::DriveKind::current:
      return add("A", meters.current, 1.0, 0.0);
    case solver::DriveKind::voltage:
      return add("V", meters.voltage, 1.0, 0.0);
    case solver::DriveKind::power:
      return add("kW", power_digit, kilo, 0.0);
    case solver::DriveKind::none:
      return;
  }
}

void add_sensor(const solver::Sensor& sensor, std::size_t k, double digit, std::vector<LogColumn>& columns) {
  const bool pyrometer = sensor.kind == solver::SensorKind::pyrometer;
  const double least = pyrometer ? sensor.optics.lower_limit : 0.0;
  columns.push_back({sensor.name, "degC", digit,
                     [k, least, digit, noise = sensor.noise](const HistoryRow& row, std::uint64_t sample) {
                       const solver::SensorValue& value = row.sensors[k];
                       double kelvin = value.reading_K;
                       if (value.in_sight)
                         kelvin = std::max(kelvin + noise * deviate(first_sensor_stream + k, sample), least);
                       return rounded(cases::in_celsius(kelvin), digit);
                     }});
}

void add_electric(const cases::Press& press, std::vector<LogColumn>& columns) {
  const cases::Meters& meters = press.meters.value();
  const auto current = [meters](const HistoryRow& row, std::uint64_t sample) {
    const double amperes = cases::current_shown(row, meters.mean_current);
    return rounded(amperes * (1.0 + meters.noise * deviate(current_stream, sample)), meters.current);
  };
  const auto voltage = [press, meters](const HistoryRow& row, std::uint64_t sample) {
    const double volts = cases::voltage_shown(press, row, meters.mean_voltage);
    return rounded(volts * (1.0 + meters.noise * deviate(voltage_stream, sample)), meters.voltage);
  };
  columns.push_back(
      {meters.mean_current ? "current mean" : "current effective", "A", meters.current, current});
  columns.push_back(
      {meters.mean_voltage ? "voltage mean" : "voltage effective", "V", meters.voltage, voltage});
  columns.push_back({"power", "kW", power_digit, [=](const HistoryRow& row, std::uint64_t sample) {
                       return rounded(kilo * current(row, sample) * voltage(row, sample), power_digit);
                     }});
}

void add_gauge(const cases::Press& press, std::vector<LogColumn>& columns) {
  const double digit = kilo * press.meters->force;
  const auto force = [beside = press.vacuum_pull + press.moving_weight, digit](const HistoryRow& row,
                                                                               std::uint64_t) {
    return rounded(kilo * (row.force_N - beside), digit);
  };
  columns.push_back({"force", "kN", digit, force});
  if (!press.gauge_area) return;
  const double per_kN = bar / kilo / *press.gauge_area;  // bar
  const double fine = std::pow(10.0, std::floor(std::log10(digit * per_kN) + 1e-9));
  columns.push_back(
      {"gauge pressure", "bar", fine, [force, per_kN, fine](const HistoryRow& row, std::uint64_t sample) {
         return rounded(force(row, sample) * per_kN, fine);
       }});
}

}  // namespace

double rounded(double value, double digit) {
  const double multiple = std::round(value / digit);
  return multiple == 0.0 ? 0.0 : multiple * digit;
}

std::string digits_of(double shown, double digit) {
  return fmt::format("{:.{}f}", shown, decimals_of(digit));
}

std::vector<LogColumn> log_columns(const cases::Case& c, const solver::Problem& problem) {
  const cases::Meters& meters = c.press.meters.value();
  std::vector<LogColumn> columns;
  columns.push_back({"time", "s", meters.every, [every = meters.every](const HistoryRow&, std::uint64_t n) {
                       return static_cast<double>(n) * every;
                     }});
  add_programme(problem.drive, meters, columns);
  for (std::size_t k = 0; k < problem.sensors.size(); ++k)
    add_sensor(problem.sensors[k], k, meters.temperature, columns);
  if (problem.drive.kind != solver::DriveKind::furnace) add_electric(c.press, columns);
  if (!problem.force.empty()) add_gauge(c.press, columns);
  columns.push_back(
      {"stroke", "mm", milli * meters.stroke, [digit = milli * meters.stroke](const HistoryRow& row, auto) {
         return rounded(milli * row.stroke.total(), digit);
       }});
  return columns;
}

Log::Log(const cases::Case& c, const solver::Problem& problem)
    : every_(c.press.meters.value().every), columns_(log_columns(c, problem)) {
  for (const LogColumn& column : columns_)
    csv_ += (csv_.empty() ? "" : ",") + csv_field(fmt::format("{} [{}]", column.name, column.unit));
  csv_ += "\n";
}

void Log::add(const HistoryRow& row) {
  const std::int64_t sample = std::llround(row.time_s / every_);
  if (sample <= last_) return;
  last_ = sample;
  ++lines_;
  std::string line;
  for (const LogColumn& column : columns_) {
    const double shown = column.shown(row, static_cast<std::uint64_t>(sample));
    if (&column != &columns_.front()) line += ",";
    if (std::isfinite(shown)) line += digits_of(shown, column.digit);
  }
  csv_ += line + "\n";
}

std::string why_no_log(const cases::Case& c, const LogRequest& request) {
  namespace fs = std::filesystem;
  const std::string name = request.file.string();
  if (request.resume)
    return "A log cannot be continued: leave out --resume to run from the start and log it, or --log to go "
           "on "
           "without one.";
  if (!c.press.meters)
    return fmt::format(
        "There is no log without meters: the key press.meters is missing in {}.\nAdd to the press what it "
        "shows, as in `meters: {{current: effective, voltage: effective, every: 1 s}}`\n(joulepress explain "
        "press.meters).",
        c.press.written.place.file);
  if (request.file.extension() != ".csv")
    return fmt::format(
        "\"{}\" does not end in .csv; name the log so that it cannot be taken for another file.", name);
  std::error_code ignored;
  if (fs::weakly_canonical(request.file, ignored) ==
      fs::weakly_canonical(request.folder / "history.csv", ignored))
    return fmt::format("\"{}\" is the history of the run; give the log another name.", name);
  if (fs::is_regular_file(request.file, ignored) && !request.may_exist)
    return fmt::format("\"{}\" exists already; name another file, or give --replace to overwrite it.", name);
  return {};
}

void prepare_log(const std::filesystem::path& file) {
  std::error_code problem;
  if (file.has_parent_path()) std::filesystem::create_directories(file.parent_path(), problem);
  if (problem)
    throw FileError(
        fmt::format("The folder of the log \"{}\" cannot be made: {}.", file.string(), problem.message()));
  if (std::filesystem::is_directory(file))
    throw FileError(fmt::format("The log \"{}\" cannot be written: it is a folder.", file.string()));
  write_whole(file, {});  // of a run that is killed there is no log
  remove_file(file);
}

}  // namespace joulepress::tools
