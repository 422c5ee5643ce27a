"""A pure function is asked once for the same values while jobs are solved side by side."""

from __future__ import annotations

from service.solver.remembered import remembered, side_by_side


def test_what_was_given_is_kept_within_and_let_go_after() -> None:
    asked: list[tuple[int, int]] = []

    @remembered
    def added(one: int, other: int = 0) -> int:
        asked.append((one, other))
        return one + other

    assert [added(1), added(1)] == [1, 1]
    assert len(asked) == 2
    with side_by_side():
        assert [added(1), added(2), added(1), added(1, other=3), added(1, other=3)] == [
            1,
            2,
            1,
            4,
            4,
        ]
        assert len(asked) == 5
        with side_by_side():
            assert added(1) == 1
        assert len(asked) == 6
        assert added(1) == 1
    assert len(asked) == 6
    assert added(1) == 1
    assert len(asked) == 7
