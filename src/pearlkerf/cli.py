"""The commands: the only place that prints, exits, opens output files, and reads the clock.

Heavy modules are imported inside the commands, so that help comes at once.
"""

import json
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

if TYPE_CHECKING:
    from pearlkerf.board.reader import BoardFile
    from pearlkerf.errors import Problem
    from pearlkerf.job import Job
    from pearlkerf.layout.model import Layout
    from pearlkerf.machine.model import Machine
    from pearlkerf.proof.motions import Verdict

REFUSED, USAGE, NOT_PROVED, NO_FILE, INTERRUPTED = 1, 2, 3, 4, 130
DOTS = ("face and side", "side", "none")
BOARD = click.argument("board", type=click.Path(path_type=Path))
MACHINE = click.option("-m", "--machine", "machine_name", metavar="MACHINE", help="A profile's name, or a path to one.")
JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object on standard output.")
VERBOSE = click.option("-v", "--verbose", is_flag=True, help="Say what is done, and how long it takes.")


class Commands(click.Group):
    """The commands; an interruption has its own exit code."""

    def invoke(self, ctx: click.Context) -> object:
        """Run a command."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, click.Abort):
            say("interrupted")
            raise SystemExit(INTERRUPTED) from None


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="pearlkerf", prog_name="pearlkerf")
def main() -> None:
    """From a board file to proved RS-274 programs for fret slots, dots and side dots.

    \b
    pearlkerf new my-board.toml
    pearlkerf check my-board.toml
    pearlkerf cut my-board.toml -m benchtop-arcs -o my-board-job

    A program is saved only after an independent reading has proved it.  Try everything in scrap
    first.  Exit codes: 0 done, 1 refused, 2 usage, 3 proof failed, 4 cannot read or write,
    130 interrupted.
    """


def say(text: str) -> None:
    """Talk, on standard error."""
    click.echo(text, err=True)


@contextmanager
def told_errors(as_json: bool = False) -> Iterator[None]:
    """Turn refusals and file errors into words (or JSON) and exit codes."""
    from pearlkerf.errors import Refusal

    try:
        yield
    except Refusal as refusal:
        _tell_refusal(refusal.problems, as_json)
        raise SystemExit(REFUSED) from None
    except OSError as fault:
        where = f"{fault.filename}: " if fault.filename else ""
        say(f"{where}{fault.strerror or fault}")
        raise SystemExit(NO_FILE) from None


def _tell_refusal(problems: Iterable["Problem"], as_json: bool) -> None:
    from dataclasses import asdict

    told = tuple(problems)
    if as_json:
        click.echo(json.dumps({"errors": [asdict(problem) for problem in told]}, indent=2))
    for problem in told:
        say(str(problem))
    say(f"refused: {len(told)} mistake{'' if len(told) == 1 else 's'}, nothing was written")


def _warn(problems: Iterable["Problem"]) -> None:
    for problem in problems:
        say(f"warning: {problem}")


@contextmanager
def _timed(verbose: bool, what: str) -> Iterator[None]:
    begun = time.perf_counter()
    yield
    if verbose:
        say(f"{what}: {(time.perf_counter() - begun) * 1000:.0f} ms")


def _lay_out(path: Path) -> tuple["BoardFile", "Layout"]:
    """Read and lay out a board; raises Refusal with every mistake of both, in the file's order."""
    from pearlkerf.board.reader import read_board
    from pearlkerf.errors import Refusal
    from pearlkerf.layout.lay_out import lay_out

    board = read_board(path)
    problems, layout = list(board.problems), None
    if board.board is not None:
        try:
            layout = lay_out(board.board)
        except Refusal as refusal:
            problems += [board.places.put(problem) for problem in refusal.problems]
    if problems or layout is None:
        raise Refusal(sorted(dict.fromkeys(problems), key=lambda problem: (problem.line or 0, problem.column or 0)))
    return board, layout


def _plan(board: "BoardFile", layout: "Layout", machine: "Machine") -> "Job":
    from pearlkerf.errors import Refusal
    from pearlkerf.job import plan_job

    try:
        return plan_job(layout, machine)
    except Refusal as refusal:
        raise Refusal(board.places.put(problem) for problem in refusal.problems) from None


def _maker() -> str:
    from importlib.metadata import version

    return f"Pearlkerf {version('pearlkerf')}"


@main.command()
@BOARD
@MACHINE
@JSON
def check(board: Path, machine_name: str | None, as_json: bool) -> None:
    """Tell everything that is wrong with BOARD, at once; else its positions and depths.

    With a machine also which cutter takes what, at which speeds and feeds, and whether it all fits.
    """
    from pearlkerf import tables

    with told_errors(as_json):
        read, layout = _lay_out(board)
        job = None
        if machine_name is not None:
            from pearlkerf.machine.reader import read_machine

            job = _plan(read, layout, read_machine(machine_name))
    warnings = [read.places.put(problem) for problem in (job.warnings if job else layout.warnings)]
    _warn(warnings)
    if as_json:
        click.echo(json.dumps(tables.as_data(layout, job, warnings), indent=2))
    else:
        click.echo(tables.as_text(layout, job))


@main.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The job's folder.")
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def cut(board: Path, machine_name: str | None, output: Path, force: bool, as_json: bool, verbose: bool) -> None:
    """Make proved programs for BOARD in the folder DIR, with the dry-run page and the job card."""
    if machine_name is None:
        raise click.UsageError("Missing option '-m' / '--machine'. The profiles: pearlkerf machines")
    from pearlkerf import job as way
    from pearlkerf import saving
    from pearlkerf.machine.reader import read_machine, read_profile_bytes

    with told_errors(as_json):
        with _timed(verbose, "read and laid out"):
            read, layout = _lay_out(board)
            machine = read_machine(machine_name)
        with _timed(verbose, "planned and written"):
            job = _plan(read, layout, machine)
            programs = way.make_programs(job, _maker())
        _warn(read.places.put(problem) for problem in job.warnings)
        with saving.staged(output) as stage:
            texts = saving.write_and_read_back(stage, {program.file: program.text for program in programs})
            with _timed(verbose, "read back and proved"):
                verdict = way.prove_programs(job, texts)
            if not verdict.proved:
                _tell_verdict(verdict, as_json)
                say("proof failed: nothing was saved")
                raise SystemExit(NOT_PROVED)
            with _timed(verbose, "drawn"):
                pictures = way.draw(job, verdict)
            files = {**texts, **pictures}
            record = way.job_file(read.text, read_profile_bytes(machine_name), files, _maker())
            saving.write_and_read_back(stage, {**pictures, saving.JOB_FILE: record})
            try:
                stale = saving.move_in(stage, output, names=(*files, saving.JOB_FILE), force=force)
            except saving.InTheWay as blocked:
                say(f"{output}: {', '.join(blocked.files)} would be overwritten; no earlier job made them as they are")
                say("  hint: choose another folder, or say --force; nothing was written")
                raise SystemExit(NO_FILE) from None
    _tell_job(output, job, verdict, tuple(files), stale, as_json)


def _tell_job(
    output: Path, job: "Job", verdict: "Verdict", files: tuple[str, ...], stale: tuple[str, ...], as_json: bool
) -> None:
    from pearlkerf import tables

    if as_json:
        click.echo(json.dumps({"folder": str(output), "files": [*files, "job.json"], "removed": stale,
                               "proof": tables.verdict_data(verdict)}, indent=2))  # fmt: skip
        return
    click.echo(tables.job_text(output, job, verdict, files))
    for name in stale:
        click.echo(f"removed {name}, of the earlier job")
    say("Proved against the board. First run above the work, spindle off, hand on the stop; try it in scrap.")


def _tell_verdict(verdict: "Verdict", as_json: bool) -> None:
    from pearlkerf import tables

    if as_json:
        click.echo(json.dumps(tables.verdict_data(verdict), indent=2))
    for finding in verdict.findings:
        say(str(finding))


@main.command()
@click.argument("programs", nargs=-1, required=True, type=click.Path(path_type=Path))
@BOARD
@MACHINE
@click.option("--setup", type=click.Choice(["face", "edge"]), help="The setup, where no program says it.")
@click.option("--cutter", "cutters", type=int, multiple=True, help="The cutter's number; once for each, in order.")
@JSON
def prove(
    programs: tuple[Path, ...],
    board: Path,
    machine_name: str | None,
    setup: str | None,
    cutters: tuple[int, ...],
    as_json: bool,
) -> None:
    """Hold any PROGRAMS, edited by hand too, against BOARD and a machine."""
    if machine_name is None:
        raise click.UsageError("Missing option '-m' / '--machine'. The profiles: pearlkerf machines")
    from pearlkerf.machine.reader import read_machine
    from pearlkerf.proof.motions import ProgramText
    from pearlkerf.proof.prove import Assumed, SetupUnknown
    from pearlkerf.proof.prove import prove as hold

    with told_errors(as_json):
        _, layout = _lay_out(board)
        machine = read_machine(machine_name)
        texts = [ProgramText(str(path), path.read_bytes()) for path in programs]
        try:
            verdict = hold(texts, layout.setups, machine, Assumed(setup, cutters))
        except SetupUnknown as unknown:
            raise click.UsageError(f"{unknown} Say it with --setup and --cutter.") from None
    _tell_verdict(verdict, as_json)
    if not verdict.proved:
        say(f"not proved: {len(verdict.findings)} finding{'' if len(verdict.findings) == 1 else 's'}")
        raise SystemExit(NOT_PROVED)
    if not as_json:
        click.echo(f"proved: {', '.join(str(path) for path in programs)}")


@main.command()
@BOARD
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="A .pdf at 1:1, or the same layout as .svg, .dxf or .csv.",
)
@click.option("--sheet", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Paper of the PDF.")
def paper(board: Path, output: Path, sheet: Literal["A4", "Letter"]) -> None:
    """Draw the 1:1 paper template of BOARD."""
    from pearlkerf.pictures import paper as template

    with told_errors():
        read, layout = _lay_out(board)
        makers = {
            ".pdf": lambda: template.draw_template(layout, sheet),
            ".svg": lambda: template.layout_svg(layout),
            ".dxf": lambda: template.layout_dxf(layout),
            ".csv": lambda: template.layout_csv(layout),
        }
        make = makers.get(output.suffix.lower())
        if make is None:
            raise click.UsageError(f"{output}: FILE must end in .pdf, .svg, .dxf or .csv")
        _warn(read.places.put(problem) for problem in layout.warnings)
        output.write_bytes(make())
    click.echo(f"wrote {output}")


@main.command()
@click.argument("program", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The page; else beside PROGRAM.")
@click.option("--force", is_flag=True, help="Overwrite FILE.")
def show(program: Path, output: Path | None, force: bool) -> None:
    """Draw the dry-run page of any RS-274 PROGRAM; no board is held against it."""
    from pearlkerf.pictures.page import draw_page
    from pearlkerf.pictures.page_model import DryRun, ProgramRun
    from pearlkerf.proof.motions import Finding, ProgramText, Reading, UnreadableProgram
    from pearlkerf.proof.reader import read_program

    page = program.with_suffix(".html") if output is None else output
    reading: Reading | None = None
    findings: tuple[Finding, ...] = ()
    with told_errors():
        text = ProgramText(program.name, program.read_bytes())
        if page.exists() and not force:
            say(f"{page} exists already; choose another name with -o, or say --force")
            raise SystemExit(NO_FILE)
        try:
            reading = read_program(text.text, text.file)
        except UnreadableProgram as refusal:
            findings = (refusal.finding,)
        run = DryRun(program.name, (ProgramRun(text, reading),), findings=findings, held="shown alone")
        page.write_text(draw_page(run), encoding="utf-8", newline="\n")
    click.echo(f"wrote {page}")
    for finding in findings:
        say(str(finding))
    if findings:
        raise SystemExit(NOT_PROVED)


@main.command()
@click.argument("name", required=False)
@JSON
def machines(name: str | None, as_json: bool) -> None:
    """List the machine profiles; with NAME print that profile, to copy and change."""
    from pearlkerf.machine.reader import profile_names, read_machine, read_profile_bytes

    with told_errors(as_json):
        if name is not None:
            read_machine(name)
            click.echo(read_profile_bytes(name).decode("utf-8"), nl=False)
            return
        profiles = [read_machine(each) for each in profile_names()]
    if as_json:
        rows = [
            {"name": p.name, "title": p.title, "travel_mm": [p.travel.x_mm, p.travel.y_mm, p.travel.z_mm]}
            for p in profiles
        ]
        click.echo(json.dumps({"machines": rows}, indent=2))
        return
    width = max(len(profile.name) for profile in profiles)
    for profile in profiles:
        click.echo(f"{profile.name:<{width}}  {profile.title}")


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--instrument", help='Such as "steel-string guitar"; a wrong name lists them all.')
@click.option("--scale", help='Scale length with its unit, such as "25.4 in" or "650 mm".')
@click.option("--frets", type=int, help="Number of frets.")
@click.option("--dots", type=click.Choice(DOTS), help="Where dots go.")
@click.option("--hand", type=click.Choice(["right", "left"]), help="For whom the board is.")
@click.option(
    "--unit", type=click.Choice(["mm", "in"]), default="mm", help="Of the file's bare numbers; mm if not said."
)
@click.option("--wood", help="The board's wood.")
@click.option("--title", help="What the board is called.")
@click.option("--force", is_flag=True, help="Overwrite FILE.")
def new(
    file: Path,
    instrument: str | None,
    scale: str | None,
    frets: int | None,
    dots: str | None,
    hand: str | None,
    unit: str,
    wood: str | None,
    title: str | None,
    force: bool,
) -> None:
    """Write a starter board file, commented, to change.

    Asks a few questions where it runs at a terminal; options answer them.
    """
    from pearlkerf.board.starter import INSTRUMENTS, Answers, starter_text
    from pearlkerf.errors import Refusal
    from pearlkerf.toml_values import nearest

    kind = _ask(f"Instrument ({', '.join(INSTRUMENTS)})", instrument, "steel-string guitar")
    if kind not in INSTRUMENTS:
        near = nearest(kind, list(INSTRUMENTS))
        known = f"Did you mean '{near}'?" if near else f"Known are {', '.join(INSTRUMENTS)}."
        raise click.UsageError(f"Unknown instrument '{kind}'. {known}")
    usual = INSTRUMENTS[kind]
    where = "face and side" if usual.face_frets else "side"
    answers = Answers(
        instrument=kind,
        title=file.stem if title is None else title,
        scale=_ask("Scale length, with its unit", scale, usual.scale),
        frets=_ask_number("Frets", frets, usual.frets),
        dots=_ask("Dots", dots, where, DOTS),  # type: ignore[arg-type]
        hand=hand or "right",  # type: ignore[arg-type]
        wood="ebony" if wood is None else wood,
        unit=unit,  # type: ignore[arg-type]
    )
    try:
        text = starter_text(answers)
    except Refusal as refusal:
        wrong = refusal.problems[0]
        raise click.UsageError(f"--{wrong.key}: {wrong.found} ({wrong.allowed}).") from None
    with told_errors():
        if file.exists() and not force:
            say(f"{file} exists already; choose another name, or say --force")
            raise SystemExit(NO_FILE)
        file.write_text(text, encoding="utf-8", newline="\n")
    click.echo(f"wrote {file}; next: pearlkerf check {file}")


def _ask(label: str, given: str | None, default: str, among: Sequence[str] = ()) -> str:
    """Give an option's value, or ask for it where a person sits at a terminal, until it is one ``among`` these."""
    if given is not None or not sys.stdin.isatty():
        return default if given is None else given
    return str(click.prompt(label, default=default, type=click.Choice(among) if among else str, err=True))


def _ask_number(label: str, given: int | None, default: int) -> int:
    """Give an option's value, or ask for a whole number where a person sits at a terminal."""
    if given is not None or not sys.stdin.isatty():
        return default if given is None else given
    return int(click.prompt(label, default=default, type=int, err=True))


if __name__ == "__main__":
    main()
