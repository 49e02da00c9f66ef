"""Prints layer, length and box of every path that GDAL finds in a DXF file; run apart, so that its stderr can be read."""
import sys

from osgeo import ogr

ogr.UseExceptions()
source = ogr.Open(sys.argv[1])
for feature in source.GetLayer(0):
    geometry = feature.GetGeometryRef()
    kind = feature.GetField("SubClasses") or ""
    if geometry is None or "AcDbText" in kind or geometry.GetGeometryName() == "POINT":
        continue
    if "AcDbCircle" in kind or feature.GetField("Layer") == "HOLE":
        continue
    ring = geometry.GetGeometryRef(0) if geometry.GetGeometryName() == "POLYGON" else geometry
    print(feature.GetField("Layer"), ring.Length(), ",".join(f"{v:.9f}" for v in geometry.GetEnvelope()), sep="\t")
