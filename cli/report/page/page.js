"use strict";
(() => {
  const {data, element, mm} = Nest;
  const $ = id => document.getElementById(id);
  const has = data.pieces.length > 0;
  const chosen = {piece: 0, size: Math.max(0, data.base[0]), width: Math.max(0, data.base[1]), draw: "sizes"};
  const hidden = new Set();   // keys of layers that are switched off
  let view = null;            // [x, y, width, height] in mm; null: everything
  let whole = [0, 0, 1, 1];

  // ---- choosers ----
  function choice(box, name, labels, current, choose, dress) {
    labels.forEach((label, i) => {
      const input = document.createElement("input");
      input.type = "radio";
      input.name = name;
      input.value = i;
      input.checked = i === current;
      input.addEventListener("change", () => choose(i));
      const text = document.createElement("span");
      text.textContent = label;
      const row = document.createElement("label");
      row.append(input, text);
      if (dress) dress(row, text, i);
      box.append(row);
    });
  }
  const pick = (box, i) => { const input = $(box).querySelectorAll("input")[i]; if (input) input.checked = true; };

  function thumbnail(row, text, i) {
    const shape = Nest.outline(data.pieces[i], -1);
    const [x0, y0, x1, y1] = shape.box, side = Math.max(x1 - x0, y1 - y0) * 1.12;
    const corner = [(x0 + x1 - side) / 2, -(y0 + y1 + side) / 2];
    text.prepend(element("svg", {viewBox: [corner[0], corner[1], side, side].map(mm).join(" "), "aria-hidden": "true"},
                         Nest.drawn(shape, data.layers.filter(l => l.key === "cut" || l.key === "cut-out"), {})));
  }

  // ---- the drawing ----
  const layersOn = () => data.layers.filter(l => !hidden.has(l.key));
  const nameOf = (size, width) => data.sizes[size][0] + " " + data.widths[width];

  function cellsToDraw() {
    const cells = [];
    for (let s = 0; s < data.sizes.length; ++s) {
      for (let w = 0; w < data.widths.length; ++w) {
        const sizes = chosen.draw === "sizes" || chosen.draw === "run", widths = chosen.draw === "widths" || chosen.draw === "run";
        if (!Nest.makes(s, w)) continue;
        if ((s === chosen.size || sizes) && (w === chosen.width || widths)) cells.push([s, w]);
      }
    }
    return cells;
  }

  const side = (s, w) => {
    const by = chosen.draw === "widths" ? w - data.base[1] : s - data.base[0] || w - data.base[1];
    return by < 0 ? "smaller" : by > 0 ? "larger" : "same";
  };

  function boxOf(shapes) {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const {box: b} of shapes) {
      box[0] = Math.min(box[0], b[0]); box[1] = Math.min(box[1], b[1]);
      box[2] = Math.max(box[2], b[2]); box[3] = Math.max(box[3], b[3]);
    }
    return box;
  }

  // A nest of a piece into a group: outlines, the base, the chosen one on top.
  function drawNest(group, piece, cells, current, full) {
    const on = layersOn();
    const cut = on.filter(l => l.key === "cut");
    const lines = full.marks ? on : cut;
    const shapes = [];
    for (const [s, w] of cells) {
      const shape = Nest.outline(piece, Nest.cell(s, w));
      shapes.push({shape, s, w});
      if (s === current[0] && w === current[1]) continue;
      const drawn = Nest.drawn(shape, lines, {class: "other " + side(s, w) + (data.sizes[s][1] ? "" : " minor"), "data-cell": s + " " + w});
      drawn.prepend(element("title", {}, nameOf(s, w)));
      group.append(drawn);
    }
    const base = Nest.outline(piece, -1);
    if (full.base) group.append(Nest.drawn(base, cut, {class: "base"}));
    const top = shapes.find(one => one.s === current[0] && one.w === current[1]);
    if (top) group.append(Nest.drawn(top.shape, on, {class: "chosen"}));
    return {shapes, base};
  }

  function stageView() {
    return view || whole;
  }

  function draw() {
    if (!has) return;
    const stage = $("stage"), piece = data.pieces[chosen.piece];
    stage.replaceChildren();
    const root = element("g", {class: "nest"});
    const nest = drawNest(root, piece, cellsToDraw(), [chosen.size, chosen.width], {marks: $("show-marks").checked, base: $("show-base").checked});
    const box = boxOf([nest.base, ...nest.shapes.map(one => one.shape)]);
    const room = Math.max(box[2] - box[0], box[3] - box[1]) * 0.07 + 400;
    whole = [box[0] - room, -(box[3] + room), box[2] - box[0] + 2 * room, box[3] - box[1] + 2 * room].map(n => n / 100);
    stage.append(element("g", {id: "grid"}), root, element("g", {id: "labels"}));
    labels.nest = nest;
    look();
    describe(piece, nest);
  }

  // Everything whose size on the screen stays the same while the view changes.
  function look() {
    const stage = $("stage"), v = stageView();
    stage.setAttribute("viewBox", v.map(n => n.toFixed(3)).join(" "));
    const frame = stage.getBoundingClientRect();
    const scale = Math.max(v[2] / Math.max(frame.width, 1), v[3] / Math.max(frame.height, 1));  // mm per pixel
    stage.style.setProperty("--pixel", scale);
    for (const layer of data.layers) {
      stage.querySelectorAll(".op-" + layer.key).forEach(e => e.setAttribute("stroke-dasharray", layer.dash.map(n => 2 * n).join(" ")));
    }
    const seen = seenPart(v, scale);
    grid(seen, scale);
    labels(seen, scale);
  }

  // The part of the drawing's plane that is on the screen: [left, top, right, bottom].
  function seenPart(v, scale) {
    const frame = $("stage").getBoundingClientRect(), x = v[0] + v[2] / 2, y = v[1] + v[3] / 2;
    return [x - scale * frame.width / 2, y - scale * frame.height / 2, x + scale * frame.width / 2, y + scale * frame.height / 2];
  }

  function grid(seen, scale) {
    const box = $("grid"), [left, top, right, bottom] = seen;
    box.replaceChildren();
    if ($("show-grid").checked && right - left < 1500) {
      let d = "";
      for (let x = Math.ceil(left / 10) * 10; x < right; x += 10) d += "M" + x + " " + top + "V" + bottom;
      for (let y = Math.ceil(top / 10) * 10; y < bottom; y += 10) d += "M" + left + " " + y + "H" + right;
      box.append(element("path", {class: "ruled", d}));
    }
    const long = [1, 2, 5, 10, 20, 50, 100, 200].find(n => n / scale > 60) || 500;
    const x = left + 14 * scale, y = bottom - 14 * scale;
    box.append(element("path", {class: "bar", d: "M" + x + " " + (y - 5 * scale) + "v" + 5 * scale + "h" + long + "v" + -5 * scale}),
               element("text", {class: "bar-name", x: x + long + 6 * scale, y, "font-size": 12 * scale}, long + " mm"));
  }

  // Smallest, base, chosen and largest by name, where the outlines lie farthest apart.
  function labels(seen, scale) {
    const box = $("labels"), nest = labels.nest;
    box.replaceChildren();
    if (!$("show-labels").checked || !nest.shapes.length) return;
    const piece = data.pieces[chosen.piece];
    const fixed = piece.fixed.map(n => n / 100);
    if (fixed[0] > seen[0] + 8 * scale && fixed[0] < seen[2] - 8 * scale) box.append(element("path", {class: "fixed", d: "M" + (fixed[0] - 6 * scale) + " " + -fixed[1] + "h" + 12 * scale + "m" + -6 * scale + " " + -6 * scale + "v" + 12 * scale}));
    const support = (shape, a) => shape.points.reduce((best, p) => (p[0] * Math.cos(a) + p[1] * Math.sin(a) > best[0] * Math.cos(a) + best[1] * Math.sin(a) ? p : best));
    const along = (p, a) => p[0] * Math.cos(a) + p[1] * Math.sin(a);
    const ends = [nest.shapes[0], nest.shapes[nest.shapes.length - 1]];
    let angle = 0, apart = -1;
    for (let k = 0; k < 16; ++k) {
      const a = k * Math.PI / 8;
      const far = Math.abs(along(support(ends[1].shape, a), a) - along(support(ends[0].shape, a), a));
      if (far > apart) { apart = far; angle = a; }
    }
    const wanted = [{shape: nest.shapes.find(n => n.s === chosen.size && n.w === chosen.width), kind: "chosen"},
                    {shape: {shape: nest.base}, kind: "base", text: "base " + data.base_name},
                    {shape: ends[1], kind: side(ends[1].s, ends[1].w)}, {shape: ends[0], kind: side(ends[0].s, ends[0].w)}];
    const put = [];
    for (const {shape, kind, text} of wanted) {
      if (!shape || (kind === "base" && ((chosen.size === data.base[0] && chosen.width === data.base[1]) || !$("show-base").checked))) continue;
      if (put.some(one => one.shape === shape)) continue;
      const name = text || nameOf(shape.s, shape.w) + (shape.s === data.base[0] && shape.w === data.base[1] ? " base" : "");
      const p = support(shape.shape, angle);
      put.push({shape, kind, name, x: p[0] / 100, y: -p[1] / 100, wide: name.length * 8 * scale});
    }
    // All in one column (row, above or below) outside the outermost outline, in the order of the tips, each with a line to its own.
    const lean = Math.cos(angle), rise = -Math.sin(angle), beside = Math.abs(lean) > 0.38;
    const out = beside ? Math.max(...put.map(l => l.x * Math.sign(lean))) + 14 * scale : Math.max(...put.map(l => l.y * Math.sign(rise))) + 14 * scale;
    if (beside) {
      // Tips one behind the other: the farther in, the farther from the outermost one's height.
      put.sort((a, b) => a.y - b.y || (b.x - a.x) * lean);
      let low = -Infinity;
      for (const l of put) { l.ty = Math.max(l.y, low); low = l.ty + 16 * scale; l.start = lean > 0 ? out : -out - l.wide; }
      const up = put.reduce((sum, l) => sum + l.ty - l.y, 0) / put.length;
      for (const l of put) { l.ty -= up; l.end = [lean > 0 ? out - 3 * scale : -out + 3 * scale, l.ty]; }
    } else {
      put.sort((a, b) => a.x - b.x);
      let low = -Infinity;
      for (const l of put) { l.start = Math.max(l.x - l.wide / 2, low); low = l.start + l.wide + 8 * scale; }
      const along = put.reduce((sum, l) => sum + l.start + l.wide / 2 - l.x, 0) / put.length;
      for (const l of put) { l.start -= along; l.ty = Math.sign(rise) * out; l.end = [l.start + l.wide / 2, l.ty - Math.sign(rise) * 8 * scale]; }
    }
    const shift = put.reduce((most, l) => Math.max(most, l.start + l.wide - seen[2] + 6 * scale), 0);
    for (const l of put) {
      if (l.x < seen[0] || l.x > seen[2] || l.y < seen[1] || l.y > seen[3]) continue;
      const start = Math.max(l.start - shift, seen[0] + 6 * scale), end = [l.end[0] - (l.start - start), l.end[1]];
      box.append(element("path", {class: "lead " + l.kind, d: "M" + l.x + " " + l.y + "L" + end[0] + " " + end[1]}),
                 element("circle", {class: "tip " + l.kind, cx: l.x, cy: l.y, r: 2.5 * scale}),
                 element("text", {class: "name " + l.kind, x: start, y: l.ty + 4 * scale, "font-size": 13 * scale}, l.name));
    }
  }

  // ---- words and figures beside the drawing ----
  function fact(name, text) {
    const row = document.createElement("div"), what = document.createElement("dt"), is = document.createElement("dd");
    what.textContent = name;
    is.textContent = text;
    row.append(what, is);
    return row;
  }

  function describe(piece, nest) {
    const now = nest.shapes.find(n => n.s === chosen.size && n.w === chosen.width).shape;
    const more = (a, b, digits) => a.toFixed(digits) + (Math.abs(a - b) < 0.5 * 10 ** -digits ? "" : " (" + (a > b ? "+" : "\u2212") + Math.abs(a - b).toFixed(digits) + ")");
    const wide = s => (s.box[2] - s.box[0]) / 100, high = s => (s.box[3] - s.box[1]) / 100;
    const drawn = {one: "", sizes: "all sizes in " + data.widths[chosen.width], widths: "all widths of " + data.sizes[chosen.size][0], run: "the whole run"}[chosen.draw];
    $("stage-title").textContent = piece.name + " " + nameOf(chosen.size, chosen.width) + (drawn ? " among " + drawn : "");
    const rows = [fact("outline, mm", more(now.length, nest.base.length, 1)), fact("area, cm\u00b2", more(now.area, nest.base.area, 1)),
                  fact("along, mm", more(wide(now), wide(nest.base), 1)), fact("across, mm", more(high(now), high(nest.base), 1)),
                  fact("material", piece.material || "not named"), fact("cut", piece.per_pair + " a pair, " + piece.hand)];
    const number = piece.die_at[Nest.cell(chosen.size, chosen.width)];
    if (number >= 0) {
      const die = piece.dies[number];
      rows.push(fact("die", die[0] + " (" + die[3] + "), serves " + die[2]));
    }
    $("readout").replaceChildren(...rows);
    $("readout").title = "in brackets: against the base " + data.base_name;
    const key = $("legend");
    key.replaceChildren();
    const add = (kind, text) => {
      const mark = document.createElement("span");
      mark.className = "key " + kind;
      mark.textContent = text;
      key.append(mark, " ");
    };
    add("chosen", nameOf(chosen.size, chosen.width));
    if ($("show-base").checked) add("base", "base " + data.base_name);
    const others = nest.shapes.filter(n => n.s !== chosen.size || n.w !== chosen.width).map(n => side(n.s, n.w));
    if (others.includes("smaller")) add("smaller", chosen.draw === "widths" ? "narrower" : "smaller");
    if (others.includes("larger")) add("larger", chosen.draw === "widths" ? "wider" : "larger");
  }

  // ---- the view ----
  function zoom(by, at) {
    const v = stageView(), c = at || [v[0] + v[2] / 2, v[1] + v[3] / 2];
    if (v[2] * by > 4 * whole[2] || v[2] * by < 1) return;
    view = [c[0] - (c[0] - v[0]) * by, c[1] - (c[1] - v[1]) * by, v[2] * by, v[3] * by];
    look();
  }
  function move(dx, dy) {
    const v = stageView();
    view = [v[0] + dx * v[2], v[1] + dy * v[3], v[2], v[3]];
    look();
  }
  // A size and width that is not made gives way to the nearest that is: what was chosen last stays.
  function snap(keepWidth) {
    if (Nest.makes(chosen.size, chosen.width)) return;
    const near = (count, at, made) => [...Array(count).keys()].filter(made).sort((a, b) => Math.abs(a - at) - Math.abs(b - at))[0];
    if (keepWidth) chosen.size = near(data.sizes.length, chosen.size, s => Nest.makes(s, chosen.width));
    else chosen.width = near(data.widths.length, chosen.width, w => Nest.makes(chosen.size, w));
  }
  function choose(changes) {
    Object.assign(chosen, changes);
    if ("piece" in changes || "draw" in changes) view = null;
    chosen.size = Math.min(Math.max(chosen.size, 0), data.sizes.length - 1);
    chosen.width = Math.min(Math.max(chosen.width, 0), data.widths.length - 1);
    snap("width" in changes && !("size" in changes));
    pick("size-choice", chosen.size);
    pick("width-choice", chosen.width);
    draw();
    mark();
  }

  function listen() {
    const stage = $("stage");
    $("nearer").addEventListener("click", () => zoom(0.7));
    $("farther").addEventListener("click", () => zoom(1 / 0.7));
    $("fit").addEventListener("click", () => { view = null; look(); });
    const keys = {"+": () => zoom(0.7), "=": () => zoom(0.7), "-": () => zoom(1 / 0.7), "0": () => { view = null; look(); },
                  ArrowLeft: () => move(-0.1, 0), ArrowRight: () => move(0.1, 0), ArrowUp: () => move(0, -0.1), ArrowDown: () => move(0, 0.1),
                  "[": () => choose({size: chosen.size - 1}), "]": () => choose({size: chosen.size + 1}),
                  "{": () => choose({width: chosen.width - 1}), "}": () => choose({width: chosen.width + 1})};
    stage.addEventListener("keydown", event => {
      if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      keys[event.key]();
    });
    const place = event => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(stage.getScreenCTM().inverse());
      return [at.x, at.y];
    };
    stage.addEventListener("wheel", event => {
      if (!event.ctrlKey && document.activeElement !== stage) return;  // the page scrolls until the drawing has the focus
      event.preventDefault();
      zoom(event.deltaY > 0 ? 1.15 : 1 / 1.15, place(event));
    }, {passive: false});
    let drag = null;
    stage.addEventListener("pointerdown", event => { if (event.pointerType !== "touch" && event.button === 0) drag = {at: place(event), far: 0}; });
    stage.addEventListener("pointermove", event => {
      if (!drag) return;
      const at = place(event), v = stageView();
      drag.far += Math.hypot(event.movementX, event.movementY);
      view = [v[0] + drag.at[0] - at[0], v[1] + drag.at[1] - at[1], v[2], v[3]];
      look();
    });
    addEventListener("pointerup", () => { if (drag && drag.far > 4) listen.dragged = true; drag = null; });
    stage.addEventListener("click", event => {
      const dragged = listen.dragged;
      listen.dragged = false;
      const hit = event.target.closest("[data-cell]");
      if (dragged || !hit) return;
      const [size, width] = hit.dataset.cell.split(" ").map(Number);
      choose({size, width});
    });
    addEventListener("resize", look);
  }

  // ---- measures ----
  const sections = [...document.querySelectorAll(".measure")];
  function mark() {
    document.querySelectorAll(".here").forEach(e => e.classList.remove("here"));
    for (const section of sections) {
      for (const table of section.querySelectorAll("table")) {
        const row = table.tBodies[0].rows[chosen.size];
        if (row) row.cells[chosen.width + 1].classList.add("here");
      }
      for (const line of section.querySelectorAll(".line")) {
        if (!line.dataset.widths.split(" ").includes(String(chosen.width))) continue;
        line.classList.add("here");
        const dots = line.querySelectorAll("circle");
        const dot = dots[data.sizes.filter((_, s) => s < chosen.size && Nest.makes(s, chosen.width)).length];
        if (dot) dot.classList.add("here");
      }
    }
  }
  function measures() {
    const show = i => sections.forEach((s, k) => s.classList.toggle("aside", k !== i));
    const girth = Math.max(0, sections.findIndex(s => s.querySelector("h3").textContent === "ball girth"));
    choice($("measure-choice"), "measure", sections.map(s => s.querySelector("h3").textContent), girth, show);
    show(girth);
    document.querySelectorAll("#unit-choice input").forEach(input => input.addEventListener("change", () => {
      document.body.classList.toggle("inches", input.value === "inch" && input.checked);
    }));
    $("measure-bar").hidden = sections.length === 0;
  }

  // ---- light and dark, print ----
  function tone() {
    const dark = matchMedia("(prefers-color-scheme: dark)");
    const root = document.documentElement;
    const isDark = () => (root.dataset.tone ? root.dataset.tone === "dark" : dark.matches);
    const say = () => {
      $("tone").setAttribute("aria-pressed", isDark());
      $("tone").textContent = isDark() ? "Light" : "Dark";
    };
    $("tone").addEventListener("click", () => { root.dataset.tone = isDark() ? "light" : "dark"; say(); });
    dark.addEventListener("change", say);
    say();
  }
  function print() {
    let closed = [];
    addEventListener("beforeprint", () => {
      closed = [...document.querySelectorAll("details:not([open])")];
      closed.forEach(d => { d.open = true; });
      const gallery = $("gallery");
      gallery.replaceChildren();
      for (const piece of data.pieces) {
        const cells = data.sizes.map((_, s) => [s, chosen.width]).filter(([s, w]) => Nest.makes(s, w));
        const group = element("g", {class: "nest"});
        const nest = drawNest(group, piece, cells, [-1, -1], {marks: false, base: true});
        const box = boxOf([nest.base, ...nest.shapes.map(n => n.shape)]);
        const room = 0.03 * Math.max(box[2] - box[0], box[3] - box[1]);
        const picture = element("svg", {viewBox: [box[0] - room, -box[3] - room, box[2] - box[0] + 2 * room, box[3] - box[1] + 2 * room].map(mm).join(" ")}, group);
        const name = document.createElement("p");
        name.textContent = piece.name + ", all sizes in " + data.widths[chosen.width];
        const one = document.createElement("div");
        one.append(picture, name);
        gallery.append(one);
      }
    });
    addEventListener("afterprint", () => {
      closed.forEach(d => { d.open = false; });
      $("gallery").replaceChildren();
    });
  }

  function start() {
    const box = document.querySelector(".bench");
    if (has) {
      box.hidden = false;
      snap(false);
      choice($("piece-choice"), "piece", data.pieces.map(p => p.name), 0, piece => choose({piece}), thumbnail);
      choice($("size-choice"), "size", data.sizes.map(s => s[0]), chosen.size, size => choose({size}));
      choice($("width-choice"), "width", data.widths, chosen.width, width => choose({width}));
      document.querySelectorAll("#draw-choice input").forEach(input => input.addEventListener("change", () => choose({draw: input.value})));
      for (const layer of data.layers) {
        const row = document.createElement("label"), input = document.createElement("input");
        const key = element("svg", {viewBox: "0 0 26 8", class: "swatch", "aria-hidden": "true"},
                            element("path", {class: "op-" + layer.key, d: "M1 4H25", "stroke-dasharray": layer.dash.map(n => 2 * n).join(" ")}));
        input.type = "checkbox";
        input.checked = true;
        input.value = layer.key;
        input.addEventListener("change", () => { if (input.checked) hidden.delete(layer.key); else hidden.add(layer.key); draw(); });
        row.append(input, " ", key, " " + layer.name);
        $("layer-choice").append(row);
      }
      for (const id of ["show-base", "show-marks", "show-labels", "show-grid"]) $(id).addEventListener("change", draw);
      listen();
      draw();
    }
    measures();
    mark();
    tone();
    print();
  }
  start();
})();
