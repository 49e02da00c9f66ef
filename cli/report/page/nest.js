"use strict";
// The outlines of the run, drawn as SVG paths with true arcs.
const Nest = (() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const {unpack, mm} = Outlines;
  // A cell's numbers; cell -1: the base.
  function numbersOf(piece, cell) {
    const base = piece.unpacked || (piece.unpacked = unpack(piece.base));
    if (cell < 0) return base;
    const text = piece.cells[cell];
    const own = unpack(text, 1);
    return text[0] === "=" ? own : base.map((n, i) => n + (own[i] || 0));
  }

  const kept = new Map();
  function keptOutline(piece, cell) {
    const key = data.pieces.indexOf(piece) + " " + cell;
    if (!kept.has(key)) kept.set(key, Outlines.outline(numbersOf(piece, cell), piece.texts));
    return kept.get(key);
  }

  function element(name, attributes, ...children) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, text] of Object.entries(attributes)) made.setAttribute(key, text);
    made.append(...children);
    return made;
  }

  // Shapes of an outline whose operation is in `layers`, as one group.
  function drawn(shape, layers, attributes) {
    const group = element("g", attributes);
    for (const one of shape.shapes) {
      const layer = layers.find(l => l.operation === one.operation);
      if (!layer) continue;
      const style = {class: "op-" + layer.key};
      if (one.d) group.append(element("path", {...style, d: one.d}));
      else if (one.hole) {
        const [x, y, radius] = one.hole;
        group.append(radius > 0 ? element("circle", {...style, cx: mm(x), cy: mm(-y), r: mm(radius)})
                                : element("path", {...style, d: "M" + mm(x - 100) + " " + mm(-y) + "h2m-1 -1v2"}));
      } else {
        const place = "translate(" + mm(one.at[0]) + " " + mm(-one.at[1]) + ") rotate(" + -one.angle + ")";
        group.append(element("text", {...style, transform: place, "font-size": mm(one.height / 0.72)}, one.text));
      }
    }
    return group;
  }

  // Where a size and width stands among the outlines; -1 where it is not made.
  const cell = (size, width) => { const place = size * data.widths.length + width; return data.made ? data.made[place] : place; };

  return {data, outline: keptOutline, drawn, element, mm, cell, makes: (size, width) => cell(size, width) >= 0};
})();
