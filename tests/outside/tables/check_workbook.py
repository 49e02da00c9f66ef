"""Readings in workbooks that openpyxl wrote: the same batch as the same readings in a CSV file.

 - titles above the header, capital headers, numbers as numbers, a column of dates: judged as the CSV is;
 - a date, an error, a formula that was never reckoned, no header, two headers: said with cell or tab, exit code 3;
 - the sheet of a plan, filled in, reads back;
 - a slip of many millimetres hides no mis-stamped pair, and the line that says what becomes of the batch names both.
usage: check_workbook.py LASTWRIGHT STYLE.json
"""
import csv
import datetime
import io
import json
import pathlib
import subprocess
import sys
import tempfile

import openpyxl

program, style = sys.argv[1:3]
source = pathlib.Path(style).with_name("readings.csv")
faults = []
scratch = tempfile.TemporaryDirectory()
folder = pathlib.Path(scratch.name)
rows = list(csv.DictReader(line for line in source.read_text(encoding="utf-8").splitlines() if not line.startswith("#")))


def check(holds, text):
    if not holds:
        faults.append(text)


def girths(*arguments):
    result = subprocess.run([program, "girths", style, *map(str, arguments)], capture_output=True, check=False, text=True)
    return result.returncode, result.stdout, result.stderr


def judged(file):
    code, out, err = girths("--readings", file, "--format", "json")
    book = json.loads(out) if out else {"facts": {}, "tables": []}
    return code, book["facts"], {t["name"]: t["rows"] for t in book["tables"]}, err


def number(text):
    try:
        return float(text)
    except ValueError:
        return text


def workbook():
    book = openpyxl.Workbook()
    tab = book.active
    tab.title = "Monday"
    tab.append(["Girths of the derby"])
    tab.append([])
    tab.append([name.upper() for name in rows[0]] + ["Date"])
    for row in rows:
        tab.append([number(cell) for cell in row.values()] + [datetime.date(2026, 11, 29)])
    book.create_sheet("weather").append(["cold"])
    return book


# --- the same batch
plain = workbook()
plain.save(folder / "plain.xlsx")
as_text, as_book = judged(source), judged(folder / "plain.xlsx")
check(as_text[0] == as_book[0] == 1, f"exit codes {as_text[0]}, {as_book[0]}: {as_book[3]}")
for table in ("findings", "lasts", "pairs", "steps", "bias"):
    check(as_text[2].get(table) == as_book[2].get(table), f"the table {table} differs")
strip = lambda table: [{k: v for k, v in row.items() if k not in ("line", "Date")} for row in table]
check(strip(as_text[2]["readings"]) == strip(as_book[2]["readings"]), "the readings differ")
check({row["Date"] for row in as_book[2]["readings"]} == {"2026-11-29"}, "the dates are not kept")

# --- cells that hold no reading
place = {name: list(rows[0]).index(name) + 1 for name in rows[0]}
broken = workbook()
letter = openpyxl.utils.get_column_letter(place["value"])
for row, value in ((4, datetime.date(2026, 1, 2)), (5, "=A1"), (6, "#N/A"), (7, "246,5 mm"), (8, None)):
    broken["Monday"].cell(row, place["value"]).value = value
broken.save(folder / "broken.xlsx")
code, facts, tables, _ = judged(folder / "broken.xlsx")
why = {row["line"]: row["why"] for row in tables["bad rows"]}
check(code == 3, f"bad cells end with {code}")
check(sorted(why) == [4, 5, 6], f"bad rows {why}")
for row, word in ((4, "is a date"), (5, "formula"), (6, "#N/A")):
    check(f"the cell {letter}{row}" in why.get(row, "") and word in why.get(row, ""), f"row {row}: {why.get(row)}")
check(facts.get("rows without a value") == "1, passed over", f"the empty value: {facts}")

# --- which tab
two = workbook()
two.copy_worksheet(two["Monday"]).title = "Tuesday"
two.save(folder / "two.xlsx")
code, _, err = girths("--readings", folder / "two.xlsx")
check(code == 3 and "Monday" in err and "Tuesday" in err, f"two tabs: {code} {err}")
none = openpyxl.Workbook()
none.active.append(["cold"])
none.save(folder / "none.xlsx")
code, _, err = girths("--readings", folder / "none.xlsx")
check(code == 3 and '"Sheet"' in err and "measure" in err, f"no header: {code} {err}")

# --- a sheet to fill in
code, _, err = girths("--plan", "sizes 8 9, widths E F, pairs 1", "--sheet", "--format", "xlsx", "--out", folder / "sheet.xlsx")
check(code == 0, f"the sheet: {code} {err}")
sheet = openpyxl.load_workbook(folder / "sheet.xlsx")
tab = sheet["readings"]
head = {cell.value: cell.column for cell in tab[1]}
filled = 0
for row in range(2, tab.max_row + 1):
    low, high = tab.cell(row, head["not under, mm"]).value, tab.cell(row, head["not over, mm"]).value
    if low is not None:
        tab.cell(row, head["value"]).value = round(low + high) / 2
        filled += 1
sheet.save(folder / "filled.xlsx")
code, facts, tables, err = judged(folder / "filled.xlsx")
check(code == 0 and filled > 20, f"the filled sheet: {code} {err}")
check(len(tables["readings"]) == filled, f"{len(tables['readings'])} of {filled} come back")

# --- the same sheet on paper, and a batch
code, _, err = girths("--plan", "sizes 8 9, widths E F, pairs 1", "--sheet", "--format", "pdf", "--out", folder / "sheet.pdf")
printed = subprocess.run(["pdftotext", "-layout", folder / "sheet.pdf", "-"], capture_output=True, text=True).stdout
check(code == 0 and not err, f"the sheet as PDF: {code} {err}")
for row in range(2, tab.max_row + 1):
    name, size, width, hand, measure = (tab.cell(row, column).value for column in range(1, 6))
    low = tab.cell(row, head["not under, mm"]).value
    pattern = [name, size, width, hand, measure] + ([f"{low:.1f}"] if low is not None else [])
    check(any(all(word in line for word in pattern) for line in printed.splitlines()), f"not on the sheet of paper: {pattern}")
# Its boxes are closed: the line at their left runs from the first to the last of a page without a gap.
grey = subprocess.run(["pdftoppm", "-r", "150", "-gray", "-f", "1", "-l", "1", folder / "sheet.pdf"], capture_output=True).stdout
size, ink = grey.split(b"\n", 3)[1], grey.split(b"\n", 3)[3]
wide = int(size.split()[0])
line = [min(ink[y * wide + 62:y * wide + 68]) < 225 for y in range(len(ink) // wide)]  # 11 mm from the rim
check(line.count(True) > 1000 and all(line[line.index(True):len(line) - line[::-1].index(True)]), "a gap in the boxes of the sheet on paper")
code, _, err = girths("--readings", source, "--format", "pdf", "--out", folder / "batch.pdf")
printed = subprocess.run(["pdftotext", "-layout", folder / "batch.pdf", "-"], capture_output=True, text=True).stdout
check(code == 1 and "Findings, in the order to act on" in printed and "CL-08" in printed, f"the batch as PDF: {code} {err}")

# --- a slip and a stamp
lines = source.read_text(encoding="utf-8").splitlines()
first = next(i for i, line in enumerate(lines) if line.startswith("CL-01,"))
slip = lines[:first + 1] + [lines[first + 3], lines[first + 4].replace("227.5", "246.5")] + lines[first + 6:]
check("246.5" in slip[first + 2], "the example has other readings: look for another slip")
(folder / "slip.csv").write_text("\n".join(slip) + "\n", encoding="utf-8")
code, facts, tables, _ = judged(folder / "slip.csv")
check("CL-08 (stamped 9 F, fits 9 E)" in facts["disposition"] and "CL-01 (right ball girth 18.55 mm over)" in facts["disposition"],
      f"beside a slip: {facts['disposition']}")

# --- what more than single lasts is held
drifted = [dict(row) for row in rows]
for row in drifted:
    if row["size"] == "7.5" and row["measure"] == "ball girth":
        row["value"] = str(float(row["value"]) + 4)
out = io.StringIO()
writer = csv.DictWriter(out, rows[0].keys())
writer.writeheader()
writer.writerows(drifted)
(folder / "drifted.csv").write_text(out.getvalue(), encoding="utf-8")
ids = len({row["id"] for row in rows})
held = len({row["id"] for row in rows if row["size"] == "7.5"})
code, facts, tables, _ = judged(folder / "drifted.csv")
check(facts["disposition"].startswith(f"hold size 7.5 ({held} of {ids} pairs): the ball girth of size 7.5;") and "CL-08" in facts["disposition"],
      f"a size that drifted: {facts['disposition']}")

for fault in faults:
    print(fault)
print(f"{len(rows)} readings, {filled} filled in: {len(faults)} faults")
sys.exit(1 if faults else 0)
