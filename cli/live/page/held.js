// What is held, in sentences: the style, a forme, a piece, an edge, a corner, a point, a line, a rule, a seam, a feature.
// Each kind is a function of the app that gives elements; each has its verbs in verbs.js.
import {h, pointer} from "/dom.js";
import {act, isReference, said, sentence, spotOf, statedSentence} from "/words.js";
import {carriesOf, carriesText, closure} from "/exact.js";
import {lieSentences} from "/start.js";
import {formeActs, girthLines, measureLines} from "/measures.js";
import {featureParts, kindOf, propertiesOf} from "/features.js";

const TREATMENTS = {raw: "left raw", lasting: "lasted", lap: "lapped over", fold: "folded over", "closed seam": "sewn in a closed seam", "open seam": "sewn in an open seam", bound: "bound", bagged: "bagged", trim: "trimmed after the making"};
const FORMS = {full: "full to the end of each edge", mitre: "mitred", square: "cut off square", step: "stepped", round: "rounded"};
const FEET = {"": "the style's foot", left: "the left foot", right: "the right foot", both: "each shoe in both hands"};
const HANDS = {handed: "left and right", symmetric: "the same for both feet", reversible: "left and right, from material with two good sides"};

const title = text => h("h2", {}, text);
const list = items => h("ul", {}, items.map(item => h("li", {}, item)));

// A word that sets a key or, emptied, takes it away.
function keeps(app, at, what, extra = {}) {
  return value => app.change(`${what}: ${value ?? "as usual"}`, [value === null ? {do: "remove", at} : {do: "set", at, to: value}], extra);
}
const word = (app, at, name, value, more = {}) => ({at, name, value, keep: keeps(app, at, name), ...more});

export function stylePart(app) {
  const {style, problems} = app;
  const out = [title(style.name ?? "A style without a name"),
    sentence(problems, "It is called ", word(app, "/name", "name of the style", style.name), ". Its base is size ", word(app, "/base/size", "base size", style.base?.size), ", width ", word(app, "/base/width", "base width", style.base?.width), "."),
    sentence(problems, "It runs from size ", word(app, "/run/from", "first size", style.run?.from), " to ", word(app, "/run/to", "last size", style.run?.to), " by ", word(app, "/run/by", "step of the run", style.run?.by, {number: true, instead: "1"}), ", in the widths ",
      {...word(app, "/run/widths", "widths of the run", (style.run?.widths ?? []).join(" ")), keep: value => app.change("widths of the run", [{do: "set", at: "/run/widths", to: (value ?? "").split(/[\s,]+/).filter(Boolean)}])}, "."),
    ...(style.run?.also ?? []).map((part, i) => sentence(problems, "It is also made from size ", word(app, `/run/also/${i}/from`, `first size of part ${i + 2}`, part.from), " to ", word(app, `/run/also/${i}/to`, `last size of part ${i + 2}`, part.to), " by ", word(app, `/run/also/${i}/by`, `step of part ${i + 2}`, part.by, {number: true, instead: "1"}), ", in the widths ",
      {...word(app, `/run/also/${i}/widths`, `widths of part ${i + 2}`, part.widths.join(" ")), keep: value => app.change("widths of the run", [{do: "set", at: `/run/also/${i}/widths`, to: (value ?? "").split(/[\s,]+/).filter(Boolean)}])}, "."))];
  out.push(h("h3", {}, "Measures"), ...measureLines(app), h("h3", {}, "Girths"), ...girthLines(app));
  out.push(h("h3", {}, "Limits"), ...limitLines(app));
  return out;
}

function limitLines(app) {
  const known = app.schema?.properties?.limits?.properties ?? {};
  return Object.entries(known).filter(([, spec]) => spec.type !== "object").map(([name, spec]) => {
    const at = pointer("limits", name), value = app.style.limits?.[name];
    const keep = to => app.change(`limit ${name}: ${to ?? "as usual"}`, to === null ? [{do: "remove", at}] : app.style.limits ? [{do: "set", at, to}] : [{do: "set", at: "/limits", to: {[name]: to}}]);
    return h("details", {}, h("summary", {}, name.replace(/_/g, " ") + (value === undefined ? "" : ": " + value)), h("p", {class: "small"}, spec.description), sentence(app.problems, "Here ", {at, name: "limit " + name, value, number: true, instead: "as usual", keep}));
  });
}

export function formePart(app, held) {
  const forme = app.style.formes?.[held.forme] ?? {}, at = pointer("formes", held.forme), points = Object.keys(forme.points ?? {}), lines = (forme.rules ?? []).filter(rule => rule.measure_line).map(rule => rule.measure_line);
  const base = forme.base_line ?? [];
  const [called, away] = formeActs(app, held.forme);
  return [title("Forme " + held.forme), called,
    sentence(app.problems, "Its base line runs from ", word(app, at + "/base_line/0", "start of the base line", base[0], {choices: points}), " to ", word(app, at + "/base_line/1", "end of the base line", base[1], {choices: points}), "; ", word(app, at + "/fixed", "the fixed point", forme.fixed, {choices: points}), " stays where it is in every size."),
    sentence(app.problems, "Lengths follow the line ", word(app, at + "/length_line", "line for lengths", forme.length_line, {choices: lines}), ", girths the line ", word(app, at + "/girth_line", "line for girths", forme.girth_line, {choices: lines}), "."),
    h("h3", {}, "Rules"), list((forme.rules ?? []).map((rule, i) => act(ruleText(rule), () => app.hold(rule.measure_line || rule.check_line ? {kind: "line", forme: held.forme, line: rule.measure_line ?? rule.check_line} : {kind: "rule", forme: held.forme, rule: i})))),
    h("h3", {}, "Points"), list(points.map(point => act(point, () => app.hold({kind: "point", forme: held.forme, point})))), away];
}

export function ruleText(rule) {
  if (rule.measure_line) return `${rule.measure_line}, from ${rule.from} to ${rule.to}, carries ${carriesText(rule.carries)}`;
  if (rule.check_line) return `${rule.check_line}, from ${rule.from} to ${rule.to}, is checked against ${carriesText(rule.carries)}`;
  if (rule.point) return `${rule.point} moves ${(rule.per_size ?? []).join(", ")} a size and ${(rule.per_width ?? []).join(", ")} a width`;
  if (rule.hold) return `held together: ${rule.hold.join(", ")}`;
  if (rule.straight) return `on one straight line: ${rule.straight.join(", ")}`;
  if (rule.square) return `square to ${(rule.to ?? []).join(" and ")}: ${rule.square.join(", ")}`;
  return JSON.stringify(rule);
}

export function rulePart(app, held) {
  const rule = app.style.formes?.[held.forme]?.rules?.[held.rule], at = pointer("formes", held.forme, "rules", held.rule);
  if (!rule) return [title("That rule is gone")];
  const out = [title("A rule of " + held.forme), h("div", {class: "line"}, ruleText(rule) + ".")];
  if (rule.point) {
    const pair = (key, name) => ({...placeWord(app, `${at}/${key}`, name, rule[key] ?? [0, 0]), name});
    out.push(sentence(app.problems, "Each size moves it by ", pair("per_size", "a size"), " and each width by ", pair("per_width", "a width"), " mm: along the base line, then to its left."));
  }
  // The points that a rule holds, in their order; what it is square to has its own.
  for (const key of ["hold", "straight", "square", ...(rule.square ? ["to"] : [])]) {
    if (!Array.isArray(rule[key])) continue;
    const known = Object.keys(app.style.formes[held.forme].points ?? {});
    out.push(sentence(app.problems, key === "to" ? "It is square to the line from and to " : "Its points are ", {at: `${at}/${key}`, name: key === "to" ? "square to" : "points", value: rule[key].join(", "), keep: text => {
      const list = (text ?? "").split(",").map(one => one.trim()).filter(Boolean), unknown = list.find(one => !known.includes(one));
      if (unknown || list.length < (key === "square" ? 1 : 2)) return app.tell(unknown ? `the forme has no point called ${unknown}: nothing was changed` : "too few points: nothing was changed");
      return app.change(`${key}: ${list.join(", ")}`, [{do: "set", at: `${at}/${key}`, to: list}]);
    }}, "."));
  }
  out.push(act("Take this rule away", () => app.change("take away: " + ruleText(rule), [{do: "remove", at}], {hold: {kind: "forme", forme: held.forme}})));
  return out;
}

export function linePart(app, held) {
  const rules = app.style.formes?.[held.forme]?.rules ?? [], index = rules.findIndex(rule => (rule.measure_line ?? rule.check_line) === held.line);
  if (index < 0) return [title("That line is gone")];
  const rule = rules[index], at = pointer("formes", held.forme, "rules", index), points = Object.keys(app.style.formes[held.forme].points ?? {}), measures = Object.keys(app.style.measures ?? {});
  const girths = Object.entries(app.style.girths ?? {}).filter(([, parts]) => parts.some(part => part.forme === held.forme && part.line === held.line)).map(([name]) => name);
  const told = h("p", {class: "small", role: "status"});
  const tell = text => { const read = carriesOf(text, measures); told.textContent = read.wrong ?? girths.map(name => closure(app.style, name, {forme: held.forme, line: held.line, carries: read.carries}).says).join("; "); };
  const keep = text => { const read = carriesOf(text ?? "", measures); if (read.wrong) { told.textContent = read.wrong; return; } app.change(`${held.line} carries ${carriesText(read.carries)}`, [{do: "set", at: at + "/carries", to: read.carries}]); };
  const came = app.sheet?.formes.find(one => one.name === held.forme)?.lines.find(one => one.line === held.line);
  tell(carriesText(rule.carries));
  return [title((rule.measure_line ? "Measure line " : "Check line ") + held.line),
    sentence(app.problems, "It is called ", {at: at + (rule.measure_line ? "/measure_line" : "/check_line"), name: "name of the line", value: held.line, keep: name => name && app.named(`${held.line} is called ${name}`, {what: "rename line", forme: held.forme, line: held.line, name}, {hold: {...held, line: name}})}, ", goes from ", word(app, at + "/from", "where it starts", rule.from, {choices: points}), " to ", word(app, at + "/to", "where it ends", rule.to, {choices: points}), rule.measure_line ? " and carries " : " and is checked against ", {at: at + "/carries", name: "what it carries", value: carriesText(rule.carries), keep, typing: tell}, "."), told,
    came ? h("div", {class: "line"}, `In size ${app.cellName()} it is ${came.reached.toFixed(2)} mm; the table asks for ${came.wanted.toFixed(2)} mm.`) : null,
    sentence(app.problems, "In the base size it is drawn ", word(app, at + "/extra", "drawn longer by", rule.extra, {number: true, instead: "0"}), inUnit(rule.extra).slice(0, -1) + " longer than what it carries."),
    act("Take this line away", () => app.change(`take away the line ${held.line}`, [{do: "remove", at}], {hold: {kind: "forme", forme: held.forme}}))];
}

export function pointPart(app, held) {
  const at = pointer("formes", held.forme, "points", held.point), place = app.style.formes?.[held.forme]?.points?.[held.point];
  if (!place) return [title("That point is gone")];
  const uses = (app.style.formes[held.forme].rules ?? []).map((rule, i) => [rule, i]).filter(([rule]) => JSON.stringify(rule).includes(JSON.stringify(held.point)));
  const corners = app.style.pieces.filter(piece => piece.forme === held.forme).flatMap(piece => Object.entries(piece.corners ?? {}).filter(([, corner]) => spotOf(corner) === held.point).map(([corner]) => ({kind: "corner", piece: piece.name, corner})));
  return [title("Point " + held.point),
    sentence(app.problems, "It is called ", {at, name: "name of the point", value: held.point, keep: name => name && app.named(`${held.point} is called ${name}`, {what: "rename point", forme: held.forme, point: held.point, name}, {hold: {...held, point: name}})}, ...(isReference(place) ? ["."] : [" and lies at ", placeWord(app, at, `point ${held.point}`, place), " in the drawing."])),
    isReference(place) ? statedSentence(app, at, `point ${held.point}`, place) : "",
    h("h3", {}, "Rules that name it"), list(uses.map(([rule, i]) => act(ruleText(rule), () => app.hold(rule.measure_line || rule.check_line ? {kind: "line", forme: held.forme, line: rule.measure_line ?? rule.check_line} : {kind: "rule", forme: held.forme, rule: i})))),
    h("h3", {}, "Corners that lie on it"), list(corners.map(one => act(`${one.corner} of the ${one.piece}`, () => app.hold(one))))];
}

export function piecePart(app, held) {
  const {spec, at} = app.pieceAt(held.piece);
  if (!spec) return [title("That piece is gone")];
  const outline = spec.outline ?? {}, edges = (spec.edges ?? []).map(edge => edge.name);
  const drawn = [outline.block && "block " + outline.block, outline.layer && "layer " + outline.layer].filter(Boolean).join(", ");
  const seams = (app.style.seams ?? []).filter(seam => seam.one?.piece === spec.name || seam.other?.piece === spec.name);
  return [title(spec.name),
    sentence(app.problems, "The piece is called ", {at: at + "/name", name: "name of the piece", value: spec.name, keep: name => name && app.named(`${spec.name} is called ${name}`, {what: "rename piece", piece: spec.name, name}, {hold: {...held, piece: name}})}, " and lies on the ", word(app, at + "/forme", "its forme", spec.forme, {choices: Object.keys(app.style.formes ?? {})}), `. It is drawn in ${outline.drawing}${drawn ? ", " + drawn : ""}; the drawing shows the `, word(app, at + "/drawn", "what the drawing shows", spec.drawn ?? "net", {choices: ["net", "cut"], say: {net: "net line", cut: "cut line"}}), "."),
    sentence(app.problems, "It is cut from ", word(app, at + "/material", "material", spec.material, {instead: "no material"}), ", ", word(app, at + "/per_pair", "how many a pair", spec.per_pair, {number: true, instead: "2"}), " a pair, ", word(app, at + "/hand", "hands", spec.hand ?? "handed", {choices: Object.keys(HANDS), say: HANDS}), ...((spec.hand ?? "handed") === "handed" ? [", drawn for ", {at: at + "/drawn_foot", name: "foot it is drawn for", value: spec.drawn_foot ?? "", choices: Object.keys(FEET), say: FEET, keep: value => keeps(app, at + "/drawn_foot", "foot it is drawn for")(value || null)}] : []), "; it belongs to the layer ", word(app, at + "/layer", "layer", spec.layer, {instead: "all"}), "."),
    sentence(app.problems, "It is cut double on ", {at: at + "/fold", name: "edge on the fold", value: spec.fold ?? "", choices: ["", ...edges], say: {"": "no edge"}, keep: value => keeps(app, at + "/fold", "fold")(value || null)}, "."),
    ...lieSentences(app, spec, at), ...tieSentences(app, spec, at),
    h("h3", {}, "Edges"), ...(spec.edges ?? []).map((edge, i) => edgeSentence(app, spec.name, edge, `${at}/edges/${i}`)),
    h("h3", {}, "Seams"), list(seams.map(seam => act(seamText(seam), () => app.hold({kind: "seam", seam: seam.name})))),
    h("h3", {}, "Features"), list((spec.features ?? []).map((feature, i) => act(kindOf(feature).replace(/_/g, " ") + ": " + feature[kindOf(feature)], () => app.hold({kind: "feature", piece: spec.name, feature: i})))),
    act("Take the piece off the sheet", () => app.named(`take off the ${spec.name}`, {what: "remove piece", piece: spec.name}, {hold: null}))];
}

// Another treatment brings its usual allowance along, where the edge has none of its own yet: common practice, told as such.
function treats(app, layer, edge, at) {
  return treatment => {
    const usual = one => app.usual?.[layer]?.[one] ?? app.usual?.uppers?.[one] ?? app.usual?.linings?.[one], now = Number(edge.allowance ?? 0);
    const mine = now !== 0 && now !== usual(edge.treatment ?? "raw"), brings = usual(treatment);
    const edits = [{do: "set", at: at + "/treatment", to: treatment}];
    if (!mine && brings !== undefined && brings !== now) edits.push(brings ? {do: "set", at: at + "/allowance", to: brings} : {do: "remove", at: at + "/allowance"});
    app.change(`${edge.name}: ${treatment}${edits.length > 1 ? `, ${brings} mm as is usual` : ""}`, edits, edits.length > 1 ? {tells: `${edge.name} has ${brings} mm, which is usual: change it if your works does it differently.`} : {});
  };
}
// Both numbers of a place, as they are typed: "187, -8.2".
function placeWord(app, at, what, place) {
  return {at, name: "place", value: place.join(", "), keep: text => {
    const pair = (text ?? "").split(",").map(said);
    if (pair.length !== 2 || pair.some(one => one === "")) return app.tell(`${what}: a place is two numbers, such as 120.5, 33`);
    return app.change(`${what}: ${text}`, [{do: "set", at, to: pair}]);
  }};
}

// Sizes that one die serves: "5 to 6.5 as 6".
function tieSentences(app, spec, at) {
  const ties = spec.sizes_tied ?? [], sizes = app.run?.sizes ?? [], tie = (key, i, name) => word(app, `${at}/sizes_tied/${i}/${key}`, `tie ${i + 1}: ${name}`, ties[i][key], {choices: sizes});
  const next = Math.min(sizes.indexOf(ties.at(-1)?.to) + 1, Math.max(sizes.length - 2, 0));  // where the last tie ends
  return [...ties.map((one, i) => sentence(app.problems, "Sizes ", tie("from", i, "from"), " to ", tie("to", i, "to"), " are cut as ", tie("as", i, "as"), ". ", act("Not so", () => app.change(`no tie of ${one.from} to ${one.to}`, [{do: "remove", at: ties.length > 1 ? `${at}/sizes_tied/${i}` : at + "/sizes_tied"}])))),
    sizes.length > 1 ? h("div", {class: "line"}, act("Tie sizes", () => app.question(`Tie sizes of the ${spec.name}`, [{name: "from", label: "From size", choices: sizes, value: sizes[next]}, {name: "to", label: "to size", choices: sizes, value: sizes[Math.min(next + 1, sizes.length - 1)]}, {name: "as", label: "cut as", choices: sizes, value: sizes[next]}], answer => {
      if (sizes.indexOf(answer.to) <= sizes.indexOf(answer.from)) return "a tie runs from a smaller size to a larger one";
      app.change(`tie ${answer.from} to ${answer.to} as ${answer.as}`, [ties.length ? {do: "insert", at: at + "/sizes_tied/-", to: answer} : {do: "set", at: at + "/sizes_tied", to: [answer]}]);
    }))) : null];
}

// The fold of a piece that is cut double lies inside it: nothing is cut or turned over there. One that has an allowance, which is
// refused, is shown as it is stated, so that it can be mended.
export const isFold = (spec, edge) => spec?.fold !== undefined && spec.fold === edge?.name && parseFloat(edge.allowance ?? 0) === 0 && !edge.allowance_from;
// A length may be written with its unit: 5/8 in.
const inUnit = length => /[a-z"]/i.test(String(length ?? "")) ? "." : " mm.";
function edgeSentence(app, piece, edge, at) {
  if (isFold(app.specOf(piece), edge)) return h("div", {class: "line"}, act(edge.name, () => app.hold({kind: "edge", piece, edge: edge.name})), " is the line on which it is cut double.");
  return sentence(app.problems, act(edge.name ?? "an edge", () => app.hold({kind: "edge", piece, edge: edge.name})), " is ", word(app, at + "/treatment", `${edge.name}: what is done`, edge.treatment ?? "raw", {choices: Object.keys(TREATMENTS), say: TREATMENTS, keep: treats(app, app.specOf(piece)?.layer, edge, at)}), " with ", word(app, at + "/allowance", `${edge.name}: allowance`, edge.allowance, {number: true, instead: "0"}), inUnit(edge.allowance));
}

export const seamText = seam => `"${seam.one?.edge}" of ${seam.one?.piece} with "${seam.other?.edge}" of ${seam.other?.piece}`;

export function edgePart(app, held) {
  const {spec, at: pieceAt} = app.pieceAt(held.piece), index = spec?.edges?.findIndex(edge => edge.name === held.edge) ?? -1;
  if (index < 0) return [title("That edge is gone")];
  const edge = spec.edges[index], at = `${pieceAt}/edges/${index}`, corner = name => act(name, () => app.hold({kind: "corner", piece: spec.name, corner: name}));
  const steps = Object.entries(edge.allowance_from ?? {}), sizes = app.run?.sizes ?? [];
  const seams = (app.style.seams ?? []).filter(seam => [seam.one, seam.other].some(side => side?.piece === spec.name && side?.edge === edge.name));
  const from = steps.map(([size, allowance]) => sentence(app.problems, "From size ", size, " on it has ", word(app, at + pointer("allowance_from", size), `allowance from size ${size}`, allowance, {number: true}), inUnit(allowance) + " ",
    act("Not so", () => app.change(`no other allowance from size ${size}`, [{do: "remove", at: steps.length > 1 ? at + pointer("allowance_from", size) : at + "/allowance_from"}]))));
  const more = {name: "another allowance from a size on", value: "", choices: ["", ...sizes.filter(size => !(size in (edge.allowance_from ?? {})))], say: {"": "none"}, keep: size => size && app.change(`another allowance from size ${size}`, steps.length ? [{do: "set", at: at + pointer("allowance_from", size), to: edge.allowance ?? 0}] : [{do: "set", at: at + "/allowance_from", to: {[size]: edge.allowance ?? 0}}])};
  const called = {at: at + "/name", name: "name of the edge", value: edge.name, keep: name => name && app.named(`${edge.name} is called ${name}`, {what: "rename edge", piece: spec.name, edge: edge.name, name}, {hold: {...held, edge: name}})}, double = isFold(spec, edge);
  const lines = double
    ? [sentence(app.problems, "The edge ", called, ` is the line on which the ${spec.name} is cut double: it lies inside the piece, so nothing is cut, added or folded over along it.`)]
    : [sentence(app.problems, "The edge ", called, " is ", word(app, at + "/treatment", "what is done with it", edge.treatment ?? "raw", {choices: Object.keys(TREATMENTS), say: TREATMENTS, keep: treats(app, spec.layer, edge, at)}), " with ", word(app, at + "/allowance", "allowance", edge.allowance, {number: true, instead: "0"}), inUnit(edge.allowance)),
      ...from, sentence(app.problems, "Another allowance from a size on: ", more, ".")];
  return [title(`${edge.name} of the ${spec.name}`), ...lines,
    h("div", {class: "line"}, "It runs from ", corner(edge.from), " to ", corner(edge.to), "."),
    sentence(app.problems, "In every size it ", {at: at + "/held", name: "whether it keeps its shape", value: edge.held ? "keeps" : "goes", choices: ["goes", "keeps"], say: {goes: "grows with the last", keeps: "keeps its drawn shape"}, keep: value => keeps(app, at + "/held", `${edge.name} held`)(value === "keeps" ? true : null)}, " and ", {at: at + "/straight", name: "whether it is straight", value: edge.straight ? "straight" : "free", choices: ["free", "straight"], say: {free: "may curve", straight: "is one straight line"}, keep: value => keeps(app, at + "/straight", `${edge.name} straight`)(value === "straight" ? true : null)}, "."),
    seams.length ? list(seams.map(seam => act("Sewn: " + seamText(seam), () => app.hold({kind: "seam", seam: seam.name})))) : h("div", {class: "line"}, "It is sewn to nothing."),
    act("The whole " + spec.name, () => app.hold({kind: "piece", piece: spec.name}))];
}

export function cornerPart(app, held) {
  const {spec, at: pieceAt} = app.pieceAt(held.piece), corner = spec?.corners?.[held.corner], at = pieceAt + pointer("corners", held.corner);
  if (corner === undefined) return [title("That corner is gone")];
  const whole = corner !== null && typeof corner === "object" && !Array.isArray(corner) && !isReference(corner), spot = whole ? corner.at : corner, form = whole ? corner.form ?? "full" : "full";
  const points = Object.keys(app.style.formes?.[spec.forme]?.points ?? {}), spotAt = whole ? at + "/at" : at;
  const lies = isReference(spot) ? statedSentence(app, spotAt, `corner ${held.corner}`, spot) : Array.isArray(spot)
    ? sentence(app.problems, "It lies at ", placeWord(app, spotAt, `corner ${held.corner}`, spot), " in the drawing.")
    : sentence(app.problems, "It lies on the point ", word(app, spotAt, "point it lies on", spot, {choices: points}), ".");
  return [title(`${held.corner}, a corner of the ${spec.name}`),
    sentence(app.problems, "It is called ", {at, name: "name of the corner", value: held.corner, keep: name => name && app.named(`${held.corner} is called ${name}`, {what: "rename corner", piece: spec.name, corner: held.corner, name}, {hold: {...held, corner: name}})}, "."), lies,
    sentence(app.problems, "The cut line goes round it ", {at: whole ? at + "/form" : at, name: "form of the corner", value: form, choices: Object.keys(FORMS), say: FORMS, keep: value => app.change(`corner ${held.corner}: ${value}`, [whole && value !== "full" ? {do: "set", at: at + "/form", to: value} : {do: "set", at, to: value === "full" ? spot : {at: spot, form: value}}])}, "."),
    act("No corner here", () => app.named(`no corner at ${held.corner}`, {what: "corner off", piece: spec.name, corner: held.corner}, {hold: {kind: "piece", piece: spec.name}})),
    act("The whole " + spec.name, () => app.hold({kind: "piece", piece: spec.name}))];
}

export function seamPart(app, held) {
  const index = (app.style.seams ?? []).findIndex(seam => seam.name === held.seam), seam = app.style.seams?.[index], at = pointer("seams", index);
  if (!seam) return [title("That seam is gone")];
  held.sides = [seam.one, seam.other];
  const side = one => act(`${one?.edge} of the ${one?.piece}`, () => app.hold({kind: "edge", piece: one?.piece, edge: one?.edge}));
  return [title("Seam " + seam.name), h("div", {class: "line"}, side(seam.one), " is sewn to ", side(seam.other), "."),
    sentence(app.problems, "It is called ", {...word(app, at + "/name", "name of the seam", seam.name), keep: name => name && app.change(`seam ${seam.name} is called ${name}`, [{do: "set", at: at + "/name", to: name}], {hold: {kind: "seam", seam: name}})}, "; the second edge is longer by an ease of ", word(app, at + "/ease", "ease", seam.ease, {number: true, instead: "0"}), inUnit(seam.ease) + " The edges lie ", {at: at + "/mirrored", name: "how the edges lie", value: seam.mirrored ? "turned" : "same", choices: ["same", "turned"], say: {same: "as they are drawn", turned: "one turned over"}, keep: value => keeps(app, at + "/mirrored", "seam mirrored")(value === "turned" ? true : null)}, "."),
    act("Unpick it", () => app.change(`unpick ${seam.name}`, [{do: "remove", at}], {hold: null}))];
}

export function featurePart(app, held) {
  const {spec, at: pieceAt} = app.pieceAt(held.piece), feature = spec?.features?.[held.feature], at = `${pieceAt}/features/${held.feature}`;
  if (!feature) return [title("That feature is gone")];
  held.edges = feature.edges ?? (feature.edge ? [feature.edge] : feature.at?.edge ? [feature.at.edge] : []);
  return [title(`${kindOf(feature).replace(/_/g, " ")} ${feature[kindOf(feature)]} of the ${spec.name}`), ...featureParts(app, feature, at, spec),
    act("Take it away", () => app.change(`take away ${feature[kindOf(feature)]}`, [{do: "remove", at: spec.features.length > 1 ? at : pieceAt + "/features"}], {hold: {kind: "piece", piece: spec.name}})), act("The whole " + spec.name, () => app.hold({kind: "piece", piece: spec.name}))];
}

export const partsOf = {style: stylePart, forme: formePart, rule: rulePart, line: linePart, point: pointPart, piece: piecePart, edge: edgePart, corner: cornerPart, seam: seamPart, feature: featurePart};
