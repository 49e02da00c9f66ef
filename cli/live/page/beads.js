// The beads: one for each family of checks, and from a broken one to its place in its size and width.
import {$, h} from "/dom.js";

const FAMILIES = [["outlines", /^(outline|cut line|fold-over)/], ["allowances", /allowance/], ["drawing and base", /^(base|lies|another base|place|drawing)/], ["lines", /^(measure line|check line|rule)/], ["girths", /girth/], ["seams", /seam/], ["folds", /fold|halves/], ["hands", /^hand/], ["holes and marks", /hole|nick|eyelet|feature|cut-out|mark|text|skive|guide|drawn/], ["everything else", /./]];
let openBead = null;
export function drawBeads(app) {
  const groups = new Map();
  for (const one of app.findings ?? []) {
    const family = FAMILIES.find(([, fits]) => fits.test(one.check))[0];
    groups.set(family, [...(groups.get(family) ?? []), one]);
  }
  const beads = FAMILIES.map(([name]) => [name, groups.get(name) ?? []]).map(([name, all]) => {
    const failed = all.filter(one => !one.passed).length, looks = all.filter(one => one.doubtful).length, judged = all.some(one => one.limit !== undefined);
    const kind = failed ? "broken" : looks ? "look" : judged ? "whole" : "hollow";
    const word = {broken: `${failed} failed`, look: `${looks} to look at`, whole: "passed", hollow: all.length ? "told only" : "nothing to check"}[kind];
    return h("button", {type: "button", class: "bead " + kind, "aria-expanded": String(openBead === name), onclick: () => { openBead = openBead === name ? null : name; drawBeads(app); }}, h("span", {class: "mark", "aria-hidden": "true"}), `${name}: ${word}`);
  });
  const open = groups.get(openBead);
  $("beads").replaceChildren(...(app.findings === null ? [h("span", {class: "bead hollow"}, "The checks wait until the style can be made.")] : app.findings.length ? beads : [h("span", {class: "bead hollow"}, "The checks are being made.")]), ...(open ? [findingsList(app, open)] : []));
}
function findingsList(app, all) {
  const sorted = [...all].sort((a, b) => a.passed - b.passed || b.doubtful - a.doubtful);
  return h("ul", {class: "findings"}, sorted.slice(0, 60).map(one => h("li", {class: "finding" + (one.passed ? " fine" : "")},
    `${one.check}, ${one.subject}: ${Number(one.worst.toFixed(4))} ${one.unit}` + (one.limit === undefined ? "" : one.least ? `, at least ${Number(one.limit.toFixed(4))}` : `, limit ${Number(one.limit.toFixed(4))}`) + (one.where ? `, ${one.where}` : "") + ". " + (one.note ?? "") + " ",
    !nothingThere(one) && (target(app, one) || one.where) ? h("button", {type: "button", onclick: () => goToFinding(app, one)}, "Go there") : null)));
}
// Only told, and nothing was found: there is no place to go to.
const nothingThere = one => one.passed && !one.doubtful && one.limit === undefined && one.worst === 0;
function target(app, finding) {
  const text = finding.subject, piece = [...(app.style.pieces ?? [])].sort((a, b) => b.name.length - a.name.length).find(one => text === one.name || text.startsWith(one.name + ":") || text.startsWith(one.name + ",") || text.startsWith(one.name + " "));
  const seam = (app.style.seams ?? []).find(one => text === one.name || text.startsWith(one.name + ",") || text.startsWith(one.name + ":"));
  if (finding.check.startsWith("seam") && seam) return {kind: "seam", seam: seam.name};
  for (const [forme, spec] of Object.entries(app.style.formes ?? {})) {
    const rule = (spec.rules ?? []).find(one => { const line = one.measure_line ?? one.check_line; return line && (text === line || text === `${forme}: ${line}` || text === `${forme}, ${line}`); });
    if (rule && !piece) return {kind: "line", forme, line: rule.measure_line ?? rule.check_line};
  }
  if (!piece) return seam ? {kind: "seam", seam: seam.name} : finding.piece ? {kind: "piece", piece: finding.piece} : null;
  const rest = text.slice(piece.name.length).replace(/^[:,\s]+/, ""), index = (piece.features ?? []).findIndex(one => Object.values(one)[0] === rest);
  if (index >= 0) return {kind: "feature", piece: piece.name, feature: index};
  const edge = (piece.edges ?? []).find(one => rest === one.name || rest.startsWith(one.name + ","));
  return edge ? {kind: "edge", piece: piece.name, edge: edge.name} : {kind: "piece", piece: piece.name};
}
function goToFinding(app, finding) {
  const size = app.run.sizes.indexOf(finding.size), width = app.run.widths.indexOf(finding.width);
  if (target(app, finding)) app.hold(target(app, finding));
  if (size >= 0 || width >= 0) app.goTo(size >= 0 ? size : null, width >= 0 ? width : null);
  app.nearer();
  $("stage").focus({preventScroll: true});
  app.tell(`${finding.subject}, ${finding.check}: ${Number(finding.worst.toFixed(4))} ${finding.unit}${finding.where ? " at " + finding.where : ""}.`);
}
