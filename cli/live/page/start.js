// From drawings: what the program made of them, and saying more; and the pile of outlines that are no pieces yet.
import {ask, Refused} from "/ask.js";
import {$, h} from "/dom.js";
import {act} from "/words.js";
import {ink, SURE} from "/pencil.js";

const counted = (number, one, many = one + "s") => `${number} ${number === 1 ? one : many}`;
const free = (wish, taken) => { if (!taken.includes(wish)) return wish; for (let i = 2; ; ++i) if (!taken.includes(`${wish} ${i}`)) return `${wish} ${i}`; };

// The first sentence a stranger sees of drawings that were just drafted.
export function greet(app, told = []) {
  const style = app.style, marks = (style.proposed ?? []).map((one, index) => ({...one, index}));
  const files = Object.values(style.drawings ?? {}).map(one => one.file), count = sure => marks.filter(one => one.sure === sure).length;
  const close = () => $("question").replaceChildren();
  $("question").replaceChildren(h("div", {role: "status"}, h("h3", {}, "A first draft"),
    h("p", {}, `${counted(style.pieces?.length ?? 0, "piece")} on ${counted(Object.keys(style.formes ?? {}).length, "forme")} from ${files.join(", ")}; the base is taken to be size ${style.base?.size}, width ${style.base?.width ?? ""}, of the scale ${style.scale}.`),
    h("p", {}, `In pencil stands what was put in by judgement: ${SURE.map(sure => count(sure) + " " + (sure === "guess" ? "guessed" : sure)).join(", ")}. Ink what is right, rub out or change what is not.`),
    told.length ? h("details", {open: told.length < 4}, h("summary", {}, counted(told.length, "thing") + " to know"), h("ul", {}, told.map(one => h("li", {class: "small"}, one)))) : "",
    h("div", {class: "acts"}, h("button", {type: "button", onclick: () => { close(); draftAnew(app); }}, "Say size, widths, kind of shoe"), " ",
      h("button", {type: "button", onclick: () => { close(); ink(app, marks.filter(one => one.sure === "sure")); }}, "Ink what is sure"), " ",
      h("button", {type: "button", onclick: () => { close(); app.open("pencil"); }}, "Go through them"), " ", h("button", {type: "button", onclick: close}, "Later"))));
}

export async function draftAnew(app) {
  let known;
  try { known = await ask("/choices"); } catch (error) { if (error instanceof Refused) return app.tell(error.message); throw error; }
  const style = app.style, measures = ["", "here", ...known.measures], anew = (app.style.proposed ?? []).length === 0;
  // What the draft has stands in the fields: left as they are, they ask for the same again.
  const run = style.run ?? {}, runs = run.from === undefined ? "" : `${run.from} ${run.to}${run.by === undefined ? "" : " " + run.by}`;
  app.question(anew ? "Draft all of it anew from the drawings? What you stated is dropped; this step can be taken back" : "Draft anew from the drawings", [
    {name: "scale", label: "Scale of the sizes", choices: known.scales, value: style.scale},
    {name: "size", label: "Base size (empty: read off its length)", value: String(style.base?.size ?? "")},
    {name: "widths", label: "Widths, narrowest first, with spaces between (empty: the base width and its neighbours)", value: (run.widths ?? []).join(" ")},
    {name: "run", label: "From size to size by step, such as 36 42 1 (empty: some sizes round the base)", value: runs},
    {name: "kinds", label: "Kind of shoe, also several: " + known.kinds.join(", "), value: ""},
    {name: "measures", label: "Measures", choices: measures, value: "", say: {"": "as the formes are drawn", here: "as this style has them now"}},
    {name: "lay", label: "Pieces that are drawn side by side", choices: ["lay", "leave"], value: "lay", say: {lay: "are laid on the forme by edges they share", leave: "stay where they are drawn"}},
    {name: "edge_lines", label: "Short straight lines square to an edge, on its outline's own layer", choices: ["", "nicks", "ignore"], value: Object.values(style.drawings ?? {})[0]?.edge_lines ?? "", say: {"": "are left out, and told", nicks: "are nicks", ignore: "mean nothing"}},
    {name: "fair", label: "Curves drawn in short chords become arcs within how many mm (0: they stay)", value: "0"},
  ], answer => {
    const words = text => text.split(/[\s,]+/).filter(Boolean), sizes = words(answer.run), fair = Number(answer.fair);
    const unknown = words(answer.kinds).find(one => !known.kinds.includes(one));
    if (unknown) return `there is no kind ${unknown}: there are ${known.kinds.join(", ")}`;
    if (sizes.length && (sizes.length < 2 || sizes.length > 3)) return "a run is two sizes and, if need be, a step: 36 42 1/2";
    if (!(fair >= 0 && fair <= 1)) return "chords are faired within 0 to 1 mm";
    app.send("/draft", {scale: answer.scale, size: answer.size.trim(), widths: words(answer.widths), from: sizes[0] ?? "", to: sizes[1] ?? "", by: sizes[2] ?? "", kinds: words(answer.kinds), measures: answer.measures, lay: answer.lay === "lay", edge_lines: answer.edge_lines, fair}, {hold: null, tells: "Drafted anew from the drawings.", then: state => { app.showAll(); greet(app, state.told); }});
  });
}

// ---- the pile
export async function fillPile(app) {
  try { app.pile = (await ask("/pile")).pile; } catch (error) { if (!(error instanceof Refused)) throw error; app.pile = []; }
  drawPile(app);
}
const picture = one => {
  const xs = one.net.map(p => p[0]), ys = one.net.map(p => p[1]), x0 = Math.min(...xs), y1 = Math.max(...ys), wide = Math.max(...xs) - x0, high = y1 - Math.min(...ys);
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg"), path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  svg.setAttribute("viewBox", `${-wide * 0.03} ${-high * 0.03} ${wide * 1.06} ${high * 1.06}`);
  svg.setAttribute("class", "card");
  svg.setAttribute("aria-hidden", "true");
  path.setAttribute("d", one.net.map((p, i) => (i ? "L" : "M") + (p[0] - x0) + " " + (y1 - p[1])).join("") + "Z");
  svg.append(path);
  return svg;
};
export function drawPile(app) {
  const pile = app.pile ?? [];
  $("pilelist").replaceChildren(...(pile.length ? [h("ul", {}, pile.map(one => h("li", {}, h("button", {type: "button", class: "pile", onclick: () => makePiece(app, one), onpointerdown: e => dragCard(app, one, e)}, picture(one), h("span", {}, one.name, h("span", {class: "small"}, ` ${one.about}, ${one.drawing}`))))))] : [h("p", {class: "small"}, "Every closed outline of the drawings is a piece.")]));
}

// A card that is let go over the sheet becomes a piece, as one that is pressed does.
function dragCard(app, one, e) {
  const card = e.currentTarget, up = end => {
    const box = $("stage").getBoundingClientRect();
    if (end.clientX > box.left && end.clientX < box.right && end.clientY > box.top && end.clientY < box.bottom) makePiece(app, one);
  };
  card.addEventListener("pointerup", up, {once: true});
  card.setPointerCapture(e.pointerId);
}

export function makePiece(app, one) {
  const formes = Object.keys(app.style.formes ?? {}), name = free(one.name, (app.style.pieces ?? []).map(piece => piece.name));
  app.question(`Make a piece of ${one.name}`, [
    {name: "name", label: "Its name", value: name},
    {name: "forme", label: "It lies on the forme", choices: formes, value: formes.includes(app.forme) ? app.forme : formes[0]},
  ], answer => {
    const piece = {...one.piece, name: answer.name, forme: answer.forme};
    app.change(`make a piece: ${answer.name}`, [{do: "insert", at: "/pieces/-", to: piece}], {hold: {kind: "piece", piece: answer.name}, then: () => fillPile(app)});
  });
}

// Laid on its forme by an edge, or by corners.
export function layBy(app, piece) {
  const {spec, at} = app.pieceAt(piece), edges = spec.edges.map(edge => edge.name);
  const others = app.style.pieces.filter(one => one.forme === spec.forme && one.name !== piece).flatMap(one => (one.edges ?? []).map(edge => `${one.name} > ${edge.name}`));
  if (!others.length) return app.tell("There is no other piece on its forme to lie on.");
  app.question(`Lay the ${piece}`, [
    {name: "edge", label: "With its edge", choices: edges, value: edges[0]},
    {name: "on", label: "on the edge: press it, or choose it", choices: others, value: others[0], pick: "edge", picked: (_, thing) => thing.piece === piece ? "" : `${thing.piece} > ${thing.edge}`},
    {name: "over", label: "It is drawn", choices: ["same", "over"], value: "same", say: {same: "as it lies", over: "turned over"}},
  ], answer => {
    const [on, edge] = answer.on.split(" > ");
    app.change(`lay the ${piece} by its ${answer.edge}`, [{do: "set", at: at + "/lies", to: {meets: [{edge: answer.edge, on: {piece: on, edge}}], ...(answer.over === "over" ? {mirrored: true} : {})}}], {hold: {kind: "piece", piece}});
  });
}
export function layByCorners(app, piece) {
  const {spec, at} = app.pieceAt(piece), corners = Object.keys(spec.corners ?? {}), points = Object.keys(app.style.formes[spec.forme].points ?? {});
  app.question(`Lay the ${piece} by two of its corners`, [
    {name: "one", label: "Its corner", choices: corners, value: corners[0]},
    {name: "there", label: "on the point", choices: points, value: points[0]},
    {name: "other", label: "and its corner", choices: corners, value: corners[1] ?? corners[0]},
    {name: "where", label: "on the point: press it, or choose it", choices: points, value: points[1] ?? points[0], pick: "point", picked: (_, thing) => thing.point},
    {name: "over", label: "It is drawn", choices: ["same", "over"], value: "same", say: {same: "as it lies", over: "turned over"}},
  ], answer => {
    if (answer.one === answer.other) return "name two different corners";
    app.change(`lay the ${piece} by ${answer.one} and ${answer.other}`, [{do: "set", at: at + "/lies", to: {meets: [{corner: answer.one, on: answer.there}, {corner: answer.other, on: answer.where}], ...(answer.over === "over" ? {mirrored: true} : {})}}], {hold: {kind: "piece", piece}});
  });
}
export function lieSentences(app, spec, at) {
  const lies = spec.lies;
  if (!lies) return [h("div", {class: "line"}, "It lies where it is drawn. ", act("Lay it by an edge", () => layBy(app, spec.name)), " ", act("Lay it by two corners", () => layByCorners(app, spec.name)))];
  const says = one => `its ${one.edge ? "edge " + one.edge : "corner " + one.corner} on ${typeof one.on === "string" ? one.on : Array.isArray(one.on) ? one.on.join(", ") : `${one.on?.edge ?? one.on?.corner} of the ${one.on?.piece}`}`;
  return [h("div", {class: "line"}, `It is laid with ${(lies.meets ?? []).map(says).join(" and ")}${lies.mirrored ? ", turned over" : ""}. `, act("Where it is drawn", () => app.change(`${spec.name} lies where it is drawn`, [{do: "remove", at: at + "/lies"}])), " ", act("Lay it another way", () => layBy(app, spec.name)))];
}
