"""The kinds of value in files that the browser writes. It checks them against the published schema; nothing here is read by the build."""

from __future__ import annotations

from typing import Annotated, Any, Final

from pydantic import StringConstraints

__all__ = ["Key", "Moment", "PersonName", "checked_by_schema"]

_LONGEST_NAME: Final = 80
# As the page writes a name: something, with single spaces inside and none outside.
_NAME: Final = r"^\S+( \S+)*$"
# Years that a clock of a working machine may show; the page also refuses what lies ahead of its own clock.
_YEAR: Final = "(19[7-9][0-9]|2[01][0-9]{2})"
_MOMENT: Final = rf"^{_YEAR}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{{1,3}})?Z$"
_KEY: Final = r"^[A-Za-z0-9._/-]{1,300}$"


def checked_by_schema(value: object) -> Any:
    """The value as it is: the page checks it by the schema."""
    return value


Moment = Annotated[str, StringConstraints(pattern=_MOMENT)]
Key = Annotated[str, StringConstraints(pattern=_KEY)]
PersonName = Annotated[str, StringConstraints(min_length=1, max_length=_LONGEST_NAME, pattern=_NAME)]
