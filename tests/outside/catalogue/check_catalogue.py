#!/usr/bin/python3
"""Many styles in one night: check_catalogue.py LASTWRIGHT DEMO [--slurm]

Four styles (two sound, one whose checks fail, one that cannot be graded) through the scripts of demo-patterns/catalogue with make; two of
them and one whose folder has a space with find, and as tasks of array jobs, each task started as the scheduler would start it
(with --slurm by sbatch itself). What is done twice is counted: a second night does only what is missing or has changed. What the
scripts say when they are cut short, of changed files, of names that are alike or long, is seen with a program that only pretends
(pretended.py).
"""
import csv
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

import pretended

program, demo = (pathlib.Path(word).resolve() for word in sys.argv[1:3])
slurm = "--slurm" in sys.argv
scripts = demo / "catalogue"


def make_style(folder, change):
    folder.mkdir(parents=True)
    style = json.loads((demo / "cindergarth/style.json").read_text())
    # As many sizes as make a set, and nothing said of others.
    style["run"] = {**style["run"], "from": "7.5", "to": "8.5", "widths": ["F"]}
    for piece in style["pieces"]:
        piece.pop("sizes_tied", None)
        for feature in piece.get("features", []):
            feature.pop("counts", None)
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


def looks(style):  # and is drawn in another folder, behind a link
    next(edge for edge in style["pieces"][0]["edges"] if edge.get("name") == "feather")["allowance"] = 19
    style["drawings"]["shell"]["file"] = "../shared/shell.dxf"


with tempfile.TemporaryDirectory(prefix="lastwright-night-") as name:
    place = pathlib.Path(name)
    styles = [make_style(place / "catalogue" / folder, change) for folder, change in
              (("a", nothing), ("b", fails), ("c", cannot), ("d", looks))]
    spaced = make_style(place / "catalogue/with space", nothing)
    shared = place / "elsewhere.dxf"
    shutil.move(styles[3].parent / "shell.dxf", shared)
    (place / "catalogue/shared").mkdir()
    (place / "catalogue/shared/shell.dxf").symlink_to(shared)
    counter = place / "counted.sh"
    counter.write_text(f'#!/bin/bash\n[ "$1" = grade ] && echo "$2" >> "{place}/graded"\nexec "{program}" "$@"\n')
    counter.chmod(0o755)
    environment = {**os.environ, "LASTWRIGHT": str(counter)}
    listed = place / "styles.txt"

    def put_list(paths):
        listed.write_text("".join(f"{path}\n" for path in paths))

    def graded():
        file = place / "graded"
        lines = file.read_text().splitlines() if file.exists() else []
        file.unlink(missing_ok=True)
        return sorted(pathlib.Path(line).parent.name for line in lines)

    def by_make():
        words = ["make", "-s", "-f", scripts / "night.mk", "-j2", "-k", f"LIST={listed}", "OUT=night"]
        return subprocess.run(words, cwd=place, env=environment, capture_output=True, text=True).returncode

    def summary(out, wanted):
        done = subprocess.run(["bash", scripts / "summary.sh", out, listed], capture_output=True, text=True, cwd=place)
        assert done.returncode == wanted, (done.returncode, done.stdout, done.stderr)
        rows = list(csv.DictReader(done.stdout.splitlines()))
        told = {}
        for row in rows:
            told.setdefault(pathlib.Path(row["style"]).parent.name, []).append(row["what"])
        return told, done.stderr

    put_list(styles)
    assert by_make() == 2  # one style could not be graded, and make says so
    assert graded() == ["a", "b", "c", "d"]
    told, counts = summary("night", 1)
    assert told["a"] == ["every check passed"], told["a"]
    assert told["d"][0] == "every check passed, 3 to be looked at", told["d"]
    assert len(told["d"]) == 4 and all(line.startswith("LOOK allowance step ") and "; " in line for line in told["d"][1:]), told["d"]
    assert told["b"][0] == "checks failed" and any("hole to edge" in line for line in told["b"][1:]), told["b"]
    assert told["c"][0] == "not graded" and any("no such scale" in line for line in told["c"][1:]), told["c"]
    assert "styles: 4; every check passed: 2 (of them to be looked at: 1); checks failed: 1; not graded: 1\n" in counts, counts
    # Again: only what could not be done.
    assert by_make() == 2
    assert graded() == ["c"]
    # A drawing has changed, one of another folder and behind a link has, a night was cut short after the work of another, and the
    # faulty style is put right.
    for drawing in (styles[0].parent / "bottom.dxf", shared):
        head, end, _ = drawing.read_text().rpartition("0\nEOF")
        drawing.write_text(f"{head}999\na comment\n0\nEOF")
    next((place / "night").rglob("*+b+style/finished")).unlink()
    shutil.copy(styles[1], styles[2])
    told, counts = summary("night", 1)
    assert told["a"][0] == told["d"][0] == "changed since it was graded" and told["b"] == ["not finished"], told
    assert by_make() == 0
    assert graded() == ["a", "b", "c", "d"]
    assert by_make() == 0 and graded() == []
    # A style that is broken later: its set is put aside, and said to be old. One that is gone from the list is told.
    sound = styles[0].read_text()
    styles[0].write_text(sound.replace('"scale": "', '"scale": "no such '))
    assert by_make() == 2 and graded() == ["a"]
    folder = next((place / "night").rglob("*+a+style"))
    assert not (folder / "set").exists() and (folder / "old-set/manifest.json").exists()
    assert summary("night", 1)[0]["a"][0] == "not graded; old-set is of earlier files"
    styles[0].write_text(sound)
    assert by_make() == 0 and (folder / "set/manifest.json").exists() and not (folder / "old-set").exists()
    put_list([styles[0], styles[3]])
    told, counts = summary("night", 0)
    assert "folders that are not in the list: 2\n" in counts and counts.startswith("summary.sh: styles: 2; every check passed: 2 (of them"), counts
    graded()

    # The same by find, which takes any path; GNU parallel hands them over alike.
    put_list([*styles[:2], spaced])
    for _ in range(2):
        subprocess.run(f'xargs -d "\\n" -P2 -I% bash "{scripts}/one-style.sh" % other < styles.txt', shell=True, check=True, cwd=place,
                       env=environment)
    assert graded() == ["a", "b", "with space"]
    assert "with space" in summary("other", 1)[0]

    # And as the tasks of array jobs, two styles a job.
    submitted = {**environment, "PATH": f"{pretended.slurm(place / 'bin', 3)}:{os.environ['PATH']}"} if not slurm else environment
    for _ in range(2):
        subprocess.run(["bash", scripts / "submit.sh", "styles.txt", "array"], check=True, cwd=place, env=submitted, capture_output=True)
        pretended.wait_for_jobs(slurm)
    assert graded() == ["a", "b", "with space"]
    for style in ("a", "with space"):
        one, other = (next((place / out).rglob(f"*{style}+style/set/manifest.json")).read_bytes() for out in ("other", "array"))
        assert one == other, style
    pretended.check(scripts, place / "pretended")
    print("five styles by make, by find and as array jobs" + (" of Slurm" if slurm else "") + "; nothing done twice, nothing said that is not")
