// The page of `lastwright open`: what the program says of the style, shown; what the user does, said to the program.
import {ask, askAside, askInParts, enter, Refused} from "/ask.js";
import {$, h} from "/dom.js";
import {drawBeads} from "/beads.js";
import {partsOf} from "/held.js";
import {markLines, marksOf, pencilPart, pencilled, pencilEdges} from "/pencil.js";
import {nameOf, placeOf, pointerOf, spokenOf} from "/places.js";
import {edgesOf, Sheet} from "/sheet.js";
import {act, refuseWord, toldAtWord, wordAsking, writtenAnew} from "/words.js";
import {fillPile, greet} from "/start.js";
import {lineFrom, verbsOf} from "/verbs.js";
import {drawWork, showWork} from "/work.js";
import {startTour} from "/tour.js";

const app = {
  style: null, schema: null, run: null, sheet: null, nest: null, problems: [], findings: [], steps: {done: [], undone: []},
  held: null, forme: null, cell: Number.MAX_SAFE_INTEGER, shows: "sizes", showsLines: true, mark: null, picking: null, picked: null, pile: null, trace: null, pencil: new Set(),

  pieceAt(name) { const i = (this.style?.pieces ?? []).findIndex(one => one.name === name); return i < 0 ? {} : {spec: this.style.pieces[i], at: "/pieces/" + i}; },
  specOf(name) { return this.pieceAt(name).spec; },
  sheetPiece(name) { return this.sheet?.pieces.find(piece => piece.name === name && piece.net); },
  makes(cell) { return !this.run?.made || this.run.made[cell] !== false; },
  cellName() { const {sizes, widths} = this.run ?? {sizes: [], widths: []}; return this.run && this.cell < sizes.length * widths.length ? `${sizes[Math.floor(this.cell / widths.length)]} ${widths[this.cell % widths.length]}` : this.run?.base_name ?? ""; },
  tell(text) { $("told").textContent = text; },

  send(path, body, after = {}) { return send(path, body, after); },
  placeOf(problem) { return placeOf(this, problem); },
  edgesOf(name) { const piece = this.sheetPiece(name); return piece ? edgesOf(piece) : []; },
  redraw() { sheet.draw(); },
  tour() { startTour(this); },
  // A word of the sentences that say what is held, under the cursor.
  toWord(label) { const word = [...$("held").querySelectorAll(".word")].find(one => one.getAttribute("aria-label") === label); word?.scrollIntoView({block: "center"}); word?.focus(); word?.select?.(); },
  reach() { return 12 / sheet.scale; },  // mm: how near a press means what is there
  open(name) { $(name).open = true; $(name).scrollIntoView({block: "start"}); $(name).querySelector("summary").focus({preventScroll: true}); },
  change(says, edits, after = {}) { return send("/change", {says: says.slice(0, 300), edits}, after); },
  named(says, named, after = {}) { return send("/change", {says: says.slice(0, 300), named}, after); },
  back() { return this.steps.done.length ? send("/steps", {to: this.steps.done.length - 1}) : this.tell("Nothing was done yet."); },
  again() { return this.steps.undone.length ? send("/steps", {to: this.steps.done.length + 1}) : this.tell("Nothing was taken back."); },
  save(work = null) { return send("/save", work ? {for: work} : {}, {tells: "Kept in the file."}); },
  show(shows) { this.shows = shows; sheet.draw(); this.tell({sizes: "All sizes in this width.", widths: "All widths in this size.", all: "Every size in every width.", one: "Only this size and width."}[shows]); },
  showAll() { sheet.showAll(); sheet.draw(); },
  nearer() { const piece = this.sheetPiece(this.held?.piece); if (piece) { sheet.showAll(edgesOf(piece).flatMap(edge => edge.points)); sheet.draw(); } },

  hold(thing) {
    refuseWord(null);
    this.held = thing;
    this.mark = null;
    const forme = thing?.forme ?? this.specOf(thing?.piece)?.forme;
    if (forme && forme !== this.forme) { this.forme = forme; sheet.showAll(); }
    render();
    if (thing?.piece && this.nest?.piece !== thing.piece) look();
  },
  goTo(size, width) {
    if (!this.run) return;
    const {sizes, widths} = this.run, count = widths.length;
    size ??= Math.min(Math.floor(this.cell / count), sizes.length - 1);
    width ??= this.cell % count;
    this.cell = this.nearest(Math.max(0, Math.min(sizes.length - 1, size)) * count + Math.max(0, Math.min(count - 1, width)));
    drawRuler();
    sheet.draw();
    look();
  },
  // The nearest that is made: in this size, for every size is made in some width.
  nearest(cell) {
    const count = this.run.widths.length, first = cell - cell % count, near = [...Array(count).keys()].map(w => first + w).filter(k => this.makes(k));
    return this.makes(cell) ? cell : near.sort((a, b) => Math.abs(a - cell) - Math.abs(b - cell))[0];
  },
  base() { const {base, sizes, widths} = this.run; return base[0] >= 0 && base[1] >= 0 && this.makes(base[0] * widths.length + base[1]) ? base[0] * widths.length + base[1] : sizes.length * widths.length; },

  // A question in a few fields. done(answer) may give a sentence that says what is wrong.
  question(heading, fields, done, telling = null) {
    const inputs = {}, wrong = h("p", {class: "fault", role: "alert", id: "question-fault", hidden: true}), told = h("p", {class: "small", role: "status"});
    const answer = () => Object.fromEntries(Object.entries(inputs).map(([name, input]) => [name, input.value]));
    const tell = () => { if (telling) told.textContent = telling(answer()); };
    const close = () => { $("question").replaceChildren(); this.picking = null; this.pick = null; this.mark = null; sheet.draw(); };
    const form = h("form", {"aria-label": heading, onsubmit: e => {
      e.preventDefault();
      this.answering = says => !$("question").firstChild && (put(), fail(says), true);
      let fault;
      try { fault = done(answer()); } finally { this.answering = null; }
      fail(typeof fault === "string" ? fault : null);
      // Another question may have been asked by the answer: it stays.
      if (typeof fault !== "string" && $("question").firstChild === form) { close(); $("stage").focus({preventScroll: true}); }
    }, onkeydown: e => {
      if (e.key === "Escape") { e.stopPropagation(); close(); $("verb").focus(); }
      if (e.key === "Enter" && e.target.tagName === "SELECT") { e.preventDefault(); form.requestSubmit(); }
    }}, h("h3", {}, heading));
    // What is wrong, and the field of which it names what stands there.
    const fail = says => {
      wrong.hidden = says === null;
      wrong.textContent = says ?? "";
      for (const input of Object.values(inputs)) {
        const at = says !== null && input.tagName === "INPUT" && input.value !== "" && says.includes(JSON.stringify(input.value));
        for (const [name, value] of [["aria-invalid", "true"], ["aria-describedby", wrong.id]]) if (at) input.setAttribute(name, value); else input.removeAttribute(name);
      }
      form.querySelector("[aria-invalid]")?.focus();
    };
    for (const field of fields) {
      const input = field.choices ? h("select", {name: field.name, onchange: tell}, field.choices.map(one => h("option", {value: one, selected: one === field.value}, field.say?.[one] ?? one))) : h("input", {name: field.name, type: "text", autocomplete: "off", value: field.value, oninput: tell});
      inputs[field.name] = input;
      form.append(h("label", {}, field.label, input));
    }
    const press = field => {
      this.picking = field.pick;
      if (field.pick === "place") this.goTo(...(this.run.base[0] >= 0 ? this.run.base : [null, null]));
      this.pick = (thing, at) => {
        const input = inputs[field.name];
        input.value = field.pick === "place" ? field.picked(at, thing) : field.picked(input.value, thing);
        if (field.pick === "place") this.mark = at;
        tell();
        sheet.draw();
      };
    };
    form.append(told, wrong, h("div", {class: "acts"}, h("button", {type: "submit"}, "Do it"), " ", h("button", {type: "button", onclick: close}, "Leave it")));
    const put = () => {
      for (const field of fields) if (field.pick) press(field);
      tell();
      $("question").replaceChildren(form);
      $("question").scrollIntoView({block: "nearest"});
      form.querySelector("input,select").focus();
      form.querySelector("input")?.select?.();
    };
    put();
  },
};

const sheet = new Sheet($("stage"), $("nest"), $("drawing"), {
  line(from, to) { lineFrom(app, {forme: app.forme, point: from}, true, to); },
  press(thing, at, all) {
    if (app.picking) {
      const wanted = app.picking === "place" ? all[0] ?? null : all.find(one => one.kind === app.picking);
      if (app.picking === "place" || wanted) app.pick(wanted, at);
      else app.tell(`There is no ${app.picking} here.`);
      return;
    }
    app.hold(thing);
    if (thing) app.tell(nameOf(thing) + (all.length > 1 ? `. Press again for what lies under it (${all.length}).` : "."));
  },
});
sheet.app = app;

// ---- talking with the program
let working = 0;
async function send(path, body, after = {}) {
  const word = wordAsking(), question = app.answering;
  ++working;
  app.tell("");  // what is told is of the last act
  $("stage").setAttribute("aria-busy", "true");
  const before = app.held, holds = "hold" in after ? after.hold : before;
  try {
    const state = await askInParts(path, {...body, ...(holds?.piece ? {piece: holds.piece} : {}), cell: app.cell}, first => {
      app.nest = first.nest;
      sheet.draw();
    });
    take(state, app.held === before ? holds : app.held);  // what was taken up meanwhile stays in hand
    if (after.tells) app.tell(after.tells);
    after.then?.(state);
    check();
    return true;
  } catch (error) {
    refused(error, word, question);
    return false;
  } finally {
    if (--working === 0) $("stage").removeAttribute("aria-busy");
  }
}

// Told where it was asked for: at the word, or in the question, which comes back; else under the sheet.
function refused(error, word = null, question = null) {
  if (!(error instanceof Refused)) throw error;
  if (error.status === 409 && error.message.includes("changed this file")) {
    app.tell("Not kept: something else has changed this file.");
    return look();
  }
  const says = error.problem ? spokenOf(app, error.problem) : error.message, wrong = error.status === 422;
  app.fault = wrong ? null : says;
  if (wrong && word) refuseWord(word, says);
  render();
  const told = wrong && (word ? toldAtWord() : question?.(says));
  app.tell(told ? "" : says);
}

let looking = false, lookAgain = false;
async function look() {
  if (looking) { lookAgain = true; return; }
  looking = true;
  do {
    lookAgain = false;
    try { take(await ask("/state", {...(app.held?.piece ? {piece: app.held.piece} : {}), cell: app.cell}), app.held); } catch (error) { refused(error); }
  } while (lookAgain);
  looking = false;
}

function take(state, holds) {
  const first = !app.style, shown = JSON.stringify([state.style, state.problems]);
  // What is said of the held thing stays in its place where nothing of it is new: a press that has begun on it goes on.
  const stays = shown === app.shown && holds === app.held && holds?.kind !== "line";
  if (app.shown !== shown) refuseWord(null);
  app.shown = shown;
  app.fault = null;
  app.style = state.style;
  app.problems = state.problems;
  app.steps = {done: state.done, undone: state.undone};
  app.kept = state;
  if (app.findings === null && state.current && !state.problems.length) app.findings = [];
  if (state.run) app.run = state.run;
  if (state.sheet) { app.sheet = state.sheet; $("stage").dataset.shows = state.sheet.shows; }
  if (state.nest) app.nest = state.nest;
  app.forme = app.style.formes && app.forme in app.style.formes ? app.forme : Object.keys(app.style.formes ?? {})[0];
  const labels = JSON.stringify(app.run ? [app.run.sizes, app.run.widths] : null);
  if (app.run && labels !== app.labels) {
    app.cell = app.base();
    if (!first) look();  // what came is of the cell that was shown
  }
  app.labels = labels;
  if (app.run) app.cell = Math.min(app.cell, app.run.sizes.length * app.run.widths.length);
  if (app.run && app.cell < app.run.sizes.length * app.run.widths.length) app.cell = app.nearest(app.cell);
  const lies = holds === app.held ? null : holds?.forme ?? app.specOf(holds?.piece)?.forme;
  if (lies && lies !== app.forme && lies in (app.style.formes ?? {})) { app.forme = lies; sheet.showAll(); }
  app.held = holds;
  if (first) sheet.showAll();
  render(stays);
}

// Checks come after what is seen at once; a newer change puts them off.
let checking = 0;
async function check() {
  const mine = ++checking;
  await new Promise(done => setTimeout(done, 30));
  if (mine !== checking) return;
  try {
    const answer = await askAside("/checks");
    if (mine !== checking) return;
    if (answer.stopped) return check();
    app.problems = answer.problems;
    app.findings = answer.findings ?? null;
    drawBeads(app);
    drawRuler();
    drawNotice();
  } catch (error) { if (!(error instanceof Refused)) throw error; }
}

// ---- drawing
const counted = steps => steps === 1 ? "1 step" : steps === 0 ? "steps taken back" : `${steps} steps`;

function render(stays = false) {
  $("title").textContent = app.style?.name ?? "Lastwright";
  document.title = (app.kept?.changed ? "* " : "") + (app.style?.name ?? "Lastwright");
  $("kept").textContent = !app.kept ? "" : app.kept.changed ? `${app.kept.file}: ${counted(app.steps.done.length)}, not kept in the file yet` : `${app.kept.file}: kept`;
  $("back").disabled = !app.steps.done.length;
  $("again").disabled = !app.steps.undone.length;
  $("save").disabled = !app.kept?.changed;
  const part = partsOf[app.held?.kind] ?? partsOf.style;
  const marks = app.style ? marksOf(app, pointerOf(app, app.held)) : [], parts = app.style && !stays ? part(app, app.held).flat().filter(Boolean) : [];
  if (!stays) writtenAnew($("held"), () => $("held").replaceChildren(...parts.slice(0, 1), ...markLines(app, marks), ...parts.slice(1)));
  app.pencil = app.style ? pencilEdges(app) : new Set();
  $("pencil").querySelector("summary").textContent = `In pencil: ${app.style ? pencilled(app) : 0}`;
  if ($("pencil").open) drawPencil();
  drawWork(app);
  $("formes").replaceChildren(...Object.keys(app.style?.formes ?? {}).map(name => h("button", {type: "button", "aria-pressed": String(name === app.forme), onclick: () => { app.forme = name; app.hold({kind: "forme", forme: name}); sheet.showAll(); sheet.draw(); }}, name)),
    h("button", {type: "button", "aria-pressed": String(app.showsLines), onclick: () => { app.showsLines = !app.showsLines; render(); }}, "points and lines"));
  drawNotice();
  drawSteps();
  drawNames();
  drawRuler();
  drawBeads(app);
  offer();
  sheet.draw();
}

function notice(list) {
  $("notice").replaceChildren(...list.map(one => h("div", {class: one.quiet ? "quiet" : null}, one.says, ...(one.acts ?? []).map(([text, run]) => [" ", h("button", {type: "button", onclick: run}, text)]).flat())));
}
function drawNotice() {
  const list = app.fault ? [{says: app.fault}] : [], kept = app.kept;
  if (kept?.conflict && kept.changed) list.push({says: "Something else has changed this file since you began. Nothing was written over it.", acts: [["Put mine in a file beside it", saveAside], ["Drop mine and take the file", () => confirmDrop()]]});
  else if (kept?.conflict) list.push({says: "Something else has changed this file.", acts: [["Take it as it is now", () => send("/take-file", {})]]});
  if (kept?.draft_fault) list.push({says: "The last step is not in the draft: " + kept.draft_fault});
  if (kept?.resumed && kept.changed && !kept.conflict) list.push({quiet: true, says: `What you did before is here again, from the draft: ${counted(app.steps.done.length)}.`, acts: [["Take all of it back", () => send("/steps", {to: 0})]]});
  if (kept && !kept.current && app.sheet) list.push({quiet: true, says: "The sheet shows the style as it was before this could not be made:"});
  for (const problem of app.problems.slice(0, 5)) list.push({says: spokenOf(app, problem), acts: app.placeOf(problem) ? [["Go there", () => app.hold(app.placeOf(problem))]] : []});
  if (app.problems.length > 5) list.push({says: `and ${app.problems.length - 5} more`});
  notice(list);
}
async function saveAside() {
  try { const {aside} = await ask("/save-aside"); await look(); app.tell(`Yours is in ${aside}; the sheet shows the file as it is now.`); } catch (error) { refused(error); }
}
function confirmDrop() {
  app.question("Drop your steps?", [{name: "sure", label: "They cannot be brought back", choices: ["keep them", "drop them"], value: "keep them"}], answer => { if (answer.sure === "drop them") send("/take-file", {}); });
}

function drawPencil() { $("pencillist").replaceChildren(...pencilPart(app, problem => placeOf(app, problem)).flat()); }

// ---- the ruler
function drawRuler() {
  if (!app.run) return;
  const {sizes, widths, base} = app.run, failed = new Set((app.findings ?? []).filter(one => !one.passed).map(one => JSON.stringify([one.size, one.width])));
  // The same squares while the sizes and widths are the same, so that a press that has begun on one ends on it.
  if (app.ruled !== app.labels) {
    const row = (width, w) => h("tr", {}, h("th", {}, width), sizes.map((size, i) => h("td", {"data-cell": i * widths.length + w})));
    $("ruler").replaceChildren(h("table", {"aria-hidden": "true"}, h("tr", {}, h("th", {}, ""), sizes.map(size => h("th", {}, size))), widths.map(row)));
    app.ruled = app.labels;
  }
  for (const square of $("ruler").querySelectorAll("td")) {
    const k = Number(square.dataset.cell), i = Math.floor(k / widths.length), w = k % widths.length;
    square.className = [!app.makes(k) && "unmade", (i === base[0] && w === base[1]) && "sample", k === app.cell && "here", failed.has(JSON.stringify([sizes[i], widths[w]])) && "fault"].filter(Boolean).join(" ");
  }
  $("ruler").setAttribute("aria-valuemin", 0);
  $("ruler").setAttribute("aria-valuemax", sizes.length * widths.length - 1);
  $("ruler").setAttribute("aria-valuenow", Math.min(app.cell, sizes.length * widths.length - 1));
  $("ruler").setAttribute("aria-valuetext", `size and width ${app.cellName()}${app.cell === app.base() ? ", the base" : ""}`);
}
$("ruler").addEventListener("click", e => { const cell = e.target.dataset?.cell; if (cell !== undefined) app.goTo(Math.floor(cell / app.run.widths.length), cell % app.run.widths.length); });
$("ruler").addEventListener("keydown", e => {
  const count = app.run.widths.length, size = Math.floor(app.cell / count), width = app.cell % count;
  const to = {ArrowLeft: [size - 1, width], ArrowRight: [size + 1, width], ArrowUp: [size, width - 1], ArrowDown: [size, width + 1], Home: [0, width], End: [app.run.sizes.length - 1, width]}[e.key];
  if (to) { e.preventDefault(); app.goTo(...to); app.tell(`Size and width ${app.cellName()}.`); }
});

// ---- steps, names
function drawSteps() {
  const {done, undone} = app.steps;
  $("steplist").replaceChildren(h("li", {}, act("as the file was", () => send("/steps", {to: 0}), {"aria-current": done.length === 0 ? "true" : null})),
    ...done.map((says, i) => h("li", {}, act(says, () => send("/steps", {to: i + 1}), {"aria-current": i + 1 === done.length ? "true" : null}))),
    ...undone.map((says, i) => h("li", {class: "ahead"}, act(says + " (taken back)", () => send("/steps", {to: done.length + i + 1})))));
}
function drawNames() {
  if (!$("names").open) return;
  $("list").replaceChildren(h("ul", {}, Object.keys(app.style?.formes ?? {}).map(forme => h("li", {}, act("Forme " + forme, () => app.hold({kind: "forme", forme})), h("ul", {}, (app.style.pieces ?? []).filter(piece => piece.forme === forme).map(piece => h("li", {}, act(piece.name, () => app.hold({kind: "piece", piece: piece.name})), h("ul", {}, (piece.edges ?? []).map(edge => h("li", {}, act(edge.name, () => app.hold({kind: "edge", piece: piece.name, edge: edge.name})))))))))),
    h("li", {}, "Seams", h("ul", {}, (app.style?.seams ?? []).map(seam => h("li", {}, act(seam.name, () => app.hold({kind: "seam", seam: seam.name}))))))));
}
$("names").addEventListener("toggle", drawNames);
$("pencil").addEventListener("toggle", () => { if ($("pencil").open && app.style) drawPencil(); });
$("pile").addEventListener("toggle", () => { if ($("pile").open) fillPile(app); });
$("work").addEventListener("toggle", () => { if ($("work").open) showWork(app); });

// ---- saying it
let chosen = 0;
function offered() {
  const words = $("verb").value.toLowerCase().split(/\s+/).filter(Boolean), all = verbsOf(app);
  if (!words.length) return [];
  const rank = verb => { const name = verb.name.toLowerCase(), said = words.join(" "); return name === said || name === "hold " + said ? 0 : name.startsWith(said) ? 1 : 2; };
  return all.filter(verb => words.every(word => (verb.name + " " + verb.hint).toLowerCase().includes(word))).sort((a, b) => rank(a) - rank(b)).slice(0, 12);
}
function offer() {
  const list = document.activeElement === $("verb") || $("verb").value ? offered() : [];
  chosen = Math.max(0, Math.min(chosen, list.length - 1));
  $("verbs").replaceChildren(...list.map((verb, i) => h("li", {role: "option", id: "verb" + i, "aria-selected": String(i === chosen), onclick: () => doVerb(verb)}, verb.name, h("span", {class: "small"}, " " + verb.hint))));
  $("verb").setAttribute("aria-expanded", String(list.length > 0));
  if (list.length) $("verb").setAttribute("aria-activedescendant", "verb" + chosen); else $("verb").removeAttribute("aria-activedescendant");
}
function doVerb(verb) {
  $("verb").value = "";
  $("verb").blur();
  offer();
  verb.run();
}
$("verb").addEventListener("input", () => { chosen = 0; forgetNotFound(); offer(); });
document.addEventListener("click", () => forgetNotFound());
$("verb").addEventListener("keydown", e => {
  const list = offered();
  if (e.key === "ArrowDown" || e.key === "ArrowUp") { e.preventDefault(); chosen = (chosen + (e.key === "ArrowDown" ? 1 : list.length - 1)) % Math.max(1, list.length); offer(); }
  if (e.key === "Escape") { $("verb").value = ""; offer(); $("stage").focus(); }
});
$("say").addEventListener("submit", e => { e.preventDefault(); const verb = offered()[chosen]; if (verb) doVerb(verb); else { app.tell("Nothing of that name can be done with what is held: names of pieces, edges and points hold them."); notFound = $("told").textContent; } });
// What could not be done is said until the next thing is typed or held.
let notFound = null;
function forgetNotFound() {
  if (notFound !== null && $("told").textContent === notFound) app.tell("");
  notFound = null;
}

document.addEventListener("keydown", e => {
  const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement?.tagName);
  const ctrl = e.ctrlKey || e.metaKey, letter = e.key.toLowerCase();
  if (ctrl && letter === "s") { e.preventDefault(); document.activeElement?.blur?.(); app.save(); }
  else if (ctrl && !typing && (letter === "y" || (letter === "z" && e.shiftKey))) { e.preventDefault(); app.again(); }
  else if (ctrl && !typing && letter === "z") { e.preventDefault(); app.back(); }
  else if (!ctrl && !e.altKey && !typing && e.key === "Escape") app.hold(null);
  else if (!ctrl && !e.altKey && !typing && /^[a-z]$/i.test(e.key)) $("verb").focus();
});
$("back").addEventListener("click", () => app.back());
$("again").addEventListener("click", () => app.again());
$("save").addEventListener("click", () => app.save());
$("tour").addEventListener("click", () => startTour(app));
addEventListener("beforeunload", e => { if (working) e.preventDefault(); });
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => sheet.draw());

try {
  await enter();
  app.usual = (await ask("/choices")).usual;
  app.schema = await (await fetch("/style.schema.json", {cache: "no-store"})).json();
  await look();
  check();
  if (pencilled(app) && !app.steps.done.length && !app.kept.resumed) greet(app);
} catch (error) {
  refused(error);
}
document.documentElement.dataset.ready = "true";
