# SPDX-License-Identifier: MIT
"""Kinds of value that a site file can hold: each reads a node, prints a value and describes itself to JSON Schema."""
from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from . import faults, site_faults
from .errors import Mark, Unknown
from .fields import show_object
from .quantity import QuantityError, parse_quantity, show_quantity, token_pattern
from .trade_words import almost, phase_meant
from .tree import Map, Node, Scalar, Sequence

if TYPE_CHECKING:
    from .scope import Scope

__all__ = ["ID", "TBC", "Amount", "ByKind", "Choice", "Cores", "Day", "Each", "FileName", "Free", "Ident", "Kind", "ManyWords", "Nested", "NumberOf", "OneOf",
           "OneOrMore", "ParallelOf", "Pattern", "PhaseSet", "Phases", "Ref", "Said", "SystemCode", "Table", "TextKind", "Voltage", "Way", "WayKind",
           "YesNo", "shape_of"]

ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,31}")
TBC = ("TBC", "?")
ENTRY = "entry among "
TYPED_TEXT = ["string", "number", "integer", "boolean"]
"""What an editor makes of a plain scalar: YAML 1.2 types `way: 1` as an integer, we read text."""


class Said(NamedTuple):
    """An id that refers to something, with the place where it stands."""

    id: str
    mark: Mark

    def __str__(self) -> str:
        return self.id


class Way(NamedTuple):
    """Ways that a circuit takes on its board, first to last."""

    first: int
    last: int

    def __str__(self) -> str:
        return str(self.first) if self.first == self.last else f"{self.first}-{self.last}"


def shape_of(node: Node) -> str:
    """The shape of a node in words."""
    return "a mapping" if isinstance(node, Map) else "a list" if isinstance(node, Sequence) else "one value"


class Kind:
    """A kind of value. token: how it looks in a shorthand; before: a word that precedes it there; greedy: any word could be it."""

    token: str | None = None
    greedy = False
    before = ""
    example = ""

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        """The value of a node; an Unknown after a fault has been reported."""
        raise NotImplementedError

    def show(self, value: Any) -> Any:
        """The value as text, list or dict, as the site file would say it."""
        raise NotImplementedError

    def schema(self) -> dict[str, Any]:
        """JSON Schema of the value."""
        raise NotImplementedError


# ---- one scalar ------------------------------------------------------------------------------------------------------

class TextKind(Kind):
    """A kind that stands in one scalar of the form `pattern`; `parse` makes the value."""

    pattern = r".+"

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        if not isinstance(node, Scalar):
            return scope.fault(site_faults.wrong_shape(node.mark, what, "one value", shape_of(node), self.of_list(node) or self.example))
        text = node.text.strip()
        if text in TBC:
            return Unknown(node.mark, what)
        if not text:
            return scope.fault(site_faults.no_value(node.mark, what, self.example))
        return self.checked(text, node.mark, scope, what)

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        """The value of text, or an Unknown after a fault has been reported."""
        if not re.fullmatch(self.pattern, text):
            return scope.fault(site_faults.not_understood(mark, what, text, self.example, self.meant(text)))
        return self.parse(text, mark)

    def of_list(self, node: Node) -> str:
        """How a list of words is written as one value; "" where nobody can say."""
        return ""

    def meant(self, text: str) -> str:
        """The value in the right form that text in another one stands for; "" where nobody can say."""
        return ""

    def parse(self, text: str, mark: Mark) -> Any:
        """The value of text that has the form of `pattern`."""
        return text

    def show(self, value: Any) -> Any:
        return str(value)

    def schema(self) -> dict[str, Any]:
        return {"type": TYPED_TEXT, "pattern": rf"^\s*(?:{self.pattern}|TBC|\?)\s*$", "examples": [self.example]}


class Free(TextKind):
    """Any text."""

    def __init__(self, example: str) -> None:
        self.example = example

    def schema(self) -> dict[str, Any]:
        return {"type": TYPED_TEXT, "examples": [self.example]}


class Pattern(TextKind):
    """Text of a given form."""

    def __init__(self, pattern: str, example: str) -> None:
        self.pattern, self.example = pattern, example


class FileName(TextKind):
    """The name of a file in the folder of the site file; no path."""

    pattern = r"[^/\\\x00-\x1f]{1,200}"

    def __init__(self, example: str) -> None:
        self.example = example

    def parse(self, text: str, mark: Mark) -> Said:
        return Said(text, mark)


class Choice(TextKind):
    """One of a few words; in a shorthand `before` precedes it (type A)."""

    def __init__(self, *words: str, before: str = "") -> None:
        self.words, self.before = words, before
        self.example = next((word for word in words if " " not in word), words[0])
        self.pattern = "|".join(re.escape(w) for w in sorted(words, key=len, reverse=True))
        self.token = f"{re.escape(before)} +(?:{self.pattern})" if before else f"(?:{self.pattern})"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        word = re.sub(f"^{re.escape(self.before)} +", "", text) if self.before else text
        if word in self.words:
            return word
        skip = len(text) - len(word)
        place = Mark(mark.file, mark.line, mark.column + skip, max(1, mark.width - skip))
        return scope.fault(site_faults.not_a_choice(place, what, word, self.words))


class ManyWords(TextKind):
    """Several of a set of words, kept in their order; a tuple of text. own: pattern of words that a profile or user may add."""

    def __init__(self, *words: str, example: str, own: str = "") -> None:
        self.example, self.words = example, words
        fixed = (re.escape(w).replace(r"\ ", " +") for w in sorted(words, key=len, reverse=True))
        one = "|".join([*fixed, *([own] if own else [])])
        self.token, self.pattern = f"(?:{one})", f"(?:{one})(?:[ ,]+(?:{one}))*"

    def parse(self, text: str, mark: Mark) -> tuple[str, ...]:
        return tuple(re.sub(" +", " ", word) for word in re.findall(self.token or "", text))

    def of_list(self, node: Node) -> str:
        said = [item.text.strip() for item in node.items if isinstance(item, Scalar)] if isinstance(node, Sequence) else []
        return " ".join(said) if said and all(word in self.words for word in said) else ""

    def joined(self, first: Any, second: Any) -> Any:
        """Two values of one field, said at different places of a shorthand, as one."""
        return (*first, *second)

    def show(self, value: tuple[str, ...]) -> str:
        return " ".join(value)


class Phases(tuple[str, ...]):
    """Phases by the names of the supply. said: by the labels of the board they stand on, as the file has it."""

    said: tuple[str, ...]

    def __new__(cls, names: Iterable[str], said: Iterable[str]) -> Phases:
        """Phases with what the file says of them."""
        made = super().__new__(cls, names)
        made.said = tuple(said)
        return made

    def __getnewargs__(self) -> tuple[tuple[str, ...], tuple[str, ...]]:  # type: ignore[override]
        return tuple(self), self.said


class PhaseSet(ManyWords):
    """One or several phases. On a board with labels of its own they are said by these, and kept by the names of the supply."""

    def __init__(self) -> None:
        super().__init__("L1", "L2", "L3", example="L1")

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        said = super().checked(text, mark, scope, what)
        return said if isinstance(said, Unknown) else Phases((scope.labels.get(phase, phase) for phase in said), said)

    def meant(self, text: str) -> str:
        return phase_meant(text)

    def joined(self, first: Phases, second: Phases) -> Phases:
        return Phases((*first, *second), (*first.said, *second.said))

    def show(self, value: tuple[str, ...]) -> str:
        return " ".join(getattr(value, "said", value))


class YesNo(TextKind):
    """yes or no."""

    pattern, example = "yes|no", "yes"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        if text in ("yes", "no"):
            return text == "yes"
        words = {"true": ("yes",), "false": ("no",)}.get(text.casefold(), ("yes", "no"))
        return scope.fault(site_faults.not_a_choice(mark, what, text, words))

    def parse(self, text: str, mark: Mark) -> bool:
        return text == "yes"

    def show(self, value: bool) -> str:
        return "yes" if value else "no"

    def schema(self) -> dict[str, Any]:
        return {"enum": ["yes", "no", "TBC", "?", True, False]}


class Day(TextKind):
    """A date after ISO 8601."""

    pattern, example = r"\d{4}-\d{2}-\d{2}", "2026-04-20"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        try:
            return super().checked(text, mark, scope, what)
        except ValueError:
            return scope.fault(faults.impossible_value(mark, what, text, "there is no such day", self.example))

    def parse(self, text: str, mark: Mark) -> datetime.date:
        return datetime.date.fromisoformat(text)


class NumberOf(TextKind):
    """A whole number from low to high."""

    pattern = r"\d{1,9}"

    def __init__(self, low: int, high: int, example: str) -> None:
        self.low, self.high, self.example = low, high, example

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        value = super().checked(text, mark, scope, what)
        if isinstance(value, int) and not self.low <= value <= self.high:
            return scope.fault(faults.impossible_value(mark, what, text, f"it is outside {self.low} to {self.high}", self.example))
        return value

    def parse(self, text: str, mark: Mark) -> int:
        return int(text)


class ParallelOf(TextKind):
    """How many equal cables run in parallel: 2x."""

    pattern = token = r"[1-9]\d? ?x"
    example = "2x"

    def parse(self, text: str, mark: Mark) -> int:
        return int(text[:-1])

    def show(self, value: int) -> str:
        return f"{value}x"


class Cores(TextKind):
    """Cores of a cable and its earth core [mm²]: 2C+2.5E; a tuple (number, area or None where the cable has no earth core)."""

    pattern = token = r"\d{1,2}C(?:\+\d{1,3}(?:\.\d{1,2})?E)?"
    example = "2C+2.5E"

    def parse(self, text: str, mark: Mark) -> tuple[int, float | None]:
        number, _, earth = text.partition("C")
        return int(number), float(earth[1:-1]) if earth else None

    def show(self, value: tuple[int, float | None]) -> str:
        return f"{value[0]}C" if value[1] is None else f"{value[0]}C+{value[1]:g}E"


class SystemCode(TextKind):
    """Phases and conductors of the supply as IEC 61082 writes them: 3/N/PE; a tuple (3, "N/PE")."""

    pattern = token = r"[123]/(?:PEN|N/PE|N|PE)"
    example = "1/PEN"

    def parse(self, text: str, mark: Mark) -> tuple[int, str]:
        return int(text[0]), text[2:]

    def show(self, value: tuple[int, str]) -> str:
        return f"{value[0]}/{value[1]}"


class Amount(TextKind):
    """A quantity between low and high, a float in `unit`; only: the spellings of the unit that count in a shorthand."""

    def __init__(self, unit: str, example: str, low: float = 0.0, high: float = 1e9, only: tuple[str, ...] = ()) -> None:
        self.unit, self.example, self.low, self.high = unit, example, low, high
        only = only or (("cm", "m", "km", "ft") if unit == "m" else ())  # in a shorthand, `4 mm` is mostly a slip for `4 mm²`
        self.token = token_pattern(unit, only)
        self.pattern = token_pattern(unit)

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        try:
            value = parse_quantity(text, self.unit)
        except QuantityError as error:
            return scope.fault(faults.of_quantity(error, mark, what))
        if not self.low <= value <= self.high:
            why = f"it is outside {show_quantity(self.low, self.unit)} to {show_quantity(self.high, self.unit)}"
            return scope.fault(faults.impossible_value(mark, what, text, why, self.example))
        return value

    def show(self, value: float) -> str:
        return show_quantity(value, self.unit)

    def schema(self) -> dict[str, Any]:
        # any unit that the reader can convert is welcome, so the schema only asks for a number with something after it
        return {"type": "string", "pattern": r"^\s*(?:-?\d+(?:\.\d+)?\s*[^\d\s].*|TBC|\?)\s*$", "examples": [self.example]}


class Voltage(Amount):
    """Voltages of a system as IEC 61082 writes them: 230 V, or 400/230 V; a tuple of what is said [V]."""

    def __init__(self) -> None:
        super().__init__("V", "230 V", 1, 1000, only=("V",))
        self.token = self.pattern = rf"(?:\d{{2,4}}/)?{self.token}"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        line, _, rest = text.rpartition("/")
        volts = super().checked(rest, mark, scope, what)
        if isinstance(volts, Unknown):
            return volts
        return (float(line), volts) if re.fullmatch(r"\d{2,4}", line) else (volts,)

    def show(self, value: tuple[float, ...]) -> str:
        return "/".join(f"{volts:g}" for volts in value) + " V"


class WayKind(TextKind):
    """A way or a range of ways on a board: 5 or 5-6."""

    pattern, example = r"[1-9]\d{0,2}(?:-[1-9]\d{0,2})?", "5-6"

    def meant(self, text: str) -> str:
        found = re.fullmatch(r"([1-9]\d{0,2}) ?(?:/|–|to| - |-|,|\+|&) ?([1-9]\d{0,2})", text)
        return f"{found[1]}-{found[2]}" if found and int(found[2]) == int(found[1]) + 1 else ""

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        way = super().checked(text, mark, scope, what)
        if isinstance(way, Way) and way.last < way.first:
            return scope.fault(faults.impossible_value(mark, what, text, "the last way comes before the first", self.example))
        return way

    def parse(self, text: str, mark: Mark) -> Way:
        first, _, last = text.partition("-")
        return Way(int(first), int(last or first))


class Ident(TextKind):
    """The object's own id. The scope reads it before anything else of the object."""

    pattern, example = ID.pattern, "BAT1"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        return text if ID.fullmatch(text) else Unknown(mark, what, silent=True)  # the scope has reported it

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": f"^{ID.pattern}$"}


class Ref(TextKind):
    """The id of another object; `to` says which kinds of object are meant."""

    greedy = True

    def __init__(self, *to: str, example: str) -> None:
        self.to, self.example = to, example
        self.pattern = self.token = rf"{ID.pattern}(?:\.[A-Za-z0-9_.-]+)?"

    def checked(self, text: str, mark: Mark, scope: Scope, what: str) -> Any:
        said = Said(text, mark)  # of any form: an id that cannot be is one that nothing has
        scope.refers(said, self.to, what)
        return said

    def parse(self, text: str, mark: Mark) -> Said:
        return Said(text, mark)


# ---- structures ------------------------------------------------------------------------------------------------------

class Nested(Kind):
    """One object of a class, by shorthand or long form. label: the word by which automatic ids call it."""

    def __init__(self, cls: type | Callable[[], type], label: str = "") -> None:
        self._cls, self.label = cls, label

    @property
    def cls(self) -> type:
        """The class; a function stands for one that is declared further down."""
        return self._cls if isinstance(self._cls, type) else self._cls()

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        return scope.object(self.cls, node, self.label, what)

    def show(self, value: Any) -> Any:
        return show_object(value)

    def schema(self) -> dict[str, Any]:
        return {"$ref": f"#/$defs/{self.cls.__name__}"}


class OneOf(Kind):
    """One object that is introduced by its word: `breaker: 16 A …`.

    or_else : the kind of a lone scalar (the id of a board)
    again   : the kind of a lone id: something that stands elsewhere too (a sensor's core)
    spoken  : a lone scalar may be the word followed by the shorthand: `switch 63 A 2P`
    """

    def __init__(self, classes: Mapping[str, type], or_else: TextKind | None = None, again: TextKind | None = None,
                 spoken: bool = False) -> None:
        self.classes, self.or_else, self.again, self.spoken = classes, or_else, again, spoken
        self.words = {cls: word for word, cls in classes.items()}
        self.wanted = "an id or equipment" if or_else else "a device with its facts"
        self.example = or_else.example if or_else else "switch 63 A 2P" if spoken else "breaker: 16 A C 1P 6 kA"

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        if isinstance(node, Scalar):
            return self._read_scalar(node, scope, what)
        if not isinstance(node, Map) or not node.items:
            return scope.fault(site_faults.wrong_shape(node.mark, what, self.wanted, shape_of(node), self.example))
        key, value = node.items[0]
        for extra, _ in node.items[1:]:
            scope.fault(site_faults.one_device(extra.mark, key.text, extra.text))
        return self._of_word(key, value, scope, what)

    def _of_word(self, word: Scalar, value: Node, scope: Scope, what: str) -> Any:
        cls = self.classes.get(word.text)
        if cls is None:
            fault = scope.fault(site_faults.unknown_key(word.mark, word.text, what.removeprefix(ENTRY), tuple(self.classes)))
            said = almost(word.text, self.classes)  # the rest is read as what was surely meant, so that one run reports its faults too
            return scope.object(self.classes[said], value, said, what) if said else fault
        return scope.object(cls, value, word.text, what)

    def _read_scalar(self, node: Scalar, scope: Scope, what: str) -> Any:
        text = node.text.strip()
        if self.or_else is not None:
            return self.or_else.read(node, scope, what)
        if text in TBC:
            return Unknown(node.mark, what)
        if not text:
            return scope.fault(site_faults.no_value(node.mark, what, self.example))
        if self.again is not None and ID.fullmatch(text) and text not in self.classes:
            return self.again.read(node, scope, what)
        if self.spoken and re.match(r"\d", text):
            return scope.fault(site_faults.wrong_shape(node.mark, what, self.wanted, f"'{text}'", f"switch {text}"))
        word, _, rest = node.text.partition(" ")
        if self.spoken and rest.strip() or word.rstrip(":") not in self.classes and self.spoken:
            return self._of_word(Scalar(word, node.spot(0, len(word))), node.tail(len(word) + 1), scope, what)
        before, colon, after = text.partition(":")
        if colon and before in self.classes:
            scope.fault(faults.key_without_value(node.mark, text))
            return self._of_word(Scalar(before, node.spot(0, len(before))), node.tail(node.text.index(":") + 1), scope, what)
        example = f"{word.rstrip(':')}: …" if word.rstrip(":") in self.classes else self.example
        return scope.fault(site_faults.wrong_shape(node.mark, what, self.wanted, f"'{text}'", example))

    def show(self, value: Any) -> Any:
        if isinstance(value, Said):
            return value.id
        shown = show_object(value)
        word = self.words[type(value)]
        return f"{word} {shown}" if self.spoken and isinstance(shown, str) else {word: shown}

    def schema(self) -> dict[str, Any]:
        one = {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": False,
               "properties": {word: {"$ref": f"#/$defs/{cls.__name__}"} for word, cls in self.classes.items()}}
        lone = self.or_else or self.again
        text = lone.schema() if lone else {"type": "string"} if self.spoken else {"enum": ["TBC", "?"]}
        return {"anyOf": [text, one]}


class Each(Kind):
    """A list of values of one kind, a tuple."""

    def __init__(self, kind: Kind) -> None:
        self.kind = kind

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        if isinstance(node, Scalar) and node.text.strip() in TBC:
            return Unknown(node.mark, what)
        if not isinstance(node, Sequence):
            if isinstance(node, Scalar) and not node.text.strip():
                return scope.fault(site_faults.no_value(node.mark, what, f"[{self.kind.example or '…'}]"))
            example = self.kind.example or ("{…}" if isinstance(self.kind, Nested) else "…")
            fault = scope.fault(site_faults.wrong_shape(node.mark, what, "a list", shape_of(node), f"[{example}]"))
            return (self.kind.read(node, scope, ""),) if isinstance(self.kind, Nested) and isinstance(node, Map) else fault
        one = "" if isinstance(self.kind, Nested) else ENTRY + what if isinstance(self.kind, OneOf) else what  # objects go by their ids
        pairs = zip((None, *node.items), node.items, (*node.items[1:], None), strict=False)
        return tuple(self._item(item, after, scope, one) for before, item, after in pairs if not self._rest(before, item))

    def _item(self, item: Node, after: Node | None, scope: Scope, what: str) -> Any:
        """One value of the list; of [cable: 3x2,5 mm² 9 m] a comma makes two."""
        if (rest := self._rest(item, after)) is None:
            return self.kind.read(item, scope, what)
        key, value = item.items[-1]  # type: ignore[union-attr]
        cut = faults.comma_in_braces(rest.mark, key.text, value.text, rest.text)
        value = scope.fault(cut) if "decimal" in cut.next else self.kind.read(item, scope, what)
        if "decimal" not in cut.next:
            scope.fault(cut)
        return value

    def _rest(self, item: Node | None, after: Node | None) -> Scalar | None:
        """The rest of a device's value, where a comma cut it off: a number on its own is no device."""
        cut = isinstance(self.kind, OneOf) and isinstance(item, Map) and item.items and isinstance(item.items[-1][1], Scalar)
        return after if cut and isinstance(after, Scalar) and re.match(r"\d", after.text) else None

    def show(self, value: tuple[Any, ...]) -> Any:
        return ["TBC" if isinstance(v, Unknown) else self.kind.show(v) for v in value]

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"type": "array", "items": self.kind.schema()}, {"enum": ["TBC", "?"]}]}


class OneOrMore(Each):
    """A list, or one value that stands for a list of one."""

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        if isinstance(node, Sequence) or (isinstance(node, Scalar) and node.text.strip() in TBC):
            return super().read(node, scope, what)
        return (self.kind.read(node, scope, what),)

    def show(self, value: tuple[Any, ...]) -> Any:
        shown = super().show(value)
        return shown[0] if len(shown) == 1 else shown

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [*super().schema()["anyOf"], self.kind.schema()]}


class ByKind(Kind):
    """An object of the class that its own key `kind` names."""

    def __init__(self, classes: Mapping[str, type]) -> None:
        self.classes = classes

    def class_of(self, key: Scalar, node: Node, scope: Scope, what: str) -> Any:
        """The class of an entry of a table; an Unknown where it does not say one that there is."""
        said = next((v for k, v in node.items if k.text == "kind" and isinstance(v, Scalar)), None) if isinstance(node, Map) else None
        where = f"entry {key.text} among {what}"
        if said is None:
            if isinstance(node, Scalar) and node.text.strip() in TBC:
                return Unknown(node.mark, where)
            return scope.fault(site_faults.missing_key(key.mark, "kind", where, next(iter(self.classes))))
        if said.text.strip() in TBC:
            return Unknown(said.mark, f"kind of {key.text}")
        if said.text not in self.classes and "supply" in said.text.split():
            return scope.fault(site_faults.second_supply(said.mark))
        if said.text not in self.classes:
            if surely := almost(said.text, self.classes):  # the object's own `kind` reports it
                return self.classes[surely]
            return scope.fault(site_faults.not_a_choice(said.mark, f"kind of {key.text}", said.text, tuple(self.classes)))
        return self.classes[said.text]

    def show(self, value: Any) -> Any:
        return show_object(value)

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"$ref": f"#/$defs/{cls.__name__}"} for cls in self.classes.values()]}


class Table(Kind):
    """A mapping from a name to an object or value. ids: the names are ids of things on the site."""

    def __init__(self, kind: Kind, ids: bool = False, names: str = ID.pattern) -> None:
        self.kind, self.ids, self.names = kind, ids, names

    def read(self, node: Node, scope: Scope, what: str) -> Any:
        if isinstance(node, Scalar) and not node.text.strip():
            return {}
        if isinstance(node, Scalar) and node.text.strip() in TBC:
            return Unknown(node.mark, what)
        if not isinstance(node, Map):
            return scope.fault(site_faults.wrong_shape(node.mark, what, "a mapping", shape_of(node), "NAME: …"))
        return {key.text: self._entry(key, value, scope, what) for key, value in node.items}

    def _entry(self, key: Scalar, value: Node, scope: Scope, what: str) -> Any:
        if not re.fullmatch(self.names, key.text):
            self._bad_name(key, scope, what)
        if isinstance(self.kind, Nested):
            return scope.named(self.kind.cls, key, value, register=self.ids)
        if isinstance(self.kind, ByKind):
            cls = self.kind.class_of(key, value, scope, what)
            return scope.named(cls, key, value, register=self.ids) if isinstance(cls, type) else cls
        return self.kind.read(value, scope, f"{what} {key.text}")

    def _bad_name(self, key: Scalar, scope: Scope, what: str) -> None:
        if self.names == ID.pattern:
            scope.fault(site_faults.bad_id(key.mark, key.text))
        else:
            scope.fault(site_faults.not_understood(key.mark, f"name among {what}", key.text, "1"))

    def show(self, value: Mapping[str, Any]) -> dict[str, Any]:
        return {k: "TBC" if isinstance(v, Unknown) else self.kind.show(v) for k, v in value.items()}

    def schema(self) -> dict[str, Any]:
        names = {f"^(?:{self.names})$": self.kind.schema()}
        table = {"type": ["object", "null"], "patternProperties": names, "additionalProperties": False}
        return {"anyOf": [table, {"enum": list(TBC)}]}
