"""The elastic bodies of solids.json by dolfinx: displacements alone, biquadratic on one grid for all blocks.

Ours (solids.cpp) has a pressure of its own in every cell, a grid for every block, and welds them by stiff joints.
"""
import json
import math
import subprocess
import time
from pathlib import Path

import basix
import dolfinx
import numpy as np
import ufl
from dolfinx import fem
from mpi4py import MPI
from petsc4py import PETSc

BODIES = Path(__file__).resolve().parent / "solids.json"
OURS, PEER = (2.5e-4, 5e-4, 1e-3), (2e-4, 4e-4, 8e-4)  # sizes of elements, each twice as wide as the one before [m]
STRESSES = ("radial stress", "axial stress", "hoop stress", "shear stress")
ROUNDING = 1e-7  # of the largest of a body: the pressure of a weld, and rounding
SIDES = {"inner": (0, 0), "outer": (0, 1), "bottom": (1, 0), "top": (1, 1)}  # axis across, end


def lines(marks, size):
    """Even steps of at most `size` between marks."""
    marks, out = sorted(set(marks)), [min(marks)]
    for a, b in zip(marks, marks[1:]):
        out += list(np.linspace(a, b, math.ceil((b - a) / size - 1e-9) + 1)[1:])
    return np.array(out)


class Solid:
    """One body; growth: factor on what its blocks grow freely."""

    def __init__(self, body, size, growth=1.0):
        self.blocks = body["blocks"]
        self._build_mesh(body, size)
        self._solve(body, growth)

    def _build_mesh(self, body, size):
        marks = [[x for b in self.blocks for x in b["rz"[axis]]] for axis in (0, 1)]
        for p in body["pressures"]:
            marks[1 - SIDES[p["side"]][0]] += [p["from"], p["to"]]
        r, z = (lines(m, size) for m in marks)
        rm, zm = 0.5 * (r[1:] + r[:-1]), 0.5 * (z[1:] + z[:-1])
        owner = -np.ones((len(zm), len(rm)), int)
        for k, b in enumerate(self.blocks):
            owner[np.ix_((zm > b["z"][0]) & (zm < b["z"][1]), (rm > b["r"][0]) & (rm < b["r"][1]))] = k
        j, i = np.nonzero(owner >= 0)
        corner = lambda di, dj: (j + dj) * len(r) + i + di
        cells = np.stack([corner(0, 0), corner(1, 0), corner(0, 1), corner(1, 1)], axis=1)
        used, cells = np.unique(cells, return_inverse=True)
        nodes = np.stack([r[used % len(r)], z[used // len(r)]], axis=1)
        self.mesh = dolfinx.mesh.create_mesh(MPI.COMM_SELF, cells.reshape(-1, 4), nodes,
                                             ufl.Mesh(ufl.VectorElement("Lagrange", "quadrilateral", 1)))
        self.owner = owner[j, i][self.mesh.topology.original_cell_index]

    def _on(self, side):
        """Whether places x are on the side of a block."""
        block = next(b for b in self.blocks if b["name"] == side["block"])
        axis, end = SIDES[side["side"]]
        along = "rz"[1 - axis]
        low, high = side.get("from", block[along][0]), side.get("to", block[along][1])
        return lambda x: ((abs(x[axis] - block["rz"[axis]][end]) < 1e-9)
                          & (x[1 - axis] > low - 1e-9) & (x[1 - axis] < high + 1e-9))

    def _solve(self, body, growth):
        mesh = self.mesh
        V = fem.VectorFunctionSpace(mesh, ("Lagrange", 2))
        W, D = fem.FunctionSpace(mesh, ("DQ", 2)), fem.FunctionSpace(mesh, ("DQ", 0))
        G, lame, e = fem.Function(D), fem.Function(D), fem.Function(W)
        for k, b in enumerate(self.blocks):
            cells, E, nu = np.nonzero(self.owner == k)[0].astype(np.int32), b["modulus"], b["poisson"]
            G.x.array[cells], lame.x.array[cells] = E / (2 + 2 * nu), E * nu / ((1 + nu) * (1 - 2 * nu))
            e.interpolate(lambda x: growth * sum((c * x[0]**p * x[1]**q for c, p, q in b["growth"]), 0 * x[0]), cells)
        self.G, self.lame, self.e = G, lame, e
        r = ufl.SpatialCoordinate(mesh)[0]
        u, v = ufl.TrialFunction(V), ufl.TestFunction(V)
        strain = lambda w: (w[0].dx(0), w[1].dx(1), w[0] / r, w[0].dx(1) + w[1].dx(0))
        eu, ev = strain(u), strain(v)
        dx = ufl.Measure("dx", mesh, metadata={"quadrature_degree": 8})
        a = r * (lame * sum(eu[:3]) * sum(ev[:3]) + 2 * G * sum(x * y for x, y in zip(eu[:3], ev[:3]))
                 + G * eu[3] * ev[3]) * dx
        L = r * (3 * lame + 2 * G) * e * sum(ev[:3]) * dx
        normal = ufl.FacetNormal(mesh)
        for p in body["pressures"]:
            facets = np.sort(dolfinx.mesh.locate_entities_boundary(mesh, 1, self._on(p)))
            tags = dolfinx.mesh.meshtags(mesh, 1, facets, np.ones(len(facets), np.int32))
            ds = ufl.Measure("ds", mesh, subdomain_data=tags, metadata={"quadrature_degree": 8})
            L -= r * p["pressure"] * ufl.dot(normal, v) * ds(1)
        zero = [(SIDES[h["side"]][0], self._on(h)) for h in body["held"]] + [(0, lambda x: x[0] < 1e-12)]
        bcs = []
        for axis, on in zero:
            facets = dolfinx.mesh.locate_entities_boundary(mesh, 1, on)
            dofs = fem.locate_dofs_topological(V.sub(axis), 1, facets)
            bcs.append(fem.dirichletbc(PETSc.ScalarType(0.0), dofs, V.sub(axis)))
        options = {"ksp_type": "preonly", "pc_type": "lu"}
        self.u = fem.petsc.LinearProblem(a, L, bcs, petsc_options=options).solve()

    def at(self, block, place):
        """Displacements and stresses in a block."""
        k = next(k for k, b in enumerate(self.blocks) if b["name"] == block)
        place = np.array(place)
        x = self.mesh.geometry.x[:, :2][self.mesh.geometry.dofmap.array.reshape(-1, 4)]
        outside = np.maximum(x.min(axis=1) - place, place - x.max(axis=1)).max(axis=1)
        cell = int(np.argmin(np.where(self.owner == k, outside, np.inf)))
        assert outside[cell] < 1e-12
        corners = x[cell]
        J = np.stack([corners[1] - corners[0], corners[2] - corners[0]], axis=1)
        X = np.linalg.solve(J, place - corners[0])
        element = basix.create_element(basix.ElementFamily.P, basix.CellType.quadrilateral, 2,
                                       basix.LagrangeVariant.gll_warped)
        table = element.tabulate(1, X[None, :])[:, 0, :].reshape(3, -1)
        u = self.u.x.array.reshape(-1, 2)[self.u.function_space.dofmap.cell_dofs(cell)]
        value, slopes = table[0] @ u, np.linalg.solve(J.T, table[1:] @ u)  # slopes[a, c]: of u_c along a
        e = table[0] @ self.e.x.array[self.e.function_space.dofmap.cell_dofs(cell)]
        G, lame = self.G.x.array[cell], self.lame.x.array[cell]
        strains = np.array([slopes[0, 0], slopes[1, 1], value[0] / place[0] if place[0] > 0 else slopes[0, 0]])
        stress = lame * strains.sum() + 2 * G * strains - (3 * lame + 2 * G) * e
        return dict(zip(("outward", "upward", *STRESSES), (*value, *stress, G * (slopes[1, 0] + slopes[0, 1]))))


def peer(growth=1.0, sizes=PEER):
    """For every size {body: {place: {quantity: value}}}."""
    bodies = json.loads(BODIES.read_text())
    out = []
    for size in sizes:
        solved = {name: Solid(body, size, growth) for name, body in bodies.items()}
        out.append({name: {p["name"]: solved[name].at(p["block"], p["at"]) for p in body["places"]}
                    for name, body in bodies.items()})
    return out


def ours(program, sizes=OURS):
    """The same of our program."""
    return [json.loads(subprocess.run([program, BODIES, str(size)], check=True, stdout=subprocess.PIPE).stdout)
            for size in sizes]


def uncertainty(fine, middle, coarse):
    """The change from grid to grid, or a quarter (order 2) of the one before if a place made it small by chance."""
    return max(abs(fine - middle), abs(middle - coarse) / 4)


def compare(own, other):
    """A row for each body, place and quantity."""
    rows = []
    for body, places in own[0].items():
        largest = {stress: max(abs(v) for p in places.values() for q, v in p.items() if (q in STRESSES) == stress)
                   for stress in (True, False)}
        for place, quantities in places.items():
            for name in quantities:
                a, b = ([float(run[body][place][name]) for run in runs] for runs in (own, other))
                mine, theirs = uncertainty(*a) + ROUNDING * largest[name in STRESSES], uncertainty(*b)
                rows.append({"check": body, "quantity": name, "place": place, "ours": a[0], "peer": b[0],
                             "difference": a[0] - b[0], "limit": mine + theirs, "our_uncertainty": mine,
                             "peer_uncertainty": theirs,
                             "verdict": "pass" if abs(a[0] - b[0]) <= mine + theirs else "miss"})
    return rows


def show(rows):
    for r in rows:
        stress = r["quantity"] in STRESSES
        by, unit = (1e-6, "MPa") if stress else (1e6, "um")
        print(f"{r['check']:14}{r['place']:21} {r['quantity'] + ' [' + unit + ']':20}{by * r['ours']:11.4f}"
              f"{by * r['peer']:11.4f}{by * r['difference']:9.4f}{by * r['limit']:9.4f}"
              + ("" if r["verdict"] == "pass" else "  <- miss"))


def check(program):
    """Rows, and how many of them miss when the peer's blocks grow 1 % too much."""
    start = time.process_time()
    right = peer()
    cpu = time.process_time() - start
    own = ours(program)
    rows = compare(own, right)
    show(rows)
    wrong = [r for r in compare(own, peer(1.01)) if r["check"] == "heated stack" and r["verdict"] == "miss"]
    print(f"   peer, elastic bodies: {cpu:.0f} s of CPU", flush=True)
    return rows, len(wrong)
