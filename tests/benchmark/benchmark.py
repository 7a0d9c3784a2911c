#!/usr/bin/env python3
"""Error against CPU seconds, measured.

    tests/benchmark/benchmark.py BUILD [--out DIR] [--against BUILD] [--peer] [--growth]

BUILD is a build folder.  Prints tables and writes DIR/benchmark.json with the facts of the machine.

  standard set    shipped cases at the default accuracy, one in full height, one with 50 000 cells, start-up
  ladder          accuracy asked for against error and seconds
  --against       the two builds run turn by turn; ratios of their best times, BUILD over the other
  --peer          the finite elements of tests/reference on the same stack, coarsened until the error is as large
  --growth        seconds per sweep and memory from 1 400 to 300 000 cells

Seconds are CPU seconds, the least of several rounds; noise only adds.  The error of a run is its largest difference to a
run at 0.01 K: powder mean, centre and edge, reading and offset, averaged over every hold and at its end.
"""
import argparse
import json
import os
import re
import statistics
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
CASES = HERE.parent.parent / "cases"
REFERENCE = HERE.parent / "reference"
SHIPPED = ["alumina-20mm", "nickel-20mm", "copper-20mm", "zirconia-40mm"]
LADDER = [2, 1, 0.5, 0.2, 0.1, 0.05, 0.02]  # K
CONVERGED = 0.01                             # K
ROUNDS = 3
PEER_CASES = ["alumina-ideal", "nickel-ideal"]
PEER_LADDER = [((2.4e-4, 1.8), (0.5, 15.0)), ((1.2e-4, 1.2), (0.5, 15.0)), ((1.2e-4, 1.2), (0.2, 6.0)),
               ((8e-5, 0.9), (0.2, 6.0)), ((4e-5, 0.6), (0.2, 6.0))]  # smallest element and growth; first and largest step


class Bench:
    def __init__(self, build, out):
        self.program, self.out = build / "joulepress", out
        out.mkdir(parents=True, exist_ok=True)

    def case(self, source, name, **numerics):
        """The case with other numerics, as a file of its own beside nothing it could include wrongly."""
        text = source.read_text()
        wanted = ", ".join(f"{k.replace('_', ' ')}: {v}" for k, v in numerics.items())
        if numerics:
            text = re.sub(r"^programme:", f"numerics: {{{wanted}}}\nprogramme:", text, count=1, flags=re.M)
        text = re.sub(r"(press: )(presses/)", rf"\1{CASES}/\2", text)
        path = self.out / f"{name}.yaml"
        path.write_text(text)
        return path

    def once(self, path):
        folder = self.out / path.stem
        process = subprocess.Popen([self.program, "run", path, "--quiet", "--replace", "--out", folder],
                                   stdout=subprocess.DEVNULL)
        _, status, usage = os.wait4(process.pid, 0)
        if status:
            sys.exit(f"{path} did not run")
        timing = json.loads((folder / "timing.json").read_text())
        timing["memory_MB"] = usage.ru_maxrss / 1024
        return timing, json.loads((folder / "summary.json").read_text())

    def best(self, path, rounds=ROUNDS):
        runs = [self.once(path) for _ in range(rounds)]
        timing = min((t for t, _ in runs), key=lambda t: t["march_cpu_s"])
        timing["cpu_s"] = min(t["cpu_s"] for t, _ in runs)
        return timing, runs[0][1]

    def cpu_of(self, *words):
        """Least CPU seconds and memory of a command."""
        best, memory = 1e9, 0
        for _ in range(10):
            process = subprocess.Popen([self.program, *words], stdout=subprocess.DEVNULL)
            _, _, usage = os.wait4(process.pid, 0)
            best, memory = min(best, usage.ru_utime + usage.ru_stime), usage.ru_maxrss / 1024
        return best, memory


def temperatures(summary):
    """What the error is measured on [K]."""
    values = {}
    for hold in summary["holds"]:
        name = hold["name"]
        values[name, "reading"] = hold["sensor_K"]
        values[name, "offset"] = hold["offset_mean_K"]
        for key in ("sample_mean_K", "sample_centre_K", "sample_edge_K"):
            values[name, key] = hold[key]
        values[name, "offset at the end"] = hold["offset_end_K"]
    return values


def difference(a, b):
    return max(abs(a[k] - b[k]) for k in a)


def table(title, head, rows):
    cells = [head] + [[f"{x:.3g}" if isinstance(x, float) else str(x) for x in row] for row in rows]
    widths = [max(len(row[k]) for row in cells) for k in range(len(head))]
    print(f"\n{title}\n")
    for row in cells:
        print("  " + "  ".join(c.ljust(w) if k == 0 else c.rjust(w) for k, (c, w) in enumerate(zip(row, widths))))
    sys.stdout.flush()
    return [dict(zip(head, row)) for row in rows]


HEAD = ["case", "cells", "steps", "rejected", "sweeps", "factorisations", "march s", "process s", "memory MB", "error K"]


def row_of(name, timing, summary, error):
    return [name, summary["cells"], timing["steps"], timing["rejected"], timing["sweeps"],
            timing["heat_factorisations"] + timing["electric_factorisations"], timing["march_cpu_s"],
            timing["cpu_s"], timing["memory_MB"], error]


def standard(bench):
    rows, converged = [], {}
    for name in SHIPPED:
        source = CASES / f"{name}.yaml"
        _, exact = bench.once(bench.case(source, f"{name}-converged", accuracy=f"{CONVERGED} K"))
        converged[name] = temperatures(exact)
        timing, summary = bench.best(bench.case(source, name))
        rows.append(row_of(name, timing, summary, difference(temperatures(summary), converged[name])))
    source = CASES / "nickel-20mm.yaml"
    exact = converged["nickel-20mm"]
    for title, rounds, numerics in (("nickel-20mm, full height", ROUNDS, {"mirror_symmetry": "off"}),
                                    ("nickel-20mm, refined to 50 000", 1, {"refinement": 3})):
        timing, summary = bench.best(bench.case(source, re.sub(r"\W+", "-", title), **numerics), rounds)
        rows.append(row_of(title, timing, summary, difference(temperatures(summary), exact)))
    result = table("Standard set, accuracy 0.1 K asked for", HEAD, rows)
    starts = [[words[0], *bench.cpu_of(*words)] for words in
              (["--version"], ["check", CASES / "nickel-20mm.yaml"])]
    return result, table("Start-up", ["command", "CPU s", "memory MB"], starts), converged


def ladder(bench, converged):
    rows = []
    for name in ("alumina-20mm", "nickel-20mm"):
        for accuracy in LADDER:
            path = bench.case(CASES / f"{name}.yaml", f"{name}-{accuracy}", accuracy=f"{accuracy} K")
            timing, summary = bench.best(path, ROUNDS if accuracy >= 0.1 else 1)
            rows.append([f"{name}, {accuracy:g} K", *row_of("", timing, summary, difference(
                temperatures(summary), converged[name]))[1:]])
    return table("Ladder of accuracies", HEAD, rows)


def against(bench, other):
    """Both builds turn by turn."""
    rows = []
    for name in SHIPPED:
        path, other_path = (b.case(CASES / f"{name}.yaml", name) for b in (bench, other))
        mine, its = [], []
        for _ in range(2 * ROUNDS):
            mine.append(bench.once(path)[0])
            its.append(other.once(other_path)[0])
        ratios = [a["march_cpu_s"] / b["march_cpu_s"] for a, b in zip(mine, its)]
        least = [min(t[k] for t in runs) for runs in (mine, its) for k in ("march_cpu_s", "cpu_s")]
        rows.append([name, least[0], least[2], least[0] / least[2], statistics.median(ratios), least[1] / least[3]])
    return table("Two builds, turn by turn", ["case", "march s", "other s", "ratio", "median ratio", "whole process"], rows)


def peer(bench):
    """Ours at the default accuracy against the coarsest peer that is as accurate; both against our run at 0.01 K."""
    sys.path.insert(0, str(REFERENCE))
    import cross_check
    rows = []
    for name in PEER_CASES:
        folder = bench.out / "peer"
        folder.mkdir(exist_ok=True)
        times = {60.0, 120.0, 180.0, 300.0, 330.0, 360.0}
        exact, _ = cross_check.ours(bench.program, name, folder, times, CONVERGED)
        runs = [cross_check.ours(bench.program, name, folder, times, 0.1) for _ in range(ROUNDS)]
        own, seconds = runs[0][0], min(s for _, s in runs)

        def error(values):
            return max(abs(values[t][q] - exact[t][q]) for t in exact for q in exact[t] if q in values.get(t, {})
                       and q not in cross_check.UNIT)
        rows.append([f"{name}, ours, whole process", seconds, error(own), 1.0])
        for grid, steps in PEER_LADDER:
            values, cpu = cross_check.peer(name, grid, steps)
            rows.append([f"{name}, finite elements, {grid[0] * 1e3:g} mm, steps to {steps[1]:g} s", cpu, error(values),
                         cpu / seconds])
            if error(values) <= max(error(own), 0.1):
                break
    return table("Beside finite elements at equal accuracy", ["run", "CPU s", "error K", "times ours"], rows)


def growth(bench):
    """The first minute of the nickel cycle in full height, ever finer."""
    rows, start = [], bench.cpu_of("--version")[1]
    source = re.sub(r"temperature: \[.*\]", "temperature: [{ramp to: 125 degC, rate: 100 degC/min}]",
                    (CASES / "nickel-20mm.yaml").read_text())
    path = bench.out / "growth-source.yaml"
    path.write_text(source)
    for numerics in ({"accuracy": "1 K"}, {}, {"refinement": 2}, {"refinement": 3}, {"refinement": 5}, {"refinement": 7}):
        case = bench.case(path, "growth", mirror_symmetry="off", **numerics)
        timing, summary = bench.best(case, ROUNDS if numerics.get("refinement", 1) < 3 else 1)
        seconds = timing["march_cpu_s"] / timing["sweeps"]
        rows.append([str(summary["cells"]), timing["sweeps"], timing["march_cpu_s"], 1e6 * seconds / summary["cells"],
                     timing["memory_MB"] - start])
    return table("Growth: first minute of nickel-20mm, full height",
                 ["cells", "sweeps", "march s", "us per sweep and cell", "memory above start MB"], rows)


def machine(timing):
    return {k: timing[k] for k in ("processor", "cores", "compiler", "variant")}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("build", type=Path)
    parser.add_argument("--out", type=Path, default=Path("build-benchmark"))
    parser.add_argument("--against", type=Path)
    parser.add_argument("--peer", action="store_true")
    parser.add_argument("--growth", action="store_true")
    options = parser.parse_args()
    bench = Bench(options.build.resolve(), options.out.resolve())
    timing, _ = bench.once(bench.case(CASES / "heated-rod.yaml", "heated-rod"))
    record = {"schema": "joulepress.benchmark/1", "machine": machine(timing)}
    print("  ".join(f"{k}: {v}" for k, v in record["machine"].items()))
    if options.against:
        record["against"] = against(bench, Bench(options.against.resolve(), options.out.resolve() / "other"))
    else:
        record["standard"], record["start_up"], converged = standard(bench)
        record["ladder"] = ladder(bench, converged)
        if options.growth:
            record["growth"] = growth(bench)
        if options.peer:
            record["peer"] = peer(bench)
    (bench.out / "benchmark.json").write_text(json.dumps(record, indent=1))
    print(f"\n{bench.out / 'benchmark.json'}")


if __name__ == "__main__":
    main()
