// The explorer: sliders on the left, four linked pictures on the right.
import { COLORS, dayText, html } from "./draw.js";
import { costPicture, daysPicture, finishPicture, lostPicture } from "./pictures.js";

const WAIT = 60; // ms after the last move before anything is asked
const OUTFIT = ["rows", "width", "speed", "hands"];
let count = 0;

// A slider with its label, value and unit; `changed` is called with every move.
export function slider(spec, text, changed) {
  const id = `fieldsim-${++count}`;
  const input = html("input", { type: "range", id, min: spec.least, max: spec.most, step: spec.step });
  input.value = spec.value;
  input.dataset.name = spec.name;
  const output = html("output", { for: id });
  const show = (value) => {
    output.textContent = text(value);
    input.setAttribute("aria-valuetext", text(value));
  };
  input.addEventListener("input", () => {
    show(Number(input.value));
    changed(Number(input.value));
  });
  show(spec.value);
  return html("div", { class: "slider" }, html("label", { for: id }, spec.label), output, input);
}

export function choice(label, names, changed) {
  const id = `fieldsim-${++count}`;
  const select = html("select", { id }, ...names.map((name, i) => html("option", { value: i }, name)));
  select.addEventListener("change", () => changed(Number(select.value)));
  return html("div", { class: "choice" }, html("label", { for: id }, label), select);
}

function valueText(spec, first) {
  if (spec.kind === "day") return (value) => dayText(first, value);
  const digits = spec.unit.startsWith("$") ? 2 : spec.step >= 1 ? 0 : spec.step === 0.5 ? 1 : 2;
  return (value) => {
    const number = value.toLocaleString("en-US", { minimumFractionDigits: digits, maximumFractionDigits: digits });
    return spec.unit.startsWith("$") ? `$${number}${spec.unit.slice(1)}` : `${number} ${spec.unit}`;
  };
}

export function mountExplorer(root, host, start) {
  const state = { option: 0, moved: {}, work: 0, by: null, pinned: null, data: null };
  const controls = html("form", { class: "controls", "aria-label": "Settings" });
  const verdict = html("p", { class: "verdict", role: "status", "aria-live": "polite" });
  const notes = html("ul", { class: "notes" });
  const chips = html("div", { class: "chips", role: "group", "aria-label": "Bring out one option" });
  const boards = ["Finished by", "Revenue lost to late work", "Cost of a year", "Where the days go"].map((title) => {
    const board = html("figure", {}, html("figcaption", {}, title));
    board.append(html("div", { class: "tools" }), html("div", { class: "canvas" }));
    return board;
  });
  controls.addEventListener("submit", (event) => event.preventDefault());
  root.replaceChildren(
    html("header", {}, html("h1", {}, `What if? ${start.farm}`), verdict),
    html("div", { class: "sides" }, controls,
      html("section", { "aria-label": "Pictures" }, chips, html("div", { class: "boards" }, ...boards), notes)),
  );

  function buildControls() {
    const { sliders } = start.options[state.option];
    const row = (spec) => slider(spec, valueText(spec, start.first_day), (value) => {
      state.moved[spec.name] = value;
      ask();
    });
    const outfit = choice("Outfit to change", start.options.map((option) => option.label), (place) => {
      state.option = place;
      for (const name of OUTFIT) delete state.moved[name];
      buildControls();
      ask();
    });
    outfit.querySelector("select").value = state.option;
    const reset = html("button", { type: "button" }, "Back to the farm file");
    reset.addEventListener("click", () => {
      state.moved = {};
      buildControls();
      ask();
    });
    const own = sliders.filter((spec) => OUTFIT.includes(spec.name));
    const all = sliders.filter((spec) => !OUTFIT.includes(spec.name))
      .map((spec) => ({ ...spec, value: state.moved[spec.name] ?? spec.value }));
    controls.replaceChildren(
      html("fieldset", {}, html("legend", {}, "One outfit"), outfit, ...own.map(row)),
      html("fieldset", {}, html("legend", {}, "The whole farm"), ...all.map(row)),
      reset,
    );
  }

  let timer = null;
  let asking = false;
  let again = false;
  function ask() {
    clearTimeout(timer);
    timer = setTimeout(send, WAIT);
  }
  async function send() {
    if (asking) {
      again = true;
      return;
    }
    asking = true;
    root.setAttribute("aria-busy", "true");
    try {
      const settings = { option: start.options[state.option].name, ...state.moved };
      show(await host.ask("answer", settings));
    } catch (error) {
      verdict.textContent = `No answer: ${error.message}`;
    }
    asking = false;
    root.removeAttribute("aria-busy");
    if (again) {
      again = false;
      send();
    }
  }

  function show(data) {
    root.classList.toggle("stale", Boolean(data.faults));
    if (data.faults) {
      verdict.textContent = `This cannot be worked: ${data.faults.join(" ")}`;
      return;
    }
    const fresh = state.data === null;
    state.data = data;
    verdict.textContent = data.verdict;
    notes.replaceChildren(...data.cautions.map((text) => html("li", {}, text)));
    if (fresh) buildTools();
    chips.replaceChildren(...data.options.map(chip));
    draw();
  }

  function chip(option, place) {
    const mark = html("span", { class: "mark", "aria-hidden": "true" });
    mark.style.background = COLORS[place % COLORS.length];
    const button = html("button", { type: "button", "aria-pressed": String(state.pinned === place) }, mark, option.label);
    button.addEventListener("click", () => {
      state.pinned = state.pinned === place ? null : place;
      [...chips.children].forEach((other, i) => other.setAttribute("aria-pressed", String(state.pinned === i)));
      bringOut(state.pinned);
    });
    return button;
  }

  function buildTools() {
    const { finish, first_day: first } = state.data;
    state.by = finish[0].target ?? Math.floor(finish[0].shares[0].length / 2);
    const tools = boards[0].querySelector(".tools");
    const date = () => slider(
      { name: "by", label: "by", least: 0, most: finish[0].shares[0].length - 1, step: 1, value: state.by },
      (day) => dayText(first, day), (day) => { state.by = day; draw(); });
    const work = choice("work", finish.map((curve) => curve.label), (place) => {
      state.work = place;
      state.by = finish[place].target ?? state.by;
      tools.replaceChildren(work, date());
      draw();
    });
    tools.replaceChildren(work, date());
  }

  function draw() {
    const { data } = state;
    const drawn = [finishPicture(data, state.work, state.by), lostPicture(data), costPicture(data), daysPicture(data)];
    drawn.forEach((svg, i) => boards[i].querySelector(".canvas").replaceChildren(svg));
    bringOut(state.pinned);
  }

  function bringOut(option) {
    for (const part of root.querySelectorAll("[data-option]")) {
      part.classList.toggle("dim", option !== null && Number(part.dataset.option) !== option);
    }
  }
  root.addEventListener("pointerover", (event) => {
    const part = event.target.closest("[data-option]");
    if (state.pinned === null) bringOut(part ? Number(part.dataset.option) : null);
  });

  buildControls();
  send();
}
