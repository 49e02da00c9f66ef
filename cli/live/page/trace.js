// Tracing paper: a changed drawing, or another version of the style, laid over the sheet. A slider fades between the two;
// what moved is listed with distances.
import {ask, Refused} from "/ask.js";
import {$, h} from "/dom.js";
import {act} from "/words.js";

async function asked(app, path, body) {
  app.tell("Laying one over the other ...");
  try { const answer = await ask(path, body); app.tell(""); return answer; } catch (error) { if (error instanceof Refused) { app.tell(error.message); return null; } throw error; }
}

function lay(app, trace, parts) {
  app.trace = {lines: trace, fade: 0.5};
  const fade = h("input", {type: "range", min: "0", max: "1", step: "0.05", value: "0.5", "aria-label": "from the old to the new", oninput: () => { app.trace.fade = Number(fade.value); app.redraw(); }});
  $("trace").replaceChildren(h("h3", {}, "Tracing paper"), h("label", {}, "old, dashed ", fade, " new"), ...parts.filter(Boolean), act("Put the tracing paper away", () => putAway(app)));
  app.showAll();
  app.redraw();
  $("trace").scrollIntoView({block: "nearest"});
}
export function putAway(app) {
  app.trace = null;
  $("trace").replaceChildren();
  app.redraw();
}
const figure = value => Number(value.toFixed(3));
const list = (one, many, items) => items.length ? h("details", {open: items.length < 15}, h("summary", {}, `${items.length} ${items.length === 1 ? one : many}`), h("ul", {}, items.map(item => h("li", {}, item)))) : null;

export async function newDrawing(app) {
  const known = await asked(app, "/choices", {});
  if (!known) return;
  const drawn = known.drawn.map(one => one.key), used = known.drawn.map(one => one.file), fresh = known.drawings.filter(one => !used.includes(one));
  if (!fresh.length) return app.tell("There is no other drawing of pieces (.dxf) beside the style: save the changed one there, under another name.");
  app.question("Lay a changed drawing over the old one", [
    {name: "file", label: "The new drawing", choices: fresh, value: fresh[0]},
    {name: "drawing", label: "takes the place of", choices: drawn, value: drawn.find(one => fresh[0].startsWith(one)) ?? drawn[0]},
    {name: "slide", label: "Corners on a smooth line that has moved", choices: ["refuse", "slide"], value: "refuse", say: {refuse: "are refused with their place", slide: "go to the same share of the line"}},
    {name: "reach", label: "Corners are looked for within how many mm", value: "12"},
  ], answer => {
    const what = {file: answer.file, drawing: answer.drawing, slide: answer.slide === "slide", reach: Number(answer.reach) || 12};
    overlay(app, what);
  });
}
async function overlay(app, what) {
  const found = await asked(app, "/redraw", what);
  if (!found) return;
  const moved = [...found.moved].sort((a, b) => b.distance - a.distance);
  lay(app, found.trace, [
    h("p", {}, `${what.file} over ${what.drawing}: ${found.found ? "everything is found again." : "not everything is found again."}`),
    list("not found", "not found", found.problems.map(one => { const place = app.placeOf({pointer: one.pointer, named: []}); return h("span", {class: "finding"}, one.says + " ", place ? act("Go there", () => app.hold(place)) : null); })),
    list("place moved", "places moved", moved.map(one => `${one.what}: ${figure(one.distance)} mm, ${one.how}`)),
    list("edge drawn differently", "edges drawn differently", found.edges.map(one => `${one.edge} of the ${one.piece}: leaves the old line by ${figure(one.most)} mm`)),
    list("thing to know", "things to know", found.told),
    found.found ? h("button", {type: "button", onclick: () => { app.send("/redraw", {...what, take: true}, {tells: `${what.file} has taken the place of the old drawing.`, then: () => putAway(app)}); }}, "Take the new drawing") : null]);
}

export async function compareWith(app) {
  const known = await asked(app, "/choices", {});
  if (!known) return;
  app.question("Compare this style with another version", [{name: "with", label: "It is compared with", choices: ["start", "file", ...known.versions], value: "start", say: {start: "what it was when these steps began", file: "the file as it is now"}}], answer => { overVersion(app, answer.with); });
}
async function overVersion(app, version) {
  const found = await asked(app, "/compare", {with: version});
  if (!found) return;
  const pieces = found.pieces.map(piece => {
    if (!piece.was || !piece.now) return `${piece.piece}: only in ${piece.was ? "the other" : "this one"}`;
    const worst = piece.cells.reduce((most, one) => Math.max(most, one.cut_line), 0), good = piece.cells.filter(one => one.die_good).length;
    return worst < 0.0005 && good === piece.cells.length ? null : `${piece.piece}: up to ${figure(worst)} mm; in ${good} of ${piece.cells.length} sizes and widths the old die stays good`;
  }).filter(Boolean);
  lay(app, found.trace, [
    h("p", {}, found.same ? "Nothing differs." : "What differs, size by size:"),
    list("thing stated differently", "things stated differently", found.stated.map(one => `${one.where}: ${one.was ?? "nothing"} is now ${one.now ?? "nothing"}`)),
    list("measure differs", "measures differ", found.measures.filter(one => one.most || one.was !== one.now).map(one => `${one.measure}: ${figure(one.most)} mm in ${one.size} ${one.width}`)),
    list("piece cut differently", "pieces cut differently", pieces), list("size only in the other", "sizes only in the other", found.only_was), list("size only in this one", "sizes only in this one", found.only_now)]);
}
export function traceVerbs(app, add) {
  add("lay a new drawing over", "the drawing has changed", () => newDrawing(app));
  add("compare with", "another version of the style, and which dies stay good", () => compareWith(app));
  if (app.trace) add("put the tracing paper away", "", () => putAway(app));
}
