# SPDX-License-Identifier: MIT
"""The command line: new, check, draw, schedule, explain, schema."""
from __future__ import annotations

import argparse
import importlib.util
import os
import sys
from collections.abc import Callable
from pathlib import Path

from sld.beside import stranger

__all__ = ["main", "papers"]

Command = Callable[[argparse.Namespace], int]


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    wrong = stranger(importlib.util.find_spec)
    if wrong:
        print(wrong, file=sys.stderr)
        return 2
    from topology.errors import SiteError, Unusable

    args = _parser().parse_args(argv)
    try:
        return args.run(args)
    except Unusable as error:
        place = error.finding.mark.file
        print(f"{place}:1:1  error  {error.finding.rule}: {error}", f"next: {error.finding.next}", sep="\n", file=sys.stderr)
        return 2
    except (SiteError, OSError) as error:
        print(f"sld: {error}", file=sys.stderr)
        return 1
    except Exception as error:
        if os.environ.get("SLD_DEBUG"):
            raise
        print(f"sld: a bug of ours: {type(error).__name__}: {error} (SLD_DEBUG=1 shows where)", file=sys.stderr)
        return 70


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="sld", description="One text file describes a site: check it, draw it, list it.")
    commands = parser.add_subparsers(required=True)

    def add(name: str, run: Command, words: str) -> argparse.ArgumentParser:
        command = commands.add_parser(name, help=words)
        command.set_defaults(run=run)
        return command

    check = add("check", _check, "report what is wrong and what is not known")
    check.add_argument("site", type=Path)
    check.add_argument("--json", action="store_true", help="for programs")
    _writes(add("draw", _draw, "draw the single-line and the bus diagram"), "svg,pdf,scene", "svg, pdf, png, scene")
    _writes(add("schedule", _schedule, "write the circuit, cable, bus and sensor schedules"), "csv,html", "csv, html")
    explain = add("explain", _explain, "what a rule means, or where a limit comes from")
    explain.add_argument("rule", nargs="?", default="", metavar="RULE|LIMIT")
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


def _writes(command: argparse.ArgumentParser, usual: str, known: str) -> None:
    """The arguments of a command that writes files."""
    def formats(text: str) -> list[str]:
        names = text.split(",")
        if unknown := [name for name in names if name not in known.split(", ")]:
            raise argparse.ArgumentTypeError(f"'{unknown[0]}' is none of {known}")
        return names

    command.add_argument("site", type=Path)
    command.add_argument("-o", dest="folder", type=Path, required=True, help="folder to write to")
    command.add_argument("--format", type=formats, default=formats(usual), help=f"{known}; separated by commas")
    command.add_argument("--strict", action="store_true", help="exit 1 where the site has errors")


def _check(args: argparse.Namespace) -> int:
    from topology.read import read_file
    from topology.report import check

    report = check(read_file(args.site))
    print(report.to_json() if args.json else report.text())
    return report.exit_code


def _draw(args: argparse.Namespace) -> int:
    from sld.files import diagrams

    return _write(args, diagrams)


def _schedule(args: argparse.Namespace) -> int:
    from schedules.render import render

    return _write(args, render)


def _write(args: argparse.Namespace, make: Callable[..., dict[str, bytes]]) -> int:
    """Read, make every file, then write them; the number of findings goes to stderr."""
    from topology.flow import Flows
    from topology.read import read_file
    from topology.report import check

    from sld.files import write_whole

    read = read_file(args.site)
    report = check(read)
    if read.unusable:
        print(report.text(), file=sys.stderr)
        return 2
    for name, data in make(Flows(read), args.format).items():
        write_whole(args.folder / name, data)
    counts = report.counts
    print(f"{counts['error']} errors, {counts['warning']} warnings, {counts['cannot_tell']} not known: sld check {args.site}", file=sys.stderr)
    return int(args.strict and counts["error"] > 0)


def papers() -> frozenset[str]:
    """The diagrams, schedules and other papers that the program makes, by their names in the contract."""
    from schedules import SCHEDULES

    from sld.files import DIAGRAMS

    issued = ["set"] if importlib.util.find_spec("sld.issue") else []
    return frozenset([*DIAGRAMS, *SCHEDULES, "sheet", "report", *issued])


def _explain(args: argparse.Namespace) -> int:
    from topology.coverage import coverage_text
    from topology.explain_limits import explain_limit
    from topology.report import explain, explain_list

    if args.list:
        print(coverage_text(papers()) if args.coverage else explain_list())
        return 0
    text = explain(args.rule) or explain_limit(args.rule)
    print(text or f"there is no rule or limit '{args.rule}'; sld explain --list names the rules", file=sys.stdout if text else sys.stderr)
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
