// The sections of a page, each as markup; empty where the run has nothing to say there.
#pragma once

#include <string>
#include <vector>

#include "tools/html/matter.hpp"

namespace joulepress::tools::html {

std::string answer_section(const Matter& m);    ///< the sentence, the table, how sure
std::string picture_sections(const Matter& m);  ///< what the offset is made of, heat, the current
/// Whether the tools hold, in a sentence and as a section with the figure of that number.
std::string strength_sentence(const Matter& m);
std::string strength_section(const Matter& m, int figure_number);
std::string stack_section(const Matter& m);    ///< the stack with its temperatures
std::string history_section(const Matter& m);  ///< places for the diagrams
std::string fields_section(const Matter& m);   ///< controls, map and curves
std::string trust_section(const Matter& m);    ///< balances, warnings, what is not modelled
std::string sources_section(const Matter& m);  ///< every curve used: range, visited, from where
std::string methods_section(const Matter& m);  ///< a paragraph with references, for a paper
std::string case_section(const Matter& m);     ///< the resolved case
std::string cautions_section(const Words& say);
std::vector<std::string> caution_sentences(const Words& say);  ///< what stands in it

}  // namespace joulepress::tools::html
