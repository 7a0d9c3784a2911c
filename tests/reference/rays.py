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
        """F_ij, and what of each facet's view is the chamber; rays of each facet, a power of two."""
        n, rng = len(self.at), np.random.default_rng(seed)
        F = np.empty((n, n))
        for i in range(n):
            first = self.hits(i, qmc.Sobol(3, seed=rng).random(rays))
            F[i] = np.bincount(first[first >= 0], minlength=n) / rays
        return F, 1.0 - F.sum(axis=1)
