// How the rows of the key table are written; see keys.hpp.  A row reads like a sentence:
//   amount("bore", Kind::length, "Diameter of a hole along the axis.").standard("0 mm").least("0 mm")
#pragma once

#include <vector>

#include "cases/reader/keys.hpp"

namespace joulepress::cases {

class Row {
 public:
  Row(std::string_view name, unsigned holds, std::string_view means) {
    key_.name = name;
    key_.holds = holds;
    key_.means = means;
  }
  Row needed(bool yes = true) { return with(&Key::required, yes); }
  Row standard(std::string_view value) { return with(&Key::standard, value); }
  Row otherwise(std::string_view what) { return with(&Key::otherwise, what); }
  Row above(std::string_view value) { return with(&Key::above, value); }
  Row least(std::string_view value) { return with(&Key::least, value); }
  Row most(std::string_view value) { return with(&Key::most, value); }
  Row example(std::string_view value) { return with(&Key::example, value); }
  Row kind(std::optional<Kind> value) { return with(&Key::kind, value); }
  Row choices(std::string_view value) { return with(&Key::choices, value); }
  Row inner(std::string_view group_name) { return with(&Key::inner, group_name); }
  Row varies(Spread spread = {}) { return with(&Key::may_vary, true).with(&Key::spread, spread); }
  Row or_text() { return also(Holds::words); }
  Row or_word(std::string_view value) { return also(Holds::word).choices(value); }
  Row or_keys(std::string_view group_name) { return also(Holds::group).inner(group_name); }
  const Key& key() const { return key_; }

 private:
  template <class T>
  Row with(T Key::*member, T value) {
    key_.*member = value;
    return *this;
  }
  Row also(unsigned holds) {
    key_.holds |= holds;
    return *this;
  }
  Key key_;
};

inline Row amount(std::string_view name, std::optional<Kind> kind, std::string_view means) {
  return Row(name, Holds::quantity, means).kind(kind);
}
inline Row text(std::string_view name, std::string_view means) {
  return {name, Holds::words, means};
}
inline Row one_of(std::string_view name, std::string_view choices, std::string_view means) {
  return Row(name, Holds::word, means).choices(choices);
}
inline Row on_off(std::string_view name, std::string_view means) {
  return {name, Holds::flag, means};
}
inline Row whole_number(std::string_view name, std::string_view means) {
  return {name, Holds::whole, means};
}
inline Row keys_of(std::string_view group, std::string_view name, std::string_view means) {
  return Row(name, Holds::group, means).inner(group);
}
inline Row list_of(std::string_view group, std::string_view name, std::string_view means) {
  return Row(name, Holds::list, means).inner(group);
}
inline Row rows_of_numbers(std::string_view name, std::string_view means) {
  return {name, Holds::numbers, means};
}

/// One standard deviation either way, as written.
inline Spread deviation(std::string_view size, std::string_view source) {
  return {Spread::Kind::deviation, size, source};
}
/// Log-normal: two standard deviations either way are this factor.
inline Spread within_factor(std::string_view size, std::string_view source) {
  return {Spread::Kind::factor, size, source};
}

/// The table as it grows, group after group.
class KeyTable {
 public:
  void add(std::string_view group, const std::vector<Row>& rows) {
    for (const Row& row : rows) {
      keys.push_back(row.key());
      keys.back().group = group;
    }
  }
  std::vector<Key> keys;
};

void add_case_keys(KeyTable& table);
void add_press_keys(KeyTable& table);
void add_stack_keys(KeyTable& table);
void add_sensor_keys(KeyTable& table);
void add_programme_keys(KeyTable& table);
void add_material_keys(KeyTable& table);
void add_powder_keys(KeyTable& table);
void add_plan_keys(KeyTable& table);
void add_log_keys(KeyTable& table);
void add_calibration_keys(KeyTable& table);

}  // namespace joulepress::cases
