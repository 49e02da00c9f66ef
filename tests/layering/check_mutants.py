"""What .ci/mutants takes for the name of a test, however the output is broken, that each name it waits for is one, and that the
text it breaks stands in its source, once.

usage: check_mutants.py PROJECT
"""
import pathlib
import runpy
import sys

root = pathlib.Path(sys.argv[1])
tool = runpy.run_path(str(root / ".ci" / "mutants"))
names = tool["names"]
broken = """-------------------------------------------------------------------------------
pieces that lie side-
  by-side are told
  (in each size)
-------------------------------------------------------------------------------
"""
assert names(broken, "pieces that lie side-by-side are told")
assert names(broken, "are told(in each size)") and names(broken, "side are told (in each")
assert not names(broken, "pieces that lie side by side") and not names(broken, "each width")

# Every name of a mutant belongs to a test or a law, word for word.
sources = "".join("".join(file.read_text().split()) for file in sorted((root / "tests").rglob("*.cpp"))).replace('""', "")
checked, stale = 0, []
for file in sorted((root / "tests" / "mutants").glob("*.txt")):
    for mutant in tool["mutants_of"](file):
        source = root / mutant["source"]
        times = source.read_text().count(mutant["is"]) if source.exists() else 0
        if times != 1:
            stale.append(f"{mutant['at']}: stands {times} times in {mutant['source']}, not once: {mutant['is']}")
        if mutant["program"] == "ctest" or not mutant["name"]:
            continue
        assert "".join(mutant["name"].split()) in sources, (mutant["at"], mutant["name"])
        checked += 1
assert checked > 50, checked
if stale:
    sys.exit("\n".join(stale))
print(f"{checked} names of tests, each known; each formula once in its source")
