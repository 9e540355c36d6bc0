// Elements, scales and words that every picture needs. Text is set as text only, never as markup.

// Okabe and Ito (2008) for options, as in the figures of the report; Tol (2021), "light", for parts:
// made to carry dark text. Both can be told apart by color-blind people.
export const COLORS = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#6F2DBD", "#5C3A00", "#000000"];
export const DASHES = ["", "9 4", "3 3", "10 3 2 3", "16 5"];
export const FILLS = [
  "#77AADD", "#EE8866", "#EEDD88", "#FFAABB", "#99DDFF", "#44BB99", "#BBCC33", "#AAAA00", "#DDDDDD",
];
export const INK = "#222222";
export const QUIET = "#595959";
export const GRID = "#DDDDDD";
const SVG = "http://www.w3.org/2000/svg";
const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const LETTER = 7.3; // width of a letter of 14 px, on average

function build(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.filter((child) => child !== null));
  return element;
}

export function svg(tag, attributes = {}, ...children) {
  return build(document.createElementNS(SVG, tag), attributes, children);
}

export function html(tag, attributes = {}, ...children) {
  return build(document.createElement(tag), attributes, children);
}

export function picture(width, height, said, ...children) {
  const size = { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": said };
  return svg("svg", size, ...children);
}

export function words(x, y, content, attributes = {}) {
  const at = { x, y, "font-size": 14, fill: INK, ...attributes };
  return svg("text", at, String(content));
}

export function lines(content, most) {
  const rows = [""];
  for (const word of content.split(" ")) {
    const last = rows[rows.length - 1];
    if (last && (last + " " + word).length > most) rows.push(word);
    else rows[rows.length - 1] = last ? `${last} ${word}` : word;
  }
  return rows;
}

export function widthOf(content) {
  return LETTER * content.length;
}

export function scale(low, high, from, to) {
  const span = high - low || 1;
  return (value) => from + ((value - low) / span) * (to - from);
}

export function money(amount) {
  const whole = Math.round(amount);
  const digits = Math.abs(whole).toLocaleString("en-US");
  return whole < 0 ? `−$${digits}` : `$${digits}`;
}

export function dateAt(first, day) {
  const [year, month, date] = first.split("-").map(Number);
  return new Date(Date.UTC(year, month - 1, date + day));
}

export function dayText(first, day) {
  const date = dateAt(first, day);
  return `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]}`;
}

export function monthStarts(first, days) {
  const starts = [];
  for (let day = 0; day < days; day++) {
    if (dateAt(first, day).getUTCDate() === 1) starts.push(day);
  }
  return starts;
}

export function roundTicks(most, count = 4) {
  if (!(most > 0)) return [0, 1];
  const rough = most / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough);
  const ticks = [];
  for (let tick = 0; tick <= most + step * 0.999; tick += step) ticks.push(tick);
  return ticks;
}

// Places at least `gap` apart, in the order of those wanted, between `low` and `high`.
export function spread(wanted, gap, low, high) {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b] || a - b);
  const places = [];
  let below = low - gap;
  for (const i of order) below = places[i] = Math.max(wanted[i], below + gap);
  let above = high + gap;
  for (const i of [...order].reverse()) above = places[i] = Math.min(places[i], above - gap);
  return places;
}
