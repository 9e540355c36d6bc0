// The spring game: a week at a time on the left, the season so far on the right, the end below.
import { FILLS, GRID, INK, QUIET, dayText, html, money, picture, scale, svg, words } from "./draw.js";
import { choice, slider } from "./explorer.js";
import { dateAxis } from "./pictures.js";

const PAGE = 1000;
const FIELD = 44;
const WORKS = [FILLS[5], FILLS[1], FILLS[2], FILLS[6], FILLS[3], FILLS[4]];

export function mountGame(root, host, start) {
  const dealt = { option: start.option, seed: start.seed };
  let weeks = [];
  let now = null;
  const said = html("p", { class: "verdict", role: "status", "aria-live": "polite" });
  const form = html("form", { class: "controls", "aria-label": "This week" });
  const board = html("div", { class: "canvas" });
  const log = html("ol", { class: "log" });
  const end = html("section", { class: "end", "aria-label": "How it ended", hidden: true });
  const title = html("p", { class: "dealt" });
  form.addEventListener("submit", (event) => event.preventDefault());
  root.replaceChildren(
    html("header", {}, html("h1", {}, `The spring game: ${start.farm}`), title, said),
    html("div", { class: "sides" }, form,
      html("section", { "aria-label": "The season so far" },
        html("figure", {}, html("figcaption", {}, "The season so far"), board),
        html("details", { class: "past" }, html("summary", {}, "What was decided"), log), end)),
  );

  async function play(next, rest = false) {
    root.setAttribute("aria-busy", "true");
    try {
      const data = await host.ask("game", { ...dealt, weeks: next, rest });
      if (data.faults) said.textContent = `This cannot be done: ${data.faults.join(" ")}`;
      else {
        weeks = next;
        now = data;
        show();
        if (data.week === data.weeks) await finish();
      }
    } catch (error) {
      said.textContent = `No answer: ${error.message}`;
    }
    root.removeAttribute("aria-busy");
  }

  function show() {
    const { hands, tractors } = now.choices;
    title.textContent = `${now.option}; hands: ${hands}, tractors: ${tractors}; spring of seed ${now.seed}`;
    said.textContent = now.said;
    board.replaceChildren(seasonPicture(now));
    log.replaceChildren(...now.decided.map((text) => html("li", {}, text)));
    form.replaceChildren(...(now.week < now.weeks ? asked() : [again()]));
  }

  function asked() {
    const week = { helpers: 0, extra_hours: 0, first: "", switch: [] };
    const { choices, usual } = now;
    const caution = html("p", { class: "caution", role: "status" });
    const helpers = slider({ name: "helpers", label: "Helpers hired", least: 0, most: choices.helpers, step: 1, value: 0 },
      (n) => (n ? `${n}, at $${choices.wage} an hour` : "nobody"), (n) => { week.helpers = n; });
    const usually = { least: choices.hours, most: choices.most_hours, value: choices.hours };
    const hours = slider({ name: "hours", label: "Hours a day", step: 0.5, ...usually },
      (n) => `${n} h`, (n) => {
        week.extra_hours = n - choices.hours;
        caution.textContent = n > choices.long_day
          ? `More than ${choices.long_day} hours a day wear people out and cause accidents.` : "";
      });
    const first = choice("Goes first", ["as in the farm file", ...choices.first], (place) => {
      week.first = place ? choices.first[place - 1] : "";
    });
    const able = now.fields.filter((field) => field.can_switch);
    const switches = able.map((field) => {
      const box = html("input", { type: "checkbox" });
      box.addEventListener("change", () => {
        week.switch = week.switch.filter((name) => name !== field.name).concat(box.checked ? [field.name] : []);
      });
      return html("label", { class: "tick" }, box, ` ${field.label} to ${field.can_switch}`);
    });
    const button = html("button", { type: "submit", class: "main" }, "Play this week");
    button.addEventListener("click", () => play([...weeks, week]));
    const rest = html("button", { type: "button" }, "Play the rest as in the farm file");
    rest.addEventListener("click", () => play([...weeks, week], true));
    return [
      html("h2", {}, `Week ${now.week + 1} of ${now.weeks}: ${now.name}`),
      html("p", {}, `Suitable days in this week: ${usual[0].toFixed(1)} to ${usual[2].toFixed(1)} in 8 springs ` +
        `of 10, ${usual[1].toFixed(1)} in the middle one.`),
      html("fieldset", {}, html("legend", {}, "People"), helpers, hours, caution,
        html("p", { class: "hint" }, "Helpers are paid for the whole week, at work or waiting, " +
          "and work only where a tractor is free.")),
      html("fieldset", {}, html("legend", {}, "Work"), first),
      switches.length ? html("fieldset", {}, html("legend", {}, "Land not yet planted"), ...switches) : null,
      button, rest,
    ].filter((part) => part !== null);
  }

  function again() {
    const button = html("button", { type: "button", class: "main" }, "Play this spring again");
    button.addEventListener("click", () => {
      end.hidden = true;
      play([]);
    });
    return button;
  }

  async function finish() {
    end.hidden = false;
    end.replaceChildren(html("p", { role: "status" }, "Looking back over the season ..."));
    const data = await host.ask("debrief", { ...dealt, weeks, rest: true });
    if (data.faults) end.replaceChildren(html("p", {}, data.faults.join(" ")));
    else {
      const plan = data.plan.length ? data.plan : ["everything as in the farm file"];
      end.replaceChildren(
        html("h2", {}, "Your spring beside the others"), endPicture(data), endTable(data),
        html("h2", {}, "The best plan of those tried"),
        html("ul", {}, ...plan.map((text) => html("li", {}, text))),
      );
    }
  }

  play([]);
}

function seasonPicture(data) {
  const [left, right, top] = [210, PAGE - 10, 64];
  const x = scale(0, data.days, left, right);
  const bottom = top + FIELD * data.fields.length;
  const parts = dateAxis(data.first_day, data.days, x, 10, bottom);
  const wide = x(1) - x(0);
  parts.push(words(left - 8, 46, "suitable", { "text-anchor": "end" }));
  data.suitable.forEach((share, day) => {
    const height = 36 * share;
    parts.push(svg("rect", { x: x(day), y: 52 - height, width: wide * 0.9, height, fill: "#555555" }));
  });
  data.fields.forEach((field, row) => {
    const base = top + FIELD * row;
    parts.push(svg("line", { x1: 0, x2: right, y1: base, y2: base, stroke: GRID }));
    parts.push(words(4, base + 18, `${field.label}, ${field.area}`));
    const crop = field.switched_to ? `${field.crop}, rest to ${field.switched_to}` : field.crop;
    parts.push(words(4, base + 36, crop, { fill: QUIET, "font-size": 13 }));
    const used = {};
    for (const [day, work, share] of field.days) {
      const height = Math.max(2, (FIELD - 8) * Math.min(1, share));
      used[day] = (used[day] ?? 0) + height;
      parts.push(svg("rect", { x: x(day), y: base + FIELD - 3 - Math.min(used[day], FIELD - 6), width: wide * 0.92, height,
        fill: WORKS[work % WORKS.length], stroke: INK, "stroke-width": 0.5 }));
    }
  });
  const today = data.suitable.length;
  parts.push(svg("line", { x1: x(today), x2: x(today), y1: 10, y2: bottom, stroke: INK, "stroke-width": 2 }));
  let at = left;
  data.operations.forEach((name, work) => {
    parts.push(svg("rect", { x: at, y: bottom + 30, width: 14, height: 14, fill: WORKS[work % WORKS.length], stroke: INK }));
    parts.push(words(at + 19, bottom + 42, name));
    at += 46 + 7.3 * name.length;
  });
  const done = data.fields.map((field) => `${field.label}: ${data.operations.map((name, i) =>
    `${name} ${Math.round(100 * field.done[i])} %`).join(", ")}`);
  const alternative = `Up to ${dayText(data.first_day, Math.max(0, today - 1))}. ${done.join("; ")}.`;
  return picture(PAGE, bottom + 54, today ? alternative : "No week is played yet.", ...parts);
}

function endPicture(data) {
  const most = Math.max(...data.rows.map((row) => row.total), 1);
  const x = scale(0, most, 10, PAGE - 250);
  const parts = data.rows.flatMap((row, i) => {
    const base = 6 + 56 * i;
    const [lost, rest] = [Math.max(0, row.lost), Math.max(0, row.total - Math.max(0, row.lost))];
    const edge = { stroke: INK, "stroke-width": row.kind === "option" ? 0.8 : 2.5 };
    return [
      words(10, base + 14, row.label, { "font-weight": row.kind === "option" ? "normal" : "bold" }),
      svg("rect", { x: x(0), y: base + 20, width: x(lost) - x(0), height: 24, fill: FILLS[1], ...edge }),
      svg("rect", { x: x(lost), y: base + 20, width: x(lost + rest) - x(lost), height: 24, fill: FILLS[0], ...edge }),
      words(x(Math.max(0, row.total)) + 8, base + 37, `${money(row.total)}, of it lost: ${money(row.lost)}`),
    ];
  });
  const key = 56 * data.rows.length + 22;
  ["lost revenue", "all other costs of the year"].forEach((name, i) => {
    parts.push(svg("rect", { x: 10 + 140 * i, y: key - 12, width: 14, height: 14, fill: FILLS[1 - i], stroke: INK }));
    parts.push(words(30 + 140 * i, key, name));
  });
  return picture(PAGE, key + 10, data.said, ...parts);
}

function endTable(data) {
  const crops = Object.keys(data.rows[0].planted);
  const head = ["", "lost revenue", "all costs", ...crops.map((crop) => `${crop} planted by`)];
  return html("table", {},
    html("thead", {}, html("tr", {}, ...head.map((name) => html("th", { scope: "col" }, name)))),
    html("tbody", {}, ...data.rows.map((row) => html("tr", {}, html("th", { scope: "row" }, row.label),
      ...[money(row.lost), money(row.total), ...crops.map((crop) => row.planted[crop])].map((cell) => html("td", {}, cell))))));
}
