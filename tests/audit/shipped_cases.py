#!/usr/bin/python3
"""Audits of shipped cases, shortened and cut into short programme pieces, and proof that the audit can fail.

usage: shipped_cases.py PROGRAM CASES {column | nickel | titanium | wrong | wrong_pressed} [JSON]

Steps of the march end at corners of the programme, so short pieces keep the run's own error in time, which shows
where rows are integrated, below the audit's limit; rows every 0.2 s do so for the audit's trapezoids.
"""
import re
import shutil
import subprocess
import sys
import tempfile
from contextlib import redirect_stdout
from pathlib import Path

import h5py
import numpy as np

import audit

# Two-point fluxes, since surface temperatures and terminal currents are found from half cells (audit.py).
OUTPUT = "\nnumerics: {fluxes: two-point}\noutput: {history every: 0.2 s, fields every: 20 s}\n"


def column_programme(ramp=60, hold=60, cool=30):
    """20 A more every second, held, cut."""
    steps = [f"{{ramp to: {20 * k} A, in: 1 s}}" for k in range(1, ramp + 1)]
    return "current", steps + ["{hold: 2 s}"] * hold + ["{cool: free, for: 2 s}"] * cool


def tracked_programme(top, rate, hold=15, cool=30):
    """From 25 degC to `top`, then holds, then no current, in pieces of two seconds."""
    count = round((top - 25) / rate / 2)
    steps = [f"{{ramp to: {25 + (top - 25) * k / count:.6f} degC, in: {(top - 25) / rate / count:.6f} s}}"
             for k in range(1, count + 1)]
    return "temperature", steps + ["{hold: 2 s}"] * hold + ["{cool: free, for: 2 s}"] * cool


def written(cases, folder, name, key, steps):
    """The shipped case beside a copy of its press and tooling, with another programme."""
    shutil.copytree(cases, folder / "cases")
    text = (cases / name).read_text()
    text, count = re.subn(rf"(?m)^  {key}: \[.*\]$", f"  {key}: [{', '.join(steps)}]", text)
    text = re.sub(r"(?m)^  pressure on powder: .*$", "  pressure on powder: [{hold: 16 MPa, for: 20 s}, {ramp to: 50 MPa, in: 20 s}]",
                  text)
    if count != 1 or "\noutput:" in text:
        sys.exit(f"FAILED: {name} is not written as this test expects")
    case = folder / "cases" / "audited.yaml"
    case.write_text(text + OUTPUT)
    return case


def run(program, cases, folder, name, programme):
    case = written(cases, folder, name, *programme)
    subprocess.run([program, "run", case, "--quiet", "--out", folder / "out"], check=True, stdout=subprocess.DEVNULL)
    return folder / "out" / "results.h5"


def scaled(names, factor):
    names = [names] if isinstance(names, str) else names

    def change(h5):
        for name in names:
            h5[name][...] = h5[name][()] * factor
    return f"{' and '.join(names)} x {factor}", change


def altered(old, new, what):
    def change(h5):
        text = h5["/case"][0].decode()
        if old not in text:
            sys.exit(f"FAILED: the case has no '{old}'")
        data = text.replace(old, new).encode()
        del h5["/case"]
        h5.create_dataset("/case", data=[data])
    return what, change


def one_scaled(h5):
    """The largest exchange area of two zones, one way only."""
    S = h5["/enclosure/between"]
    k = np.unravel_index(np.argmax(np.triu(S[0], 1)), S[0].shape)
    S[(slice(None), *k)] = S[(slice(None), *k)] * 1.0001


def one_moved(h5):
    """A hundredth of a zone's area from the chamber to another zone: sums and reciprocity stay."""
    S, chamber = h5["/enclosure/between"], h5["/enclosure/chamber"]
    i, j = np.argsort(chamber[0])[-2:]
    more = 0.01 * min(S[0, k].sum() + chamber[0, k] for k in (i, j))
    for share in range(len(S)):
        S[share, i, j] += more
        S[share, j, i] += more
        chamber[share, i] -= more
        chamber[share, j] -= more


# (what is made wrong, a word of a line that must miss); lines that do not depend on it must not be what saves the day.
WRONG = [
    (scaled("/mesh/volume", 1.0001), "volume of a cell"),
    (scaled("/fields/temperature", 1.0001), "integral of cp"),
    (scaled("/fields/joule_heat", 1.0001), "I x U against Joule heat"),
    (scaled("/fields/electric_potential", 1.0001), "from the potential"),
    (scaled("/history/voltage", 1.0001), "power against I x U"),
    (scaled("/history/film low", 1.0001), "film low"),
    (scaled("/history/radiation of cylinder", 1.0001), "radiation of cylinder"),
    (scaled("/history/joule heat in cylinder", 1.0001), "joule heat in cylinder"),
    (scaled("/history/contact heat", 1.0001), "contact heat"),
    (scaled("/history/stored", 1.0001), "stored: power and work of the punches less our losses"),
    (scaled("/ledger/stored", 1.0001), "stored at the end, ledger against integral"),
    (scaled("/ledger/electric", 1.0001), "electric + press, ledger against stored"),
    (scaled("/ledger/radiation", 1.0001), "radiation, ledger"),
    (scaled("/ledger/films", 1.0001), "films, ledger"),
    (scaled("/ledger/joule", 1.0001), "Joule heat against electric energy"),
    (scaled("/enclosure/between", 1.0001), "all that a zone sees"),
    (scaled("/enclosure/chamber", 1.0001), "all that a zone sees"),
    (scaled("/enclosure/between", 1.0001), "radiation of lower spacer"),
    (("one exchange area x 1.0001", one_scaled), "that the other way"),
    (("a view moved from the chamber to a zone", one_moved), "table against rays"),
    (scaled("/enclosure/emissivity", 1.0001), "emissivity of a zone"),
    (scaled("/enclosure/at", 1.0001), "wall that a zone lies on"),
    (scaled("/enclosure/high", 1.0001), "area of all open walls"),
    (altered("[[2269.748, 0]", "[[2269.975, 0]", "first term of cp x 1.0001"), "integral of cp"),
    (altered("value: 0.80", "value: 0.80008", "emissivity x 1.0001"), "radiation of cylinder"),
    (altered("[[17.0, 0]", "[[17.0017, 0]", "first term of resistivity x 1.0001"), "from the potential"),
    (altered("value: 1850 kg/m3", "value: 1850.185 kg/m3", "density x 1.0001"), "integral of cp"),
    (altered("film: 880 ", "film: 880.088 ", "film x 1.0001"), "film low"),
    (altered("electrical: 8e-08 ", "electrical: 8.0008e-08 ", "axial touch x 1.0001"), "contact heat"),
    (altered("[[123, 0]", "[[124.23, 0]", "first term of heat conductivity x 1.01"), ""),  # half cells only: any line
]
# The same where a powder closes.
WRONG_PRESSED = [
    (scaled(("/fields/z_low", "/fields/z_high"), 1.0001), "mass over density against heights"),
    (scaled("/fields/relative_density", 1.0001), "mass of powder"),
    (scaled("/history/stroke by densification", 1.0001), "stroke by densification"),
    (scaled("/history/force", 1.0001), "force on the column"),
    (scaled("/history/press work", 1.1), "stored: power and work of the punches less our losses"),
    (scaled("/ledger/press", 1.0001), "press, ledger against force"),
    (altered("relative density: {value: 0.6", "relative density: {value: 0.60006", "start density x 1.0001"),
     "relative density of powder"),
    (altered("densification: on", "densification: off", "densification off"), "relative density of powder"),
]


def wrong(program, cases, folder, name, programme, table):
    """The audit is green for the run and red for every copy with one number off, on the line that number belongs to."""
    results = run(program, cases, folder, name, programme)
    if audit.main(results) != 0:
        sys.exit("FAILED: the untouched run")
    missed = [what for (what, change), line in table if not caught(results, folder / "wrong.h5", what, change, line)]
    if missed:
        sys.exit(f"FAILED: not caught on their own line: {missed}")


def caught(results, copy, what, change, line):
    shutil.copyfile(results, copy)
    with h5py.File(copy, "r+") as h5:
        change(h5)
    with open(copy.with_suffix(".txt"), "w") as table, redirect_stdout(table):
        code = audit.main(copy, rays="rays" in line)
    missing = [row["check"] for row in audit.lines if not row["agrees"]]
    good = code == 1 and any(line in check for check in missing)
    print(f"{what:<48} {len(missing):>3} lines miss  {'caught' if good else 'NOT CAUGHT'}", flush=True)
    return good


def main(program, cases, task, report=None):
    tasks = {"column": ("graphite-column.yaml", column_programme()),
             "nickel": ("nickel-20mm.yaml", tracked_programme(300, 200 / 60)),
             "titanium": ("titanium-20mm.yaml", tracked_programme(700, 200 / 60))}
    with tempfile.TemporaryDirectory(prefix="joulepress-audit-") as scratch:
        if task == "wrong":
            return wrong(program, cases, Path(scratch), "graphite-column.yaml", column_programme(30, 30, 6), WRONG)
        if task == "wrong_pressed":
            return wrong(program, cases, Path(scratch), "nickel-20mm.yaml", tracked_programme(300, 200 / 60, 4, 10),
                         WRONG_PRESSED)
        return audit.main(run(program, cases, Path(scratch), *tasks[task]), report)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:]))
