"""A graded style as its written files tell it: net lines and edges from the DXF files, named points from the grade sheet."""
import csv
import json

from shapely.geometry import LineString, LinearRing, Point
from shapely.ops import substring

from check_demo_allowances import outlines, outlines_in


class GradedStyle:
    def __init__(self, style_file, folder):
        self.folder = folder
        self.style = json.loads(style_file.read_text(encoding="utf-8"))
        self.pieces = {p["name"]: p for p in self.style["pieces"]}
        with open(folder / "grade-sheet.csv", encoding="utf-8") as sheet:
            self.points = {tuple(r[:4]): (float(r[4]), float(r[5])) for r in list(csv.reader(sheet))[1:]}
        self._outlines = {}

    def drawing(self, piece, size, width):
        return self.folder / "pieces" / piece / f"{piece} {size} {width}.dxf"

    def keep_outlines(self, piece, size, width, space):
        """Of a drawing that is read already."""
        self._outlines[piece, size, width] = outlines_in(space)

    def outlines(self, piece, size, width):
        key = (piece, size, width)
        if key not in self._outlines:
            self._outlines[key] = outlines(self.drawing(*key))
        return self._outlines[key]

    def net_ring(self, piece, size, width):
        lines = self.outlines(piece, size, width)
        return LinearRing(lines.get("NET_LINE", lines["CUT"]))

    def edge(self, piece, edge, size, width):
        """The stretch of the counter-clockwise net outline from the edge's first corner to its last."""
        spec = next(e for e in self.pieces[piece]["edges"] if e["name"] == edge)
        if edge == self.pieces[piece].get("fold"):
            return LineString([self.points[(piece, spec[c], size, width)] for c in ("from", "to")])
        ring = self.net_ring(piece, size, width)
        start, end = (Point(self.points[(piece, spec[c], size, width)]) for c in ("from", "to"))
        assert ring.distance(start) < 0.01 and ring.distance(end) < 0.01, (piece, edge)
        a, b = ring.project(start), ring.project(end)
        if b > a:
            return substring(ring, a, b)
        return LineString(list(substring(ring, a, ring.length).coords) + list(substring(ring, 0, b).coords)[1:])
