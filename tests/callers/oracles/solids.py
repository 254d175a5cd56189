"""Volumes of solids, each the sum of convex bodies given by their corners in metres, by trimesh."""

import json
import sys

import trimesh

solids = json.load(sys.stdin)
volumes = [
    sum(float(trimesh.convex.convex_hull(corners).volume) for corners in bodies)
    for bodies in solids
]
json.dump(volumes, sys.stdout)
