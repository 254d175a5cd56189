"""The table as a workbook of formulas: sheet.py ROWS TARGET writes a flat OpenDocument sheet."""

import sys

import core


class Cell:
    """An expression of a formula."""

    def __init__(self, text):
        self.text = text

    def with_(self, sign, other, turned=False):
        one, two = self.text, other.text if isinstance(other, Cell) else repr(float(other))
        return Cell(f"({two}{sign}{one})" if turned else f"({one}{sign}{two})")

    def __add__(self, other): return self.with_("+", other)
    def __radd__(self, other): return self.with_("+", other, True)
    def __sub__(self, other): return self.with_("-", other)
    def __rsub__(self, other): return self.with_("-", other, True)
    def __mul__(self, other): return self.with_("*", other)
    def __rmul__(self, other): return self.with_("*", other, True)
    def __truediv__(self, other): return self.with_("/", other)


def name_of(column):
    """A, B, and so on to ZZ, from 1."""
    high, low = divmod(column - 1, 26)
    return (chr(64 + high) if high else "") + chr(65 + low)


def main():
    rows, target = int(sys.argv[1]), sys.argv[2]
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" office:version="1.2" office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet><table:table table:name="ramps">'
    with open(target, "w") as out:
        out.write(head)
        for row in range(1, rows + 1):
            numbers = (8 + row * 7 % 41 / 2, (48, 60, 60, 72)[row % 4], 1 + row % 2)
            cells = "".join(f'<table:table-cell office:value-type="float" office:value="{n}"/>' for n in numbers)
            steps = []

            def keep(value):
                steps.append(value)
                return Cell(f"[.{name_of(len(numbers) + len(steps))}{row}]")

            core.estimate(Cell(f"[.A{row}]"), Cell(f"[.B{row}]"), Cell(f"[.C{row}]"),
                          lambda one: Cell(f"ROUNDUP({one.text};0)"),
                          lambda one, other: Cell(f"MAX({one.text};{other.text})"), keep)
            formulas = "".join(f'<table:table-cell table:formula="of:={cell.text}" office:value-type="float"/>' for cell in steps)
            out.write(f"<table:table-row>{cells}{formulas}</table:table-row>")
        out.write("</table:table></office:spreadsheet></office:body></office:document>")


if __name__ == "__main__":
    main()
