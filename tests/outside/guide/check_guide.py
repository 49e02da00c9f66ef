#!/usr/bin/python3
"""The commands of the guide, run as their reader would: check_guide.py LASTWRIGHT PROJECT CTEST BUILD

Every line of a ```sh block of cli/guide/*.md and README.md is a command. Those that begin with lastwright are run in the order of
the page, all pages of one reader's folder beside a copy of demo-patterns; "# exit 1" at the end says which code is wanted, 0 unless
said. What is not run here is named in elsewhere.txt with the test that does, and that test has to be there. Also: every page is
linked from README, every link leads to a file, and the program prints the very page. Each command has a row in a table of README.
"""
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

program, project, ctest, build = sys.argv[1], pathlib.Path(sys.argv[2]), sys.argv[3], sys.argv[4]
pages = sorted((project / "cli/guide").glob("*.md"))
readme = project / "README.md"
known = subprocess.run([ctest, "--test-dir", build, "-N"], capture_output=True, text=True, check=True).stdout
elsewhere = {}
for line in (project / "tests/outside/guide/elsewhere.txt").read_text().splitlines():
    if line and not line.startswith("#"):
        words, _, test = line.rpartition(" | ")
        elsewhere[words] = test
        assert re.search(rf": {re.escape(test)}$", known, flags=re.M), f"elsewhere.txt names no test: {line}"

faults, ran, used = [], 0, set()
with tempfile.TemporaryDirectory(prefix="lastwright-guide-") as name:
    place = pathlib.Path(name)
    bench = place / "bin"
    bench.mkdir()
    for one in ("lastwright", "lastwright-last"):
        (bench / one).symlink_to(pathlib.Path(program).resolve().parent / one)
    for page in [*pages, readme]:
        text = page.read_text()
        home = place / page.stem
        home.mkdir()
        shutil.copytree(project / "demo-patterns", home / "demo-patterns", ignore=shutil.ignore_patterns("out", "report.html"))
        for block in re.findall(r"^```sh\n(.*?)^```$", text, flags=re.M | re.S):
            for line in block.replace("\\\n", " ").splitlines():
                command, _, said = line.partition(" # exit ")
                command = re.sub(r"\s+#.*", "", command).strip()
                if not command or command.startswith("#"):
                    continue
                other = [words for words in elsewhere if command.startswith(words)]
                if other:
                    used.update(other)
                    continue
                if not command.split()[0] == "lastwright":
                    faults.append(f"{page.name}: neither a command of lastwright nor in elsewhere.txt: {line}")
                    continue
                done = subprocess.run(["bash", "-c", command], cwd=home, capture_output=True, text=True,
                                      env={"PATH": f"{bench}:/usr/bin:/bin", "LC_ALL": "C.UTF-8"})
                ran += 1
                if done.returncode != int(said.split()[0] if said else 0):
                    faults.append(f"{page.name}: exit {done.returncode}: {command}\n{done.stdout[-600:]}{done.stderr[-600:]}")
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text):
            if "://" not in target and not (page.parent / target).exists():
                faults.append(f"{page.name}: a link to nothing: {target}")
listed = subprocess.run([program, "guide"], capture_output=True, text=True, check=True).stdout
for page in pages:
    short = page.stem.partition("-")[2]
    printed = subprocess.run([program, "guide", short], capture_output=True, text=True, check=True).stdout
    if printed != page.read_text():
        faults.append(f"lastwright guide {short} prints another text than {page.name}")
    if not re.search(rf"^  {short} ", listed, flags=re.M):
        faults.append(f"lastwright guide does not list {short}")
    if f"cli/guide/{page.name}" not in readme.read_text():
        faults.append(f"README does not link {page.name}")
commands = re.search(r"name a command: ([a-z, ]+);", subprocess.run([program], capture_output=True, text=True).stderr)[1].split(", ")
assert len(commands) > 15, commands
faults += [f"README has no row for lastwright {one}" for one in commands
           if not re.search(rf"^\|[^|]*`(?:lastwright )?{one}[ `]", readme.read_text(), flags=re.M)]
faults += [f"elsewhere.txt: no page holds {words}" for words in elsewhere if words not in used]
sys.exit("\n".join(faults)) if faults else print(f"{len(pages)} pages and README: {ran} commands run, {len(used)} by other tests")
