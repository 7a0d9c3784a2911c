// Studies of what to enter, made up by hand: no stack behind them.
#pragma once

#include <string>
#include <vector>

#include "tools/study/correct_study.hpp"

namespace joulepress::test {

/// Markup, characters that control a terminal, bytes that are not UTF-8, and a word wider than a line.
inline const std::string hostile =
    "<script>alert(1)</script> & \"<b>x</b>\" \x1b[2J\r\n\x07\xc2\x9b\xe2\x80\xae\xff" +
    std::string(200, 'w');

/// A disc that does not exist, pressed at 900 and 1100 degC of its powder.
tools::CorrectStudy made_up_card();
tools::CorrectStudy for_density();
tools::CorrectStudy transferred();    ///< from another run, with a range
tools::CorrectStudy missing();        ///< one hold by 39 K
tools::CorrectStudy failing();        ///< its verifying run
tools::CorrectStudy nasty();          ///< hostile texts wherever there are texts
tools::CorrectStudy nasty_failure();  ///< the same
tools::CorrectStudy bare();           ///< nothing but a programme and what the powder gets
tools::CorrectStudy in_furnace();
/// Every kind of limit, ramp and stop, and more checkpoints than a sheet has room for.
tools::CorrectStudy everything();

const std::vector<tools::CorrectStudy>& all_kinds();

}  // namespace joulepress::test
