// Rows of two values and their difference, in the units of the trade.
#pragma once

#include <string>

namespace joulepress::tools {

/// How a number stands on the screen: shown = value * factor + zero.
struct Shown {
  double factor, zero;
  int decimals;
  const char *unit, *unit_of_difference;
  bool percent;  ///< the difference in percent of A beside it
};

inline constexpr Shown in_degC{1, -273.15, 1, "degC", "K", false};
inline constexpr Shown in_kelvin{1, 0, 1, "K", "K", false};  ///< differences of temperature
inline constexpr Shown in_ampere{1, 0, 0, "A", "A", true};
inline constexpr Shown in_volt{1, 0, 2, "V", "V", true};
inline constexpr Shown in_kW{1e-3, 0, 2, "kW", "kW", true};
inline constexpr Shown in_kJ{1e-3, 0, 1, "kJ", "kJ", true};
inline constexpr Shown in_kN{1e-3, 0, 2, "kN", "kN", true};
inline constexpr Shown in_MPa{1e-6, 0, 1, "MPa", "MPa", false};
inline constexpr Shown in_margin{1, 0, 2, "", "", false};  ///< strength over stress
inline constexpr Shown in_percent{100, 0, 1, "%", "%", false};
inline constexpr Shown in_mm{1e3, 0, 1, "mm", "mm", false};
inline constexpr Shown in_fine_mm{1e3, 0, 3, "mm", "mm", false};  ///< strokes
inline constexpr Shown in_density{100, 0, 2, "%", "%", false};    ///< of full density
inline constexpr Shown in_joule{1, 0, 1, "J", "J", true};
inline constexpr Shown in_seconds{1, 0, 1, "s", "s", false};
inline constexpr Shown as_count{1, 0, 0, "", "", false};

/// Without unit; "-" where there is no value (NaN).
std::string number_text(double value, const Shown& how);

/// Without unit: "same" when equal to the last bit; one digit of it where the decimals would hide it; "~0"
/// below a ten thousandth of the last decimal, where rounding rules; empty where one has no value (NaN).
std::string difference_text(double a, double b, const Shown& how);

/// Heads of the columns; `last` stands over the notes.
std::string table_head(const std::string& last = {});

/// Empty when neither has a value; "-" where one has none.  `note`: in place of the percentage.
std::string table_row(const std::string& what, double a, double b, const Shown& how,
                      const std::string& note = {});

/// As a row of words, without difference.
std::string word_row(const std::string& what, const std::string& a, const std::string& b);

}  // namespace joulepress::tools
