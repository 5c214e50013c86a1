//! Words that answers use, for `explain`.

/// Each word, and what it means here.
pub const TERMS: &[(&str, &str)] = &[
    (
        "limit of approach",
        "The distance that must stay between any part of the machine or load and any wire, set by the law of the place for the voltage and the work. \
         Table A of the United States' rules for cranes calls it the minimum clearance distance; the minimum approach distance of 29 CFR 1910.269 is \
         another, shorter one, for qualified electrical workers alone, and is never offered to others. `wideberth limit` names it with its source.",
    ),
    ("spare", "What is left of the closest approach beyond the limit. Below zero, the limit is broken by that much."),
    (
        "closest approach",
        "The distance from surface to surface in the worst pose, weather and state of the wire that the scenario allows, every tolerance included. It is \
         given as a range: proven not to be less than the first figure; the second was found.",
    ),
    (
        "proven",
        "Shown for every pose and state that the scenario allows, by bounds and not by samples. It is worth as much as the scenario is true; what the model \
         leaves out stands in docs/safety.md.",
    ),
    (
        "ready",
        "A plan is ready when it is clear and nothing is missing: each hazard has a control with an owner and evidence, wires are measured, people are \
         briefed. `check` lists what is missing; each has a code that `explain` knows.",
    ),
    (
        "slew",
        "To turn about the upright axis, boom and load with it. Positive to the left, seen from above; zero is straight ahead of the carrier.",
    ),
    ("luff", "To raise or lower the boom. The angle is above level: 0 deg is flat, 90 deg upright."),
    ("telescope", "To push out the boom's sections. The length is from the boom's pivot to its head."),
    ("raise", "To lift a body, ladder or mast about its hinge. The angle is above its resting position."),
    (
        "tilt",
        "To turn a structure or body over an edge or a level hinge, as a bin shell that is stood up or a platform that leans.",
    ),
    ("turn", "To swing a part aside about an upright hinge, as the spout of a machine. Positive to the left."),
    (
        "swing",
        "How far a hung load may lean from plumb, in any direction: from starting and stopping, and from the wind on its sail.",
    ),
    ("yaw", "How far a hung load may turn about the rope that it hangs from."),
    (
        "rope",
        "Length of rope from the boom's head to the hook. The longer it is, the farther out the same lean carries the load.",
    ),
    (
        "heading error",
        "How far the machine may stand turned from its stated heading; nobody sets it. \"turned 5 deg left of its heading\" names the worst of it.",
    ),
    ("setting-out", "How far the machine may stand from its marked place; nobody stands exactly on a mark."),
    ("overrun", "How far a joint goes on after it is stopped. It comes on top of every working range and stop."),
    ("deflection", "How far a part may bend from where the drawing has it, under load and wind."),
    ("span", "The wire from one support to the next. A wire is measured, hangs and swings span by span."),
    (
        "sag",
        "How far a wire hangs below the straight line between its attachments: more when it is hot, loaded with ice, or slack.",
    ),
    (
        "sway allowance",
        "Distance that is added to every wire for its motion in gusts. `wideberth sway` says what it needs.",
    ),
    (
        "control",
        "What keeps machine and wire apart: the line off, work moved, a stop, a limit, a fence, a rule for people. Only one with an owner and evidence counts.",
    ),
];

/// The meaning of a word.
pub fn meaning(word: &str) -> Option<&'static str> {
    TERMS.iter().find(|(term, _)| term.eq_ignore_ascii_case(word)).map(|(_, meaning)| *meaning)
}
