"""Every rule a steward meets, in every case and severity, and all of its words filled. All people are invented."""

from __future__ import annotations

import ast
import datetime as dt
import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

import entryprep
from entryprep.cli.app import app
from entryprep.cli.results import _entries
from entryprep.cli.spreadsheets import MOST_BYTES, columns_of, opened
from entryprep.findings import Finding, Severity
from entryprep.formats.columns import matched
from entryprep.formats.spreadsheet import Sheet
from entryprep.reading.yamltext import RecordError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.numbers import check_character
from entryprep.receiving.outputs import people_of
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.editing import read_back
from entryprep.receiving.register.journal import Journal
from entryprep.receiving.register.state import State
from entryprep.tables.rules import NOT_LEGAL_ADVICE, RuleRow, Variant, rule_rows
from entryprep.tables.styles import load_styles
from tests.formats import test_workbook as books
from tests.receiving.sheets import sheet

PACKAGE = Path(entryprep.__file__).parent
PAPERS = {"letters-missing", "slip-text-cut", "slip-without-stub", "slip-sticks"}  # tests/paper, tests/cli
HEADER = "entry,brewer,beer,style,base,specials,og,fg,abv,ibu,srm,carbonation,bottles,condition,brewed,packaged\n"
ROWS = """1,Ottilie Brandvik,,,,,,,,,,,,,,
1,,,Gose,,,,,,,,,0,exploded,,
3,,,dark lager,,,1.047,1.009,,11,16,,1,leaking,,
4,,,Grandma's best,Grandpa's,,,,,,,,some,,2027-03-01,2027-02-01
5,,,Schwarzbeer,Schwarzbeer,,1.010,1.050,,,,,2,,soon,
6,,,American Pale Ale,,,1.050,1.010,6.8,lots,,,2,,,
7,,,German Pils,,,1.090,1.0125,,30,45,,2,,,2020-01-01
8,,,Fruit Beer,Witbier,apricot,1.048,1.012,,15,,1.1,2,,,
9,,,Fruit Beer,Fruit Beer,raspberries 1 g/L,1.090,1.012,,15,3,,2,,,
10,,,Fruit Beer,stout,raspberries and basil,1.040,1.008,,10,3,,2,,,
11,,,Spice Beer,porter,habanero 3 g per litre,,,,,,4.6,2,,,
12,Ottilie Brandvik,Tollbooth Nine,Fruit Beer,,by Ottilie Brandvik: Tollbooth Nine,,,,,,,2,,,
,,,Gose,,,,,,,,,2,,,
14,,,Fruit Beer,Witbier,apricot,1.090,1.012,,15,,,2,,,
15,,,German Pils,,,1.0515,1.010,,30,4,,2,,,
16,,,German Pils,,,1.085,1.022,,60,45,9 vol,2,,,
901,,,Cider,,,,,,,,,2,,,
"""
HARMFUL = """entry,style,base,specials,og,fg,allergens
17,Spice Beer,porter,"henbane; nutmeg 5 g/l; wormwood; chipotle; milk; 30 kg plums; vanilla 3 kg/l",1.120,1.022,barley
18,Eisbock,,,1.110,1.020,
19,Spice Beer,porter,ginger; frozen and concentrated,,,"none, gluten-free"
"""


def checked_in() -> list[Finding]:
    found: list[Finding] = []
    for rows in (sheet(HEADER + ROWS), sheet(HARMFUL)):
        check = CheckIn(Reader(rows, matched(rows, "declarations")), load_styles(), 2, dt.date(2027, 3, 13))
        found += [each for declared in declarations(check) for each in declared.findings]
    return found


def sheets() -> list[Finding]:
    found: list[Finding] = []
    titled = b'Our cup\nentry,style,,style,caf\xe9\n1,"Gose" x,,\n1,Gose,,,,more\nentry,style,,style,caf\xe9\n'
    rows = sheet(titled + b"2,Gose\n")
    found += [each for row in rows.rows() for each in row.findings]
    matched(rows, "declarations", {"entry": ""})
    found += rows.findings
    double = sheet("entry,style,beer style,style\n1,Gose,,\n")
    matched(double, "declarations")
    found += double.findings
    kept = "Who brewed this beer?,By whom? Who brewed it,Style?,What style is it?,Beer,Entry\n"
    kept += "Jorun Vik,Jorun Vik,yes,Gose,Tarn,1\nAsta Lie,Asta Lie,yes,Gose,Ebb,2\nEli Moe,Eli Moe,yes,Gose,Fen,3\n"
    hand = sheet(kept + "Total: 3,,,,,\n* paid later,,,,,\nTable two,,,,,\n,,,,,4\n,,,,,the last ones\n")
    matched(hand, "declarations")
    list(hand.rows())
    shares = sheet("entry,style,abv\n1,Gose,0.047\n2,Gose,0.05\n3,Gose,0.061\n")
    matched(shares, "declarations")
    tabs = [_workbook("entry,style\n1,Gose\n", other) for other in ("to do\n", "entry,style\n2,Gose\n")]
    return found + hand.findings + shares.findings + [f for tab in tabs for f in tab.findings]


def _workbook(*texts: str) -> Sheet:
    """A workbook of several sheets."""
    tables = [
        (f"T{n}", "".join(books.row(*map(books.text, line.split(","))) for line in t.split()))
        for n, t in enumerate(texts)
    ]
    return books.opened(books.ods(*tables))


UNREADABLE: tuple[tuple[bytes, str], ...] = (
    (b"", ""),
    (b"sep=,\n,,\n", ""),
    (b"entry,style\n", ""),
    (b"one row only\n", ""),
    (b"%PDF-1.7", ""),
    (b"entry\0,style\n1,Gose\n", ""),
    (b"entry,style\n1,\x81\n", ""),
    (b"entry,style\n1,Gose\n", "klingon"),
    (b"entry,style\n1,G\xf6se\n", "ascii"),
)


def unreadable() -> list[Finding]:
    found: list[Finding] = []
    for content, encoding in UNREADABLE:
        with pytest.raises(RecordError) as caught:
            sheet(content, encoding=encoding)
        found += caught.value.findings
    return found


def run(folder: Path, *args: str, **files: str) -> list[Finding]:
    """What a command finds, with the sheets it reads."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    given = [str(folder / arg) if arg.endswith(".csv") else arg for arg in args]
    result = CliRunner().invoke(app, [*given, "--json"], env={"COLUMNS": "80", "NO_COLOR": "1"})
    assert result.exit_code in {0, 1}, result.output
    listed = json.loads(result.stdout)["findings"]
    return [Finding(**{**f, "severity": Severity(f["severity"])}) for f in listed]


def number(digits: str) -> str:
    return digits + check_character(digits)


ENTRIES = "number,category,style\n" + "".join(f"{number(d)},Sours,Gose\n" for d in ("301", "303", "304", "305"))
SCORES = "number,judge,aroma,appearance,flavour,mouthfeel,overall,total,agreed,faults\n"
KEY = f"number,entry,brewer,contact,beer\n{number('301')},1,Runa Dal,,\n{number('303')},3,Sif Aas,,\n"


def judged(tmp: Path) -> list[Finding]:
    a, b, c, d = (number(x) for x in ("301", "303", "304", "305"))
    rows = f"{a},Runa Dal,9,3,15,4,8,,,\n{a},Ane Moe,9,3,15,4,8,40,30,strange thing\n"
    rows += f"{a},Sif,1,1,5,1,1,,31,\n{a},Sif,1,1,5,1,1,,,\n"
    rows += f"{b},,99,2.5,15,4,8,,,\n{b},,9,3,15,4,8,,,\n{c},Runa,9,3,15,4,8,,,\n{c},Sif,1,1,1,1,1,,30,\n"
    rows += f"{d},Runa,9,3,15,4,8,,,\n{d},Sif,1,1,1,1,1,,,\n,Runa,9,3,15,4,8,,,\n3010,Runa,9,3,15,4,8,,,\n"
    rows += f"{number('888')},Runa,9,3,15,4,8,,,\n"
    rows = rows.replace("2.5", "2.7")
    votes = f"voter,entry\nAne,{a}\nAne,{b}\n,{a}\nBo,77\nCai,\n"
    key = KEY
    said = run(
        tmp / "r",
        *("results", "scores.csv", "--entries", "e.csv", "--key", "key.csv", "--votes", "votes.csv"),
        scores=SCORES + rows,
        e=ENTRIES,
        key=key,
        votes=votes,
    )
    tie = "".join(f"{n},Runa,9,3,15,4,8,,,\n" for n in (a, b, c))
    said += run(tmp / "t", "results", "s.csv", "--entries", "e.csv", "--advance", "1", s=SCORES + tie + ",x", e=ENTRIES)
    said += prized(tmp)
    whole = "number,judge,total,overall words\n1,Runa,,fine\n,x,1,\n"
    return said + run(tmp / "w", "results", "s.csv", "--scale", "hundred", s=whole)


def prized(tmp: Path) -> list[Finding]:
    """Names that are not the panel's, ties, and rounds that are not decided."""
    a, b, c, d = (number(x) for x in ("301", "303", "304", "305"))
    flights = "flight,place,number,group\n" + f"1,1,{a},Sours\n1,2,{b},Sours\n2,1,{c},Sours\n2,2,{d},Bocks\n"
    panels = "flight,round,judges,groups\n1,1,Runa Dal; Sif Moe,\n2,1,Una Lie; Una Vik,\n"
    head = "number,judge,total,agreed,place\n"
    rows = f"{a},R. Dal,30,,1\n{a},Sif Moe,31,,2\n{b},Una Lie,30,,x\n{b},Bjarne,30,,\n{c},Una,30,,\n"
    rows += f"{c},Una Lie,30,,\n{d},Una Vik,20,,\n{b},Runa Dal,30,,\n{b},Sif Moe,30,,nought\n"
    places = f"round,number,place\nSours,{a},1\nSours,{b},1\nSours,{c},nought\nSours,99,2\n,,\n"
    cup = "name: Cup\ncategories: [{code: '1', name: Sours}]\nprizes: [{name: Cup, of: category, places: 1}, "
    cup += "{name: Show, of: best-of-show, places: 1}, {name: Club, of: club, places: 1}, {name: Vote, of: vote}]\n"
    folder = tmp / "p"
    folder.mkdir()
    for name, text in (("panels.csv", panels), ("cup.yaml", cup)):
        (folder / name).write_text(text, encoding="utf-8")
    told = ("--flights", "flights.csv", "--competition", str(folder / "cup.yaml"), "--places", "places.csv")
    files = {"flights": flights, "places": places, "votes": f"voter,entry\nAne,{a}\nBo,{b}\n"}
    args = ("results", "s.csv", "--scale", "hundred", "--votes", "votes.csv", *told)
    found = run(folder, *args, s=head + rows, **files)
    table = str(folder / "table")
    form = "entry,brewer,style\n1,Asta Lie,Gose\n2,Eli Moe,Gose\n"
    run(folder, "intake", "d.csv", "--out", table, "--seed", "moss and fen", d=form)
    whose, entry = (folder / "table" / "key.csv").read_text(encoding="utf-8-sig").splitlines()[1].split(",")[:2]
    for line in ("30,,,", "31,,,", "31,,,fine"):
        typed = f"number,judge,total,agreed,place,overall words\n{whose},Runa,{line}\n"
        found += run(folder, "results", "k.csv", "--scale", "hundred", "--register", table, k=typed)
    run(folder, "entry", table, entry, "withdrawn")
    found += run(folder, "results", "k.csv", "--scale", "hundred", "--register", table, k=typed)
    for each in ("Una\nSif\n", "Una\n", "Sif\nUna\n"):
        found += run(folder, "flights", "--out", table, "--judges", "w.csv", "--panel", "1", w="judge\n" + each)
    found += run(folder, "flights", "--out", table, "--least", "2")
    tie = head + f"{a},Runa,30,,\n{b},Runa,30,,\n"
    one = ("results", "s.csv", "--scale", "hundred", "--entries", "e.csv")
    found += run(tmp / "q", *one, s=tie, e=ENTRIES)
    found += run(tmp / "z", *one, s=tie, e=f"number,style\n{a},whatever\n{b},Gose\n")
    three = "number,category,style\n" + "".join(f"{n},Sours,Gose\n" for n in (a, b))
    found += run(tmp / "v", *one, s=tie, e=three)
    return found + run(tmp / "u", *one, s=head + f"{a},Runa,30,,\n{b},Runa,31,,\n", e=three)


def seated(tmp: Path) -> list[Finding]:
    entries = ENTRIES + f"{number('306')},Sours,dark lager\n{number('307')},Sours,nobody's\n{number('308')},Sours,\n"
    entries = entries.replace(number("304") + ",", "3049,", 1)
    judges = f"judge,own\nRuna Dal,{number('301')}\nSif,99\nSif,\n"
    found = run(tmp / "f", "flights", "e.csv", "--judges", "j.csv", "--panel", "3", "--least", "10", "--most", "12",
                e=entries, j=judges)  # fmt: skip
    drinks = f"number,style,declaration\n3018,Gose,\n{number('309')},Spice Beer,henbane\n"
    drinks += f"{number('310')},Spice Beer,nutmeg 5 g/l\n"
    found += run(tmp / "h", "flights", "e.csv", e=drinks)
    # of three judges, who has an entry in the second flight of the category may sit in the first
    many = "number,category,style\n" + "".join(f"{number(str(n))},Sours,Gose\n" for n in range(400, 412))
    own = f"judge,own\nRuna,{number('400')}\nSif,{number('401')}\nUna,\n"
    found += run(tmp / "n", "flights", "e.csv", "--judges", "j.csv", "--panel", "3", e=many, j=own)
    return found + wished(tmp)


def wished(tmp: Path) -> list[Finding]:
    """What judges ask for that cannot be had, or read."""
    both = "number,category,style\n3018,Pale,Munich Helles\n4030,Dark,Oatmeal Stout\n"
    both += "".join(f"{number(str(n))},{c}\n" for n in range(500, 505) for c in ("Pale,Munich Helles",))
    both += "".join(f"{number(str(n))},{c}\n" for n in range(600, 605) for c in ("Dark,Oatmeal Stout",))
    asked = "judge,wishes\nUna,knees hurt; no mornings\nSif,at most 2 beers a day; no stouts\n"
    panel = ("--panel", "1", "--beers-a-day")
    found = run(tmp / "a", "flights", "e.csv", "--judges", "j.csv", *panel, "0", e=both, j=asked)
    few = "judge,wishes\nUna,at most 2 beers\n"
    found += run(tmp / "b", "flights", "e.csv", "--judges", "j.csv", *panel, "12", e=both, j=few)
    hours = ("--sessions", "Sat 09:00-10:30")
    found += run(tmp / "c", "flights", "e.csv", "--judges", "j.csv", *panel, "40", *hours, e=both, j="judge\nUna\n")
    return found + run(tmp / "d", "flights", "e.csv", "--judges", "j.csv", *panel, "6", e=both, j="judge\nUna\n")


def refusals(tmp: Path) -> list[Finding]:
    """Sheets that no command can use."""
    plain = tmp / "plain.csv"
    plain.write_text("a,b\n1,2\n", encoding="utf-8")

    def columns() -> None:
        with opened(plain, "declarations") as each:
            columns_of(each, "declarations", (), ("style",))

    def open_(path: Path) -> None:
        with opened(path, "declarations"):
            pass

    def unlisted() -> None:
        with opened(plain, "declarations") as each:
            read_back(Register(tmp, Journal(tmp), State(), ""), each)

    large = tmp / "large.csv"
    with large.open("wb") as stream:
        stream.truncate(MOST_BYTES + 1)  # a hole: it takes no room
    calls: tuple[Callable[[], object], ...] = (
        lambda: open_(large),
        lambda: open_(tmp / "gone.csv"),
        lambda: open_(tmp),
        lambda: open_(tmp / "a\0b"),
        columns,
        lambda: _entries(None, plain, (), {}),
        lambda: people_of(tmp / "gone.csv"),
        unlisted,
    )
    found: list[Finding] = []
    for call in calls:
        with pytest.raises(RecordError) as caught:
            call()
        found += caught.value.findings
    return found


FORM = "entry,brewer,email,timestamp,beer,style\n"
FIRST = "8,Ane Lund,,,Fen,Gose\n9,Bo Dahl,bo@example.org,1 March 10:00,Gale,tripel\n"


def registered(tmp: Path) -> list[Finding]:
    """What a register asks and tells, from week to week."""
    tmp.mkdir()

    def told(*args: str) -> list[Finding]:
        result = CliRunner().invoke(app, [*args, "--json"], env={"COLUMNS": "80", "NO_COLOR": "1"})
        assert result.exit_code in {0, 1}, result.output
        listed = json.loads(result.stdout)["findings"]
        return [Finding(**{**f, "severity": Severity(f["severity"])}) for f in listed]

    def take(name: str, rows: str) -> list[Finding]:
        (tmp / name).write_text(FORM + rows, encoding="utf-8")
        return told("intake", str(tmp / name), "--out", out, "--seed", "words")

    out = str(tmp / "o")
    take("a.csv", FIRST + "10,Ida Moe,,,Drift,Gose\n")
    found = take("b.csv", "8,Zoe Kahn,,,Drip,tripel\n,Bo Dahl,bo@example.org,2 March 9:00,Gale,Gose\n")
    doubled = "8,Sif Aas,,,Sloe,Gose\n12,Ane Lund,,,Fen,Gose\n13,Ane Lundd,,,Skerry,Gose\n"
    found += take("a.csv", FIRST + doubled)
    (tmp / "h.csv").write_text(FORM.strip() + ",specials\n20,Una Vik,,,Moth,Spice Beer,foxglove\n")
    found += told("intake", str(tmp / "h.csv"), "--out", out)
    told("entry", out, "9", "moved", "--style", "Gose")
    told("entry", out, "10", "withdrawn")
    found += take("a.csv", FIRST.replace("tripel", "saison") + "10,Ida Moe,,,Drift,Gose\n")
    entries = tmp / "o" / "entries.csv"
    head, *rows = entries.read_text(encoding="utf-8").splitlines()
    told("entry", out, "8", "moved", "--style", "tripel")
    old = dict(zip(head.lstrip("\ufeff").split(","), rows[0].split(","), strict=True))
    assert old["entry"] == "8"
    edits = [{"style": "saison"}, {"entry": "99"}, {"change": "1"}, {"standing": "lost"}, {"number": "12"}]
    edits += [{"number": rows[1].split(",")[2]}]
    (tmp / "edited.csv").write_text("\n".join([head, *(",".join({**old, **e}.values()) for e in edits)]) + "\n")
    found += told("register", out, "--sheet", str(tmp / "edited.csv"))
    for name in ("one", "other"):
        (tmp / f"{name}.yaml").write_text(f"name: {name}\ncategories: [{{code: '1', name: Sours}}]\n")
        found += told("register", out, "--competition", str(tmp / f"{name}.yaml"))
    with (tmp / "o" / "competition.yaml").open("ab") as stream:
        stream.write(b"# looked over\n")
    found += told("register", out, "--competition", str(tmp / "one.yaml"))
    asked = json.loads(CliRunner().invoke(app, ["register", out, "--json"]).stdout)["questions"]
    other = [str(q["question"]) for q in asked if q["kind"] == "register-competition"]
    assert len(other) == 1
    told("decide", out, *other, "keep")
    found += told("register", out, "--competition", str(tmp / "other.yaml"))
    with (tmp / "o" / "journal.jsonl").open("ab") as stream:
        stream.write(b'{"n": 99')
    with (tmp / "o" / "entries.csv").open("ab") as stream:
        stream.write(b"by hand\r\n")
    return found + take("a.csv", FIRST)


def reprinted(tmp: Path) -> list[Finding]:
    """A flight that is printed again, its scores typed into both sheets, read together and one after the other."""
    found: list[Finding] = []
    for name, together in (("both", True), ("each", False)):
        folder = tmp / name
        folder.mkdir(parents=True)
        out = folder / "o"
        rows = "".join(f"{n},Una Vik {n},,,Moth {n},Gose\n" for n in range(1, 8))
        run(folder, "intake", "f.csv", "--out", str(out), "--seed", "words", f=FORM + rows)
        run(folder, "flights", "--out", str(out), "--judges", "j.csv", "--panel", "1", j="judge\nSif Aas\n")
        run(folder, "entry", str(out), "1", "withdrawn")
        run(folder, "flights", "--out", str(out))
        scores = [out / f"printing-{printing}" / "scores.csv" for printing in (1, 2)]
        last = scores[1].read_text(encoding="utf-8-sig").splitlines()[1].split(",")[0]
        for path, points in zip(scores, (30, 34), strict=True):
            path.write_text(f"number,judge,total\n{last},Sif Aas,{points}\n", encoding="utf-8")
        one, two = map(str, scores)
        for asked in ((one, "--also", two), (one,)) if together else ((one,), (two,)):
            found += run(folder, "results", *asked, "--out", str(out))
    return found


@cache
def everything(tmp: Path) -> tuple[Finding, ...]:
    return (
        *checked_in(),
        *sheets(),
        *unreadable(),
        *judged(tmp),
        *seated(tmp),
        *refusals(tmp),
        *registered(tmp / "reg"),
        *reprinted(tmp / "again"),
    )


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> tuple[Finding, ...]:
    return everything(tmp_path_factory.mktemp("rules"))


def ids() -> list[str]:
    """The rules that the steward's side names, and those that both sides have from the beer."""
    texts: set[str] = set()
    for room in ("receiving", "cli", "formats", "beer"):
        for path in sorted((PACKAGE / room).rglob("*.py")):
            if room == "beer" and path.name.startswith("cautions"):  # a sheet says little of what stands in a record
                continue
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in rule_rows():
                    texts.add(node.value)
    told_only = {
        "recipe",
        "reference",
        "concentrated-unmeasured",
    }  # named for the words of its reason, or of other files
    return sorted(texts - told_only - PAPERS)


def shape(text: str) -> re.Pattern[str]:
    """What a text with fields becomes when they are filled."""
    return re.compile(".*".join(map(re.escape, re.split(r"\{\w+\}", text))), re.DOTALL)


def wordings(row: RuleRow) -> list[tuple[str, str]]:
    """What and fix of a row for the steward, in each of its cases."""
    here = row.receiving or Variant()
    what, fix = here.what or row.what, here.fix or row.fix
    cases = [(case.what or what, case.fix or fix) for case in row.cases.values()]
    closing = f". {NOT_LEGAL_ADVICE}" if row.legal else ""
    return [(what, f"{fix}{closing}") for what, fix in ((what, fix), *cases)]


@pytest.mark.parametrize("rule", ids())
def test_a_rule_is_met_in_all_its_words_and_severities(rule: str, found: tuple[Finding, ...]) -> None:
    own, row = [f for f in found if f.rule == rule], rule_rows()[rule]
    for finding in own:
        assert finding.file
        assert finding.why.endswith(")")
        assert "{" not in finding.what + finding.why + finding.fix
    for what, fix in wordings(row):
        assert any(shape(what).fullmatch(f.what) and shape(fix).fullmatch(f.fix) for f in own), (what, fix)
    here = row.receiving or Variant()
    wanted = {here.severity or row.severity, here.milder or (row.milder if here.severity is None else None)}
    wanted |= {case.severity for case in row.cases.values()}
    assert {severity for severity in wanted if severity is not None} <= {f.severity for f in own}


def test_the_list_of_rules_is_long(found: tuple[Finding, ...]) -> None:
    assert len(ids()) > 50
    assert {f.rule for f in found} == set(ids())
