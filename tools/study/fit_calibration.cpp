#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/calibrate.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::tools {
namespace {

constexpr double learned_nothing = 0.99;  // left, and
constexpr double stayed = 0.05;           // score: the input keeps what it had
constexpr std::string_view and_model = " and error of the model";

/// What a property was multiplied by before the logs; 1 of what is no property.
double earlier_factor(const cases::Case& c, const std::string& address) {
  const auto place = cases::calibrated_place(address);
  return place && !place->key ? cases::whole_factor(c, place->material, place->property) : 1.0;
}

/// An input of the calibration.
struct Kept {
  int index = 0;       ///< in FitStudy::inputs
  double widened = 1;  ///< its deviation by what the fit has of it
};

/// What lies beyond the logs goes on as an error of the instrument whose reading was met: whatever follows
/// that reading is then as unsure as the fit itself.  0: not such an instrument.
double model_error_at(const FitStudy& study, const FittedInput& input) {
  double error_K = 0.0;
  for (const PowderLearned& p : study.powder)
    for (const FittedValue& value : input.values)
      if (value.address == fmt::format("sensors[{}].reads high by", p.sensor))
        error_K = std::max(error_K, p.beyond_logs_K);
  return error_K;
}

}  // namespace

cases::Case calibrated_case(const FitRuns& runs, const FitStudy& study) {
  cases::ErrorList errors;
  cases::Case c = cases::read_case(runs.document_at(study.scores), {}, errors);
  errors.throw_if_any();
  cases::Calibration calibration;
  if (runs.the_case().calibration) calibration.logs = runs.the_case().calibration->logs;
  for (const FitLog& log : study.logs)
    calibration.logs.push_back(
        {std::filesystem::path(log.file).filename().string(), log.sha256, log.began, study.title});
  std::vector<Kept> kept;
  for (std::size_t k = 0; k < study.inputs.size(); ++k) {
    const FittedInput& input = study.inputs[k];
    const double model = model_error_at(study, input);
    if (input.left > learned_nothing && std::abs(input.score) < stayed && model == 0.0) continue;
    // Once, however many calibrations have been made.
    const bool has_it = input.name.ends_with(and_model);
    const double own = input.values.front().before.size * input.left;
    const double widened = has_it ? std::max(1.0, model / own) : std::hypot(1.0, model / own);
    kept.push_back({static_cast<int>(k), widened});
    cases::CalibratedInput out;
    out.name = input.name;
    if (model > 0.0 && !has_it) out.name += and_model;
    out.left = input.left * widened;
    for (const FittedValue& value : input.values) {
      cases::CalibratedValue spread;
      spread.address = value.address;
      if (value.before.kind == inverse::Distribution::Kind::log_normal)
        spread.factor = std::pow(value.before.size, out.left);
      else
        spread.deviation = value.before.size * out.left * earlier_factor(runs.the_case(), value.address);
      out.values.push_back(std::move(spread));
    }
    calibration.inputs.push_back(std::move(out));
  }
  for (const Kept& i : kept)
    for (const Kept& j : kept)
      calibration.correlation.push_back(
          i.index == j.index ? 1.0 : study.correlation(i.index, j.index) / (i.widened * j.widened));
  c.calibration = std::move(calibration);
  return c;
}

}  // namespace joulepress::tools
