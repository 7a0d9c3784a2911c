"""Reads a case of this folder and the shipped material files into what a solver needs, without our program.

Only what these cases use is understood: a column with one powder, one die, foils, a current programme.  The
stack is symmetric about the middle of the powder; z is counted from there and only the upper half is kept.
"""
import math
from pathlib import Path

import numpy as np
import yaml

SIGMA = 5.670374419e-8  # W/(m2 K4), CODATA 2018
DATA = Path(__file__).resolve().parents[2] / "materials" / "data"
UNITS = {"mm": 1e-3, "m": 1.0, "s": 1.0, "min": 60.0, "A": 1.0, "kA": 1e3, "MPa": 1e6, "K": 1.0, "W/m2K": 1.0,
         "kW/m2K": 1e3, "ohm m2": 1.0, "uohm m": 1e-6, "ohm m": 1.0, "W/mK": 1.0, "J/kgK": 1.0, "kg/m3": 1.0}


def si(text):
    """'20 mm' -> 0.02; degC becomes kelvin; a bare number stays as it is."""
    if isinstance(text, (int, float)):
        return float(text)
    number, _, unit = text.partition(" ")
    return float(number) + 273.15 if unit == "degC" else float(number) * UNITS[unit]


class Curve:
    """A property against temperature: value, slope and integral; beyond its range the end value holds."""

    def __init__(self, entry, factor=1.0):
        scale = factor * UNITS[entry["unit"]] if "unit" in entry else factor
        self.pieces = []  # (from, to, value, slope, antiderivative)
        for piece in entry.get("pieces", [entry]):
            if "value" in piece:
                c = scale * si(piece["value"])
                self.pieces.append((0.0, 1e5, lambda T, c=c: c + 0 * T, lambda T: 0 * T, lambda T, c=c: c * T))
            elif "terms" in piece:
                low, high = (si(x) for x in piece["range"])
                self.pieces.append((low, high, *self._sum([(scale * float(c), float(p)) for c, p in piece["terms"]])))
            else:
                self._table(np.array(piece["table"], float) * [1.0, scale])

    @staticmethod
    def _sum(terms):
        return (lambda T: sum(c * T**p for c, p in terms),
                lambda T: sum(c * p * T**(p - 1.0) for c, p in terms),
                lambda T: sum(c * np.log(T) if p == -1 else c * T**(p + 1.0) / (p + 1.0) for c, p in terms))

    def _table(self, table):
        """Monotone cubic of Fritsch and Carlson 1980 on parabolic slopes, as the material files ask for."""
        T, v = table.T
        h, chord = np.diff(T), np.diff(v) / np.diff(T)
        m = np.repeat(chord[0], len(T))
        if len(T) > 2:
            m[1:-1] = np.where(chord[:-1] * chord[1:] > 0,
                               (h[1:] * chord[:-1] + h[:-1] * chord[1:]) / (h[1:] + h[:-1]), 0.0)
            for end, a, b in ((0, 0, 1), (-1, -1, -2)):
                slope = ((2 * h[a] + h[b]) * chord[a] - h[a] * chord[b]) / (h[a] + h[b])
                m[end] = slope if slope * chord[a] > 0 else 0.0
            for i, d in enumerate(chord):
                radius = math.hypot(m[i] / d, m[i + 1] / d)
                if radius > 3:
                    m[i:i + 2] *= 3 / radius
        for i in range(len(h)):
            p = np.polynomial.Polynomial([v[i], m[i], (3 * chord[i] - 2 * m[i] - m[i + 1]) / h[i],
                                          (m[i] + m[i + 1] - 2 * chord[i]) / h[i]**2])
            self.pieces.append((T[i], T[i + 1], *(lambda x, f=f, x0=T[i]: f(x - x0)
                                                  for f in (p, p.deriv(), p.integ()))))

    def __call__(self, T):
        """Value, slope and integral from the start of the range at temperatures T [K]."""
        low, high = self.pieces[0][0], self.pieces[-1][1]
        inside = np.clip(T, low, high)
        value, slope, total = np.empty_like(T), np.empty_like(T), np.zeros_like(T)
        for k, (a, b, f, df, F) in enumerate(self.pieces):
            here = (inside >= a) if k == 0 else (inside > a)
            x = inside[here]
            value[here], slope[here] = f(x), df(x)
            total[here] += F(np.minimum(x, b)) - F(np.array(a))
        outside = T != inside
        slope[outside] = 0.0
        return value, slope, total + value * (T - inside)


def porous(law, D):
    return {"bruggeman": (3 * D - 1) / 2, "koh fortini": D / (1 + 11 * (1 - D)**2)}[law]


class Solid:
    """Material of a part: curves for k and rho along and across, volumetric heat capacity, emissivity."""

    def __init__(self, name, density=1.0, k_factor=1.0):
        data = yaml.safe_load((DATA / (name.replace(" ", "-") + ".yaml")).read_text())
        heat = current = 1.0
        if density < 1.0:
            heat, current = (porous(data["porous"][x]["law"], density) for x in ("heat", "current"))
        k, rho = data["conductivity"], data["resistivity"]
        self.k, self.rho = Curve(k, k_factor * heat), Curve(rho, 1.0 / current)
        self.k_across = Curve(k["across"], k_factor * heat) if "across" in k else None
        self.rho_across = Curve(rho["across"], 1.0 / current) if "across" in rho else None
        self.capacity = Curve(data["heat capacity"], density * si(data["density"]["value"]))
        self.emissivity = si(data["emissivity"]["value"])


class Touch:
    """An imperfect joint: h [W/(m2 K)], r [ohm m2], exchange factor of the radiation beside it."""

    def __init__(self, h, r, exchange):
        self.h, self.r, self.exchange, self.emissivity = h, r, exchange, 0.0


class Box:
    def __init__(self, name, solid, r0, r1, z0, z1, across=None):
        self.name, self.solid, self.across = name, solid, across  # across: 0 r, 1 z, None alike
        self.r0, self.r1, self.z0, self.z1 = r0, r1, z0, z1


def exchange(a, b):
    return 1.0 / (1.0 / a.emissivity + 1.0 / b.emissivity - 1.0)


class Stack:
    """Upper half.  Every joint is a layer of thickness `thin` whose conductance is that of the joint."""
    thin = 1e-7  # m

    def __init__(self, path, k_factor=1.0):
        case = yaml.safe_load(Path(path).read_text())
        column = case["column"]
        middle = next(i for i, p in enumerate(column) if "powder" in p)
        self.powder_radius = radius = si(column[middle]["diameter"]) / 2
        graphite, foil = Solid("isotropic graphite", k_factor=k_factor), Solid("graphite foil")
        powder = Solid(column[middle]["powder"], si(column[middle]["end density"]))
        pressure = case["programme"].get("pressure on powder")
        self.force = si(pressure[-1]["hold"]) * math.pi * radius**2 if pressure else None
        totals = case.get("contacts", {})
        self.totals = [(si(t.get("electrical", e)), si(t.get("thermal", h))) for t, e, h in (
            (totals.get("axial", {}), 8e-8, 2400.0), (totals.get("lateral", {}), 1.3e-7, 1320.0))]
        die = case["sleeves"][0]
        bore, outside, top = si(die["inner diameter"]) / 2, si(die["outer diameter"]) / 2, si(die["height"]) / 2
        self.boxes = []
        z, below, below_radius = si(column[middle]["height"]) / 2, powder, radius
        self._add("powder", powder, 0, radius, 0, z)
        for part in column[middle + 1:]:
            r = si(part["diameter"]) / 2
            sheet = next((si(f["thickness"]) for f in case["foils"] if f.get("between", [0, 0])[1] == part["name"]), 0)
            joint = min(r, below_radius)
            if sheet:
                z = self._joint(below, foil, 1, joint, z, sheet)
                self._add("foil", foil, 0, joint, z, z + sheet, 1)
                z, below = z + sheet, foil
            z = self._joint(below, graphite, 1, joint, z, sheet)
            self._add(part["name"], graphite, 0, r, z, z + si(part["height"]))
            z, below, below_radius = z + si(part["height"]), graphite, r
        self.height = z
        lining = next(si(f["thickness"]) for f in case["foils"] if f.get("along") == "bore of " + die["name"])
        beside = [b for b in self.boxes if b.r1 == radius and b.z0 < top and b.name != "joint"]
        for box, over in zip(beside, beside[1:] + [None]):
            inner = self._joint(box.solid, foil, 0, radius, box.z0, lining, over.z0 if over else top)
        self._add("lining", foil, inner, inner + lining, 0, top, 0)
        wall = self._joint(foil, graphite, 0, inner + lining, 0, lining, top)
        self._add("die", graphite, wall, outside, 0, top)
        assert abs(radius + lining - bore) < 1e-9
        self.chamber = si(case["surroundings"]["chamber"])
        self.film, self.water = (si(case["press"]["column ends"][x]) for x in ("film", "water"))
        punch = next(b for b in self.boxes if b.name == "upper punch")
        self.points = {"powder centre": (0, 0), "powder edge": (radius, 0), "die wall": (wall, 0),
                       "punch middle": (0, 0.5 * (punch.z0 + punch.z1))}
        self.points |= {s["name"]: (outside - si(s["depth"]), 0) for s in case["sensors"] if s["in"] == die["name"]}
        self.fine_to = outside
        self.segments, t, value = [], 0.0, 0.0  # (start, end, current at start, at end)
        for step in case["programme"]["current"]:
            length = si(step.get("in") or step.get("hold") or step.get("for"))
            start, value = (0.0, 0.0) if "cool" in step else (value, si(step.get("ramp to", value)))
            self.segments.append((t, t + length, start, value))
            t += length

    def _add(self, name, solid, r0, r1, z0, z1, across=None):
        self.boxes.append(Box(name, solid, r0, r1, z0, z1, across))

    def _joint(self, a, b, normal, size, z, sheet, top=0.0):
        """Adds the layer between a and b; returns where b begins.  Total = touch + sheet + touch at 20 MPa."""
        electric, heat = self.totals[0 if normal else 1]
        factor = (self.force / (math.pi * size**2) / 20e6)**0.95 if normal and self.force else 1.0
        foil = a if a.k_across else b if b.k_across else None
        h, r = heat * factor, electric / factor
        if foil:
            room = np.array([298.15])
            r = max(0.0, electric - sheet * foil.rho_across(room)[0][0]) / 2 / factor
            left = 1.0 / heat - sheet / foil.k_across(room)[0][0]
            h = 2.0 * factor / left if left > 2e-9 else math.inf
        ideal = math.isinf(h) and r == 0.0
        box = (size, size + self.thin, z, top) if normal == 0 else (0, size, z, z + self.thin)
        self._add("joint", b if ideal else Touch(h, r, exchange(a, b)), *box, normal)
        return box[3] if normal else box[1]
