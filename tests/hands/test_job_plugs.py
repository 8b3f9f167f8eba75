"""Jobs on plugs of several circuits: moved as they are, opened, another cable's; pairs keep their numbers and colours."""

from routecode.hands.job import Job
from routecode.hands.job_operations import LAY, LIFT
from routecode.show.jobsheet import Named, jobsheet_text, sheet
from tests.hands.jobs import job_of
from tests.hands.test_job_conductors import STUDIO


def multi(number: str, from_: str, to: str, kind: str = "multi") -> str:
    return f'[[cable]]\nnumber = "{number}"\nfrom = "{from_}"\nto = "{to}"\ntype = "{kind}"\nmetres = 4\n'


def job_between(before: str, after: str) -> Job:
    return job_of(STUDIO + before, STUDIO + after)


def told(made: Job) -> str:
    return " ".join(jobsheet_text(sheet(made, Named("a", "b", "", ""))).split())


def pins_laid(made: Job) -> dict[int, list[tuple[str, str | None, str | None, str]]]:
    rows = [row for each in made.racks if each.kind == LAY for row in each.rows]
    return {row.circuit: [(pin.carries, pin.from_pin, pin.to_pin, pin.colour) for pin in row.pins] for row in rows}


def test_a_plug_that_moves_between_two_sockets_is_lifted_and_plugged_and_nothing_is_soldered() -> None:
    made = job_between(
        multi("M3", "lines/bottom 3..10", "conv/in 1..8"), multi("M3", "lines/bottom 3..10", "conv/in 9..16")
    )
    text = told(made)
    assert "Lift the plug of M3 (db25-m) from Converter in 1-8. [left]" in text
    assert "Plug M3 (db25-m) into Converter in 9-16. [left] Nothing is soldered." in text
    assert "Pins of" not in text
    assert "M3 circuit" not in text
    assert made.down.operations == 2  # one plug out, one in


def test_a_moved_multipair_keeps_its_pairs_the_jacks_are_soldered_anew_and_the_plug_is_not_opened() -> None:
    """AES59: circuit 1 on 24, 12, 25; circuit 2 on 10, 23, 11. Pair 1 is red and black before and after."""
    made = job_between(
        multi("M3", "lines/bottom 17..24", "conv/in 1..8"), multi("M3", "lines/bottom 16..23", "conv/in 9..16")
    )
    pins = pins_laid(made)
    assert pins[1] == [("hot", "tip", "24", "RD"), ("cold", "ring", "12", "BK"), ("shield", "sleeve", "25", "")]
    assert pins[2] == [("hot", "tip", "10", "WH"), ("cold", "ring", "23", "BK"), ("shield", "sleeve", "11", "")]
    rows = [row for each in made.racks if each.kind == LAY for row in each.rows]
    assert all(row.from_.handled and row.to.whole for row in rows)
    assert "its plug db25-m with 8 circuits, not opened -- into Converter in 9-16" in told(made)


def test_a_pair_that_stays_keeps_its_number_and_colours_though_the_schedule_counts_anew() -> None:
    """The first circuit goes and one comes last: the wires of the other seven are not touched, and pair 1 is free."""
    made = job_between(
        multi("M3", "lines/bottom 3..10", "conv/in 1..8"),
        multi("M3", "lines/bottom 4..11", "conv/in 2..9"),
    )
    assert pins_laid(made) == {
        1: [("hot", "tip", "24", "RD"), ("cold", "ring", "12", "BK"), ("shield", "sleeve", "25", "")]
    }
    (row,) = [row for each in made.racks if each.kind == LAY for row in each.rows]
    assert (row.circuit, row.counted) == (1, 8)
    assert "M3 circuit 1 (circuit 8 in the schedule from now on)" in told(made)


def test_circuits_that_change_places_in_one_plug_open_it() -> None:
    before = multi("M3", "lines/bottom 3..4", "conv/in 1..2")
    after = before.replace('"conv/in 1..2"', '["conv/in 2", "conv/in 1"]')
    made = job_between(before, after)
    rows = [row for each in made.racks if each.kind == LAY for row in each.rows]
    assert [(row.from_.handled, row.to.handled, row.to.whole, row.at_rack) for row in rows] == [
        (False, True, False, True)
    ] * 2
    assert {circuit: [pin[1:] for pin in pins] for circuit, pins in pins_laid(made).items()} == {
        1: [("tip", "10", "RD"), ("ring", "23", "BK"), ("sleeve", "11", "")],
        2: [("tip", "24", "WH"), ("ring", "12", "BK"), ("sleeve", "25", "")],
    }


OWNER = multi("M213", "pre/out 9..14", "conv/in 1..6")
OTHERS = multi("K1", "lines/bottom 7", "conv/in 7", "pair") + multi("K2", "lines/bottom 20", "conv/in 8", "pair")


def test_new_circuits_in_a_plug_that_is_in_use_are_soldered_into_it_at_the_racks_in_one_lift() -> None:
    made = job_between(OWNER, OWNER + OTHERS)
    (lay,) = [each for each in made.racks if each.kind == LAY]
    assert [row.to.fitted for row in lay.rows] == [
        f"soldered in the plug of M213 (db25-m in 1-8, circuit {circuit})" for circuit in (7, 8)
    ]
    assert all(row.at_rack for row in lay.rows)
    assert (
        "Lift the plug of M213 at Converter in 1-8 once, solder all of these into it, and plug it in again"
        in " ".join(lay.mind)
    )
    down = [step.units for step in made.ordered.steps if step.kind == "power off"]
    assert down[0] == ("conv",)
    assert "M213" in made.retest
    (bench,) = [each for each in made.bench if each.kind == "make"]
    assert "What goes into the plug of M213 at Converter in 1-8 is soldered at the racks." in bench.mind
    assert sum(each.minutes for each in made.bench if each.kind == "make") == 2 * (2 + 4 * 0.5)  # labels and runs alone


def test_the_way_back_takes_them_out_of_it() -> None:
    made = job_between(OWNER + OTHERS, OWNER)
    (lift,) = [each for each in made.racks if each.kind == LIFT]
    assert "take all of these out of it" in " ".join(lift.mind)


def test_a_plug_of_its_own_is_made_at_the_bench() -> None:
    made = job_between("", OTHERS)
    assert {row.to.fitted for each in made.bench for row in each.rows} == {
        f"db25-m (in 1-8, circuit {circuit})" for circuit in (7, 8)
    }
