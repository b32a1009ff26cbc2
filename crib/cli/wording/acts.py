"""How an act is typed to the shell: each by its name, with its figures.

In a spelling ``{tag}`` stands for a figure, each word of it for itself with ``{phrase*}``, and
``{why:TEXT}`` for one that is shown as TEXT while it is to be filled in. What stands in ``[ ]`` is
left out unless one of its figures is named; one that is only true or not adds nothing to it.
"""

from __future__ import annotations

import re
import shlex
from typing import get_args

from crib.acts import Act, Doubt, Figure

SPELLINGS: dict[str, str] = {
    "add": "crib add",
    "broke": "crib broke {tag} [{happened*}]",
    "buy": "crib buy [--budget {budget}]",
    "chart.life": "crib chart {name} --life",
    "demo": "crib demo",
    "demo.anew": "crib demo --overwrite",
    "due": "crib due",
    "find": "crib find [{phrase*}] [--for {quantity}] [--per-part {per_part}] [--job {job}]"
    " [--finish{finish}] [--rough{rough}] [--dry{dry}] [--code {code}] [--exc {exc}]"
    " [--dynamic{dynamic}] [--cert-yield {cert_yield_mpa}MPa]"
    " [--cert-tensile {cert_tensile_mpa}MPa]",
    "forecast": "crib forecast --ics {ics}",
    "grind": "crib grind {tag} ...",
    "grind.found": "crib grind {tag} --found {found}",
    "grind.length": "crib grind {tag} --length {length:...}",
    "grind.off": "crib grind {tag} --off {off:...}",
    "history": "crib history [{tag}]",
    "check.mend": "crib check --mend",
    "count.found": "crib count {place} --there {found:TAGS} --settle [--why {why:TEXT}]",
    "import": "crib import {file}",
    "import.change": "crib import {file} --update",
    "import.dry-run": "crib import {file} --dry-run",
    "import.template": "crib import --template {folder}",
    "jobs": "crib jobs",
    "jobs.claim": "crib jobs {job} --claim",
    "kit": "crib kit [show {job:JOB}]",
    "kit.back": "crib kit back {job:...} [{counts}]",
    "kit.hold": "crib kit hold {job}",
    "kit.lend": "crib kit lend {tags} --to {to:NAME}",
    "kit.release": "crib kit release {job:...}",
    "labels": "crib labels {file} {tags}",
    "log": "crib log [{words*}] [--by {by}]",
    "look.inspected": "crib look {tag} --inspected [--why {why:TEXT}]",
    "look.inspected-by": "crib look {tag} --inspected --by {by:NAME}",
    "look.sharp": "crib look {tag} --sharp",
    "measure": "crib measure [{tag}]",
    "measure.length": "crib measure {tag} --length {length:...}",
    "move": "crib move [{tags} --to {to:DRAWER}]",
    "move.new-drawer": "crib move ... --new-drawer",
    "new": "crib new [--unit {unit}]",
    "order": "crib order [{order}]",
    "order.cancel": "crib order {order} --cancel [--why {why:TEXT}]",
    "order.lines": "crib order {lines:LINE...}",
    "serve.devices": "crib serve --devices",
    "serve.revoke": "crib serve --revoke {device}",
    "person": "crib person {person:NAME}",
    "person.site": "crib person {person:NAME} --site {site:NAME} --update",
    "plan": "crib plan",
    "plan.files": "crib plan {files:FILE} [--job {job:NAME}]",
    "plan.keep": "crib plan --job {job:NAME} --keep",
    "receive": "crib receive {order}",
    "receive.back": "crib receive --back {tag} [--why {why:TEXT}]",
    "rehouse.take-back": "crib rehouse --take-back",
    "restore": "crib restore {backup}",
    "retire": "crib retire [{tag}] [--why {why:TEXT}]",
    "rules": "crib rules",
    "rules.change": "crib rules {key} {value} --by NAME [--why {why:TEXT}]",
    "sheet": "crib sheet {file}",
    "arrive": "crib arrive {tags}",
    "send": "crib send {tags} --to {to:SITE} [--site {site}]",
    "send.list": "crib send",
    "site.add": "crib site add {site:NAME}",
    "stock": "crib stock [{words*}]",
    "turn": "crib turn {tag}",
    "undo": "crib undo",
    "undo.entries": "crib undo {entries*} [--why {why:TEXT}]",
    "undo.act": "crib undo --act {act} [--why {why:TEXT}]",
    "wants": "crib wants",
    "wants.all": "crib wants --all",
    "wants.reopen": "crib wants reopen {wants:NUMBER}",
    "wants.strike": "crib wants strike {wants:NUMBER} [--why {why:TEXT}]",
    "wrap": "crib wrap {phrase*} {file}",
    "say.all": "--all",
    "say.assume": "--assume",
    "say.dates": "--dates {dates}",
    "say.code": "--code {code:NAME}",
    "say.by": "--by NAME",
    "say.cert-tensile": "--cert-tensile {stress}",
    "say.crib": "--crib {crib:FILE}",
    "say.draw": "--draw {file}",
    "say.drawer": "--to {drawer}",
    "say.drawers": "--drawers",
    "say.edge": "--edge",
    "say.found": "--found {found}",
    "say.job": "--job {job:NAME}",
    "say.seconds": "--seconds {seconds:N}",
    "say.key": "--key-angles {key}",
    "say.kind-text": "--kind TEXT",
    "say.label-drawer": "--drawer NAME",
    "say.kind": "--kind {kind:NAME}",
    "say.length": "--length [{length}]",
    "say.long": "--long",
    "say.machine": "--machine {machine:NAME}",
    "say.material": "--material [{material}]",
    "say.more": "--more {more}",
    "say.no-drawer": "--to",
    "say.no-draw": "--draw",
    "say.new-drawer": "--new-drawer",
    "say.new-place": "--new-place",
    "say.new-kind": "--role {role} --shape {shape} --size {size} --seat {seat}",
    "say.not-made": "--not-made",
    "say.off": "--off {off}",
    "say.on": "--on",
    "say.place": "--place NAME",
    "say.price": "--price",
    "say.quote": "--quote",
    "say.quantity": "--quantity [{quantity}]",
    "say.receiver": "--to {to:NAME}",
    "say.same-part": "--same-part {same_part}",
    "say.seats": "--seat {group_is}",
    "say.sheet": "--on",
    "say.since-grind": "--since-grind",
    "say.site": "--site {site:NAME}",
    "say.size": "--size",
    "say.sizes-of-kind": "--role ... --shape ... --size ...",
    "say.slot-centre": "--slot-centre {slot_centre}",
    "say.strokes": "--strokes",
    "say.supplier": "--from NAME",
    "say.columns": "--columns '{heading}={column}'",
    "say.take": "--take {take}",
    "say.thickness": "--thickness {thickness}",
    "say.update": "--update",
    "say.unit": "--unit {unit}",
    "say.weeks": "--weeks {weeks}",
    "say.note": "--note {note:TEXT}",
    "say.why": "--why",
    "confirm.before-it-came": "--before-it-came",
    "confirm.damage-not-gone": "--damage-gone",
    "confirm.files-not-read": "--leave",
    "confirm.goes-on-elsewhere": "--yes",
    "confirm.lengths-disagree": "--both-right",
    "confirm.lines-left": "--leave",
    "confirm.many-strokes": "--sure",
    "confirm.much-ground-off": "--much-off",
    "confirm.no-job": "--no-job",
    "confirm.odd-size": "--sure",
    "confirm.on-order": "--more",
    "confirm.overwrite": "--overwrite",
    "confirm.replace-crib": "--yes",
    "confirm.station-taken": "--swap",
    "confirm.strokes-of-earlier-plan": "--count-earlier",
    "confirm.too-short": "--too-short",
    "confirm.typed-already": "--again",
    "confirm.whole-act": "--yes",
}

_OPTIONAL = re.compile(r"\[([^\[\]]*)\]")
_FIELD = re.compile(r"\{(\w+)(\*?)(?::([^}]*))?\}")


def spelled(act: Act) -> str:
    """What is typed to do an act; figures that are not given stand as placeholders."""
    given = dict(act.figures)

    def kept(group: re.Match[str]) -> str:
        return group[1] if any(field[1] in given for field in _FIELD.finditer(group[1])) else ""

    def filled(field: re.Match[str]) -> str:
        figure = given.get(field[1])
        return field[3] or field[1].upper() if figure is None else _typed(figure, bool(field[2]))

    template = " ".join(_OPTIONAL.sub(kept, SPELLINGS[act.name]).split())
    return _FIELD.sub(filled, template)


def fields_of(name: str) -> set[str]:
    """The figures that the spelling of an act has room for."""
    return {field[1] for field in _FIELD.finditer(SPELLINGS[name])}


def confirmed(**flags: bool) -> frozenset[Doubt]:
    """The doubts that the flags of a command say yes to, such as ``sure=True``."""
    said = {f"--{flag.replace('_', '-')}" for flag, is_given in flags.items() if is_given}
    doubts: tuple[Doubt, ...] = get_args(Doubt)
    return frozenset(doubt for doubt in doubts if SPELLINGS[f"confirm.{doubt}"] in said)


def marked(act: Act) -> str:
    """An act within a sentence: a command in back-ticks, an option as it is typed."""
    text = spelled(act)
    return f"`{text}`" if text.startswith("crib ") else text


def _typed(figure: Figure, each_word: bool) -> str:
    if figure is True:
        return ""
    if isinstance(figure, tuple):
        return shlex.join(figure)
    text = f"{figure:g}" if isinstance(figure, float) else str(figure)
    return shlex.join(text.split()) if each_word else shlex.quote(text)
