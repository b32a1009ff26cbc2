"""A row that its declared table refuses is refused before it goes in, and told why."""

from __future__ import annotations

import ast
import inspect
import re
import textwrap
from collections.abc import Iterator
from math import inf, nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from crib.errors import BadValue
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.engine.opening import open_crib
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.engine.session import Session
from crib.stock.tables.own_keys import OWN_KEYS
from crib.stock.tables.row_check import FILE, RowRefused, check_rows, checked_row, columns_of
from tests.house import plain_text, sources, texts
from tests.schema.broken import BROKEN, Change
from tests.schema.cribs import filled
from tests.schema.declared_rows import as_text
from tests.schema.test_limits import BY_NAME, good_row


@pytest.fixture(scope="module")
def crib(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A crib with rows in every table; no test leaves one more."""
    session = open_crib(filled(tmp_path_factory.mktemp("rows") / "full.crib", HEAD_REVISION))
    yield session
    session.close()


def new_row(table: str, **change: Any) -> Change:
    """A good row without a number of its own, changed."""
    row = {name: value for name, value in good_row(table).items() if name != "id"}
    yes_no = [name for name, column in columns_of(table).items() if column.type == "bool"]
    return row | {name: bool(row[name]) for name in yes_no if name in row} | change


def put_in(session: Session, table: str, row: Change) -> None:
    """Put one row in as every writer does."""
    with session.writing():
        if table in OWN_KEYS:
            session.add(table, row)
        else:
            session.insert(table, row)


def count(session: Session, table: str) -> int:
    return int(session.value(f"SELECT count(*) FROM {table}"))


def test_the_limits_are_those_of_the_declared_tables() -> None:
    assert FILE.read_text("utf-8") == as_text(), "run python -m tests.schema.declared_rows"


def test_every_row_goes_in_by_the_calls_that_check_it() -> None:
    inserts = {
        (path, plain_text(node).split()[0])
        for path, source in sources("crib").items()
        for node in texts(ast.parse(source))
        if re.match(r"\s*(INSERT|REPLACE)\s", plain_text(node))
    }
    # A copy takes rows that were looked at before; the note of a move is no table's row.
    unlooked = {
        ("crib/stock/engine/into_file.py", "INSERT"),
        ("crib/stock/engine/moved.py", "INSERT"),
    }
    assert inserts == {("crib/stock/engine/session.py", "INSERT"), *unlooked}


def test_no_row_needs_the_heavy_tables_to_be_looked_at() -> None:
    using = [
        path
        for path, source in sources("crib").items()
        if "all_tables" in source and not path.startswith("crib/stock/tables/")
    ]
    assert using == ["crib/stock/engine/tables_postgres.py"]  # it makes the tables on a server


@pytest.mark.parametrize("call", ["insert", "add", "insert_many", "upsert"])
def test_every_call_that_inserts_checks_first(call: str) -> None:
    source = textwrap.dedent(inspect.getsource(getattr(Session, call)))
    checks = [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and ast.unparse(node.func) in ("_checked", "check_rows")
    ]
    writes = [
        number
        for number, line in enumerate(source.splitlines(), 1)
        if "execut" in line or "self.run" in line
    ]
    assert checks
    assert min(checks) < min(writes)


@pytest.mark.parametrize("table", BY_NAME)
def test_a_good_row_passes_with_every_default_of_its_table(table: str) -> None:
    row = new_row(table)
    checked = checked_row(table, row)
    assert checked == BY_NAME[table].model_validate(row).model_dump(include=set(checked))
    left_out = {name for name in BY_NAME[table].model_fields if name not in checked}
    assert left_out <= {"id"}


@pytest.mark.parametrize(
    ("check", "table", "change"), BROKEN, ids=[f"{one[0]} {one[2]}" for one in BROKEN]
)
def test_a_row_that_breaks_a_limit_is_refused_and_nothing_is_written(
    crib: Session, check: str, table: str, change: Change
) -> None:
    before = count(crib, table)
    with pytest.raises(RowRefused) as caught:
        put_in(crib, table, new_row(table, **change))
    assert caught.value.message.startswith(f"{table.replace('_', ' ')}: ")
    assert any(name in caught.value.message for name in change), check
    assert count(crib, table) == before


VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 5),
    st.integers(),
    st.floats(-5, 5),
    st.sampled_from([nan, inf, -inf, 1e300, 0.0, -0.0]),
    st.text(max_size=3),
    st.integers(0, 5000).map("x".__mul__),
    st.sampled_from(["punch", "round", "open", "held", "sound", "strokes", " ", "\ud800", "0"]),
    st.binary(max_size=3),
)
CHANGES = st.sampled_from(sorted(BY_NAME)).flatmap(
    lambda table: st.tuples(
        st.just(table),
        st.dictionaries(
            st.sampled_from(sorted(set(BY_NAME[table].model_fields) - {"id"})),
            VALUES,
            min_size=1,
            max_size=3,
        ),
    )
)


@given(CHANGES)
def test_what_the_declared_table_refuses_is_refused(change: tuple[str, Change]) -> None:
    table, values = change
    row = new_row(table, **values)
    faults = outcome(checked_row, table, row)
    assert {column for column, _text in faults} <= set(values)
    if not faults:
        checked = checked_row(table, row)
        declared = BY_NAME[table].model_validate(row).model_dump(include=set(checked))
        assert declared == checked


@given(CHANGES)
def test_a_row_that_is_refused_is_not_in_the_crib(
    crib: Session, change: tuple[str, Change]
) -> None:
    table, values = change
    row = new_row(table, **values)
    try:
        BY_NAME[table].model_validate(row)
    except ValidationError:
        before = count(crib, table)
        with pytest.raises(RowRefused):
            put_in(crib, table, row)
        with crib.writing(), pytest.raises(RowRefused):
            crib.insert_many(table, list(row), [list(row.values())])
        assert count(crib, table) == before


@given(CHANGES)
def test_many_rows_are_looked_at_as_one_is(change: tuple[str, Change]) -> None:
    table, values = change
    good = checked_row(table, new_row(table))
    rows = [tuple(row.values()) for row in (good, good | values, good)]
    one = outcome(checked_row, table, good | values)
    assert outcome(check_rows, table, tuple(good), rows) == one


def outcome(check: Any, *values: Any) -> tuple[tuple[str, str], ...]:
    """The faults that a check finds."""
    try:
        check(*values)
    except RowRefused as error:
        return tuple(sorted((name, str(said)) for name, said in error.faults))
    return ()


def test_one_bad_row_among_many_keeps_all_of_them_out(crib: Session) -> None:
    before = count(crib, "job_line")
    names = ("job_id", "phrase", "quantity")
    rows = [(1, "hole 1 thru 1/4", quantity) for quantity in (1, 2, 0, 4)]
    with crib.writing():
        with pytest.raises(RowRefused, match="job line: quantity 0 must be > 0"):
            crib.insert_many("job_line", names, rows)
        with pytest.raises(RowRefused, match="job line: phrase is missing"):
            crib.insert_many("job_line", ("job_id", "quantity"), [(1, 1)])
    assert count(crib, "job_line") == before


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("piece", {"edge": 7}, "piece: edge 7 must be one of: 1, 2, 3, 4"),
        ("piece", {"tag": None}, "piece: tag is missing"),
        ("piece", {"tag": "p-0900"}, "piece: it must hold that length(trim(tag)) > 0 AND tag = u"),
        ("piece", {"tag": "P-0137"}, "piece: there is one of the same tag already"),
        ("piece", {"kind_id": 999}, "piece: it names a row of another table that is not there"),
        ("piece", {"length_mm": nan}, "piece: length_mm nan must be a finite number"),
        ("piece", {"edge": "2"}, "piece: edge '2' must be a whole number"),
        ("piece", {"wear": 2.0}, "piece: wear is no column of this table"),
        ("kind", {"angle_deg": 181.0}, "kind: angle_deg 181.0 must be <= 180"),
        ("station", {"derate": 1}, "station: derate 1 must be < 1"),
        ("person", {"name": ""}, "person: name '' has 0 letters, must have 1 to 60"),
        ("hold", {"piece_id": 1}, "hold: there is one of the same piece already"),
        ("entry", {"note": "\u202e"}, "entry: note '\\\\u202e' has a character that is not seen"),
    ],
)
def test_the_error_says_what_is_wrong_the_value_and_the_limit(
    crib: Session, table: str, change: Change, said: str
) -> None:
    row = {"tag": "P-0900"} if table == "piece" else {}
    with pytest.raises(RowRefused) as caught:
        put_in(crib, table, new_row(table, **(row | change)))
    assert caught.value.message.startswith(said.replace("\\\\", "\\"))
    assert caught.value.way_out == "nothing of it was written"


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (NewEntry("steal", 1), "entry: action 'steal' must be one of: add, strokes"),
        (NewEntry("strokes", 1, quantity=0), "entry: it must hold that action <> 'strokes' OR"),
        (NewEntry("look", 1, note="x" * 401), "entry: note 'xxxx"),
        (NewEntry("strokes", 1, 5, 5000, severity=1.0, factors='{"dry":1.5}'), "severity 1.0 is"),
    ],
)
def test_an_entry_that_cannot_stand_moves_no_total(
    crib: Session, entry: NewEntry, said: str
) -> None:
    before = (count(crib, "entry"), [tuple(row) for row in crib.rows("SELECT * FROM piece")])
    good = NewEntry("strokes", 1, quantity=5, weighted_milli=5000, severity=1.0)
    with pytest.raises(BadValue) as caught:
        ledger.write(crib, ledger.new_stamp(1), [good, entry])
    assert caught.value.message.startswith(said)
    after = (count(crib, "entry"), [tuple(row) for row in crib.rows("SELECT * FROM piece")])
    assert after == before
