"""The painting order: `after` is law, the trade's habits (common practice, no source) fill the rest."""

from hypothesis import given
from hypothesis import strategies as st

from palette.guide.painter.order import Job, painting_order


def flat(jobs: list[Job]) -> list[str]:
    return [id for turn in painting_order(jobs)[0] for id in turn.ids]


@st.composite
def acyclic(draw: st.DrawFn) -> list[Job]:
    """Jobs that wait only for jobs before them in a shuffled list."""
    count = draw(st.integers(1, 12))
    jobs = []
    for i in range(count):
        after = draw(st.lists(st.integers(0, i - 1), max_size=3)) if i else []
        jobs.append(
            Job(
                str(i),
                draw(st.none() | st.floats(0, 100)),
                draw(st.none() | st.floats(0.01, 500)),
                draw(st.sampled_from(["", "red", "blue"])),
                tuple(map(str, after)),
            )
        )
    return draw(st.permutations(jobs))


@given(acyclic())
def test_every_part_once_and_after_what_it_waits_for(jobs: list[Job]) -> None:
    order = flat(jobs)
    assert sorted(order) == sorted(job.id for job in jobs)
    assert painting_order(jobs)[1] == []
    for job in jobs:
        assert all(order.index(other) < order.index(job.id) for other in job.after)


@given(acyclic())
def test_parts_in_one_turn_share_their_paint(jobs: list[Job]) -> None:
    paint = {job.id: job.paint for job in jobs}
    for turn in painting_order(jobs)[0]:
        assert len(turn.ids) == 1 or (len({paint[id] for id in turn.ids}) == 1 and paint[turn.ids[0]])


def test_light_before_dark_then_large_before_small() -> None:
    jobs = [
        Job("dark", 20, 50, "a"),
        Job("small", 80, 10, "b"),
        Job("large", 82, 60, "c"),
        Job("mid", 50, 40, "d"),
    ]
    assert flat(jobs) == ["large", "small", "mid", "dark"]


def test_small_parts_come_last_as_details_even_when_light() -> None:
    jobs = [Job("lining", 90, 0.5, "a"), Job("body", 30, 80, "b")]
    turns, _ = painting_order(jobs)
    assert [turn.ids for turn in turns] == [("body",), ("lining",)]
    assert [turn.detail for turn in turns] == [False, True]


def test_a_part_without_a_colour_waits_until_the_others_are_done() -> None:
    assert flat([Job("open", None, 90, ""), Job("dark", 5, 20, "a")]) == ["dark", "open"]


def test_a_circle_is_named_and_loses_no_part() -> None:
    jobs = [Job("a", 50, None, "x", ("b",)), Job("b", 50, None, "y", ("a",)), Job("c", 10, None, "z")]
    turns, circle = painting_order(jobs)
    assert sorted(id for turn in turns for id in turn.ids) == ["a", "b", "c"]
    assert circle and set(circle) <= {"a", "b"}


def test_after_an_unknown_part_or_itself_holds_nothing_up() -> None:
    assert flat([Job("a", 50, None, "x", ("nowhere", "a"))]) == ["a"]
