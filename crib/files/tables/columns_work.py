"""Columns of what is asked and what happened: jobs, wants, rules, the ledger, stroke sheets."""

from __future__ import annotations

from crib import words
from crib.files.tables.table_shape import Column, Table

_BY = Column(
    "person",
    "person_id",
    "Who; an empty cell is whoever takes the table in.",
    "",
    "reference",
    of="people",
    aliases=("by", "who"),
)
_WHO = Column("person", "person_id", "Who.", "bench 2", "reference", needed=True, of="people")

JOBS = Table(
    "jobs",
    "job",
    "Jobs with a name and a date.",
    key=("name",),
    aliases=("job",),
    changeable=True,
    columns=(
        Column("name", "name", "The job's number or name.", "24-118", "name", True, ("job",)),
        Column(
            "due on",
            "due_on",
            "The day it must be ready.",
            "2026-05-29",
            "date",
            blank="",
            aliases=("due", "due date"),
        ),
        Column(
            "open",
            "open",
            "Whether work is left; an empty cell is yes.",
            "yes",
            "yes/no",
            blank=True,
        ),
        Column("note", "note", "Anything worth knowing.", blank="", aliases=("notes", "remark")),
        Column("run order", "run_order", "Its place in a fixed order of jobs.", "", "count"),
        Column("closed on", "closed_on", "The day it was closed.", "", "date", blank=""),
        Column("site", "site_id", "Where it is made.", "North", "reference", of="sites"),
    ),
)

JOB_LINES = Table(
    "job_lines",
    "job_line",
    "The features of a job, and how many of each.",
    aliases=("job line", "parts"),
    columns=(
        Column("job", "job_id", "The job's name.", "24-118", "reference", needed=True, of="jobs"),
        Column(
            "mark",
            "mark",
            "The part's mark.",
            "B12",
            "name",
            blank="",
            aliases=("part", "piece mark"),
        ),
        Column(
            "phrase",
            "phrase",
            "The feature, written as a phrase.",
            "hole 13/16 thru 3/8 A36",
            needed=True,
            aliases=("feature", "ask"),
        ),
        Column(
            "quantity",
            "quantity",
            "How many; an empty cell is 1.",
            "48",
            "count",
            blank=1,
            aliases=("qty", "count"),
        ),
        Column(
            "per part",
            "per_part",
            "How many of them one part has; an empty cell is 1.",
            "4",
            "count",
            blank=1,
            aliases=("each",),
        ),
    ),
)

WANTS = Table(
    "wants",
    "want",
    "What was asked for and the crib could not serve.",
    key=("ask", "job"),
    aliases=("want",),
    columns=(
        Column("ask", "ask", "The feature.", "hole 1-1/16 thru 3/8 A36", needed=True),
        Column("job", "job", "The job it was for.", "24-118", "name", blank=""),
        Column(
            "quantity",
            "quantity",
            "How many; an empty cell is 1.",
            "20",
            "count",
            blank=1,
            aliases=("qty", "count"),
        ),
        Column(
            "times asked",
            "times_asked",
            "How often; an empty cell is 1.",
            "1",
            "count",
            blank=1,
        ),
        _BY,
        Column("first at", "first_at", "First asked; an empty cell is now.", "", "moment"),
        Column("last at", "last_at", "Last asked; an empty cell is now.", "", "moment"),
        Column("missing", "missing", "What was missing.", "", blank=""),
        Column("done instead", "done_instead", "What was done instead.", "drilled", blank=""),
        Column(
            "status",
            "status",
            "An empty cell is open.",
            "open",
            "choice",
            choices=words.WANT_STATES,
            blank="open",
        ),
        Column("struck by", "struck_by", "Who struck it out; empty for nobody.", "", blank=""),
        Column("struck at", "struck_at", "When it was struck out.", "", "moment", blank=""),
        Column("struck why", "struck_why", "Why it was struck out.", "", blank=""),
        Column("site", "site_id", "Where it was asked.", "North", "reference", of="sites"),
    ),
)

METHODS = Table(
    "methods",
    "hole_method",
    "How the holes of jobs are made, by which code.",
    key=("job", "ask", "code"),
    aliases=("method", "hole methods"),
    columns=(
        Column("job", "job", "The job.", "24-118", "name", needed=True),
        Column("ask", "ask", "The feature.", "bolt M20 per EN 1090-2 thru 12mm S355", needed=True),
        Column("code", "code", "The code that rules it.", "EN 1090-2", "name", needed=True),
        Column(
            "ruling",
            "ruling",
            "Whether the code lets it be punched full size.",
            "allowed",
            "choice",
            needed=True,
            choices=words.RULINGS,
            as_written=True,
        ),
        Column("chosen", "chosen", "How it is made.", "punch full size", blank=""),
        Column("text", "text", "Why.", "", blank=""),
        _BY,
        Column("first at", "first_at", "First asked; an empty cell is now.", "", "moment"),
        Column("last at", "last_at", "Last asked; an empty cell is now.", "", "moment"),
        Column("finished size", "finished_mm", "The size of the hole.", "22 mm", "length"),
        Column("punched size", "punched_mm", "The punch picked for it.", "22 mm", "length"),
        Column("tools", "tools", "The tags of what was picked.", "P-22 D-24", blank=""),
    ),
)

RULES = Table(
    "rules",
    "shop_rule",
    "The shop's own settings, each by its key.",
    key=("key",),
    aliases=("rule", "settings", "shop rules"),
    changeable=True,
    columns=(
        Column("key", "key", "Which setting.", "force.caution_load", "name", True, ("setting",)),
        Column("value", "value", "What it is set to, in the setting's unit.", "0.75", needed=True),
        Column("why", "why", "Why it was changed.", "old machine", blank="", aliases=("reason",)),
        _BY,
        Column("changed at", "changed_at", "When; an empty cell is now.", "", "moment"),
    ),
)

SITE_RULES = Table(
    "site_rules",
    "site_rule",
    "Settings that one site has otherwise than the company.",
    key=("site", "key"),
    aliases=("site rule",),
    changeable=True,
    columns=(
        Column("site", "site_id", "Which.", "North", "reference", needed=True, of="sites"),
        *RULES.columns,
    ),
)

ENTRIES = Table(
    "entries",
    "entry",
    "The ledger. It is taken in only as part of a full export, into an empty crib.",
    key=("number",),
    aliases=("entry", "ledger"),
    only_whole=True,
    columns=(
        Column("number", "id", "The entry's number.", "1", "count", needed=True),
        Column("act", "act", "Entries made together have the same.", "3f2a", needed=True),
        Column(
            "action",
            "action",
            "What was done.",
            "add",
            "choice",
            needed=True,
            choices=words.ACTIONS,
        ),
        Column("tag", "piece_id", "The piece.", "P-0137", "reference", of="pieces"),
        _WHO,
        Column("made at", "made_at", "When it was written.", "", "moment", needed=True),
        Column("shift on", "shift_on", "The day of the work.", "", "date", needed=True),
        Column("quantity", "quantity", "How many.", "", "count", blank=0),
        Column("weighted", "weighted_milli", "Weighted strokes.", "", "wear", blank=0),
        Column("strokes since grind", "strokes_edge", "For add.", "", "count", blank=0),
        Column("severity", "severity", "Weight of one stroke.", "", "number"),
        Column("estimate", "estimate", "Whether estimated.", "", "yes/no", blank=False),
        Column("material", "material", "The material worked.", "", blank=""),
        Column("thickness", "thickness_mm", "Its thickness.", "", "length"),
        Column("job", "job", "The job.", "", blank=""),
        Column("place", "place_id", "Where the piece went.", "", "reference", of="places"),
        Column("condition", "condition", "The piece's condition from then on.", ""),
        Column("length", "length_mm", "The piece's length from then on.", "", "length"),
        Column(
            "ground off", "ground_um", "What was ground off.", "", "microns", blank=0, zero=True
        ),
        Column("measured size", "measured_width_mm", "As measured.", "", "length"),
        Column("measured long", "measured_long_mm", "As measured.", "", "length"),
        Column("edge", "edge", "The edge in use from then on.", "", "count", most=4),
        Column("acknowledged", "acknowledged", "The level that was looked at.", "", "level"),
        Column(
            "found",
            "found",
            "How the edge was found; an empty cell is not said.",
            "",
            "choice",
            choices=words.FOUND,
            aliases=("found as", "edge found"),
        ),
        Column("note", "note", "Why, or anything worth knowing.", "", blank=""),
        Column("reverses", "reverses_id", "Number of the entry taken back.", "", "count"),
        Column("factors", "factors", "What the severity is made of, as JSON.", "", blank=""),
        Column("subject", "subject", "The key of what it is about.", "", blank=""),
    ),
)

SHEETS = Table(
    "sheets",
    "sheet",
    "Stroke sheets that were taken, so that none counts twice.",
    key=("digest",),
    aliases=("sheet", "stroke sheets"),
    only_whole=True,
    columns=(
        Column("digest", "digest", "The fingerprint of its content.", "", needed=True),
        Column("name", "name", "The file it came from.", "", blank=""),
        Column("lines", "lines", "How many lines it had.", "", "count", blank=0),
        Column("act", "act", "The act of its entries.", "", needed=True),
        _WHO,
        Column("made at", "made_at", "When it was taken.", "", "moment", needed=True),
    ),
)

KEYS = Table(
    "keys",
    "kept_key",
    "Keys that requests were made with, so that none is done twice.",
    key=("key",),
    aliases=("kept keys",),
    only_whole=True,
    columns=(
        Column("key", "key", "The key.", "", needed=True),
        Column("command", "command", "Of which sort the request was.", "", needed=True),
        Column("request", "request", "How it was said.", "", blank=""),
        Column("digest", "digest", "The fingerprint of the request.", "", needed=True),
        Column("act", "act", "The act of its entries.", "", blank=""),
        Column("answer", "answer", "What was answered, as JSON.", "", blank=""),
        _WHO,
        Column("made at", "made_at", "When it was done.", "", "moment", needed=True),
    ),
)

WORK = (JOBS, JOB_LINES, WANTS, METHODS, RULES, SITE_RULES)
LEDGER = (ENTRIES, SHEETS, KEYS)
