#!/usr/bin/python3
"""Where tolerances stand: check_tolerances.py PROJECT

geometry/tolerance.hpp holds those that several sources share: each is used by at least two. A named constant of one source has
a reason beside it or above it; one that is a whole number only in grading/checks. A bare number with a negative exponent ends a reckoning or
guards against rounding, 1e-3 at most. In grading/checks, where figures are judged, nothing is compared with a bare decimal number or one of
two digits or more, other than 0, a half, 1 and 2, also over the end of a line; nor bounded by one (std::min, std::max, std::clamp) or made a
length or an angle of one; and what is given such a value (a variable, a member, a default) has its reason beside it or above it. Not seen:
whole numbers of one digit, which count corners and sides; numbers with a factor or in a sum with a name; numbers that are handed to other
functions; bare limits outside grading/checks. Fails when it finds next to nothing, so that it cannot pass by accident.
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

NUMBER = r"\d+(?:\.\d*)?(?:[fFlLuU]+\b)?(?![\w.])"
SUM = rf"{NUMBER}(?:\s*[-+]\s*{NUMBER})*"
SIGN = r"(?:(?<![<>=-])[<>]=?(?![<>=])|[=!]=)"
COMPARED = re.compile(rf"{SIGN}\s*-?({SUM})|(?<![\w.])({SUM})\s*{SIGN}")
BOUND = re.compile(r"\bstd::(?:min|max|clamp)(?:<[^>]*>)?\(([^;]*?)\)")
LENGTH = re.compile(rf"\b(?:Millimetres|Radians|from_degrees)\s*[({{]\s*-?({NUMBER})\s*[)}}]")
GIVEN = re.compile(rf"\b(?:double|float|int|unsigned|auto|std::size_t|Millimetres|Radians) \w+\s*(?:=|\{{)\s*-?({NUMBER})\s*\}}?\s*[;,)]")
CONSTANT = re.compile(r"\bconst(?:expr|init)?\s+(?:static\s+|inline\s+|const\s+)*(double|float|auto|Millimetres|Radians|int|unsigned|std::size_t|std::u?int\d+_t)\s+(k[A-Z]\w*)\s*[={]([^;]*)")
FREE = {0.0, 0.5, 1.0, 2.0}


def bare_limit(number):
    value = number.rstrip("fFlLuU")
    return ("." in value or len(value) > 1) and float(value) not in FREE


def without_texts(text):
    """Texts and comments blanked out, every character where it was."""
    text = re.sub(r'R"(\w*)\(.*?\)\1"', lambda raw: re.sub(r"[^\n]", " ", raw[0]), text, flags=re.S)
    text = re.sub(r'"(?:[^"\\\n]|\\.)*"', lambda quoted: '"' + " " * (len(quoted[0]) - 2) + '"', text)
    return re.sub(r"//[^\n]*", lambda comment: " " * len(comment[0]), text)


def limits_in(code):
    """Where bare numbers stand that something is compared with, bounded by or made a length of, and the numbers."""
    for found in COMPARED.finditer(code):
        for number in re.findall(NUMBER, found[1] or found[2]):
            yield found.start(1 if found[1] else 2), number
    for found in BOUND.finditer(code):
        for number in re.finditer(rf"(?<![\w.*/+-])(?<![*/+-] ){NUMBER}(?!\s*[*/])", found[1]):
            yield found.start(1) + number.start(), number[0]
    for found in [*LENGTH.finditer(code), *GIVEN.finditer(code)]:
        yield found.start(1), found[1]


def has_reason(lines, i):
    return "//" in lines[i] or any("//" in other for other in lines[max(i - 3, 0) : i + 2])


own = bare = compared = 0
for path, text in texts.items():
    if path == shared:
        continue
    lines = text.splitlines()
    judging = path.is_relative_to(root / "grading/checks")
    named = set()  # lines of constants
    for i, line in enumerate(lines):
        constant = CONSTANT.search(line.partition("//")[0])
        if not constant:
            continue
        named.add(i)
        own += 1
        # A whole number counts or lists something, and is a limit where figures are judged.
        counts = constant[1] not in ("double", "float", "Millimetres", "Radians") and not re.match(r"\s*\{?\d*\.\d", constant[3])
        if not has_reason(lines, i) and (judging or not counts):
            faults.append(f"{path.relative_to(root)}:{i + 1}: {constant[2]} has no reason beside it or above it")
    if judging:
        code = without_texts(text)
        compared += len(COMPARED.findall(code))
        given = {found.start(1) for found in GIVEN.finditer(code)}
        for at, number in sorted(set(limits_in(code))):
            i = code.count("\n", 0, at)
            if bare_limit(number) and i not in named and not (at in given and has_reason(lines, i)):
                faults.append(f"{path.relative_to(root)}:{i + 1}: {number} is a limit without a name: name it, with its reason: {lines[i].strip()}")
    for i, line in enumerate(lines):
        where = f"{path.relative_to(root)}:{i + 1}"
        code, _, comment = line.partition("//")
        if i in named:
            continue
        if '"' in code:
            code = re.sub(r'"(?:[^"\\]|\\.)*"', '""', code)
        for number in re.findall(r"(?<![\w.])(\d+(?:\.\d*)?e-\d+)", code):
            bare += 1
            if float(number) > 1e-3 and not comment and not re.search(r"constexpr|=\s*[\d.]+e-\d+[;,]?\s*$", code):
                faults.append(f"{where}: {number} is no guard against rounding: name it, with its reason: {line.strip()}")
if len(names) < 10 or own < 100 or bare < 40 or compared < 100:
    sys.exit(f"only {len(names)} shared tolerances, {own} constants, {bare} numbers and {compared} comparisons were found under {root}")
sys.exit("\n".join(faults)) if faults else print(f"{len(names)} shared tolerances, {own} constants with their reasons, {bare} guards")
