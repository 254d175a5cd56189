"""LibreOffice Calc as a caller: opens files as a person would, without a window, and checks them.

    calc.py live LOCALE BOOK FOLDER ADDRESS   every cell of the live workbook against the JSON of its row
    calc.py batch LOCALE JOBS ANSWER FOLDER   a CSV of jobs and its answer, beside each other

Invariants: the program runs with a profile of its own in FOLDER and is ended by its number; only
files in FOLDER are opened; what does not hold ends this with 1 and says where. The last line
printed counts what was held. Absent: any tolerance in money; a number read from XML may differ in
its last binary digit.
"""
import contextlib
import csv
import datetime
import json
import math
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.parse
import urllib.request
from decimal import Decimal

try:
    import uno
    from com.sun.star.beans import PropertyValue
except ImportError as error:
    sys.exit(f"{error}: apt-get install libreoffice-calc-nogui python3-uno")

PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="SecureURL" oor:op="fuse"><value><it>{trusted}</it></value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item>
</oor:items>
"""
SUMS = (
    ("direct", ("material", "labour", "equipment", "fees", "subs")),
    ("total", ("direct", "tax_paid", "contingency", "overhead", "profit", "tax_charged")),
)
# What a German reader's sheet calls a column of the dialect with decimal commas, by language number.
DIALECTS = {"en-US": (",", "1033"), "de-DE": (";", "1031")}


def insist(holds, *said):
    if not holds:
        sys.exit(" ".join(str(word) for word in said))


def words(**named):
    made = []
    for name, value in named.items():
        one = PropertyValue()
        one.Name, one.Value = name, value
        made.append(one)
    return tuple(made)


@contextlib.contextmanager
def office(folder, locale):
    """A running Calc; what comes back opens a file of the folder and gives its first sheet."""
    profile = os.path.join(folder, "profile")
    os.makedirs(os.path.join(profile, "user"), exist_ok=True)
    with open(os.path.join(profile, "user", "registrymodifications.xcu"), "w", encoding="utf-8") as file:
        file.write(PROFILE.format(trusted=uno.systemPathToFileUrl(folder), locale=locale))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    insist(shutil.which("soffice"), "soffice is missing: apt-get install libreoffice-calc-nogui python3-uno")
    process = subprocess.Popen(
        ["soffice", f"-env:UserInstallation={uno.systemPathToFileUrl(profile)}", "--headless", "--norestore",
         "--nologo", f"--accept=socket,host=127.0.0.1,port={port};urp;"],
        start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        desktop = reached(process, port)
        yield lambda name, **how: opened(desktop, os.path.join(folder, name), how)
        with contextlib.suppress(Exception):
            desktop.terminate()
            process.wait(10)
    finally:
        # The program starts another of the same group; both are ours, and both end.
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def reached(process, port):
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    address = f"uno:socket,host=127.0.0.1,port={port};urp;StarOffice.ComponentContext"
    until = time.monotonic() + 120
    while True:
        try:
            context = resolver.resolve(address)
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        except Exception as error:
            insist(process.poll() is None, "soffice ended with", process.returncode)
            insist(time.monotonic() < until, "soffice does not answer:", error)
            time.sleep(0.2)


def opened(desktop, path, how):
    # 3 is full update: without it no cell asks anybody. A stale lock file would open nothing.
    document = desktop.loadComponentFromURL(
        uno.systemPathToFileUrl(path), "_blank", 0, words(Hidden=True, UpdateDocMode=3, **how))
    insist(document is not None, path, "does not open")
    return document.Sheets.getByIndex(0)


def grid(sheet):
    """Every used cell: a number as a float, a text as a text, a fault of Calc as none."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(True)
    return [list(row) for row in cursor.getDataArray()]


# ---- the live workbook ----------------------------------------------------------------------

def live(locale, book, folder, address):
    with office(folder, locale) as open_file:
        sheet = open_file(book)
        cells = grid(sheet)
        start = next(place for place, row in enumerate(cells) if row[0] == "job")
        head = cells[start]
        jobs = [row for row in cells[start + 1:] if row[head.index("answer")]]
        split = head.index("status")
        figures = head[split:head.index("address")]
        counts = {"held": 0, "error": 0}
        for job in jobs:
            row_of_job(dict(zip(head, job)), head[:split], figures, counts, address)
        insist(counts["error"] == 1 and len(jobs) == 8, counts, "of", len(jobs))
        totals = [row[head.index("total")] for row in jobs if isinstance(row[head.index("total")], float)]
        insist(len(totals) == 7, len(totals), "totals are numbers")
        by_name = {row[0]: row for row in cells if isinstance(row[0], str)}
        summed = by_name["all of it"]
        insist(near(summed[1], math.fsum(totals)), "the sum is", summed[1])
        insist(summed[2] == "7 of 8 jobs priced", summed[2])
        alone = next(row for name, row in by_name.items() if name.startswith("one figure alone"))
        insist(alone[1] == totals[0] and alone[2] == math.ceil(totals[0] / 10) * 10, "alone:", alone[1:3], totals[0])
    print(f"{counts['held']} cells hold")


def near(one, other):
    return isinstance(one, float) and math.isclose(one, other, rel_tol=1e-12)


def row_of_job(cells, inputs, figures, counts, address):
    """Holds one row against the same job, asked for as JSON in words made here."""
    query = {name: plain(name, cells[name]) for name in inputs if cells[name] != ""}
    sent = dict(urllib.parse.parse_qsl(urllib.parse.urlsplit(cells["address"]).query))
    insist({name: sent.get(name) for name in query} == query, "the cell sends", sent, "for", query)
    asked = dict(query, format="json", errors="inline", figures=",".join(figures), as_of=sent["as_of"])
    if "key" in sent:
        asked["key"] = sent["key"]
    with urllib.request.urlopen(f"{address}/v1/row?{urllib.parse.urlencode(asked)}") as answer:
        whole = json.load(answer)
    if whole.get("status") == "error":
        reason = whole["note"].removeprefix("#ERR ")
        insist(reason and cells["note"] == reason and cells["status"] == "error", cells, "and not", reason)
        insist(all(cells[name] == "" for name in figures if name not in ("status", "note")), cells)
        counts["error"] += 1
        return
    for name in figures:
        wanted = whole["figures"][name]
        text = name in ("status", "verdict", "note")
        same = cells[name] == wanted if text else near(cells[name], float(wanted))
        insist(same, f"{cells['job']}: {name} is {cells[name]!r} in the cell and {wanted!r} as JSON")
        counts["held"] += 1


def plain(name, value):
    """A cell as a caller in another program would write it."""
    if name == "start" and isinstance(value, float):
        return (datetime.date(1899, 12, 30) + datetime.timedelta(days=value)).isoformat()
    return f"{value:g}" if isinstance(value, float) else value


# ---- a batch --------------------------------------------------------------------------------

def batch(locale, jobs, answer, folder):
    mark, language = DIALECTS[locale]
    with open(os.path.join(folder, jobs), encoding="utf-8", newline="") as file:
        inputs = next(csv.reader(file, delimiter=mark))
    # What was sent is read as text; what was computed as a person's sheet reads it.
    texts = "/".join(f"{place}/2" for place in range(1, len(inputs) + 1))
    how = {"FilterName": "Text - txt - csv (StarCalc)",
           "FilterOptions": f"{ord(mark)},34,76,1,{texts},{language},false,true"}
    with office(folder, locale) as open_file:
        sent = grid(open_file(jobs, **how))
        sheet = open_file(answer, **how)
        came = grid(sheet)
        total = came[0].index("total")
        letter = sheet.Columns.getByIndex(total).Name
        place = sheet.getCellByPosition(total, len(came))
        place.setFormula(f"=SUM({letter}2:{letter}{len(came)})")
        summed = place.getValue()
    rows = [dict(zip(came[0], row)) for row in came[1:]]
    insist(len(sent) == len(came), len(sent), "rows were sent and", len(came), "came")
    # An input named like a figure comes back under another name, so that each name stands once.
    named = [f"sent_{name}" if name in came[0][len(inputs):] else name for name in inputs]
    insist(came[0][:len(inputs)] == named, "the inputs are not the first columns:", came[0])
    insist(len(set(came[0])) == len(came[0]), "a name stands twice:", came[0])
    for number, (one, other) in enumerate(zip(sent[1:], came[1:]), start=2):
        # A text that could be taken for a formula comes back with a mark before it.
        other = [cell.removeprefix("'") if cell.startswith("'=") else cell for cell in other[:len(inputs)]]
        insist(one == other, f"row {number} was sent as {one} and came as {other}")
    priced = [money(number, row) for number, row in enumerate(rows, start=2) if row["status"] == "ok"]
    refused = [row for row in rows if row["status"] == "error"]
    for row in refused:
        named = [name for name in inputs if name in row["note"]]
        insist(named and row["total"] == "", "no column is named, or a figure is given:", row)
    insist(len(priced) + len(refused) == len(rows), "a status of its own:", {row["status"] for row in rows})
    insist(round(summed * 100) == sum(priced), "the column sums to", summed, "and not", sum(priced))
    print(f"{len(priced)} priced, {len(refused)} explained")


def money(number, row):
    """The total of a row in cents, once its sums hold to the cent."""
    for whole, parts in SUMS:
        for name in (whole, *parts):
            insist(isinstance(row[name], float), f"row {number}: {name} is no number but {row[name]!r}")
        cents = {name: Decimal(repr(row[name])) * 100 for name in (whole, *parts)}
        insist(cents[whole] == sum(cents[name] for name in parts), f"row {number}: {whole} is not its parts: {cents}")
    return int(Decimal(repr(row["total"])) * 100)


if __name__ == "__main__":
    {"live": live, "batch": batch}[sys.argv[1]](*sys.argv[2:])
