"""Names planted in declarations, and honest declarations, both made anew from their vectors; same seed, same rows."""

from __future__ import annotations

import random
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from tests.vectors import vector_path

LOOK_ALIKES = str.maketrans("aceopxyACEOPXBHKMT", "асеорхуАСЕОРХВНКМТ")  # Latin to Cyrillic letters of the same shape


@dataclass(frozen=True)
class Person:
    """An entrant: names, and whatever else tells who it is."""

    given: str
    surname: str
    house: str = ""
    club: str = ""
    town: str = ""
    beer: str = ""
    mail: str = ""
    phone: str = ""
    web: str = ""

    @property
    def name(self) -> str:
        """As the sheet has it."""
        return f"{self.given} {self.surname}"


@dataclass(frozen=True)
class Planted:
    """A declaration with something of a person in it. ``owner`` entered it; ``words`` were planted, as ``form``."""

    form: str
    land: str
    owner: Person
    co_brewer: Person | None
    words: str
    text: str


@dataclass(frozen=True)
class Honest:
    """A declaration that names nobody, and whose it is."""

    owner: Person
    text: str


def _vector() -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load(vector_path("names-planted.yaml").read_text(encoding="utf-8"))
    return loaded


def _plain(text: str) -> str:
    special = text.replace("ø", "o").replace("Ø", "O").replace("æ", "ae").replace("đ", "d").replace("Đ", "D")
    special = special.replace("ł", "l").replace("Ł", "L").replace("ß", "ss").replace("ð", "d").replace("Þ", "Th")
    folded = unicodedata.normalize("NFKD", special.replace("ı", "i"))
    return "".join(c for c in folded if not unicodedata.combining(c))


def _solid(text: str) -> str:
    return "".join(c for c in _plain(text) if c.isalnum())


def people(half: str, rng: random.Random) -> list[tuple[str, Person]]:
    """Every given name of a half with a surname of its land, and all else drawn."""
    made = []
    for land, halves in _vector()["lands"].items():
        lists = halves[half]
        surnames = rng.sample(lists["surnames"], len(lists["surnames"]))
        for given, surname in zip(lists["given"], surnames, strict=True):
            ascii_name = _solid(given + surname).lower()
            word = ascii_name if ascii_name.isascii() else f"brewer{rng.randrange(100, 999)}"
            digits = "".join(rng.choice("0123456789") for _ in range(9))
            person = Person(
                given,
                surname,
                rng.choice(lists["houses"]),
                rng.choice(lists["clubs"]),
                rng.choice(lists["towns"]),
                rng.choice(lists["beers"]),
                f"{word}@{rng.choice(['post', 'mail', 'inbox'])}.example",
                f"+{rng.choice(['47', '49', '44', '81', '48'])}{rng.randrange(2, 9)}{digits[:8]}",
                f"www.{word}.example",
            )
            made.append((land, person))
    return made


def _joined_forms(person: Person, rng: random.Random) -> dict[str, str]:
    given, surname = person.given, person.surname
    short = _solid(given) + _solid(surname)
    latin = short.isascii()
    forms = {
        "given name": given,
        "surname": surname,
        "full name": person.name,
        "surname, given": f"{surname}, {given}",
        "possessive given": f"{given}'s",
        "possessive surname": f"{surname}’s",
        "hyphenated": f"{given}-{surname}".replace(" ", "-"),
        "zero-width": f"{surname[:1]}\u200b{surname[1:]} {given[:1]}\u200d{given[1:]}",
        "case": person.name.upper() if rng.random() < 0.5 else person.name.lower(),
        "without accents": _plain(person.name),
    }
    if latin:
        forms |= {
            "nordic possessive": f"{surname}s",
            "initials": f"{given[0]}. {surname}" if rng.random() < 0.5 else f"{given[0]}.{surname[0]}.",
            "hashtag": "#" + rng.choice([short, f"{_solid(given)}Brews", f"{_solid(surname)}Brewing"]),
            "handle": "@" + rng.choice([short.lower(), f"{_solid(given)}_{_solid(surname)}".lower()]),
            "joined": short.lower() if rng.random() < 0.5 else short,
            "look-alike letters": f"{given} {surname}".translate(LOOK_ALIKES),
        }
    return forms


def _other_forms(person: Person, rng: random.Random) -> dict[str, str]:
    digits = person.phone[1:]
    local = digits[2:]
    cut = rng.randrange(2, 4)
    groups = " ".join(local[i : i + cut] for i in range(0, len(local), cut))
    phones = [person.phone, local, f"+{digits[:2]} {groups}", groups.replace(" ", "-"), f"({local[:3]}) {local[3:]}",
              f"0{groups.replace(' ', '.')}", f"00{digits}"]  # fmt: skip
    mails = [person.mail, person.mail.upper(), person.mail.replace("@", " (at) "), person.mail.replace("@", " at ")]
    webs = [person.web, f"https://{person.web}/beers", person.web.removeprefix("www.")]
    return {
        "brewery": person.house if rng.random() < 0.5 else person.house.upper(),
        "club": person.club if rng.random() < 0.5 else _plain(person.club).lower(),
        "town": person.town if rng.random() < 0.5 else _plain(person.town),
        "beer": person.beer if rng.random() < 0.5 else person.beer.upper(),
        "mail": rng.choice(mails),
        "telephone": rng.choice(phones),
        "web": rng.choice(webs),
    }


def planted(half: str, seed: int = 27, times: int = 2) -> Iterator[Planted]:
    """Each person of a half in each form, ``times`` over, in texts drawn from the same half."""
    rng = random.Random(f"{seed} {half}")
    texts = _vector()["texts"][half]
    for _ in range(times):
        everybody = people(half, rng)
        for place, (land, person) in enumerate(everybody):
            other = everybody[(place + 5) % len(everybody)][1]
            partner = everybody[(place + 11) % len(everybody)][1]
            forms = _joined_forms(person, rng) | _other_forms(person, rng)
            for form, words in forms.items():
                yield Planted(form, land, person, None, words, rng.choice(texts).format(words))
            half_of = rng.choice([partner.given, partner.surname, partner.name])
            yield Planted("either half", land, person, partner, half_of, rng.choice(texts).format(half_of))
            yield Planted("other entrant", land, person, None, other.name, rng.choice(texts).format(other.name))


def planted_ordinary(half: str) -> Iterator[Planted]:
    """Names that are ordinary words, where they are said of a person beyond doubt."""
    for name in _vector()["ordinary"][half]:
        given, surname = name.split()
        person = Person(given, surname)
        short = given + surname
        forms = {
            "full name": name,
            "surname, given": f"{surname}, {given}",
            "case": name.upper(),
            "hashtag": f"#{short}",
            "handle": f"@{short.lower()}",
            "joined": short.lower(),
            "initials": f"{given[0]}. {surname}",
            "hyphenated": f"{given}-{surname}",
            "zero-width": f"{given[0]}\u200b{given[1:]} {surname}",
        }
        for form, words in forms.items():
            for text in _vector()["texts"][half]:
                yield Planted(form, "ordinary", person, None, words, text.format(words))
        yield Planted("brewed by", "ordinary", person, None, given, f"Sour plums; brewed by {given}.")
        yield Planted("brewed by", "ordinary", person, None, surname, f"brewed by {surname}, dry")


def _entrants(half: str, rng: random.Random, count: int) -> list[Person]:
    """Entrants of honest beers: of all lands, and every sixth with a name that is a word."""
    vector = _vector()
    made = []
    known = people(half, rng)
    words = [name.split() for name in vector["ordinary"][half]]
    beers = _honest_words(half)["beers"]
    for place in range(count):
        person = rng.choice(known)[1]
        given, surname, town = person.given, rng.choice(known)[1].surname, person.town
        if place % 6 == 0:
            given = rng.choice(words)[0]
        if place % 6 in {0, 3}:
            surname = rng.choice(words)[1]
        if place % 5 == 0:
            town = rng.choice(vector["towns_that_are_styles"])
        made.append(Person(given, surname, person.house, person.club, town, rng.choice(beers), phone=person.phone))
    return made


def _honest_words(half: str) -> dict[str, list[str]]:
    path = vector_path("honest-declarations") / "words.yaml"
    loaded: dict[str, list[str]] = yaml.safe_load(path.read_text(encoding="utf-8"))[half]
    return loaded


def hand_written(half: str) -> list[str]:
    """The lines written by hand: every other one is for the last run."""
    path = vector_path("honest-declarations") / "lines.txt"
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    return lines[0 if half == "work" else 1 :: 2]


def honest(half: str, seed: int = 27, count: int = 2000) -> list[Honest]:
    """Declarations that name nobody: those written by hand first, the others put together."""
    rng = random.Random(f"honest {seed} {half}")
    words, texts = _honest_words(half), hand_written(half)
    while len(texts) < count:
        said = []
        for thing in rng.sample(words["things"], rng.randint(1, 3)):
            amount = rng.choice(words["amounts"])
            said.append(f"{thing} {amount}".strip())
        opening = rng.choice(words["openings"]).format(base=rng.choice(words["bases"]))
        text = f"{opening} {', '.join(said)}".strip()
        ending = rng.choice(words["endings"])
        text = f"{text}; {ending}" if ending else text
        ways = (text, text.capitalize(), text.upper(), text.title())
        texts.append(rng.choice(ways) if rng.random() < 0.3 else text)
    return [Honest(person, text) for person, text in zip(_entrants(half, rng, count), texts, strict=True)]
