// Where both hosts come in: a host gives `ask(question, given)`, a promise of the answer.
import { mountExplorer } from "./explorer.js";
import { mountGame } from "./game.js";

export async function mount(root, host) {
  root.classList.add("fieldsim");
  const start = await host.ask("start", {});
  if (start.view === "game") mountGame(root, host, start);
  else mountExplorer(root, host, start);
}

// The page asks its own server, under the address at which it stands.
export function pageHost() {
  return {
    async ask(question, given) {
      const reply = await fetch("ask", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ question, given }),
      });
      const isJson = (reply.headers.get("Content-Type") ?? "").startsWith("application/json");
      if (!isJson) throw new Error(`the program said ${reply.status}`);
      return reply.json();
    },
  };
}

// A notebook asks its kernel by messages, each with a number that the answer brings back.
export function notebookHost(model) {
  const waiting = new Map();
  let number = 0;
  model.on("msg:custom", (message) => {
    waiting.get(message.number)?.(message.answer);
    waiting.delete(message.number);
  });
  return {
    ask(question, given) {
      number += 1;
      const own = `${Date.now()}.${number}`;
      model.send({ number: own, question, given });
      return new Promise((resolve) => waiting.set(own, resolve));
    },
  };
}

export default {
  render({ model, el }) {
    mount(el, notebookHost(model));
  },
};
