#!/usr/bin/python3
"""A style of 20 pieces x 40 sizes x 10 widths from the demo boot: python3 make_style.py FOLDER [PIECES [SIZES [WIDTHS]]]

The demo's pieces, with their allowances and features; the linings and stiffeners once more under other names until the
count is full. Quarter sizes (41 fit between 4 and 14) and the ten English width letters, so that the shapes stay those of
a boot: a run of twice the range would be a run of shapes that nobody makes. Up to 20 sizes are half sizes, so that the
run is as long. Writes FOLDER/style.json and copies of the drawings, and prints the name of the style file.
"""
import copy
import json
import pathlib
import shutil
import sys

DEMO = pathlib.Path(__file__).resolve().parents[2] / "demo-patterns" / "cindergarth"
LETTERS = ["A", "B", "C", "D", "E", "F", "G", "H", "J", "K"]
SMALLEST = 4.0
SCALE = {
    "lastwright_table": 1, "kind": "scale", "key": "quarter-sizes", "title": "English sizes with quarter sizes, for the benchmark",
    "source": {"text": "the English step of 1/3 in; quarter sizes are made for nobody", "provenance": "common practice"},
    "sizes": "last", "zero_length": "8 1/3 in", "step": "1/3 in", "runs": [{"from": 1, "to": 15, "smallest": "1/4"}],
}


def widths_around_base(count):
    base = LETTERS.index("F")
    first = max(0, min(base - (count - 1) // 2, len(LETTERS) - count))
    return LETTERS[first:first + count]


def main():
    folder = pathlib.Path(sys.argv[1])
    pieces, sizes, widths = (int(a) for a in (sys.argv[2:] + ["20", "40", "10"][len(sys.argv) - 2:]))
    folder.mkdir(parents=True, exist_ok=True)
    style = json.loads((DEMO / "style.json").read_text())
    style["name"] = "Whole-run benchmark"
    (folder / "quarter-sizes.json").write_text(json.dumps(SCALE))
    style["scale"] = SCALE["key"]
    style["tables"] = ["quarter-sizes.json"]
    step = 0.25 if sizes > 20 else 0.5
    style["run"] = {"from": f"{SMALLEST:g}", "to": f"{SMALLEST + step * (sizes - 1):g}", "by": "1/4" if step == 0.25 else "1/2",
                    "widths": widths_around_base(widths)}
    # Codes for the longer run: the number of a size, or of a width, in binary.
    labels = {"size": [f"{SMALLEST + step * i:g}" for i in range(sizes)], "width": style["run"]["widths"]}
    for code in style["codes"].values():
        code["marks"] = {label: [bit + 1 for bit in range(8) if i >> bit & 1] for i, label in enumerate(labels[code["of"]], 1)}
    drawn = list(style["pieces"])
    turn = 2
    while len(style["pieces"]) < pieces:
        for piece in drawn[::-1][:pieces - len(style["pieces"])]:
            again = copy.deepcopy(piece)
            again["name"] = f"{piece['name']} {turn}"
            style["pieces"].append(again)
        turn += 1
    style["pieces"] = style["pieces"][:pieces]
    kept = {piece["name"] for piece in style["pieces"]}
    style["seams"] = [s for s in style["seams"] if s["one"]["piece"] in kept and s["other"]["piece"] in kept]
    for drawing in style["drawings"].values():
        shutil.copy(DEMO / drawing["file"], folder)
    (folder / "style.json").write_text(json.dumps(style, indent=1))
    print(folder / "style.json")


main()
