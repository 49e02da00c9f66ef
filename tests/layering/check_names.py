#!/usr/bin/python3
"""No two sources of a folder tree define one name for themselves: check_names.py PROJECT

The sanitized build compiles several sources as one, and which ones changes with every file that is added: so what stands in an
unnamed namespace has one name in its whole library or test program. Functions may share a name with other parameters. Fails
when it finds next to nothing, so that it cannot pass by accident.
"""
import collections
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
apart = ["geometry/solid", "grading/lasts", "cli/last", "tests/last"]
PROGRAMS = {"geometry": apart, "geometry/solid": ["geometry/solid/kernel"], "geometry/solid/kernel": [], "grading": apart, "grading/lasts": [], "cli": apart, "cli/last": [],
            "tests/geometry": [], "tests/grading": [], "tests/cli": [], "tests/last": []}
TYPE = re.compile(r"(?:template <.*> )?(?:struct|class|enum class|enum|union) (\w+)")
ALIAS = re.compile(r"using (\w+) =")
VARIABLE = re.compile(r"[\w:<>,&*\s]*?\b(\w+)\s*(?:\[[^\]]*\]\s*)?(?:=|\{|;)")
FUNCTION = re.compile(r"[\w:<>,&*\s\[\]]*?\b(\w+)\((.*)")


def plain(text):
    """Without raw strings, comments and texts, which may hold anything; a declaration over several lines in one."""
    text = re.sub(r'R"(\w*)\(.*?\)\1"', '""', text, flags=re.S)
    text = re.sub(r"//[^\n]*|/\*.*?\*/", "", text, flags=re.S)
    text = re.sub(r'"(?:[^"\\\n]|\\.)*"', '""', text)
    return re.sub(r"([,(])\s*\n\s+", r"\1 ", text)


def kinds_of(parameters):
    """The types of a function's parameters, without their names and defaults."""
    inside = parameters.split(") ")[0].rstrip(") {;")
    return ", ".join(re.sub(r"\s*=.*", "", one).strip().rpartition(" ")[0] for one in inside.split(", "))


def names_of(block):
    """What is defined in the first column of an unnamed namespace."""
    for line in plain(block).splitlines():
        if not line or line[0] in " }#)\"'":
            continue
        if match := ALIAS.match(line):
            yield f"{match[1]} ={line.partition('=')[2]}"  # the same alias twice is one thing
        elif line.startswith("using "):
            continue
        elif match := TYPE.match(line):
            yield match[1]
        elif (match := FUNCTION.match(line)) and not re.match(r"constexpr [^(]*=", line):
            yield f"{match[1]}({kinds_of(match[2])})"
        elif match := VARIABLE.match(line):
            yield match[1]


found, faults = 0, []
for program, left_out in PROGRAMS.items():
    homes = collections.defaultdict(set)
    for source in sorted((root / program).rglob("*.cpp")):
        name = source.relative_to(root).as_posix()
        if any(name.startswith(folder + "/") for folder in left_out) or source.name == "main.cpp":
            continue
        for block in re.findall(r"^namespace \{$(.*?)^\}  // namespace$", source.read_text(encoding="utf-8"), flags=re.M | re.S):
            for one in names_of(block):
                homes[one].add(name)
                found += 1
    faults += [f"{name}: {' and '.join(sorted(files))}" for name, files in sorted(homes.items()) if len(files) > 1 and " = " not in name]
    kinds = collections.Counter(name.partition(" = ")[0] for name in homes)
    faults += [f"{name}: unlike things in {program}" for name, count in sorted(kinds.items()) if count > 1]
for fault in faults:
    print("FAILED: one name for two things,", fault)
print(f"{found} names")
sys.exit(1 if faults or found < 500 else 0)
