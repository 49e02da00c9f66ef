// Elements out of names and values. Text is only ever set as text: a name may hold anything.
export function h(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat().filter(one => one !== null && one !== undefined && one !== false));
  return made;
}
export function s(tag, attributes = {}, ...children) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children);
  return made;
}
export const $ = id => document.getElementById(id);
export const pointer = (...steps) => steps.map(step => "/" + String(step).replace(/~/g, "~0").replace(/\//g, "~1")).join("");
