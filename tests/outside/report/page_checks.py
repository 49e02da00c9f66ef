"""Scripts that measure a page from inside the browser."""

# Text that can be seen and whose contrast to what lies under it is less than WCAG 2.1 asks (1.4.3: 4.5, large text 3).
CONTRAST = r"""(() => {
  const parse = c => { const n = c.match(/[\d.]+/g).map(Number); return [n[0], n[1], n[2], n.length > 3 ? n[3] : 1]; };
  const over = (a, b) => [0, 1, 2].map(i => a[i] * a[3] + b[i] * (1 - a[3])).concat(1);
  const lum = c => { const l = c.slice(0, 3).map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * l[0] + 0.7152 * l[1] + 0.0722 * l[2]; };
  const ground = e => { let stack = []; for (; e; e = e.parentElement) { const c = parse(getComputedStyle(e).backgroundColor); stack.push(c); if (c[3] === 1) break; }
    return stack.reverse().reduce((under, c) => over(c, under), [255, 255, 255, 1]); };
  const bad = []; let seen = 0;
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const node = walk.currentNode, e = node.parentElement;
    if (!node.textContent.trim() || !e.getClientRects().length || e.closest("script, style, noscript, .skip, title")) continue;
    const style = getComputedStyle(e), svg = e instanceof SVGElement;
    const ink = over(parse(svg ? style.fill : style.color), ground(e)), a = lum(ink), b = lum(ground(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const large = parseFloat(style.fontSize) >= 24 || (parseFloat(style.fontSize) >= 18.66 && Number(style.fontWeight) >= 700);
    ++seen;
    if (ratio < (large ? 3 : 4.5)) bad.push(node.textContent.trim().slice(0, 30) + " " + ratio.toFixed(2));
  }
  return {seen, bad: bad.slice(0, 8)};
})()"""

# What reaches beyond the right edge of the screen, boxes that scroll by themselves left out.
TOO_WIDE = r"""(() => {
  const wide = document.documentElement.clientWidth;
  return [...document.querySelectorAll("body *")].filter(e => !e.closest(".wide, svg, .skip, #gallery") && e.getClientRects().length &&
    e.getBoundingClientRect().right > wide + 0.5).slice(0, 5).map(e => e.tagName + "." + e.className + " " + e.getBoundingClientRect().right);
})()"""

# Points along the cut line of the chosen outline, by the browser's own SVG geometry: [length, [[x, y], ...]] in mm, y up.
CHOSEN = r"""(() => {
  const path = document.querySelector("#stage .chosen .op-cut"), long = path.getTotalLength(), points = [];
  for (let i = 0; i < 400; ++i) { const p = path.getPointAtLength(long * i / 400); points.push([p.x, -p.y]); }
  return [long, points];
})()"""

# Where the keyboard is, in words.
FOCUS = r"""(() => {
  const e = document.activeElement;
  if (!e || e === document.body) return "";
  const seen = e.matches("fieldset.chips input, fieldset.tiles input") ? e.nextElementSibling : e;
  const style = getComputedStyle(seen);
  return (e.name || e.id || e.textContent.trim().split("\n")[0]) + (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 ? "" : " (not marked)");
})()"""
