# SPDX-License-Identifier: MIT
"""Words and forms of the trade that the grammar says otherwise, for the next step of a message.

Source: common practice of the trade, no source, where none is named.
"""
from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable
from functools import cache
from importlib import resources

__all__ = ["PHRASE", "almost", "awg_area_mm2", "key_note", "meant", "other_current", "phase_meant", "said_otherwise"]

PHRASE = re.compile(r"""twin\ (?:and|&|\+)\ earth|(?:single|one|two|three|split)[ -]phase|[1-9]\d?(?:/0)?\ ?AWG
    |\d{1,3}\ ?[x×G]\ ?\d{1,3}(?:[.,]\d{1,2})?(?:\ ?mm[²2])?|\d{1,2}(?:\.\d)?/\d(?:\.\d)?(?![\d/])(?!\ ?AWG)|\d{1,4}\ ?A?\s?/\s?0[.,]\d{1,3}\ ?A?
    |(?:single|double|triple|four|[1-4])[ -]poles?|[1-4]-polig|power\ points?|(?:water|immersion)\ heater
    |heat\ pump|(?:earth|ground)\ (?:rod|spike|stake)""", re.X)
"""Pieces of a shorthand that belong together for whoever wrote them."""

T_E = "say its cores and the size of its earth core, like '2C+1.5E'"
KEY_NOTES = (
    ("pscc psc pfc ipf largest", "faults", "", "write 'faults: {largest: 6 kA at point of supply}' with its value"),
    ("ze zs loop", "faults", "", "write 'faults: {loop: 0.35 ohm at point of supply}' with its value"),
    ("earthing", "system", "supply", "the system says it: '1/PEN' or '3/PEN' is TN-C-S, '1/N/PE' or '3/N/PE' is TN-S, '1/N' or '3/N' is TT"),
    ("inverters batteries storage loads solar pv", "boards", "", "equipment stands in its circuit: 'feeds: {inverter: {id: INV1, type: …}}', "
     "'feeds: {storage: {id: BAT1, type: …}}' or 'load: sockets 3 kW'"),
    ("resistance", "electrode", "", "it belongs to the electrode: 'electrode: {kind: rod, conductor: 16 mm², resistance: 80 ohm}'"),
    ("ratio", "primary", "", "write both currents: 'primary: 100 A, secondary: 5 A'"),
    ("ground earth grounding", "ne_link", "", "the link of neutral and earth with its electrode is 'ne_link: {electrode: rod 16 mm²}'"),
    ("power energy phases", "type", "", "it is a fact of its type: 'types: {NAME: {kind: …, power: 5 kVA}}' at the top level, and 'type: NAME' here"),
    ("country", "address", "", "the rules of a country stand at the top level: 'profile: [uk]'"),
)
"""(keys, a key that the place has, how messages begin that name the place, next step)"""


def _fold(word: str) -> str:
    return " ".join(re.sub(r"[^a-z0-9]+", " ", word.casefold()).split())


@cache
def _words() -> dict[str, tuple[str, ...]]:
    """What each word of the trade may stand for."""
    rows = resources.files("topology").joinpath("trade_words.csv").read_text(encoding="utf-8").splitlines()
    pairs = [row.split(",") for row in rows if row and not row.startswith("#")][1:]
    return {said: tuple(words.split("|")) for said, words in pairs}


def meant(word: str, known: Iterable[str]) -> str:
    """The word of the grammar, among those possible at a place, that a word of the trade stands for; "" if none."""
    possible = list(known)
    folded = _fold(word)
    same = next((other for other in possible if folded and _fold(other) == folded), "")  # ne-link, Main switch
    return same or next((other for other in _words().get(folded, ()) if other in possible), "")


def almost(word: str, known: Iterable[str]) -> str:
    """The known word that a word surely means: by the trade, or by a slip of one letter or two; "" if none."""
    possible = list(known)
    near = difflib.get_close_matches(word.casefold(), possible, 1, 0.85) if len(word) > 3 else []
    return meant(word, possible) or (near[0] if near else "")


def phase_meant(text: str) -> str:
    """Phases as the grammar says them, of A, L1-L2, 1, R or a colour; "" where nobody can say (blue is a phase here and a neutral there)."""
    if re.fullmatch(r"(?:3|three)[ -]?(?:phases?|ph)|all(?: phases)?", text.strip(), re.I):
        return "L1 L2 L3"
    names = {"a": "L1", "b": "L2", "c": "L3", "r": "L1", "s": "L2", "t": "L3", "1": "L1", "2": "L2", "3": "L3", "l1": "L1", "l2": "L2", "l3": "L3"}
    said = [names.get(word) for word in re.split(r"[\s,/+&-]+", text.strip().casefold())]
    return " ".join(name or "" for name in said) if said and all(said) else ""


def other_current(text: str) -> str:
    """The next step for a second current where a rating stands already: thousands of amperes are broken, parts of one are a residual current."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?) ?A", text)
    amperes = float(found[1]) if found else 1.0
    if amperes >= 1000:
        return f"did you mean '{amperes / 1000:g} kA', the breaking capacity?"
    return f"did you mean '{amperes * 1000:g} mA', the rated residual current?" if amperes < 1 else ""


def key_note(key: str, known: Iterable[str], where: str) -> str:
    """The next step for a key whose fact stands elsewhere; "" if none."""
    possible = set(known)
    return next((note for keys, has, place, note in KEY_NOTES if _fold(key) in keys.split() and has in possible and place in where), "")


def awg_area_mm2(gauge: int) -> float:
    """Cross-section of a solid conductor [mm²].

    gauge : AWG number, -3 (4/0) to 40 [-]
    Source: ASTM B258, diameter law: 0.005 inch at gauge 36, 0.46 inch at 4/0, a geometric series between them.
    """
    if not -3 <= gauge <= 40:
        raise ValueError(f"gauge {gauge} is outside -3…40")
    return 0.012668 * float(92 ** ((36 - gauge) / 19.5))


# ---- forms -----------------------------------------------------------------------------------------------------------

def _awg(found: re.Match[str]) -> str:
    gauge = 1 - int(found[1]) if found[2] else int(found[1])
    return f"a cross-section is in mm²: {found[0]} is '{awg_area_mm2(gauge):.3g} mm²'" if gauge <= 40 else ""


def _harmonized(found: re.Match[str]) -> str:
    """3G1.5: with protective conductor; 3x1.5: without, or nobody thought of it. Source: HD 361 (G and X), from memory."""
    cores, area = int(found[1]), found[3].replace(",", ".")
    with_earth = f"'{area} mm² {cores - 1}C+{area}E'"
    if found[2] == "G":
        return f"did you mean {with_earth}?"
    return f"write '{area} mm² {cores}C', or {with_earth} where one of the cores is the protective conductor"


def _two_sizes(found: re.Match[str]) -> str:
    """1.5/1.0: two cores and an earth core [mm²]; 14/2: gauge and number of cores."""
    first, second = float(found[1]), float(found[2])
    if second in (2, 3) and first in (6, 8, 10, 12, 14):
        area = f"{awg_area_mm2(int(first)):.3g}"
        return f"did you mean '{area} mm² {second:g}C+{area}E' ({first:g} AWG, its earth core of the same size)?"
    return f"did you mean '{first:g} mm² 2C+{second:g}E'?" if second <= first else ""


def _residual(found: re.Match[str]) -> str:
    return f"did you mean '{found[1]} A {round(float(found[2].replace(',', '.')) * 1000)} mA'?"


def _phase(found: re.Match[str]) -> str:
    return f"did you mean '{phase_meant(found[0])}'?"


Form = tuple[str, str, str | Callable[[re.Match[str]], str]]
FORMS: tuple[Form, ...] = (
    ("cores", r"(\d{1,2})(/0)? ?AWG", _awg),
    ("cores", r"(\d{1,2}) ?([x×G]) ?(\d{1,3}(?:[.,]\d{1,2})?)(?: ?mm[²2])?", _harmonized),
    ("cores", r"(\d{1,2}(?:\.\d)?)/(\d(?:\.\d)?)", _two_sizes),
    ("cores", r"T ?[+&] ?E|TPS|twin.*|.*earth", T_E),
    ("cores", r"(\d)C ?\+ ?[EG]", lambda m: f"say the size of the earth core [mm²]: '{m[1]}C+2.5E'"),
    ("cores", r"(\d)C ?\+ ?N ?\+ ?[EG]", lambda m: f"the neutral counts as a core, and the earth core has its size [mm²]: '{int(m[1]) + 1}C+2.5E'"),
    ("cores", r"ground|buried", "a cable in the ground is 'underground', or 'underground in duct'"),
    ("residual", r"(\d{1,4}) ?A? ?/ ?(0[.,]\d{1,3}) ?A?", _residual),
    ("residual", r"selective|delayed|time-delayed|S-type", "did you mean 'type S'?"),
    ("residual", r"AC|A|F|B|S|A-S", lambda m: f"did you mean 'type {m[0]}'?"),
    ("curve", r"([BCD]) ?(\d+)/([1-4])", lambda m: f"did you mean '{m[2]} A {m[1]} {m[3]}P'?"),
    ("curve", r"([BCD]) ?(\d+)", lambda m: f"did you mean '{m[2]} A {m[1]}'?"),
    ("curve", r"(?:type|curve|char\.?)", "the curve stands as its letter alone: '16 A B'"),
    ("utilisation", r"(\d) ?[x×] ?(\d+) ?A?", lambda m: f"a fuse stands in each phase, so say the current of one: '{m[2]} A'"),
    ("code", r"([123]) ?~? ?/? ?(PEN|N|PE)(?: ?/? ?(PE))? ?~?", lambda m: f"did you mean '{'/'.join(part for part in m.groups() if part)}'?"),
    ("code", r"TN-C-S|PME", "TN-C-S brings a PEN: '1/PEN' or '3/PEN', and an 'ne_link:' in line"),
    ("code", r"TN-S", "TN-S brings N and PE: '1/N/PE' or '3/N/PE'"),
    ("code", r"TT", "TT brings no protective conductor: '1/N' or '3/N', and an electrode under 'earthing:'"),
    ("code", r"(?:single|one|1)[ -]?(?:phase|ph)", "write '1/PEN', '1/N/PE' or '1/N', as the distributor brings it"),
    ("code", r"(?:three|3)[ -]?(?:phase|ph)", "write '3/PEN', '3/N/PE' or '3/N', as the distributor brings it"),
    ("code", r"split[ -]phase", "write '2/PEN AC 60 Hz 240/120 V 180°', or '2/N/PE …'"),
    ("phase", r"[ABCRSTabcrst123](?:-[ABCRSTabcrst123])*|L[123](?:[-/+&]L[123])+", _phase),
)
"""(a field that the object has, or the object, the whole word, next step)"""


def said_otherwise(fields: Iterable[str], word: str) -> str:
    """The next step for a word in a form of the trade, at an object with these fields; "" if none."""
    names = set(fields)
    for field, form, step in FORMS:
        if field in names and (found := re.fullmatch(form, word)):
            if said := step if isinstance(step, str) else step(found):
                return said
    return ""
