// A first tour of two minutes: each step says what to do and waits until it is done, on the user's own style.
import {$, h} from "/dom.js";

const STEPS = [
  ["This is your forme, toe to the right, with every piece where it lies on the last. Press a piece, or choose one under “Everything by name”.", app => app.held?.piece],
  ["All its sizes lie over each other: smaller ones in thin lines, larger ones in dashes. Press one of its edges; pressing again reaches what lies under.", app => app.held?.kind === "edge"],
  ["The edge is described in sentences. Every word with dots under it can be changed: try another allowance, then press Enter.", (app, was) => app.steps.done.length > was.done],
  ["Every step can be taken back: press “Take back”, or Ctrl and Z.", (app, was) => app.steps.done.length < was.done],
  ["The ruler below has every size and width; the hatched one is the base. Choose another, by pressing or with the arrow keys.", (app, was) => app.cell !== was.cell],
  ["The beads above are the checks: whole where all pass, dashed where something is to be looked at, hollow where nothing is judged, broken where one failed, with a count. A broken one leads to its place. Whatever can be done has a word: begin to type one, such as “show everything”.", () => $("verb").value.length > 1],
];

export function startTour(app) {
  let step = 0, was = null, timer = null;
  const close = () => { clearInterval(timer); $("question").replaceChildren(); };
  const next = () => {
    if (step === STEPS.length) {
      $("question").replaceChildren(h("div", {role: "status"}, h("h3", {}, "That is all of it"), h("p", {}, "“Keep in the file” writes the style; until then everything is in a draft beside it."), h("button", {type: "button", onclick: close}, "Good")));
      clearInterval(timer);
      return;
    }
    was = {done: app.steps.done.length, cell: app.cell};
    $("question").replaceChildren(h("div", {role: "status"}, h("h3", {}, `${step + 1} of ${STEPS.length}`), h("p", {}, STEPS[step][0]), h("button", {type: "button", onclick: () => { ++step; next(); }}, "Next"), " ", h("button", {type: "button", onclick: close}, "Enough")));
  };
  next();
  timer = setInterval(() => { if (step < STEPS.length && STEPS[step][1](app, was)) { ++step; next(); } }, 200);
}
