"""The demo boot made in the page from its two drawings without their names, by real clicks and keys, each counted; then every
piece is compared with the demo's in every size and width. By hand: it takes some minutes.
usage: make_demo.py LASTWRIGHT STYLE-FOLDER [PICTURE-FOLDER]

What the pattern maker knows is read off the demo's style: measures (a file of the house, beside the drawings), treatments, ties,
points, lines and rules. What the draft proposes rightly is left alone. Features (holes, stitches, nicks, marks) are not made.
"""
import json
import math
import pathlib
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "report"))
import shoes
from browser import Browser
from opened import Opened
from page import Page

program, demo = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
SAME = 0.02  # mm
WANTED = json.loads((demo / "style.json").read_bytes())


def check(holds, text):
    if not holds:
        print("FAULT:", text)
        sys.exit(1)


def values(thing):
    if isinstance(thing, dict):
        return sum(values(one) for key, one in thing.items() if key not in ("proposed", "note"))
    return sum(values(one) for one in thing) if isinstance(thing, list) else 1


def corner_at(style, piece, name):
    spot = piece["corners"][name]
    spot = spot["at"] if isinstance(spot, dict) else spot
    return style["formes"][piece["forme"]]["points"][spot] if isinstance(spot, str) else spot


class Maker(Page):
    def style(self):
        return json.loads(self.browser.run("import('/ask.js').then(m => m.ask('/state')).then(s => JSON.stringify(s.style))"))

    def settled(self):
        self.until("!document.querySelector('#stage').hasAttribute('aria-busy')", "it stays busy")

    def hold(self, words, title):
        self.say("hold " + words)
        self.until(f"document.querySelector('#held h2')?.textContent === {json.dumps(title)}", f"{title} is not held, but {self.text('#held h2')}: {self.text('#told')}")

    def put(self, name, value):
        """A word that is written, or one that is chosen."""
        count = self.steps()
        if self.browser.run(f"document.querySelector('.word[aria-label={json.dumps(name)}]')?.tagName") == "SELECT":
            self.actions += 1
            self.browser.run(f"(() => {{ const e = document.querySelector('.word[aria-label={json.dumps(name)}]'); e.focus(); e.value = {json.dumps(value)}; e.dispatchEvent(new Event('change')); }})()")
        else:
            self.word(name, value)
        self.stepped(count + 1, f"{name}: {value}")

    def asked(self, words, **fields):
        count = self.steps()
        self.say(words)
        self.until("document.querySelector('#question form')", f"{words} asks nothing: {self.text('#told')}")
        self.answer(**fields)
        self.stepped(count + 1, f"{words} {fields}: {self.text('#question .fault')}")


def edge_words(page, name, wanted, has):
    now = float(has.get("allowance") or 0)
    if (wanted.get("treatment") or "raw") != (has.get("treatment") or "raw"):
        page.put(f"{name}: what is done", wanted.get("treatment") or "raw")
        now = float(page.browser.run(f"document.querySelector('.word[aria-label={json.dumps(name + ': allowance')}]').value") or 0)
    if float(wanted.get("allowance") or 0) != now:
        page.put(f"{name}: allowance", str(wanted.get("allowance") or 0))


def fits(style, piece, edge, wanted):
    """The edges of the demo's piece that this edge is, one or several that follow each other; their treatment is one."""
    ends = [corner_at(style, piece, edge[end]) for end in ("from", "to")]
    edges = wanted["edges"]
    for i, first in enumerate(edges):
        if math.dist(corner_at(WANTED, wanted, first["from"]), ends[0]) > SAME:
            continue
        for count in range(1, len(edges) + 1):
            run = [edges[(i + k) % len(edges)] for k in range(count)]
            if math.dist(corner_at(WANTED, wanted, run[-1]["to"]), ends[1]) <= SAME:
                return run
    return [part_of(style, piece, edge, wanted)]


def part_of(style, piece, edge, wanted):
    """A part of one of the demo's edges: the one that starts or ends where it does."""
    a, b = (corner_at(style, piece, edge[end]) for end in ("from", "to"))
    for one in wanted["edges"]:
        if math.dist(corner_at(WANTED, wanted, one["from"]), a) <= SAME or math.dist(corner_at(WANTED, wanted, one["to"]), b) <= SAME:
            return one
    raise LookupError(f"{piece['name']} {edge['name']}")


def make_pieces(page, names):
    by_block = {piece["outline"]["block"]: piece for piece in WANTED["pieces"]}
    of = {}  # what the draft calls the demo's pieces
    for piece in page.style()["pieces"]:
        of[by_block[names[piece["outline"]["block"]]]["name"]] = piece["name"]
    feathers = [of[one] for one in ("vamp", "toe cap", "outside quarter", "inside quarter", "counter")]
    for wanted in WANTED["pieces"]:
        name = of[wanted["name"]]
        style = page.style()
        piece = next(one for one in style["pieces"] if one["name"] == name)
        jobs = []
        for edge in piece["edges"]:
            run = fits(style, piece, edge, wanted)
            check(len({(one.get("treatment") or "raw", one.get("allowance") or 0) for one in run}) == 1, f"{name} {edge['name']} is several edges")
            jobs.append((edge, run[0]))
        square = [(corner, spot) for corner, spot in wanted["corners"].items() if isinstance(spot, dict)]
        straight = [edge["name"] for edge, one in jobs if one.get("straight") and not edge.get("straight")]
        split = [(edge["name"], corner_at(WANTED, wanted, one["to"])) for edge, one in jobs if edge["name"] in straight and math.dist(corner_at(WANTED, wanted, one["to"]), corner_at(style, piece, edge["to"])) > SAME]
        from_size = [edge["name"] for edge, one in jobs if one.get("allowance_from") and not edge.get("allowance_from")]
        differs = any((one.get("treatment") or "raw") != (edge.get("treatment") or "raw") or (one.get("allowance") or 0) != (edge.get("allowance") or 0) for edge, one in jobs)
        ties = wanted.get("sizes_tied", []) if not piece.get("sizes_tied") else []
        reversible = wanted.get("hand") == "reversible"
        if not (square or straight or from_size or differs or ties or reversible):
            continue
        page.hold(name, name)
        if wanted["name"] == "inside quarter":  # as the outside one
            page.asked("take over from", what="edges", **{"from": of["outside quarter"]})
            continue
        for edge, one in jobs:
            edge_words(page, edge["name"], one, edge)
        if reversible:
            page.put("hands", "reversible")
        if ties and wanted["name"] == "stiffener":
            for tie in ties:
                count = page.steps()
                page.press("Tie sizes", "#held")
                page.until("document.querySelector('#question [name=from]')", "no tie is asked for")
                check(page.browser.run("document.querySelector('#question [name=from]').value") == tie["from"], f"a tie begins elsewhere than at {tie['from']}")
                page.answer(to=tie["to"], **{"as": tie["as"]})
                page.stepped(count + 1, f"a tie {tie}")
        elif ties:
            page.asked("take over from", what="sizes_tied", **{"from": of["stiffener"]})
        away = False  # from the piece
        def press_edge(edge):
            if away:
                page.press("The whole " + name, "#held")
            page.press(edge, "#held .line")
        for edge in straight:
            press_edge(edge)
            for _, at in [one for one in split if one[0] == edge]:
                page.asked("put a corner on", corner="end of the straight", edge=edge + " below", at=f"{at[0]}, {at[1]}")
                page.press("The whole " + name, "#held")
                page.press(edge, "#held .line")
            page.put("whether it is straight", "straight")
            away = True
        if from_size and name == feathers[0]:
            press_edge(from_size[0])
            page.put("another allowance from a size on", "8.5")
            page.put("allowance from size 8.5", "19")
            page.asked("the same on others", pieces=", ".join(feathers[1:]))
            away = True
        for corner, spot in square:
            there = corner_at(WANTED, wanted, corner)
            edge = next(one for one in piece["edges"] if math.dist(corner_at(style, piece, one["from"]), there) <= SAME)
            press_edge(edge["name"])
            page.press(edge["from"], "#held .line")
            page.put("form of the corner", spot["form"])
            away = True
    return of


def make_formes(page):
    for forme in ("shell", "bottom"):
        wanted, style = WANTED["formes"][forme], page.style()
        has = style["formes"][forme]
        used = set(wanted["base_line"])
        for rule in wanted["rules"]:
            for key in ("hold", "straight", "square", "to"):
                used.update(rule.get(key, []) if isinstance(rule.get(key), list) else [])
            used.update(rule[key] for key in ("from", "to", "point") if isinstance(rule.get(key), str) and "check_line" not in rule)
        page.hold(forme, "Forme " + forme)
        called = {}
        for point in wanted["points"]:
            if point not in used:
                continue
            at = wanted["points"][point]
            there = [name for name, place in has["points"].items() if math.dist(place, at) <= 0.001]
            if point in has["points"] and point not in there:  # where common practice stands in
                page.hold(point, "Point " + point)
                page.put("place", f"{at[0]}, {at[1]}")
                there = [point]
            elif not there:
                # What only keeps a line straight needs no name of its own.
                named = {"name": point} if any(point in (rule.get("from"), rule.get("to")) for rule in wanted["rules"]) else {}
                before = set(page.style()["formes"][forme]["points"])
                page.asked("mark a point", **named, at=f"{at[0]}, {at[1]}")
                there = list(set(page.style()["formes"][forme]["points"]) - before)
            called[point] = there[0]
        if [called[one] for one in wanted["base_line"]] != has["base_line"]:
            page.hold(forme, "Forme " + forme)
            page.put("end of the base line", called[wanted["base_line"][1]])
        make_rules(page, forme, wanted, has, called)


def make_rules(page, forme, wanted, has, called):
    names = lambda rule, key: [called[one] for one in rule[key]]
    lines = {rule["measure_line"]: rule for rule in has["rules"] if "measure_line" in rule}
    kept = []
    for rule in wanted["rules"]:
        if "measure_line" in rule:
            name, ends = rule["measure_line"], (called[rule["from"]], called[rule["to"]])
            carries = " + ".join(f"{share} {measure}" for measure, share in rule["carries"].items()).replace("+ -", "- ")
            if name not in lines:
                page.hold(ends[0], "Point " + ends[0])
                girth = next((girth for girth, parts in WANTED["girths"].items() if any(part["line"] == name and part["forme"] == forme for part in parts)), "")
                part = next((part for part in WANTED["girths"].get(girth, []) if part["line"] == name and part["forme"] == forme), {})
                known = girth in page.style().get("girths", {})
                page.asked("measure from here", to=ends[1], carries=carries, **({"girth": girth, **({} if part.get("times", 1) == 2 else {"times": str(part.get("times", 1))})} if known else {}))
                continue
            line = lines[name]
            if (line["from"], line["to"]) != ends or line.get("extra") and "extra" not in rule:
                page.hold(name, "Measure line " + name)
                if line["to"] != ends[1]:
                    page.put("where it ends", ends[1])
                if line.get("extra"):
                    page.put("drawn longer by", "0")
        elif "point" in rule:
            page.hold(called[rule["point"]], "Point " + called[rule["point"]])
            count = page.steps()
            page.say("move by steps")
            page.stepped(count + 1, "a point rule")
            for key, word in (("per_size", "a size"), ("per_width", "a width")):
                if any(rule[key]):
                    page.put(word, f"{rule[key][0]}, {rule[key][1]}")
        elif "straight" in rule:
            mine = names(rule, "straight")
            like = [one for one in has["rules"] if len(set(one.get("straight", [])) & set(mine)) > 1]
            if like:
                if set(like[0]["straight"]) != set(mine):
                    page.hold(forme, "Forme " + forme)
                    page.press("on one straight line: " + ", ".join(like[0]["straight"]), "#held")
                    page.put("points", ", ".join(mine))
                kept.append(like[0])
            else:
                page.hold(names(rule, "straight")[0], "Point " + names(rule, "straight")[0])
                page.asked("keep straight", points=", ".join(names(rule, "straight")))
        elif "square" in rule:
            same = [one for one in has["rules"] if set(one.get("square", [])) == set(names(rule, "square"))]
            check(same, f"no rule holds {names(rule, 'square')} square")
            kept.append(same[0])
    for one in has["rules"]:
        if "straight" in one and one not in kept:
            page.hold(forme, "Forme " + forme)
            page.press("on one straight line: " + ", ".join(one["straight"]), "#held")
            page.press("Take this rule away", "#held")
            page.settled()


home = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
blocks = shoes.without_names(demo / "shell.dxf", home / "a.dxf")
blocks.update(shoes.without_names(demo / "bottom.dxf", home / "b.dxf", len(blocks) + 1))
(home / "house.json").write_text(json.dumps(WANTED["measures"]))
with Browser(shutil.which("chromium")) as browser, Opened(program, home, at=home, words=("a.dxf", "b.dxf"), style="a.json") as opened:
    page = Maker(browser, opened, check, pictures)
    page.until("document.querySelector('#question')?.textContent.includes('A first draft')", "a first draft is not told")
    page.press("Say size", "#question")
    page.until("document.querySelector('#question [name=size]')", "nothing is asked")
    page.answer(size="8", widths="D E F G H", run="5 13 1/2", measures="house.json", kinds="derby")
    page.stepped(1, "drafted anew")
    proposed = len(page.style()["proposed"])
    of = make_pieces(page, blocks)
    print(f"pieces: {page.actions} actions")
    make_formes(page)
    left = len(page.style()["proposed"])
    page.say("ink everything")
    page.until("document.querySelector('#pencil summary').textContent === 'In pencil: 0'", "there is still something in pencil")
    page.press("Keep in the file")
    page.until("/: kept$/.test(document.querySelector('#kept').textContent)", f"not kept: {page.text('#kept')} {page.text('#notice')}")
    page.until("!document.querySelector('.bead.broken') && document.querySelector('.bead.whole')", f"a check fails: {page.text('#beads')}")
    page.picture("demo made")
    actions, beads = page.actions, page.text("#beads")
made = json.loads((home / "a.json").read_bytes())
print(f"{actions} actions for {values(made)} values (and {values(WANTED['measures'])} in the file of measures), {left} of {proposed} proposals inked as they were; checks: {beads}")
# The demo with the names of the draft for its pieces.
text = json.loads(json.dumps(WANTED))
for piece in text["pieces"]:
    piece["name"] = of[piece["name"]]
for seam in text["seams"]:
    for side in ("one", "other"):
        seam[side]["piece"] = of[seam[side]["piece"]]
(home / "demo.json").write_text(json.dumps(text))
for name in ("shell.dxf", "bottom.dxf"):
    shutil.copy(demo / name, home)
done = subprocess.run([program, "compare", "demo.json", "a.json", "--json"], cwd=home, capture_output=True, text=True, check=False)
check(done.returncode == 0, done.stderr)
worst = 0.0
for piece in json.loads(done.stdout)["pieces"]:
    most = max(piece["cells"], key=lambda cell: cell["cut_line"])
    worst = max(worst, most["cut_line"])
    print(f"  {piece['piece']:5} {len(piece['cells'])} sizes and widths, cut line off by {most['cut_line']:.4f} mm at most, {most['size']} {most['width']}")
print(f"{worst:.4f} mm at most; kept in {home}")
check(worst < 0.01, "the set is not the demo's within 0.01 mm")
check(actions <= values(made) / 4, "more actions than a quarter of the values")
