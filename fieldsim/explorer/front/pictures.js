// The explorer's four pictures: data in, one SVG out. Each option is a group that can be dimmed.
import { COLORS, DASHES, FILLS, GRID, INK, QUIET } from "./draw.js";
import { dayText, lines, money, monthStarts, picture, roundTicks } from "./draw.js";
import { scale, spread, svg, widthOf, words } from "./draw.js";

const WIDE = 480;
const ROW = 62;
const DOTS = 78;

function group(option, ...children) {
  return svg("g", { "data-option": option }, ...children);
}

export function dateAxis(first, days, x, top, bottom) {
  const marks = [];
  for (const day of monthStarts(first, days)) {
    const at = x(day);
    marks.push(svg("line", { x1: at, x2: at, y1: top, y2: bottom, stroke: GRID }));
    marks.push(words(at, bottom + 18, dayText(first, day), { "text-anchor": "middle", fill: QUIET }));
  }
  return marks;
}

export function finishPicture(data, work, by) {
  const curve = data.finish[work];
  const days = curve.shares[0].length;
  const [left, right, top, bottom] = [44, WIDE - 152, 14, 288];
  const x = scale(0, days - 1, left, right);
  const y = scale(0, 1, bottom, top);
  const parts = dateAxis(data.first_day, days, x, top, bottom);
  for (const share of [0, 0.25, 0.5, 0.75, 1]) {
    parts.push(svg("line", { x1: left, x2: right, y1: y(share), y2: y(share), stroke: GRID }));
    parts.push(words(left - 6, y(share) + 5, `${share * 100}`, { "text-anchor": "end", fill: QUIET }));
  }
  parts.push(words(left, bottom + 38, "% of seasons finished by the date", { fill: QUIET }));
  parts.push(svg("line", { x1: x(by), x2: x(by), y1: top, y2: bottom, stroke: INK, "stroke-dasharray": "4 3" }));
  const heights = curve.shares.map((shares) => y(shares[by]));
  const places = spread(heights, 54, top + 10, bottom - 36);
  curve.shares.forEach((shares, option) => {
    const color = COLORS[option % COLORS.length];
    const points = shares.map((share, day) => `${x(day).toFixed(1)},${y(share).toFixed(1)}`);
    const told = `${Math.round(shares[by] * 100)} %  ${data.options[option].label}`;
    const label = lines(told, 17).slice(0, 3).map((row, i) =>
      words(right + 32, places[option] + 5 + 16 * i, row));
    parts.push(group(option,
      svg("polyline", { points: points.join(" "), fill: "none", stroke: color, "stroke-width": 2.6,
        "stroke-dasharray": DASHES[option % DASHES.length] || null }),
      svg("circle", { cx: x(by), cy: heights[option], r: 4.5, fill: color }),
      svg("line", { x1: right + 8, x2: right + 29, y1: places[option], y2: places[option], stroke: color,
        "stroke-width": 3, "stroke-dasharray": DASHES[option % DASHES.length] || null }),
      ...label));
  });
  return picture(WIDE, 334, `${curve.said} By ${dayText(data.first_day, by)}: ${data.options.map((o, i) =>
    `${o.label} ${Math.round(curve.shares[i][by] * 100)} %`).join(", ")}.`, ...parts);
}

export function lostPicture(data) {
  const { dots, mean, bad, bad_band: ends, said } = data.lost;
  const ticks = roundTicks(Math.max(1, ...dots.flat()));
  const x = scale(Math.min(0, ...dots.flat()), ticks[ticks.length - 1], 20, WIDE - 24);
  const bottom = 20 + DOTS * dots.length;
  const parts = moneyAxis(ticks, x, bottom);
  dots.forEach((values, option) => {
    const base = 20 + DOTS * option;
    const color = COLORS[option % COLORS.length];
    parts.push(group(option,
      words(20, base + 2, data.options[option].label),
      words(20, base + 19, `mean ${money(mean[option])}, 1 in 10 above ${money(bad[option])} (${ends[option]})`, { fill: QUIET }),
      ...values.map((value, i) => svg("circle", { cx: x(value), cy: base + (i % 2 ? 34 : 44), r: 5,
        fill: color, "fill-opacity": 0.85 })),
      svg("line", { x1: x(mean[option]), x2: x(mean[option]), y1: base + 26, y2: base + 52, stroke: INK,
        "stroke-width": 3 })));
  });
  parts.push(words(20, bottom + 38, "$ a year; a dot: one season in twenty; bar: mean", { fill: QUIET }));
  return picture(WIDE, bottom + 46, said, ...parts);
}

function moneyAxis(ticks, x, bottom) {
  return ticks.flatMap((tick) => {
    const told = tick ? `${money(tick / 1000)}k` : "$0";
    const [at, anchor] = x(tick) + widthOf(told) / 2 + 6 > WIDE ? [WIDE - 2, "end"] : [x(tick), "middle"];
    return [
      svg("line", { x1: x(tick), x2: x(tick), y1: 8, y2: bottom, stroke: GRID }),
      words(at, bottom + 18, told, { "text-anchor": anchor, fill: QUIET }),
    ];
  });
}

// Bars of parts laid end to end, a row for each option, with a key of the parts below.
function stacked(data, { parts: names, values, said }, fills, ending, shown, unit) {
  const most = Math.max(1, ...values.map((row) => row.reduce((sum, v) => sum + Math.max(0, v), 0)));
  const x = scale(0, most, 20, WIDE - 24);
  const pieces = [];
  values.forEach((row, option) => {
    const base = 20 + ROW * option;
    const bars = [];
    let start = 0;
    row.forEach((value, part) => {
      const width = x(start + Math.max(0, value)) - x(start);
      const told = shown(value);
      bars.push(svg("rect", { x: x(start), y: base + 12, width, height: 28, fill: fills[part], stroke: INK,
        "stroke-width": 0.8 }));
      if (widthOf(told) + 6 < width) {
        bars.push(words(x(start) + width / 2, base + 31, told, { "text-anchor": "middle" }));
      }
      start += Math.max(0, value);
    });
    const mark = svg("rect", { x: 20, y: base - 7, width: 12, height: 12, fill: COLORS[option % COLORS.length] });
    const label = words(38, base + 4, `${data.options[option].label}${ending(option)}`);
    pieces.push(group(option, mark, label, ...bars));
  });
  let [at, row] = [20, 20 + ROW * values.length + 14];
  names.forEach((name, part) => {
    if (at + 24 + widthOf(name) > WIDE) [at, row] = [20, row + 22];
    pieces.push(svg("rect", { x: at, y: row - 12, width: 14, height: 14, fill: fills[part], stroke: INK, "stroke-width": 0.8 }));
    pieces.push(words(at + 19, row, name));
    at += 36 + widthOf(name);
  });
  pieces.push(words(20, row + 24, unit, { fill: QUIET }));
  return picture(WIDE, row + 34, said, ...pieces);
}

export function costPicture(data) {
  const fills = data.cost.parts.map((name, i) => (name === "lost revenue" ? FILLS[1] : FILLS[[0, 2, 4, 5, 6][i % 5]]));
  const ending = (option) => `: ${money(data.cost.total[option])}`;
  const thousands = (value) => `${money(value / 1000)}k`;
  return stacked(data, data.cost, fills, ending, thousands, "$ a year, lost revenue counted as a cost");
}

export function daysPicture(data) {
  const fills = data.days.parts.map((name, i, all) =>
    i === 0 ? FILLS[8] : i === 1 ? FILLS[0] : i === all.length - 1 ? "#FFFFFF" : FILLS[[5, 1, 2, 6, 3][(i - 2) % 5]]);
  return stacked(data, data.days, fills, () => "", (value) => value.toFixed(1), "days of a mean season, for each hand");
}
