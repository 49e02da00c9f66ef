#!/usr/bin/python3
"""Every check is asked and written down: check_checks.py PROJECT

What a header of grading/checks declares to give findings, or to add to them, is called in judge.cpp where it is called check_..., else in
some other source of grading; and the name of each finding that stands as a text in a source of that folder stands as `name` in the guide's
page about patterns. A name that is put together while the program runs is not seen. Fails when it finds next to nothing, so that it cannot
pass by accident.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
folder = root / "grading/checks"
sources = {path: path.read_text(encoding="utf-8") for path in sorted((root / "grading").rglob("*.cpp"))}
judge = sources[folder / "judge.cpp"]
NOT_BY_JUDGE = {  # called within another check, which says for which styles
    "check_strap": "work_check.cpp",
    "check_mates": "seam_sides.cpp",
}
faults = []

DECLARED = re.compile(r"^(?:std::vector<)?StyleFinding>? (\w+)\(|^void (\w+)\([^;]*std::vector<StyleFinding>&[^;]*\);", flags=re.M)
functions = {}
for header in sorted(folder.rglob("*.hpp")):
    for found in DECLARED.finditer(header.read_text(encoding="utf-8")):
        functions[found[1] or found[2]] = header
for name, header in functions.items():
    called = re.compile(rf"(?<![\w.:]){name}\(")
    where = header.relative_to(root)
    if name in NOT_BY_JUDGE:
        caller = next(path for path in sources if path.is_relative_to(folder) and path.name == NOT_BY_JUDGE[name])
        if not called.search(sources[caller]):
            faults.append(f"{where}: {name} is not called in {NOT_BY_JUDGE[name]}")
    elif name.startswith("check_"):
        if not called.search(judge):
            faults.append(f"{where}: {name} is not called in grading/checks/judge.cpp: nobody asks this check")
    elif sum(len(called.findall(text)) for text in sources.values()) < 2:  # its definition, and a call
        faults.append(f"{where}: {name} is not called in any source of grading")

TEXT = r'"((?:[^"\\]|\\.)*)"'
EITHER = rf"(?:[^\",;(){{}}]*\?\s*)?{TEXT}(?:\s*:\s*{TEXT})?"
PLACES = r"StyleFinding (?:\w+)?\{+|Worst \w+\{\{|faults_finding\(\s*\{|push_back\(\{|\.check = |\bcheck = "
names = {}
for path, text in sources.items():
    if not path.is_relative_to(folder):
        continue
    takers = {"doubtful_finding", *re.findall(r"\b(\w+)\((?:const )?(?:std::string&?|char\*|std::string_view) check\b", text)}
    for found in re.finditer(rf"(?:\b(?:{'|'.join(sorted(takers))})\(|{PLACES})\s*{EITHER}", text):
        for name in (found[1], found[2]):
            if name:
                names.setdefault(name, path)
page = root / "cli/guide/10-pattern.md"
written = page.read_text(encoding="utf-8")
for name, path in sorted(names.items()):
    if f"`{name}`" not in written:
        faults.append(f"{path.relative_to(root)}: the check `{name}` does not stand in {page.relative_to(root)}")
if len(functions) < 40 or len(names) < 100:
    sys.exit(f"only {len(functions)} functions and {len(names)} names of checks were found under {folder}")
sys.exit("\n".join(faults)) if faults else print(f"{len(functions)} functions of checks are called, {len(names)} names stand in the guide")
