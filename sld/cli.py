# SPDX-License-Identifier: MIT
"""The command line: new, check, draw, schedule, issue, compare, explain, schema."""
from __future__ import annotations

import argparse
import gc
import importlib.util
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from sld.beside import stranger
from sld.endings import no_reader, not_done, stopped, unusable
from sld.networkx_later import algorithms_later
from sld.streams import speak

if TYPE_CHECKING:
    from topology.compare import Difference
    from topology.errors import SiteError
    from topology.flow import Flows

__all__ = ["main", "papers"]

Command = Callable[[argparse.Namespace], int]


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    speak()
    wrong = stranger(importlib.util.find_spec)
    if wrong:
        print(wrong, file=sys.stderr)
        return 2
    gc.set_threshold(100_000)  # a command lasts a moment: collecting as often as Python does would cost a tenth of it
    args = _parser().parse_args(argv)
    try:
        return _run(args)
    except KeyboardInterrupt:
        return stopped()
    except BrokenPipeError:
        return no_reader()
    except OSError as error:
        return not_done(error)
    except Exception as error:
        if isinstance(error.__cause__, KeyboardInterrupt):  # Python 3.11 wraps one that comes while a class is made
            return stopped()
        if os.environ.get("SLD_DEBUG"):
            raise
        print(f"sld: a bug of ours: {type(error).__name__}: {error} (SLD_DEBUG=1 shows where)", file=sys.stderr)
        return 70


def _run(args: argparse.Namespace) -> int:
    algorithms_later()
    from topology.errors import SiteError, Unusable
    from topology.quoted import cut

    try:
        code = args.run(args)
        sys.stdout.flush()  # a full disk or a closed pipe shows here, not after the exit code is given
        return code
    except Unusable as error:
        return unusable(error, getattr(args, "json", False))
    except SiteError as error:
        print("sld: " + "\n".join(map(cut, str(error).split("\n"))), file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="sld", description="One text file describes a site: check it, draw it, list it.")
    commands = parser.add_subparsers(required=True)

    def add(name: str, run: Command, words: str) -> argparse.ArgumentParser:
        command = commands.add_parser(name, help=words)
        command.set_defaults(run=run)
        return command

    check = add("check", _check, "report what is wrong and what is not known")
    check.add_argument("site", type=Path, help="the site file, such as site.yaml")
    check.add_argument("--json", action="store_true", help="the result as JSON, for programs")
    draw = add("draw", _draw, "draw the diagrams of the site")
    _writes(draw, "svg,pdf,scene", "svg, pdf, png, dxf, scene")
    known = "single-line, bus, sensors, boards, earthing"
    draw.add_argument("--only", type=_names(known), default=[], help=f"{known}; separated by commas, all by default")
    draw.add_argument("--view", choices=("difference", "as-found", "proposed"), default="difference", help="all with its status by default")
    _writes(add("schedule", _schedule, "write every schedule"), "csv,html", "csv, html, xlsx")
    _issues(add("issue", _issue, "issue drawings, schedules and findings as one set"))
    compare = add("compare", _compare, "say what differs between two site files")
    compare.add_argument("old", type=Path, help="the earlier site file")
    compare.add_argument("new", type=Path, help="the later site file")
    compare.add_argument("--json", action="store_true", help="the result as JSON, for programs")
    compare.add_argument("--csv", action="store_true", help="as a table for a spreadsheet")
    explain = add("explain", _explain, "what a rule or a method of calculation means, where a limit comes from, or the numbers at one place of a site")
    explain.add_argument("rule", nargs="?", default="", metavar="RULE|LIMIT|METHOD|ID",
                         help="a rule, a limit, a method ('methods' lists them); with --site an id of the site, or 'modes'")
    explain.add_argument("--site", type=Path, help="print the computation along the way to this id, with its working; with 'modes' for an id what is live in each mode, and with "
                         "each source isolated")
    explain.add_argument("--list", action="store_true", help="name all rules")
    explain.add_argument("--coverage", action="store_true", help="with --list: what each requirement and known mistake is answered by")
    new = add("new", _new, "write a first site file from a few answers")
    new.add_argument("site", type=Path, help="file to write; one that is there already is kept")
    new.add_argument("--phases", type=int, choices=(1, 2, 3), default=1)
    new.add_argument("--solar", choices=("none", "string", "module"), default="none", help="existing solar")
    new.add_argument("--storage", type=int, choices=range(13), default=1, metavar="0…12", help="storage units to be added")
    new.add_argument("--board", choices=("main", "new"), default="new", help="where the storage goes")
    new.add_argument("--profile", choices=("au", "nz", "uk", "iec"), default="iec", help="rules of which country")
    add("schema", _schema, "print the JSON Schema of the site file, for editors")
    return parser


def _names(known: str) -> Callable[[str], list[str]]:
    """Reads names separated by commas, all of them known."""
    def names_of(text: str) -> list[str]:
        names = text.split(",")
        if unknown := [name for name in names if name not in known.split(", ")]:
            raise argparse.ArgumentTypeError(f"'{unknown[0]}' is none of {known}")
        return names

    return names_of


def _writes(command: argparse.ArgumentParser, usual: str, known: str) -> None:
    """The arguments of a command that writes files."""
    formats = _names(known)
    command.add_argument("site", type=Path, help="the site file, such as site.yaml")
    command.add_argument("-o", dest="folder", type=Path, required=True, help="folder to write to")
    command.add_argument("--format", type=formats, default=formats(usual), help=f"{known}; separated by commas")
    command.add_argument("--strict", action="store_true", help="exit 1 where the site has errors")


def _issues(command: argparse.ArgumentParser) -> None:
    """The arguments of the command that issues a set."""
    command.add_argument("site", type=Path, help="the site file, such as site.yaml")
    command.add_argument("-o", dest="folder", type=Path, required=True, help="folder of all issued sets; this one gets a folder of its own in it")
    command.add_argument("--for", dest="purpose", choices=("application", "tender", "site", "record"), help="what belongs to this purpose; without it everything")
    command.add_argument("--replace", action="store_true", help="replace a set of the same revision that has other content")
    command.add_argument("--strict", action="store_true", help="refuse where the site has errors")


def _check(args: argparse.Namespace) -> int:
    from topology.read import read_file
    from topology.report import check

    report = check(read_file(args.site))
    print(report.to_json() if args.json else report.text())
    return report.exit_code


def _draw(args: argparse.Namespace) -> int:
    from sld.files import diagrams, left_out

    def make(flows: Flows, formats: list[str]) -> dict[str, bytes]:
        files = diagrams(flows, formats, args.only, args.view, faults)
        for line in [f"sld: {fault}" for fault in faults] or left_out(files, args.only):
            print(line, file=sys.stderr)
        return files

    faults: list[SiteError] = []
    return _write(args, make) or int(bool(faults))


def _schedule(args: argparse.Namespace) -> int:
    from schedules.render import render

    return _write(args, render)


def _issue(args: argparse.Namespace) -> int:
    from topology.read import bytes_of, read_bytes
    from topology.report import check

    from sld.issue import issue
    from sld.issue.told import told

    data = bytes_of(args.site)
    report = check(read_bytes(data, "site.yaml", args.site.parent))  # as it is called in the set
    if report.read.unusable:
        print(report.text(), file=sys.stderr)
        return 2
    issued = issue(report, data, args.site.parent, args.folder, args.purpose, args.replace, args.strict)
    print("\n".join(told(issued, report)), file=sys.stderr)
    print(issued.folder)
    return 0


def _write(args: argparse.Namespace, make: Callable[..., dict[str, bytes]]) -> int:
    """Read, make every file, then write them; the number of findings goes to stderr."""
    from topology.flow import Flows
    from topology.read import read_file
    from topology.report import check

    from sld.counts import counted
    from sld.files import write_whole

    read = read_file(args.site)
    report = check(read)
    if read.unusable:
        print(report.text(), file=sys.stderr)
        return 2
    for name, data in make(Flows(read), args.format).items():
        write_whole(args.folder / name, data)
    counts = report.counts
    print(f"{counted(counts)}: sld check {args.site}", file=sys.stderr)
    return int(args.strict and counts["error"] > 0)


def papers() -> frozenset[str]:
    """The diagrams, schedules and other papers that the program makes, by their names in the contract."""
    from schedules import SCHEDULES

    from sld.files import DIAGRAMS

    issued = ["set"] if importlib.util.find_spec("sld.issue") else []
    return frozenset([*DIAGRAMS, *SCHEDULES, "sheet", "report", *issued])


def _working(args: argparse.Namespace) -> int:
    from schedules.energised import what_is_live
    from topology.electrical import solve
    from topology.electrical.working import working
    from topology.errors import CannotTell
    from topology.flow import Flows
    from topology.read import read_file

    read = read_file(args.site)
    if read.site is None or not read.complete:
        print(f"{args.site} cannot be used: sld check {args.site}", file=sys.stderr)
        return 2
    flows = Flows(read)
    if args.rule == "modes" and args.rule not in flows.objects:
        print(what_is_live(flows))
        return 0
    if args.rule not in flows.graph and args.rule not in flows.objects:
        print(f"there is nothing with the id '{args.rule}' on this site", file=sys.stderr)
        return 2
    if args.rule not in flows.graph and (parts := [part.id for part in getattr(flows.objects[args.rule], "in_line", ()) if hasattr(part, "id")]):
        print(f"'{args.rule}' is a whole {flows.objects[args.rule].word}; name one place of it: {', '.join(parts)}", file=sys.stderr)
        return 2
    try:
        print(working(flows, solve(flows), args.rule))
    except CannotTell as error:
        print(f"cannot tell: {error.unknown.what} is not known", file=sys.stderr)
        return 2
    return 0


def _compare(args: argparse.Namespace) -> int:
    """0 where the two sites are the same, 1 where they differ, 2 where one cannot be used."""
    from topology.compare import compare, compare_json, compare_text
    from topology.read import read_file
    from topology.report import check

    sites = [read_file(path) for path in (args.old, args.new)]
    for read in sites:
        if read.unusable:
            report = check(read)
            print(report.to_json() if args.json else report.text(), file=sys.stdout if args.json else sys.stderr)
            return 2
    found = compare(*sites)
    print(compare_json(found) if args.json else _as_csv(found) if args.csv else compare_text(found))
    return int(bool(found))


def _as_csv(found: tuple[Difference, ...]) -> str:
    """The differences as a table, without the last line end."""
    from schedules.differences import between
    from schedules.write_csv import csv_bytes

    return csv_bytes(between(found)).decode("utf-8").rstrip("\n")


def _explain(args: argparse.Namespace) -> int:
    from topology.coverage import coverage_text
    from topology.explain_limits import explain_limit
    from topology.report import explain, explain_list

    if args.site is not None:
        return _working(args)
    if args.list:
        print(coverage_text(papers()) if args.coverage else explain_list())
        return 0
    text = explain(args.rule) or explain_limit(args.rule)
    print(text or f"there is no rule, limit or method '{args.rule}'; sld explain --list names the rules", file=sys.stdout if text else sys.stderr)
    return 0 if text else 2


def _new(args: argparse.Namespace) -> int:
    from topology.draft import Answers, draft_site

    text = draft_site(Answers(args.phases, args.solar, args.storage, args.board, args.profile))
    try:
        with args.site.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        print(f"{args.site} exists already; give another name", file=sys.stderr)
        return 2
    print(f"{args.site} written; next: sld check {args.site}", file=sys.stderr)
    return 0


def _schema(args: argparse.Namespace) -> int:
    from topology.schema import schema_json

    print(schema_json(), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
