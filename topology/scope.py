# SPDX-License-Identifier: MIT
"""Reading one object after another: ids, inherited status, shorthand and long form, references to be resolved later."""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import field, replace
from functools import cache
from typing import Any, NamedTuple

from . import site_faults
from .dataclass import dataclass
from .errors import Finding, Mark, Unknown
from .faults import missing_unit, of_quantity
from .fields import NOT_GIVEN, Field, field_by_key, fields_of, owners_of, shorthand_of
from .kinds import ID, TBC, Each, ManyWords, Said, WayKind, shape_of
from .quantity import QuantityError, parse_quantity
from .trade_words import PHRASE, almost, other_current, said_otherwise
from .tree import Map, Node, Scalar, Sequence

__all__ = ["Reading", "Reference", "Scope"]

WORD = re.compile(r"-?\d[\d.,]*(?: ?[^\s\d,][^\s,]*)?|[^\s,]+")
BARE = re.compile(r"-?\d+(?:\.\d+)?")


class Reference(NamedTuple):
    """An id that was said, the groups of object that it may mean, and what for."""

    said: Said
    to: tuple[str, ...]
    what: str


@dataclass
class Reading:
    """What one run over the file gathers."""

    findings: list[Finding] = field(default_factory=list)
    references: list[Reference] = field(default_factory=list)
    objects: dict[str, Any] = field(default_factory=dict)
    """everything with an id, by the id without regard to case"""


@dataclass(frozen=True)
class Scope:
    """Where in the site an object is read. prefix: of automatic ids; board: whose ways count here; status: inherited."""

    reading: Reading
    prefix: str = ""
    board: str = ""
    status: str = "existing"
    labels: Mapping[str, str] = field(default_factory=dict)
    """phases of the supply by the labels of the board, where these differ"""
    counts: Counter[str] = field(default_factory=Counter)
    stated: Mapping[type, Mapping[str, Any]] = field(default_factory=dict)
    """what objects of a class take, by field name, where they do not say otherwise"""

    def fault(self, finding: Finding) -> Unknown:
        """Report a fault; the value it concerns is Unknown and stays silent from now on."""
        self.reading.findings.append(finding)
        return Unknown(finding.mark, finding.message, silent=True)

    def refers(self, said: Said, to: tuple[str, ...], what: str) -> None:
        """Remember a reference until all objects are known."""
        self.reading.references.append(Reference(said, to, what))

    # ---- ids ----

    def root(self, cls: type, node: Node, mark: Mark) -> Any:
        """The object that is the whole file; automatic ids begin afresh in it."""
        return self._build(cls, node, "", mark, register=False)

    def named(self, cls: type, key: Scalar, node: Node, register: bool) -> Any:
        """An object whose id is its key in a table."""
        what = f"{cls.word} {key.text}" + (f" of {self.prefix}" if self.prefix else "")
        id_ = f"{self.prefix}.{key.text}" if getattr(cls, "named_within", False) else key.text
        return self._build(cls, node, id_, key.mark, register, what)

    def object(self, cls: type, node: Node, label: str, what: str = "") -> Any:
        """An object with the id it says, or an automatic one; what: how messages call a part without an id."""
        if _is_tbc(node) and _says_nothing(cls):
            return Unknown(node.mark, what or f"{cls.word} of {self.prefix}")
        said = _child(node, "id") if "own_id" in {f.name for f in fields_of(cls)} else None
        said = None if said is not None and said.text.strip() in TBC else said
        if said is not None and not ID.fullmatch(said.text):
            self.fault(site_faults.bad_id(said.mark, said.text))
            said = None
        id_ = said.text if said is not None else self._automatic(cls, node, label)
        return self._build(cls, node, id_, said.mark if said is not None else node.mark, cls.registered, what)

    def _automatic(self, cls: type, node: Node, label: str) -> str:
        keys = getattr(cls, "named_by", ())
        said = [child for key in keys if (child := _child(node, key)) is not None]
        form = WayKind.pattern if keys == ("way",) else ID.pattern
        words = ["TBC" if child.text.strip() in TBC else child.text.strip() for child in said]
        parts = [word for word in words if word == "TBC" or re.fullmatch(form, word)]
        if keys and len(parts) == len(keys):
            if keys == ("way",):
                return self._free(f"{self.board or self.prefix}.{parts[0].partition('-')[0]}")
            return self._free(f"{self.prefix}.{'-'.join(parts)}")
        if keys == ("way",) and not said and isinstance(node, Map):
            self.fault(site_faults.missing_key(node.mark, "way", f"circuit of {self.board or self.prefix}", "5"))
        label = label or cls.word.replace(" ", "_")
        name = f"{self.prefix}.{label}" if self.prefix else label
        self.counts[name] += 1
        return name if self.counts[name] == 1 else f"{name}{self.counts[name]}"

    def _free(self, name: str) -> str:
        """The name, or with a number after it where a way is used twice (a check reports that, not the reader)."""
        self.counts[name] += 1
        number = 2
        free = name
        while free.casefold() in self.reading.objects or (free == name and self.counts[name] > 1):
            free = f"{name}.{number}"
            number += 1
        return free

    # ---- objects ----

    def _build(self, cls: type, node: Node, id_: str, mark: Mark, register: bool, what: str = "") -> Any:
        is_board = cls.__name__ == "Board"
        inner = replace(self, prefix=id_, board=id_ if is_board else self.board, counts=Counter(), status=_status(node, self.status),
                        labels=_labels(node) if is_board else self.labels)
        marks: dict[str, Mark] = {}
        values: dict[str, Any] = {}
        where = id_ if register else what or (id_ if "." in id_ else cls.word)  # a part without an id goes by what it is
        second = _second_supply(cls, node)
        if second is not None:
            self.fault(site_faults.second_supply(second))
        elif isinstance(node, Map):
            inner._read_map(cls, node, where, values, marks)
        elif isinstance(node, Scalar):
            inner._read_scalar(cls, node, where, values, marks)
        else:
            wanted = "a mapping" if shorthand_of(cls) is None else "one value or a mapping"
            self.fault(site_faults.wrong_shape(node.mark, where, wanted, shape_of(node), _example(cls)))
        stated = {} if _is_tbc(node) else self.stated.get(cls, {})
        values |= {name: value for name, value in stated.items() if name not in values}
        absent = inner._absent(cls, values, mark, where, broken=second is not None or not isinstance(node, Map | Scalar))
        obj = cls(id=id_, mark=mark, marks=marks, **values | absent)
        if register:
            self._register(obj)
        return obj

    def _register(self, obj: Any) -> None:
        known = self.reading.objects.setdefault(obj.id.casefold(), obj)
        if known is not obj:
            self.fault(site_faults.duplicate_id(obj.mark, obj.id, known.mark, known.id))

    def _absent(self, cls: type, values: dict[str, Any], mark: Mark, where: str, broken: bool) -> dict[str, Any]:
        """What fields that were not given read as."""
        rest: dict[str, Any] = {}
        for f in fields_of(cls):
            if f.name in values:
                continue
            if f.name == "status" and f.default is not NOT_GIVEN:  # a drawing has a status of another sort, which nothing hands down
                rest[f.name] = self.status
            elif f.required and not broken:
                example = getattr(cls, "example_type", "") if f.key == "type" else ""
                rest[f.name] = self.fault(site_faults.missing_key(mark, f.key, where, example or f.kind.example or "…"))
            else:
                rest[f.name] = Unknown(mark, _phrase(f, where), given=False, silent=broken, key=f.key) if f.default is NOT_GIVEN else f.default
        return rest

    def _read_map(self, cls: type, node: Map, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        known = field_by_key(cls)
        doubts: list[Mark] = []
        for key, value in node.items:
            f = known.get(key.text)
            if f is None and cls.__name__ == "Site" and "suppl" in key.text and any(k.text == "supply" for k, _ in node.items):
                self.fault(site_faults.second_supply(key.mark))
            elif f is None:
                self.fault(site_faults.unknown_key(key.mark, key.text, where, tuple(known), _meant(cls, key.text)))
                self._read_on(cls, node, key, value, values, marks)
            elif f.short and isinstance(value, Scalar) and _more_words(cls, f, value.text):
                doubts += self._read_words(cls, value, where, values, marks)
            elif f.name in values:
                self.fault(site_faults.said_twice(key.mark, _phrase(f, where), marks[f.name]))
            else:
                marks[f.name] = value.mark
                values[f.name] = f.kind.read(value, self, _phrase(f, where if self.prefix else ""))
        _doubt(cls, doubts, values)

    def _read_on(self, cls: type, node: Map, key: Scalar, value: Node, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        """After an unknown key that is almost one of the grammar: its value counts as that of the other, so that nothing seems to be missing."""
        f = field_by_key(cls).get(almost(key.text, field_by_key(cls)))
        if f is not None and f.name not in values and not any(k.text == f.key for k, _ in node.items):
            marks[f.name] = value.mark
            values[f.name] = f.kind.read(value, self, _phrase(f, self.prefix))

    def _read_scalar(self, cls: type, node: Scalar, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        if node.text.strip() in TBC:
            for f in fields_of(cls):
                if f.asked or f.required or f.name in ("in_line", "feeds"):
                    values[f.name], marks[f.name] = Unknown(node.mark, _phrase(f, where)), node.mark
        elif shorthand_of(cls) is None or not node.text.strip():
            text = node.text.strip()
            example = f"{{name: {text}}}" if [f.key for f in fields_of(cls) if f.required] == ["name"] and "," not in text else _example(cls)
            shape = site_faults.wrong_shape(node.mark, where, "a mapping", f"'{text}'", example)
            self.fault(shape if text else site_faults.no_value(node.mark, where, example))
            _silence([f for f in fields_of(cls) if f.required or f.default is NOT_GIVEN], node.mark, values)
        else:
            _doubt(cls, self._read_words(cls, node, where, values, marks), values)

    # ---- shorthand ----

    def _read_words(self, cls: type, node: Scalar, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> list[Mark]:
        """Scan a shorthand once: each piece has exactly one home, left-overs are faults at their own column.

        Returns the places of faults which leave open what seems to be missing.
        """
        open_marks: list[Mark] = []
        left_overs: list[tuple[str, Mark]] = []
        at = 0
        while (at := _skip(node.text, at)) < len(node.text):
            home, word = _piece(cls, node.text, at)
            mark = node.spot(at, len(word))
            if home is not None:
                self._take(home, word, mark, where, values, marks)
            elif word in TBC:
                open_marks.append(mark)
            else:
                left_overs.append((word, mark))
            at += len(word)
        for word, mark in left_overs:
            self._left_over(cls, word, mark, where, values, marks)
        return [mark for _, mark in left_overs] + self._place_tbc(cls, open_marks, where, values, marks)

    def _take(self, f: Field, word: str, mark: Mark, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        if f.name in values and isinstance(f.kind, ManyWords):
            values[f.name] = f.kind.joined(values[f.name], f.kind.checked(word, mark, self, _phrase(f, where)))
        elif f.name in values:
            self.fault(site_faults.said_twice(mark, _phrase(f, where), marks[f.name], other_current(word) if f.name == "rating" else ""))
        elif f.kind.before and word.split()[-1] in TBC:
            values[f.name], marks[f.name] = Unknown(mark, _phrase(f, where)), mark
        else:
            kind = f.kind.kind if isinstance(f.kind, Each) else f.kind
            marks[f.name] = mark
            values[f.name] = kind.checked(word, mark, self, _phrase(f, where))  # type: ignore[attr-defined]

    def _left_over(self, cls: type, word: str, mark: Mark, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        """A word without a home: one in other letters, a number that lost its unit, one with a unit of something else, or nothing known."""
        if step := _otherwise(cls, word, not set(values) & {f.name for f in fields_of(cls) if f.short}):
            self.fault(site_faults.unknown_word(mark, where, word, "", step))
            return
        for f in fields_of(cls):
            if f.short and f.name not in values and hasattr(f.kind, "unit"):
                finding = _unit_fault(f, word, mark, where)
                if finding is not None:
                    values[f.name], marks[f.name] = self.fault(finding), mark
                    return
        self.fault(site_faults.unknown_word(mark, where, word, _example(cls)))

    def _place_tbc(self, cls: type, open_marks: list[Mark], where: str, values: dict[str, Any], marks: dict[str, Mark]) -> list[Mark]:
        missing = [f for f in fields_of(cls) if (f.asked or f.required) and f.short and f.name not in values]
        if open_marks and len(missing) != len(open_marks):
            self.fault(site_faults.tbc_unclear(open_marks[-1], where, tuple(f.key for f in missing)))
            return open_marks
        for f, mark in zip(missing, open_marks, strict=False):
            values[f.name], marks[f.name] = Unknown(mark, _phrase(f, where)), mark
        return []


def _meant(cls: type, key: str) -> str:
    """What somebody meant by a key that a class does not have: the field that is called so, or the objects that have such a key; "" if nothing."""
    words = key.replace("_", " ").casefold()
    for f in fields_of(cls):
        if f.what.replace("-", " ").casefold() == words:
            return f"'{f.key}' is the key for the {f.what}"
    owners = owners_of(cls, key)
    return f"'{key}' is a key of {' or '.join(owners[:3])}" if owners else ""


def _child(node: Node, key: str) -> Scalar | None:
    """The scalar under a key of a mapping."""
    if isinstance(node, Map):
        for k, v in node.items:
            if k.text == key and isinstance(v, Scalar):
                return v
    return None


def _second_supply(cls: type, node: Node) -> Mark | None:
    """The place of the second supply where a list or a table of them stands in the place of one."""
    if cls.__name__ != "Supply" or isinstance(node, Scalar):
        return None
    inner = [(v.mark, v) for v in node.items] if isinstance(node, Sequence) else [(k.mark, v) for k, v in node.items if k.text not in field_by_key(cls)]
    supplies = [mark for mark, v in inner if isinstance(v, Map) and any(k.text == "system" for k, _ in v.items)]
    return supplies[1] if len(supplies) > 1 else None


def _status(node: Node, inherited: str) -> str:
    said = _child(node, "status")
    return said.text if said is not None and said.text in ("existing", "new", "altered", "relocated", "removed") else inherited


def _labels(node: Node) -> dict[str, str]:
    """The phases of the supply by a board's own labels: its `phases:` names one for each of L1, L2, L3 in turn."""
    said = _child(node, "phases")
    names, labels = said.text.split() if said is not None else [], ("L1", "L2", "L3")
    return dict(zip(labels, names, strict=False)) if set(names) <= set(labels) else {}  # anything else is a fault of that field


def _skip(text: str, at: int) -> int:
    while at < len(text) and (text[at] == "," or text[at].isspace()):
        at += 1
    return at


def _is_tbc(node: Node) -> bool:
    return isinstance(node, Scalar) and node.text.strip() in TBC


def _says_nothing(cls: type) -> bool:
    """Whether a TBC in the place of an object leaves nothing of it: its class alone is no fact, and no field has to be asked for."""
    named = not cls.registered or cls.named_by == ("way",)  # type: ignore[attr-defined]
    return named and shorthand_of(cls) is None and not any(f.required for f in fields_of(cls))


def _phrase(f: Field, where: str) -> str:
    """A field in a message: "rating of Q1", or by its key where it has no noun: "'feeds' of MSB.3"."""
    what = f"'{f.key}'" if f.what.startswith("what ") else f.what
    return f"{what} of {where}" if where else what


def _example(cls: type) -> str:
    """How an object is written: its shorthand, or the keys that it must have."""
    if said := getattr(cls, "example", ""):
        return str(said)
    short = [f for f in fields_of(cls) if f.short and f.default is NOT_GIVEN]
    if short:
        return " ".join(f"{f.kind.before} {f.kind.example}".strip() for f in short)
    keys = [f for f in fields_of(cls) if f.required or f.name == "way"] or list(fields_of(cls))[:1]
    return "{" + ", ".join(f"{f.key}: {f.kind.example or '…'}" for f in keys) + "}"


def _left(pattern: re.Pattern[str], text: str, at: int) -> str:
    """A word that has no home; a number takes the next word as its unit, unless that one has a home."""
    phrase = PHRASE.match(text, at)
    if phrase is not None and (phrase.end() == len(text) or text[phrase.end()] in " ,"):
        return phrase[0]
    word = WORD.match(text, at)[0]  # type: ignore[index]
    number, space, _ = word.partition(" ")
    alone = bool(space) and (pattern.match(text, at + len(number) + 1) is not None or word[len(number) + 1:] in TBC)
    return (number if alone else word).rstrip(".,") or word[:1]


def _silence(fields: list[Field], mark: Mark, values: dict[str, Any]) -> None:
    """Fields that nobody knows because of a fault that is reported."""
    values.update({f.name: Unknown(mark, f.what, silent=True) for f in fields})


def _doubt(cls: type, places: list[Mark], values: dict[str, Any]) -> None:
    """After faults in a shorthand: one of these words may be what seems to be missing."""
    if places:
        missing = [f for f in fields_of(cls) if f.short and f.default is NOT_GIVEN and f.name not in values]
        _silence(missing, places[0], values)


@cache
def _by_name(cls: type) -> dict[str, Field]:
    return {f.name: f for f in fields_of(cls)}


def _piece(cls: type, text: str, at: int) -> tuple[Field | None, str]:
    """The next piece of a shorthand with the field that is its home; None for TBC and for what has no home."""
    pattern = shorthand_of(cls)
    assert pattern is not None
    found = pattern.match(text, at)
    if found is None or found[0] in TBC:
        home, word = None, found[0] if found else _left(pattern, text, at)
    else:
        home, word = _by_name(cls)[found.lastgroup or ""], found[0]
    led = _led(cls, text, at) if home is None or home.kind.greedy else None
    return led or (home, word)


def _led(cls: type, text: str, at: int) -> tuple[Field, str] | None:
    """A word that is led by the word of a choice, such as `type X`, whether the choice has it or not; with the field."""
    for f in fields_of(cls):
        if f.short and f.kind.before:
            found = re.compile(rf"{re.escape(f.kind.before)}(?: +[^\s,]+)?(?=[\s,]|$)").match(text, at)
            if found:
                return f, found[0]
    return None


def _cased(cls: type, word: str) -> str | None:
    """The word of the grammar that differs from a word by capitals alone (2p, gg, cu), but for units, where capitals count; None without one."""
    for f in fields_of(cls):
        token = f.kind.token if f.short and not hasattr(f.kind, "unit") and not f.kind.greedy else None
        tried = (*getattr(f.kind, "words", ()), word.upper(), word.lower(), word.capitalize()) if token else ()
        for other in tried:
            if other.casefold() == word.casefold() and re.fullmatch(token or "", other):
                return str(other)
    return None


def _otherwise(cls: type, word: str, alone: bool) -> str:
    """The next step for a word of a shorthand that is one of the grammar in other letters or in words of the trade; "" if it is none.

    alone: nothing else of the shorthand could be read, so that the word may be an id.
    """
    short = [f for f in fields_of(cls) if f.short]
    said = _cased(cls, word) or almost(word, [w for f in short if not f.kind.before for w in getattr(f.kind, "words", ())])
    if alone and not said and ID.fullmatch(word) and any(c.isdigit() for c in word) and "own_id" in _by_name(cls):
        owner = said_otherwise([f.name for f in short], word)
        return owner or f"an id stands in the long form: {{id: {word}}}"
    return f"did you mean '{said}'?" if said else said_otherwise([f.name for f in short], word)


def _unit_fault(f: Field, word: str, mark: Mark, where: str) -> Finding | None:
    """The finding about a number without a unit, or with one that is none of the field's; None for any other word."""
    if BARE.fullmatch(word):
        return missing_unit(mark, _phrase(f, where), word, f"{word} {f.kind.example.partition(' ')[2]}")
    if not re.match(r"-?\d", word):
        return None
    try:
        parse_quantity(word, f.kind.unit)  # type: ignore[attr-defined]
    except QuantityError as error:
        return of_quantity(error, mark, _phrase(f, where))
    return None


def _more_words(cls: type, f: Field, text: str) -> bool:
    """Whether the value of one key holds further words of the shorthand: rating: 63 A 1P."""
    pattern = shorthand_of(cls)
    if pattern is None or text.strip() in TBC or re.fullmatch(f.kind.token or "", text.strip()):
        return False
    first = pattern.match(text.strip())
    homes = {m.lastgroup for m in pattern.finditer(text)} | ({f.name} if set(text.split()) & set(TBC) else set())
    return f.name in homes and (len(homes) > 1 or first is not None and first.lastgroup == f.name)
