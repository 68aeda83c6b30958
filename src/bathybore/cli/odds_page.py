"""The command on the odds of a hole."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from bathybore.cli.options import (
    EXIT_NOT_PASSED,
    AsJson,
    HolePath,
    InUnits,
    PngPath,
    SvgPath,
    Units,
    tell_written,
    writing,
)
from bathybore.cli.progress import progress

if TYPE_CHECKING:
    from bathybore.ensembles.evaluating import Ensemble
    from bathybore.usecases.odds import OddsOrder


class Part(StrEnum):
    """What is told."""

    odds = "odds"
    matters = "matters"
    knowing = "knowing"
    robust = "robust"
    relief = "relief"
    architectures = "architectures"
    walked = "walked"


class Wanted(StrEnum):
    """What the most robust plan is to be best in."""

    odds = "odds"
    days = "days"
    cost = "cost"


def add_to(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(odds)


def odds(
    hole: HolePath,
    part: Annotated[
        Part,
        typer.Argument(
            metavar="[PART]",
            help="odds; or matters: which uncertainty counts; knowing: what a measurement is "
            "worth; robust: where the shoes stand best; architectures: what the search proposes, "
            "asked of the members; relief: what would lift the chance; walked: longer questions, "
            "asked of some members at the target.",
        ),
    ] = Part.odds,
    members: Annotated[
        int | None,
        typer.Option(
            "--members",
            "-n",
            help="How many holes are drawn [usually 2000, or 1024], or walked [16].",
        ),
    ] = None,
    seed: Annotated[int, typer.Option(help="Of the draw: the same seed, the same bytes.")] = 1,
    workers: Annotated[int, typer.Option(help="Processes on this machine.")] = 1,
    scheduler: Annotated[
        str, typer.Option(metavar="tcp://…", help="A Dask scheduler whose workers do it instead.")
    ] = "",
    keep: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Keep finished chunks there, and go on from them."),
    ] = None,
    member: Annotated[
        int | None,
        typer.Option(
            metavar="NUMBER", help="Write the plan with this member's rock and numbers, --to."
        ),
    ] = None,
    to: Annotated[
        Path | None, typer.Option(metavar="DIR", help="A new folder for the hole of --member.")
    ] = None,
    goal: Annotated[Wanted, typer.Option(help="What the robust plan is best in.")] = Wanted.odds,
    level: Annotated[
        float | None,
        typer.Option(metavar="SHARE", help="Best in the worst of this share, not on the mean."),
    ] = None,
    as_json: AsJson = False,
    units: InUnits = Units.metric,
    svg: SvgPath = None,
    png: PngPath = None,
) -> None:
    """Make the hole many times over as it may turn out: chance, days, money, what ends it.

    What is uncertain stands in uncertainty.yaml beside the hole; without it defaults are assumed
    and said. `explain HOLE odds/target` opens the chance. The exit code is 1 when the chance is
    less than design_basis asks for.
    """
    from bathybore.usecases.odds import USUAL, OddsOrder, ensemble_at

    if (member is None) != (to is None):
        raise typer.BadParameter("--member and --to go together")
    order = OddsOrder(USUAL if members is None else members, seed, workers, scheduler, keep)
    with progress() as told:
        ensemble = ensemble_at(hole, seed, told)
        if member is not None and to is not None:
            typer.echo(str(_write_member(ensemble, hole, member, to)))
            return
        if part is Part.architectures:
            found = _architectures(ensemble, hole, order, members, goal.value, level, told)
        elif part is Part.walked:
            found = _walked(ensemble, hole, order, members, told)
        else:
            found = _found(part, ensemble, order, members, goal.value, level, units, told)
    from bathybore.cli import placing_page

    placing_page.put_topics(f"bathybore.{part.value}/1", [found], as_json, units.value)
    if svg is not None or png is not None:
        from bathybore.reports.odds import write_picture

        tell_written(lambda: write_picture(found, svg, png, units.value))
    raise typer.Exit(0 if found.topic("metric").passes else EXIT_NOT_PASSED)


def _found(
    part: Part,
    ensemble: Ensemble,
    order: OddsOrder,
    members: int | None,
    goal: str,
    level: float | None,
    units: Units,
    told: Callable[[str, int, int], None],
) -> Any:
    from bathybore.ensembles.choosing import Goal
    from bathybore.usecases import odds as asked
    from bathybore.usecases import odds_told as telling

    few = asked.FEW if members is None else members
    if part is Part.matters:
        return telling.MattersTold(asked.matters(ensemble, order, few, told))
    if part is Part.knowing:
        many = 2 * asked.FEW if members is None else members
        return telling.WorthsTold(asked.worths(ensemble, order, many, told))
    if part is Part.robust:
        best = asked.robust(ensemble, order, Goal(goal), level, few, told)
        return telling.RobustTold(best, ensemble.frame)
    if part is Part.relief:
        from bathybore.usecases.odds_relief import MEMBERS, ReliefsTold, odds_reliefs

        some = MEMBERS if members is None else members
        return ReliefsTold(odds_reliefs(ensemble, order, some, units.value, told))
    return telling.OddsTold(asked.odds(ensemble, order, told))


def _architectures(
    ensemble: Ensemble,
    hole: Path,
    order: OddsOrder,
    members: int | None,
    goal: str,
    level: float | None,
    told: Callable[[str, int, int], None],
) -> Any:
    from bathybore.ensembles.choosing import Goal
    from bathybore.model.editing import read_draft
    from bathybore.model.loading import document_file
    from bathybore.usecases import odds_architectures as asked

    draft = read_draft(document_file(hole).parent)
    some = asked.MEMBERS if members is None else members
    found = asked.architectures(ensemble, draft, order, Goal(goal), level, some, told=told)
    return asked.ArchitecturesTold(found, level)


def _walked(
    ensemble: Ensemble,
    hole: Path,
    order: OddsOrder,
    members: int | None,
    told: Callable[[str, int, int], None],
) -> Any:
    from bathybore.model.editing import read_draft
    from bathybore.model.loading import document_file
    from bathybore.usecases import odds_walked as asked

    draft = read_draft(document_file(hole).parent)
    some = asked.WALKED if members is None else members
    return asked.WalkedTold(asked.walked(ensemble, draft, order, some, told))


def _write_member(ensemble: Ensemble, hole: Path, member: int, to: Path) -> Path:
    from bathybore.usecases.odds import write_one

    return writing(lambda: write_one(ensemble, hole, member, to))
