"""The jobsheet as a JSON document: steps with their circuits and pins, stopping points, tests with what must come out."""

from routecode.hands.cables import Pin
from routecode.hands.job import Job, Told
from routecode.hands.job_ending import Tried
from routecode.hands.job_rows import Row as Circuit
from routecode.hands.job_times import Cost
from routecode.hands.job_words import Stand
from routecode.show.document import Row
from routecode.show.jobsheet_shapes import CIRCUIT, COST, END, JOBSHEET, PATCH, PIN, STEP, STOP, TEST


def jobsheet_document(job: Job, before: str, after: str) -> Row:
    """The document of a job; `before` and `after` are revisions."""
    metres, connectors = job.saved
    bench = sum(told.minutes for told in job.bench)
    numbers = {test.id: each.number for each in job.ending if isinstance(each, Tried) for test in each.tests}
    told = (*job.bench, *(() if job.idle else job.racks))
    return JOBSHEET.answer(
        before,
        after,
        job.empty,
        _cost(job.down, bench, job.walking[0], job.testing),
        _cost(job.unplanned, 0.0, job.walking[1], job.testing),
        round(metres, 2),
        connectors,
        [_step(each) for each in told],
        [PATCH.row(each.setup, each.presence, list(each.lines)) for each in job.patches],
        list(job.retest),
        [
            TEST.row(
                *(
                    test.id,
                    test.kind,
                    list(test.at),
                    test.text,
                    test.expect,
                    test.low,
                    test.high,
                    test.unit,
                    test.wiring,
                ),
                numbers.get(test.id),
            )
            for test in job.tests
        ],
    )


def _cost(cost: Cost, bench: float, walking: float, testing: float) -> Row:
    return COST.row(*(round(minutes, 1) for minutes in (cost.minutes, bench, walking, testing)), cost.operations)


def _step(told: Told) -> Row:
    powered = sorted({name for step in told.steps for name in step.units})
    left = [danger.text for step in told.steps for danger in step.left]
    proved = all(step.proved for step in told.steps)
    works = [STOP.row(each.setup, each.works, each.new) for each in told.works]
    rows = [_circuit(row) for row in told.rows]
    return STEP.row(
        told.number,
        told.part,
        told.kind,
        told.text,
        list(told.mind),
        powered,
        rows,
        round(told.minutes, 1),
        works,
        proved,
        left,
        list(told.lines),
    )


def _circuit(row: Circuit) -> Row:
    return CIRCUIT.row(
        row.cable or None,
        row.circuit,
        row.counted or None,
        row.type or None,
        row.metres,
        _end(row.from_),
        _end(row.to),
        [_pin(pin) for pin in row.pins],
        row.becomes or None,
    )


def _end(end: Stand) -> Row:
    return END.row(end.name, end.at or None, end.front or None, end.behind or None, end.fitted, end.handled, end.whole)


def _pin(pin: Pin) -> Row:
    return PIN.row(pin.carries, pin.from_pin, pin.to_pin, pin.colour, pin.linked)
