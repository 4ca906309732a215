"""The address of the folder in which a shop's devices share their jobs."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Final

from pydantic import PlainValidator, WithJsonSchema

from build_hooks.model.fields import as_written, fault
from build_hooks.reading.hosts import is_private_host
from build_hooks.reading.problems import quoted

__all__ = ["FolderAddress", "FolderField"]

_STEP: Final = r"[A-Za-z0-9_~-][A-Za-z0-9._~-]*/"
_HOST: Final = r"[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?"
# Without a name, a password, a question mark or a number sign. An IPv6 address has no place in a Content-Security-Policy.
_WHOLE: Final = rf"(https?)://({_HOST})(:[0-9]{{1,5}})?/(?:{_STEP})*"
_RELATIVE: Final = rf"(?:/|(?:\.\./)*)(?:{_STEP})+"
_LAST_PORT: Final = 65_535
_EXAMPLES: Final = ("https://files.fennick.example/shared-jobs/", "shared-jobs/")
_REMEDY: Final = (
    f"Write an https address that ends with a slash, or a folder of the manual's own server, for example {_EXAMPLES[1]}."
)


@dataclass(frozen=True, slots=True)
class FolderAddress:
    """Where the shared folder is.

    Attributes:
        address: as it was written; a relative one counts from the manual's first page.
        origin: scheme, host and port of another server; None for the manual's own.
        is_plain: whether it is reached without encryption.
    """

    address: str
    origin: str | None
    is_plain: bool

    def __str__(self) -> str:
        return self.address


def _as_folder(value: object) -> FolderAddress:
    written = as_written(value, "The address of a folder", _EXAMPLES[1])
    if "@" in written:
        # It may be a password: it is not shown again.
        raise fault("bad-folder", "The address holds a name or a password, and everybody can read it in the pages.",
                    "Take it out: the browser asks for it.")  # fmt: skip
    if re.fullmatch(_RELATIVE, written):
        return FolderAddress(written, None, is_plain=False)
    whole = re.fullmatch(_WHOLE, written)
    if whole is None or int((whole[3] or ":0")[1:]) > _LAST_PORT:
        raise fault("bad-folder", f"{quoted(written)} is not the address of a shared folder.", _REMEDY)
    scheme, host, port = whole.groups(default="")
    if scheme == "http" and not is_private_host(host):
        message = f"{quoted(written)} is not encrypted: jobs and passwords would pass through the internet in the open."
        raise fault("bad-folder", message, f"Write https{written.removeprefix(scheme)}.")
    return FolderAddress(written, f"{scheme}://{host.lower()}{port}", is_plain=scheme == "http")


FolderField = Annotated[
    FolderAddress,
    PlainValidator(_as_folder),
    WithJsonSchema({"type": "string", "pattern": f"^(?:{_RELATIVE}|{_WHOLE})$", "examples": list(_EXAMPLES)}),
]
