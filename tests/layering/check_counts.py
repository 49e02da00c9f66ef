"""Nothing says "1 outlines": what is counted is written by counted() or noun_of() of geometry/counted.hpp.

Looks for "{} outlines" and the like, and for an s put on by hand, in the texts of grading and cli. What cannot be one is let
through: a limit ("at most {} sizes"), a part ("{} of its {} points"). usage: check_counts.py PROJECT
"""
import pathlib
import re
import sys

NOUNS = ("outlines|dies|sizes|widths|pieces|nicks|holes|pricks|pairs|rows|lines|checks|readings|files|drawings|pages|sheets|rolls|seams|edges|"
         "points|places|entities|warnings|cases|tickets|lasts|blocks|rules|corners|findings|notes|labels|hides|forms|layers|measures|girths")
COUNTED = re.compile(r"(?:([\w']+) )?\{(?::[<>]?\d*)?\} (?:owned |graded |pair |numbered )?(" + NOUNS + r")\b")
NO_COUNT = {"of", "its", "than", "most", "least", "to", "other", "or", "beyond"}  # before a limit or the whole of a part
BY_HAND = re.compile(r'[=!>] ?1 \? "s?" : "s?"')
# What is never one there, by file and words.
NEVER_ONE = {
    ("grading/measures/reference_table_json.cpp", "{} sizes; at most"),  # it is too many
    ("grading/sizes/scale.cpp", "a run of {} sizes; at most"),
    ("cli/reading_plan.cpp", "the plan has {} lasts; "),
    ("cli/tables/workbook_records.cpp", "{} rows and {} columns: more than"),
    ("cli/drawings/picture_files.cpp", "nests/{} "),  # a name
    ("grading/draft/lay_pieces.cpp", "{} edges are more than"),
    ("grading/draft/draft_measures.cpp", "runs over {} lines"),  # two or more
    ("grading/measures/measure.cpp", "{} sizes a width step"),  # a part of one
    ("grading/measures/reference_table_json.cpp", "between {} widths"),
    ("grading/pieces/point_finder.cpp", "cross at {} places, first at"),
    ("cli/commands/redraw.cpp", "{} drawings; say whose place"),
    ("cli/last/verify_command.cpp", "{} points, {} triangles"),
}


def main(root):
    faults = []
    for folder in ("grading", "cli"):
        for path in sorted((root / folder).rglob("*.[ch]pp")):
            name = path.relative_to(root).as_posix()
            text = path.read_text(encoding="utf-8")
            joined = re.sub(r'"\s*\n\s*"', "", text)  # literals over several lines
            for number, line in enumerate(joined.split("\n"), 1):
                if BY_HAND.search(line):
                    faults.append(f"{name}: an s put on by hand: {line.strip()[:100]}")
                for found in COUNTED.finditer(line):
                    if found.group(1) in NO_COUNT or any(name == file and words in line for file, words in NEVER_ONE):
                        continue
                    faults.append(f"{name}: \"{found.group(0)}\" of one: {line.strip()[:100]}")
    for fault in faults:
        print(fault)
    sys.exit(1 if faults else 0)


main(pathlib.Path(sys.argv[1]))
