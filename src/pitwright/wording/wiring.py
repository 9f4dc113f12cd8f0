"""Words for wiring: faults, places, tests, findings, and the whole answer as text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pitwright.findings import Finding, Refusal
from pitwright.inference.choice import Worth
from pitwright.survey.harness import CONTROLLER, Harness
from pitwright.units.kinds import FOOT, INCH
from pitwright.wiring.answer import Answer, PlaceChance
from pitwright.wiring.faults import Fault, Place
from pitwright.wiring.measuring import EARTH, MeterTest, Reading
from pitwright.wiring.rewiring import Rewiring
from pitwright.wiring.under_load import runs_short, station_volts

__all__ = [
    "CAUTIONS",
    "answer_text",
    "cautions_of",
    "doubt_words",
    "fault_words",
    "finding_words",
    "go_words",
    "percent_short",
    "percent_words",
    "place_words",
    "reading_words",
    "refusal_words",
    "rewiring_summary",
    "rewiring_text",
    "summary_words",
    "test_words",
]

CAUTIONS: dict[str, str] = {
    "power": "Switch the controller off and lift every field wire before an ohms, insulation or "
    "capacitance test; mark each wire first.",
    "insulation": "An insulation test sends 500 V along the wires: hands out of every box, nobody "
    "at another box, no open solvent or cement, controller and sensors lifted; afterwards "
    "discharge the wires to earth.",
    "mains": "The transformer's primary is mains: leave it to an electrician.",
    "battery": "Fuse the battery test at 1 A and put a lamp or 10 ohm in series; never with the "
    "controller connected.",
    "dig": "Before any digging have buried services located; dig by hand near wires.",
    "law": "Local codes, the makers' sheets and licensed trades come first.",
}

_SHOWN = 6


def length_words(metres: float) -> str:
    """A route length for people: feet, and metres beside. Source: 1 ft = 0.3048 m."""
    return f"{metres / FOOT:.0f} ft ({metres:.0f} m)"


def stretch_words(harness: Harness, segment: str) -> str:
    """A segment by its two ends."""
    after = harness.box(segment).after
    return f"between {'the controller' if after == CONTROLLER else after} and {segment}"


def place_words(harness: Harness, place: Place) -> str:
    """Where to go."""
    if place.kind == "none":
        return "no electrical fault"
    if place.kind == "sensor":
        return "the sensor's contacts at the controller"
    if place.kind == "terminals":
        return f"terminals {place.on} and {place.other} at the controller"
    if place.kind == "valve":
        return f"valve end of {place.on}, in {harness.station(place.on).box}"
    stretch = stretch_words(harness, place.segment)
    if place.kind == "between":
        return f"{place.on} and {place.other} {stretch}"
    return f"wire {place.on} {stretch}"


def fault_words(harness: Harness, fault: Fault) -> str:
    """What may be wrong."""
    on, other = fault.on, fault.other
    if fault.part == "sensor":
        return "the sensor holds the common open"
    stretch = stretch_words(harness, fault.segment) if fault.segment else ""
    splice = {
        "hot": f"splice of wire {on} at its coil",
        "return": f"splice of {on}'s coil to its common",
    }
    where = splice.get(fault.part, f"wire {on} {stretch}")
    return {
        "none": "nothing electrical",
        "open": f"coil {on} open" if fault.part == "coil" else f"{where} open",
        "series": f"{where} has high ohms",
        "part-short": f"coil {on} part-shorted",
        "leak": f"leak or short between {on} and {other} {stretch}",
        "earth": f"wire {on} leaks to earth {stretch}",
        "swap": f"wires {on} and {other} changed over at the controller",
        "double": f"coil {on} joined to wire {other}",
        "wrong-common": f"coil {on} returned to common {other}",
    }[fault.kind]


def test_words(harness: Harness, test: MeterTest) -> str:
    """What to do, in one line."""
    a, b = test.a, test.b
    stations = {s.id: s for s in harness.stations}
    common = stations[a].common if a in stations else a
    box = stations[a].box if a in stations else ""
    if test.kind == "ohms":
        return f"{a} to {b or common}: ohms at the controller, field wires lifted"
    if test.kind == "transfer":
        c, d = ("earth rod" if n == EARTH else n for n in test.sense)
        return (
            f"drive {a} {b} sense {test.sense[0]} {test.sense[1]}: battery and lamp from {a} to "
            f"{b}, millivolts from {c} to {d}, divided by the amps (ohms)"
        )
    if test.kind == "insulation":
        parted = f", its coil parted in {box}" if a in stations else ""
        return f"{a} to earth: insulation tester at the controller{parted}"
    return {
        "capacitance": f"{a} capacitance: wire {a} to {common}, field wires lifted",
        "volts": f"{a} on: volts between {a} and {common} at the controller",
        "amps": f"{a} on: amps of station {a}",
        "moves": f"{a} on: walk and see which valves run",
        "volts-coil": f"{a} at valve: volts at the coil in {box}, station on, coil connected",
        "volts-wires": f"{a} at valve: volts at the two wires in {box}, station on, coil parted "
        "(no load)",
        "volts-box": f"{a} at {test.box}: volts between wire {a} and {common} there, station on",
        "coil": f"coil {a}: ohms of the coil alone in {box}",
        "parted": f"{a} parted: coil parted in {box}, ohms of {a} to {common} at the controller",
        "joined": f"{a} joined: the pair joined at the valve in {box}, ohms of {a} to {common} at "
        "the controller",
    }[test.kind]


def value_words(reading: Reading) -> str:
    """What the meter showed, with its unit and, when it was given, the range. SI to trade units."""
    value = reading.value
    if isinstance(value, frozenset):
        return "runs " + (", ".join(sorted(value)) or "none")
    if isinstance(value, str):
        over = f" (over {reading.limit:g} ohm)" if reading.limit and value == "OL" else ""
        return f"{'no reading' if value == 'INVALID' else value}{over}"
    if reading.test.kind == "capacitance":
        return f"{value * 1e9:.4g} nF"
    unit = "A" if reading.test.kind == "amps" else "V"
    if not reading.test.kind.startswith("volts") and reading.test.kind != "amps":
        unit = "ohm"
        if abs(value) >= 1e6:
            value, unit = value / 1e6, "Mohm"
        elif abs(value) >= 1e4:
            value, unit = value / 1e3, "kohm"
    digit = f" +- {reading.fixed:g}" if reading.fixed else ""
    return f"{value:.4g} {unit}{digit}"


def reading_words(harness: Harness, reading: Reading) -> tuple[str, str]:
    """A reading as it was understood: the test, and what it showed."""
    return test_words(harness, reading.test), value_words(reading)


def cautions_of(tests: Sequence[MeterTest], battery: bool = False) -> tuple[str, ...]:
    """Codes of the cautions that go with some tests, the common ones first.

    ``battery``: a current was, or is to be, driven along the wires anyhow.
    """
    kinds = {t.kind for t in tests}
    found = ["power"]
    if "insulation" in kinds:
        found.append("insulation")
    if battery or "transfer" in kinds:
        found.append("battery")
    return (*found, "mains", "dig", "law")


def summary_words(harness: Harness, got: Answer) -> str:
    """The answer in one line: what to do and where."""
    if got.refusal is not None:
        return "this kind of control is refused"
    lead = got.places[0]
    step = {"dig": "go there", "test": "test on", "stop": "no test tells more"}[got.step]
    place = f"{percent_words(lead.chance)} {place_words(harness, lead.place)}"
    count = len(got.readings)
    return f"{place}, {step}, {count} reading{'s' * (count != 1)}"


def refusal_words(refusal: Refusal) -> str:
    """Why wiring cannot be judged, and what to do instead."""
    short = refusal.because[0]
    why = {
        "control.latching": "latching coils (battery or pulse control) are not judged here: a few "
        "ohms is what a sound one reads, not a short",
        "control.decoder": "decoders on a two-wire path are not judged here: ohms at the "
        "controller say nothing about one valve",
        "control.hydraulic": "hydraulic tubes carry water, not current: a meter says nothing",
        "control.coil-ohms": f"coils of {short.have:g} ohm are no 24 V AC coils",
        "control.all-low": f"every coil read so far is under {short.need:g} ohm: these look like "
        "latching coils, sound ones, not shorted",
    }[short.code]
    lift = {
        "pulse-test": "send each coil a pulse from a fresh battery pack and listen for the click "
        "both ways; compare its ohms with its sheet",
        "two-wire-test": "use the controller's own line test; measure the line's volts and amps at "
        "each branch and split the path in halves",
        "tube-test": "look for water at each tube's end while its station is on; blow it clear",
        "read-the-coils-label": "read the coil's label or sheet; if they are 24 V AC coils, "
        'write control = "24 V AC" and the coil\'s ohms in the file',
    }[short.lift]
    return f"{why}. Instead: {lift}."


def finding_words(found: Finding) -> str:
    """A wiring finding as a sentence."""
    n, s = dict(found.numbers), dict(found.names)
    say: dict[str, Callable[[], str]] = {
        "wiring.varies": lambda: (
            f"{s['test']} gave different readings: take it again both ways "
            "round; a wet fault drifts and changes with polarity"
        ),
        "wiring.nothing-fits": lambda: (
            "no single fault and no pair explains all readings: echo the "
            "table, check ranges and which wires were lifted"
        ),
        "rewiring.no-connector": lambda: (
            f"no connector on the list takes {s['splice']} at once: "
            "make it in steps with a jumper, or add yours to the list"
        ),
        "rewiring.spare": lambda: (
            f"spare wire {s['wire']}"
            f"{' (' + s['colour'] + ')' if s['colour'] else ''} lies as far as {s['to']}: seal "
            "its end and label it; it can stand in for a bad wire, or carry a distance test"
        ),
        "rewiring.colour-changes": lambda: (
            f"{s['wire']} is {s['before']} before this box and "
            f"{s['now']} after it: a splice lies between; find it, it may be the fault"
        ),
        "rewiring.shallow": lambda: (
            f"the wire lies {n['depth'] / INCH:.0f} in deep: a spade reaches "
            "it; suspect old cuts along the route and lay it deeper where open"
        ),
        "rewiring.no-slack": lambda: (
            f"only {n['slack'] / INCH:.0f} in of slack: leave "
            f"{n['least'] / INCH:.0f} in coiled at each valve, or splice in a tail"
        ),
        "rewiring.no-room": lambda: (
            f"only {n['room'] / INCH:.0f} in between gravel and lid: splices "
            "would lie wet; take gravel out first"
        ),
        "rewiring.odd": lambda: (
            f"odd: {s['seen']}; it may feed another valve, a lost box, a sensor "
            "or a repair: trace it before anything is cut"
        ),
    }
    return say[found.code]()


def percent_words(p: float) -> str:
    """A chance as people read it; never nothing at all, never quite all. [-]"""
    return "under 1 %" if p < 0.01 else "over 99 %" if p > 0.99 else f"{100 * p:.0f} %"


def percent_short(p: float) -> str:
    """The same where there is little room. [-]"""
    return percent_words(p).replace("under ", "<").replace("over ", ">")


def go_words(harness: Harness, got: Answer) -> list[str]:
    """What to do with the answer besides testing on; nothing while a test comes next."""
    if got.step == "dig":
        told = [f"Go there and mend: {place_words(harness, got.places[0].place)}."]
        if got.by_experience:
            told.append("This was decided by experience, not by your readings alone.")
        if got.look is not None:
            told.append(f"Look before you cut: {test_words(harness, got.look)}")
        return told
    if got.step == "stop" and got.doubt is None:
        return ["No test left here tells enough more: mend the likeliest place, then test again."]
    return []


def doubt_words(got: Answer) -> str:
    """Which reading disagrees with the rest; empty where none does."""
    if got.doubt is None:
        return ""
    return f"Take reading {got.doubt.number + 1} again first: it contradicts the others."


def _place_line(harness: Harness, one: PlaceChance, clues: bool) -> str:
    line = f"{percent_words(one.chance):>9}  {place_words(harness, one.place)}"
    if clues:
        line += f"  [{percent_words(one.without_clues)} without the clues]"
    if one.metres is not None and one.metres_sd is not None:
        line += (
            f"; about {length_words(one.metres)} along the route, give or take "
            f"{2 * one.metres_sd / FOOT:.0f} ft"
        )
    return line


def answer_text(
    harness: Harness, got: Answer, clues: bool, far: Sequence[str] = (), battery: bool = False
) -> str:
    """The whole answer for people. ``clues``: whether to show chances without them beside.

    ``far``: lines about distances along the wires; ``battery``: one of them drives a current.
    """
    out = [f"Wiring: {harness.name}"]
    if harness.complaint:
        out.append(f"Complaint: {harness.complaint}")
    if got.readings:
        out += ["", "Readings as understood:"]
        for number, reading in enumerate(got.readings, 1):
            what, shown = reading_words(harness, reading)
            out.append(
                f"  {number:>2}. {what.partition(':')[0]}: {shown}   ({reading.text or 'typed'})"
            )
    if got.refusal is not None:
        return "\n".join([*out, "", "Refused: " + refusal_words(got.refusal)])
    if got.doubt is not None:
        what, shown = reading_words(harness, got.readings[got.doubt.number])
        out += [
            "",
            f"Reading {got.doubt.number + 1} contradicts the others "
            f"({what.partition(':')[0]}: {shown}).",
            "If it alone were wrong the rest would agree: take it again before anything else.",
        ]
    out += ["", "Where it may be:"]
    places = [p for p in got.places if p.chance >= 0.005][:_SHOWN] or list(got.places[:1])
    out += [_place_line(harness, p, clues) for p in places]
    if far:
        out += ["", *far]
    out += _tail(harness, got, battery)
    return "\n".join(out)


def _tail(harness: Harness, got: Answer, battery: bool) -> list[str]:
    out: list[str] = []
    if len(got.alike) > 1:
        out += ["", f"These readings do not tell apart ({len(got.alike)}):"]
        out += [f"  - {fault_words(harness, f)}" for f in got.alike[:12]]
        if len(got.alike) > 12:
            out.append(f"  - and {len(got.alike) - 12} more")
    if got.pair is not None:
        first, second = (fault_words(harness, f) for f in got.pair)
        out += [
            "",
            f"Two faults at once: mend this first, then test again: {first}.",
            f"  (then {second})",
        ]
    if go := go_words(harness, got):
        out += ["", *go]
    if got.tests:
        out += [
            "",
            "Next tests, best first (bits, minutes):"
            if got.step == "test"
            else "Tests that would still tell something:",
        ]
        out += [_test_line(harness, i, t) for i, t in enumerate(got.tests, 1)]
    out += [f"! {finding_words(f)}" for f in got.findings]
    out += ["", "Cautions:"]
    out += [f"  - {CAUTIONS[c]}" for c in cautions_of([t.test for t in got.tests], battery)]
    return out


def _test_line(harness: Harness, number: int, worth: Worth[MeterTest]) -> str:
    return (
        f"  {number}. {test_words(harness, worth.test)}  "
        f"[{worth.bits:.2f} bit, {worth.minutes:g} min]"
    )


def rewiring_summary(plan: Rewiring) -> str:
    """The rewiring plan in one line."""
    return f"rewiring of box {plan.box}, {plan.connectors} connectors"


def rewiring_text(harness: Harness, plan: Rewiring) -> str:
    """The rewiring plan of one box for people."""
    out = [f"Rewiring of box {plan.box}, {harness.name}", "", "Which wire to which valve:"]
    for station, colour, common, back in plan.pairs:
        own = f" ({colour})" if colour else ""
        other = f" ({back})" if back else ""
        out.append(f"  valve {station}: wire {station}{own}, other lead to common {common}{other}")
    out += [
        "",
        f"Splices: {plan.connectors} connectors, wet-rated, each sealed once and not opened again",
    ]
    for job in plan.splices:
        fits = " or ".join(job.fits) or "none on the list"
        steps = "" if job.split == 1 else f", in {job.split} steps"
        out.append(f"  {job.kind}: {' + '.join(job.wires)}  [{fits}{steps}]")
    out += [
        "",
        f"Leave {plan.slack / INCH:.0f} in of slack coiled at every valve.",
        "Keep every splice above the gravel, standing up, openings down.",
        f"Label each wire: {', '.join(plan.labels)}.",
        "",
        "Test BEFORE the box is covered (controller, field wires lifted):",
    ]
    for station, common, low, high in plan.tests:
        metres, allowed = runs_short(harness, station)
        volts = station_volts(harness, station, "inrush").volts
        note = (
            ""
            if metres <= allowed
            else f"; run of {length_words(metres)} is longer than {length_words(allowed)}"
        )
        out.append(
            f"  {station} to {common}: {low:.0f} to {high:.0f} ohm; about {volts:.1f} V "
            f"at the coil as it pulls in{note}"
        )
    out += [f"! {finding_words(f)}" for f in plan.findings]
    return "\n".join([*out, "", "Cautions:", f"  - {CAUTIONS['power']}", f"  - {CAUTIONS['law']}"])
