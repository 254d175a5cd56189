#!/usr/bin/env python3
"""Writes live.fods and live.xlsx: one workbook, in two formats, that prices ramps in its cells.

The jobs are eight entrances of an invented district. Each row asks the service once, for all its
figures, and takes them out of the answer; a row with a fault shows its reason. What it holds to:

- A number joined to a text takes the comma of the reader's country, so it is written with a dot.
- A date becomes year-month-day by its parts; the letters of a date format differ by country.
- `number(//total)` gives a number everywhere; the text of `//total` does not.

    python3 make_live.py live.fods live.xlsx [http://ramps.office.example:8080]
"""
import datetime
import re
import sys
import zipfile
from xml.sax.saxutils import escape, quoteattr

INPUTS = ("job", "rise_in", "length_ft", "runs", "turn", "width_in", "left", "steps", "handrail", "start")
TEXTS = ("status", "verdict")
NUMBERS = ("worst_margin", "concrete_order", "paid_hours", "direct", "profit", "total")
FIGURES = TEXTS + NUMBERS + ("note",)
HEAD, FIRST = 8, 9

MONDAY = datetime.date(2026, 5, 11)
JOBS = (
    {"job": "Tansy Fold library, side door", "rise_in": 24, "length_ft": 26.5},
    {"job": "Quillwater clinic, ward entrance", "rise_in": 28.5, "length_ft": 30.25, "runs": 2, "turn": "left"},
    {"job": "Café wing & \"old\" door, Otterlow", "rise_in": 18, "width_in": 66, "left": "wall"},
    {"job": "Ember Ness library, steps beside", "rise_in": 21, "length_ft": 22, "steps": 3},
    {"job": "Sallow Gate clinic, too steep", "rise_in": 20.5, "length_ft": 15},
    {"job": "Nine Alders library, back again", "rise_in": 38, "runs": 2, "turn": "back_right", "start": MONDAY},
    {"job": "Wickenmoor clinic, rails by us", "rise_in": 6.25, "handrail": "by_us", "start": MONDAY},
    {"job": "Harrowmere library, not yet taped", "rise_in": "about 30", "length_ft": 33},
)
LAST = FIRST + len(JOBS) - 1


def column(number):
    """The letter of a column; the workbook has fewer than 26."""
    return chr(ord("A") + number)


AT = {name: column(place) for place, name in enumerate(INPUTS + FIGURES + ("address", "answer"))}


def day(cell):
    """A formula that gives the date of a cell as 2026-05-11."""
    return f'YEAR({cell})&"-"&RIGHT("0"&MONTH({cell}),2)&"-"&RIGHT("0"&DAY({cell}),2)'


def sent(name, row):
    """A formula that gives one input as a part of the address: nothing for a blank cell."""
    cell, head = f"${AT[name]}{row}", f"{AT[name]}${HEAD}"
    number = day(cell) if name == "start" else f'SUBSTITUTE({cell},",",".")'
    return f'IF({cell}="","","&"&{head}&"="&ENCODEURL(IF(ISNUMBER({cell}),{number},{cell})))'


def address(row):
    """A formula that gives the address of a row's answer."""
    figures = '&","&'.join(f"${AT[name]}${HEAD}" for name in FIGURES)
    settings = (f'IF($B$3="","","&key="&ENCODEURL($B$3))&IF($B$4="","","&as_of="&{day("$B$4")})'
                '&"&_="&$B$5')
    inputs = "&".join(sent(name, row) for name in INPUTS)
    return f'$B$2&"/v1/row?format=xml&errors=inline&figures="&{figures}&{settings}&{inputs}'


def answered(name, row):
    """A formula that takes one figure out of a row's answer."""
    answer, status, head = f"${AT['answer']}{row}", f"${AT['status']}{row}", f"{AT[name]}${HEAD}"
    if name in NUMBERS:
        return (f'IF({status}="error","",'
                f'IFERROR(FILTERXML({answer},"number(//"&{head}&")"),"not known"))')
    return f'IFERROR(FILTERXML({answer},"//"&{head}),"")'


def row_of(job, row):
    """The cells of one job, by their place: a value, or a formula that begins with `=`."""
    cells = {f"{AT[name]}{row}": job[name] for name in INPUTS if name in job}
    cells.update({f"{AT[name]}{row}": "=" + answered(name, row) for name in FIGURES})
    cells[f"{AT['address']}{row}"] = "=" + address(row)
    cells[f"{AT['answer']}{row}"] = (
        f'=IFERROR(WEBSERVICE({AT["address"]}{row}),"<row><status>error</status>'
        '<note>no answer: is the service at the address in B2, and may this file ask it?</note></row>")')
    return cells


def workbook(service):
    """Every cell that is not empty, for a service at an address."""
    totals = f"{AT['total']}{FIRST}:{AT['total']}{LAST}"
    alone = LAST + 2
    cells = {
        "A1": "Eight entrances of an invented district, priced while you look. The demo book's prices are invented too.",
        "A2": "service", "B2": service,
        "A3": "key", "C3": "of role cell; blank while the service has none",
        "A4": "prices as of", "B4": datetime.date(2026, 5, 4), "C4": "blank is today",
        "A5": "ask again", "B5": 1, "C5": "write another number, and every row asks again",
        "A6": "all of it", "B6": f"=SUM({totals})", "C6": f'=COUNT({totals})&" of {len(JOBS)} jobs priced"',
        "A7": "what was taped; a heading is a column of GET /v1/short-form",
        f"{AT['status']}7": "what comes back; a heading is a figure of GET /v1/figures",
    }
    cells.update({f"{letter}{HEAD}": name for name, letter in AT.items()})
    for place, job in enumerate(JOBS):
        cells.update(row_of(job, FIRST + place))
    cells[f"A{alone}"] = "one figure alone: the price of row 9, rounded up to tens"
    cells[f"A{alone + 1}"] = (
        f'=$B$2&"/v1/cell/total?errors=inline"&IF($B$3="","","&key="&ENCODEURL($B$3))'
        f'&IF($B$4="","","&as_of="&{day("$B$4")})&{"&".join(sent(name, FIRST) for name in INPUTS)}')
    plain = f"WEBSERVICE(A{alone + 1})"
    cells[f"B{alone}"] = f'=IFERROR(NUMBERVALUE({plain},".",","),{plain})'
    cells[f"C{alone}"] = f'=IF(ISNUMBER(B{alone}),ROUNDUP(B{alone},-1),"")'
    return cells


def look(place, value):
    """The name of a cell's style."""
    letter, row = place[0], int(place[1:])
    if isinstance(value, datetime.date):
        return "day"
    if row in (1, 7, HEAD):
        return "head"
    money = letter in (AT["direct"], AT["profit"], AT["total"]) or place in ("B6", f"B{LAST + 2}")
    taped = FIRST <= row <= LAST and letter <= AT["start"] or letter == "B" and row in (2, 3, 5)
    return "money" if money else "taped" if taped else "plain"


# ---- OpenDocument, as one text file ---------------------------------------------------------

FUNCTIONS = {"WEBSERVICE": "COM.MICROSOFT.WEBSERVICE", "FILTERXML": "COM.MICROSOFT.FILTERXML",
             "ENCODEURL": "COM.MICROSOFT.ENCODEURL"}
CELL = r"\$?[A-Z]\$?[0-9]+"


def outside_quotes(formula, change):
    """Changes a formula but for the texts in it."""
    parts = formula.split('"')
    return '"'.join(change(part) if place % 2 == 0 else part for place, part in enumerate(parts))


def open_formula(formula):
    def change(part):
        part = re.sub(rf"({CELL}):({CELL})|({CELL})",
                      lambda found: f"[.{found[1]}:.{found[2]}]" if found[1] else f"[.{found[3]}]", part)
        part = part.replace(",", ";")
        return re.sub("|".join(FUNCTIONS), lambda found: FUNCTIONS[found[0]], part)
    return "of:=" + outside_quotes(formula, change)


def open_cell(place, value):
    if value is None:
        return "<table:table-cell/>"
    style = f'<table:table-cell table:style-name="{look(place, value)}"'
    if isinstance(value, datetime.date):
        return f'{style} office:value-type="date" office:date-value="{value}"/>'
    if isinstance(value, (int, float)):
        return f'{style} office:value-type="float" office:value="{value}"/>'
    if value.startswith("="):
        return f"{style} table:formula={quoteattr(open_formula(value[1:]))}/>"
    return f'{style} office:value-type="string"><text:p>{escape(value)}</text:p></table:table-cell>'


def open_document(cells):
    names = {"office": "office", "table": "table", "text": "text", "style": "style", "number": "datastyle"}
    spaces = "".join(f' xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{long}:1.0"'
                     for short, long in names.items())
    fo = ' xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0"'
    of = ' xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2"'

    def style(name, rest="", inner=""):
        return f'<style:style style:name="{name}" style:family="table-cell"{rest}>{inner}</style:style>'
    styles = "\n".join((
        '<number:date-style style:name="iso"><number:year number:style="long"/><number:text>-</number:text>'
        '<number:month number:style="long"/><number:text>-</number:text><number:day number:style="long"/></number:date-style>',
        '<number:number-style style:name="cents"><number:number number:decimal-places="2" '
        'number:min-decimal-places="2" number:min-integer-digits="1" number:grouping="true"/></number:number-style>',
        style("plain"), style("money", ' style:data-style-name="cents"'),
        style("head", inner='<style:text-properties fo:font-weight="bold"/>'),
        style("taped", inner='<style:table-cell-properties fo:background-color="#fff4d6"/>'),
        style("day", ' style:data-style-name="iso"', '<style:table-cell-properties fo:background-color="#fff4d6"/>'),
        '<style:style style:name="wide" style:family="table-column"><style:table-column-properties style:column-width="7cm"/></style:style>',
        '<style:style style:name="usual" style:family="table-column"><style:table-column-properties style:column-width="2.6cm"/></style:style>'))
    columns = "".join(f'<table:table-column table:style-name="{"wide" if name in ("job", "note") else "usual"}"/>' for name in AT)
    rows = []
    for row in range(1, LAST + 4):
        inner = "\n".join(open_cell(place, cells.get(place)) for place in (f"{letter}{row}" for letter in AT.values()))
        rows.append(f"<table:table-row>\n{inner}\n</table:table-row>")
    return ('<?xml version="1.0" encoding="UTF-8"?>\n'
            f'<office:document{spaces}{fo}{of} office:version="1.2" '
            'office:mimetype="application/vnd.oasis.opendocument.spreadsheet">\n'
            f"<office:automatic-styles>\n{styles}\n</office:automatic-styles>\n"
            f'<office:body><office:spreadsheet><table:table table:name="jobs">\n{columns}\n'
            + "\n".join(rows) + "\n</table:table></office:spreadsheet></office:body></office:document>\n")


# ---- Office Open XML, a folder of small files in one archive --------------------------------

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/package/2006/relationships"
KINDS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = "application/vnd.openxmlformats-officedocument.spreadsheetml"
LOOKS = ("plain", "head", "taped", "money", "day")


def package_cell(place, value):
    style = LOOKS.index(look(place, value))
    start = f'<c r="{place}" s="{style}"'
    if isinstance(value, datetime.date):
        return f"{start}><v>{(value - datetime.date(1899, 12, 30)).days}</v></c>"
    if isinstance(value, (int, float)):
        return f"{start}><v>{value}</v></c>"
    if value.startswith("="):
        newer = outside_quotes(value[1:], lambda part: re.sub(
            "(" + "|".join((*FUNCTIONS, "NUMBERVALUE")) + r")\(", r"_xlfn.\1(", part))
        return f"{start}><f>{escape(newer)}</f></c>"
    return f'{start} t="inlineStr"><is><t>{escape(value)}</t></is></c>'


def package(cells):
    """The files of the archive, by name."""
    rows = []
    for row in range(1, LAST + 4):
        places = [place for place in (f"{letter}{row}" for letter in AT.values()) if place in cells]
        rows.append(f'<row r="{row}">' + "".join(package_cell(place, cells[place]) for place in places) + "</row>")
    columns = "".join(f'<col min="{place}" max="{place}" width="{34 if name in ("job", "note") else 13}" customWidth="1"/>'
                      for place, name in enumerate(AT, start=1))
    styles = (f'<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/></numFmts>'
              '<fonts count="2"><font><sz val="11"/></font><font><b/><sz val="11"/></font></fonts>'
              '<fills count="3"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
              '<fill><patternFill patternType="solid"><fgColor rgb="FFFFF4D6"/></patternFill></fill></fills>'
              '<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="5"><xf/>'
              '<xf fontId="1" applyFont="1"/><xf fillId="2" applyFill="1"/><xf numFmtId="4" applyNumberFormat="1"/>'
              '<xf numFmtId="164" fillId="2" applyNumberFormat="1" applyFill="1"/></cellXfs></styleSheet>')
    return {
        "[Content_Types].xml": '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{TYPES}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{TYPES}.styles+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{TYPES}.worksheet+xml"/></Types>',
        "_rels/.rels": f'<Relationships xmlns="{LINKS}"><Relationship Id="a" Type="{KINDS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{KINDS}"><sheets><sheet name="jobs" sheetId="1" r:id="a"/></sheets>'
        '<calcPr fullCalcOnLoad="1"/></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{LINKS}"><Relationship Id="a" Type="{KINDS}/worksheet" Target="worksheets/sheet1.xml"/>'
        f'<Relationship Id="b" Type="{KINDS}/styles" Target="styles.xml"/></Relationships>',
        "xl/styles.xml": styles,
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{MAIN}"><cols>{columns}</cols><sheetData>{"".join(rows)}</sheetData></worksheet>',
    }


def main(text, archive, service="http://127.0.0.1:8080"):
    cells = workbook(service)
    with open(text, "w", encoding="utf-8", newline="\n") as file:
        file.write(open_document(cells))
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_STORED) as file:
        for name, inner in package(cells).items():
            # One fixed day and no compression: the same bytes on any machine.
            file.writestr(zipfile.ZipInfo(name), '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n' + inner)


if __name__ == "__main__":
    main(*sys.argv[1:])
