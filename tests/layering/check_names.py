#!/usr/bin/python3
"""No two sources of a folder tree define one name for themselves: check_names.py PROJECT

The release and the sanitized build compile several sources as one, and which ones changes with every file that is added: so what
stands in an unnamed namespace has one name in its whole library or test program. Functions of a library may share a name with
other parameters where no call could mean either (a text is a std::string or a const char*); those of tests, whose helpers convert and default freely, may not, nor take a name of a header of the tests or
of a type or a constant of the layers' headers. Fails when it finds next to nothing, so that it cannot pass by accident.
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
CONSTANT = re.compile(r"(?:inline )?constexpr [^(=]*?\b(k[A-Z]\w*) *(?:\[|\{|=)")
ALIAS = re.compile(r"using (\w+) =")
DECLARED = re.compile(r"(?:inline |constexpr |template <.*> )*[A-Za-z_][\w:<>,&* ]* [&*]?(\w+)\(")
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


def declared_in(*folders):
    """Functions, types and constants of the headers of these folders, each with one of them."""
    names = {}
    for header in (path for folder in folders for path in (root / folder).rglob("*.hpp")):
        within = "lastwright"
        for line in plain(header.read_text(encoding="utf-8")).splitlines():
            if line.startswith("namespace "):
                within = line.split()[1]
            if match := TYPE.match(line) or (within in ("lastwright", "lastwright::test") and CONSTANT.match(line)):
                names[match[1]] = header.relative_to(root).as_posix()
            elif folders[0].startswith("tests") and (match := DECLARED.match(line)):
                names[match[1]] = header.relative_to(root).as_posix()
    return names


def same_call(name):
    """A function with the types of its parameters, however they are handed over."""
    return re.sub(r"\bconst\b|[&\s]", "", name)


def functions_of(layers):
    """The functions that the layers' headers declare, each with the types of its parameters and its header."""
    names = {}
    for header in (path for layer in layers for path in (root / layer).rglob("*.hpp")):
        for line in plain(header.read_text(encoding="utf-8")).splitlines():
            if line and line[0] not in " }#)\"'" and not line.startswith(("using ", "struct ", "class ")) and (match := FUNCTION.match(line)):
                names[same_call(f"{match[1]}({kinds_of(match[2])})")] = header.relative_to(root).as_posix()
    return names


TEXTS = {"char*", "std::string", "std::string_view"}
NUMBERS = {"bool", "int", "char", "double", "float", "std::size_t", "std::ptrdiff_t", "std::int64_t", "std::uint64_t", "unsigned", "Fraction", "Millimetres", "Radians"}


def may_mean(one, other):
    """Whether what is handed over for a parameter of one type may be taken for one of the other as well."""
    one, other = (re.sub(r"\bconst\b|&", "", kind).strip() for kind in (one, other))
    kinds = {one, other}
    if len(kinds) == 1 or "Json" in kinds or any(re.search(r"\b[A-Z]\b", kind) for kind in kinds):
        return True
    return kinds <= TEXTS or kinds <= NUMBERS


def clash(one, other):
    """Whether a call of one function could be taken for the other where sources are joined: names with their parameters."""
    first, second = (name.partition("(")[2].rstrip(")") for name in (one, other))
    first, second = (re.split(r", (?![^<]*>)", kinds) if kinds else [] for kinds in (first, second))
    return len(first) == len(second) and all(map(may_mean, first, second))


found, faults = 0, []
LAYERS = ["geometry", "grading", "cli"]
for program, left_out in PROGRAMS.items():
    homes = collections.defaultdict(set)
    for source in sorted((root / program).rglob("*.cpp")):
        name = source.relative_to(root).as_posix()
        if any(name.startswith(folder + "/") for folder in left_out) or source.name == "main.cpp":
            continue
        text = source.read_text(encoding="utf-8")
        short = re.findall(r"^namespace \{\n([^\n]*\n)\}$", text, flags=re.M)  # of one line: clang-format writes nothing behind it
        text = re.sub(r"^namespace \{\n[^\n]*\n\}$", "", text, flags=re.M)
        if len(re.findall(r"^namespace \{", text, flags=re.M)) != len(re.findall(r"^\}  // namespace$", text, flags=re.M)):
            faults.append(f"{name}: an unnamed namespace does not end with \"}}  // namespace\", as clang-format has it: what is in it is not seen")
        for block in short + re.findall(r"^namespace \{$(.*?)^\}  // namespace$", text, flags=re.M | re.S):
            for one in names_of(block):
                homes[one].add(name)
                found += 1
    faults += [f"{name}: {' and '.join(sorted(files))}" for name, files in sorted(homes.items()) if len(files) > 1 and " = " not in name]
    if program.startswith("tests"):
        bare = collections.defaultdict(set)
        for name, files in homes.items():
            bare[name.partition("(")[0].partition(" = ")[0]] |= files
        faults += [f"{name}: {' and '.join(sorted(files))}" for name, files in sorted(bare.items()) if len(files) > 1]
        helpers = declared_in(program, "tests/support")
        faults += [f"{name}: {min(files)} and {helpers[name]}" for name, files in sorted(bare.items()) if name in helpers]
    layer = program.removeprefix("tests/").partition("/")[0]
    seen = LAYERS if layer not in LAYERS else LAYERS[: LAYERS.index(layer) + 1]
    types = {name: home for name, home in declared_in(*seen).items() if home != "grading/library/lastwright.hpp"}
    faults += [f"{name}: {min(files)} and {types[bare]}" for name, files in sorted(homes.items()) if (bare := name.partition(" = ")[0]) in types]
    shown = functions_of(seen)
    faults += [f"a call could mean either: {name} of {min(files)} and of {shown[key]}"
               for name, files in sorted(homes.items()) if "(" in name and (key := same_call(name)) in shown]
    overloads = collections.defaultdict(list)
    for name in sorted(homes):
        if "(" in name:
            overloads[name.partition("(")[0]].append(name)
    for names in overloads.values():
        for i, one in enumerate(names):
            for other in names[:i]:
                if homes[one] != homes[other] and clash(one, other):
                    faults.append(f"a call could mean either: {other} of {min(homes[other])} and {one} of {min(homes[one])}")
    kinds = collections.Counter(name.partition(" = ")[0] for name in homes)
    faults += [f"{name}: unlike things in {program}" for name, count in sorted(kinds.items()) if count > 1]
for fault in faults:
    print("FAILED: one name for two things," if "unnamed" not in fault else "FAILED:", fault)
print(f"{found} names")
sys.exit(1 if faults or found < 500 else 0)
