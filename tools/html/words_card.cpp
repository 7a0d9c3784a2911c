#include <array>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    // what the card is for
    Entry{"a case", "ein Fall"},
    Entry{"card for the press", "Karte für die Presse"},
    Entry{"FAILED: not verified", "GESCHEITERT: nicht geprüft"},
    Entry{"The verifying run did not come to its end. Nothing here is to be entered.",
          "Der prüfende Lauf kam nicht an sein Ende. Nichts von hier ist einzugeben."},
    Entry{"WISH NOT MET", "WUNSCH NICHT ERFÜLLT"},
    Entry{"No programme that was found meets the wish.", "Kein gefundenes Programm erfüllt den Wunsch."},
    Entry{"No limit of the press was met: the search came no nearer.",
          "Keine Grenze der Presse wurde erreicht: die Suche kam nicht näher."},
    Entry{"No limit of the press was met.", "Keine Grenze der Presse wurde erreicht."},
    Entry{"What bound it", "Was es begrenzte"},
    Entry{"In “{}” the powder gets {}: {} K less than the {} wished.",
          "In „{}“ bekommt das Pulver {}: {} K weniger als die gewünschten {}."},
    Entry{"In “{}” the powder gets {}: {} K more than the {} wished.",
          "In „{}“ bekommt das Pulver {}: {} K mehr als die gewünschten {}."},
    Entry{"In “{}” it is not known what the powder gets of the {} wished.",
          "In „{}“ ist nicht bekannt, was das Pulver von den gewünschten {} bekommt."},
    Entry{"The density at the end is {} % and not the {} % wished.",
          "Die Dichte am Ende ist {} % und nicht {} %, wie gewünscht."},
    Entry{"Wished: the temperatures of the case for {}.", "Gewünscht: die Temperaturen des Falls für {}."},
    Entry{"Wished: the powder history of “{}” for {}.", "Gewünscht: der Verlauf im Pulver von „{}“ für {}."},
    Entry{"the mean of the powder", "das Mittel des Pulvers"},
    Entry{"the centre of the powder", "die Mitte des Pulvers"},
    Entry{"the coldest place of the powder", "die kälteste Stelle des Pulvers"},
    Entry{"the hottest place of the powder", "die heißeste Stelle des Pulvers"},
    Entry{"Wished: a relative density of {} % at the end of the last hold.",
          "Gewünscht: eine relative Dichte von {} % am Ende der letzten Haltezeit."},
    Entry{"Press: {}. Control sensor: {}.", "Presse: {}. Regelnder Sensor: {}."},
    Entry{"Control sensor: {}.", "Regelnder Sensor: {}."},
    Entry{"Furnace: {}, by its own reading.", "Ofen: {}, nach seiner eigenen Anzeige."},
    Entry{"In a furnace, by its own reading.", "In einem Ofen, nach seiner eigenen Anzeige."},
    Entry{"In the verifying run the press's own controller followed the programme.",
          "Im prüfenden Lauf folgte der Regler der Presse dem Programm."},
    Entry{"In the verifying run the programme was followed exactly, not by a controller.",
          "Im prüfenden Lauf wurde dem Programm genau gefolgt, nicht durch einen Regler."},
    // the programme
    Entry{"Enter this programme", "Dieses Programm eingeben"},
    Entry{"Tried and not verified: do NOT enter", "Versucht und nicht geprüft: NICHT eingeben"},
    Entry{"There is no programme.", "Es gibt kein Programm."},
    Entry{"line", "Zeile"},
    Entry{"step", "Schritt"},
    Entry{"to °C", "auf °C"},
    Entry{"K/min", "K/min"},
    Entry{"powder mean (coldest … hottest) °C", "Pulvermittel (kälteste … heißeste) °C"},
    Entry{"ramp", "Rampe"},
    Entry{"hold “{}”", "Haltezeit „{}“"},
    Entry{"free cooling", "freie Abkühlung"},
    Entry{"It begins at a reading of {} °C and takes {} in all.",
          "Es beginnt bei einer Anzeige von {} °C und dauert insgesamt {}."},
    Entry{"{} lines of the {} that the press takes.", "{} Zeilen von {}, die die Presse annimmt."},
    Entry{"These are {} lines, and the press takes only {}.",
          "Das sind {} Zeilen, und die Presse nimmt nur {} an."},
    Entry{"Pressure", "Druck"},
    Entry{"starts at", "beginnt bei"},
    Entry{"to MPa", "auf MPa"},
    Entry{"gauge, kN", "Anzeige, kN"},
    Entry{"rise", "Anstieg"},
    Entry{"release", "Entlasten"},
    Entry{"After its last line the pressure stays. The force is what the gauge shows then.",
          "Nach der letzten Zeile bleibt der Druck. Die Kraft ist, was das Messgerät dann anzeigt."},
    // what comes of it
    Entry{"What the powder gets", "Was das Pulver bekommt"},
    Entry{"Density at the end of the last hold: {} %, wished {} %.",
          "Dichte am Ende der letzten Haltezeit: {} %, gewünscht {} %."},
    Entry{"wished °C", "Wunsch °C"},
    Entry{"coldest … hottest °C", "kälteste … heißeste °C"},
    Entry{"reading °C", "Anzeige °C"},
    Entry{"furnace °C", "Ofen °C"},
    Entry{"density at the end %", "Dichte am Ende %"},
    Entry{"mean, 95 % of samples °C", "Mittel, 95 % der Stichproben °C"},
    Entry{"Means over the settled half of each hold; density at its end.",
          "Mittelwerte über die eingeschwungene Hälfte jeder Haltezeit; Dichte an ihrem Ende."},
    Entry{"“joulepress bound CASE” tells how sure these numbers are.",
          "„joulepress bound FALL“ sagt, wie sicher diese Zahlen sind."},
    Entry{"Compare on the panel", "Am Bedienfeld vergleichen"},
    Entry{"end of line", "Ende der Zeile"},
    Entry{"powder mean [°C]", "Pulver, Mittel [°C]"},
    Entry{"current effective", "Strom effektiv"},
    Entry{"current mean", "Strom Mittel"},
    Entry{"voltage effective", "Spannung effektiv"},
    Entry{"voltage mean", "Spannung Mittel"},
    Entry{"force", "Kraft"},
    Entry{"gauge pressure", "Druck am Messgerät"},
    Entry{"Where the panel shows something else, the stack is not as the case has it, and what the powder "
          "has is not known.",
          "Wo das Bedienfeld etwas anderes zeigt, ist der Aufbau nicht wie im Fall, und was das Pulver hat, "
          "ist nicht bekannt."},
    // how near
    Entry{"How near it comes", "Wie nah es kommt"},
    Entry{"Over all that is wished the powder is {} K (rms) from the wish, at most {} K, at {}.",
          "Über alles Gewünschte liegt das Pulver {} K (quadratisches Mittel) neben dem Wunsch, höchstens {} "
          "K, bei {}."},
    Entry{"In the ramp to {} the powder follows the wish; at its end it is {} K uneven.",
          "In der Rampe auf {} folgt das Pulver dem Wunsch; an ihrem Ende ist es {} K ungleich."},
    Entry{
        "In the ramp to {} the powder stays up to {} K behind the wish (at {}); at its end it is {} and {} "
        "K uneven.",
        "In der Rampe auf {} bleibt das Pulver bis zu {} K hinter dem Wunsch zurück (bei {}); an ihrem Ende "
        "ist es {} und {} K ungleich."},
    Entry{"In the ramp to {} the powder runs up to {} K ahead of the wish (at {}); at its end it is {} and "
          "{} K uneven.",
          "In der Rampe auf {} eilt das Pulver dem Wunsch bis zu {} K voraus (bei {}); an ihrem Ende ist es "
          "{} und {} K ungleich."},
    Entry{"{} K behind", "{} K zurück"},
    Entry{"{} K ahead", "{} K voraus"},
    Entry{"With ramps twice as long ({} more in all) it would be up to {}, then {} and {} K uneven.",
          "Mit doppelt so langen Rampen (insgesamt {} mehr) wäre es bis zu {}, dann {} und {} K ungleich."},
    Entry{"With ramps {} times as long ({} more in all) it would be up to {}, then {} and {} K uneven.",
          "Mit {}-mal so langen Rampen (insgesamt {} mehr) wäre es bis zu {}, dann {} und {} K ungleich."},
    Entry{"With those longer ramps it would be up to {}, then {} and {} K uneven.",
          "Mit diesen längeren Rampen wäre es bis zu {}, dann {} und {} K ungleich."},
    Entry{"From {} to {}", "Von {} bis {}"},
    Entry{"from {} to {}", "von {} bis {}"},
    Entry{"{} the current was at the press's limit.", "{} war der Strom an der Grenze der Presse."},
    Entry{"{} the voltage was at the press's limit.", "{} war die Spannung an der Grenze der Presse."},
    Entry{"{} the power was at the press's limit.", "{} war die Leistung an der Grenze der Presse."},
    Entry{"{} the programme falls faster than the stack cools; the current is off.",
          "{} fällt das Programm schneller, als der Aufbau abkühlt; der Strom ist aus."},
    Entry{"{} the programme has the fastest rate that the press takes.",
          "{} hat das Programm die schnellste Rate, die die Presse annimmt."},
    // when to stop
    Entry{"Stop when", "Anhalten, wenn"},
    Entry{"the current is above {} A", "der Strom über {} A liegt"},
    Entry{"the voltage is above {} V", "die Spannung über {} V liegt"},
    Entry{"the sensor reads above {}", "der Sensor mehr als {} anzeigt"},
    Entry{"the furnace reads above {}", "der Ofen mehr als {} anzeigt"},
    Entry{"the stroke is above {} mm", "der Stempelweg über {} mm liegt"},
    Entry{"{} before the sensor reads {}", "{}, bevor der Sensor {} anzeigt"},
    Entry{"{} before the furnace reads {}", "{}, bevor der Ofen {} anzeigt"},
    Entry{"{} ({})", "{} ({})"},
    Entry{"contact lost, or couple not seated", "Kontakt verloren, oder Thermoelement sitzt nicht"},
    Entry{"contact lost, or something conducts less than assumed",
          "Kontakt verloren, oder etwas leitet schlechter als angenommen"},
    Entry{"the controller has lost its hold", "der Regler hält nicht mehr"},
    Entry{"powder leaves the die, or a part gives way", "Pulver tritt aus, oder ein Teil gibt nach"},
    Entry{"The verifying run has at most {} A, {} V and {} kW (effective).",
          "Der prüfende Lauf hat höchstens {} A, {} V und {} kW (effektiv)."},
    Entry{
        "Currents and voltages are the model's largest plus a quarter, as the meters show them; the reading "
        "is 50 K above the programme (own choice). They do not replace the press's own interlocks.",
        "Ströme und Spannungen sind die größten des Modells plus ein Viertel, wie die Messgeräte sie zeigen; "
        "die Anzeige liegt 50 K über dem Programm (eigene Wahl). Sie ersetzen nicht die Verriegelungen der "
        "Presse."},
    Entry{"Found by {} runs of the model. SHA-256 of the case: {}.",
          "Gefunden mit {} Läufen des Modells. SHA-256 des gegebenen Falls: {}."},
};

}  // namespace

std::span<const WordEntry> words_of_card() {
  return entries;
}

}  // namespace joulepress::tools::html
