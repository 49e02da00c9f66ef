#!/usr/bin/python3
"""Many styles in one night: check_catalogue.py LASTWRIGHT DEMO [--slurm]

Five styles (two sound, one whose checks fail, one that cannot be graded, one whose folder has a space) through the scripts of
demo-patterns/catalogue: with make, with find, and as tasks of an array job, each task started as the scheduler would start it
(with --slurm by sbatch itself). What is done twice is counted: a second night does only what is missing or has changed.
"""
import csv
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

program, demo = (pathlib.Path(word).resolve() for word in sys.argv[1:3])
slurm = "--slurm" in sys.argv
scripts = demo / "catalogue"


def make_style(folder, change):
    folder.mkdir(parents=True)
    style = json.loads((demo / "cindergarth/style.json").read_text())
    style["run"]["widths"] = ["F"]
    for drawing in style["drawings"].values():
        shutil.copy(demo / "cindergarth" / drawing["file"], folder)
    change(style)
    (folder / "style.json").write_text(json.dumps(style))
    return folder / "style.json"


def nothing(style):
    pass


def fails(style):
    style["limits"] = {**style.get("limits", {}), "hole_to_edge": 11.0}


def cannot(style):
    style["scale"] = "no such scale"


with tempfile.TemporaryDirectory(prefix="lastwright-night-") as name:
    place = pathlib.Path(name)
    styles = [make_style(place / "catalogue" / folder, change) for folder, change in
              (("a", nothing), ("b", fails), ("c", cannot), ("d", nothing))]
    spaced = make_style(place / "catalogue/with space", nothing)
    counter = place / "counted.sh"
    counter.write_text(f'#!/bin/bash\n[ "$1" = grade ] && echo "$2" >> "{place}/graded"\nexec "{program}" "$@"\n')
    counter.chmod(0o755)
    environment = {**os.environ, "LASTWRIGHT": str(counter), "HERE": str(scripts)}

    def graded():
        file = place / "graded"
        lines = file.read_text().splitlines() if file.exists() else []
        file.unlink(missing_ok=True)
        return sorted(pathlib.Path(line).parent.name for line in lines)

    def by_make():
        words = ["make", "-s", "-f", scripts / "night.mk", "-j2", "-k", "STYLES=" + " ".join(map(str, styles)), "OUT=night"]
        return subprocess.run(words, cwd=place, env=environment, capture_output=True, text=True).returncode

    def summary(out):
        done = subprocess.run(["bash", scripts / "summary.sh", place / out], capture_output=True, text=True, check=True)
        rows = list(csv.DictReader(done.stdout.splitlines()))
        return {row["style"].split("+")[-2]: [other["what"] for other in rows if other["style"] == row["style"]] for row in rows}

    assert by_make() == 2  # one style could not be graded, and make says so
    assert graded() == ["a", "b", "c", "d"]
    told = summary("night")
    assert told["a"] == told["d"] and told["a"][0].startswith("every check passed"), told["a"]
    assert told["b"][0] == "checks failed" and any("hole to edge" in line for line in told["b"][1:]), told["b"]
    assert told["c"][0] == "not graded" and any("no such scale" in line for line in told["c"][1:]), told["c"]
    # Again: only what could not be done.
    assert by_make() == 2
    assert graded() == ["c"]
    # A drawing has changed, a night was cut short after the work of another, and the faulty style is put right.
    drawing = styles[0].parent / "bottom.dxf"
    head, end, _ = drawing.read_text().rpartition("0\nEOF")
    drawing.write_text(f"{head}0\nEOF".replace("0\nEOF", "999\na comment\n0\nEOF"))
    next((place / "night").rglob("*+d+style/finished")).unlink()
    shutil.copy(styles[3], styles[2])
    assert by_make() == 0
    assert graded() == ["a", "c", "d"]
    assert by_make() == 0 and graded() == []

    # The same by find, which takes any path; GNU parallel hands them over alike.
    for _ in range(2):
        subprocess.run(f'find catalogue -name style.json -print0 | xargs -0 -P2 -I% bash "{scripts}/one-style.sh" % other',
                       shell=True, check=True, cwd=place, env=environment)
    assert graded() == sorted(["a", "b", "c", "d", "with space"])
    assert "with space" in summary("other")

    # And as the tasks of an array job.
    listed = place / "styles.txt"
    listed.write_text("".join(f"{style}\n" for style in [*styles, spaced]))
    tasks = ["bash"] if not slurm else ["sbatch", "--wait", f"--array=1-{len(styles) + 1}"]
    for _ in range(2):
        for task in range(len(styles) + 1) if not slurm else [0]:
            subprocess.run([*tasks, scripts / "night.sbatch", listed, place / "array"], check=True, cwd=place,
                           env={**environment, "SLURM_ARRAY_TASK_ID": str(task + 1)}, capture_output=True)
    assert graded() == sorted(["a", "b", "c", "d", "with space"])
    for style in ("a", "with space"):
        one, other = (next((place / out).rglob(f"*{style}+style/set/manifest.json")).read_bytes() for out in ("other", "array"))
        assert one == other, style
    print("five styles by make, by find and as an array job" + (" of Slurm" if slurm else "") + "; nothing done twice")
