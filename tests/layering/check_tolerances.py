#!/usr/bin/python3
"""Where tolerances stand: check_tolerances.py PROJECT

geometry/tolerance.hpp holds those that several sources share: each is used by at least two. A named constant of one source has
a reason beside it or above it. A bare number with a negative exponent ends a reckoning or guards against rounding, 1e-3 at most. In
grading/checks, where figures are judged, nothing is compared with a bare decimal number or one of two digits or more, other than 0,
a half, 1 and 2. Fails when it finds next to nothing, so that it cannot pass by accident.
"""
import collections
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
sources = [path for layer in ("geometry", "grading", "cli") for path in sorted((root / layer).rglob("*.[ch]pp"))]
texts = {path: path.read_text(encoding="utf-8") for path in sources}
tests = {path: path.read_text(encoding="utf-8") for path in sorted((root / "tests").rglob("*.[ch]pp"))}
shared = root / "geometry/tolerance.hpp"
faults = []

names = re.findall(r"^inline constexpr \w+ (k\w+)", texts[shared], flags=re.M)
users = collections.Counter()  # of every word that a constant may be called by
for path, text in [*texts.items(), *tests.items()]:
    users.update(set(re.findall(r"\bk\w+", text)) if path != shared else ())
for name in names:
    if users[name] < 2:
        faults.append(f"geometry/tolerance.hpp: {name} is used by {users[name]} sources: it belongs where it is used")

NUMBER = r"\d+(?:\.\d*)?(?![\w.])"
SUM = rf"{NUMBER}(?:\s*[-+]\s*{NUMBER})*"
COMPARED = re.compile(rf"(?<![<>=-])[<>]=?(?![<>=])\s*-?({SUM})|(?<![\w.])({SUM})\s*(?<![<>=-])[<>]=?(?![<>=])")
FREE = {0.0, 0.5, 1.0, 2.0}


def limits_in(code):
    """Bare numbers that something is compared with."""
    for found in COMPARED.finditer(code):
        for number in re.findall(NUMBER, found[1] or found[2]):
            if ("." in number or len(number) > 1) and float(number) not in FREE:
                yield number


own = bare = compared = 0
for path, text in texts.items():
    if path == shared:
        continue
    lines = text.splitlines()
    name, checks = path.relative_to(root), path.is_relative_to(root / "grading/checks")
    for i, line in enumerate(lines):
        where = f"{name}:{i + 1}"
        code, _, comment = line.partition("//")
        constant = re.search(r"\bconstexpr (?:double|Millimetres|Radians) (k\w+)", code)
        if constant:
            own += 1
            if not comment and not any("//" in other for other in lines[max(i - 3, 0) : i + 2]):
                faults.append(f"{where}: {constant[1]} has no reason beside it or above it")
            continue
        if '"' in code:
            code = re.sub(r'"(?:[^"\\]|\\.)*"', '""', code)
        if checks:
            compared += len(COMPARED.findall(code))
            for number in limits_in(code):
                faults.append(f"{where}: {number} is a limit without a name: name it, with its reason: {line.strip()}")
        for number in re.findall(r"(?<![\w.])(\d+(?:\.\d*)?e-\d+)", code):
            bare += 1
            if float(number) > 1e-3 and not comment and not re.search(r"constexpr|=\s*[\d.]+e-\d+[;,]?\s*$", code):
                faults.append(f"{where}: {number} is no guard against rounding: name it, with its reason: {line.strip()}")
if len(names) < 10 or own < 100 or bare < 40 or compared < 100:
    sys.exit(f"only {len(names)} shared tolerances, {own} constants, {bare} numbers and {compared} comparisons were found under {root}")
sys.exit("\n".join(faults)) if faults else print(f"{len(names)} shared tolerances, {own} constants with their reasons, {bare} guards")
