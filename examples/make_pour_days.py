#!/usr/bin/env python3
"""Writes the three pour days of the examples: one ramp on a mild, a hot and windy, a near-freezing day.

The ramp is that of straight.json. The weather is made up, hour by hour, from the day before to four days
after: a day's warmth and dryness go up and down with the sun, nothing is drawn at random.

    python3 make_pour_days.py            writes pour-mild.json, pour-hot-windy.json, pour-near-freezing.json
    python3 make_pour_days.py FOLDER     writes them there
"""
import datetime
import json
import math
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
HOURS = 6 * 24
# Name, the day of the pour, then coldest and warmest air (degF), moistest and driest air (%), calmest and
# strongest wind (mph, at a weather station), chance of rain (%).
DAYS = (
    ("mild", "2026-05-19", (58, 76), (78, 48), (3, 9), 10),
    ("hot-windy", "2026-07-14", (76, 101), (48, 15), (14, 28), 5),
    ("near-freezing", "2026-11-10", (31, 45), (82, 58), (4, 10), 15),
)


def between(low, high, share):
    return round(low + (high - low) * share)


def rows(day, air, humidity, wind, rain):
    start = datetime.datetime.fromisoformat(day) - datetime.timedelta(days=1)
    for hour in range(HOURS):
        at = start + datetime.timedelta(hours=hour)
        # Coldest towards 4 in the morning, warmest towards 4 in the afternoon.
        share = (1 - math.cos((at.hour - 4) / 24 * 2 * math.pi)) / 2
        yield {
            "at": at.strftime("%Y-%m-%dT%H:%M"),
            "air": f"{between(*air, share)} degF",
            "humidity": f"{between(*humidity, share)} %",
            "wind": f"{between(*wind, share)} mph",
            "rain": f"{rain} %",
        }


def written(job, day, weather):
    """One row of weather a line: a person reads the file too."""
    job = {**job, "name": f"{job['name'].removesuffix(' (invented)')}, pour (invented)"}
    job["site"] = {key: value for key, value in job["site"].items() if key != "start"}
    head = json.dumps({**job, "pour": {"days": [day], "weather": []}}, indent=2)
    lines = ",\n      ".join(json.dumps(row) for row in weather)
    return head.replace('"weather": []', f'"weather": [\n      {lines}\n    ]') + "\n"


def main():
    folder = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    job = json.loads((HERE / "straight.json").read_text(encoding="utf-8"))
    for name, day, *weather in DAYS:
        text = written(job, day, rows(day, *weather))
        (folder / f"pour-{name}.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
