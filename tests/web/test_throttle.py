"""Guessing passwords becomes slow, for the name and for the address."""

from __future__ import annotations

from bathybore.web.throttle import FORGOTTEN, FREE, LONGEST, Throttle


class Clock:
    now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_the_first_attempts_are_free_then_each_waits_twice_as_long() -> None:
    clock = Clock()
    throttle = Throttle(clock)
    assert [throttle.attempt(["a"]) for _ in range(FREE)] == [0.0] * FREE
    waits = []
    for _ in range(4):
        waits.append(throttle.attempt(["a"]))
        clock.now += waits[-1]
        assert throttle.attempt(["a"]) == 0.0
    assert waits == [1.0, 2.0, 4.0, 8.0]


def test_no_wait_is_longer_than_a_minute_so_that_nobody_is_locked_out() -> None:
    clock = Clock()
    throttle = Throttle(clock)
    for _ in range(50):
        clock.now += throttle.attempt(["a"])
        throttle.attempt(["a"])
    assert throttle.attempt(["a"]) == LONGEST


def test_a_refused_attempt_does_not_count() -> None:
    clock = Clock()
    throttle = Throttle(clock)
    for _ in range(FREE):
        throttle.attempt(["a"])
    assert {throttle.attempt(["a"]) for _ in range(100)} == {1.0}


def test_one_key_that_must_wait_holds_the_others_too() -> None:
    throttle = Throttle(Clock())
    for number in range(FREE):
        throttle.attempt(["address", f"name {number}"])
    assert throttle.attempt(["address", "a new name"]) > 0.0
    assert throttle.attempt(["another address", "a new name"]) == 0.0


def test_knowing_the_password_or_waiting_long_clears_the_count() -> None:
    clock = Clock()
    throttle = Throttle(clock)
    for _ in range(FREE):
        throttle.attempt(["a"])
    throttle.clear(["a"])
    assert throttle.attempt(["a"]) == 0.0
    for _ in range(FREE):
        throttle.attempt(["b"])
    clock.now += FORGOTTEN + 1.0
    assert [throttle.attempt(["b"]) for _ in range(FREE)] == [0.0] * FREE
