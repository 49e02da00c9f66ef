#!/usr/bin/python3
"""That the checks of this folder see what they are for: check_planted.py PROJECT CMAKE

A source with one mistake for each is put among the project's own sources, which are linked to; each check must name the mistake,
and nothing else.
"""
import pathlib
import subprocess
import sys
import tempfile

root, cmake = pathlib.Path(sys.argv[1]).resolve(), sys.argv[2]
here = pathlib.Path(__file__).resolve().parent
PLANTED = "grading/checks/planted_check.cpp"
MISTAKES = [  # a line of the source, who must see it, and how it is told
    ('#include <grading/live/live_grade.hpp>', "check_layers.cmake", "included in quotes: grading/live/live_grade.hpp"),
    ('#include "grading/live/live_grade.hpp"', "check_layers.cmake", "grading/checks may not include grading/live"),
    ("bool large(double round) { return round > 700.0 + 0.05; }", "check_tolerances.py", "0.05 is a limit without a name"),
    ("bool small(double round) { return 700.0 >= round; }", "check_tolerances.py", "700.0 is a limit without a name"),
    ("bool many(int edges) { return edges < 40; }", "check_tolerances.py", "40 is a limit without a name"),
    ("bool broken(double x) { return x >\n    3.7; }", "check_tolerances.py", "3.7 is a limit without a name: name it, with its reason: 3.7; }"),
    ("bool exact(int x) { return x == 37; }", "check_tolerances.py", "37 is a limit without a name"),
    ("bool single(float x) { return x > 3.8f; }", "check_tolerances.py", "3.8f is a limit without a name"),
    ("bool longer(Millimetres x) { return x > Millimetres{7.3}; }", "check_tolerances.py", "7.3 is a limit without a name"),
    ("double most(double x) { return std::min(x, 3.9); }", "check_tolerances.py", "3.9 is a limit without a name"),
    ("\n\n\nbool far(double x, double most = 4.7);", "check_tolerances.py", "4.7 is a limit without a name"),
    ("struct Planted { double most = 4.8; };", "check_tolerances.py", "4.8 is a limit without a name"),
    ("const double kPlantedMost = 3.7;", "check_tolerances.py", "kPlantedMost has no reason"),
    ("static constexpr auto kPlantedLeast = 3.7;", "check_tolerances.py", "kPlantedLeast has no reason"),
    ("constexpr int kPlantedCount = 37;\n\n\n", "check_tolerances.py", "kPlantedCount has no reason"),
    ("// of the demo\nconstexpr std::size_t kPlantedTold = 37;\n\n\n", "check_tolerances.py", ""),
    ("bool sound(double x) { return x > 0.0 && x < 0.5 && x <= 2.0 && x > 3 && kMost < x; }", "check_tolerances.py", ""),
    ("auto now = std::chrono::system_clock::now();", "check_results.py", "a clock: "),
    ("int chance = rand();", "check_results.py", "randomness: "),
    ('double read = std::stod("1.5");', "check_results.py", "a locale: "),
    ('auto text = "time(0) and rand()";  // rand()', "check_results.py", ""),
    ('auto one = doubtful_finding("planted check", "", 0.0, "", "");', "check_checks.py", "the check `planted check` does not stand in"),
    ("// As grading/checks/not_there does it.", "check_comments.py", "there is no grading/checks/not_there"),
    ("// As grading/checks/judge.hpp and grading/checks/judge and grading/checks do it.", "check_comments.py", ""),
]
OTHERS = {  # a source of its own, who must see it, and how it is told
    "geometry/curve/planted.cpp": ("int heel_curve = 0;\n", "check_words.py", "heel: geometry knows no shoe"),
    "grading/checks/planted.hpp": ("// A header that may be read twice.\nstd::vector<StyleFinding> check_planted(const StyleGrade& grade);\n",
                                   "check_includes.py", "has no #pragma once"),
    "grading/checks/planted_too.hpp": ("#pragma once\nstd::vector<StyleFinding> check_planted_too(const StyleGrade& grade);\n",
                                       "check_checks.py", "check_planted_too is not called in grading/checks/judge.cpp"),
}


def said(check, tree):
    command = [cmake, f"-DPROJECT_DIR={tree}", "-P", here / check] if check.endswith(".cmake") else ["/usr/bin/python3", here / check, tree]
    ended = subprocess.run(command, capture_output=True, text=True)
    return ended.returncode, ended.stdout + ended.stderr


with tempfile.TemporaryDirectory() as folder:
    tree = pathlib.Path(folder)
    for layer in ("geometry", "grading", "cli", "tests"):
        for path in (root / layer).rglob("*"):
            if path.is_dir():
                (tree / layer / path.relative_to(root / layer)).mkdir(parents=True, exist_ok=True)
        for source in (root / layer).rglob("*"):
            if source.is_file() and "corpus" not in source.parts:
                (tree / source.relative_to(root)).symlink_to(source)
    for whole in ("DEVELOPERS.md", "README.md", "reference-tables", "demo-patterns"):
        (tree / whole).symlink_to(root / whole)
    (tree / PLANTED).write_text("".join(line + "\n" for line, _, _ in MISTAKES))
    for file, (text, _, _) in OTHERS.items():
        (tree / file).write_text(text)
    for check in sorted({check for _, check, _ in [*MISTAKES, *OTHERS.values()]}):
        code, told = said(check, tree)
        assert code != 0, f"{check} passes what is planted"
        wanted = [words for _, of, words in MISTAKES if of == check and words]
        flat = " ".join(told.split())
        for words in [*wanted, *(words for _, of, words in OTHERS.values() if of == check)]:
            assert words in flat, f"{check} does not say {words!r}: {told}"
        # Of `700.0 + 0.05` both numbers are told.
        assert flat.count(PLANTED) == len(wanted) + (1 if check == "check_tolerances.py" else 0), f"{check} says more: {told}"
print(f"{len(MISTAKES) + len(OTHERS)} planted lines, each told or passed as it must be")
