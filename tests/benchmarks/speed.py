"""Times, each beside the bare thing it is compared with: ``python -m tests.benchmarks.speed``."""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from entryprep.entering.plan import Slip

RUNS = 9
BATCH = """name: Speed
style: Vienna lager
measured: {og: 1.050, fg: 1.012, co2: 2.5}
predicted: {ibu: 24, srm: 11}
traits: {fermentation: lager, clarity: bright, hops: low, malt: toasty}
additions: []
bottles: [{count: 24}]
allergens: [barley]
"""
COMPETITION = """name: Speed
limits: {per_brewer: 500, same_batch_twice: true}
categories: [{code: L2, name: Amber lagers, families: [amber-lager], limit_per_brewer: 100}]
"""


def process(*command: str) -> float:
    """Seconds of one whole process."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def paired(ours: Callable[[], float], bare: Callable[[], float], runs: int = RUNS) -> tuple[float, float, float]:
    """Medians of both, taken in turn, and of their ratios."""
    ours(), bare()
    pairs = [(ours(), bare()) for _ in range(runs)]
    return median(a for a, _ in pairs), median(b for _, b in pairs), median(a / b for a, b in pairs)


def timed(call: Callable[[], object]) -> Callable[[], float]:
    """A call as a function that returns its seconds."""

    def run() -> float:
        start = time.perf_counter()
        call()
        return time.perf_counter() - start

    return run


def season(folder: Path, count: int) -> Path:
    """A season of ``count`` batches, each entered."""
    for part in ("batches", "competitions"):
        (folder / part).mkdir(parents=True)
    for number in range(count):
        text = BATCH.replace("1.050", f"1.0{48 + number % 5}").replace("24,", f"{22 + number % 7},")
        (folder / "batches" / f"b{number}.yaml").write_text(text)
    (folder / "competitions" / "c.yaml").write_text(COMPETITION)
    lines = (f"  - {{batch: b{number}, competition: c, category: L2}}\n" for number in range(count))
    (folder / "entries.yaml").write_text("entries:\n" + "".join(lines))
    return folder


def _slips() -> list[Slip]:
    """Three slips each of 600 entries."""
    from entryprep.entering.plan import Slip

    return [
        Slip(
            code=f"{1000 + entry}",
            number=f"{1000 + entry}",
            competition="Speed",
            category_code="L2",
            category_name="Amber lagers",
            style="Vienna Lager",
            base="",
            declaration=f"Toasty and dry, number {entry}",
            allergens=("barley",),
            bottle=bottle,
            bottles=3,
            identity=(),
            attach="rubber-band",
        )
        for entry in range(600)
        for bottle in (1, 2, 3)
    ]


def slips_and_bare() -> tuple[Callable[[], object], Callable[[], object]]:
    """1,800 slips, and a bare reportlab loop that draws the same strings with the same fonts."""
    from reportlab.pdfgen.canvas import Canvas

    from entryprep.paper.canvas import compact
    from entryprep.paper.fonts import BOLD, REGULAR, printable, register_fonts, width_pt
    from entryprep.paper.placing import Placing
    from entryprep.paper.qr import _difference, _row_path, _row_runs
    from entryprep.paper.slips import slips_pdf
    from entryprep.paper.slipvalues import bottle_slips
    from entryprep.paper.text import fitted
    from entryprep.tables.labelsheets import load_sheet
    from entryprep.tables.sliplayouts import find_layout

    layout = find_layout("bottle")
    placed = Placing(load_sheet("a4-8"))
    slips = _slips()

    def bare() -> None:
        register_fonts()
        canvas = Canvas(io.BytesIO(), pagesize=(595, 842), invariant=1, pageCompression=1)
        for place, slip in enumerate(slips):
            if place and place % 8 == 0:
                canvas.showPage()
            x, y = (place % 2) * 270 + 30, 800 - (place % 8) // 2 * 187
            lines = (
                (BOLD, 22, slip.code),
                (REGULAR, 8, "Entry no."),
                (BOLD, 11, f"{slip.category_code}: {slip.category_name}"),
                (BOLD, 10, slip.style),
                (REGULAR, 9, slip.declaration),
                (REGULAR, 8.5, "Allergens: barley"),
                (BOLD, 8, f"Bottle {slip.bottle} of 3"),
                (REGULAR, 8, slip.competition),
                (REGULAR, 8, "Hold with a rubber band; no tape, no glue."),
            )
            for font, size, text in lines:
                canvas.setFont(font, size)
                canvas.drawString(x, y, text)
                y -= 14
        with compact():  # the same streams as ours, neither armoured
            canvas.save()

    def ours() -> None:
        for kept in (_row_path, _row_runs, _difference, fitted, width_pt, printable):
            kept.cache_clear()  # every run is a first run
        slips_pdf(bottle_slips(slips), layout, placed, "Speed")

    return ours, bare


def _fit_sheet() -> float:
    """Seconds of one fit sheet after the first, drawn together with others."""
    from tests.paper.papers import fit_sheets_pdf
    from tests.paper.samples import finding, fit_sheet

    sheets = [replace(fit_sheet((finding(),)), batch_name=f"Beer {number}") for number in range(20)]
    fit_sheets_pdf(sheets[:1], "a4")
    one = median(timed(lambda: fit_sheets_pdf(sheets[:1], "a4"))() for _ in range(5))
    all_of_them = median(timed(lambda: fit_sheets_pdf(sheets, "a4"))() for _ in range(5))
    return (all_of_them - one) / (len(sheets) - 1)


def _memory(slips: Sequence[Slip]) -> list[str]:
    """Seconds, bytes of the file and of memory at its peak for more and more slips."""
    import tracemalloc

    from entryprep.paper.placing import Placing
    from entryprep.paper.slips import slips_pdf
    from entryprep.paper.slipvalues import bottle_slips
    from entryprep.tables.labelsheets import load_sheet
    from entryprep.tables.sliplayouts import find_layout

    said = []
    for count in (2_500, 5_000, 10_000):
        many = [replace(slips[i % len(slips)], code=f"{i // 3}", number=f"{i // 3}") for i in range(count)]
        printed = bottle_slips(many)
        start = time.perf_counter()
        pdf = slips_pdf(printed, find_layout("bottle"), Placing(load_sheet("a4-8")), "Speed")
        seconds = time.perf_counter() - start
        tracemalloc.start()
        slips_pdf(printed, find_layout("bottle"), Placing(load_sheet("a4-8")), "Speed")
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        pages = -(-count // 8)
        said.append(
            f"{count:6,} slips: {seconds:5.2f} s, {len(pdf) / count:4.0f} bytes a slip, "
            f"peak {peak / 1e6:5.1f} MB, {peak / pages / 1e3:4.1f} kB a page"
        )
    return said


def main() -> None:
    """Measure and print; times are medians, ratios are medians of pairs taken in turn."""
    python = sys.executable
    show = sys.stdout.write
    show(f"{'':44}{'ours':>10}{'bare':>10}{'ratio':>8}\n")

    def line(name: str, figures: tuple[float, float, float]) -> None:
        show(f"{name:44}{figures[0]:9.3f}s{figures[1]:9.3f}s{figures[2]:8.2f}\n")

    script = str(Path(python).parent / "entryprep")
    helped = paired(lambda: process(script, "--help"), lambda: process(python, "-c", "import typer"))
    line("entryprep --help / import typer", helped)
    with tempfile.TemporaryDirectory() as name:
        file = Path(name) / "b.yaml"
        file.write_text(BATCH)
        bare = "import typer, pydantic, yaml"
        suggested = paired(lambda: process(script, "suggest", str(file)), lambda: process(python, "-c", bare))
        line("suggest FILE / import typer, pydantic, yaml", suggested)
        ours, bare_loop = slips_and_bare()
        line("1,800 slips / bare loop, same strings", paired(timed(ours), timed(bare_loop), runs=5))
        show("\n".join(_memory(_slips())) + "\n")
        show(f"a fit sheet after the first: {_fit_sheet() * 1000:.1f} ms\n")
        folder = season(Path(name) / "s", 600)
        show(f"600 batches read, checked and ranked: {_checked(folder):.2f} s\n")
    show(f"ranking one beer, 133 styles, 4 traits: {_ranked() * 1000:.2f} ms\n")


def _checked(folder: Path) -> float:
    from entryprep import rank, read_season
    from entryprep.beer.readings import batch_vitals
    from entryprep.entering.check import check

    def run() -> None:
        read, _ = read_season(folder)
        check(read, date(2027, 1, 1))
        for batch in read.batches.values():  # the check itself ranks only beers that fit badly
            rank(batch_vitals(batch), batch.traits.model_dump(exclude_none=True), read.table, ())

    return median(timed(run)() for _ in range(3))


def _ranked() -> float:
    from entryprep import Vitals, load_styles, rank

    table = load_styles()
    beer = Vitals(og=1.050, fg=1.012, ibu=24, srm=11)
    traits = {"fermentation": "lager", "clarity": "bright", "hops": "low", "malt": "toasty"}
    rank(beer, traits, table, ())
    return median(timed(lambda: rank(beer, traits, table, ()))() for _ in range(400))


if __name__ == "__main__":
    main()
