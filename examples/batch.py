#!/usr/bin/env python3
"""Prices a CSV of jobs and saves the answer beside it; the standard library is enough.

    python3 batch.py district-entrances.csv answer.csv

The service's address comes from SERVICE_URL (http://127.0.0.1:8080 where it is not set), a key from
SERVICE_KEY. Prints how many rows have which status, why a row was refused, and what the others
come to. Ends with 1 when there is no whole answer; refused rows are an answer.
"""
import collections
import csv
import decimal
import os
import sys
import urllib.error
import urllib.request


def post(jobs, address, key):
    """Sends the bytes of a CSV; what comes back, as an open answer to be read."""
    headers = {"Content-Type": "text/csv", "Accept": "text/csv"}
    if key:
        headers["X-API-Key"] = key
    request = urllib.request.Request(address + "/v1/estimates/batch", jobs, headers)
    return urllib.request.urlopen(request, timeout=600)


def report(rows):
    """What a person wants to know first, as lines of text."""
    counts = collections.Counter(row["status"] for row in rows)
    lines = [f"{count} {status}" for status, count in sorted(counts.items())]
    # The header is row 1 of the sheet, so that the number is the one at its margin.
    for number, row in enumerate(rows, start=2):
        if row["status"] not in ("ok", "incomplete"):
            lines.append(f"row {number}: {row['note']}")
    # Money is added in decimals, never in binary fractions.
    total = sum((decimal.Decimal(row["total"]) for row in rows if row["total"]), decimal.Decimal())
    hours = sum((decimal.Decimal(row["paid_hours"]) for row in rows if row["paid_hours"]), decimal.Decimal())
    lines.append(f"total {total} for {sum(1 for row in rows if row['total'])} jobs, {hours} paid hours")
    return lines


def main(source, target):
    with open(source, "rb") as file:
        jobs = file.read()
    address = os.environ.get("SERVICE_URL", "http://127.0.0.1:8080").rstrip("/")
    try:
        with post(jobs, address, os.environ.get("SERVICE_KEY")) as answer:
            body = answer.read()
    except urllib.error.HTTPError as refusal:
        sys.exit(f"refused with {refusal.code}: {refusal.read().decode('utf-8', 'replace')}")
    except OSError as error:
        sys.exit(f"no answer from {address}: {error}")
    with open(target, "wb") as file:
        file.write(body)
    with open(target, encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    print("\n".join(report(rows)))
    if any(row["status"] == "aborted" for row in rows):
        sys.exit("the answer breaks off: send the rows again")


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(f"usage: {sys.argv[0]} JOBS.csv ANSWER.csv")
    main(sys.argv[1], sys.argv[2])
