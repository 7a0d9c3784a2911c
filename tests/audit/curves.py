"""Property curves of a material text (materials/data/README.md), evaluated with nothing of joulepress.

A curve is a list of pieces (from, to, f) in kelvin and SI; outside its range the end value is held.  Integrals are
taken by Gauss-Legendre quadrature, not in closed form, so that they share no formula with the program.
"""
import numpy as np
import yaml

UNITS = {"J/kgK": 1.0, "W/mK": 1.0, "ohm m": 1.0, "uohm m": 1e-6, "kg/m3": 1.0, "1": 1.0, "kg": 1.0, "m": 1.0,
         "K": 1.0, "Pa": 1.0, "s": 1.0, "A": 1.0, "A/s": 1.0, "W/m2K": 1.0, "ohm m2": 1.0, "N": 1.0}
NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)
PANEL = 50.0  # K, longest stretch for one rule: leaves 1e-13 of the sums of terms in use


class NotCovered(Exception):
    """The case has something this audit does not recompute."""


def quantity(text):
    """A number with its unit, in SI; the resolved case writes SI units throughout."""
    if isinstance(text, (int, float)):
        return float(text)
    number, _, unit = text.partition(" ")
    if unit == "degC":
        return float(number) + 273.15
    if unit not in UNITS:
        raise NotCovered(f"unit of '{text}'")
    return float(number) * UNITS[unit]


def fritsch_carlson_slopes(x, y):
    """Three-point parabola slopes, then scaled onto the circle of radius 3 (SIAM J Numer Anal 17 (1980) 238)."""
    h, chord = np.diff(x), np.diff(y) / np.diff(x)
    if len(chord) == 1:
        return np.array([chord[0], chord[0]])

    def at_end(h_near, h_far, near, far):
        slope = near + (near - far) * h_near / (h_near + h_far)
        return slope if slope * near > 0 else 0.0

    inside = (h[1:] * chord[:-1] + h[:-1] * chord[1:]) / (h[:-1] + h[1:])
    inside[chord[:-1] * chord[1:] <= 0] = 0.0
    m = np.concatenate([[at_end(h[0], h[1], chord[0], chord[1])], inside,
                        [at_end(h[-1], h[-2], chord[-1], chord[-2])]])
    for i, d in enumerate(chord):
        if d == 0:
            m[i] = m[i + 1] = 0.0
            continue
        length = np.sqrt(m[i] ** 2 + m[i + 1] ** 2) / abs(d)
        if length > 3:
            m[i], m[i + 1] = m[i] * 3 / length, m[i + 1] * 3 / length
    return m


def hermite(x0, x1, y0, y1, m0, m1):
    def value(T):
        t = (T - x0) / (x1 - x0)
        return (y0 * (1 + 2 * t) * (1 - t) ** 2 + y1 * t * t * (3 - 2 * t)
                + (x1 - x0) * (m0 * t * (1 - t) ** 2 - m1 * t * t * (1 - t)))
    return value


def pieces_of(node, factor):
    if "pieces" in node:
        return [piece for part in node["pieces"] for piece in pieces_of(part, factor)]
    if "table" in node:
        x, y = np.array(node["table"], dtype=float).T
        y, m = factor * y, fritsch_carlson_slopes(x, factor * y)
        return [(x[i], x[i + 1], hermite(x[i], x[i + 1], y[i], y[i + 1], m[i], m[i + 1])) for i in range(len(x) - 1)]
    if "terms" in node:
        low, high = (quantity(end) for end in node["range"])
        terms = [(factor * float(c), float(p)) for c, p in node["terms"]]
        return [(low, high, lambda T: sum(c * T**p for c, p in terms))]
    raise NotCovered(f"a curve with the keys {sorted(node)}")


class Curve:
    def __init__(self, node):
        if "value" in node:
            text = node["value"]
            value = quantity(text if "unit" not in node else f"{text} {node['unit']}")
            self.pieces, self.low, self.high = [(0.0, np.inf, lambda T: value + 0.0 * T)], 0.0, np.inf
            return
        self.pieces = pieces_of(node, UNITS[node["unit"]])
        self.low, self.high = self.pieces[0][0], self.pieces[-1][1]

    def __call__(self, T):
        T = np.clip(np.asarray(T, dtype=float), self.low, self.high)
        conditions = [T < to for _, to, _ in self.pieces[:-1]] + [np.ones(T.shape, bool)]
        return np.select(conditions, [f(T) for _, _, f in self.pieces])

    def integral(self, start, T):
        """Integral of the curve from the number `start` to the array T."""
        T = np.asarray(T, dtype=float)
        lowest, highest = min(start, T.min()), max(start, T.max())
        ends = [e for low, high, _ in self.pieces for e in (low, high) if lowest < e < highest]
        marks = np.unique(np.concatenate([[lowest, start, highest], ends,
                                          np.arange(lowest, highest, PANEL)]))
        total = np.zeros(T.shape)
        for low, high in zip(marks[:-1], marks[1:]):
            # Of this stretch a cell takes what lies between start and its T, forward above start, backward below.
            reaches = T > low if low >= start else T < high
            if not reaches.any():
                continue
            a, b = (low if low >= start else high), np.clip(T[reaches], low, high)
            half, middle = 0.5 * (b - a), 0.5 * (a + b)
            inside = np.nextafter(low, high), np.nextafter(high, low)  # a node never slips into the next piece
            total[reaches] += half * sum(w * self(np.clip(middle + half * n, *inside)) for n, w in zip(NODES, WEIGHTS))
        return total


def porous_factor(law, D):
    """Porous over dense, the laws of materials/data/README.md."""
    kind = law.get("law", "maxwell eucken")
    if kind == "maxwell eucken":
        K = 2 * D / (3 - D)
    elif kind == "bruggeman":
        K = (3 * D - 1) / 2
    elif kind == "koh fortini":
        K = D / (1 + 11 * (1 - D) ** 2)
    elif kind == "power":
        K = D ** law["exponent"]
    elif kind in ("montes", "argento bouvard"):
        tap = law["tap density"]
        K = np.maximum(0.0, (D - tap) / (1 - tap)) ** (law["exponent"] if kind == "montes" else 2 * (1 - tap))
    else:
        raise NotCovered(f"the porous law {kind}")
    return np.maximum(K, 0.001)


def film_left(film, hottest):
    """What is left of an oxide film in cells that have been as hot as `hottest`: a cubic through its window."""
    low, high = (quantity(end) for end in film["gone between"])
    x = np.clip((hottest - low) / (high - low), 0.0, 1.0)
    return 1 - x * x * (3 - 2 * x)


def with_film(film, bare, left):
    """Resistivity [ohm m]: bare grains, times what the whole film makes of it to the power of what is left."""
    return bare * (1 + quantity(film["resistivity"]) / bare) ** left


class Material:
    def __init__(self, text):
        node = yaml.safe_load(text)
        self.name = node["material"]
        self.density = float(Curve(node["density"])(298.15))  # that of the dense solid, cold
        self.heat_capacity = Curve(node["heat capacity"])
        # Emissivity: one number, taken at 1000 degC; 0.8 where the text has none.
        self.emissivity = float(Curve(node["emissivity"])(1273.15)) if "emissivity" in node else 0.8
        if "mixture" in node:
            raise NotCovered(f"the mixture {self.name}")
        self.loose = float(Curve(node["loose touch"])(298.15)) if "loose touch" in node else None  # ohm m2
        self.film, self.creeps = node.get("oxide film"), "creep" in node
        self.along, self.across, self.porous = {}, {}, {}
        for what, key, law in (("heat", "conductivity", "heat"), ("current", "resistivity", "current")):
            self.along[what] = Curve(node[key])
            self.across[what] = Curve(node[key]["across"]) if "across" in node[key] else self.along[what]
            self.porous[what] = node.get("porous", {}).get(law, {})
