"""What became of the files themselves and of the parts in them: the last account of a reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from crib.acts import fact
from crib.desk.parts.part_files import FileRead
from crib.desk.parts.parts_count import FileNotRead
from crib.desk.parts.same_parts import FilePart
from crib.files.common.reading_ledger import FileAccount, ReadingLedger, ReadItem


def account_of_files(
    units: Sequence[FilePart],
    left: Mapping[int, FilePart],
    not_read: Sequence[FileNotRead],
    others: Sequence[str],
) -> FileAccount:
    """Every part counted or merged with that of another file, every other file told.

    Raises:
        ReadingFault: when the parts that count do not have the features that they are to have.
    """
    ledger = ReadingLedger("")
    for one in units:
        ledger.meet(one.number, "part", 0, one.mark or one.file)
    for one in units:
        if one.number in left:
            ledger.merge(one.number, fact("read.same-part", file=left[one.number].file))
        else:
            ledger.count(one.number, sum(len(part.features) for part in one.parts))
    for file in not_read:
        ledger.meet(("not read", file.file), "file", 0, file.file)
        ledger.tell(("not read", file.file), fact("read.file-not-read", code=file.code))
    for number, name in enumerate(others):
        ledger.meet(("other", number), "file", 0, name)
        ledger.tell(("other", number), fact("read.no-part-file"))
    kept = [part for one in units if one.number not in left for part in one.parts]
    return ledger.closed(sum(len(part.features) for part in kept))


def without_counted(
    file: FileRead, units: Sequence[FilePart], left: Mapping[int, FilePart]
) -> FileRead:
    """A file without the parts that another file counts; when none is left, all of it is merged."""
    if not left:
        return file
    own = [one for one in units if one.file == file.name]
    gone = [one for one in own if one.number in left]
    if not gone:
        return file
    parts = tuple(part for one in own if one.number not in left for part in one.parts)
    accounts = file.read.accounts
    if not parts:
        other = left[gone[0].number].file
        accounts = tuple(
            replace(account, items=tuple(_merged(item, other) for item in account.items))
            for account in accounts
        )
    return replace(file, read=replace(file.read, parts=parts, accounts=accounts))


def _merged(item: ReadItem, file: str) -> ReadItem:
    if item.ending != "counted":
        return item
    return item._replace(ending="merged", why=fact("read.same-part", file=file), features=0)
