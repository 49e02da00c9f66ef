"""A run that is a matrix, on the page: the ruler greys what is not made and never goes there, its parts are sentences, and a part
that is written anew is in the file and made by the commands.
usage: check_matrix_page.py LASTWRIGHT SLIPPER-FOLDER
"""
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "report"))
from browser import Browser
from faults import check, faults
from opened import Opened
from page import Page

program, slipper = sys.argv[1], pathlib.Path(sys.argv[2])
chromium = shutil.which("chromium")
if not chromium:
    print("no browser: skipped")
    sys.exit(77)
PARTS = [{"from": "6", "to": "8", "by": "1/2", "widths": ["F"]}, {"from": "7", "to": "8", "by": "1/2", "widths": ["G", "E"]}, {"from": "8", "to": "9", "widths": ["F", "G"]}]
SIZES, WIDTHS = ["6", "6.5", "7", "7.5", "8", "9"], ["E", "F", "G"]
MADE = {(s, "F") for s in SIZES} | {(s, w) for s in ("7", "7.5", "8") for w in "EG"} | {("9", "G")}
folder = pathlib.Path(tempfile.mkdtemp(prefix="matrix-page-"))
shutil.copy(slipper / "shell.dxf", folder)
style = json.loads((slipper / "style.json").read_text())
style["run"] = {**PARTS[0], "also": PARTS[1:]}
(folder / "style.json").write_text(json.dumps(style))


def cell(size, width, sizes=SIZES):
    return sizes.index(size) * len(WIDTHS) + WIDTHS.index(width)


with Opened(program, folder) as opened, Browser(chromium) as browser:
    page = Page(browser, opened, check)
    at = lambda: browser.run("document.querySelector('#ruler').getAttribute('aria-valuetext').replace(', the base', '').replace('size and width ', '')")
    unmade = lambda: set(browser.run("[...document.querySelectorAll('#ruler td.unmade')].map(e => Number(e.dataset.cell))"))
    check(unmade() == {cell(s, w) for s in SIZES for w in WIDTHS if (s, w) not in MADE}, f"the ruler greys {unmade()}")
    browser.click(f"#ruler td[data-cell='{cell('7', 'E')}']")
    check(at() == "7 E", f"7 E is shown as {at()}")
    # What is not made is never gone to: by a click, and along the whole of every row by keys.
    browser.click(f"#ruler td[data-cell='{cell('6', 'G')}']")
    check(at() == "6 F", f"a click on 6 G, which is not made, shows {at()}")
    seen = set()
    browser.run("document.querySelector('#ruler').focus()")
    for key in ["ArrowDown", *["ArrowRight"] * 6, "ArrowDown", *["ArrowLeft"] * 6, "ArrowUp", "End", "Home"]:
        browser.key(key)
        seen.add(tuple(at().split(" ")))
    check(seen <= MADE and len(seen) >= 6, f"the keys went to {seen - MADE}, of {len(seen)}")
    # A part is written anew.
    page.word("widths of part 3", "E F G")
    page.stepped(1, "the widths of the third part")
    page.until(f"!document.querySelector(\"#ruler td[data-cell='{cell('9', 'E')}']\").classList.contains('unmade')", "9 E is still grey")
    check(unmade() == {cell(s, w) for s in SIZES for w in WIDTHS if (s, w) not in MADE | {("9", "E")}}, f"then the ruler greys {unmade()}")
    page.word("first size of part 2", "6.5")
    page.stepped(2, "the first size of the second part")
    page.press("Keep in the file")
    page.until("document.body.textContent.includes('style.json: kept')", "not kept")
run = json.loads(opened.style.read_text())["run"]
check(run == {**PARTS[0], "also": [{**PARTS[1], "from": "6.5"}, {**PARTS[2], "widths": ["E", "F", "G"]}]}, f"in the file: {run}")
told = subprocess.run([program, "check", str(opened.style)], capture_output=True, text=True, check=False)
check(f"{len(MADE) + 3} of them made" in told.stdout, f"made: {told.stdout.splitlines()[:1]} {told.stderr}")
shutil.rmtree(folder)
shutil.rmtree(opened.folder)
print(f"{len(MADE)} of {len(SIZES) * len(WIDTHS)} cells, {len(seen)} gone to by keys")
for fault in faults:
    print("FAILED:", fault)
sys.exit(1 if faults else 0)
