"""Surveys of random ramps, reduced by numpy, scipy and trimesh.

Run as `python3 make.py` in this folder; needs numpy, scipy and trimesh. The seed is fixed, so that the
tables come out as they are. Lengths are metres. Lists in a cell are parted by blanks.
"""

import csv
import itertools

import numpy
import scipy.spatial
import scipy.stats
import trimesh

RANDOM = numpy.random.default_rng(20260504)
CASES = 60


def text(value):
    if numpy.isscalar(value):
        return repr(float(value))
    return " ".join(repr(float(one)) for one in numpy.ravel(value))


def write(name, heading, rows):
    with open(name, "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(heading)
        for row in rows:
            table.writerow([text(cell) for cell in row])


def ramp_line():
    """Places along a run and heights that wander about its slope."""
    count = RANDOM.integers(3, 30)
    x = numpy.sort(RANDOM.uniform(0, 9, count))
    slope = RANDOM.uniform(-0.1, 0.1)
    return x, 30 + slope * x + RANDOM.normal(0, 0.004, count)


def lines():
    for _ in range(CASES):
        x, z = ramp_line()
        fit = scipy.stats.linregress(x, z)
        steady = scipy.stats.theilslopes(z, x, method="joint")
        spread = numpy.var(x) * len(x)
        yield x, z, fit.slope, fit.intercept, spread, steady.slope, steady.intercept


def planes():
    for _ in range(CASES):
        count = RANDOM.integers(4, 25)
        x, y = RANDOM.uniform(0, 2, (2, count))
        z = 2 + RANDOM.uniform(-0.03, 0.03) * x + RANDOM.uniform(-0.03, 0.03) * y
        z += RANDOM.normal(0, 0.003, count)
        design = numpy.column_stack([x, y, numpy.ones(count)])
        (along, across, height), *_ = numpy.linalg.lstsq(design, z, rcond=None)
        centred = numpy.column_stack([x - x.mean(), y - y.mean()])
        weakest = numpy.linalg.svd(centred, compute_uv=False).min()
        yield x, y, z, along, across, height, numpy.hypot(along, across), 1 / weakest


def chords(x, z, length):
    """The widest gap at each place below the chord of any two places within a straightedge."""
    gaps = numpy.zeros(len(x))
    for a, b in itertools.combinations(range(len(x)), 2):
        if x[b] - x[a] <= length:
            between = numpy.arange(a + 1, b)
            chord = z[a] + (z[b] - z[a]) * (x[between] - x[a]) / (x[b] - x[a])
            gaps[between] = numpy.maximum(gaps[between], chord - z[between])
    return gaps


def under_hull(x, z):
    """The same with one straightedge over all, by the convex hull."""
    hull = scipy.spatial.ConvexHull(numpy.column_stack([x, z])).vertices
    sag = numpy.interp(x, [x[0], x[-1]], [z[0], z[-1]])
    upper = sorted(v for v in hull if z[v] >= sag[v] - 1e-12)
    return numpy.interp(x, x[upper], z[upper]) - z


def gaps():
    for case in range(CASES):
        x, z = ramp_line()
        length = 20.0 if case % 3 == 0 else RANDOM.uniform(1, 4)
        found = chords(x, z, length)
        if length == 20.0:
            assert numpy.allclose(found, under_hull(x, z), atol=1e-12)
        yield x, z, length, found


def solid(x, y, depth, flip):
    """Volume of a closed body under a grid of depths, each patch parted along one diagonal."""
    rows, columns = len(x), len(y)
    top = [(x[i], y[j], depth[i, j]) for i in range(rows) for j in range(columns)]
    bottom = [(px, py, 0.0) for px, py, _ in top]
    at = lambda i, j: i * columns + j
    faces = []
    for i, j in itertools.product(range(rows - 1), range(columns - 1)):
        a, b, c, d = at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)
        faces += [(a, b, d), (b, c, d)] if flip else [(a, b, c), (a, c, d)]
    under = [(f[0] + len(top), f[2] + len(top), f[1] + len(top)) for f in faces]
    rim = [at(i, 0) for i in range(rows)] + [at(rows - 1, j) for j in range(1, columns)]
    rim += [at(i, columns - 1) for i in range(rows - 2, -1, -1)]
    rim += [at(0, j) for j in range(columns - 2, 0, -1)]
    walls = []
    for a, b in zip(rim, rim[1:] + rim[:1]):
        walls += [(a, a + len(top), b + len(top)), (a, b + len(top), b)]
    mesh = trimesh.Trimesh(top + bottom, faces + under + walls, process=False)
    assert mesh.is_watertight
    return abs(mesh.volume)


def volumes():
    for _ in range(CASES):
        x = numpy.concatenate([[0], numpy.cumsum(RANDOM.uniform(0.2, 2, RANDOM.integers(1, 6)))])
        y = numpy.concatenate([[0], numpy.cumsum(RANDOM.uniform(0.2, 0.8, RANDOM.integers(1, 4)))])
        depth = RANDOM.normal(0.127, 0.01, (len(x), len(y)))
        # The mean of both diagonals is the volume under bilinear patches.
        both = (solid(x, y, depth, False) + solid(x, y, depth, True)) / 2
        again = numpy.trapezoid(numpy.trapezoid(depth, y, axis=1), x)
        assert abs(both - again) < 1e-12
        yield x, y, depth, both


def ponds():
    for _ in range(CASES):
        rows, columns = RANDOM.integers(3, 7, 2)
        z = RANDOM.normal(0, 0.004, (rows, columns))
        water = numpy.full((rows, columns), numpy.inf)
        water[[0, -1], :] = z[[0, -1], :]
        water[:, [0, -1]] = z[:, [0, -1]]
        for _ in range(rows * columns):
            wide = numpy.pad(water, 1, constant_values=numpy.inf)
            views = numpy.lib.stride_tricks.sliding_window_view(wide, (3, 3))
            water = numpy.minimum(water, numpy.maximum(z, views.min(axis=(2, 3))))
        yield numpy.arange(rows) * 0.5, numpy.arange(columns) * 0.4, z, (water - z).max()


if __name__ == "__main__":
    write("lines.csv", ["x", "z", "slope", "height", "spread", "steady", "steady_height"], lines())
    write("planes.csv", ["x", "y", "z", "along", "across", "height", "steepest", "weakest"], planes())
    write("gaps.csv", ["x", "z", "length", "gaps"], gaps())
    write("volumes.csv", ["x", "y", "depth", "volume"], volumes())
    write("ponds.csv", ["x", "y", "z", "depth"], ponds())
