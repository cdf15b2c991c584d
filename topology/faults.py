# SPDX-License-Identifier: MIT
"""Faults of the text itself: encoding, YAML and its traps, quantities. Each function is one fault and its own manual."""
from __future__ import annotations

import functools
import inspect
import re
from collections.abc import Callable
from dataclasses import replace
from typing import ParamSpec

from .errors import Finding, Mark, Related
from .quantity import QuantityError

__all__ = ["FAULTS", "alias_misuse", "bare_hash", "colon_in_value", "comma_in_braces", "control_character", "doc_parts",
           "duplicate_key", "fault", "impossible_value", "leading_sign", "missing_unit", "no_file", "no_number", "not_utf8", "of_quantity", "tab_indent",
           "too_deep", "too_large", "wrong_unit", "yaml_syntax"]

P = ParamSpec("P")
FAULTS: dict[str, Callable[..., Finding]] = {}
"""Every fault of reading by its rule name."""
PARTS = re.compile(r"^(Why|Bad|Good|Source): *", re.M)


def doc_parts(text: str) -> dict[str, str]:
    """A rule's docstring by its headings: "" (the first line), Why, Bad, Good, Source."""
    pieces = PARTS.split(inspect.cleandoc(text))
    return {"": pieces[0].strip(), **{head: body.strip() for head, body in zip(pieces[1::2], pieces[2::2], strict=True)}}


def fault(function: Callable[P, Finding]) -> Callable[P, Finding]:
    """Register a fault of reading: its findings carry the function's name as rule and the Source of its docstring."""
    name = function.__name__.replace("_", "-")
    source = doc_parts(function.__doc__ or "").get("Source", "")

    @functools.wraps(function)
    def named(*args: P.args, **kwargs: P.kwargs) -> Finding:
        return replace(function(*args, **kwargs), rule=name, severity="error", source=source)

    FAULTS[name] = named
    return named


# ---- text ------------------------------------------------------------------------------------------------------------

@fault
def no_file(mark: Mark, path: str, why: str) -> Finding:
    """Site file that is not there or cannot be opened.

    Why: nothing can be said about a site without its file.
    Bad: sld check siet.yaml
    Good: sld check site.yaml
    Source: the contract of the site file
    """
    return Finding(mark, f"{path} cannot be opened: {why}", "give the path of a site file")


@fault
def not_utf8(mark: Mark, byte: int) -> Finding:
    """File that is not encoded in UTF-8.

    Why: in another encoding ², Ω and accented letters turn into other letters without anyone noticing.
    Bad: a file saved as Windows-1252
    Good: the same file saved as UTF-8
    Source: YAML 1.2.2, section 5.2
    """
    return Finding(mark, f"the byte {byte:02X} is not UTF-8", "save the file as UTF-8 in your editor")


@fault
def control_character(mark: Mark, code: int) -> Finding:
    """Control character in the file.

    Why: it cannot be seen, and it breaks drawings and spreadsheets that hold the text.
    Bad: a name pasted with an escape character in it
    Good: the name typed again
    Source: YAML 1.2.2, section 5.1
    """
    return Finding(mark, f"there is a control character here (code {code})", "delete this character")


@fault
def too_large(mark: Mark, what: str, limit: str) -> Finding:
    """File, or one value in it, that is larger than any site needs.

    Why: a limit keeps a damaged or hostile file from filling the machine.
    Bad: a file of 50 MB
    Good: a site file: 400 circuits take about 100 kB
    Source: the contract of the site file
    """
    return Finding(mark, f"{what} is too large: the limit is {limit}", "split the site, or remove what does not belong in a site file")


@fault
def too_deep(mark: Mark, limit: int) -> Finding:
    """Nesting that is deeper than any site needs.

    Why: a limit keeps a damaged or hostile file from filling the machine.
    Bad: [[[[[[ … forty times and more
    Good: boards feed boards by id: feeds: SB
    Source: the contract of the site file
    """
    return Finding(mark, f"this is nested more than {limit} deep", "check the brackets and the indentation; boards feed boards by id")


@fault
def alias_misuse(mark: Mark, text: str, why: str) -> Finding:
    """Alias, anchor, merge key, tag or second document where it cannot be used.

    Why: an alias to a whole object would make one thing stand in two places, with one id.
    Bad: SB: *MSB
    Good: an anchor on one value: rating: &main 63 A, and elsewhere rating: *main
    Source: the contract of the site file; YAML 1.2.2, section 7.1
    """
    return Finding(mark, f"'{text}': {why}", f"write the value out; text that begins with '{text[:1]}' goes in quotes: \"{text}…\"")


@fault
def yaml_syntax(mark: Mark, why: str, hint: str) -> Finding:
    """Text that is not YAML.

    Why: what stands after this place cannot be understood; everything before it was read.
    Bad: site: {name: Kelp Lane
    Good: site: {name: Kelp Lane}
    Source: YAML 1.2.2
    """
    return Finding(mark, why, hint)


@fault
def duplicate_key(mark: Mark, key: str, first: Mark) -> Finding:
    """Key that stands twice in one mapping.

    Why: only one of the two values could count, and nobody would see which.
    Bad: {rating: 16 A, rating: 20 A}
    Good: {rating: 16 A}
    Source: YAML 1.2.2, section 3.2.1.3
    """
    return Finding(mark, f"key '{key}' stands twice in this mapping", "remove one of them", related=(Related(first, "first used here"),))


@fault
def comma_in_braces(mark: Mark, key: str, value: str) -> Finding:
    """Comma in a text inside braces.

    Why: inside braces a comma ends the value, and the rest of the text becomes a key without a value.
    Bad: {address: 4 Kelp Lane, Port Example}
    Good: {address: "4 Kelp Lane, Port Example"}
    Source: YAML 1.2.2, section 7.3.3
    """
    return Finding(mark, f"the comma before '{key}' ended the value: '{key}' is now a key without a value", f'put the whole text in quotes: "{value}, {key}"')


@fault
def bare_hash(mark: Mark, kept: str, lost: str) -> Finding:
    """Hash sign after a space in a value.

    Why: a space and a hash begin a comment, so the rest of the value is lost.
    Bad: name: Unit #4
    Good: name: "Unit #4"
    Source: YAML 1.2.2, section 6.6
    """
    return Finding(mark, f"the text from '#' on is a comment: the value is only '{kept}'",
                   f'put it in quotes: "{kept} {lost}", or write "# " with a space for a comment')


@fault
def colon_in_value(mark: Mark, value: str) -> Finding:
    """Colon and space inside a value.

    Why: a colon and a space end a key, so this line has two keys.
    Bad: note: Rev B: new board
    Good: note: "Rev B: new board"
    Source: YAML 1.2.2, section 7.3.3
    """
    return Finding(mark, "a ': ' inside a value makes it a second key", f'put the value in quotes: "{value}"')


@fault
def leading_sign(mark: Mark, sign: str, value: str) -> Finding:
    """Value that begins with a sign that YAML keeps for itself.

    Why: * & @ ` > | ? ! % at the beginning of a value mean something to YAML, and the text is lost or refused.
    Bad: name: @home
    Good: name: "@home"
    Source: YAML 1.2.2, section 5.3
    """
    return Finding(mark, f"a value cannot begin with '{sign}'", f'put it in quotes: "{value}"')


@fault
def tab_indent(mark: Mark) -> Finding:
    """Tab in the indentation.

    Why: YAML counts spaces; how wide a tab is differs from editor to editor.
    Bad: a tab before way: 1
    Good: two spaces before way: 1
    Source: YAML 1.2.2, section 6.1
    """
    return Finding(mark, "there is a tab in the indentation", "indent with spaces")


# ---- quantities ------------------------------------------------------------------------------------------------------

@fault
def missing_unit(mark: Mark, what: str, text: str, example: str) -> Finding:
    """Number without a unit.

    Why: a bare 35 may be ampere, metre or square millimetre; guessing is how wrong cables get ordered.
    Bad: length: 14
    Good: length: 14 m
    Source: the contract of the site file; SI brochure (BIPM, 9th edition), section 5.4.1
    """
    return Finding(mark, f"{what}: '{text}' has no unit", f"did you mean '{example}'?")


@fault
def wrong_unit(mark: Mark, what: str, given: str, kind: str, example: str) -> Finding:
    """Unit that measures something else.

    Why: the number may be right and the place wrong, or the other way round.
    Bad: length: 14 A
    Good: length: 14 m
    Source: the contract of the site file; SI brochure (BIPM, 9th edition), section 5.4.1
    """
    return Finding(mark, f"{what}: '{given}' is not the unit of {kind}", f"write it like '{example}'")


@fault
def no_number(mark: Mark, what: str, text: str, kind: str, example: str) -> Finding:
    """Text where a number with its unit belongs, or a number in another notation.

    Why: decimal commas and powers of ten are read differently in different places.
    Bad: length: 2,5 m
    Good: length: 2.5 m
    Source: the contract of the site file
    """
    return Finding(mark, f"{what}: '{text}' is not {kind}", f"write it like '{example}'")


@fault
def impossible_value(mark: Mark, what: str, text: str, why: str, example: str) -> Finding:
    """Value that cannot be.

    Why: a negative length or a current of a million ampere is a slip, and every result behind it would be wrong.
    Bad: length: -3 m
    Good: length: 3 m
    Source: the contract of the site file
    """
    return Finding(mark, f"{what} cannot be '{text}': {why}", f"write a value such as '{example}'")


def of_quantity(error: QuantityError, mark: Mark, what: str) -> Finding:
    """The finding for text that is no quantity."""
    example = error.suggestion or error.unit.example
    if error.reason == "bare":
        return missing_unit(mark, what, error.text, example)
    if error.reason == "unit":
        return wrong_unit(mark, what, error.given, error.unit.kind, example)
    return no_number(mark, what, error.text, error.unit.kind, example)
