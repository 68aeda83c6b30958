"""The page in a real browser: first useful paint, and from an edit to its painted picture.

    .venv/bin/python benchmarks/workspace_page.py [HOLE]

The plain reference beside it is the server's own time for the same edits without a browser
(benchmarks/workspace.py). Needs Debian's package chromium. Nothing else should run meanwhile.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from statistics import quantiles
from typing import Any

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from conftest import CHROMIUM, FLAGS, serving  # noqa: E402

WARM_UP = 4
# of each handle: to and fro at first, then half of the values new and half seen before
ROUTE = (
    *(("ArrowDown", 1), ("ArrowUp", 1)) * 2,
    ("ArrowDown", 10),
    ("ArrowUp", 20),
    ("ArrowDown", 10),
)
# the Column is drawn and the first verdict can be read
USEFUL = """() => new Promise(done => {
  const seen = () => document.querySelector('#column-drawing .grip')
    && document.querySelector('[aria-label=Verdicts] [data-row]');
  const painted = () => requestAnimationFrame(() => setTimeout(() => done(performance.now()), 0));
  const look = () => seen() ? painted() : requestAnimationFrame(look);
  look();
})"""

# waits without looking again and again: polling would take frames from what is measured
JUDGED = """n => new Promise(done => {
  const enough = () => performance.getEntriesByName('edit to ledger').length > n;
  if (enough()) return done();
  const watch = new PerformanceObserver(() => { if (enough()) { watch.disconnect(); done(); } });
  watch.observe({ type: 'measure' });
})"""


def first_paints(context: Any, address: str, times: int = 5) -> list[float]:
    """Return [ms] from navigation to a useful picture, of fresh pages on a warm server."""
    took = []
    for _ in range(times + 1):
        page = context.new_page()
        page.goto(address, wait_until="commit")
        took.append(float(page.evaluate(USEFUL)))
        page.close()
    return took[1:]


@dataclass
class Times:
    """[ms] of edits to their painted picture, and to the ledger that follows it."""

    picture: list[float] = field(default_factory=list)
    ledger: list[float] = field(default_factory=list)

    def add(self, other: Times) -> None:
        self.picture += other.picture
        self.ledger += other.ledger

    def told(self) -> str:
        one, other = quantiles(self.picture, n=20), quantiles(self.ledger, n=20)
        return f"{one[9]:7.0f} {one[18]:4.0f} {other[9]:8.0f} {other[18]:4.0f}"


def edits(page: Page, handle: str) -> tuple[Times, Times]:
    """Step a handle with the keyboard, down, past where it stood, and back.

    Returns
    -------
    Times of edits to values where the handle never stood before, and of those where it did:
    what was worked out then is still known.
    """
    grip = page.locator(f'.grip[data-handle="{handle}"]').first
    grip.focus()
    page.evaluate("performance.clearMeasures()")

    def stands() -> str:
        return grip.get_attribute("aria-valuenow") or ""

    def measured(name: str) -> list[float]:
        found: Any = page.evaluate(
            "name => performance.getEntriesByName(name).map(one => one.duration)", name
        )
        return [float(one) for one in found]

    seen, new, made = {stands()}, list[bool](), 0
    for key, times in ROUTE:
        for _ in range(times):
            before = stands()
            page.keyboard.press(key)
            if stands() == before:  # it goes no further, or not visibly
                page.wait_for_timeout(500)
                if len(measured("edit to ledger")) == made:
                    continue
            page.evaluate(JUDGED, made)
            made += 1
            new.append(stands() not in seen)
            seen.add(stands())

    both = list(zip(new, measured("edit to picture"), measured("edit to ledger"), strict=True))

    def of(which: bool) -> Times:
        chosen = [(one, other) for is_new, one, other in both[WARM_UP:] if is_new is which]
        return Times([one for one, _ in chosen], [other for _, other in chosen])

    return of(True), of(False)


def main() -> None:
    hole = sys.argv[1] if len(sys.argv) > 1 else "main"
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch) / "holes"
        shutil.copytree(ROOT / "examples", folder)
        with serving(folder) as server:
            browser = playwright.chromium.launch(
                executable_path=CHROMIUM, headless=False, args=FLAGS
            )
            context = browser.new_context(viewport={"width": 1280, "height": 720})
            context.add_init_script(
                "localStorage.setItem('bathybore.view', JSON.stringify({guided: true}))"
            )
            address = f"{server.address}/#{hole}"
            paints = first_paints(context, address)
            print(f"first useful paint   {min(paints):6.0f} to {max(paints):.0f} ms  (limit 1500)")
            page = context.new_page()
            page.goto(address)
            page.wait_for_selector("#column-drawing .grip", timeout=60_000)
            handles: Any = page.evaluate(
                "[...document.querySelectorAll('.grip[data-handle]')].map(g => g.dataset.handle)"
            )
            news, olds = Times(), Times()
            print(f"edits of each handle of {hole} to values that are new, and to values seen")
            print(f"before: [ms] to picture p50, p95, to ledger p50, p95{'new':>21}{'seen':>27}")
            for handle in dict.fromkeys(handles):
                new, old = edits(page, handle)
                news.add(new)
                olds.add(old)
                print(f"  {handle:<28} {new.told()} {old.told()}")
            both = Times(news.picture + olds.picture, news.ledger + olds.ledger)
            print(f"  {'all':<28} {news.told()} {olds.told()}  (limit 100)")
            print(f"  {'new and seen together':<28} {both.told()}")
            browser.close()


if __name__ == "__main__":
    main()
