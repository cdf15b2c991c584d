# SPDX-License-Identifier: MIT
"""A first site file from a few answers: valid, commented, and TBC for everything that was not said."""
from __future__ import annotations

from collections.abc import Iterator

from .dataclass import dataclass

__all__ = ["SOLAR", "WHERE", "Answers", "draft_site"]

SOLAR = ("none", "string", "module")
WHERE = ("main", "new")
SCHEMA = "# yaml-language-server: $schema=site.schema.json"
CORES = {1: "2C", 2: "3C", 3: "4C"}
POLES = {1: "2P", 2: "3P", 3: "4P"}


@dataclass(frozen=True)
class Answers:
    """What is known before the first visit.

    phases  : 1, 2 or 3
    solar   : existing solar: none, string (a string inverter) or module (module-level inverters)
    storage : storage units to be added, 0 to 12
    where   : where they go: main (the main switchboard) or new (a board of their own)
    profile : rules of which country: au, nz, uk, iec
    """

    phases: int = 1
    solar: str = "none"
    storage: int = 1
    where: str = "new"
    profile: str = "iec"

    def __post_init__(self) -> None:
        """Raises ValueError for an answer outside of what is possible."""
        if self.phases not in (1, 2, 3) or not 0 <= self.storage <= 12 or self.solar not in SOLAR or self.where not in WHERE:
            raise ValueError(f"no site with {self.phases} phases, solar '{self.solar}', {self.storage} units of storage on board '{self.where}'")

    @property
    def names(self) -> tuple[str, ...]:
        """The phases by name."""
        return ("L1", "L2", "L3")[:self.phases]

    @property
    def controlled(self) -> bool:
        """Whether there is anything for a gateway to read and steer."""
        return self.storage > 0 or self.solar != "none"

    @property
    def on_new_board(self) -> bool:
        """Whether a board of their own holds what is added."""
        return self.storage > 0 and self.where == "new"

    def phase(self, number: int) -> str:
        """The phase of the n-th unit, in turn."""
        return self.names[(number - 1) % self.phases]


def draft_site(answers: Answers) -> str:
    """The text of a site file."""
    return "\n".join([*_head(answers), *_supply(answers), *_boards(answers), *_control(answers)]) + "\n"


def _head(answers: Answers) -> Iterator[str]:
    yield SCHEMA
    yield "# A first draft. TBC stands for what nobody knows yet: it is drawn as TBC and never passes a check."
    yield "# Replace each TBC, then run:  sld check site.yaml    sld draw site.yaml -o out    sld schedule site.yaml -o out"
    yield "site: {name: TBC, address: TBC, connection: TBC, status: existing, work_begins: TBC}"
    yield "people:"
    yield "  customer: TBC"
    yield "  designer: {name: TBC, licence: TBC}"
    yield "limits: {generation: TBC, export: TBC}  # as the network operator has set them"
    yield "drawing: {number: TBC, title: Solar and storage, status: preliminary}"
    yield "# What an application form asks for besides:  application: {retailer: …, fee: …, commissioning: …}  people: {installer: {name: …, licence: …}}"
    yield f"profile: [{answers.profile}]  # whose rules: au, nz, uk, iec"
    yield ""


def _supply(answers: Answers) -> Iterator[str]:
    code, volts = answers.phases, "400/230 V" if answers.phases > 1 else "230 V"
    yield "# From the point of supply inwards, in physical order. PEN up to the N–E link, N and PE behind it; if the operator brings N and PE,"
    yield f"# write {code}/N/PE and take the ne_link away."
    yield "supply:"
    yield f"  system: {code}/PEN AC 50 Hz {volts}" + (" 120°  # or 240/120 V 180°" if answers.phases == 2 else "")
    yield "  allocation: TBC"
    yield "  faults: {largest: TBC, loop: TBC}"
    yield "  in_line:"
    yield "    - fuse: {id: SF, rating: TBC, owner: distributor, name: Service fuse}"
    yield "    - meter: {id: M1, direction: both, owner: distributor}"
    yield f"    - cable: {{id: W1, parts: [{{area: TBC, cores: {CORES[answers.phases]}, length: TBC}}], conductors: {' '.join(answers.names)} PEN}}"
    yield "    - ne_link: {id: NE1, electrode: {kind: TBC, conductor: TBC}}"
    if answers.controlled:
        for number, phase in enumerate(answers.names, 1):
            yield f"    - ct: {{id: CT{number}, measures: grid, phase: {phase}, P1: to supply, lead: TBC, status: new}}"
    yield f"    - switch: {{id: Q1, rating: TBC, poles: {POLES[answers.phases].replace(str(answers.phases + 1), str(answers.phases))}, name: Main switch}}"
    yield "  feeds: MSB"
    yield ""


def _boards(answers: Answers) -> Iterator[str]:
    yield "boards:"
    yield "  MSB:"
    yield "    name: Main switchboard"
    yield "    busbar: TBC"
    yield "    circuits:"
    yield "      # One entry a circuit; way is its place on the board. A spare way says load: spare."
    phase = "phase: L1, " if answers.phases > 1 else ""
    yield f"      - {{way: 1, {phase}name: TBC, in_line: [breaker: TBC, cable: TBC], load: {{kind: TBC, power: TBC}}}}"
    yield from _solar(answers)
    if answers.on_new_board:
        yield "      - way: 5"
        yield "        name: Storage board"
        yield "        status: new"
        yield f"        in_line: [breaker: {{rating: TBC, poles: {POLES[answers.phases]}, curve: TBC, breaking: TBC}}, cable: TBC]"
        yield "        feeds: SB"
        yield "  SB:"
        yield "    name: Storage board"
        yield "    status: new"
        yield "    busbar: TBC"
        yield "    circuits:"
    yield from _storage(answers)
    yield from _gateway(answers)


def _solar(answers: Answers) -> Iterator[str]:
    if answers.solar == "none":
        return
    phase = ["        phase: L1"] if answers.phases > 1 else []
    yield from ["      - way: 3-4", *phase, "        name: Solar", "        in_line:", "          - breaker: {rating: TBC, poles: 2P, curve: TBC, breaking: TBC}",
                "          - ct: {id: CT9, measures: generation, phase: L1, P1: to supply, lead: TBC, status: new}", "          - cable: TBC",
                "          - isolator: {id: QS1, rating: TBC, poles: 2P}"]
    if answers.solar == "string":
        yield "        feeds: {inverter: {id: INV1, type: TBC, phase: L1, arrays: [{id: PV1, power: TBC, modules: TBC}]}}"
    else:
        yield "        feeds: {module_inverters: {id: INV1, type: TBC, number: TBC, phase: L1, trunk: TBC}}"


def _storage(answers: Answers) -> Iterator[str]:
    first = 1 if answers.where == "new" else 7
    status = "" if answers.where == "new" else "        status: new\n"
    for number in range(1, answers.storage + 1):
        way = first + 2 * (number - 1)
        phase = f"        phase: {answers.phase(number)}\n" if answers.phases > 1 else ""
        yield (f"      - way: {way}-{way + 1}\n{phase}        name: Storage {number}\n{status}        in_line:\n"
               "          - breaker: {rating: TBC, poles: 2P, curve: TBC, breaking: TBC}\n"
               f"          - disconnection_device: {{id: KD{number}, type: TBC, rating: TBC, poles: 1P+N}}  # unless the unit disconnects itself\n"
               "          - cable: TBC\n"
               f"          - isolator: {{id: QB{number}, rating: TBC, poles: 2P}}\n"
               f"        feeds: {{storage: {{id: BAT{number}, type: TBC, phase: {answers.phase(number)}, address: TBC}}}}")


def _gateway(answers: Answers) -> Iterator[str]:
    """What feeds the gateway, behind the storage units of its board."""
    if answers.controlled:
        way = (1 if answers.on_new_board else 7) + 2 * answers.storage
        phase = "phase: L1, " if answers.phases > 1 else ""
        status = "" if answers.on_new_board else "status: new, "
        yield f"      - {{way: {way}, {phase}name: Gateway, {status}in_line: [breaker: TBC], feeds: GW1}}"


def _control(answers: Answers) -> Iterator[str]:
    if not answers.controlled:
        return
    inputs = [f"{n}: CT{n} on {phase}" for n, phase in enumerate(answers.names, 1)]
    inputs += [f"{len(inputs) + 1}: CT9 on L1"] if answers.solar != "none" else []
    yield ""
    yield "controllers:"
    yield f"  GW1: {{kind: gateway, place: {'SB' if answers.on_new_board else 'MSB'}, status: new, inputs: {{{', '.join(inputs)}}}}}"
    if not answers.storage:
        return
    yield "  BA1: {kind: bus adapter, status: new, joined_to: GW1, lead: TBC, address: TBC}"
    chain = ["BA1", *(f"BAT{n}" for n in range(1, answers.storage + 1))]
    yield ""
    yield "# From device to device; a terminator at each end, each shield bonded at one end."
    yield "buses:"
    yield "  control:"
    yield "    type: TBC"
    yield "    status: new"
    yield "    segments:"
    for a, b in zip(chain, chain[1:], strict=False):
        yield f"      - {{from: {a}, to: {b}, length: TBC, shield_bond: {a}}}"
    yield f"    terminators: [{chain[0]}, {chain[-1]}]"
