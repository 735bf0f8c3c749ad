"""What ``flights`` writes: pouring lists, tasting cards, lists of flights and panels, and a sheet for the scores."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from entryprep.cli.progress import working
from entryprep.formats.csvtext import csv_bytes
from entryprep.formats.xlsxtext import xlsx_bytes
from entryprep.output import Content, claimed
from entryprep.receiving.flights import Flight
from entryprep.receiving.panels import ANYTIME, Hours, Judge, Panel
from entryprep.receiving.register.listing import FLIGHTS, PANELS, SCORES, SCORES_BOOK
from entryprep.tables.scales import Scale
from entryprep.tables.styles import StyleTable

MOST_CARDS, MOST_POURED = 1000, 500  # cards, and flights, in one file, so that a large one stays easy to open
NOTHING: Mapping[int, str] = MappingProxyType({})
BETWEEN = "; "  # names of a panel: a name may hold a comma
WIDE = 40.0  # characters of a column for words
CARD_ORDER = ("appearance", "aroma", "flavour", "mouthfeel", "overall")


@dataclass(frozen=True)
class Made:
    """Flights with the panels that judge them; ``panels`` is empty where no judges are named."""

    flights: list[Flight]
    panels: list[Panel]
    judges: list[Judge]
    hours: Hours = ANYTIME

    def session_of(self, flight: int) -> str:
        """The name of the session a flight is judged in; empty where there is none."""
        place = next((panel.session for panel in self.panels if panel.flight == flight), 0)
        return self.hours.sessions[place - 1].name if 0 < place <= len(self.hours.sessions) else ""

    def when(self, flight: int) -> str:
        """Round and session of a flight, or its day where there are no sessions; a dash where nobody sits."""
        panel = next((panel for panel in self.panels if panel.flight == flight), None)
        if panel is None or not panel.round:
            return "-"
        days = max(each.day for each in self.panels)
        said = self.session_of(flight) or (f"day {panel.day}" if days > 1 else "")
        return f"round {panel.round}" + (f", {said}" if said else "")


def written(made: Made, styles: StyleTable, scale: Scale, page: str, out: Path) -> list[Path]:
    """Write the files; a sheet for the scores that is there already is left as it is."""
    with ExitStack() as stack, claimed(out) as place, working("printing") as step:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="entryprep-")))
        files = lists(made)
        for name, content in score_sheets(made, scale).items():
            if not (out / name).exists():  # once made it is filled in: it is the user's from then on
                files[name] = content
        return place.write({**files, **papers(made, styles, scale, page, folder, step)})


def lists(made: Made) -> dict[str, Content]:
    """The list of flights, and of panels where there are any."""
    files: dict[str, Content] = {FLIGHTS: csv_bytes(FLIGHT_COLUMNS, _flight_rows(made.flights))}
    if made.panels:
        files[PANELS] = csv_bytes(("flight", "round", "judges", "groups"), _panel_rows(made))
    return files


def papers(
    made: Made,
    styles: StyleTable,
    scale: Scale,
    page: str,
    folder: Path,
    step: Callable[[str, int, int], None],
    replaces: Mapping[int, str] = NOTHING,
) -> dict[str, Content]:
    """Pouring lists and tasting cards, drawn into ``folder``; ``replaces`` says by flight when the sheet was printed
    that a new one takes the place of."""
    from entryprep.paper.pouringlist import pouring_list_pdf
    from entryprep.paper.pouringpage import pouring_page
    from entryprep.paper.tastingcards import cards_pdf

    rounds = {panel.flight: panel.round for panel in made.panels}
    judges = {panel.flight: panel.judges for panel in made.panels}
    seats = {flight: (made.session_of(flight), names) for flight, names in judges.items()}
    files: dict[str, Content] = {}
    sheets = [made.flights[i : i + MOST_POURED] for i in range(0, len(made.flights), MOST_POURED)]
    for index, poured in enumerate(sheets, 1):
        name = "pouring-lists.pdf" if len(sheets) == 1 else f"pouring-lists-{index:03d}.pdf"
        (folder / name).write_bytes(pouring_list_pdf(poured, styles, page, rounds, replaces, seats))
        files[name] = folder / name
    files["pouring-lists.html"] = pouring_page(made.flights, styles, rounds, replaces, seats)
    parts = list(_portions(made.flights, judges))
    for index, part in enumerate(parts, 1):
        step("printing cards", index, len(parts))
        name = "tasting-cards.pdf" if len(parts) == 1 else f"tasting-cards-{index:03d}.pdf"
        spooled = folder / name
        spooled.write_bytes(cards_pdf(part, styles, scale, page, replaces, judges))
        files[name] = spooled
    return files


def _portions(made: Sequence[Flight], judges: Mapping[int, Sequence[str]]) -> Iterator[list[Flight]]:
    part: list[Flight] = []
    count = 0
    for flight in made:
        cards = len(flight.entries) * max(1, len(judges.get(flight.number, ())))
        if part and count + cards > MOST_CARDS:
            yield part
            part, count = [], 0
        part.append(flight)
        count += cards
    yield part


FLIGHT_COLUMNS = ("flight", "place", "number", "group", "style", "declaration", "allergens")


def _flight_rows(made: Sequence[Flight]) -> Iterator[tuple[object, ...]]:
    for flight in made:
        for place, e in enumerate(flight.entries, 1):
            yield flight.number, place, e.number, e.group, e.named, e.words, e.allergens


def _panel_rows(made: Made) -> Iterator[tuple[object, ...]]:
    for flight, panel in zip(made.flights, made.panels, strict=True):
        yield flight.number, panel.round or "", BETWEEN.join(panel.judges), flight.title


def score_sheets(made: Made, scale: Scale) -> dict[str, bytes]:
    """Empty sheets for the scores, as separated values and as a workbook that takes no points beyond the scale.

    A row for each entry and judge in the order of tasting, columns in the order of the card.
    """
    points = scale.parts or {"total": scale.top}
    parts = [f"{part}{kind}" for part in CARD_ORDER for kind in ("", "_words") if kind or part in points]
    columns = ("number", "judge", *([] if scale.parts else ["total"]), *parts, "improve", "faults", "agreed", "place")
    seats: Mapping[int, Sequence[str]] = {panel.flight: panel.judges for panel in made.panels}
    rows = [
        (entry.number, judge, *[""] * (len(columns) - 2))
        for flight in made.flights
        for entry in flight.entries
        for judge in seats.get(flight.number) or ("",)
    ]
    bounds = {part: (0.0, most) for part, most in points.items()} | {"agreed": (0.0, scale.top), "place": (1.0, 999.0)}
    widths = {c: WIDE for c in columns if c.endswith("_words") or c in {"improve", "faults"}} | {"judge": 24.0}
    return {SCORES: csv_bytes(columns, rows), SCORES_BOOK: xlsx_bytes("Scores", columns, rows, widths, bounds)}
