#include "tests/support/card_studies.hpp"

#include <limits>

namespace joulepress::test {

using tools::Binding;
using tools::CorrectStudy;
using tools::EnteredStep;
using tools::MeantFor;
using tools::StopValue;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr double zero = 273.15;

EnteredStep step(EnteredStep::Kind kind, double start, double length, double from_C, double to_C,
                 const std::string& name = "") {
  EnteredStep s;
  s.kind = kind;
  s.start_s = start;
  s.length_s = length;
  s.from_K = from_C + zero;
  s.to_K = to_C + zero;
  s.name = name;
  return s;
}

tools::PanelCheck check_at(double time, int line, std::vector<std::string> shown, double mean_C) {
  tools::PanelCheck check;
  check.time_s = time;
  check.step = line;
  check.shown = std::move(shown);
  check.wished_K = nothing;
  check.powder.mean_K = mean_C + zero;
  return check;
}

tools::RampFollowed ramp_to(int line, double from_C, double to_C, double lag, double when, double end_lag,
                            double uneven) {
  tools::RampFollowed ramp;
  ramp.step = line;
  ramp.from_K = from_C + zero;
  ramp.to_K = to_C + zero;
  ramp.largest_lag_K = lag;
  ramp.largest_lag_s = when;
  ramp.end_lag_K = end_lag;
  ramp.end_spread_K = uneven;
  return ramp;
}

tools::HoldMet hold_met(const std::string& name, double start, double end, double wished_C, double met_C) {
  tools::HoldMet hold;
  hold.name = name;
  hold.start_s = start;
  hold.end_s = end;
  hold.settled_from_s = 0.5 * (start + end);
  hold.wished_K = wished_C + zero;
  hold.met_K = met_C + zero;
  hold.sensor_K = 718.4 + zero;
  hold.mean_K = met_C + zero;
  hold.coldest_K = met_C - 17.0 + zero;
  hold.hottest_K = met_C + 22.0 + zero;
  hold.density_end = 0.9731;
  return hold;
}

tools::EnteredPressure pressed(double start, double length, double from_MPa, double to_MPa, double gauge_kN) {
  tools::EnteredPressure line;
  line.start_s = start;
  line.length_s = length;
  line.from_Pa = 1e6 * from_MPa;
  line.to_Pa = 1e6 * to_MPa;
  line.gauge_N = 1e3 * gauge_kN;
  return line;
}

}  // namespace

CorrectStudy made_up_card() {
  using Kind = EnteredStep::Kind;
  CorrectStudy study;
  study.title = "made-up disc";
  study.version = "0.0.0";
  study.case_sha256 = std::string(64, 'a');
  study.control = "die thermocouple";
  study.press = "workshop 25 kN";
  study.by_controller = true;
  study.completed = true;
  study.programme = {step(Kind::ramp, 0, 471, 25, 718), step(Kind::hold, 471, 120, 718, 718, "degas"),
                     step(Kind::ramp, 591, 90.5, 718, 871.5),
                     step(Kind::hold, 681.5, 300, 871.5, 871.5, "sinter"),
                     step(Kind::cool, 981.5, 3600, 871.5, 871.5)};
  study.most_steps = 16;
  study.pressure = {pressed(0, 60, 5, 50, 13.27), pressed(60, 921.5, 50, 50, 13.27),
                    pressed(981.5, 300, 50, 5, -0.87)};
  study.panel_columns = {"time [s]",
                         "programme [degC]",
                         "die thermocouple [degC]",
                         "current effective [A]",
                         "voltage effective [V]",
                         "power [kW]"};
  study.panel = {check_at(240, -1, {"240", "378", "377", "1010", "2.50", "2.53"}, 466.4),
                 check_at(471, 0, {"471", "718", "716", "1490", "3.70", "5.51"}, 887.6),
                 check_at(981.5, 3, {"981.5", "871.5", "871", "1120", "3.05", "3.42"}, 1099.7),
                 check_at(4581.5, 4, {"4581.5", "", "61", "0", "0.00", "0.00"}, 63.2)};
  study.holds = {hold_met("degas", 471, 591, 900, 899.2), hold_met("sinter", 681.5, 981.5, 1100, 1100.6)};
  study.rms_K = 8.27;
  study.largest_K = -31.4;
  study.largest_s = 312.2;
  study.ramps = {ramp_to(0, 25, 900, 31.4, 312.2, 12.3, 55.2), ramp_to(2, 900, 1100, -9.6, 640, -0.8, 61.4)};
  tools::SlowerRamps slower;
  slower.longer_s = 1140;
  slower.ramps = {ramp_to(0, 25, 900, 14.2, 600, 5.1, 30.3), ramp_to(2, 900, 1100, 4.4, 1300, 2.2, 33.0)};
  study.slower = slower;
  Binding power;
  power.what = Binding::What::power;
  power.start_s = 190;
  power.end_s = 245;
  study.binding = {power};
  study.current_A = 1520;
  study.voltage_V = 4.13;
  study.power_W = 5660;
  study.density_end = 0.9731;
  StopValue early, voltage, reading, stroke;
  early.above = 1900;
  early.until_K = 600 + zero;
  voltage.what = StopValue::What::voltage;
  voltage.above = 5.16;
  reading.what = StopValue::What::reading;
  reading.above = 1090 + zero;
  stroke.what = StopValue::What::stroke;
  stroke.above = 4.25e-3;
  study.stops = {early, voltage, reading, stroke};
  study.runs = 14;
  study.warnings = {"The contact is a made-up one."};
  return study;
}

CorrectStudy for_density() {
  CorrectStudy study = made_up_card();
  study.density = 0.975;
  for (tools::HoldMet& hold : study.holds) hold.wished_K = nothing;
  study.rms_K = study.largest_K = nothing;
  study.ramps.clear();
  study.slower.reset();
  return study;
}

CorrectStudy transferred() {
  CorrectStudy study = made_up_card();
  study.like = "the run on the old press";
  study.meant = MeantFor::hottest;
  study.by_controller = false;
  study.why_exact = "The press file has no controller.";
  for (tools::HoldMet& hold : study.holds) {
    hold.low_K = hold.mean_K - 24.0;
    hold.high_K = hold.mean_K + 31.0;
  }
  return study;
}

CorrectStudy missing() {
  CorrectStudy study = made_up_card();
  study.holds[1].met_K = study.holds[1].mean_K = 1061.3 + zero;
  return study;
}

CorrectStudy failing() {
  CorrectStudy study = made_up_card();
  study.completed = false;
  study.reason = "At 640 s the powder melts.";
  return study;
}

CorrectStudy nasty() {
  CorrectStudy study = transferred();
  study.title = study.press = study.control = study.like = study.why_exact = study.holds[0].name =
      study.programme[1].name = study.panel_columns[2] = study.panel[0].shown[2] = study.version =
          study.case_sha256 = study.warnings[0] = hostile;
  return study;
}

CorrectStudy nasty_failure() {
  CorrectStudy study = nasty();
  study.completed = false;
  study.reason = hostile;
  return study;
}

CorrectStudy bare() {
  CorrectStudy study = made_up_card();
  study.title = study.press = "";
  study.most_steps = 0;
  study.pressure.clear();
  study.panel_columns.clear();
  for (tools::PanelCheck& check : study.panel) check.shown.clear();
  study.slower.reset();
  study.ramps.clear();
  study.binding.clear();
  study.stops.clear();
  study.warnings.clear();
  return study;
}

CorrectStudy in_furnace() {
  CorrectStudy study = made_up_card();
  study.control = "furnace";
  study.by_controller = false;
  study.panel_columns = {"time [s]", "programme [degC]", "die thermocouple [degC]", "stroke [mm]"};
  for (tools::PanelCheck& check : study.panel) check.shown = {"1", "900", "890", "1.25"};
  study.current_A = study.voltage_V = study.power_W = 0;
  study.stops = {study.stops[2]};
  study.binding.clear();
  return study;
}

CorrectStudy everything() {
  CorrectStudy study = made_up_card();
  study.panel_columns = {"programme [degC]",
                         "die thermocouple [degC]",
                         "punch pyrometer [degC]",
                         "skin pyrometer [degC]",
                         "current mean [A]",
                         "voltage mean [V]",
                         "power [kW]",
                         "force [kN]",
                         "gauge pressure [bar]",
                         "stroke [mm]"};
  study.panel.clear();
  for (int k = 0; k < 40; ++k)
    study.panel.push_back(
        check_at(100.0 * k + 3.0, k % 10 == 9 ? k / 10 : -1,
                 {"777", "768", "927", "801", "1080", "2.66", "2.87", "14.5", "72.5", "-0.21"}, 900.0 + k));
  study.binding.clear();
  for (const Binding::What what : {Binding::What::current, Binding::What::voltage, Binding::What::power,
                                   Binding::What::off, Binding::What::rate, Binding::What::power}) {
    Binding binding;
    binding.what = what;
    binding.start_s = 190 + 3600.0 * static_cast<double>(study.binding.size());
    binding.end_s = binding.start_s + 55;
    study.binding.push_back(binding);
  }
  study.slower->factor = 1.5;
  study.slower->longer_s = 75;
  study.ramps.push_back(ramp_to(3, 1100, 600, -20.0, 1500, -4.0, 40.0));  // falls: hotter is behind
  study.ramps.push_back(ramp_to(4, 600, 500, 0.2, 1600, 0.1, 12.0));
  study.stops.push_back(study.stops[0]);
  study.stops.back().until_K.reset();
  return study;
}

const std::vector<CorrectStudy>& all_kinds() {
  static const std::vector<CorrectStudy> kinds{made_up_card(), for_density(), transferred(),   missing(),
                                               failing(),      nasty(),       nasty_failure(), bare(),
                                               in_furnace(),   everything(),  CorrectStudy{}};
  return kinds;
}

}  // namespace joulepress::test
