# SPDX-License-Identifier: MIT
"""Reading one object after another: ids, inherited status, shorthand and long form, references to be resolved later."""
from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from . import site_faults
from .errors import Finding, Mark, Unknown
from .faults import missing_unit
from .fields import NOT_GIVEN, Field, field_by_key, fields_of, shorthand_of
from .kinds import ID, TBC, Each, ManyWords, Said, shape_of
from .tree import Map, Node, Scalar

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
    counts: Counter[str] = field(default_factory=Counter)

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
        return self._build(cls, node, key.text, key.mark, register)

    def object(self, cls: type, node: Node, label: str) -> Any:
        """An object with the id it says, or an automatic one."""
        said = _child(node, "id") if "own_id" in {f.name for f in fields_of(cls)} else None
        if said is not None and not ID.fullmatch(said.text):
            self.fault(site_faults.bad_id(said.mark, said.text))
            said = None
        id_ = said.text if said is not None else self._automatic(cls, node, label)
        return self._build(cls, node, id_, said.mark if said is not None else node.mark, cls.registered)

    def _automatic(self, cls: type, node: Node, label: str) -> str:
        keys = getattr(cls, "named_by", ())
        parts = [child.text.partition("-")[0] if key == "way" else child.text
                 for key in keys if (child := _child(node, key)) is not None]
        if keys and len(parts) == len(keys):
            name = f"{self.board if keys == ('way',) else self.prefix}.{'-'.join(parts)}"
            return self._free(name)
        if keys == ("way",):
            self.fault(site_faults.missing_key(node.mark, "way", "circuit", "5"))
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

    def _build(self, cls: type, node: Node, id_: str, mark: Mark, register: bool) -> Any:
        inner = replace(self, prefix=id_, board=id_ if cls.__name__ == "Board" else self.board, counts=Counter(), status=_status(node, self.status))
        marks: dict[str, Mark] = {}
        values: dict[str, Any] = {}
        where = id_ if "." in id_ or register else cls.word  # a part without an id of its own goes by its word
        if isinstance(node, Map):
            inner._read_map(cls, node, where, values, marks)
        elif isinstance(node, Scalar):
            inner._read_scalar(cls, node, where, values, marks)
        else:
            self.fault(site_faults.wrong_shape(node.mark, where, f"a {cls.word}", shape_of(node), ""))
        obj = cls(id=id_, mark=mark, marks=marks, **values | inner._absent(cls, values, mark, where, broken=not isinstance(node, Map | Scalar)))
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
            if f.name == "status":
                rest[f.name] = self.status
            elif f.required and not broken:
                rest[f.name] = self.fault(site_faults.missing_key(mark, f.key, where, f.kind.example or "…"))
            else:
                rest[f.name] = Unknown(mark, f"{f.what} of {where}", given=False, silent=broken) if f.default is NOT_GIVEN else f.default
        return rest

    def _read_map(self, cls: type, node: Map, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        known = field_by_key(cls)
        for key, value in node.items:
            f = known.get(key.text)
            if f is None:
                self.fault(site_faults.unknown_key(key.mark, key.text, where, tuple(known)))
            elif f.short and isinstance(value, Scalar) and _more_words(cls, f, value.text):
                self._read_words(cls, value, where, values, marks)
            elif f.name in values:
                self.fault(site_faults.said_twice(key.mark, f.what, marks[f.name]))
            else:
                marks[f.name] = value.mark
                values[f.name] = f.kind.read(value, self, f"{f.what} of {where}" if where != f.what else where)

    def _read_scalar(self, cls: type, node: Scalar, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        if node.text.strip() in TBC:
            for f in fields_of(cls):
                if f.asked or f.required:
                    values[f.name], marks[f.name] = Unknown(node.mark, f"{f.what} of {where}"), node.mark
        elif shorthand_of(cls) is None:
            self.fault(site_faults.wrong_shape(node.mark, where, "a mapping", f"'{node.text}'" if node.text else "empty", "{…}"))
            values.update({f.name: Unknown(node.mark, f.what, silent=True) for f in fields_of(cls) if f.required})
        else:
            self._read_words(cls, node, where, values, marks)

    # ---- shorthand ----

    def _read_words(self, cls: type, node: Scalar, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        """Scan a shorthand once: each piece has exactly one home, left-overs are faults at their own column."""
        pattern, fields = shorthand_of(cls), {f.name: f for f in fields_of(cls)}
        assert pattern is not None
        open_marks: list[Mark] = []
        left_overs: list[tuple[str, Mark]] = []
        at = 0
        while (at := _skip(node.text, at)) < len(node.text):
            found = pattern.match(node.text, at)
            word = found[0] if found else WORD.match(node.text, at)[0]  # type: ignore[index]
            mark = _inside(node, at, len(word))
            if found:
                self._take(fields[found.lastgroup or ""], word, mark, where, values, marks)
            elif word in TBC:
                open_marks.append(mark)
            else:
                left_overs.append((word, mark))
            at += len(word)
        for word, mark in left_overs:
            self._left_over(cls, word, mark, where, values)
        self._place_tbc(cls, open_marks, where, values, marks)

    def _take(self, f: Field, word: str, mark: Mark, where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        if f.name in values and isinstance(f.kind, ManyWords):
            values[f.name] = (*values[f.name], *f.kind.parse(word, mark))
        elif f.name in values:
            self.fault(site_faults.said_twice(mark, f"{f.what} of {where}", marks[f.name]))
        else:
            kind = f.kind.kind if isinstance(f.kind, Each) else f.kind
            marks[f.name] = mark
            values[f.name] = kind.checked(word, mark, self, f"{f.what} of {where}")  # type: ignore[attr-defined]

    def _left_over(self, cls: type, word: str, mark: Mark, where: str, values: dict[str, Any]) -> None:
        missing = [f for f in fields_of(cls) if f.short and f.name not in values]
        if BARE.fullmatch(word) and missing and hasattr(missing[0].kind, "unit"):
            values[missing[0].name] = self.fault(missing_unit(mark, f"{missing[0].what} of {where}", word, missing[0].kind.example))
        else:
            example = " ".join(f"{f.kind.before} {f.kind.example}".strip() for f in fields_of(cls) if f.short)
            self.fault(site_faults.unknown_word(mark, where, word, example))

    def _place_tbc(self, cls: type, open_marks: list[Mark], where: str, values: dict[str, Any], marks: dict[str, Mark]) -> None:
        for mark in open_marks:
            missing = [f for f in fields_of(cls) if f.asked and f.short and f.name not in values]
            if len(missing) == 1:
                f = missing[0]
                values[f.name], marks[f.name] = Unknown(mark, f"{f.what} of {where}"), mark
            else:
                self.fault(site_faults.tbc_unclear(mark, where, tuple(f.key for f in missing)))


def _child(node: Node, key: str) -> Scalar | None:
    """The scalar under a key of a mapping."""
    if isinstance(node, Map):
        for k, v in node.items:
            if k.text == key and isinstance(v, Scalar):
                return v
    return None


def _status(node: Node, inherited: str) -> str:
    said = _child(node, "status")
    return said.text if said is not None and said.text in ("existing", "new", "altered", "relocated", "removed") else inherited


def _skip(text: str, at: int) -> int:
    while at < len(text) and text[at] in " \t,":
        at += 1
    return at


def _inside(node: Scalar, at: int, width: int) -> Mark:
    """The place of a piece of a scalar; a quote takes one column."""
    return Mark(node.mark.file, node.mark.line, node.mark.column + at + (0 if node.plain else 1), width)


def _more_words(cls: type, f: Field, text: str) -> bool:
    """Whether the value of one key holds further words of the shorthand: rating: 63 A 1P."""
    pattern = shorthand_of(cls)
    if pattern is None or text.strip() in TBC or re.fullmatch(f.kind.token or "", text.strip()):
        return False
    homes = {m.lastgroup for m in pattern.finditer(text)}
    return f.name in homes and len(homes) > 1
