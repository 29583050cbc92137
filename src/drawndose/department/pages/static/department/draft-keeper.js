// @ts-check
/**
 * <draft-keeper>: around the forms of a page. What is typed into a form with `data-draft` is kept in the browser at once and on the
 * server a moment later, and is offered again on the next visit. A form is sent without leaving the page: when the network is
 * away the press is kept and goes by itself when the network is back, with the same key, so that it is done once. Without scripts
 * the same forms are sent by the browser.
 *
 * Kept texts are one person's: they go when the form was carried out, when the person lets them go or signs off, and after 12 hours.
 */

const PREFIX = "drawndose-draft:";
const OLD = 12 * 60 * 60 * 1000;
const AGAIN = 4000;
const PATIENCE = 15_000;
const NOT_KEPT = new Set(["csrfmiddlewaretoken", "key", "version", "do", "draft", "next", "second_secret", "prompted"]);
/** What is put in the place of its older self when an answer comes. */
const PARTS = ["#strip", "main", "#bar"];

/** @typedef {{at: number, fields: Record<string, string>}} Kept */

class DraftKeeper extends HTMLElement {
  later = 0;
  waiting = 0;
  busy = false;

  connectedCallback() {
    this.addEventListener("input", this.typed);
    this.addEventListener("change", this.typed);
    document.addEventListener("submit", this.sent);
    document.addEventListener("click", this.pressed);
    window.addEventListener("online", this.now);
    sweep(this.person);
    this.offer();
    for (const part of document.querySelectorAll("[data-print-again], [data-print-page]")) part.removeAttribute("hidden");
    if (document.querySelector("[data-print]") && !sessionStorage.getItem(`printed:${location.pathname}`)) {
      sessionStorage.setItem(`printed:${location.pathname}`, "yes");
      printLabel();
    }
  }

  disconnectedCallback() {
    document.removeEventListener("submit", this.sent);
    document.removeEventListener("click", this.pressed);
    window.removeEventListener("online", this.now);
    window.clearTimeout(this.later);
    window.clearTimeout(this.waiting);
  }

  get person() {
    return this.dataset.person ?? "";
  }

  get place() {
    return `${PREFIX}${this.person}:${this.dataset.name ?? ""}`;
  }

  /** The form whose texts are kept. */
  get form() {
    return /** @type {HTMLFormElement | null} */ (this.querySelector("form[data-draft]"));
  }

  typed = () => {
    const { form } = this;
    if (!form) return;
    const fields = fieldsOf(form);
    store(this.place, fields);
    window.clearTimeout(this.later);
    this.later = window.setTimeout(() => this.toServer(form, fields), 1500);
  };

  /**
   * Keep it on the server too, so that another device can take over; when that fails the browser still has it.
   * @param {HTMLFormElement} form
   * @param {Record<string, string>} fields
   */
  async toServer(form, fields) {
    const body = new URLSearchParams({ ...fields, draft: this.dataset.name ?? "", csrfmiddlewaretoken: guardOf(form) });
    try {
      await fetch(this.dataset.send ?? "", { method: "POST", body, headers: { "HX-Request": "true" }, keepalive: true });
    } catch {
      // The network is away; what is typed stays in the browser.
    }
  }

  /** On a later visit: say that something is kept here, when it is not what the form holds. */
  offer() {
    const { form } = this;
    const kept = read(this.place);
    const section = this.querySelector(".kept");
    if (!form || !kept || !(section instanceof HTMLElement)) return;
    const holds = fieldsOf(form);
    if (Object.entries(kept.fields).every(([name, value]) => (holds[name] ?? "") === value)) return;
    const at = new Date(kept.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    const words = section.querySelector("[data-kept-words]");
    if (words && section.hidden) words.textContent = `You typed something here at ${at} and did not send it.`;
    section.hidden = false;
  }

  /** @param {MouseEvent} event */
  pressed = (event) => {
    const at = event.target instanceof Element ? event.target : null;
    if (at?.closest("[data-print-again]")) printLabel();
    if (at?.closest("[data-print-page]")) window.print();
    if (at?.closest("[data-send-now]")) this.now();
    const kept = read(this.place);
    if (!at?.closest("[data-back]") || !kept || !this.form) return;
    event.preventDefault();
    fill(this.form, kept.fields);
    this.querySelector(".kept")?.setAttribute("hidden", "");
  };

  /** @param {SubmitEvent} event */
  sent = (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || event.defaultPrevented) return;
    if (form.matches(".house-person")) {
      forget((place) => !isSheet(place));
      return;
    }
    if (form.method !== "post" || !this.contains(form)) return;
    event.preventDefault();
    if (form.matches("[data-let-go]")) localStorage.removeItem(this.place);
    if (this.busy) return;
    const filled = new FormData(form, event.submitter);
    const texts = new URLSearchParams();
    for (const [name, value] of filled) texts.append(name, String(value));
    this.post(form.getAttribute("action") || location.href, form.enctype === "multipart/form-data" ? filled : texts);
  };

  /**
   * Send a form. The same body goes again until there is an answer: its key makes sure that it is done once.
   * @param {string} address
   * @param {URLSearchParams | FormData} body
   */
  async post(address, body) {
    this.busy = true;
    this.again = () => this.post(address, body);
    document.getElementById("bar")?.setAttribute("aria-busy", "true");
    let answer;
    try {
      const headers = { "HX-Request": "true" };
      answer = await fetch(address, { method: "POST", body, headers, signal: AbortSignal.timeout(PATIENCE) });
    } catch {
      this.away();
      return;
    }
    this.busy = false;
    await this.answered(answer);
  }

  again = () => {};

  now = () => {
    window.clearTimeout(this.waiting);
    if (this.busy) this.again();
  };

  /** @param {Response} answer */
  async answered(answer) {
    const to = answer.headers.get("HX-Redirect");
    if (to) {
      if (!to.startsWith("/sign-in")) localStorage.removeItem(this.place);
      go(to);
      return;
    }
    document.getElementById("bar")?.removeAttribute("aria-busy");
    if ((answer.headers.get("HX-Trigger") ?? "").includes("veiled")) {
      say("Not sent: the session was idle. Come back with your PIN, and press again.");
      document.dispatchEvent(new Event("veiled"));
      return;
    }
    const kind = answer.headers.get("Content-Type") ?? "";
    if (answer.redirected || answer.status === 403 || answer.status === 204) {
      go(answer.redirected ? answer.url : location.pathname);
      return;
    }
    if (answer.status >= 500 || !kind.startsWith("text/html")) {
      say(`Not done: the server could not (${answer.status}). What you typed is kept; press again.`);
      return;
    }
    show(await answer.text());
  }

  /** No answer: the press is kept, and goes again by itself. */
  away() {
    const at = new Date().toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
    document.getElementById("bar")?.removeAttribute("aria-busy");
    say(`Not sent yet: no network at ${at}. It is kept here, and goes by itself when the network is back.`);
    window.clearTimeout(this.waiting);
    this.waiting = window.setTimeout(() => this.again(), AGAIN);
  }
}

/**
 * Go to an address. One on this very page is loaded anew: the page has changed.
 * @param {string} to
 */
function go(to) {
  const next = new URL(to, location.href);
  if (next.pathname !== location.pathname || next.search !== location.search) {
    location.assign(next);
    return;
  }
  history.replaceState(null, "", next);
  location.reload();
}

/**
 * Put the answer in the place of the page's parts, and lead to what was refused.
 * @param {string} html
 */
function show(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  for (const part of PARTS) {
    const [older, newer] = [document.querySelector(part), page.querySelector(part)];
    if (older && newer && (part === "main" || !older.closest("main"))) older.replaceWith(document.importNode(newer, true));
  }
  document.title = page.title;
  const target = document.querySelector("#refused") ?? document.querySelector("#stops") ?? document.querySelector("main");
  if (!(target instanceof HTMLElement)) return;
  if (!target.hasAttribute("tabindex")) target.tabIndex = -1;
  target.focus();
  target.scrollIntoView({ block: "start" });
}

/** Print the label alone: its picture with the code, or its words where there is no picture. */
async function printLabel() {
  const picture = document.querySelector("#label-picture");
  const image = picture?.querySelector("img");
  let part = document.getElementById("label");
  try {
    await image?.decode();
    if (picture instanceof HTMLElement) part = picture;
  } catch {
    // No size of label holds it: its words are printed.
  }
  for (const one of document.querySelectorAll("[data-print]")) one.removeAttribute("data-print");
  part?.setAttribute("data-print", "");
  window.print();
}

/** @param {string} words */
function say(words) {
  for (const part of document.querySelectorAll("[data-says], #status")) part.textContent = words;
}

/** @param {HTMLFormElement} form */
function guardOf(form) {
  const guard = form.elements.namedItem("csrfmiddlewaretoken");
  return guard instanceof HTMLInputElement ? guard.value : "";
}

/**
 * What stands in a form, as texts by name.
 * @param {HTMLFormElement} form
 */
function fieldsOf(form) {
  /** @type {Record<string, string>} */
  const fields = {};
  for (const [name, value] of new FormData(form)) {
    if (!NOT_KEPT.has(name) && !name.includes("secret") && typeof value === "string" && value.trim()) fields[name] = value;
  }
  return fields;
}

/**
 * @param {HTMLFormElement} form
 * @param {Record<string, string>} fields
 */
function fill(form, fields) {
  for (const [name, value] of Object.entries(fields)) {
    const one = form.elements.namedItem(name);
    if (one instanceof RadioNodeList || one instanceof HTMLInputElement || one instanceof HTMLTextAreaElement || one instanceof HTMLSelectElement) {
      if (!(one instanceof HTMLInputElement && one.type === "hidden")) one.value = value;
    }
  }
  for (const box of form.querySelectorAll("input, textarea")) if (box instanceof HTMLElement) openAround(box);
}

/** @param {HTMLElement} box */
function openAround(box) {
  const fold = box.closest("details");
  if (fold && box instanceof HTMLInputElement && box.value) fold.open = true;
}

/**
 * @param {string} place
 * @param {Record<string, string>} fields
 */
function store(place, fields) {
  try {
    if (Object.keys(fields).length) localStorage.setItem(place, JSON.stringify({ at: Date.now(), fields }));
    else localStorage.removeItem(place);
  } catch {
    // The browser keeps nothing here; the server still does.
  }
}

/**
 * @param {string} place
 * @returns {Kept | null}
 */
function read(place) {
  try {
    return JSON.parse(localStorage.getItem(place) ?? "null");
  } catch {
    return null;
  }
}

/** @param {(place: string) => boolean} which */
function forget(which) {
  for (const place of Object.keys(localStorage)) if (place.startsWith(PREFIX) && which(place)) localStorage.removeItem(place);
}

/**
 * Marks of an open sheet of the lab: they name nobody, may be all there is of an attempt, and stay until they are handed in or old.
 * @param {string} place
 */
function isSheet(place) {
  return place.includes(":lab-marks-");
}

/**
 * Let go of another person's texts, and of old ones.
 * @param {string} person
 */
function sweep(person) {
  const others = (/** @type {string} */ place) => !place.startsWith(`${PREFIX}${person}:`) && !isSheet(place);
  forget((place) => others(place) || Date.now() - (read(place)?.at ?? 0) > OLD);
}

customElements.define("draft-keeper", DraftKeeper);
