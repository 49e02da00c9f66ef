"""Hostile DXF drawings: name -> (bytes, exit codes that are right, words the message must hold)."""
import struct


def tags(*pairs):
    return "".join(f"{code}\n{value}\n" for code, value in pairs)


def drawing(entities, blocks="", header=""):
    head = tags((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 4)) + header + tags((0, "ENDSEC"))
    body = tags((0, "SECTION"), (2, "BLOCKS")) + blocks + tags((0, "ENDSEC")) if blocks else ""
    return (head + body + tags((0, "SECTION"), (2, "ENTITIES")) + entities + tags((0, "ENDSEC"), (0, "EOF"))).encode("utf-8", "surrogateescape")


def block(name, content):
    return tags((0, "BLOCK"), (8, "0"), (2, name), (70, 0), (10, 0), (20, 0), (3, name)) + content + tags((0, "ENDBLK"), (8, "0"))


def insert(name, *more):
    return tags((0, "INSERT"), (8, "1"), (2, name), (10, 0), (20, 0), *more)


def polyline(points, layer="1", count=None):
    vertices = [pair for x, y in points for pair in ((10, x), (20, y))]
    return tags((0, "LWPOLYLINE"), (8, layer), (90, len(points) if count is None else count), (70, 1), *vertices)


def line(x0, y0, x1, y1, layer="1"):
    return tags((0, "LINE"), (8, layer), (10, x0), (20, y0), (11, x1), (21, y1))


SQUARE = [("0.0", "0.0"), ("90.0", "0.0"), ("90.0", "60.0"), ("0.0", "60.0")]
GOOD = drawing(polyline(SQUARE) + tags((0, "CIRCLE"), (8, "13"), (10, 20), (20, 20), (40, 2)) + line(10, 10, 30, 10, "8"))
BAD_NUMBERS = ["nan", "NaN", "-nan", "inf", "Infinity", "1e400", "-1e999", "12,5", "0x1p3", "1.2.3", "", "--5", "1e", "5 mm", "１２"]
NAMES = {
    "path": "../../escape/me",
    "absolute": "/etc/passwd",
    "backslashes": "..\\..\\me",
    "markup": "<script>alert(1)</script>&\"'",
    "escape sequence": "red \x1b[31m and \x07",
    "direction": "abc\u202ecod.exe",
    "formula": "=HYPERLINK(\"http://example.invalid\",\"x\")",
    "device": "CON",
    "long": "n" * 5000,
    "not UTF-8": "caf\udce9 \udcff",
    "empty": "",
    "blank": "   ",
}


def in_blocks(name):
    return drawing(insert(name), block(name, polyline(SQUARE)))


def named_cases():
    for kind, name in NAMES.items():
        yield f"block name: {kind}", (in_blocks(name), {0, 3}, [])
        yield f"layer name: {kind}", (drawing(polyline(SQUARE, layer=name)), {0, 3, 4}, [])
        yield f"text: {kind}", (drawing(polyline(SQUARE) + tags((0, "TEXT"), (8, "15"), (10, 5), (20, 5), (40, 4), (1, name))), {0, 3}, [])


def number_cases():
    for value in BAD_NUMBERS:
        yield f"number {value!r}", (drawing(polyline([(value, "0.0"), *SQUARE[1:]])), {3}, [])
        yield f"radius {value!r}", (drawing(polyline(SQUARE) + tags((0, "CIRCLE"), (8, "13"), (10, 5), (20, 5), (40, value))), {3}, [])
    yield "code not a number", (GOOD.replace(b"\n90\n4\n", b"\nninety\n4\n"), {3}, [])


def block_cases():
    cycle = block("A", insert("B")) + block("B", insert("C")) + block("C", insert("A"))
    yield "blocks in a circle", (drawing(insert("A"), cycle), {3}, ["contains itself"])
    yield "a block in itself", (drawing(insert("A"), block("A", polyline(SQUARE) + insert("A"))), {3}, ["contains itself"])
    deep = block("B0", polyline(SQUARE)) + "".join(block(f"B{i}", insert(f"B{i - 1}")) for i in range(1, 5000))
    yield "5,000 blocks deep", (drawing(insert("B4999"), deep), {3}, [])
    twice = block("B0", polyline(SQUARE)) + "".join(block(f"B{i}", insert(f"B{i - 1}") * 2) for i in range(1, 60))
    yield "doubled 60 times", (drawing(insert("B59"), twice), {3}, [])
    empty = block("B0", "") + "".join(block(f"B{i}", insert(f"B{i - 1}") * 2) for i in range(1, 60))
    yield "nothing doubled 60 times", (drawing(insert("B59"), empty), {0, 3, 4}, [])
    for counts in ((32767, 32767), (2_000_000_000, 2_000_000_000), (-1, -1)):
        array = insert("A", (70, counts[0]), (71, counts[1]), (44, 1), (45, 1))
        yield f"an array of {counts}", (drawing(array, block("A", polyline(SQUARE))), {0, 3} if counts[0] < 0 else {3}, [])
    for name, content in (("squares", polyline(SQUARE)), ("lines", line(0, 0, 1, 0)), ("circles", tags((0, "CIRCLE"), (8, "13"), (10, 1), (20, 1), (40, 2)))):
        yield f"700 by 700 {name}", (drawing(insert("A", (70, 700), (71, 700), (44, 100), (45, 100)), block("A", content)), {3}, ["budget"])
        yield f"150 by 150 {name}", (drawing(insert("A", (70, 150), (71, 150), (44, 100), (45, 100)), block("A", content)), {0, 3, 4}, [])
    tree = block("B0", line(0, 0, 1, 0)) + "".join(block(f"B{i}", insert(f"B{i - 1}") * 4) for i in range(1, 10))
    yield "lines times 4, 9 times", (drawing(polyline(SQUARE) + insert("B9"), tree), {3}, ["copies"])
    once = "".join(block(f"B{i}", line(0, i, 1, i) * 3) for i in range(20_000))
    yield "20,000 blocks, each there once", (drawing(polyline(SQUARE) + "".join(insert(f"B{i}") for i in range(20_000)), once), {1}, ["1 piece,", "drawn twice", "left out: 59880 more, of 39940 other"])
    yield "an array of nothing", (drawing(insert("A", (70, 32767), (71, 32767)), block("A", "")), {0, 3, 4}, [])
    yield "scale of nothing", (drawing(insert("A", (41, 0), (42, 0)), block("A", polyline(SQUARE))), {0, 3, 4}, [])
    yield "scale beyond reach", (drawing(insert("A", (41, "1e300"), (42, "1e300")), block("A", polyline(SQUARE))), {3, 4}, [])


def bulge_cases():
    for bulge in ("1e-300", "-5e-324", "1e-13"):
        nearly = tags((0, "LWPOLYLINE"), (8, "1"), (90, 4), (70, 1), *[pair for x, y in SQUARE for pair in ((10, x), (20, y), (42, bulge))])
        yield f"bulges of {bulge}", (drawing(nearly), {0}, ["90.0 x 60.0 mm"])


def count_cases():
    for count in (0, 3, 5, 2_000_000_000, -4, 99999999999999999999):
        yield f"a polyline that claims {count} vertices", (drawing(polyline(SQUARE, count=count)), {0, 3}, [])
    knots = [(40, k) for k in (0, 0, 0, 0, 1, 1, 1, 1)]
    poles = [pair for x in range(4) for pair in ((10, 30 * x), (20, x * x))]
    for field, count in ((72, 2_000_000_000), (73, 2_000_000_000), (74, 2_000_000_000), (71, 1_000_000), (71, -3), (72, 1), (73, 0)):
        values = {70: 8, 71: 3, 72: 8, 73: 4, 74: 0, field: count}
        yield f"a spline with {count} in {field}", (drawing(tags((0, "SPLINE"), (8, "1"), *values.items(), *knots, *poles)), {0, 3, 4}, [])


def large_cases():
    yield "one line of 8 MB", (drawing(tags((0, "TEXT"), (8, "15"), (10, 0), (20, 0), (40, 3), (1, "x" * 8_000_000))), {0, 3, 4}, [])
    yield "a number of 1 MB", (drawing(polyline([("9" * 1_000_000, "0.0"), *SQUARE[1:]])), {3}, [])
    yield "2 MB of zeros and line ends", (b"0\n" * 1_000_000, {3}, [])
    yield "1 MB of line ends", (b"\n" * 1_000_000, {3}, [])
    star = "".join(line(0, 0, i % 200 + 1, i // 200 + 1) for i in range(20_000))
    yield "20,000 lines from one place", (drawing(star), {0, 3, 4}, [])
    comb = "".join(line(i, 0, i, 50) for i in range(20_000))
    yield "20,000 lines that meet nowhere", (drawing(comb), {0, 3, 4}, [])
    zigzag = polyline([(i, 100 * (i % 2)) for i in range(100_000)])
    yield "an outline of 100,000 corners that crosses itself", (drawing(zigzag), {0, 3, 4}, [])
    circles = "".join(tags((0, "CIRCLE"), (8, "13"), (10, 0), (20, 0), (40, 2)) for _ in range(20_000))
    yield "20,000 holes in one place", (drawing(polyline(SQUARE) + circles), {0, 3, 4}, [])
    squares = "".join(polyline([(x + i % 100 * 50, y + i // 100 * 50) for x, y in ((0, 0), (9, 0), (9, 9), (0, 9))]) for i in range(5_000))
    yield "5,000 outlines", (drawing(squares), {0, 3, 4}, [])
    nested = "".join(polyline([(-r, -r), (r, -r), (r, r), (-r, r)]) for r in range(1, 3_000))
    yield "3,000 outlines in each other", (drawing(nested), {0, 3, 4}, [])


def binary_cases():
    start = b"AutoCAD Binary DXF\r\n\x1a\0"
    yield "binary: nothing more", (start, {3}, [])
    yield "binary: noise", (start + bytes((i * 37 + 11) % 256 for i in range(50_000)), {3}, [])
    yield "binary: a text that does not end", (start + b"\0\0SECTION" * 5000, {3}, [])
    yield "binary: not a number", (start + struct.pack("<H", 0) + b"SECTION\0" + struct.pack("<Hd", 10, float("nan")), {3}, [])
    yield "binary: a chunk that lies", (start + struct.pack("<HB", 310, 255) + b"ab", {3}, [])


def line_end_cases():
    mixed = b"".join(part + (b"\r\n", b"\n")[i % 2] for i, part in enumerate(GOOD.split(b"\n")[:-1]))
    yield "mixed line ends", (mixed, {0}, ["1 piece,"])
    yield "carriage returns only", (GOOD.replace(b"\n", b"\r"), {0, 3}, [])
    yield "a byte order mark", (b"\xef\xbb\xbf" + GOOD, {0, 3}, [])
    yield "the good one", (GOOD, {0}, ["1 piece,"])


def cases():
    for part in (number_cases, block_cases, bulge_cases, count_cases, large_cases, binary_cases, line_end_cases, named_cases):
        yield from part()
