"""Checks graded lasts and the answers of the last commands with numpy and scipy.

usage: check_last.py LASTWRIGHT DEMO_FOLDER GRADED_FOLDER WORK_FOLDER
"""
import csv
import filecmp
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import xml.dom.minidom
import xml.etree.ElementTree
import zipfile

try:
    import numpy as np
    from scipy.interpolate import CubicSpline
    from scipy.spatial import ConvexHull
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

program, demo, graded, work = sys.argv[1:5]
LONG = bool(os.environ.get("TESTS_LONG"))
shutil.rmtree(work, ignore_errors=True)
os.makedirs(work)
failures = []


def check(good, text):
    print(("ok    " if good else "FAIL  ") + text)
    if not good:
        failures.append(text)


def run(*words, environment=None):
    done = subprocess.run([program, "last", *words], capture_output=True, text=True, env={**os.environ, **(environment or {})})
    return done.returncode, done.stdout + done.stderr


def read_stl(path):
    raw = open(path, "rb").read()
    count = int.from_bytes(raw[80:84], "little")
    kind = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("rest", "<u2")])
    return np.frombuffer(raw, kind, count, 84)["corner"].astype(float)


def write_ascii(path, triangles):
    with open(path, "w", encoding="ascii") as out:
        out.write("solid made\n")
        for t in triangles:
            out.write("facet normal 0 0 0\nouter loop\n")
            for p in t:
                out.write(f"vertex {p[0]:.7g} {p[1]:.7g} {p[2]:.7g}\n")
            out.write("endloop\nendfacet\n")
        out.write("endsolid made\n")


def write_binary(path, triangles):
    packed = np.zeros(len(triangles), np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("rest", "<u2")]))
    packed["corner"] = triangles
    with open(path, "wb") as out:
        out.write(b" " * 80 + len(packed).to_bytes(4, "little") + packed.tobytes())


def hull_girth(triangles, normal, offset):
    """Perimeter of the convex hull of the mesh's section with a plane."""
    height = triangles @ normal - offset
    points = []
    for i, j in ((0, 1), (1, 2), (2, 0)):
        crossed = (height[:, i] > 0) != (height[:, j] > 0)
        a, b = triangles[crossed, i], triangles[crossed, j]
        t = height[crossed, i] / (height[crossed, i] - height[crossed, j])
        points.append(a + t[:, None] * (b - a))
    points = np.vstack(points)
    helper = np.array([0.0, 1.0, 0.0]) if abs(normal[1]) < 0.9 else np.array([1.0, 0.0, 0.0])
    e1 = helper - helper @ normal * normal
    e1 /= np.linalg.norm(e1)
    flat = np.column_stack((points @ e1, points @ np.cross(normal, e1)))
    return ConvexHull(flat).area  # of a plane figure scipy calls the perimeter area


# The girths of the table against scipy's hull of dense sections of the meshes.
rows = list(csv.DictReader(open(os.path.join(graded, "measures.csv"), encoding="utf-8")))
meshes = {}
off = []
for row in rows:
    if "girth" not in row["measure"] and "heel" not in row["measure"]:
        continue
    if not row["plane_x"]:
        continue
    name = f"{row['size']} {row['width']}"
    if name not in meshes:
        meshes[name] = read_stl(os.path.join(graded, "meshes", name + ".stl"))
    normal = np.array([float(row["plane_" + c]) for c in "xyz"])
    off.append(hull_girth(meshes[name], normal, float(row["plane_mm"])) - float(row["mm"]))
check(len(off) == 5 * 4, f"{len(off)} girths of 4 lasts")
# The mesh's chords of 0.03 mm lie inside where the last bulges, outside where it is hollow along: the ridge at the instep.
check(-0.06 < min(off) and max(off) < 0.03, f"scipy's hulls of the meshes: {min(off):+.4f} to {max(off):+.4f} mm off")
driven = [abs(float(r["difference_mm"])) for r in rows if r["driven"] == "yes"]
check(len(driven) == 6 * 4 and max(driven) < 0.01, f"driven measures within {max(driven):.4f} mm of the table")
# 7 F to 9 G by the style's own steps: ball 1/4 in a size and a width, tread 1/12 and 1/9 in.
value = {(r["size"], r["width"], r["measure"]): float(r["mm"]) for r in rows}
for measure, step in (("ball girth", 3 * 25.4 / 4), ("tread", 2 * 25.4 / 12 + 25.4 / 9), ("stick length", 2 * 25.4 / 3)):
    grown = value["9", "G", measure] - value["7", "F", measure]
    check(abs(grown - step) < 0.01, f"{measure} from 7 F to 9 G: {grown:.4f}, steps say {step:.4f}")

# The same as JSON, with the file of each last.
with open(os.path.join(graded, "lasts.json"), encoding="utf-8") as file:
    told = json.load(file)
known = {(r["size"], r["width"], r["measure"]): r for r in rows}
check(len(told["lasts"]) == 4 and told["refused"] == [] and [b["size"] for b in told["bases"]] == ["8"], "lasts.json lists the run")
unlike_json = [m["measure"] for last in told["lasts"] for m in last["measures"]
               if abs(m["mm"] - float(known[last["size"], last["width"], m["measure"]]["mm"])) > 1e-9
               or ("asked_mm" in m) != bool(known[last["size"], last["width"], m["measure"]]["asked_mm"])
               or m["driven"] != (known[last["size"], last["width"], m["measure"]]["driven"] == "yes")]
check(sum(len(last["measures"]) for last in told["lasts"]) == len(rows) and not unlike_json, f"lasts.json says what measures.csv says: {unlike_json}")
check(all(os.path.isfile(os.path.join(graded, last["file"])) for last in told["lasts"]), "lasts.json names the files")

# From the base, 8 F, to 9 G and from there to 7 F: the last that 9 G gives as a base is the last that was graded, at every cut of the whole form.
back = os.path.join(work, "back.json")
for name in ("style.json", "shell.dxf", "bottom.dxf"):
    shutil.copy(os.path.join(demo, name), work)
shutil.copy(os.path.join(graded, "steps", "9 G.step"), os.path.join(work, "nine.step"))
with open(os.path.join(demo, "last.json"), encoding="utf-8") as file:
    spec = json.load(file)
spec["bases"] = [{"file": "nine.step", "size": "9", "width": "G"}]
with open(back, "w", encoding="utf-8") as file:
    json.dump(spec, file)
code, said = run("grade", back, "--out", os.path.join(work, "back"), "--stl", "--sizes", "7", "--widths", "F")
check(code == 0, f"9 G as a base grades to 7 F (exit {code}) {said[-300:] if code else ''}")
came = read_stl(os.path.join(work, "back", "meshes", "7 F.stl"))
apart = []
for axis, share in [(0, s) for s in np.linspace(0.08, 0.95, 12)] + [(2, s) for s in (0.2, 0.4, 0.6, 0.8)]:
    normal = np.eye(3)[axis]
    girths = []
    for mesh in (meshes["7 F"], came):
        low, high = mesh[:, :, axis].min(), mesh[:, :, axis].max()
        girths.append(hull_girth(mesh, normal, low + share * (high - low)))
    apart.append(girths[1] - girths[0])
check(max(map(abs, apart)) < 0.1, f"7 F graded back from 9 G: cuts {min(apart):+.4f} to {max(apart):+.4f} mm off")

# Unlike definitions are told apart: not compared, and no targets.
unlike = [r for r in rows if r["measure"] in ("short heel", "long heel")]
check(len(unlike) == 8 and not any(r["asked_mm"] or r["difference_mm"] for r in unlike), "heel girths are not compared with the forme's")
other = os.path.join(work, "other.json")
for name in ("last.step", "style.json", "shell.dxf", "bottom.dxf"):
    shutil.copy(os.path.join(demo, name), work)
with open(os.path.join(demo, "last.json"), encoding="utf-8") as file, open(other, "w", encoding="utf-8") as out:
    out.write(file.read().replace('"short heel":', '"ball girth": "taut-string v1", "short heel":'))
code, said = run("grade", other, "--out", os.path.join(work, "never"))
check(code == 3 and "the table takes it by taut-string v1, the last by ball girth by plane-hull v1" in said, f"a target by another definition is refused (exit {code})")

# Ties to the patterns.
for row in csv.DictReader(open(os.path.join(graded, "ties.csv"), encoding="utf-8")):
    for part in ("upper", "bottom"):
        apart = float(row[f"last_{part}_change_mm"]) - float(row[f"formes_{part}_change_mm"])
        if abs(apart) > 0.1:
            check(False, f"{row['size']} {row['width']} {row['girth']}: {part} {apart:+.3f} mm off the formes")

check(run("grade", back, "--out", os.path.join(work, "back"))[0] == 5, "an earlier set is not replaced unasked")
xml.dom.minidom.parse(os.path.join(graded, "nest.svg"))

# Measuring: meshes in inches, as ASCII and turned over; units asked for; no lasts refused.
mesh = meshes["9 G"]


def measured(path, *more):
    code, said = run("measure", path, *more)
    check(not re.search(r"-0\.0+(?!\d)", said), f"nothing has no sign: {os.path.basename(path)}")
    found = {m: float(v) for m, v in re.findall(r"^(.+?) by \S+ v\d+\s+([\d.]+)", said, re.M)}
    return code, said, found


stl = os.path.join(graded, "meshes", "9 G.stl")
check(run("measure", stl)[0] == 2, "an STL file without a unit is asked for it")
turn = np.array([[0, 0, -1.0], [0, 1, 0], [1, 0, 0]])
turned = os.path.join(work, "turned.stl")
write_ascii(turned, (mesh @ turn.T + [5, 6, 7]) / 25.4)
for path, unit in ((stl, "mm"), (turned, "in"))[0 if LONG else 1:]:
    code, said, found = measured(path, "--unit", unit)
    check(code == 0 and "a left last" in said, f"{os.path.basename(path)} is a left last")
    for measure in ("stick length", "ball girth", "waist girth", "instep girth", "tread", "seat"):
        apart = found.get(measure, 0) - value["9", "G", measure]
        check(abs(apart) < 0.25, f"{os.path.basename(path)}: {measure} {apart:+.3f} mm")
# Without the swing of its bottom the last tells no foot: every measure is told for the other foot too.
stations, middles = np.arange(-0.1, 1.15, 0.1), [0.5, 0.4, 0, 0.6, 3.2, 6.4, 7.4, 5.3, 2.3, 1, 0.7, -0.1, -1.3]
straight = mesh.copy()
straight[..., 1] -= CubicSpline(stations, middles)(straight[..., 0] / straight[..., 0].max())
write_binary(os.path.join(work, "straight.stl"), straight)
code, said = run("measure", os.path.join(work, "straight.stl"), "--unit", "mm", "--format", "json")
told = json.loads(said) if code == 0 else {"measures": [], "notes": []}
asides = {m["measure"]: m.get("other_foot_mm", 0) - m.get("mm", 0) for m in told["measures"]}
check(told.get("foot_in_doubt") and any("--foot left or --foot right" in note for note in told["notes"]), f"a straight last is in doubt {said[-300:] if code else ''}")
check(len(asides) > 6 and abs(asides["stick length"]) < 1e-9 and 0.5 < abs(asides["ball girth"]) < 6, f"and measured for the other foot too: {asides}")
# As 3MF, written and read with Python's own archive and XML readers: in inches, as a component that is turned, with a small
# part beside; the file says its unit. Graded to 7 F it is the 7 F of the solid.
core = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def write_3mf(path, triangles):
    corners, ids = np.unique(triangles.reshape(-1, 3).round(6), axis=0, return_inverse=True)
    vertices = "".join(f'<vertex x="{p[0]:.7g}" y="{p[1]:.7g}" z="{p[2]:.7g}"/>' for p in corners)
    faces = "".join('<triangle v1="{}" v2="{}" v3="{}"/>'.format(*t) for t in ids.reshape(-1, 3))
    mesh_xml = f"<mesh><vertices>{vertices}</vertices><triangles>{faces}</triangles></mesh>"
    small = ('<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices><triangles>'
             '<triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>')
    model = (f'<model unit="inch" xmlns="{core}"><resources><object id="4" type="model">{mesh_xml}</object><object id="5" type="model"><components>'
             f'<component objectid="4" transform="0 0 1 0 1 0 -1 0 0 1 2 3"/></components></object><object id="6" type="model">{small}</object></resources>'
             '<build><item objectid="5"/><item objectid="6" transform=".1 0 0 0 .1 0 0 0 .1 90 0 0"/></build></model>')
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", model)


def read_3mf(path):
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None and "[Content_Types].xml" in archive.namelist()
        relation = xml.etree.ElementTree.fromstring(archive.read("_rels/.rels"))[0].attrib["Target"]
        model = xml.etree.ElementTree.fromstring(archive.read(relation.lstrip("/")))
    corners = np.array([[float(v.attrib[c]) for c in "xyz"] for v in model.iter(f"{{{core}}}vertex")])
    faces = np.array([[int(t.attrib[c]) for c in ("v1", "v2", "v3")] for t in model.iter(f"{{{core}}}triangle")])
    return corners[faces], model.attrib["unit"]


packed = os.path.join(work, "packed.3mf")
write_3mf(packed, mesh / 25.4)
code, said, found = measured(packed)
check(code == 0 and "a left last" in said and "2 loose parts" in said, f"a 3MF file in inches is measured without a named unit (exit {code}) {said[-300:] if code else ''}")
for measure in ("stick length", "ball girth", "waist girth", "instep girth", "tread", "seat"):
    apart = found.get(measure, 0) - value["9", "G", measure]
    check(abs(apart) < 0.25, f"packed.3mf: {measure} {apart:+.3f} mm")
code, said = run("measure", packed, "--unit", "mm")
check(code == 3 and "states its unit, inch" in said, f"another unit than the file's is refused (exit {code})")
spec["bases"] = [{"file": "packed.3mf", "size": "9", "width": "G"}]
with open(back, "w", encoding="utf-8") as file:
    json.dump(spec, file)
code, said = run("grade", back, "--out", os.path.join(work, "of 3mf"), "--reread", "--sizes", "7", "--widths", "F")
check(code == 0, f"a base in 3MF is graded (exit {code}) {said[-300:] if code else ''}")
came, unit = read_3mf(os.path.join(work, "of 3mf", "meshes", "7 F.3mf"))
check(unit == "inch" and len(came) == len(mesh), f"written in its base's unit, {unit}, with its triangles, {len(came)}")
ball = next(r for r in rows if (r["size"], r["width"], r["measure"]) == ("7", "F", "ball girth"))
apart = hull_girth(came * 25.4, np.array([float(ball["plane_" + c]) for c in "xyz"]), float(ball["plane_mm"])) - float(ball["mm"])
check(abs(apart) < 0.25, f"7 F.3mf: scipy's ball girth {apart:+.3f} mm off")
# A landmark moved by hand lies at its share of the length, and only the measures that use it change.
moved = os.path.join(work, "moved.json")
with open(os.path.join(demo, "last.json"), encoding="utf-8") as file, open(moved, "w", encoding="utf-8") as out:
    out.write(file.read().replace('"bottom_follows_style"', '"landmarks": {"ankle top": 0.5}, "bottom_follows_style"'))
step = os.path.join(demo, "last.step")
of_demo = measured(step, "--style", os.path.join(demo, "style.json"))
plain, by_hand = of_demo[2], measured(step, "--landmarks", moved)
place = re.search(r"^ankle top .* ([\d.]+) +[-\d.]+ +[\d.]+$", by_hand[1], re.M)
check(place and abs(float(place[1]) - 0.5 * plain["stick length"]) < 1e-3, f"the ankle's mark moved to half the length: {place and place[1]}")
changed = [m for m in plain if abs(plain[m] - by_hand[2].get(m, 0)) > 1e-6]
check(changed == ["short heel"], f"the ankle's mark moves the short heel alone: {changed}")
# The same bytes from two threads, in another locale and time zone, and whatever stood in the memory: tests/outside/same_bytes asks
# it of every command, and here it is asked of meshes, and of a style whose
# bottom forme has another name: its role says what it is, and without one nothing is guessed.
ELSEWHERE = {"MALLOC_PERTURB_": "165", "TZ": "Pacific/Chatham", "LC_ALL": "de_DE.UTF-8", "SOURCE_DATE_EPOCH": "1"}
with open(os.path.join(demo, "style.json"), encoding="utf-8") as file:
    style = json.load(file)
renamed = os.path.join(work, "renamed")
os.makedirs(renamed, exist_ok=True)
style["formes"] = {("sole" if name == "bottom" else name): forme for name, forme in style["formes"].items()}
for part in [part for parts in style["girths"].values() for part in parts] + style["pieces"]:
    part["forme"] = "sole" if part["forme"] == "bottom" else part["forme"]
with open(os.path.join(demo, "last.json"), encoding="utf-8") as file:
    last = json.load(file)
for base in last["bases"]:
    base["file"] = os.path.abspath(os.path.join(demo, base["file"]))
with open(os.path.join(renamed, "last.json"), "w", encoding="utf-8") as out:
    json.dump(last, out)


def with_style(role, *more):
    style["formes"]["sole"].pop("role", None)
    if role:
        style["formes"]["sole"]["role"] = role
    with open(os.path.join(renamed, "style.json"), "w", encoding="utf-8") as out:
        json.dump(style, out)
    done = os.path.join(renamed, f"graded {role}")
    code, said = run("grade", os.path.join(renamed, "last.json"), "--out", done, "--force", "--threads", "2", "--sizes", "9", "--widths", "G", *more, environment=ELSEWHERE)
    same = code == 0 and not any(filecmp.cmpfiles(graded, done, ["steps/9 G.step", "meshes/9 G.stl"], shallow=False)[1:])
    return code, said, same


def shares_in(said):
    return re.findall(r"^\S+ girth +[-+. 0-9]+$", said, re.M)


code, said, same = with_style("bottom", "--stl")
shares, own = shares_in(run("measure", step, "--style", os.path.join(renamed, "style.json"))[1]), shares_in(of_demo[1])
check(code == 0 and same, f"a bottom forme called sole grades the same last (exit {code})")
check(len(own) == 3 and shares == own, f"and shares the girths the same: {shares}")
code, said, _ = with_style(None)
check(code == 3 and "the forme sole" in said and '"role"' in said, f"without a role it is asked for (exit {code}): {said[-200:]}")
code, said, _ = with_style("upper")
check(code == 3 and "no forme whose" in said, f"with none of the bottom the bottom's width has nothing to follow (exit {code}): {said[-200:]}")
opened = os.path.join(work, "open.stl")
write_binary(opened, mesh[1:])
code, said = run("measure", opened, "--unit", "mm")
check(code == 4 and "not watertight" in said, f"an open mesh: exit {code}")
corners = np.array([[x, y, z] for z in (0, 200) for y in (0, 200) for x in (0, 200)], float)
cube = os.path.join(work, "cube.stl")
sides = [(0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4), (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5)]
write_ascii(cube, [corners[list(s)] for s in sides])
code, said = run("measure", cube, "--unit", "mm")
check(code == 4 and ("not the form of a last" in said or "flat bottom" in said), f"a cube: exit {code}")

# Verifying made scans of 9 G: noise, a planted bump, a wrong stamp, the mate.
noise = np.random.default_rng(7)
ids = np.unique(mesh.reshape(-1, 3).round(4), axis=0, return_inverse=True)[1].reshape(-1)
points = np.zeros((ids.max() + 1, 3))
points[ids] = mesh.reshape(-1, 3)
normals = np.zeros_like(points)
across = np.cross(mesh[:, 1] - mesh[:, 0], mesh[:, 2] - mesh[:, 0])
for k in range(3):
    np.add.at(normals, ids.reshape(-1, 3)[:, k], across)
normals /= np.linalg.norm(normals, axis=1)[:, None]


# What does not ask for a whole form is scanned with fewer points, which take less time: every so many triangles, apart from each other.
few = ids.reshape(-1, 3)[::1 if LONG else 6]


def scan(name, bump=0.0, mirror=False, sigma=0.05, hole=False, coarse=False):
    lift = noise.normal(0, sigma, len(points))
    lift += bump * np.exp(-((points[:, 0] - 0.67 * value["9", "G", "stick length"]) / 15) ** 2) * (points[:, 2] > 12)
    moved = points + lift[:, None] * normals
    triangles = moved[few] if coarse else moved[ids].reshape(-1, 3, 3)
    if mirror:
        triangles = triangles[:, ::-1] * [1, -1, 1]
    if hole:  # over the ball, from side to side of the top
        middle = triangles.mean(axis=1)
        triangles = triangles[(np.abs(middle[:, 0] - 0.67 * value["9", "G", "stick length"]) > 8) | (middle[:, 2] < 38)]
    path = os.path.join(work, name)
    write_binary(path, triangles @ turn.T + [100, -50, 30])
    return path


def verify(path, size, width, *more):
    code, said = run("verify", os.path.join(demo, "last.json"), path, "--unit", "mm", "--size", size, "--width", width, *more)
    check(not re.search(r"-0\.0+(?!\d)", said), f"no deviation has no sign: {os.path.basename(path)}")
    own = said.partition("against its mate")[0]
    lines = re.findall(r"^(\w[\w ]+?)\s+([\d.]+)\s+([\d.]+)\s+([+-][\d.]+)\s+([\d.]+)\s+(pass|FAIL|inconclusive)", own, re.M)
    return code, said, {m: (float(o), float(u), v) for m, _, _, o, u, v in lines}


# The mate as what it is; of the file's own foot are the scans below, and in the long run a sound one.
coarse, whole_mate, mate = scan("coarse.stl", coarse=True), scan("whole.stl", mirror=True), scan("mate.stl", mirror=True, coarse=True)
picture = os.path.join(work, "off.svg")
code, said, found = verify(whole_mate, "9", "G", "--mirrored", "--picture", picture, "--pair", coarse)
check("against its mate" in said, "left against right")
code, data = run("verify", os.path.join(demo, "last.json"), whole_mate, "--unit", "mm", "--size", "9", "--width", "G", "--mirrored", "--format", "json")
data = json.loads(data)
unlike = [m["measure"] for m in data["measures"] if abs(m["difference_mm"] - found[m["measure"]][0]) > 6e-4 or m["verdict"] != found[m["measure"]][2]]
check(code == 0 and data["verdict"] == "pass" and data["best_fit"]["as_claimed"] and len(data["measures"]) == len(found) > 6 and not unlike,
      f"verify says the same as JSON: {unlike}")
check(data["not_verified"] == ["heel height", "toe spring", "toe thickness", "back height"] and ", ".join(data["not_verified"]) in said,
      f"what is not verified is named: {data['not_verified']}")
form = data["form"]
ends = [form[end]["off_mm"] for end in ("farthest_in", "farthest_out")]
check(not form["look"] and -0.2 < ends[0] < ends[1] < 0.2 and "not judged, lies {:+.2f} to {:+.2f} mm off".format(*ends) in said,
      f"the form's farthest places are told beside the verdict: {ends}")
check(code == 0 and "the last passes" in said, f"a noisy scan of the mate of 9 G passes as that (exit {code})")
check(list(found)[:1] == ["stick length"], "the length comes first")
worst = max(abs(o) for o, _, _ in found.values()) if found else 9
check(worst < 0.15, f"its measures are at most {worst:.3f} mm off")
check(len(xml.dom.minidom.parse(picture).getElementsByTagName("rect")) > 1000, "the deviation picture has its cells")
with open(picture, encoding="utf-8") as file:
    drawn = file.read()
girths = [d for d in re.findall(r'<path d="([^"]+)"/>', drawn) if not d.endswith("Z")]
check(len(girths) == 6 and all(d.count("M") <= 2 for d in girths), "each girth is one line, so that its dashes are even")
check("-0.00" not in drawn, "nothing is -0.00 off")
if LONG:
    code, said, found = verify(scan("scan.stl"), "9", "G", "--pair", mate)
    check(code == 0 and "the last passes" in said and "against its mate" in said, f"a noisy scan of 9 G passes as 9 G (exit {code})")
    check(max(abs(o) for o, _, _ in found.values()) < 0.15, f"and measures as it: {found}")
code, said, found = verify(coarse, "8", "F")
check(code == 1 and "best fit: size 9 width G, off by 0.0" in said, f"stamped 8 F it fails and 9 G is named, which it is (exit {code})")
bumped = scan("bump.stl", bump=0.35)
code, said, found = verify(bumped, "9", "G", "--tolerance", "0.3")
check(code == 1 and found.get("ball girth", (0, 0, ""))[2] == "FAIL" and found["ball girth"][0] > 0.5, f"a bump of 0.35 mm at the ball fails: {found.get('ball girth')}")
out = re.search(r"farthest out ([+-][\d.]+) mm, at (\d+) %", said)
check(bool(out) and 0.25 < float(out[1]) < 0.45 and 62 <= int(out[2]) <= 72 and "Look at it" not in said, f"the form tells where: {out and out[0]}")
check(found.get("seat", (9, 0, ""))[2] == "pass", f"and leaves the seat alone: {found.get('seat')}")
code, said, found = verify(coarse, "9", "G", "--tolerance", "0.2", "--scanner", "0.1")
check(code == 1 and "inconclusive: of a measure" in said, "with a scanner worse than the tolerance nothing is decided")
holed = scan("holed.stl", hole=True)
code, data = run("verify", os.path.join(demo, "last.json"), holed, "--unit", "mm", "--size", "9", "--width", "G", "--format", "json")
data = json.loads(data)
ball = next(m for m in data["measures"] if m["measure"] == "ball girth")
check(code == 1 and ball["verdict"] == "inconclusive" and ball["covered"] < 1 and ball["hidden_mm"] > 0.3 and ball["holes"][0]["on"] == "upper",
      f"what a hole on the ball's line hides is in its uncertainty: {ball}")
check(data["surface"]["not_scanned"] > 0.001 and data["surface"]["holes"] and any("is not scanned, in a hole" in note for note in data["notes"]),
      f"and the hole is told by itself: {data['surface']}")
check(verify(mate, "9", "G")[0] == 3, "a last of the other foot is not judged as this one")

# The set on the style's page.
def report_of(style):
    page = os.path.join(work, "page.html")
    code = subprocess.run([program, "report", style, "--lasts", graded, "--out", page, "--force"], capture_output=True, check=False).returncode
    with open(page, encoding="utf-8") as file:
        return code, file.read()


# A style of two pieces, whose page is sooner made; the lasts are those of its measures all the same.
with open(os.path.join(demo, "style.json"), encoding="utf-8") as file:
    style = json.load(file)
style["pieces"] = style["pieces"][:2]
kept = {piece["name"] for piece in style["pieces"]}
style["seams"] = [seam for seam in style["seams"] if {seam["one"]["piece"], seam["other"]["piece"]} <= kept]
shutil.copytree(demo, os.path.join(work, "other"))
other = os.path.join(work, "other", "style.json")
with open(other, "w", encoding="utf-8") as file:
    json.dump(style, file)
code, page = report_of(other)
shown = json.loads(re.search(r'<script id="data" type="application/json">(.*?)</script>', page, re.S)[1])["lasts"]
check(code in (0, 1) and len(shown["lasts"]) == 4 and "81 sizes and widths have no last" in page and "was made to another" not in page, f"the page shows the set and what is not in it (exit {code})")
digests = {name: digest for name, digest in re.findall(r"<li>([^<]+) <code>([0-9a-f]{64})</code></li>", page)}
for name in ("lasts.json", "outlines.json"):
    with open(os.path.join(graded, name), "rb") as file:
        check(digests.get(name) == hashlib.sha256(file.read()).hexdigest(), f"{name} is among the files that the page is made from")
off = max(abs(mm - value[*name.split(), measure]) for name, rows in shown["lasts"].items() for measure, mm, _ in rows)
check(off < 0.006, f"its measures are those of the set: {off:.4f} mm")
for name, d in re.findall(r'<g data-last="([^"]+)" class="[^"]+"[^>]*><path transform="[^"]+" d="([^"]+)"', page):
    xs, x = [], 0
    for letter, numbers in re.findall("([Ml])([^Ml]*)", d):
        for dx in [int(n) for n in numbers.split()][::2]:
            x = dx if letter == "M" else x + dx
            xs.append(x)
    check(d.count("M") == 1, f"{name} is drawn from the side in one line")
    wide = (max(xs) - min(xs)) / 10
    check(abs(wide - value[*name.split(), "stick length"]) < 0.25, f"{name} is drawn {wide} mm long from the side")
style["measures"]["ball girth"]["per_size"] = "5 mm"
with open(other, "w", encoding="utf-8") as file:
    json.dump(style, file)
code, page = report_of(other)
check(code == 1 and "was made to another ball girth than the style asks, by up to" in page, f"lasts made to other measures fail the page (exit {code})")

print(f"{len(failures)} failures")
sys.exit(1 if failures else 0)
