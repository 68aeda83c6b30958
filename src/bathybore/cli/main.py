"""The command line: plain verbs, exit codes that scripts can trust, errors without a traceback.

Only typer is imported here; everything else waits until a command needs it, so that
`--help` answers at once.

Exit codes: 0 everything was judged and holds (tight holds); 1 something fails, was not
judged or lies outside validity; 2 the input or the command cannot be used; 70 a defect of
Bathybore; 130 interrupted; 141 whoever read the output went away.
"""

from __future__ import annotations

import gc
import os
import sys
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from bathybore.cli import (
    import_page,
    odds_page,
    placing_commands,
    reach_page,
    riser_page,
    station_page,
)
from bathybore.cli.options import (
    EXIT_NOT_PASSED,
    AsJson,
    HolePath,
    InUnits,
    PngPath,
    SvgPath,
    Units,
    tell_written,
)
from bathybore.cli.options import writing as _writing

EXIT_INPUT = 2
EXIT_DEFECT = 70
EXIT_PIPE = 141
_COLLECTOR = (200_000, 10, 10)  # new objects, and rounds, before the collector looks


class _Commands(TyperGroup):
    """The one place where errors become messages and exit codes, whatever the command."""

    def invoke(self, ctx: Any) -> Any:
        try:
            result = super().invoke(ctx)
            sys.stdout.flush()
        except BrokenPipeError:
            _let_the_pipe_go()
            raise typer.Exit(EXIT_PIPE) from None
        except (typer.Exit, typer.Abort):
            raise
        except Exception as error:
            raise typer.Exit(_report(error)) from error
        return result


def _report(error: Exception) -> int:
    from bathybore.base.errors import BathyboreError, InputErrors

    usage_error = getattr(error, "exit_code", None)  # typer's own errors know how to show
    if usage_error is not None:
        raise error
    if isinstance(error, InputErrors):
        for fault in error.faults:
            typer.echo(f"error: {fault}", err=True)
        return EXIT_INPUT
    if isinstance(error, BathyboreError):
        typer.echo(f"error: {error}", err=True)
        return EXIT_INPUT
    import traceback

    typer.echo("".join(traceback.format_exception(error)), err=True)
    typer.echo(
        "This is a defect in Bathybore, not in your input. No result of this run may be used. "
        "Please report it with these lines.",
        err=True,
    )
    return EXIT_DEFECT


def _let_the_pipe_go() -> None:
    """Point standard output at nothing, or Python would complain once more when it ends."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115


app = typer.Typer(
    cls=_Commands,
    help="Plan, judge and document a deep hole in the sea floor, step by step, "
    "with every number explained.",
    epilog="Exit codes: 0 everything holds; 1 something fails, is not judged or lies outside "
    "validity; 2 bad input or usage; 70 a defect in Bathybore.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(wanted: bool) -> None:
    if wanted:
        from bathybore import __version__

        typer.echo(f"bathybore {__version__}")
        raise typer.Exit()


@app.callback()
def _root(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    pass


@app.command()
def check(
    hole: HolePath,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    only: Annotated[
        str,
        typer.Option(
            metavar="VERDICTS",
            help="Show these verdicts only: fails, not-judged, outside-validity, tight, holds; "
            "several between commas.",
        ),
    ] = "",
    step: Annotated[
        str, typer.Option(metavar="NAME", help="Show this step only, with every check.")
    ] = "",
    every: Annotated[
        bool, typer.Option("--all", help="Write out the checks that hold, too.")
    ] = False,
) -> None:
    """Walk the hole and judge every step against every limit.

    What fails, is not judged or is tight is written out; what holds is counted, unless
    --all, --only or --step asks for it. The exit code is that of the whole hole, whatever
    is shown.
    """
    from bathybore.cli import check_page, json_page
    from bathybore.cli.page import put
    from bathybore.usecases.ledger import ledger, select
    from bathybore.usecases.walking import walk

    whole = ledger(walk(hole), units.value)
    chosen = select(whole, only, step)
    if as_json:
        put(json_page.check(whole, chosen))
    else:
        put(check_page.check(whole, chosen, fold=not (every or only or step)))
    raise typer.Exit(0 if whole.passes else EXIT_NOT_PASSED)


@app.command()
def explain(
    hole: HolePath,
    check_id: Annotated[str, typer.Argument(metavar="CHECK", help="The id of a check: step/name.")],
    as_json: AsJson = False,
    units: InUnits = Units.metric,
) -> None:
    """Open one check: every equation, source and number behind its verdict.

    Ids are those that check, steel, string and search print; of a search without options.
    The exit code is 0 when the check exists, whatever its verdict.
    """
    from bathybore.cli import explain_page, json_page
    from bathybore.cli.page import put
    from bathybore.usecases.explaining import explain as open_up
    from bathybore.usecases.finding import record_at

    explanation = open_up(record_at(hole, check_id), units.value)
    put(json_page.explain(explanation) if as_json else explain_page.explain(explanation))


@app.command()
def steel(
    hole: HolePath,
    casing: Annotated[
        str, typer.Argument(metavar="[CASING]", help="One casing of the plan; all if left out.")
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Choose the lightest casing strings from the stock that bear every load case.

    Weights and grades of the planned size are mixed, each pipe in one length. `explain`
    opens every question by its id. The exit code is 1 when a string has no answer.
    """
    from bathybore.cli import json_page, steel_page
    from bathybore.cli.page import put
    from bathybore.usecases.steel_choice import steel_choices
    from bathybore.usecases.walking import walk

    walked = walk(hole)
    choices = steel_choices(walked, casing)
    put(
        json_page.steel(choices, units.value) if as_json else steel_page.steel(choices, units.value)
    )
    if svg is not None or png is not None:
        from bathybore.reports.steel import write_pictures

        tell_written(lambda: write_pictures(walked, choices, svg, png, units.value))
    raise typer.Exit(0 if all(one.passes for one in choices) else EXIT_NOT_PASSED)


@app.command()
def fluid(
    hole: HolePath,
    name: Annotated[
        str, typer.Argument(metavar="[FLUID]", help="A fluid of the plan; all of them else.")
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
) -> None:
    """Show fluids as measured: flow laws fitted to readings, density against depth."""
    from bathybore.cli import fluid_page
    from bathybore.cli.page import put
    from bathybore.model.loading import load_hole
    from bathybore.usecases.fluid_measured import fluid_reports

    loaded = load_hole(hole)
    reports = fluid_reports(loaded, name)
    put(fluid_page.as_json(reports) if as_json else fluid_page.fluids(reports, loaded, units.value))


@app.command()
def circulate(
    hole: HolePath,
    section: Annotated[
        str,
        typer.Argument(
            metavar="[SECTION]", help="A section or a drilling step; the deepest step else."
        ),
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Circulate: pressure, velocity, density and heat by depth, nozzles, the window of flows.

    `explain` opens its numbers by their ids. The exit code is 1 when one of its questions fails
    or was not judged.
    """
    from bathybore.cli import circulation_page
    from bathybore.cli.page import put
    from bathybore.usecases.circulating import circulation
    from bathybore.usecases.walking import walk

    one = circulation(walk(hole), section)
    put(
        circulation_page.as_json(one, units.value)
        if as_json
        else circulation_page.circulation(one, units.value)
    )
    if svg is not None or png is not None:
        from bathybore.reports.circulation import write_pictures

        tell_written(lambda: write_pictures(one, svg, png, units.value))
    raise typer.Exit(0 if one.passes else EXIT_NOT_PASSED)


@app.command()
def kick(
    hole: HolePath,
    section: Annotated[
        str, typer.Argument(metavar="[SECTION]", help="One section with a riser; all if left out.")
    ] = "",
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Kill sheets to print, nothing else.")
    ] = False,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Take a kick: tolerance, kill sheet, its way out in time, gas in the riser, hydrates.

    `explain` opens its numbers by their ids. The exit code is 1 when one of its questions fails
    or was not judged. The vessel's well-control procedures and the licensed engineer decide.
    """
    from bathybore.cli import kick_page
    from bathybore.cli.page import put
    from bathybore.usecases.kicking import kicks
    from bathybore.usecases.walking import walk

    found = kicks(walk(hole), section)
    page = kick_page.sheet if sheet else kick_page.kick
    put(kick_page.as_json(found, units.value) if as_json else page(found, units.value))
    if svg is not None or png is not None:
        from bathybore.reports.kicks import write_kick_pictures

        tell_written(lambda: write_kick_pictures(found, svg, png, units.value))
    raise typer.Exit(0 if all(one.passes for one in found) else EXIT_NOT_PASSED)


@app.command()
def mud(
    hole: HolePath,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Account for the mud: built, lost, dumped, where it stands, barite, chemicals, money."""
    from bathybore.cli import mud_page
    from bathybore.cli.page import put
    from bathybore.usecases.mud_account import account_of
    from bathybore.usecases.walking import walk

    walked = walk(hole)
    account, currency = account_of(walked), walked.hole.prices.currency
    put(
        mud_page.as_json(account, currency)
        if as_json
        else mud_page.mud(account, units.value, currency)
    )
    if svg is not None or png is not None:
        from bathybore.reports.kicks import write_mud_picture

        tell_written(lambda: write_mud_picture(account, svg, png, units.value))


@app.command()
def string(
    hole: HolePath,
    name: Annotated[
        str,
        typer.Argument(
            metavar="[STRING]",
            help="A string of the plan whose bottom assembly is taken; the deepest step's else.",
        ),
    ] = "",
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Find the drill string from the stock that reaches deepest, and what ends it.

    Every order of the pipes is tried, each with the best lengths; overpull, heave, slips,
    torque, hoist, stock and bores are kept. `explain` opens its numbers by their ids. The
    exit code is 1 when it does not reach the target.
    """
    from bathybore.cli import string_page
    from bathybore.cli.page import put
    from bathybore.usecases.string_reach import string_reach
    from bathybore.usecases.walking import walk

    reach = string_reach(walk(hole), name)
    put(
        string_page.as_json(reach, units.value)
        if as_json
        else string_page.string(reach, units.value)
    )
    if svg is not None or png is not None:
        from bathybore.reports.string import write_pictures

        tell_written(lambda: write_pictures(reach, svg, png, units.value))
    raise typer.Exit(0 if reach.passes else EXIT_NOT_PASSED)


placing_commands.add_to(app)
station_page.add_to(app)
riser_page.add_to(app)
odds_page.add_to(app)
reach_page.add_to(app)
import_page.add_to(app)


class Least(StrEnum):
    """What the best architecture has least of."""

    strings = "strings"
    days = "days"
    steel = "steel"
    money = "money"


@app.command()
def search(
    hole: HolePath,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    best: Annotated[Least, typer.Option(help="What the best has least of.")] = Least.strings,
    alternatives: Annotated[
        int, typer.Option(metavar="N", help="Alternatives beside the best, at most.")
    ] = 3,
    grid: Annotated[
        str, typer.Option(metavar="LENGTH", help="Distance between the nodes in depth.")
    ] = "10 m",
    circulation: Annotated[
        str,
        typer.Option(
            metavar="SYSTEM",
            help="sea-water, dumped, sea-bed-pump, riser or dual-gradient; all compares them; "
            "the vessel's own if left out.",
        ),
    ] = "",
    heaviest_mud: Annotated[
        str, typer.Option(metavar="DENSITY", help="2.2 sg if left out (assumed).")
    ] = "",
    room: Annotated[
        str,
        typer.Option(
            metavar="DENSITY", help="Between needed and borne; 10 kg/m3 if left out (assumed)."
        ),
    ] = "",
    price_of_day: Annotated[
        float | None,
        typer.Option(metavar="MONEY", help="Of a day; that of the hole's prices if left out."),
    ] = None,
    price_of_steel: Annotated[
        float | None,
        typer.Option(metavar="MONEY", help="Of a tonne; that of the hole's prices if left out."),
    ] = None,
    explain_id: Annotated[
        str,
        typer.Option("--explain", metavar="ID", help="Open a section: proposal-1/section-2."),
    ] = "",
    write: Annotated[
        int | None, typer.Option(metavar="K", help="Make proposal K the plan in hole.yaml.")
    ] = None,
    svg: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw the proposals.")] = None,
    png: Annotated[Path | None, typer.Option(metavar="FILE", help="The same as an image.")] = None,
) -> None:
    """Find shoes, hole and casing sizes and mud densities for the hole's own earth and stock.

    The search is exact on its grid; the plan's sections are left aside, its conductor, target
    and coring stay. Each proposal is walked and judged. The exit code is 1 when nothing
    reaches the target: then what closes every way is told, and what would open one.
    """
    from bathybore.cli.search_run import SearchRun

    run = SearchRun(hole, units.value)
    found = run.find(
        best=best.value,
        alternatives=alternatives,
        grid=grid,
        circulation=circulation,
        heaviest_mud=heaviest_mud,
        room=room,
        price_of_day=price_of_day,
        price_of_steel=price_of_steel,
    )
    run.show(found, as_json, explain_id)
    tell_written(lambda: run.draw(found, svg, png))
    if write is not None:
        typer.echo(f"{_writing(lambda: run.write(found, write))}: proposal {write}", err=True)
    raise typer.Exit(0 if found.proposals else EXIT_NOT_PASSED)


@app.command()
def prognosis(
    hole: HolePath,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    to: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="The table to write; the hole's earth table otherwise."),
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Replace what stands there; keep it as NAME.before.")
    ] = False,
    svg: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw it as SVG.")] = None,
    png: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw it as PNG.")] = None,
    curve: Annotated[
        str, typer.Option("--explain", metavar="CURVE", help="Open a curve at one depth instead.")
    ] = "",
    at: Annotated[str, typer.Option(metavar="DEPTH", help="Where: '2000 m below sea bed'.")] = "",
) -> None:
    """Work out the earth table from a neighbouring hole's files, as prognosis.yaml says.

    Findings on the data come first, then every curve with its method and spread; the table
    is written last. --explain opens one curve at one depth and writes nothing. The exit
    code is 1 when a curve lies outside the validity of its equation.
    """
    from bathybore.cli import prognosis_page

    worked = prognosis_page.work(hole)
    if curve or at:
        prognosis_page.explain(worked, curve, at, as_json, units.value)
    else:
        prognosis_page.show_and_write(worked, as_json, units.value, to, force)
    _writing(lambda: prognosis_page.draw(worked, units.value, svg, png))
    raise typer.Exit(EXIT_NOT_PASSED if worked.outside else 0)


@app.command()
def calc(
    name: Annotated[
        str, typer.Argument(metavar="[NAME]", help="A published equation; none: list them all.")
    ] = "",
    inputs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[KEY=VALUE]...", help="Its inputs, such as wall='0.48 in'."),
    ] = None,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
) -> None:
    """Work out one published equation, or say what it needs.

    Without a name all equations are listed by topic; with a name alone the equation is
    described. The exit code is 1 when the inputs are outside its validity.
    """
    from bathybore.cli import calc_page, json_page
    from bathybore.cli.page import put
    from bathybore.usecases import calculating

    if not name:
        topics = calculating.list_equations()
        put(json_page.topics(topics) if as_json else calc_page.topics(topics))
        return
    if not inputs:
        description = calculating.describe(name, units.value)
        put(json_page.describe(description) if as_json else calc_page.describe(description))
        return
    result = calculating.calculate(name, calculating.pairs(inputs), units.value)
    put(json_page.calculate(result) if as_json else calc_page.calculate(result))
    raise typer.Exit(EXIT_NOT_PASSED if result.outside else 0)


@app.command()
def programme(
    hole: HolePath,
    to: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Folder to write into; HOLE/programme if left out."),
    ] = None,
    every_working: Annotated[
        bool,
        typer.Option(
            "--every-working",
            help="Open every check in the appendix, not each question once; hundreds of pages.",
        ),
    ] = False,
    architectures: Annotated[
        bool,
        typer.Option(
            "--architectures",
            help="Ask the proposals of the search of the members of the odds too; some minutes.",
        ),
    ] = False,
) -> None:
    """Write the programme: the document a colleague can sign.

    It is written whatever the verdicts, and says them; the exit code is 0 once it is written.
    """
    from bathybore.model.editing import read_draft
    from bathybore.reports.programme import Source, write_programme
    from bathybore.usecases.ledger import ledger, verdict
    from bathybore.usecases.walking import walk

    walked = walk(hole)
    home = hole if hole.is_dir() else hole.parent
    folder = home / "programme" if to is None else to
    source = Source(read_draft(home), home, architectures)
    write = partial(write_programme, walked, folder, source=source, every_working=every_working)
    for path in _writing(write):
        typer.echo(str(path))
    typer.echo(verdict(ledger(walked)), err=True)


@app.command()
def export(
    hole: HolePath,
    to: Annotated[Path, typer.Option(metavar="DIR", help="Folder to write into.")],
    units: InUnits = Units.metric,
) -> None:
    """Write every table (CSV, one workbook), every picture (SVG, PNG) and the walk (JSON).

    They are written whatever the verdicts; the exit code is 0 once they are written.
    """
    from bathybore.reports.exports import write_exports
    from bathybore.usecases.walking import walk

    walked = walk(hole)
    for path in _writing(lambda: write_exports(walked, to, units.value)):
        typer.echo(str(path))


@app.command()
def new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the hole and its folder.")],
    parent: Annotated[
        Path, typer.Option("--in", metavar="DIR", help="Where to make the folder.")
    ] = Path(),
) -> None:
    """Start a hole: a folder with commented files to fill in."""
    from bathybore.usecases.starting import start_hole

    folder = _writing(lambda: start_hole(parent, name))
    typer.echo(str(folder))
    typer.echo(f"Next: edit {folder / 'hole.yaml'}, then `bathybore check {folder}`.", err=True)


@app.command()
def serve(
    folder: Annotated[
        Path, typer.Argument(metavar="[FOLDER]", help="The folder of your holes, or of one.")
    ] = Path(),
    host: Annotated[
        str, typer.Option(metavar="ADDRESS", help="Where to listen; others need accounts.")
    ] = "127.0.0.1",
    port: Annotated[
        int | None,
        typer.Option(min=1, max=65535, help="8137, or the next free one, if left out."),
    ] = None,
    name: Annotated[
        list[str] | None,
        typer.Option(metavar="HOST", help="A further host name to answer to, as behind a proxy."),
    ] = None,
    hole: Annotated[
        str, typer.Option("--open", metavar="HOLE", help="Begin with this hole, by its folder.")
    ] = "",
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Open no browser.")] = False,
) -> None:
    """Open the workspace in the browser: see the hole, move it, ask it why.

    It answers to this computer alone and sends nothing anywhere. Ctrl-C ends it.
    """
    from bathybore.web.serving import Served
    from bathybore.web.serving import serve as run_server

    wanted = Served(folder, host, port, tuple(name or ()), hole)
    run_server(wanted, not no_browser, typer.echo)


accounts = typer.Typer(
    cls=_Commands,
    help="Who may log in to the workspace when others can reach it.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
app.add_typer(accounts, name="account")
OfFolder = Annotated[
    Path, typer.Option("--in", metavar="FOLDER", help="The folder that is served.")
]


class Roles(StrEnum):
    """What an account may do; each may do what those before it may."""

    read = "read"
    edit = "edit"
    sign = "sign"


@accounts.command("add")
def add_account(
    name: Annotated[str, typer.Argument(metavar="NAME")],
    role: Annotated[Roles, typer.Option(help="What it may do.")],
    folder: OfFolder = Path(),
) -> None:
    """Add an account; its password is asked for, or read from standard input."""
    from bathybore.cli.accounts import add

    add(folder, name, role.value)


@accounts.command("remove")
def remove_account(
    name: Annotated[str, typer.Argument(metavar="NAME")], folder: OfFolder = Path()
) -> None:
    """Remove an account and log it out; what it did and signed stays."""
    from bathybore.cli.accounts import remove

    remove(folder, name)


@accounts.command("list")
def list_accounts(folder: OfFolder = Path()) -> None:
    """List the accounts and their roles."""
    from bathybore.cli.accounts import listing

    for line in listing(folder):
        typer.echo(line)


def run() -> None:
    """Entry point of the `bathybore` command."""
    for stream in (sys.stdout, sys.stderr):
        # our pages have °, ·, ρ: UTF-8 whatever the locale says
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")  # type: ignore[union-attr]
    # what is worked out lives on and holds no circles: the collector would look through all of it,
    # again and again, to find nothing
    gc.set_threshold(*_COLLECTOR)
    app(prog_name="bathybore")
