"""Makes the tables of this folder with programs that offices use; every cell is invented.

Needs openpyxl (PyPI, 3.1) and LibreOffice Calc (`soffice`, 7.4). Run it in this folder:

    python3 make.py

What it makes is checked in, so that the tests need neither.
"""

import datetime
import pathlib
import shutil
import subprocess
import tempfile

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904

HERE = pathlib.Path(__file__).parent
MADE = datetime.datetime(2026, 3, 2)
GERMAN = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse">
<value>de-DE</value></prop></item></oor:items>
"""


def save(book, name, folder=HERE):
    book.properties.created = MADE
    book.properties.modified = MADE
    path = pathlib.Path(folder) / name
    book.save(path)
    return path


def values(book):
    """What a cell can hold without a formula."""
    sheet = book.active
    sheet.append(["Code", "Unit price", "Effective", "Noted at", "Counted"])
    sheet.append(["SLAB-4", 12.5, datetime.date(2026, 3, 2), datetime.datetime(2026, 3, 2, 7, 30), True])
    sheet.append([" CURB\u00a0", 0.1 + 0.2, datetime.date(1900, 2, 28), datetime.time(7, 30), False])
    sheet.append([])
    sheet.append(["=2+3", 1234567, datetime.date(1900, 3, 1), None, None])
    sheet["A5"].data_type = "s"
    sheet.append(["two\nlines", -0.25, None, "<&>\"'", "_x0041_"])
    return book


def formulas():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Code", "Bags", "Price", "Total", "Word"])
    sheet.append(["MIX-60", 3, 4.35, "=B2*C2", '=A2&"/"&B2'])
    sheet.append(["MIX-80", 0, 6.1, "=C3/B3", '=""'])
    sheet.append(["WIRE", 2, 7, "=B4*C4", "=B4>1"])
    sheet.append(["DAY", None, None, "=DATE(2026,3,2)", None])
    sheet["D5"].number_format = "yyyy-mm-dd"
    return book


def merged():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Group", "Code", "Price"])
    sheet.append(["Forms", "PLY-18", 31.2])
    sheet.append([None, "STAKE", 1.05])
    sheet.append(["Steel", "BAR-4", 0.92])
    sheet.merge_cells("A2:A3")
    return book


def merged_heading():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Code", "Price", None, "Unit"])
    sheet.append(["BAR-4", 0.92, 0.95, "ft"])
    sheet.merge_cells("B1:C1")
    return book


def hidden_first():
    book = openpyxl.Workbook()
    book.active.append(["Secret"])
    book.active.sheet_state = "hidden"
    book.create_sheet("Blank")
    third = book.create_sheet("Prices")
    third["B3"], third["C3"] = "Code", "Price"
    third["B4"], third["C4"] = "BAR-4", 0.92
    return book


def german_list():
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Artikel", "Preis", "Menge", "Gültig ab", "Notiz"])
    sheet.append(["Größe 6″ „lang“", 12.5, 1, datetime.date(2026, 3, 2), "a;b"])
    sheet.append(["Straßenbeton", 0.875, 2.25, datetime.date(2026, 3, 3), 'sagt "nein"'])
    sheet.append(["-Rest", -3, 0, None, "zwei\nZeilen"])
    return book


def calc(source, wanted, folder):
    """Has Calc, set to German habits, save a file in another format."""
    profile = pathlib.Path(folder) / "profile"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(GERMAN)
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{profile}", "--headless"]
        + ["--convert-to", wanted, "--outdir", str(pathlib.Path(folder) / "out"), str(source)],
        check=True,
    )


def texts():
    """The same few cells in each charset and with each end of line."""
    rows = 'Code;Preis;Notiz\r\nGRÖSSE;12,5;"zwei\r\nZeilen, ""so"""\r\n\r\nREST;-3;\r\n'
    (HERE / "utf-16-le.csv").write_bytes(b"\xff\xfe" + rows.encode("utf-16-le"))
    (HERE / "utf-16-be.csv").write_bytes(b"\xfe\xff" + rows.encode("utf-16-be"))
    (HERE / "utf-8-mark.csv").write_bytes(rows.encode("utf-8-sig"))
    (HERE / "lf.csv").write_bytes(rows.replace("\r\n", "\n").encode())
    (HERE / "cr.csv").write_bytes(rows.replace("\r\n", "\r").encode())
    (HERE / "crlf.csv").write_bytes(rows.encode())


def main():
    save(values(openpyxl.Workbook()), "values.xlsx")
    mac = openpyxl.Workbook()
    mac.epoch = CALENDAR_MAC_1904
    mac.active.append(["Effective"])
    mac.active.append([datetime.date(2026, 3, 2)])
    mac.active.append([datetime.datetime(1904, 1, 2, 12, 0)])
    save(mac, "dates-1904.xlsx")
    save(formulas(), "formulas-unsaved.xlsx")
    save(merged(), "merged.xlsx")
    save(merged_heading(), "merged-heading.xlsx")
    save(hidden_first(), "hidden-first.xlsx")
    texts()
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "out"
        calc(HERE / "formulas-unsaved.xlsx", "xlsx", folder)
        shutil.copy(out / "formulas-unsaved.xlsx", HERE / "formulas-calc.xlsx")
        calc(HERE / "values.xlsx", "xlsx", folder)
        shutil.copy(out / "values.xlsx", HERE / "values-calc.xlsx")
        source = save(german_list(), "german.xlsx", folder)
        # Semicolons, quotes, UTF-8 (76) or windows-1252 (1), from the first line, in German.
        for charset, name in ((76, "german-calc.csv"), (1, "german-calc-1252.csv")):
            options = f"csv:Text - txt - csv (StarCalc):59,34,{charset},1,,1031,false,true"
            calc(source, options, folder)
            shutil.copy(out / "german.csv", HERE / name)


main()
