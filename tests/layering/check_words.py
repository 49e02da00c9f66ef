#!/usr/bin/python3
"""geometry/ has no word of shoes: check_words.py PROJECT

Names and comments there speak of points, curves and files, so that it can be read, and used, by who knows no shoe. Words that geometry has in
another sense (the last one, a quarter turn, the foot of a perpendicular, counter-clockwise, an upper bound, what a drawing hides) and the layers of the drawings
(skives, nicks) are not
looked for. What must stay is listed with its reason. Fails when it finds next to nothing, so that it cannot pass by accident.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
WORDS = set("""shoe shoes footwear boot boots sandal forme formes lasts lasting lasted vamp toe toes heel heels insole insoles outsole outsoles midsole
welt feather tread girth girths eyelet eyelets tongue backstrap stiffener instep shank leather leathers calf lining linings cobbler""".split())
MAY = {  # file: its words, and why
    "geometry/io/die_drawing.hpp": ("vamp", "an example of a title"),
    "geometry/problem.hpp": ("vamp lasting", "an example of what is printed"),
    "geometry/with_kind.hpp": ("feather", "an example of what is printed"),
    "geometry/files/kernel_time.hpp": ("lasts", "the bodies by which a limit was chosen"),
    "geometry/solid/kernel/read_step.cpp": ("lasts", "a sentence for the user, who works on lasts"),
    "geometry/solid/mesh_body.cpp": ("heel", "the bodies by which a limit was chosen"),
    "geometry/solid/mesh_body.hpp": ("girth", "the measure by which a limit was chosen"),
    "geometry/solid/mesh_sag.cpp": ("toe", "the bodies by which a limit was chosen"),
    "geometry/solid/section.hpp": ("girth", "the measure that an error is told for"),
    "geometry/solid/solid_file.cpp": ("girth girths lasts", "sentences for the user, who measures lasts; the bodies by which a limit was chosen"),
    "geometry/solid/vec3.hpp": ("heel toe", "the frame that files of bodies are in"),
    "geometry/tolerance.hpp": ("girth", "tolerances of all layers stand there"),
}
faults, read, met = [], 0, set()
for path in sorted((root / "geometry").rglob("*.[ch]pp")):
    read += 1
    name = path.relative_to(root).as_posix()
    may = set(MAY.get(name, ("", ""))[0].split())
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])", line):
            word = word.lower()
            if word not in WORDS:
                continue
            if word in may:
                met.add((name, word))
            else:
                faults.append(f"{name}:{number}: {word}: geometry knows no shoe: {line.strip()}")
listed = {(name, word) for name, (words, _) in MAY.items() for word in words.split()}
faults += [f"{name}: has no {word} any more: take it from MAY in check_words.py" for name, word in sorted(listed - met)]
if read < 200 or len(met) < 5:
    sys.exit(f"only {read} sources and {len(met)} known words were found under {root}")
sys.exit("\n".join(faults)) if faults else print(f"{read} sources without a word of shoes but {len(met)} with their reasons")
