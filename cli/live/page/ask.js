// Talking with the program that serves this page.
//
// The address brings a token that works once, in its fragment. It is exchanged for a key, which stays with this tab
// (a reload needs it) and goes with every request in a field of its own.
let key = sessionStorage.getItem("key");
let under = Promise.resolve();

export class Refused extends Error {
  constructor(status, answer) {
    super(answer.refused || "refused");
    this.status = status;
    this.problem = answer.problem;
  }
}

async function post(path, body) {
  let reply;
  try {
    reply = await fetch(path, {method: "POST", headers: {"Content-Type": "application/json", ...(key ? {"X-Key": key} : {})}, body: JSON.stringify(body), cache: "no-store"});
  } catch {
    throw new Refused(0, {refused: "lastwright does not answer: has it ended where it was started? What was not kept is in the draft beside the style, and comes back with `lastwright open`."});
  }
  const answer = await reply.json();
  if (!reply.ok) throw new Refused(reply.status, answer);
  return answer;
}

export async function enter() {
  const token = location.hash.slice(1);
  if (token) {
    history.replaceState(null, "", location.pathname);
    key = null;
    key = (await post("/enter", {token})).key;
    sessionStorage.setItem("key", key);
  }
  if (!key) throw new Refused(403, {refused: "This page has not been let in: open the address that lastwright open shows."});
}

// One after the other, in the order of the asking.
function inTurn(work) {
  const mine = under.then(work);
  under = mine.catch(() => {});
  return mine;
}
export const ask = (path, body = {}) => inTurn(() => post(path, body));
// The same where an answer may leave the sheet for later: `seen` gets what comes first, and the sheet comes before anything
// else is asked.
export function askInParts(path, body, seen) {
  return inTurn(async () => {
    const first = await post(path, {...body, sheet: "after"});
    if (!first.sheet_after) return first;
    seen(first);
    return {...first, ...await post("/sheet", {cell: body.cell})};
  });
}
// Beside the others: the program itself puts it off for whatever comes.
export const askAside = (path, body = {}) => post(path, body);
