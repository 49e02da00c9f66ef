"""The page of `lastwright open`, as a user meets it: the draft and the file without a browser, then headless Chromium by real
clicks, drags, keys and touches.
usage: check_page.py LASTWRIGHT STYLE-FOLDER [PICTURE-FOLDER]
"""
import json
import os
import pathlib
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "report"))
from browser import Browser
from faults import check, faults
from opened import Opened, in_few_sizes
from page import Page

LONG = bool(os.environ.get("TESTS_LONG"))  # in all sizes of the demo
program, folder = sys.argv[1], pathlib.Path(sys.argv[2]) if LONG else in_few_sizes(sys.argv[2])
pictures = pathlib.Path(sys.argv[3]) if len(sys.argv) > 3 else None
ORIGINAL = (folder / "style.json").read_bytes()
if pictures:
    pictures.mkdir(exist_ok=True)


def allowance(value):
    return {"says": f"allowance {value}", "edits": [{"do": "set", "at": "/pieces/0/edges/2/allowance", "to": value}]}


def style_of(opened):
    return json.loads(opened.style.read_bytes())


# --- without a browser: the file and the draft
def check_keeping():
    with Opened(program, folder) as opened:
        opened.enter()
        check(opened.ask("/save")[0] == 200 and opened.style.read_bytes() == ORIGINAL and not opened.draft.exists(), "keeping nothing changed something")
        status, state = opened.ask("/change", **allowance(7.5))
        check(status == 200 and state["changed"] and opened.style.read_bytes() == ORIGINAL and opened.draft.exists(), "a change went into the file, or not into the draft")
        check(opened.ask("/save")[0] == 200 and not opened.draft.exists(), "not kept")
        lines = [(a, b) for a, b in zip(ORIGINAL.splitlines(), opened.style.read_bytes().splitlines()) if a != b]
        check(len(lines) == 1 and lines[0][1] == lines[0][0].replace(b'"allowance": 8', b'"allowance": 7.5'), f"more than the change is in the file: {lines}")
        check(opened.ask("/steps", to=0)[1]["changed"] and opened.ask("/save")[0] == 200 and opened.style.read_bytes() == ORIGINAL, "taking back did not give the same bytes")
    again = subprocess.run([program, "check", str(opened.style)], capture_output=True, check=False)
    check(again.returncode == 0, "the style that was kept does not pass")


def check_parts():
    """The nest first and the sheet after it are what the whole state is; where nothing waits for the sheet, it comes at once."""
    with Opened(program, folder) as opened:
        opened.enter()
        shown = {"piece": "vamp", "cell": 32 if LONG else 13}  # 8 F
        opened.ask("/state", **shown)
        edit = [{"do": "set", "at": "/formes/shell/points/instep top", "to": [166.2, 88.5]}]
        status, first = opened.ask("/change", says="x", edits=edit, sheet="after", **shown)
        check(status == 200 and first.pop("sheet_after", False) and "sheet" not in first and first["nest"]["piece"] == "vamp", "a forme that moves: the nest does not come first")
        after = opened.ask("/sheet", cell=shown["cell"])[1]
        check({**first, **after} == opened.ask("/state", **shown)[1], "the nest and the sheet after it are not the whole state")
        state = opened.ask("/change", sheet="after", **shown, **allowance(7.5))[1]
        check("sheet" in state and "sheet_after" not in state, "a sheet that is there is left for later")
    shutil.rmtree(opened.folder)


def check_conflict():
    with Opened(program, folder) as opened:
        opened.enter()
        second = subprocess.run([program, "open", str(opened.style)], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False, timeout=60)
        check(second.returncode == 5 and "open in another" in second.stderr, f"a second program took the style: {second.returncode} {second.stderr}")
        opened.ask("/change", **allowance(7))
        theirs = ORIGINAL.replace(b"Cindergarth welted", b"Cindergarth changed")
        opened.style.write_bytes(theirs)
        check(opened.ask("/state")[1]["conflict"] is True, "a file that changed on the disk is not told")
        check(opened.ask("/save")[0] == 409 and opened.style.read_bytes() == theirs, "a file that changed was written over")
        status, answer = opened.ask("/save-aside")
        check(status == 200 and opened.style.read_bytes() == theirs, "saving aside touched the file")
        aside = json.loads((opened.folder / answer["aside"]).read_bytes())
        check(aside["pieces"][0]["edges"][2]["allowance"] == 7, "what was set aside is not what was done")
        state = opened.ask("/state")[1]
        check(state["style"]["name"].startswith("Cindergarth changed") and not state["changed"] and not state["conflict"], "the file was not taken up")
        # Another page comes: the first is told, and the draft of a killed program with another file under it is a conflict.
        opened.ask("/change", **allowance(6))
        opened.kill()
        opened.style.write_bytes(ORIGINAL)
    with Opened(program, folder, at=opened.folder) as opened:
        opened.enter()
        state = opened.ask("/state")[1]
        check(state["resumed"] and state["conflict"] and state["style"]["pieces"][0]["edges"][2]["allowance"] == 6, "a draft of another file was not told as a conflict")
        check(opened.ask("/save")[0] == 409 and opened.style.read_bytes() == ORIGINAL, "a draft of another file was written over it")
        check(opened.ask("/take-file")[1]["changed"] is False and not opened.draft.exists(), "the file could not be taken")
        for text in [b"", b"{", b"[]", b'{"of": 5}', b'{"of": "", "text": "{}", "done": [{"says": "x", "splices": [[999, "a", "b"]]}], "undone": []}', b"\xff" * 100]:
            opened.draft.write_bytes(text)
    for text in [b"", b"[]", b'{"of": "", "text": "{}", "done": [{"says": "x", "splices": [[999, "a", "b"]]}], "undone": []}']:
        opened.draft.write_bytes(text)
        refused = subprocess.run([program, "open", str(opened.style)], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False, timeout=60)
        check(refused.returncode == 3 and opened.draft.read_bytes() == text, f"a draft of {text[:20]} was taken or lost: {refused.returncode}")
    shutil.rmtree(opened.folder)


def check_killed():
    """Killed at random moments: the style file is untouched, and the draft has all steps but the last at most."""
    draw, home = random.Random(3), None
    told = 0
    for turn in range(8):
        with Opened(program, folder, at=home) as opened:
            home = opened.folder
            opened.enter()
            state = opened.ask("/state")[1]
            had = len(state["done"])
            check(told <= had <= told + 1, f"{told} steps were answered, {had} came back")
            told = had
            steps = draw.randrange(1, 6)
            for i in range(steps):
                if i + 1 == steps:  # killed while it works on this one
                    victim = subprocess.Popen(["/bin/sh", "-c", f"sleep {draw.random() * 0.1:.3f}; kill -9 {opened.process.pid}"])
                try:
                    if opened.ask("/change", **allowance(1 + turn + i / 8))[0] == 200:
                        told += 1
                except (OSError, ValueError, Exception):  # noqa: B014: whatever a killed server looks like from outside
                    break
            victim.wait()
            opened.process.wait()
            check(opened.style.read_bytes() == ORIGINAL, "a killed program changed the style file")
    with Opened(program, folder, at=home) as opened:
        opened.enter()
        check(opened.ask("/steps", to=0)[1]["changed"] is False, "the steps of eight killed programs do not lead back to the start")
        left = [path.name for path in home.iterdir() if path.name.startswith(".")]
    print(f"killed eight times, {told} steps, left behind: {left}")
    shutil.rmtree(home)


def check_full():
    """No room for the draft, nor for the file: told, and what was there stays."""
    def small():
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
    with Opened(program, folder, limits=small) as opened:
        opened.enter()
        status, state = opened.ask("/change", **allowance(7))
        check(status == 200 and state["draft_fault"] and state["style"]["pieces"][0]["edges"][2]["allowance"] == 7, "a draft that cannot be written is not told")
        status, answer = opened.ask("/save")
        check(status != 200 and answer["refused"] and opened.style.read_bytes() == ORIGINAL, f"a file that cannot be written: {status}")
        check(opened.ask("/state")[1]["changed"] is True, "what could not be kept was forgotten")
        check({path.name for path in opened.folder.iterdir()} == {path.name for path in folder.iterdir()}, "half a file was left")
    shutil.rmtree(opened.folder)


# --- in the browser
def check_work(browser, opened):
    """A dozen changes of all kinds by clicks and keys; back to the start the bytes are the same."""
    page = Page(browser, opened, check, pictures)
    check(page.text("#title") == "Cindergarth welted derby boot", "the title")
    check("failed" not in page.text("#beads"), f"the demo fails on the page: {page.text('#beads')}")
    page.picture("1 style")
    same = "document.querySelector('#ruler').getAttribute('aria-valuetext').startsWith('size and width ' + document.querySelector('#stage').dataset.shows)"
    check(browser.run(same) and browser.run("document.querySelector('#stage').dataset.shows") == "8 F", "the sheet does not show the sample that the ruler says")
    page.say("size 6")
    page.until(same + " && document.querySelector('#stage').dataset.shows === '6 F'", "the sheet does not show the size that the ruler says")
    page.say("size 8")
    page.until(same + " && document.querySelector('#stage').dataset.shows === '8 F'", "the sheet does not come back to the sample")
    page.say("xyzzy")
    page.until("document.querySelector('#told').textContent.startsWith('Nothing of that name')", "a word that is none is not told")
    page.say("outside quarter")
    page.until("document.querySelector('#held h2')?.textContent === 'outside quarter'", "the piece is not held by its name")
    page.until("!document.querySelector('#told').textContent.startsWith('Nothing of that name')", "what was not found is told after something else was done")
    for word, label in (("fold", "edge on the fold"), ("rename", "name of the piece"), ("mirror", "hands")):
        page.say(word)
        page.until(f"document.activeElement?.getAttribute('aria-label') === '{label}'", f"{word} does not lead to its word")
    page.picture("2 piece")
    page.press("front upper", "#held")
    page.word("allowance", "5")
    page.stepped(1, "an allowance")
    page.word("name of the edge", "front, upper part")
    page.stepped(2, "a new name")
    page.until("document.querySelector('#held h2')?.textContent.startsWith('front, upper part')", "the renamed edge is not held")
    page.say("stitch along")
    page.stepped(3, "a stitch line")
    page.word("inset", "3.5")
    page.stepped(4, "its inset")
    page.picture("3 feature")
    page.say("hold vamp")
    page.press("throat", "#held")
    page.say("put a corner")
    page.answer(corner="middle of the throat", edge="throat, inner", at="1/2")
    page.stepped(5, "a corner put on")
    page.say("no corner here")
    page.stepped(6, "and taken off")
    page.say("hold shell")
    page.press("joint", "#held ul:last-of-type")
    page.say("measure from here")
    page.browser.run("document.querySelector('#question [name=girth]').focus()")
    page.answer(to="instep top", name="a new line", carries="1/2 instep girth - 1/5 tread")
    page.stepped(7, "a measure line")
    page.word("what it carries", "1/2 instep girth - 1/4 tread")
    page.stepped(8, "what it carries")
    page.press("Take this line away", "#held")
    page.stepped(9, "taken away")
    page.say("let go")
    page.word("last size", "9")
    page.stepped(10, "a shorter run")
    page.say("hold toe puff")
    page.press("Take the piece off the sheet", "#held")
    page.stepped(11, "a piece less")
    browser.click("#stage")
    browser.key("Escape")
    # A slip of the pen is told at its word, and the sheet stays.
    page.say("hold counter")
    page.word("how many a pair", "many")
    page.stepped(12, "a slip")
    page.until("document.querySelector('.fault')?.textContent && document.querySelector('[aria-invalid]')", "a slip is not told at its word")
    page.until("/before this could not be made/.test(document.querySelector('#notice').textContent)", "that the sheet is of before is not told")
    check(browser.run("document.querySelectorAll('#drawing .net').length") > 30, "the sheet is empty after a slip")
    page.picture("4 slip")
    # One in a measure is told by the measure's name.
    browser.click("#stage")
    browser.key("z", ctrl=True)
    page.stepped(11, "the slip taken back")
    page.say("let go")
    page.word("ball girth, a size", "1/0 in")
    page.stepped(12, "a slip in a measure")
    page.until("[...document.querySelectorAll('#notice div')].some(e => e.textContent.startsWith('measure ball girth: '))", "the measure is not named")
    browser.click("#stage")
    for left in range(11, 5, -1):
        browser.key("z", ctrl=True)
        page.stepped(left, "taken back by keys")
    browser.key("y", ctrl=True)
    page.stepped(7, "done again by keys")
    browser.run("document.querySelector('#steps').open = true")
    page.press("as the file was", "#steplist")
    page.stepped(0, "back to the start by one press")
    check(opened.ask_state()["style"] == json.loads(ORIGINAL) and not opened.ask_state()["changed"], "back at the start the style differs")
    page.press("allowance: 5", "#steplist")
    page.stepped(1, "forth by one press")
    browser.click("#stage")
    browser.key("s", ctrl=True)
    page.until("/: kept$/.test(document.querySelector('#kept').textContent)", "not kept by Ctrl and S")
    changed = ORIGINAL.replace(b'"front upper", "from": "tongue seam end", "to": "tab front", "treatment": "fold", "allowance": 4', b'"front upper", "from": "tongue seam end", "to": "tab front", "treatment": "fold", "allowance": 5', 1)
    check(opened.style.read_bytes() == changed, "more or less than the change was kept")
    page.press("Take back")
    page.stepped(0, "taken back after keeping")
    page.press("Keep in the file")
    page.until("/: kept$/.test(document.querySelector('#kept').textContent)", "not kept by its button")
    check(opened.style.read_bytes() == ORIGINAL, "undo to the start does not give the same bytes")
    check_sheet(page)
    check_edges(page)
    check_formes(page, opened)
    check_people(page)
    check_failing(page)
    check_typing(page)
    refused = "Failed to load resource: the server responded with a status of 422 (Unprocessable Entity)"
    check(browser.messages == [refused], f"the browser complains of more than the one name that is taken: {browser.messages}")
    check(all(url.startswith(f"http://{opened.host}/") or url.startswith("about:") for url in browser.requests), "something from elsewhere was asked for")


def check_sheet(page):
    """Pressed and dragged on the sheet, by mouse and touch."""
    browser = page.browser
    page.say("let go")
    page.say("show everything")
    circle = """new Promise(done => {
      const frames = (n, then) => n ? requestAnimationFrame(() => frames(n - 1, then)) : then();
      const at = () => { const p = document.querySelector('#drawing circle').getBoundingClientRect(); return [p.x + p.width / 2, p.y + p.height / 2]; };
      const look = (before, left) => frames(3, () => { const now = at(); left && String(now) !== String(before) ? look(now, left - 1) : done(now); });
      look(at(), 100); })"""
    box = browser.run("(() => { const r = document.querySelector('#stage').getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()")
    seen = set()
    for _ in range(8):  # pressing again reaches what lies under
        held = page.text("#held h2")
        browser.click_at(*browser.run(circle))
        for _ in range(20):
            if page.text("#held h2") != held:
                break
            time.sleep(0.05)
        seen.add(page.text("#held h2"))
    check(len(seen) >= 3, f"pressing again reaches nothing else: {seen}")
    page.say("let go")
    browser.run("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(1))))")
    before = browser.run("document.querySelector('#drawing circle').getAttribute('cx')")
    browser.drag(box[0] + box[2] / 2, box[1] + box[3] / 2, box[0] + box[2] / 2 + 120, box[1] + box[3] / 2 + 30)
    page.until(f"Math.abs(document.querySelector('#drawing circle').getAttribute('cx') - {before} - 120) < 3", "a drag does not move the sheet by as much")
    page.say("show everything")
    held = page.text("#held h2")
    browser.touch_at(box[0] + box[2] * 0.35, box[1] + box[3] * 0.55)
    page.until(f"document.querySelector('#held h2').textContent !== {json.dumps(held)}", "a touch holds nothing")
    browser.run("document.querySelector('#ruler').focus()")
    was = browser.run("document.querySelector('#ruler').getAttribute('aria-valuetext')")
    browser.key("ArrowRight")
    browser.key("ArrowDown")
    now = browser.run("document.querySelector('#ruler').getAttribute('aria-valuetext')")
    check(was.startswith("size and width 8 F") and now.startswith("size and width 8.5 G"), f"the ruler went from {was} to {now}")


# How much of the nest's canvas is inked: at its border, and in all.
INKED = """(() => { const nest = document.querySelector('#nest'), wide = nest.width, high = nest.height, copy = document.createElement('canvas');
  Object.assign(copy, {width: wide, height: high});
  const pen = copy.getContext('2d', {willReadFrequently: true}), ink = (...of) => pen.getImageData(...of).data.reduce((sum, one) => sum + one, 0);
  pen.drawImage(nest, 0, 0);
  return {border: ink(0, 0, wide, 1) + ink(0, high - 1, wide, 1) + ink(0, 0, 1, high) + ink(wide - 1, 0, 1, high), all: ink(0, 0, wide, high)}; })()"""


def check_edges(page):
    """Every size of a held piece that is drawn lies on the sheet; its fold is said to be one; what is done along an edge asks for it."""
    start = page.steps()
    page.say("let go")
    page.say("show everything")
    page.say("hold vamp")
    page.until("document.querySelector('#held h2')?.textContent === 'vamp'", "the vamp is not held")
    page.until(f"(ink => ink.all && !ink.border)({INKED})", "a size of the vamp runs out of the sheet")
    page.press("fold", "#held")
    page.until("document.querySelector('#held h2')?.textContent === 'fold of the vamp'", "the fold is not held")
    told = page.text("#held")
    check("on which the vamp is cut double" in told and not page.browser.run("document.querySelector('#held [aria-label=allowance], #held [aria-label=\"what is done with it\"]')"), f"of the fold it is said: {told}")
    page.write("#verb", "nick")
    check("in the middle of fold" not in page.text("#verbs"), "a nick is offered in the fold, which is not cut")
    for held in ("hold vamp", "let go"):
        page.say(held)
        page.say("allowance")
        page.until("document.querySelector('#question h3')?.textContent === 'Allowance: which edge?'", f"{held}: no edge is asked for")
        choices = page.browser.run("[...document.querySelectorAll('#question option')].map(e => e.value)")
        check("vamp > feather" in choices and "vamp > fold" not in choices and all(one.startswith("vamp > ") for one in choices) == (held == "hold vamp"), f"{held}: the edges to choose from are {choices}")
        page.answer(edge="vamp > feather")
        page.until("document.querySelector('#held h2')?.textContent === 'feather of the vamp' && document.activeElement?.getAttribute('aria-label') === 'allowance'", f"{held}: the allowance is not at hand")
    page.say("hold vamp")
    page.say("nick")
    page.until("document.querySelector('#question h3')?.textContent === 'Nick: which edge?'", "no edge is asked for")
    page.answer(edge="vamp > cap line")
    page.stepped(start + 1, "a nick")
    check(page.browser.run("document.querySelector('#held h2').textContent") == "nick nick of the vamp", f"held is {page.text('#held h2')}")
    share = "document.querySelector('#held [aria-label=share]')?.value"
    check(page.browser.run(share) == "1/2", f"a nick in an edge that was chosen by its name lies at {page.browser.run(share)}")
    # Where the edge is pressed, the nick is put there.
    page.say("hold vamp")
    page.say("hold cap line")
    page.until("document.querySelector('#held h2')?.textContent === 'cap line of the vamp' && document.querySelector('#drawing path.net.held')", "the cap line is not held")
    page.browser.click_at(*page.browser.run("""(() => { const e = document.querySelector('#drawing path.net.held'), p = e.getPointAtLength(0.3 * e.getTotalLength()).matrixTransform(e.getScreenCTM()); return [p.x, p.y]; })()"""))
    page.until("document.querySelector('#told').textContent.startsWith('cap line of the vamp')", f"the cap line is not pressed: {page.text('#told')}")
    page.say("nick")
    page.stepped(start + 2, "a nick where the edge was pressed")
    there = page.browser.run(share) or ""
    check(there.endswith("/1000") and abs(int(there[:-5]) - 300) < 25, f"the nick pressed at 3/10 of the edge lies at {there}")
    page.browser.run("document.querySelector('#stage').focus()")
    for left in (start + 1, start):
        page.browser.key("z", ctrl=True)
        page.stepped(left, "taken back")


def check_formes(page, opened):
    """Measures with other steps in a stretch, a measure more, a girth over a line more, a piece with a forme of its own."""
    before, steps = opened.ask_state()["style"], page.steps()
    page.say("let go")
    page.say("other steps of ball girth")
    page.answer(**{"from": "6", "to": "7", "size": "3/16 in"})
    page.stepped(steps + 1, "other steps in a stretch")
    page.word("ball girth, a size", "5 mm")
    page.stepped(steps + 2, "the steps elsewhere")
    page.say("put in a measure")
    page.answer(name="counter length", base="80", size="1/8 in", width="1/16 in")
    page.stepped(steps + 3, "a measure more")
    page.say("girth over a line")
    page.answer(girth="instep girth", line="shell > cap depth", times="1/2")
    page.stepped(steps + 4, "a line more in a girth")
    page.say("hold counter")
    page.say("give it its own forme")
    page.answer(name="counter by itself", length="1 counter length")
    page.stepped(steps + 5, "a forme of its own")
    page.until("document.querySelector('#held h2')?.textContent === 'Forme counter by itself'", "the new forme is not held")
    state = opened.ask_state()
    style, ball = state["style"], state["style"]["measures"]["ball girth"]
    check(ball["breaks"] == [{"from": "6", "to": "7", "per_size": "3/16 in"}] and ball["per_size"] == "5 mm", f"the stretch is not in the style: {ball}")
    check(style["girths"]["instep girth"][-1] == {"forme": "shell", "line": "cap depth", "times": "1/2"}, "the line is not in the girth")
    own = style["formes"]["counter by itself"]
    check(own["rules"][0]["carries"] == {"counter length": 1} and own["fixed"] == own["base_line"][0], f"the new forme: {own}")
    check(next(one for one in style["pieces"] if one["name"] == "counter")["forme"] == "counter by itself", "the piece is not on its forme")
    check(state["current"] and not state["problems"] and {one["name"] for one in state["sheet"]["formes"]} >= {"counter by itself"}, f"the new forme is not graded: {state['problems']}")
    page.word("name of the forme", "counter alone")
    page.stepped(steps + 6, "another name for a forme")
    page.picture("5 own forme")
    page.browser.click("#stage")
    for left in range(steps + 5, steps - 1, -1):
        page.browser.key("z", ctrl=True)
        page.stepped(left, "taken back")
    check(opened.ask_state()["style"] == before, "taken back, the style differs")


def check_people(page):
    """Keyboard, names for screen readers, phone and desktop, dark and light, the tour."""
    browser = page.browser
    browser.send("Accessibility.enable")
    tree = browser.send("Accessibility.getFullAXTree")["nodes"]
    nameless = [node["role"]["value"] for node in tree if node.get("role", {}).get("value") in ("button", "textbox", "combobox", "slider", "listbox", "link", "checkbox") and not node["ignored"] and not node.get("name", {}).get("value")]
    check(not nameless, f"without a name: {nameless}")
    browser.run("document.activeElement.blur()")
    reached = set()
    for _ in range(250):
        if reached.issuperset(("verb", "stage", "ruler", "tour")):
            break
        browser.key("Tab")
        reached.add(browser.run("document.activeElement.id || document.activeElement.textContent.slice(0, 30)"))
    for id in ("verb", "stage", "ruler", "tour"):
        check(id in reached, f"{id} is not reached by the Tab key: {reached}")
    for scheme in ("dark", "light"):
        browser.prefer(scheme)
        thin = browser.run(CONTRAST)
        check(not thin, f"too little contrast when {scheme}: {thin}")
    for wide, phone in ((390, True), (768, True), (1280, False), (1920, False)):
        browser.size(wide, 844, phone)
        time.sleep(0.2)
        check(browser.run("document.documentElement.scrollWidth <= innerWidth + 1"), f"the page is wider than a window of {wide}")
        check(browser.run("document.querySelector('#stage').clientHeight > 150"), f"there is no sheet in a window of {wide}")
        beads = browser.run("[...document.querySelectorAll('.bead')].filter(e => { const r = e.getBoundingClientRect(); return !e.contains(document.elementFromPoint((r.left + r.right) / 2, (r.top + r.bottom) / 2)) || r.left < 0 || r.right > innerWidth; }).map(e => e.textContent)")
        check(not beads, f"checks out of sight in a window of {wide}: {beads}")
        page.picture(f"5 width {wide}")
    browser.size(1280, 800)
    page.press("Show me round")
    check("1 of 6" in page.text("#question"), "there is no tour")
    for _ in range(6):
        page.press("Next", "#question")
    check("That is all" in page.text("#question"), "the tour does not end")
    page.press("Good", "#question")


def check_failing(page):
    """A failing check leads to its place in its size and width."""
    browser = page.browser
    page.say("hold outside quarter")
    page.press("eyelets: eyelets", "#held")
    before = page.steps()
    page.word("inset", "1.5")
    page.stepped(before + 1, "eyelets at the edge")
    page.until("[...document.querySelectorAll('.bead.broken')].some(e => e.textContent.includes('holes and marks'))", "a hole at the edge is not told")
    page.say("let go")
    page.press("holes and marks", "#beads")
    page.picture("6 broken")
    browser.run("(() => { for (const e of document.querySelectorAll('.finding')) if (e.textContent.startsWith('hole to edge, outside quarter: eyelets')) e.id = 'wanted'; })()")
    page.press("Go there", "#wanted")
    page.until("document.querySelector('#held h2').textContent.includes('eyelets')", "the finding does not lead to its place")
    browser.run("document.querySelector('#stage').focus()")
    browser.key("z", ctrl=True)
    page.stepped(before, "taken back")
    page.until("!document.querySelector('.bead.broken')", "the bead stays broken")


def check_typing(page):
    """An answer that arrives while the next word is half typed: nothing typed is lost, cut short or kept twice."""
    browser, before = page.browser, page.steps()
    page.say("hold outside quarter")
    page.press("front lower", "#held")
    page.until("document.querySelector('#held h2')?.textContent.startsWith('front lower')", "the edge is not held")
    allowance, name = (browser.run(f"document.querySelector('.word[aria-label={json.dumps(label)}]').value") for label in ("allowance", "name of the edge"))
    browser.run("(() => { const f = window.fetch; window.held = []; window.letGo = () => { window.fetch = f; window.held.forEach(go => go()); };"
                " window.fetch = (...a) => a[0] === '/change' ? f(...a).then(answer => new Promise(done => window.held.push(() => done(answer)))) : f(...a); })()")
    page.word("allowance", "6.25")
    browser.click_at(*page.steady("document.querySelector('.word[aria-label=\"name of the edge\"]')", "the name"))
    browser.key("a", ctrl=True)
    browser.type("lower ")
    page.until("window.held.length === 1", "the first word is not sent, or the second one half typed")
    check(page.steps() == before, "the answer was not held back")
    browser.run("window.letGo()")
    page.stepped(before + 1, "the first word")
    browser.type("front")
    browser.key("Enter")
    page.stepped(before + 2, "the second word")
    style = browser.run("import('/ask.js').then(m => m.ask('/state')).then(s => JSON.stringify(s.style))")
    edge = next((e for p in json.loads(style)["pieces"] if p["name"] == "outside quarter" for e in p["edges"] if e["name"] == "lower front"), None)
    check(edge is not None and edge["allowance"] == 6.25, f"not what was typed: {edge}, {page.text('#steplist')}")
    # What is half typed and not left is not kept, and Escape takes it back.
    page.until("document.querySelector('#held h2')?.textContent.startsWith('lower front')", "the renamed edge is not held")
    browser.click_at(*page.steady("document.querySelector('.word[aria-label=\"name of the edge\"]')", "the name"))
    browser.type("x")
    browser.key("Escape")
    named = "document.querySelector('.word[aria-label=\"name of the edge\"]')"
    check(browser.run(named + ".value") == "lower front", "Escape does not take it back")
    # A name that is taken is told at its word, which keeps what was typed until Escape.
    page.word("name of the edge", "tab")
    page.until(f"{named}.getAttribute('aria-invalid') && document.getElementById({named}.getAttribute('aria-describedby'))?.textContent === 'the name \"tab\" is taken'", "a taken name is not told at its word")
    check(browser.run(named + ".value") == "tab" and not page.text("#told"), f"a taken name is lost, or told elsewhere too: {page.text('#told')}")
    browser.key("Escape")
    check(browser.run(f"{named}.value === 'lower front' && !{named}.getAttribute('aria-invalid') && !document.querySelector('#held .fault')"), "Escape does not take a taken name back")
    browser.run("document.querySelector('#stage').focus()")
    for left in (1, 0):
        browser.key("z", ctrl=True)
        page.stepped(before + left, "taken back")
    page.press("front lower", "#held") if page.text("#held h2") == "outside quarter" else None
    check(browser.run("document.querySelector('.word[aria-label=\"allowance\"]')?.value") in (None, allowance) and name == "front lower", "not taken back")


CONTRAST = """(() => {
  const part = v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
  const rgb = text => (text.match(/[\\d.]+/g) || []).map(Number);
  const light = c => 0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2]);
  const ground = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length === 3 || c[3] === 1) return c; } return [255, 255, 255]; };
  const bad = [];
  for (const e of document.querySelectorAll('p, button, summary, h1, h2, h3, label, th, .line, input, select')) {
    if (!e.textContent.trim() || !e.checkVisibility() || e.disabled) continue;
    const a = light(rgb(getComputedStyle(e).color)), b = light(ground(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) bad.push(e.tagName + ' ' + e.textContent.slice(0, 20) + ' ' + ratio.toFixed(2));
  }
  return bad;
})()"""


def check_names(browser):
    """Markup in every name stays text."""
    nasty = "<img src=x onerror=window.broken=1>\"'&</script><script>window.broken=1</script>"
    home = pathlib.Path(tempfile.mkdtemp(prefix="open-"))
    shutil.copytree(folder, home, dirs_exist_ok=True)
    spec = json.loads(ORIGINAL)
    spec["name"] = spec["works"] = spec["note"] = nasty
    text = json.dumps(spec)
    for name in [piece["name"] for piece in spec["pieces"]] + ["front upper", "joint", "ball line", "wing foot", "box calf 1.8 mm", "ball girth", "edge row", "size and width", "toe cap to vamp"]:
        text = text.replace(json.dumps(name), json.dumps(nasty[:39] + name))
    (home / "style.json").write_text(text)
    with Opened(program, folder, at=home) as opened:
        page = Page(browser, opened, check, pictures)
        browser.run("document.querySelector('#names').open = document.querySelector('#steps').open = true")
        page.until("document.querySelectorAll('#list button').length > 20", "no names are listed")
        count = browser.run("document.querySelectorAll('#list button').length")
        for i in range(0, count, 3):
            browser.run(f"document.querySelectorAll('#list button')[{i}].click()")
        page.say("hold <img")
        for bead in range(10):
            browser.run(f"document.querySelectorAll('.bead')[{bead}]?.click()")
        check(browser.run("window.broken === undefined && !document.querySelector('img') && document.querySelectorAll('script').length === 2"), "a name became markup")
        check(nasty in page.text("#title"), "the name is not shown as it is")
    shutil.rmtree(home)


def check_second(browser):
    """A second page needs a new address, and the first is told."""
    with Opened(program, folder) as opened:
        page = Page(browser, opened, check, pictures)
        browser.open("about:blank")
        browser.open(opened.address)
        page.until("document.documentElement.dataset.ready === 'true'", "the page is not ready")
        check("has been used" in page.text("#notice"), f"a used address: {page.text('#notice')}")
        browser.open(f"http://{opened.host}/")  # a reload keeps its key
        page.until("document.querySelectorAll('.bead').length > 1", "a reload is not let in")
        # What is told is of the last act: what was kept, and then what was not.
        told = "document.querySelector('#told').textContent"
        page.say("outside quarter")
        page.until("document.querySelector('#held h2')?.textContent === 'outside quarter'", "the piece is not held")
        page.word("name of the piece", "quarter one")
        page.until("document.querySelector('#held h2')?.textContent === 'quarter one' && !document.querySelector('#save').disabled", "the piece is not renamed")
        page.browser.click("#save")
        page.until(told + " === 'Kept in the file.'", "that it was kept is not told")
        theirs = opened.style.read_bytes().replace(b"Cindergarth welted", b"Cindergarth changed")
        opened.style.write_bytes(theirs)
        page.word("name of the piece", "quarter two")
        page.until("document.querySelector('#held h2')?.textContent === 'quarter two' && !document.querySelector('#save').disabled", "the piece is not renamed again")
        check(page.text("#told") != "Kept in the file.", "a step is told as kept in the file")
        page.browser.click("#save")
        page.until("/Nothing was written over it/.test(document.querySelector('#notice').textContent)", "a conflict is not told")
        page.until(told + ".startsWith('Not kept')", lambda: f"after a refusal to keep the page says: {page.text('#told')}")
        check(opened.style.read_bytes() == theirs, "a file that changed was written over from the page")
        opened.kill()
        page.say("hold vamp")
        page.until("/does not answer/.test(document.querySelector('#notice').textContent)", "that the program has gone is not told")
    shutil.rmtree(opened.folder)


check_keeping()
check_parts()
check_conflict()
check_killed()
check_full()
chromium = shutil.which("chromium")
if chromium:
    with Browser(chromium) as one:
        for part in (check_second, check_names):
            part(one)
            one.messages.clear()  # of a program that was ended on purpose, of pictures that are none
            one.requests.clear()
        with Opened(program, folder) as at_work:
            # The key is the page's: what the test asks itself, it asks by the draft and the file.
            at_work.ask_state = lambda: one.run("import('/ask.js').then(m => m.ask('/state'))")
            check_work(one, at_work)
    shutil.rmtree(at_work.folder)
if not LONG:
    shutil.rmtree(folder)
print(f"{len(faults)} faults")
if faults:
    sys.exit(1)
if not chromium:
    print("skipped: there is no Chromium, so the page itself was not tried")
    sys.exit(77)
