#!/usr/bin/python3
"""What a user would script today from general parts: numpy for the map, shapely for the allowance, ezdxf for the file.

python3 scripted_pipeline.py FOLDER PIECES: the outlines of the demo's drawings, flattened at 0.01 mm, through one matrix
product a piece (as many basis fields as the program has), a 5 mm mitred buffer, and one DXF with a closed LWPOLYLINE each.
No arcs, no rules, no checks. Prints the time for one piece and for 8,000.
"""
import pathlib
import sys
import time

import ezdxf
import ezdxf.path
import numpy
import shapely.geometry

DEMO = pathlib.Path(__file__).resolve().parents[2] / "demo-patterns" / "cindergarth"
FIELDS = 20  # basis fields of a forme
folder = pathlib.Path(sys.argv[1])
count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
folder.mkdir(parents=True, exist_ok=True)

outlines = []
for file in ("shell.dxf", "bottom.dxf"):
    for block in ezdxf.readfile(DEMO / file).blocks:
        found = [e for e in block if e.dxf.layer == "1" and e.dxftype() in ("LINE", "ARC", "SPLINE", "LWPOLYLINE", "POLYLINE")]
        points = [p for e in found for p in ezdxf.path.make_path(e).flattening(0.01)]
        hull = shapely.geometry.MultiPoint([(p.x, p.y) for p in points]).convex_hull if points else None
        if hull is not None and hull.geom_type == "Polygon":
            # Chaining the parts in order is left out, in favour of the script: as many points, on a simple outline.
            ring = shapely.geometry.LineString(hull.exterior.coords)
            outlines.append(numpy.array([ring.interpolate(i / len(points), normalized=True).coords[0] for i in range(len(points))]))
random = numpy.random.default_rng(1)
basis = [random.normal(scale=0.01, size=(outline.size, FIELDS)) for outline in outlines]

started = time.perf_counter()
for i in range(count):
    k = i % len(outlines)
    graded = outlines[k] + (basis[k] @ random.normal(size=FIELDS)).reshape(-1, 2) * 0.01
    cut = shapely.geometry.Polygon(graded).buffer(5.0, join_style=2, mitre_limit=4.0)
    document = ezdxf.new("R2000")
    document.modelspace().add_lwpolyline(list(cut.exterior.coords)[:-1], close=True)
    document.saveas(folder / f"{i}.dxf")
took = time.perf_counter() - started
print(f"scripted pipeline: {1000 * took / count:.2f} ms a piece ({sum(map(len, outlines)) / len(outlines):.0f} points each), {8000 * took / count:.0f} s for 8,000, "
      f"processor time {8000 * time.process_time() / count:.0f} s")
