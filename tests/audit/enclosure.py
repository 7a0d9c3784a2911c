"""Radiation between open walls: the run's table of what they see (docs/output_format.md), held against rays, and the
net heats that follow from it.

The table is of zones, strips of openings of the walls.  Rays know nothing of how it was found: they leave a zone with
cosine-weighted directions and fly until they meet a face of a part.  From the table come radiosities
  A J = e A E + (1 - e) (S J + S0 E0),   q = A J - S J - S0 E0   [W],   S = A F, E = s T^4, 0 the chamber,
which is q = M (E - E0) with M = (A - S) (A - (1 - e) S)^-1 e A, between the shares of the stroke one polynomial in it.
Within a zone each piece sends out by its own temperature and takes by its area.
"""
from collections import namedtuple
from functools import cache

import numpy as np
from scipy.stats import qmc

from curves import NotCovered
from stack import OUTWARD, SIGMA, is_vertical

RAYS = 1 << 17  # from each zone
NEAR = 1e-9  # m

Box = namedtuple("Box", "side at low high")  # a stretch of a wall turned about the axis, and where it looks
FLIPPED = {"inner": "inner", "outer": "outer", "bottom": "top", "top": "bottom"}


def area_of(box):
    return (2 * np.pi * box.at * (box.high - box.low) if is_vertical(box.side)
            else np.pi * (box.high**2 - box.low**2))


def image_of(box, plane):
    if is_vertical(box.side):
        return Box(box.side, box.at, 2 * plane - box.high, 2 * plane - box.low)
    return Box(FLIPPED[box.side], 2 * plane - box.at, box.low, box.high)


def same_wall(a, b):
    return a.side == b.side and abs(a.at - b.at) < NEAR


def openings_of(stack):
    """{name: box} of every open stretch of a wall and every mouth of a narrow gap, the last as walls across it."""
    found = {}
    for part, side, start, end in stack.openings:
        ordinal = sum(name[:2] == (part.number, side) for name in found)
        found[part.number, side, ordinal] = Box(side, part.across(side), start, end)
    for gap in stack.narrow:
        low = gap.part.across("outer")
        for side, at in (("bottom", gap.start), ("top", gap.end)):
            found["mouth", gap.part.number, gap.other.number, side] = Box(side, at, low, low + gap.gap)
    return found


class Enclosure:
    """As it is at the output that the stack lies at; `lie` takes it along."""

    def __init__(self, stack, h5):
        if "/enclosure" not in h5:
            raise NotCovered("walls that radiate and no table of what they see")
        table = h5["/enclosure"]
        self.half = table.attrs["covers"].decode() == "upper half"
        self.emissivity, self.shares = table["emissivity"][:], table["share"][:]
        self.S, self.S0 = table["between"][:], table["chamber"][:]
        self.part = table["part"][:]
        words = [word.decode() for word in table["looks"].attrs["words"]]
        stated = [Box(words[k], *place) for k, *place in
                  zip(table["looks"][:], table["at"][:], table["low"][:], table["high"][:])]
        # A zone stays the same share of its opening.
        openings = openings_of(stack)
        self.names = [self.name_of(box, part, openings) for box, part in zip(stated, self.part)]
        self.spans, self.at = [], []
        for name, box in zip(self.names, stated):
            whole = openings[name]
            self.at.append((box.at, whole.at))
            self.spans.append([(end - whole.low) / (whole.high - whole.low) for end in (box.low, box.high)])
        self.net = [self.net_heats(S, S0) for S, S0 in zip(self.S, self.S0)]
        self.heights = None
        self.lie(stack)

    def name_of(self, box, part, openings):
        """The opening that a zone belongs to, by the middle of the zone."""
        def off(whole):
            return np.hypot(box.at - whole.at, max(0.0, abs(box.low + box.high - whole.low - whole.high)
                                                   - (whole.high - whole.low)))
        own = [name for name, whole in openings.items()
               if name[0] == (part if part >= 0 else "mouth") and whole.side == box.side]
        if not own:
            raise NotCovered(f"a zone of a side without openings: {box}")
        return min(own, key=lambda name: off(openings[name]))

    def net_heats(self, S, S0):
        """M of one share."""
        A = S.sum(axis=1) + S0
        J = np.linalg.solve(np.diag(np.where(A > 0, A, 1.0)) - (1 - self.emissivity)[:, None] * S,
                            np.diag(self.emissivity * A))
        return (np.diag(A) - S) @ J

    def lie(self, stack):
        """Boxes and areas of zones, M and S; computed anew where heights are others than before."""
        if self.heights is stack.heights:
            return
        self.heights = stack.heights
        openings = openings_of(stack)
        self.boxes = []
        for name, (low, high) in zip(self.names, self.spans):
            whole = openings.get(name)
            if whole is None:
                raise NotCovered("an opening that closes as the powder does")
            self.boxes.append(Box(whole.side, whole.at, whole.low + low * (whole.high - whole.low),
                                  whole.low + high * (whole.high - whole.low)))
        self.area = np.array([area_of(box) for box in self.boxes])
        self.plane = stack.middle() if self.half else None
        done = stack.share_of_stroke()
        weights = [np.prod([(done - other) / (share - other) for other in self.shares if other != share])
                   for share in self.shares]
        self.M, self.view, self.to_chamber = (sum(w * table for w, table in zip(weights, tables))
                                              for tables in (self.net, self.S, self.S0))
        self.patches = [self.patches_of(face) for face in stack.radiating_faces]

    def patches_of(self, face):
        """(piece, zone, area) of every piece of a wall, below a mid-plane of its image."""
        patches = []
        whole = Box(face.side, face.at, 0.0, 0.0)
        on = [whole, image_of(whole, self.plane)] if self.half else [whole]
        zones = [(z, zone) for z, zone in enumerate(self.boxes)
                 if self.part[z] >= 0 and any(same_wall(wall, zone) for wall in on)]
        for k, (low, high) in enumerate(zip(face.low, face.high)):
            box = Box(face.side, face.at, low, high)
            middle = 0.5 * (low + high) if is_vertical(face.side) else face.at
            if self.half and middle < self.plane:
                box = image_of(box, self.plane)
            for z, zone in zones:
                common = max(box.low, zone.low), min(box.high, zone.high)
                if same_wall(box, zone) and common[1] > common[0]:
                    patches.append((k, z, area_of(box._replace(low=common[0], high=common[1]))))
        return patches

    def taken(self, surfaces, chamber):
        """Radiation that each zone takes [W/m2] when the pieces have the temperatures `surfaces` [per face]."""
        E, there = np.zeros(len(self.area)), np.zeros(len(self.area))
        for x, patches in zip(surfaces, self.patches):
            for k, z, area in patches:
                E[z] += area * SIGMA * x[k]**4
                there[z] += area
        E = np.where(there > 0, E / np.where(there > 0, there, 1.0), 0.0)
        black = SIGMA * chamber**4
        # A mouth sends nothing of its own, so that its E is of no account.
        return self.emissivity * E - self.M @ (E - black) / self.area

    def gets(self, per_zone):
        """The same by piece [W]."""
        found = []
        for patches in self.patches:
            values = np.zeros(1 + max((k for k, _, _ in patches), default=-1))
            for k, z, area in patches:
                values[k] += area * per_zone[z]
            found.append(values)
        return found

    def seen_by_rays(self, stack):
        """View factors [zone, zone], and to the chamber last."""
        walls, zones = self.walls(stack)
        rows = []
        for box in self.boxes:
            start, direction = rays_from(box)
            wall, along = first_hits(walls, start, direction)
            row = np.zeros(len(self.boxes) + 1)
            row[-1] = (wall < 0).sum()
            for k, its_zones in enumerate(zones):
                mine = along[wall == k]
                for z, low, high in its_zones:
                    row[z] += ((mine > low) & (mine <= high)).sum()
            rows.append(row / RAYS)
        return np.array(rows)

    def walls(self, stack):
        """Faces of all parts and mouths of narrow gaps, and the zones (with images) that lie on each."""
        walls = [Box(side, part.across(side), *part.along(side)[[0, -1]])
                 for part in stack.parts for side in OUTWARD if not (side == "inner" and part.r[0] < NEAR)]
        walls += [box for name, box in openings_of(stack).items() if name[0] == "mouth"]
        zones = [[] for _ in walls]
        for z, box in enumerate(self.boxes):
            for its in [box, image_of(box, self.plane)] if self.half else [box]:
                for k, wall in enumerate(walls):  # a zone on no wall is one that no ray finds
                    if same_wall(its, wall) and wall.low - NEAR < its.low < its.high < wall.high + NEAR:
                        zones[k].append((z, its.low, its.high))
        return walls, zones


@cache
def evenly():
    return qmc.Sobol(3, scramble=True, seed=1).random(RAYS)


def rays_from(box):
    """Starting points (at azimuth 0) and directions: evenly over the area, by the cosine; a scrambled Sobol sequence."""
    u = evenly()
    normal = np.sqrt(1 - u[:, 1])
    flat, angle = np.sqrt(u[:, 1]), 2 * np.pi * u[:, 2]
    one, other, sign = flat * np.cos(angle), flat * np.sin(angle), OUTWARD[box.side]
    still = np.zeros(RAYS)
    if is_vertical(box.side):
        start = np.stack([still + box.at, still, box.low + u[:, 0] * (box.high - box.low)])
        return start, np.stack([sign * normal, one, other])
    r = np.sqrt(box.low**2 + u[:, 0] * (box.high**2 - box.low**2))
    return np.stack([r, still, still + box.at]), np.stack([one, other, sign * normal])


def first_hits(walls, start, direction):
    """(number of the wall, -1 for none; place along it)."""
    (x, y, z), (dx, dy, dz) = start, direction
    nearest, number, place = np.full(len(x), np.inf), np.full(len(x), -1), np.zeros(len(x))

    def meet(k, t, along):
        closer = (t > NEAR) & (t < nearest) & (along >= walls[k].low) & (along <= walls[k].high)
        nearest[closer], number[closer], place[closer] = t[closer], k, along[closer]

    a, b = dx**2 + dy**2, x * dx + y * dy
    with np.errstate(divide="ignore", invalid="ignore"):
        for k, wall in enumerate(walls):
            if is_vertical(wall.side):
                root = np.sqrt(b**2 - a * (x**2 + y**2 - wall.at**2))
                for t in ((-b - root) / a, (-b + root) / a):
                    meet(k, t, z + t * dz)
            else:
                t = (wall.at - z) / dz
                meet(k, t, np.hypot(x + t * dx, y + t * dy))
    return number, place
