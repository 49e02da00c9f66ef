"""From drawings alone to a graded set in the page of `lastwright open`, in headless Chromium by real clicks and keys, which are
counted: a women's court from loose pieces, a child's sandal with a strap; then work on the file, a changed drawing and another
version under tracing paper.
usage: check_drafts.py LASTWRIGHT STYLE-FOLDER [PICTURE-FOLDER]
"""
import json
import math
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

import ezdxf

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "report"))
import shoes
from browser import Browser
from faults import check, faults
from opened import Opened
from page import Page

program, demo = sys.argv[1], pathlib.Path(sys.argv[2])
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
if pictures:
    pictures.mkdir(exist_ok=True)


def run(folder, *words):
    return subprocess.run([program, *words], cwd=folder, capture_output=True, text=True, check=False, timeout=300)


def values(thing):
    """Numbers, texts, yes and no in a style, what is only proposed left out."""
    if isinstance(thing, dict):
        return sum(values(one) for key, one in thing.items() if key not in ("proposed", "note"))
    return sum(values(one) for one in thing) if isinstance(thing, list) else 1


def cut_lines(folder):
    """{file of a piece in a size and width: what a die of its cut line is, wherever it lies: area, length, moments}."""
    found = {}
    for path in sorted(folder.glob("pieces/**/*.dxf")):
        outlines = []
        for line in ezdxf.readfile(path).modelspace().query("LWPOLYLINE"):
            if line.closed:
                flat = []
                for part in line.virtual_entities():
                    ends = part.flattening(0.001) if part.dxftype() == "ARC" else [part.dxf.start, part.dxf.end]
                    ends = [(p.x, p.y) for p in ends]
                    if flat and math.dist(flat[-1], ends[0]) > math.dist(flat[-1], ends[-1]):
                        ends.reverse()
                    flat.extend(ends if not flat else ends[1:])
                outlines.append(flat)
        area = lambda p: 0.5 * sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(p, p[1:] + p[:1]))
        points = max(outlines, key=lambda p: abs(area(p)))
        whole = area(points)
        cx = sum((a[0] + b[0]) * (a[0] * b[1] - b[0] * a[1]) for a, b in zip(points, points[1:] + points[:1])) / (6 * whole)
        cy = sum((a[1] + b[1]) * (a[0] * b[1] - b[0] * a[1]) for a, b in zip(points, points[1:] + points[:1])) / (6 * whole)
        far = [math.dist(p, (cx, cy)) for p in points]
        found[path.name] = abs(whole), sum(math.dist(a, b) for a, b in zip(points, points[1:] + points[:1])), max(far), min(far)
    return found


def opened_page(browser, folder, words, style):
    opened = Opened(program, folder, at=folder, words=words, style=style)
    return opened, Page(browser, opened, check, pictures)


def greeted(page):
    page.until("document.querySelector('#question')?.textContent.includes('A first draft')", "a first draft is not told")


def browser_left(page):
    return int(page.text("#pencil summary").rpartition(" ")[2])


def finish(page, folder, style, name):
    """Everything inked, kept, graded from the page; the checks pass, and what was done is little beside what is stated."""
    left = browser_left(page)
    page.say("ink everything")
    page.until("document.querySelector('#pencil summary').textContent === 'In pencil: 0'", "there is still something in pencil")
    page.until("!document.querySelector('.bead.broken') && document.querySelector('.bead.whole')", f"{name}: a check fails: {page.text('#beads')}")
    page.say("make the set")
    page.until("/Make the set: done/.test(document.querySelector('#worklist .job')?.textContent ?? '')", f"{name}: no set was made: {page.text('#worklist')} {page.text('#told')}")
    stated = values(json.loads((folder / style).read_bytes()))
    print(f"{name}: {page.actions} actions for {stated} values, {100 * page.actions / stated:.0f} %; {left} of {page.proposed} proposals inked as they were")
    check(page.actions <= stated / 4, f"{name}: {page.actions} actions for {stated} values")
    checked = run(folder, "check", style)
    check(checked.returncode == 0, f"{name} fails its checks: {checked.stdout}")


def check_court(browser):
    folder = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
    shoes.write(folder / "loose.dxf", shoes.COURT_UPPER, shoes.side_by_side(shoes.COURT_UPPER))
    shoes.write(folder / "bottom.dxf", shoes.COURT_BOTTOM)
    opened, page = opened_page(browser, folder, ("loose.dxf", "bottom.dxf"), "loose.json")
    with opened:
        greeted(page)
        page.press("Say size", "#question")
        page.until("document.querySelector('#question [name=size]')", "nothing is asked")
        page.answer(scale="paris-point", size="37", widths="N M W", run="36 38 1", kinds="court")
        page.stepped(1, "drafted anew")
        greeted(page)
        page.until("document.querySelector('#stage').dataset.shows === '37 M' && document.querySelector('#ruler').getAttribute('aria-valuetext').startsWith('size and width 37 M')", "the sheet does not show the new sample")
        page.picture("court 1")
        page.proposed = browser_left(page)
        page.press("Later", "#question")
        done = page.actions
        check_bench(page)
        page.actions = done
        # What only the pattern maker knows: the material, a wider top line, a stitch line, holes to sew a bow by.
        for piece, material in (("vamp", "calf 1.2 mm"), ("quarter outside", "calf 1.2 mm"), ("quarter inside", "calf 1.2 mm"), ("insole", "board 2 mm"), ("outsole", "leather 4 mm")):
            page.say("hold " + piece)
            page.until(f"document.querySelector('#held h2')?.textContent === {json.dumps(piece)}", f"{piece} is not held")
            page.word("material", material)
        page.stepped(6, "materials")
        page.say("hold vamp")
        page.word("top line: allowance", "6")
        page.stepped(7, "a wider top line")
        page.press("top line", "#held")
        page.until("document.querySelector('#held h2')?.textContent.includes('top line')", "the top line is not held")
        page.say("stitch along")
        page.stepped(8, "a stitch line")
        page.word("inset", "3")
        page.stepped(9, "its inset")
        page.picture("court 2")
        finish(page, folder, "loose.json", "court")
        page.picture("court 3")
    # The same shoe drawn in place: the pieces of both sets are the same wherever they lie.
    shoes.write(folder / "upper.dxf", shoes.COURT_UPPER)
    made = run(folder, "new", "upper.dxf", "bottom.dxf", "--scale", "paris-point", "--size", "37", "--widths", "N,M,W", "--from", "36", "--to", "38", "--kind", "court", "--out", "whole.json")
    check(made.returncode == 0, f"the court in place: {made.stdout}{made.stderr}")
    style = json.loads((folder / "whole.json").read_bytes())
    for edge in style["pieces"][[piece["name"] for piece in style["pieces"]].index("vamp")]["edges"]:
        if edge["name"] == "top line":
            edge["allowance"] = 6
    (folder / "whole.json").write_text(json.dumps(style))
    check(run(folder, "grade", "whole.json", "--out", "whole", "--pictures", "none", "--sheets", "none").returncode == 0, "the court in place is not graded")
    loose, whole = cut_lines(folder / "loose-set"), cut_lines(folder / "whole")
    check(len(whole) == 7 * 3 * 3 and loose.keys() == whole.keys(), f"{len(loose)} and {len(whole)} pieces")
    worst = max((abs(a - b) for name in whole for a, b in zip(loose[name][1:], whole[name][1:])), default=99)
    area = max((abs(loose[name][0] - whole[name][0]) for name in whole), default=99)
    print(f"court from loose pieces against drawn in place: {worst:.4f} mm, {area:.3f} mm2 at most")
    check(worst < 0.01 and area < 1, f"the court from loose pieces differs by {worst} mm, {area} mm2")
    # And the program says so too: a die serves a piece however the piece lies on its forme.
    compared = run(folder, "compare", "whole.json", "loose.json", "--json")
    cells = [(piece["piece"], cell) for piece in json.loads(compared.stdout or '{"pieces": []}')["pieces"] for cell in piece["cells"]]
    bad = [f"{name} {cell['size']} {cell['width']}: {cell['laid']:.3f} mm {cell.get('why', '')}" for name, cell in cells if not cell["die_good"]]
    check(len(cells) == 63 and not bad, f"{len(bad)} of {len(cells)} dies of the court in place do not serve the one from loose pieces: {bad[:3]}")
    return folder


def check_corner(page):
    """A corner is taken off, and put on again by a press beside the place where the outline turns; both taken back."""
    browser, start = page.browser, page.steps()

    def held_at(name):
        page.until(f"document.querySelector('#held h2').textContent.startsWith({json.dumps(name)})", f"{name} is not held")
        return [float(one) for one in browser.run("document.querySelector('.word[aria-label=place]').value").split(",")]
    browser.run("document.querySelector('#stage').focus()")
    browser.key("-")  # a view of one's own stays: else it is fitted to what is graded, and the place that is pressed moves
    page.press("edge 3", "#held .line")
    page.press("c1", "#held .line")
    check(held_at("c1") == [118, 11], "c1 is not the corner at the end of the straight")
    page.until("document.querySelector('#drawing .corner.held')", "the corner is not shown")
    place = browser.run("(() => { const r = document.querySelector('#drawing .corner.held').getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()")
    page.say("no corner here")
    page.stepped(start + 1, "no corner")
    page.press("edge 4", "#held .line")
    page.say("put a corner on")
    page.until("document.querySelector('#question [name=at]')", "no corner is asked for")
    browser.click_at(place[0] - 3, place[1] + 2)
    page.answer(corner="end of the straight")
    page.stepped(start + 2, "a corner")
    at = held_at("end of the straight")
    check(math.dist(at, (118, 11)) < 0.011, f"the corner is put at {at}, not where the outline turns")
    browser.run("document.querySelector('#stage').focus()")
    for left in (start + 1, start):
        browser.key("z", ctrl=True)
        page.stepped(left, "taken back")
    page.say("hold strap")
    page.until("document.querySelector('#held h2')?.textContent === 'strap'", "the strap is not held")
    page.press("edge 3", "#held .line")
    page.press("c1", "#held .line")
    check(held_at("c1") == [118, 11], f"taken back, the corner is at {held_at('c1')}")
    page.say("show everything")
    page.say("hold strap")
    page.until("document.querySelector('#held h2')?.textContent === 'strap'", "the strap is not held")


def check_sandal(browser):
    folder = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
    shoes.write(folder / "sandal.dxf", shoes.SANDAL_UPPER)
    shoes.write(folder / "bottom.dxf", shoes.SANDAL_BOTTOM)
    shoes.write(folder / "strap.dxf", shoes.SANDAL_STRAPS)
    opened, page = opened_page(browser, folder, ("sandal.dxf", "bottom.dxf", "strap.dxf"), "sandal.json")
    with opened:
        greeted(page)
        page.press("Say size", "#question")
        page.until("document.querySelector('#question [name=size]')", "nothing is asked")
        page.answer(scale="paris-point", size="26", run="25 27 1", kinds="strap")
        page.stepped(1, "drafted anew")
        greeted(page)
        page.proposed = browser_left(page)
        page.press("Later", "#question")
        page.say("hold strap")
        page.until("document.querySelector('#held h2')?.textContent === 'strap'", "the strap is not held")
        page.word("material", "calf 1.4 mm")
        page.stepped(2, "its material")
        done = page.actions
        check_corner(page)
        page.actions = done
        page.press("edge 2", "#held .line")
        page.say("eyelets along")
        page.stepped(3, "holes for the buckle")
        page.word("count", "3")
        page.stepped(4, "three of them")
        page.word("inset", "5.5")
        page.stepped(5, "in the middle")
        page.until("[...document.querySelectorAll('.bead.broken')].some(e => e.textContent.includes('holes and marks'))", "a hole through a text is not told")
        page.word("margin", "30")  # clear of the piece's name
        page.stepped(6, "away from the text")
        page.word("diameter", "2.5")
        page.stepped(7, "of that size")
        page.picture("sandal 1")
        finish(page, folder, "sandal.json", "sandal")
        page.picture("sandal 2")
    widths = {round(box[3], 3) for name, box in boxes(folder / "sandal-set").items() if name.startswith("strap")}
    check(len(widths) == 1, f"the strap is not as wide in every size: {widths}")
    shutil.rmtree(folder)


def boxes(folder):
    found = {}
    for path in folder.glob("pieces/**/*.dxf"):
        points = [p for line in ezdxf.readfile(path).modelspace().query("LWPOLYLINE") for p in line.get_points("xy")]
        xs, ys = zip(*points)
        found[path.name] = min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)
    return found


def check_bench(page):
    """The pile, a proposal rubbed out, a line drawn from point to point, a piece laid by an edge; all taken back."""
    browser, start = page.browser, page.steps()
    page.say("hold outsole")
    page.until("document.querySelector('#held h2')?.textContent === 'outsole'", "the outsole is not held")
    page.press("Take the piece off the sheet", "#held")
    page.stepped(start + 1, "a piece less")
    browser.click("#pile summary")
    page.until("document.querySelectorAll('#pilelist button').length === 1", f"the pile holds {page.text('#pilelist')}")
    box = browser.run("(() => { document.querySelector('#pilelist button').scrollIntoView({block: 'center', behavior: 'instant'}); const a = document.querySelector('#pilelist button').getBoundingClientRect(), b = document.querySelector('#stage').getBoundingClientRect(); return [a.x + 30, a.y + 15, b.x + 200, b.y + 200]; })()")
    browser.drag(*box)
    page.until("document.querySelector('#question [name=forme]')", "a card on the sheet becomes no piece")
    page.answer(name="outsole again", forme="bottom")
    page.stepped(start + 2, "a piece of an outline")
    page.until("document.querySelector('#held h2')?.textContent === 'outsole again'", "the new piece is not held")
    page.until("document.querySelectorAll('#pilelist button').length === 0", "the pile still holds it")
    page.say("hold quarter outside")
    page.until("document.querySelector('#held h2')?.textContent === 'quarter outside'", "the quarter is not held")
    page.say("lay by an edge")
    page.until("document.querySelector('#question [name=edge]')", "nothing is asked")
    page.answer(edge="to vamp", on="vamp > to quarter inside")
    page.stepped(start + 3, "laid by an edge")
    page.say("hold ball top")
    page.until("document.querySelector('#held h2')?.textContent === 'Point ball top'", "the point is not held")
    page.until("document.querySelector('#drawing circle.point.held')", "the point is not shown")
    script = ("(() => { const at = e => { const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; }; const held = at(document.querySelector('#drawing circle.point.held')); const far = [...document.querySelectorAll('#drawing circle.point:not(.held)')].map(at).sort((a, b) => Math.hypot(b[0] - held[0], b[1] - held[1]) - Math.hypot(a[0] - held[0], a[1] - held[1]))[0]; return [...held, ...far]; })()")
    for _ in range(20):  # the sheet may still be drawn anew: from where it lies still, and again where it moved after all
        places = browser.run(script)
        time.sleep(0.3)
        if browser.run(script) != places:
            continue
        browser.drag(*places)
        time.sleep(0.3)
        if browser.run("Boolean(document.querySelector('#question h3'))"):
            break
    page.until("document.querySelector('#question h3')?.textContent === 'Measure from ball top'", f"no line is drawn from point to point: {page.text('#question')}")
    to = browser.run("document.querySelector('#question [name=to]').value")
    page.answer(name="a line of mine", carries="1/2 ball girth - 1/2 tread")
    page.stepped(start + 4, "a line")
    style = json.loads(browser.run("import('/ask.js').then(m => m.ask('/state')).then(s => JSON.stringify(s.style))"))
    line = style["formes"]["shell"]["rules"][-1]
    check(line["measure_line"] == "a line of mine" and line["to"] == to and line["carries"] == {"ball girth": "1/2", "tread": "-1/2"}, f"the line is {line}")
    # Rubbed out: the seam goes, and what is said of the seams behind it is still said of them.
    seams, marks = style["seams"], {one["what"]: one.get("at") for one in style["proposed"]}
    page.say("hold vamp")
    page.until("document.querySelector('#held h2')?.textContent === 'vamp'", "the vamp is not held")
    page.press(f"\"{seams[0]['one']['edge']}\" of {seams[0]['one']['piece']} with \"{seams[0]['other']['edge']}\" of {seams[0]['other']['piece']}", "#held")
    check("; the second edge is longer by an ease of" in page.text("#held"), f"whose the ease is, is not told: {page.text('#held')}")
    page.press("Rub it out", "#held")
    page.stepped(start + 5, "a seam rubbed out")
    style = json.loads(browser.run("import('/ask.js').then(m => m.ask('/state')).then(s => JSON.stringify(s.style))"))
    check(style["seams"] == seams[1:] and len(style["proposed"]) == len(marks) - 1, "more or less than the seam is rubbed out")
    for one in style["proposed"]:
        was = marks[one["what"]]
        if was and was.startswith("/seams/"):
            check(one["at"] == f"/seams/{int(was[7:]) - 1}", f"{one['what']}: at {one['at']} instead of {was}")
    browser.run("document.querySelector('#stage').focus()")
    for left in range(start + 4, start - 1, -1):
        browser.key("z", ctrl=True)
        page.stepped(left, "taken back")


def check_files(browser, folder):
    """Work on the file with an end, a changed drawing and another version laid over."""
    first = (folder / "loose.json").read_bytes()
    # The sample is drawn again: the top of the vamp's throat is 2 mm farther up.
    changed = dict(shoes.COURT_UPPER)
    changed["VAMP"] = (changed["VAMP"][0], [(182.4, 40.7), *changed["VAMP"][1][1:]], changed["VAMP"][2])
    shoes.write(folder / "again.dxf", changed, shoes.side_by_side(changed))
    opened, page = opened_page(browser, folder, ("loose.json",), "loose.json")
    with opened:
        page.say("lay a new drawing")
        page.until("document.querySelector('#question [name=file]')", "no new drawing is asked for")
        page.answer(file="again.dxf", drawing="loose")
        page.until("document.querySelector('#trace')?.textContent.includes('found again')", f"the new drawing is not laid over: {page.text('#told')}")
        check("vamp, corner vamp point" in page.text("#trace") and "1.746 mm" in page.text("#trace"), f"what moved is not told: {page.text('#trace')}")
        check(browser.run("document.querySelectorAll('#drawing .trace').length") >= 10, "nothing is drawn on the tracing paper")
        page.picture("files 1 redraw")
        page.press("Take the new drawing", "#trace")
        page.stepped(1, "the new drawing taken")
        page.say("compare with")
        page.until("document.querySelector('#question [name=with]')", "nothing is asked to compare with")
        page.answer(**{"with": "start"})
        page.until("document.querySelector('#trace')?.textContent.includes('stated differently')", f"nothing is compared: {page.text('#told')}")
        told = page.text("#trace")
        check("vamp: up to" in told and "insole" not in told, f"what is cut otherwise is not told: {told}")
        page.picture("files 2 compare")
        page.press("Put the tracing paper away", "#trace")
        page.until("!document.querySelector('#trace').textContent && !document.querySelector('#drawing .trace')", "the tracing paper stays")
        # Work is done from the file: the step is kept first. It can be ended, and leaves nothing.
        shutil.rmtree(folder / "loose-set")
        page.say("make the set")
        page.until("document.querySelector('#worklist .job')", "no progress is shown")
        try:
            page.press("Stop it", "#worklist", unless="document.querySelector('#worklist .job').textContent.includes('done')")
        except RuntimeError as gone:  # the set was made first
            check("done" in page.text("#worklist .job"), f"it cannot be stopped: {gone}")
        page.until("/stopped|done/.test(document.querySelector('#worklist .job').textContent)", "it is not stopped")
        # Nothing, or, where it was stopped a moment after its end, all of it.
        whole = (folder / "loose-set" / "manifest.json").exists() or not (folder / "loose-set").exists()
        check(whole and not [one for one in folder.iterdir() if one.name.startswith(".")], f"a stopped set left something: {sorted(one.name for one in folder.iterdir())}")
        check((folder / "loose.json").read_bytes() != first, "the step was not kept before the work")
        for kind, name in (("report", "Write the report"), ("plot", "Plot the base"), ("dies", "Write the die order"), ("report", "Write the report anew")):
            page.press(name, "#work")
            page.until(f"document.querySelector('#worklist .job')?.textContent.startsWith({json.dumps(name.replace(' anew', ''))}) && !document.querySelector('#worklist .job progress')", f"{kind} does not end")
            check(": done" in page.text("#worklist .job"), f"{kind}: {page.text('#worklist .job')}")
        check((folder / "loose-report.html").stat().st_size > 100_000 and (folder / "loose-plot.pdf").read_bytes().startswith(b"%PDF") and (folder / "loose-dies" / "manifest.json").exists(), "the work left no files")
        browser.run("document.querySelector('#steps').open = true")
        page.press("as the file was", "#steplist")
        page.stepped(0, "back at the start")
        page.press("Keep in the file")
        page.until("/: kept$/.test(document.querySelector('#kept').textContent)", "not kept")
        check((folder / "loose.json").read_bytes() == first, "back at the start the bytes differ")
        check(not browser.messages, f"the browser complains: {browser.messages}")
    shutil.rmtree(folder)


def check_words():
    """Without a browser: what cannot be opened is refused with its reason, and nothing is written."""
    folder = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
    shoes.write(folder / "upper.dxf", shoes.COURT_UPPER)
    for words, code, says in ((("upper.dxf", "style.json"), 2, "nothing but drawings"), (("none.dxf",), 6, "none.dxf"), (("upper.dxf", "--out", "-"), 2, "--out"), (("upper.dxf", "--size", "99"), 3, "99")):
        tried = run(folder, "open", *words)
        check(tried.returncode == code and says in tried.stderr, f"open {words}: {tried.returncode} {tried.stderr}")
    (folder / "upper.json").write_text("{}")
    tried = run(folder, "open", "upper.dxf")
    check(tried.returncode == 5 and "lastwright open upper.json" in tried.stderr and (folder / "upper.json").read_text() == "{}", f"a style was written over: {tried.returncode} {tried.stderr}")
    tried = run(folder, "open", "upper.json", "--size", "37")
    check(tried.returncode == 2, f"options of a draft were taken for a style: {tried.stderr}")
    check(sorted(path.name for path in folder.iterdir()) == ["upper.dxf", "upper.json"], "something was written")
    shutil.rmtree(folder)


check_words()
chromium = shutil.which("chromium")
if chromium:
    with Browser(chromium) as one:
        at_work = check_court(one)
        check_files(one, at_work)
        check_sandal(one)
print(f"{len(faults)} faults")
if faults:
    sys.exit(1)
if not chromium:
    print("skipped: there is no Chromium, so the page itself was not tried")
    sys.exit(77)
