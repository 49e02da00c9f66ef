"""Prints file, layer, length and box of every path that GDAL finds in DXF files; run apart, so that what it says on stderr, of which file, can
be read."""
import sys

from osgeo import gdal, ogr

ogr.UseExceptions()
gdal.PushErrorHandler(lambda kind, number, words: print(name, words, sep="\t", file=sys.stderr))
for name in sys.argv[1:]:
    source = ogr.Open(name)
    for feature in source.GetLayer(0):
        geometry = feature.GetGeometryRef()
        kind = feature.GetField("SubClasses") or ""
        if geometry is None or "AcDbText" in kind or geometry.GetGeometryName() == "POINT":
            continue
        if "AcDbCircle" in kind or feature.GetField("Layer") == "HOLE":
            continue
        ring = geometry.GetGeometryRef(0) if geometry.GetGeometryName() == "POLYGON" else geometry
        print(name, feature.GetField("Layer"), ring.Length(), ",".join(f"{v:.9f}" for v in geometry.GetEnvelope()), sep="\t")
