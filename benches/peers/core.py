"""A small estimate of a ramp as an office would write it, on numbers, columns or cells alike.

Invariants: only operators and the two functions that are handed in, so that plain numbers, pandas,
polars and spreadsheet formulas all run the same lines; money is in floats. Far less than the service
does: no rules beyond a slope, no cut lists, no visits on days, no sources, no explanations.
Every figure here is invented.
"""

TASKS = {  # hours a unit
    "grade": 0.02, "stone": 0.25, "insulate": 0.008, "form": 0.09, "screw": 0.05, "tie": 0.03,
    "place": 0.55, "finish": 0.025, "saw": 0.03, "strip": 0.03, "cure": 0.004, "seal": 0.006,
}
PRICES = {
    "concrete": 182.0, "short": 35.0, "stone": 28.0, "board": 41.0, "bar": 11.5, "wire": 6.0,
    "form": 14.0, "stake": 0.6, "screw": 0.85, "release": 19.0, "filler": 1.1, "sealant": 9.5,
    "compound": 16.0, "pail": 165.0, "compactor": 85.0, "saw": 74.0, "permit": 0.0, "chair": 0.4,
    "delivery": 95.0, "finisher": 68.0, "labourer": 52.0,
}


def estimate(rise_in, width_in, runs, ceil, most, keep=lambda value: value):
    """Every figure of one ramp by its name, in the order of a row; `keep` may put a step into a cell."""
    length = rise_in * 1.0
    surface = keep(length * 1.003466 + 5.0 * (runs + 1))
    width = width_in / 12.0
    area = keep(surface * width)
    net = keep(area * 5.0 / 12.0 / 27.0)
    order = keep(ceil((net + 0.25) * 4.0) / 4.0)
    shortfall = keep(most(5.0 - order, order * 0.0))
    stone = keep(ceil((area + surface) * 4.0 / 12.0 / 27.0 * 1.4 * 1.1 * 2.0) / 2.0)
    boards = keep(ceil(area / 32.0))
    bars = keep(ceil((ceil(width / 2.0) * surface + ceil(surface / 2.0) * width) * 1.08 / 20.0))
    form = keep(surface * 2.0 + width)
    planks = keep(ceil(form / 16.0))
    stakes = keep(ceil(form / 2.5))
    screws = keep(ceil(surface / 2.0))
    saw = keep(ceil(surface / 5.0) * width)
    isolation = keep(surface + width * 2.0)
    hours = {
        "grade": area, "stone": stone, "insulate": area, "form": form, "screw": screws, "tie": bars * 20.0,
        "place": order, "finish": area, "saw": saw, "strip": form, "cure": area, "seal": area,
    }
    worked = keep(sum(TASKS[name] * amount for name, amount in hours.items()))
    visits = 4.0 + runs * 0.0
    paid = keep(ceil((worked * 1.25 + visits * 3.0) * 4.0) / 4.0)
    lines = {
        "concrete": order, "short": shortfall, "stone": stone, "board": boards, "bar": bars,
        "wire": ceil(bars / 20.0), "form": planks / 4.0, "stake": stakes / 8.0, "screw": screws,
        "release": ceil(form / 400.0), "filler": isolation, "sealant": ceil(isolation / 40.0),
        "compound": ceil(area / 150.0), "pail": ceil(area / 125.0 / 5.0), "compactor": visits / 4.0,
        "saw": visits / 4.0, "permit": visits / 4.0, "chair": area / 4.0, "delivery": ceil(stone / 10.0),
    }
    material = keep(sum(PRICES[name] * amount for name, amount in lines.items()))
    labour = keep(paid / 2.0 * (PRICES["finisher"] + PRICES["labourer"]))
    direct = keep(material + labour)
    contingency = keep(direct * 0.03)
    overhead = keep((direct + contingency) * 0.12)
    profit = keep((direct + contingency + overhead) * 0.17647)
    total = keep(direct + contingency + overhead + profit)
    return {
        "slope": rise_in / 12.0 / length * 100.0, "surface_area": area, "concrete_net": net,
        "concrete_order": order, "stone_order": stone, "insulation_boards": boards, "bars": bars,
        "form_length": form, "saw_length": saw, "paid_hours": paid, "visits": visits,
        "material": material, "labour": labour, "direct": direct, "contingency": contingency,
        "overhead": overhead, "profit": profit, "total": total,
    }
