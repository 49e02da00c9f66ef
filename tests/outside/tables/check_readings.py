"""Tables and readings, checked by general-purpose libraries.

 - every reference table against reference-tables/schema.json by jsonschema;
 - a sound batch of readings: bias, spread, their intervals and the steps by size and width, reckoned again by numpy and
   scipy from the readings, the table and the noise as printed;
 - the spreadsheet of the girths, opened by openpyxl: numbers are numbers, nothing is a formula, values as in the CSV.
usage: check_readings.py LASTWRIGHT STYLE.json TABLE-FOLDER
"""
import csv
import io
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile

import jsonschema
import numpy as np
import openpyxl
from scipy import stats

program, style, tables = sys.argv[1:4]
faults = []


def check(holds, text):
    if not holds:
        faults.append(text)


def run(*arguments):
    result = subprocess.run([program, *arguments], capture_output=True, check=False)
    return result.returncode, result.stdout


# --- tables
folder = pathlib.Path(tables)
schema = json.loads((folder / "schema.json").read_text(encoding="utf-8"))
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
files = sorted(f for f in folder.glob("*.json") if f.name != "schema.json")
check(len(files) >= 30, "hardly any reference tables found")
for file in files:
    for error in validator.iter_errors(json.loads(file.read_text(encoding="utf-8"))):
        faults.append(f"{file.name}: {error.json_path}: {error.message}")

# --- the table as printed
code, text = run("girths", style, "--format", "json")
check(code == 0, "girths failed")
rows = json.loads(text)["tables"][0]["rows"]
value = {(r["size"], r["width"], r["measure"]): r["mm"] for r in rows}

# --- a sound batch
random.seed(20)
measures = ["stick length", "ball girth", "instep girth"]
sizes, widths = ["6", "7.5", "8", "9", "11"], ["E", "F", "H"]
readings = []
for number, (size, width, pair) in enumerate((s, w, p) for s in sizes for w in widths for p in range(2)):
    for hand in ("left", "right"):
        for measure in measures:
            reading = round(value[size, width, measure] + random.gauss(0.1, 0.4), 2)
            readings.append((f"L{number:03}", size, width, hand, measure, reading))
with tempfile.TemporaryDirectory() as scratch:
    path = pathlib.Path(scratch) / "readings.csv"
    path.write_text("id,size,width,hand,measure,value,unit\n"
                    + "".join(",".join(map(str, r)) + ",mm\n" for r in readings), encoding="utf-8")
    code, text = run("girths", style, "--readings", str(path), "--limit", "* 3 mm", "--format", "json")
    check(code == 0, f"the sound batch ended with {code}")
    book = {t["name"]: t["rows"] for t in json.loads(text)["tables"]}
    xlsx = pathlib.Path(scratch) / "girths.xlsx"
    run("girths", style, "--format", "xlsx", "--out", str(xlsx))
    workbook = openpyxl.load_workbook(xlsx)

off = {r[:5]: r[5] - value[r[1], r[2], r[4]] for r in readings}


# Both figures are rounded: the result to 0.01 mm, the table it is reckoned from to 0.001 mm.
def near(found, wanted, what, digits=0.00551):
    check(found is not None and abs(found - wanted) <= digits, f"{what}: {found} where scipy has {wanted:.4f}")


compared = 0
for row in book["bias"]:
    of = row["group"]
    keep = {"all": lambda k: True, "left": lambda k: k[3] == "left", "right": lambda k: k[3] == "right"}.get(of)
    if of.startswith("size "):
        keep = lambda k, label=of[5:]: k[1] == label
    if of.startswith("width "):
        keep = lambda k, label=of[6:]: k[2] == label
    sample = np.array([v for k, v in off.items() if k[4] == row["measure"] and keep(k)])
    n, mean, spread = len(sample), sample.mean(), sample.std(ddof=1)
    low, high = stats.t.interval(0.95, n - 1, loc=mean, scale=spread / np.sqrt(n))
    what = f"{row['measure']}, {of}"
    check(row["lasts"] == n, f"{what}: n")
    near(row["bias_mm"], mean, what + " bias")
    near(row["bias_low_mm"], low, what + " bias low")
    near(row["bias_high_mm"], high, what + " bias high")
    near(row["spread_mm"], spread, what + " spread")
    near(row["spread_low_mm"], spread * np.sqrt((n - 1) / stats.chi2.ppf(0.975, n - 1)), what + " spread low")
    near(row["spread_high_mm"], spread * np.sqrt((n - 1) / stats.chi2.ppf(0.025, n - 1)), what + " spread high")
    compared += 1
check(compared == 3 * (1 + len(sizes) + len(widths) + 2), f"{compared} groups compared")

# The steps are generalised least squares with the model's own weights: the covariance of each measure is put together again
# from the noise that is printed, the readings' weights left out (few are wide), so what is compared is near, not equal.
noise = {row["of"]: row["spread_mm"] for row in book["noise"]}
one, pair = noise["one reading about its last"], noise["a measure of a pair, left and right alike"]
girth = [noise["all girths of a last"], noise["all girths of a pair"]]
for row in book["steps"]:
    keys = [k for k in off if k[4] == row["measure"]]
    design = np.array([[1.0, float(k[1]), float("DEFGH".index(k[2]))] for k in keys])
    y = np.array([off[k] for k in keys])
    alike = np.array([[a[0] == b[0] for b in keys] for a in keys]).astype(float)
    own = one**2 + (girth[0]**2 if "girth" in row["measure"] else 0)
    shared = pair**2 + (girth[1]**2 if "girth" in row["measure"] else 0)
    inverse = np.linalg.inv(own * np.eye(len(keys)) + shared * alike)
    covariance = np.linalg.inv(design.T @ inverse @ design)
    solution = covariance @ design.T @ inverse @ y
    for column, name in ((1, "size"), (2, "width")):
        half = stats.norm.ppf(0.975) * np.sqrt(covariance[column, column])
        near(row[f"{name}_step_mm"], solution[column], f"{row['measure']} step by {name}", 0.02)
        near(row[f"{name}_low_mm"], solution[column] - half, f"{row['measure']} step by {name}, low", 0.03)
        near(row[f"{name}_high_mm"], solution[column] + half, f"{row['measure']} step by {name}, high", 0.03)

# --- spreadsheet
cells = 0
for name in workbook.sheetnames:
    for line in workbook[name].iter_rows():
        for cell in line:
            check(cell.data_type != "f", f"{name} {cell.coordinate} is a formula")
for measure in measures:
    sheet = workbook[measure]
    head = [c.value for c in sheet[1]]
    for line in sheet.iter_rows(min_row=2, values_only=True):
        for title, cell in zip(head[1:], line[1:]):
            width, unit = title.split(", ")
            wanted = value[str(line[0]), width, measure] / (25.4 if unit == "in" else 1.0)
            # The whole value, not the digits shown: the table it is held against has 0.001 mm.
            check(isinstance(cell, (int, float)) and abs(cell - wanted) < 0.00051, f"{measure} {line[0]} {title}: {cell}")
            cells += 1
check(cells == 3 * 17 * 10, f"{cells} cells of the spreadsheet compared")

# --- the example of the README
code, text = run("girths", style, "--readings", str(pathlib.Path(style).with_name("readings.csv")), "--format", "json")
book = {t["name"]: t["rows"] for t in json.loads(text)["tables"]}
check(code == 1, f"the example ended with {code}")
check([(r["kind"], r["finding"].split(":")[0]) for r in book["findings"]][:2]
      == [("stamp", "CL-08, stamped 9 F"), ("reading", "CL-05 right, stamped 8 E")]
      and [r["finding"].split(" ", 1)[1] for r in book["findings"][2:]]
      == [f"readings of the {m} girth beyond the limit, as the findings above explain" for m in ("ball", "instep")],
      f"findings of the example: {book['findings']}")
check("those of 9 E" in book["findings"][0]["finding"], "the example's mis-stamped pair is not explained by 9 E")
check(re.search(r"is [\d,]+ times less likely", book["findings"][0]["finding"]), "no next best explanation")
check([r["best"] for r in book["lasts"] if r["id"] == "CL-08"] == ["9 E", "9 E"], "CL-08 below")
# Read to 0.5 mm: where four lasts read the same, Student's t on 0.5 / sqrt(12) and 95 % of half a step.
same = [r for r in book["bias"] if r["spread_mm"] == 0 and r["lasts"] == 4]
check(len(same) >= 2, "no readings of the example coincide")
for row in same:
    half = np.hypot(stats.t.ppf(0.975, 3) * 0.5 / np.sqrt(12) / 2, 0.95 * 0.25)
    near(row["bias_high_mm"] - row["bias_mm"], half, f"{row['measure']}, {row['group']}: step", 0.0101)
check([(r["id"], r["measure"]) for r in book["pairs"] if r["verdict"] == "beyond"] == [], "left against right of the example")

for fault in faults[:40]:
    print(fault)
print(f"{len(files)} tables, {compared} groups, {cells} spreadsheet cells: {len(faults)} faults")
sys.exit(1 if faults else 0)
