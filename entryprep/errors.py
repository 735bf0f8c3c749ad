"""The one base of all that the library refuses."""

from __future__ import annotations


class EntryprepError(Exception):
    """Something that cannot be used: what was found, where it stands, and how to mend it.

    ``message`` (also ``str(error)``) says what was found, ``fix`` what to do, ``where`` is a file, or
    ``file:line:column`` as far as it is known. Every exception of this package that a user can meet derives from it.
    """

    def __init__(self, message: str, fix: str = "", where: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.fix = fix
        self.where = where
