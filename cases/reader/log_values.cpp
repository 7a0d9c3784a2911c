#include "cases/reader/log_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <numeric>
#include <set>

namespace joulepress::cases {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
/// Graphite sublimes before (3915 K at 1 bar, from memory): no press shows so much.
constexpr double hottest = 4273.15;  // K
/// Limits are compared as written; their way to SI may cost the last bit.
constexpr double same = 1e-6;  // K

enum Reason : std::size_t {
  empty,
  open_circuit,
  below_sight,
  outside_range,
  no_temperature,
  no_number,
  reasons
};
constexpr std::array<std::string_view, reasons> reason_words{
    "empty", "open circuit", "below its sight", "outside its range", "no temperature", "no number"};

/// Words that panels write where a couple is broken or not plugged in.
bool is_open_word(std::string_view cell) {
  constexpr std::array words{"OL",       "O.L.", "OVL",   "OVER",   "OVERRANGE", "OVER RANGE",
                             "OVERFLOW", "OPEN", "OFFEN", "BRUCH",  "BREAK",     "BURNOUT",
                             "B.OUT",    "ERR",  "ERROR", "FEHLER", "FAULT",     "INF",
                             "+INF",     "-INF", "HIGH",  "HI",     "UR",        "OR"};
  std::string upper(cell);
  for (char& c : upper)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  return std::find(words.begin(), words.end(), upper) != words.end();
}

/// Words and strokes that stand for nothing.
bool is_nothing_word(std::string_view cell) {
  constexpr std::array words{"NAN", "N/A", "NA", "NULL", "NONE", "#N/A", "#NV", "NV", "K.A.", "-NAN", "X"};
  std::string upper(cell);
  for (char& c : upper)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  if (std::find(words.begin(), words.end(), upper) != words.end()) return true;
  // ----, **** and ####, also of the dashes of typesetting
  for (const std::string_view dash : {"\xE2\x80\x93", "\xE2\x80\x94"})
    for (std::size_t at; (at = upper.find(dash)) != std::string::npos;) upper.replace(at, dash.size(), "-");
  return upper.find_first_not_of("-*#_?. ") == std::string::npos;
}

/// The last digit that a column is written with, and the step of 1, 2 or 5 of it that all its values keep.
class Digits {
 public:
  void add(const LogNumber& number) {
    least_ = std::min(least_, number.digits);
    if (values_.size() < enough) values_.insert(number.value);
  }
  double step() const {
    if (values_.empty()) return 0.0;
    const double digit = std::pow(10.0, least_);
    if (values_.size() < few) return digit;
    std::int64_t common = 0;
    constexpr double exact = 1e15;  // whole numbers below are what they seem
    for (const double value : values_) {
      if (!(std::abs(value / digit) < exact)) return digit;
      common = std::gcd(common, std::llround(value / digit));
    }
    std::int64_t step = 1;
    for (const std::int64_t power : {1, 10, 100})
      for (const std::int64_t unit : {1, 2, 5})
        if (common % (unit * power) == 0) step = std::max(step, unit * power);
    return digit * static_cast<double>(step);
  }

 private:
  /// By chance ten different numbers are all even once in a thousand times (own choice).
  static constexpr std::size_t few = 10, enough = 1000;
  int least_ = std::numeric_limits<int>::max();
  std::set<double> values_;
};

/// One column as read; which of its values are left out and why.
struct RawColumn {
  std::vector<double> values;
  std::array<int, reasons> left_out{};
  double digit = 0;
};

class ColumnReader {
 public:
  ColumnReader(const LogTable& table, const LogTimes& times, NumberStyle style, ErrorList& errors)
      : table_(table), times_(times), style_(style), errors_(errors) {}

  RawColumn read(const ColumnPlan& plan) {
    RawColumn raw;
    raw.values.reserve(times_.rows.size());
    Digits digits;
    const LogTable::Row* odd_row = nullptr;
    int odd = 0;
    for (const std::size_t r : times_.rows) {
      const LogTable::Row& row = table_.rows[r];
      const std::string_view cell = table_.cell(row, plan.column);
      const auto number = number_in(cell, style_);
      const Reason reason = number ? reasons : why_none(plan, cell);
      if (reason == no_number && !is_nothing_word(cell)) {
        if (odd++ == 0) odd_row = &row;
      }
      if (reason == reasons) digits.add(*number);
      raw.values.push_back(number ? in_si(plan, number->value) : nothing);
      if (reason != reasons) ++raw.left_out[reason];
    }
    raw.digit = digits.step() * plan.unit.factor;
    refuse_odd(plan, raw, odd_row, odd);
    if (plan.mapped && plan.mapped->zero_at_start) start_at_zero(raw.values);
    leave_out(plan, raw);
    return raw;
  }

 private:
  static Reason why_none(const ColumnPlan& plan, std::string_view cell) {
    if (cell.empty()) return empty;
    return plan.logged.what == Logged::reading && is_open_word(cell) ? open_circuit : no_number;
  }

  static double in_si(const ColumnPlan& plan, double number) {
    const double value = number * plan.unit.factor + plan.unit.offset;
    return plan.mapped && plan.mapped->reversed ? -value : value;
  }

  /// Most cells hold something that is neither number nor one of the known words.
  void refuse_odd(const ColumnPlan& plan, const RawColumn& raw, const LogTable::Row* row, int odd) {
    const auto filled = static_cast<int>(raw.values.size()) - raw.left_out[empty];
    if (!row || 2 * odd <= filled) return;
    errors_.add(table_.place(*row, plan.column), plan.mapped ? plan.mapped->written.path : "columns.is",
                fmt::format("\"{}\" is no number; {} of the {} values of \"{}\" are none.",
                            table_.cell(*row, plan.column), odd, filled, plan.logged.heading),
                "Take units and signs out of the cells, or say in the map `is: ignored`.");
  }

  static void start_at_zero(std::vector<double>& values) {
    const auto first = std::find_if(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
    if (first == values.end()) return;
    const double zero = *first;
    for (double& value : values) value -= zero;
  }

  static void leave_out(const ColumnPlan& plan, RawColumn& raw) {
    const bool temperature = plan.unit.kind == Kind::temperature;
    if (!temperature) return;
    const MappedColumn none;
    const MappedColumn& says = plan.mapped ? *plan.mapped : none;
    for (double& value : raw.values) {
      if (!std::isfinite(value)) continue;
      Reason reason = reasons;
      if (!(value > 0.0) || !(value < hottest)) reason = no_temperature;
      if (says.valid_from && !(value >= *says.valid_from - same)) reason = outside_range;
      if (says.valid_to && !(value <= *says.valid_to + same)) reason = outside_range;
      if (says.sees_from && !(value > *says.sees_from + same)) reason = below_sight;
      if (says.open_above && !(value < *says.open_above - same)) reason = open_circuit;
      if (reason == reasons) continue;
      ++raw.left_out[reason];
      value = nothing;
    }
  }

  const LogTable& table_;
  const LogTimes& times_;
  NumberStyle style_;
  ErrorList& errors_;
};

/// Two columns of one sensor: where both count the first of the file does.
void merge(LoggedColumn& into, RawColumn& raw, const LoggedColumn& next, const RawColumn& more) {
  into.heading += " + " + next.heading;
  raw.digit = std::max(raw.digit, more.digit);
  for (std::size_t k = 0; k < raw.values.size(); ++k)
    if (!std::isfinite(raw.values[k])) raw.values[k] = more.values[k];
  for (std::size_t k = 0; k < reasons; ++k) raw.left_out[k] += more.left_out[k];
}

}  // namespace

std::vector<LoggedColumn> read_columns(const ColumnPlans& plans, const LogTable& table, const LogTimes& times,
                                       NumberStyle style, ErrorList& errors) {
  std::vector<LoggedColumn> columns;
  std::vector<RawColumn> raws;
  ColumnReader reader(table, times, style, errors);
  for (const ColumnPlan& plan : plans.read) {
    RawColumn raw = reader.read(plan);
    const auto same_sensor =
        std::find_if(columns.begin(), columns.end(), [&plan](const LoggedColumn& column) {
          return column.what == Logged::reading && plan.logged.what == Logged::reading &&
                 column.sensor == plan.logged.sensor;
        });
    if (same_sensor == columns.end()) {
      columns.push_back(plan.logged);
      raws.push_back(std::move(raw));
    } else {
      merge(*same_sensor, raws[static_cast<std::size_t>(same_sensor - columns.begin())], plan.logged, raw);
    }
  }
  for (std::size_t k = 0; k < columns.size(); ++k) {
    columns[k].digit = raws[k].digit;
    columns[k].values = std::move(raws[k].values);
    for (std::size_t why = 0; why < reasons; ++why)
      if (raws[k].left_out[why] > 0)
        columns[k].left_out.push_back({raws[k].left_out[why], std::string(reason_words[why])});
  }
  return columns;
}

}  // namespace joulepress::cases
