"""Opening an older crib: a copy first, then the upgrade, whole or not at all."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from crib.errors import CribDamaged
from crib.stock.engine import folders
from crib.stock.engine.backup import verify
from crib.stock.engine.opening import open_crib
from crib.stock.engine.revision import HEAD_REVISION
from tests.schema.cribs import filled, holdings, raw, revision_of, structure

NEXT = f"{int(HEAD_REVISION) + 1:04d}"
HEADER = f'''"""A revision to come."""

import sqlalchemy as sa
from alembic import op

revision = "{NEXT}"
down_revision = "{HEAD_REVISION}"
branch_labels = None
depends_on = None


def downgrade() -> None:
    pass


def upgrade() -> None:
'''
REBUILD_KIND = """
    with op.batch_alter_table("kind", recreate="always") as batch:
        batch.add_column(sa.Column("coating", sa.String(), server_default="", nullable=False))
"""
THEN_FAIL = """
    op.execute("INSERT INTO nowhere VALUES (1)")
"""
THEN_ORPHAN = """
    op.execute("DELETE FROM kind WHERE id = 1")
"""

AddRevision = Callable[[str], None]


@pytest.fixture
def add_revision(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AddRevision:
    """Teach this program one revision more, in a copy of the schema folder."""

    def add(body: str) -> None:
        copy = tmp_path / "schema"
        shutil.copytree(folders.schema_folder(), copy, ignore=shutil.ignore_patterns("__pycache__"))
        (copy / "versions" / f"{NEXT}_to_come.py").write_text(HEADER + body, "utf-8")
        monkeypatch.setattr("crib.stock.engine.migrate.schema_folder", lambda: copy)
        monkeypatch.setattr("crib.stock.engine.revision.HEAD_REVISION", NEXT)

    return add


def backup_of(path: Path) -> Path:
    """Where the copy before an upgrade stands."""
    return path.with_name(f"{path.name}.before-{HEAD_REVISION}-upgrade")


def test_a_rebuilt_parent_table_keeps_its_children(
    tmp_path: Path, add_revision: AddRevision
) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    before = holdings(path)
    add_revision(REBUILD_KIND)
    open_crib(path).close()
    after = holdings(path)
    assert revision_of(path) == NEXT
    assert [row.pop("coating") for row in after["kind"]] == [""] * len(before["kind"])
    assert after == before


def test_the_copy_made_first_is_a_whole_crib_of_the_old_revision(
    tmp_path: Path, add_revision: AddRevision
) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    before = holdings(path)
    add_revision(REBUILD_KIND)
    open_crib(path).close()
    copy = backup_of(path)
    assert verify(copy).pieces == 2
    assert revision_of(copy) == HEAD_REVISION
    assert holdings(copy) == before


def test_an_upgraded_crib_is_not_copied_again(tmp_path: Path, add_revision: AddRevision) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    add_revision(REBUILD_KIND)
    open_crib(path).close()
    written = backup_of(path).stat().st_mtime_ns
    open_crib(path).close()
    assert backup_of(path).stat().st_mtime_ns == written


def test_a_crib_of_this_revision_is_opened_without_a_copy(tmp_path: Path) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    open_crib(path).close()
    assert not backup_of(path).exists()


def test_a_failing_revision_leaves_the_crib_as_it_was(
    tmp_path: Path, add_revision: AddRevision
) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    before, made = holdings(path), structure(path)
    add_revision(REBUILD_KIND + THEN_FAIL)
    with pytest.raises(CribDamaged, match="upgrade"):
        open_crib(path)
    assert revision_of(path) == HEAD_REVISION
    assert holdings(path) == before
    assert structure(path) == made
    assert holdings(backup_of(path)) == before


def test_a_revision_that_would_leave_orphans_is_not_kept(
    tmp_path: Path, add_revision: AddRevision
) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    before = holdings(path)
    add_revision(REBUILD_KIND + THEN_ORPHAN)
    with pytest.raises(CribDamaged, match=r"would leave \d+ rows without their owner"):
        open_crib(path)
    assert revision_of(path) == HEAD_REVISION
    assert holdings(path) == before


def test_a_crib_of_a_newer_program_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    with raw(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    before = holdings(path)
    with pytest.raises(CribDamaged, match="revision 9999, which this program does not know"):
        open_crib(path)
    assert holdings(path) == before
    assert revision_of(path) == "9999"
    assert list(tmp_path.glob("*upgrade*")) == []


def test_a_second_opener_does_not_overwrite_the_copy(
    tmp_path: Path, add_revision: AddRevision, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The first opener finishes between the second one's look at the revision and its copy.
    from crib.stock.engine import migrate

    path = filled(tmp_path / "shop.crib", HEAD_REVISION)
    add_revision(REBUILD_KIND)
    honest = migrate.known_revisions

    def slow(crib: Path) -> tuple[str, ...]:
        monkeypatch.setattr(migrate, "known_revisions", honest)
        open_crib(crib).close()
        return honest(crib)

    monkeypatch.setattr(migrate, "known_revisions", slow)
    open_crib(path).close()
    assert revision_of(path) == NEXT
    assert revision_of(backup_of(path)) == HEAD_REVISION
