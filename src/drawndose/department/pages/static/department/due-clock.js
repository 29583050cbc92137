// @ts-check
/**
 * <due-clock>: a time that runs out, counted down from what the page says. The page says it in words too, and the server alone
 * decides: this only keeps the words fresh. The tablet's own clock is not asked what time it is, only how much has passed.
 */

class DueClock extends HTMLElement {
  timer = 0;

  connectedCallback() {
    const seconds = Number(this.dataset.seconds ?? 0);
    const until = Date.parse(this.dataset.until ?? "") - Date.parse(this.dataset.now ?? "");
    const whole = seconds ? seconds * 1000 : until;
    if (!Number.isFinite(whole)) return;
    const began = performance.now();
    const tick = () => this.show(whole - (performance.now() - began), seconds > 0);
    this.timer = window.setInterval(tick, seconds ? 250 : 5000);
    tick();
  }

  disconnectedCallback() {
    window.clearInterval(this.timer);
  }

  /**
   * @param {number} left milliseconds
   * @param {boolean} short
   */
  show(left, short) {
    if (short) {
      this.textContent = `(${Math.max(Math.ceil(left / 1000), 0)} s)`;
      if (left <= 0) this.closest("form")?.querySelector("button")?.setAttribute("hidden", "");
      return;
    }
    const words = this.querySelector(".left");
    const minutes = Math.floor(left / 60_000);
    if (words) words.textContent = minutes >= 0 ? `(in ${minutes}\u00a0min)` : `(passed ${-minutes}\u00a0min ago)`;
    this.classList.toggle("soon", minutes >= 0 && minutes < 10);
    const late = minutes < 0;
    if (late && !this.classList.contains("late")) {
      const says = document.getElementById("status");
      if (says) says.textContent = "The limit time has passed.";
    }
    this.classList.toggle("late", late);
  }
}

customElements.define("due-clock", DueClock);
