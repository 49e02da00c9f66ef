#!/usr/bin/python3
"""That the checks of this folder see what they are for: check_planted.py PROJECT CMAKE

A source with one mistake for each is put among the project's own sources, which are linked to; each check must name the mistake,
and nothing else.
"""
import pathlib
import subprocess
import sys
import tempfile

root, cmake = pathlib.Path(sys.argv[1]).resolve(), sys.argv[2]
here = pathlib.Path(__file__).resolve().parent
PLANTED = "grading/checks/planted_check.cpp"
MISTAKES = [  # a line of the source, who must see it, and how it is told
    ('#include <grading/live/live_grade.hpp>', "check_layers.cmake", "included in quotes: grading/live/live_grade.hpp"),
    ('#include "grading/live/live_grade.hpp"', "check_layers.cmake", "grading/checks may not include grading/live"),
    ("bool large(double round) { return round > 700.0 + 0.05; }", "check_tolerances.py", "0.05 is a limit without a name"),
    ("bool small(double round) { return 700.0 >= round; }", "check_tolerances.py", "700.0 is a limit without a name"),
    ("bool many(int edges) { return edges < 40; }", "check_tolerances.py", "40 is a limit without a name"),
    ("bool sound(double x) { return x > 0.0 && x < 0.5 && x <= 2.0 && x > 3 && kMost < x; }", "check_tolerances.py", ""),
    ("// As grading/checks/not_there does it.", "check_comments.py", "there is no grading/checks/not_there"),
    ("// As grading/checks/judge.hpp and grading/checks/judge and grading/checks do it.", "check_comments.py", ""),
]


def said(check, tree):
    command = [cmake, f"-DPROJECT_DIR={tree}", "-P", here / check] if check.endswith(".cmake") else ["/usr/bin/python3", here / check, tree]
    ended = subprocess.run(command, capture_output=True, text=True)
    return ended.returncode, ended.stdout + ended.stderr


with tempfile.TemporaryDirectory() as folder:
    tree = pathlib.Path(folder)
    for layer in ("geometry", "grading", "cli", "tests"):
        for path in (root / layer).rglob("*"):
            if path.is_dir():
                (tree / layer / path.relative_to(root / layer)).mkdir(parents=True, exist_ok=True)
        for source in (root / layer).rglob("*"):
            if source.is_file() and "corpus" not in source.parts:
                (tree / source.relative_to(root)).symlink_to(source)
    for whole in ("DEVELOPERS.md", "README.md", "reference-tables", "demo-patterns"):
        (tree / whole).symlink_to(root / whole)
    (tree / PLANTED).write_text("".join(line + "\n" for line, _, _ in MISTAKES))
    for check in sorted({check for _, check, _ in MISTAKES}):
        code, told = said(check, tree)
        assert code != 0, f"{check} passes what is planted"
        wanted = [words for _, of, words in MISTAKES if of == check and words]
        flat = " ".join(told.split())
        for words in wanted:
            assert words in flat, f"{check} does not say {words!r}: {told}"
        # Of `700.0 + 0.05` both numbers are told.
        assert flat.count(PLANTED) == len(wanted) + (1 if check == "check_tolerances.py" else 0), f"{check} says more: {told}"
print(f"{len(MISTAKES)} planted lines, each told or passed as it must be")
