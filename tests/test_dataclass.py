# SPDX-License-Identifier: MIT
"""Our dataclass against the one of the standard library: equal in all that a user of a class can see."""
from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
from dataclasses import field
from typing import Any

import pytest
from topology.dataclass import dataclass

OPTIONS = [dict(frozen=frozen, slots=slots, eq=eq, kw_only=kw_only)
           for frozen in (False, True) for slots in (False, True) for eq in (False, True) for kw_only in (False, True)]


def both(**options: bool) -> list[Any]:
    """The same class made by us and by the standard library, each with a class derived from it."""
    found = []
    for make in (dataclass, dataclasses.dataclass):
        @make(**options)
        class Base:
            """With and without defaults, left out of comparing and of the text, and set later."""

            a: int
            b: str = "x"
            seen: list[int] = field(default_factory=list, repr=False, compare=False)
            later: int = field(init=False, repr=False, compare=False)

            def __post_init__(self) -> None:
                object.__setattr__(self, "later", self.a + 1)

        @make(**options)
        class Derived(Base):
            """Overrides a default and adds a field."""

            b: str = "y"
            c: tuple[int, ...] = (1, 2)

        found.append((Base, Derived))
    return found


def told(act: Any) -> Any:
    """What comes of it, or the class of the error."""
    try:
        return act()
    except (TypeError, AttributeError) as error:
        return type(error)


def arguments(cls: Any) -> list[tuple[str, Any]]:
    return [(p.name, p.kind) for p in inspect.signature(vars(cls)["__init__"]).parameters.values()]


@pytest.mark.parametrize("options", OPTIONS)
def test_both_take_the_same_arguments_and_print_compare_and_hash_alike(options: dict[str, bool]) -> None:
    ours, standard = both(**options)
    for mine, theirs in zip(ours, standard):
        calls: list[Any] = [((), {}), ((1,), {}), ((1, "z"), {}), ((), {"a": 1}), ((), {"a": 1, "b": "z", "seen": [3]}), ((), {"a": 1, "d": 2})]
        for args, named in calls:
            made, like = told(lambda: mine(*args, **named)), told(lambda: theirs(*args, **named))
            if isinstance(like, type):
                assert made is like
                continue
            assert repr(made) == repr(like)
            assert [getattr(made, f.name) for f in dataclasses.fields(made)] == [getattr(like, f.name) for f in dataclasses.fields(like)]
            assert (made == mine(*args, **named)) == (like == theirs(*args, **named))
            assert made != mine(a=5) and made != like
            assert told(lambda: hash(made)) == told(lambda: hash(like)) or not options["eq"]  # else by identity
        assert arguments(mine) == arguments(theirs)
        assert mine.__match_args__ == theirs.__match_args__


@pytest.mark.parametrize("options", OPTIONS)
def test_both_refuse_and_allow_the_same_changes(options: dict[str, bool]) -> None:
    for index in (0, 1):
        ours, standard = ((pair[index](a=1)) for pair in both(**options))
        changed = dataclasses.replace(ours, b="w")
        assert (changed.b, changed.a) == ("w", 1)
        for name in ("a", "other"):
            for act in (lambda of, name=name: setattr(of, name, 2), lambda of, name=name: delattr(of, name)):
                mine, like = told(lambda: act(ours)), told(lambda: act(standard))
                assert mine is like or like is TypeError  # Python 3.11 raises that for no field of a frozen class with slots
                assert like is not TypeError or mine is dataclasses.FrozenInstanceError


def test_a_plain_class_derived_from_a_frozen_one_has_attributes_of_its_own() -> None:
    for base, _ in both(frozen=True):
        class Plain(base):  # type: ignore[misc, valid-type]
            """As a view of a site is one of its questions."""

        made = Plain(1)
        made.own = 3
        assert made.own == 3
        with pytest.raises(dataclasses.FrozenInstanceError):
            made.a = 2


@dataclass(frozen=True, slots=True)
class Kept:
    a: int
    b: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False, kw_only=True)
class Loose:
    a: int
    seen: list[int] = field(default_factory=list)


def test_objects_go_through_pickle_and_copy() -> None:
    kept = Kept(1, ("x",))
    assert pickle.loads(pickle.dumps(kept)) == copy.copy(kept) == copy.deepcopy(kept) == kept
    loose = pickle.loads(pickle.dumps(Loose(a=2, seen=[4])))
    assert (loose.a, loose.seen) == (2, [4]) and Loose(a=1).seen is not Loose(a=1).seen


def test_a_method_that_a_class_writes_itself_stays() -> None:
    @dataclass(frozen=True)
    class Own:
        a: int

        def __repr__(self) -> str:
            return "own"

        def __eq__(self, other: object) -> bool:
            return True

        def __hash__(self) -> int:
            return 7

    assert (repr(Own(1)), Own(1) == Own(2), hash(Own(1))) == ("own", True, 7)
