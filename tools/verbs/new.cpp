// The dialogue: one question a line, Enter takes the value in brackets, a bad answer is explained and asked
// again.  What is proposed and what cannot be is decided in cases/proposed_stack.
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <istream>
#include <ostream>

#include "cases/build_problem.hpp"
#include "cases/propose_case.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/input_error.hpp"
#include "cases/reader/keys.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_files.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

namespace fs = std::filesystem;
using cases::Answers;
using cases::Kind;

std::string trimmed(const std::string& text) {
  constexpr const char* blank = " \t\r";
  const std::size_t from = text.find_first_not_of(blank);
  return from == std::string::npos ? std::string()
                                   : text.substr(from, text.find_last_not_of(blank) - from + 1);
}

/// Problems and remedies of a file, without places: the file is not written yet.
std::string in_short(const cases::InputErrors& errors) {
  std::string text;
  for (const cases::InputError& error : errors.errors())
    text += fmt::format("{}{}: {} {}", text.empty() ? "" : "\n  ", error.key, error.problem, error.remedy);
  return text;
}

struct Question {
  std::string about;                                    ///< key of the case it decides, for a way back
  std::function<std::string()> words, usual;            ///< what is asked; what Enter takes
  std::function<std::string(const std::string&)> take;  ///< keeps the answer, or says why it cannot be
  std::string said = {};                                ///< the last answer that was typed and taken
};

class Dialogue {
 public:
  Dialogue(const NewOptions& options, std::istream& answers, std::ostream& screen)
      : options_(options), input_(answers), screen_(screen), file_(options.file) {
    ask_about_powder();
    ask_about_press_and_die();
    ask_about_programme();
    if (options_.file.empty()) ask_for_file();
  }

  int run();

 private:
  using Member = std::string Answers::*;

  void ask(std::string about, std::function<std::string()> words, std::function<std::string()> usual,
           std::function<std::string(const std::string&)> take) {
    questions_.push_back({std::move(about), std::move(words), std::move(usual), std::move(take)});
  }

  /// A question for a quantity of one key; `fault` sees it among the answers.
  void ask_quantity(Member member, const char* words, const char* group, const char* name, Kind kind,
                    std::function<std::string()> usual, std::function<std::string()> fault) {
    ask(
        name, [words] { return std::string(words); }, std::move(usual),
        [this, member, group, name, kind, fault = std::move(fault)](const std::string& said) {
          const cases::Quantity quantity = cases::value_of(*cases::find_key(group, name), kind, said);
          if (!quantity.good()) return quantity.problem + " " + quantity.remedy;
          answers_.*member = said;
          return fault();
        });
  }

  void ask_about_powder();
  void ask_about_press_and_die();
  void ask_about_programme();
  void ask_for_file();

  std::string take_powder(const std::string& said);
  std::string take_press(const std::string& said);
  std::string take_file(const std::string& said);
  std::string usual_press() const;
  std::string usual_file() const;
  std::string fault_of_file(const fs::path& file) const;

  /// False when the input has ended.
  bool ask_all(std::size_t first);
  /// Where to go on after the case could not be read or built.
  std::size_t question_about(const cases::InputErrors& errors) const;
  void show_written() const;

  const NewOptions& options_;
  std::istream& input_;
  std::ostream& screen_;
  std::vector<Question> questions_;
  Answers answers_;
  materials::Material powder_;
  cases::Press press_;
  fs::path file_;
};

std::function<std::string()> always(const char* words) {
  return [words] { return std::string(words); };
}

/// No rule beyond the key table.
std::string no_fault() {
  return {};
}

std::vector<std::string> powders() {
  std::vector<std::string> names;
  for (const fs::path& file : cases::shipped_materials()) {
    const materials::Material material = cases::read_material(file);
    if (cases::pressed_as_powder(material)) names.push_back(material.name);
  }
  return names;
}

void Dialogue::ask_about_powder() {
  ask_quantity(&Answers::diameter, "Sample diameter", "column", "diameter", Kind::length, always("20 mm"),
               no_fault);
  ask(
      "powder", [] { return fmt::format("Powder ({}, or your own)", cases::listed(powders())); },
      always("alumina"), [this](const std::string& said) { return take_powder(said); });
  ask(
      "mass", always("Mass of powder, or height of the dense compact"),
      [this] { return cases::usual_amount(answers_); },
      [this](const std::string& said) {
        const cases::Quantity amount = cases::amount_of(said);
        if (!amount.good()) return amount.problem + " " + amount.remedy;
        answers_.amount = said;
        return std::string();
      });
  ask_quantity(
      &Answers::start_density, "Relative density under the preload", "start density", "value", Kind::ratio,
      [this] { return cases::usual_start_density(powder_); },
      [this] { return cases::fault_of_start_density(answers_); });
}

void Dialogue::ask_about_press_and_die() {
  ask(
      "press",
      [] {
        return fmt::format("Press ({}, or a press file)",
                           cases::listed(cases::shipped_presses_with_current()));
      },
      [this] { return usual_press(); }, [this](const std::string& said) { return take_press(said); });
  ask_quantity(
      &Answers::die_diameter, "Outer diameter of the die", "sleeve", "outer diameter", Kind::length,
      [this] { return cases::usual_die_diameter(answers_); },
      [this] { return cases::fault_of_die_diameter(answers_); });
  ask_quantity(
      &Answers::die_height, "Height of the die", "sleeve", "height", Kind::length,
      [this] { return cases::usual_die_height(answers_, powder_); },
      [this] { return cases::fault_of_die_height(answers_, powder_); });
}

void Dialogue::ask_about_programme() {
  ask_quantity(
      &Answers::pressure, "Full pressure on the powder", "pressure step", "ramp to", Kind::pressure,
      [this] { return cases::usual_pressure(answers_, press_); },
      [this] { return cases::fault_of_pressure(answers_, press_); });
  ask_quantity(
      &Answers::temperature, "Hold temperature", "step", "ramp to", Kind::temperature,
      [this] { return cases::usual_temperature(powder_); },
      [this] { return cases::fault_of_temperature(answers_, powder_); });
  ask(
      "control",
      [this] {
        return fmt::format("Shall the sensor read {0}, or is it wished for the powder (sensor or powder)",
                           answers_.temperature);
      },
      always("sensor"),
      [this](const std::string& said) {
        const std::vector<std::string> known{"sensor", "powder"};
        answers_.for_powder = said == "powder";
        if (said == "sensor" || said == "powder") return std::string();
        return fmt::format("\"{}\" is not known here. {}", said, cases::suggestion(said, known));
      });
  ask_quantity(&Answers::rate, "Heating rate", "step", "rate", Kind::temperature_rate, always("100 degC/min"),
               no_fault);
  ask_quantity(&Answers::hold, "Hold time", "step", "hold", Kind::time, always("5 min"), no_fault);
}

void Dialogue::ask_for_file() {
  ask(
      "file", always("Case file"), [this] { return usual_file(); },
      [this](const std::string& said) { return take_file(said); });
}

std::string Dialogue::take_powder(const std::string& said) {
  const fs::path file = cases::find_material(said, file_.parent_path());
  if (file.empty())
    return fmt::format(
        "There is no material \"{}\". {} A private material may stand in a file beside the case.", said,
        cases::suggestion(said, powders()));
  if (fs::exists(file_) && fs::equivalent(file, file_))
    return fmt::format("The case would be written over \"{}\". Take another powder, or another --out.",
                       file.string());
  try {
    powder_ = cases::read_material(file);
  } catch (const cases::InputErrors& errors) {
    return fmt::format("{} cannot be used: {}", file.string(), in_short(errors));
  }
  if (powder_.name != said)
    return fmt::format("The file \"{}\" holds \"{}\", not \"{}\". Name it after its material.",
                       file.filename().string(), powder_.name, said);
  answers_.powder = said;
  return {};
}

std::string Dialogue::take_press(const std::string& said) {
  const std::vector<std::string> shipped = cases::shipped_presses();
  const bool known = std::find(shipped.begin(), shipped.end(), said) != shipped.end();
  const std::vector<std::string> with_current = cases::shipped_presses_with_current();
  if (known && std::find(with_current.begin(), with_current.end(), said) == with_current.end())
    return fmt::format(
        "\"{}\" heats by a furnace, and this writes a case for a current: start from "
        "cases/furnace-heated-20mm.yaml instead.",
        said);
  const std::string name = known ? fmt::format("presses/{}.yaml", said) : said;
  const fs::path file = cases::included_file(name, file_.parent_path());
  if (!fs::is_regular_file(file))
    return fmt::format("There is no press \"{}\". {} Or give the name of a press file beside the case.", said,
                       cases::suggestion(said, with_current));
  try {
    press_ = cases::read_press(file);
  } catch (const cases::InputErrors& errors) {
    return fmt::format("{} cannot be used: {}", file.string(), in_short(errors));
  }
  answers_.press = name;
  return {};
}

/// The smallest shipped press that gives the usual pressure on this diameter, else the strongest.
std::string Dialogue::usual_press() const {
  std::string best;
  double best_pressure = 0.0, best_force = 0.0;
  for (const std::string& name : cases::shipped_presses_with_current()) {
    const cases::Press press =
        cases::read_press(cases::included_file(fmt::format("presses/{}.yaml", name), file_.parent_path()));
    const double pressure =
        cases::parse_quantity(cases::usual_pressure(answers_, press), Kind::pressure).value;
    const double force = press.force_limit.value_or(0.0);
    if (pressure < best_pressure || (pressure == best_pressure && force >= best_force)) continue;
    best = name;
    best_pressure = pressure;
    best_force = force;
  }
  return best;
}

std::string Dialogue::usual_file() const {
  std::string stem = answers_.powder + "-";
  for (const char c : answers_.diameter)
    if (c != ' ') stem += c;
  for (char& c : stem)
    if (c == ' ' || c == '/') c = '-';
  std::string name = stem + ".yaml";
  for (int k = 2; fs::exists(name); ++k) name = fmt::format("{}-{}.yaml", stem, k);
  return name;
}

std::string Dialogue::fault_of_file(const fs::path& file) const {
  const fs::path folder = file.parent_path();
  if (!folder.empty() && !fs::is_directory(folder))
    return fmt::format("There is no folder \"{}\". Make it, or give another name.", folder.string());
  if (fs::exists(file) && (!options_.replace || !fs::is_regular_file(file)))
    return fmt::format("\"{}\" exists. Give another name{}.", file.string(),
                       fs::is_regular_file(file) ? ", or start with --replace" : "");
  for (const std::string& material : cases::material_names())
    if (file.filename() == cases::shipped_material(material).filename())
      return fmt::format("A file \"{}\" would be taken for the material \"{}\". Give another name.",
                         file.filename().string(), material);
  return {};
}

std::string Dialogue::take_file(const std::string& said) {
  if (std::any_of(said.begin(), said.end(), [](unsigned char c) { return c < ' '; }))
    return "The name has characters that cannot be seen. Give another name.";
  fs::path file = said;
  if (file.extension() != ".yaml") file += ".yaml";
  const fs::path folder = file.parent_path();
  if (std::string fault = fault_of_file(file); !fault.empty()) return fault;
  if (fs::exists(file) && fs::equivalent(file, powder_.file))
    return "That file holds the powder's material. Give another name.";
  if (cases::find_material(answers_.powder, folder).empty())
    return fmt::format("The material \"{}\" would not be found from there. Write the case beside it.",
                       answers_.powder);
  if (!fs::is_regular_file(cases::included_file(answers_.press, folder)))
    return fmt::format("The press \"{}\" would not be found from there. Write the case beside it.",
                       answers_.press);
  file_ = file;
  return {};
}

bool Dialogue::ask_all(std::size_t first) {
  for (std::size_t k = first; k < questions_.size();) {
    Question& question = questions_[k];
    const std::string usual = question.said.empty() ? question.usual() : question.said;
    screen_ << fmt::format("{} [{}]: ", question.words(), usual) << std::flush;
    std::string line;
    if (!std::getline(input_, line)) {
      screen_ << "\n";
      return false;
    }
    line = trimmed(line);
    if (options_.echo) screen_ << line << "\n";
    if (line == "back") {
      k -= k > 0 ? 1 : 0;
      continue;
    }
    if (const std::string fault = question.take(line.empty() ? usual : line); !fault.empty()) {
      screen_ << "  " << fault << "\n";
      question.said.clear();
      continue;
    }
    if (!line.empty()) question.said = line;
    ++k;
  }
  return true;
}

std::size_t Dialogue::question_about(const cases::InputErrors& errors) const {
  std::size_t best = 0, length = 0;
  for (const cases::InputError& error : errors.errors())
    for (std::size_t k = 0; k < questions_.size(); ++k) {
      const std::string& about = questions_[k].about;
      if (about.size() <= length || error.key.size() < about.size() ||
          error.key.compare(error.key.size() - about.size(), about.size(), about) != 0)
        continue;
      best = k;
      length = about.size();
    }
  return best;
}

void Dialogue::show_written() const {
  const cases::ProposedStack s = cases::proposed_stack(answers_, powder_);
  const std::string file = file_.string();
  screen_ << fmt::format(
      "\nBy rule: bore {:.4g} mm, punches {} x {:.0f} mm, foils {:.1f} mm, thermocouple {:.0f} mm deep,",
      1e3 * s.bore, answers_.diameter, 1e3 * s.punch_length, 1e3 * cases::foil_thickness,
      1e3 * s.sensor_depth);
  screen_ << "\nspacers";
  for (const cases::Disc& disc : s.usual.spacers)
    screen_ << fmt::format(" {:.0f} x {:.0f} mm,", 1e3 * disc.diameter, 1e3 * disc.height);
  screen_ << fmt::format(
      " each twice.\nCompare them with your drawing; the file says where each number comes from.\n\n"
      "{0} is written and passes `check`.  Next:\n"
      "  joulepress check {0}     the stack as it was understood\n"
      "  joulepress draw {0} --out {1}.svg\n"
      "  joulepress run {0} --out {1}-results\n",
      file, (file_.parent_path() / file_.stem()).string());
}

int Dialogue::run() {
  if (!options_.file.empty())
    if (const std::string fault = fault_of_file(options_.file); !fault.empty()) {
      screen_ << fault << "\n";
      return bad_input;
    }
  screen_
      << "A few questions, then a case file.  Enter takes the value in brackets, `back` goes back one "
         "question.\nEvery quantity has its unit: 20 mm, 6 g, 50 MPa, 1350 degC, 100 degC/min, 5 min.\n\n";
  std::size_t first = 0;
  while (true) {
    if (!ask_all(first)) {
      screen_ << "The input ended before the last answer; nothing was written.\n";
      return bad_input;
    }
    const std::string text = cases::propose_case(answers_, powder_, press_, file_.string());
    try {
      cases::build_problem(cases::read_case(file_, text));
      write_whole(file_, text);
      show_written();
      return done;
    } catch (const cases::InputErrors& errors) {
      first = question_about(errors);
      screen_ << fmt::format("\n  The case cannot be built; nothing was written.\n  {}\n", in_short(errors))
              << fmt::format("  Change the answer below; Enter keeps the others.\n\n");
    }
  }
}

}  // namespace

int new_case(const NewOptions& options, std::istream& answers, std::ostream& screen) {
  return Dialogue(options, answers, screen).run();
}

}  // namespace joulepress::tools
