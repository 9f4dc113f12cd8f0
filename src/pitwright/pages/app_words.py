"""Words of a survey file as the app says them: what stands under a key there is a field here."""

from __future__ import annotations

__all__ = ["FILE_WORDS", "in_app"]

FILE_WORDS: dict[str, str] = {
    "[box] soil says how far the soil is dug away": (
        "if the hole is wider than the box, say how far the soil is dug away"
    ),
    "measure the box: [box] with mouth, grade and floor": (
        "measure the box: its walls, the ground and the gravel"
    ),
    "measure at least two stubs, each under [stub.name]": "measure at least two stubs",
    "say which stubs a zone joins, under [zone.name]": "say which stubs a zone joins",
    'write it as ["12", "18 down"]: ': "write it as 12; 18 down: ",
    'write it as { left = "-4", right = "12", upstream = "-3", downstream = "14" }': (
        "measure to all four walls"
    ),
    'write it as ["hedge", "beds"]': "write the names with commas between them",
    'write it as ["4 1/2", "13", "-2 1/4"]': "give three lengths: right, downstream, up",
    "must be the name of a pipe in quotes": "must be the name of a pipe",
    'name it ("1 in schedule 40 PVC"), or write "unknown" and what was measured': (
        "choose it from the list, or take unknown and give what was measured"
    ),
    'calliper, across or around, as in { around = "2.75" }': (
        "outside measured: around 2 3/4, across 7/8 or calliper 1.315"
    ),
    'give thick, or say shape = "box"': "give its thickness, or say that its shape is a box",
    "swap tip and through, or turn faces round": (
        "swap the two points, or turn round which way it looks"
    ),
    "leave out join: a new valve joins both stubs; or leave out valve": (
        "a new valve joins both stubs: say no to joining without one, or take no valve"
    ),
    ' says side = "inlet"': " is an inlet",
    ' says side = "outlet"': " is an outlet",
    "under [points]": "of this pit",
    "say blocks = true under [preferences]": "say under What you prefer that bends will be blocked",
    "say held = true there": "say at that stub that its bends are tied or blocked",
    "say most_bends = 4 under [preferences]": "ask for four bends under What you prefer",
    'say end = "male thread" there': "say at that stub that its end is a male thread",
    'say behind = "tee"': "say at that stub what sits behind its first straight",
    "write its next straight under bare": "add its next straight to the bare pipe behind it",
    'measure it and ask "pitwright identify"': (
        "measure it, and give what was measured at that stub"
    ),
    "or ask pitwright identify": "or take it as unknown",
    "put a part that joins it on your own shelf file": "a fitting that joins it is not known here",
    "a second point on the pipe (through), ": "a second point on the same pipe, ",
    " from socket bottom to socket bottom (made_up)": " from socket bottom to socket bottom",
    "faces and through disagree by": "the way it looks and its second point disagree by",
    ", see --json": "",
    "write it under [header], with its feed and its zones": (
        "enter it as a header to rebuild, with its feed and its zones"
    ),
    'write it as [existing.NAME] with kind = "valve" and its zone': (
        "the old valve is told in a survey file, which Measure can read"
    ),
    'write its sizes under [valve.NAME], and shut_off = "NAME" at the zone': (
        "enter it as a valve, and name it at the zone as its shut-off"
    ),
    " (union_ends = true)": " (say so at the valve)",
    " (swing_bare)": "",
    ", and say so under in_hand": ", and tell of it in a survey file",
}
"""What a file's reader is told, and what stands for it on a page that has a field instead."""


def in_app(text: str) -> str:
    """A sentence as a page has it: fields for keys. Source: the forms of the app."""
    for said, here in FILE_WORDS.items():
        if said in text:
            text = text.replace(said, here)
    return text
