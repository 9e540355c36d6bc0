import { mount, pageHost } from "./front.js";

mount(document.getElementById("page"), pageHost()).catch((error) => {
  document.getElementById("page").textContent = `No answer: ${error.message}`;
});
