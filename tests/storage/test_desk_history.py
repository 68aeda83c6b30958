"""Whatever is done in whatever order, the desk agrees with plain lists."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from kept_hole import DENSITY, LONG, copied, density, document, set_to

from bathybore.storage.desk import Desk
from bathybore.storage.store import Store

AUTHORS = st.sampled_from(["Ada", "Ben"])
GESTURES = st.sampled_from(["", "drag", "other drag"])
DENSITIES = st.integers(1100, 1120).map(lambda mass: mass / 1000)
RADII = st.integers(20, 25)


class Plain(RuleBasedStateMachine):
    """One hole, kept as lists of texts beside the desk."""

    @initialize()
    def begin(self) -> None:
        self.place = tempfile.TemporaryDirectory()
        self.folder = copied(Path(self.place.name))
        self.open()
        self.text = self.now()
        self.history = [self.text]
        self.undo_stack: list[str] = []
        self.redo_stack: list[str] = []
        self.gesture: tuple[str, str] | None = None

    def open(self) -> None:
        self.store = Store(self.folder.parent / "store.sqlite")
        self.desk = Desk(self.store, self.folder, quiet=LONG)

    def now(self) -> str:
        return self.desk.draft.files.texts["hole.yaml"]

    def edited(self, author: str, gesture: str) -> None:
        """Follow an edit that was made."""
        text = self.now()
        if text == self.text:
            return
        if not gesture or self.gesture != (gesture, author):
            self.undo_stack.append(self.text)
        self.gesture = (gesture, author)
        self.redo_stack.clear()
        self.text = text
        self.history.append(text)

    @rule(sg=DENSITIES, author=AUTHORS, gesture=GESTURES)
    def change_density(self, sg: float, author: str, gesture: str) -> None:
        self.desk.apply([density(sg)], author, len(self.history), gesture)
        assert f"pad-mud: {{density: {sg:.3f} sg" in self.now()
        self.edited(author, gesture)

    @rule(radius=RADII, author=AUTHORS, gesture=GESTURES)
    def change_radius(self, radius: int, author: str, gesture: str) -> None:
        edit = set_to("site.target_radius", f"{radius} m")
        self.desk.apply([edit], author, len(self.history), gesture)
        assert f"target_radius: {radius} m" in self.now()
        self.edited(author, gesture)

    @rule(author=AUTHORS)
    def refused(self, author: str) -> None:
        with pytest.raises(Exception, match="deep"):
            self.desk.apply([set_to(DENSITY, "deep")], author, len(self.history))

    @precondition(lambda self: self.undo_stack)
    @rule(author=AUTHORS)
    def undo(self, author: str) -> None:
        self.desk.undo(author)
        self.redo_stack.append(self.text)
        self.moved(self.undo_stack.pop())

    @precondition(lambda self: self.redo_stack)
    @rule(author=AUTHORS)
    def redo(self, author: str) -> None:
        self.desk.redo(author)
        self.undo_stack.append(self.text)
        self.moved(self.redo_stack.pop())

    def moved(self, text: str) -> None:
        self.text = text
        self.history.append(text)
        self.gesture = None

    @rule(author=AUTHORS, back=st.integers(0, 30))
    def restore(self, author: str, back: int) -> None:
        number = max(1, len(self.history) - back)
        self.desk.restore(number, author)
        text = self.history[number - 1]
        if text != self.text:
            self.undo_stack.append(self.text)
            self.redo_stack.clear()
            self.moved(text)

    @rule()
    def restart(self) -> None:
        self.desk.close()
        assert document(self.folder) == self.text
        self.store.close()
        self.open()

    @rule()
    def cut_off(self) -> None:
        self.store.close()  # nothing is written to the folder
        self.open()
        assert document(self.folder) == self.text

    @rule()
    def change_outside(self) -> None:
        """Another program writes while the server is down, over whatever stands there."""
        self.store.close()
        # unlike anything before: what stands there already is no change
        text = self.text + f"# {len(self.history)}\n"
        (self.folder / "hole.yaml").write_bytes(text.encode())
        self.open()
        self.undo_stack.append(self.text)
        self.redo_stack.clear()
        self.moved(text)

    @invariant()
    def agrees(self) -> None:
        if not hasattr(self, "desk"):
            return
        assert self.now() == self.text
        assert self.desk.head.number == len(self.history)
        assert self.desk.can_undo == bool(self.undo_stack)
        assert self.desk.can_redo == bool(self.redo_stack)

    def teardown(self) -> None:
        if not hasattr(self, "desk"):
            return
        for number, text in enumerate(self.history, 1):
            assert self.desk.files_at(number).texts["hole.yaml"] == text
        self.desk.close()
        self.store.close()
        self.place.cleanup()


TestPlain = Plain.TestCase
TestPlain.settings = settings(
    max_examples=6,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)


@pytest.mark.soak
class TestPlainForLong(Plain.TestCase):  # type: ignore[misc,name-defined]
    settings = settings(
        max_examples=80,
        stateful_step_count=50,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
