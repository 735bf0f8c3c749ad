"""``plan``: which beers go to which competition and category, what it costs, and why not the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.options import the_day
from entryprep.cli.progress import working
from entryprep.cli.reading import errors_standing, errors_words, opened_with
from entryprep.cli.show import console, paragraph, print_json, print_lines, table
from entryprep.entering.planning.candidates import NO_FIT, UNSCORED, Candidate, Key
from entryprep.entering.planning.gains import Gain
from entryprep.entering.planning.places import missing, places
from entryprep.entering.planning.planner import Plan, Wishes, plan
from entryprep.entering.planning.whynot import by_reason
from entryprep.entering.planning.writing import packable, short_of_bottles, write_entries
from entryprep.entering.season import Season
from entryprep.findings import Finding
from entryprep.measures import large_mass
from entryprep.text import listed, several, shortened

WIDE, ROOMY = 72, 120  # columns from which there is room for long headings, and for names as long as they are
SHORT_NAME, LONG_NAME = 16, 40  # characters of a beer's name below them
MOST_CHANGED = 4  # entries that a gain names; where more change, it counts them
LAW = (
    "Sending: the law decides what may be sent, and carriers and posts have their own terms; "
    "`entryprep shipping` lists what to mind. This is not legal advice; local law and licensed practice decide."
)


def run(
    folder: Path,
    budget: str,
    rates: Sequence[str],
    weight: float,
    least: float,
    gains: int,
    today: str,
    write: bool,
    as_json: bool,
) -> None:
    """``entryprep plan``."""
    day = the_day(today)
    season, problems = opened_with(folder)
    amount, currency = _budget(budget)
    wishes = Wishes(amount, currency, _rates(rates), weight, least, gains)
    with working("planning"):
        made = plan(season, day, wishes)
    errors = errors_standing(season, problems, day)
    entries = packable(season, made.chosen)
    written = write_entries(season, entries).as_posix() if write and entries else None
    short = (
        [f"{e.batch} in {e.competition} {e.category}" for e in short_of_bottles(season, entries)] if not write else []
    )
    if as_json:
        print_json({"season": folder.as_posix(), "errors": len(errors), **plan_json(made), "written": written})
        return
    _print(season, made, wishes, errors)
    out = console()
    if short:
        out.print(paragraph(f"The packing list fills entries one by one, and would find too few for {listed(short)}."))
    if written:
        out.print(paragraph(f"{written}: {several(len(entries), 'entry', 'entries')} appended.", "bold"))
    elif entries:
        out.print(paragraph("Nothing was written; --write appends these entries to entries.yaml."))


def _budget(text: str) -> tuple[float | None, str]:
    """``120`` or ``120 USD``."""
    if not text:
        return None, ""
    number, _, currency = text.strip().partition(" ")
    currency = currency.strip().upper()
    try:
        amount = float(number)
    except ValueError:
        amount = -1.0
    if not 0 <= amount < 1e9 or (currency and not (len(currency) == 3 and currency.isascii() and currency.isalpha())):
        example = 'write --budget 120, or --budget "120 USD"'
        fix = "write a point, not a comma, and no signs of thousands" if "," in number else example
        raise UsageProblem(f"--budget {text} is no amount of money", fix)
    return amount, currency


def _rates(texts: Sequence[str]) -> dict[str, float]:
    """``EUR=1.08`` and the like."""
    found = {}
    for text in texts:
        currency, _, number = text.partition("=")
        try:
            rate = float(number)
        except ValueError:
            rate = 0.0
        if not 0 < rate < 1e9 or len(currency.strip()) != 3:
            raise UsageProblem(f"--rate {text} is no rate", "write --rate EUR=1.08: what one EUR is worth")
        found[currency.strip().upper()] = rate
    return found


def _answer(season: Season, made: Plan, errors: Sequence[Finding]) -> str:
    """The first line: how many entries, how good, and what of it is not to be counted on."""
    count = several(len(made.chosen), "new entry", "new entries", none="no")
    best = "the best there is, proven" if not made.gap else f"at most {made.gap:.3f} below the best there may be"
    barred = sum(bool(x.barred) for x in made.entered)
    refused = len({out.batch_id for out in made.left_out if out.kind == "error"} - {x.batch_id for x in made.chosen})
    words = (
        f"The plan: {count}; {best}."
        if made.chosen or made.entered
        else "The plan: no new entries; the reasons stand below."
    )
    if barred:
        words += f" Of {several(len(made.entered), 'entry that stands', 'entries that stand')} {barred} count"
        words += f"{'s' if barred == 1 else ''} for nothing: errors."
    if refused:
        words += f" {several(refused, 'beer is', 'beers are')} left out for errors."
    return words + errors_words(season, errors)


def _print(season: Season, made: Plan, wishes: Wishes, errors: Sequence[Finding]) -> None:
    out = console()
    out.print(paragraph(_answer(season, made, errors), "bold"))
    if made.chosen or made.entered:
        room = SHORT_NAME if out.width < WIDE else LONG_NAME if out.width < ROOMY else None
        rows = [_row(season, x, x in made.entered, room) for x in _ordered(season, made)]
        heads = (
            "competition" if out.width >= WIDE else "where",
            "cat.",
            "beer",
            "share",
            "fit",
            "fresh",
            "own",
            "stands",
            "fee",
        )
        out.print(table(heads, rows, right=(3, 4, 5, 6, 7, 8)))
        marks = "* stands in entries.yaml already." if made.entered else ""
        if any(x.barred for x in made.entered):
            marks += " ! stands there with an error, and counts for nothing:"
        if marks:
            out.print(paragraph(marks))
        for x in _ordered(season, made):
            if x.barred:
                name = season.batches[x.batch_id].name
                out.print(paragraph(f"! {name} in {x.competition_id} {x.category}: {x.barred}", indent=2))
    if made.chosen or made.entered:
        _print_sum(season, made, wishes)
    for b, c in made.unmet:
        out.print(paragraph(f"You wish {b} in {c}, and nothing could fulfil it; see below."))
    to_do = list(_to_do(season, made.chosen))
    if to_do:
        print_lines("To do for what is planned", to_do)
    print_lines("Why not", list(_why_not(season, made)) or ["every beer goes everywhere it may"])
    if made.gains:
        print_lines("One more", list(_gains(season, made.gains)))
    if made.sent:
        out.print(paragraph(LAW))


def _ordered(season: Season, made: Plan) -> list[Candidate]:
    order = {c: i for i, c in enumerate(season.competitions)}
    return sorted((*made.chosen, *made.entered), key=lambda x: order[x.competition_id])


def _row(season: Season, x: Candidate, entered: bool, room: int | None) -> tuple[str, ...]:
    fit = f"{x.fit * 100:.0f}" if x.fit_known else "-"
    own = f"{x.score * 10:g}" if season.batches[x.batch_id].score is not None else f"({UNSCORED:g})"
    name = season.batches[x.batch_id].name
    name = f"{name if room is None else shortened(name, room)}{'!' if x.barred else '*' if entered else ''}"
    fresh = f"{x.freshness:.2f}"
    return x.competition_id, x.category, name, f"{x.share:.0%}", fit, fresh, own, f"{x.standing:.2f}", f"{x.fee:.2f}"


def _money(amount: float, made: Plan) -> str:
    """An amount in the plan's currency; there is none where no competition names one."""
    return f"{amount:.2f} {made.currency}".rstrip()


def _print_sum(season: Season, made: Plan, wishes: Wishes) -> None:
    out = console()
    money = made.fees + made.sending
    words = (
        f"{made.objective:.2f} = {made.standing:.2f} expected standing (sum of share × fit × fresh × own score, each 0 "
        f"to 1) − {made.weight:g} × {_money(money, made)} ({made.fees:.2f} fees, {made.sending:.2f} sending). "
        f"Unscored beers count as {UNSCORED:g} of 10, a fit that is not known as {NO_FIT:g}; entries that stand for "
        f"less than {wishes.least:g} are left out; --money-weight, --least change this."
    )
    out.print(paragraph(words))
    if made.budget is not None:
        out.print(paragraph(f"Budget: {_money(made.budget, made)}, {made.budget - money:.2f} left."))
    for each in made.sent:
        name = season.competitions[each.competition_id].name
        cost = _money(each.cost, made) if each.priced else "no price is stated"
        out.print(
            paragraph(
                f"{name}: {each.bottles} bottles, {large_mass(each.mass_kg, 1)} without boxes; sending: {cost}",
                indent=2,
            )
        )


def _to_do(season: Season, chosen: Sequence[Candidate]) -> Iterator[str]:
    pairs = {(x.batch_id, x.competition_id): x for x in chosen}
    for (b, c), x in pairs.items():
        row = places(season, [b], [c])[b, c]
        place = next(p for p in row if p.category.code == x.category)
        lacking = missing(season, place)
        if not x.own_style:
            lacking = (f"declare it as {x.style}", *lacking)
        if lacking:
            yield f"{season.batches[b].name} in {c} {x.category}: {', '.join(lacking)}"


def _why_not(season: Season, made: Plan) -> Iterator[str]:
    """What keeps every beer out of a competition once; then by beer, competitions with the same reason together."""
    told_of = Counter((out.competition_id, out.words) for out in made.left_out)
    beers = len(season.batches)
    every = [pair for pair, count in told_of.items() if count == beers > 1]
    if every:
        yield f"Every beer: {'. '.join(f'{c}: {words}' for c, words in every)}"
    for b, outs in by_reason(made.left_out).items():
        told: dict[str, list[str]] = {}
        for out in outs:
            if (out.competition_id, out.words) in every:
                continue
            told.setdefault(out.words, []).append(out.competition_id)
        reasons = [f"{', '.join(where)}: {words}" for words, where in told.items()]
        if reasons:
            yield f"{season.batches[b].name}: {'. '.join(reasons)}"


def _gains(season: Season, gains: Sequence[Gain]) -> Iterator[str]:
    for gain in gains:
        if gain.gain is not None:
            kind, whose, *category = gain.limit
            beer = kind == "bottles"
            what = f"bottle of {season.batches[whose].name}" if beer else " ".join(("entry in", whose, *category))
            most = "" if gain.most is None else f", at most +{gain.most:.2f}"
            nothing = f"nothing{most and ' found' + most}"
            found = f"+{gain.gain:.2f}{most}{_changed(season, gain)}" if gain.gain else nothing
            yield f"one more {what}: {found}"
    untried = sum(gain.gain is None for gain in gains)
    if untried:
        yield f"{several(untried, 'more limit')} not tried; --one-more {len(gains)} tries all"


def _changed(season: Season, gain: Gain) -> str:
    if len(gain.added) > MOST_CHANGED:
        return f"; {len(gain.added)} entries change"
    added, dropped = _keys(season, gain.added), _keys(season, gain.dropped)
    return f"; in: {added}" + (f"; out: {dropped}" if dropped else "")


def _keys(season: Season, keys: Sequence[Key]) -> str:
    return ", ".join(f"{season.batches[b].name} in {c} {code}" for b, c, code in keys)


def plan_json(made: Plan) -> dict[str, Any]:
    """A plan as plain values."""
    return {
        "objective": round(made.objective, 6),
        "standing": round(made.standing, 6),
        "fees": made.fees,
        "sending": made.sending,
        "money_weight": made.weight,
        "currency": made.currency or None,
        "budget": made.budget,
        "gap": made.gap,
        "planned": [_candidate_json(x) for x in made.chosen],
        "entered": [_candidate_json(x) for x in made.entered],
        "left_out": [
            {
                "batch": out.batch_id,
                "competition": out.competition_id,
                "category": out.category or None,
                "reason": out.kind,
                "words": out.words,
                "standing": round(out.standing, 6),
            }
            for out in made.left_out
        ],
        "one_more": [
            {
                "limit": list(gain.limit),
                "gain": None if gain.gain is None else round(gain.gain, 6),
                "at_most": None if gain.most is None else round(gain.most, 6),
                "added": [list(key) for key in gain.added],
                "dropped": [list(key) for key in gain.dropped],
            }
            for gain in made.gains
        ],
        "sent": [
            {
                "competition": each.competition_id,
                "bottles": each.bottles,
                "mass_kg": round(each.mass_kg, 3),
                "cost": each.cost if each.priced else None,
            }
            for each in made.sent
        ],
        "unmet_wishes": [list(pair) for pair in made.unmet],
    }


def _candidate_json(x: Candidate) -> dict[str, Any]:
    return {
        "batch": x.batch_id,
        "competition": x.competition_id,
        "category": x.category,
        "style": x.style or None,
        "share": round(x.share, 6),
        "fit": round(x.fit * 100, 2) if x.fit_known else None,
        "freshness": round(x.freshness, 4),
        "score": round(x.score * 10, 4),
        "standing": round(x.standing, 6),
        "bottles": x.bottles,
        "fee": x.fee,
        "barred": x.barred or None,
    }
