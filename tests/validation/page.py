#!/usr/bin/python3
"""docs/validation.md from the files that the checks wrote.

usage: page.py RESULTS PAGE      RESULTS: build-check/validation, see tools/validation
"""
import json
import sys
from pathlib import Path


def verdict(agrees):
    return "agrees" if agrees else "**misses**"


def number(value):
    return f"{value:.6g}" if abs(value) >= 1e-3 or value == 0 else f"{value:.1e}"


def table(head, rows):
    align = "| " + " | ".join("---:" if name.endswith(")") or name in ("target", "value", "limit") else "---"
                              for name in head) + " |"
    return "\n".join(["| " + " | ".join(head) + " |", align, *("| " + " | ".join(row) + " |" for row in rows)]) + "\n"


def lines_of(path):
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def outside(results):
    seen, rows = set(), []
    for r in lines_of(results / "records.jsonl"):
        row = (r["check"], r["source"], number(r["target"]), number(r["value"]), number(r["limit"]), r["unit"],
               verdict(r["agrees"]), r["proves"])
        if row[0] not in seen:  # one check may look at several equal faces
            rows.append(row)
        seen.add(row[0])
    return table(("check", "source", "target", "value", "limit", "unit", "verdict", "what it passes through"), rows)


def accuracy(results):
    rows = [(r["check"], f"{r['value']:.3f}", f"{r['limit']:g}", verdict(r["agrees"]))
            for r in lines_of(results / "accuracy.jsonl")]
    return table(("case and quantity", "worst (K)", "asked (K)", "verdict"), rows)


def audits(results):
    rows = []
    for path in sorted(results.glob("audit-*.json")):
        lines = json.loads(path.read_text())
        worst = max(lines, key=lambda line: line["relative"])
        missed = sum(not line["agrees"] for line in lines)
        rows.append((path.stem.removeprefix("audit-"), str(len(lines)), str(missed), worst["check"],
                     f"{worst['relative']:.1e}", f"{worst['limit']:g}", verdict(not missed)))
    return table(("run", "comparisons", "misses", "the worst", "relative", "limit", "verdict"), rows)


def peer(results):
    path = results / "cross_check.json"
    if not path.exists():
        return "Not run.\n"
    check = json.loads(path.read_text())
    worst = {}
    for r in check["rows"]:
        key = (r["check"], r["quantity"])
        if key not in worst or abs(r["difference"]) / r["limit"] > abs(worst[key]["difference"]) / worst[key]["limit"]:
            worst[key] = r
    where = lambda r: r.get("place") or f"{r['time_s']:g} s"
    rows = [(case, f"{name}, {where(r)}", number(r["ours"]), number(r["peer"]), f"{r['difference']:+.2g}",
             f"{r['our_uncertainty']:.2g}", f"{r['peer_uncertainty']:.2g}", verdict(r["verdict"] == "pass"))
            for (case, name), r in worst.items()]
    text = (f"{len(check['rows'])} comparisons at several times or places, {check['misses']} misses. Wrong by 1 % in the "
            f"peer, the heat conductivity of graphite makes {check['misses_with_conductivity_wrong_by_1_percent']} of "
            f"the first case's miss, what walls see of each other {check['misses_with_views_wrong_by_1_percent']} of "
            f"those of rings, what blocks grow {check['misses_with_growth_wrong_by_1_percent']} of those of the heated "
            "stack. Of every quantity the comparison nearest to its limit (SI):\n\n")
    text += table(("case", "quantity", "ours (SI)", "peer (SI)", "difference (SI)", "ours +- (SI)", "peer +- (SI)",
                   "verdict"), rows)
    costs = [(case, ", ".join(f"{x:.1f}" for x in c["ours_cpu_s"]), ", ".join(f"{x:.0f}" for x in c["peer_cpu_s"]))
             for case, c in check["cpu_s"].items()]
    return text + "\nProcessor seconds:\n\n" + table(("case", "ours, 0.1 and 0.02 K (s)", "peer, three runs (s)"), costs)


def faults(results):
    path = results / "faults.md"
    return path.read_text() if path.exists() else "Not run.\n"


def main(results, page):
    results = Path(results)
    Path(page).write_text(f"""# Validation record

Made by `tools/validation` from what the checks wrote; not typed. `from memory` marks a source that was not at hand when
the number was written down. A miss stays on the page until its cause is gone. Causes known now: after a jump of the current
temperatures change by tens of kelvin a second; while a powder closes fast those in it do too; extremes are sampled, not searched for.

## Against outside sources

{outside(results)}
## The accuracy asked for

Every shipped case at the default `accuracy: 0.1 K` against itself at 0.02 K. First the averages over settled holds, which
are what a report states; then the worst of all temperatures at points and means over all rows of the history, the second
after a jump of the current included; last the hottest and coldest places, read at cell middles, faces and surfaces.

{accuracy(results)}
## An audit that shares no formula with the program

`tests/audit` recomputes a run from results.h5 (docs/output_format.md).

{audits(results)}
## Other people's finite elements

The same stacks and elastic bodies by a general library (`tests/reference`, docs/decisions/0010).

{peer(results)}
## Deliberate faults

`tools/check --mutate` compiles them in one at a time; each must turn a test red.

{faults(results)}""")


if __name__ == "__main__":
    main(*sys.argv[1:])
