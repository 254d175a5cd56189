"""Least costs of cutting-stock problems in whole numbers, by OR-Tools CP-SAT over all full patterns."""

import json
import sys

from ortools.sat.python import cp_model


def full_patterns(sizes, counts, room, kerf):
    """Every way to fill a room that leaves no place for a piece that is needed."""
    found = []

    def fill(index, free, taken):
        if index == len(sizes):
            fits = any(t < c and s + kerf <= free for t, c, s in zip(taken, counts, sizes))
            if any(taken) and not fits:
                found.append(tuple(taken))
            return
        for n in range(min(counts[index], free // (sizes[index] + kerf)) + 1):
            fill(index + 1, free - n * (sizes[index] + kerf), taken + [n])

    fill(0, room + kerf, [])
    return found


def least(problem):
    counts = problem["counts"]
    model = cp_model.CpModel()
    given = [[] for _ in counts]
    cost = []
    for length, price in problem["stock"]:
        for pattern in full_patterns(problem["sizes"], counts, length, problem["kerf"]):
            times = model.new_int_var(0, sum(counts), "")
            cost.append(price * times)
            for index, n in enumerate(pattern):
                given[index].append(n * times)
    for index, count in enumerate(counts):
        model.add(sum(given[index]) >= count)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    # Counted work, not time, so that the answer is the same on every machine.
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 2.0
    status = solver.solve(model)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


json.dump([least(problem) for problem in json.load(sys.stdin)], sys.stdout)
