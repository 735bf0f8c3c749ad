"""The page for a screen: nothing from elsewhere, text as text, contrast, and nothing wider than a phone."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from entryprep.beer.asking import fit
from entryprep.entering.overview import BeerLine, Overview, Task
from entryprep.entering.plan import FitSheet, Milestone, Pressure
from entryprep.entering.planning.chart import LEGEND, Block, Cell, Chart, Pictured, Row
from entryprep.findings import Finding, Severity
from entryprep.paper.webpage import Paper, index_html
from entryprep.paper.webstyle import DARK, DARK_MEDIA, LIGHT, STYLE
from entryprep.vitals import Reading, Vitals
from tests.paper.samples import BEER, DECLARATION, LONG_NAME, MARKUP, MONSTER, finding, fit_sheet, porter

DAY = dt.date(2027, 2, 20)
EVIL = '</style><script>alert(1)</script>" onload="x" & <b>\''
PAPERS = (
    Paper("fit-sheets.pdf", "Fit sheet of each beer"),
    Paper("slips-cup.pdf", "Bottle slips", "Øresund Winter Cup"),
    Paper("a b&c.pdf", "Packing list", "Øresund Winter Cup"),
)
DAYS = (
    Milestone("Registration closes", dt.date(2027, 2, 10), "Øresund Winter Cup"),
    Milestone("Send no later than", dt.date(2027, 3, 1), "Øresund Winter Cup", "5 days on the way"),
    Milestone("Judging", dt.date(2027, 3, 20), "Øresund Winter Cup"),
)
GAS = Pressure("0417", BEER, 2.4, 1.8, 3.6, "longneck", 3.0, 3.5)
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


def row(**changes: object) -> dict[str, object]:
    made: dict[str, object] = {"competition": "Øresund Winter Cup", "number": "0417", "code": "0417", "category": "S3"}
    made |= {"category_name": "Fruit beer", "beer": BEER, "style": "Test porter", "fit": 71, "bottles": 3}
    return made | changes


def page(
    sheets: list[FitSheet] | None = None,
    rows: list[dict[str, object]] | None = None,
    findings: tuple[Finding, ...] = (),
    made: Chart | None = None,
) -> str:
    own = [fit_sheet((finding(),))] if sheets is None else sheets
    found = (*(f for sheet in own for f in sheet.findings), *findings)
    lines = tuple(BeerLine(sheet, GAS, ("Øresund S3",), DAYS[1]) for sheet in own)
    tasks = tuple(Task(s.batch_name, f, f.what in s.stops) for s in own for f in s.findings)
    seen = Overview("Øresund", DAY, lines, DAYS, tasks)
    return index_html(seen, [row()] if rows is None else rows, found, PAPERS, made).decode()


class Reader(HTMLParser):
    """The tags with their attributes, the text, and tags left open or closed wrongly."""

    VOID = frozenset({"meta", "br", "line", "rect", "path", "circle", "link", "img"})

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.said: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.said.append(data)


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


def plain(text: str) -> str:
    return " ".join(" ".join(read(text).said).split())


def test_it_says_everything() -> None:
    said = plain(page(findings=(replace(finding(Severity.ERROR), file="brewer.yaml", what="no name"),)))
    for text in (
        "Prepared as of 2027-02-20. Found: 1 error, 1 warning, no notes.",
        BEER,
        "As declared, on a base of Robust porter.",
        "of 100",
        "Original gravity",
        "60.0 SRM",
        "25–45 IBU",
        "25.0 over",
        "2.4 volumes; longneck usually holds 3.0, at most 3.5.",
        "Mon 2027-03-01 , in 9 days: send, last day (5 days on the way), Øresund Winter Cup",
        DECLARATION,
        "WARNING colour 38 SRM",
        "Fix: enter it as a stout",
        "ERROR no name",
        "Found elsewhere in the records",
        "0417 S3 Fruit beer",
        "This is not legal advice",
    ):
        assert text in said
    assert page() == page()


def test_it_holds_all_it_needs() -> None:
    reader = read(page())
    assert not {"script", "link", "img", "iframe", "object", "embed", "base", "form"} & {tag for tag, _ in reader.tags}
    for tag, attributes in reader.tags:
        assert not [name for name in attributes if name.startswith("on") or name in {"src", "srcset", "style"}], tag
    assert "url(" not in page()
    assert "@import" not in page()
    assert not re.search("https?:", page())
    policy = next(a for tag, a in reader.tags if tag == "meta" and a.get("http-equiv"))
    assert policy["content"] == "default-src 'none'; style-src 'unsafe-inline'"
    assert next(a for tag, a in reader.tags if tag == "html")["lang"] == "en"


def test_links_lead_to_the_papers_and_to_the_beers() -> None:
    reader = read(page())
    links = [a["href"] for tag, a in reader.tags if tag == "a"]
    assert set(links) == {"slips-cup.pdf", "fit-sheets.pdf", "a%20b%26c.pdf"}
    assert "Bottle slips · Packing list" in plain(page())
    stopped = replace(fit_sheet((finding(),)), stops=(finding().what,))
    reader = read(page([stopped]))
    links = [a["href"] for tag, a in reader.tags if tag == "a"]
    assert links[0] == "#beer-1", "dangers first"
    ids = {a["id"] for tag, a in reader.tags if "id" in a}
    assert {str(link)[1:] for link in links if str(link).startswith("#")} <= ids


@pytest.mark.parametrize("text", [EVIL, MARKUP, LONG_NAME.strip(), MONSTER, "Łukasz Ж ω 🍺"])
def test_text_is_only_text(text: str) -> None:
    found = replace(finding(), what=text, why=text, fix=text, file=text)
    sheet = replace(fit_sheet((found,), text), declared=text, base=text, declaration=text, entries=(text,))
    made = page([sheet], [row(beer=text, competition=text, number=text)])
    assert [tag for tag, _ in read(made).tags] == [tag for tag, _ in read(page([replace(fit_sheet((found,)))])).tags]
    assert plain(made).count(" ".join(text.split())) >= 10


def test_characters_that_steer_are_replaced() -> None:
    assert "�" in page([fit_sheet(name="a\u202eb")])
    assert "\u202e" not in page([fit_sheet(name="a\u202eb")])


def test_a_chart_for_every_vital_with_words_for_those_who_do_not_see_it() -> None:
    sheet = fit_sheet()
    assert sheet.fit is not None
    charts = [a for tag, a in read(page([sheet])).tags if tag == "svg" and a.get("role") == "img"]
    said = [str(a["aria-label"]) for a in charts]
    assert "Original gravity: 1.0595; range 1.048–1.060" in said
    assert "Colour: 60.0 SRM; range 22–35 SRM; 25.0 over" in said
    assert sum("; range " in label and label.count("; range ") == 1 for label in said) == len(sheet.fit.parts) == 6
    assert all(said), "every picture has its words"


def test_marks_stand_where_the_values_are() -> None:
    def spots(vitals: Vitals) -> list[str | None]:
        own = fit(vitals, porter())
        tags = read(page([replace(fit_sheet(), fit=own, shown=own)])).tags
        begins = next(i for i, (_, a) in enumerate(tags) if a.get("class") == "forest")
        ends = next(i for i, (_, a) in enumerate(tags) if a.get("class") == "gauge")
        return [a["x"] for _, a in tags[begins:ends] if a.get("class") == "spot"]

    # the middle of each range is the middle of the one axis; its ends lie at a third and two thirds
    assert spots(Vitals(og=1.054, fg=1.013, ibu=35, srm=28.5, co2=2.3)).count("50.00%") >= 5
    assert spots(Vitals(ibu=25, srm=35)) == ["33.33%", "66.67%"]
    assert set(spots(Vitals(og=1.150, fg=0.990, ibu=1, srm=90))) == {"0.00%", "100.00%"}


def test_a_beer_that_fits_nothing_and_no_beers_at_all() -> None:
    bare = replace(fit_sheet(), fit=None, suggestions=(), entries=(), declaration="", base="", declared="")
    bare = replace(bare, shown=None, enter_as="", reason="")
    assert "Fit unknown:" in plain(page([bare]))
    assert "Declared as nothing yet." in plain(page([bare]))
    read(page([], []))


def all_beers(beers: int, categories: int, name: str = "Beer") -> Chart:
    """A chart in which each beer is at home in one category and has nothing to do with most."""

    def cell(beer: int, category: int) -> Cell:
        home = beer % categories == category
        lacks = ("the base",) if home and beer % 2 else ()
        return Cell(f"C{category}", 1.0 if home else 0.0, 92.0 if home else 8.0, "", "", lacks, home, True, beer == 0)

    names = [f"{name} {beer}" for beer in range(beers)]
    rows = tuple(Row(f"b{i}", names[i], tuple(cell(i, c) for c in range(categories))) for i in range(beers))
    block = Block("cup", f"Cup of {name}", tuple((f"C{c}", f"Category {name} {c}") for c in range(categories)), rows)
    vitals = {"og": Reading(1.050, 0.001), "abv": Reading(5.0, 0.1), "srm": Reading(8.0)}
    pictured = tuple(Pictured(f"b{i}", names[i], vitals) for i in range(beers))
    return Chart((block,), pictured, (("b9", f"{name} cannot be"),))


def test_the_chart_and_the_picture_lie_folded() -> None:
    made = page(made=all_beers(12, 30))
    tags = read(made).tags
    folded = [i for i, (tag, a) in enumerate(tags) if tag == "details" and a.get("id") in {"chart", "picture"}]
    assert len(folded) == 2
    assert not [a for tag, a in tags if tag == "details" and "open" in a], "all is folded until somebody unfolds it"
    cells = [a for tag, a in tags[folded[0] : folded[1]] if tag == "td" and "data-name" in a]
    assert len(cells) == 12 * 30
    assert sum(a["class"] == "figure" for a in cells) == 12 + 29, "each beer at home, and the one that is entered"
    said = plain(made)
    for text in (">A100*", ">A100!", "! Beer 1 in C1: the base", "b9 is left out: Beer cannot be", LEGEND):
        assert text in said
    assert sum(tag == "circle" for tag, _ in tags[folded[1] :]) >= 3 * 12, "a mark for each vital that is known"
    assert not re.search("https?:", made)
    assert 'id="chart"' not in page()


@pytest.mark.parametrize("text", [EVIL, MARKUP, MONSTER])
def test_text_of_the_chart_is_only_text(text: str) -> None:
    tame, wild = read(page(made=all_beers(3, 4))), read(page(made=all_beers(3, 4, text)))
    assert [tag for tag, _ in wild.tags] == [tag for tag, _ in tame.tags]


def luminance(colour: str) -> float:
    """Relative luminance: WCAG 2.2, from its glossary."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio: WCAG 2.2, from its glossary."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_measure_of_contrast_itself() -> None:
    """Black on white is 21 : 1 (WCAG 2.2); #767676 is known as the lightest grey with 4.5 : 1 on white: from memory."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_contrast_is_enough(colours: dict[str, str]) -> None:
    """WCAG 2.2 AA: 4.5 : 1 for text (1.4.3), 3 : 1 for what must be seen to understand a chart (1.4.11)."""
    for text in ("ink", "quiet", "link", "error", "warning", "note"):
        assert contrast(colours[text], colours["paper"]) >= 4.5, text
    assert contrast(colours["line"], colours["paper"]) >= 3
    for ground in ("paper", "band"):
        assert contrast(colours["ink"], colours[ground]) >= 4.5, "a mark on the band"


def test_every_colour_is_one_of_those_that_were_measured() -> None:
    assert set(LIGHT) == set(DARK)
    assert set(re.findall(r"var\(--(\w+)\)", STYLE)) == set(LIGHT)
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b", STYLE)
    assert DARK_MEDIA in page()
    assert "@media print" in page()


MEASURE = """<script>
window.onload = () => {
const out = [];
for (const frame of document.querySelectorAll("iframe")) {
  const inner = frame.contentDocument, wide = frame.clientWidth;
  const over = [...inner.body.querySelectorAll("*")].filter(e => {
    const box = e.getBoundingClientRect();
    const moves = e.closest("thead") || e.parentElement.closest(".moves");
    return box.width > 0 && !moves && (box.right > wide + 0.5 || box.left < -0.5);
  });
  const names = over.map(e => e.tagName + ":" + e.textContent.slice(0, 30));
  const tall = inner.body.getBoundingClientRect().height;
  out.push({wide, tall, scroll: inner.documentElement.scrollWidth, over: names});
}
document.title = JSON.stringify(out);
};
</script>"""


def in_a_browser(text: str, folder: Path, widths: tuple[int, ...]) -> list[dict[str, Any]]:
    """What a browser says of a page in frames of these widths, 900 pixels high."""
    source = html.escape(text.replace("<meta http-equiv", "<meta data-off"))
    frames = "".join(f'<iframe width="{w}" height="900" style="border:0" srcdoc="{source}"></iframe>' for w in widths)
    path = folder / "frames.html"
    path.write_text(f'<!DOCTYPE html><meta charset="utf-8"><body>{frames}{MEASURE}', "utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run"]
    command = [str(BROWSER), *flags, f"--user-data-dir={folder / 'profile'}", "--virtual-time-budget=4000"]
    command += ["--dump-dom", path.as_uri()]
    dom = subprocess.run(command, capture_output=True, text=True, check=True, timeout=120).stdout
    title = re.search("<title>(.*?)</title>", dom, re.DOTALL)
    assert title is not None, dom[:300]
    return list(json.loads(html.unescape(title[1])))


in_browsers = pytest.mark.skipif(BROWSER is None, reason="no Chromium here: nothing was measured in a browser")


@in_browsers
@pytest.mark.parametrize("unfolded", [False, True])
def test_nothing_is_wider_than_a_phone_or_a_screen(unfolded: bool, tmp_path: Path) -> None:
    found = (finding(), replace(finding(Severity.ERROR), what=MONSTER, fix="x" * 200, file="y" * 200))
    sheets = [fit_sheet(found), replace(fit_sheet(found, MONSTER), stops=(MONSTER,)), fit_sheet((), LONG_NAME)]
    text = page(sheets, [row(), row(beer=MONSTER, number="1" * 16, category_name=LONG_NAME)], made=all_beers(4, 30))
    measured = in_a_browser(text.replace("<details", "<details open") if unfolded else text, tmp_path, (360, 1280))
    assert [frame["wide"] for frame in measured] == [360, 1280]
    for frame in measured:
        assert frame["over"] == []
        assert frame["scroll"] <= frame["wide"]


@in_browsers
def test_ten_beers_take_three_screens_of_a_phone(tmp_path: Path) -> None:
    """360 × 780 pixels: a usual phone, from memory. What is not folded away fits three of them."""
    sheets = [fit_sheet((finding(Severity.ERROR),), f"Beer number {n} of the ten") for n in range(10)]
    stopped = replace(sheets[4], stops=(sheets[4].findings[0].what * 2,))
    text = page([*sheets[:4], stopped, *sheets[5:]], [row() for _ in range(20)], made=all_beers(10, 30))
    (frame,) = in_a_browser(text, tmp_path, (360,))
    assert 780 < frame["tall"] <= 3 * 780
