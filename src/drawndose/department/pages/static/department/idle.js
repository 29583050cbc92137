// @ts-check
/**
 * The veil. After so long without a touch or a key the page is hidden, here and in every other tab, and the server is told. The
 * PIN brings it back as it was: the page is never left, so nothing that was typed is lost. While someone types, the server is told
 * at most once a minute. The server has the last word: it veils by its own clock, and a tab that lay idle while another was used
 * is uncovered again. Every page tells the other tabs whose it is: those of someone else, and all after a sign-off, are opened anew.
 */

const template = document.getElementById("veil");
const channel = new BroadcastChannel("drawndose-veil");

if (!(template instanceof HTMLTemplateElement)) channel.postMessage({ who: "", guard: "" });
else if (!("stays" in template.dataset)) watch(template); // a wall screen is left open: the server says what it may show

/** @param {HTMLTemplateElement} veil */
function watch(veil) {
  const limit = Number(veil.dataset.seconds) * 1000;
  const often = Math.min(60_000, limit / 4);
  let touched = Date.now();
  let told = touched;
  /** @type {HTMLElement | null} */
  let drawn = null;
  /** @type {{hidden: HTMLElement[], title: string, focus: Element | null, top: number}} */
  let before = { hidden: [], title: "", focus: null, top: 0 };

  /** Hide everything that stands on the page, and put the way back in its place. */
  function draw() {
    if (drawn) return;
    before = {
      hidden: [...document.body.children].filter((part) => part instanceof HTMLElement && !part.hidden),
      title: document.title,
      focus: document.activeElement,
      top: window.scrollY,
    };
    for (const part of before.hidden) part.hidden = true;
    document.title = "Signed off: drawndose";
    drawn = document.createElement("main");
    drawn.className = "house";
    fill(veil.content.cloneNode(true));
    document.body.append(drawn);
    box()?.focus();
  }

  /** @param {Node} content */
  function fill(content) {
    drawn?.replaceChildren(content);
    const next = location.pathname + location.search;
    for (const field of drawn?.querySelectorAll("[name=next]") ?? []) field.setAttribute("value", next);
  }

  const box = () => /** @type {HTMLElement | null | undefined} */ (drawn?.querySelector("input:not([type=hidden], .vh)"));

  /** Show the page again, as it was. */
  function lift() {
    touched = told = Date.now();
    if (!drawn) return;
    drawn.remove();
    drawn = null;
    for (const part of before.hidden) part.hidden = false;
    document.title = before.title;
    window.scrollTo(0, before.top);
    if (before.focus instanceof HTMLElement) before.focus.focus({ preventScroll: true });
  }

  /**
   * Tell the server that someone is here, or ask it whether everyone is gone.
   * @param {boolean} acted
   */
  async function tell(acted) {
    told = Date.now();
    const body = new URLSearchParams({ acted: acted ? "yes" : "no", csrfmiddlewaretoken: guard() });
    try {
      const answer = await fetch(veil.dataset.idle ?? "", { method: "POST", body });
      const { veiled, left } = await answer.json();
      if (veiled) {
        draw();
        channel.postMessage("veiled");
      } else if (!acted) {
        lift();
        touched = Date.now() - (limit - left * 1000);
      }
    } catch {
      // No answer: what is hidden stays hidden, and the server keeps its own time.
    }
  }

  const back = () => channel.postMessage({ who: veil.dataset.who, guard: guard() });
  const guard = () => /** @type {HTMLInputElement} */ (veil.content.querySelector("[name=csrfmiddlewaretoken]")).value;

  function touch() {
    if (drawn) return;
    if (Date.now() - touched >= limit) {
      look();
      return;
    }
    touched = Date.now();
    if (touched - told >= often) tell(true);
  }

  function look() {
    if (drawn || Date.now() - touched < limit) return;
    draw();
    tell(false);
  }

  for (const name of ["pointerdown", "keydown", "input", "wheel", "touchmove"]) {
    document.addEventListener(name, touch, { capture: true, passive: true });
  }
  for (const name of ["visibilitychange", "veiled"]) document.addEventListener(name, name === "veiled" ? draw : look);
  window.addEventListener("pageshow", look);
  setInterval(look, 1000);
  channel.addEventListener("message", ({ data }) => {
    if (data === "veiled") draw();
    else if (data.who !== veil.dataset.who) location.replace(location.pathname + location.search); // not sent a second time
    else {
      // After a sign-in in another tab the forms here would carry an old guard, and be refused.
      for (const root of [document, veil.content]) {
        for (const field of root.querySelectorAll("[name=csrfmiddlewaretoken]")) field.setAttribute("value", data.guard);
      }
      lift();
    }
  });

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !drawn?.contains(form) || !("veil" in form.dataset)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    try {
      const answer = await fetch(form.action, { method: "POST", body: new FormData(form), headers: { "X-Veil": "drawn" } });
      if (answer.status === 204) {
        lift();
        back();
      } else if (answer.status === 401) {
        location.assign(answer.headers.get("X-To") ?? "/sign-in/");
      } else {
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        const section = page.querySelector(".veil");
        if (!section) throw new Error("not our page");
        fill(document.importNode(section, true));
        box()?.focus();
      }
    } catch {
      const says = document.createElement("p");
      says.setAttribute("role", "alert");
      says.textContent = "No answer. Nothing is lost: press again in a moment.";
      form.querySelector("[role=alert]")?.remove();
      form.append(says);
    }
  }, { capture: true });

  back();
}
