// @ts-check
/**
 * <scan-catch>: a scanner that types is heard wherever the focus is. A burst of keys is a scan when it has six signs or more, comes
 * faster than a hand (35 ms between keys, on the whole) and ends with Enter or Tab. What leaked into a box is put back as it was, and
 * the closing key presses nothing. The code goes into the page's own Scan box and is sent like a typed one: a scan fills or opens,
 * and never gives, closes or signs, for the box's form begins with a button that does neither. Where this device wants to hear it
 * (`data-tone` on the page), a high tone says that the code is looked up, a low one that this page awaits none.
 */

const LEAST = 6;
const GAP = 35;
const SEPARATOR = "\x1d";

const HEARD = { taken: 880, not: 220 };

/** @type {AudioContext | undefined} */
let sound;

/**
 * A short tone, where one is wanted. A browser that gives no sound stays silent: the words are there as well.
 * @param {keyof typeof HEARD} how
 */
function tone(how) {
  if (!("tone" in document.documentElement.dataset) || typeof AudioContext === "undefined") return;
  sound ??= new AudioContext();
  const [wave, loud, begins] = [sound.createOscillator(), sound.createGain(), sound.currentTime];
  wave.frequency.value = HEARD[how];
  loud.gain.setValueAtTime(0.2, begins);
  loud.gain.exponentialRampToValueAtTime(0.001, begins + 0.12);
  wave.connect(loud).connect(sound.destination);
  wave.start(begins);
  wave.stop(begins + 0.12);
  document.dispatchEvent(new CustomEvent("tone", { detail: how }));
}

/** @typedef {{box: HTMLInputElement | HTMLTextAreaElement | null, value: string, from: number | null, to: number | null}} Before */

class ScanCatch extends HTMLElement {
  keys = /** @type {string[]} */ ([]);
  began = 0;
  last = 0;
  before = /** @type {Before} */ ({ box: null, value: "", from: null, to: null });

  connectedCallback() {
    document.addEventListener("keydown", this.heard, { capture: true });
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.heard, { capture: true });
  }

  /** @param {KeyboardEvent} event */
  heard = (event) => {
    if (event.isComposing || event.altKey || event.metaKey) return;
    const separator = event.ctrlKey && (event.key === "]" || event.code === "BracketRight");
    if (event.ctrlKey && !separator) return;
    const sign = separator ? SEPARATOR : event.key;
    const ends = event.key === "Enter" || event.key === "Tab";
    if (!ends && sign.length !== 1) return;
    const now = performance.now();
    if (now - this.last > 4 * GAP) this.keys = [];
    if (ends) {
      this.end(event, now);
      return;
    }
    if (this.keys.length === 0) this.remember(now);
    this.keys.push(sign);
    this.last = now;
  };

  /** @param {number} now */
  remember(now) {
    const box = document.activeElement;
    const typed = box instanceof HTMLTextAreaElement || (box instanceof HTMLInputElement && !["radio", "checkbox"].includes(box.type));
    this.before = typed
      ? { box, value: box.value, from: box.selectionStart, to: box.selectionEnd }
      : { box: null, value: "", from: null, to: null };
    this.began = now;
  }

  /**
   * @param {KeyboardEvent} event
   * @param {number} now
   */
  end(event, now) {
    const { keys } = this;
    this.keys = [];
    if (keys.length < LEAST || (now - this.began) / keys.length > GAP) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const { box, value, from, to } = this.before;
    if (box) {
      box.value = value;
      try {
        box.setSelectionRange(from, to);
      } catch {
        // A kind of box that has no caret to put back.
      }
    }
    this.take(keys.join(""));
  }

  /** @param {string} code */
  take(code) {
    const target = document.querySelector("main input[data-scan]");
    const says = document.getElementById("status");
    if (!(target instanceof HTMLInputElement) || !target.form) {
      if (says) says.textContent = "A code was scanned. This page awaits none.";
      tone("not");
      return;
    }
    target.value = code;
    target.classList.add("scanned");
    if (says) says.textContent = "Scanned. Looking it up.";
    tone("taken");
    const press = target.form.querySelector("[data-scan-go]");
    target.form.requestSubmit(press instanceof HTMLButtonElement ? press : undefined);
  }
}

customElements.define("scan-catch", ScanCatch);
