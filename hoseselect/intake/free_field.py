"""The field of a free route: its form is loaded only where a job has one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel
from pydantic_core import CoreSchema, core_schema


class FreeField:
    """Reads a free route by its form, and stands for that form in the published schema."""

    @property
    def form(self) -> type[BaseModel]:
        """The form itself."""
        from hoseselect.intake.free_form import FreeForm

        return FreeForm

    def __get_pydantic_core_schema__(
        self, source: Any, handler: Callable[[Any], CoreSchema]
    ) -> CoreSchema:
        """Return the schema that reads the field."""
        return core_schema.no_info_plain_validator_function(_read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: Callable[[CoreSchema], dict[str, Any]]
    ) -> dict[str, Any]:
        """Return the published form."""
        return handler(self.form.__pydantic_core_schema__)


def _read(value: Any) -> Any:
    """Return the form of a free route, or None.

    Raises
    ------
    pydantic.ValidationError
        when it cannot be used.
    """
    if value is None:
        return None
    from hoseselect.intake.free_form import FreeForm

    return FreeForm.model_validate(value)
