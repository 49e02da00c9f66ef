"use strict";
// The lasts: one size and width over the base, with its measures beside what the style asks.
(() => {
  const {data} = Nest, lasts = data.lasts, $ = id => document.getElementById(id);
  if (!lasts || !$("last-bar")) return;
  const names = data.sizes.map(one => one[0]), chosen = {size: null, width: Math.max(0, data.base[1])};
  const name = () => names[chosen.size] + " " + data.widths[chosen.width];

  function row(cells, kind) {
    const tr = document.createElement("tr");
    cells.forEach((text, i) => {
      const cell = document.createElement(kind === "head" || i === 0 ? "th" : "td");
      cell.textContent = text;
      if (i > 0) cell.className = "n" + (kind === "off" && i === 4 ? " bad" : "");
      tr.append(cell);
    });
    return tr;
  }
  const figure = value => value === null || value === undefined ? "" : value.toFixed(2);

  function show() {
    const one = chosen.size === null ? null : name(), width = data.widths[chosen.width];
    for (const group of document.querySelectorAll("svg.lasts g")) {
      const at = group.dataset.last, here = one === null ? at.endsWith(" " + width) : at === one;
      if (here || at === lasts.base) group.removeAttribute("hidden"); else group.setAttribute("hidden", "");
    }
    const found = one !== null && lasts.lasts[one], table = document.createElement("table");
    $("last-title").textContent = one === null ? "Base " + lasts.base + " and the sizes of width " + width + "."
                                : found ? one + " over the base " + lasts.base + "." : one + ": there is no last of this size and width.";
    $("last-readout").replaceChildren();
    if (!found) return;
    const body = document.createElement("tbody"), head = document.createElement("thead");
    const of = new Map((lasts.lasts[lasts.base] || []).map(([measure, mm]) => [measure, mm]));
    head.append(row(["measure, mm", "base " + lasts.base, one, "the style asks", "difference"], "head"));
    for (const [measure, mm, asked] of found) {
      const off = asked === null ? null : mm - asked;
      body.append(row([measure, figure(of.get(measure)), figure(mm), figure(asked), off === null ? "" : (off < -0.004 ? "\u2212" : off > 0.004 ? "+" : "") + Math.abs(off).toFixed(2)], off !== null && Math.abs(off) > 0.02 ? "off" : ""));
    }
    table.append(head, body);
    $("last-readout").append(table);
  }

  function chips(box, group, labels, checked, choose) {
    labels.forEach((label, i) => {
      const input = document.createElement("input"), text = document.createElement("span"), line = document.createElement("label");
      Object.assign(input, {type: "radio", name: group, value: i, checked: i === checked});
      input.addEventListener("change", () => { choose(i); show(); });
      text.textContent = label;
      line.append(input, text);
      $(box).append(line);
    });
  }
  chips("last-size", "last-size", ["all", ...names], 0, i => { chosen.size = i === 0 ? null : i - 1; });
  chips("last-width", "last-width", data.widths, chosen.width, i => { chosen.width = i; });
  $("last-bar").hidden = false;
  show();
})();
