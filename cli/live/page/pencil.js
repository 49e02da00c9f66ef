// Pencil and ink: what a draft put in by its own judgement is in pencil until it is inked or rubbed out. The style keeps
// the list ("proposed"), each with how sure it is and where it stands.
import {h} from "/dom.js";
import {act} from "/words.js";

export const SURE = ["sure", "likely", "guess"];
const SAYS = {sure: "the drawing shows it", likely: "it fits what is drawn, other things would too", guess: "usual figures stand in"};
const GROUPS = {sure: "all that is sure", likely: "all that is likely", guess: "all guesses"};

const listed = app => (app.style?.proposed ?? []).map((one, index) => ({...one, index}));
export const pencilled = app => listed(app).length;

function settle(app, what, marks, says) {
  if (!marks.length) return app.tell("Nothing of that is in pencil.");
  return app.named(says, {what, proposals: marks.map(one => one.index)});
}
export const ink = (app, marks) => settle(app, "accept", marks, marks.length === 1 ? "ink: " + marks[0].what : `ink ${marks.length} proposals`);
const rub = (app, marks) => settle(app, "refuse", marks, marks.length === 1 ? "rub out: " + marks[0].what : `rub out ${marks.length} proposals`);

// What can be rubbed out; the rest is changed where it stands.
const canGo = at => /^\/seams\/\d+$|^\/formes\/[^/]+\/rules\/\d+$|^\/pieces\/\d+(\/lies|\/edges\/\d+)?$/.test(at ?? "");

// Of the thing that stands at this pointer, or of anything in it.
export function marksOf(app, at, inside = false) {
  return listed(app).filter(one => one.at === at || (inside && one.at?.startsWith(at + "/")));
}

export function markLines(app, marks) {
  return marks.map(one => h("div", {class: "pencil line"}, h("span", {class: "small"}, `In pencil, ${one.sure}: ${one.what}. `), act("Ink it", () => ink(app, [one])), canGo(one.at) ? [" ", act("Rub it out", () => rub(app, [one]))] : null));
}

// All of them, in groups, the surest first.
export function pencilPart(app, placeOf) {
  const all = listed(app);
  if (!all.length) return [h("p", {}, "Nothing is in pencil: all of this style is stated by you.")];
  const go = one => { const place = placeOf({pointer: one.at ?? "", named: []}); return place ? [" ", act("Go there", () => { app.hold(place); app.nearer(); })] : null; };
  return [h("p", {}, `${all.length} in pencil. `, act("Ink everything", () => ink(app, all))),
    ...SURE.map(sure => [sure, all.filter(one => one.sure === sure)]).filter(([, some]) => some.length).map(([sure, some]) => h("details", {open: some.length < 12}, h("summary", {}, `${some.length} ${sure === "guess" ? (some.length === 1 ? "guess" : "guesses") : sure}: ${SAYS[sure]}`),
      h("p", {}, act("Ink " + GROUPS[sure], () => ink(app, some))),
      h("ul", {}, some.map(one => h("li", {class: "pencil"}, one.what + ". ", act("Ink it", () => ink(app, [one])), canGo(one.at) ? [" ", act("Rub it out", () => rub(app, [one]))] : null, go(one))))))];
}

export function pencilVerbs(app, add) {
  const all = listed(app);
  if (!all.length) return;
  add("ink everything", `${all.length} in pencil`, () => ink(app, all));
  for (const sure of SURE) {
    const some = all.filter(one => one.sure === sure);
    if (some.length) add("ink " + GROUPS[sure], `${some.length}: ${SAYS[sure]}`, () => ink(app, some));
  }
  add("show the pencil", "what was put in by judgement, one by one", () => app.open("pencil"));
}

// Edges and seams in pencil, for the sheet: "piece > edge".
export function pencilEdges(app) {
  const out = new Set(), style = app.style;
  for (const {at} of listed(app)) {
    const edge = /^\/pieces\/(\d+)\/edges\/(\d+)$/.exec(at ?? ""), seam = /^\/seams\/(\d+)$/.exec(at ?? "");
    if (edge) { const piece = style.pieces?.[edge[1]]; out.add(`${piece?.name} > ${piece?.edges?.[edge[2]]?.name}`); }
    if (seam) for (const side of [style.seams?.[seam[1]]?.one, style.seams?.[seam[1]]?.other]) out.add(`${side?.piece} > ${side?.edge}`);
  }
  return out;
}
