"""What a person says about sheets of slips: which one, where it begins, how far to move; and a page to try it with."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from entryprep.cli.boundary import UsageProblem
from entryprep.text import listed

if TYPE_CHECKING:
    from entryprep.entering.season import Season
    from entryprep.findings import Finding
    from entryprep.paper.slipset import SlipChoice


@dataclass(frozen=True)
class Slips:
    """The options --sheet, --layout, --start-at, --nudge, --font, --beer and --bottle as they were typed."""

    sheet: str = ""
    start_at: int = 1
    nudge: str = ""
    layout: str = ""
    fonts: tuple[Path, ...] = ()
    beer: str = ""
    bottle: int = 0


def checked_page(page: str) -> None:
    """Raises UsageProblem for paper there is not."""
    if page not in {"", "letter", "a4"}:
        raise UsageProblem(f"--page {page} is not known", "use letter or a4")


def chosen_slips(slips: Slips, page: str, folder: Path, own_page: str = "") -> SlipChoice:
    """Layout and sheet, found and checked. ``page`` is used where no sheet is named; a sheet of other paper than
    ``own_page`` is refused.

    Raises UsageProblem, or RecordError for a file that cannot be used.
    """
    from entryprep.paper.placing import placing
    from entryprep.paper.slips import checked_size
    from entryprep.paper.slipset import SlipChoice
    from entryprep.tables.labelsheets import find_sheet
    from entryprep.tables.sliplayouts import find_layout

    nudge = nudge_mm(slips.nudge)
    with printing():
        layout = find_layout(slips.layout, folder) if slips.layout else None
        if not slips.sheet and slips.start_at == 1 and nudge == (0.0, 0.0):
            return SlipChoice(layout, None, slips.beer, slips.bottle)
        usual = layout or find_layout("bottle", folder)
        sheet = find_sheet(slips.sheet or f"{page}-{usual.usual}", folder)
        if own_page not in {"", sheet.page}:
            raise UsageProblem(f"--page {own_page} and {sheet.called} do not go together", f"use --page {sheet.page}")
        if layout is not None:
            checked_size(layout, sheet)
        return SlipChoice(layout, placing(sheet, slips.start_at, nudge), slips.beer, slips.bottle)


def nudge_mm(text: str) -> tuple[float, float]:
    """``1,-0.5`` as right and down in mm. Raises UsageProblem for anything else."""
    if not text:
        return 0.0, 0.0
    try:
        right, down = (float(part) for part in text.removesuffix("mm").split(","))
    except ValueError:
        right = down = math.nan
    if not (math.isfinite(right) and math.isfinite(down)):
        raise UsageProblem(
            f"--nudge {text[:40]} is not two numbers",
            "write right,down in mm with a comma between, such as 1,-0.5; negative is left and up",
        )
    return right, down


def printed_again(slips: Slips, competition: str, season: Season) -> None:
    """Whether there is a slip to print again. Raises UsageProblem where the beer or the bottle is not entered."""
    own = [e for e in season.entered if not competition or e.competition_id == competition]
    bottles = [e.competition.bottles.count for e in own if e.batch_id == slips.beer]
    if slips.bottle and not slips.beer:
        raise UsageProblem(f"--bottle {slips.bottle} of which beer?", "name it with --beer")
    if slips.beer and not bottles:
        raise UsageProblem(
            f"{slips.beer} is not entered", f"entered: {listed(dict.fromkeys(e.batch_id for e in own), 20)}"
        )
    if slips.bottle > max(bottles, default=slips.bottle):
        raise UsageProblem(f"no entry of {slips.beer} has a bottle {slips.bottle}", f"there are {max(bottles)} of each")


def one_sheet(slips: Slips, competition: str, season: Season) -> None:
    """A part-used sheet can be put to use once. Raises UsageProblem where several competitions would begin on it."""
    entered = {e.competition_id for e in season.entered if slips.beer in {"", e.batch_id}}
    if slips.start_at != 1 and not competition and len(entered) > 1:
        names = ", ".join(name for name in season.competitions if name in entered)
        raise UsageProblem(
            f"--start-at {slips.start_at} would begin the slips of {len(entered)} competitions at the same place",
            f"name one with --competition: {names}",
        )


@contextmanager
def printing(fonts: Sequence[Path] = ()) -> Iterator[None]:
    """Print with further fonts; what does not go together on paper is told as a usage problem."""
    from entryprep.paper.fonts import extra_font, forget_boxed
    from entryprep.paper.placing import PrintingError
    from entryprep.tables.templates import UnknownTemplate

    forget_boxed()
    try:
        with extra_font(fonts):
            yield
    except (PrintingError, UnknownTemplate) as error:
        raise UsageProblem(str(error.args[0]), error.fix) from None


def boxed_findings(file: Path) -> list[Finding]:
    """What is told of letters that were printed as boxes; ``file`` is what the words that hold them stand in."""
    from entryprep.paper.fonts import boxed, shown_letters
    from entryprep.tables.rules import finding

    letters = boxed()
    return [finding("letters-missing", {"letters": shown_letters(letters)}, file=file.as_posix())] if letters else []


def run_calibrate(folder: Path, out: Path | None, page: str, slips: Slips, as_json: bool) -> None:
    """``entryprep labels --calibrate``: needs no season, but uses its sheets and its country where there is one."""
    from entryprep.cli.show import console, paragraph, print_json
    from entryprep.entering.season import read_season
    from entryprep.output import write_outputs
    from entryprep.paper.bundle import page_of
    from entryprep.paper.calibration import calibration_pdf
    from entryprep.paper.placing import placing
    from entryprep.reading.yamltext import RecordError
    from entryprep.tables.labelsheets import find_sheet

    checked_page(page)
    try:
        usual = page_of(read_season(folder)[0])
    except RecordError:
        usual = "a4"
    with printing():
        sheet = find_sheet(slips.sheet or f"{page or usual}-8", folder)
        if page not in {"", sheet.page}:
            raise UsageProblem(f"--page {page} and {sheet.called} do not go together", f"use --page {sheet.page}")
        placed = placing(sheet, slips.start_at, nudge_mm(slips.nudge))
    name = f"calibration-{sheet.id or 'sheet'}.pdf"
    paths = write_outputs(out or folder / "out", {name: calibration_pdf(placed)})
    if as_json:
        print_json({"season": folder.as_posix(), "files": [p.as_posix() for p in paths]})
        return
    console().print(paragraph("Print at 100 % (actual size) and hold against the light behind the sheet of slips."))
    for path in paths:
        console().print(paragraph(path.as_posix(), indent=2))
