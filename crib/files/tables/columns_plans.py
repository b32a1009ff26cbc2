"""Columns of planned work: the runs of jobs, the pieces promised to them, printed stroke sheets."""

from __future__ import annotations

from crib import words
from crib.files.tables.table_shape import Column, Table

_WHO = Column("person", "person_id", "Who.", "bench 2", "reference", needed=True, of="people")
_MADE_AT = Column("made at", "made_at", "When it was written.", "", "moment", needed=True)
_JOB = Column("job", "job_id", "The job.", "24-118", "reference", needed=True, of="jobs")
_TAG = Column("tag", "piece_id", "The piece.", "P-0137", "reference", needed=True, of="pieces")
_WITH = Column("with", "with_piece_id", "The die under it.", "D-0201", "reference", of="pieces")
_MATERIAL = Column("material", "material", "The material worked.", "", blank="")
_THICKNESS = Column("thickness", "thickness_mm", "Its thickness.", "", "length")

RUNS = Table(
    "runs",
    "planned_run",
    "What is planned: a feature of a job in one station with one set of tools.",
    key=("job", "sequence"),
    aliases=("planned runs",),
    only_whole=True,
    columns=(
        _JOB,
        Column("sequence", "sequence", "Its place in the plan.", "1", "count", needed=True),
        Column(
            "station",
            "station_id",
            "The station, as machine / station.",
            "North / punch",
            "reference",
            needed=True,
            of="stations",
        ),
        _TAG,
        _WITH,
        Column("mark", "mark", "The part's mark.", "", "name", blank=""),
        Column("phrase", "phrase", "The feature.", "hole 13/16 thru 3/8 A36", needed=True),
        _MATERIAL,
        _THICKNESS,
        Column("quantity", "quantity", "How many features.", "48", "count", needed=True),
        Column("strokes", "strokes", "How many strokes.", "48", "count", needed=True),
        Column("weighted", "weighted_milli", "Weighted strokes.", "48", "wear", blank=0),
        Column("logged", "logged", "Strokes logged so far.", "", "count", blank=0),
        _WHO,
        _MADE_AT,
    ),
)

RUN_PIECES = Table(
    "run_pieces",
    "planned_run_piece",
    "The pieces that cut with the one of a planned run, such as the other blades.",
    key=("job", "sequence", "tag"),
    aliases=("run piece",),
    only_whole=True,
    columns=(
        _JOB,
        Column("sequence", "sequence", "The run's place in the plan.", "1", "count", needed=True),
        _TAG,
    ),
)

HOLDS = Table(
    "holds",
    "hold",
    "Pieces promised to jobs, handed out and given back.",
    aliases=("hold", "reservations"),
    only_whole=True,
    columns=(
        Column("job", "job_id", "The job.", "24-118", "reference", of="jobs"),
        _TAG,
        Column("spare", "spare", "Whether as a spare.", "no", "yes/no", blank=False),
        Column(
            "state",
            "state",
            "An empty cell is held.",
            "held",
            "choice",
            choices=words.HOLD_STATES,
            blank="held",
        ),
        Column("holder", "holder", "Who has it.", "", "name", blank=""),
        Column("out on", "out_on", "Handed out.", "", "date", blank=""),
        Column("due back", "due_back", "Expected back.", "", "date", blank=""),
        Column("back on", "back_on", "Given back.", "", "date", blank=""),
        _WHO,
        _MADE_AT,
        Column("number", "id", "The hold's number, which entries name.", "1", "count"),
    ),
)

PAPERS = Table(
    "papers",
    "paper",
    "Stroke sheets that were printed.",
    key=("number",),
    aliases=("paper",),
    only_whole=True,
    columns=(
        Column("number", "id", "The sheet's number.", "1", "count", needed=True),
        Column("title", "title", "What stands on it.", "", blank=""),
        _WHO,
        _MADE_AT,
    ),
)

PAPER_LINES = Table(
    "paper_lines",
    "paper_line",
    "The lines of printed stroke sheets.",
    key=("number", "line"),
    aliases=("paper line",),
    only_whole=True,
    columns=(
        Column("number", "paper_id", "The sheet's number.", "1", "count", needed=True),
        Column("line", "line", "The line's number.", "1", "count", needed=True),
        _TAG,
        _WITH,
        _MATERIAL,
        _THICKNESS,
        Column("job", "job", "The job.", "", "name", blank=""),
        Column("planned", "planned", "Strokes planned.", "", "count"),
    ),
)

PAPER_LINE_PIECES = Table(
    "paper_line_pieces",
    "paper_line_piece",
    "The pieces that cut with the one of a printed line.",
    key=("number", "line", "tag"),
    aliases=("paper line piece",),
    only_whole=True,
    columns=(
        Column("number", "paper_id", "The sheet's number.", "1", "count", needed=True),
        Column("line", "line", "The line's number.", "1", "count", needed=True),
        _TAG,
    ),
)

DRAFTS = Table(
    "drafts",
    "stroke_draft",
    "Strokes that were typed and are not counted yet.",
    key=("number",),
    aliases=("draft", "stroke drafts"),
    only_whole=True,
    columns=(
        Column("number", "id", "The draft's number.", "1", "count", needed=True),
        Column("content", "content", "What was typed, as JSON.", "", needed=True),
        _WHO,
        _MADE_AT,
        Column("changed at", "changed_at", "When it was kept last.", "", "moment", needed=True),
    ),
)

DEVICES = Table(
    "devices",
    "device",
    "Browsers and programs that the page let in; taken in, they must be paired anew.",
    aliases=("device",),
    only_whole=True,
    columns=(
        Column("name", "name", "What it is called.", "Tablet 1", "name", needed=True),
        Column(
            "sort",
            "sort",
            "A browser or a program; an empty cell is browser.",
            "browser",
            "choice",
            choices=words.DEVICE_SORTS,
            blank="browser",
        ),
        Column(
            "may",
            "may",
            "Whether it may do all or only look; an empty cell is all.",
            "all",
            "choice",
            choices=words.DEVICE_RIGHTS,
            blank="all",
        ),
        Column(
            "person", "person_id", "Who let it in.", "lead hand", "reference", True, of="people"
        ),
        Column("paired at", "paired_at", "When it was let in.", "", "moment", needed=True),
        Column("revoked at", "revoked_at", "When it was shut out.", "", "moment", blank=""),
        Column("site", "site_id", "Where it stands.", "North", "reference", of="sites"),
    ),
)

PLANS = (RUNS, RUN_PIECES, HOLDS, PAPERS, PAPER_LINES, PAPER_LINE_PIECES, DRAFTS, DEVICES)
