"""Orders as workbooks: what openpyxl and XlsxWriter's like write is read as the same order as CSV, several styles and
cases of assortments in one; what is damaged is refused with its place.

usage: check_orders.py LASTWRIGHT STYLE FOLDER"""
import datetime
import io
import json
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl

lastwright, style, folder = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]) / "orders"
shutil.rmtree(folder, ignore_errors=True)
folder.mkdir(parents=True)
slipper = style.parent.parent.parent / "tests/golden/slipper"
shutil.copy(slipper / "shell.dxf", folder)
made = json.loads((slipper / "style.json").read_text())
(folder / "slipper.json").write_text(json.dumps(made))
made["name"] = "Other slipper"
made["run"] = {"from": "7", "to": "8", "widths": ["F"], "also": [{"from": "8", "to": "9", "by": "1/2", "widths": ["G"]}]}
made["pieces"][0]["material"] = "felt 4 mm"
(folder / "other.json").write_text(json.dumps(made))
(folder / "works.json").write_text(json.dumps({
    "lastwright_works": 1, "styles": {"slipper": "slipper.json", "other": "other.json"},
    "assortments": {"six": [{"size": "7", "width": "F", "pairs": 2}, {"size": "8", "width": "F", "pairs": 4}]}}))


def run(*words, code=0, says=""):
    done = subprocess.run([lastwright, *map(str, words)], capture_output=True, text=True)
    assert done.returncode == code and says in done.stdout + done.stderr, (words, done.returncode, done.stdout, done.stderr)
    return done.stdout + done.stderr


def needs(order, name, *more, code=0, says=""):
    told = run("needs", order, "--works", folder / "works.json", "--out", folder / name, "--force", *more, code=code, says=says)
    return told, json.loads((folder / name / "needs.json").read_text())


def book(name, rows, sheets=("order",)):
    workbook = openpyxl.Workbook()
    workbook.remove(workbook.active)
    for sheet in sheets:
        page = workbook.create_sheet(sheet)
        for row in rows if sheet == sheets[-1] else [["about"], ["nothing"]]:
            page.append(row)
    workbook.save(folder / name)
    return folder / name


head = ["style", "size", "width", "pairs", "assortment", "cases", "case", "period"]
rows = [head, ["slipper", 7, "F", 12, None, None, "C1", 3], ["slipper", 7.5, "G", 3, None, None, "C1", 3],
        ["# a note that is passed over"], [], ["other", "8.0", "F", 5, None, None, None, 4], ["other", "8 1/2", "G", 2, None, None, "C2", 4],
        ["slipper", None, None, None, "six", 3, None, 4], ["other", None, None, None, "six", 2, "B", 5]]
(folder / "order.csv").write_text("\n".join(",".join("" if c is None else str(c) for c in row) for row in rows))
_, csv_needs = needs(folder / "order.csv", "n-csv")
_, xlsx_needs = needs(book("order.xlsx", rows), "n-xlsx")
assert csv_needs["pairs"] == 12 + 3 + 5 + 2 + 18 + 12 and {p["style"] for p in csv_needs["pieces"]} == {"slipper", "other"}
strip = lambda needs: {k: v for k, v in needs.items() if k not in ("order", "file")}
assert strip(csv_needs) == strip(xlsx_needs)
# Both styles' pieces of one material come together.
felt = {m["material"]: m for m in csv_needs["materials"]}
assert all(m["bought_as"] == m["unit"] == "not stated" for m in felt.values())  # the works file says nothing of them
assert felt["felt 3 mm"]["pieces"] == sum(p["pieces"] for p in csv_needs["pieces"] if p["material"] == "felt 3 mm")
assert {p["style"] for p in csv_needs["pieces"] if p["material"] == "felt 3 mm"} == {"slipper", "other"}
assert {p["style"] for p in csv_needs["pieces"] if p["material"] == "felt 4 mm"} == {"other"}

# A run as columns; of several sheets the one called order, or the one that is named.
wide = [["style", "7 F", "8 G", "9 G"], ["slipper", 4, None, 1], ["other", 0, 6, 2]]
assert needs(book("wide.xlsx", wide, ("about", "order")), "n-wide")[1]["pairs"] == 13
two = book("two.xlsx", wide, ("about", "autumn"))
run("needs", two, "--works", folder / "works.json", "--out", folder / "none", code=2, says='"about", "autumn", and none is called order')
run("needs", two, "--works", folder / "works.json", "--out", folder / "none", "--sheet", "autum", code=2, says='did you mean "autumn"')
assert needs(two, "n-two", "--sheet", "autumn")[1]["pairs"] == 13
# Another sheet with such headings is not read, which is told and counts as left out; one without is told.
both = openpyxl.load_workbook(book("both.xlsx", wide, ("about", "order")))
page = both.create_sheet("order page 2")
for row in (["style", "size", "width", "pairs"], ["slipper", 7, "F", 12]):
    page.append(row)
both.save(folder / "both.xlsx")
told, first = needs(folder / "both.xlsx", "n-both", code=1, says='the sheet "order page 2" has such headings too')
assert first["pairs"] == 13 and len(first["rows_left_out"]) == 1 and any('not read: "about"' in doubt for doubt in first["doubts"]), first
run("needs", folder / "order.csv", "--works", folder / "works.json", "--out", folder / "none", "--sheet", "x", code=2, says="the file is none")

# What a row cannot say is listed with its row and is in no figure.
odd = [["style", "size", "width", "pairs"], ["slipper", 7, "F", 2], ["slipper", 7, "F", "=1+1"], ["slipper", 7, "F", 2.5],
       ["other", 9, "F", 1], ["slipper", 7, "F", 3, "over"], ["slipper", True, "F", 3], ["slipper", 8.25, "F", 3], ["slippers", 8, "F", 3],
       ["slipper", 12345678901234567, "F", 3]]
told, few = needs(book("odd.xlsx", odd), "n-odd", code=1)
assert few["pairs"] == 2
for line, says in ((3, "the cell D3 is a formula whose value was not saved"), (4, 'not "2.5"'), (5, "is not made in 9 F: size 9 is made in G"), (6, "E6 stands under no heading"),
                   (7, "the cell B7 holds TRUE or FALSE"), (8, 'not made in size "8.25"'), (9, 'did you mean "slipper"'), (10, "the cell B10 is a number of more than 15 digits")):
    assert f"odd.xlsx:{line}:" in told and says in told, (line, told)
assert len(few["rows_left_out"]) == 8
# Formulas with kept values, shared texts with marks for reading aloud, prefixes, numbers as some programs keep them.
sheet = ('<?xml version="1.0"?><x:worksheet xmlns:x="m"><x:sheetData><x:row r="2"><x:c r="A2" t="s"><x:v>0</x:v></x:c><x:c r="B2" t="inlineStr"><x:is><x:t>width</x:t></x:is></x:c>'
         '<x:c r="C2" t="str"><x:f>"pa"&amp;"irs"</x:f><x:v>pairs</x:v></x:c><x:c r="D2" t="s"><x:v>1</x:v></x:c></x:row>'
         '<x:row r="7"><x:c r="A7"><x:v>7.50E0</x:v></x:c><x:c r="B7" t="s"><x:v>2</x:v></x:c><x:c r="C7"><x:f>2*3</x:f><x:v>6</x:v></x:c><x:c r="D7" t="inlineStr"><x:is><x:t>slip</x:t><x:t>per</x:t></x:is></x:c></x:row>'
         '</x:sheetData></x:worksheet>')
texts = '<sst><si><t>size</t><rPh sb="0"><t>nothing</t></rPh></si><si><r><t>sty</t></r><r><t>le</t></r></si><si><t xml:space="preserve"> &#70; </t></si></sst>'


def packed(sheet=sheet, texts=texts, method=zipfile.ZIP_DEFLATED, name="xl/worksheets/sheet9.xml"):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as z:
        z.writestr("xl/workbook.xml", '<workbook><sheets><sheet name="any" r:id="r1"/></sheets></workbook>')
        z.writestr("xl/_rels/workbook.xml.rels", '<Relationships><Relationship Id="r1" Target="/xl/worksheets/sheet9.xml"/></Relationships>')
        z.writestr("xl/sharedStrings.xml", texts)
        z.writestr(name, sheet)
    return out.getvalue()


(folder / "own.xlsx").write_bytes(packed())
assert needs(folder / "own.xlsx", "n-own")[1]["pairs"] == 6
(folder / "stored.xlsx").write_bytes(packed(method=zipfile.ZIP_STORED))
assert needs(folder / "stored.xlsx", "n-own")[1]["pairs"] == 6

# Where no row is understood nothing is planned, and each row is named.
(folder / "none.csv").write_text("size,width,pairs\n99,F,3\n8,Q,2\n")
told = run("needs", folder / "none.csv", "--works", folder / "works.json", "--out", folder / "none", code=3, says="no row of the order is understood")
assert "none.csv:2" in told and "none.csv:3" in told and not (folder / "none").exists(), told

# Damage of every kind: a documented code and a word, nothing written.
good = packed()
cases = {
    "cut": (good[:-30], "cut short"), "flipped": (good.replace(b"PK\x01\x02", b"PK\x01\x09", 1), "directory of the ZIP archive is broken"),
    "old": (b"\xd0\xcf\x11\xe0" + bytes(600), "old form"), "other": (packed().replace(b"xl/workbook.xml", b"xl/workbood.xml"), "a ZIP archive that holds no workbook"),
    "lost": (packed(name="xl/worksheets/sheet8.xml"), "the archive has no xl/worksheets/sheet9.xml"), "dtd": (packed("<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>"), "document type"),
    "deep": (packed("<a>" * 2000), "nests too deep"), "open": (packed("<worksheet><sheetData><row>"), "is broken in line"), "entity": (packed(sheet.replace("&amp;", "&boom;")), "is broken in line"),
    "empty": (packed("<worksheet><sheetData/></worksheet>"), "the sheet is empty"), "rows": (packed(sheet.replace('r="7"', 'r="1"')), "not in order"),
    "bomb": (packed("<worksheet>" + " " * (200 << 20) + "</worksheet>"), "unpacks to more than"),
    "wide": (packed(sheet.replace('"D7"', '"XFD7"')), "more columns than are read"), "text": (packed(sheet.replace("<x:v>2</x:v></x:c><x:c r=\"C7\"", "<x:v>99</x:v></x:c><x:c r=\"C7\"")), "does not have"),
}
for name, (data, says) in cases.items():
    (folder / f"{name}.xlsx").write_bytes(data)
    run("needs", folder / f"{name}.xlsx", "--works", folder / "works.json", "--out", folder / "none", code=3, says=says)
assert not (folder / "none").exists()

# Tickets and dates take the workbook as well; two styles' cases stay apart, and each die order names its own style's dies.
run("dies", folder / "slipper.json", "--out", folder / "dies")
run("tickets", folder / "order.xlsx", "--works", folder / "works.json", "--dies", folder / "dies", "--out", folder / "tickets", says='does not say which foot its drawings show ("drawn_foot"')
tickets = json.loads((folder / "tickets/tickets.json").read_text())
# Which foot the drawings show is not known: that stands wherever pieces are counted as drawn and mirrored.
foot = [note for note in tickets["notes"] if "does not say which foot" in note]
assert len(foot) == 2 and all(note in (folder / "tickets/notes.csv").read_text().replace('""', '"') for note in foot), tickets["notes"]
assert [note for note in (cell.value for row in openpyxl.load_workbook(folder / "tickets/tickets.xlsx")["notes"] for cell in row) if note in foot] == foot
named = {(t["style"], bool(r["dies"])) for t in tickets["tickets"] for r in t["rows"]}
assert ("slipper", True) in named and ("other", True) not in named, named
run("dates", folder / "works.json", "--order", folder / "order.xlsx", "--out", folder / "dates")
# Headings below a title, in any capitals; cells that are dates where a date is asked for, and nowhere else.
(folder / "dated.json").write_text(json.dumps({**json.loads((folder / "works.json").read_text()), "calendar": {"first": "2031-03-31", "days": 7}}))
dated = [["Order 12 of ours"], [], ["Style ", "SIZE", "Width", "Pairs", "Case", "Due", "Remark"], ["slipper", 7, "F", 4, "C1", datetime.date(2031, 4, 10), datetime.date(2031, 1, 2)],
         ["slipper", 8, "F", 2, None, "10.4.31", None], ["slipper", datetime.date(2031, 8, 7), "F", "two"]]
told = run("dates", folder / "dated.json", "--order", book("dated.xlsx", dated), "--out", folder / "dated", code=1)
for line, says in ((3, "in line 1, is not read"), (3, '"Remark"'), (5, 'written like 2031-04-17, not "10.4.31"'), (6, "the cell B6 is a date")):
    assert any(f"dated.xlsx:{line}: " in one and says in one for one in told.splitlines()), (line, says, told)
assert json.loads((folder / "dated/dates.json").read_text())["cases"] == [{"case": "C1", "style": "slipper", "pairs": 4, "pairs_in_case": 4, "assortment": None, "period": 2, "due": "2031-04-10", "begins": "2031-04-07"}]
assert (folder / "dated/cases by date.csv").read_text().splitlines()[1] == "C1,slipper,4,2,2031-04-07,2031-04-10,4,none"

# The report's page takes the order too, every table of it; what is left out decides the exit code.
run("report", folder / "slipper.json", "--pairs", folder / "order.xlsx", "--works", folder / "works.json", "--out", folder / "report.html",
    says=f"{csv_needs['pairs']} pairs in")
page = (folder / "report.html").read_text()
assert 'href="#plan"' in page and "<h2 id=\"plan-title\">The order</h2>" in page
for material in csv_needs["materials"]:
    assert f"{material['scale_mm2'] / 1e4:.2f}" in page.split('id="plan"')[1], material
for words in ("one more pair", "What must be ordered by when", "How pairs are kept together"):
    assert words in page, words
run("report", folder / "slipper.json", "--pairs", folder / "odd.xlsx", "--works", folder / "works.json", "--out", folder / "odd.html", code=1, says="8 rows of the order left out")
# Hides that the works file draws are laid there, for each style that is cut from them; a name that no style has is refused.
import ezdxf
doc = ezdxf.new("R2000")
doc.header["$INSUNITS"] = 4
doc.modelspace().add_lwpolyline([(0, 0), (720, 16), (800, 400), (680, 560), (48, 512)], close=True, dxfattribs={"layer": "hide"})
doc.saveas(folder / "hide.dxf")
works = json.loads((folder / "works.json").read_text())
works["materials"] = {"felt 3 mm": {"hide": {"outline": "hide.dxf"}}}
works["cutting"] = {"vamp": {"within_degrees": 2}}
(folder / "drawn.json").write_text(json.dumps(works))
run("report", folder / "slipper.json", "--pairs", folder / "order.csv", "--works", folder / "drawn.json", "--out", folder / "drawn.html")
drawn = (folder / "drawn.html").read_text().split("How whole pairs lie on your hides")[1]
for name in ("slipper", "other"):
    assert f"<h4>felt 3 mm: {name}</h4>" in drawn
assert drawn.count("<g><title>") > 20 and drawn.count("whole pairs") == 2
# The drawing that the works file names is no place for an output.
before = (folder / "hide.dxf").read_bytes()
run("report", folder / "slipper.json", "--pairs", folder / "order.csv", "--works", folder / "drawn.json", "--out", folder / "none.html", "--json", folder / "hide.dxf", "--force",
    code=5, says="this is an input of the same run")
assert (folder / "hide.dxf").read_bytes() == before and not (folder / "none.html").exists()
works["cutting"] = {"vmap": {"within_degrees": 2}}
(folder / "drawn.json").write_text(json.dumps(works))
run("report", folder / "slipper.json", "--pairs", folder / "order.csv", "--works", folder / "drawn.json", "--out", folder / "none.html", code=3,
    says='no style of the works has a piece "vmap" (did you mean "vamp"?)')
# What one style's labels say of their own.
works.update(cutting={}, materials={"felt 3 mm": {"kind": "textile"}, "flet 4 mm": {"kind": "textile"}, "cork": {}},
             labels={"stock_number": "all", "parts": {"upper": ["vamp", "quarter"]}, "by_style": {"other": {"stock_number": "O-7"}}})
(folder / "labels-works.json").write_text(json.dumps(works))
run("tickets", folder / "order.csv", "--works", folder / "labels-works.json", "--out", folder / "labels",
    says='no piece is of "flet 4 mm"; did you mean "felt 4 mm"?')
assert {s["style"]: s["stock_number"] for s in json.loads((folder / "labels/labels.json").read_text())["styles"]} == {"slipper": "all", "other": "O-7"}
works["labels"]["by_style"]["mule"] = {"made": "x"}
(folder / "labels-works.json").write_text(json.dumps(works))
run("tickets", folder / "order.csv", "--works", folder / "labels-works.json", "--out", folder / "none", code=3, says='names no style "mule"')
run("report", folder / "slipper.json", "--out", folder / "without.html")
assert 'id="plan"' not in (folder / "without.html").read_text()
run("report", folder / "slipper.json", "--pairs", folder / "order.csv", "--out", folder / "none.html", code=2)
# A plot says which pieces state no material where others of the style do; where none does, nothing.
plotted = json.loads((slipper / "style.json").read_text())
for without in (["vamp"], ["vamp", "quarter"]):
    for piece in plotted["pieces"]:
        if piece["name"] in without:
            piece.pop("material", None)
    (folder / "plain.json").write_text(json.dumps(plotted))
    told = run("plot", folder / "plain.json", "--paper", "A1", "--out", folder / "plot.pdf", "--force")
    text = subprocess.run(["pdftotext", "-raw", folder / "plot.pdf", "-"], capture_output=True, text=True, check=True).stdout
    assert ("no material is stated for vamp; other pieces of the style have one" in told) == ("no material stated, 2 per pair" in text) == (without == ["vamp"]), (told, text)
    assert "felt 3 mm, 4 per pair" in text or without != ["vamp"], text
print(f"{csv_needs['pairs']} pairs of two styles, {len(cases)} damaged workbooks")
