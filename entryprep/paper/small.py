"""Small pictures for a line of a table: a beer's colour, its place in each range, its gas beside its bottle."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable

from entryprep.entering.plan import Pressure
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.forest import END, START, Row, beyond, clipped
from entryprep.paper.forestplot import BAND, GRID, draw_mark
from entryprep.paper.glass import glass_rgb, glass_words
from entryprep.paper.placing import MM
from entryprep.paper.webchart import gas_words
from entryprep.paper.webtext import safe
from entryprep.vitals import VITALS

CELL, HIGH = 9 * MM, 6 * MM
MOST_SHOWN = 5.0  # volumes at the right end of a gauge: above any bottle but the heaviest


class ColourDot(Flowable):  # type: ignore[misc]
    """A beer's colour; an empty ring where it is not known."""

    def __init__(self, srm: float | None) -> None:
        super().__init__()
        self.srm, self.width, self.height = srm, 6 * MM, HIGH

    def as_html(self, _deeper: int) -> str:
        """It in words."""
        return safe("not known" if self.srm is None else glass_words(self.srm))

    def draw(self) -> None:
        """Draw it."""
        if self.srm is not None:
            self.canv.setFillColorRGB(*(part / 255 for part in glass_rgb(self.srm)))
        self.canv.setLineWidth(0.5)
        self.canv.circle(2.6 * MM, HIGH / 2, 2.5 * MM, stroke=1, fill=int(self.srm is not None))
        self.canv.setFillGray(0)


class Places(Flowable):  # type: ignore[misc]
    """The place of each vital in its range, side by side; without rows, the names of the vitals."""

    def __init__(self, rows: Sequence[Row] | None) -> None:
        super().__init__()
        self.rows, self.width, self.height = rows, CELL * len(VITALS), HIGH if rows is not None else 10

    def as_html(self, _deeper: int) -> str:
        """What lies outside its range; that all lie inside where they do."""
        known = [row for row in self.rows or () if row.known]
        outside = [f"{row.title} {row.miss}" for row in known if row.miss]
        return safe("; ".join(outside) or ("all known vitals in style" if known else "not known"))

    def draw(self) -> None:
        """Draw it."""
        canvas = self.canv
        for number, vital in enumerate(VITALS):
            left = number * CELL
            if self.rows is None:
                canvas.setFont(BOLD, 8.5)
                canvas.drawCentredString(left + CELL / 2, 1, vital.upper())
                continue
            row = next((row for row in self.rows if row.vital == vital), None)
            if row is not None:
                self._cell(row, left)

    def _cell(self, row: Row, left: float) -> None:
        canvas, y, inset = self.canv, HIGH / 2, 1 * MM

        def x(at: float) -> float:
            return left + inset + (clipped(at) - START) / (END - START) * (CELL - 2 * inset)

        canvas.setFillGray(BAND)
        canvas.rect(x(0), 0, x(1) - x(0), HIGH, stroke=0, fill=1)
        canvas.setFillGray(0)
        canvas.setStrokeGray(GRID)
        canvas.setLineWidth(0.3)
        canvas.line(x(START), y, x(END), y)
        canvas.setStrokeGray(0)
        if row.at is not None:
            draw_mark(canvas, x(row.at), y, beyond(row.at), size=0.95 * MM)


class Gauge(Flowable):  # type: ignore[misc]
    """Volumes of CO2, 0 to 5, as a dot; the line is grey above what the bottle is used to, dark above the most."""

    def __init__(self, pressure: Pressure | None, width: float = 29 * MM) -> None:
        super().__init__()
        self.pressure, self.width, self.height = pressure, width, HIGH

    def as_html(self, _deeper: int) -> str:
        """It in words."""
        return safe("not known" if self.pressure is None else gas_words(self.pressure))

    def draw(self) -> None:
        """Draw it."""
        canvas, gas = self.canv, self.pressure
        canvas.setFont(REGULAR, 8)
        if gas is None:
            canvas.drawString(0, HIGH / 2 - 3, "not known")
            return
        y, room = HIGH - 1.6 * MM, self.width - 3 * MM

        def x(volumes: float) -> float:
            return 1.5 * MM + min(volumes, MOST_SHOWN) / MOST_SHOWN * room

        canvas.setLineWidth(0.4)
        for start, end, grey in ((0.0, gas.usual, 1.0), (gas.usual, gas.most, 0.75), (gas.most, MOST_SHOWN, 0.35)):
            canvas.setFillGray(grey)
            canvas.rect(x(start), y - 0.9 * MM, max(x(end) - x(start), 0), 1.8 * MM, stroke=1, fill=1)
        canvas.setFillGray(0)
        canvas.setStrokeGray(1)
        draw_mark(canvas, x(gas.volumes), y, 1 if gas.volumes > MOST_SHOWN else 0, size=1.25 * MM)
        canvas.setStrokeGray(0)
        canvas.drawString(0, 0.2 * MM, f"{gas.volumes:.1f} of {gas.usual:.1f} vol")
