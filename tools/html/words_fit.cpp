#include <array>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    Entry{"what logs of one's own press tell of it", "was Protokolle der eigenen Presse darüber sagen"},
    Entry{"While “{}” was hottest ({} to {}), the powder was on average at {}; before the logs it could only "
          "be said to "
          "be at {}.",
          "Während „{}“ am heißesten war ({} bis {}), hatte das Pulver im Mittel {}; ohne die Protokolle "
          "ließ sich nur "
          "{} sagen."},
    Entry{"The offset was {}, before the logs {}.", "Der Versatz war {}, ohne die Protokolle {}."},
    Entry{"Of both ranges ±{} K are for what the model has wrong where nothing was measured; its reading was "
          "{} K off that of the log.",
          "Von beiden Bereichen sind ±{} K für das, was das Modell dort falsch hat, wo nichts gemessen "
          "wurde; seine Anzeige lag um {} K neben der des Protokolls."},
    Entry{"Of {} uncertain inputs the logs tell something of {}; all others keep the spread they had.",
          "Von {} unsicheren Eingaben sagen die Protokolle etwas über {}; alle anderen behalten ihre "
          "Streuung."},
    Entry{"Ranges hold 95 % of what is possible, taken straight about the estimate; a study of the "
          "uncertainty of the "
          "calibrated case follows the curves.",
          "Bereiche enthalten 95 % des Möglichen, gerade um die Schätzung genommen; eine Untersuchung der "
          "Unsicherheit "
          "des kalibrierten Falls folgt den Kurven."},
    Entry{"left %", "offen %"},
    Entry{"before", "vorher"},
    Entry{"unit", "Einheit"},
    Entry{"time in min", "Zeit in min"},
    Entry{"now", "jetzt"},
    Entry{"factor", "Faktor"},
    Entry{"The logs tell nothing of any input.", "Die Protokolle sagen über keine Eingabe etwas."},
    Entry{
        "Left: share of the spread that is still open. A factor is one on the curve of the material.",
        "Offen: Anteil der Streuung, der noch offen ist. Ein Faktor ist einer auf die Kurve des Werkstoffs."},
    Entry{"not determined by these logs, kept as they were",
          "durch diese Protokolle nicht bestimmt, unverändert"},
    Entry{"What the logs tell", "Was die Protokolle sagen"},
    Entry{"How the inputs hang together", "Wie die Eingaben zusammenhängen"},
    Entry{"Correlation of what is left. Near 1 or −1 the logs know two inputs only together: another kind of "
          "measurement parts them.",
          "Korrelation dessen, was offen ist. Nahe 1 oder −1 kennen die Protokolle zwei Eingaben nur "
          "zusammen: eine "
          "andere Art Messung trennt sie."},
    Entry{"“{}” in {}: above the log and the runs before and now, below the runs less the log.",
          "„{}“ in {}: oben das Protokoll und die Läufe vorher und jetzt, unten die Läufe minus Protokoll."},
    Entry{"log", "Protokoll"},
    Entry{"run before", "Lauf vorher"},
    Entry{"run now", "Lauf jetzt"},
    Entry{"{}, after the current was cut", "{}, nach dem Abschalten des Stroms"},
    Entry{"run less log", "Lauf minus Protokoll"},
    Entry{"column", "Spalte"},
    Entry{"rms before", "Effektivwert vorher"},
    Entry{"rms now", "Effektivwert jetzt"},
    Entry{"scatter", "Streuung"},
    Entry{"values per independent one", "Werte je unabhängigem"},
    Entry{"far off", "weit daneben"},
    Entry{"{} melts at {} °C (at {}): the centre of the powder had {} °C before, has {} °C now.",
          "{} schmilzt bei {} °C (um {}): die Pulvermitte hatte vorher {} °C, hat jetzt {} °C."},
    Entry{"How the runs meet the logs", "Wie die Läufe die Protokolle treffen"},
    Entry{"Scatter: what the fit took a single value to be good for. Where the run is off the log for long, "
          "many values "
          "tell no more than one.",
          "Streuung: wofür die Anpassung einen einzelnen Wert gut hielt. Wo der Lauf lange neben dem "
          "Protokoll liegt, "
          "sagen viele Werte nicht mehr als einer."},
    Entry{"Choices of model", "Wahl des Modells"},
    Entry{
        "What a number cannot bound, made the other way one at a time and learned again from where the case "
        "ended. The ranges hold each of them by how likely it is.",
        "Was keine Zahl eingrenzt, je einmal andersherum gewählt und von dort weiter gelernt, wo der Fall "
        "endete. Die Bereiche enthalten jede davon so weit, wie sie wahrscheinlich ist."},
    Entry{"meets the logs", "trifft die Protokolle"},
    Entry{"as well", "ebenso gut"},
    Entry{"better", "besser"},
    Entry{"worse", "schlechter"},
    Entry{"does not run", "läuft nicht"},
    Entry{"ln likelihood", "ln Likelihood"},
    Entry{"offset by K", "Versatz um K"},
    Entry{"with", "mit"},
    Entry{"measurement", "Messung"},
    Entry{"read to ± K", "genau auf ± K"},
    Entry{"offset then ± K", "Versatz dann ± K"},
    Entry{"What would tell more", "Was mehr sagen würde"},
    Entry{"The offset is known to ± {} K (95 %). One of these in the same run would leave:",
          "Der Versatz ist auf ± {} K bekannt (95 %). Eines davon im selben Lauf ließe übrig:"},
    Entry{"began", "begonnen"},
    Entry{"rows", "Zeilen"},
    Entry{"length", "Dauer"},
    Entry{"driven by", "getrieben von"},
    Entry{"The logs", "Die Protokolle"},
};

}  // namespace

std::span<const WordEntry> words_of_fit() {
  return entries;
}

}  // namespace joulepress::tools::html
