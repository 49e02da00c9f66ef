"""Writes a small invented style with a hold and two held edges among rules of every kind.
usage: write_held_style.py FOLDER
"""
import json
import pathlib
import sys

import ezdxf

SPLINES = {  # by piece: edge, poles
    "tab": [("low", [(60, 30), (75, 24), (90, 33), (105, 28)]), ("front", [(105, 28), (112, 40), (107, 52), (110, 62)]),
            ("top", [(110, 62), (96, 70), (80, 60), (64, 66)]), ("back", [(64, 66), (55, 55), (66, 42), (60, 30)])],
    "vamp": [("feather", [(150, 12), (190, 6), (230, 10), (262, 8)]), ("toe", [(262, 8), (258, 22), (246, 34), (230, 45)]),
             ("throat", [(230, 45), (208, 62), (190, 52), (170, 66)]), ("wing", [(170, 66), (158, 50), (160, 30), (150, 12)])],
}
HELD = {("tab", "top"), ("vamp", "toe")}


def main(folder):
    folder.mkdir(parents=True, exist_ok=True)
    drawing = ezdxf.new("R2000")
    drawing.header["$INSUNITS"] = 4
    pieces = []
    for name, edges in SPLINES.items():
        block = drawing.blocks.new(name.upper())
        for _, poles in edges:
            block.add_open_spline(poles, degree=3, dxfattribs={"layer": "1"})
        drawing.modelspace().add_blockref(name.upper(), (0, 0))
        starts = {edge: poles[0] for edge, poles in edges}
        names = [edge for edge, _ in edges]
        pieces.append({
            "name": name, "forme": "shell", "outline": {"drawing": "shell", "block": name.upper()}, "drawn": "net",
            "corners": {f"{edge} start": list(at) for edge, at in starts.items()},
            "edges": [{"name": edge, "from": f"{edge} start", "to": f"{names[(k + 1) % 4]} start", "treatment": "raw",
                       **({"held": True} if (name, edge) in HELD else {})} for k, edge in enumerate(names)],
            "material": "calf", "hand": "handed"})
    drawing.saveas(folder / "shell.dxf")
    points = {"heel": [0, 0], "toe": [280, 0], "ball top": [192, 88], "ball feather": [204, 2], "counter top": [8, 58],
              "free": [132, 88], "one": [20, 22], "two": [38, 30], "three": [31, 41], "line end": [120, 118]}
    style = {
        "lastwright_style": 1, "name": "Held", "works": "Nowhere Works", "scale": "english", "ladder": "english-letters",
        "base": {"size": "8", "width": "F"}, "run": {"from": "5", "to": "13", "by": "1/2", "widths": ["D", "E", "F", "G", "H"]},
        "measures": {
            "stick length": {"base": "280 mm", "per_size": "1/3 in", "per_width": "0 mm", "source": "invented", "provenance": "common practice"},
            "ball girth": {"base": "246 mm", "per_size": "1/4 in", "per_width": "1/4 in", "source": "invented", "provenance": "common practice"},
            "tread": {"base": "73 mm", "per_size": "1/12 in", "per_width": "1/9 in", "source": "invented", "provenance": "common practice"}},
        "drawings": {"shell": {"file": "shell.dxf", "units": "mm"}},
        "formes": {"shell": {
            "points": points, "base_line": ["heel", "toe"], "fixed": "heel", "length_line": "stick", "girth_line": "ball line",
            "rules": [
                {"measure_line": "stick", "from": "heel", "to": "toe", "carries": {"stick length": 1}},
                {"measure_line": "ball line", "from": "ball feather", "to": "ball top", "carries": {"ball girth": "1/2", "tread": "-1/2"}},
                {"point": "counter top", "per_size": [0.3, 1.4], "per_width": [0, 0.2]},
                {"point": "free", "per_size": [2.6, 2.2], "per_width": [0.1, 0.5]},
                {"straight": ["ball top", "mid", "line end"]},
                {"hold": ["one", "two", "three"]}]}},
        "pieces": pieces}
    style["formes"]["shell"]["points"]["mid"] = [156, 103]
    (folder / "style.json").write_text(json.dumps(style, indent=1))


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]))
