"""What open walls of revolution see of each other, by rays; nothing of it is ours.

Rays leave every facet by Lambert's law, their start, polar angle and azimuth points of Sobol's sequence, scrambled
afresh for each facet.  Each is followed through the stack and its image below mid-height to the nearest crossing
with a plane or a cylinder that carries a facet there.  What meets none is lost to the chamber: shares sum to one by
themselves, so that walls and chamber at one temperature exchange nothing.  A_i F_ij = A_j F_ji is not forced: what a
facet gathers from all others, F J, is ten times surer by its own rays than with both counts joined.
"""
import numpy as np
from scipy.stats import qmc

OUTER, INNER, TOP, BOTTOM = range(4)  # where a facet looks


class Facets:
    """Open facets of the upper half: where each looks, its plane or radius `at`, its stretch low..high [m]."""

    def __init__(self, looks, at, low, high):
        self.looks, self.at, self.low, self.high = looks, at, low, high
        self.upright = looks <= INNER
        self.area = np.where(self.upright, 2 * np.pi * at * (high - low), np.pi * (high - low) * (high + low))
        self.walls = []  # (upright, at, its facets in order)
        for upright in (True, False):
            here = np.nonzero(self.upright == upright)[0]
            for place in np.unique(at[here].round(10)):
                on = here[abs(at[here] - place) < 1e-9]
                self.walls.append((upright, at[on[0]], on[np.argsort(low[on])]))

    def _on(self, facets, along):
        """The facet of an ordered wall at a place along it, or -1."""
        k = np.searchsorted(self.low[facets], along) - 1
        return np.where((k >= 0) & (along < self.high[facets][k]), facets[k], -1)

    def hits(self, i, points):
        """The facets that rays from facet i meet first; -1 the chamber.  points: of the unit cube, one a ray."""
        u, v, w = points.T
        low, high, at = self.low[i], self.high[i], self.at[i]
        sine, cosine, turn = np.sqrt(v), np.sqrt(1.0 - v), np.pi * w  # the other half of the turn is its mirror image
        aside, up = sine * np.cos(turn), sine * np.sin(turn)
        sign = 1.0 if self.looks[i] in (OUTER, TOP) else -1.0
        if self.upright[i]:
            r, z = np.full_like(u, at), low + u * (high - low)
            d = np.stack([sign * cosine, up, aside])
        else:
            r, z = np.sqrt(low**2 + u * (high**2 - low**2)), np.full_like(u, at)
            d = np.stack([aside, up, sign * cosine])
        nearest, first = np.full_like(u, np.inf), np.full(len(u), -1)

        def meet(t, along, facets):
            found = self._on(facets, along)
            closer = (found >= 0) & (t > 1e-8) & (t < nearest)
            nearest[closer], first[closer] = t[closer], found[closer]

        square, b = d[0]**2 + d[1]**2, r * d[0]
        with np.errstate(divide="ignore", invalid="ignore"):
            for upright, place, facets in self.walls:
                if upright:
                    root = np.sqrt(b**2 - square * (r - place) * (r + place))
                    for t in ((-b - root) / square, (-b + root) / square):
                        meet(t, abs(z + t * d[2]), facets)
                else:
                    for plane in (place, -place):
                        t = (plane - z) / d[2]
                        meet(t, np.hypot(r + t * d[0], t * d[1]), facets)
        return first

    def shares(self, rays, seed):
        """F_ij, what is left of a facet's view is the chamber; rays of each facet, a power of two."""
        n, rng = len(self.at), np.random.default_rng(seed)
        F = np.empty((n, n))
        for i in range(n):
            first = self.hits(i, qmc.Sobol(3, seed=rng).random(rays))
            F[i] = np.bincount(first[first >= 0], minlength=n) / rays
        return F


def worst_against_closed_forms(rays, seed):
    """Largest error of a view factor of three enclosures: discs, a tube, a tube with a rod in it.

    Two discs of radius 1 at a distance 1; the tube between them; a rod of radius 1/2 and length 1 in that tube,
    which hides.  Siegel and Howell, Thermal radiation heat transfer, appendix on configuration factors, from memory.
    """
    lines = np.linspace(0.0, 1.0, 21)
    walls = {"discs": [(BOTTOM, 0.5, 1.0)], "tube": [(INNER, 1.0, 0.5)], "rod": [(INNER, 1.0, 0.5), (OUTER, 0.5, 0.5)]}
    discs = (3 - np.sqrt(5)) / 2  # and by reciprocity what the tube sees of itself
    H, R = 2.0, 2.0  # length and outer radius over that of the rod
    a, b = H**2 + R**2 - 1, H**2 - R**2 + 1
    rod = (1 - (np.arccos(b / a) - (np.sqrt((a + 2)**2 - 4 * R**2) * np.arccos(b / (R * a)) + b * np.arcsin(1 / R)
                                    - np.pi * a / 2) / (2 * H)) / np.pi) / R
    worst = 0.0
    for name, exact in (("discs", discs), ("tube", discs), ("rod", rod)):
        looks, at, end = (np.repeat(x, 20) for x in zip(*walls[name]))
        low, high = (np.tile(x, len(walls[name])) * end for x in (lines[:-1], lines[1:]))
        facets = Facets(looks, at, low, high)
        F, inside = facets.shares(rays, seed), looks == looks[0]
        share = F[:, looks == OUTER].sum(axis=1) if name == "rod" else F.sum(axis=1)
        found = np.average(share[inside], weights=facets.area[inside])
        worst = max(worst, abs(found - exact))
    return worst
