"""Cells, faces, contacts and outer surfaces of a run, rebuilt from results.h5 alone, at the heights of one output.

Parts are the rectangles their cells fill.  What a piece of an edge meets is found by looking straight outward from
its middle to the first part that covers it: nothing (an outer surface), a part that touches, or one across a gap.
"""
from collections import namedtuple

import numpy as np
import yaml

from curves import Material, NotCovered, film_left, porous_factor, quantity, with_film

TOUCH = 1e-8  # m, closer counts as touching
NARROW = 2e-3  # m, walls beside each other that are closer see nothing but each other (docs/theory)
SIGMA = 5.670374419e-8  # W/m2K4, CODATA 2018
OUTWARD = {"inner": -1, "outer": 1, "bottom": -1, "top": 1}

Opening = namedtuple("Opening", "part side start end")  # a stretch that nothing touches and no narrow gap closes
Strip = namedtuple("Strip", "part side other start end gap")  # a stretch of an edge; other None: nothing there


def is_vertical(side):
    return side in ("inner", "outer")


class Part:
    """A part and the lines of its grid; cells[j, i] along z and r."""

    def __init__(self, number, name, material, h5):
        mine = np.flatnonzero(h5["/mesh/part"][:] == number)
        box = {edge: h5["/mesh"][edge][:][mine] for edge in ("r_low", "r_high", "z_low", "z_high")}
        self.number, self.name, self.material = number, name, material
        self.r = np.append(np.unique(box["r_low"]), box["r_high"].max())
        order = np.lexsort((box["r_low"], box["z_low"]))
        rows = len(np.unique(box["z_low"]))
        if len(mine) != (len(self.r) - 1) * rows:
            raise NotCovered(f"{name} is not one rectangle of cells")
        self.cells = mine[order].reshape(rows, len(self.r) - 1)

    def lie(self, low, high):
        """Takes heights from the ends of all cells."""
        self.z = np.append(low[self.cells[:, 0]], high[self.cells[-1, 0]])
        if np.any(low[self.cells] != self.z[:-1, None]) or np.any(high[self.cells] != self.z[1:, None]):
            raise NotCovered(f"cells of {self.name} that do not lie in rows")

    def height(self):
        return self.z[-1] - self.z[0]

    def across(self, side):
        lines = self.r if is_vertical(side) else self.z
        return lines[0] if OUTWARD[side] < 0 else lines[-1]

    def along(self, side):
        return self.z if is_vertical(side) else self.r

    def row(self, side):
        """Cells along an edge."""
        return {"inner": self.cells[:, 0], "outer": self.cells[:, -1], "bottom": self.cells[0],
                "top": self.cells[-1]}[side]

    def half(self, side):
        """From the middle of the cells along an edge to the edge [m]."""
        lines = self.r if is_vertical(side) else self.z
        return 0.5 * (lines[1] - lines[0] if OUTWARD[side] < 0 else lines[-1] - lines[-2])


def area_of(part, side, low, high):
    return (2 * np.pi * part.across(side) * (high - low) if is_vertical(side) else np.pi * (high**2 - low**2))


def mean_weights(side, cells, piece):
    """Weights of the means of cells, for the mean of a piece on the polynomial that has those means; along r it
    runs in r^2, where rings of equal area are equally long."""
    def moments(ends):
        low, high = ((end if is_vertical(side) else end**2) for end in ends)
        low, high = (low - origin) / scale, (high - origin) / scale
        return [(high**(m + 1) - low**(m + 1)) / (m + 1) / (high - low) for m in range(len(cells))]
    ends = [end if is_vertical(side) else end**2 for end in (cells[0][0], cells[-1][1])]
    origin, scale = 0.5 * (ends[0] + ends[1]), ends[1] - ends[0]
    return np.linalg.solve(np.array([moments(cell) for cell in cells]).T, moments(piece))


def strips_of(parts):
    """Every edge of every part, cut where what it meets changes."""
    strips = []
    for part in parts:
        for side in OUTWARD:
            if side == "inner" and part.r[0] <= TOUCH:
                continue  # the axis has no area
            line = part.along(side)
            ends = np.array(sorted({line[0], line[-1], *(e for p in parts for e in (p.along(side)[0], p.along(side)[-1])
                                                         if line[0] < e < line[-1])}))
            ends = ends[np.append(True, np.diff(ends) > TOUCH)]
            ends[-1] = line[-1]
            found = []
            for start, end in zip(ends[:-1], ends[1:]):
                other, gap = first_met(parts, part, side, 0.5 * (start + end))
                if found and found[-1].other is other:
                    found[-1] = found[-1]._replace(end=end)
                else:
                    found.append(Strip(part, side, other, start, end, gap))
            strips += found
    return strips


def first_met(parts, part, side, middle):
    facing = {"inner": "outer", "outer": "inner", "bottom": "top", "top": "bottom"}[side]
    met = []
    for other in parts:
        if other is part or not other.along(side)[0] < middle < other.along(side)[-1]:
            continue
        gap = OUTWARD[side] * (other.across(facing) - part.across(side))
        if gap > -TOUCH:
            met.append((gap, other.number, other))
    return (min(met)[2], min(met)[0]) if met else (None, np.inf)


class Pieces:
    """One side of a list of pieces: cell, area, half-cell path, and the weights of the value along the row."""

    def __init__(self, part, side, cuts):
        lines = part.along(side)
        k = np.clip(np.searchsorted(lines, 0.5 * (cuts[:-1] + cuts[1:])) - 1, 0, len(lines) - 2)
        low, high = cuts[:-1], cuts[1:]
        self.part, self.axis = part, "r" if is_vertical(side) else "z"
        self.side, self.at, self.low, self.high = side, part.across(side), low, high
        self.cell = part.row(side)[k]
        self.area = area_of(part, side, low, high)
        self.half = part.half(side)
        # A piece that covers only part of its cell's edge takes its mean on the parabola through three cells.
        near = min(3, len(lines) - 1)
        self.near = np.tile(self.cell[:, None], near)
        self.weights = np.zeros(self.near.shape)
        self.weights[:, 0] = 1.0
        for n in np.flatnonzero(high - low < (lines[k + 1] - lines[k]) * (1 - 1e-9)):
            first = np.clip(k[n] - 1, 0, len(lines) - 1 - near)
            self.near[n] = part.row(side)[first:first + near]
            cells = list(zip(lines[first:first + near], lines[first + 1:first + near + 1]))
            self.weights[n] = mean_weights(side, cells, (low[n], high[n]))

    def value(self, field):
        return (self.weights * field[self.near]).sum(axis=1)


def cuts_between(start, end, *lines):
    inside = np.unique(np.concatenate([line[(line > start + 1e-9) & (line < end - 1e-9)] for line in lines]))
    if len(inside):  # the same line of two grids, a rounding apart
        inside = inside[np.append(True, np.diff(inside) > 1e-9)]
    return np.concatenate([[start], inside, [end]])


Pair = namedtuple("Pair", "a b area lateral")  # a touch


class Stack:
    """At the start; `lie` takes it to another output."""

    def __init__(self, h5):
        self.h5 = h5
        self.case = yaml.safe_load(h5["/case"][0].decode())
        materials = {m.name: m for m in (Material(text) for text in self.case["materials"])}
        names = [name.decode() for name in h5["/mesh/part_names"]]
        kinds = [name.decode() for name in h5["/mesh/material_names"]]
        self.parts = [Part(k, name, materials[kinds[k]], h5) for k, name in enumerate(names)]
        self.read_case()
        self.heights = None
        self.film_left = {p.number: 1.0 if p.material.film and self.has_film(p) else None for p in self.parts}
        self.lie(0)
        start = {edge: h5["/mesh"][edge][:] for edge in ("z_low", "z_high")}
        self.volume_at_start = self.volume_between(start["z_low"], start["z_high"])
        # Cells are material: what they hold at the start they hold for ever.
        self.mass = np.zeros_like(self.volume)
        for part in self.parts:
            self.mass[part.cells] = (self.volume_at_start[part.cells] * part.material.density
                                     * self.density[part.cells])

    def volume_between(self, low, high):
        mesh = self.h5["/mesh"]
        return np.pi * (mesh["r_high"][:] ** 2 - mesh["r_low"][:] ** 2) * (high - low)

    def lie(self, output):
        """Heights, densities and what follows from them at an output; faces where heights are others than before."""
        fields = self.h5["/fields"]
        low, high = fields["z_low"][output], fields["z_high"][output]
        self.density = fields["relative_density"][output]
        self.volume = self.volume_between(low, high)
        moved = self.heights is None or not np.array_equal(self.heights, (low, high))
        if moved:
            self.heights = low, high
        for part in self.parts:
            part.lie(low, high)
        hottest = fields["temperature"][:output + 1].max(axis=0)
        for part in self.parts:
            if self.film_left[part.number] is not None:
                self.film_left[part.number] = film_left(part.material.film, hottest)
        if moved:
            self.find_faces()
        self.find_factors()

    def middle(self):
        return 0.5 * (min(p.z[0] for p in self.parts) + max(p.z[-1] for p in self.parts))

    def share_of_stroke(self):
        """What the powders have lost in height over what they can lose."""
        beds = [p for p in self.parts if any(q["name"] == p.name and self.densifies(q) for q in self.powders)]
        low, high = (self.h5["/mesh"][edge][:] for edge in ("z_low", "z_high"))
        begun = self.h5["/fields/relative_density"][0]
        lost = most = 0.0
        for bed in beds:
            height = high[bed.cells].max() - low[bed.cells].min()
            lost += height - bed.height()
            most += height * (1 - begun[bed.cells].mean())
        return lost / most if beds else 0.0

    def has_film(self, part):
        return any(p["name"] == part.name and p["oxide film"] for p in self.powders)

    def densifies(self, powder):
        """Whether the data and the case have what that takes."""
        material = next(p.material for p in self.parts if p.name == powder["name"])
        return bool(material.creeps and powder["densification"] and "relative density" in powder
                    and self.case["programme"].get("pressure on powder"))

    def read_case(self):
        case = self.case
        if case.get("cores") or any(quantity(p.get("bore", 0)) > 0 for p in case["column"]):
            raise NotCovered("bores and core rods: cavities closed by their walls")
        around = case["surroundings"]
        if around["atmosphere"] != "vacuum":
            raise NotCovered("a gas in the chamber")
        self.chamber, self.radiating = quantity(around["chamber"]), bool(around["radiation"])
        self.start = quantity(case["start temperature"])
        ends = case["press"]["column ends"]
        if "film" not in ends:
            raise NotCovered(f"column ends {ends}")
        self.film, self.water = quantity(ends["film"]), quantity(ends["water"])
        self.foil_names = set(p.name for p in self.parts) - set(
            p["name"] for p in case["column"] + case.get("sleeves", []))
        self.powders = [p for p in case["column"] if "powder" in p]
        self.force = None
        pressures = case["programme"].get("pressure on powder")
        if pressures and self.powders:
            last = next(q for q in (p.get("ramp to", p.get("hold")) for p in reversed(pressures)) if q)
            self.force = quantity(last) * self.punch_area()

    def punch_area(self):
        return np.pi / 4 * quantity(self.powders[0]["diameter"]) ** 2

    def force_at(self, t):
        """On the column [N], read from the programme of the pressure and what the gauge does not show."""
        more = sum(quantity(self.case["press"].get(key, 0)) for key in ("vacuum pull", "moving weight"))
        times, pressures = [0.0], []
        for step in self.case["programme"]["pressure on powder"]:
            target = quantity(step.get("ramp to", step.get("hold")))
            length = step.get("for", step.get("in", step.get("hold") if "ramp to" not in step else None))
            pressures = pressures or [target if "hold" in step else 0.0]
            times.append(times[-1] + quantity(length))
            pressures.append(target)
        return np.interp(t, times, pressures) * self.punch_area() + more

    def find_faces(self):
        top = max(p.z[-1] for p in self.parts)
        bottom = min(p.z[0] for p in self.parts)
        self.pairs, self.narrow, self.openings, self.ends = [], [], [], {}
        for strip in strips_of(self.parts):
            part, side = strip.part, strip.side
            touching, narrow = strip.gap <= TOUCH, is_vertical(side) and TOUCH < strip.gap <= NARROW
            if touching or narrow:
                if OUTWARD[side] > 0:  # each once, from its inner or lower side
                    self.narrow.append(strip) if narrow else self.add_pair(strip)
            elif not is_vertical(side) and abs(part.across(side) - (top if side == "top" else bottom)) < TOUCH:
                self.ends["high" if side == "top" else "low"] = self.pieces_of(part, side, strip.start, strip.end)
            elif self.openings and self.openings[-1][:2] == (part, side) and strip.start - self.openings[-1].end < TOUCH:
                self.openings[-1] = self.openings[-1]._replace(end=strip.end)
            else:
                self.openings.append(Opening(part, side, strip.start, strip.end))
        self.radiating_faces = [self.pieces_of(*opening) for opening in self.openings]

    def pieces_of(self, part, side, start, end):
        return Pieces(part, side, cuts_between(start, end, part.along(side)))

    def find_factors(self):
        """Porous over dense, per cell."""
        names = {p["name"] for p in self.powders}
        self.factor = {what: np.ones_like(self.density) for what in ("heat", "current")}
        for part in self.parts:
            for what, factor in self.factor.items():
                if part.name in names:
                    factor[part.cells] = porous_factor(part.material.porous[what], self.density[part.cells])

    def add_pair(self, strip):
        a, b = strip.part, strip.other
        side_b = "inner" if strip.side == "outer" else "bottom"
        cuts = cuts_between(strip.start, strip.end, a.along(strip.side), b.along(side_b))
        pa, pb = Pieces(a, strip.side, cuts), Pieces(b, side_b, cuts)
        self.pairs.append(Pair(pa, pb, pa.area.sum(), strip.side == "outer"))

    def resistance(self, what, side, T):
        """Of the material in the cells beside a side, heat [mK/W] or electric [ohm m]; a wound sheet has r across,
        a flat one z."""
        part, material = side.part, side.part.material
        across = side.axis == ("r" if part.r[0] > 0 else "z")
        value = (material.across if across else material.along)[what](T[side.cell])
        factor = self.factor[what][side.cell]
        if what == "heat":
            return 1 / (factor * value)
        left = self.film_left[part.number]
        return value / factor if left is None else with_film(material.film, value / factor, left[side.cell])

    def touch(self, pair):
        """Electric resistance of a touch [ohm m2]: published totals are foil with both touches at 20 MPa."""
        totals = self.case["contacts"]["lateral" if pair.lateral else "axial"]
        total = quantity(totals["electrical"])
        parts = (pair.a.part, pair.b.part)
        loose = [part.material.loose for part in parts if part.material.loose]
        if loose:
            return max(loose)
        better = 1.0 if pair.lateral or not self.force else (self.force / pair.area / 20e6) ** 0.95
        if not pair.lateral and any(part.r[0] > 0 for part in parts):  # beside the column nothing presses
            better = (0.1 / 20) ** 0.95
        for part in parts:
            if part.name in self.foil_names:
                m, axis = part.material, (part.r if part.r[0] > 0 else part.z)
                bulk = (axis[-1] - axis[0]) * float(m.across["current"](298.15))
                total = max(0.0, 0.5 * (total - bulk))
                break
        return total / better
