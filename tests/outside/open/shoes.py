"""Drawings to start from: an invented women's court and an invented child's sandal, each piece anywhere on its sheet, and the
demo's own drawings with all names taken out."""
import cmath
import math

import ezdxf

# A piece: where it starts, then lines (x, y) and cubics (x, y, x, y, x, y).
def _court():
    heel, toe, point, foot, top, back = (0, 0), (248, 12), (184, 40), (105, -3), (118, 32), (3, 56)
    away = complex(point[0] - toe[0], point[1] - toe[1])
    across = away / abs(away) * 1j
    throat = (point[0] + 14 * across.real, point[1] + 14 * across.imag, 150, 29, *top)
    vamp = [point, throat, foot, (150, -10, toe[0] + 20 * across.real, toe[1] + 20 * across.imag, *toe)]
    quarter = [(30, -6, 75, -4, *foot), top, (90, 34.6, 32, 55, *back), (1.55, 40, -3, 15, *heel)]
    return {"VAMP": (toe, vamp, (170, 8)), "QUARTER OUTSIDE": (heel, quarter, (30, 22)), "QUARTER INSIDE": (heel, quarter, (30, 22)),
            "VAMP LINING": (toe, vamp, (170, 8)), "QUARTER LINING": (heel, quarter, (30, 22))}


def _sole(scale, grown):
    def out(x, y):
        way = complex(x - 120, y)
        at = 120 + (1 + grown / scale / abs(way)) * way
        return at.real * scale, at.imag * scale
    return (out(0, 0), [(*out(0, -30), *out(60, -24), *out(170, -38)), (*out(215, -47), *out(246, -30), *out(246, 0)),
                        (*out(246, 34), *out(200, 37), *out(156, 36)), (*out(80, 34), *out(0, 33), *out(0, 0))], (70 * scale, 5 if grown == 0 else -8))


def _sandal():
    heel, toe, point, foot, top, back = (0, 0), (168, 11), (122, 44), (70, -2), (76, 27), (2, 40)
    away = complex(point[0] - toe[0], point[1] - toe[1])
    across = away / abs(away) * 1j
    front = [point, (point[0] + 10 * across.real, point[1] + 10 * across.imag, 98, 24, *top), foot, (102, -7, toe[0] + 14 * across.real, toe[1] + 14 * across.imag, *toe)]
    quarter = [(20, -4, 50, -3, *foot), top, (58, 30, 22, 41, *back), (1, 28, -2, 11, *heel)]
    return {"FRONT": (toe, front, (120, 8)), "QUARTER": (heel, quarter, (20, 15))}


def _strap(long, wide):
    end = wide * 0.58
    return ((0, 0), [(long, 0), (long + end, 0, long + end + 2, wide / 4, long + end + 2, wide / 2), (long + end + 2, wide * 3 / 4, long + end, wide, long, wide), (0, wide), (0, 0)], (12, wide / 3))


COURT_UPPER, COURT_BOTTOM = _court(), {"INSOLE": _sole(1, 0), "OUTSOLE": _sole(1, 3)}
SANDAL_UPPER, SANDAL_BOTTOM = _sandal(), {"INSOLE": _sole(0.68, 0), "OUTSOLE": _sole(0.68, 2)}
SANDAL_STRAPS = {"STRAP": _strap(118, 11)}


def write(path, pieces, motions=None, named=True):
    """`motions`: (degrees, x, y) for each piece, as it lies on the sheet; none: where it lies on the last."""
    made = ezdxf.new("R2000", units=4)
    for number, (name, (start, strokes, text)) in enumerate(pieces.items()):
        degrees, dx, dy = motions[number] if motions else (0, 0, 0)
        turn = cmath.rect(1, math.radians(degrees))

        def laid(x, y):
            at = complex(x, y) * turn + complex(dx, dy)
            return at.real, at.imag
        block = made.blocks.new(name.replace(" ", "_") if named else f"P{number + 1}")
        at = start
        for stroke in strokes:
            if len(stroke) == 2:
                block.add_line(laid(*at), laid(*stroke), dxfattribs={"layer": "1"})
            else:
                poles = [at, stroke[0:2], stroke[2:4], stroke[4:6]]
                block.add_open_spline([(*laid(*pole), 0) for pole in poles], degree=3, dxfattribs={"layer": "1"})
            at = stroke[-2:]
        if named:
            block.add_text(name, height=3, rotation=degrees, dxfattribs={"layer": "15", "insert": laid(*text)})
        made.modelspace().add_blockref(block.name, (0, 0))
    made.saveas(path)


def side_by_side(pieces, clear=290):
    """A motion for each, turned a little more from one to the next."""
    return [(17 * i, (i % 3) * clear, (i // 3) * clear) for i in range(len(pieces))]


def without_names(source, target, first=1):
    """The drawing with blocks called P1, P2 ... and without its texts; gives how the blocks were called."""
    made = ezdxf.readfile(source)
    names = {}
    for block in list(made.blocks):
        if block.name.startswith("*"):
            continue
        new = f"P{first + len(names)}"
        names[new], old = block.name, block.name
        made.blocks.rename_block(old, new)
        for entity in list(block):
            if entity.dxftype() in ("TEXT", "MTEXT"):
                block.delete_entity(entity)
        for entity in made.modelspace():
            if entity.dxftype() == "INSERT" and entity.dxf.name == old:
                entity.dxf.name = new
    made.saveas(target)
    return names
