#!/usr/bin/env python3
"""Writes district-entrances.csv: 300 entrances of an invented district, as somebody taped them.

Everything in it is made up. Five rows hold one deliberate mistake each, and a few hold what is
legal but awkward: a line break in a name, a name that begins with `=`, metric rows among the
others, a column of the sender's own. The draw is seeded: the same file comes out on any machine.

    python3 make_district_entrances.py > district-entrances.csv
    python3 make_district_entrances.py semicolons   the same as a sheet with decimal commas saves it
"""
import csv
import datetime
import math
import random
import sys

ROWS = 300
COLUMNS = ("job", "contact room", "zone", "day", "units", "existing", "rise_in", "rise",
           "length_ft", "length", "slope", "runs", "turn", "width_in", "width", "left", "right",
           "foot", "handrail", "door_leaf_in", "beyond_latch_in", "thickness_in", "finish",
           "insulation_in", "steps", "place")
PLACES = ("Tansy Fold", "Quillwater", "Ember Ness", "Otterlow", "Sallow Gate", "Brackenhythe",
          "Nine Alders", "Wickenmoor", "Thistlecombe", "Harrowmere")
DOORS = ("north door", "south door", "side door", "staff door", "garden door", "ward entrance")
ZONES = ("hill", "river", "market", "station")

# The number of a row (the first job is 1), the mistake in it, and what to write into which column.
MISTAKES = {
    41: {"rise_in": "", "rise": ""},
    97: {"units": "", "rise_in": "24", "rise": "", "length_ft": "20", "length": "", "slope": "1:12",
         "runs": "", "turn": ""},
    158: {"units": "", "rise_in": "about 28", "rise": ""},
    203: {"width_in": "22", "width": ""},
    266: {"left": "hedge"},
}
# What is legal, and trips those who read rows line by line or take text for a formula.
AWKWARD = {
    12: "Tansy Fold library, reading-room door\nsecond bell (invented)",
    75: "=Quillwater clinic, \"old\" door (invented)",
    120: "Ember Ness clinic; ramp, steps, and rail (invented)",
    233: "Café door, Otterlow library (invented)",
}


def measures(draw):
    """Rise, length where it was taped, and the shape that fits them, in inches and feet."""
    rise = draw.randrange(8, 81) / 2
    row = {"rise_in": f"{rise:g}"}
    if draw.random() < 0.7:
        # Mostly a little flatter than 1:12, a few on it, a few too steep: somebody built to a wall.
        run = rise * draw.choice((12, 12.2, 12.5, 12.5, 13, 13.5, 14, 11.4))
        row["length_ft"] = f"{round(run / 12 * 4) / 4 or 0.5:g}"
    elif draw.random() < 0.3:
        row["slope"] = draw.choice(("1:12", "1:13", "7 %", "8 %", "1:16"))
    if rise > 30 or (rise > 18 and draw.random() < 0.3):
        row["runs"] = "2"
        row["turn"] = draw.choice(("straight", "left", "right", "back_left", "back_right"))
    if draw.random() < 0.15:
        row["steps"] = str(math.ceil(rise / 7))
    return row


def in_metric(row):
    """The same entrance as somebody with a metric tape writes it: text with its unit."""
    row["units"] = "metric"
    row["rise"] = f"{float(row.pop('rise_in')) * 25.4:.0f} mm"
    if "length_ft" in row:
        row["length"] = f"{float(row.pop('length_ft')) * 0.3048:.2f} m"
    row["width"] = f"{round(float(row.pop('width_in')) * 25.4 / 10) * 10} mm"
    row.pop("thickness_in", None)
    row.pop("insulation_in", None)
    return row


def entrance(number, draw):
    """One row."""
    kind = draw.choice(("library", "clinic"))
    day = datetime.date(2027, 4, 5) + datetime.timedelta(days=7 * (number // 25) + number % 5)
    row = {
        "job": f"{number:03} {draw.choice(PLACES)} {kind}, {draw.choice(DOORS)} (invented)",
        "contact room": f"{draw.choice('ABC')}{draw.randrange(1, 40):02}",
        "zone": draw.choice(ZONES),
        "day": day.isoformat(),
        "width_in": draw.choice(("60", "60", "60", "66", "72", "54")),
    }
    row.update(measures(draw))
    some = {
        "left": (0.3, ("wall", "form_on_wall", "formed")),
        "right": (0.2, ("wall", "formed")),
        "existing": (0.1, ("yes", "no")),
        "foot": (0.2, ("existing",)),
        "handrail": (0.2, ("by_us", "by_others")),
        "thickness_in": (0.2, ("5", "5.5", "6")),
        "finish": (0.2, ("broom", "float")),
        "insulation_in": (0.05, ("2",)),
        "place": (0.25, ("chute", "barrow", "buggy")),
    }
    for column, (share, choices) in some.items():
        if draw.random() < share:
            row[column] = draw.choice(choices)
    if draw.random() < 0.3:
        row["door_leaf_in"] = "36"
        row["beyond_latch_in"] = draw.choice(("18", "20", "24"))
    if number % 17 == 0:
        row = in_metric(row)
    return row


def with_commas(row):
    """A row whose numbers, alone or before a unit, have a decimal comma."""
    measures = ("_in", "_ft", "rise", "length", "width")
    return {name: cell.replace(".", ",") if name.endswith(measures) else cell for name, cell in row.items()}


def main(semicolons):
    draw = random.Random("an invented district")
    mark = ";" if semicolons else ","
    out = csv.DictWriter(sys.stdout, COLUMNS, restval="", delimiter=mark, lineterminator="\r\n")
    out.writeheader()
    for number in range(1, ROWS + 1):
        row = entrance(number, draw)
        row["job"] = AWKWARD.get(number, row["job"])
        row.update(MISTAKES.get(number, {}))
        out.writerow(with_commas(row) if semicolons else row)


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8", newline="")
    main(sys.argv[1:] == ["semicolons"])
