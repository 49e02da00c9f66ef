"""Hostile tape readings: name -> (bytes, exit codes that are right, words to be said)."""
HEADER = b"id,size,width,hand,measure,value,unit\n"
ROW = b"L1,8,F,left,ball girth,247.1,mm\n"
GOOD = HEADER + ROW + b"L1,8,F,right,ball girth,246.9,mm\n"


def row(value, unit=b"mm", name=b"L1", measure=b"ball girth"):
    return HEADER + b",".join([name, b"8", b"F", b"left", measure, value, unit]) + b"\n"


def cases():
    yield "good", (GOOD, {0, 1}, [])
    for value in (b"nan", b"inf", b"-inf", b"1e400", b"", b"0x10", b"24 7", b"247.1mm", b"-247", b"2471", "２４７".encode(), b"\xff", b"=247", b"+247.1"):
        yield f"value {value!r}", (row(value), {0, 1, 3}, [])
    yield "a decimal comma, quoted", (row(b'"247,1"'), {0, 1}, [])
    yield "two decimal commas, quoted", (row(b'"2,47,1"'), {3}, ["comma"])
    yield "a decimal comma", (row(b"247,1"), {3}, [])
    for name in (b"=cmd|' /C calc'!A0", b"@SUM(1)", b"<script>", b"\x1b[31m", "\u202e".encode(), b"../../x", b"x" * 5000, b"\xff\xfe", b"a\0b"):
        yield f"id {name[:20]!r}", (row(b"247.1", name=name), {0, 1, 3}, [])
        yield f"measure {name[:20]!r}", (row(b"247.1", measure=name), {3}, [])
    yield "no header", (ROW * 3, {3}, [])
    yield "only the header", (HEADER, {3}, ["no reading"])
    yield "a column twice", (b"id,id,size,width,hand,measure,value,unit\n" + ROW, {3}, [])
    yield "a column missing", (b"id,size,width,hand,measure,value\n" + ROW, {3}, [])
    yield "semicolons", (GOOD.replace(b",", b";"), {0, 1}, [])
    yield "tabs, named", (b"sep=\t\n" + GOOD.replace(b",", b"\t"), {0, 1}, [])
    yield "a delimiter that is not there", (b"sep=|\n" + GOOD, {3}, [])
    yield "mixed line ends", (HEADER.replace(b"\n", b"\r\n") + ROW + b"L1,8,F,right,ball girth,246.9,mm\r\n", {0, 1}, [])
    yield "carriage returns only", (GOOD.replace(b"\n", b"\r"), {3}, [])
    yield "a quote that does not close", (HEADER + b'"L1,8,F,left,ball girth,247.1,mm\n' + ROW, {3}, [])
    yield "10,000 fields", (HEADER + b"," * 10_000 + b"\n", {3}, [])
    yield "1 MB of quotes", (HEADER + b'"' * 1_000_000, {3}, [])
    yield "200,000 blank lines", (b"\n" * 200_000, {3}, [])
    yield "50,000 bad rows", (HEADER + b"x\n" * 50_000, {3}, [])
    yield "30,000 readings", (HEADER + b"".join(b"L%d,8,F,left,ball girth,247.1,mm\n" % i for i in range(30_000)), {0, 1}, [])
    yield "the same reading 20,000 times", (HEADER + ROW * 20_000, {3}, ["its own id"])
    whole = [i for i, byte in enumerate(GOOD) if byte == ord("\n")]
    for cut in range(1, len(GOOD) - 1):
        # At a line end, or one byte before it, the rows that are there are whole; a value cut short is not seen, but
        # the unit that follows it is missing.
        if cut not in whole and cut - 1 not in whole:
            yield f"cut off after {cut} bytes", (GOOD[:cut], {3}, [])
