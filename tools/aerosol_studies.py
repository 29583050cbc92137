"""Write docs/reference/aerosol-studies.md and its pictures: published studies as points over the ranges that we compute.

Usage: python -m tools.aerosol_studies [--check]     with --check nothing is written, and what is out of date fails
"""

import sys
from collections import Counter
from pathlib import Path

from drawndose.bench.drawing import Figure, alone
from drawndose.reference import How, load
from drawndose.reference.aerosol import Side
from drawndose.science.aerosol.bands import range_words
from drawndose.science.aerosol.charts import Row, bands_chart
from drawndose.science.aerosol.studies import TRIALS, Held, Stands, hold_studies
from tools.generated import keep

DOCS = Path(__file__).parents[1] / "docs"
PAGE = DOCS / "reference/aerosol-studies.md"
IMAGES = DOCS / "images"
BOOK = load()
TOLD = {
    Stands.INSIDE: "the figure lies in our range (for a printed least or most: all of our range keeps it)",
    Stands.PARTLY: "some of its spread lies in our range, or some of our range keeps a printed least or most",
    Stands.OUTSIDE: "it does not, and why is said as far as it is known",
    Stands.FITTED: "one of our ranges was made from this figure, so agreement would prove nothing",
}
CHARTS = {
    "cup": ("The cup", "%", ("released", "emitted", "small emitted", "middling of charge", "evaporated", "fed")),
    "breath": (
        "Breathed in, and where it settles",
        "%",
        ("inhaled", "small of charge", "small of emitted", "lung", "throat", "lung of inhaled", "throat of inhaled", "exhaled of inhaled",
         "total of one size"),
    ),
    "time": ("Time", "min", ("minutes",)),
    "rate": ("Output", "mL or mg an hour", ("output an hour", "drug an hour")),
    "ratio": ("Ratios", "times", ("rise", "child over adult")),
}  # fmt: skip


def number(value: float) -> str:
    """Two or three digits, as studies print them."""
    return f"{value:.3g}"


def ours(one: Held) -> str:
    """Our range, rounded outward."""
    return range_words(one.ours.low, one.ours.high, 0.1 if one.unit == "times" else 1.0, one.unit)


def printed(one: Held) -> str:
    """The figure as printed, with its spread."""
    side = "" if one.study.side is Side.BOTH else f"{one.study.side.value} "
    spread = f" ({number(one.low)} to {number(one.high)})" if one.low < one.high else ""
    return f"{side}{number(one.value)}{spread} {one.unit}"


def chart(name: str, held: list[Held]) -> str:
    """One picture that stands alone: a bar for our range, a line for the study's spread, a dot for its figure."""
    title, unit, _ = CHARTS[name]
    rows = [
        Row(
            label=f"{one.study.id}: {one.stands.value}",
            low=one.ours.low,
            high=one.ours.high,
            spread=(one.low, one.high) if one.low < one.high else None,
            point=one.value,
        )
        for one in held
    ]
    words = tuple(f"{one.study.id}: {printed(one)}, ours {ours(one)}, {one.stands.value}." for one in held)
    figure = Figure(
        ident=f"studies-{name}",
        kind="studies",
        name=f"{title}: published figures over our ranges.",
        words=("The bar is our range, the line the spread of the study, the dot its figure.", *words),
        rows=(),
        svg=bands_chart(f"studies-{name}", rows, unit, None if unit != "%" else 100.0),
    )
    return alone(figure, "day")


def table(held: list[Held]) -> str:
    """Every study of one picture as a table: the same in words."""
    rows = []
    for one in held:
        more = [one.study.remark, f"not said: {one.study.unknown}" if one.study.unknown else ""]
        more.append("our own sum on what is printed" if one.study.origin.how is How.COMPUTED else "")
        rows.append(
            f"| `{one.study.id}` | {one.study.says} | {printed(one)} | {ours(one)} | {one.stands.value} "
            f"| {'; '.join(part for part in more if part)} | `{one.study.origin.source}` |"
        )
    head = "| study | what it says | printed | ours | stands | | source |"
    return "\n".join([head, "|---|---|---|---|---|---|---|", *rows])


def sources(held: tuple[Held, ...]) -> str:
    """Every source of a study."""
    rows = []
    for ident in sorted({one.study.origin.source for one in held}):
        source = BOOK.sources[ident]
        where = f"<{source.address}>" if source.address else "a copy, address not kept"
        rows.append(f"| `{ident}` | {source.title} | {where} |")
    return "\n".join(["| source | what it is | where |", "|---|---|---|", *rows])


def made() -> dict[Path, str]:
    """Every file of the page with its text."""
    held = hold_studies()
    counts = Counter(one.stands for one in held)
    files: dict[Path, str] = {}
    parts = [
        "# Published studies over our ranges",
        "Written by `python -m tools.aerosol_studies`; a test holds it to the program. What the ranges are is told in"
        " [what happens to a fill](../explanation/aerosol.md).",
        f"Each figure is held against the range that we compute for the same set-up ({TRIALS:,} trials; 95 of 100 lie in the range)."
        " A spread is one standard deviation, or what the study prints around its figure.",
        "\n".join(
            ["| stands | how many | meaning |", "|---|---|---|"]
            + [f"| {one.value} | {counts[one]} | {TOLD[one]} |" for one in Stands]
        ),
    ]
    for name, (title, _, measures) in CHARTS.items():
        group = [one for one in held if one.study.measure in measures]
        files[IMAGES / f"aerosol-studies-{name}.svg"] = chart(name, group)
        words = "The same as a table stands below it."
        parts += [
            f"## {title}",
            f"![{title}: published figures over our ranges. {words}](../images/aerosol-studies-{name}.svg)",
        ]
        parts.append(table(group))
    parts += ["## Sources", sources(held)]
    files[PAGE] = "\n\n".join(parts) + "\n"
    return files


def main(words: list[str]) -> int:
    """Write or check; 1 when a file was out of date and only checked."""
    return keep(made(), words)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
