# SPDX-License-Identifier: MIT
"""Faults of what the site file says: keys, words, ids and references. Each function is one fault and its own manual."""
from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from .errors import Finding, Mark, Related
from .faults import fault
from .trade_words import almost, key_note, meant

__all__ = ["acceptance_unused", "bad_id", "duplicate_id", "feed_loop", "include_missing", "include_not_types", "missing_key", "no_value", "not_a_choice", "not_understood", "one_device", "one_end",
           "revision_missing", "said_twice", "second_supply", "table_refused", "tbc_unclear", "unknown_id", "unknown_key", "unknown_word", "wrong_object",
           "wrong_shape"]


COMMON = ("name", "status", "owner", "place", "found", "serial", "id", "settings")
"""Keys that most objects have."""


def _near(word: str, known: Iterable[str]) -> str:
    """The known word that a word of the trade stands for, or that is nearest to the given one, or ""."""
    if said := meant(word, known := tuple(known)):
        return said
    names = {name.casefold(): name for name in known}
    hit = difflib.get_close_matches(word.casefold(), list(names), 1, 0.6)
    longer = [name for name in names if word.casefold().startswith(f"{name}_")]  # start_current: start
    return names[(longer or hit)[0]] if longer or hit else ""


def _a(word: str) -> str:
    """A word with its article."""
    return f"{'an' if word[:1] in 'aeiou' or word == 'RCBO' else 'a'} {word}"


def _some(words: Iterable[str], most: int = 20) -> str:
    """A list of words for a message, cut where it gets long."""
    listed = list(words)
    return ", ".join(listed[:most]) + (", …" if len(listed) > most else "")


@fault
def unknown_key(mark: Mark, key: str, where: str, known: tuple[str, ...], owner: str = "") -> Finding:
    """Key that this part of the site file does not have.

    Why: a key that nobody reads is a fact that silently gets lost, mostly by a slip of the pen.
    Bad: breaker: {ratting: 16 A}
    Good: breaker: {rating: 16 A}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    trade = almost(key, known)
    known = tuple(sorted(known, key=lambda name: "found" in known and name in COMMON))  # what is the object's own comes first
    step = key_note(key, known, where) or (f"did you mean '{trade}'?" if trade else owner)
    near = "" if step else _near(key, known)
    return Finding(mark, f"unknown key '{key}' in {where}", step or (f"did you mean '{near}'?" if near else f"keys here: {_some(known)}"))


@fault
def missing_key(mark: Mark, key: str, where: str, example: str) -> Finding:
    """Key that must be there and is not.

    Why: without it nobody can tell what the object is or where it belongs.
    Bad: storage: {id: BAT1}
    Good: storage: {id: BAT1, type: storage-ac-b}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{where} lacks '{key}'", f"add '{key}: {example}', or '{key}: TBC' while it is not known")


@fault
def wrong_shape(mark: Mark, what: str, wanted: str, got: str, example: str) -> Finding:
    """List where one value belongs, or the other way round.

    Why: a list, a mapping and a single value say different things; guessing which was meant would lose the rest.
    Bad: in_line: breaker
    Good: in_line: [breaker: 16 A C 1P 6 kA]
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{what} should be {wanted}, not {got}", f"write it like this: {example}" if example else "")


@fault
def no_value(mark: Mark, what: str, example: str) -> Finding:
    """Key without a value.

    Why: an empty value could mean none, not yet known, or forgotten.
    Bad: rating:
    Good: rating: TBC
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{what} has no value", f"write a value such as '{example}', or TBC while it is not known")


@fault
def not_understood(mark: Mark, what: str, text: str, example: str, said: str = "") -> Finding:
    """Value that does not have the form it must have.

    Why: what cannot be read cannot be checked; it counts as unknown until it is mended.
    Bad: way: five
    Good: way: 5
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{what}: '{text}' is not understood", f"did you mean '{said}'?" if said else f"write it like '{example}'")


@fault
def not_a_choice(mark: Mark, what: str, text: str, words: tuple[str, ...]) -> Finding:
    """Word that is none of those that are possible here.

    Why: the checks know only these words; any other would silently switch them off.
    Bad: status: planned
    Good: status: new
    Source: the grammar of the site file (`sld schema` prints it)
    """
    near = _near(text, words)
    if len(words) == 1:
        return Finding(mark, f"{what} cannot be '{text}'", f"write '{words[0]}'")
    return Finding(mark, f"{what} cannot be '{text}'", f"did you mean '{near}'?" if near else f"one of: {_some(words)}")


@fault
def unknown_word(mark: Mark, where: str, word: str, example: str, step: str = "") -> Finding:
    """Word in a shorthand that has no meaning there.

    Why: each word of a shorthand says one fact; one that is not understood is a fact that gets lost.
    Bad: breaker: 25 A C 2P 6 kA fast
    Good: breaker: 25 A C 2P 6 kA
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{where}: '{word}' is not understood here", step or f"write it like '{example}'; other remarks go under 'name:'")


@fault
def said_twice(mark: Mark, what: str, first: Mark, step: str = "") -> Finding:
    """One fact said twice in one object.

    Why: two values for one fact cannot both be right, and taking one would hide the other.
    Bad: breaker: 16 A 20 A C 1P
    Good: breaker: 16 A C 1P
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"{what} is said twice", step or "keep one of the two", related=(Related(first, "first said here"),))


@fault
def second_supply(mark: Mark) -> Finding:
    """Second point of supply in one file.

    Why: a file describes one point of supply: what is live, measured, protected and limited is asked from there. A supply that takes over at a
        changeover can stand in the file all the same, as a generator with the name and rating of that supply; what is drawn for it is then the symbol
        of a generator. Two supplies that feed at once belong to two files, one for each, with the boards that each feeds; a bus coupler between
        them stands open in both.
    Bad: supply: [{system: …}, {system: …}]
    Good: devices: {S2: {kind: generator, name: Second supply, power: 14 kVA, phase: L1, ne_link: no, ports: {out: {in_line: [fuse: 63 A gG], feeds: QA1.alternative}}}}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, "a file describes one point of supply, and this is a second one",
                   "write a file for each; a supply that takes over at a changeover can be a device of kind: generator that feeds QA1.alternative "
                   "(sld explain second-supply)")


@fault
def tbc_unclear(mark: Mark, where: str, missing: tuple[str, ...]) -> Finding:
    """TBC in a shorthand where more than one fact, or none, could be meant.

    Why: the survey list must name what is missing.
    Bad: breaker: 16 A TBC
    Good: breaker: {rating: 16 A 1P, curve: TBC, breaking: TBC}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    if not missing:
        return Finding(mark, f"{where}: nothing is missing here that TBC could stand for", "remove TBC")
    keys = ", ".join(f"{key}: TBC" for key in missing)
    return Finding(mark, f"{where}: TBC could stand for {' or '.join(missing)}", f"use the long form and say which: {{…, {keys}}}")


@fault
def one_device(mark: Mark, first: str, second: str) -> Finding:
    """Two devices in one entry of a list.

    Why: the order of devices in a line matters, and a mapping has none.
    Bad: in_line: [{breaker: 16 A C 1P, cable: 14 m}]
    Good: in_line: [breaker: 16 A C 1P, cable: 14 m]
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"'{second}' stands in the same entry as '{first}'", f"begin a new entry: '- {second}: …'")


@fault
def one_end(mark: Mark, where: str, ends: tuple[str, ...]) -> Finding:
    """Chain that leads to nothing, or to two things.

    Why: every circuit ends at a board, at equipment, at a load or at a local bar; an end that is forgotten would be missing on the drawing.
    Bad: {way: 3, in_line: [breaker: 16 A C 1P 6 kA]}
    Good: {way: 3, in_line: [breaker: 16 A C 1P 6 kA], load: {kind: lighting}}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    if ends:
        return Finding(mark, f"{where} has {' and '.join(ends)}: it can lead to one thing only",
                       "keep one; a branch is a list of 'circuits:'")
    return Finding(mark, f"{where} leads nowhere", "add 'load:', 'feeds:' or 'circuits:'; a spare way says 'load: spare'")


@fault
def bad_id(mark: Mark, text: str) -> Finding:
    """Id with letters that an id cannot have.

    Why: ids stand on drawings, in schedules and in file formats; all of them must be able to hold them.
    Bad: boards: {Main board: …}
    Good: boards: {MSB: {name: Main board}}
    Source: the contract of the site file
    """
    return Finding(mark, f"'{text}' cannot be an id",
                   "an id begins with a letter and has at most 32 letters, digits, '-' or '_'; put the spoken name under 'name:'")


@fault
def duplicate_id(mark: Mark, text: str, first: Mark, first_id: str) -> Finding:
    """Id that two objects have.

    Why: everything on the site is found by its id; capitals make no difference, because labels are read aloud.
    Bad: two devices with id: Q1
    Good: Q1 and Q2
    Source: the contract of the site file
    """
    also = "" if text == first_id else f" (as '{first_id}')"
    return Finding(mark, f"id '{text}' is taken already{also}", "give one of them another id", objects=(first_id,),
                   related=(Related(first, "first used here"),))


@fault
def unknown_id(mark: Mark, text: str, what: str, wanted: str, known: tuple[str, ...], named: str = "") -> Finding:
    """Reference to an id that nothing on the site has.

    Why: a feed, a sensor input or a bus segment that refers to nothing would silently be missing.
    Bad: feeds: SB2
    Good: feeds: SB
    Source: the grammar of the site file (`sld schema` prints it)
    """
    near = named or _near(text, known)
    if not named and len(near) == len(text) and near != text and re.sub(r"\d", "", near) == re.sub(r"\d", "", text):  # BAT2 is no slip for BAT1
        near = ""
    if "," in text:
        return Finding(mark, f"{what}: there is no {wanted} '{text}'", f"write several ids as a list, [{text}]")
    if wanted == "type" and not near:
        return Finding(mark, f"{what}: there is no type '{text}'", f"describe it at the top level, 'types: {{NAME: {{kind: …}}}}', and write its name here, "
                       f"or take one of {_some(known)}")
    hint = f"did you mean '{near}'?" if near else f"this site has {_some(known)}" if known else f"this site has no {wanted} yet"
    return Finding(mark, f"{what}: there is no {wanted} '{text}'", hint)


@fault
def wrong_object(mark: Mark, text: str, what: str, wanted: str, is_: str, instead: tuple[str, ...] = ()) -> Finding:
    """Reference to an object of a kind that cannot stand there.

    Why: a sensor input needs a sensor, a feed needs a board; the id is right but the meaning is not.
    Bad: inputs: {1: BAT1}
    Good: inputs: {1: CT1 on L1}
    Source: the grammar of the site file (`sld schema` prints it)
    """
    step = f"did you mean {' or '.join(map(repr, instead))}?" if instead else f"name {_a(wanted)}"
    return Finding(mark, f"{what}: '{text}' is {_a(is_)}, not {_a(wanted)}", step, objects=(text,))


@fault
def feed_loop(mark: Mark, loop: tuple[str, ...]) -> Finding:
    """Boards that feed each other in a circle.

    Why: no drawing, current or fault level of such a circle means anything; a ring or second supply is said otherwise.
    Bad: MSB feeds SB, and SB feeds MSB
    Good: MSB feeds SB
    Source: the grammar of the site file (`sld schema` prints it)
    """
    return Finding(mark, f"boards feed each other in a circle: {' → '.join(loop)}", "remove one of these feeds", objects=loop[:-1])


@fault
def include_missing(mark: Mark, name: str, why: str) -> Finding:
    """File of types that is not there or cannot be opened.

    Why: equipment whose type is not known cannot be checked.
    Bad: include: [equipmnt.yaml]
    Good: include: [equipment.yaml]
    Source: the contract of the site file (a file in the folder of the site file)
    """
    return Finding(mark, f"file of types '{name}' cannot be opened: {why}", "put the file beside the site file, or mend its name")


@fault
def revision_missing(mark: Mark, name: str) -> Finding:
    """Previous site file of a revision that is not there.

    Why: what the revision changed cannot be shown, and the drawing would look as if nothing had changed.
    Bad: revisions: [{rev: B, date: 2026-08-03, was: site-A.yml}] where the file is site-A.yaml
    Good: revisions: [{rev: B, date: 2026-08-03, was: site-A.yaml}]
    Source: the contract of the site file (a file in the folder of the site file)
    """
    return Finding(mark, f"previous site file '{name}' is not there", "put the file beside the site file, or mend its name")


@fault
def include_not_types(mark: Mark, name: str) -> Finding:
    """File of types that is no mapping of types.

    Why: an included file can hold types only; boards and circuits stand in the site file, so that one file describes the site.
    Bad: a list in equipment.yaml
    Good: storage-x: {kind: storage, power: 2.7 kVA} in equipment.yaml
    Source: the contract of the site file
    """
    return Finding(mark, f"'{name}' holds no mapping of types", "write each type as 'name: {kind: …}'")


@fault
def table_refused(mark: Mark, name: str, why: str, step: str = "") -> Finding:
    """Table of the user's own that is not there, lacks what makes its facts usable, or has a column or word that nothing can ask for.

    Why: a figure whose source nobody knows cannot stand on a drawing. Every table names its kind, edition and source at its head. A row for a
        method that no way of laying stands for would silently never count.
    Bad: tables: [capacity.csv] where capacity.csv has no line "# source: …"
    Good: a file that begins with "# table: capacity", "# edition: …" and "# source: …", then the columns and one fact a row
    Source: the contract of the site file (a file in the folder of the site file)
    """
    return Finding(mark, f"table '{name}' is refused: {why}", step or "mend the head or the row of the table, or take it out of 'tables'")


@fault
def acceptance_unused(mark: Mark, rule: str, about: str) -> Finding:
    """Acceptance of a finding that is not there any more.

    Why: the reason for it is gone, or the object has another id; left in the file it could hide a later finding.
    Bad: accept: [{rule: not-fed, object: SB, …}] after SB has got its feed
    Good: no entry under accept for it
    Source: the contract of the site file
    """
    return Finding(mark, f"no finding '{rule}' about '{about}' is there to be accepted", "remove this acceptance, or mend its rule or object")
