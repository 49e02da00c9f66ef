#!/usr/bin/python3
"""Every header compiles by itself, told from the text: check_includes.py PROJECT [--others]

A source includes its own header first, so that compiling the source has shown that the header lacks nothing. A source of a
test program includes Catch2 by itself, so that the precompiled header hides nothing. Every header may be included twice. With --others: prints the headers that
no source includes first, which .ci/alone compiles.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
files = sorted(f.relative_to(root) for layer in ("geometry", "grading", "cli", "tests") for f in (root / layer).rglob("*.[ch]pp"))
headers = {f.as_posix() for f in files if f.suffix == ".hpp" and f.name != "precompiled.hpp"}
faults, shown, sources = [], set(), 0
for source in (f for f in files if f.suffix == ".cpp"):
    sources += 1
    text = (root / source).read_text(encoding="utf-8")
    first = re.search(r'^#\s*include\s*["<]([^">]+)', text, flags=re.M)
    own = source.with_suffix(".hpp").as_posix()
    if own in headers and (not first or first[1] != own):
        faults.append(f"{source}: its own header, {own}, is not what it includes first")
    if first:
        shown.add(first[1])
    if source.parts[0] == "tests" and source.parts[1] in ("geometry", "grading", "cli") and "#include <catch2/catch.hpp>" not in text:
        faults.append(f"{source}: a test includes <catch2/catch.hpp> by itself")
for header in (f for f in files if f.suffix == ".hpp"):
    if not re.search(r"^#pragma once$", (root / header).read_text(encoding="utf-8"), flags=re.M):
        faults.append(f"{header}: has no #pragma once: read twice it does not compile")
others = sorted(headers - shown)
if "--others" in sys.argv:
    print("\n".join(others))
else:
    print(f"{sources} sources, {len(headers)} headers, {len(others)} of them first in no source")
for fault in faults:
    print("FAILED:", fault, file=sys.stderr)
sys.exit(1 if faults or sources < 300 or len(headers) < 200 else 0)
