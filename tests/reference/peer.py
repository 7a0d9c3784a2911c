"""The same stack with continuous biquadratic finite elements (dolfinx), written apart from our solver.

    current   integral (1/rho) grad psi . grad v r = 0, psi = 0 at mid-height, 1 at the end of the column
    heat      integral (dh/dt v + K grad T . grad v - (1/rho) |grad phi|^2 v) r + surface terms = 0
Properties are taken at the nodes of every element.  Newton on T with psi and radiosity solved afresh each time:
    radiosity J_i = e_i E_i + (1 - e_i) G_i,  G_i = sum_j F_ij J_j + F_i0 s Tc^4 the irradiation (rays.py)
E_i is the mean of s T^4 over a facet of the mesh and takes all places on it alike.  The time scheme is
Alexander's three-stage SDIRK of order 3 (SIAM J. Numer. Anal. 14 (1977) 1006), L-stable.  A joint is a layer
0.1 um thick that conducts only across, without heat capacity: k = thickness (h + 4 s f T^3) gives it exactly the
flux h (x - y) + s f (x^4 - y^4) and half of its Joule heat to each side.
"""
import dolfinx
import dolfinx.fem.petsc
import numpy as np
import ufl
from dolfinx import fem
from mpi4py import MPI
from petsc4py import PETSc

from rays import BOTTOM, INNER, OUTER, TOP, Facets
from stack import SIGMA, Touch

GAMMA = 0.435866521508459
A = np.array([[GAMMA, 0, 0], [(1 - GAMMA) / 2, GAMMA, 0],
              [-(6 * GAMMA**2 - 16 * GAMMA + 1) / 4, (6 * GAMMA**2 - 20 * GAMMA + 5) / 4, GAMMA]])
DEGREE = 6  # of the quadrature


def lines(breaks, fine_at, smallest, growth):
    """Halves the stretches between breaks until cells are smaller than smallest + growth x distance to fine_at."""
    fine_at, out = np.array(fine_at), [breaks[0]]

    def split(a, b):
        nearest = np.min(np.maximum(np.maximum(fine_at - b, a - fine_at), 0.0))
        if b - a > smallest + growth * nearest:
            split(a, 0.5 * (a + b))
            split(0.5 * (a + b), b)
        else:
            out.append(b)

    for a, b in zip(breaks, breaks[1:]):
        split(a, b) if b - a > 1e-6 else out.append(b)
    return np.array(out)


def distinct(values):
    values = sorted(values)
    return [v for k, v in enumerate(values) if k == 0 or v - values[k - 1] > 1e-9]


class Peer:
    def __init__(self, stack, smallest, growth, rays, seed):
        self.stack = stack
        inside = [b for b in stack.boxes if b.name != "joint"]
        r_marks = [x for b in inside for x in (b.r0, b.r1) if x > 0]
        z_marks = [x for b in inside for x in (b.z0, b.z1) if 0 < x < stack.height]
        points = list(stack.points.values())
        self._build_mesh(lines(distinct([b.r0 for b in stack.boxes] + r_marks + [p[0] for p in points]),
                               [x for x in r_marks if x < stack.fine_to], smallest, growth),
                         lines(distinct([b.z0 for b in stack.boxes] + z_marks + [stack.height]
                                        + [p[1] for p in points]), z_marks, smallest, growth))
        self._build_spaces()
        tags = self._build_surfaces()
        self._build_forms(tags)
        self._build_radiosity(rays, seed)

    def _build_mesh(self, r, z):
        rm, zm = 0.5 * (r[1:] + r[:-1]), 0.5 * (z[1:] + z[:-1])
        owner = -np.ones((len(zm), len(rm)), int)
        for k, b in enumerate(self.stack.boxes):
            owner[np.ix_((zm > b.z0) & (zm < b.z1), (rm > b.r0) & (rm < b.r1))] = k
        j, i = np.nonzero(owner >= 0)
        corner = lambda di, dj: (j + dj) * len(r) + i + di
        cells = np.stack([corner(0, 0), corner(1, 0), corner(0, 1), corner(1, 1)], axis=1)
        used, cells = np.unique(cells, return_inverse=True)
        nodes = np.stack([r[used % len(r)], z[used // len(r)]], axis=1)
        self.mesh = dolfinx.mesh.create_mesh(MPI.COMM_SELF, cells.reshape(-1, 4), nodes,
                                             ufl.Mesh(ufl.VectorElement("Lagrange", "quadrilateral", 1)))
        self.owner = owner[j, i][self.mesh.topology.original_cell_index]

    def _build_spaces(self):
        self.V = fem.FunctionSpace(self.mesh, ("Lagrange", 2))
        W = fem.FunctionSpace(self.mesh, ("DQ", 2))  # properties: the same nodes, cell by cell
        self.nodes, self.into = (X.dofmap.list.array.reshape(len(self.owner), -1) for X in (self.V, W))
        self.T, self.psi = fem.Function(self.V), fem.Function(self.V)
        self.of = {n: fem.Function(W) for n in ("kr", "kz", "dkr", "dkz", "sr", "sz", "c", "h", "h0")}
        self.x = self.V.tabulate_dof_coordinates()[:, :2]
        self.probe = {n: int(np.argmin(np.hypot(*(self.x - p).T))) for n, p in self.stack.points.items()}
        assert all(np.hypot(*(self.x[self.probe[n]] - p)) < 1e-9 for n, p in self.stack.points.items())
        self.T.x.array[:] = self.stack.chamber

    def _build_surfaces(self):
        """Tags: 0 to 3 open and where it looks, 4 the cooled end, 5 mid-height of the powder, 6 the rest."""
        stack, topology = self.stack, self.mesh.topology
        topology.create_connectivity(1, 2)
        facets = np.sort(dolfinx.mesh.exterior_facet_indices(topology))
        cells = np.array([topology.connectivity(1, 2).links(f)[0] for f in facets])
        r, z = dolfinx.mesh.compute_midpoints(self.mesh, 1, facets)[:, :2].T
        corners = self.x[self.nodes[cells]]
        (r_low, z_low), (r_high, z_high) = corners.min(axis=1).T, corners.max(axis=1).T
        tag = np.select([abs(r - r_high) < 1e-12, abs(r - r_low) < 1e-12, abs(z - z_high) < 1e-12],
                        [OUTER, INNER, TOP], BOTTOM).astype(np.int32)
        tag[(r < 1e-12) | (z < 1e-12)] = 6
        tag[z > stack.height - 1e-12] = 4
        tag[(z < 1e-12) & (r < stack.powder_radius)] = 5
        seen = tag < 4
        self.facet_cells, self.facet_looks = cells[seen], tag[seen]
        upright = tag <= INNER
        self.facets = Facets(tag[seen], *(np.where(upright, a, b)[seen]
                                          for a, b in ((r, z), (z_low, r_low), (z_high, r_high))))
        return dolfinx.mesh.meshtags(self.mesh, 1, facets, tag)

    def _build_forms(self, tags):
        mesh, stack, of = self.mesh, self.stack, self.of
        T, psi, v, u = self.T, self.psi, ufl.TestFunction(self.V), ufl.TrialFunction(self.V)
        r = ufl.SpatialCoordinate(mesh)[0]
        dx = ufl.Measure("dx", mesh, metadata={"quadrature_degree": DEGREE})
        ds = ufl.Measure("ds", mesh, subdomain_data=tags, metadata={"quadrature_degree": 2 * DEGREE})
        e = fem.Function(fem.FunctionSpace(mesh, ("DQ", 0)))
        e.x.array[:] = [stack.boxes[k].solid.emissivity for k in self.owner]
        self.heat_scale, self.per_dt = (fem.Constant(mesh, PETSc.ScalarType(0.0)) for _ in range(2))
        flow = lambda kr, kz, f, w: kr * f.dx(0) * w.dx(0) + kz * f.dx(1) * w.dx(1)
        self.G_on = [fem.Function(e.function_space) for _ in range(4)]  # irradiation of facets that look there
        F = r * (self.heat_scale * flow(of["sr"], of["sz"], psi, psi) * v - flow(of["kr"], of["kz"], T, v)) * dx
        F -= r * stack.film * (T - stack.water) * v * ds(4)
        J = r * (self.per_dt * of["c"] * u * v + flow(of["kr"], of["kz"], u, v)) * dx
        J += r * u * flow(of["dkr"], of["dkz"], T, v) * dx
        J += r * stack.film * u * v * ds(4)
        for looks, G in enumerate(self.G_on):
            F -= r * e * (SIGMA * T**4 - G) * v * ds(looks)
            J += r * e * 4 * SIGMA * T**3 * u * v * ds(looks)
        powder = fem.Function(e.function_space)
        powder.x.array[:] = [stack.boxes[k].name == "powder" for k in self.owner]
        form, w = fem.form, ufl.TestFunction(e.function_space)
        self.sent = [form(2 * np.pi * r * SIGMA * T**4 * w * ds(looks)) for looks in range(4)]
        self.F, self.J, self.stored = form(F), form(J), form(r * (of["h"] - of["h0"]) * v * dx)
        self.E = form(r * flow(of["sr"], of["sz"], u, v) * dx)
        self.zero = form(fem.Constant(mesh, PETSc.ScalarType(0.0)) * v * dx)
        self.half_conductance = form(2 * np.pi * r * flow(of["sr"], of["sz"], psi, psi) * dx)
        self.through_powder = form(2 * np.pi * r * of["sz"] * psi.dx(1) * ds(5))
        self.powder_heat, self.powder_volume = form(r * T * powder * dx), form(r * powder * dx)
        ends = [(0.0, 0.0), (stack.height, 1.0)]
        on = lambda z: np.nonzero(abs(self.x[:, 1] - z) < 1e-9)[0].astype(np.int32)
        self.poles = [fem.dirichletbc(PETSc.ScalarType(value), on(z), self.V) for z, value in ends]
        self.solvers = {}

    def _build_radiosity(self, rays, seed):
        """Irradiation = here @ E + chamber, all in W/m2."""
        F, outside = self.facets.shares(rays, seed)
        e = np.array([self.stack.boxes[k].solid.emissivity for k in self.owner[self.facet_cells]])
        J = np.linalg.inv(np.eye(len(e)) - (1 - e)[:, None] * F)
        G0 = outside * SIGMA * self.stack.chamber**4
        self.from_facets, self.from_chamber = F @ (J * e), F @ J @ ((1 - e) * G0) + G0

    def _set_irradiation(self):
        sent = np.array([fem.petsc.assemble_vector(f).array for f in self.sent])
        E = sent[self.facet_looks, self.facet_cells] / self.facets.area
        G = self.from_facets @ E + self.from_chamber
        for looks in range(4):
            on = self.facet_looks == looks
            self.G_on[looks].x.array[self.facet_cells[on]] = G[on]

    def _solve(self, name, form, b, bcs=()):
        """x of form x = b by a direct factor; the ordering is found once."""
        if name not in self.solvers:
            matrix, solver = fem.petsc.create_matrix(form), PETSc.KSP().create(MPI.COMM_SELF)
            solver.setType("preonly")
            solver.getPC().setType("lu")
            self.solvers[name] = (matrix, solver)
        matrix, solver = self.solvers[name]
        matrix.zeroEntries()
        fem.petsc.assemble_matrix(matrix, form, list(bcs))
        matrix.assemble()
        solver.setOperators(matrix)
        x = b.duplicate()
        solver.solve(b, x)
        return x.array

    def _set_properties(self):
        """All properties, and the irradiation, at the temperature T."""
        values = {n: np.empty(self.nodes.shape) for n in self.of}
        for k, box in enumerate(self.stack.boxes):
            cells = np.nonzero(self.owner == k)[0]
            T, s, thin = self.T.x.array[self.nodes[cells]], box.solid, self.stack.thin
            for axis in (0, 1):
                name = "rz"[axis]
                if isinstance(s, Touch):
                    on = thin if axis == box.across else 0.0
                    k_, dk = on * (s.h + 4 * SIGMA * s.exchange * T**3), on * 12 * SIGMA * s.exchange * T**2
                    rho = s.r / on if on else np.inf
                else:
                    across = axis == box.across and s.k_across
                    k_, dk, _ = (s.k_across if across else s.k)(T)
                    rho = (s.rho_across if across else s.rho)(T)[0]
                values["k" + name][cells], values["dk" + name][cells] = k_, dk
                values["s" + name][cells] = 1.0 / rho
            if isinstance(s, Touch):
                values["c"][cells] = values["h"][cells] = 0.0
            else:
                values["c"][cells], _, values["h"][cells] = s.capacity(T)
        for name in set(self.of) - {"h0"}:
            self.of[name].x.array[self.into] = values[name]
        self._set_irradiation()

    def _set_potential(self):
        b = fem.petsc.assemble_vector(self.zero)
        fem.petsc.apply_lifting(b, [self.E], [self.poles])
        fem.petsc.set_bc(b, self.poles)
        self.psi.x.array[:] = self._solve("psi", self.E, b, self.poles)
        self.G = fem.assemble_scalar(self.half_conductance)

    def _stage(self, before, current, dt):
        """Solves (h - h0) / (GAMMA dt) = F + before for T; returns F, as the change of h has it."""
        self.per_dt.value = 1.0 / (GAMMA * dt)
        change = left = np.inf
        for _ in range(100):
            self._set_properties()
            stored = fem.petsc.assemble_vector(self.stored)
            stored.scale(1.0 / (GAMMA * dt))
            stored.axpy(-1.0, before)
            if left < 1e-3:
                return stored
            self._set_potential()
            self.heat_scale.value = (current / self.G)**2
            b = fem.petsc.assemble_vector(self.F)
            b.axpy(-1.0, stored)
            step = self._solve("T", self.J, b)
            self.T.x.array[:] += step
            before_that, change = change, np.max(np.abs(step))
            ratio = change / before_that  # the irradiation lags: the rest is a geometric series
            left = change * ratio / (1 - ratio) if 0 < ratio < 1 else change
        raise RuntimeError("Newton does not converge")

    def run(self, first, largest, report):
        """Marches to the end; report(time) at the end of each segment.  Steps grow from `first` to `largest` [s]."""
        self._set_properties()
        for start, end, I0, I1 in self.stack.segments:
            steps = [first]
            while sum(steps) < end - start:
                steps.append(min(1.5 * steps[-1], largest))
            t = start
            for dt in np.array(steps) * (end - start) / sum(steps):
                self.of["h0"].x.array[:] = self.of["h"].x.array
                F = []
                for i in range(3):
                    before = fem.petsc.assemble_vector(self.zero)
                    for j in range(i):
                        before.axpy(A[i, j] / GAMMA, F[j])
                    at = (t + A[i].sum() * dt - start) / (end - start)
                    F.append(self._stage(before, I0 + at * (I1 - I0), dt))
                t += dt
            self._set_potential()
            report(round(t, 6), self.values(I1))

    def values(self, current):
        out = {n: self.T.x.array[k] for n, k in self.probe.items()}
        volume = fem.assemble_scalar(self.powder_volume)
        if volume > 0:
            out["powder mean"] = fem.assemble_scalar(self.powder_heat) / volume
        if current > 0:
            out["voltage"], out["resistance"] = 2 * current / self.G, 2 / self.G
            out["share of current in powder"] = fem.assemble_scalar(self.through_powder) / self.G
        return out
