#!/usr/bin/python3
"""Nothing in the sources lets a result depend on more than its input: check_results.py PROJECT

No clock, no randomness that is not started by a constant, no text read or written by a locale, but in the places below, each with its reason.
What depends on the order of threads or of addresses in memory is not seen here: .ci/same-bytes compares what is written. Fails when it finds
next to nothing, so that it cannot pass by accident.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
KINDS = {
    "a clock": r"\b\w+_clock\b|\b(?:clock_gettime|gettimeofday|localtime(?:_r)?|gmtime(?:_r)?|strftime|mktime)\s*\(|(?:std::|::|(?<![\w.>:]))(?:time|clock)\s*\(\s*(?:NULL|nullptr|0|&\w+)?\s*\)",
    "randomness": r"\b(?:s?rand|rand_r|[dlm]rand48|s?random|arc4random\w*|getrandom|getentropy|RAND_\w+)\s*\(|\brandom_device\b|\bdefault_random_engine\b|\buuid_generate\w*|/dev/u?random",
    "a locale": r"\bstd::(?:stod|stof|stold|strto[df]|strtold|atof)\b|(?<![\w:.>])(?:stod|stof|stold|strto[df]|strtold|atof|sscanf|setlocale|localeconv)\s*\(|\bstd::(?:setlocale|locale)\b",
}
MAY = {  # file, kind: why
    ("cli/progress.hpp", "a clock"): "how often a terminal is told of progress",
    ("cli/commands/grade.cpp", "a clock"): "how long it took, on a terminal alone",
    ("cli/last/formes_command.cpp", "a clock"): "how long it took, on a terminal alone",
    ("cli/last/grade_command.cpp", "a clock"): "how long it took, on a terminal alone",
    ("cli/live/gate.cpp", "randomness"): "the key of a page's address, which nobody may guess",
    ("geometry/fill/region_fill.cpp", "randomness"): "started by a constant: the same order in every run",
}
faults, read, met = [], 0, set()
for layer in ("geometry", "grading", "cli"):
    for path in sorted((root / layer).rglob("*.[ch]pp")):
        read += 1
        name = path.relative_to(root).as_posix()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            code = re.sub(r'"(?:[^"\\]|\\.)*"', lambda text: text[0] if "/dev/" in text[0] else '""', line).partition("//")[0]
            for kind, pattern in KINDS.items():
                if not re.search(pattern, code):
                    continue
                if (name, kind) in MAY:
                    met.add((name, kind))
                else:
                    faults.append(f"{name}:{number}: {kind}: the same input would not give the same bytes: {line.strip()}")
faults += [f"{name}: has no use of {kind} any more: take it from MAY in check_results.py" for name, kind in sorted(MAY.keys() - met)]
if read < 500 or len(met) < 5:
    sys.exit(f"only {read} sources and {len(met)} known places were found under {root}")
sys.exit("\n".join(faults)) if faults else print(f"{read} sources: no clock, chance or locale but in {len(met)} places with their reasons")
