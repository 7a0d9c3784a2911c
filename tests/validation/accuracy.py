#!/usr/bin/python3
"""Is the accuracy asked for met?  Every shipped case against itself at an accuracy five times finer.

usage: accuracy.py PROGRAM CASES [JSON]      CASES: a folder, or one case; always exit code 0: the record is for docs/validation.md

Compared are the temperatures of history.csv at all rows that both runs have.  The finer run stands for the truth: its
grid has three times the cells with another grading, and its steps a fifth of the tolerance.  The largest difference
of a case is held against the accuracy it asks for: averages over settled holds, points and means at all times, and
extremes apart.
"""
import csv
import json
import subprocess
import sys
import tempfile
from pathlib import Path

READ = ("material [K]", "powder mean [K]", "powder centre [K]", "powder edge [K]", "die wall [K]")
EXTREMES = ("coldest [K]", "hottest [K]", "hottest tool [K]")  # read at cell middles, faces and surfaces


def rows_of(folder):
    with open(folder / "history.csv") as file:
        return {round(float(row["time [s]"]), 6): row for row in csv.DictReader(file)}


def run(program, case, accuracy, folder):
    """Rows and cost of a shipped case with another accuracy."""
    text = case.read_text()
    if "\nnumerics:" in text:
        sys.exit(f"{case} sets its own numerics")
    copy = case.with_name(f".{case.stem}-{accuracy}.yaml")
    copy.write_text(text + f"\nnumerics: {{accuracy: {accuracy} K}}\n")
    try:
        subprocess.run([program, "run", copy, "--out", folder, "--quiet"], check=True, stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL)
    finally:
        copy.unlink()
    timing, summary = (json.loads((folder / name).read_text()) for name in ("timing.json", "summary.json"))
    return rows_of(folder), summary["holds"], summary["cells"], timing["march_cpu_s"]


def difference_of_holds(coarse, fine):
    """(largest difference of averages over the settled holds [K], which)"""
    worst = (0.0, "no hold")
    for one, other in zip(coarse, fine):
        for key in ("sensor_material_K", "sample_mean_K", "sample_centre_K", "sample_edge_K", "offset_mean_K"):
            if one.get(key) is not None and other.get(key) is not None:
                worst = max(worst, (abs(one[key] - other[key]), f"{key.removesuffix('_K')} in {one['name']}"))
    return worst


def difference(coarse, fine, columns):
    """(largest difference of temperatures [K], column, time [s])"""
    worst = (0.0, "", 0.0)
    for time in coarse.keys() & fine.keys():
        for name, text in coarse[time].items():
            if name.endswith(columns) and text and fine[time][name]:
                worst = max(worst, (abs(float(text) - float(fine[time][name])), name, time))
    return worst


def main(program, cases, report=None):
    asked, finer, records = 0.1, 0.02, []
    cases = Path(cases)
    print("| case | worst (K) | where | at (s) | cells | march (s) | cells, finer | march, finer (s) |")
    print("| --- | ---: | --- | ---: | ---: | ---: | ---: | ---: |")
    for case in sorted(cases.glob("*.yaml")) if cases.is_dir() else [cases]:
        with tempfile.TemporaryDirectory(prefix="joulepress-accuracy-") as scratch:
            coarse, holds, cells, march = run(program, case, asked, Path(scratch) / "coarse")
            fine, holds_fine, cells_fine, march_fine = run(program, case, finer, Path(scratch) / "fine")
        miss, which = difference_of_holds(holds, holds_fine)
        records.append({"check": f"{case.stem}, averages of holds: {which}", "value": miss, "limit": asked,
                        "agrees": miss <= asked})
        print(f"| {case.stem} | {miss:.3f} | {which} | | {cells} | {march:.2f} | {cells_fine} | {march_fine:.2f} |")
        for columns, what in ((READ, "points and means"), (EXTREMES, "extremes")):
            miss, where, time = difference(coarse, fine, columns)
            print(f"| {case.stem} | {miss:.3f} | {where} | {time:g} | {cells} | {march:.2f} | {cells_fine} | "
                  f"{march_fine:.2f} |", flush=True)
            records.append({"check": f"{case.stem}, {what}: {where.removesuffix(' [K]')} at {time:g} s", "value": miss,
                            "limit": asked, "agrees": miss <= asked})
    if report:
        Path(report).write_text("".join(json.dumps(record) + "\n" for record in records))
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
