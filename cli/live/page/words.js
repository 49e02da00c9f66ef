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

let shared = 0, renewing = false;

// What was typed into a word and refused: it stays there, with the reason under its sentence, until something else is done.
let asking = null, unkept = null;
export const wordAsking = () => asking;  // the word whose change is being asked for
export function refuseWord(word, says) { unkept = word && {...word, says}; }
// Whether it is told at its word: the word may not be there any more.
export const toldAtWord = () => Boolean(unkept && document.getElementById(unkept.id ?? ""));
const isWord = (word, spec) => Boolean(word) && word.at === spec.at && word.name === spec.name;
function keep(spec, value, typed) {
  asking = {at: spec.at, name: spec.name, typed};
  try { spec.keep(value); } finally { asking = null; }
}

// Writes what stands in a room anew. A word in it that is being typed in is not left by that: it keeps its place, what is
// typed so far and the caret.
export function writtenAnew(room, write) {
  const was = document.activeElement, at = room.contains(was) ? was.dataset?.at : null;
  const typed = at && was.unkept?.() ? {text: was.value, from: was.selectionStart, to: was.selectionEnd} : null;
  renewing = true;
  try { write(); } finally { renewing = false; }
  if (!at) return;
  const places = [...room.querySelectorAll("[data-at]")].filter(one => one.dataset.at === at);
  const now = places.find(one => one.getAttribute("aria-label") === was.getAttribute("aria-label")) ?? places[0];
  now?.focus({preventScroll: true});
  if (typed && now?.unkept) {
    now.value = typed.text;
    now.setSelectionRange(typed.from, typed.to);
    now.dispatchEvent(new Event("input"));
  }
}

// keep(value): what is typed; null where the word is emptied.
function field(spec) {
  const id = "word" + ++shared;
  if (spec.choices) {
    const list = [...new Set([...spec.choices, spec.value])].filter(one => one !== undefined && one !== null);
    const box = h("select", {class: "word", id, "aria-label": spec.name, "data-at": spec.at, onchange: () => keep(spec, box.value, null)},
      list.map(one => h("option", {value: one, selected: String(one) === String(spec.value)}, spec.say?.[one] ?? one)));
    return box;
  }
  const text = spec.value === undefined || spec.value === null ? "" : String(spec.value);
  const typed = isWord(unkept, spec) ? unkept.typed : null;
  let kept = typed ?? text;
  const box = h("input", {class: "word", id, type: "text", inputmode: spec.number ? "decimal" : null, autocomplete: "off", spellcheck: "false", "aria-label": spec.name, "data-at": spec.at,
    size: Math.max(2, Math.min(34, text.length || (spec.instead ?? "").length)), placeholder: spec.instead ?? "",
    oninput: () => { box.size = Math.max(2, Math.min(34, box.value.length)); spec.typing?.(box.value); },
    onkeydown: e => { if (e.key === "Escape") { if (typed !== null) { kept = text; forgive(box); } box.value = kept; e.stopPropagation(); box.blur(); } if (e.key === "Enter") { e.preventDefault(); box.blur(); box.focus(); } },
    // Kept when it is left, though no browser calls text a change that was put back into a sentence written anew. Who only looks at another
    // window has not left it.
    onblur: () => {
      if (renewing || document.activeElement === box || !box.unkept()) return;
      if (typed !== null && box.value.trim() === text) { kept = text; forgive(box); return; }  // as the style has it
      kept = box.value.trim();
      keep(spec, kept === "" ? null : spec.number ? said(kept) : kept, kept);
    }});
  box.value = kept;
  box.unkept = () => box.value.trim() !== kept;
  return box;
}

// What was typed is taken back to what the style has.
function forgive(box) {
  unkept = null;
  box.removeAttribute("aria-invalid");
  document.getElementById(box.id + "-fault")?.remove();
}

// Parts are texts, elements and words ({name, value, keep, at, number, choices}).
export function sentence(problems, ...parts) {
  const faults = [];
  const made = parts.flat().filter(part => part !== null && part !== undefined && part !== false).map(part => {
    if (typeof part === "string" || part instanceof Node) return part;
    const box = field(part);
    const wrong = part.at ? problems.filter(one => one.pointer === part.at || one.pointer.startsWith(part.at + "/")) : [];
    const refused = isWord(unkept, part) ? [unkept.says] : [];
    if (refused.length) unkept.id = box.id + "-fault";
    if (wrong.length || refused.length) {
      if (wrong.length || box.tagName === "INPUT") box.setAttribute("aria-invalid", "true");
      const fault = h("p", {class: "fault", role: "alert", id: box.id + "-fault"}, [...refused, ...wrong.map(one => one.message)].join("; "));
      box.setAttribute("aria-describedby", fault.id);
      faults.push(fault);
    }
    return box;
  });
  return h("div", {class: "line"}, made, ...faults);
}

export const act = (text, onclick, attributes = {}) => h("button", {type: "button", class: "plain", onclick, ...attributes}, text);
