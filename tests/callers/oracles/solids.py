"""Volumes of convex solids, each the hull of its corners in cubic metres, by trimesh."""

import json
import sys

import trimesh

solids = json.load(sys.stdin)
volumes = [float(trimesh.convex.convex_hull(corners).volume) for corners in solids]
json.dump(volumes, sys.stdout)
