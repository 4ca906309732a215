"""What every part of the model is made from: a mapping with known keys, and things that are found by their id."""

from typing import Any

from pydantic import BaseModel, ConfigDict, PrivateAttr, ValidationInfo, field_validator

from build_hooks.model.fields import fault
from build_hooks.reading.problems import quoted

__all__ = ["Keys", "Named"]


class Keys(BaseModel):
    """A mapping of a data file. It cannot be changed, and knows no other keys than its own."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    @field_validator("*", mode="before")
    @classmethod
    def _not_empty(cls, value: Any, info: ValidationInfo) -> Any:
        """Refuses a key with nothing behind it: what was meant cannot be known."""
        if value is None:
            raise fault("empty", f"{quoted(str(info.field_name))} is empty.", "Write its value, or take the key out.")
        return value

    @field_validator("*", mode="after")
    @classmethod
    def _tell_ids(cls, value: Any) -> Any:
        """Tells each thing in a mapping of named things the key that it stands under."""
        if isinstance(value, dict):
            for key, thing in value.items():
                if isinstance(thing, Named):
                    thing._id = key  # noqa: SLF001 - the one place where a thing is told its id
        return value


class Named(Keys):
    """Something that other places of the data point at by its key."""

    _id: str = PrivateAttr(default="")

    @property
    def id(self) -> str:
        """The key that it stands under in the file."""
        return self._id
