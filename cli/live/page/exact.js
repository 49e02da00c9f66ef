// Exact fractions, and what a line carries, as people write it: "1/2 ball girth - 1/2 tread".
const gcd = (a, b) => { while (b) [a, b] = [b, a % b]; return a < 0n ? -a : a; };

export function fraction(text) {
  const found = /^\s*([+-]?)\s*(\d{1,12})(?:\s+(\d{1,9})\s*\/\s*(\d{1,9})|\s*\/\s*(\d{1,9})|\.(\d{1,9}))?\s*$/.exec(String(text));
  if (!found) return null;
  const [, sign, whole, top, bottom, under, decimals] = found;
  let n = BigInt(whole), d = 1n;
  if (bottom) { d = BigInt(bottom); n = n * d + BigInt(top); }
  else if (under) d = BigInt(under);
  else if (decimals) { d = 10n ** BigInt(decimals.length); n = n * d + BigInt(decimals); }
  if (d === 0n) return null;
  return reduced(sign === "-" ? -n : n, d);
}
const reduced = (n, d) => { const g = gcd(n, d) || 1n; return {n: n / g, d: d / g}; };
export const plus = (a, b) => reduced(a.n * b.d + b.n * a.d, a.d * b.d);
export const times = (a, b) => reduced(a.n * b.n, a.d * b.d);
export const shown = a => a.d === 1n ? String(a.n) : a.n + "/" + a.d;

// {carries} or {wrong: why}. Measures may have any name: the longest that fits is meant.
export function carriesOf(text, measures) {
  const names = [...measures].sort((a, b) => b.length - a.length);
  const carries = {};
  let rest = text.trim(), first = true;
  while (rest) {
    const head = /^([+-])?\s*(\d[\d\s/.]*)?\s*/.exec(rest);
    if (!first && !head[1]) return {wrong: "write + or - before " + rest.slice(0, 20)};
    let share = fraction(head[2] ?? "1");
    if (!share) return {wrong: head[2].trim() + " is not a share: write 1/2, 0.5 or 2"};
    if (head[1] === "-") share = {n: -share.n, d: share.d};
    rest = rest.slice(head[0].length);
    const name = names.find(one => rest.startsWith(one) && !/^\w/.test(rest.slice(one.length)));
    if (!name) return {wrong: "there is no measure called " + (rest.slice(0, 24) || "nothing") + ". There are: " + measures.join(", ")};
    if (name in carries) return {wrong: name + " is named twice"};
    carries[name] = share.d === 1n ? Number(share.n) : shown(share);
    rest = rest.slice(name.length).trim();
    first = false;
  }
  return Object.keys(carries).length ? {carries} : {wrong: "say what the line carries, such as 1/2 " + (measures[0] ?? "girth")};
}

export const carriesText = carries => Object.entries(carries ?? {}).map(([name, share], i) => {
  const text = String(share), minus = text.startsWith("-");
  const size = minus ? text.slice(1) : text;
  return (minus ? (i ? " - " : "-") : i ? " + " : "") + (size === "1" ? "" : size + " ") + name;
}).join("");

// What all lines of a girth carry together, as a sentence. `as`: one line's carries as they are being typed.
export function closure(style, measure, as = null) {
  const sum = {[measure]: {n: 0n, d: 1n}};
  for (const part of style.girths?.[measure] ?? []) {
    const rule = style.formes?.[part.forme]?.rules?.find(one => (one.measure_line ?? one.check_line) === part.line);
    const here = as && as.forme === part.forme && as.line === part.line;
    const carries = here ? as.carries : rule?.carries;
    const count = fraction(part.times ?? 1) ?? {n: 1n, d: 1n};
    for (const [name, share] of Object.entries(carries ?? {})) {
      const of = fraction(share);
      if (of) sum[name] = plus(sum[name] ?? {n: 0n, d: 1n}, times(count, of));
    }
  }
  const off = Object.entries(sum).filter(([name, share]) => !(name === measure ? share.n === share.d : share.n === 0n));
  if (!off.length) return {closes: true, says: `the ${measure} closes: its lines carry the whole of it`};
  return {closes: false, says: `the ${measure} does not close: its lines carry ` + Object.entries(sum).map(([name, share]) => shown(share) + " " + name).join(", ") + " together"};
}
