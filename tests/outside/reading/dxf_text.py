"""DXF drawings as text, tag by tag, and what the program says of them."""
import os
import subprocess


def tags(*pairs):
    return ''.join(f'{code}\n{value}\n' for code, value in pairs)


def polyline(layer, points, closed=True):
    """Points are (x, y) or (x, y, bulge)."""
    head = [(0, 'LWPOLYLINE'), (8, layer), (90, len(points)), (70, 1 if closed else 0)]
    for p in points:
        head += [(10, repr(float(p[0]))), (20, repr(float(p[1])))]
        if len(p) > 2:
            head.append((42, repr(float(p[2]))))
    return tags(*head)


def line(layer, a, b):
    return tags((0, 'LINE'), (8, layer), (10, repr(float(a[0]))), (20, repr(float(a[1]))),
                (11, repr(float(b[0]))), (21, repr(float(b[1]))))


def circle(layer, centre, radius):
    return tags((0, 'CIRCLE'), (8, layer), (10, repr(float(centre[0]))), (20, repr(float(centre[1]))), (40, radius))


def point(layer, at):
    return tags((0, 'POINT'), (8, layer), (10, repr(float(at[0]))), (20, repr(float(at[1]))))


def text(layer, at, says):
    return tags((0, 'TEXT'), (8, layer), (10, repr(float(at[0]))), (20, repr(float(at[1]))), (40, 4), (1, says))


def spline(layer, degree, knots, poles):
    head = [(0, 'SPLINE'), (8, layer), (70, 8), (71, degree), (72, len(knots)), (73, len(poles))]
    head += [(40, repr(float(k))) for k in knots]
    for p in poles:
        head += [(10, repr(float(p[0]))), (20, repr(float(p[1]))), (30, 0)]
    return tags(*head)


def insert(block, layer='0'):
    return tags((0, 'INSERT'), (8, layer), (2, block), (10, 0), (20, 0))


def drawing(entities, blocks=None, units=4):
    out = tags((0, 'SECTION'), (2, 'HEADER'), (9, '$ACADVER'), (1, 'AC1015'), (9, '$INSUNITS'), (70, units), (0, 'ENDSEC'))
    if blocks:
        out += tags((0, 'SECTION'), (2, 'BLOCKS'))
        for name, content in blocks.items():
            out += tags((0, 'BLOCK'), (8, 0), (2, name), (70, 0), (10, 0), (20, 0)) + ''.join(content)
            out += tags((0, 'ENDBLK'), (8, 0))
        out += tags((0, 'ENDSEC'))
    return out + tags((0, 'SECTION'), (2, 'ENTITIES')) + ''.join(entities) + tags((0, 'ENDSEC'), (0, 'EOF'))


class Said:
    def __init__(self, run):
        self.code = run.returncode
        self.text = run.stdout + run.stderr


def run(program, *words):
    return Said(subprocess.run([program, *words], capture_output=True, text=True, check=False))


def new(program, folder, content, *options, name='a'):
    """Writes the drawing and drafts a style of it: what was said, and where the style is."""
    path = os.path.join(folder, name + '.dxf')
    with open(path, 'w', encoding='utf-8') as file:
        file.write(content)
    style = os.path.join(folder, name + '.json')
    if os.path.exists(style):
        os.remove(style)
    return run(program, 'new', path, '--out', style, *options), style
