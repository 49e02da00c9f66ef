// Where in the style a held thing stands, what a pointer of the style means on the page, and what it is called.
import {pointer} from "/dom.js";

export const nameOf = thing => ({piece: () => thing.piece, edge: () => `${thing.edge} of the ${thing.piece}`, corner: () => `${thing.corner}, a corner of the ${thing.piece}`, point: () => `point ${thing.point}`, line: () => `line ${thing.line}`, seam: () => `seam ${thing.seam}`, forme: () => `forme ${thing.forme}`, feature: () => `a feature of the ${thing.piece}`, rule: () => `a rule of ${thing.forme}`, style: () => thing.measure ? `measure ${thing.measure}` : thing.girth ? `girth ${thing.girth}` : "the style itself"}[thing.kind] ?? (() => thing.kind))();

// A problem for people: what it is of, as the page calls it, and what is wrong.
export function spokenOf(app, problem) {
  const place = app.style && placeOf(app, problem);
  return place ? `${nameOf(place)}: ${problem.message}` : problem.says;
}

// Where in the style the held thing stands.
export function pointerOf(app, held) {
  if (!held) return null;
  const {spec, at} = app.pieceAt(held.piece), nth = (list, fits) => (list ?? []).findIndex(fits);
  const rules = app.style.formes?.[held.forme]?.rules, forme = pointer("formes", held.forme ?? "");
  return {piece: () => at, edge: () => `${at}/edges/${nth(spec?.edges, one => one.name === held.edge)}`, seam: () => "/seams/" + nth(app.style.seams, one => one.name === held.seam),
    line: () => `${forme}/rules/${nth(rules, one => (one.measure_line ?? one.check_line) === held.line)}`, rule: () => `${forme}/rules/${held.rule}`, point: () => forme + pointer("points", held.point), forme: () => forme}[held.kind]?.() ?? null;
}

// Where in the style a problem is: by its pointer, else by the names it gives.
export function placeOf(app, problem) {
  const steps = problem.pointer.split("/").slice(1).map(one => one.replace(/~1/g, "/").replace(/~0/g, "~")), style = app.style;
  const at = (list, i) => list?.[Number(i)];
  if (steps[0] === "pieces" && at(style.pieces, steps[1])) {
    const piece = at(style.pieces, steps[1]).name;
    if (steps[2] === "edges" && at(style.pieces[steps[1]].edges, steps[3])) return {kind: "edge", piece, edge: style.pieces[steps[1]].edges[steps[3]].name};
    if (steps[2] === "corners" && steps[3] in (style.pieces[steps[1]].corners ?? {})) return {kind: "corner", piece, corner: steps[3]};
    if (steps[2] === "features" && at(style.pieces[steps[1]].features, steps[3])) return {kind: "feature", piece, feature: Number(steps[3])};
    return {kind: "piece", piece};
  }
  if (steps[0] === "seams" && at(style.seams, steps[1])) return {kind: "seam", seam: style.seams[steps[1]].name};
  if (steps[0] === "formes" && steps[1] in (style.formes ?? {})) {
    if (steps[2] === "points" && steps[3] in (style.formes[steps[1]].points ?? {})) return {kind: "point", forme: steps[1], point: steps[3]};
    const rule = steps[2] === "rules" && at(style.formes[steps[1]].rules, steps[3]);
    if (rule) return rule.measure_line || rule.check_line ? {kind: "line", forme: steps[1], line: rule.measure_line ?? rule.check_line} : {kind: "rule", forme: steps[1], rule: Number(steps[3])};
    return {kind: "forme", forme: steps[1]};
  }
  if (["measures", "girths"].includes(steps[0]) && steps[1] in (style[steps[0]] ?? {})) return {kind: "style", [steps[0].slice(0, -1)]: steps[1]};
  if (["measures", "base", "run", "scale", "ladder", "girths", "limits"].includes(steps[0])) return {kind: "style"};
  const named = Object.fromEntries(problem.named);
  if (named.piece && app.specOf(named.piece)) return named.edge ? {kind: "edge", piece: named.piece, edge: named.edge} : {kind: "piece", piece: named.piece};
  return null;
}
