"use strict";
// Graded outlines as the program packs them (cli/report/nest_data.hpp), unpacked. Lengths are in 0.01 mm and y up.
// Shared by the report and the page of `lastwright open`.
const Outlines = (() => {
  const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const value = new Map([...digits].map((c, i) => [c, i]));

  function unpack(text, from = 0) {
    const numbers = [];
    let sum = 0, place = 1;
    for (let i = from; i < text.length; ++i) {
      const five = value.get(text[i]);
      sum += (five & 31) * place;
      if (five & 32) { place *= 32; continue; }
      numbers.push(sum % 2 ? -(sum - 1) / 2 : sum / 2);
      sum = 0;
      place = 1;
    }
    return numbers;
  }

  const mm = n => (n / 100).toFixed(2).replace(/\.?0+$/, "");

  // One segment as SVG: y is turned over, so a left turn is sweep 0.
  function segment(x0, y0, x1, y1, rise) {
    if (rise === 0) return "L" + mm(x1) + " " + mm(-y1);
    const half = Math.hypot(x1 - x0, y1 - y0) / 2;
    const high = Math.abs(rise);
    const radius = (half * half + high * high) / (2 * high);
    return "A" + mm(radius) + " " + mm(radius) + " 0 " + (high > half ? 1 : 0) + " " + (rise > 0 ? 0 : 1) + " " + mm(x1) + " " + mm(-y1);
  }

  // Highest and lowest points of an arc beyond its ends do not matter for a view with a margin, its rise does.
  function grow(box, x, y, by) {
    box[0] = Math.min(box[0], x - by);
    box[1] = Math.min(box[1], y - by);
    box[2] = Math.max(box[2], x + by);
    box[3] = Math.max(box[3], y + by);
  }

  // {length, area, shapes: [{operation, d | hole | text}], box of the cut line, points of the cut line}
  function outline(n, texts) {
    const result = {length: n[0] / 100, area: n[1] / 100, shapes: [], box: [Infinity, Infinity, -Infinity, -Infinity], points: []};
    let i = 2;
    while (i < n.length) {
      const kind = n[i] >> 4, operation = n[i] & 15;
      ++i;
      if (kind === 2) {
        result.shapes.push({operation, hole: [n[i], n[i + 1], n[i + 2]]});
        i += 3;
      } else if (kind === 3) {
        result.shapes.push({operation, at: [n[i], n[i + 1]], height: n[i + 2], angle: n[i + 3] / 10, text: texts[n[i + 4]]});
        i += 5;
      } else {
        const count = n[i++];
        const points = [];
        let x = 0, y = 0;
        for (let k = 0; k < count; ++k, i += 3) {
          x += n[i];
          y += n[i + 1];
          points.push([x, y, n[i + 2]]);
          if (operation === 0) grow(result.box, x, y, 0);
        }
        let d = count ? "M" + mm(points[0][0]) + " " + mm(-points[0][1]) : "";
        for (let k = 1; k < count; ++k) d += segment(points[k - 1][0], points[k - 1][1], points[k][0], points[k][1], points[k - 1][2]);
        if (kind === 0 && count > 1) {
          const last = points[count - 1];
          if (last[2] !== 0) d += segment(last[0], last[1], points[0][0], points[0][1], last[2]);
          d += "Z";
        }
        if (operation === 0) result.points = points;
        result.shapes.push({operation, d});
      }
    }
    return result;
  }

  return {unpack, outline, segment, mm};
})();
