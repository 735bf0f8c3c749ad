"""The head of a fit sheet, to be read in five seconds: what to enter it as, the fit, the colour; and the stop bar."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable

from entryprep.entering.plan import FitSheet
from entryprep.paper.canvas import draw_line
from entryprep.paper.fonts import BOLD, REGULAR, width_pt
from entryprep.paper.forest import compared
from entryprep.paper.glass import glass_rgb, glass_words
from entryprep.paper.placing import MM
from entryprep.paper.text import Fitted, fitted
from entryprep.paper.webtext import safe

SIDE, GLASS = 66 * MM, 25 * MM  # the fit and the glass beside the words; of that the glass
LINE = 1.18  # leading, in sizes
PAD = 3 * MM


class FitHead(Flowable):  # type: ignore[misc]
    """The top band of a fit sheet, ``width`` points wide."""

    def __init__(self, sheet: FitSheet, width: float) -> None:
        super().__init__()
        room = width - SIDE - 4 * MM
        self.sheet, self.width = sheet, width
        self.parts: tuple[tuple[Fitted, str], ...] = (
            (fitted(sheet.batch_name, BOLD, room, 20, 13, 2), BOLD),
            (fitted(sheet.verdict, BOLD, room, 28, 13, 2), BOLD),
            (fitted(sheet.why, REGULAR, room, 11, 9, 5), REGULAR),
        )
        tall = sum(len(text.lines) * text.size * LINE for text, _ in self.parts) + 2 * PAD + 2 * MM
        self.height = max(tall, 40 * MM)

    def as_html(self, deeper: int) -> str:
        """The same in words."""
        sheet, fit = self.sheet, self.sheet.shown
        said = "Fit unknown."
        if fit is not None and fit.score is not None:
            said = f"Fit {fit.score:.0f} of 100, {compared(fit)}."
        colour = f" Colour: {glass_words(sheet.srm)}." if sheet.srm is not None else ""
        return (
            f'<h{1 + deeper} dir="auto">{safe(sheet.batch_name)}</h{1 + deeper}>\n'
            f'<p class="verdict"><b>{safe(sheet.verdict)}</b></p>\n'
            f"<p>{safe(sheet.why)}</p>\n<p>{safe(said + colour)}</p>"
        )

    def draw(self) -> None:
        """Draw it."""
        canvas, y = self.canv, self.height - PAD
        canvas.setLineWidth(2)
        for edge in (0, self.height):
            canvas.line(0, edge, self.width, edge)
        for text, font in self.parts:
            for line in text.lines:
                y -= text.size * LINE
                draw_line(canvas, 0, y + text.size * 0.22, line, font, text.size)
            y -= 1 * MM
        self._numeral()
        self._glass()

    def _numeral(self) -> None:
        canvas, fit = self.canv, self.sheet.shown
        score = None if fit is None else fit.score
        left, middle = self.width - SIDE, self.height / 2
        size, shown = (58, f"{score:.0f}") if score is not None else (44, "?")
        centre = left + (SIDE - GLASS) / 2
        canvas.setFont(BOLD, size)
        canvas.drawCentredString(centre, middle - size * 0.2, shown)
        canvas.setFont(REGULAR, 9)
        below = ["fit, of 100", compared(fit)] if fit and score is not None else ["fit unknown"]
        for number, line in enumerate(below):
            canvas.drawCentredString(centre, middle - size * 0.2 - 13 - 11 * number, line)

    def _glass(self) -> None:
        """The beer's colour across a tasting glass, with its number and its word for a page printed in black."""
        canvas, srm = self.canv, self.sheet.srm
        if srm is None:
            return
        left, bottom = self.width - GLASS, PAD + 4.5 * MM
        canvas.setFillColorRGB(*(part / 255 for part in glass_rgb(srm)))
        canvas.setLineWidth(0.6)
        canvas.rect(left, bottom, GLASS, self.height - PAD - bottom, stroke=1, fill=1)
        canvas.setFillGray(0)
        said = fitted(glass_words(srm), REGULAR, GLASS + 8 * MM, 8, 8, 1)
        for line in said.lines:
            draw_line(canvas, self.width - width_pt(line, REGULAR, 8), PAD, line, REGULAR, 8)


class StopBar(Flowable):  # type: ignore[misc]
    """White on black: what keeps the bottles at home."""

    def __init__(self, stops: Sequence[str], width: float) -> None:
        super().__init__()
        self.width, self.stops = width, stops
        self.texts = [fitted(stop, BOLD, width - 32 * MM, 10.5, 8.5, 40) for stop in stops]
        self.height = 4 * MM + sum(len(t.lines) * t.size * 1.25 for t in self.texts)

    def as_html(self, _deeper: int) -> str:
        """The same in words."""
        return "\n".join(f'<p class="stop" dir="auto"><b>STOP</b> {safe(stop)}</p>' for stop in self.stops)

    def draw(self) -> None:
        """Draw it."""
        canvas, y = self.canv, self.height - 2 * MM
        canvas.rect(0, 0, self.width, self.height, stroke=0, fill=1)
        canvas.setFillGray(1)
        draw_line(canvas, 4 * MM, self.height / 2 - 6, "STOP", BOLD, 18)
        for text in self.texts:
            for line in text.lines:
                y -= text.size * 1.25
                draw_line(canvas, 28 * MM, y + 2.5, line, BOLD, text.size)
        canvas.setFillGray(0)
