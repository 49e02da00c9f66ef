"""Tickets, dates and barcodes of the demo's order: counts reckoned again, the workbook added up by openpyxl, the barcodes
read off the printed pages by zbarimg, the dates planned again period by period.

usage: check_tickets.py LASTWRIGHT STYLE FOLDER"""
import csv
import datetime
import hashlib
import json
import math
import re
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from pathlib import Path

import openpyxl

from few_sizes import few_order

kept = tempfile.TemporaryDirectory(dir=sys.argv[3], prefix="tickets-")  # its own in each run
lastwright, folder = sys.argv[1], Path(kept.name)
(folder / "few").mkdir()
style = str(few_order(sys.argv[2], folder / "few"))
demo = Path(style).parent
spec = json.loads(Path(style).read_text())
works = json.loads((demo / "works.json").read_text())
pieces = {p["name"]: p for p in spec["pieces"]}


def run(*words, code=0):
    done = subprocess.run([lastwright, *words], capture_output=True, text=True)
    assert done.returncode == code, (words, done.returncode, done.stdout, done.stderr)
    return done.stdout + done.stderr


dies = {"style": json.loads(Path(style).read_text())["name"],
        "dies": [{"die": f"D{i}", "piece": name, "serves": [{"size": "7", "width": "F"}, {"size": "8", "width": "F"}]}
                  for i, name in enumerate(pieces)]}
dies["checks_failed"] = [{"check": "forced tie", "subject": "stiffening", "value": 1, "limit": 0, "unit": "not kept", "where": "", "note": ""}]
(folder / "die-order.json").write_text(json.dumps(dies))
counted = folder / "counted.csv"
tongues = "tongue,12.5,H,4" if demo == Path(sys.argv[2]).parent else "tongue,6,E,24"
counted.write_text(f"piece,size,width,count,hand\nvamp,7,F,19,\nvamp,8.0,F,31,\n{tongues},\noutside quarter,7,F,9,L\noutside quarter,7,F,11,R\n")
out = folder / "tickets"
said = run("tickets", str(demo / "order.csv"), "--works", str(demo / "works.json"), "--out", str(out), "--force", "--dies",
           str(folder / "die-order.json"), "--counted", str(counted), code=1)
assert "CHECKS FAILED" in said and "forced tie" in said, "what the die order says failed"
assert "die order lies apart" in said or "manifest.json of the die order is missing" in said, said
# Of 10 quarters of either hand one left is missing, though there are 20 in all.
assert "short by 1: vamp 7 F\n" in said and "short by 1: outside quarter 7 F, left\n" in said and said.count("short by") == 2, said
data = json.loads((out / "tickets.json").read_text())
assert data["missing"] == [{"style": "cindergarth", "piece": "vamp", "size": "7", "width": "F", "wanted": 20, "counted": 19},
                           {"style": "cindergarth", "piece": "outside quarter", "size": "7", "width": "F", "hand": "left", "wanted": 10, "counted": 9}]
assert data["over"] == [{"style": "cindergarth", "piece": "vamp", "size": "8", "width": "F", "wanted": 30, "counted": 31},
                        {"style": "cindergarth", "piece": "outside quarter", "size": "7", "width": "F", "hand": "right", "wanted": 10, "counted": 11}]
assert "cut beyond the order by 1: vamp 8 F" in said and "counted: 4 of " in said, said

# What the die order has no die for, and files that it was not made from, are told; on the tickets too.
pairs_in = {(p["size"], p["width"]) for c in data["cases"] for p in c["pairs"]}
bare = {p["piece"]: set(p["sizes_and_widths"]) for p in data["without_die"]}
ready = {name for name, m in works["materials"].items() if m.get("bought_as") == "pieces"}
wanted = {f"{s} {w}" for s, w in pairs_in if (s, w) not in (("7", "F"), ("8", "F"))}
assert wanted and bare == {name: wanted for name, p in pieces.items() if p["material"] not in ready}, bare
stale = [line.split("without " if "other files" in line else "another ")[1].split(":")[0] for line in data["die_doubts"] if "the die order was made from" in line]
assert "style.json" in stale and "the die order has no die for vamp in" in said, said
assert said.count("the works file does not have") == 1 and "box calf 1.4 mm (tongue), box calf 1.6 mm (backstrap)" in said, said

# Pieces are for L and R wherever it is said, but for those of which each shoe takes both; a column of zones only where there are any.
with open(out / "tickets.csv", newline="") as file:
    first = next(csv.reader(file))
assert first[11:16] == ["L", "R", "as drawn", "mirrored", "either"], first
heads = [line.split() for line in subprocess.run(["pdftotext", "-l", "2", "-layout", str(out / "tickets.pdf"), "-"], capture_output=True, text=True).stdout.splitlines() if line.split()[:1] == ["piece"]]
assert len(heads) == 2 and all(line[6:9] == ["L", "R", "either"] for line in heads) and ["zone" in line for line in heads] == [True, False], heads
text = subprocess.run(["pdftotext", "-l", "1", "-layout", str(out / "tickets.pdf"), "-"], capture_output=True, text=True).stdout
assert "die order was made from" in text and "none: the die order has no die for this row" in text, text

# Pairs are numbered without a gap; a case of the assortment holds what the works file says.
numbers = [p["pair"] for c in data["cases"] for p in c["pairs"]]
assert numbers == list(range(1, 73))
for case in data["cases"]:
    if case["case"].startswith("regular"):
        held = Counter((p["size"], p["width"]) for p in case["pairs"])
        assert held == Counter({(p["size"], p["width"]): p["pairs"] for p in works["assortments"]["regular"]})
assert [c["case"] for c in data["cases"]] == [f"regular {k}" for k in range(1, 6)] + ["C-21", "C-22"]

# A ticket for each case and material; each piece of each pair is on exactly one.
of_case = {c["case"]: {p["pair"]: (p["size"], p["width"]) for p in c["pairs"]} for c in data["cases"]}
materials = {p["material"] for p in pieces.values()}
assert len(data["tickets"]) == len(of_case) * len(materials)
cut = Counter()
for ticket in data["tickets"]:
    for row in ticket["rows"]:
        piece = pieces[row["piece"]]
        assert piece["material"] == ticket["material"]
        total = row["as_drawn"] + row["mirrored"] + row["either"]
        assert total == row["pairs"] * piece["per_pair"]
        assert (row["either"] == 0) == (piece["hand"] == "handed")
        assert row["as_drawn"] == row["mirrored"] and row["drawn_foot"] == piece.get("drawn_foot", "left")
        # What is bought ready cut is counted, not cut.
        assert (ticket["material"] in ready) == ticket["ready_cut"] == (row["allowed_mm2"] is None) == (ticket["allowed_mm2"] is None), ticket
        for pair in range(row["first_pair"], row["last_pair"] + 1):
            assert of_case[ticket["case"]][pair] == (row["size"], row["width"])
            cut[pair, row["piece"]] += 1
        served = row["size"] in ("7", "8") and row["width"] == "F"
        assert row["dies"] == ([f"D{list(pieces).index(row['piece'])}"] if served and ticket["material"] not in ready else [])
assert len(cut) == 72 * len(pieces) and set(cut.values()) == {1}

# Marks stand within the net line of their piece, and say number, size and width.
framed = {p["name"] for p in spec["pieces"] for f in p.get("features", []) if "pair_number" in f}
assert framed and len(data["pair_marks"]) == 72 * len(framed)
for mark in data["pair_marks"]:
    size, width = next(c[mark["pair"]] for c in of_case.values() if mark["pair"] in c)
    assert mark["stamped"] == f"{mark['pair']} {size} {width}" and mark["piece"] in framed

book = openpyxl.load_workbook(out / "tickets.xlsx", data_only=True)
sheet = book["tickets"]
titles = [c.value for c in sheet[1]]
total = sum(r[titles.index("pieces")].value for r in sheet.iter_rows(min_row=2))
assert total == 72 * sum(p["per_pair"] for p in pieces.values()), total

# Barcodes off the page.
count = int(re.search(r"^Pages: +(\d+)", subprocess.run(["pdfinfo", str(out / "tickets.pdf")], capture_output=True, text=True, check=True).stdout, re.M)[1])
for first, last in ((1, 2), (count - 3, count)):
    subprocess.run(["pdftoppm", "-r", "150", "-gray", "-f", str(first), "-l", str(last), str(out / "tickets.pdf"), str(folder / "page")], check=True)
pages = sorted(folder.glob("page-*.pgm"))
assert len(pages) == 6 < count, (len(pages), count)
read = subprocess.run(["zbarimg", "-q", "--raw", *map(str, pages)], capture_output=True, text=True).stdout.split("\n")
wanted = {"order T0001", "order T0002"} | {f"order case {name}" for name in of_case}
assert [c["barcode"] for c in data["cases"]] == [f"order case {c['case']}" for c in data["cases"]]
assert data["order"] == "order" and 'is called "order" on tickets and labels, as its file is' in said and all(t["ticket"].startswith("order T") for t in data["tickets"]), said
assert wanted <= set(read), (wanted, read)
for page in pages:
    page.unlink()

# Labels: three times eight a page, each pair's number as a barcode, and what the demo is made of.
subprocess.run(["pdftoppm", "-r", "200", "-gray", "-f", "2", "-l", "2", str(out / "labels.pdf"), str(folder / "label")], check=True)
pages = sorted(folder.glob("label-*.pgm"))
read = subprocess.run(["zbarimg", "-q", "--raw", *map(str, pages)], capture_output=True, text=True).stdout.splitlines()
assert sorted(read) == [f"order {k:06}" for k in range(25, 49)], read
for page in pages:
    page.unlink()
text = subprocess.run(["pdftotext", "-layout", str(out / "labels.pdf"), "-"], capture_output=True, text=True).stdout
assert text.count("upper of leather") == text.count("outer sole of leather") == 72
assert "European 40" in text
# Of all sizes that the marking table lacks one line, once, and what that means.
lacks = "labels of cindergarth: the marking table iso-19407-adult has no English size 8: the line of other systems' sizes is missing on the labels of this size\n"
assert said.count(lacks) == said.count("has no English") == 1, said

# The signs of the directive: ink where the parts and what they are of stand, none between a style's part and the next.
subprocess.run(["pdftoppm", "-r", "200", "-gray", "-f", "1", "-l", "1", str(out / "labels.pdf"), str(folder / "signs")], check=True)
(page,) = folder.glob("signs-*.pgm")
head, size, _, ink = page.read_bytes().split(b"\n", 3)
wide = int(size.split()[0])
mm = 200 / 25.4
dark = lambda x, y, w, h: sum(ink[int(r) * wide + c] < 128 for r in range(int(y * mm), int((y + h) * mm)) for c in range(int(x * mm), int((x + w) * mm)))
parts = [dark(34 + 11 * k, 7.5, 5, 5) for k in range(3)]
kinds = [dark(34 + 11 * k, 13, 4.5, 4.5) for k in range(3)]
assert min(parts + kinds) > 30 and max(parts) > 1.3 * min(parts), (parts, kinds)
assert dark(40, 7.5, 4.5, 10) == 0
# What labels of a size and width have alike is in the file once, as lines and letters, and looks the same wherever it stands.
cells = {(p["size"], p["width"]) for c in data["cases"] for p in c["pairs"]}
assert (out / "labels.pdf").read_bytes().count(b"/BBox [ 0 0 199 105 ]") == len(cells)  # 70 mm by 37 mm in points
listed = subprocess.run(["pdfimages", "-list", str(out / "labels.pdf")], capture_output=True, text=True, check=True).stdout
assert len(listed.splitlines()) == 2, listed
same = [dark(4 + 70 * k, 4.5 + 37 * r, 62, 25) for k, r in ((0, 0), (1, 0))]
assert [(p["size"], p["width"]) for p in data["cases"][0]["pairs"]][:2] == [("7", "F")] * 2 and abs(same[0] / same[1] - 1) < 0.05, same
page.unlink()
labels = json.loads((out / "labels.json").read_text())
assert [p["named"] for p in labels["styles"][0]["parts"]] == [["leather"]] * 3 and labels["styles"][0]["markings"]["8"] == ""

# Counted again, with odd quantities in cases of seven, straight from the file's rows; zones of the hide stand on the ticket.
odd = folder / "odd-order.csv"
odd.write_text("size,width,pairs,case,order\n7,F,3,,SO-7/2 of spring\n6,E,11,,\n7,F,61,Z9,\n6,E,1,,\n7,F,13,,\n")
sevens = dict(works, pairs_per_case=7, styles={"cindergarth": str(Path(style).resolve())})
(folder / "sevens.json").write_text(json.dumps(sevens))
told_odd = run("tickets", str(odd), "--works", str(folder / "sevens.json"), "--out", str(folder / "odd"), "--force")
data = json.loads((folder / "odd" / "tickets.json").read_text())
assert sorted(len(c["pairs"]) for c in data["cases"]) == [7, 7, 7, 7, 61]
# The order's own name stands on everything; where a label has no room for it as bars, that is told.
assert {t["ticket"].rsplit(" ", 1)[0] for t in data["tickets"]} == {data["order"]} == {"SO-7/2 of spring"} and "the labels' barcodes say the pair's number alone" in told_odd, told_odd
titles = [c.value for c in openpyxl.load_workbook(folder / "odd/tickets.xlsx")["sorting list"][2]]
assert titles[0] == data["order"], titles
text = "".join(subprocess.run(["pdftotext", "-layout", str(folder / "odd" / f"{name}.pdf"), "-"], capture_output=True, text=True).stdout for name in ("labels", "tickets"))
assert text.count("SO-7/2 of spring, case") == 89 and "Cutting ticket SO-7/2 of spring T0001" in text and "Sorting list by pair, order SO-7/2 of spring" in text
# Each page of the sorting list is numbered and names the case of its first pair; only what is longer than a page is parted.
sheets = [page for page in text.split("\f") if "Sorting list by pair" in page]
assert len(sheets) > 1 and sum("case Z9: cindergarth, continued" in page for page in sheets) == 1, sheets
for k, page in enumerate(sheets):
    assert f"order SO-7/2 of spring, page {k + 1} of {len(sheets)}" in page, page
    assert re.search(r"case \S+", page).start() < re.search(r"^ *pair \d", page, re.M).start(), page
assert "".join(sheets).count(", continued") == 1, sheets
ordered = Counter({("7", "F"): 77, ("6", "E"): 12})
found = Counter()
for ticket in data["tickets"]:
    for row in ticket["rows"]:
        found[row["piece"], row["size"], row["width"]] += row["as_drawn"] + row["mirrored"] + row["either"]
        assert row["zone"] == " or ".join(works["cutting"].get(row["piece"], {}).get("zones", []))
assert found == Counter({(name, *at): n * p["per_pair"] for name, p in pieces.items() for at, n in ordered.items()})
assert data["pieces_counted_again"] == sum(found.values())
# What the law leaves out of a material stands on its tickets as with what is to buy.
zoned = {row["piece"] for ticket in data["tickets"] for row in ticket["rows"] if row["zone"]}
for ticket in data["tickets"]:
    mine = {row["piece"] for row in ticket["rows"]} & zoned
    assert ("states zones for" in json.dumps(ticket)) == bool(mine), ticket

# Rows of two orders share no case, ticket or label, unless the user calls all of it one order.
(folder / "both.csv").write_text("size,width,pairs,order\n7,F,3,A\n7,F,2,B\n")
done = subprocess.run([lastwright, "tickets", str(folder / "both.csv"), "--works", str(folder / "sevens.json"), "--out", str(folder / "none")], capture_output=True, text=True)
assert done.returncode == 3 and "rows of 2 orders (A, B)" in done.stderr and not (folder / "none").exists(), done

# A die order for all of it, made from these files but one, is in doubt for that one alone, and as it has no manifest.
root = Path(sys.argv[2]).resolve().parents[2]
made_from = [{"file": name, "sha256": hashlib.sha256(next(p for d in (Path(style).parent, root) for p in sorted(d.rglob(name))).read_bytes()).hexdigest()} for name in stale]
whole = dict(dies, made_from=made_from, checks_failed=[], dies=[dict(d, serves=[{"size": "7", "width": "F"}, {"size": "6", "width": "E"}]) for d in dies["dies"]])
whole["made_from"][stale.index("style.json")]["sha256"] = "0" * 64
(folder / "die-order.json").write_text(json.dumps(whole))
(folder / "few.csv").write_text("size,width,pairs\n7,F,2\n6,E,1\n")
said = run("tickets", str(folder / "few.csv"), "--works", str(folder / "sevens.json"), "--out", str(folder / "odd"), "--force", "--dies", str(folder / "die-order.json"), code=1)
doubts = [doubt for doubt in json.loads((folder / "odd" / "tickets.json").read_text())["die_doubts"] if "manifest.json" not in doubt]
assert "the die order was made from another style.json: have it made again" in said and len(doubts) == 1 and "style.json" in doubts[0], (said, doubts)

# A column of the marking table that holds another scale's sizes is refused.
marked = dict(sevens, labels={"marking": {"table": "iso-19407-adult", "column": "American men"}})
(folder / "marked.json").write_text(json.dumps(marked))
done = subprocess.run([lastwright, "tickets", str(odd), "--works", str(folder / "marked.json"), "--out", str(folder / "none")], capture_output=True, text=True)
assert done.returncode == 3 and 'the scale english, which is the column "English"' in done.stderr, done

# A case's barcode says the order's name and its own whole name; where that is too much its own, which is told; or there is none, and that is told.
names = ["Z" * 16, "long case " + "x" * 30, "Gr\u00f6\u00dfe 42", "y" * 41]
odd.write_text("size,width,pairs,case\n" + "".join(f"7,F,1,{name}\n" for name in names))
told = run("tickets", str(odd), "--works", str(folder / "sevens.json"), "--out", str(folder / "odd"), "--force")
assert told.count("has no barcode") == 2 and all(f"case {name} has no barcode" in told for name in names[2:])
last = int(subprocess.run(["pdfinfo", str(folder / "odd/tickets.pdf")], capture_output=True, text=True).stdout.split("Pages:")[1].split()[0])
subprocess.run(["pdftoppm", "-r", "200", "-gray", "-f", str(last), str(folder / "odd/tickets.pdf"), str(folder / "odd-page")], check=True)
read = subprocess.run(["zbarimg", "-q", "--raw", *map(str, folder.glob("odd-page-*.pgm"))], capture_output=True, text=True).stdout.split("\n")
for page in folder.glob("odd-page-*.pgm"):
    page.unlink()
assert set(read) - {""} == {"odd-order case " + names[0], names[1]}, read
assert f"the barcode of case {names[1]} says its number alone" in told and told.count("says its number alone") == 1, told

# Dates: what the order takes of each supply by period, planned again.
needs = json.loads((Path(sys.argv[3]) / "needs/needs.json").read_text())  # as check_needs.py had it written
out = folder / "dates"
run("dates", str(demo / "works.json"), "--order", str(demo / "order.csv"), "--out", str(out), "--force")
dates = json.loads((out / "dates.json").read_text())
period_pairs = defaultdict(Counter)
for row in csv.DictReader((demo / "order.csv").open()):
    if row["assortment"]:
        for part in works["assortments"][row["assortment"]]:
            period_pairs[int(row["period"])][part["size"], part["width"]] += int(row["cases"]) * part["pairs"]
    else:
        period_pairs[int(row["period"])][row["size"], row["width"]] += int(row["pairs"])
more = {(m["size"], m["width"], m["material"]): m for m in needs["one_more_pair"]}
periods = dates["periods"]
assert periods == 7
for item in dates["items"]:
    supply = works["supplies"][item["item"]]
    demand = Counter()
    for period, pairs in period_pairs.items():
        if supply["unit"] == "sq ft":
            quantity = sum(n * more[s, w, item["item"]]["to_buy_mm2"] / 92903.04 for (s, w), n in pairs.items())
        elif supply["unit"] in ("m", "sheets"):
            told = f"{item['item']}: of its roll whole rows are ordered" in json.dumps(dates)
            assert told == (supply["unit"] == "m"), item["item"]
            # A size that is wanted in one period takes what the order takes; else its stretches are those of the periods.
            rolls = [p for p in needs["pieces"] if p["material"] == item["item"] and "roll_mm" in p and (p["size"], p["width"]) in pairs]
            assert all(pairs[p["size"], p["width"]] == p["pairs"] for p in rolls)
            quantity = sum(p["roll_mm"] / 1000 for p in rolls) if told else sum(n * p["pieces"] / p["pairs"] / p["per_unit"] for p in needs["pieces"] if p["material"] == item["item"]
                           for (s, w), n in pairs.items() if (s, w) == (p["size"], p["width"]))
        elif "per_case" in supply:
            quantity = supply["per_case"] * {6: 5, 7: 2}[period]
        else:
            quantity = supply["per_pair"] * sum(pairs.values())
        demand[period - supply.get("ahead", 0)] += quantity
    hand, release = supply.get("stock", 0.0), Counter()
    for t in range(1, periods + 1):
        hand -= demand[t]
        if hand < -1e-6:
            lot = supply.get("multiple")
            order = math.ceil(-hand / lot - 1e-9) * lot if lot else -hand
            release[t - supply["lead"]] += order
            hand += order
        assert abs(item["on_hand"][t] - hand) < 1e-3 * (1 + hand), (item["item"], t, hand, item["on_hand"])
    for t in range(periods + 1):
        assert abs(item["to_order"][t] - release[t]) < 1e-3 * (1 + release[t]), (item["item"], t)
first = datetime.date.fromisoformat(works["calendar"]["first"])
# What is bought is the least that is ever enough: whole lots by a program of integers.
import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
for item in dates["items"]:
    supply = works["supplies"][item["item"]]
    if "multiple" not in supply:
        continue
    need = np.array(item["needed"], float) - np.array(item["on_order"], float)
    need[0] -= supply.get("stock", 0.0)
    ones = np.tril(np.ones((periods + 1, periods + 1))) * supply["multiple"]
    best = milp(np.arange(periods + 1, 0, -1.0), integrality=np.ones(periods + 1), bounds=Bounds(0, np.inf),
                constraints=LinearConstraint(ones[1:], np.cumsum(need)[1:] - 1e-6, np.inf))
    assert best.success
    assert abs(best.x * supply["multiple"] - np.array(item["planned_in"])).max() < 1e-3 * supply["multiple"], item["item"]
for order in dates["orders"]:
    assert order["order_by"] == str(first + datetime.timedelta(days=7 * (order["order_in"] - 1)))
assert len(dates["orders"]) == sum(1 for i in dates["items"] for q in i["planned_in"] if q > 0)
print("tickets, barcodes and dates agree")
