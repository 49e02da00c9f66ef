"""Figures of dies against general-purpose tools.

Two-sided Hausdorff distances against shapely (GEOS) on densely stepped outlines; rule length, area and box of arc outlines
against GDAL's curve geometries and against arcs as ezdxf reckons them from bulges. The outlines are random: star-shaped,
partly bowed. usage: check_die_figures.py PROGRAM
"""
import math
import random
import subprocess
import sys

from ezdxf.math import bulge_to_arc
from osgeo import gdal, ogr
from shapely.geometry import LineString

gdal.SetConfigOption("OGR_ARC_STEPSIZE", "0.05")  # degrees: areas of curve polygons are taken from stepped arcs
STEP = 0.1  # mm between the points given to GEOS


def outline(dice, count, radius):
    squash, ripple = dice.uniform(0.35, 1), dice.uniform(0, 0.2)
    vertices = []
    for i in range(count):
        angle = 2 * math.pi * (i + dice.uniform(-0.3, 0.3)) / count
        r = radius * (1 + dice.uniform(-ripple, ripple))
        bulge = 0.0 if dice.random() < 0.25 else dice.uniform(-0.15, 0.35)
        vertices.append((r * math.cos(angle), squash * r * math.sin(angle), bulge))
    return vertices


def arc_of(a, b):
    """Centre, radius, start angle and signed sweep of the segment a -> b, from ezdxf's arc (always counter-clockwise)."""
    centre, start, end, radius = bulge_to_arc(a[:2], b[:2], a[2])
    sweep = (end - start) % (2 * math.pi)
    if a[2] < 0:
        start, sweep = end, -sweep
    return centre, radius, start, sweep


def stepped(vertices):
    points = []
    for a, b in zip(vertices, vertices[1:] + vertices[:1]):
        if a[2] == 0:
            count = max(1, math.ceil(math.dist(a[:2], b[:2]) / STEP))
            points += [(a[0] + (b[0] - a[0]) * k / count, a[1] + (b[1] - a[1]) * k / count) for k in range(count)]
            continue
        centre, radius, start, sweep = arc_of(a, b)
        count = max(1, math.ceil(radius * abs(sweep) / STEP))
        points += [(centre[0] + radius * math.cos(start + sweep * k / count),
                    centre[1] + radius * math.sin(start + sweep * k / count)) for k in range(count)]
    return points


def gdal_curve(vertices):
    parts = []
    for a, b in zip(vertices, vertices[1:] + vertices[:1]):
        if a[2] == 0:
            parts.append(f"({a[0]!r} {a[1]!r},{b[0]!r} {b[1]!r})")
        else:
            centre, radius, start, sweep = arc_of(a, b)
            middle = start + sweep / 2
            mx, my = centre[0] + radius * math.cos(middle), centre[1] + radius * math.sin(middle)
            parts.append(f"CIRCULARSTRING({a[0]!r} {a[1]!r},{mx!r} {my!r},{b[0]!r} {b[1]!r})")
    return f"COMPOUNDCURVE({','.join(parts)})"


def main(program):
    dice = random.Random(20)
    pairs, singles, feed = [], [], []
    for k in range(24):
        one = outline(dice, dice.randint(6, 24), dice.uniform(10, 60))
        if k % 2:
            sx, sy, dx, dy = dice.uniform(0.97, 1.03), dice.uniform(0.97, 1.03), dice.uniform(-1, 1), dice.uniform(-1, 1)
            other = [(sx * x + dx, sy * y + dy, bulge) for x, y, bulge in one]
        else:
            other = outline(dice, dice.randint(6, 24), dice.uniform(10, 60))
        pairs.append((one, other))
        feed.append(f"H {len(one)} {len(other)}")
        feed += [f"{x!r} {y!r} {bulge!r}" for x, y, bulge in one + other]
    for _ in range(60):
        one = outline(dice, dice.randint(5, 30), dice.uniform(5, 120))
        singles.append(one)
        feed.append(f"F {len(one)}")
        feed += [f"{x!r} {y!r} {bulge!r}" for x, y, bulge in one]
    run = subprocess.run([program], input="\n".join(feed), capture_output=True, text=True, check=True)
    answers = [[float(word) for word in line.split()] for line in run.stdout.splitlines()]
    assert len(answers) == len(pairs) + len(singles), "an answer for every question"

    worst = 0.0
    for (one, other), (value, precision) in zip(pairs, answers):
        a, b = (LineString(stepped(v) + stepped(v)[:1]) for v in (one, other))
        truth = a.hausdorff_distance(b)
        # GEOS sees the points of one against the chords of the other: short by half a step at most, chords off by their bow.
        bow = max(STEP**2 / (8 * arc_of(p, q)[1]) for v in (one, other) for p, q in zip(v, v[1:] + v[:1]) if p[2])
        assert truth - bow <= value + precision, f"{value} is below GEOS's {truth}"
        assert value <= truth + STEP / 2 + bow, f"{value} is above GEOS's {truth}"
        worst = max(worst, abs(value - truth))
    print(f"{len(pairs)} Hausdorff distances, worst difference from GEOS {worst:.5f} mm (its step {STEP} mm)")

    worst = [0.0, 0.0]
    for one, (rule, area, width, height) in zip(singles, answers[len(pairs):]):
        by_ezdxf = sum(math.dist(a[:2], b[:2]) if a[2] == 0 else arc_of(a, b)[1] * abs(arc_of(a, b)[3])
                       for a, b in zip(one, one[1:] + one[:1]))
        assert abs(rule - by_ezdxf) <= 1e-9 * by_ezdxf, (rule, by_ezdxf)
        curve = gdal_curve(one)
        ring = ogr.CreateGeometryFromWkt(curve)
        polygon = ogr.CreateGeometryFromWkt(f"CURVEPOLYGON({curve})")
        assert abs(rule - ring.Length()) <= 1e-8 * rule, (rule, ring.Length())
        # A sector stepped by an angle t is short of its area by t^2 / 6 of it.
        sectors = sum(0.5 * arc_of(p, q)[1]**2 * abs(arc_of(p, q)[3]) for p, q in zip(one, one[1:] + one[:1]) if p[2])
        short = sectors * math.radians(0.05)**2 / 6
        assert abs(area - polygon.GetArea()) <= short + 1e-9 * area, (area, polygon.GetArea())
        x0, x1, y0, y1 = ring.GetEnvelope()
        assert abs(width - (x1 - x0)) <= 1e-7 and abs(height - (y1 - y0)) <= 1e-7, (width, x1 - x0, height, y1 - y0)
        worst = [max(worst[0], abs(rule - ring.Length()) / rule), max(worst[1], abs(area - polygon.GetArea()) / area)]
    print(f"{len(singles)} outlines, worst relative difference from GDAL: rule {worst[0]:.1e}, area {worst[1]:.1e}")


main(sys.argv[1])
