"""Least cost and fewest loads of shared ready-mix loads, by CP-SAT (OR-tools).

A model of its own: trucks are circuits over the pours, times are variables of the pours, and nothing is
enumerated. Whole numbers: minutes, cents, eighths of a yard delivered, quarters of a yard ordered.
"""

import json
import sys

from ortools.sat.python import cp_model

DAY = 24 * 60
DEAREST = 10_000_000


def fees(plant):
    """Cents for a small load, by the quarters ordered; nothing where nothing is."""
    table = [0]
    for quarters in range(1, plant["truck"] * 4 + 1):
        fee = 0
        for below, cents, each in sorted(plant["tiers"], reverse=True):
            if quarters < below:
                fee = cents * (below - quarters) // 4 if each else cents
        table.append(fee)
    return table


def road(plant, a, b):
    return plant["between"][0 if a["area"] == b["area"] else 1]


def may_follow(plant, a, b):
    """False where no truck can go from one to the other, whatever else it does."""
    lead = plant["loading"] + plant["out"][a["area"]]
    soonest = max(a["from"], lead) + a["placing"] + road(plant, a, b)
    return (
        (a["day"], a["mix"]) == (b["day"], b["mix"])
        and a["eighths"] + b["eighths"] <= plant["truck"] * 8
        and soonest <= b["to"]
    )


def plan(plant, pours):
    """The least (cents, loads)."""
    model = cp_model.CpModel()
    number = model.new_int_var
    start = [number(p["from"], p["to"], "") for p in pours]
    wait = [number(0, plant["limit"], "") for _ in pours]
    # Minutes from the arrival at the truck's first pour until this one begins, and its lead.
    since = [number(0, plant["limit"], "") for _ in pours]
    lead = [number(0, plant["limit"], "") for _ in pours]
    taken = [number(p["eighths"], plant["truck"] * 8, "") for p in pours]
    count = [number(1, plant["most_stops"], "") for _ in pours]
    arcs, trucks, further, charged = [], [], [], []
    ordered = []
    for i, a in enumerate(pours):
        out = plant["loading"] + plant["out"][a["area"]]
        model.add(start[i] + a["placing"] <= DAY)
        model.add(lead[i] + since[i] + a["placing"] <= plant["limit"])
        begins, ends = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(0, i + 1, begins), (i + 1, 0, ends)]
        trucks.append(ends)
        for holds in (
            start[i] >= out,
            wait[i] == 0,
            since[i] == 0,
            lead[i] == out,
            taken[i] == a["eighths"],
            count[i] == 1,
        ):
            model.add(holds).only_enforce_if(begins)
        for j, b in enumerate(pours):
            if i == j or not may_follow(plant, a, b):
                continue
            goes = model.new_bool_var("")
            arcs.append((i + 1, j + 1, goes))
            further.append(goes)
            drive = a["placing"] + road(plant, a, b)
            for holds in (
                start[j] == start[i] + drive + wait[j],
                since[j] == since[i] + drive + wait[j],
                lead[j] == lead[i],
                taken[j] == taken[i] + b["eighths"],
                count[j] == count[i] + 1,
            ):
                model.add(holds).only_enforce_if(goes)
        quarters = number(0, plant["truck"] * 4, "")
        beyond, fee = number(0, DAY, ""), number(0, DEAREST, "")
        model.add_element(quarters, fees(plant), fee)
        model.add(quarters == 0).only_enforce_if(ends.negated())
        model.add(2 * quarters >= taken[i]).only_enforce_if(ends)
        on_site = since[i] + a["placing"]
        late = 4 * beyond >= 4 * on_site - plant["free"] * quarters
        model.add(late).only_enforce_if(ends)
        ordered.append(quarters)
        charged += [plant["price"] // 4 * quarters, fee, plant["wait"] * beyond]
        charged.append(plant["per_load"] * ends)
    charged += [plant["extra_stop"] * goes for goes in further]
    model.add_multiple_circuit(arcs)
    # What follows from the rest, said once more for the sake of speed.
    model.add(2 * sum(ordered) >= sum(p["eighths"] for p in pours))
    model.minimize(64 * sum(charged) + sum(trucks))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return list(divmod(round(solver.objective_value), 64))


asked = json.load(sys.stdin)
json.dump([plan(case["plant"], case["pours"]) for case in asked], sys.stdout)
