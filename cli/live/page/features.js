// Features of a piece as sentences: the keys and what they mean come from the schema of the style file, so that every kind
// that the program knows can be worked on here.
import {h} from "/dom.js";
import {act, isReference, sentence, statedSentence} from "/words.js";

const KINDS = ["hole", "prick", "eyelets", "perforation", "pricks", "slot", "buckle_bar", "stitch_line", "lap_guide", "skive", "nick", "size_marks", "text", "pair_number"];
export const kindOf = feature => KINDS.find(kind => kind in feature) ?? Object.keys(feature)[0];

// {key: schema node} of a feature's kind.
export function propertiesOf(schema, feature) {
  const kind = kindOf(feature);
  return schema?.$defs?.feature?.oneOf?.find(one => one.properties && kind in one.properties)?.properties ?? {};
}

const plain = value => value === undefined || typeof value !== "object";

export function featureParts(app, feature, at, piece) {
  const kind = kindOf(feature), known = propertiesOf(app.schema, feature), out = [], edges = (piece.edges ?? []).map(edge => edge.name), points = Object.keys(app.style.formes?.[piece.forme]?.points ?? {});
  const set = (key, what) => value => app.change(`${feature[kind]}, ${what}: ${value ?? "as usual"}`, [value === null ? {do: "remove", at: `${at}/${key}`} : {do: "set", at: `${at}/${key}`, to: value}]);
  for (const [key, node] of Object.entries(known)) {
    const value = feature[key], name = key === kind ? "name" : key.replace(/_/g, " "), where = `${at}/${key}`;
    const hint = h("span", {class: "small"}, " " + (node.description ?? ""));
    if (key === "edges") {
      out.push(h("div", {class: "line"}, `It follows ${(value ?? []).join(", ")}.`));
      const free = edges.filter(edge => !(value ?? []).includes(edge));
      out.push(sentence(app.problems, "Further along ", {name: "another edge", value: "", choices: ["", ...free], say: {"": "no other edge"}, keep: edge => edge && app.change(`${feature[kind]} along ${edge} too`, [value ? {do: "insert", at: where + "/-", to: edge} : {do: "set", at: where, to: [edge]}])}, value?.length > 1 ? act("not " + value[value.length - 1], () => app.change(`${feature[kind]} not along ${value[value.length - 1]}`, [{do: "remove", at: `${where}/${value.length - 1}`}])) : null));
    } else if (key === "edge") {
      out.push(sentence(app.problems, "On the edge ", {at: where, name: "edge", value, choices: edges, keep: set(key, "edge")}, "."));
    } else if (key === "at") {
      out.push(placeSentence(app, value, where, feature[kind], points, edges));
    } else if (node.enum) {
      out.push(sentence(app.problems, name + ": ", {at: where, name, value: value ?? "", choices: ["", ...node.enum], say: {"": "as usual"}, keep: to => set(key, name)(to || null)}, hint));
    } else if (node.type === "boolean") {
      out.push(sentence(app.problems, name + ": ", {at: where, name, value: value === undefined ? "" : String(value), choices: ["", "true", "false"], say: {"": "as usual", true: "yes", false: "no"}, keep: to => set(key, name)(to === "" ? null : to === "true")}, hint));
    } else if (plain(value) && node.type !== "array" && node.type !== "object") {
      const isText = key === kind || key === "says" || node.$ref?.endsWith("/name") || node.$ref?.endsWith("/text");
      out.push(sentence(app.problems, name + ": ", {at: where, name, value, number: !isText, instead: "as usual", keep: set(key, name)}, key === kind ? null : hint));
    } else if (value !== undefined) {
      // A list or a table: as JSON, which the program reads and judges like the file.
      out.push(sentence(app.problems, name + ": ", {at: where, name, value: JSON.stringify(value), keep: text => { if (text === null) return set(key, name)(null); try { set(key, name)(JSON.parse(text)); } catch { app.tell(`${name}: this is not JSON, nothing was changed`); } }}, hint));
    }
  }
  return out;
}

function placeSentence(app, value, where, name, points, edges) {
  const word = (key, what, now, more = {}) => ({at: where + key, name: what, value: now, number: true, ...more, keep: to => app.change(`${name}, ${what}: ${to ?? "as usual"}`, [to === null ? {do: "remove", at: where + key} : {do: "set", at: where + key, to}])});
  if (isReference(value)) return statedSentence(app, where, name, value);
  if (Array.isArray(value)) return sentence(app.problems, "It lies at ", word("/0", "along", value[0]), ", ", word("/1", "across", value[1]), " in the drawing.");
  if (typeof value === "string") return sentence(app.problems, "It lies on the point ", word("", "point", value, {choices: points, number: false}), ".");
  if (value?.edge) return sentence(app.problems, "It lies inside the edge ", word("/edge", "edge", value.edge, {choices: edges, number: false}), ", at the share ", word("/share", "share", value.share, {instead: "none"}), " or the distance ", word("/distance", "distance", value.distance, {instead: "none"}), ", ", word("/inset", "inset", value.inset, {instead: "0"}), " mm in.");
  const by = value?.by ?? [0, 0];
  return sentence(app.problems, "It lies beside ", typeof value?.point === "string" ? word("/point", "point", value.point, {choices: points, number: false}) : "a place", ", by ", word("/by/0", "along", by[0]), ", ", word("/by/1", "across", by[1]), " mm in every size.");
}
