#!/usr/bin/python3
"""Reads the sample tables with Python's csv and with openpyxl."""
import csv
import pathlib
import sys

folder = pathlib.Path(sys.argv[1])
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


raw = (folder / "table.csv").read_bytes()
check(b"\r\n" in raw and raw.endswith(b"\r\n"), "lines do not end with CR LF")
with open(folder / "table.csv", newline="", encoding="utf-8") as file:
    rows = list(csv.reader(file, strict=True))
check(rows[0] == ["size", "width", "ball girth, mm", "pairs"], f"header {rows[0]}")
check(rows[1] == ["8½", "F", "246.13", "12"] or rows[1] == ["8½", "F", "246.12", "12"], f"first row {rows[1]}")
check(rows[2] == ["'=1+1", "'@x", "0.00", "0"], f"second row {rows[2]}")
check(rows[3] == ["two\nlines, \"quoted\"", "", "333333333.33", ""], f"third row {rows[3]}")

try:
    import openpyxl
except ImportError:
    print("skipped: openpyxl is not installed")
    sys.exit(1 if failures else 77)
book = openpyxl.load_workbook(folder / "table.xlsx")
check(book.sheetnames == ["girths_ all _mm_", "girths_ all _mm_ (2)"], f"tabs {book.sheetnames}")
check(book.properties.created.year == 2000, f"made {book.properties.created}")
sheet = book.worksheets[0]
check(sheet.freeze_panes == "B2", f"frozen at {sheet.freeze_panes}")
check([c.value for c in sheet[1]] == ["size", "width", "ball girth, mm", "pairs"], "header of the workbook")
check(round(sheet["C2"].value, 9) == 246.125 and sheet["C2"].number_format == "0.00", f"C2 {sheet['C2'].value}")
check(sheet["D2"].value == 12 and sheet["D2"].data_type == "n", "D2")
check(sheet["A3"].value == "=1+1" and sheet["A3"].data_type in ("s", "str", "inlineStr") or sheet["A3"].data_type == "s",
      f"A3 became {sheet['A3'].data_type}")
check(sheet["C3"].value == 0 and sheet["C3"].font.bold, "C3 is not marked")
check(sheet["A4"].value == "two\nlines, \"quoted\"", f"A4 {sheet['A4'].value!r}")
import zipfile
xml = zipfile.ZipFile(folder / "table.xlsx").read("xl/worksheets/sheet1.xml").decode()
check("<f>" not in xml and "hyperlink" not in xml, "a formula or link came through")
for failure in failures:
    print("FAILED:", failure)
sys.exit(1 if failures else 0)
