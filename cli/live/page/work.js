// Work on the file: the set, the dies, the report, the plot, with progress and an end.
import {askAside, Refused} from "/ask.js";
import {$, h} from "/dom.js";

const NAMES = {grade: "Make the set", dies: "Write the die order", report: "Write the report", plot: "Plot the base"};
const DONE = {0: "done", 1: "done, and a check failed", 2: "refused", 3: "refused: the style or a drawing is not sound", 4: "refused: it cannot be graded", 5: "not done: something is there already", 6: "not done: a file could not be read or written", 70: "a fault of the program"};

let timer = null, last = null;

async function post(path, body = {}) {
  try { return await askAside(path, body); } catch (error) { if (error instanceof Refused) return {refused: error.message}; throw error; }
}
export async function showWork(app) {
  const state = await post("/jobs");
  if (!state.refused) { last = state; drawWork(app); }
}

export async function startWork(app, kind, replace = false) {
  if (app.kept?.changed && !(await app.save(kind))) return;
  app.open("work");
  const state = await post("/start", {kind, replace});
  if (state.refused) { app.tell(state.refused); return; }
  last = state;
  drawWork(app);
  watch(app);
}
async function stopWork(app) {
  const state = await post("/start", {stop: true});
  if (!state.refused) { last = state; drawWork(app); app.tell(stopped(state)); }
}
// It may have been whole a moment before.
const stopped = ({kinds, job}) => { const one = kinds.find(kind => kind.kind === job.kind); return `Stopped: ${one.out} is ${one.there ? "there, as a whole: the one before, or the one that was just made" : "not there"}.`; };
function watch(app) {
  clearTimeout(timer);
  timer = setTimeout(async () => {
    const state = await post("/jobs");
    if (!state.refused) last = state;
    drawWork(app);
    if (state.refused || state.job?.running) return watch(app);
    app.tell(`${NAMES[state.job.kind]}: ${DONE[state.job.code] ?? "ended by a signal"}.`);
  }, 250);
}

export function drawWork(app) {
  if (!last) return;
  const {kinds, job} = last, out = [];
  for (const one of kinds) out.push(h("li", {}, h("button", {type: "button", disabled: Boolean(job?.running), onclick: () => startWork(app, one.kind, one.there)}, NAMES[one.kind] + (one.there ? " anew" : "")), h("div", {class: "small"}, `${one.says}, into ${one.out}${one.there ? ", which is replaced" : ""}`)));
  const parts = [h("p", {class: "small"}, app.kept?.changed ? "It is made from the file: your steps are kept first, where they are sound." : "It is made from the file, and put beside it."), h("ul", {}, out)];
  if (job) {
    const bar = job.running ? h("progress", {max: job.total || null, value: job.total ? job.done : null, "aria-label": NAMES[job.kind]}) : null;
    parts.push(h("div", {class: "job", role: "status"}, h("p", {}, NAMES[job.kind] + ": ", job.running ? (job.total ? `${job.done} of ${job.total} ` : "at work ") : job.stopped ? "stopped. " + stopped(last) : (DONE[job.code] ?? "ended by a signal") + ".", bar),
      job.running ? h("button", {type: "button", onclick: () => stopWork(app)}, "Stop it") : null, job.said && !job.running ? h("pre", {}, job.said.trim()) : null));
  }
  $("worklist").replaceChildren(...parts);
}
export const workVerbs = (app, add) => { for (const [kind, name] of Object.entries(NAMES)) add(name.toLowerCase(), "from the file, put beside it", () => startWork(app, kind, last?.kinds.find(one => one.kind === kind)?.there ?? false)); };
