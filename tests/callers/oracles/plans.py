"""Areas and outlines of lines given a width, with mitred corners and flat ends, and their left sides, by shapely."""

import json
import sys

from shapely.geometry import LineString

plans = json.load(sys.stdin)
how = {"join_style": "mitre", "mitre_limit": 50}
shapes, lefts = [], []
for plan in plans:
    line, half = LineString(plan["spots"]), plan["width"] / 2
    shapes.append(line.buffer(half, cap_style="flat", **how))
    lefts.append(line.offset_curve(half, **how).length)
areas, sides = [shape.area for shape in shapes], [shape.length for shape in shapes]
json.dump({"areas": areas, "sides": sides, "lefts": lefts}, sys.stdout)
