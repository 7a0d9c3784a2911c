"""Reads rings.yaml into what the peer needs: plates, posts and rings in a hot chamber, no powder and no current.

The stack is symmetric about the middle of the column; z is counted from there and only the upper half is kept.
Felt touches freely; what else touches is a sleeve on the part that it is centred on.
"""
import math
from pathlib import Path

import yaml

from stack import Box, Solid, Touch, exchange, si


class Rings:
    thin = 1e-7          # m, of a joint
    powder_radius = 0.0  # there is none
    fine_to = math.inf

    def __init__(self, path, e_factor=1.0):
        case = yaml.safe_load(Path(path).read_text())
        solids = {name: Solid(name) for name in ("isotropic graphite", "carbon felt")}
        for solid in solids.values():
            solid.emissivity *= e_factor
        column = case["column"]
        middle, self.boxes, z = len(column) // 2, [], 0.0
        for part in column[middle:]:
            height = si(part["height"]) / (1 if z else 2)
            self.boxes.append(Box(part["name"], solids[part["material"]], 0, si(part["diameter"]) / 2, z, z + height))
            z += height
        self.height = z
        core = self.boxes[0]
        for sleeve in case["sleeves"]:
            assert sleeve["centre on"] == core.name and si(sleeve["inner diameter"]) / 2 == core.r1
            solid = solids[sleeve["material"]]
            joint = Touch(1320.0, 1.3e-7, exchange(solid, core.solid))  # the lateral total: nothing lines it
            self.boxes += [Box("joint", joint, core.r1, core.r1 + self.thin, 0, core.z1, 0),
                           Box(sleeve["name"], solid, core.r1 + self.thin, si(sleeve["outer diameter"]) / 2, 0,
                               si(sleeve["height"]) / 2)]
        self.chamber = si(case["surroundings"]["chamber"])
        self.film, self.water = (si(case["press"]["column ends"][x]) for x in ("film", "water"))
        self.points = {}
        for sensor in case["sensors"]:
            part = next(b for b in self.boxes if b.name == sensor["in"])
            whole = 2 * part.z1 if part.z0 == 0 else part.z1 - part.z0
            above = whole / 2 if sensor.get("height", "middle") == "middle" else si(sensor["height"])
            self.points[sensor["name"]] = (max(0.0, part.r1 - si(sensor["depth"])), part.z1 - whole + above)
        self.segments = [(0.0, si(case["programme"]["temperature"][0]["hold"]), 0.0, 0.0)]
