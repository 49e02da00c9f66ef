"""Cut lines of a graded style against shapely (GEOS), from the written DXF files alone.

Where a piece has one allowance all round its cut line is compared with the mitred buffer of its net line. For every piece each point of
the cut line must be outside the net line and no further from it than the widest mitre, and its least distance must be one that the style
gives to an edge of the piece, except at corners. usage: check_demo_allowances.py STYLE.json FOLDER
"""
import json
import math
import pathlib
import sys

import ezdxf
from shapely.geometry import JOIN_STYLE, LinearRing, MultiPoint, Point, Polygon

CHORD = 0.002  # mm, of the flattened arcs


def flattened(vertices):
    points = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        points.append((x0, y0))
        if bulge == 0:
            continue
        sweep = 4 * math.atan(bulge)
        chord = math.dist((x0, y0), (x1, y1))
        radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
        reach = (1 - bulge * bulge) / (4 * bulge)
        cx, cy = (x0 + x1) / 2 - (y1 - y0) * reach, (y0 + y1) / 2 + (x1 - x0) * reach
        start = math.atan2(y0 - cy, x0 - cx)
        count = max(1, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - CHORD / radius)) if radius > CHORD else 1)))
        points += [(cx + radius * math.cos(start + sweep * k / count), cy + radius * math.sin(start + sweep * k / count)) for k in range(1, count)]
    return points


def corners_of(points):
    """Where the flattened outline turns by more than 10 degrees: its arcs are far finer."""
    for a, b, c in zip(points[-1:] + points, points, points[1:] + points[:1]):
        turn = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
        if abs(math.remainder(turn, 2 * math.pi)) > math.radians(10):
            yield b


def farthest(one, other):
    """Of the vertices of each ring from the other ring. (hausdorff_distance of GEOS 3.11 goes wrong on some rings.)"""
    return max(max(a.distance(Point(p)) for p in b.coords) for a, b in ((one, other), (other, one)))


def outlines(path):
    return outlines_in(ezdxf.readfile(path).modelspace())


def outlines_in(space):
    found = {}
    for line in space.query("LWPOLYLINE"):
        if line.dxf.layer in ("CUT", "NET_LINE"):
            found[line.dxf.layer] = flattened([(x, y, b) for x, y, b in line.get_points("xyb")])
    return found


def main(style_file, out):
    style = json.loads(pathlib.Path(style_file).read_text())
    uniform = compared = beside = 0
    worst_buffer = worst_distance = 0.0
    for piece in style["pieces"]:
        fold = piece.get("fold")
        widths = [[float(e.get("allowance", 0))] + [float(w) for w in e.get("allowance_from", {}).values()] for e in piece["edges"] if e["name"] != fold]
        folder = pathlib.Path(out) / "pieces" / piece["name"]
        files = sorted(folder.glob("*.dxf"))
        assert files, f"no drawings in {folder}"
        for file in files[:: max(1, len(files) // 4)]:
            lines = outlines(file)
            if "NET_LINE" not in lines:
                assert not any(any(w) for w in widths), f"{file}: no net line although the style gives allowances"
                continue
            net, cut = Polygon(lines["NET_LINE"]), Polygon(lines["CUT"])
            assert net.is_valid and cut.is_valid, file
            compared += 1
            assert net.difference(cut.buffer(0.004)).is_empty, f"{file}: the cut line runs inside the net line"
            ring = LinearRing(lines["NET_LINE"])
            corners = MultiPoint(list(corners_of(lines["NET_LINE"])))
            given = sorted({w for edge in widths for w in edge})
            points = lines["CUT"]
            for a, b in zip(points, points[1:] + points[:1]):
                middle = Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
                d = ring.distance(middle)
                assert d <= 4 * max(given) + 0.01, f"{file}: {d:.3f} mm from the net line"
                off = min(abs(d - w) for w in given)
                # Beside a corner the cut line may run on from either edge: not looked at here.
                if off < 0.02 and (corners.is_empty or corners.distance(middle) > 1.5 * max(given)):
                    beside += 1
                    worst_distance = max(worst_distance, off)
            if len(given) == 1 and given[0] > 0:
                uniform += 1
                # A smooth outline is rounded, not mitred: the mitres of GEOS run astray on hundreds of nearly straight joints.
                joined = {"join_style": JOIN_STYLE.mitre, "mitre_limit": 4.0} if not corners.is_empty else {"resolution": 256}
                buffer = net.buffer(given[0], **joined)
                away = farthest(Polygon(points).exterior, buffer.exterior)
                assert away < 0.01, f"{file}: {away:.4f} mm from the buffer of GEOS"
                worst_buffer = max(worst_buffer, away)
    print(f"{compared} pieces, {uniform} with one allowance: at most {worst_buffer:.4f} mm from GEOS buffers; "
          f"{beside} chords beside their edges, at most {worst_distance:.4f} mm off a stated allowance")
    assert uniform >= 4 and compared >= 50 and beside > 5000 and worst_distance < 0.01


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
