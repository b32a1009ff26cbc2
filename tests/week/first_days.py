"""Monday to Wednesday: a job is planned, its punch breaks in the middle, a count is mistyped."""

from __future__ import annotations

import re

from tests.week.the_week import Count, Week

SHEAR, NOTCH = "Ironworker / flat shear", "Ironworker / notch"


def monday(week: Week) -> None:
    """The job is planned, its kit handed out, and the first strokes are typed at the prompts."""
    week.now("2026-03-02 07:00")
    week.write(
        "frame.csv",
        "mark,phrase,quantity,each",
        "B1,hole 13/16 thru 3/8 A36,60,4",
        "B2,hole 9/16 thru 1/4 A36,40,6",
        "B3,hole 1-1/16 thru 1/2 A36,24,2",
        "B4,cut flat 4 x 3/8 A36,60,1",
        "B5,notch 2 x 3 thru 1/4 A36,12,1",
    )
    week.do("plan frame.csv --job J-1 --due 2026-03-06 --keep --by keeper")
    # The copy that has done most goes first, and comes with the die that has done as much.
    assert runs(week, "J-1") == [
        ("B1", ["P-0127", "D-0127"], 240, 0),  # 60 parts x 4 holes
        ("B2", ["P-0115", "D-0115"], 240, 0),  # 40 parts x 6 holes
        ("B3", ["P-0139", "D-0142"], 48, 0),  # 24 parts x 2 holes; the wider die for 1/2 in
        ("B4", ["B-0302", "B-0301"], 60, 0),  # a cut each
        ("B5", ["T-0401"], 12, 0),  # a notch each
    ]
    week.do("kit hold J-1 --by keeper")
    week.do("kit out J-1 --to 'bench 2' --by keeper")

    week.now("2026-03-02 15:00")
    # The big holes as planned, 25 of the 60 cuts; the notches and the small holes are for tomorrow.
    week.answer_prompts("log --by 'bench 2'", "", "25", "-", "-", "-", "y")
    week.at_night(
        {
            "P-0139": Count(1048, 1048, "bench 2"),  # 1,000 before the week + 24 parts x 2 holes
            "D-0142": Count(1048, 1048, "bench 2"),  # the same holes
            "B-0301": Count(25, 25, SHEAR),  # 0 + 25 cuts
            "B-0302": Count(25, 25, SHEAR),  # a cut wears both blades
            "P-0127": Count(1000, 1000, "bench 2"),  # handed out, not used yet
            "D-0127": Count(1000, 1000, "bench 2"),
            "P-0115": Count(1000, 1000, "bench 2"),
            "D-0115": Count(1000, 1000, "bench 2"),
            "T-0401": Count(0, 0, NOTCH),
        }
    )


def tuesday(week: Week) -> None:
    """A punch snaps in the middle; only its run is planned again; the rest comes on the sheet."""
    week.now("2026-03-03 09:00")
    # 30 parts x 4 holes, and two holes of the next part: 122.
    week.do("log P-0127 122 thru 3/8 A36 with D-0127 job J-1 --by 'bench 2'")
    said = week.do("broke P-0127 snapped thru 3/8 A36 --by 'bench 2'").out
    # The die of its kit is in the same hands: nobody uses it on before it was looked over.
    assert "D-0127 stood with it: inspect it" in said
    week.do("look D-0127 --inspected --by keeper")
    week.do("plan --job J-1 --keep --by keeper")
    assert runs(week, "J-1") == [
        ("B1", ["P-0127", "D-0127"], 122, 122),  # what was made stays as it was
        ("B1", ["P-0126", "D-0127"], 118, 0),  # 240 - 122; the die at the bench is used on
        ("B2", ["P-0115", "D-0115"], 240, 0),
        ("B3", ["P-0139", "D-0142"], 48, 48),
        ("B4", ["B-0302", "B-0301"], 60, 25),
        ("B5", ["T-0401"], 12, 0),
    ]
    kit = week.do("kit out J-1 --to 'bench 2' --by keeper").out
    assert "In the way" not in kit  # other copies are there, and no run waits for the broken one
    assert "No run takes it now:\n  P-0127 is broken\n" in kit

    week.now("2026-03-03 22:00")
    sheet = week.do("sheet strokes.pdf --by keeper --json").json["lines"]
    code = {one["tag"]: one["code"] for one in sheet if one["job"] == "J-1"}
    assert set(code) == {"B-0302", "T-0401", "P-0126", "P-0115"}  # not the big holes: they are done
    # The rest of the 13/16 holes, every notch, and 20 of the 40 parts x 6 small holes.
    written = f"{code['P-0126']} 118 {code['T-0401']} 12 {code['P-0115']} 120"
    week.do(f"log {written} --by nights")
    assert "typed already" in week.asked_back(f"log {written} --by keeper")
    week.at_night(
        {
            "P-0127": Count(1122, 1122, "bench 2", "broken"),  # 1,000 + 122
            "P-0126": Count(518, 518, "bench 2"),  # 400 + 118
            "D-0127": Count(1240, 1240, "bench 2"),  # 1,000 + 122 + 118: it stood under both
            "T-0401": Count(12, 12, NOTCH),  # 12 parts x 1 notch
            "P-0115": Count(1120, 1120, "bench 2"),  # 1,000 + 20 parts x 6 holes
            "D-0115": Count(1120, 1120, "bench 2"),
        }
    )


def wednesday(week: Week) -> None:
    """A count is mistyped and mended; the night's strokes find their job afterwards."""
    week.now("2026-03-04 08:00")
    # What is left of each run is offered: 35 cuts, made later, and 120 holes, typed as 210; the
    # notch stands mounted with nothing left to do, and Enter passes it over.
    asked = week.answer_prompts("log --by 'bench 2'", "-", "", "210", "y").err
    assert re.findall(r"strokes \[(\d+)\]", asked) == ["35", "120"]
    (wrong,) = week.do("history P-0115 --most 1 --json").json["lines"]
    half = week.do(f"undo {wrong['entry']} --why misread --by 'bench 2'").out
    (other,) = week.do("history D-0115 --most 1 --json").json["lines"]
    assert f"take it back too: crib undo {other['entry']} --why TEXT" in half
    week.do(f"undo {other['entry']} --why misread --by 'bench 2'")
    week.do("log P-0115 120 thru 1/4 A36 with D-0115 job J-1 --by 'bench 2'")
    # One blade is named, and both have cut.
    week.do("log B-0301 35 thru 3/8 A36 job J-1 --by 'bench 2'")
    assert [(planned, made) for *_, planned, made in runs(week, "J-1")] == [
        *((122, 122), (118, 118), (240, 240), (48, 48), (60, 60), (12, 12)),
    ]

    week.now("2026-03-04 14:00")
    week.write(
        "rails.csv",
        "mark,phrase,quantity,each",
        "C1,hole 5/8 thru 5/16 A36,25,2",
        "C2,hole 3/8 thru 1/4 A36,25,4",
    )
    week.do("plan rails.csv --job J-2 --due 2026-03-09 --keep --by keeper")
    week.do("kit out J-2 --to nights --by keeper")
    week.now("2026-03-04 22:00")
    asked = week.asked_back("log P-0118 50 thru 5/16 A36 with D-0118 --by nights")
    assert "only job J-2 needs P-0118" in asked
    # A sheet from the bay, on which nobody wrote the job, is counted, and offered to it.
    week.write("nights.csv", "tag,count,thru,material,with", "P-0118,50,5/16,A36,D-0118")
    assert "`crib jobs J-2 --claim`" in week.do("log nights.csv --by nights").out
    assert [made for *_, made in runs(week, "J-2")] == [0, 0]
    week.do("jobs J-2 --claim --by keeper")
    assert runs(week, "J-2") == [
        ("C1", ["P-0118", "D-0118"], 50, 50),  # 25 parts x 2 holes
        ("C2", ["P-0106", "D-0106"], 100, 0),  # 25 parts x 4 holes
    ]
    week.at_night(
        {
            "P-0115": Count(1240, 1240, "bench 2"),  # 1,120 + 210 - 210 + 20 parts x 6 holes
            "D-0115": Count(1240, 1240, "bench 2"),
            "B-0301": Count(60, 60, SHEAR),  # 25 + 35 cuts
            "B-0302": Count(60, 60, SHEAR),
            "P-0118": Count(1050, 1050, "nights"),  # 1,000 + 25 parts x 2 holes, claimed or not
            "D-0118": Count(1050, 1050, "nights"),
            "P-0106": Count(1000, 1000, "nights"),  # handed out, not used yet
            "D-0106": Count(1000, 1000, "nights"),
        }
    )


def runs(week: Week, job: str) -> list[tuple[str, list[str], int, int]]:
    """Mark, pieces, planned and logged strokes of each run of a job."""
    found = week.do(f"jobs {job} --json").json
    return [
        (
            one["mark"],
            [tag for tag in (one["tag"], one["with_tag"], *one["beside"]) if tag],
            one["strokes"],
            one["logged"],
        )
        for one in found["runs"]
    ]
