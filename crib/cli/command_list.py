"""Every command: where it lives and its one line of help.

The list is plain text so that ``crib --help`` answers without importing a single command.
A test holds it equal to the files in this folder.
"""

from __future__ import annotations

COMMANDS: dict[str, tuple[str, str]] = {
    "demo": ("demo", "Make a demo crib and take the main job through it."),
    "new": ("new", "Make an empty crib: its unit, currency and shop rules."),
    "find": ("find", "Which pieces, in which station; or what to order and do meanwhile."),
    "log": ("log", "Strokes after a shift: by tag, by prompts, or a whole sheet."),
    "sheet": ("sheet", "A stroke sheet on paper, typed back by its lines' codes."),
    "due": ("due", "What needs grinding, turning or replacing, now and soon."),
    "forecast": ("forecast", "When each piece is due and each kind runs out, as a calendar."),
    "grind": ("grind", "Record a sharpening, with the length after it."),
    "turn": ("turn", "Bring a blade's next edge into use."),
    "look": ("look", "Looked at, still sharp; or put off once with a reason."),
    "life": ("life", "How long an edge lasts, and the risk of the strokes to come."),
    "chart": ("chart", "What an edge did over its shifts, or how long a kind's edges last."),
    "broke": ("broke", "A piece chipped, snapped, cracked or got lost: lock it at once."),
    "buy": ("buy", "What to buy next, and why."),
    "wants": ("wants", "What was asked for and missed; strike out what was a slip."),
    "compare": ("compare", "Punch, drill, saw, cut thermally or farm out: what each way costs."),
    "order": ("order", "Order lines of crib buy; without a word show the open orders."),
    "receive": ("receive", "What an order brought: pieces with their tags, wholly or in part."),
    "stock": ("stock", "What is on the shelf, and where."),
    "show": ("show", "Everything about one piece."),
    "add": ("add", "Put a new piece in the crib."),
    "move": ("move", "Put pieces in a drawer, a station, or somebody's hands."),
    "send": ("send", "Send pieces to another site; without a word, what is on the way."),
    "arrive": ("arrive", "Pieces that another site sent are here."),
    "count": ("count", "Count a drawer and settle the differences."),
    "measure": ("measure", "Enter a measured size or length of a piece."),
    "retire": ("retire", "Take a piece out of use, with the reason."),
    "history": ("history", "Who did what, and when."),
    "holes": ("holes", "How the holes of a job are made, and by which code."),
    "undo": ("undo", "Take an entry back by a counter-entry."),
    "rules": ("rules", "The shop's settings, and how to change one."),
    "grades": ("grades", "The materials that phrases may name, and adding one of your own."),
    "person": ("person", "Who comes to the window; a name makes one more known."),
    "machine": ("machine", "The machines and their stations; a name makes one more known."),
    "site": ("site", "The company's sites, and the days from one to another."),
    "supplier": ("supplier", "Where suppliers are written to; a name makes one more known."),
    "import": ("import_", "Take in tables, CSV or XLSX, or a shop's own list of tools."),
    "export": ("export", "Write every table out as CSV or XLSX."),
    "check": ("check", "Is everything in the crib sound?"),
    "backup": ("backup", "A safe copy of the crib, verified."),
    "restore": ("restore", "Bring a safe copy back."),
    "rehouse": ("rehouse", "Move the whole crib to a server, or back to a file."),
    "plan": ("plan", "Get a job or a shift ready: pieces, order, changes, wear."),
    "jobs": ("jobs", "The open jobs and how far they are; close one that is done."),
    "kit": ("kit", "A job's kit: promise it, hand it out, take it back; who has what."),
    "wrap": ("wrap", "The wrap-around template of a saddle, at full size, as a PDF."),
    "labels": ("labels", "Labels for tools and drawers, as a PDF for sheets of labels."),
    "serve": ("serve", "The page at the window, for phones, tablets and the shop's PC."),
    "read": ("read", "Read part files: which holes, slots and notches, how many."),
    "cautions": ("cautions", "The cautions, work by work."),
}

GROUPS: dict[str, str] = {
    "At the window": "find log broke show stock move send arrive count undo history cautions serve",
    "At the grinder": "due grind turn look measure life chart forecast",
    "Getting a job ready": "read plan jobs kit sheet wrap labels holes",
    "Buying": "buy wants compare order receive",
    "Keeping the crib": "demo new site person machine supplier add retire import export rules"
    " grades check backup restore rehouse",
}
"""The commands by the person who needs them, in the order in which help lists them."""

WRITES = (
    frozenset(
        "find log sheet grind turn look life broke order receive add move send arrive count measure"
        " retire undo rules grades person machine supplier import plan jobs".split()
    )
    | {"kit hold", "kit out", "kit back", "kit release", "kit lend"}
    | {
        *("site add", "site rename", "site days"),
        *("wants strike", "wants merge", "wants reopen"),
    }
)
"""The commands and sub-commands that write in the crib: each takes a key, so that it can be sent
again after a lost answer."""

OF_NO_SITE = frozenset(
    {"site add", "site rename", "site days", "person", "machine", "supplier", "import"}
    | {"send", "jobs", "undo", "rules", "grades", "wants strike", "wants merge", "wants reopen"}
)
"""Those that write what belongs to no site, or look themselves whether they were told one."""
