"""Shortest stay of a party that may be moved between steps at any moment, by a mixed-integer programme.

A model of its own: time is cut where a step ends, one step a stage, and within a stage people are shared
in any parts. Where a step takes one person or more this is the true optimum (within a stage, steps can be
wrapped around the people one after the other); where it takes two, it is no more than the optimum.
"""

import json
import sys

from ortools.linear_solver import pywraplp


def least(case):
    """The fewest hours."""
    people, finishers, steps = case["people"], case["finishers"], case["steps"]
    solver = pywraplp.Solver.CreateSolver("SCIP")
    stages = range(len(steps))
    length = [solver.NumVar(0, solver.infinity(), "") for _ in stages]
    ends = [[solver.BoolVar("") for _ in stages] for _ in steps]
    work = [[solver.NumVar(0, step["hours"], "") for _ in stages] for step in steps]
    for stage in stages:
        solver.Add(sum(row[stage] for row in ends) == 1)
        solver.Add(sum(row[stage] for row in work) <= people * length[stage])
        skilled = [
            row[stage] * (1 / min(step["most"], people))
            for row, step in zip(work, steps)
            if step["finisher"]
        ]
        if skilled:
            solver.Add(sum(skilled) <= finishers * length[stage])
    for number, step in enumerate(steps):
        solver.Add(sum(ends[number]) == 1)
        solver.Add(sum(work[number]) == step["hours"])
        for stage in stages:
            over = sum(ends[number][:stage])
            solver.Add(work[number][stage] <= step["hours"] * (1 - over))
            shared = min(step["most"], people) * length[stage]
            solver.Add(work[number][stage] <= shared)
            for before in step["after"]:
                done = sum(ends[before][:stage])
                solver.Add(work[number][stage] <= step["hours"] * done)
    solver.Minimize(sum(length))
    assert solver.Solve() == pywraplp.Solver.OPTIMAL
    return solver.Objective().Value()


json.dump([least(case) for case in json.load(sys.stdin)], sys.stdout)
