// @ts-check
/**
 * <lab-sheet>: an evaluator's sheet on a tablet. Each tap becomes a mark with an id and a moment of its own, kept in the browser at
 * once and on the server a moment later; a later mark of the same step takes the place of an earlier one, an undo takes one back.
 * The clock runs from the start that the server wrote down, by the server's time. When the network is away everything goes on, and a
 * sheet that was handed in goes by itself when it is back, with the same key, so that it is handed in once. Nothing here knows a score.
 */

const PREFIX = "drawndose-draft:";
const AGAIN = 4000;
const PATIENCE = 15_000;
const SECOND = 1000;

/** @typedef {{id: string, step: string, point: string, at: string, note: string, prompted: boolean, undoes: string}} Mark */
/** @typedef {{at: number, fields: Record<string, string>, marks: Mark[], ended: string, pending: string, rest: Record<string, string>}} Kept */

class LabSheet extends HTMLElement {
  /** @type {Mark[]} */
  marks = [];
  ended = "";
  pending = "";
  later = 0;
  waiting = 0;
  ticking = 0;
  busy = false;
  told = false;
  offset = 0;
  asked = 0;

  connectedCallback() {
    this.offset = Date.parse(this.dataset.now ?? "") - Date.now();
    const kept = this.read();
    this.marks = merged(JSON.parse(this.dataset.marks || "[]"), kept?.marks ?? []);
    this.ended = kept?.ended ?? "";
    this.pending = kept?.pending ?? "";
    this.fill(kept?.rest ?? {});
    this.addEventListener("change", this.changed);
    this.addEventListener("input", this.wrote);
    this.form.addEventListener("submit", this.handed);
    window.addEventListener("online", this.now);
    for (const [name, does] of Object.entries({ "[data-undo]": this.undo, "[data-stop-clock]": this.stopClock })) {
      const button = document.querySelector(name);
      button?.removeAttribute("hidden");
      button?.addEventListener("click", does);
    }
    this.ticking = window.setInterval(() => this.tick(), 500);
    this.draw();
    this.tick();
    if (kept?.marks?.length) this.keep();
    if (this.pending) this.post(new URLSearchParams(this.pending));
  }

  disconnectedCallback() {
    window.removeEventListener("online", this.now);
    for (const timer of [this.later, this.waiting, this.ticking]) window.clearTimeout(timer);
  }

  get form() {
    return /** @type {HTMLFormElement} */ (this.querySelector("form"));
  }

  get place() {
    return `${PREFIX}${this.dataset.person}:${this.dataset.name}`;
  }

  /** The moment by the server's clock. */
  moment() {
    return new Date(Date.now() + this.offset);
  }

  /** The mark that stands for each step. @returns {Map<string, Mark>} */
  standing() {
    const undone = new Set(this.marks.map((one) => one.undoes).filter(Boolean));
    const left = this.marks.filter((one) => one.point && !undone.has(one.id));
    left.sort((one, other) => (one.at === other.at ? (one.id < other.id ? -1 : 1) : one.at < other.at ? -1 : 1));
    return new Map(left.map((one) => [one.step, one]));
  }

  /** @param {Event} event */
  changed = (event) => {
    const input = event.target;
    if (!(input instanceof HTMLInputElement) || input.name === "rating") return this.keep();
    const step = input.closest("[data-step]")?.getAttribute("data-step");
    if (step) this.mark(step);
    return undefined;
  };

  /** What is written beside a mark is kept while it is typed; it becomes a mark of its own when the box is left. */
  wrote = () => {
    window.clearTimeout(this.later);
    this.later = window.setTimeout(() => this.keep(), 800);
  };

  /** A mark of what stands at a step now. Nothing, where no point is chosen yet, or nothing has changed. @param {string} step */
  mark(step) {
    const chosen = this.form.querySelector(`[name="point-${step}"]:checked`);
    if (!(chosen instanceof HTMLInputElement)) return;
    const note = this.text(`note-${step}`);
    const prompted = this.form.querySelector(`[name="prompt-${step}"]:checked`) !== null;
    const was = this.standing().get(step);
    if (was && was.point === chosen.value && was.note === note && was.prompted === prompted) return;
    const at = this.moment().toISOString();
    this.marks.push({ id: identity(), step, point: chosen.value, at, note, prompted, undoes: "" });
    this.keep();
  }

  /** Take the last mark back; what stood before it stands again. */
  undo = () => {
    const stands = [...this.standing().values()];
    const last = stands.reduce((one, other) => (!one || other.at > one.at ? other : one), /** @type {Mark | null} */ (null));
    if (!last) return;
    const at = this.moment().toISOString();
    this.marks.push({ id: identity(), step: last.step, point: "", at, note: "", prompted: false, undoes: last.id });
    const before = this.standing().get(last.step);
    for (const box of this.form.querySelectorAll(`[name="point-${last.step}"]`)) {
      if (box instanceof HTMLInputElement) box.checked = box.value === before?.point;
    }
    this.keep();
    const at_step = document.getElementById(`step-${last.step}`);
    at_step?.scrollIntoView({ block: "center" });
    say(`Taken back: step ${at_step?.querySelector(".lab-number")?.textContent ?? ""}.`);
  };

  stopClock = () => {
    this.ended = this.ended ? "" : this.moment().toISOString();
    this.keep();
    this.tick();
  };

  /** In the browser at once, on the server a moment later. */
  keep() {
    this.asked = 0;
    this.draw();
    this.store();
    window.clearTimeout(this.later);
    this.later = window.setTimeout(() => this.toServer(), 1500);
  }

  store() {
    /** @type {Record<string, string>} */
    const rest = {};
    for (const [name, value] of new FormData(this.form)) {
      if (/^(note|rating|prompt)/.test(name) && typeof value === "string" && value) rest[name] = value;
    }
    const kept = { at: Date.now(), fields: {}, marks: this.marks, ended: this.ended, pending: this.pending, rest };
    try {
      localStorage.setItem(this.place, JSON.stringify(kept));
    } catch {
      say("This browser keeps nothing; the server does.");
    }
  }

  /** @returns {Kept | null} */
  read() {
    try {
      return JSON.parse(localStorage.getItem(this.place) ?? "null");
    } catch {
      return null;
    }
  }

  async toServer() {
    if (this.busy || this.pending) return;
    const body = new URLSearchParams({ marks: JSON.stringify(this.marks), csrfmiddlewaretoken: this.text("csrfmiddlewaretoken") });
    try {
      const headers = { "HX-Request": "true" };
      const answer = await fetch(this.dataset.send ?? "", { method: "POST", body, headers, signal: AbortSignal.timeout(PATIENCE) });
      if (answer.status === 204) say(`Saved ${clock(new Date())} (24 h)`);
      else say(`Kept on this tablet. The server did not take it (${answer.status}).`);
    } catch {
      say(`No network at ${clock(new Date())}: ${this.marks.length} marks are kept on this tablet.`);
      window.clearTimeout(this.waiting);
      this.waiting = window.setTimeout(() => this.toServer(), AGAIN);
    }
  }

  /** @param {SubmitEvent} event */
  handed = (event) => {
    event.preventDefault();
    if (this.busy) return;
    for (const step of this.querySelectorAll("[data-step]")) this.mark(step.getAttribute("data-step") ?? "");
    if (!this.meant()) return;
    this.field("marks").value = JSON.stringify(this.marks);
    this.field("ended").value = this.ended || this.moment().toISOString();
    this.ended = this.field("ended").value;
    const body = new URLSearchParams();
    for (const [name, value] of new FormData(this.form, event.submitter)) {
      if (!/^(point|prompt)-|^note-/.test(name)) body.append(name, String(value));
    }
    this.pending = body.toString();
    this.store();
    this.post(body);
  };

  /** Whether the sheet is to be handed in as it is. Where steps are not marked it is asked once; a second press, not the same one, says so. */
  meant() {
    const left = this.querySelectorAll("[data-step]:not([data-marked])");
    if (!left.length) return true;
    if (this.asked && Date.now() - this.asked >= SECOND) return true;
    if (this.asked) return false;
    this.asked = Date.now();
    left[0].scrollIntoView({ block: "center" });
    const words = left.length === 1 ? "1 step is not marked: mark it" : `${left.length} steps are not marked: mark them`;
    say(`${words}, or press again to hand in as it is.`);
    return false;
  }

  /** @param {URLSearchParams} body */
  async post(body) {
    this.busy = true;
    body.set("csrfmiddlewaretoken", this.text("csrfmiddlewaretoken"));
    document.getElementById("bar")?.setAttribute("aria-busy", "true");
    let answer;
    try {
      const headers = { "HX-Request": "true" };
      answer = await fetch(location.pathname, { method: "POST", body, headers, signal: AbortSignal.timeout(PATIENCE) });
    } catch {
      say(`Not sent yet: no network at ${clock(new Date())}. The sheet is kept here, and goes by itself when the network is back.`);
      this.again = () => this.post(body);
      window.clearTimeout(this.waiting);
      this.waiting = window.setTimeout(() => this.again(), AGAIN);
      return;
    } finally {
      document.getElementById("bar")?.removeAttribute("aria-busy");
    }
    await this.answered(answer, body);
  }

  again = () => {};

  now = () => {
    window.clearTimeout(this.waiting);
    if (this.pending) this.again();
    else this.toServer();
  };

  /**
   * @param {Response} answer
   * @param {URLSearchParams} body
   */
  async answered(answer, body) {
    const to = answer.headers.get("HX-Redirect");
    if (to && !to.startsWith("/sign-in")) {
      localStorage.removeItem(this.place);
      location.assign(to);
      return;
    }
    if (to) {
      location.assign(to); // signed off meanwhile: what was handed in waits here, and goes after the sign-in
      return;
    }
    if ((answer.headers.get("HX-Trigger") ?? "").includes("veiled")) {
      say("Not sent: the session was idle. Come back with your password or PIN; it goes then.");
      document.dispatchEvent(new Event("veiled"));
      this.again = () => this.post(body);
      this.waiting = window.setTimeout(() => this.again(), AGAIN);
      return;
    }
    this.busy = false;
    if (answer.status >= 500) {
      say(`Not done: the server could not (${answer.status}). Everything is kept here; hand it in again.`);
      this.pending = "";
      this.store();
      return;
    }
    this.pending = "";
    this.store();
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    document.querySelector("#refused")?.remove();
    const refused = page.querySelector("#refused");
    if (refused) {
      this.before(document.importNode(refused, true));
      const shown = document.getElementById("refused");
      shown?.focus();
      shown?.scrollIntoView({ block: "start" });
    } else say(`Not taken (${answer.status}). Everything is kept here; open the page again.`);
  }

  /** What the marks say, drawn: points, failures, how many steps are marked. */
  draw() {
    const stands = this.standing();
    /** @type {string[]} */
    const critical = [];
    for (const part of this.querySelectorAll("[data-step]")) {
      const step = part.getAttribute("data-step") ?? "";
      const mark = stands.get(step);
      const chosen = part.querySelector(`input[value="${CSS.escape(mark?.point ?? "")}"]`);
      for (const box of part.querySelectorAll("input[type=radio]")) if (box instanceof HTMLInputElement) box.checked = box === chosen;
      const fails = chosen?.hasAttribute("data-fails") ?? false;
      part.toggleAttribute("data-marked", mark !== undefined);
      part.toggleAttribute("data-failed", fails);
      if (fails) critical.push(`${part.querySelector(".lab-number")?.textContent}: ${part.getAttribute("data-failure")}`);
    }
    const banner = this.querySelector("[data-critical]");
    if (banner instanceof HTMLElement) {
      const words = critical.length ? `Critical failure. Step ${critical.join("; step ")}.` : "";
      if (banner.textContent !== words) banner.textContent = words;
      banner.hidden = !words;
    }
    const steps = this.querySelectorAll("[data-step]").length;
    const count = document.querySelector("[data-count]");
    if (count) count.textContent = `${stands.size} of ${steps} marked`;
  }

  tick() {
    const end = this.ended ? Date.parse(this.ended) : this.moment().getTime();
    const seconds = Math.max(0, Math.floor((end - Date.parse(this.dataset.started ?? "")) / 1000));
    const shown = this.querySelector("[data-clock]");
    if (shown) shown.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    const over = seconds > Number(this.dataset.seconds);
    shown?.parentElement?.classList.toggle("lab-over", over);
    shown?.parentElement?.classList.toggle("lab-ended", this.ended !== "");
    const stop = document.querySelector("[data-stop-clock]");
    if (stop) stop.textContent = this.ended ? "Go on" : "Stop the clock";
    if (over && !this.told) {
      this.told = true;
      say("The time of the station is over.");
    }
  }

  /** @param {Record<string, string>} rest */
  fill(rest) {
    for (const [step, mark] of this.standing()) {
      const note = this.form.elements.namedItem(`note-${step}`);
      if (note instanceof HTMLInputElement && mark.note) note.value = mark.note;
      const said = this.form.elements.namedItem(`prompt-${step}`);
      if (said instanceof HTMLInputElement) said.checked = mark.prompted;
    }
    for (const [name, value] of Object.entries(rest)) {
      const box = this.form.elements.namedItem(name);
      if (box instanceof HTMLInputElement && box.type === "checkbox") box.checked = true;
      else if (box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement || box instanceof RadioNodeList) box.value = value;
    }
    for (const box of this.querySelectorAll(".lab-note input")) {
      if (box instanceof HTMLInputElement && box.value) box.closest("details")?.setAttribute("open", "");
    }
  }

  /** @param {string} name */
  text(name) {
    const box = this.form.elements.namedItem(name);
    return box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement ? box.value.trim() : "";
  }

  /** @param {string} name */
  field(name) {
    return /** @type {HTMLInputElement} */ (this.form.elements.namedItem(name));
  }
}

/** Marks of both, each once. @param {Mark[]} ones @param {Mark[]} others */
function merged(ones, others) {
  return [...new Map([...ones, ...others].map((one) => [one.id, one])).values()];
}

/** An id that no other mark has; also where the page was not served over TLS. */
function identity() {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((one) => one.toString(16).padStart(2, "0")).join("");
}

/** @param {Date} at */
function clock(at) {
  return at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

/** @param {string} words */
function say(words) {
  for (const part of document.querySelectorAll("[data-says], #status")) part.textContent = words;
}

customElements.define("lab-sheet", LabSheet);
