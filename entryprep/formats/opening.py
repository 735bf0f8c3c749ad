"""Opening a recipe file: which format it is, and the batch that it makes; or the recipe that a batch names."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from entryprep.formats.draft import ReadRecipe
    from entryprep.records.batch import Batch

ENDINGS = (".json", ".beerjson", ".xml", ".beerxml")


def read_recipe(path: str | Path, wanted: str | None = None, shown_as: str = "") -> ReadRecipe:
    """Read one recipe of a BeerJSON or BeerXML file; ``wanted`` chooses by name where it holds several.

    Raises RecordError, with every problem at its line and column, for a file that is missing, over 20 MB, neither of
    the two formats, or holds unusable values.
    """
    from entryprep.formats.draft import MAX_BYTES, refused  # noqa: PLC0415 - a batch without a recipe file needs none
    from entryprep.reading.files import read_content  # noqa: PLC0415

    path = Path(path)
    name = shown_as or path.as_posix()
    content = read_content(path, name, MAX_BYTES)
    first = content[:200].lstrip(b"\xef\xbb\xbf\xff\xfe\x00 \t\r\n")[:1]
    if first == b"<":
        from entryprep.formats.beerxml import read_beerxml  # noqa: PLC0415 - only one of the two is needed

        return read_beerxml(content, name, wanted)
    if first in {b"{", b"["}:
        from entryprep.formats.beerjson import read_beerjson  # noqa: PLC0415 - only one of the two is needed

        return read_beerjson(content, name, wanted)
    what = "the file is empty" if not content.strip() else "this is neither BeerJSON nor BeerXML"
    raise refused(name, what, "export the recipe in one of these open formats")


@dataclass(frozen=True)
class WithRecipe:
    """A batch with the recipe that it names read into it, and what was left aside of the file."""

    batch: Batch
    ignored: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def with_recipe(batch: Batch, folder: Path) -> WithRecipe:
    """A batch whose ``recipe.file`` is read from the season's ``folder``; any other batch as it is.

    Only the recipe is taken from the file: style, traits and additions stay as the batch says. Raises RecordError as
    :func:`read_recipe`, and for a file outside the folder.
    """
    if batch.recipe is None or batch.recipe.file is None:
        return WithRecipe(batch)
    from entryprep.formats.draft import refused  # noqa: PLC0415 - a batch without a recipe file needs none

    name = batch.recipe.file
    inner = PurePosixPath(name.replace("\\", "/"))
    if inner.is_absolute() or ".." in inner.parts or ":" in name:
        raise refused(name, "a recipe file lies in the season's folder", "copy it there and name it from there")
    read = read_recipe(folder / inner, batch.recipe.name, inner.as_posix())
    return WithRecipe(batch.model_copy(update={"recipe": read.batch.recipe}), read.ignored, read.assumed)
