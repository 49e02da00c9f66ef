// Sentences whose words can be changed. A word knows where it stands in the style (a JSON pointer), takes what is typed as
// it is typed, and shows what is wrong with it right under its sentence.
import {h} from "/dom.js";

export function said(text) {
  const plain = text.trim();
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : plain;
}

// A point that is stated by what it is, not by coordinates (the schema's "reference").
const LEADS = ["corner", "edges", "along", "crossing", "mark", "from"], WITH = ["of", "share", "distance", "from_end", "near", "drawing", "by", "toward"];
export function isReference(value) {
  if (value === null || typeof value !== "object" || Array.isArray(value)) return false;
  const keys = Object.keys(value);
  return keys.some(key => LEADS.includes(key)) && keys.every(key => LEADS.includes(key) || WITH.includes(key));
}

// Where a corner lies, whether or not it says how the cut line goes round it. (Texts and lists have an "at" of their own.)
export const spotOf = corner => corner !== null && typeof corner === "object" && !Array.isArray(corner) && !isReference(corner) ? corner.at : corner;

// It is shown, and can be changed, as the style has it.
export function statedSentence(app, at, name, value) {
  return sentence(app.problems, "It is stated by what it is: ", {at, name, value: JSON.stringify(value), keep: text => {
    if (text === null) return app.tell("a point lies somewhere: nothing was changed");
    try { return app.change(`${name}: ${text}`, [{do: "set", at, to: JSON.parse(text)}]); } catch { return app.tell(`${name}: this is not JSON, nothing was changed`); }
  }}, ".");
}

let shared = 0;

// keep(value): what is typed; null where the word is emptied.
function field(spec) {
  const id = "word" + ++shared;
  if (spec.choices) {
    const list = [...new Set([...spec.choices, spec.value])].filter(one => one !== undefined && one !== null);
    const box = h("select", {class: "word", id, "aria-label": spec.name, "data-at": spec.at, onchange: () => spec.keep(box.value)},
      list.map(one => h("option", {value: one, selected: String(one) === String(spec.value)}, spec.say?.[one] ?? one)));
    return box;
  }
  const text = spec.value === undefined || spec.value === null ? "" : String(spec.value);
  const box = h("input", {class: "word", id, type: "text", inputmode: spec.number ? "decimal" : null, autocomplete: "off", spellcheck: "false", "aria-label": spec.name, "data-at": spec.at,
    size: Math.max(2, Math.min(34, text.length || (spec.instead ?? "").length)), placeholder: spec.instead ?? "",
    oninput: () => { box.size = Math.max(2, Math.min(34, box.value.length)); spec.typing?.(box.value); },
    onkeydown: e => { if (e.key === "Escape") { box.value = text; e.stopPropagation(); box.blur(); } if (e.key === "Enter") { e.preventDefault(); box.blur(); box.focus(); } },
    onchange: () => { if (box.value.trim() !== text) spec.keep(box.value.trim() === "" ? null : spec.number ? said(box.value) : box.value.trim()); }});
  box.value = text;
  return box;
}

// Parts are texts, elements and words ({name, value, keep, at, number, choices}).
export function sentence(problems, ...parts) {
  const faults = [];
  const made = parts.flat().filter(part => part !== null && part !== undefined && part !== false).map(part => {
    if (typeof part === "string" || part instanceof Node) return part;
    const box = field(part);
    const wrong = part.at ? problems.filter(one => one.pointer === part.at || one.pointer.startsWith(part.at + "/")) : [];
    if (wrong.length) {
      box.setAttribute("aria-invalid", "true");
      const fault = h("p", {class: "fault", role: "alert", id: box.id + "-fault"}, wrong.map(one => one.message).join("; "));
      box.setAttribute("aria-describedby", fault.id);
      faults.push(fault);
    }
    return box;
  });
  return h("div", {class: "line"}, made, ...faults);
}

export const act = (text, onclick, attributes = {}) => h("button", {type: "button", class: "plain", onclick, ...attributes}, text);
