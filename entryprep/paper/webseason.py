"""The whole season on the page: all beers against all categories as tables, and the one picture of all beers."""

from __future__ import annotations

from entryprep.entering.planning.chart import LEGEND, Block, Cell, Chart, Row
from entryprep.paper.beerspicture import beers_picture
from entryprep.paper.webtext import safe


def season_chart(made: Chart) -> str:
    """A table for each competition and what its marks mean; on a phone a beer is a list of the places it might go."""
    left_out = "".join(f"<p>{safe(batch)} is left out: {safe(why)}</p>" for batch, why in made.contradictions)
    tables = "".join(_table(block) for block in made.blocks if block.rows)
    return f'{tables}<p class="quiet">{safe(LEGEND)}</p>{left_out}'


def season_picture(made: Chart) -> str:
    """The picture, as wide as it is, to be moved to the side where the screen is narrower."""
    # inside a page an SVG needs no name space, and the page names no address at all
    drawn = beers_picture(made.beers).replace('<svg xmlns="http://www.w3.org/2000/svg"', '<svg class="picture"', 1)
    return f'<div class="moves" tabindex="0" role="region" aria-label="The beers of the season">{drawn.strip()}</div>'


def _table(block: Block) -> str:
    head = "".join(f'<th scope="col">{safe(code)}</th>' for code, _ in block.categories)
    body = "".join(_row(block, row) for row in block.rows)
    named = "; ".join(f"{code} {name}" for code, name in block.categories if code != name)
    missing = "".join(f"<li>! {safe(words)}</li>" for words in block.missing)
    return (
        f'<div class="moves" tabindex="0" role="region" aria-label="{safe(block.competition)}"><table class="chart">'
        f'<caption dir="auto">{safe(block.competition)}</caption>'
        f'<thead><tr><th scope="col">Beer</th>{head}</tr></thead><tbody>{body}</tbody></table></div>'
        f'<p class="quiet">{safe(named)}</p>{f"<ul>{missing}</ul>" if missing else ""}'
    )


def _row(block: Block, row: Row) -> str:
    pairs = zip(block.categories, row.cells, strict=True)
    return f'<tr><td dir="auto">{safe(row.beer)}</td>{"".join(_cell(code, cell) for (code, _), cell in pairs)}</tr>'


def _cell(code: str, cell: Cell) -> str:
    kind = "figure" if cell.shown else "figure none"
    said = f"<b>{safe(cell.text)}</b>" if cell.best else safe(cell.text)
    return f'<td data-name="{safe(code)}" class="{kind}">{said}</td>'
