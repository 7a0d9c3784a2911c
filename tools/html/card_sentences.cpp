#include <algorithm>
#include <cmath>

#include "tools/html/card_content.hpp"
#include "tools/screen/clock.hpp"

namespace joulepress::tools::html {
namespace {

constexpr double unseen_K = 0.5;  ///< no lag is spoken of below it; own choice

bool is_missed(const HoldMet& hold) {
  return std::isfinite(hold.wished_K) && !(std::abs(hold.met_K - hold.wished_K) <= missed_K);
}

bool density_missed(const CorrectStudy& study) {
  return study.density && !(std::abs(study.density_end - *study.density) <= missed_density);
}

/// What a lag is called: positive where the powder stays behind, whichever way the ramp goes.
double behind_K(const RampFollowed& ramp, double lag_K) {
  return ramp.to_K < ramp.from_K ? -lag_K : lag_K;
}

std::string side_words(double behind, const Words& say) {
  return say(behind < 0.0 ? "{} K ahead" : "{} K behind", say.number(std::abs(behind)));
}

std::string ramp_words(const RampFollowed& ramp, const Words& say) {
  const double most = behind_K(ramp, ramp.largest_lag_K), end = behind_K(ramp, ramp.end_lag_K);
  const std::string to = whole_celsius(ramp.to_K, say), uneven = number_or_dash(ramp.end_spread_K, 0, say);
  if (std::abs(most) < unseen_K)
    return say("In the ramp to {} the powder follows the wish; at its end it is {} K uneven.", to, uneven);
  return say(most < 0.0 ? "In the ramp to {} the powder runs up to {} K ahead of the wish (at {}); at its "
                          "end it is {} and {} K uneven."
                        : "In the ramp to {} the powder stays up to {} K behind the wish (at {}); at its "
                          "end it is {} and {} K uneven.",
             to, say.number(std::abs(most)), clock_time(ramp.largest_lag_s), side_words(end, say), uneven);
}

/// "19 min", "45 s".
std::string duration_words(double seconds, const Words& say) {
  return seconds < 120.0 ? say.number(seconds) + " s" : say.number(seconds / 60.0) + " min";
}

/// What ramps that take longer would bring to one of them; empty: not known.  `again`: how much longer has
/// been said.
std::string slower_words(const CorrectStudy& study, const RampFollowed& ramp, bool again, const Words& say) {
  if (!study.slower) return {};
  const auto& ramps = study.slower->ramps;
  const auto found = std::find_if(ramps.begin(), ramps.end(),
                                  [&](const RampFollowed& other) { return other.step == ramp.step; });
  if (found == ramps.end()) return {};
  const std::string longer = duration_words(study.slower->longer_s, say),
                    most = side_words(behind_K(*found, found->largest_lag_K), say),
                    end = side_words(behind_K(*found, found->end_lag_K), say),
                    uneven = number_or_dash(found->end_spread_K, 0, say);
  if (again)
    return say("With those longer ramps it would be up to {}, then {} and {} K uneven.", most, end, uneven);
  if (std::abs(study.slower->factor - 2.0) < 0.005)
    return say("With ramps twice as long ({} more in all) it would be up to {}, then {} and {} K uneven.",
               longer, most, end, uneven);
  return say("With ramps {} times as long ({} more in all) it would be up to {}, then {} and {} K uneven.",
             say.number(study.slower->factor, 1), longer, most, end, uneven);
}

const char* binding_words(Binding::What what) {
  switch (what) {
    case Binding::What::current:
      return "{} the current was at the press's limit.";
    case Binding::What::voltage:
      return "{} the voltage was at the press's limit.";
    case Binding::What::power:
      return "{} the power was at the press's limit.";
    case Binding::What::off:
      return "{} the programme falls faster than the stack cools; the current is off.";
    case Binding::What::rate:
      return "{} the programme has the fastest rate that the press takes.";
  }
  return "";
}

/// What is above its value, and what that may come from.
struct StopWords {
  std::string what;
  const char* cause;
};

StopWords stop_words(const CorrectStudy& study, const StopValue& stop, const Words& say) {
  switch (stop.what) {
    case StopValue::What::current:
      return {say("the current is above {} A", number_or_dash(stop.above, 0, say)),
              "contact lost, or couple not seated"};
    case StopValue::What::voltage:
      return {say("the voltage is above {} V", number_or_dash(stop.above, 2, say)),
              "contact lost, or something conducts less than assumed"};
    case StopValue::What::reading:
      return {say(by_furnace(study) ? "the furnace reads above {}" : "the sensor reads above {}",
                  whole_celsius(stop.above, say)),
              "the controller has lost its hold"};
    case StopValue::What::stroke:
      return {say("the stroke is above {} mm", number_or_dash(1e3 * stop.above, 2, say)),
              "powder leaves the die, or a part gives way"};
  }
  return {};
}

}  // namespace

bool is_missed(const CorrectStudy& study) {
  return density_missed(study) || std::any_of(study.holds.begin(), study.holds.end(),
                                              [](const HoldMet& hold) { return is_missed(hold); });
}

std::vector<CardSentence> missed_sentences(const CorrectStudy& study, const Words& say) {
  std::vector<CardSentence> said;
  for (const HoldMet& hold : study.holds) {
    if (!is_missed(hold)) continue;
    const double more = hold.met_K - hold.wished_K;
    const std::string name = harmless(hold.name), wished = whole_celsius(hold.wished_K, say);
    said.push_back({!std::isfinite(more)
                        ? say("In “{}” it is not known what the powder gets of the {} wished.", name, wished)
                        : say(more < 0.0 ? "In “{}” the powder gets {}: {} K less than the {} wished."
                                         : "In “{}” the powder gets {}: {} K more than the {} wished.",
                              name, whole_celsius(hold.met_K, say), say.number(std::abs(more), 1), wished)});
  }
  if (density_missed(study))
    said.push_back({say("The density at the end is {} % and not the {} % wished.",
                        percent_dense(study.density_end, say), percent_dense(*study.density, say))});
  return said;
}

std::vector<CardSentence> binding_sentences(const CorrectStudy& study, const Words& say) {
  using What = Binding::What;
  std::vector<CardSentence> said;
  for (const What what : {What::current, What::voltage, What::power, What::off, What::rate}) {
    std::string spans;
    for (const Binding& binding : study.binding)
      if (binding.what == what)
        spans += (spans.empty() ? "" : ", ") + say(spans.empty() ? "From {} to {}" : "from {} to {}",
                                                   clock_time(binding.start_s), clock_time(binding.end_s));
    if (!spans.empty()) said.push_back({say(binding_words(what), spans)});
  }
  return said;
}

std::vector<CardSentence> near_sentences(const CorrectStudy& study, const Words& say) {
  std::vector<CardSentence> said;
  // Where a density is wished, no temperatures are.
  if (!study.density && std::isfinite(study.rms_K) && std::isfinite(study.largest_K))
    said.push_back({say(
        "Over all that is wished the powder is {} K (rms) from the wish, at most {} K, at {}.",
        say.number(study.rms_K, 1), say.signed_number(study.largest_K, 1), clock_time(study.largest_s))});
  bool again = false;
  for (const RampFollowed& ramp : study.ramps) {
    const std::string slower = slower_words(study, ramp, again, say);
    again = again || !slower.empty();
    said.push_back({ramp_words(ramp, say) + (slower.empty() ? "" : " " + slower)});
  }
  return said;
}

std::vector<CardSentence> stop_sentences(const CorrectStudy& study, const Words& say) {
  std::vector<CardSentence> said;
  for (const StopValue& stop : study.stops) {
    const StopWords words = stop_words(study, stop, say);
    const std::string what = stop.until_K ? say(by_furnace(study) ? "{} before the furnace reads {}"
                                                                  : "{} before the sensor reads {}",
                                                words.what, whole_celsius(*stop.until_K, say))
                                          : words.what;
    said.push_back({say("{} ({})", what, say(words.cause))});
  }
  return said;
}

}  // namespace joulepress::tools::html
