"""What can be told once: no second value takes the place of the first unseen."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from typing import Any

import typer
from typer.core import TyperCommand

from hoseselect.intake.faults import shown
from hoseselect.knowledge.errors import InputError

ONE = "one of them"
FOR_TWO_ENDS = {
    "--nipple": "--nipple-a and --nipple-b for two ends",
    "--bead": "--set nipple_a.bead=yes and --set nipple_b.bead=no for two ends",
}
"""What is right for two ends that differ, by the option for both."""

BOTH_ENDS = "nipples."
A_VALUE = "key=value, e.g. 'duty.coldest_start=-25 degC'"


class CommandToldOnce(TyperCommand):
    """A command that refuses a second, other value of an option that takes one."""

    def make_parser(self, ctx: Any) -> Any:
        """Return a parser that keeps every value of such an option, and hands on the only one."""
        parser = super().make_parser(ctx)
        parameters: list[Any] = self.get_params(ctx)
        single = {str(one.name): one for one in parameters if _takes_one(one)}
        for name, option in single.items():
            parser.add_option(
                obj=option, opts=option.opts, dest=name, action="append", nargs=option.nargs
            )
        every = parser.parse_args

        def parse_args(args: list[str]) -> Any:
            values, *rest = every(args=args)
            for name in single.keys() & values.keys():
                values[name] = _only(single[name], values[name], refused=not ctx.resilient_parsing)
            return (values, *rest)

        parser.parse_args = parse_args  # type: ignore[method-assign]
        return parser


def told_once(app: typer.Typer) -> None:
    """Have every command of a command line refuse a second value of an option that takes one.

    Parameters
    ----------
    app : with all its commands
    """
    for command in app.registered_commands:
        command.cls = CommandToldOnce
    for group in app.registered_groups:
        if group.typer_instance is not None:
            told_once(group.typer_instance)


def _takes_one(parameter: Any) -> bool:
    if parameter.param_type_name != "option":
        return False
    return not (parameter.is_flag or parameter.count or parameter.multiple)


def _only(option: Any, texts: Sequence[Any], *, refused: bool) -> Any:
    """Return the value of an option; several that are the same text are one."""
    others = [text for text in texts if text != texts[0]]
    if others and refused:
        flag = max(option.opts, key=len)
        raise InputError(flag, f"{shown(texts[0])} and {shown(others[0])}", _right(flag))
    return texts[-1]


def _right(flag: str) -> str:
    return f"{ONE}, or {FOR_TWO_ENDS[flag]}" if flag in FOR_TWO_ENDS else ONE


def told_keys(texts: Iterable[str], place: str) -> dict[str, str]:
    """Return keys and values of texts such as 'route.measured=400 mm'.

    Parameters
    ----------
    texts : as typed
    place : name of the option or argument

    Raises
    ------
    InputError
        when one of them is no key and value, or a key has two values.
    """
    told: dict[str, str] = {}
    for text in texts:
        key, sign, value = (part.strip() for part in text.partition("="))
        if not sign or not key:
            raise InputError(place, f"'{text}'", A_VALUE)
        if told.setdefault(key, value) != value:
            found = f"{shown(told[key])} and {shown(value)}"
            raise InputError(f"{place} {key}", found, _right_key(key))
    return told


def _right_key(key: str) -> str:
    if not key.startswith(BOTH_ENDS):
        return ONE
    name = key.removeprefix(BOTH_ENDS)
    return f"{ONE}, or nipple_a.{name} and nipple_b.{name} for two ends"


def refuse_two_values(
    options: Mapping[str, tuple[str, str]],
    keys: Mapping[str, str],
    place: str,
    settled: Container[str],
) -> None:
    """Refuse a key that has one value by its option and another by its name.

    Parameters
    ----------
    options : option and text by key
    keys : text by key, as typed at `place`
    place : name of the option that takes keys
    settled : keys of which one value counts whatever else is told

    Raises
    ------
    InputError
        naming both values.
    """
    for key, (flag, text) in options.items():
        other = keys.get(key, text)
        if other != text.strip() and key not in settled:
            found = f"{shown(text)}, and {shown(other)} by {place} {key}"
            raise InputError(flag, found, _right(flag))
