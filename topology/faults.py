# SPDX-License-Identifier: MIT
"""Faults of reading: text, YAML's traps and quantities. Each function is one fault and its own manual.

A fault function makes the finding; its docstring is what `sld explain` prints, and `@fault` registers it under its name.
"""
from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import ParamSpec

from .errors import Finding, Mark, Related
from .quantity import QuantityError

__all__ = ["FAULTS", "SEVERITY", "alias_misuse", "backslash_in_quotes", "bare_hash", "clip", "colon_in_value", "comma_in_braces",
           "control_character", "doc_parts", "duplicate_key", "fault", "impossible_value", "indentation", "key_not_text",
           "key_without_value", "leading_sign", "line_without_colon", "list_in_value", "merge_key", "missing_glyph",
           "missing_unit", "name_long", "no_file", "no_number", "not_utf8", "of_quantity", "open_bracket", "open_quote", "quoted",
           "scalar_too_long", "several_documents", "tab_indent", "tag_not_allowed", "text_after_value", "too_deep", "too_large",
           "too_many_values", "wrong_unit", "yaml_syntax"]

FAULTS: dict[str, Callable[..., Finding]] = {}
"""Every fault by its rule name, in the order of declaration."""

PARTS = re.compile(r"^(Why|Bad|Good|Source): *", re.M)
MOST = 60
P = ParamSpec("P")


def doc_parts(text: str) -> dict[str, str]:
    """A rule's docstring by its headings: "" (the first line), Why, Bad, Good, Source."""
    pieces = PARTS.split(inspect.cleandoc(text))
    return {"": pieces[0].strip(), **{head: body.strip() for head, body in zip(pieces[1::2], pieces[2::2], strict=True)}}


SEVERITY: dict[str, str] = {"acceptance-unused": "warning", "missing-glyph": "warning", "name-long": "warning"}
"""Faults that are no errors."""


def fault(function: Callable[P, Finding]) -> Callable[P, Finding]:
    """Register the function that makes the finding of one fault; the finding carries rule, severity and source."""
    rule = function.__name__.replace("_", "-")
    source = " ".join(doc_parts(function.__doc__ or "").get("Source", "").split())

    @wraps(function)
    def made(*args: P.args, **kwargs: P.kwargs) -> Finding:
        return replace(function(*args, **kwargs), rule=rule, severity=SEVERITY.get(rule, "error"), source=source)

    FAULTS[rule] = made
    return made


def clip(text: str) -> str:
    """Text of the file on one line, cut where it gets too long for a message."""
    line = " ".join(text.split())
    return line if len(line) <= MOST else line[:MOST - 1] + "…"


def quoted(text: str) -> str:
    """Text in the quotes that YAML wants for it."""
    line = clip(text)
    return "'" + line.replace("'", "''") + "'" if '"' in line or "\\" in line else f'"{line}"'


def _with_key(key: str, value: str) -> str:
    return f"{clip(key)}: {value}" if key else value


# ---- the file --------------------------------------------------------------------------------------------------------

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
def not_utf8(mark: Mark, byte: int, legacy: str) -> Finding:
    """File that is not written in UTF-8.

    Why: the same byte is another letter on another computer; a name or a unit sign could change without anybody seeing it.
    Bad: a file saved as "Windows-1252" or "UTF-16"
    Good: the same file saved as "UTF-8"
    Source: YAML 1.2.2, section 5.2 (character encodings); the contract of the site file
    """
    hint = f" (perhaps '{legacy}', saved in an older encoding)" if legacy else ""
    return Finding(mark, f"byte 0x{byte:02X} is not UTF-8{hint}", "save the file as UTF-8 and run this again")


@fault
def control_character(mark: Mark, code: int) -> Finding:
    """Character that cannot be seen and does not belong in a text.

    Why: what is drawn and what stands in the file would differ, and no drawing format can hold such a character. Line separators other
        than line feed and carriage return, and signs that turn the direction of writing, are among them.
    Bad: a NUL or an escape character in a name, mostly from a damaged file
    Good: the same name typed again
    Source: YAML 1.2.2, section 5.1 (character set); XML 1.0, section 2.2; Unicode UTS 55 for signs that turn the direction
    """
    return Finding(mark, f"character U+{code:04X} cannot be seen and is not allowed", "delete it, or type this part of the line again")


@fault
def missing_glyph(mark: Mark, lacking: str) -> Finding:
    """Character that the lettering of the drawings has not got.

    Why: the drawing shows an empty box in its place, and a name that cannot be read on site is no name. The lettering comes with the
        program, so that every drawing has text of the same width; it has Latin, Greek and Cyrillic letters and the signs of the trade.
    Bad: a name in a script that the lettering lacks, or a pictogram such as a sign of danger
    Good: the name in letters that the drawings have; signs of danger are drawn by the program where they belong
    Source: character maps of the font that comes with the program (topology/lettering.csv)
    """
    first, more = lacking[0], len(lacking) - 1
    others = f" and of {more} more character{'s' if more > 1 else ''} of this text" if more else ""
    return Finding(mark, f"the drawings have no shape of '{first}' (U+{ord(first):04X}){others}: an empty box stands for it",
                   "write it with other letters, or leave it as it is: schedules show it")


@fault
def name_long(mark: Mark, letters: int) -> Finding:
    """Name that is longer than the drawings have room for.

    Why: a label that grows without end pushes the drawing onto more paper than a plotter takes. Drawings end such a text with an
        ellipsis, and whoever stands before the board reads only its beginning.
    Bad: a name of 300 characters that holds the history of the circuit
    Good: a short name, and the history under notes
    Source: limit of this program
    """
    return Finding(mark, f"a name of {letters} characters: where the drawings have no room for all of it, they end it with an ellipsis",
                   "shorten it, or move what explains it to a note")


@fault
def too_large(mark: Mark, limit: int) -> Finding:
    """File that is larger than a site file can be.

    Why: a limit keeps a wrong file (a photo, a log) from blocking the computer.
    Bad: a file of 200 MB
    Good: a file of at most 4 MB; a site of 2,000 devices takes a fraction of that
    Source: limit of this program
    """
    return Finding(mark, f"the file has more than {limit:,} bytes, the most of a site file", "give the path of a site file")


@fault
def too_deep(mark: Mark, limit: int) -> Finding:
    """Lists and mappings that stand inside each other too deeply.

    Why: a limit keeps a damaged file from blocking the computer; no real site comes near it.
    Bad: forty-one brackets in a row
    Good: boards that feed each other by 'feeds:', each written once at the left
    Source: limit of this program
    """
    return Finding(mark, f"lists and mappings stand more than {limit} deep here",
                   "write inner boards under 'boards:' and refer to them by 'feeds:'")


@fault
def too_many_values(mark: Mark, limit: int) -> Finding:
    """File with more values than a site can have.

    Why: a limit keeps a wrong file from blocking the computer.
    Bad: half a million values
    Good: one site in each file
    Source: limit of this program
    """
    return Finding(mark, f"the file has more than {limit:,} values", "write one site in each file")


@fault
def scalar_too_long(mark: Mark, length: int, limit: int) -> Finding:
    """Value that is longer than any text on a drawing can be.

    Why: mostly a quote that was never closed, or data that belongs in a file of its own.
    Bad: name: "Sockets …          (and 10,000 letters until the next quote)
    Good: name: "Sockets"
    Source: limit of this program
    """
    return Finding(mark, f"this value has {length:,} characters; a value has at most {limit:,}", "shorten it, or look for a missing quote")


@fault
def several_documents(mark: Mark) -> Finding:
    """Second document in one file.

    Why: '---' on a line of its own begins a new document in YAML; what follows it would silently be ignored.
    Bad: boards: …
        ---
        controllers: …
    Good: boards: …
        controllers: …
    Source: YAML 1.2.2, section 9.2 (streams); the contract of the site file (one site in each file)
    """
    return Finding(mark, "a second document begins here, and a site file is one document", "remove the line with '---' or '...'")


# ---- what YAML makes of a value --------------------------------------------------------------------------------------

SIGNS = {"*": "reads as a reference to an earlier value", "&": "reads as a name for the value", "%": "reads as an instruction",
         "?": "reads as the beginning of a key", "!": "reads as a type", ">": "reads as the beginning of a text over several lines",
         "|": "reads as the beginning of a text over several lines", "-": "reads as an entry of a list"}


@fault
def leading_sign(mark: Mark, key: str, text: str) -> Finding:
    """Value that begins with a sign of YAML's own.

    Why: * & @ ` > | ? ! % and a dash with a space mean something to YAML at the beginning of a value, so that the value is not what was
        typed. In quotes all of them are plain letters.
    Bad: name: @home
    Good: name: "@home"
    Source: YAML 1.2.2, section 5.3 (indicator characters) and rule 126 (ns-plain-first)
    """
    sign = text[:1]
    message = f"'{clip(text)}' begins with '{sign}', which YAML {SIGNS.get(sign, 'keeps for itself')}"
    if text.strip() == "?":
        return Finding(mark, message, "type TBC for what is not known yet")
    also = ", or begin the list on the next line" if sign == "-" else ""
    return Finding(mark, message, f"put {'the value' if key else 'it'} in quotes: {_with_key(key, quoted(text))}{also}")


@fault
def bare_hash(mark: Mark, key: str, kept: str, whole: str) -> Finding:
    """Value that a '#' cuts off.

    Why: a '#' after a space begins a comment; the rest of the line is lost without a word. A comment has a space after its '#'.
    Bad: name: Unit #4
    Good: name: "Unit #4"
    Source: YAML 1.2.2, section 6.6 (comments)
    """
    left = f"only '{clip(kept)}' is left of the value" if kept else "nothing is left of the value"
    return Finding(mark, f"'#' begins a comment here: {left}",
                   f"put the value in quotes: {_with_key(key, quoted(whole))}, or a space after '#' if it is a comment")


@fault
def comma_in_braces(mark: Mark, key: str, value: str, rest: str) -> Finding:
    """Value that a comma inside braces cuts in two.

    Why: inside {} a comma ends the value, and what follows becomes a key without value.
    Bad: site: {address: 4 Kelp Lane, Port Example}
    Good: site: {address: "4 Kelp Lane, Port Example"}
    Source: YAML 1.2.2, section 7.4.2 (flow mappings)
    """
    if key == "way":
        step = f"write '{value}-{rest}'" if rest.isdigit() and value.isdigit() and int(rest) == int(value) + 1 else f"a range says first and last: '{value}-{rest}'"
        return Finding(mark, f"the comma ends the value '{clip(value)}', and '{clip(rest)}' has no value of its own", step)
    said = f"the comma ends the value '{clip(value)}', and '{clip(rest)}' has no value of its own"
    if re.search(r"(?:^|[\sx×G])\d+$", value) and re.match(r"\d+(?:\s|$|[A-Za-z])", rest):  # 2,5 kW: a decimal comma, as many languages write it
        return Finding(mark, said, f"write a decimal point: {_with_key(key, f'{value}.{rest}')}")
    return Finding(mark, said, f"put the whole value in quotes: {_with_key(key, quoted(f'{value}, {rest}'))}")


@fault
def key_without_value(mark: Mark, key: str) -> Finding:
    """Key inside braces that has no value.

    Why: inside {} every entry is a key, a colon, a space and a value; without the space the colon is part of the key.
    Bad: load: {kind:lighting}
    Good: load: {kind: lighting}
    Source: YAML 1.2.2, section 7.4.2 (flow mappings)
    """
    name, colon, value = key.partition(":")
    if colon and value:
        return Finding(mark, f"'{clip(key)}' has no space after its colon", f"type '{clip(name)}: {clip(value)}'")
    return Finding(mark, f"'{clip(key)}' has no value", f"type '{clip(key)}: ' and its value")


@fault
def colon_in_value(mark: Mark, key: str, text: str) -> Finding:
    """Value with a colon and a space in it.

    Why: a colon followed by a space ends a key in YAML, so that one line seems to have two keys.
    Bad: name: Workshop: north
    Good: name: "Workshop: north"
    Source: YAML 1.2.2, section 7.3.3 (plain style)
    """
    return Finding(mark, f"': ' inside the value '{clip(text)}' makes a second key of it",
                   f"put the value in quotes: {_with_key(key, quoted(text))}")


@fault
def list_in_value(mark: Mark, text: str, value: str) -> Finding:
    """Entry of a list that became part of the value above it.

    Why: a line that is indented further than a value without quotes continues that value, dash included.
    Bad: - breaker: 16 A C 1P 6 kA
          - cable: 14 m
    Good: - breaker: 16 A C 1P 6 kA
        - cable: 14 m
    Source: YAML 1.2.2, section 7.3.3 (plain style, several lines)
    """
    return Finding(mark, f"'{clip(text)}' is read as part of the value '{clip(value)}' above",
                   "begin it exactly below the '-' of the entry before")


@fault
def tag_not_allowed(mark: Mark, tag: str) -> Finding:
    """Type in YAML's own sense.

    Why: every value of a site file is text that this program reads itself; a type from YAML would change it before that.
    Bad: name: !!str 007
    Good: name: 007
    Source: YAML 1.2.2, section 6.8.2 (node tags); the contract of the site file
    """
    return Finding(mark, f"'{clip(tag)}' gives the value a type, and a site file has none", f"remove '{clip(tag)}'")


@fault
def alias_misuse(mark: Mark, name: str, anchor: Mark, what: str) -> Finding:
    """Reference to a whole mapping or list.

    Why: each device, cable and circuit is one thing with one place in the file; a copy would have the same id and the same place.
        References to single values are allowed.
    Bad: load: *kitchen                   (where &kitchen is a mapping)
    Good: cable: *run                     (where &run is the text 2.5 mm² 2C+2.5E 24 m)
    Source: YAML 1.2.2, section 7.1 (alias nodes); the contract of the site file
    """
    return Finding(mark, f"'*{clip(name)}' refers to a {what}; only single values can be referred to",
                   f"write the {what} out here, or describe the equipment once under 'types:'", related=(Related(anchor, "defined here"),))


@fault
def merge_key(mark: Mark) -> Finding:
    """Key '<<', which some readers of YAML take as "insert another mapping".

    Why: it is no part of YAML 1.2, and what came from elsewhere would have no place of its own in the file.
    Bad: {<<: *usual, way: 3}
    Good: {way: 3, in_line: [breaker: 16 A C 1P 6 kA]}
    Source: YAML 1.2.2 has no merge key; it was a type of YAML 1.1
    """
    return Finding(mark, "'<<' is not read as a merge of mappings", "write the entries out here")


@fault
def duplicate_key(mark: Mark, key: str, first: Mark) -> Finding:
    """Key that occurs twice in one mapping.

    Why: only one of the two values could count, and nobody would see which.
    Bad: {way: 3, name: Sockets, name: Kitchen}
    Good: {way: 3, name: Kitchen sockets}
    Source: YAML 1.2.2, section 3.2.1.3 (keys of a mapping are unique)
    """
    more = ": a file describes one point of supply (sld explain second-supply)" if key == "supply" else ""
    return Finding(mark, f"'{clip(key)}' is there twice", f"keep one of the two{more}", related=(Related(first, "first here"),))


@fault
def key_not_text(mark: Mark, what: str) -> Finding:
    """Key that is a list or a mapping.

    Why: a key is a plain word of the site file; brackets at the beginning of a line are mostly a value without its key.
    Bad: [QF1, QF2]: existing
    Good: QF1: {status: existing}
    Source: the contract of the site file
    """
    return Finding(mark, f"a {what} stands where a key belongs", "type a plain word as the key, or put the whole text in quotes")


# ---- YAML that cannot be read ----------------------------------------------------------------------------------------

@fault
def tab_indent(mark: Mark) -> Finding:
    """Tab at the beginning of a line.

    Why: a tab is as wide as each editor likes, and the indentation of a line says what it belongs to.
    Bad: a line that is moved to the right with the tab key
    Good: the same line moved with two spaces a step
    Source: YAML 1.2.2, section 6.1 (indentation spaces)
    """
    return Finding(mark, "this line is indented with a tab", "use spaces, two a step (most editors can convert tabs to spaces)")


@fault
def indentation(mark: Mark, text: str, reason: str) -> Finding:
    """Line that is not indented like its neighbours.

    Why: the indentation says what a line belongs to; between two steps it belongs to nothing.
    Bad: supply:
            system: 1/N/PE
          allocation: 63 A
    Good: supply:
            system: 1/N/PE
            allocation: 63 A
    Source: YAML 1.2.2, section 6.1 (indentation spaces)
    """
    return Finding(mark, f"'{clip(text)}' {reason}", "begin it exactly below the first letter of the entry above that it stands beside")


@fault
def open_quote(mark: Mark, sign: str) -> Finding:
    """Quote that is never closed.

    Why: everything up to the end of the file would belong to this one value.
    Bad: name: "Sockets
    Good: name: "Sockets"
    Source: YAML 1.2.2, section 7.3 (flow scalar styles)
    """
    cure = "two of them ('') stand for one inside single quotes" if sign == "'" else '\\" stands for one inside double quotes'
    return Finding(mark, f"the quote {sign} that opens here is never closed", f"type {sign} at the end of the value; {cure}")


@fault
def open_bracket(mark: Mark, sign: str, stopped: Mark, found: str) -> Finding:
    """Bracket that is not closed, or closed by the wrong one.

    Why: everything that follows would belong inside it.
    Bad: in_line: [breaker: 16 A C 1P 6 kA, cable: 14 m
    Good: in_line: [breaker: 16 A C 1P 6 kA, cable: 14 m]
    Source: YAML 1.2.2, section 7.4 (flow collection styles)
    """
    close = {"[": "]", "{": "}"}.get(sign, sign)
    where = f"before '{clip(found)}'" if found else "before the file ends"
    return Finding(mark, f"the bracket '{sign}' that opens here is not closed {where}",
                   f"type '{close}' where it ends, or a comma between entries",
                   related=(Related(stopped, "reading stopped here"),))


@fault
def text_after_value(mark: Mark, text: str, sign: str) -> Finding:
    """Text after the quote or bracket that ends a value.

    Why: the value is complete at that sign; what follows has no place.
    Bad: name: "Workshop" north
    Good: name: "Workshop north"
    Source: YAML 1.2.2, section 7 (flow style productions)
    """
    also = "; a text with ' in it goes in double quotes" if sign == "'" else ""
    return Finding(mark, f"'{clip(text)}' follows after the {sign} that ends the value",
                   f"take it inside before the {sign}, or remove it{also}")


@fault
def line_without_colon(mark: Mark, text: str) -> Finding:
    """Line that should be a key with a value and has no colon with a space.

    Why: among keys, every line begins with a key, a colon and a space.
    Bad: status existing
    Good: status: existing
    Source: YAML 1.2.2, section 8.2.2 (block mappings)
    """
    name, colon, value = text.partition(":")
    if colon and value.strip():
        return Finding(mark, f"'{clip(text)}' has no space after its colon", f"type '{clip(name)}: {clip(value)}'")
    if colon:
        return Finding(mark, f"'{clip(text)}' has no value after its colon", f"type '{clip(name)}: ' and the value, or '{clip(name)}: TBC' while it is not known")
    return Finding(mark, f"'{clip(text)}' has no colon that would make a key of it", "type a key, a colon, a space and the value")


@fault
def backslash_in_quotes(mark: Mark, text: str) -> Finding:
    """Backslash inside double quotes.

    Why: inside double quotes a backslash begins a code for another character, and this one is none.
    Bad: file: "plans\\site.png"
    Good: file: 'plans\\site.png'
    Source: YAML 1.2.2, section 5.7 (escaped characters)
    """
    return Finding(mark, f"'{clip(text)}' inside double quotes is no character that YAML knows",
                   "use single quotes, or type the backslash twice")


@fault
def yaml_syntax(mark: Mark, why: str, cure: str) -> Finding:
    """Text that YAML cannot read.

    Why: what follows cannot be understood either, so reading ends here.
    Bad: way: ]
    Good: way: 5
    Source: YAML 1.2.2
    """
    return Finding(mark, why, cure)


# ---- quantities ------------------------------------------------------------------------------------------------------

@fault
def missing_unit(mark: Mark, what: str, text: str, suggestion: str) -> Finding:
    """Number without its unit.

    Why: 16 may be amperes or square millimetres, 30 may be amperes or milliamperes; a wrong guess would pass every check.
    Bad: rating: 16
    Good: rating: 16 A
    Source: ISO 80000-1, section 7 (a quantity is a number and a unit)
    """
    return Finding(mark, f"{what}: '{clip(text)}' has no unit", f"did you mean '{suggestion}'?")


@fault
def wrong_unit(mark: Mark, what: str, given: str, kind: str, suggestion: str, example: str) -> Finding:
    """Unit that measures something else, or that nobody knows.

    Why: W, VA and var, or m and mm², are different things; capitals count, because m is milli and M is mega.
    Bad: rating: 16 mm²
    Good: rating: 16 A
    Source: BIPM, The International System of Units, 9th edition, chapters 3 (prefixes) and 5.2 (unit symbols)
    """
    return Finding(mark, f"{what} is {kind}, and '{clip(given)}' is no unit of it",
                   f"did you mean '{suggestion}'?" if suggestion else f"write it like '{example}'")


@fault
def impossible_value(mark: Mark, what: str, text: str, why: str, example: str) -> Finding:
    """Value that nothing on a site can have.

    Why: a slip of the pen (a sign, a prefix, a comma) makes a value that is well written and cannot be.
    Bad: length: -4 m
    Good: length: 4 m
    Source: the range that the grammar of the site file gives each value (`sld schema` prints it)
    """
    return Finding(mark, f"{what} cannot be '{clip(text)}': {why}", f"write it like '{example}', or TBC while it is not known")


@fault
def no_number(mark: Mark, what: str, text: str, kind: str, suggestion: str, example: str) -> Finding:
    """Quantity that does not begin with a plain number.

    Why: a comma may separate thousands or decimals, so only the point is read; at most 12 digits stand before it and 6 after it.
    Bad: length: 2,5 m
    Good: length: 2.5 m
    Source: the grammar of the site file; ISO 80000-1, section 7.3 (no sign groups thousands)
    """
    return Finding(mark, f"{what} is {kind}, and '{clip(text)}' is not a plain number with a unit",
                   f"did you mean '{suggestion}'?" if suggestion else f"write it like '{example}', or TBC while it is not known")


def of_quantity(error: QuantityError, mark: Mark, what: str) -> Finding:
    """The finding for a text that `parse_quantity` refused."""
    unit = error.unit
    if error.reason == "bare":
        return missing_unit(mark, what, error.text, error.suggestion)
    if error.reason == "unit":
        return wrong_unit(mark, what, error.given, unit.kind, error.suggestion, unit.example)
    return no_number(mark, what, error.text, unit.kind, error.suggestion, unit.example)
