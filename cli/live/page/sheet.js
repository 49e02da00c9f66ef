// The sheet: one forme with every piece on it. The nest of the piece that is held is drawn on a canvas, everything that
// can be held above it as SVG. Lengths are in mm and y up; only `px` and `mm` below know the screen.
import {h, s} from "/dom.js";

const REACH = 10;  // px: how near a press has to be

function arcPoints(a, b, rise) {
  if (!rise) return [b];
  const chord = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (!chord) return [b];
  const half = chord / 2, radius = (half * half + rise * rise) / (2 * Math.abs(rise));
  const nx = -(b[1] - a[1]) / chord, ny = (b[0] - a[0]) / chord, side = Math.sign(rise);
  const cx = (a[0] + b[0]) / 2 + side * nx * (radius - Math.abs(rise)), cy = (a[1] + b[1]) / 2 + side * ny * (radius - Math.abs(rise));
  const from = Math.atan2(a[1] - cy, a[0] - cx);
  let sweep = Math.atan2(b[1] - cy, b[0] - cx) - from;
  if (side > 0 && sweep < 0) sweep += 2 * Math.PI;
  if (side < 0 && sweep > 0) sweep -= 2 * Math.PI;
  const count = Math.max(2, Math.ceil(Math.abs(sweep) / 0.05));
  return Array.from({length: count}, (_, i) => i + 1 === count ? b : [cx + radius * Math.cos(from + sweep * (i + 1) / count), cy + radius * Math.sin(from + sweep * (i + 1) / count)]);
}

// The net line of a piece, edge by edge as points close enough to its arcs to press on.
export function edgesOf(piece) {
  if (piece.flat || !piece.net) return piece.flat ?? [];
  const at = piece.net.map(v => [v[0] / 100, v[1] / 100]);
  piece.flat = piece.edges.map(name => ({name, points: []}));
  piece.net.forEach((v, i) => {
    const edge = piece.flat[v[3]], next = at[(i + 1) % at.length];
    if (!edge.points.length) edge.points.push(at[i]);
    edge.points.push(...arcPoints(at[i], next, v[2] / 100));
  });
  return piece.flat;
}

const toSegment = (p, a, b) => {
  const dx = b[0] - a[0], dy = b[1] - a[1], long = dx * dx + dy * dy;
  const t = long ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
};
export const distanceTo = (p, points) => points.slice(1).reduce((least, b, i) => Math.min(least, toSegment(p, points[i], b)), Infinity);

// The place on an edge nearest to a point, and the place at a share of its length.
export function nearestOn(points, p) {
  let best = null;
  for (let i = 1; i < points.length; ++i) {
    const [a, b] = [points[i - 1], points[i]], dx = b[0] - a[0], dy = b[1] - a[1], long = dx * dx + dy * dy;
    const t = long ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) : 0;
    const at = [a[0] + t * dx, a[1] + t * dy], far = Math.hypot(p[0] - at[0], p[1] - at[1]);
    if (!best || far < best.far) best = {at, far};
  }
  return best?.at;
}
export function shareOf(points, share) {
  const parts = points.slice(1).map((b, i) => Math.hypot(b[0] - points[i][0], b[1] - points[i][1]));
  let left = share * parts.reduce((sum, one) => sum + one, 0);
  for (let i = 0; i < parts.length; ++i) {
    if (left <= parts[i] || i + 1 === parts.length) {
      const t = parts[i] ? left / parts[i] : 0;
      return [points[i][0] + t * (points[i + 1][0] - points[i][0]), points[i][1] + t * (points[i + 1][1] - points[i][1])];
    }
    left -= parts[i];
  }
}

// The share of an edge's length at which its place nearest to a point lies.
export function shareNear(points, p) {
  const lengths = points.slice(1).map((b, i) => Math.hypot(b[0] - points[i][0], b[1] - points[i][1])), whole = lengths.reduce((sum, one) => sum + one, 0);
  let run = 0, least = Infinity, at = 0;
  lengths.forEach((long, i) => {
    const [a, b] = [points[i], points[i + 1]], t = long ? Math.max(0, Math.min(1, ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / (long * long))) : 0;
    const far = Math.hypot(p[0] - a[0] - t * (b[0] - a[0]), p[1] - a[1] - t * (b[1] - a[1]));
    if (far < least) { least = far; at = run + t * long; }
    run += long;
  });
  return whole ? at / whole : 0.5;
}

function inside(p, points) {
  let odd = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [a, b] = [points[i], points[j]];
    if ((a[1] > p[1]) !== (b[1] > p[1]) && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0]) odd = !odd;
  }
  return odd;
}
const area = points => Math.abs(points.reduce((sum, b, i) => { const a = points[(i + points.length - 1) % points.length]; return sum + a[0] * b[1] - a[1] * b[0]; }, 0)) / 2;

// Graded outlines drawn by a pen (the path of a canvas, or what takes their bounds), in mm: the cut lines, or everything.
function trace(n, everything, path) {
  let i = 2;
  while (i < n.length) {
    const kind = n[i] >> 4, operation = n[i] & 15;
    ++i;
    if (kind === 2) {
      if (everything || operation === 2) { const r = Math.max(n[i + 2], 30) / 100; path.moveTo(n[i] / 100 + r, n[i + 1] / 100); path.arc(n[i] / 100, n[i + 1] / 100, r, 0, 2 * Math.PI); }
      i += 3;
      continue;
    }
    if (kind === 3) { i += 5; continue; }
    const count = n[i++], wanted = everything || operation < 2;
    let x = 0, y = 0, first = null, rise = 0;
    const go = (tx, ty) => { for (const one of arcPoints([x, y], [tx, ty], rise)) path.lineTo(one[0], one[1]); };
    for (let k = 0; k < count; ++k, i += 3) {
      const tx = x + n[i] / 100, ty = y + n[i + 1] / 100;
      if (wanted) { if (k) go(tx, ty); else { path.moveTo(tx, ty); first = [tx, ty]; } }
      [x, y, rise] = [tx, ty, n[i + 2] / 100];
    }
    if (wanted && kind === 0 && count > 1) { go(...first); path.closePath(); }
  }
  return path;
}

// A pen that draws nothing: [least x, least y, most x, most y] of what it is led along, as the sheet has it levelled.
function boundsPen(levelled) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  const lineTo = (x, y) => { const [u, v] = levelled([x, y]); box[0] = Math.min(box[0], u); box[1] = Math.min(box[1], v); box[2] = Math.max(box[2], u); box[3] = Math.max(box[3], v); };
  return {box, lineTo, moveTo: lineTo, closePath() {}, arc(x, y, r) { lineTo(x - r, y - r); lineTo(x + r, y + r); }};
}

// Where an edge turns, or a straight line ends on a curve: what is pressed near such a place means it. On the sample's outline.
export function turnNear(piece, edge, p, reach) {
  const net = piece.net, count = net.length, index = piece.edges.indexOf(edge);
  const at = i => net[(i + 2 * count) % count];
  const chord = i => ({long: Math.hypot(at(i + 1)[0] - at(i)[0], at(i + 1)[1] - at(i)[1]), along: Math.atan2(at(i + 1)[1] - at(i)[1], at(i + 1)[0] - at(i)[0]), rise: at(i)[2]});
  // 3 mm that keep one direction, in however many parts they are graded; less is a part of a curve.
  const straight = (i, {long, along, rise} = chord(i), keeps = other => other.rise === 0 && Math.abs(Math.sin(other.along - along)) < 0.012) => {
    for (const way of rise === 0 ? [1, -1] : []) for (let k = i + way; long <= 300 && Math.abs(k - i) < count && keeps(chord(k)); k += way) long += chord(k).long;
    return rise === 0 && long > 300;
  };
  const part = (i, {long, along, rise} = chord(i), half = 2 * Math.atan2(2 * rise, long)) => ({from: along - half, to: along + half, straight: straight(i)});
  let best = null, least = reach;
  net.forEach((v, i) => {
    if (v[3] !== index || net[(i + count - 1) % count][3] !== index) return;
    const before = part(i - 1), after = part(i), turn = Math.abs(Math.atan2(Math.sin(after.from - before.to), Math.cos(after.from - before.to))), far = Math.hypot(v[0] / 100 - p[0], v[1] / 100 - p[1]);
    if ((turn > 0.05 || before.straight !== after.straight) && far < least) { best = [v[0] / 100, v[1] / 100]; least = far; }
  });
  return best;
}

export class Sheet {
  constructor(stage, canvas, svg, heard) {
    Object.assign(this, {stage, canvas, svg, heard, scale: 2, ox: 0, oy: 0, cos: 1, sin: 0, app: null, pressed: null, turn: 0, fingers: new Map()});
    new ResizeObserver(() => { if (this.app) { if (!this.own) this.showAll(this.fitted); this.draw(); } }).observe(stage);
    stage.addEventListener("pointerdown", e => this.down(e));
    stage.addEventListener("pointermove", e => this.move(e));
    stage.addEventListener("pointerup", e => this.up(e));
    stage.addEventListener("pointercancel", e => this.fingers.delete(e.pointerId));
    stage.addEventListener("wheel", e => { e.preventDefault(); this.zoom(Math.exp(-e.deltaY / 400), this.local(e)); }, {passive: false});
    stage.addEventListener("keydown", e => this.key(e));
  }

  // The forme lies on the sheet with its base line level, its far end to the right, however it is drawn.
  level() {
    const points = this.forme()?.points ?? {}, ends = (this.app.style?.formes?.[this.app.forme]?.base_line ?? []).map(name => points[name]);
    const long = ends[0] && ends[1] ? Math.hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]) : 0;
    [this.cos, this.sin] = long ? [(ends[1][0] - ends[0][0]) / long, (ends[1][1] - ends[0][1]) / long] : [1, 0];
  }
  levelled([x, y]) { return [x * this.cos + y * this.sin, y * this.cos - x * this.sin]; }
  px(p) { const [x, y] = this.levelled(p); return [this.ox + x * this.scale, this.oy - y * this.scale]; }
  mm([x, y]) { const u = (x - this.ox) / this.scale, v = (this.oy - y) / this.scale; return [u * this.cos - v * this.sin, u * this.sin + v * this.cos]; }
  local(e) { const box = this.stage.getBoundingClientRect(); return [e.clientX - box.left - this.stage.clientLeft, e.clientY - box.top - this.stage.clientTop]; }

  pieces() { return (this.app.sheet?.pieces ?? []).filter(piece => piece.forme === this.app.forme && piece.net); }
  forme() { return this.app.sheet?.formes.find(one => one.name === this.app.forme); }

  // Of the forme, or of what is held, with every size of it that is drawn.
  showAll(points = null) {
    this.fitted = points;
    this.fittedTo = points && this.app.held?.piece;
    this.own = false;
    this.level();
    const nest = this.nestBox();
    points = (points ?? this.pieces().flatMap(piece => edgesOf(piece).flatMap(edge => edge.points))).map(p => this.levelled(p));
    const wide = this.stage.clientWidth, high = this.stage.clientHeight;
    if (!points.length || !wide || !high) return;
    if (nest) points = [...points, [nest[0], nest[1]], [nest[2], nest[3]]];
    const xs = points.map(p => p[0]), ys = points.map(p => p[1]);
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    this.scale = Math.min(wide / (x1 - x0 + 30), high / (y1 - y0 + 30));
    this.ox = wide / 2 - this.scale * (x0 + x1) / 2;
    this.oy = high / 2 + this.scale * (y0 + y1) / 2;
  }
  // Where a size that is drawn runs out of the sheet, it is shown whole, unless the view is the user's own.
  fitNest() {
    const box = !this.own && (!this.fitted || this.fittedTo === this.app.held?.piece) && this.nestBox();
    if (!box) return;
    const left = this.ox + box[0] * this.scale, right = this.ox + box[2] * this.scale, top = this.oy - box[3] * this.scale, bottom = this.oy - box[1] * this.scale;
    if (Math.min(left, top) < 2 || right > this.stage.clientWidth - 2 || bottom > this.stage.clientHeight - 2) this.showAll(this.fitted);
  }
  zoom(by, at = [this.stage.clientWidth / 2, this.stage.clientHeight / 2]) {
    this.own = true;  // the user's own view: it stays when the window changes
    this.pressed = null;
    const to = Math.max(0.2, Math.min(80, this.scale * by)), real = to / this.scale;
    this.ox = at[0] + (this.ox - at[0]) * real;
    this.oy = at[1] + (this.oy - at[1]) * real;
    this.scale = to;
    this.draw();
  }
  slide(dx, dy) { this.own = true; this.pressed = null; this.ox += dx; this.oy += dy; this.draw(); }
  key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const step = 60, act = {ArrowLeft: () => this.slide(step, 0), ArrowRight: () => this.slide(-step, 0), ArrowUp: () => this.slide(0, step), ArrowDown: () => this.slide(0, -step), "+": () => this.zoom(1.25), "=": () => this.zoom(1.25), "-": () => this.zoom(0.8), "0": () => { this.showAll(); this.draw(); }}[e.key];
    if (act) { e.preventDefault(); e.stopPropagation(); act(); }
  }

  // From the point that is held a line can be drawn to another one.
  pointAt(at) { return this.under(at).find(one => one.kind === "point")?.point; }
  down(e) {
    this.stage.setPointerCapture(e.pointerId);
    this.fingers.set(e.pointerId, this.local(e));
    const {held, picking} = this.app;
    this.drawn = !picking && held?.kind === "point" && held.forme === this.app.forme && this.fingers.size === 1 && this.under(this.local(e)).some(one => one.kind === "point" && one.point === held.point) ? {from: held.point, to: this.local(e)} : null;
    this.moved = this.fingers.size > 1;
    this.start = this.local(e);
  }
  move(e) {
    const before = this.fingers.get(e.pointerId), now = this.local(e);
    if (!before) return;
    if (this.fingers.size === 2) {
      const other = [...this.fingers].find(([id]) => id !== e.pointerId)[1];
      const was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(now[0] - other[0], now[1] - other[1]);
      if (was > 1) this.zoom(is / was, other);
    } else if (this.drawn) {
      this.moved = this.moved || Math.hypot(now[0] - this.start[0], now[1] - this.start[1]) > 6;
      this.drawn.to = now;
      this.draw();
    } else if (this.moved || Math.hypot(now[0] - this.start[0], now[1] - this.start[1]) > 6) {
      this.moved = true;
      this.slide(now[0] - before[0], now[1] - before[1]);
    }
    this.fingers.set(e.pointerId, now);
  }
  up(e) {
    const there = this.fingers.delete(e.pointerId), drawn = this.drawn;
    this.drawn = null;
    if (drawn && this.moved) {
      const to = this.pointAt(this.local(e));
      this.draw();
      if (to && to !== drawn.from) this.heard.line(drawn.from, to);
      return;
    }
    if (!there || this.moved || this.fingers.size) return;
    this.press(this.local(e));
  }

  // Pressing again at the same place reaches what lies under: at the place that was pressed first, though the view may have been fitted since.
  press(at) {
    const again = this.pressed && Math.hypot(at[0] - this.pressed[0], at[1] - this.pressed[1]) < 5;
    this.turn = again ? this.turn + 1 : 0;
    this.pressed = at;
    this.place = again && !this.app.picking ? this.place : this.mm(at);
    const found = this.under(at, this.place);
    this.heard.press(found.length ? found[this.turn % found.length] : null, this.mm(at), found);
  }

  under(at, p = this.mm(at)) {
    const reach = REACH / this.scale, held = this.app.held, found = [];
    const add = (rank, far, thing) => found.push({rank, far, thing});
    for (const piece of this.pieces()) {
      const mine = held?.piece === piece.name ? 0 : 2, edges = edgesOf(piece);
      const spec = this.app.specOf(piece.name);
      edges.forEach((edge, i) => {
        if (!edge.points.length) return;
        const corner = Math.hypot(p[0] - edge.points[0][0], p[1] - edge.points[0][1]);
        if (corner < reach && mine === 0) add(0, corner, {kind: "corner", piece: piece.name, corner: spec?.edges[i]?.from});
        const far = distanceTo(p, edge.points);
        if (far < reach) add(1 + mine, far, {kind: "edge", piece: piece.name, edge: edge.name, at: nearestOn(edge.points, p), share: shareNear(edge.points, p)});
      });
      const all = edges.flatMap(edge => edge.points);
      if (inside(p, all)) add(8, area(all), {kind: "piece", piece: piece.name});
    }
    for (const [name, place] of Object.entries(this.forme()?.points ?? {})) {
      const far = Math.hypot(p[0] - place[0] / 100, p[1] - place[1] / 100);
      if (far < reach) add(this.app.picking === "point" ? -1 : 4, far, {kind: "point", forme: this.app.forme, point: name});
    }
    for (const line of this.lines()) {
      const far = distanceTo(p, [line.a, line.b]);
      if (far < reach) add(5, far, {kind: "line", forme: this.app.forme, line: line.name});
    }
    return found.sort((a, b) => a.rank - b.rank || a.far - b.far).map(one => one.thing);
  }

  lines() {
    const points = this.forme()?.points ?? {}, at = name => points[name]?.map(v => v / 100);
    return (this.app.style?.formes?.[this.app.forme]?.rules ?? []).filter(rule => (rule.measure_line ?? rule.check_line) && at(rule.from) && at(rule.to))
      .map(rule => ({name: rule.measure_line ?? rule.check_line, checks: !rule.measure_line, a: at(rule.from), b: at(rule.to)}));
  }

  draw() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => { this.waiting = null; this.fitNest(); this.drawNest(); this.drawThings(); });
  }

  // The nest's outlines in a size and width, and whether they are drawn beside the chosen one.
  outlines(k) {
    const {nest} = this.app, text = nest.cells[k];
    nest.unpacked ??= Outlines.unpack(nest.base);
    nest.cellsOut ??= new Map();
    if (!nest.cellsOut.has(k)) { const own = Outlines.unpack(text, 1); nest.cellsOut.set(k, text[0] === "=" ? own : nest.unpacked.map((n, i) => n + (own[i] || 0))); }
    return nest.cellsOut.get(k);
  }
  drawnOf(k) {
    const {nest, cell, run, shows} = this.app, count = run.widths.length, here = {sizes: k % count === cell % count, widths: Math.floor(k / count) === Math.floor(cell / count), all: true, one: false}[shows];
    return Boolean(nest.cells[k]) && (k === cell || here);
  }
  // The bounds of all that drawNest draws.
  nestBox() {
    const {nest, held, cell, shows} = this.app;
    if (!nest || held?.piece !== nest.piece) return null;
    const name = [cell, shows, this.cos, this.sin].join(" ");
    if (nest.boxOf?.name !== name) {
      const pen = boundsPen(p => this.levelled(p));
      nest.cells.forEach((_, k) => { if (this.drawnOf(k)) trace(this.outlines(k), k === cell, pen); });
      nest.boxOf = {name, box: pen.box};
    }
    return nest.boxOf.box[0] < Infinity ? nest.boxOf.box : null;
  }

  drawNest() {
    const sharp = devicePixelRatio || 1, wide = this.stage.clientWidth, high = this.stage.clientHeight;
    if (this.canvas.width !== Math.round(wide * sharp) || this.canvas.height !== Math.round(high * sharp)) {
      this.canvas.width = Math.round(wide * sharp);
      this.canvas.height = Math.round(high * sharp);
    }
    const pen = this.canvas.getContext("2d");
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.clearRect(0, 0, this.canvas.width, this.canvas.height);
    const {nest, held, cell} = this.app;
    if (!nest || held?.piece !== nest.piece) return;
    const by = sharp * this.scale;
    pen.setTransform(by * this.cos, by * this.sin, by * this.sin, -by * this.cos, sharp * this.ox, sharp * this.oy);
    const look = getComputedStyle(document.documentElement), colour = name => look.getPropertyValue(name).trim();
    nest.paths ??= new Map();
    const path = (k, everything) => {
      const name = k + (everything ? "+" : "");
      if (!nest.paths.has(name)) nest.paths.set(name, trace(this.outlines(k), everything, new Path2D()));
      return nest.paths.get(name);
    };
    const {widths, base} = this.app.run;
    for (let k = 0; k < nest.cells.length; ++k) {
      const size = Math.floor(k / widths.length), width = k % widths.length;
      if (k === cell || !this.drawnOf(k)) continue;
      const by = this.app.shows === "widths" ? width - base[1] : size - base[0] || width - base[1];
      pen.lineWidth = 0.9 / this.scale;
      pen.strokeStyle = colour(by < 0 ? "--small" : by > 0 ? "--large" : "--ink");
      pen.setLineDash(by > 0 ? [5 / this.scale, 2 / this.scale] : []);
      pen.stroke(path(k, false));
    }
    pen.setLineDash([]);
    pen.lineWidth = 1.3 / this.scale;
    pen.strokeStyle = colour("--ink");
    if (nest.cells[cell]) pen.stroke(path(cell, true));
  }

  drawThings() {
    const wide = this.stage.clientWidth, high = this.stage.clientHeight, {held} = this.app;
    this.svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    const place = p => this.px(p).map(v => v.toFixed(1)).join(" ");
    const d = points => points.map((p, i) => (i ? "L" : "M") + place(p)).join("");
    const group = s("g"), top = s("g");
    const word = (text, at, dx = 8, dy = -6) => { const [x, y] = this.px(at); top.append(s("text", {x: x + dx, y: y + dy}, text)); };
    for (const piece of this.pieces()) {
      const mine = held?.piece === piece.name, spec = this.app.specOf(piece.name);
      edgesOf(piece).forEach((edge, i) => {
        if (!edge.points.length) return;
        const chosen = mine && held.edge === edge.name && (held.kind === "edge" || held.edges?.includes(edge.name));
        const seam = held?.kind === "seam" && held.sides?.some(side => side.piece === piece.name && side.edge === edge.name);
        (chosen || seam ? top : group).append(s("path", {d: d(edge.points), class: (this.app.pencil.has(`${piece.name} > ${edge.name}`) ? "pencilled " : "") + "net " + (chosen || seam ? "held" : mine ? "heldpiece" : held?.piece ? "other" : "")}));
        if (mine) {
          const corner = spec?.edges[i]?.from, [x, y] = this.px(edge.points[0]);
          const is = held.kind === "corner" && held.corner === corner;
          top.append(s("rect", {x: x - 4, y: y - 4, width: 8, height: 8, class: "corner" + (is ? " held" : "")}));
          if (is) word(corner, edge.points[0]);
          if (chosen) word(edge.name, edge.points[Math.floor(edge.points.length / 2)]);
        }
      });
    }
    if (this.app.showsLines) {
      for (const line of this.lines()) {
        const is = held?.kind === "line" && held.line === line.name;
        (is ? top : group).append(s("path", {d: d([line.a, line.b]), class: "rule" + (is ? " held" : "")}));
        if (is) word(line.name, [(line.a[0] + line.b[0]) / 2, (line.a[1] + line.b[1]) / 2]);
      }
      for (const [name, at] of Object.entries(this.forme()?.points ?? {})) {
        const p = [at[0] / 100, at[1] / 100], [x, y] = this.px(p), is = (held?.kind === "point" && held.point === name) || this.app.picked?.includes(name);
        (is ? top : group).append(s("circle", {cx: x, cy: y, r: is ? 5 : 2.6, class: "point" + (is ? " held" : "")}));
        if (is) word(name, p);
      }
    }
    for (const one of this.app.trace?.lines ?? []) {
      for (const [which, shows] of [["was", 1 - this.app.trace.fade], ["now", this.app.trace.fade]])
        if (one[which].length) top.append(s("path", {d: d(one[which].map(p => [p[0] / 100, p[1] / 100])), class: "trace " + which, opacity: Math.min(1, 0.15 + 1.3 * shows).toFixed(2)}));
    }
    if (this.drawn && this.moved) { const from = this.px(this.forme().points[this.drawn.from].map(v => v / 100)); top.append(s("path", {d: `M${from.join(" ")}L${this.drawn.to.join(" ")}`, class: "net wanted"})); }
    if (this.app.mark) { const [x, y] = this.px(this.app.mark); top.append(s("path", {d: `M${x - 9} ${y}h18M${x} ${y - 9}v18`, class: "net held"})); }
    this.svg.replaceChildren(group, top);
  }
}
