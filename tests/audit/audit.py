#!/usr/bin/python3
"""An independent audit of one run: recomputes balances and losses from results.h5 and compares.

usage: audit.py RESULTS.H5 [--json FILE]    exit code 0: all agree, 1: something misses, 2: the case is not covered

Read are the fields, the rows, the ledger and the case text with its materials; nothing of the program is used.  The
case must be run with `numerics: {fluxes: two-point}`: surface temperatures and terminal currents are found here from
half cells, which is what two-point fluxes mean.  What is audited (cp, masses, areas, radiation, films, contacts,
I x U, the ledger) is the same code for either kind of flux.
"""
import json
import sys

import h5py
import numpy as np

from curves import NotCovered, quantity
from enclosure import Enclosure
from stack import SIGMA, Stack

TOLERANCE = 1e-5
NEGLIGIBLE = 1e-7  # of the case's largest value of the kind: below it a relative difference is rounding
RAYS_AGREE = 1e-3  # absolute, of a view factor: what so many rays leave, measured on shipped cases
lines = []


def compare(what, theirs, ours, least=0.0, limit=TOLERANCE):
    """One line; `least` bounds the scale from below where a value passes zero."""
    scale = max(abs(theirs), abs(ours), least)
    miss = abs(theirs - ours) / scale if scale > 0 else 0.0
    good = bool(miss <= limit)  # not a number is not good
    print(f"{what:<80} {theirs:>17.10g} {ours:>17.10g} {miss:>9.1e}  {'agrees' if good else 'MISSES'}")
    lines.append({"check": what, "target": float(ours), "value": float(theirs), "relative": miss, "limit": limit,
                  "agrees": good})


def worst(what, rows, least):
    """Of (time, theirs, ours) the instant that agrees least."""
    t, theirs, ours = max(rows, key=lambda row: abs(row[1] - row[2]) / max(abs(row[1]), abs(row[2]), least, 1e-300))
    compare(f"{what}, worst of {len(rows)} ({t:g} s)", theirs, ours, least)


def check_mesh(stack, h5):
    stated = h5["/mesh/volume"][:]
    k = np.argmax(np.abs(stated / stack.volume_at_start - 1))
    compare("volume of a cell, worst [m3]", stated[k], stack.volume_at_start[k])
    for powder in stack.powders:
        part = next(p for p in stack.parts if p.name == powder["name"])
        compare(f"mass of {part.name}, case text against cells [kg]", quantity(powder["mass"]), stack.mass[part.cells].sum())
        begins = powder["relative density"] if stack.densifies(powder) else powder["end density"]
        begins = float(begins["value"] if isinstance(begins, dict) else begins)
        compare(f"relative density of {part.name} [1]", stack.density[part.cells[0, 0]], begins)
    for piece in stack.case["column"] + stack.case.get("sleeves", []):
        if "height" in piece:
            part = next(p for p in stack.parts if p.name == piece["name"])
            outer = quantity(piece.get("outer diameter", piece.get("diameter")))
            inner = quantity(piece.get("inner diameter", 0))
            compare(f"volume of {part.name}, case text against cells [m3]",
                    np.pi / 4 * (outer**2 - inner**2) * quantity(piece["height"]), stack.volume[part.cells].sum())


def energy(stack, T):
    """Above the start temperature [J], cp integrated numerically."""
    cells = {}
    for part in stack.parts:
        cells.setdefault(part.material, []).append(part.cells.ravel())
    total = 0.0
    for material, lists in cells.items():
        mine = np.concatenate(lists)
        total += (stack.mass[mine] * material.heat_capacity.integral(stack.start, T[mine])).sum()
    return total


def conductance(stack, what, side, T):
    """Of the half cell behind every piece [W/K or S]."""
    return side.area / (side.half * stack.resistance(what, side, T))


def radiation_of(stack, enclosure, T):
    """Net loss of every part [W]; the surfaces belong together, what one sends another takes."""
    radiation = np.zeros(len(stack.parts))
    if not enclosure:
        return radiation
    enclosure.lie(stack)
    faces = stack.radiating_faces
    inside, g = [face.value(T) for face in faces], [conductance(stack, "heat", face, T) for face in faces]
    surfaces = [values.copy() for values in inside]
    for _ in range(500):
        gets = enclosure.gets(enclosure.taken(surfaces, stack.chamber))
        before, sends = surfaces, [face.area * face.part.material.emissivity * SIGMA for face in faces]
        surfaces = [surface_of(*face) for face in zip(before, inside, g, sends, gets)]
        if max(np.abs(x / y - 1).max() for x, y in zip(surfaces, before)) < 1e-13:
            break
    for face, x, sent, got in zip(faces, surfaces, sends, gets):
        radiation[face.part.number] += (sent * x**4 - got).sum()
    return radiation


def surface_of(x, inside, g, sends, gets):
    """Temperature of pieces: half cell in series with sends x^4 - gets, Newton from x."""
    for _ in range(60):
        step = (g * (inside - x) - sends * x**4 + gets) / (g + 4 * sends * x**3)
        x = x + step
        if np.abs(step / x).max() < 1e-14:
            break
    return x


def losses(stack, enclosure, T):
    """Radiation of every part and films [W] at the cell temperatures T."""
    film = {}
    for end, face in stack.ends.items():
        g, h = conductance(stack, "heat", face, T), stack.film * face.area
        film[end] = ((face.value(T) - stack.water) / (1 / g + 1 / h)).sum()
    return radiation_of(stack, enclosure, T), film


def terminals_and_contacts(stack, T, phi, voltage):
    """From the potential: terminal currents [A], heat in contacts [W]."""
    in_contacts, terminal = 0.0, {}
    for pair in stack.pairs:
        a, b = pair.a, pair.b
        Ra, Rb = (1 / conductance(stack, "current", side, T) for side in (a, b))
        touch = stack.touch(pair) / a.area
        current = (a.value(phi) - b.value(phi)) / (Ra + touch + Rb)
        in_contacts += (current**2 * touch).sum()
    for end, face in stack.ends.items():
        g = conductance(stack, "current", face, T)
        terminal[end] = (g * abs(face.value(phi) - (voltage if end == "high" else 0.0))).sum()
    return terminal, in_contacts


def check_enclosure(stack, enclosure, h5, rays):
    """The table of what walls see: walls and emissivities of the drawing, sums, reciprocity, and views by rays."""
    walls = enclosure.part >= 0
    stated = max(zip(enclosure.emissivity[walls], (stack.parts[k].material.emissivity for k in enclosure.part[walls])),
                 key=lambda pair: abs(pair[0] - pair[1]))
    compare("emissivity of a zone, worst [1]", *stated)
    compare("emissivity of mouths of narrow gaps, largest [1]", max(enclosure.emissivity[~walls], default=0.0), 0.0)
    compare("wall that a zone lies on, worst [m]", *max(enclosure.at, key=lambda pair: abs(pair[0] - pair[1])))
    S, back = enclosure.S, enclosure.S.transpose(0, 2, 1)
    k = np.unravel_index(np.argmax(np.abs(S - back)), S.shape)
    compare("exchange area against that the other way, worst [m2]", S[k], back[k], S.max() * NEGLIGIBLE)
    times, sums = h5["/fields/time"][:], []
    for k, time in enumerate(times):
        stack.lie(k)
        enclosure.lie(stack)
        seen = enclosure.view.sum(axis=1) + enclosure.to_chamber
        z = np.argmax(np.abs(seen / enclosure.area - 1))
        sums.append((time, seen[z], enclosure.area[z]))
    worst("all that a zone sees against its area [m2]", sums, 0.0)
    pieces = sum(face.area.sum() for face in stack.radiating_faces)
    compare("area of all open walls, pieces in zones [m2]",
            sum(area for patches in enclosure.patches for _, _, area in patches), pieces)
    for k in sorted({0, len(times) - 1} if len(enclosure.shares) > 1 else {0}) if rays else []:
        stack.lie(k)
        enclosure.lie(stack)
        theirs = np.column_stack([enclosure.view, enclosure.to_chamber]) / enclosure.area[:, None]
        ours = enclosure.seen_by_rays(stack)
        at = np.unravel_index(np.argmax(np.abs(theirs - ours)), ours.shape)
        compare(f"view factor, table against rays, worst of {ours.size} ({times[k]:g} s) [1]", theirs[at], ours[at], 1.0,
                RAYS_AGREE)


def column(h5, name):
    return h5["/history"][name.replace("/", "_")][:]


def check_instants(stack, enclosure, h5):
    """Every output against the row of the history at the same time."""
    rows = {}
    t = column(h5, "time")
    largest = {"heat": column(h5, "power").max(),
               "films": np.abs(column(h5, "film low")).max(),
               "radiation": sum(column(h5, "radiation of " + p.name) for p in stack.parts).max()}

    def add(kind, what, time, theirs, ours):
        rows.setdefault((kind, what), []).append((time, theirs, ours))

    for k, time in enumerate(h5["/fields/time"][:]):
        (at,) = np.flatnonzero(np.abs(t - time) < 1e-9)
        row = lambda name: float(column(h5, name)[at])
        stack.lie(k)
        T, phi = h5["/fields/temperature"][k], h5["/fields/electric_potential"][k]
        radiation, film = losses(stack, enclosure, T)
        for end in ("low", "high"):
            add("films", f"film {end} [W]", time, row(f"film {end}"), film[end])
        for part in stack.parts:
            add("radiation", f"radiation of {part.name} [W]", time, row("radiation of " + part.name), radiation[part.number])
        terminal, in_contacts = terminals_and_contacts(stack, T, phi, row("voltage"))
        stated = h5["/fields/joule_heat"][k] * stack.volume
        I, U = row("current effective"), row("voltage")
        add("heat", "I x U against Joule heat summed over cells [W]", time, I * U, stated.sum())
        add("heat", "power against I x U [W]", time, row("power"), I * U)
        for end in ("low", "high"):
            add("heat", f"I x U against U x current at end {end} from the potential [W]", time, I * U, U * terminal[end])
        add("heat", "contact heat [W]", time, row("contact heat"), in_contacts)
        for part in stack.parts:
            name = "joule heat in " + part.name
            add("heat", f"{name}, cells summed [W]", time, row(name), stated[part.cells].sum())
        press = row("press work") if stack.powders else 0.0
        balance = row("power") + press - radiation.sum() - sum(film.values())
        add("heat", "stored: power and work of the punches less our losses [W]", time, row("stored"), balance)
    for (kind, what), found in rows.items():
        worst(what, found, NEGLIGIBLE * largest[kind])


def check_pressing(stack, h5):
    """Densities, stroke, force and work of the punches against heights and the programme of the pressure."""
    beds = [next(p for p in stack.parts if p.name == powder["name"]) for powder in stack.powders
            if stack.densifies(powder)]
    if not beds:
        return
    t, found = column(h5, "time"), {}
    for k, time in enumerate(h5["/fields/time"][:]):
        (at,) = np.flatnonzero(np.abs(t - time) < 1e-9)
        stack.lie(k)
        for bed in beds:
            solid = (stack.mass[bed.cells] / bed.material.density / stack.density[bed.cells]).sum()
            found.setdefault(f"volume of {bed.name}, mass over density against heights [m3]", []).append(
                (time, solid, stack.volume[bed.cells].sum()))
        height = sum(bed.height() for bed in beds)
        if k == 0:
            start, to_dense = height, sum(bed.height() * (1 - stack.density[bed.cells].min()) for bed in beds)
        found.setdefault("stroke by densification [m]", []).append(
            (time, column(h5, "stroke by densification")[at], start - height))
    for what, rows in found.items():
        worst(what, rows, NEGLIGIBLE * start if "stroke" in what else 0.0)
    force = stack.force_at(t)
    worst("force on the column [N]", list(zip(t, column(h5, "force"), force)), 0.0)
    closed = column(h5, "stroke by densification")
    # Trapezoids, and what the speed changes within them while the force grows.
    step, speed = np.diff(t), np.gradient(closed, t)
    work = (0.5 * (force[1:] + force[:-1]) * np.diff(closed) + np.diff(force) * step * np.diff(speed) / 12).sum()
    # The run's tolerance of densities counts against the whole way to dense, of which this may be a small part.
    compare("press, ledger against force over the rows' stroke [J]", float(h5["/ledger/press"][()]), work,
            force.max() * to_dense)


def over_time(t, values):
    """Trapezoids from row to row, summed: for what is continuous in time."""
    return np.append(0.0, np.cumsum(np.diff(t) * 0.5 * (values[:-1] + values[1:])))


def over_stretch(t, values):
    """Simpson's rule on rows of equal distance, an even number of them apart."""
    if len(t) % 2 == 0 or np.ptp(np.diff(t)) > 1e-6:
        return over_time(t, values)[-1]
    return (t[1] - t[0]) / 3 * (values[0] + values[-1] + 4 * values[1:-1:2].sum() + 2 * values[2:-1:2].sum())


def programmed_current(stack, t):
    """(I at t from the left, the same from the right) [A], read from the case text; None unless a current is driven."""
    steps, left, right, start, value = stack.case["programme"].get("current"), 0.0 * t, 0.0 * t, 0.0, 0.0
    for step in steps or []:
        target, length = value, step.get("hold", step.get("for", step.get("in")))
        if "ramp to" in step:
            target = quantity(step["ramp to"])
            length = step["in"] if "in" in step else abs(target - value) / quantity(step["rate"])
        if "cool" in step:
            value = target = 0.0
        end = start + quantity(length)
        line = value + (target - value) * (t - start) / (end - start)
        left, right = (np.where((t > start + 1e-9) & (t <= end + 1e-9), line, left),
                       np.where((t >= start - 1e-9) & (t < end - 1e-9), line, right))
        start, value = end, target
    return (left, right) if steps else None


def check_driven_current(stack, h5, electric):
    """The programme's current times the resistance of the rows, which is smooth where the current is not."""
    t, I, U = (column(h5, name) for name in ("time", "current effective", "voltage"))
    programme = programmed_current(stack, t)
    if programme is None:
        return
    left, right = programme
    on = I > 0
    resistance = np.interp(t, t[on], U[on] / I[on])
    low, high = right[:-1], left[1:]  # linear in between; Simpson for the square
    squares = (low**2 * resistance[:-1] + (low + high)**2 * 0.5 * (resistance[:-1] + resistance[1:])
               + high**2 * resistance[1:]) / 6
    compare("electric, ledger against programme's I^2 x rows' U / I [J]", electric, (np.diff(t) * squares).sum())


def check_energies(stack, h5):
    t, power = column(h5, "time"), column(h5, "power")
    ledger = {name: float(data[()]) for name, data in h5["/ledger"].items()}
    times = h5["/fields/time"][:]
    stored = np.array([energy(stack, T) for T in h5["/fields/temperature"]])
    gained = stored[-1] - stored[0]
    compare("stored at the end, ledger against integral of cp [J]", ledger["stored"], gained)
    paths = ledger["radiation"] + ledger["films"] + ledger["fixed_surfaces"] - ledger["press"]
    compare("stored at the end, ledger's electric + press + source - losses [J]",
            ledger["electric"] + ledger["source"] - paths, gained)
    compare("Joule heat against electric energy, ledger [J]", ledger["joule"], ledger["electric"])
    lost = {"radiation": sum(column(h5, "radiation of " + p.name) for p in stack.parts),
            "films": column(h5, "film low") + column(h5, "film high")}
    for name, values in lost.items():
        compare(f"{name}, ledger against rows of the history [J]", ledger[name], over_time(t, values)[-1])
    loss = over_time(t, sum(lost.values()))
    compare("electric + press, ledger against stored by cp + rows' losses [J]", ledger["electric"] + ledger["press"],
            gained + loss[-1])
    check_driven_current(stack, h5, ledger["electric"])
    check_pressing(stack, h5)
    at = [np.argmin(np.abs(t - time)) for time in times]
    # Not the first stretches: there surfaces fall by tens of kelvin a second, and the run's own error in time (0.08 K
    # a step) is above the limit.
    cold = [not power[at[k]:at[k + 1] + 1].any() for k in range(len(at) - 1)]
    stretch = [slice(at[k], at[k + 1] + 1) for k in range(len(cold))]
    # The punches may still be at work.
    net = sum(lost.values()) - (column(h5, "press work") if stack.powders else 0.0)
    off = [(times[k], -over_stretch(t[stretch[k]], net[stretch[k]]), stored[k + 1] - stored[k])
           for k in range(3, len(cold)) if all(cold[k - 3:k + 1])]
    if off:
        worst("stored while the current is off, -rows' losses against cp [J]", off, 0.0)


def main(path, report=None, rays=True):
    """Exit code; leaves `lines`.  Without rays for copies known to be wrong elsewhere: rays take nearly all the time."""
    lines.clear()
    with h5py.File(path) as h5:
        try:
            stack = Stack(h5)
            enclosure = Enclosure(stack, h5) if stack.radiating else None
            if stack.case["numerics"]["fluxes"] != "two-point":
                raise NotCovered("cubic fluxes; run the case with numerics: {fluxes: two-point}")
        except NotCovered as reason:
            print(f"not covered: {reason}", file=sys.stderr)
            return 2
        print(f"{'quantity':<80} {'theirs':>17} {'ours':>17} {'relative':>9}  verdict")
        check_mesh(stack, h5)
        if enclosure:
            check_enclosure(stack, enclosure, h5, rays)
        check_instants(stack, enclosure, h5)
        check_energies(stack, h5)
    missed = sum(not line["agrees"] for line in lines)
    print(f"{missed} comparisons miss {TOLERANCE:g}" if missed else f"all {len(lines)} agree to {TOLERANCE:g}")
    if report:
        with open(report, "w") as out:
            json.dump(lines, out, indent=1)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], *(sys.argv[3:4] if sys.argv[2:3] == ["--json"] else [])))
