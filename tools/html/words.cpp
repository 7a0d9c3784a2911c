#include "tools/html/words.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    // the answer
    Entry{"The answer", "Die Antwort"},
    Entry{"a run", "ein Lauf"},
    Entry{"case", "Fall"},
    Entry{"FAILED", "GESCHEITERT"},
    Entry{"INTERRUPTED", "UNTERBROCHEN"},
    Entry{"STOPPED EARLY", "VORZEITIG BEENDET"},
    Entry{"It ended at {} s. What there is of it follows.", "Er endete bei {} s. Was davon vorliegt, folgt."},
    Entry{"Enter {} instead of {}: {}.", "{} statt {} eingeben: {}."},
    Entry{"In “{}” {}.", "In „{}“ gilt: {}."},
    Entry{"In “{}” the powder has {}.", "In „{}“ hat das Pulver {}."},
    Entry{"In “{}” the hottest tool has at most {}.", "In „{}“ hat das heißeste Werkzeugteil höchstens {}."},
    Entry{"The powder came to {} at most, at {} s; there was no hold.",
          "Das Pulver erreichte höchstens {}, bei {} s; es gab keine Haltezeit."},
    Entry{"The tooling came to {} at most, at {} s; there was no hold.",
          "Das Werkzeug erreichte höchstens {}, bei {} s; es gab keine Haltezeit."},
    Entry{"the powder is {} K hotter than the sensor reads",
          "das Pulver ist {} K heißer, als der Sensor anzeigt"},
    Entry{"the powder is {} K colder than the sensor reads",
          "das Pulver ist {} K kälter, als der Sensor anzeigt"},
    Entry{"the powder is {} K hotter than the furnace reads",
          "das Pulver ist {} K heißer, als der Ofen anzeigt"},
    Entry{"the powder is {} K colder than the furnace reads",
          "das Pulver ist {} K kälter, als der Ofen anzeigt"},
    Entry{"the powder is as hot as the sensor reads", "das Pulver ist so heiß, wie der Sensor anzeigt"},
    Entry{"the powder is as hot as the furnace reads", "das Pulver ist so heiß, wie der Ofen anzeigt"},
    Entry{"In “{}” the programme as it stands, followed exactly, gives the powder {} in the mean ({} to {}) "
          "for {}, where {} is asked for at the sensor.",
          "In „{}“ gibt das Programm, wie es ist und genau befolgt, dem Pulver {} im Mittel ({} bis {}) für "
          "{}, wo vom Sensor {} verlangt sind."},
    Entry{"In “{}” the programme as it stands, followed by the press's own controller, gives the powder {} "
          "in the mean ({} to {}) for {}, where {} is asked for at the sensor.",
          "In „{}“ gibt das Programm, wie es ist und vom Regler der Presse befolgt, dem Pulver {} im Mittel "
          "({} bis {}) für {}, wo vom Sensor {} verlangt sind."},
    Entry{"In “{}” the programme as it stands gives the powder {} in the mean ({} to {}) for {}, where "
          "{} is asked for of the furnace.",
          "In „{}“ gibt das Programm, wie es ist, dem Pulver {} im Mittel ({} bis {}) für {}, wo vom Ofen {} "
          "verlangt sind."},
    Entry{"It is above {} for {} in all.", "Es liegt insgesamt {1} lang über {0}."},
    Entry{"It is above {} for {} in all and reaches {} % density at {}.",
          "Es liegt insgesamt {1} lang über {0} und erreicht {2} % Dichte bei {3}."},
    Entry{"Means over the settled half of the hold",
          "Mittelwerte über die eingeschwungene Hälfte der Haltezeit"},
    Entry{"“{}”, {} s to {} s", "„{}“, {} s bis {} s"},
    Entry{"enter", "eingeben"},
    Entry{"wanted in the powder", "im Pulver gewünscht"},
    Entry{"as programmed now, the sensor reads", "wie jetzt programmiert zeigt der Sensor"},
    Entry{"as programmed now, the furnace reads", "wie jetzt programmiert zeigt der Ofen"},
    Entry{"offset at the start of the hold", "Versatz zu Beginn der Haltezeit"},
    Entry{"powder, mean", "Pulver, Mittel"},
    Entry{"powder, coldest", "Pulver, kälteste Stelle"},
    Entry{"powder, hottest", "Pulver, heißeste Stelle"},
    Entry{"offset, powder mean minus reading", "Versatz, Pulvermittel minus Anzeige"},
    Entry{"offset", "Versatz"},
    Entry{"relative density at the end", "relative Dichte am Ende"},
    Entry{"current (effective)", "Strom (Effektivwert)"},
    Entry{"power", "Leistung"},
    Entry{"this table as CSV", "diese Tabelle als CSV"},
    Entry{"The value to enter is a first estimate, as if powder and reading rose in proportion from {}; run "
          "the case again with it before it "
          "is typed in.",
          "Der einzugebende Wert ist eine erste Schätzung, als stiegen Pulver und Anzeige von {} an im "
          "selben Verhältnis; den Fall damit noch "
          "einmal rechnen, bevor er eingegeben wird."},
    Entry{"How sure: the lateral contact between column and die is the weakest input, known to a factor of "
          "3. Its own part of the offset, {} "
          "K, would be about {} K with three times the conductance and up to {} K with a third of it (scaled "
          "in series, an estimate).",
          "Wie sicher: der seitliche Kontakt zwischen Säule und Matrize ist die schwächste Eingabe, auf "
          "einen Faktor 3 bekannt. Sein eigener "
          "Anteil am Versatz, {} K, wäre etwa {} K beim Dreifachen des Leitwerts und bis zu {} K bei einem "
          "Drittel (in Reihe umgerechnet, eine "
          "Schätzung)."},
    Entry{
        "How sure: the lateral contact between column and die is known to a factor of {}, by the "
        "calibration. Its own part of the offset, {} K, would be about {} K with so much more of it and up "
        "to {} K with so much less (scaled in series, an estimate).",
        "Wie sicher: der seitliche Kontakt zwischen Säule und Matrize ist durch die Kalibrierung auf einen "
        "Faktor {} bekannt. Sein eigener Anteil am Versatz, {} K, wäre etwa {} K bei so viel mehr davon und "
        "bis zu {} K bei so viel weniger (in Reihe umgerechnet, eine Schätzung)."},
    Entry{"Calibrated on {}.", "Kalibriert an {}."},
    Entry{"{} (began {})", "{} (Beginn {})"},
    Entry{"The runs side by side", "Die Läufe nebeneinander"},
    Entry{"{} runs compared", "{} Läufe verglichen"},
    // the history
    Entry{"The history", "Der Verlauf"},
    Entry{"Point at a diagram, or move with the arrow keys: all of them show the same moment.",
          "Auf ein Diagramm zeigen oder die Pfeiltasten benutzen: alle zeigen denselben Augenblick."},
    Entry{"{} over time; arrow keys move the cursor", "{} über der Zeit; Pfeiltasten bewegen den Zeiger"},
    Entry{"whole time", "ganze Zeit"},
    Entry{"history as CSV", "Verlauf als CSV"},
    Entry{"temperature", "Temperatur"},
    Entry{"programme", "Programm"},
    Entry{"surface of the stack", "Oberfläche des Aufbaus"},
    Entry{"hottest tool", "heißestes Werkzeugteil"},
    Entry{"voltage between the column ends", "Spannung zwischen den Säulenenden"},
    Entry{"relative density", "relative Dichte"},
    Entry{"mean", "Mittel"},
    Entry{"lowest", "kleinste"},
    Entry{"highest", "größte"},
    Entry{"stroke", "Stempelweg"},
    // the fields
    Entry{"The fields over time", "Die Felder über der Zeit"},
    Entry{"field", "Feld"},
    Entry{"time", "Zeit"},
    Entry{"contours", "Höhenlinien"},
    Entry{"scale of this moment", "Skala dieses Augenblicks"},
    Entry{"powder and die only", "nur Pulver und Matrize"},
    Entry{"Section through the stack, the axis on the left; arrow keys move the chosen place",
          "Schnitt durch den Aufbau, die Achse links; Pfeiltasten bewegen die gewählte Stelle"},
    Entry{"colour scale", "Farbskala"},
    Entry{"this field as CSV", "dieses Feld als CSV"},
    Entry{"curve along r as CSV", "Kurve entlang r als CSV"},
    Entry{"curve along z as CSV", "Kurve entlang z als CSV"},
    Entry{"Each rectangle is a cell of the computation, drawn where it lies at that moment. Contours run "
          "through the centres of the cells of a "
          "part; at a contact the temperature jumps, and they end.",
          "Jedes Rechteck ist eine Zelle der Rechnung, gezeichnet, wo sie in diesem Augenblick liegt. "
          "Höhenlinien laufen durch die Mitten der "
          "Zellen eines Teils; an einem Kontakt springt die Temperatur, und sie enden."},
    Entry{"current density", "Stromdichte"},
    Entry{"Joule heat", "Joulesche Wärme"},
    Entry{"heat flux", "Wärmestrom"},
    Entry{"start of “{}”", "Beginn von „{}“"},
    Entry{"end of “{}”", "Ende von „{}“"},
    Entry{"cursor", "Zeiger"},
    Entry{"there is nothing here", "hier ist nichts"},
    Entry{"Along r at", "Entlang r bei"},
    Entry{"Along z at", "Entlang z bei"},
    // the pictures
    Entry{"r in mm", "r in mm"},
    Entry{"z in mm", "z in mm"},
    Entry{"time in s", "Zeit in s"},
    Entry{"temperature in °C", "Temperatur in °C"},
    Entry{"at the end of “{}”, {} s", "am Ende von „{}“, {} s"},
    Entry{"at the end, {} s", "am Ende, {} s"},
    Entry{"The stack at the end", "Der Aufbau am Ende"},
    Entry{"The stack at the hold", "Der Aufbau in der Haltezeit"},
    Entry{"The stack and its temperature {}. Left: the parts; right: the cells of the computation, with "
          "contours.",
          "Der Aufbau und seine Temperatur {}. Links: die Teile; rechts: die Zellen der Rechnung, mit "
          "Höhenlinien."},
    Entry{"The history of the run; holds are shaded.", "Der Verlauf des Laufs; Haltezeiten sind getönt."},
    Entry{"Why: the offset in its parts", "Warum: der Versatz in seinen Teilen"},
    Entry{"From the reading to the powder mean, step by step; means over the settled half of “{}”.",
          "Von der Anzeige zum Pulvermittel, Schritt für Schritt; Mittelwerte über die eingeschwungene "
          "Hälfte von „{}“."},
    Entry{"the sensor reads", "der Sensor zeigt"},
    Entry{"the furnace reads", "der Ofen zeigt"},
    Entry{"the powder's own gradient", "Gefälle im Pulver"},
    Entry{"the lateral contact", "seitlicher Kontakt"},
    Entry{"the die wall", "Matrizenwand"},
    Entry{"the step from furnace to surface", "Sprung vom Ofen zur Oberfläche"},
    Entry{"the way along the axis", "Weg entlang der Achse"},
    Entry{"the stem of the sensor", "Schaft des Sensors"},
    Entry{"the optics of the pyrometer", "Optik des Pyrometers"},
    Entry{"what the instrument reads wrong", "Fehlanzeige des Geräts"},
    Entry{"the lag of the sensor", "Nachlauf des Sensors"},
    Entry{"Where heat is made and goes", "Wo Wärme entsteht und wohin sie geht"},
    Entry{"Where heat is made and where it goes {}. Contact heat counts half to each side.",
          "Wo Wärme entsteht und wohin sie geht, {}. Kontaktwärme zählt je zur Hälfte zu beiden Seiten."},
    Entry{"made in", "entsteht in"},
    Entry{"goes to", "geht an"},
    Entry{"the rest", "der Rest"},
    Entry{"radiation of {}", "Strahlung: {}"},
    Entry{"work of the punches", "Arbeit der Stempel"},
    Entry{"Peltier and Thomson heat", "Peltier- und Thomsonwärme"},
    Entry{"cooling at the lower end", "Kühlung am unteren Ende"},
    Entry{"cooling at the upper end", "Kühlung am oberen Ende"},
    Entry{"natural convection to the gas", "freie Konvektion ins Gas"},
    Entry{"ends held at a temperature", "Enden auf fester Temperatur"},
    Entry{"stored", "gespeichert"},
    Entry{"the numbers", "die Zahlen"},
    Entry{"r in mm, {} % within", "r in mm, {} % innerhalb"},
    Entry{"{} % of the current", "{} % des Stroms"},
    Entry{"The way of the current", "Der Weg des Stroms"},
    Entry{"Lines of current {}: between two of them flows a tenth of it.",
          "Stromlinien {}: zwischen zweien fließt ein Zehntel davon."},
    Entry{"Fig. {}. {}", "Bild {}. {}"},
    // trust
    Entry{"How far to trust it", "Wie weit man dem trauen darf"},
    Entry{"energy balance, of the energy delivered", "Energiebilanz, von der zugeführten Energie"},
    Entry{"charge balance, of the largest current", "Ladungsbilanz, vom größten Strom"},
    Entry{"numerical error aimed at in the holds", "angestrebter numerischer Fehler in den Haltezeiten"},
    Entry{"cells", "Zellen"},
    Entry{"steps of time", "Zeitschritte"},
    Entry{"For {} s a limit of the press held the programme back.",
          "Für {} s hielt eine Grenze der Presse das Programm auf."},
    Entry{"For {} s the programme fell faster than the stack cools; the current was off.",
          "Für {} s fiel das Programm schneller, als der Aufbau abkühlt; der Strom war aus."},
    Entry{"Warnings", "Warnungen"},
    Entry{"none", "keine"},
    Entry{"Not modelled", "Nicht berücksichtigt"},
    // sources
    Entry{"Where the numbers come from", "Woher die Zahlen kommen"},
    Entry{"curves and sources", "Kurven und Quellen"},
    Entry{"Every curve that the run used, where it is known, and where its numbers come from. Outside its "
          "range a curve holds its end value.",
          "Jede Kurve, die der Lauf benutzt hat, wo sie bekannt ist und woher ihre Zahlen kommen. Außerhalb "
          "ihres Bereichs behält eine Kurve "
          "ihren Endwert."},
    Entry{"At the outputs it had {}.", "Zu den Ausgabezeiten hatte es {}."},
    Entry{"{} to {} °C", "{} bis {} °C"},
    Entry{"constant", "konstant"},
    Entry{"known", "bekannt"},
    Entry{"unsure by", "unsicher um"},
    Entry{"source", "Quelle"},
    Entry{"density", "Dichte"},
    Entry{"heat capacity", "Wärmekapazität"},
    Entry{"heat conductivity", "Wärmeleitfähigkeit"},
    Entry{"heat conductivity along layers", "Wärmeleitfähigkeit entlang der Lagen"},
    Entry{"heat conductivity across layers", "Wärmeleitfähigkeit quer zu den Lagen"},
    Entry{"resistivity", "spezifischer Widerstand"},
    Entry{"resistivity along layers", "spezifischer Widerstand entlang der Lagen"},
    Entry{"resistivity across layers", "spezifischer Widerstand quer zu den Lagen"},
    Entry{"emissivity", "Emissionsgrad"},
    Entry{"mean expansion from 20 degC", "mittlere Ausdehnung ab 20 °C"},
    Entry{"mean expansion from 20 degC along layers", "mittlere Ausdehnung ab 20 °C entlang der Lagen"},
    Entry{"mean expansion from 20 degC across layers", "mittlere Ausdehnung ab 20 °C quer zu den Lagen"},
    Entry{"elastic modulus", "Elastizitätsmodul"},
    Entry{"yield strength", "Fließgrenze"},
    Entry{"surface energy", "Oberflächenenergie"},
    Entry{"loose touch", "lose Berührung"},
    Entry{"Seebeck coefficient", "Seebeck-Koeffizient"},
    Entry{"creep of the dense solid", "Kriechen des dichten Feststoffs"},
    Entry{"conduction of the mixture", "Leitung der Mischung"},
    Entry{"oxide film", "Oxidfilm"},
    Entry{"gas in the pores", "Gas in den Poren"},
    // methods
    Entry{"For a paper", "Für eine Veröffentlichung"},
    Entry{"The coupled electric, thermal and densification problem of the axisymmetric stack was solved with "
          "joulepress {} on {} finite-volume "
          "cells.",
          "Das gekoppelte elektrische, thermische und Verdichtungsproblem des achsensymmetrischen Aufbaus "
          "wurde mit joulepress {} auf {} "
          "Finite-Volumen-Zellen gelöst."},
    Entry{"Fluxes through faces are two-point fluxes.", "Flüsse durch Flächen sind Zweipunktflüsse."},
    Entry{"Fluxes through faces come from cubics through the cell means along each row.",
          "Flüsse durch Flächen folgen aus Kubiken durch die Zellmittel entlang jeder Reihe."},
    Entry{"The march is implicit Runge-Kutta of order 4 with an embedded estimate (Kennedy and Carpenter "
          "2003) in {} steps.",
          "Das Zeitverfahren ist ein implizites Runge-Kutta-Verfahren der Ordnung 4 mit eingebetteter "
          "Schätzung (Kennedy und Carpenter 2003) in "
          "{} Schritten."},
    Entry{"Powder closes by power-law creep of its solid in a closed die (the law and its constants stand "
          "with the sources), its columns "
          "together under flat punches.",
          "Pulver verdichtet durch Potenzgesetz-Kriechen seines Feststoffs in geschlossener Matrize (Gesetz "
          "und Konstanten stehen bei den "
          "Quellen), seine Säulen gemeinsam unter ebenen Stempeln."},
    Entry{"Open walls exchange grey diffuse radiation by view factors of axisymmetric rings with "
          "obstruction, by radiosities (Modest, Radiative "
          "Heat Transfer, from memory).",
          "Freie Wände tauschen graue diffuse Strahlung aus, nach Sichtfaktoren achsensymmetrischer Ringe "
          "mit Verdeckung und über Radiositäten "
          "(Modest, Radiative Heat Transfer, aus dem Gedächtnis)."},
    Entry{"The energy balance closed to {} of the energy delivered.",
          "Die Energiebilanz schloss bis auf {} der zugeführten Energie."},
    Entry{"C. A. Kennedy, M. H. Carpenter: Additive Runge-Kutta schemes for convection-diffusion-reaction "
          "equations. Applied Numerical "
          "Mathematics 44 (2003) 139-181 (from memory).",
          "C. A. Kennedy, M. H. Carpenter: Additive Runge-Kutta schemes for convection-diffusion-reaction "
          "equations. Applied Numerical "
          "Mathematics 44 (2003) 139-181 (aus dem Gedächtnis)."},
    Entry{"Case, SHA-256 of its resolved text: {}", "Fall, SHA-256 seines aufgelösten Textes: {}"},
    // case and cautions
    Entry{"The case", "Der Fall"},
    Entry{"the resolved case, every default inside", "der aufgelöste Fall mit allen Vorgaben"},
    Entry{"Cautions", "Vorsicht"},
    Entry{"Hot graphite burns in air from about 400 °C and stays hot for long: open the chamber cold. Carbon "
          "monoxide may be present.",
          "Heißer Graphit brennt an Luft ab etwa 400 °C und bleibt lange heiß: die Kammer kalt öffnen. "
          "Kohlenmonoxid kann vorhanden sein."},
    Entry{"Kiloamperes, stored force and vacuum: broken die pieces fly under load; keep guards closed and "
          "people with pacemakers away.",
          "Kiloampere, gespeicherte Kraft und Vakuum: Bruchstücke einer Matrize fliegen unter Last; "
          "Schutzhauben geschlossen und Menschen mit "
          "Herzschrittmacher fern halten."},
    Entry{
        "These are model estimates. The press maker's limits, local codes and licensed practice come first.",
        "Dies sind Schätzungen eines Modells. Grenzen des Pressenherstellers, örtliche Vorschriften und "
        "befugte Fachleute gehen vor."},
};

const Entry* found(std::string_view english) {
  for (const std::span<const Entry> part : {words_of_run(), words_of_strength(), words_of_studies(),
                                            words_of_card(), words_of_offsets(), words_of_fit()}) {
    const auto entry =
        std::find_if(part.begin(), part.end(), [english](const Entry& e) { return e.english == english; });
    if (entry != part.end()) return &*entry;
  }
  return nullptr;
}

}  // namespace

std::span<const WordEntry> words_of_run() {
  return entries;
}

std::optional<Language> language_of(std::string_view word) {
  if (word == "english" || word == "en") return Language::english;
  if (word == "german" || word == "de") return Language::german;
  return std::nullopt;
}

const char* Words::tag() const {
  return language_ == Language::german ? "de" : "en";
}

std::optional<std::string_view> Words::known(std::string_view english) const {
  const Entry* entry = found(english);
  if (language_ == Language::english) return english;
  return entry ? std::optional(entry->german) : std::nullopt;
}

std::string_view Words::text(std::string_view english) const {
  const Entry* entry = found(english);
  if (!entry) throw std::logic_error(fmt::format("no words for \"{}\"", english));
  return language_ == Language::german ? entry->german : entry->english;
}

std::string Words::number(double value, int decimals) const {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-')
    text.erase(0, 1);  // never "-0"
  std::replace(text.begin(), text.end(), '.', decimal_mark());
  if (text.front() == '-') text.replace(0, 1, "−");
  return text;
}

std::string Words::signed_number(double value, int decimals) const {
  const std::string text = number(value, decimals);
  return text.find_first_not_of("0.,") == std::string::npos || value < 0.0 ? text : "+" + text;
}

std::string Words::celsius(double kelvin, int decimals) const {
  return number(kelvin - 273.15, decimals) + " °C";
}

}  // namespace joulepress::tools::html
