// Measures, the girths they close and the formes: said in sentences, and the verbs that put one in, call it otherwise, take
// it away.
import {carriesOf, closure, fraction, shown} from "/exact.js";
import {h, pointer} from "/dom.js";
import {act, said, sentence} from "/words.js";

const LAWS = {arithmetic: "equal steps", proportional: "its share of the length"};
const word = (app, at, name, value, more = {}) => ({at, name, value, ...more, keep: to => app.change(`${name}: ${to ?? "as usual"}`, [(to ?? "") === "" ? {do: "remove", at} : {do: "set", at, to}])});
const number = {number: true};

// A list of the style that may not be there yet, or goes with its last part.
const added = (list, at, part) => list ? {do: "insert", at: at + "/-", to: part} : {do: "set", at, to: [part]};
const taken = (list, at, i) => list.length > 1 ? {do: "remove", at: `${at}/${i}`} : {do: "remove", at};

export function measureLines(app) {
  return Object.entries(app.style.measures ?? {}).map(([name, spec]) => {
    const at = pointer("measures", name), breaks = spec.breaks ?? [], proportional = spec.law === "proportional";
    const named = {at, name: "name of the measure " + name, value: name, keep: to => to && app.named(`${name} is called ${to}`, {what: "rename measure", measure: name, name: to})};
    const grows = part => ["grows ", word(app, at + part + "/per_size", name + ", a size", (part ? breaks[part.slice(8)] : spec).per_size, {...number, instead: part ? "as elsewhere" : "0"}), " a size and ", word(app, at + part + "/per_width", name + ", a width", (part ? breaks[part.slice(8)] : spec).per_width, {...number, instead: part ? "as elsewhere" : "0"}), " a width"];
    return h("div", {}, spec.from_scale
      ? sentence(app.problems, named, " follows the scale and grows ", word(app, at + "/per_width", name + ", a width", spec.per_width, {...number, instead: "0"}), " a width.")
      : sentence(app.problems, named, " is ", word(app, at + "/base", name + ", in the base size", spec.base, number), ", ", ...grows(""), "."),
    ...breaks.map((part, i) => sentence(app.problems, "From size ", word(app, `${at}/breaks/${i}/from`, `${name}, first size of stretch ${i + 1}`, part.from), " to ", word(app, `${at}/breaks/${i}/to`, `${name}, last size of stretch ${i + 1}`, part.to), " it ", ...grows(`/breaks/${i}`), ". ", act("As elsewhere", () => app.change(`${name}: no stretch from ${part.from} to ${part.to}`, [taken(breaks, at + "/breaks", i)])))),
    h("details", {class: "more"}, h("summary", {}, "more of the " + name),
      spec.from_scale ? null : sentence(app.problems, "Its law is ", word(app, at + "/law", name + ", its law", spec.law ?? "arithmetic", {choices: Object.keys(LAWS), say: LAWS}), proportional ? ": a size grows with the length, whatever is said above." : "."),
      sentence(app.problems, "Each width wider takes it from ", word(app, at + "/size_steps_per_width", name + ", sizes a width", spec.size_steps_per_width, {...number, instead: "0"}), " sizes further up."),
      h("p", {}, spec.from_scale ? null : [act("Other steps in a stretch of sizes", () => stretch(app, name)), " "], act("Take this measure away", () => app.named("take away the measure " + name, {what: "remove measure", measure: name})))));
  });
}

function stretch(app, name) {
  const spec = app.style.measures[name], at = pointer("measures", name), sizes = app.run?.sizes ?? [];
  app.question(`The ${name} in a stretch of sizes`, [
    {name: "from", label: "From size", choices: sizes, value: sizes[0]},
    {name: "to", label: "to size", choices: sizes, value: app.run?.base_name?.split(" ")[0] ?? sizes.at(-1)},
    {name: "size", label: "it grows a size by", value: String(spec.per_size)},
    {name: "width", label: "and a width by (empty: as elsewhere)", value: ""},
  ], answer => {
    if (sizes.indexOf(answer.from) >= sizes.indexOf(answer.to)) return "a stretch ends above the size it begins at";
    if (!answer.size.trim()) return "say by how much it grows there: 3/16 in, 5 mm";
    const part = {from: answer.from, to: answer.to, per_size: said(answer.size), ...(answer.width.trim() ? {per_width: said(answer.width)} : {})};
    app.change(`${name} from ${answer.from} to ${answer.to}: ${answer.size} a size`, [added(spec.breaks, at + "/breaks", part)]);
  });
}

function addMeasure(app) {
  const taken = Object.keys(app.style.measures ?? {});
  app.question("A measure of the last", [
    {name: "name", label: "Its name", value: ""},
    {name: "base", label: "In the base size (empty: as the scale has it)", value: ""},
    {name: "size", label: "It grows a size by", value: "1/4 in"},
    {name: "width", label: "and a width by", value: "1/4 in"},
  ], answer => {
    const name = answer.name.trim();
    if (!name || taken.includes(name)) return name ? `there is a ${name} already` : "a measure needs a name";
    const spec = answer.base.trim() ? {base: said(answer.base), per_size: said(answer.size), per_width: said(answer.width)} : {from_scale: true, per_width: said(answer.width)};
    app.change(`the measure ${name}`, [{do: "set", at: pointer("measures", name), to: spec}], {hold: null});
  });
}

export function girthLines(app) {
  const {style, problems} = app, lines = linesOf(style);
  return Object.entries(style.girths ?? {}).map(([name, parts]) => h("div", {},
    h("div", {class: "line"}, closure(style, name).says + "."),
    h("details", {class: "more"}, h("summary", {}, `lines of the ${name}`),
      ...parts.map((part, i) => { const at = pointer("girths", name); return sentence(problems, `It runs over the ${part.line} of ${part.forme}, `, word(app, `${at}/${i}/times`, `${name}, how often the ${part.line} counts`, part.times, {...number, instead: "1"}), " times. ", act("Take it out", () => app.change(`${name} without the ${part.line} of ${part.forme}`, [taken(parts, at, i)]))); }),
      h("p", {}, lines.length > parts.length ? act("One more line", () => addToGirth(app, name)) : null))));
}
const linesOf = style => Object.entries(style.formes ?? {}).flatMap(([forme, spec]) => (spec.rules ?? []).map(rule => rule.measure_line ?? rule.check_line).filter(Boolean).map(line => `${forme} > ${line}`));

function addToGirth(app, name = null) {
  const {style} = app, measures = Object.keys(style.measures ?? {}), lines = linesOf(style);
  if (!measures.length || !lines.length) return app.tell("A girth is a measure that lines carry: put in a measure and draw a line first.");
  app.question("A line that a girth runs over", [
    {name: "girth", label: "The girth", choices: measures, value: name ?? Object.keys(style.girths ?? {})[0] ?? measures[0]},
    {name: "line", label: "The line: press it, or choose it", choices: lines, value: lines[0], pick: "line", picked: (_, thing) => `${thing.forme} > ${thing.line}`},
    {name: "times", label: "how many times (2 where the forme stands for both sides)", value: "2"},
  ], answer => {
    const [forme, line] = answer.line.split(" > "), parts = style.girths?.[answer.girth], times = fraction(answer.times);
    if (!times || times.n <= 0n) return "how often it counts is a number such as 1, 2 or 1/2";
    if (parts?.some(part => part.forme === forme && part.line === line)) return `the ${answer.girth} runs over it already`;
    const part = {forme, line, ...(shown(times) === "1" ? {} : {times: said(answer.times)})}, at = pointer("girths", answer.girth);
    app.change(`${answer.girth} runs over ${line} of ${forme}`, [style.girths ? added(parts, at, part) : {do: "set", at: "/girths", to: {[answer.girth]: [part]}}], {hold: null});
  });
}

// What is usual to begin with: the share that the line is of the stick, as it is drawn.
function ownForme(app, piece) {
  const {style} = app, spec = app.specOf(piece), corners = Object.keys(spec.corners ?? {}), measures = Object.keys(style.measures ?? {}), formes = Object.keys(style.formes ?? {});
  if (corners.length < 3) return app.tell(`The ${piece} has fewer than three corners: put corners on first.`);
  const drawn = cornersDrawn(app, piece), apart = (a, b) => drawn[a] && drawn[b] ? Math.hypot(drawn[a][0] - drawn[b][0], drawn[a][1] - drawn[b][1]) : 0;
  let ends = [corners[0], corners[1]];
  for (const a of corners) for (const b of corners) if (apart(a, b) > apart(...ends) + 0.01) ends = [a, b];
  const others = corners.filter(one => !ends.includes(one)), side = others.reduce((best, one) => apart(ends[0], one) < apart(ends[0], best) ? one : best, others[0]);
  const whole = wholeLines(app), share = (a, b, measure) => whole[measure] && apart(a, b) ? `${Math.max(1, Math.round(1000 * apart(a, b) / whole[measure]))}/1000 ${measure}` : `1/4 ${measure}`;
  const length = measures.find(one => style.measures[one].from_scale) ?? measures[0], width = Object.keys(style.girths ?? {})[0] ?? measures.at(-1), press = {pick: "corner", picked: (_, thing) => thing.corner};
  app.question(`A forme of its own for the ${piece}`, [
    {name: "name", label: "Name of the forme", value: formes.includes(piece) ? piece + " forme" : piece},
    {name: "from", label: "Its base line runs from the corner (which stays in every size)", choices: corners, value: ends[0]},
    {name: "to", label: "to the corner", choices: corners, value: ends[1]},
    {name: "side", label: "Its width is measured from there to the corner: press it, or choose it", choices: corners, value: side, ...press},
    {name: "length", label: "The length carries", value: length ? share(...ends, length) : ""},
    {name: "width", label: "The width carries", value: width ? share(ends[0], side, width) : ""},
  ], answer => {
    const along = carriesOf(answer.length, measures), across = carriesOf(answer.width, measures);
    if (along.wrong || across.wrong) return along.wrong ?? across.wrong;
    app.named(`the ${piece} has a forme of its own`, {what: "own forme", piece, name: answer.name, from: answer.from, to: answer.to, side: answer.side, length: along.carries, width: across.carries}, {hold: {kind: "forme", forme: answer.name}, then: () => app.showAll()});
  });
}

// Corners of a piece as they lie on the sheet, mm.
function cornersDrawn(app, piece) {
  const edges = app.edgesOf(piece), out = {};
  for (const spec of app.specOf(piece).edges ?? []) { const points = edges.find(one => one.name === spec.name)?.points; if (points?.length) { out[spec.from] = points[0]; out[spec.to] = points.at(-1); } }
  return out;
}
// What a measure is in the base, by a line that carries the whole of it, or a share.
function wholeLines(app) {
  const out = {};
  for (const forme of app.sheet?.formes ?? []) for (const line of forme.lines) {
    const rule = app.style.formes?.[forme.name]?.rules?.find(one => (one.measure_line ?? one.check_line) === line.line), carries = Object.entries(rule?.carries ?? {});
    const part = carries.length === 1 ? fraction(carries[0][1]) : null;
    if (part && part.n > 0n) out[carries[0][0]] ??= line.base * Number(part.d) / Number(part.n);
  }
  for (const [name, spec] of Object.entries(app.style.measures ?? {})) { const mm = typeof spec.base === "number" ? spec.base : Number(/^(\d+\.?\d*) mm$/.exec(spec.base ?? "")?.[1]); if (mm > 0) out[name] = mm; }
  return out;
}

export function formeActs(app, forme) {
  const at = pointer("formes", forme), role = app.style.formes?.[forme]?.role;
  return [sentence(app.problems, "The forme is called ", {at, name: "name of the forme", value: forme, keep: name => name && app.named(`${forme} is called ${name}`, {what: "rename forme", forme, name}, {hold: {kind: "forme", forme: name}})}, " and is a copy of ", word(app, at + "/role", "the part of the last", role ?? "", {choices: ["", "upper", "bottom"], say: {"": "no part of the last, unless its name says one", upper: "the upper of the last", bottom: "the bottom of the last"}}), "."),
    act("Take this forme away", () => app.named("take away the forme " + forme, {what: "remove forme", forme}, {hold: null}))];
}

export function measureVerbs(app, add) {
  const piece = app.held?.piece;
  if (piece) add("give it its own forme", `the ${piece} is graded by itself`, () => ownForme(app, piece));
  add("put in a measure", "of the last: its base and its steps", () => addMeasure(app));
  for (const [name, spec] of Object.entries(app.style.measures ?? {})) if (!spec.from_scale) add("other steps of " + name, "in a stretch of the sizes", () => stretch(app, name));
  add("girth over a line", "one more line that a girth runs over", () => addToGirth(app));
}
