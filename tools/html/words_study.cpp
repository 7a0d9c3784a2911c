#include <array>

#include "tools/html/word_list.hpp"

namespace joulepress::tools::html {
namespace {

using Entry = WordEntry;

constexpr std::array entries{
    // names of tools/study/measures
    Entry{"{} at “{}”", "{} in „{}“"},
    Entry{"powder mean", "Pulver, Mittel"},
    Entry{"powder centre", "Pulver, Mitte"},
    Entry{"powder edge", "Pulver, Rand"},
    Entry{"coldest in the powder", "kälteste Stelle im Pulver"},
    Entry{"hottest in the powder", "heißeste Stelle im Pulver"},
    Entry{"spread in the powder", "Spanne im Pulver"},
    Entry{"reading", "Anzeige"},
    Entry{"sensor error", "Fehler des Sensors"},
    Entry{"current", "Strom"},
    Entry{"voltage", "Spannung"},
    Entry{"current through the powder", "Strom durch das Pulver"},
    Entry{"largest current", "größter Strom"},
    Entry{"largest voltage", "größte Spannung"},
    Entry{"largest power", "größte Leistung"},
    Entry{"hottest powder", "heißestes Pulver"},
    Entry{"energy", "Energie"},
    // variants
    Entry{"one case varied", "ein Fall, abgewandelt"},
    Entry{"Good: {} of {} variants.", "Gut: {} von {} Varianten."},
    Entry{"Run to the end: {} of {} variants; the plan requires nothing of them.",
          "Bis zum Ende gelaufen: {} von {} Varianten; der Plan verlangt nichts von ihnen."},
    Entry{"Among these “{}” has the lowest value of {} ({}), “{}” the highest ({}).",
          "Unter diesen hat „{}“ den kleinsten Wert von {} ({}), „{}“ den größten ({})."},
    Entry{"Only “{}” is left: {} {}.", "Nur „{}“ bleibt: {} {}."},
    Entry{"variant", "Variante"},
    Entry{"good", "gut"},
    Entry{"outcome", "Ausgang"},
    Entry{"why not", "warum nicht"},
    Entry{"yes", "ja"},
    Entry{"no", "nein"},
    Entry{"completed", "fertig"},
    Entry{"stopped", "abgebrochen"},
    Entry{"failed", "gescheitert"},
    Entry{"refused", "abgelehnt"},
    Entry{"not run yet", "noch nicht gelaufen"},
    Entry{"Varied: {}. The case, its history and its numbers stand in members, by the number of the variant.",
          "Abgewandelt: {}. Fall, Verlauf und Zahlen stehen in members unter der Nummer der Variante."},
    Entry{"The variants in pictures", "Die Varianten im Bild"},
    Entry{"A mark is a variant, a full one a good variant.",
          "Ein Punkt ist eine Variante, ein voller eine gute."},
    Entry{"A mark is a variant, a full one ran to its end.",
          "Ein Punkt ist eine Variante, ein voller lief bis zum Ende."},
    Entry{"Dashed lines across are what is required.", "Gestrichelte Linien quer sind, was verlangt ist."},
    Entry{"There are too many combinations to tell their lines apart: the table has them.",
          "Es sind zu viele Kombinationen, um ihre Linien zu unterscheiden: sie stehen in der Tabelle."},
    Entry{"There are too many variants of words for pictures: the table has them.",
          "Es sind zu viele Varianten in Worten für Bilder: sie stehen in der Tabelle."},
    Entry{"No variant has a number to show.", "Keine Variante hat eine Zahl zu zeigen."},
    Entry{"{} of every variant", "{} jeder Variante"},
    Entry{"the lines and what they stand for", "die Linien und wofür sie stehen"},
    Entry{"Not run to the end", "Nicht bis zum Ende gelaufen"},
    Entry{"Required: {}.", "Verlangt: {}."},
    Entry{"Recommended: none, since no variant is good.", "Empfohlen: keine, denn keine Variante ist gut."},
    Entry{"Recommended: “{}”, the least “{}” among the good variants.",
          "Empfohlen: „{}“, das kleinste „{}“ unter den guten Varianten."},
    Entry{"Recommended: “{}”, the most “{}” among the good variants.",
          "Empfohlen: „{}“, das größte „{}“ unter den guten Varianten."},
    Entry{"“{}” is good too and would have: {}.", "„{}“ ist auch gut und hätte: {}."},
    Entry{"“{}” is not good and would have: {}.", "„{}“ ist nicht gut und hätte: {}."},
    Entry{"largest force", "größte Kraft"},
    Entry{"grip", "Umklammerung"},
    Entry{"at most {}", "höchstens {}"},
    Entry{"at least {}", "mindestens {}"},
    // how sure a case is
    Entry{"how sure a case is", "wie sicher ein Fall ist"},
    Entry{"How sure the numbers of “{}” are", "Wie sicher die Zahlen von „{}“ sind"},
    Entry{"There is no offset: the case has no powder, or no sensor controls it.",
          "Es gibt keinen Versatz: der Fall hat kein Pulver, oder kein Sensor regelt ihn."},
    Entry{"the case", "der Fall"},
    Entry{"2.5 to 97.5 % of the samples", "2,5 bis 97,5 % der Stichproben"},
    Entry{"error of the computation", "Fehler der Rechnung"},
    Entry{"offset in K", "Versatz in K"},
    Entry{"The offset of the case; where the samples lie, half of them on each side of the gap in the bar "
          "(slim bars: the ends are known to this, 95 %); the error of the computation; and each choice of "
          "model made the other way.",
          "Der Versatz des Falls; wo die Stichproben liegen, die Hälfte auf jeder Seite der Lücke im Balken "
          "(schmale Balken: so genau sind die Enden bekannt, 95 %); der Fehler der Rechnung; und jede Wahl "
          "des Modells andersherum getroffen."},
    Entry{"median", "Median"},
    Entry{"2.5 % (95 % interval)", "2,5 % (95-%-Intervall)"},
    Entry{"97.5 % (95 % interval)", "97,5 % (95-%-Intervall)"},
    Entry{"computation ±", "Rechnung ±"},
    Entry{"observed order", "beobachtete Ordnung"},
    Entry{"safety factor", "Sicherheitsfaktor"},
    Entry{"The error of the computation is half of the interval about the case's value, told from the case "
          "at three accuracies; the factor is 1.25 where they approach at an order of 0.5 to 2, else 3 "
          "(Celik et al., J. Fluids Eng. 130 (2008) 078001, from memory; limits and 3: own choice).",
          "Der Fehler der Rechnung ist die Hälfte des Intervalls um den Wert des Falls, bestimmt aus dem "
          "Fall in drei Genauigkeiten; der Faktor ist 1,25, wo sie sich mit einer Ordnung von 0,5 bis 2 "
          "nähern, sonst 3 (Celik et al., J. Fluids Eng. 130 (2008) 078001, aus dem Gedächtnis; Grenzen und "
          "3: eigene Wahl)."},
    Entry{"What makes the offset in “{}” unsure", "Was den Versatz in „{}“ unsicher macht"},
    Entry{"share of the variance in %", "Anteil an der Varianz in %"},
    Entry{"The share of the offset's variance that each input explains by itself, with its 95 % interval; "
          "the table has the small ones too.",
          "Der Anteil an der Varianz des Versatzes, den jede Eingabe für sich erklärt, mit seinem "
          "95-%-Intervall; in der Tabelle stehen auch die kleinen."},
    Entry{"No input explains half a percent of the range.",
          "Keine Eingabe erklärt ein halbes Prozent davon."},
    Entry{"There are too few samples to tell causes.", "Für Ursachen sind es zu wenige Stichproben."},
    Entry{"uncertain input", "unsichere Eingabe"},
    Entry{"spread", "Streuung"},
    Entry{"share %", "Anteil %"},
    Entry{"95 % interval", "95-%-Intervall"},
    Entry{"with others %", "mit anderen %"},
    Entry{"By the full design of the inputs that matter most, of the variance that these make together:",
          "Nach dem vollständigen Plan der wichtigsten Eingaben, von der Varianz, die sie zusammen machen:"},
    Entry{"linear %", "linear %"},
    Entry{"K per sigma", "K je Sigma"},
    Entry{"with the property, in its material file", "bei der Eigenschaft, in ihrer Werkstoffdatei"},
    Entry{"The fit behind the shares explains {} % of the variance of runs it has not seen (Q²).",
          "Die Anpassung hinter den Anteilen erklärt {} % der Varianz von Läufen, die sie nicht kennt (Q²)."},
    Entry{"The fit behind the shares explains nothing of runs it has not seen (Q²).",
          "Die Anpassung hinter den Anteilen erklärt nichts von Läufen, die sie nicht kennt (Q²)."},
    Entry{"Below 80 % the order of the causes is a hint; more samples make it surer.",
          "Unter 80 % ist die Reihenfolge der Ursachen ein Hinweis; mehr Stichproben machen sie sicherer."},
    Entry{"A straight one explains {} % of those it has (adjusted R²) and {} % of others (Q²).",
          "Eine gerade erklärt {} % der bekannten (angepasstes R²) und {} % anderer (Q²)."},
    Entry{"For a straight one there are too few samples.", "Für eine gerade sind es zu wenige Stichproben."},
    Entry{"“With others” counts what an input does together with others too; “linear” is the share by a "
          "straight fit; K per sigma is what one standard deviation of the input moves.",
          "„Mit anderen“ zählt auch, was eine Eingabe gemeinsam mit anderen tut; „linear“ ist der Anteil "
          "nach einer geraden Anpassung; K je Sigma ist, was eine Standardabweichung der Eingabe bewegt."},
    Entry{"Choices of model in “{}”", "Wahl des Modells in „{}“"},
    Entry{"as the case has it", "wie im Fall"},
    Entry{"made the other way", "andersherum"},
    Entry{"offset changes by", "Versatz ändert sich um"},
    Entry{"no result because", "kein Ergebnis, weil"},
    Entry{"What is behind it", "Was dahintersteht"},
    Entry{"{} of {} samples came to their end and count; seed {}.",
          "{} von {} Stichproben kamen zu ihrem Ende und zählen; Startzahl {}."},
    Entry{"Left out", "Ausgelassen"},
    Entry{"Not included", "Nicht enthalten"},
    Entry{"everything that is uncertain, {} inputs", "alles Unsichere, {} Eingaben"},
    Entry{"What is uncertain", "Was unsicher ist"},
    Entry{"Nothing in the case is uncertain.", "Nichts im Fall ist unsicher."},
};

}  // namespace

std::span<const WordEntry> words_of_studies() {
  return entries;
}

}  // namespace joulepress::tools::html
