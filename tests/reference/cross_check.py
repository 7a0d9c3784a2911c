#!/usr/bin/env python3
"""Our program against a general finite-element library on the same stacks.

    /usr/bin/python3 tests/reference/cross_check.py PROGRAM OUTDIR [CASE...]

Writes OUTDIR/cross_check.json, prints a table, exits 1 when a difference is larger than both uncertainties
together, or when a peer that is wrong by 1 % passes: in the heat conductivity of graphite in the first stack, in
what walls see of each other in rings.yaml, in what the heated stack of solids.json grows; or when the peer's view
factors miss closed forms by 2e-4.

Ours: the run a user gets (accuracy 0.1 K) and one at 0.02 K.  Held against the peer is the first; its uncertainty is
the accuracy it asks for, or for what is no temperature the difference to the second.  Peer: the fine grid with long
steps, corrected by what short steps change on the coarse grid; its uncertainty is the change from grid to grid and a
quarter of that from steps to steps (three times shorter at order 1.5 leave that).  Elastic bodies ("solids", by
tests/solids beside PROGRAM): three grids of each.
"""
import json
import os
import subprocess
import sys
import time
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
import h5py
import yaml

HERE = Path(__file__).resolve().parent
CASES = ["alumina-ideal", "nickel-ideal", "nickel-contacts", "nickel-frozen", "rings", "solids"]
ASKED, FINER = 0.1, 0.02  # K, accuracy of our runs
FINE, COARSE = (4e-5, 0.6, 2**15, 1), (1.2e-4, 1.2, 2**13, 2)  # smallest element [m], growth of the size with
# distance, rays of a facet and the seed of their points
SHORT, LONG = (0.05, 2.0), (0.2, 6.0)  # first step after a corner and largest step [s]
STEADY = {"rings": ((10.0, 600.0), (30.0, 1200.0))}  # the same of a case that is compared when nothing changes
NAMES = {"powder centre": "powder centre", "powder edge": "powder edge", "powder mean": "powder mean",
         "die wall": "die wall", "die thermocouple": "die thermocouple material",
         "die surface": "die surface material", "punch middle": "punch middle material", "voltage": "voltage",
         "share of current in powder": "current share powder"}  # the peer's and the column of our history
NAMES |= {n: n + " material" for n in ("plate centre", "ring surface", "ring end", "screen centre", "screen edge")}
VIEWS = 2e-4  # allowed error of a view factor of the peer
UNIT = {"voltage": ("mV", 1e3), "resistance": ("uohm", 1e6), "share of current in powder": ("%", 1e2)}
ROUNDING = {"voltage": 1e-7, "resistance": 1e-10, "share of current in powder": 1e-6}


def ours(program, case, folder, times, accuracy):
    """Runs our program; {time: {quantity: value}} and its CPU seconds."""
    text = yaml.safe_load((HERE / f"{case}.yaml").read_text())
    text["numerics"] = {"accuracy": f"{accuracy} K"}
    out = folder / f"{case}-{accuracy}"
    path = folder / f"{out.name}.yaml"
    path.write_text(yaml.safe_dump(text, sort_keys=False))
    subprocess.run([program, "run", path, "--quiet", "--replace", "--out", out], check=True, stdout=subprocess.DEVNULL)
    values = {}
    with h5py.File(out / "results.h5") as results:
        history = {k: v[:] for k, v in results["history"].items()}
    for row, at in enumerate(history["time"]):
        if at not in times or at in values:  # at a jump the first row is the state before it
            continue
        values[at] = {name: float(history[column][row]) for name, column in NAMES.items() if column in history}
        current = history["current effective"][row]
        if current > 0:
            values[at]["resistance"] = values[at]["voltage"] / float(current)
    return values, json.loads((out / "timing.json").read_text())["cpu_s"]


def peer(case, grid, steps, wrong=1.0):
    """{time: {quantity: value}} of the peer and its CPU seconds."""
    from peer import Peer
    from rings import Rings
    from stack import Stack
    start, values = time.process_time(), {}
    solver = Peer((Rings if case in STEADY else Stack)(HERE / f"{case}.yaml", wrong), *grid)
    solver.run(*steps, values.__setitem__)
    cpu = time.process_time() - start
    print(f"   peer, {case}: {len(solver.owner)} elements, steps to {steps[1]:g} s, {cpu:.0f} s of CPU", flush=True)
    return values, cpu


def compare(case, own, fine, coarse, short):
    """A row for each time and quantity.  own: our runs, as asked and finer; fine, coarse, short: the peer's."""
    rows = []
    for at in fine:
        for name in fine[at]:
            if name not in NAMES and name != "resistance":
                continue
            value, better = (run[at][name] for run in own)
            mine = ASKED if name not in UNIT else abs(value - better) + ROUNDING[name]
            steps = short[at][name] - coarse[at][name]
            theirs = float(fine[at][name] + steps)
            other = float(abs(fine[at][name] - coarse[at][name]) + abs(steps) / 4)
            rows.append({"check": case, "quantity": name, "time_s": at, "ours": value, "ours_finer": better,
                         "peer": theirs, "difference": value - theirs, "limit": mine + other,
                         "our_uncertainty": mine, "peer_uncertainty": other,
                         "verdict": "pass" if abs(value - theirs) <= mine + other else "miss"})
    return rows


def spoiled(run, coarse, wrong):
    """A run with the change that something wrong makes on the coarse grid."""
    return {at: {name: run[at][name] + wrong[at][name] - coarse[at][name] for name in run[at]} for at in run}


def show(rows):
    """The table; the last column is what our run at a finer accuracy differs by from the peer."""
    print(f"{'case':16}{'t [s]':>6} {'quantity':28}{'ours':>11}{'peer':>11}{'differs':>10}{'limit':>9}"
          f"{'ours +-':>9}{'peer +-':>9}{'finer':>9}")
    for r in rows:
        unit, by = UNIT.get(r["quantity"], ("K", 1.0))
        print(f"{r['check']:16}{r['time_s']:6.0f} {r['quantity'] + ' [' + unit + ']':28}{by * r['ours']:11.3f}"
              f"{by * r['peer']:11.3f}{by * r['difference']:10.3f}"
              f"{by * r['limit']:9.3f}{by * r['our_uncertainty']:9.3f}{by * r['peer_uncertainty']:9.3f}"
              f"{by * (r['ours_finer'] - r['peer']):9.3f}"
              + ("" if r["verdict"] == "pass" else "  <- miss"))


def main(program, outdir, cases):
    folder = Path(outdir)
    folder.mkdir(parents=True, exist_ok=True)
    from rays import worst_against_closed_forms
    views = worst_against_closed_forms(*FINE[2:])
    print(f"view factors of the peer: {views:.1e} from closed forms at the most")
    rows, cost, noticed = [], {}, {}  # noticed: misses by what was wrong
    for case in (c for c in cases if c != "solids"):
        few, many = STEADY.get(case, (SHORT, LONG))[::-1]
        (fine, a), (coarse, b), (short, c) = (peer(case, *x) for x in ((FINE, few), (COARSE, few), (COARSE, many)))
        runs = [ours(program, case, folder, fine, accuracy) for accuracy in (ASKED, FINER)]
        own = [values for values, _ in runs]
        rows += compare(case, own, fine, coarse, short)
        cost[case] = {"ours_cpu_s": [cpu for _, cpu in runs], "peer_cpu_s": [a, b, c]}
        spoil = "views" if case in STEADY else "conductivity"
        if spoil not in noticed:
            wrong, _ = peer(case, COARSE, few, wrong=1.01)
            wrong_rows = compare(case, own, spoiled(fine, coarse, wrong), wrong, spoiled(short, coarse, wrong))
            noticed[spoil] = sum(r["verdict"] == "miss" for r in wrong_rows)
    show(rows)
    if "solids" in cases:
        import solids
        more, noticed["growth"] = solids.check(Path(program).resolve().parent / "tests" / "solids")
        rows += more
    missed = sum(r["verdict"] == "miss" for r in rows)
    (folder / "cross_check.json").write_text(json.dumps(
        {"schema": "joulepress.cross_check/1", "rows": rows, "cpu_s": cost, "misses": missed,
         "worst_view_factor_of_the_peer": views,
         **{f"misses_with_{what}_wrong_by_1_percent": n for what, n in noticed.items()}}, indent=1) + "\n")
    for case, c in cost.items():
        print(f"{case}: CPU {', '.join(f'{x:.1f}' for x in c['ours_cpu_s'])} s of ours at {ASKED} and {FINER} K, "
              f"{', '.join(f'{x:.0f}' for x in c['peer_cpu_s'])} s of the peer")
    print(f"{len(rows)} comparisons, {missed} misses; misses with something wrong by 1 %: "
          + ", ".join(f"{what.replace('_', ' ')} {n}" for what, n in noticed.items()))
    return 0 if not missed and all(noticed.values()) and views < VIEWS else 1


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2], sys.argv[3:] or CASES))
