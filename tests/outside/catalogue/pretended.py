"""The scripts of a catalogue with a program that only pretends, and costs nothing.

A style is a text file here: its first line is what the program does with it, the others are files that it is read from.
"""
import csv
import os
import pathlib
import shlex
import shutil
import subprocess
import time

LONG = bool(os.environ.get("TESTS_LONG"))
# Says what it is told to, and leaves a set where the real one does.
PROGRAM = """#!/bin/bash
case $1 in
  --version) echo "pretended 1" ;;
  check) [ "$3 $4" = "--list-files --nul" ] && [ -f "$2" ] && printf '%s\\0' "$2" && tail -n +2 "$2" | tr '\\n' '\\0' ;;
  grade)
    [ -f "$2" ] || { echo "lastwright: there is no such file" && exit 6; }
    read -r does <"$2"
    case $does in
      passes) said='  ok   outline' code=0 ;;
      fails) said='  FAIL outline' code=1 ;;
      breaks) said='lastwright: broken' code=3 ;;
      killed) kill -9 $$ ;;
    esac
    if [ $code -le 1 ]; then
      [ ! -e "$4" ] || rm -r "$4"
      mkdir -p "$4.new/pieces" && cat "$2" $(tail -n +2 "$2") >"$4.new/pieces/a b.dxf" && echo same >"$4.new/same"
      (cd "$4.new" && echo '{' && for file in "pieces/a b.dxf" same; do
        digest=$(sha256sum "$file") size=$(stat -c %s "$file")
        echo "    {\\"name\\": \\"$file\\", \\"size\\": $size, \\"sha256\\": \\"${digest%% *}\\"},"
      done) >"$4.new.manifest" && mv "$4.new.manifest" "$4.new/manifest.json" && mv "$4.new" "$4"
    fi
    echo "$said"
    exit $code
    ;;
esac
"""

SBATCH = """#!/bin/bash
# Runs the tasks of an array one after the other, from a copy of the script as Slurm does.
array= script= out=
while :; do
  case $1 in
    --array=*) array=${1#--array=1-} ;;
    --output=*) out=${1#--output=} ;;
    --*) ;;
    *) break ;;
  esac
  shift
done
script=$1
shift
tasks=${array%\\%*}
said=$(sed 's/%%/\\x01/g; s/%A/7/g; s/\\x01/%/g' <<<"$out")
[ "$tasks" -lt "$MOST" ] || { echo "array too long" >&2; exit 1; }
cp "$script" "$HERE_BIN/copy"
for ((task = 1; task <= tasks; ++task)); do
  SLURM_ARRAY_TASK_ID=$task bash "$HERE_BIN/copy" "$@" >>"$said" 2>&1 || true
done
echo 7
"""


def program_file(path, text):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    path.chmod(0o755)
    return path


def slurm(folder, most):
    """A folder with an sbatch that takes arrays of fewer than `most` tasks."""
    program_file(folder / "sbatch", SBATCH.replace("$MOST", str(most)).replace("$HERE_BIN", str(folder)))
    program_file(folder / "scontrol", f"#!/bin/bash\necho 'MaxArraySize            = {most}'\n")
    return folder


def wait_for_jobs(real):
    while real and subprocess.run(["squeue", "-h", "-n", "lastwright"], capture_output=True, text=True).stdout.strip():
        time.sleep(1)


class Catalogue:
    def __init__(self, scripts, place):
        place.mkdir(parents=True)
        self.scripts, self.place = scripts, place
        self.environment = {**os.environ, "LASTWRIGHT": str(program_file(place / "bin/program", PROGRAM))}

    def put(self, name, text):
        file = self.place / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text)
        return name

    def grade(self, style, **more):
        return subprocess.run(["bash", self.scripts / "one-style.sh", style, "out"], cwd=self.place, capture_output=True, text=True,
                              env={**self.environment, **more})

    def summary(self, styles, *options, out="out"):
        """Exit code, the first line of each style in the order of the list, all rows, and the sum."""
        listed = "".join(f"{style}\n" for style in styles)
        done = subprocess.run(["bash", self.scripts / "summary.sh", *options, out, "-"], cwd=self.place, capture_output=True, text=True, input=listed,
                              env=self.environment)
        rows = list(csv.DictReader(done.stdout.splitlines()))
        return done.returncode, [next(row["what"] for row in rows if row["style"] == style) for style in styles], rows, done.stderr

    def state(self, style):
        return self.summary([style])[1][0]


# Ends the script, as the power would, before the n-th of its commands that may change a file.
KILLER = """kill_before=$KILL_AT
trap 'case $BASH_COMMAND in rm\ * | mv\ * | mkdir\ * | sync\ * | printf\ * | *\ grade\ * | put*) ((--kill_before)) || kill -9 $$ ;; esac' DEBUG
set -T
"""


def kill_again(catalogue):
    """No moment at which a second run is cut gives a false line, and the run after it does the work."""
    style = catalogue.put("kill/style.json", "passes\nkill/drawing\n")
    killer = catalogue.put("bin/killer", KILLER)
    words = {"passes": "every check passed", "fails": "checks failed", "breaks": "not graded"}
    cuts = 0
    for before, after in (("passes", "fails"), ("passes", "breaks"), ("breaks", "passes")):
        here = catalogue.place / "out/kill+style"
        for does in (before, after):
            catalogue.put("kill/drawing", does)  # the set holds it
            catalogue.put("kill/style.json", f"{does}\nkill/drawing\n")
            if does == before:
                catalogue.grade(style)
                assert catalogue.state(style).startswith(words[before]), (before, catalogue.state(style))
                shutil.rmtree(catalogue.place / "kept", ignore_errors=True)
                shutil.copytree(here, catalogue.place / "kept")
        # A part of the moments in the short run, of each pair others.
        first, step = (1, 1) if LONG else (1, 2) if after == "fails" else (2, 4) if after == "breaks" else (1, 4)
        for moment in range(first, 100, step):
            shutil.rmtree(here)
            shutil.copytree(catalogue.place / "kept", here)
            ended = catalogue.grade(style, BASH_ENV=killer, KILL_AT=str(moment)).returncode
            _, (said,), rows, _ = catalogue.summary([style])
            # Of a style that could not be graded the line says so of the run that was; any other speaks of these very files.
            true = {"not finished", "changed since it was graded", words[after]}
            if before == "breaks" and any("broken" in row["what"] for row in rows):
                true.add(words["breaks"])
            assert said.partition(";")[0] in true, (before, after, moment, said)
            if said == words[after] and after != "breaks":
                assert after in (here / "set/pieces/a b.dxf").read_text() and (here / "said.txt").read_text(), (before, after, moment)
            if after == "breaks" and said.startswith("not graded"):
                assert not (here / "set").exists(), (before, after, moment)
            if before == "passes" and after == "fails" and moment % 3 == 0:
                catalogue.grade(style)
                assert catalogue.state(style).startswith(words[after]), (before, after, moment, catalogue.state(style))
            cuts += 1
            if ended != -9:
                break
        else:
            raise AssertionError("it never came to its end")
        assert moment > 8, moment
    return cuts


def like_names(catalogue):
    long = "/".join([f"a-very-long-name-of-a-collection-of-shoes-{i}" for i in range(9)])
    names = ["x/a/b", "x/a+b", "x/a%2Bb", "x/a++b", "x//a+b/c", "y/style", long + "/1", long + "/2", "it's/a&b", "ümläut", "..."]
    styles = [catalogue.put(f"like/{name}.json", "passes\n") for name in names] + [catalogue.put("like/y/style", "fails\n")]
    styles.append(catalogue.put("like/y/style%_.json", "passes\n"))
    for style in styles:
        catalogue.grade(style)
    folders = [folder.name for folder in (catalogue.place / "out").iterdir()]
    assert len(folders) == len(styles) and all(len(os.fsencode(folder)) <= 200 for folder in folders), folders
    code, states, _, counts = catalogue.summary([*styles, "like/never.json"])
    wanted = ["checks failed" if style == "like/y/style" else "every check passed" for style in styles]
    assert code == 1 and states == [*wanted, "not begun"], list(zip(styles, states))
    assert f"styles: {len(styles) + 1}; every check passed: {len(styles) - 1}; checks failed: 1; not begun: 1" in counts, counts
    assert catalogue.summary(styles[:3])[0] == 0


def every_file(catalogue):
    """Whatever file the run read: change it, and the style is graded anew."""
    far = catalogue.put("far/shell", "a drawing")
    (catalogue.place / "files").mkdir()
    (catalogue.place / "files/link").symlink_to(catalogue.place / catalogue.put("far/behind", "a drawing"))
    style = catalogue.put("files/style.json", f"passes\n{far}\nfiles/link\nfiles/../far/table.csv\n")
    catalogue.put("far/table.csv", "1")
    for changed in ("far/shell", "far/behind", "far/table.csv"):
        catalogue.grade(style)
        file = next((catalogue.place / "out").glob("files*")) / "set/manifest.json"
        was = file.stat().st_ino
        catalogue.grade(style)
        assert file.stat().st_ino == was, "done twice"
        catalogue.put(changed, "another drawing")
        assert catalogue.state(style) == "changed since it was graded", changed
        catalogue.grade(style)
        assert file.stat().st_ino != was and catalogue.state(style) == "every check passed", changed


def every_part_of_a_set(catalogue):
    """Whatever a run left: change it, and the summary says so, and the style is graded anew; the bytes of a file that kept its size too."""
    style = catalogue.put("set/style.json", "fails\nset/drawing\n")
    catalogue.put("set/drawing", "as it is")
    here = catalogue.place / "out/set+style"
    piece = here / "set/pieces/a b.dxf"

    def written(path, text):
        return lambda: path.write_text(text)

    changes = {
        "no set": lambda: shutil.rmtree(here / "set"),
        "no manifest": lambda: (here / "set/manifest.json").unlink(),
        "empty manifest": written(here / "set/manifest.json", ""),
        "no file": piece.unlink,
        "no folder": lambda: shutil.rmtree(piece.parent),
        "cut short": written(piece, "fails"),
        "same size": lambda: piece.write_bytes(piece.read_bytes()[::-1]),
        "a link": lambda: (piece.unlink(), piece.symlink_to(catalogue.place / "set/drawing")),
        "other words": written(here / "said.txt", "  ok   outline\n"),
        "other code": written(here / "exit", "0\n"),
    }
    catalogue.grade(style)
    before = (here / "finished").stat().st_mtime_ns
    assert catalogue.grade(style).returncode == 0 and (here / "finished").stat().st_mtime_ns == before, "done twice"
    for name, change in changes.items():
        before = (here / "finished").stat().st_mtime_ns
        time.sleep(0.02)  # until the clock of the disk has gone on: what was written in the same tick is not seen without --hashes
        change()
        code, (state,), rows, _ = catalogue.summary([style])
        assert code == 1 and state == "set is missing or changed", (name, state)
        assert [row["what"] for row in rows][1] == f"as it was finished: {'every check passed' if name == 'other code' else 'checks failed'}", name
        assert catalogue.grade(style).returncode == 0 and (here / "finished").stat().st_mtime_ns != before, name
    assert catalogue.state(style) == "checks failed"
    # What says that it is older is read where all is.
    piece.write_bytes(piece.read_bytes()[::-1])
    os.utime(here / "finished", (time.time() + 60,) * 2)
    assert catalogue.state(style) == "checks failed"
    assert catalogue.summary([style], "--hashes")[1] == ["set is missing or changed"]
    whole = piece.read_bytes()
    piece.write_bytes(whole[1:])
    os.utime(here / "finished", (time.time() + 60,) * 2)
    assert catalogue.state(style) == "set is missing or changed"
    piece.write_bytes(whole)
    before = (here / "finished").stat().st_mtime_ns
    catalogue.grade(style, HASHES="1")
    assert (here / "finished").stat().st_mtime_ns != before and catalogue.summary([style], "--hashes")[1] == ["checks failed"]
    # Files that cannot be read once they were: said so, not that they have changed.
    catalogue.put(style, "passes\nset/no such\n")
    said = catalogue.grade(style)
    assert said.returncode == 6 and "cannot be read once more" in said.stderr and "set/no such': No such file" in said.stderr, said
    assert catalogue.state(style) == "not finished"


# A path for each place where a character may matter: inside, first, last, beside a slash.
PRINTABLE = "".join(chr(code) for code in range(0x20, 0x7F) if chr(code) != "/")
ODD = b"\t\r\x01\x1b\x7f\xe9\xff\xc3(" + "\u00a0\u200b\u2028\u202e\ufeffü\U0001f45e".encode()
PATHS = [
    b"p/" + PRINTABLE.encode() + b"/style.json",
    b"p/" + ODD + b"/style.json",
    b"p/b`id>PWNED`$(id>PWNED)';id>PWNED;'\";id>PWNED;\"/style.json",
    b"-n/--out \\\\/style\xe9",
    b"~/#=:%|&;\\",
    b" \\/*?[a-z]{a,b}!!/line-1.json",
]


def any_path(catalogue, paths):
    """Any path is graded, or named where it is not: by make, by GNU parallel, as tasks of an array job; and nothing of it is run."""
    for path in paths:
        file = os.path.join(os.fsencode(catalogue.place), path)
        os.makedirs(os.path.dirname(file), exist_ok=True)
        with open(file, "wb") as opened:
            opened.write(b"passes\n")
    never = b"p/never`id>PWNED`.json"
    listed = os.path.join(os.fsencode(catalogue.place), b"a list's $(id>PWNED)`#, .txt")
    with open(listed, "wb") as opened:  # with lines that name nothing, and a line end of another system
        opened.write(b"\n".join([paths[0] + b"\r", b"", *paths[1:], b"\r", never, paths[1]]) + b"\n")
    # Where text is UTF-8, half a character is not one.
    environment = {**catalogue.environment, "LC_ALL": "C.UTF-8", "PATH": f"{slurm(catalogue.place / 'slurm-any', 100)}:{os.environ['PATH']}"}

    def run(*words, **more):
        return subprocess.run(words, cwd=catalogue.place, env=environment, capture_output=True, **more)

    scripts = catalogue.place / "the scripts $(id>PWNED)"
    shutil.copytree(catalogue.scripts, scripts)
    ways = {
        "make o'$(id>PWNED)": lambda out: run("make", "-sk", "-f", scripts / "night.mk", b"LIST=" + listed, f"OUT={out}"),
        "array %A %%": lambda out: run("bash", scripts / "submit.sh", listed, out),
    }
    if shutil.which("parallel"):
        with open(listed, "rb") as opened:
            lines = opened.read()
        one = shlex.quote(str(scripts / "one-style.sh"))
        ways["-parallel"] = lambda out: run("parallel", "-j2", "bash", one, "{}", out, input=lines)
    for out, way in ways.items():
        said = way(out)
        words = (catalogue.place / out / "tasks-7.txt").read_bytes() if "array" in out else said.stdout + said.stderr
        told = run("bash", scripts / "summary.sh", out, listed)
        rows = told.stdout.split(b"\n")
        assert told.stdout.count(b'",0,"every check passed"') == len(paths), (out, words, told.stdout, told.stderr)
        assert b'"' + never + b'",6,"not graded"' in rows, (out, told.stdout)
        assert b"one-style.sh: " + never + b": exit code 6" in words, (out, words)
        assert f"styles: {len(paths) + 1}; every check passed: {len(paths)}; not graded: 1\n" in told.stderr.decode(), told.stderr
        assert b"lines that name a style again: 1\n" in told.stderr and b"folders" not in told.stderr, told.stderr
        assert b"%_" not in os.listdir(os.path.join(os.fsencode(catalogue.place), os.fsencode(out))), out
    run_by_a_name = [name for _, _, names in os.walk(catalogue.place) for name in names if name.startswith("PWNED")]
    assert not run_by_a_name, run_by_a_name
    refused = run("bash", scripts / "submit.sh", listed, "a\\b")
    assert refused.returncode == 2 and b"a\\b: Slurm" in refused.stderr, refused
    none = run("make", "-s", "-f", scripts / "night.mk", "LIST=no such list")
    assert none.returncode == 2 and b"names no style" in none.stderr, none


def reasons(catalogue):
    """What keeps a style from being graded is told, by the task and by the summary."""
    style = catalogue.put("why/style.json", "passes\n")
    missing = catalogue.grade(style, LASTWRIGHT="/nowhere/lastwright")
    assert missing.returncode == 127 and style in missing.stderr and "exit code 127" in missing.stderr, missing
    code, states, rows, _ = catalogue.summary([style])
    assert code == 1 and states == ["not graded"] and any("/nowhere/lastwright" in row["what"] for row in rows), rows
    catalogue.put(style, "killed\n")
    assert catalogue.grade(style).returncode == 137
    assert any("signal 9" in row["what"] for row in catalogue.summary([style])[2])
    # Nothing is begun, and no list.
    assert catalogue.summary([style], out="nowhere")[:2] == (1, ["not begun"])
    assert catalogue.summary([])[0] == 2
    # Submitted elsewhere, or beyond the list: the task says so.
    task = subprocess.run(["bash", catalogue.scripts / "night.sbatch", "list", "out"], cwd=catalogue.place, capture_output=True, text=True,
                          env={**catalogue.environment, "SLURM_ARRAY_TASK_ID": "1", "HERE": "nowhere"})
    assert task.returncode == 2 and "nowhere/one-style.sh" in task.stderr, task
    catalogue.put("list", "one\n")
    task = subprocess.run(["bash", catalogue.scripts / "night.sbatch", "list", "out", "1", catalogue.scripts], cwd=catalogue.place,
                          capture_output=True, text=True, env={**catalogue.environment, "SLURM_ARRAY_TASK_ID": "1"})
    assert task.returncode == 2 and "no line 2" in task.stderr, task


def long_list(catalogue):
    """A list longer than an array may be: every line once, and no task without its reason."""
    styles = [catalogue.put(f"many/{i}.json", "passes\n" if i != 5 else "breaks\n") for i in range(8)]
    catalogue.put("many.txt", "".join(f"{style}\n" for style in styles))
    path = f"{slurm(catalogue.place / 'slurm', 4)}:{os.environ['PATH']}"
    done = subprocess.run(["bash", os.path.relpath(catalogue.scripts / "submit.sh", catalogue.place), "many.txt", "out"], cwd=catalogue.place,
                          capture_output=True, text=True, env={**catalogue.environment, "PATH": path})
    assert done.returncode == 0 and done.stdout.count("job 7: ") == 3 and "lines 7 to 8" in done.stdout, done
    assert catalogue.summary(styles)[1] == ["not graded" if "5" in style else "every check passed" for style in styles]
    assert "many/5.json: exit code 3" in (catalogue.place / "out/tasks-7.txt").read_text()


def check(scripts, place):
    catalogue = Catalogue(scripts, pathlib.Path(place))
    like_names(catalogue)
    every_file(catalogue)
    every_part_of_a_set(catalogue)
    any_path(Catalogue(scripts, pathlib.Path(place) / "any"), PATHS)
    reasons(catalogue)
    long_list(catalogue)
    return kill_again(catalogue)


if __name__ == "__main__":
    import sys
    import tempfile

    with tempfile.TemporaryDirectory() as name:
        if sys.argv[2:] == ["--each"]:  # every character by itself
            each = [PRINTABLE[i].encode() for i in range(len(PRINTABLE))] + [bytes([code]) for code in range(1, 256) if code not in b"\n/" and not 32 <= code < 127]
            shaped = [shape.replace(b"X", one) for one in each for shape in (b"c/aXb/style.json", b"XX/sX")]
            paths = sorted({path for path in shaped if b"." not in path.split(b"/") and b".." not in path.split(b"/") and not path.endswith(b"\r")})
            any_path(Catalogue(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(name) / "each"), paths)
            print(f"{len(paths)} paths")
            sys.exit()
        print(check(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(name) / "p"), "cuts")
