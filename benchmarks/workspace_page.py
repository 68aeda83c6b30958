"""The page in a real browser: first useful paint, and from an edit to its painted picture.

    .venv/bin/python benchmarks/workspace_page.py [HOLE]

The plain reference beside it is the server's own time for the same edits without a browser
(benchmarks/workspace.py). Needs Debian's package chromium. Nothing else should run meanwhile.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from statistics import quantiles
from typing import Any

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from conftest import CHROMIUM, FLAGS, serving  # noqa: E402

EDITS = 40  # of each handle
WARM_UP = 5
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


def edits(page: Page, handle: str, times: int) -> tuple[list[float], list[float]]:
    """Step a handle there and back with the keyboard.

    Returns
    -------
    [ms] to each painted picture, and to the ledger that follows it.
    """
    page.locator(f'.grip[data-handle="{handle}"]').first.focus()
    page.evaluate("performance.clearMeasures()")
    for i in range(times + WARM_UP):
        page.keyboard.press("ArrowUp" if i % 2 else "ArrowDown")
        page.evaluate(JUDGED, i)

    def measured(name: str) -> list[float]:
        found: Any = page.evaluate(
            "name => performance.getEntriesByName(name).map(one => one.duration)", name
        )
        return [float(one) for one in found][WARM_UP:]

    return measured("edit to picture"), measured("edit to ledger")


def line(name: str, pictured: list[float], judged: list[float]) -> str:
    one, other = quantiles(pictured, n=20), quantiles(judged, n=20)
    return f"  {name:<28} {one[9]:14.0f} {one[18]:6.0f} {other[9]:15.0f} {other[18]:6.0f}"


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
            pictures, ledgers = list[float](), list[float]()
            print(f"{EDITS} edits of each handle of {hole}, [ms]")
            print(f"  {'':<28} to picture p50    p95   to ledger p50    p95")
            for handle in dict.fromkeys(handles):
                pictured, judged = edits(page, handle, EDITS)
                pictures += pictured
                ledgers += judged
                print(line(handle, pictured, judged))
            print(line("all", pictures, ledgers), " (limit 100)")
            browser.close()


if __name__ == "__main__":
    main()
