"""Invented entries for the tests of the paper; nobody and nothing here exists."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from entryprep.beer.asking import fit
from entryprep.beer.ranking import Suggestion
from entryprep.entering.plan import Box, CheckItem, FitSheet, PackingPlan, PackingRow, ShippingList, Slip, Take
from entryprep.findings import Finding, Severity
from entryprep.tables.style import Style
from entryprep.vitals import Vitals

PERSON = "Łukasz Øren"
BEER = "Café Ж ω Porter"
IDENTITY = (f"{PERSON}, Żaneta Øren", "Kvernbekk Homebrewers", "lukasz@example.org, 555 0100")
LONG_NAME = "Kvernbekk " * 30
MONSTER = "Ø" * 300
MARKUP = "<b>bold</b> [red]red[/red] =SUM(A1) & <para>"
DECLARATION = (
    "Base: robust porter. 1.2 kg of sour cherries in secondary, 30 g of Ceylon cinnamon at the end of the boil, "
    "and two weeks on medium-toast oak that held rye whisky before."
)


def slip(code: str = "K7Q2M", bottle: int = 1, bottles: int = 3, number: str | None = "0417") -> Slip:
    """A slip of an anonymous competition, with every field filled."""
    return Slip(
        code=code,
        number=number,
        competition="Øresund Winter Cup",
        category_code="S3",
        category_name="Fruit and spice beer",
        style="Fruit and spice beer",
        base="Robust porter",
        declaration=DECLARATION,
        allergens=("barley", "wheat", "milk"),
        bottle=bottle,
        bottles=bottles,
        identity=(),
        attach="rubber-band",
    )


def many(entries: int = 5, bottles: int = 3, identity: Sequence[str] = ()) -> list[Slip]:
    """Slips of several entries, every third without a number."""
    made = []
    for entry in range(entries):
        number = None if entry % 3 == 2 else f"{entry + 401:04d}"
        for bottle in range(1, bottles + 1):
            one = slip(f"E{entry:04d}", bottle, bottles, number)
            made.append(replace(one, identity=tuple(identity), declaration=f"{DECLARATION[: 40 + 7 * entry]}"))
    return made


def packing_plan() -> PackingPlan:
    """Three entries, one short of bottles, in a box that is too heavy."""
    long = Take("longneck", 2, 355, 560, 61, 231)
    half = Take("half-litre", 1, 500, 807, 68, 260)
    rows = (
        PackingRow("K7Q2M", "0417", "porter", BEER, "cup", "S3", 3, 14, 11, (long, half)),
        PackingRow("R4T9X", None, "monster", MONSTER, "cup", "L1", 3, 2, 0, (replace(long, count=1),)),
        PackingRow("B2B2B", "0419", "markup", MARKUP, "cup", "P10", 3, 20, 17, (replace(half, count=3),)),
    )
    slots = ("0417", "0417", "0417", "0419", "0419", "0419", "L1:R4T9", "12345678901234", "", "", "", "")
    boxes = (
        Box("cup", 1, 2, 4, 3, slots, 9.4, 9.0),
        Box("cup", 2, 2, 6, 4, ("0420",) * 20 + ("",) * 4, 12.1, 22.6),
    )
    materials = ("9 rubber bands", "2 boxes, 4 × 3 and 6 × 4", "absorbent paper or pads for one bottle in each box")
    return PackingPlan("cup", "Øresund Winter Cup", rows, boxes, materials)


def shipping() -> ShippingList:
    """A checklist with every kind of line."""

    def item(name: str, kind: str, text: str) -> CheckItem:
        return CheckItem(name, kind, text, f"source of {name}, common practice", "2026-11-20")

    return ShippingList(
        "cup",
        "Øresund Winter Cup",
        "parcel",
        "by parcel",
        ("Winter Cup, c/o Brygghuset Ł", "1 Invented Street", "00-000 Nowhere"),
        (("Registration closes", "2027-02-01"), ("Hand over by", "2027-02-12"), ("Judging", "2027-03-06")),
        (
            (
                "Before anything is packed",
                (
                    item("mail", "stop", "Do not send beer by the mail of the United States: it may not carry it."),
                    item("carrier", "caution", "Ask the carrier whether it takes beer from a private person. " * 3),
                ),
            ),
            ("Packing", tuple(item(f"do-{n}", "do", f"Line {n}: wrap each bottle by itself.") for n in range(9))),
            ("Odd", (item("markup", "do", MARKUP), item("monster", "caution", MONSTER))),
        ),
        "This is not legal advice; local law and licensed practice decide.",
    )


def porter() -> Style:
    """A style made for the tests."""
    return Style(
        id="test-porter",
        name="Test porter",
        note="made for the tests",
        og=(1.048, 1.060),
        fg=(1.010, 1.016),
        abv=(4.8, 6.3),
        ibu=(25, 45),
        srm=(22, 35),
        co2=(2.0, 2.6),
    )


def finding(severity: Severity = Severity.WARNING, words: int = 1) -> Finding:
    """A finding with reason and remedy; ``words`` makes it long."""
    return Finding(
        rule="range",
        severity=severity,
        what="colour 38 SRM is 3 over; hardly more than the error of a colour prediction",
        why="judges see the colour first " * words,
        fix="enter it as a stout, or blend with a paler beer",
        file="batches/porter.yaml",
        about="K7Q2M",
    )


def fit_sheet(findings: tuple[Finding, ...] = (), name: str = BEER) -> FitSheet:
    """One beer, near the edge in several ways."""
    style = porter()
    vitals = Vitals(og=1.0595, fg=1.012, ibu=47, srm=60, co2=2.4)
    result = fit(vitals, style)
    reasons = ("srm 60.0: 25.0 over; more than the error of a colour prediction",)
    tops = (Suggestion(style, 0.61, result, reasons), Suggestion(style, 0.22, result, ("every known vital is inside",)))
    return FitSheet(
        batch_id="porter",
        batch_name=name,
        declared=style.name,
        base="Robust porter",
        vitals=vitals,
        fit=result,
        suggestions=tops,
        none_share=0.05,
        entries=("Øresund Winter Cup: S3 Fruit and spice beer",),
        declaration=DECLARATION,
        findings=findings,
        enter_as=style.name,
        reason="Colour 25.0 SRM over.",
        shown=result,
    )
