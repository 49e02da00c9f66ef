"""A style in fewer sizes and widths than it has, for what is asked of some of them alone: all checks of it take as much less time."""
import json
import os
import shutil
from pathlib import Path


def few_sizes(style, folder, **run):
    """Written into the folder with its drawings; `run` says what of the run is other. What it says of sizes that are not there goes."""
    spec = json.loads(Path(style).read_text())
    spec["run"] = {**spec["run"], **run}
    for piece in spec["pieces"]:
        piece.pop("sizes_tied", None)
        for feature in piece.get("features", []):
            feature.pop("counts", None)
    for drawing in spec["drawings"].values():
        shutil.copy(Path(style).parent / drawing["file"], folder)
    (Path(folder) / "style.json").write_text(json.dumps(spec))
    return Path(folder) / "style.json"


def few_order(style, folder):
    """The demo's order in four sizes and widths in the place of eight, with as many pairs, cases and periods, beside the demo and its works in few sizes: what each takes
    of its material costs half a second. The style's file; with TESTS_LONG=1 the demo's own, with its own order."""
    if os.environ.get("TESTS_LONG"):
        return Path(style)
    works = json.loads((Path(style).parent / "works.json").read_text())
    works["assortments"]["regular"] = [{"size": size, "width": "F", "pairs": pairs} for size, pairs in (("7", 2), ("8", 3), ("9", 7))]
    (Path(folder) / "works.json").write_text(json.dumps(works))
    (Path(folder) / "order.csv").write_text("style,size,width,pairs,assortment,cases,case,period\ncindergarth,,,,regular,5,,6\n"
                                            "cindergarth,6,E,4,,,C-21,7\ncindergarth,6,E,6,,,C-21,7\ncindergarth,6,E,2,,,C-22,7\n")
    return few_sizes(style, folder, **{"from": "6", "to": "9", "by": "1/2", "widths": ["E", "F"]})
