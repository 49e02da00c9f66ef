#!/usr/bin/python3
"""Files and folders that comments name are there: check_comments.py PROJECT

A comment of a source names a file by its place in the project, with or without its ending (grading/style/style_json), or a
folder. DEVELOPERS.md and README.md name files in the same way; the Map names every folder of the layers, and in backquotes only
files that there are. Fails when it finds next to nothing, so that it cannot pass by accident.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
LAYERS = ("geometry", "grading", "cli", "tests")
NAMED = re.compile(r"(?<![\w/.\"<-])((?:geometry|grading|cli|tests|reference-tables|demo-patterns)(?:/[\w.-]+)+)")
ENDINGS = ("", ".hpp", ".cpp", ".py")
faults, named = [], 0
for source in (path for layer in LAYERS for path in sorted((root / layer).rglob("*.[ch]pp"))):
    for number, line in enumerate(source.read_text(encoding="utf-8").splitlines(), 1):
        # From the first slashes that stand in no text.
        _, _, comment = re.sub(r'"(?:[^"\\]|\\.)*"', lambda text: "~" * len(text[0]), line).partition("//")
        for name in NAMED.findall(comment):
            named += 1
            name = name.rstrip(".")
            if not any((root / (name + ending)).exists() for ending in ENDINGS):
                faults.append(f"{source.relative_to(root)}:{number}: there is no {name}")
for page in ("DEVELOPERS.md", "README.md"):
    for number, line in enumerate((root / page).read_text(encoding="utf-8").splitlines(), 1):
        for name in NAMED.findall(" ".join(re.findall(r"`([^`]+)`", line))):
            named += 1
            if not any((root / (name.rstrip(".") + ending)).exists() for ending in ENDINGS):
                faults.append(f"{page}:{number}: there is no {name}")
whole = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
chart = whole[whole.index("## Map") : whole.index("Newcomer's tour:")]
stems = {path.stem for layer in LAYERS[:3] for path in (root / layer).rglob("*.hpp")}
faults += [f"DEVELOPERS.md: the Map names no file: {name}" for name in re.findall(r"`([a-z]+(?:_[a-z]+)+)`", chart) if name not in stems]
folders = [path.name for layer in LAYERS[:3] for path in (root / layer).iterdir() if path.is_dir()]
faults += [f"DEVELOPERS.md: the Map has no {name}/" for name in folders if f"`{name}/`" not in chart]
if named < 60:
    sys.exit(f"only {named} names of files were found in comments under {root}")
sys.exit("\n".join(faults)) if faults else print(f"{named} files and folders that comments name, each there")
