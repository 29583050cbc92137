// @ts-check
/**
 * What the page does by itself when scripts run: a slider and the box beside it show one value, an old answer is hidden at the
 * first change, and an answer that came too late is dropped. Without scripts the same form is sent by its button.
 */

let edits = 0;
const form = /** @type {HTMLFormElement} */ (document.getElementById("ask"));
const found = () => /** @type {HTMLElement} */ (document.getElementById("found"));

/** @param {Event} event */
const detail = (event) => /** @type {CustomEvent} */ (event).detail;

/** What a slider says, in its box and to those who hear it. @param {HTMLInputElement} slider @param {boolean} write */
function tell(slider, write) {
  const box = document.getElementById(slider.dataset.box ?? "");
  if (!(box instanceof HTMLInputElement)) return;
  const unit = slider.dataset.unit ?? "";
  const none = slider.dataset.none && slider.value === slider.min;
  if (write) box.value = none ? "" : `${slider.value} ${unit}`.trim();
  slider.setAttribute("aria-valuetext", box.value || slider.dataset.none || "");
}

form.addEventListener("input", (event) => {
  const control = event.target;
  if (control instanceof HTMLInputElement && control.dataset.box) tell(control, true);
  if (control instanceof HTMLInputElement && control.dataset.slider) {
    const slider = document.getElementById(control.dataset.slider);
    if (slider instanceof HTMLInputElement) {
      const number = /^([0-9]*\.?[0-9]+)\s*[a-zA-Z/]*$/.exec(control.value.trim());
      if (number) slider.value = number[1];
      else if (!control.value.trim()) slider.value = slider.dataset.none ? slider.min : slider.value;
      tell(slider, false);
    }
  }
  edits += 1;
  found().setAttribute("aria-busy", "true");
}, { capture: true });

document.addEventListener("htmx:configRequest", (event) => {
  detail(event).headers["X-Edits"] = String(edits);
});

document.addEventListener("htmx:beforeSwap", (event) => {
  if (detail(event).requestConfig.headers["X-Edits"] !== String(edits)) detail(event).shouldSwap = false;
});

/** Boxes that have a fault are marked, and no others. */
document.addEventListener("htmx:afterSettle", () => {
  for (const fault of document.querySelectorAll("#ask .fault-at")) {
    const box = document.getElementById(fault.id.replace("fault-", ""));
    if (fault.children.length) box?.setAttribute("aria-invalid", "true");
    else box?.removeAttribute("aria-invalid");
  }
});

for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(name, () => {
    found().removeAttribute("aria-busy");
    found().textContent = "The answer did not load. What you set is still here: press the button.";
    const status = document.getElementById("status");
    if (status) status.textContent = "The answer did not load.";
  });
}

for (const slider of form.querySelectorAll("input[type=range]")) {
  if (slider instanceof HTMLInputElement) {
    const box = document.getElementById(slider.dataset.box ?? "");
    tell(slider, box instanceof HTMLInputElement && !box.value);
  }
}
