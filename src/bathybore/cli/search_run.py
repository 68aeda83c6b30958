"""One run of `bathybore search`: what was typed becomes an order, its answer a page or files."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem, parse_quantity
from bathybore.cli import search_page
from bathybore.cli.page import put
from bathybore.model.editing import Draft, read_draft, write_files
from bathybore.model.hole_files import HOLE_FILE
from bathybore.model.loading import document_file
from bathybore.usecases.adopting import adopted
from bathybore.usecases.searching import Best, Found, Proposal, SearchOrder, find_architectures


class SearchRun:
    """A search of one hole's folder."""

    def __init__(self, hole: Path, units: UnitSystem) -> None:
        self.place = document_file(hole)
        if self.place.name != HOLE_FILE:
            raise InputErrors.one(str(hole), f"'{self.place.name}'", f"a folder with {HOLE_FILE}")
        self.units: UnitSystem = units
        self.draft: Draft = read_draft(self.place.parent)

    def find(
        self,
        *,
        best: str,
        alternatives: int,
        grid: str,
        circulation: str,
        heaviest_mud: str,
        room: str,
        price_of_day: float | None,
        price_of_steel: float | None,
    ) -> Found:
        """Return the answer to what was typed."""
        order = SearchOrder(
            circulation=circulation,
            best=cast("Best", best),
            alternatives=alternatives,
            spacing=parse_quantity(grid, "m", "--grid"),
            heaviest_mud=_density(heaviest_mud, "--heaviest-mud"),
            room=_density(room, "--room"),
            price_of_day=price_of_day,
            price_of_steel=price_of_steel,
        )
        return find_architectures(self.draft, order)

    def show(self, found: Found, as_json: bool, explain_id: str) -> None:
        """Write the answer, or one section of it opened up."""
        if explain_id:
            self._explain(found, as_json, explain_id)
        elif as_json:
            from bathybore.reports.search_json import found_json

            put(found_json(found, self.units))
        else:
            put(search_page.search(found, self.units))

    def _explain(self, found: Found, as_json: bool, explain_id: str) -> None:
        from bathybore.cli import explain_page, json_page
        from bathybore.usecases.explaining import explain
        from bathybore.usecases.search_records import record_in

        assert self.draft.hole is not None  # it was searched
        record = record_in(self.draft.hole, found.proposals, explain_id)
        explanation = explain(record, self.units)
        put(json_page.explain(explanation) if as_json else explain_page.explain(explanation))

    def draw(self, found: Found, svg: Path | None, png: Path | None) -> list[Path]:
        """Write the picture of the proposals where it was asked for, and return the paths."""
        if svg is None and png is None:
            return []
        from bathybore.drawings.architectures import draw_architectures
        from bathybore.drawings.picture import settings
        from bathybore.reports.files import write_whole

        assert self.draft.hole is not None  # it was searched
        with settings():
            sheet = draw_architectures(self.draft.hole, found, self.units)
            files: dict[Path | None, Any] = {
                svg: lambda: sheet.finished().svg.encode("utf-8"),
                png: sheet.png,
            }
            wanted = [(path, content()) for path, content in files.items() if path is not None]
        for path, content in wanted:
            write_whole(path, content)
        return [path for path, _ in wanted]

    def write(self, found: Found, number: int) -> Path:
        """Make a proposal the plan of the hole's document, and return its path.

        Raises
        ------
        InputErrors
            There is no such proposal, a plan cannot say it, or the files were changed
            meanwhile. Nothing is written then.
        """
        after = adopted(self.draft, _chosen(found, number).sections)
        write_files(self.place.parent, after.files, self.draft.files)
        return self.place


def _density(text: str, where: str) -> float | None:
    return parse_quantity(text, "kg/m3", where) if text else None


def _chosen(found: Found, number: int) -> Proposal:
    for proposal in found.proposals:
        if proposal.number == number:
            return proposal
    there = ", ".join(str(one.number) for one in found.proposals) or "none: nothing reaches"
    raise InputErrors.one("--write", str(number), f"the number of a proposal ({there})")
