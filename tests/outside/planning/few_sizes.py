"""A style in fewer sizes and widths than it has, for what is asked of some of them alone: all checks of it take as much less time."""
import json
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
