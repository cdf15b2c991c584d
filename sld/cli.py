# SPDX-License-Identifier: MIT
"""The command line: check, draw, schedule, explain."""
from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path

from topology.errors import SiteError, Unusable
from topology.read import ReadSite, read_file

__all__ = ["main"]


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    parser = argparse.ArgumentParser(prog="sld", description="One text file describes a site: check it, draw it.")
    commands = parser.add_subparsers(dest="command", required=True)
    check = commands.add_parser("check", help="report what is wrong and what is not known")
    check.add_argument("site", type=Path)
    check.add_argument("--json", action="store_true")
    draw = commands.add_parser("draw", help="draw the single-line diagram")
    draw.add_argument("site", type=Path)
    draw.add_argument("-o", dest="folder", type=Path, required=True)
    draw.add_argument("--format", default="svg,pdf,scene", help="svg, pdf, png, scene; separated by commas")
    schedule = commands.add_parser("schedule", help="write the circuit, cable, bus and sensor schedules")
    schedule.add_argument("site", type=Path)
    schedule.add_argument("-o", dest="folder", type=Path, required=True)
    schedule.add_argument("--format", default="csv,html", help="csv, html; separated by commas")
    explain = commands.add_parser("explain", help="what a rule means")
    explain.add_argument("rule", nargs="?", default="")
    explain.add_argument("--list", action="store_true")
    args = parser.parse_args(argv)
    run: dict[str, Callable[[argparse.Namespace], int]] = {"check": _check, "draw": _draw, "schedule": _schedule, "explain": _explain}
    try:
        return run[args.command](args)
    except Unusable as error:
        print(f"{error.finding.mark.file}:1:1  error  {error.finding.rule}: {error}", f"next: {error.finding.next}", sep="\n", file=sys.stderr)
        return 2
    except SiteError as error:
        print(error, file=sys.stderr)
        return 1
    except Exception as error:
        if os.environ.get("SLD_DEBUG"):
            raise
        print(f"sld: a bug of ours: {type(error).__name__}: {error} (SLD_DEBUG=1 shows where)", file=sys.stderr)
        return 70


def _check(args: argparse.Namespace) -> int:
    from topology.report import check

    report = check(read_file(args.site))
    print(report.to_json() if args.json else report.text())
    return report.exit_code


def _draw(args: argparse.Namespace) -> int:
    from topology.flow import Flows

    from sld.files import diagrams, write_whole

    read = read_file(args.site)
    wrong = [f for f in read.findings if f.severity == "error"]
    if read.unusable:
        _point_out(read, args.site)
        return 2
    for name, data in diagrams(Flows(read), args.format.split(",")).items():
        write_whole(args.folder / name, data)
    print(f"{len(wrong)} errors in the site file: see sld check {args.site}", file=sys.stderr)
    return 0


def _schedule(args: argparse.Namespace) -> int:
    from schedules.render import render
    from topology.flow import Flows

    from sld.files import write_whole

    read = read_file(args.site)
    if read.unusable:
        _point_out(read, args.site)
        return 2
    for name, data in render(Flows(read), args.format.split(",")).items():
        write_whole(args.folder / name, data)
    return 0


def _explain(args: argparse.Namespace) -> int:
    from topology.report import explain, rule_names

    if args.list:
        print("\n".join(rule_names()))
        return 0
    text = explain(args.rule)
    print(text or f"there is no rule '{args.rule}'; sld explain --list names them", file=sys.stdout if text else sys.stderr)
    return 0 if text else 2


def _point_out(read: ReadSite, site: Path) -> None:
    print(f"{site} cannot be used: {read.findings[0].message if read.findings else 'it is empty'}; see sld check {site}", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
