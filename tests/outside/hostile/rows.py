"""Hostile tape readings: name -> (bytes, exit codes that are right, words to be said)."""
import io
import zipfile

HEADER = b"id,size,width,hand,measure,value,unit\n"
ROW = b"L1,8,F,left,ball girth,247.1,mm\n"
GOOD = HEADER + ROW + b"L1,8,F,right,ball girth,246.9,mm\n"


def row(value, unit=b"mm", name=b"L1", measure=b"ball girth"):
    return HEADER + b",".join([name, b"8", b"F", b"left", measure, value, unit]) + b"\n"


TYPES = "<Types xmlns='http://schemas.openxmlformats.org/package/2006/content-types'/>"
BOOK = "<workbook xmlns:r='r'><sheets><sheet name='a' sheetId='1' r:id='r1'/></sheets></workbook>"
RELATIONS = "<Relationships><Relationship Id='r1' Target='worksheets/sheet1.xml'/></Relationships>"


def sheet(*rows):
    cells = lambda row: "".join(f"<c t='inlineStr'><is><t>{text}</t></is></c>" for text in row)
    return "<worksheet><sheetData>" + "".join(f"<row>{cells(row)}</row>" for row in rows) + "</sheetData></worksheet>"


def workbook(tab, packed=zipfile.ZIP_DEFLATED, **others):
    buffer = io.BytesIO()
    parts = {"[Content_Types].xml": TYPES, "xl/workbook.xml": BOOK, "xl/_rels/workbook.xml.rels": RELATIONS, "xl/worksheets/sheet1.xml": tab}
    with zipfile.ZipFile(buffer, "w", packed) as archive:
        for name, text in {**parts, **others}.items():
            archive.writestr(zipfile.ZipInfo(name), text, packed)
    return buffer.getvalue()


def workbooks():
    header, row = HEADER.decode().strip().split(","), ROW.decode().strip().split(",")
    good = sheet(header, row, [*row[:3], "right", *row[4:]])
    whole = workbook(good)
    yield "good", (whole, {0, 1}, [])
    yield "stored, not packed", (workbook(good, zipfile.ZIP_STORED), {0, 1}, [])
    for cut in range(1, len(whole), 23):
        yield f"cut off after {cut} bytes", (whole[:cut], {3}, [])
    for at in range(0, len(whole), 17):
        yield f"byte {at} changed", (whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1:], {0, 1, 3}, [])
    bomb = sheet(header, row, *[[" " * 1000] * 10] * 10_000)
    yield "100 MB of blanks", (workbook(bomb), {3}, ["64 MB"])
    yield "a text over and over", (workbook(sheet(header, *[["x" * 900] * 7] * 12_000)), {3}, ["64 MB"])
    yield "100,000 rows of one cell", (workbook(sheet(header).replace("</sheetData>", "<row><c><v>1</v></c></row>" * 100_000 + "</sheetData>")), {0, 1, 3}, [])
    entities = "<!DOCTYPE w [<!ENTITY a 'aaaaaaaaaa'>" + "".join(f"<!ENTITY {chr(98 + i)} '{('&' + chr(97 + i) + ';') * 10}'>" for i in range(9)) + "]>"
    yield "entities in entities", (workbook(entities + sheet(header, ["&j;"])), {3}, ["document type"])
    yield "elements 100,000 deep", (workbook("<a>" * 100_000 + "</a>" * 100_000), {3}, ["deep"])
    yield "no tabs", (workbook(good, **{"xl/workbook.xml": "<workbook/>"}), {3}, ["0 tabs"])
    yield "relations that lead nowhere", (workbook(good, **{"xl/_rels/workbook.xml.rels": "<Relationships/>"}), {3}, [])
    yield "rows out of order", (workbook(good.replace("<row>", "<row r='9'>", 1).replace("<row>", "<row r='3'>")), {3}, ["order"])
    yield "a row beyond all", (workbook(good.replace("<row>", "<row r='18446744073709551615'>", 1)), {0, 1, 3}, [])
    yield "cells out of order", (workbook(sheet(header).replace("<c ", "<c r='C1' ")), {3}, ["order"])
    yield "a text that is not there", (workbook(good.replace("t='inlineStr'><is><t>8</t></is>", "t='s'><v>7</v>")), {3}, ["text"])
    yield "a picture's bytes", (workbook("\x89PNG\r\n"), {3}, ["broken"])
    yield "a document of words", (workbook(good).replace(b"xl/workbook.xml", b"word/document.xml"[:15]), {3}, [])


def cases():
    for name, case in workbooks():
        yield f"workbook, {name}", case
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
