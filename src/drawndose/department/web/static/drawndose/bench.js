// @ts-check
/**
 * What the page does by itself when scripts run: an answer that came too late is dropped, an old number is hidden at the
 * first key, focus goes to what a press has brought, and the lighting changes at once. Without scripts the same form works.
 */

const PRESSES = ["go", "answer", "example", "clear", "tick", "drop", "take-cup", "take-equivalence", "take-line", "light"];
let edits = 0;

const form = /** @type {HTMLFormElement} */ (document.getElementById("bench-form"));
const page = /** @type {HTMLElement} */ (document.querySelector("main"));
const plan = () => /** @type {HTMLElement} */ (document.getElementById("plan"));

/** Hide the plan from the first key on: a number that belongs to an older order must not be read. */
function busy() {
  // The height is held on the page around it, for the library copies the region's own attributes onto the new one.
  if (!page.style.minHeight) page.style.minHeight = `${page.offsetHeight}px`;
  plan().setAttribute("aria-busy", "true");
}

/** @param {Event} event */
const detail = (event) => /** @type {CustomEvent} */ (event).detail;

form.addEventListener("input", () => {
  edits += 1;
  busy();
});

document.addEventListener("htmx:configRequest", (event) => {
  const { parameters, triggeringEvent, headers } = detail(event);
  headers["X-Edits"] = String(edits);
  // The press that sent the form, and no other: the library remembers an earlier one, or misses one that was swapped in.
  for (const name of PRESSES) delete parameters[name];
  if (triggeringEvent?.type !== "submit") return;
  busy();
  const press = triggeringEvent.submitter;
  if (press instanceof HTMLButtonElement && press.name) parameters[press.name] = press.value;
});

document.addEventListener("htmx:beforeSwap", (event) => {
  const late = detail(event).requestConfig.headers["X-Edits"] !== String(edits);
  if (late) detail(event).shouldSwap = false;
});

document.addEventListener("htmx:afterSettle", (event) => {
  if (detail(event).target?.id !== "plan") return;
  page.style.minHeight = "";
  ready();
  if (detail(event).requestConfig.triggeringEvent?.type !== "submit") return;
  const target = document.getElementById("faults") ?? document.getElementById("plan-title");
  target?.focus();
  if (target) target.scrollIntoView({ block: "start" });
});

for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(name, (event) => {
    const seen = detail(event).target;
    if (seen?.classList?.contains("eye-seen")) {
      seen.textContent = "This did not load. Move the control again.";
      return;
    }
    const region = plan();
    region.removeAttribute("aria-busy");
    region.textContent = "";
    const says = document.createElement("p");
    says.className = "failed";
    says.textContent = "The plan did not load. Your order is still here: press Work out the plan.";
    region.append(says);
    const status = document.getElementById("status");
    if (status) status.textContent = "The plan did not load.";
  });
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  if (!(button instanceof HTMLButtonElement)) return;
  if (button.name === "light") {
    event.preventDefault();
    document.documentElement.dataset.light = button.value;
    document.cookie = `light=${button.value}; path=/; max-age=31536000; samesite=lax`;
    for (const one of document.querySelectorAll("button[name=light]")) {
      one.setAttribute("aria-pressed", String(one === button));
    }
  } else if (button.id === "print") {
    window.print();
  }
});

/** A slider and the box beside it are one value: what is moved or typed last counts, and both show it. */
document.addEventListener("input", (event) => {
  const control = event.target;
  if (!(control instanceof HTMLInputElement)) return;
  const other = document.getElementById(control.dataset.typed ?? control.dataset.slide ?? "");
  if (!(other instanceof HTMLInputElement)) return;
  if (control.dataset.typed) other.value = "";
  else if (/^[-−]?[0-9.]+$/.test(control.value)) other.value = control.value.replace("−", "-");
}, { capture: true });

/** Enter in such a box would send the whole order: the controls show what they show at once. */
document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target instanceof HTMLInputElement && event.target.closest(".eye-part")) event.preventDefault();
});

/** Tell the style sheet how high the two bars stand, so that nothing that takes focus comes to lie under one. */
const heights = new ResizeObserver(() => {
  for (const [name, part] of [["--top", ".strip"], ["--bar", ".bar"]]) {
    const bar = document.querySelector(part);
    const height = bar && getComputedStyle(bar).position !== "static" ? bar.getBoundingClientRect().height : 0;
    document.documentElement.style.setProperty(name, `${Math.ceil(height)}px`);
  }
});
for (const part of document.querySelectorAll(".strip, .bar")) heights.observe(part);

/** A browser may bring back words that were typed after the page came: its plan is then not theirs. */
addEventListener("pageshow", () => {
  const order = /** @type {HTMLTextAreaElement} */ (document.getElementById("order"));
  if (order.value !== order.defaultValue) order.dispatchEvent(new Event("input", { bubbles: true }));
});

/** A button that needs a script is shown only when there is one, and one that stands in for a script only when there is none. */
function ready() {
  const narrow = matchMedia("(width < 700px)").matches;
  for (const one of document.querySelectorAll("details[data-phone]")) {
    if (narrow && one instanceof HTMLDetailsElement && !one.querySelector(":target")) one.open = false;
  }
  document.getElementById("print")?.removeAttribute("hidden");
  for (const one of document.querySelectorAll(".eye-show")) one.setAttribute("hidden", "");
}
ready();

/** Paper has everything that belongs to the plan; afterwards the page is as it was. */
const unfolded = new Set();
addEventListener("beforeprint", () => {
  for (const one of document.querySelectorAll("details.on-paper:not([open])")) {
    unfolded.add(one);
    one.setAttribute("open", "");
  }
});
addEventListener("afterprint", () => {
  for (const one of unfolded) one.removeAttribute("open");
  unfolded.clear();
});
