"""What the program says of a drawing is true, and what it advises works: each advice is taken out of the text and
followed.

  check_advice.py PROGRAM
"""
import json
import os
import re
import sys
import tempfile

import dxf_text as dxf

PROGRAM = sys.argv[1]
FAULTS = []
BOX = [(0, 0), (200, 0), (200, 80), (0, 80)]


def want(what, holds, said):
    if not holds:
        FAULTS.append(what)
        print(f'FAULT: {what}\n{said}')


def sides(points, layer='CUT'):
    return [dxf.line(layer, a, b) for a, b in zip(points, points[1:] + points[:1])]


def draft(content, *options):
    said, style = dxf.new(PROGRAM, FOLDER, content, *options)
    pieces = json.load(open(style, encoding='utf-8'))['pieces'] if os.path.exists(style) else []
    return said, pieces


def sound(what, content, pieces, *options):
    said, found = draft(content, *options)
    want(f'{what}: {pieces} pieces, exit 0', said.code == 0 and len(found) == pieces, f'exit {said.code}\n{said.text}')
    return said, found


def lines_that_meet():
    said, _ = sound('a side drawn twice', dxf.drawing(sides(BOX) + [dxf.line('CUT', BOX[1], BOX[0])]), 1)
    want('it is said what was drawn twice', 'drawn twice: it lies on the LINE of line 1' in said.text, said.text)
    said, _ = sound('an outline drawn twice', dxf.drawing([dxf.polyline('CUT', BOX)] * 2), 1)
    want('it is said what was drawn twice', 'drawn twice' in said.text, said.text)
    said, _ = sound('a line that stops at a corner', dxf.drawing(sides(BOX) + [dxf.line('CUT', (0, 0), (120, 40))]), 1)
    want('the line is named', 'left out: 1 LINE on the layer CUT' in said.text, said.text)
    other = [(200, 80), (300, 80), (300, 150), (200, 150)]
    sound('two outlines that touch in a corner', dxf.drawing(sides(BOX) + sides(other)), 2)

    second = [(200, 0), (300, 0), (300, 80)]
    shared = sides(BOX) + [dxf.line('CUT', second[0], second[1]), dxf.line('CUT', second[1], second[2]),
                           dxf.line('CUT', second[2], (200, 80))]
    said, found = draft(dxf.drawing(shared))
    want('a shared edge is refused', said.code != 0 and not found, said.text)
    want('with what to do', 'once for each of them, and put each outline on a layer of its own' in said.text, said.text)
    want('and no gap is advised', '--gap' not in said.text, said.text)
    sound('a shared edge drawn as advised', dxf.drawing(sides(BOX, 'A') + sides([(200, 0), (300, 0), (300, 80), (200, 80)], 'B')), 2)


def gaps():
    for gap in (0.35, 5.0, 9.94):
        said, found = draft(dxf.drawing([dxf.polyline('CUT', BOX + [(0, gap)], closed=False)]))
        advice = re.search(r'--gap ([0-9.e-]+) joins it', said.text)
        want(f'a gap of {gap} is advised', advice is not None and not found, said.text)
        if advice:
            sound(f'--gap {advice[1]}', dxf.drawing([dxf.polyline('CUT', BOX + [(0, gap)], closed=False)]), 1, '--gap', advice[1])
    said, found = draft(dxf.drawing([dxf.polyline('CUT', BOX + [(0, 12)], closed=False)]))
    want('12 mm: a line is missing', 'joins it' not in said.text and 'a line is missing there' in said.text and not found, said.text)
    sound('the line drawn', dxf.drawing([dxf.polyline('CUT', BOX + [(0, 12)], closed=False), dxf.line('CUT', (0, 12), (0, 0))]), 1)
    # Three loose ends within the gap of each other: joining them is no way out, so it is not offered.
    loose = sides(BOX)[:3] + [dxf.line('CUT', (0, 80), (0, 2)), dxf.line('CUT', (2, 1), (2, 40)), dxf.line('CUT', (1, -2), (60, -40))]
    said, _ = draft(dxf.drawing(loose))
    advice = re.search(r'--gap ([0-9.e-]+) joins it', said.text)
    if advice:
        said, found = draft(dxf.drawing(loose), '--gap', advice[1])
        want('an advised gap closes an outline', len(found) == 1, said.text)


def units_and_places():
    inches = [(0, 0), (11, 0), (11, 4), (0, 4)]
    said, found = draft(dxf.drawing([dxf.polyline('CUT', inches)]))
    want('inches that say millimetres: a draft whose check of its size fails', said.code == 1 and len(found) == 1 and 'drawing size' in said.text, said.text)
    advice = re.search(r'--units (\w+) makes it 279.4 mm', said.text)
    want('the unit is advised', advice is not None and advice[1] == 'in', said.text)
    if advice:
        said, _ = sound('the advised unit', dxf.drawing([dxf.polyline('CUT', inches)]), 1, '--units', advice[1])
        want('and then it is not doubted', 'really' not in said.text, said.text)
    far = [(x + 4.0e7, y - 3.0e6) for x, y in BOX]
    said, found = draft(dxf.drawing([dxf.polyline('CUT', far)]))
    want('far from the origin: the drawing is named', said.code == 3 and 'a.dxf' in said.text and 'a.json' not in said.text, said.text)
    advice = re.search(r'move the drawing by about \((-?\d+), (-?\d+)\) mm', said.text)
    want('far from the origin: how far to move it', advice is not None, said.text)
    if advice:
        moved = [(x + float(advice[1]), y + float(advice[2])) for x, y in far]
        sound('moved as advised', dxf.drawing([dxf.polyline('CUT', moved)]), 1)
    sound('two pieces on layer 0', dxf.drawing([dxf.polyline('0', BOX), dxf.polyline('0', [(x + 300, y) for x, y in BOX])]), 2)


def corners():
    import math
    arc = [(round(100 + 60 * math.cos(math.pi * i / 24), 1), round(60 + 60 * math.sin(math.pi * i / 24), 1)) for i in range(25)]
    said, found = sound('a curve in short lines', dxf.drawing([dxf.polyline('CUT', arc)]), 1)
    advice = re.search(r'--corner-angle (\d+) makes one edge of it', said.text)
    want('a corner angle is advised', advice is not None and len(found[0]['edges']) > 10, said.text)
    if advice:
        said, found = sound('the advised corner angle', dxf.drawing([dxf.polyline('CUT', arc)]), 1, '--corner-angle', advice[1])
        want('leaves the two real corners', len(found[0]['edges']) == 2, said.text)


def splines():
    # A half moon of two cubics and a line, stored as one spline with full inner knots: smooth at (100, 60), corners
    # at both ends of the line.
    poles = [(0, 0), (0, 40), (60, 60), (100, 60), (100, 60), (140, 60), (200, 40), (200, 0), (200, 0), (130, 0), (60, 0), (0, 0)]
    knots = [0] * 4 + [1] * 4 + [2] * 4 + [3] * 4
    said, found = sound('Bezier pieces in one spline', dxf.drawing([dxf.spline('CUT', 3, knots, poles)]), 1)
    want('corners only where it turns', bool(found) and len(found[0]['edges']) == 2, said.text)
    merged = [p for i, p in enumerate(poles) if i not in (4, 8)]
    said, found = sound('the same with knots of multiplicity 3', dxf.drawing([dxf.spline('CUT', 3, [0] * 4 + [1] * 3 + [2] * 3 + [3] * 4, merged)]), 1)
    want('corners only where it turns', bool(found) and len(found[0]['edges']) == 2, said.text)
    apart = poles[:4] + [(101, 60)] + poles[5:]
    said, _ = draft(dxf.drawing([dxf.spline('CUT', 3, knots, apart)]))
    want('pieces that do not meet are refused', said.code == 3, said.text)
    point = dxf.spline('CUT', 3, [0] * 4 + [1] * 4, [(5, 5)] * 4)
    said, _ = sound('a spline without size', dxf.drawing([dxf.polyline('CUT', BOX), point]), 1)
    want('a spline without size is named', 'left out: 1 SPLINE on the layer CUT: it has no length' in said.text, said.text)


def unread():
    region = dxf.tags((0, 'REGION'), (8, 'CUT'))
    missing = dxf.insert('QUARTER')
    said, found = draft(dxf.drawing([dxf.polyline('CUT', BOX), region, missing]))
    want('what may be a piece and was not read: exit 1', said.code == 1 and len(found) == 1, said.text)
    for told in ('REGION on the layer CUT', 'its block "QUARTER" is not in the file', '3 entities read: 1 used by 1 piece, 2 left out'):
        want(f'said: {told}', told in said.text, said.text)


def lengths():
    said, style = dxf.new(PROGRAM, FOLDER, dxf.drawing([dxf.polyline('CUT', BOX)]))
    spec = json.load(open(style, encoding='utf-8'))
    for written in ('2.1166666666666667 mm', 2.1166666666666667, '0.08333333333333333 in'):
        spec['measures']['ball girth']['per_size'] = written
        with open(style, 'w', encoding='utf-8') as file:
            json.dump(spec, file)
        said = dxf.run(PROGRAM, 'girths', style)
        want(f'{written} is a length', said.code == 0, said.text)
    if os.path.exists('/dev/full'):
        for words in (['--help'], ['new', '--help'], ['sizes', '--list'], ['girths', style], ['check', style]):
            code = os.spawnvp(os.P_WAIT, 'sh', ['sh', '-c', '"$0" "$@" > /dev/full 2> /dev/null', PROGRAM, *words])
            want(f'{words[0]} onto a full disk: exit 6', code == 6, f'exit {code}')


with tempfile.TemporaryDirectory() as FOLDER:
    for part in (lines_that_meet, gaps, units_and_places, corners, splines, unread, lengths):
        part()
print('every advice works' if not FAULTS else f'{len(FAULTS)} faults')
sys.exit(1 if FAULTS else 0)
