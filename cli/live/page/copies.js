// The same again: what was stated of one edge or one piece, taken over for others.
import {pointer} from "/dom.js";
import {spotOf} from "/words.js";

const EDGE = ["treatment", "allowance", "allowance_from"];
const KINDS = {edges: "what is done at its edges, by their names", features: "its features", sizes_tied: "its ties of sizes", made: "material, hands and how many a pair"};

// Sets each key as `from` has it, or takes it away.
function asIn(from, to, at, keys) {
  return keys.flatMap(key => JSON.stringify(from[key]) === JSON.stringify(to[key]) ? [] : from[key] === undefined ? [{do: "remove", at: `${at}/${key}`}] : [{do: "set", at: `${at}/${key}`, to: from[key]}]);
}

export function sameOnOthers(app, {piece, edge}) {
  const mine = app.specOf(piece).edges.find(one => one.name === edge), others = app.style.pieces.filter(one => one.name !== piece && one.edges?.some(two => two.name === edge)).map(one => one.name);
  if (!others.length) return app.tell(`No other piece has an edge called ${edge}.`);
  app.question(`The same on other edges called ${edge}`, [{name: "pieces", label: "Of the pieces, with a comma between: " + others.join(", "), value: others.join(", ")}], answer => {
    const named = answer.pieces.split(",").map(one => one.trim()).filter(Boolean), unknown = named.find(one => !others.includes(one));
    if (unknown) return `${unknown} has no edge called ${edge}`;
    const edits = named.flatMap(name => { const {spec, at} = app.pieceAt(name), i = spec.edges.findIndex(one => one.name === edge); return asIn(mine, spec.edges[i], `${at}/edges/${i}`, EDGE); });
    if (edits.length) app.change(`${edge} of ${named.join(", ")} as of the ${piece}`, edits);
  });
}

export function takeFrom(app, piece) {
  const others = app.style.pieces.map(one => one.name).filter(one => one !== piece);
  app.question(`Take over for the ${piece}`, [
    {name: "what", label: "What", choices: Object.keys(KINDS), value: "edges", say: KINDS},
    {name: "from", label: "from the piece", choices: others, value: others[0]},
  ], answer => {
    const {spec, at} = app.pieceAt(piece), from = app.specOf(answer.from);
    const edges = answer.what !== "edges" ? [] : spec.edges.flatMap((edge, i) => { const like = from.edges.find(one => one.name === edge.name); return like ? asIn(like, edge, `${at}/edges/${i}`, [...EDGE, "held", "straight"]) : []; });
    const corners = answer.what !== "edges" ? [] : Object.entries(spec.corners).flatMap(([name, corner]) => {
      const like = from.corners[name], form = like?.form;
      return like === undefined || form === corner?.form ? [] : [{do: "set", at: at + pointer("corners", name), to: form ? {at: spotOf(corner), form} : spotOf(corner)}];
    });
    const edits = answer.what === "edges" ? [...edges, ...corners] : asIn(from, spec, at, answer.what === "made" ? ["material", "hand", "per_pair"] : [answer.what]);
    if (!edits.length) return "there is nothing that differs";
    app.change(`${piece}: ${KINDS[answer.what]} as of the ${answer.from}`, edits);
  });
}

export function copyVerbs(app, add) {
  const {held} = app;
  if (held?.kind === "edge") add("the same on others", `edges called ${held.edge} of other pieces`, () => sameOnOthers(app, held));
  if (held?.piece) add("take over from", `edges, features, ties from another piece for the ${held.piece}`, () => takeFrom(app, held.piece));
}
