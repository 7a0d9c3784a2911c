"""Tip of a sheathed thermocouple by an independent way: the boundary-value problem of solver/stem.hpp on both
sides of the mouth, by fourth-order collocation on an adaptive mesh (scipy.integrate.solve_bvp).

No first integral is used: the fin outside is solved too, over 25 decay lengths of its weakest film.
Prints the rows of tests/solver/test_stem.cpp:  /usr/bin/python3 tests/reference/stem_reference.py
"""
import numpy as np
from scipy.integrate import solve_bvp

SIGMA = 5.670374419e-8  # W/(m2 K4), CODATA 2018

# depth mm, diameter mm, k, e bore, e outside, gas, film outside, contact [W/(m2 K)], material K, ambient K
CASES = [
    (3, 3.0, 10, 0.7, 0.5, 0, 0, 0, 1273.15, 293.15),
    (10, 3.0, 10, 0.7, 0.5, 0, 0, 0, 1273.15, 293.15),
    (5, 1.5, 15, 0.7, 0.5, 0, 0, 0, 873.15, 293.15),
    (15, 1.5, 15, 0.7, 0.5, 0, 0, 0, 873.15, 293.15),
    (1.5, 1.5, 15, 0.7, 0.5, 0, 0, 0, 1673.15, 293.15),
    (11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 400, 298.15),
    (11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 2300, 298.15),
    (3, 3.0, 25, 0.7, 0.5, 0, 0, 0, 3300, 293.15),
    (20, 2.0, 40, 0.9, 0.9, 0, 0, 0, 3300, 250),
    (11, 1.5, 15, 0.7, 0.5, 120, 10, 0, 1273.15, 298.15),
    (6, 3.0, 20, 0.3, 0.8, 40, 15, 0, 700, 298.15),
    (5, 1.5, 15, 0.7, 0.5, 0, 0, 500, 1273.15, 293.15),
    (3, 3.0, 10, 0.7, 0.5, 0, 0, 8000, 1673.15, 293.15),
    (8, 1.5, 15, 0.7, 0.5, 150, 10, 2000, 600, 298.15),
    (11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 250, 298.15),
    (6, 1.5, 15, 0.7, 0.5, 100, 10, 300, 300, 1000),
    (5, 3.0, 15, 0.7, 0.5, 0, 0, 0, 300, 1500),
    (5, 0.25, 100, 0.7, 0.95, 0, 0, 3, 250, 3300),
    (5, 1.0, 5, 0.1, 0.95, 0, 0, 3, 3300, 250),
]


def tip(depth_mm, diameter_mm, k, e_bore, e_out, gas, film, contact, material, ambient):
    depth, span = 1e-3 * depth_mm, material - ambient
    per_film = 4 / (k * 1e-3 * diameter_mm)
    decay = np.sqrt(per_film * (4 * e_out * SIGMA * ambient**3 + film))  # of the fin far outside
    slowest = min(decay, np.sqrt(per_film * (4 * e_out * SIGMA * min(material, ambient)**3 + film)))
    outer = 25 / slowest
    steep = 1 / np.sqrt(per_film * (4 * e_bore * SIGMA * max(material, ambient)**3 + gas))  # unit of length

    # On xi from 0 to 1: t = (Tm - T)/span in the bore with dt = steep t', w = (T - Ta)/span outside with
    # dw = steep w'; there x = outer xi^3, as the fin is steepest at the mouth.
    def equations(xi, y):
        t, dt, w, dw = y
        stretch = 3 * outer * xi**2
        T, U = material - span * t, ambient + span * w
        bore = per_film * (e_bore * SIGMA * (material**4 - T**4) / span + gas * t)
        outside = per_film * (e_out * SIGMA * (U**4 - ambient**4) / span + film * w)
        return np.array([depth / steep * dt, depth * steep * bore,
                         stretch / steep * dw, stretch * steep * outside])

    def ends(at_0, at_1):
        return np.array([at_0[1] - contact * steep / k * at_0[0], at_1[0] + at_0[2] - 1, at_1[1] + at_0[3],
                         at_1[3] + decay * steep * at_1[2]])

    xi = np.linspace(0, 1, 401)
    far = 0.7 * np.exp(-25 * xi**3)
    start = np.array([0.3 * xi**2, 0.6 * steep / depth * xi, far, -25 * steep / outer * far])
    found = solve_bvp(equations, ends, xi, start, tol=1e-7, max_nodes=200000)
    assert found.success, (material, ambient, found.message)
    return material - span * found.y[0, 0]


if __name__ == "__main__":
    for case in CASES:
        numbers = ", ".join(f"{x:.6g}" for x in case)
        print(f"{{{numbers}, {tip(*case):.4f}}},")
