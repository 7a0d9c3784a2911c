#!/usr/bin/python3
"""Result files opened by readers that know nothing of joulepress: h5py, h5ls and h5dump, python3-vtk9, meshio.

usage: readers.py PROGRAM CASES {files | strength | solids | names | killed}
"""
import csv
import json
import math
import random
import signal
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree as tree
from pathlib import Path

import h5py
import meshio
import numpy as np
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonDataModel import VTK_HEXAHEDRON, VTK_WEDGE
from vtkmodules.vtkIOXML import vtkXMLUnstructuredGridReader

FIELDS = {
    "temperature": "temperature_K",
    "electric_potential": "electric_potential_V",
    "current_density": "current_density_A_m2",
    "joule_heat": "joule_heat_W_m3",
    "heat_flux": "heat_flux_W_m2",
    "relative_density": "relative_density",
}


def check(condition, what):
    if not condition:
        sys.exit(f"FAILED: {what}")


def run(program, case, folder, *more):
    subprocess.run([program, "run", case, "--out", folder, "--quiet", *more], check=True, stdout=subprocess.DEVNULL)


def read_vtu(path):
    reader = vtkXMLUnstructuredGridReader()
    reader.SetFileName(str(path))
    reader.Update()
    return reader.GetOutput()


def series(folder, listing="fields.pvd"):
    """(time, file) of a .pvd."""
    entries = tree.parse(folder / listing).getroot().findall("./Collection/DataSet")
    return [(float(e.get("timestep")), folder / e.get("file")) for e in entries]


def check_volumes(h5):
    """Parts of cases/alumina-20mm.yaml in millimetres, volumes by hand."""
    names = [name.decode() for name in h5["/mesh/part_names"]]
    volume, part = h5["/mesh/volume"][:], h5["/mesh/part"][:]
    by_part = {name: volume[part == k].sum() for k, name in enumerate(names)}
    expected = {
        "lower spacer": math.pi * 40**2 * 40e-9,
        "upper spacer": math.pi * 40**2 * 40e-9,
        "lower step spacer": math.pi * 20**2 * 20e-9,
        "upper step spacer": math.pi * 20**2 * 20e-9,
        "lower punch": math.pi * 10**2 * 25e-9,
        "upper punch": math.pi * 10**2 * 25e-9,
        "powder": 6e-3 / (3984 * 0.55),  # 6 g of alumina, loose as the run begins
        "foil lower punch / powder": math.pi * 10**2 * 0.2e-9,
        "foil powder / upper punch": math.pi * 10**2 * 0.2e-9,
        "foil in bore of die": math.pi * (10.2**2 - 10**2) * 36e-9,
        "die": math.pi * (25**2 - 10.2**2) * 36e-9,
    }
    check(set(by_part) == set(expected), "names of the parts")
    for name, value in expected.items():
        check(abs(by_part[name] / value - 1) < 1e-9, f"volume of {name}: {by_part[name]} against {value} m3")


def check_history(h5, folder):
    with open(folder / "history.csv", newline="") as file:
        table = list(csv.reader(file))
    head, rows = table[0], table[1:]
    check(len(h5["/history"]) == len(head), "as many data sets as columns")
    for k, title in enumerate(head):
        name = title.rsplit(" [", 1)[0].replace("/", "_")
        data = h5["/history"][name]
        column = [row[k] for row in rows]
        if "words" in data.attrs:
            words = [word.decode() for word in data.attrs["words"]]
            check([words[i] for i in data[:]] == column, f"words of {title}")
            continue
        unit = data.attrs["unit"].decode()
        check(title.endswith(f"[{'-' if unit == '1' else unit}]"), f"unit of {title}")
        numbers = np.array([float(text) if text else math.nan for text in column])
        check(np.array_equal(data[:], numbers, equal_nan=True), f"values of {title}")


def check_vtu(path, time, h5, k):
    grid = read_vtu(path)
    light = meshio.read(path)
    points = vtk_to_numpy(grid.GetPoints().GetData())
    quads = vtk_to_numpy(grid.GetCells().GetConnectivityArray()).reshape(-1, 4)
    check(grid.GetFieldData().GetArray("TimeValue").GetValue(0) == time, "TimeValue")
    for number, name in enumerate(h5["/mesh/part_names"]):
        check(grid.GetFieldData().GetArray("part " + name.decode()).GetValue(0) == number, "number of a part")
    corners = points[quads]
    for side, axis, corner in [("r_low", 0, 0), ("r_high", 0, 2), ("z_low", 1, 0), ("z_high", 1, 2)]:
        at = h5["/fields"][side][k] if axis else h5["/mesh"][side][:]  # heights are those of the output
        check(np.array_equal(corners[:, corner, axis], at), f"{side} of the quads")
    check(np.array_equal(light.points, points), "points in meshio")
    check(np.array_equal(light.cells_dict["quad"], quads), "cells in meshio")
    cell_data = grid.GetCellData()
    check(np.array_equal(vtk_to_numpy(cell_data.GetArray("part_id")), h5["/mesh/part"][:]), "part_id")
    for field, name in FIELDS.items():
        expected = h5["/fields"][field][k]
        if expected.ndim == 2:  # r, z, nothing around the axis
            expected = np.column_stack([expected, np.zeros(len(expected))])
        check(np.array_equal(vtk_to_numpy(cell_data.GetArray(name)), expected), f"{name} in VTK")
        check(np.array_equal(light.cell_data[name][0], expected), f"{name} in meshio")
    check(cell_data.GetNumberOfArrays() == len(FIELDS) + 1, "nothing but the fields")


def files(program, cases, folder):
    run(program, cases / "alumina-20mm.yaml", folder)
    for command in (["h5ls", "-r"], ["h5dump", "-d", "/fields/temperature"], ["h5dump", "-H"]):
        done = subprocess.run([*command, folder / "results.h5"], capture_output=True, text=True)
        check(done.returncode == 0 and "temperature" in done.stdout, " ".join(command))
    with h5py.File(folder / "results.h5") as h5:
        check(h5.attrs["format"].decode() == "joulepress.results/1", "format")
        check(h5["/case"][0].decode() == (folder / "resolved_case.yaml").read_text(), "the resolved case")
        check_volumes(h5)
        check_history(h5, folder)
        for field in FIELDS:
            check(len(h5["/fields"][field].attrs["unit"]) > 0, f"unit of {field}")
        listed = series(folder)
        # Ramp of 1325 K at 100 K/min, hold of 300 s, cooling of 300 s.
        corners, twelfths = {0.0, 795.0, 1095.0, 1395.0}, {1395 / 12 * k for k in range(13)}
        check([t for t, _ in listed] == sorted(corners | twelfths), f"output times, {listed}")
        check(list(h5["/fields/time"]) == [t for t, _ in listed], "the same times in both")
        for side in ("z_low", "z_high"):
            off = np.abs(h5["/fields"][side][0] - h5["/mesh"][side][:]).max()
            check(off < 1e-15, f"{side} at the start")  # a mirrored line is a rounding off
            check(h5["/fields"][side].attrs["unit"].decode() == "m", f"unit of {side}")
        for k, (t, path) in enumerate(listed):
            check_vtu(path, t, h5, k)


def axial_force(grid, arrays, inside, height):
    """Of the stresses along z over the quads that a height cuts [N]."""
    corners = vtk_to_numpy(grid.GetPoints().GetData())[vtk_to_numpy(grid.GetCells().GetConnectivityArray()).reshape(-1, 4)]
    cut = inside & (corners[:, 0, 1] <= height) & (height < corners[:, 2, 1])
    check(cut.any(), "quads at a height")
    return (math.pi * (corners[cut, 1, 0] ** 2 - corners[cut, 0, 0] ** 2) * arrays["stress_zz_Pa"][cut]).sum()


def strength(program, cases, folder):
    """Stresses against equilibrium: through the punch goes the force, through die and compact nothing when the column
    is gone; principal stresses against numpy's eigenvalues; and /strength against summary.json."""
    run(program, cases / "alumina-20mm.yaml", folder)
    told = json.loads((folder / "summary.json").read_text())["strength"]
    listed = series(folder, "strength.pvd")
    check([path.name for _, path in listed] == ["strength-worst.vtu", "strength-cold.vtu"], f"files, {listed}")
    check(listed[0][0] == told["worst"]["time_s"], "time of the worst instant")
    check(listed[1][0] == told["instants"][-1]["time_s"] + 1, "the cold one comes after the run")
    for time_s, path in listed:
        grid, light = read_vtu(path), meshio.read(path)
        check(grid.GetFieldData().GetArray("TimeValue").GetValue(0) == time_s, "TimeValue")
        data = grid.GetCellData()
        arrays = {data.GetArrayName(k): vtk_to_numpy(data.GetArray(k)) for k in range(data.GetNumberOfArrays())}
        check(set(arrays) == {"stress_rr_Pa", "stress_zz_Pa", "stress_tt_Pa", "stress_rz_Pa", "principal_largest_Pa",
                              "principal_smallest_Pa", "margin", "part_id"}, f"cell data, {set(arrays)}")
        tensors = np.zeros((grid.GetNumberOfCells(), 3, 3))
        for name, places in {"rr": [(0, 0)], "zz": [(1, 1)], "tt": [(2, 2)], "rz": [(0, 1), (1, 0)]}.items():
            for place in places:
                tensors[:, place[0], place[1]] = arrays[f"stress_{name}_Pa"]
        principal = np.linalg.eigvalsh(tensors)
        check(np.allclose(principal[:, 2], arrays["principal_largest_Pa"], rtol=1e-9, atol=1), "largest principal stress")
        check(np.allclose(principal[:, 0], arrays["principal_smallest_Pa"], rtol=1e-9, atol=1), "smallest principal stress")
        points = vtk_to_numpy(grid.GetPointData().GetArray("displacement_m"))
        check(points.shape == (grid.GetNumberOfPoints(), 3) and np.isfinite(points).all(), "displacements")
        check((points[:, 2] == 0).all() and (light.point_data["displacement_m"] == points).all(), "in meshio")
        part = {name: grid.GetFieldData().GetArray("part " + name).GetValue(0)
                for name in ("upper punch", "die", "powder")}
        at = vtk_to_numpy(grid.GetPoints().GetData())
        on_axis = at[:, 0] == 0
        check(on_axis.any() and np.abs(points[on_axis, 0]).max() < 1e-12, "the axis stays where it is")
        margin, in_tools = arrays["margin"], arrays["part_id"] != part["powder"]
        check(np.isnan(margin[~in_tools]).all(), "no margin of a powder")
        check(np.isfinite(margin[in_tools]).all() and margin[in_tools].max() <= 100, "margins of the tools")
        kelvin = vtk_to_numpy(grid.GetPointData().GetArray("temperature_K"))
        if path.name == "strength-worst.vtu":
            # The report has the Gauss points of the cells, the file the middles of their quads.
            least = np.nanmin(margin)
            check(abs(least / told["margin"] - 1) < 0.05, f"least margin {least}")
            inside = arrays["part_id"] == part["upper punch"]
            cells = vtk_to_numpy(grid.GetCells().GetConnectivityArray()).reshape(-1, 4)[inside]
            heights = at[cells][:, :, 1]
            middle = 0.5 * (heights.min() + heights.max())
            force = -axial_force(grid, arrays, inside, middle + 1e-7)
            check(abs(force / told["worst"]["force_N"] - 1) < 0.005, f"force through the punch {force} N")
        else:
            check(np.ptp(kelvin) < 1e-9, "evenly cold")
            everything = np.ones(len(margin), dtype=bool)
            largest = np.abs(arrays["stress_zz_Pa"]).max()
            check(largest > 1e4, "the grip makes stresses")
            low = at[:, 1].min()
            left = axial_force(grid, arrays, everything, low + 1.1e-3)
            die = math.pi * (25e-3**2 - 10.2e-3**2)
            check(abs(left) < 0.02 * largest * die, f"no force without the column, {left} N")
    with h5py.File(folder / "results.h5") as h5:
        group, instants = h5["/strength"], told["instants"]
        for name, key in {"time": "time_s", "force": "force_N", "side_pressure": "side_pressure_Pa", "grip": "grip_Pa",
                          "least_margin": "margin"}.items():
            numbers = np.array([math.nan if at[key] is None else at[key] for at in instants])
            check(np.array_equal(group[name][:], numbers, equal_nan=True), f"/strength/{name}")
        words = [word.decode() for word in group["load_case"].attrs["words"]]
        check([words[k] for k in group["load_case"][:]] == [at["load_case"] for at in instants], "load cases")
    run(program, cases / "heated-rod.yaml", folder, "--replace")
    check(not list(folder.glob("strength*")), "a run without force leaves none")


def tetrahedron(a, b, c, d):
    return np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a) / 6


def solid_volume(points, cells):
    """Sum over the cells, split into tetrahedra by hand; every cell must be turned as VTK wants it: the first face
    of a brick looks into it, that of a wedge out of it."""
    if cells.shape[1] == 8:
        base, split = (0, 1, 2), [(0, 1, 3, 4), (1, 2, 3, 6), (1, 4, 5, 6), (3, 4, 6, 7), (1, 3, 4, 6)]
    else:
        base, split = (0, 2, 1), [(0, 2, 1, 3), (1, 2, 3, 5), (1, 3, 4, 5)]
    a, b, c = (points[cells[:, k]] for k in base)
    upward = np.einsum("ij,ij->i", np.cross(b - a, c - a), points[cells[:, cells.shape[1] // 2]] - a)
    check((upward > 0).all(), f"orientation of cells with {cells.shape[1]} corners")
    return sum(np.abs(tetrahedron(*(points[cells[:, k]] for k in corners))).sum() for corners in split)


def cells_of(grid, kind, corners):
    """Corners of the cells of one kind, as VTK has them."""
    at = vtk_to_numpy(grid.GetCells().GetOffsetsArray())[:-1][vtk_to_numpy(grid.GetCellTypesArray()) == kind]
    return vtk_to_numpy(grid.GetCells().GetConnectivityArray())[at[:, None] + np.arange(corners)]


def solids(program, cases, folder, sectors=12):
    run(program, cases / "alumina-20mm.yaml", folder, "--revolve", str(sectors))
    _, path = series(folder)[2]
    light, grid = meshio.read(path), read_vtu(path)
    with h5py.File(folder / "results.h5") as h5:
        rings = len(h5["/mesh/volume"])
        check(grid.GetNumberOfCells() == sectors * rings, "cells of all sectors")
        flat = sectors / (2 * math.pi) * math.sin(2 * math.pi / sectors)  # a polygon in place of the circle
        points = vtk_to_numpy(grid.GetPoints().GetData())
        bricks, wedges = cells_of(grid, VTK_HEXAHEDRON, 8), cells_of(grid, VTK_WEDGE, 6)
        check(len(bricks) + len(wedges) == sectors * rings and len(wedges) > 0, "bricks, and wedges at the axis")
        total = solid_volume(points, bricks) + solid_volume(points, wedges)
        check(sum(len(block.data) for block in light.cells) == sectors * rings, "cells in meshio")
        mesh, fields = h5["/mesh"], h5["/fields"]
        rings_volume = (math.pi * (mesh["r_high"][:] ** 2 - mesh["r_low"][:] ** 2)
                        * (fields["z_high"][2] - fields["z_low"][2])).sum()
        check(rings_volume < mesh["volume"][:].sum(), "the powder has lost volume")
        check(abs(total / (flat * rings_volume) - 1) < 1e-9, f"volume of the solids: {total}")
        flux = vtk_to_numpy(grid.GetCellData().GetArray("heat_flux_W_m2")).reshape(sectors, rings, 3)
        plane = h5["/fields/heat_flux"][2]
        for k in range(sectors):
            angle = 2 * math.pi * (k + 0.5) / sectors
            turned = np.column_stack([plane[:, 0] * math.cos(angle), plane[:, 0] * math.sin(angle), plane[:, 1]])
            check(np.allclose(flux[k], turned, rtol=1e-12, atol=1e-9), "vectors turn with their sector")
        hot = vtk_to_numpy(grid.GetCellData().GetArray("temperature_K")).reshape(sectors, rings)
        check((hot == h5["/fields/temperature"][2]).all(), "scalars are those of the plane")


def names(program, cases, folder):
    """A part's name may hold what XML and HDF5 paths use for themselves."""
    name = 'a<b> & "c"/Stößel'
    quoted = '"' + name.replace('"', '\\"') + '"'
    text = (cases / "heated-rod.yaml").read_text()
    check("name: rod" in text and "in: rod" in text, "the case has a rod")
    case = folder / "names.yaml"
    case.write_text(text.replace("name: rod", "name: " + quoted).replace("in: rod", "in: " + quoted))
    run(program, case, folder / "out")
    path = series(folder / "out")[0][1]
    check(meshio.read(path).field_data["part " + name] == [0], "name in meshio")
    check(read_vtu(path).GetFieldData().GetArray("part " + name).GetValue(0) == 0, "name in VTK")
    with h5py.File(folder / "out" / "results.h5") as h5:
        check(h5["/mesh/part_names"][0].decode() == name, "name in HDF5")
        check("joule heat in " + name.replace("/", "_") in h5["/history"], "its column")
        check(h5["/mesh/material_names"][0].decode() == "isotropic graphite", "name of the material")


def killed(program, cases, folder, times=6):
    """At any moment after the first output results.h5.part can be read plainly and holds the first rows."""
    case = folder / "often.yaml"
    text = (cases / "alumina-20mm.yaml").read_text()
    check("\noutput:" not in text, "the case says nothing of output")
    press = (cases / "presses" / "workshop-30kN.yaml").as_posix()
    text = text.replace("presses/workshop-30kN.yaml", press)
    case.write_text(text + "\noutput: {history every: 1 s, fields every: 20 s}\n")
    start = time.monotonic()
    run(program, case, folder / "whole")
    whole_time = time.monotonic() - start
    with h5py.File(folder / "whole" / "results.h5") as h5:
        full = {name: data[:] for name, data in h5["/history"].items()}
        temperature = h5["/fields/temperature"][:]
    seed = random.SystemRandom().randrange(10**6)
    print(f"seed {seed}, whole run {whole_time:.1f} s")
    moments = random.Random(seed)
    rows_seen = []
    for k in range(times):
        out = folder / f"killed-{k}"
        process = subprocess.Popen([program, "run", case, "--out", out, "--quiet"], stdout=subprocess.DEVNULL)
        while not (out / "results.h5.part").exists():
            time.sleep(0.002)
        time.sleep(moments.uniform(0, 0.8 * whole_time))
        process.send_signal(signal.SIGKILL)
        process.wait()
        if (out / "results.h5").exists():  # the march was over already: this machine's speed varies
            continue
        check(not (out / "fields.pvd").exists(), "nothing that reads as whole")
        part = out / "results.h5.part"
        check(subprocess.run(["h5dump", "-H", part], capture_output=True).returncode == 0, "h5dump of the part")
        with h5py.File(part) as h5:
            rows = len(h5["/history/time"])
            rows_seen.append(rows)
            for name, values in full.items():
                check(np.array_equal(h5["/history"][name][:], values[:rows], equal_nan=True), f"first rows of {name}")
            fields = h5["/fields/temperature"][:]
            check(np.array_equal(fields, temperature[: len(fields)]), "first fields")
        for vtu in (out / "fields").glob("*.vtu"):
            check(read_vtu(vtu).GetNumberOfCells() == temperature.shape[1], f"{vtu.name} is whole")
    run(program, cases / "heated-rod.yaml", out)  # another run takes the folder over: nothing is left of this one
    left = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    own = {"summary.json", "history.csv", "results.h5", "fields.pvd", "report.html", "resolved_case.yaml",
           "timing.json"}
    check(left == own | {path.relative_to(out).as_posix() for _, path in series(out)}, f"only new files: {left}")
    print("rows in the parts:", rows_seen, "of", len(full["time"]))
    check(2 * len(rows_seen) >= times, "most were killed while they marched")
    check(max(rows_seen) > 1, "something was kept")


if __name__ == "__main__":
    tasks = {"files": files, "strength": strength, "solids": solids, "names": names, "killed": killed}
    with tempfile.TemporaryDirectory(prefix="joulepress-readers-") as scratch:
        tasks[sys.argv[3]](sys.argv[1], Path(sys.argv[2]), Path(scratch))
