"""Hostile STEP and STL files: name -> (bytes, exit codes that are right, words to be said)."""
import math
import re
import struct


def tetrahedron(size=100.0):
    a, b, c, d = (0, 0, 0), (size, 0, 0), (0, size, 0), (0, 0, size)
    return [(a, c, b), (a, b, d), (a, d, c), (b, c, d)]


def binary_stl(triangles, count=None):
    body = b"".join(struct.pack("<12fH", 0, 0, 0, *(x for corner in t for x in corner), 0) for t in triangles)
    return bytes(80) + struct.pack("<I", len(triangles) if count is None else count) + body


def ascii_stl(triangles):
    facets = "".join("facet normal 0 0 0\nouter loop\n" + "".join("vertex {} {} {}\n".format(*c) for c in t) + "endloop\nendfacet\n" for t in triangles)
    return ("solid x\n" + facets + "endsolid x\n").encode()


def stl_cases():
    good = tetrahedron()
    for value in (math.nan, math.inf, -math.inf, 1e30, -3e38):
        bad = [((value, 0, 0), *good[0][1:]), *good[1:]]
        yield f"binary with {value}", (binary_stl(bad), {3}, [])
        yield f"ASCII with {value}", (ascii_stl(bad), {3}, [])
    for count in (0, 3, 5, 2**31, 2**32 - 1):
        yield f"binary that claims {count} triangles", (binary_stl(good, count), {3}, [])
    yield "ASCII with a decimal comma", (ascii_stl(good).replace(b"100.0", b"100,0"), {3}, [])
    yield "ASCII that does not end", (ascii_stl(good)[:-11], {3}, [])
    yield "ASCII cut in a triangle", (ascii_stl(good)[:150], {3}, [])
    yield "5 MB of solid", (b"solid " * 800_000, {3}, [])
    yield "flat triangles only", (binary_stl([((1, 1, 1),) * 3] * 50), {3, 4}, [])
    yield "a tetrahedron", (binary_stl(good), {1, 3, 4}, [])


def large_scan():
    large = [((0, i % 90, 0), (250, i % 70, 90), (250, 0, i % 80)) for i in range(5000)]
    yield "5,000 triangles as large as the last", (binary_stl(large), {3}, ["too many"])


def step_cases(good):
    yield "cut in half", (good[:len(good) // 2], {3}, ["END-ISO"])
    yield "cut in half with an end", (good[:len(good) // 2] + b"\nENDSEC;\nEND-ISO-10303-21;\n", {3, 4}, [])
    yield "no data", (good[:good.index(b"DATA;")] + b"DATA;\nENDSEC;\nEND-ISO-10303-21;\n", {3, 4}, [])
    yield "only the name", (b"ISO-10303-21;\nEND-ISO-10303-21;\n", {3, 4}, [])
    yield "every number not one", (good.replace(b".", b".nan"), {3, 4}, [])
    yield "references to nothing", (good.replace(b"(#1", b"(#9"), {3}, ["not in it"])
    middle = good.index(b"\n#", len(good) // 2)
    yield "an entity taken out of the middle", (good[:middle] + good[good.index(b";\n", middle) + 1:], {3}, ["not in it"])
    yield "a reference to itself", (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=ADVANCED_FACE('',(#1),#1,.T.);\n#2=MANIFOLD_SOLID_BREP('',#2);\nENDSEC;\nEND-ISO-10303-21;\n", {3, 4}, [])
    yield "10,000 brackets", (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=A(" + b"(" * 10_000 + b")" * 10_000 + b");\nENDSEC;\nEND-ISO-10303-21;\n", {3, 4}, [])
    yield "a text that does not close", (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=A('" + b"x" * 1_000_000 + b"END-ISO-10303-21;\n", {3, 4}, [])
    # Numbers that made the kernel read or triangulate for minutes.
    poles = [match.end() for match in re.finditer(rb"CARTESIAN_POINT\('',\(", good)]
    for number, codes in ((b"1.E308", {3}), (b"1.E30", {3}), (b"9.E8", {4}), (b"1.E6", {4})):
        place = poles[len(poles) // 2]
        yield f"a pole at {number.decode()}", (good[:place] + number + good[good.index(b",", place):], codes, [])
    yield "noise", (b"ISO-10303-21;\n" + bytes((i * 37 + 11) % 256 for i in range(100_000)) + b"END-ISO-10303-21;\n", {3, 4}, [])
