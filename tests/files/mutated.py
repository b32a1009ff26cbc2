"""Part files spoiled at random and read: each is refused by one clear error, or accounted for.

As a program of its own (``python -m tests.files.mutated COUNT FIRST``) it says as JSON how it went,
and how much memory and time the worst of them took.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import process_time
from zipfile import ZIP_DEFLATED, ZipFile

from openpyxl import Workbook

from crib.desk.parts.parts_count import PartsCount
from crib.desk.parts.read_parts import ReadRequest, read_parts
from crib.errors import BadInput
from tests.files.made_parts import as_dxf, as_list, as_nc1, made_part

MOST_SECONDS, MOST_MB = 10.0, 500.0
KINDS = ("nc1", "dxf", "csv", "xlsx")
_NUMBERS = (
    "0",
    "-0",
    "1e9",
    "-1",
    "9" * 40,
    "nan",
    "inf",
    "0.00001",
    "1e-320",
    "",
    "x",
    "2147483648",
)
_REAL = sorted((Path(__file__).parent / "data" / "nc1").glob("*.[nN][cC]*"))
_SHARES = {"nc1": 0.4, "dxf": 0.75, "csv": 0.92}


def made_file(kind: str, chance: Random) -> bytes:
    """A sound file of a kind."""
    part = made_part(chance, ("hole", "slot", "square", "rectangle"))
    if kind == "nc1":
        if chance.random() < 0.4:
            return chance.choice(_REAL).read_bytes()
        return as_nc1(part, chance).text.encode()
    if kind == "dxf":
        return as_dxf(part, chance).text.encode()
    text = as_list(part, chance)
    return text.encode() if kind == "csv" else _workbook(text)


def _workbook(text: str) -> bytes:
    book = Workbook()
    sheet = book.create_sheet("Parts", 0)
    for line in text.splitlines():
        sheet.append([int(cell) if cell.isdigit() else cell for cell in line.split(",")])
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def spoiled(kind: str, data: bytes, chance: Random) -> bytes:
    """The file with one to four faults in it."""
    if kind == "xlsx" and chance.random() < 0.7:
        return _spoiled_inside(data, chance)
    for _ in range(chance.randint(1, 4)):
        data = chance.choice(_WAYS)(data, chance)
    return data


def _spoiled_inside(data: bytes, chance: Random) -> bytes:
    """A workbook with faults in one of the files that it is packed of."""
    with ZipFile(BytesIO(data)) as packed:
        inside = {name: packed.read(name) for name in packed.namelist()}
    sheets = [name for name in inside if "sheet" in name or "workbook" in name]
    name = chance.choice(sheets if chance.random() < 0.8 else list(inside))
    for _ in range(chance.randint(1, 3)):
        inside[name] = chance.choice(_WAYS)(inside[name], chance)
    stream = BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as packed:
        for name, content in inside.items():
            packed.writestr(name, content)
    return stream.getvalue()


def _bytes_changed(data: bytes, chance: Random) -> bytes:
    made = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        if made:
            made[chance.randrange(len(made))] = chance.randrange(256)
    return bytes(made)


def _cut_short(data: bytes, chance: Random) -> bytes:
    return data[: chance.randint(0, len(data))]


def _piece_gone(data: bytes, chance: Random) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + data[at + chance.randint(1, 200) :]


def _piece_twice(data: bytes, chance: Random) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + data[at : at + chance.randint(1, 400)] + data[at:]


def _lines_moved(data: bytes, chance: Random) -> bytes:
    lines = data.split(b"\n")
    one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
    how = chance.randrange(3)
    if how == 0:
        lines[one], lines[two] = lines[two], lines[one]
    elif how == 1:
        lines.insert(two, lines[one])
    else:
        del lines[one]
    return b"\n".join(lines)


def _word_changed(data: bytes, chance: Random) -> bytes:
    """A number, or what stands where one might, put in the place of a word."""
    lines = data.split(b"\n")
    at = chance.randrange(len(lines))
    words = lines[at].split(b" ")
    words[chance.randrange(len(words))] = chance.choice(_NUMBERS).encode()
    lines[at] = b" ".join(words)
    return b"\n".join(lines)


_WAYS: tuple[Callable[[bytes, Random], bytes], ...] = (
    _bytes_changed,
    _cut_short,
    _piece_gone,
    _piece_twice,
    _lines_moved,
    _lines_moved,
    _word_changed,
    _word_changed,
    _word_changed,
)


@dataclass
class HowItWent:
    """What became of the files, the worst of them, and what should never have come out."""

    ends: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    most_seconds: float = 0.0
    most_mb: float = 0.0

    def read(self, number: int, folder: Path) -> None:
        """Make, spoil and read one file; whatever is neither refusal nor account is a fault."""
        chance = Random(number)
        share = chance.random()
        kind = next((kind for kind in KINDS if share < _SHARES.get(kind, 1.0)), "xlsx")
        file = folder / f"part.{kind}"
        file.write_bytes(spoiled(kind, made_file(kind, chance), chance))
        began = process_time()
        try:
            end = _read(file)
        except Exception as error:
            end = "fault"
            self.faults.append(f"file {number} ({kind}): {type(error).__name__}: {error}"[:300])
        seconds = process_time() - began
        if seconds > MOST_SECONDS:
            self.faults.append(f"file {number} ({kind}): {seconds:.1f} s")
        self.ends[f"{kind} {end}"] += 1
        self.most_seconds = max(self.most_seconds, seconds)
        self.most_mb = _most_mb()


def _most_mb() -> float:
    """The most memory of this program; what the system counts for its process began before it."""
    lines = Path("/proc/self/status").read_text("ascii").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM:"))


def _read(file: Path) -> str:
    try:
        count = read_parts(None, ReadRequest((file,), unit="mm", thickness="10mm"))
    except BadInput as error:
        refusal = error
    else:
        return _accounted(count)
    assert refusal.message
    assert "should not have happened" not in refusal.message
    return "refused"


def _accounted(count: PartsCount) -> str:
    (account,) = count.read.accounts
    sums = account.sums()
    assert sums["met"] == sum(sums[how] for how in ("counted", "merged", "told", "blank")) > 0
    features = sum(len(part.features) for part in count.read.parts)
    assert sum(item.features for item in account.items) == features
    assert sums["told"] == 0 or count.read.notes, "something is told in no note"
    return "read"


def went(count: int, first: int = 0) -> HowItWent:
    """Read so many spoiled files, from a number on."""
    found = HowItWent()
    with TemporaryDirectory() as folder:
        for number in range(first, first + count):
            found.read(number, Path(folder))
    return found


if __name__ == "__main__":
    found = went(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0)
    figures = {"seconds": found.most_seconds, "mb": found.most_mb}
    print(json.dumps({**figures, "ends": found.ends, "faults": found.faults}))
