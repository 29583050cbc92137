"""How fast, measured in one run: plans, reading orders, the command line, the page; each beside the same arithmetic in pint.

Run by `make perf-speed`. Quote medians and ratios: machines are noisy. The pint figure is the bare arithmetic of one plan
(dose over strength, fill less volume, dose over fill), nothing else; a plan also searches, checks and writes the steps.
"""

import http.client
import os
import re
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from urllib.parse import urlencode

import pint

from drawndose import Catalogue, InHand, Order, Policy, every_pack, load, plan, read_order

ORDERS = (
    "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours",
    "albuterol 2 mg by nebulizer, made up to 3 mL",
    "levalbuterol 0.63 mg by nebulizer three times daily",
    "epinephrine 5 mg by nebulizer once",
    "ipratropium 250 mcg by nebulizer",
    "acetylcysteine 600 mg by nebulizer",
    "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL, weight 8 kg",
    "pentamidine 300 mg by nebulizer once",
    "10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h",
    "albuterol 2.5 mg and ipratropium 0.25 mg by nebulizer every 6 hours",
    "albuterol 0.15 mg by nebulizer to 3 mL",
)
ONE = ORDERS[1]
ROUNDS = 60
POLICY = Policy(hazardous_here=True)
PORT = 8391


def timed(work: Callable[[], object], rounds: int) -> list[float]:
    """Seconds of each call, after a few that do not count."""
    for _ in range(5):
        work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return sorted(times)


def percentile(times: list[float], share: float) -> float:
    """The value that so large a share of the sorted times does not exceed."""
    return times[min(len(times) - 1, int(share * len(times)))]


def pint_arithmetic() -> Callable[[], object]:
    """The bare arithmetic of one plan with pint, from texts, as a program using it would."""
    units = pint.UnitRegistry()

    def work() -> object:
        volume = (units("2 mg") / units("5 mg/mL")).to("mL")
        diluent = units("3 mL") - volume
        return diluent, (units("2 mg") / units("3 mL")).to("mg/mL")

    return work


def bench_of(book: Catalogue) -> tuple[InHand, ...]:
    """Everything that the catalogue has."""
    return every_pack(book.presentations)


def row(name: str, times: list[float], base: float) -> None:
    """One line: median, 99th percentile, and the median as a multiple of the pint arithmetic."""
    p50, p99 = statistics.median(times), percentile(times, 0.99)
    sys.stdout.write(f"{name:46} {p50 * 1e3:10.3f} {p99 * 1e3:10.3f} {p50 / base:10.1f}\n")


def process(words: list[str]) -> Callable[[], object]:
    """A whole process, from start to end."""
    return lambda: subprocess.run(words, check=True, stdout=subprocess.DEVNULL, env=os.environ)


PINT_PROGRAM = (
    "import pint; u = pint.UnitRegistry(); print((u('2 mg') / u('5 mg/mL')).to('mL'), u('3 mL') - u('0.4 mL'))"
)


def page_times(rounds: int) -> list[float]:
    """Seconds of one posted order on the page of a real server on loopback."""
    server = subprocess.Popen(
        [os.path.join(os.path.dirname(sys.executable), "drawndose"), "serve", "--port", str(PORT)]
    )
    try:
        token, cookie = _first_page()
        body = urlencode({"order": ONE, "csrfmiddlewaretoken": token})
        headers = {"Content-Type": "application/x-www-form-urlencoded", "Cookie": cookie}
        connection = http.client.HTTPConnection("127.0.0.1", PORT, timeout=30)

        def post() -> None:
            connection.request("POST", "/", body, headers)
            answer = connection.getresponse()
            content = answer.read()
            if answer.status != 200 or b"0.4" not in content:
                raise RuntimeError(f"the page answered {answer.status}")

        return timed(post, rounds)
    finally:
        server.terminate()
        server.wait(timeout=20)


def _first_page() -> tuple[str, str]:
    """The page's token and cookie, once the server answers; it has 30 s to start."""
    for _ in range(300):
        try:
            connection = http.client.HTTPConnection("127.0.0.1", PORT, timeout=5)
            connection.request("GET", "/")
            answer = connection.getresponse()
            text = answer.read().decode()
            found = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', text)
            cookie = (answer.getheader("Set-Cookie") or "").partition(";")[0]
            if found:
                return found[1], cookie
        except OSError:
            time.sleep(0.1)
    raise RuntimeError("the server did not answer")


def main() -> int:
    """Measure and print."""
    book = load()
    have, tools = bench_of(book), [*book.instruments, book.cups[0]]
    base = statistics.median(timed(pint_arithmetic(), 200))
    sys.stdout.write(f"{'':46} {'median ms':>10} {'99 % ms':>10} {'x pint':>10}\n")
    row("the arithmetic of one plan, pint", [base], base)

    def planned(order: Order, containers: tuple[InHand, ...]) -> Callable[[], object]:
        return lambda: plan(order, containers=containers, instruments=tools, policy=POLICY)

    orders = [read_order(text, catalogue=book) for text in ORDERS]
    one = read_order(ONE, catalogue=book)
    bottle = every_pack([book.presentation("albuterol-0.5pct-bottle-20ml"), *book.diluents])
    row("read one order", timed(lambda: read_order(ONE, catalogue=book), 300), base)
    row("plan one order, whole catalogue", timed(planned(one, have), 400), base)
    row("plan one order, one bottle", timed(planned(one, bottle), 400), base)
    mixed = [time for order in orders for time in timed(planned(order, have), ROUNDS)]
    row(f"plan {len(orders)} kinds of order, whole catalogue", sorted(mixed), base)
    sys.stdout.write(f"plans per second on one core: {1 / statistics.mean(mixed):.0f}\n\n")
    python = sys.executable
    start = statistics.median(timed(process([python, "-c", PINT_PROGRAM]), 7))
    sys.stdout.write(f"{'':46} {'median ms':>10} {'99 % ms':>10} {'x pint':>10}\n")
    row("whole process: the arithmetic, pint", [start], start)
    row("whole process: python that does nothing", timed(process([python, "-c", "pass"]), 7), start)
    row("whole process: drawndose plan", timed(process([python, "-m", "drawndose.cli", "plan", ONE]), 9), start)
    row("page: one posted order, server on loopback", page_times(60), base)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
