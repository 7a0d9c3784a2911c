#include <array>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    Entry{"what to enter, and the offsets behind it", "was einzugeben ist, und der Versatz dahinter"},
    Entry{"The stack, bottom to top, in mm: {}.", "Der Aufbau von unten nach oben, in mm: {}."},
    Entry{"The stack, bottom to top, in mm: {}; around it {}.",
          "Der Aufbau von unten nach oben, in mm: {}; darum {}."},
    Entry{"start density {} %", "Anfangsdichte {} %"},
    Entry{"To give the powder a mean temperature, enter", "Für eine mittlere Temperatur im Pulver eingeben"},
    Entry{"powder, °C", "Pulver, °C"},
    Entry{"No two neighbouring members have a round temperature between them.",
          "Zwischen keinen zwei benachbarten Läufen liegt eine runde Temperatur."},
    Entry{
        "In °C, over the heating rate of the ramp before the hold. A dash: outside what was computed; "
        "nothing is "
        "extrapolated.",
        "In °C, über der Heizrate der Rampe vor der Haltezeit. Ein Strich: außerhalb des Berechneten; nichts "
        "wird darüber hinaus fortgesetzt."},
    Entry{"What is shown as a range differs in itself by no more than {} K.",
          "Was als Bereich dasteht, unterscheidet sich in sich um höchstens {} K."},
    Entry{"Offset of the stack", "Versatz des Aufbaus"},
    Entry{"entered, °C", "eingegeben, °C"},
    Entry{"Powder mean minus reading in K, over the settled half of the hold; in brackets what the powder "
          "differs "
          "in itself, hottest minus coldest.",
          "Pulvermittel minus Anzeige in K, über die eingeschwungene Hälfte der Haltezeit; in Klammern "
          "die Spanne im Pulver, heißeste minus kälteste Stelle."},
    Entry{"At the start of the hold it is other by {} to {} K.",
          "Zu Beginn der Haltezeit ist er um {} bis {} K anders."},
    Entry{"Relative density at the end of the hold: {} to {} %.",
          "Relative Dichte am Ende der Haltezeit: {} bis {} %."},
    Entry{"Press: {}.", "Presse: {}."},
    Entry{"Controlled by “{}”.", "Geregelt nach „{}“."},
    Entry{"Controlled by “{}”, a pyrometer on “{}”.", "Geregelt nach „{}“, einem Pyrometer auf „{}“."},
    Entry{"Controlled by “{}”, a couple {} mm deep in “{}”.",
          "Geregelt nach „{}“, einem Thermoelement {} mm tief in „{}“."},
    Entry{"Controlled by “{}”, a couple in “{}”.", "Geregelt nach „{}“, einem Thermoelement in „{}“."},
    Entry{"from {} %", "ab {} %"},
    Entry{"Powder: {}.", "Pulver: {}."},
    Entry{"Pressure on the powder: {} MPa.", "Druck auf das Pulver: {} MPa."},
    Entry{"Chamber: vacuum.", "Kammer: Vakuum."},
    Entry{"Chamber: {}.", "Kammer: {}."},
    Entry{"A hold of {} min.", "Eine Haltezeit von {} min."},
    Entry{"The hold “{}” of {} min.", "Die Haltezeit „{}“ von {} min."},
    Entry{"All else as in the case; what another stack, powder or lining of foil does is not in it. How sure "
          "an "
          "offset is, joulepress bound tells.",
          "Alles andere wie im Fall; was ein anderer Aufbau, ein anderes Pulver oder eine andere Folie "
          "bewirkt, "
          "steht nicht darin. Wie sicher ein Versatz ist, sagt joulepress bound."},
    Entry{"What it holds for", "Wofür es gilt"},
    Entry{"Members that do not count", "Läufe, die nicht zählen"},
    Entry{"Powder mean minus reading over what is entered; a line a heating rate, a panel a start density.",
          "Pulvermittel minus Anzeige über dem Eingegebenen; eine Linie je Heizrate, ein Feld je "
          "Anfangsdichte."},
    Entry{"entered, in °C", "eingegeben, in °C"},
    Entry{"powder mean minus reading, in K", "Pulvermittel minus Anzeige, in K"},
};

}  // namespace

std::span<const WordEntry> words_of_offsets() {
  return entries;
}

}  // namespace joulepress::tools::html
