"""The programme: a document a colleague can sign, as PDF and as one HTML file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import bathybore
from bathybore.base.units import UnitSystem
from bathybore.model.editing import Draft
from bathybore.reports import chapters, signing
from bathybore.reports.alternatives_chapter import alternatives
from bathybore.reports.blocks import Chapter, Document
from bathybore.reports.chapters import Writer
from bathybore.reports.circulation_chapter import circulations
from bathybore.reports.files import write_whole
from bathybore.reports.kick_chapter import kick_chapters
from bathybore.reports.mud_chapter import mud
from bathybore.reports.odds_chapter import odds_and_reach
from bathybore.reports.page import page
from bathybore.reports.placing_chapter import placing
from bathybore.reports.prognosis_chapter import prognosis_chapter
from bathybore.reports.riser_chapter import risers
from bathybore.reports.station_chapter import station
from bathybore.reports.steel_chapter import steel
from bathybore.reports.string_chapter import drill_string
from bathybore.reports.typeset import pdf
from bathybore.reports.workings import appendix, sources
from bathybore.usecases.ledger import ledger
from bathybore.usecases.signing import Signature

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


@dataclass(frozen=True, eq=False)
class Source:
    """The files that a walk was made from.

    Attributes
    ----------
    folder : where a prognosis and a neighbour's files may stand beside the document
    architectures : whether those of the search are asked of the members of the odds too
    """

    draft: Draft
    folder: Path
    architectures: bool = False


def programme(
    walk: Walk,
    units: UnitSystem = "metric",
    signatures: tuple[Signature, ...] = (),
    revision: int | None = None,
    source: Source | None = None,
    every_working: bool = False,
) -> Document:
    """Return the content of the programme of a walk, the same for every medium.

    Parameters
    ----------
    signatures : given in the tool; those under other revisions are told apart
    revision : of the hole that was walked, where revisions are kept
    source : the files it was walked from; without them alternatives, prognosis and odds are
        left out
    every_working : whether the appendix opens every check; see `appendix`
    """
    writer = Writer(walk, ledger(walk, units), units)
    mark = ""
    if walk.hole.document.invented:
        mark = "Invented: site, vessel, names and numbers are made up for demonstration"
    return Document(
        title="Drilling programme",
        hole=walk.hole.name,
        vessel=walk.hole.vessel.name,
        mark=mark,
        front=(
            *signing.on_the_front(writer.ledger.passes, signatures, revision),
            *chapters.front(writer),
        ),
        chapters=(
            chapters.site(writer),
            *prognosis_chapter(source.folder if source else None, units),
            *chapters.pictures(writer),
            chapters.sections(writer),
            chapters.diameters(writer),
            steel(writer),
            drill_string(writer),
            circulations(writer),
            *placing(writer),
            *kick_chapters(writer),
            mud(writer),
            *station(writer),
            *risers(writer),
            *alternatives(source.draft if source else None, units),
            *_odds(walk, source, units),
            chapters.steps(writer),
            chapters.consumables(writer),
            chapters.barriers(writer),
            chapters.checks(writer),
            chapters.limits(writer),
            chapters.basis(writer),
            chapters.cautions(writer),
            signing.sign_off(signatures, revision),
            appendix(writer, every_working),
            sources(writer),
        ),
        footer=f"Bathybore {bathybore.__version__}, {units} units",
    )


def _odds(walk: Walk, source: Source | None, units: UnitSystem) -> tuple[Chapter, ...]:
    if source is None:
        return ()
    draft = source.draft if source.architectures else None
    return odds_and_reach(source.folder, walk.hole, units, draft)


def write_programme(
    walk: Walk,
    directory: Path,
    units: UnitSystem = "metric",
    signatures: tuple[Signature, ...] = (),
    revision: int | None = None,
    source: Source | None = None,
    every_working: bool = False,
) -> list[Path]:
    """Write ``programme.pdf`` and ``programme.html`` into a directory and return their paths.

    The same walk gives the same bytes. Each file is there whole or not at all.

    Parameters
    ----------
    units : in which numbers are shown, 'metric' or 'oilfield'
    signatures, revision, source, every_working : see `programme`

    Raises
    ------
    InputErrors
        The directory cannot be written.
    """
    document = programme(walk, units, signatures, revision, source, every_working)
    written = {
        directory / "programme.pdf": pdf(document),
        directory / "programme.html": page(document).encode("utf-8"),
    }
    for path, content in written.items():
        write_whole(path, content)
    return list(written)
