"""A small XML tree with the line and column of every element; no entities, no document type, nothing fetched."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from entryprep.formats.draft import MAX_DEPTH, refused
from entryprep.reading.yamltext import RecordError

MAX_ELEMENTS = 400_000


@dataclass(slots=True)
class Element:
    """One element: its tag in capitals, its text, what stands inside it, where it begins."""

    tag: str
    line: int
    column: int
    text: str = ""
    inside: list[Element] = field(default_factory=list)

    def child(self, tag: str) -> Element | None:
        """The first element of that tag inside this one."""
        return next((e for e in self.inside if e.tag == tag), None)

    def said(self, tag: str) -> str:
        """The text of the first element of that tag, without the space around it; empty if there is none."""
        found = self.child(tag)
        return found.text.strip() if found else ""


def parse_xml(content: bytes, file: str) -> Element:
    """Read an XML text in the encoding that it declares.

    Raises RecordError for text that is not XML, a document type or entity of its own, elements nested more than 40
    deep, or more than 400,000 of them.
    """
    parser = expat.ParserCreate()
    parser.buffer_text = True
    top = Element("", 0, 0)
    stack = [top]
    count = 0

    def stop(what: str, fix: str) -> RecordError:
        return refused(file, what, fix, parser.CurrentLineNumber, parser.CurrentColumnNumber + 1)

    def start(tag: str, _attributes: dict[str, str]) -> None:
        nonlocal count
        count += 1
        if len(stack) > MAX_DEPTH:
            raise stop("elements are nested too deeply", f"at most {MAX_DEPTH} levels are read")
        if count > MAX_ELEMENTS:
            raise stop("the file holds too many elements", f"at most {MAX_ELEMENTS:,} are read; export fewer recipes")
        element = Element(tag.upper(), parser.CurrentLineNumber, parser.CurrentColumnNumber + 1)
        stack[-1].inside.append(element)
        stack.append(element)

    def end(_tag: str) -> None:
        stack.pop()

    def text(data: str) -> None:
        stack[-1].text += data

    def refuse_type(*_: Any) -> None:
        raise stop("the file declares a document type, and with it entities", "remove the <!DOCTYPE …> part")

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = refuse_type
    parser.EntityDeclHandler = refuse_type
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        what = f"this is not XML: {expat.ErrorString(error.code)}"
        fix = "check the text there, and that the encoding is the one that the first line names"
        raise refused(file, what, fix, error.lineno, error.offset + 1) from None
    except (LookupError, ValueError) as error:
        raise refused(file, f"the text cannot be read: {error}", "save it as UTF-8", 1, 1) from None
    return top.inside[0] if top.inside else top
