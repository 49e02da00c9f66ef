"""How often `girths --readings` names planted faults and accuses sound batches: the whole program, from a file of readings to
its findings, on batches that are made here and share nothing with the program's own tests.

usage: readings_rates.py PROGRAM [--batches 2] [--seed 7000000] [--plans TEXT,...] [--noises ...] [--faults ...] [--times 3,5]
                         [--draw map.svg] [--keep batches.jsonl] [--from batches.jsonl,...]
One line for each noise and each fault, then the worst of plan and fault; --draw draws plan x fault as a picture, red where
faults are missed and nothing says that they would be. `told`: the fault was not named, and the report lists it under what
these readings could not show. Settings of the model were chosen on other generators and on other seeds. By hand: ten minutes.
"""
import argparse
import json
import math
import pathlib
import re
import resource
import subprocess
import sys
import tempfile

import numpy as np

INCH = 25.4
SIZED = ["ball girth", "instep girth", "waist girth", "short heel"]


class Style:
    """A style without formes or drawings, and its values reckoned here."""

    def __init__(self, name, scale, ladder, base, run, step, first, girths, widths, tables=(), least=1.0):
        self.name, self.base, self.widths, self.least = name, base, widths, least
        self.step, self.first = step, first  # millimetres a size, and at size 0 of the labels
        self.girths = girths  # (base value, a size, a width)
        self.spec = {"lastwright_style": 1, "name": name, "scale": scale, "ladder": ladder, "tables": list(tables),
                     "base": {"size": base[0], "width": base[1]}, "run": run,
                     "measures": {"stick length": {"base": f"{self.value('stick length', *self.at(*base)):.6f} mm",
                                                   "per_size": f"{step:.6f} mm", "per_width": 0},
                                  **{m: {"base": f"{v} mm", "per_size": f"{s} mm", "per_width": f"{w} mm"}
                                     for m, (v, s, w) in zip(SIZED, girths)}}}

    def at(self, size, width):
        return float(size) / (5.0 if self.name == "uneven" else 1.0), self.widths[width]

    def value(self, measure, size, width):
        base_size, base_width = self.at(*self.base)
        if measure == "stick length":
            return self.first + self.step * size
        value, by_size, by_width = self.girths[SIZED.index(measure)]
        return value + by_size * (size - base_size) + by_width * (width - base_width)

    def wider(self, width):
        """Position of the next wider width of the ladder, as far again beyond its end."""
        places = sorted(self.widths.values())
        at = places.index(width)
        return places[at + 1] if at + 1 < len(places) else width + places[-1] - places[-2]

    def next_width(self, width):
        """Position of the next wider width that the run makes, of the next narrower one at its end."""
        places = sorted(self.widths[w] for w in self.spec["run"]["widths"])
        at = places.index(width)
        return places[at + 1] if at + 1 < len(places) else places[at - 1]


LETTERS = {w: float(i) for i, w in enumerate("CDEFGHJ")}
TYPES = {str(i): float(i) for i in range(1, 6)}
STYLES = {s.name: s for s in (
    Style("english", "english", "english-letters", ("8", "F"), {"from": "5", "to": "13", "by": "1/2", "widths": list("DEFGH")},
          INCH / 3, 11 * INCH - 8 * INCH / 3, [(246, 6.35, 6.35), (256, 6.35, 6.35), (242, 6.35, 4.7625), (331, 8, 6.35)], LETTERS, least=0.5),
    Style("paris", "paris-point", "french-types", ("42", "3"), {"from": "37", "to": "47", "by": "1", "widths": list("12345")},
          20 / 3, 0.0, [(244, 5, 5), (251, 5, 5), (240, 4.5, 4), (328, 6, 4)], TYPES),
    Style("child", "paris-point", "french-types", ("28", "3"), {"from": "22", "to": "34", "by": "1", "widths": list("234")},
          20 / 3, 0.0, [(178, 4.5, 5), (182, 4.5, 5), (172, 4, 4), (228, 5.5, 3)], TYPES),
    Style("uneven", "mondopoint-5", "uneven", ("260", "R"), {"from": "235", "to": "295", "by": "1", "widths": list("NRWX")},
          5.0, 15.0, [(246, 3.5, 6), (252, 3.5, 6), (240, 3, 5), (330, 4, 3)], {"N": 0.0, "R": 1.0, "W": 1.5, "X": 3.0}, tables=["uneven-ladder.json"]))}
UNEVEN = {"lastwright_table": 1, "kind": "ladder", "key": "uneven", "title": "Widths of unequal steps", "labels": list("NRWX"),
          "steps": [1, "1/2", "3/2"], "source": {"text": "invented for this test", "provenance": "from memory"}}

# name: style, sizes, widths, pairs of each, measures, singles. 12 to 200 lasts, 2 to 9 sizes, 1 to 5 widths, 1 to 5 measures.
ALL5 = ["stick length", *SIZED]
PLANS = {
    "e12": ("english", "7.5 8.5 9.5", "F", 2, ALL5[:3], False),
    "c12w2": ("child", "25 28 31", "3 4", 1, ALL5[:3], False),
    "u24s2": ("uneven", "250 270", "N R W", 2, ALL5[:3], False),
    "c36": ("child", "24 28 32", "2 3 4", 2, ALL5[:3], False),
    "s30": ("paris", "39 40 42 44 46", "2 3 4", 2, ALL5[:3], True),
    "e54s9": ("english", "6 6.5 7 7.5 8 8.5 9 9.5 10", "E F G", 1, ALL5[:3], False),
    "p60": ("paris", "38 40 42 44 46", "2 3 4", 2, ALL5[:3], False),
    "e60m2": ("english", "6 7 8.5 10 11.5", "E F G", 2, ALL5[:2], False),
    "p60m1": ("paris", "38 40 42 44 46", "2 3 4", 2, ["ball girth"], False),
    "e60m5": ("english", "6 7 8.5 10 11.5", "D F H", 2, ALL5, False),
    "u72": ("uneven", "240 250 260 270 280 290", "N R W", 2, ALL5[:3], False),
    "p200": ("paris", "38 40 42 44 46", "1 2 3 4 5", 4, ALL5[:3], False),
    # Small ones: 12 to 20 lasts.
    "e12m5": ("english", "7 8 9", "F", 2, ALL5, False),
    "u12m2": ("uneven", "250 260 270", "R", 2, ALL5[:2], False),
    "p16s2": ("paris", "40 44", "2 4", 2, ALL5[:3], False),
    "s18": ("english", "7 8 9", "E F G", 2, ALL5[:3], True),
    "u18": ("uneven", "250 260 270", "N R W", 1, ALL5[:3], False),
    "c20s5": ("child", "24 26 28 30 32", "3", 2, ALL5[:3], False),
}
# made and read: standard deviations, millimetres; step: what is read to.
NOISES = {
    "normal": dict(),
    "heavy tails": dict(heavy=True),
    "1/16 in": dict(step=INCH / 16),
    "1 mm": dict(step=1.0),
    "pairs alike": dict(pair=0.6),
    "30 % missing": dict(missing=0.3),
    "two operators": dict(apart=0.5),
    "rough": dict(made=0.6, read=0.6),
}
TAPES = ["tape A", "tape B"]


class Batch:
    def __init__(self, plan, noise, fault, times, seed):
        self.plan, self.style = plan, STYLES[PLANS[plan][0]]
        _, sizes, widths, self.pairs, self.measures, self.singles = PLANS[plan]
        self.sizes, self.widths = sizes.split(), widths.split()
        self.kind = {"made": 0.3, "read": 0.3, "step": 0.5, "pair": 0.0, "apart": 0.0, "missing": 0.0, "heavy": False} | NOISES[noise]
        # What three times the noise is three times of: one reading, as made, as read and as rounded.
        self.sd = math.sqrt(self.kind["made"] ** 2 + self.kind["read"] ** 2 + self.kind["step"] ** 2 / 12)
        self.amount, self.fault = times * self.sd, fault
        self.random = np.random.default_rng(seed)
        self.middle = self.sizes[len(self.sizes) // 2]
        self.end = self.sizes[-1 if self.random.random() < 0.5 else 0]
        self.edge = self.widths[-1 if self.random.random() < 0.5 else 0]
        self.sign = 1 if self.random.random() < 0.5 else -1
        cells = len(self.sizes) * len(self.widths) * self.pairs
        self.one = int(self.random.integers(1, cells + 1))
        self.half = self.style.least
        self.girth = next(m for m in self.measures if "girth" in m)
        self.read_off = None
        self.rows = self.read()

    def error(self, sd):
        one = self.random.normal(0, sd)
        return one / math.sqrt(self.random.chisquare(3) / 3) if self.kind["heavy"] else one

    def read(self):
        rows, number = [], 0
        pairs = [(s, w) for s in self.sizes for w in self.widths for _ in range(self.pairs)]
        # An exchange is of two pairs of one size and neighbouring widths.
        self.other = None
        if self.fault and self.fault.name == "exchange":
            s, w = pairs[self.one - 1]
            same = [n for n, (a, b) in enumerate(pairs, 1) if a == s and b != w]
            self.other = int(self.random.choice(same))
        for s, w in pairs:
            number += 1
            shared = {m: self.random.normal(0, self.kind["pair"]) for m in self.measures}
            for hand in ("left", "right"):
                if self.singles and (hand == "left") != (number % 2 == 0):
                    continue
                tape = TAPES[int(self.random.integers(2))]
                for m in self.measures:
                    at = dict(size=s, width=w, hand=hand, measure=m, tape=tape, number=number)
                    size, width = self.style.at(s, w)
                    if self.fault:
                        size, width = self.fault.truly(self, at, size, width, pairs)
                    value = self.style.value(m, size, width) + shared[m] + self.error(self.kind["made"]) + self.error(self.kind["read"])
                    value += self.kind["apart"] * (tape == TAPES[1])
                    if self.fault:
                        value += self.fault.adds(self, at, value)
                    if self.random.random() < self.kind["missing"]:
                        continue
                    rows.append((f"Q{number:03}", s, w, hand, m, self.noted(value), tape))
        return rows

    def noted(self, value):
        step = self.kind["step"]
        count = round(value / step)
        if step == INCH / 16:
            whole, parts = divmod(count, 16)
            return f"{whole} {parts}/16,in" if parts else f"{whole},in"
        return f"{count * step:.10g},mm"

    def text(self):
        return "id,size,width,hand,measure,value,unit,gauge\n" + "".join(",".join(r) + "\n" for r in self.rows)


class Fault:
    """What is planted; `kind` is the word of the findings' first column, `says` what the finding must say."""

    def __init__(self, name, kind, says, adds=None, truly=None, possible=lambda p: True, sized=False):
        self.name, self.kind, self.says, self.possible, self.sized = name, kind, says, possible, sized
        self.adds = adds or (lambda b, at, v: 0.0)
        self.truly = truly or (lambda b, at, s, w, pairs: (s, w))

    def told(self, batch, row):
        """Whether a row of what could not be shown covers what was planted."""
        if row["about"] != self.kind:
            return False
        if self.kind == "stamp":
            return row["power"] < 95
        return row["named_from_mm"] is None or row["named_from_mm"] > self.planted(batch)

    def planted(self, batch):
        """Millimetres, a step where it is one; of what moves by cells the least of the girths, as the program is asked of one."""
        by_size, by_width = (min(g[i] for g in batch.style.girths) for i in (1, 2))
        return batch.amount if self.sized else {
            "batch: a width": by_width, "size: a width up": by_width, "batch: a size": by_size * batch.half,
            "step by size": INCH / 16, "step by width": 1.35, "tape: stretched": 0.008 * min(g[0] for g in batch.style.girths)}[self.name]

    def named(self, batch, row):
        return row["kind"] == self.kind and any(re.search(t, row["finding"].split("; or, ")[0]) for t in self.words(batch))

    def tied(self, batch, row):
        others = "; or, ".join(row["finding"].split("; or, ")[1:]).split("; the next best")[0]
        return any(re.search(t, others) for t in self.words(batch, short=True))

    def words(self, batch, short=False):
        made = self.says(batch)
        return made[1] if short else made[0]


def is_girth(m):
    return m != "stick length"


def faults():
    steps = lambda b, at: b.style.at(at["size"], at["width"])[0] - b.style.at(*b.style.base)[0]
    wsteps = lambda b, at: b.style.at(at["size"], at["width"])[1] - b.style.at(*b.style.base)[1]
    several = lambda p: len(PLANS[p][1].split()) > 2
    widths = lambda p: len(PLANS[p][2].split()) > 1
    both = lambda p: not PLANS[p][5]
    pair = lambda b: ([rf"Q{b.one:03}\b"], [rf"Q{b.one:03}\b"])
    whole = lambda b: (["whole batch"], ["whole batch"])
    size = lambda of: (lambda b: ([rf"^size {re.escape(getattr(b, of))}\b"], [rf"size {re.escape(getattr(b, of))}\b"]))
    here = lambda b, at: at["number"] == b.one
    made = [
        Fault("batch: ball girth", "whole batch", whole, adds=lambda b, at, v: b.sign * b.amount * (at["measure"] == b.girth), sized=True),
        Fault("batch: a width", "whole batch", whole, truly=lambda b, at, s, w, p: (s, b.style.wider(w))),
        Fault("batch: a size", "whole batch", whole, truly=lambda b, at, s, w, p: (s - b.half, w)),
        Fault("size: middle", "one size", size("middle"), possible=several, sized=True,
              adds=lambda b, at, v: b.sign * b.amount * (at["size"] == b.middle and at["measure"] == b.girth)),
        Fault("size: end", "one size", size("end"), possible=several, sized=True,
              adds=lambda b, at, v: b.sign * b.amount * (at["size"] == b.end and at["measure"] == b.girth)),
        Fault("size: a width up", "one size", size("middle"), possible=several,
              truly=lambda b, at, s, w, p: (s, b.style.wider(w) if at["size"] == b.middle else w)),
        Fault("width: edge", "one width", lambda b: ([rf"^width {b.edge}\b"], [rf"width {b.edge}\b"]), possible=widths, sized=True,
              adds=lambda b, at, v: b.sign * b.amount * (at["width"] == b.edge and at["measure"] == b.girth)),
        Fault("step by size", "step by size", lambda b: (["grow"], ["step by size"]), possible=several,
              adds=lambda b, at, v: -INCH / 16 * steps(b, at) * is_girth(at["measure"])),
        Fault("step by width", "step by width", lambda b: (["grow"], ["step by width"]), possible=widths,
              adds=lambda b, at, v: -1.35 * wsteps(b, at) * is_girth(at["measure"])),
        Fault("tape: reads more", "gauge", lambda b: (["tape B"], ["tape B"]), adds=lambda b, at, v: b.amount * (at["tape"] == "tape B"), sized=True),
        Fault("tape: stretched", "gauge", lambda b: (["tape A"], ["tape A"]), adds=lambda b, at, v: -0.008 * v * (at["tape"] == "tape A")),
        Fault("hand: rights fuller", "left or right", lambda b: (["the rights"], ["the rights"]), sized=True,
              adds=lambda b, at, v: b.amount * (at["hand"] == "right" and is_girth(at["measure"]))),
        Fault("stamp: pair, a size", "stamp", pair, possible=both, truly=lambda b, at, s, w, p: (s + b.half * here(b, at), w)),
        Fault("stamp: pair, a width", "stamp", pair, truly=lambda b, at, s, w, p: (s, b.style.next_width(w) if here(b, at) else w)),
        Fault("stamp: last, a size", "stamp", pair,
              truly=lambda b, at, s, w, p: (s + b.half * (here(b, at) and (b.singles or at["hand"] == "left")), w)),
        Fault("exchange", "stamp", lambda b: ([rf"Q{b.one:03}\b", rf"Q{b.other:03}\b"],) * 2, possible=widths,
              truly=lambda b, at, s, w, p: (s, b.style.at(*p[(b.other if here(b, at) else b.one) - 1])[1] if at["number"] in (b.one, b.other) else w)),
    ]
    return {f.name: f for f in made}


LIMITS = {"reading", "pair"}  # findings beside a limit accuse nobody


def judged(program, folder, batch):
    (folder / "batch.csv").write_text(batch.text(), encoding="utf-8")
    style = folder / f"{batch.style.name}.json"
    made = subprocess.run([program, "girths", str(style), "--readings", str(folder / "batch.csv"), "--format", "json"],
                          capture_output=True, check=False)
    if made.returncode not in (0, 1):
        sys.exit(f"exit {made.returncode}: {made.stderr.decode()}\n{batch.text()[:400]}")
    return {t["name"]: t["rows"] for t in json.loads(made.stdout)["tables"]}


def score(batch, book):
    named = tied = accused = False
    for row in book["findings"]:
        if row["kind"] in LIMITS or row["finding"].startswith(tuple("0123456789")):
            continue
        if batch.fault and batch.fault.named(batch, row):
            named = True
        elif batch.fault and batch.fault.tied(batch, row):
            tied = True
        else:
            accused = True
    told = bool(batch.fault) and any(batch.fault.told(batch, r) for r in book.get("not shown", []))
    return dict(named=named, tied=tied and not named, accused=accused, told=told and not named and not tied)


def main():
    options = argparse.ArgumentParser()
    options.add_argument("program")
    options.add_argument("--batches", type=int, default=2)
    options.add_argument("--seed", type=int, default=7_000_000)
    for name in ("plans", "noises", "faults"):
        options.add_argument("--" + name, default="")
    options.add_argument("--sound", type=int, default=5, help="sound batches for one of each fault")
    options.add_argument("--times", default="3,5")
    options.add_argument("--draw")
    options.add_argument("--keep")
    options.add_argument("--from", dest="earlier", default="")
    options.add_argument("--tell", action="store_true")
    asked = options.parse_args()
    among = lambda name, text: not text or any(t in name for t in text.split(","))
    results = []
    for path in filter(None, asked.earlier.split(",")):
        results += [json.loads(line) for line in pathlib.Path(path).read_text().splitlines()]
    if not asked.earlier:
        results = campaign(asked, among)
    report(results)
    if asked.draw:
        pathlib.Path(asked.draw).write_text(drawn(results), encoding="utf-8")


def campaign(asked, among):
    results, kept = [], open(asked.keep, "w") if asked.keep else None
    number = 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        (folder / "uneven-ladder.json").write_text(json.dumps(UNEVEN))
        for style in STYLES.values():
            (folder / f"{style.name}.json").write_text(json.dumps(style.spec))
        for plan in PLANS:
            for noise in NOISES:
                for name, fault in {"sound": None, **faults()}.items():
                    for times in [float(t) for t in asked.times.split(",")] if fault and fault.sized else [0.0]:
                        for _ in range(asked.batches * (1 if fault else asked.sound)):
                            number += 1  # the same batch whatever is left out
                            if not (among(plan, asked.plans) and among(noise, asked.noises) and among(name, asked.faults)):
                                continue
                            if fault and not fault.possible(plan):
                                continue
                            batch = Batch(plan, noise, fault, times, asked.seed + number)
                            book = judged(asked.program, folder, batch)
                            found = dict(plan=plan, noise=noise, fault=name, times=times, **score(batch, book))
                            results.append(found)
                            if kept:
                                print(json.dumps(found), file=kept, flush=True)
                            if asked.tell and (found["accused"] or (fault and not (found["named"] or found["tied"] or found["told"]))):
                                print(found, asked.seed + number, *(r["finding"] for r in book["findings"] if r["kind"] not in LIMITS), sep="\n  ")
    return results


def rate(rows, key="named"):
    return f"{sum(r[key] for r in rows)} of {len(rows)}"


def report(results):
    sound = [r for r in results if r["fault"] == "sound"]
    faulty = [r for r in results if r["fault"] != "sound"]
    print(f"sound batches accused: {rate(sound, 'accused')}; batches with a fault accused of something else: {rate(faulty, 'accused')}")
    print(f"faults named: {rate(faulty)}; named beside another that fits as well: {rate(faulty, 'tied')}; "
          f"neither, but told that these readings could not show it: {rate(faulty, 'told')}")
    missed = [r for r in faulty if not (r["named"] or r["tied"] or r["told"])]
    print(f"missed, and nothing said: {len(missed)} of {len(faulty)}")
    for key in ("noise", "plan", "fault", "times"):
        for value in dict.fromkeys(r[key] for r in results):
            of = [r for r in faulty if r[key] == value]
            if of:
                print(f"  {key} {value}: named {rate(of)}, tied {rate(of, 'tied')}, told {rate(of, 'told')}, accused "
                      f"{sum(r['accused'] for r in results if r[key] == value)} of {sum(r[key] == value for r in results)}")
    print("worst corners (plan, fault, times the noise):")
    corners = {}
    for r in faulty:
        corners.setdefault((r["plan"], r["fault"], r["times"]), []).append(r)
    silent = lambda rows: sum(not (r["named"] or r["tied"] or r["told"]) for r in rows)
    for corner, rows in sorted(corners.items(), key=lambda c: (-silent(c[1]) / len(c[1]), sum(r["named"] for r in c[1]) / len(c[1])))[:30]:
        if silent(rows) or sum(r["named"] or r["tied"] for r in rows) < 0.95 * len(rows):
            print(f"  {corner}: named {rate(rows)}, tied {rate(rows, 'tied')}, told {rate(rows, 'told')}")
    print(f"{resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime:.0f} s of processor time in the program")


def drawn(results):
    """Plans down, faults across: green named, grey told that it cannot be shown, red missed in silence or wrongly accused."""
    plans, names = list(PLANS), ["sound", *faults()]
    left, top, cell = 130, 150, 44
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {left + cell * len(names) + 10} {top + cell * len(plans) + 40}" '
           'font-family="sans-serif" font-size="11">']
    for c, name in enumerate(names):
        x = left + cell * (c + 0.5)
        out.append(f'<text x="{x}" y="{top - 8}" transform="rotate(-55 {x} {top - 8})">{name}</text>')
    for p, plan in enumerate(plans):
        lasts = len(PLANS[plan][1].split()) * len(PLANS[plan][2].split()) * PLANS[plan][3] * (1 if PLANS[plan][5] else 2)
        out.append(f'<text x="{left - 8}" y="{top + cell * (p + 0.5) + 4}" text-anchor="end">{plan} ({lasts} lasts)</text>')
        for c, name in enumerate(names):
            rows = [r for r in results if r["plan"] == plan and r["fault"] == name]
            if not rows:
                continue
            good = [not r["accused"] for r in rows] if name == "sound" else [(r["named"] or r["tied"]) and not r["accused"] for r in rows]
            told = [r["told"] and not r["accused"] for r in rows]
            y = top + cell * p
            for part, fill in ((sum(good), "#7db487"), (sum(told), "#c9c9c9"), (len(rows) - sum(good) - sum(told), "#d0604f")):
                height = (cell - 3) * part / len(rows)
                out.append(f'<rect x="{left + cell * c}" y="{y:.2f}" width="{cell - 3}" height="{height:.2f}" fill="{fill}"/>')
                y += height
            out.append(f'<text x="{left + cell * (c + 0.5) - 1.5}" y="{top + cell * (p + 0.5) + 3}" text-anchor="middle">{sum(good)}/{len(rows)}</text>')
    out.append(f'<text x="{left}" y="{top + cell * len(plans) + 22}">green: named, or sound and left in peace; grey: told that these readings '
               'could not show it; red: neither, or something else accused</text></svg>')
    return "\n".join(out) + "\n"


if __name__ == "__main__":
    main()
