// Answers of a practitioner -> text of a commented case file, his words where he gave them.  Pure: the caller
// reads the text back before it becomes a file.
#pragma once

#include <string>

#include "cases/proposed_stack.hpp"

namespace joulepress::cases {

/// `file` is the name the case will have, for the commands it mentions.  Answers that have a fault give a
/// text that cannot be read or built.
std::string propose_case(const Answers& answers, const materials::Material& powder, const Press& press,
                         const std::string& file);

}  // namespace joulepress::cases
