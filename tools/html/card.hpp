#pragma once
#include <string>
#include "tools/html/words.hpp"
#include "tools/study/correct_study.hpp"
namespace joulepress::tools::html {
inline std::string card_text(const CorrectStudy&, const Words&) { return {}; }
inline std::string card_page(const CorrectStudy&, const Words&) { return {}; }
}
