// German of what the page says of the strength of the tools.
#include <array>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    Entry{"Do the tools hold?", "Halten die Werkzeuge?"},
    Entry{"The tools hold: least margin {} (asked {}).",
          "Die Werkzeuge halten: kleinste Sicherheit {} (verlangt {})."},
    Entry{"The tools do NOT hold with the margin asked for: least margin {} (asked {}).",
          "Die Werkzeuge halten NICHT mit der verlangten Sicherheit: kleinste Sicherheit {} (verlangt {})."},
    Entry{"Something BREAKS by this model: least margin {} (asked {}).",
          "Nach diesem Modell BRICHT etwas: kleinste Sicherheit {} (verlangt {})."},
    Entry{"Not judged:", "Nicht beurteilt:"},
    Entry{"no force stands on the column", "auf der Säule steht keine Kraft"},
    Entry{"the strength of no tool is known", "von keinem Werkzeug ist die Festigkeit bekannt"},
    Entry{"The worst place: {} {}, {} of {}, at {}, {}, {}; r {} mm, {} mm from its middle in height.",
          "Die schlimmste Stelle: {} {}, {} von {}, bei {}, {}, {}; r {} mm, {} mm von seiner Mitte in der "
          "Höhe."},
    Entry{"in tension", "auf Zug"},
    Entry{"under pressure", "auf Druck"},
    Entry{"preload", "Vorlast"},
    Entry{"full force", "volle Kraft"},
    Entry{"hold", "Haltezeit"},
    Entry{"cooling", "Abkühlen"},
    Entry{"push-out", "Ausstoßen"},
    Entry{"cold", "kalt"},
    Entry{"{} s", "{} s"},
    Entry{"margin", "Sicherheit"},
    Entry{"least margin", "kleinste Sicherheit"},
    Entry{"asked: {}", "verlangt: {}"},
    Entry{"breaks", "bricht"},
    Entry{"load case", "Lastfall"},
    Entry{"part", "Teil"},
    Entry{"load", "Last"},
    Entry{"stress", "Spannung"},
    Entry{"strength", "Festigkeit"},
    Entry{"there", "dort"},
    Entry{"when", "wann"},
    Entry{"chance to break", "Bruchwahrscheinlichkeit"},
    Entry{"The least margin of every load case", "Die kleinste Sicherheit jedes Lastfalls"},
    Entry{"The least margins of every part", "Die kleinsten Sicherheiten jedes Teils"},
    Entry{
        "The least margin, strength over stress, of all tools over time; dashed what is asked. A dot is an "
        "instant that was looked at.",
        "Die kleinste Sicherheit, Festigkeit durch Spannung, aller Werkzeuge über der Zeit; gestrichelt die "
        "verlangte. Ein Punkt ist ein Augenblick, der angesehen wurde."},
    Entry{"Only the upper half is listed: each part stands for itself and its image.",
          "Nur die obere Hälfte ist aufgeführt: jedes Teil steht für sich und sein Spiegelbild."},
    Entry{"The chance to break is indicative, by Weibull's weakest link at the worst instant of a part.",
          "Die Bruchwahrscheinlichkeit ist ein Anhaltswert, nach Weibulls schwächstem Glied im schlimmsten "
          "Augenblick eines Teils."},
    Entry{
        "Wall of {} at {} s: the largest hoop stress at the bore is {}. The formula of an endless tube says "
        "{} (side pressure {}, outer over inner radius {}). The powder bears on {} % of the height, so that "
        "the force brings {}.",
        "Wand von {} bei {} s: die größte Umfangsspannung an der Bohrung ist {}. Die Formel des endlosen "
        "Rohrs sagt {} (Seitendruck {}, Außen- durch Innenradius {}). Das Pulver trägt auf {} % der Höhe, so "
        "dass die Kraft {} bringt."},
    Entry{"Growth by heat adds {}.", "Die Wärmedehnung bringt {} dazu."},
    Entry{"Growth by heat takes off {}.", "Die Wärmedehnung nimmt {} weg."},
    Entry{"From {} on ({} s) the compact is taken as solid.",
          "Von {} an ({} s) gilt der Pressling als fest."},
    Entry{"Cold it is gripped by the die with {} (at most {}).",
          "Kalt hält ihn die Matrize mit {} (höchstens {})."},
    Entry{"It shrinks away from the die.", "Er schrumpft von der Matrize weg."},
    Entry{"It shrinks away from the die and lies free.", "Er schrumpft von der Matrize weg und liegt frei."},
    Entry{"On its core it presses with {}.", "Auf seinen Kern drückt er mit {}."},
    Entry{"Its core is loose.", "Sein Kern ist lose."},
    Entry{"Pushing it out takes about {}, {} on the punch.",
          "Ihn auszustoßen braucht etwa {}, {} auf dem Stempel."},
    Entry{"The least margin then is {}.", "Die kleinste Sicherheit ist dann {}."},
    Entry{"Largest force for a margin of {}, cold: {}, {} on the powder.",
          "Größte Kraft für eine Sicherheit von {}, kalt: {}, {} auf dem Pulver."},
    Entry{"Largest force for a margin of {}, hot, as at {} s: {}, {} on the powder.",
          "Größte Kraft für eine Sicherheit von {}, heiß, wie bei {} s: {}, {} auf dem Pulver."},
    Entry{"Largest force for a margin of {}, cold: {}.",
          "Größte Kraft für eine Sicherheit von {}, kalt: {}."},
    Entry{"Largest force for a margin of {}, hot, as at {} s: {}.",
          "Größte Kraft für eine Sicherheit von {}, heiß, wie bei {} s: {}."},
    Entry{"what is not known, and what was left out", "was nicht bekannt ist und was weggelassen wurde"},
    Entry{"Brittle tools break without a warning, and the pieces fly: guards closed under load and until the "
          "force is off. Never pull on graphite, never strike it.",
          "Spröde Werkzeuge brechen ohne Vorwarnung, und die Stücke fliegen: Schutzhauben geschlossen unter "
          "Last und bis die Kraft weg ist. Nie an Graphit ziehen, nie darauf schlagen."},
    Entry{"A margin of this model is no permission: the limits of the press and tool makers and licensed "
          "practice come first, and the strength is that of the data, not of your piece.",
          "Eine Sicherheit dieses Modells ist keine Erlaubnis: die Grenzen der Hersteller von Presse und "
          "Werkzeug und befugte Fachleute gehen vor, und die Festigkeit ist die der Daten, nicht die Ihres "
          "Teils."},
    Entry{"compressive strength", "Druckfestigkeit"},
    Entry{"flexural strength", "Biegefestigkeit"},
    Entry{"tensile strength", "Zugfestigkeit"},
    Entry{"Poisson ratio", "Querdehnzahl"},
};

}  // namespace

std::span<const WordEntry> words_of_strength() {
  return entries;
}

}  // namespace joulepress::tools::html
