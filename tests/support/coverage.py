#!/usr/bin/python3
"""Lines run, by folder, from the counters of a build with --coverage: coverage.py BUILD-FOLDER. Needs gcov of the same compiler."""
import collections
import json
import pathlib
import subprocess
import sys

build = pathlib.Path(sys.argv[1]).resolve()
project = pathlib.Path(__file__).resolve().parents[2]
LAYERS = ("geometry", "grading", "cli")
run = {}  # (file, line) -> whether any program ran it
for counters in build.rglob("*.gcda"):
    told = subprocess.run(["gcov", "--json-format", "--stdout", counters], cwd=counters.parent, capture_output=True, text=True).stdout
    for document in told.splitlines():
        for file in json.loads(document)["files"]:
            path = (build / file["file"]).resolve()
            if not path.is_relative_to(project) or path.relative_to(project).parts[0] not in LAYERS:
                continue
            for line in file["lines"]:
                key = (str(path.relative_to(project)), line["line_number"])
                run[key] = run.get(key, False) or line["count"] > 0
folders = collections.defaultdict(lambda: [0, 0])
for (file, _), was_run in run.items():
    for folder in (str(pathlib.Path(file).parent), pathlib.Path(file).parts[0] + " in all", "in all"):
        folders[folder][0] += was_run
        folders[folder][1] += 1
if not run:
    sys.exit("no counters: build with --coverage and run the tests first")
for folder, (lines, of) in sorted(folders.items()):
    print(f"{folder:<24} {100 * lines / of:5.1f} %  {lines} of {of} lines")
