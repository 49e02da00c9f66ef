"""The report of a run, as a user meets it.

Without a browser: the file is written whole or not at all, has every measure and finding.
In headless Chromium: nothing is loaded from anywhere, real clicks and keys work the choosers and layers, the outline shown is
the one in the DXF (read by ezdxf), phone and desktop, light and dark, print. Names that try to break out of the page stay text.
usage: check_report.py LASTWRIGHT STYLE.json GRADED-FOLDER ORDER-FOLDER [PICTURE-FOLDER]; the order as tests/outside/dies has it made
"""
import html
import json
import math
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import ezdxf
import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "planning"))
import page_checks
from browser import Browser
from few_sizes import few_sizes
from faults import check, faults

program, (style, graded, order) = sys.argv[1], map(pathlib.Path, sys.argv[2:5])
pictures = pathlib.Path(sys.argv[5]) if len(sys.argv) > 5 else None
if pictures:
    pictures.mkdir(exist_ok=True)


def run(*arguments):
    result = subprocess.run([program, *map(str, arguments)], capture_output=True, check=False)
    return result.returncode, result.stdout.decode(), result.stderr.decode()


def fresh(folder):
    folder.mkdir()
    return folder


# --- the file
def check_file(folder):
    page = folder / "report.html"
    code, said, error = run("report", style, "--out", page, "--order", order, "--date", "4 June")
    check(code == 0 and "Cutting may begin with trial pairs" in said, f"report ended with {code}: {said} {error}")
    text = page.read_text(encoding="utf-8")
    print(f"page: {page.stat().st_size / 1e6:.2f} MB")
    check(page.stat().st_size < 3e6, "the page is larger than 3 MB")
    code, _, error = run("report", style, "--out", page)
    check(code == 5 and page.read_text(encoding="utf-8") == text, f"an existing page was not left alone: {code}")
    code, _, _ = run("report", style, "--out", style, "--force")
    check(code == 5 and json.loads(style.read_text(encoding="utf-8")), f"a page over its own style: {code}")
    check(not re.search(r"""(src|href)\s*=\s*["'](?!#)|url\(|@import""", re.sub(r"<script.*?</script>", "", text, flags=re.S)), "the page names something to load")
    _, findings, _ = run("check", style, "--all")
    checks = {line[7:23].strip() for line in findings.splitlines() if re.match(r"  (ok|FAIL|    )  ", line)}
    check(len(checks) >= 5, f"hardly any checks in: {findings[:200]}")
    for name in checks:
        check(f'<span class="name">{name}</span>' in text, f"the check {name} is not on the page")
    check_words(text)
    check_order(text, order, folder)
    return page


def check_order(text, order, folder):
    """The dies on the page are those of the order, by its numbers; an order of other files, or changed by hand, is told."""
    for words in ("order number: 17-A; date: 3 June; contact: not stated", "<dd>4 June</dd>", "Lastwright 0.", "Cutting may begin with trial pairs"):
        check(words in text, f"not on the page: {words}")
    content = json.loads((order / "die-order.json").read_text(encoding="utf-8"))
    data = json.loads(re.search(r'<script id="data"[^>]*>(.*?)</script>', text, re.S)[1])
    numbers = {(p["name"], d[0], d[1]) for p in data["pieces"] for d in p["dies"]}
    check(numbers == {(d["piece"], d["die"], d["drawn_as"]) for d in content["dies"]}, "the page has other dies than the order")
    # What is wrong with an order is seen of a style in few sizes, which takes less time.
    few = few_sizes(style, fresh(folder / "few"), **{"from": "7.5", "to": "8.5", "widths": ["F"]})
    order = folder / "few order"
    code, _, error = run("dies", few, "--out", order)
    check(code == 0, f"the order of few sizes ended with {code}: {error}")
    content = json.loads((order / "die-order.json").read_text(encoding="utf-8"))
    for name, change, code, words in (
            ("other files", lambda c: c["made_from"][0].update(sha256="0" * 64), 1, "the die order was made from another"),
            ("another style", lambda c: c.update(style="another"), 3, "is for the style"),
            ("served twice", lambda c: c["dies"].append(dict(c["dies"][0])), 3, "two dies serve the same"),
            ("no numbers", lambda c: c["totals"].pop("dies_to_make"), 3, "no number")):
        changed = json.loads(json.dumps(content))
        change(changed)
        (folder / "changed.json").write_text(json.dumps(changed), encoding="utf-8")
        got, _, error = run("report", few, "--out", folder / "changed.html", "--force", "--order", folder / "changed.json")
        seen = error if code == 3 else (folder / "changed.html").read_text(encoding="utf-8")
        check(got == code and words in seen, f"{name}: {got} {error}")

    # What the order itself says failed, and a folder that is not as it was written.
    def told(name, code, told_words, alter):
        copy = folder / "altered"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(order, copy)
        alter(copy)
        got, said, error = run("report", few, "--out", folder / "altered.html", "--force", "--order", copy)
        seen = html.unescape((folder / "altered.html").read_text(encoding="utf-8"))
        check(got == code and all(words in seen for words in told_words) and ("Cutting may not begin" in said) == (code == 1), f"{name}: {got} {said} {error}")

    def failed(copy):
        tie = {"check": "forced tie", "subject": "stiffening", "value": 34, "limit": 0, "unit": "not kept", "where": "", "note": "8 E: a seam"}
        (copy / "die-order.json").write_text(json.dumps({**content, "checks_failed": [tie]}), encoding="utf-8")
        (copy / "manifest.json").unlink()

    drawing, other = (die["file"] for die in content["dies"][:2])
    told("checks of the order", 1, ["of the die order: forced tie, stiffening"], failed)
    told("a drawing changed, another lost", 1, [f"of the die order: {drawing}: the file is not the one", f"of the die order: {other}: the file is missing"],
         lambda copy: ((copy / drawing).write_text("0\nEOF\n"), (copy / other).unlink()))
    told("no manifest", 0, ["manifest.json of the die order is missing"], lambda copy: (copy / "manifest.json").unlink())


def check_words(text):
    """What the style says of the edges, and figures without noise."""
    words = html.unescape(re.sub(r"<[^>]*>", "\n", text[:text.index('<script id="data"')])).replace("\u00a0", " ")
    pieces = json.loads(style.read_text(encoding="utf-8"))["pieces"]
    steps = 0
    for piece in pieces:
        line = next(l for l in re.findall(r"<tr>.*?</tr>", text) if f">{piece['name']}</th>" in l and f"<td>{piece['hand']}</td>" in l)
        line = html.unescape(line).replace("\u00a0", " ")
        check(("cut double" in line) == ("fold" in piece), f"cut double or not: {line}")
        for edge in piece["edges"]:
            for size, more in edge.get("allowance_from", {}).items():
                steps += 1
                check(f"{edge['allowance']:g} mm, {more:g} mm from {size}" in line, f"{piece['name']}, {edge['name']}: no step from {size} in {line}")
    check(steps >= 5, f"{steps} allowances that change with the size")
    for noise in (r"-0\.0+ ", r"\de-\d\d", r"corner of 180", r"(\w[\w ]* to [\w ]+\w) \(\1\)"):
        found = re.search(noise, words)
        check(not found, f"on the page: {found and found[0]!r}")


def hostile_style(folder):
    """The demo with names that try to leave their place."""
    nasty = "</script><script>window.broken=1</script>&amp;\"'<!--slot:data-->"
    spec = json.loads(style.read_text(encoding="utf-8"))
    spec["name"] = spec["works"] = nasty
    spec["run"] = {**spec["run"], "from": "7.5", "to": "8.5", "widths": ["F"]}
    spec["note"] = "<img src=http://203.0.113.1/x onerror=window.broken=1><style>*{background:url(http://203.0.113.1/y)}</style>"
    for piece in spec["pieces"]:
        piece.pop("sizes_tied", None)
        for feature in piece.get("features", []):
            feature.pop("counts", None)
        piece["material"] = nasty
        if piece["name"] == "vamp":
            piece["name"] = "vamp" + nasty
    for seam in spec["seams"]:
        for side in ("one", "other"):
            if seam[side]["piece"] == "vamp":
                seam[side]["piece"] = "vamp" + nasty
    for measure in spec["measures"].values():
        if not measure.get("from_scale"):
            measure["source"] = nasty
    hostile = folder / "hostile"
    shutil.copytree(style.parent, hostile)
    (hostile / "style.json").write_text(json.dumps(spec), encoding="utf-8")
    code, _, error = run("report", hostile / "style.json", "--out", hostile / "report.html")
    check(code == 0, f"a style with odd names ended with {code}: {error}")
    return hostile / "report.html", nasty


def check_failing_style(folder):
    """An allowance that cannot be built somewhere in the run: the page is made, says so first, and the exit code tells."""
    failing = fresh(folder / "failing")
    spec = json.loads(few_sizes(style, failing, **{"from": "7.5", "to": "8.5", "widths": ["F"]}).read_text(encoding="utf-8"))
    for edge in next(p for p in spec["pieces"] if p["name"] == "outside quarter")["edges"]:
        edge["allowance"] = 90
    (failing / "style.json").write_text(json.dumps(spec), encoding="utf-8")
    code, _, error = run("report", failing / "style.json", "--out", failing / "report.html")
    check(code == 1, f"a style that fails ended with {code}: {error}")
    text = (failing / "report.html").read_text(encoding="utf-8")
    first = text[text.index('id="attention"'):text.index('id="nest"')]
    check(re.search("Failed: [1-9]", first) and "no cut line in" in first and "Cutting may not begin" in first and "outside quarter" in first, f"warnings: {first[:500]}")


# --- geometry against the DXF
def dxf_segments(file):
    """Segments of the CUT polyline as (x0, y0, x1, y1, bulge)."""
    outline = next(e for e in ezdxf.readfile(file).modelspace() if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CUT")
    points = list(outline.get_points("xyb"))
    return np.array([(*a[:2], *b[:2], a[2]) for a, b in zip(points, points[1:] + points[:1])])


def distances(points, segments):
    """Of each point from the nearest segment, line or arc, by the formulas of the bulge."""
    best = np.full(len(points), np.inf)
    for x0, y0, x1, y1, bulge in segments:
        a, b = np.array([x0, y0]), np.array([x1, y1])
        chord = np.linalg.norm(b - a)
        if chord == 0:
            continue
        if abs(bulge) < 1e-9:
            t = np.clip((points - a) @ (b - a) / chord**2, 0, 1)
            best = np.minimum(best, np.linalg.norm(points - (a + t[:, None] * (b - a)), axis=1))
            continue
        left = np.array([a[1] - b[1], b[0] - a[0]]) / chord
        centre = (a + b) / 2 + left * chord * (1 - bulge**2) / (4 * bulge)
        radius = chord * (1 + bulge**2) / (4 * abs(bulge))
        start = math.atan2(*(a - centre)[::-1])
        turn = (np.arctan2(points[:, 1] - centre[1], points[:, 0] - centre[0]) - start) * np.sign(bulge) % (2 * math.pi)
        on = np.abs(np.linalg.norm(points - centre, axis=1) - radius)
        ends = np.minimum(np.linalg.norm(points - a, axis=1), np.linalg.norm(points - b, axis=1))
        best = np.minimum(best, np.where(turn <= 4 * math.atan(abs(bulge)), on, ends))
    return best


def arc_lengths(segments):
    chord = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    sweep = 4 * np.arctan(np.abs(segments[:, 4]))
    return np.where(sweep < 1e-8, chord, chord / 2 * sweep / np.where(sweep < 1e-8, 1, np.sin(np.where(sweep < 1e-8, 1, sweep / 2)))).sum()


def along(segments, count):
    """Points at equal steps of length from the first corner round to it, arcs by the formulas of the bulge."""
    chord = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    sweep = 4 * np.arctan(segments[:, 4])
    safe = np.where(np.abs(sweep) < 1e-8, 1, sweep)
    lengths = np.where(np.abs(sweep) < 1e-8, chord, chord / 2 * safe / np.sin(safe / 2))
    ends = np.concatenate([[0], np.cumsum(lengths)])
    points = []
    for s in np.linspace(0, ends[-1], count, endpoint=False):
        i = min(np.searchsorted(ends, s, side="right") - 1, len(segments) - 1)
        t = (s - ends[i]) / lengths[i]
        x0, y0, x1, y1, _ = segments[i]
        turn = sweep[i] * (t - 1) / 2  # of the part's chord from the whole chord
        part = t if abs(sweep[i]) < 1e-8 else math.sin(sweep[i] * t / 2) / math.sin(sweep[i] / 2)
        dx, dy = (x1 - x0) * part, (y1 - y0) * part
        points.append((x0 + dx * math.cos(turn) - dy * math.sin(turn), y0 + dx * math.sin(turn) + dy * math.cos(turn)))
    return np.array(points)


def turned_back(points, segments):
    """Points of the page in the frame of the DXF: the least squares turn and move (Kabsch), no scale and no mirror."""
    there = along(segments, len(points))
    here, aim = points - points.mean(axis=0), there - there.mean(axis=0)
    angle = math.atan2((here[:, 0] * aim[:, 1] - here[:, 1] * aim[:, 0]).sum(), (here * aim).sum())
    c, s = math.cos(angle), math.sin(angle)
    return here @ np.array([[c, s], [-s, c]]) + there.mean(axis=0), angle


def choose(browser, box, name):
    """A real click on the choice with this name."""
    number = browser.run("[...document.querySelectorAll('#%s label')].findIndex(l => l.textContent.trim() === %s) + 1" % (box, json.dumps(name)))
    check(number > 0, f"no choice {name} in {box}")
    browser.click(f"#{box} label:nth-of-type({number}) input")


def check_outlines(browser):
    worst, compared, shapes = 0.0, 0, []
    pieces = sorted(f.name for f in (graded / "pieces").iterdir())
    check(len(pieces) > 10, "no graded pieces to compare with")
    doubled = {p["name"] for p in json.loads(style.read_text(encoding="utf-8"))["pieces"] if "fold" in p}
    cells = (("5", "D"), ("13", "H"), ("10.5", "F"))
    for number, piece in enumerate(pieces):
        choose(browser, "piece-choice", piece)
        for size, width in cells if os.environ.get("TESTS_LONG") else (cells[(number - len(pieces)) % 3],):  # the last is the one that follows below
            choose(browser, "size-choice", size)
            choose(browser, "width-choice", width)
            length, points = browser.run(page_checks.CHOSEN)
            segments = dxf_segments(graded / "pieces" / piece / f"{piece} {size} {width}.dxf")
            points = np.array(points)
            if piece in doubled:  # lies with its fold level on the page
                points, _ = turned_back(points, segments)
            off = distances(points, segments).max()
            worst, compared = max(worst, off), compared + 1
            shapes.append(round(length, 3))
            check(off < 0.02, f"{piece} {size} {width}: {off:.4f} mm from the DXF")
            check(abs(length - arc_lengths(segments)) < 2e-4 * length, f"{piece} {size} {width}: length {length} against {arc_lengths(segments)}")
            shown = browser.run("document.querySelector('#readout dd').textContent")
            check(abs(float(shown.split()[0]) - length) < 0.1, f"{piece} {size} {width}: the length shown is {shown}")
    check(len(set(shapes)) > 0.9 * len(shapes), "the chooser does not change the outline")
    print(f"{compared} outlines against their DXF: {worst:.4f} mm at most")


# --- clicks and keys
def check_clicks(browser):
    count = lambda key: browser.run(f"document.querySelectorAll('#stage .op-{key}').length")
    choose(browser, "piece-choice", "outside quarter")
    keys = browser.run("[...document.querySelectorAll('#layer-choice input')].map(i => i.value)")
    check({"cut", "hole", "stitch"} <= set(keys), f"layers: {keys}")
    for number, key in enumerate(keys, 1):
        before, total = count(key), browser.run("document.querySelectorAll('#stage .nest *').length")
        browser.click(f"#layer-choice label:nth-of-type({number}) input")
        check(count(key) == 0 and (before == 0 or browser.run("document.querySelectorAll('#stage .nest *').length") < total), f"layer {key} does not go")
        browser.click(f"#layer-choice label:nth-of-type({number}) input")
        check(count(key) == before, f"layer {key} does not come back")
    others = lambda: browser.run("document.querySelectorAll('#stage .other').length")
    numbers = {}
    for name in ("this one", "sizes of the width", "widths of the size", "whole run"):
        choose(browser, "draw-choice", name)
        numbers[name] = others()
    sizes, widths = (browser.run(f"document.querySelectorAll('#{box} input').length") for box in ("size-choice", "width-choice"))
    check(list(numbers.values()) == [0, sizes - 1, widths - 1, sizes * widths - 1], f"outlines drawn: {numbers}")
    for box, shown in (("show-marks", ".other .op-stitch"), ("show-grid", "#grid .ruled")):
        before = browser.run(f"document.querySelectorAll('#stage {shown}').length")
        browser.click("#" + box)
        check(browser.run(f"document.querySelectorAll('#stage {shown}').length") > before, f"{box} shows nothing")
        browser.click("#" + box)
    view = lambda: list(map(float, browser.run("document.getElementById('stage').getAttribute('viewBox')").split()))
    fit = view()
    browser.click("#nearer")
    check(view()[2] < fit[2], "nearer does nothing")
    browser.click("#fit")
    check(view() == fit, "fit does not fit")
    # Every shown outline of note has its label, none over another.
    boxes = browser.run("[...document.querySelectorAll('#stage .name')].map(e => { const b = e.getBoundingClientRect(); return [e.textContent, b.left, b.top, b.right, b.bottom]; })")
    check(len(boxes) == 4 and any("base" in b[0] for b in boxes), f"labels of the nest: {boxes}")
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            # A line of text is higher than its letters.
            check(min(a[3], b[3]) <= max(a[1], b[1]) or min(a[4], b[4]) - max(a[2], b[2]) < 4, f"labels over each other: {a} {b}")
    # A click on an outline chooses it: the rightmost point of another one, a pixel inside its line.
    choose(browser, "draw-choice", "sizes of the width")
    choose(browser, "size-choice", "8")
    place = browser.run("""(() => { const stage = document.getElementById("stage"); stage.scrollIntoView({block: "center", behavior: "instant"});
      const path = document.querySelector('#stage .other[data-cell^="16 "] .op-cut'), long = path.getTotalLength();
      for (let i = 0; i < 500; ++i) { const p = path.getPointAtLength(long * i / 500).matrixTransform(path.getScreenCTM());
        const hit = document.elementFromPoint(p.x, p.y); if (hit === path) return [p.x, p.y]; } return null; })()""")
    check(place is not None, "no point of the largest outline can be reached")
    if place:
        browser.click_at(*place)
        check(browser.run("document.querySelector('#size-choice input:checked').value") == "16", "a click on an outline does not choose it")
    choose(browser, "measure-choice", "instep girth")
    check(browser.run("[...document.querySelectorAll('.measure')].filter(m => m.getClientRects().length).map(m => m.querySelector('h3').textContent)") == ["instep girth"],
          "the measure chooser does not choose")
    choose(browser, "unit-choice", "inches to 1/32")
    shown = browser.run("[...document.querySelectorAll('.measure:not(.aside) .here')].filter(e => e.getClientRects().length && e.tagName === 'TD').map(e => e.textContent)")
    check(len(shown) == 1 and re.fullmatch(r"\d+( \d+/\d+)?", shown[0]), f"inches at the chosen size: {shown}")
    choose(browser, "unit-choice", "millimetres")


def check_keys(browser, page):
    """Everything by Tab, arrows, Space and Enter alone, from the top of a fresh page."""
    browser.open(page.as_uri())
    order = []
    for _ in range(80):
        browser.key("Tab")
        at = browser.run(page_checks.FOCUS)
        order.append(at)
        where = at.split(" (")[0]
        if where == "piece":
            browser.key("ArrowRight")
            check(browser.run("document.getElementById('stage-title').textContent").startswith("toe cap"), "arrows do not change the piece")
        elif where == "size":
            browser.key("ArrowRight")
            check("8.5 F" in browser.run("document.getElementById('stage-title').textContent"), "arrows do not change the size")
        elif where == "width":
            browser.key("ArrowRight")
            check("8.5 G" in browser.run("document.getElementById('stage-title').textContent"), "arrows do not change the width")
        elif where == "draw":
            browser.key("ArrowLeft")
            check(browser.run("document.querySelectorAll('#stage .other').length") == 0, "arrows do not change what is drawn")
        elif where == "stage":
            for key in ("]", "}", "+", "ArrowLeft"):
                browser.key(key)
            check("9 H" in browser.run("document.getElementById('stage-title').textContent"), "] and } do not change size and width")
            browser.key("0")
        elif where == "show-grid":
            browser.key(" ")
            check(browser.run("document.querySelectorAll('#grid .ruled').length") == 1, "Space does not tick a box")
        elif where == "tone":
            before = browser.run("getComputedStyle(document.body).backgroundColor")
            browser.key("Enter")
            check(browser.run("getComputedStyle(document.body).backgroundColor") != before, "Enter does not press the switch")
        elif where == "measure":
            browser.key("ArrowRight")
            check(browser.run("document.querySelectorAll('.measure:not(.aside) h3')[0].textContent") == "waist girth", "arrows do not change the measure")
        elif where.startswith("seam"):
            browser.key("Enter")
            check(browser.run("document.activeElement.parentElement.open") is True, "Enter does not open a list")
            break
    for wanted in ("tone", "piece", "size", "width", "draw", "stage", "nearer", "fit", "show-base", "show-grid", "measure", "unit", "seam"):
        check(any(a.startswith(wanted) for a in order), f"the keyboard does not reach {wanted}: {order}")
    check(not [a for a in order if a.endswith("(not marked)")], f"focus that cannot be seen: {[a for a in order if a.endswith('(not marked)')]}")


# --- looks
def check_looks(browser, page):
    for scheme in ("light", "dark"):
        browser.prefer(scheme)
        browser.size(1366, 900)
        browser.open(page.as_uri())
        browser.run("document.querySelectorAll('details').forEach(d => { d.open = true; })")
        found = browser.run(page_checks.CONTRAST)
        check(found["seen"] > 500 and not found["bad"], f"{scheme}: too little contrast: {found['bad']}")
        dark = browser.run("getComputedStyle(document.body).backgroundColor.match(/\\d+/g).every(n => n < 64)")
        check(dark == (scheme == "dark"), f"{scheme} is not followed")
        browser.click("#tone")
        check(browser.run("getComputedStyle(document.body).backgroundColor.match(/\\d+/g).every(n => n < 64)") != dark, "the switch does nothing")
        found = browser.run(page_checks.CONTRAST)
        check(not found["bad"], f"{scheme}, switched: too little contrast: {found['bad']}")
        browser.click("#tone")
        if pictures:
            browser.run("document.querySelectorAll('details').forEach(d => { d.open = false; })")
            browser.picture(pictures / f"desktop-{scheme}.png")
            browser.run("document.getElementById('nest').scrollIntoView()")
            browser.picture(pictures / f"nest-{scheme}.png")
    browser.prefer("light")
    for wide in (360, 768):
        browser.size(wide, 740, phone=True)
        browser.open(page.as_uri())
        browser.run("document.querySelectorAll('details').forEach(d => { d.open = true; })")
        check(browser.run("document.documentElement.scrollWidth") <= wide, f"at {wide} px the page scrolls sideways")
        check(not browser.run(page_checks.TOO_WIDE), f"at {wide} px too wide: {browser.run(page_checks.TOO_WIDE)}")
        small = browser.run("[...document.querySelectorAll('button, .chips span, .tiles span, .layers label')].filter(e => e.getClientRects().length &&"
                            " Math.min(e.getBoundingClientRect().width, e.getBoundingClientRect().height) < 24).map(e => e.textContent)")
        check(not small, f"at {wide} px too small to touch (WCAG 2.2, 2.5.8: 24 px): {small[:5]}")
        if pictures:
            browser.run("document.querySelector('.stage-box').scrollIntoView()")
            browser.picture(pictures / f"wide-{wide}.png")


def check_print(browser, page, folder):
    browser.prefer("dark")
    browser.size(1366, 900)
    browser.open(page.as_uri())
    browser.pdf(folder / "report.pdf")
    info = subprocess.run(["pdfinfo", folder / "report.pdf"], capture_output=True, text=True, check=True).stdout
    pages = int(re.search(r"Pages:\s+(\d+)", info)[1])
    texts = subprocess.run(["pdftotext", "-layout", folder / "report.pdf", "-"], capture_output=True, text=True, check=True).stdout
    check(re.search(r"Page size:\s+59[45]\.\d* x 84[12]", info) is not None, "the print is not on A4")
    check(pages <= 27, f"the print has {pages} pages")  # a third of them the tables of measures and of dies
    names = browser.run("[...document.querySelectorAll('.measure h3')].map(h => h.textContent)")
    for wanted in [*names, "Nothing failed", "seam", "girth growth", "Ties", "dies to make", "outsole, all sizes in F"]:
        check(wanted in texts, f"the print lacks {wanted}")
    for number, text in enumerate(texts.split("\f")[:pages], 1):
        check(text.strip(), f"page {number} of the print is empty")
        check(f"page {number} of {pages}" in text and "Report: Cindergarth welted derby boot; 4 June" in text, f"page {number} of the print does not say whose it is")
        last = text.strip().splitlines()[-2:][0]
        check(not re.search(r"(passed|reported) +\d+ of them", last), f"page {number} of the print ends with a heading over nothing: {last}")
    shades = subprocess.run(["pdftoppm", "-r", "20", "-gray", "-f", "1", "-l", "1", folder / "report.pdf"], capture_output=True, check=True).stdout
    check(np.frombuffer(shades[-20000:], np.uint8).mean() > 200, "the print is dark where the screen is")
    print(f"print: {pages} pages of A4")
    if pictures:
        shutil.copy(folder / "report.pdf", pictures / "report.pdf")


def check_hostile(browser, page, nasty):
    before = len(browser.requests)
    browser.open(page.as_uri())
    check(browser.requests[before:] == [page.as_uri()], f"odd names load {browser.requests[before:]}")
    check(browser.run("window.broken") is None, "an odd name ran as a script")
    check(browser.run("document.querySelector('h1').textContent") == nasty, "an odd name is not shown as it is")
    check(browser.run("[...document.querySelectorAll('#piece-choice label')][0].textContent") == "vamp" + nasty, "an odd piece is not shown")
    check(browser.run("document.querySelectorAll('img, iframe, object, embed, link').length") == 0, "an odd name made an element")
    check(browser.run("document.querySelectorAll('#stage .chosen path').length") > 0, "nothing is drawn for a style with odd names")


def check_without_script(browser, page):
    browser.send("Emulation.setScriptExecutionDisabled", value=True)
    browser.open(page.as_uri())
    document = browser.send("DOM.getDocument", depth=0)["root"]["nodeId"]
    table = browser.send("DOM.querySelector", nodeId=document, selector=".measure table")["nodeId"]
    box = browser.send("DOM.getBoxModel", nodeId=table)["model"]
    check(box["height"] > 100, "without scripts the measures cannot be seen")
    browser.send("Emulation.setScriptExecutionDisabled", value=False)


def main():
    with tempfile.TemporaryDirectory(prefix="report-check-", dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None) as scratch:
        folder = pathlib.Path(scratch)
        page = check_file(folder)
        check_failing_style(folder)
        hostile, nasty = hostile_style(folder)
        chromium = shutil.which("chromium")
        if chromium is None:
            print("SKIPPED: what needs a browser. Install one with: apt-get install --no-install-recommends chromium")
            return 1 if faults else 77
        with Browser(chromium) as browser:
            browser.size(1366, 900)
            browser.prefer("light")
            browser.open(page.as_uri())
            check(browser.requests == [page.as_uri()], f"the page loads {browser.requests}")
            timing = browser.run("(() => { const n = performance.getEntriesByType('navigation')[0];"
                                 " return [performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1, n.loadEventEnd]; })()")
            print(f"load: first paint after {timing[0]:.0f} ms, ready after {timing[1]:.0f} ms")
            check_outlines(browser)
            check_clicks(browser)
            check_keys(browser, page)
            check_looks(browser, page)
            check_print(browser, page, folder)
            check_hostile(browser, hostile, nasty)
            check_without_script(browser, page)
            outside = [r for r in browser.requests if r not in (page.as_uri(), hostile.as_uri())]
            check(not outside, f"something was loaded: {outside[:5]}")
            check(not browser.messages, f"the console says: {browser.messages[:5]}")
    print(f"{len(faults)} faults")
    return 1 if faults else 0


sys.exit(main())
