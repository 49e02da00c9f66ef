"""Runs the program on a style, reads what it wrote and says how far two sets are from each other, in mm."""
import math
import pathlib
import re
import shutil
import subprocess

import numpy

FAR = 1e9  # what has no partner


class Graded:
    """One run of `grade`: exit code, failed checks, what it said, and the files of the set."""

    def __init__(self, program, style, out, options=()):
        shutil.rmtree(out, ignore_errors=True)
        run = subprocess.run([program, "grade", str(style), "--out", str(out), "--pictures", "none", "--sheets", "none", *options],
                             capture_output=True, text=True, timeout=300, check=False)
        self.program, self.style = program, style
        self.code, self.said, self.folder = run.returncode, run.stdout + run.stderr, pathlib.Path(out)
        self.failed = sorted({line[7:23].strip() for line in run.stdout.splitlines() if line.startswith("  FAIL ")})

    @property
    def made(self):
        return self.code in (0, 1)

    def told(self, check):
        """The greatest figure, mm, that `check` tells under this name."""
        run = subprocess.run([self.program, "check", str(self.style), "--all"], capture_output=True, text=True, timeout=300, check=False)
        return max((float(mm) for mm in re.findall(rf"^.{{7}}{check}  .*? ([0-9.]+) mm", run.stdout, re.MULTILINE)), default=0.0)

    def piece(self, name, size, width):
        path = self.folder / "pieces" / name / f"{name} {size} {width}.dxf"
        return read_dxf(path) if path.exists() else None


def read_dxf(path):
    """{layer: [entity]}: ("path", closed, vertices (n x 3: x, y, bulge)), ("circle", centre, radius), ("text", place, angle, words)."""
    lines = path.read_text(encoding="utf-8").split("\n")
    at = lines.index("ENTITIES") + 1
    codes, values = lines[at::2], lines[at + 1::2]
    out, kind, tags = {}, None, []

    def done():
        if kind not in ("LWPOLYLINE", "CIRCLE", "TEXT"):
            assert kind in (None, "ENDSEC", "SECTION", "ENDTAB", "EOF", "DICTIONARY"), f"{path}: {kind}"
            return
        get = dict(tags)
        if kind == "LWPOLYLINE":
            vertices = []
            for code, value in tags:
                if code == "10":
                    vertices.append([float(value), 0.0, 0.0])
                elif code == "20":
                    vertices[-1][1] = float(value)
                elif code == "42":
                    vertices[-1][2] = float(value)
            entity = ("path", bool(int(get.get("70", "0")) & 1), numpy.array(vertices))
        elif kind == "CIRCLE":
            entity = ("circle", complex(float(get["10"]), float(get["20"])), float(get["40"]))
        else:
            entity = ("text", complex(float(get["10"]), float(get["20"])), float(get.get("50", 0)), get["1"])
        out.setdefault(get["8"], []).append(entity)

    for code, value in zip(codes, values):
        code = code.strip()
        if code == "0":
            done()
            kind, tags = value.strip(), []
            if kind == "ENDSEC":
                break
        else:
            tags.append((code, value.strip()))
    return out


def transformed(drawing, motion):
    """The drawing after a Motion; words stay readable, so of mirrored ones only the place is kept."""
    if motion is None:
        return drawing
    out = {}
    for layer, entities in drawing.items():
        for entity in entities:
            if entity[0] == "path":
                z = entity[2][:, 0] + 1j * entity[2][:, 1]
                z = motion.turn * (z.conj() if motion.mirrored else z) + motion.shift
                entity = ("path", entity[1], numpy.column_stack([z.real, z.imag, -entity[2][:, 2] if motion.mirrored else entity[2][:, 2]]))
            elif entity[0] == "circle":
                entity = ("circle", motion(entity[1]), entity[2])
            else:
                entity = ("text", motion(entity[1]), None if motion.mirrored else entity[2] + math.degrees(motion.angle), entity[3])
            out.setdefault(layer, []).append(entity)
    return out


def dense(path, per_arc=4):
    """Points of a path: its vertices and some between, exactly on its arcs."""
    _, closed, v = path
    a, b = v if closed else v[:-1], numpy.roll(v, -1, axis=0) if closed else v[1:]
    p, q, bulge = a[:, 0] + 1j * a[:, 1], b[:, 0] + 1j * b[:, 1], a[:, 2]
    t = numpy.arange(per_arc) / per_arc
    s = numpy.where(numpy.abs(bulge) < 1e-9, 1e-9, bulge)[:, None]
    # Along the arc by equal angles: the chord's parameter and the bow at each.
    turn = 4 * numpy.arctan(s)
    c = ((p + q) / 2 + (q - p) / 2 * 1j * (1 - s[:, 0] ** 2) / (2 * s[:, 0]))[:, None]
    arc = c + (p[:, None] - c) * numpy.exp(1j * turn * t)
    line = p[:, None] + (q - p)[:, None] * t
    points = numpy.where(numpy.abs(bulge[:, None]) < 1e-7, line, arc).ravel()
    return points if closed else numpy.append(points, q[-1])


def to_path(points, path):
    """Greatest distance of the points from the path, exact to its arcs."""
    _, closed, v = path
    a, b = v if closed else v[:-1], numpy.roll(v, -1, axis=0) if closed else v[1:]
    p, q, bulge = (a[:, 0] + 1j * a[:, 1]), (b[:, 0] + 1j * b[:, 1]), a[:, 2]
    if len(p) == 0:
        return float(numpy.max(numpy.abs(points - (v[0, 0] + 1j * v[0, 1]))))
    d = q - p
    w = points[:, None] - p
    length2 = numpy.maximum(numpy.abs(d) ** 2, 1e-30)
    t = numpy.clip((w * d.conj()).real / length2, 0, 1)
    best = numpy.abs(w - t * d)
    curved = numpy.abs(bulge) > 1e-7
    if curved.any():
        p, q, s = p[curved], q[curved], bulge[curved]
        c = (p + q) / 2 + (q - p) / 2 * 1j * (1 - s * s) / (2 * s)
        r = numpy.abs(p - c)
        sweep = 4 * numpy.arctan(s)
        w = points[:, None] - c
        angle = numpy.angle(w / (p - c)) * numpy.sign(s)
        angle = numpy.where(angle < -1e-12, angle + 2 * numpy.pi, angle)
        on = angle <= numpy.abs(sweep)
        ends = numpy.minimum(numpy.abs(points[:, None] - p), numpy.abs(points[:, None] - q))
        best[:, curved] = numpy.where(on, numpy.abs(numpy.abs(w) - r), ends)
    return float(best.min(axis=1).max())


def path_gap(one, other):
    """Hausdorff distance of two paths, sampled: 0 exactly for the same vertices from another start."""
    if one[1] != other[1]:
        return FAR
    a, b = one[2], other[2]
    if a.shape == b.shape:
        same = numpy.abs(a - b)
        if same[:, :2].max() < 1e-6 and same[:, 2].max() < 1e-6:
            return float(same[:, :2].max())
    return max(to_path(dense(one), other), to_path(dense(other), one))


def entity_gap(one, other):
    if one[0] != other[0]:
        return FAR
    if one[0] == "path":
        return path_gap(one, other)
    if one[0] == "circle":
        return abs(one[1] - other[1]) + abs(one[2] - other[2])
    if one[3] != other[3]:
        return FAR
    turn = 0.0 if None in (one[2], other[2]) else abs((one[2] - other[2] + 180) % 360 - 180)
    return abs(one[1] - other[1]) + math.radians(turn) * 20.0  # as far as the end of a word moves


def middle(entity):
    return complex(*entity[2][:, :2].mean(axis=0)) if entity[0] == "path" else entity[1]


def drawing_gap(one, other, skip=()):
    """(distance, layer) of the worst between two drawings; each thing is paired with the nearest of its kind."""
    worst = (0.0, "")
    for layer in sorted(set(one) | set(other)):
        kept = lambda drawing: [e for e in drawing.get(layer, []) if [layer, e[0]] not in skip]
        mine, theirs = kept(one), kept(other)
        if len(mine) != len(theirs):
            return (FAR, f"{layer}: {len(mine)} and {len(theirs)} things")
        for entity in mine:
            order = sorted(range(len(theirs)), key=lambda i: abs(middle(theirs[i]) - middle(entity)))[:6]
            gaps = []
            for i in order:
                gaps.append((entity_gap(entity, theirs[i]), i))
                if gaps[-1][0] < 0.005:
                    break
            gap, i = min(gaps)
            theirs.pop(i)
            worst = max(worst, (gap, layer))
    return worst


def sets_gap(base, changed, cells, pieces, motion=None, names=None, skip=()):
    """The worst (distance, where) between two sets over pieces of the first; `cells`: [cell of one, of the other]."""
    worst = (0.0, "")
    for piece in pieces:
        there = (names or {}).get(piece, piece)
        for (size, width), cell in cells:
            one, other = base.piece(piece, size, width), changed.piece(there, *cell)
            where = f"{piece} {size} {width}"
            if one is None or other is None:
                return (FAR, f"{where}: {'both' if one is other else 'one'} not written")
            gap, layer = drawing_gap(transformed(one, motion), other, skip)
            worst = max(worst, (gap, f"{where}, {layer}"))
    return worst


def refusal(said):
    """The kind of a refusal: its words without numbers, names and places."""
    lines = [line for line in said.splitlines() if line.strip()]
    text = lines[0] if lines else "silent"
    for line in lines:
        if "error" in line.lower() or ":" in line:
            text = line
            break
    text = re.sub(r"/\S+", "", text)
    return re.sub(r"-?\d+(\.\d+)?", "#", text)[:160]


