// What can be done with what is held: every action has a verb, which can be typed, pressed or chosen.
import {carriesOf, closure} from "/exact.js";
import {draftAnew, layBy, layByCorners, makePiece} from "/start.js";
import {copyVerbs} from "/copies.js";
import {measureVerbs} from "/measures.js";
import {pencilVerbs} from "/pencil.js";
import {traceVerbs} from "/trace.js";
import {workVerbs} from "/work.js";
import {isFold} from "/held.js";
import {edgesOf, nearestOn, shareOf, turnNear} from "/sheet.js";

const free = (wish, taken) => { if (!taken.includes(wish)) return wish; for (let i = 2; ; ++i) if (!taken.includes(`${wish} ${i}`)) return `${wish} ${i}`; };
const named = feature => Object.values(feature)[0];

function addFeature(app, piece, feature, says) {
  const {spec, at} = app.pieceAt(piece), list = spec.features;
  app.change(says, [list ? {do: "insert", at: at + "/features/-", to: feature} : {do: "set", at: at + "/features", to: [feature]}], {hold: {kind: "feature", piece, feature: list?.length ?? 0}});
}
const featureNames = (app, piece) => (app.pieceAt(piece).spec?.features ?? []).map(named);

// A nick begins where the edge was pressed, in thousandths of its length; in its middle where it was named or chosen.
const nickShare = share => share === undefined ? "1/2" : `${Math.max(1, Math.min(999, Math.round(1000 * share)))}/1000`;
const nickPlace = ({share, edge}) => share === undefined ? `in the middle of ${edge}` : `where ${edge} was pressed, at ${nickShare(share)} of its length`;

// Figures to begin with are common practice, to be changed to what the works does.
function alongEdge(app, {piece, edge, share}) {
  const make = (kind, wish, rest) => () => {
    const name = free(wish, featureNames(app, piece));
    addFeature(app, piece, {[kind]: name, ...rest}, `${name} along ${edge}`);
  };
  return [
    ["stitch along", "a stitch line 2 mm inside this edge", make("stitch_line", "stitch line", {edges: [edge], inset: 2})],
    ["eyelets along", "a row of eyelets 11 mm inside this edge", make("eyelets", "eyelets", {edges: [edge], inset: 11, margin: 10, count: 5, diameter: 4})],
    ["prick along", "a row of pricks inside this edge", make("pricks", "pricks", {edges: [edge], inset: 5, pitch: 10})],
    ["skive along", "a skived band from this edge", make("skive", "skive", {edges: [edge], width: 10, depth: 0.9})],
    ["guide along", "where a neighbour laps over this edge", make("lap_guide", "lap guide", {edges: [edge], inset: 8})],
    ["nick in", `a nick ${nickPlace({share, edge: "this edge"})}`, make("nick", "nick", {edge, share: nickShare(share)})],
  ];
}

function cornerOn(app, {piece, edge, at}) {
  const found = app.sheetPiece(piece), points = found && edgesOf(found).find(one => one.name === edge)?.points;
  if (!points) return;
  const {spec} = app.pieceAt(piece), place = p => p.map(v => v.toFixed(3)).join(", ");
  app.question("Put a corner on " + edge, [
    {name: "corner", label: "Name of the corner", value: free("corner", Object.keys(spec.corners ?? {}))},
    {name: "edge", label: "Name of the edge after it", value: free(edge + ", second part", spec.edges.map(one => one.name))},
    {name: "at", label: "Where: press the edge, or give a share of its length (1/2) or a place (x, y)", value: at ? place(turnNear(found, edge, at, app.reach()) ?? at) : "1/2", pick: "place", picked: p => place(turnNear(app.sheetPiece(piece), edge, p, app.reach()) ?? nearestOn(points, p))},
  ], answer => {
    const pair = answer.at.split(",").map(Number), share = /^(\d+)\/(\d+)$/.exec(answer.at.trim());
    const spot = pair.length === 2 && pair.every(Number.isFinite) ? pair : share && Number(share[2]) ? shareOf(points, share[1] / share[2]).map(v => Number(v.toFixed(3))) : null;
    if (!spot) return "say a share such as 1/2, or a place such as 120.5, 33";
    app.named(`a corner ${answer.corner} on ${edge}`, {what: "corner on", piece, edge, corner: answer.corner, name: answer.edge, at: spot}, {hold: {kind: "corner", piece, corner: answer.corner}});
  });
}

function sewTo(app, {piece, edge}) {
  const others = app.style.pieces.flatMap(one => (one.edges ?? []).map(two => `${one.name} > ${two.name}`)).filter(one => one !== `${piece} > ${edge}`);
  app.question(`Sew ${edge} of the ${piece} to`, [{name: "other", label: "The other edge: press it, or choose it", choices: others, value: others[0], pick: "edge", picked: (_, thing) => `${thing.piece} > ${thing.edge}`}], answer => {
    const [other, at] = answer.other.split(" > "), name = free(`${piece} to ${other}`, (app.style.seams ?? []).map(seam => seam.name));
    const seam = {name, one: {piece, edge}, other: {piece: other, edge: at}};
    app.change(`sew ${edge} of the ${piece} to ${at} of the ${other}`, [app.style.seams ? {do: "insert", at: "/seams/-", to: seam} : {do: "set", at: "/seams", to: [seam]}], {hold: {kind: "seam", seam: name}});
  });
}

export function lineFrom(app, {forme, point}, drives, to = null) {
  const points = Object.keys(app.style.formes[forme].points).filter(one => one !== point), rules = app.style.formes[forme].rules ?? [], measures = Object.keys(app.style.measures ?? {});
  const kind = drives ? "measure_line" : "check_line", taken = rules.map(rule => rule.measure_line ?? rule.check_line).filter(Boolean), girths = Object.keys(app.style.girths ?? {});
  app.question(drives ? `Measure from ${point}` : `Check a line from ${point}`, [
    {name: "to", label: "To: press a point, or choose it", choices: points, value: to ?? points[0], pick: "point", picked: (_, thing) => thing.point},
    {name: "name", label: "Name of the line", value: free(point + " line", taken)},
    {name: "carries", label: drives ? "It carries" : "It is checked against", value: "1/2 " + (measures.find(one => girths.includes(one)) ?? measures[0] ?? "")},
    {name: "girth", label: "It counts in the girth", choices: ["", ...girths], value: "", say: {"": "no girth"}},
    {name: "times", label: "how many times", value: "2"},
  ], answer => {
    const read = carriesOf(answer.carries, measures);
    if (read.wrong) return read.wrong;
    const edits = [{do: "insert", at: `/formes/${forme}/rules/-`, to: {[kind]: answer.name, from: point, to: answer.to, carries: read.carries}}];
    if (answer.girth) edits.push({do: "insert", at: `/girths/${answer.girth.replace(/~/g, "~0").replace(/\//g, "~1")}/-`, to: {forme, line: answer.name, ...(answer.times === "1" ? {} : {times: Number(answer.times) || answer.times})}});
    app.change(`${drives ? "measure" : "check"} from ${point} to ${answer.to}: ${answer.carries}`, edits, {hold: {kind: "line", forme, line: answer.name}});
  }, answer => {
    const read = carriesOf(answer.carries, measures);
    if (read.wrong) return read.wrong;
    if (!answer.girth) return "it counts in no girth";
    const style = {...app.style, girths: {...app.style.girths, [answer.girth]: [...app.style.girths[answer.girth], {forme, line: answer.name, times: answer.times}]}, formes: {...app.style.formes, [forme]: {...app.style.formes[forme], rules: [...rules, {[kind]: answer.name, carries: read.carries}]}}};
    return closure(style, answer.girth).says;
  });
}

function baseLine(app, {forme, point}) {
  const points = Object.keys(app.style.formes[forme].points).filter(one => one !== point), at = `/formes/${forme.replace(/~/g, "~0").replace(/\//g, "~1")}`;
  app.question(`Base line from ${point}`, [{name: "to", label: "To: press a point, or choose it", choices: points, value: points[0], pick: "point", picked: (_, thing) => thing.point}], answer => {
    app.change(`base line from ${point} to ${answer.to}`, [{do: "set", at: at + "/base_line", to: [point, answer.to]}, {do: "set", at: at + "/fixed", to: point}], {hold: {kind: "forme", forme}});
  });
}

function together(app, {forme, point}, key, heading) {
  const points = Object.keys(app.style.formes[forme].points);
  app.question(heading, [{name: "points", label: "Points, with a comma between: press them one after the other, or write them", value: point, pick: "point", picked: (now, thing) => now ? `${now}, ${thing.point}` : thing.point}], answer => {
    const list = answer.points.split(",").map(one => one.trim()).filter(Boolean), unknown = list.find(one => !points.includes(one));
    if (unknown) return `the forme has no point called ${unknown}`;
    if (list.length < 2) return "at least two points belong together";
    app.change(`${key === "hold" ? "hold together" : "one straight line"}: ${list.join(", ")}`, [{do: "insert", at: `/formes/${forme}/rules/-`, to: {[key]: list}}], {hold: {kind: "rule", forme, rule: app.style.formes[forme].rules?.length ?? 0}});
  });
}

function markPoint(app) {
  const forme = app.forme, points = Object.keys(app.style.formes[forme].points ?? {});
  app.question("Mark a point on " + forme, [{name: "name", label: "Name of the point", value: free("point", points)}, {name: "at", label: "Where: press the sheet, or write x, y", value: "", pick: "place", picked: (p, thing) => (thing?.at ?? p).map(v => v.toFixed(3)).join(", ")}], answer => {
    const at = answer.at.split(",").map(Number);
    if (at.length !== 2 || !at.every(Number.isFinite)) return "a place is two numbers, such as 120.5, 33";
    if (points.includes(answer.name)) return `the name ${JSON.stringify(answer.name)} is taken: hold that point to move it`;
    app.change(`mark the point ${answer.name}`, [{do: "set", at: `/formes/${forme}/points/${answer.name.replace(/~/g, "~0").replace(/\//g, "~1")}`, to: at}], {hold: {kind: "point", forme, point: answer.name}});
  });
}

function atPlace(app, piece, kind, wish, rest, heading) {
  const {spec} = app.pieceAt(piece), points = Object.keys(app.style.formes[spec.forme].points ?? {});
  app.question(heading, [{name: "name", label: "Its name", value: free(wish, featureNames(app, piece))}, {name: "at", label: "Where: press the sheet, name a point of the forme, or write x, y", value: "", pick: "place", picked: (p, thing) => thing?.kind === "point" ? thing.point : p.map(v => v.toFixed(2)).join(", ")}], answer => {
    const pair = answer.at.split(",").map(Number), at = points.includes(answer.at.trim()) ? answer.at.trim() : pair.length === 2 && pair.every(Number.isFinite) ? pair : null;
    if (!at) return "name a point of the forme, or write two numbers";
    addFeature(app, piece, {[kind]: answer.name, at, ...rest}, `${answer.name} on the ${piece}`);
  });
}

// With no edge in hand, what is done along one asks for it first. Along the fold of a piece that is cut double nothing is added or nicked.
const takesMargin = (app, {piece, edge}) => { const spec = app.specOf(piece); return !isFold(spec, spec?.edges?.find(one => one.name === edge)); };
const MARGIN = ["allowance", "treatment: fold, lap, lasting, trim", "nick", "nick in"];
function edgeActs(app, held) {
  const along = alongEdge(app, held), toWord = label => () => { app.hold({kind: "edge", piece: held.piece, edge: held.edge}); queueMicrotask(() => app.toWord(label)); };
  const all = [["allowance", `how much ${held.edge} has`, toWord("allowance")], ["treatment: fold, lap, lasting, trim", `what is done with ${held.edge}`, toWord("what is done with it")],
    ["nick", nickPlace(held), along.find(([name]) => name === "nick in")[2]], ...along];
  return takesMargin(app, held) ? all : all.filter(([name]) => !MARGIN.includes(name));
}
const edgeChoices = [["allowance", "of an edge"], ["treatment: fold, lap, lasting, trim", "what is done with an edge"], ["nick", "where the edge is pressed, or in its middle"], ["stitch along", "an edge"], ["eyelets along", "an edge"], ["prick along", "an edge"], ["skive along", "an edge"], ["guide along", "an edge"]];
function chooseEdge(app, name) {
  const {held} = app, edges = (app.style.pieces ?? []).filter(one => !held?.piece || one.name === held.piece).flatMap(one => (one.edges ?? []).map(two => ({piece: one.name, edge: two.name}))).filter(one => !MARGIN.includes(name) || takesMargin(app, one));
  const say = one => `${one.piece} > ${one.edge}`, wanted = text => edges.find(one => say(one) === text);
  if (!edges.length) return app.tell(`There is no edge for that: ${name}.`);
  let pressed = null;  // the edge in the answer, with the place on it, where it was pressed
  app.question(`${name[0].toUpperCase()}${name.slice(1)}: which edge?`, [{name: "edge", label: "The edge: press it, or choose it", choices: edges.map(say), value: say(edges[0]), pick: "edge",
    picked: (now, thing) => { if (wanted(say(thing))) { pressed = thing; return say(thing); } app.tell(`${thing.edge} of the ${thing.piece} is none of these edges.`); return now; }}], answer => edgeActs(app, pressed && say(pressed) === answer.edge ? pressed : wanted(answer.edge)).find(([one]) => one === name)[2]());
}

export function verbsOf(app) {
  const {held} = app, verbs = [], add = (name, hint, run) => verbs.push({name, hint, run});
  if (!app.style) return verbs;
  if (held?.kind === "edge") {
    add("sew to", `sew ${held.edge} to another edge`, () => sewTo(app, held));
    for (const one of edgeActs(app, held)) add(...one);
    add("put a corner on", `split ${held.edge} in two`, () => cornerOn(app, held));
  }
  // The words of the sentences beside the sheet, brought to hand.
  const word = (name, hint, label) => add(name, hint, () => app.toWord(label));
  if (held?.kind === "edge") {
    word("rename", `another name for ${held.edge}`, "name of the edge");
  } else if ((app.style.pieces ?? []).some(one => one.edges?.length)) {
    for (const [name, hint] of edgeChoices) add(name, held?.piece ? `${hint} of the ${held.piece}` : hint, () => chooseEdge(app, name));
  }
  if (held?.kind === "piece") {
    word("rename", `another name for ${held.piece}`, "name of the piece");
    word("fold", `the edge on which ${held.piece} is cut double`, "edge on the fold");
    word("mirror: hands", `whether ${held.piece} is the same for both feet`, "hands");
    for (const edge of app.pieceAt(held.piece).spec?.edges ?? []) {
      const hold = () => app.hold({kind: "edge", piece: held.piece, edge: edge.name});
      add("hold " + edge.name, `an edge of ${held.piece}: its allowance, nick, stitch line and seam`, hold);
    }
  }
  if (held?.kind === "point") word("rename", `another name for ${held.point}`, "name of the point");
  if (held?.kind === "corner") add("no corner here", `the edges at ${held.corner} become one`, () => app.named(`no corner at ${held.corner}`, {what: "corner off", piece: held.piece, corner: held.corner}, {hold: {kind: "piece", piece: held.piece}}));
  if (held?.kind === "point") {
    add("measure from here", "a line that carries a measure", () => lineFrom(app, held, true));
    add("check a line from here", "a line that is only checked", () => lineFrom(app, held, false));
    add("base line from here", "which way the forme lies; this end stays in every size", () => baseLine(app, held));
    add("hold together", "points that move as one", () => together(app, held, "hold", `Hold together with ${held.point}`));
    add("keep straight", "points on one straight line", () => together(app, held, "straight", `One straight line with ${held.point}`));
    add("move by steps", "so much a size and a width", () => app.change(`${held.point} moves by steps`, [{do: "insert", at: `/formes/${held.forme}/rules/-`, to: {point: held.point, per_size: [0, 0], per_width: [0, 0]}}], {hold: {kind: "rule", forme: held.forme, rule: app.style.formes[held.forme].rules?.length ?? 0}}));
  }
  if (held?.piece) {
    const piece = held.piece;
    add("punch a hole", `in the ${piece}`, () => atPlace(app, piece, "hole", "hole", {diameter: 3}, `Punch a hole in the ${piece}`));
    add("prick a mark", `in the ${piece}`, () => atPlace(app, piece, "prick", "mark", {}, `Prick a mark in the ${piece}`));
    add("write a text", `on the ${piece}`, () => atPlace(app, piece, "text", "size and width", {says: "{size} {width}"}, `Write on the ${piece}`));
    add("bring nearer", `the ${piece} fills the sheet`, () => app.nearer());
  }
  if (held?.piece && held.kind !== "edge") {
    add("lay by an edge", `the ${held.piece} onto its forme`, () => layBy(app, held.piece));
    add("lay by corners", `the ${held.piece} onto points of its forme`, () => layByCorners(app, held.piece));
  }
  copyVerbs(app, add);
  measureVerbs(app, add);
  pencilVerbs(app, add);
  traceVerbs(app, add);
  workVerbs(app, add);
  add("draft anew", "from the drawings: size, widths, kind of shoe", () => draftAnew(app));
  add("help", "a first tour of the page", () => app.tour());
  add("show the pile", "outlines that are no pieces yet", () => app.open("pile"));
  for (const one of app.pile ?? []) add("make a piece of " + one.name, one.about, () => makePiece(app, one));
  add("mark a point", `on the forme ${app.forme}`, () => markPoint(app));
  add("take back", app.steps.done.at(-1) ?? "nothing was done yet", () => app.back());
  add("do again", app.steps.undone[0] ?? "nothing was taken back", () => app.again());
  add("keep in the file", "write the style file", () => app.save());
  for (const [shows, name] of [["sizes", "all sizes"], ["widths", "all widths"], ["all", "the whole run"], ["one", "only this size"]]) add("show " + name, "of the piece that is held", () => app.show(shows));
  add("show everything", "the whole forme", () => app.showAll());
  add("let go", "hold nothing: the style itself", () => app.hold(null));
  for (const piece of app.style.pieces ?? []) add("hold " + piece.name, "a piece", () => app.hold({kind: "piece", piece: piece.name}));
  for (const forme of Object.keys(app.style.formes ?? {})) add("hold " + forme, "a forme: its points, lines and rules", () => app.hold({kind: "forme", forme}));
  for (const point of Object.keys(app.style.formes?.[app.forme]?.points ?? {})) add("hold " + point, `a point of ${app.forme}`, () => app.hold({kind: "point", forme: app.forme, point}));
  for (const rule of app.style.formes?.[app.forme]?.rules ?? []) {
    const line = rule.measure_line ?? rule.check_line;
    if (line) add("hold " + line, `a line of ${app.forme}`, () => app.hold({kind: "line", forme: app.forme, line}));
  }
  (app.run?.sizes ?? []).forEach((size, i) => add("size " + size, "on the ruler", () => app.goTo(i, null)));
  (app.run?.widths ?? []).forEach((width, i) => add("width " + width, "on the ruler", () => app.goTo(null, i)));
  return verbs;
}
