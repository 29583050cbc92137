// @ts-check
/** The board says when it could not renew itself: an old list must never pass for the present one. */

const OLD = 90_000;
let renewed = Date.now();

const board = () => document.getElementById("board");

/** @param {Date} at */
const clock = (at) => `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;

function failed() {
  const region = document.getElementById("board-failed");
  const words = document.getElementById("board-failed-words");
  if (!region || !words || !region.hidden) return;
  words.textContent = `The board did not load at ${clock(new Date())}. What stands here is of ${board()?.dataset.clock}.`;
  region.hidden = false;
}

for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) document.addEventListener(name, failed);

document.addEventListener("htmx:afterSwap", (event) => {
  const swapped = /** @type {CustomEvent} */ (event).detail;
  if (swapped.target?.id !== "board") return;
  renewed = Date.now();
  const region = document.getElementById("board-failed");
  if (region) region.hidden = true;
});

setInterval(() => {
  if (Date.now() - renewed > OLD) failed();
}, 5_000);
