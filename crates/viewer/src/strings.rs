//! Every fixed text of the viewer, in one table, so that another language is another table.

use crate::args::Motion;
use crate::views::Sight;

/// The fixed texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strings {
    /// Label of the proven distance.
    pub closest: &'static str,
    /// Label of the limit.
    pub limit: &'static str,
    /// Label of what is left beyond the limit.
    pub spare: &'static str,
    /// Label of what is missing to the limit.
    pub short: &'static str,
    /// Heading of the card for the moment that is shown.
    pub now: &'static str,
    /// Heading when the moment is the proven worst case.
    pub worst_case: &'static str,
    /// Label of the gap of the moment.
    pub gap: &'static str,
    /// Said of a gap outside the limit.
    pub outside: &'static str,
    /// Said of a gap inside the limit.
    pub inside: &'static str,
    /// Said of a gap of nothing.
    pub touching: &'static str,
    /// Said while an answer is computed.
    pub computing: &'static str,
    /// Heading of the card while wires move in gusts.
    pub swaying: &'static str,
    /// Said while the wires are followed through gusts.
    pub following: &'static str,
    /// Said before the reason why gusts cannot be shown.
    pub no_gusts: &'static str,
    /// Said while a scenario is loaded.
    pub loading: &'static str,
    /// Heading of problems in a scenario.
    pub refused: &'static str,
    /// Heading where the file cannot be read.
    pub unreadable: &'static str,
    /// Said below that.
    pub gone_hint: &'static str,
    /// Said below problems.
    pub reload_hint: &'static str,
    /// Heading of the joints.
    pub joints: &'static str,
    /// Heading of the weather.
    pub weather: &'static str,
    /// Label of the conductor temperature.
    pub temperature: &'static str,
    /// Label of the wind speed.
    pub wind: &'static str,
    /// Label of the wind's direction.
    pub wind_from: &'static str,
    /// Label of the hour of the day.
    pub hour: &'static str,
    /// Said of wires without wind.
    pub still: &'static str,
    /// Button to the proven worst case.
    pub go_worst: &'static str,
    /// Button to the start of the work.
    pub go_start: &'static str,
    /// Button that stops what plays.
    pub stop: &'static str,
    /// Heading of the wires.
    pub wires: &'static str,
    /// Column of the gap of the moment.
    pub now_column: &'static str,
    /// Column of the proven closest approach.
    pub worst_column: &'static str,
    /// Column of the wire's name.
    pub wire: &'static str,
    /// Heading of the ranges that the proven answer is for.
    pub ranges: &'static str,
    /// Button that brings back the scenario's ranges.
    pub ranges_back: &'static str,
    /// Heading of the cameras.
    pub cameras: &'static str,
    /// Heading of settings.
    pub settings: &'static str,
    /// Label of units.
    pub units: &'static str,
    /// Label of the size of text.
    pub text_size: &'static str,
    /// Heading of a lesson.
    pub lesson: &'static str,
    /// Button that shows an answer.
    pub show_answer: &'static str,
    /// Legend of the limit of approach.
    pub legend_limit: &'static str,
    /// Legend of the region that a wire can reach.
    pub legend_reach: &'static str,
    /// Legend of the ghost.
    pub legend_ghost: &'static str,
    /// Label of the ghost's gap.
    pub worst_label: &'static str,
    /// Heading of the help.
    pub help: &'static str,
    /// How to get the help.
    pub help_hint: &'static str,
    /// Word of a plan that is clear and not ready.
    pub not_ready: &'static str,
    /// Word while an answer is on its way.
    pub coming: &'static str,
    /// Word where there is no answer.
    pub no_answer: &'static str,
    /// Said before ranges that somebody changed.
    pub for_changed: &'static str,
    /// Said of a range of the file.
    pub file: &'static str,
    /// Said of a clear answer for changed ranges.
    pub only_here: &'static str,
    /// Said before what is missing.
    pub missing: &'static str,
    /// Said before the source of the limit.
    pub limit_from: &'static str,
    /// Said of a limit that was written from memory.
    pub from_memory: &'static str,
    /// Said before the controls that count.
    pub holds_with: &'static str,
    /// Said before the verdict without controls.
    pub without_them: &'static str,
    /// Said before what is found in the ground.
    pub in_the_ground: &'static str,
    /// Said of what enters a zone by hand.
    pub by_hand: &'static str,
    /// Said before the hour of the worst case.
    pub worst_hour: &'static str,
    /// Said of a moment outside the ranges of the answer.
    pub beyond: &'static str,
    /// Said of the range that was proven.
    pub proven_for: &'static str,
    /// Said of a gap that is smaller than what is proven.
    pub closer: &'static str,
    /// Said of a gap outside a limit that is not proven to be kept.
    pub in_doubt: &'static str,
    /// Said before the bearing of the wind.
    pub from: &'static str,
    /// Said of the voltage of a line.
    pub line: &'static str,
    /// Label of a spotter who sees the gap.
    pub spotter_sees: &'static str,
    /// Label of a spotter who does not see the gap.
    pub spotter_blind: &'static str,
    /// Legend of the thin circle about the wire.
    pub legend_margin: &'static str,
    /// Label of the arrow to the north.
    pub north: &'static str,
    /// Legend of the skin of machines.
    pub legend_skin: &'static str,
    /// Legend of the grid.
    pub legend_grid: &'static str,
    /// Said where the spotter's eye does not see the gap.
    pub blind_here: &'static str,
    /// Legend of buried lines.
    pub legend_buried: &'static str,
    /// Legend of controls.
    pub legend_control: &'static str,
    /// Said of the width of a zone.
    pub zone: &'static str,
    /// Said before the name of a picture that was saved.
    pub saved: &'static str,
    /// Said before the reason why a picture was not saved.
    pub not_saved: &'static str,
    /// Asked before the program ends.
    pub leave: &'static str,
    /// Button that ends.
    pub leave_yes: &'static str,
    /// Button that stays.
    pub leave_no: &'static str,
    /// Button of the full screen.
    pub full_screen: &'static str,
    /// Keys and what they do.
    pub keys: &'static [(&'static str, &'static str)],
}

/// English.
pub const ENGLISH: Strings = Strings {
    closest: "Closest approach",
    limit: "Limit",
    spare: "Spare",
    short: "Short by",
    now: "This moment",
    worst_case: "The worst case, proven",
    gap: "Gap",
    outside: "outside the limit",
    inside: "inside the limit",
    touching: "touching, tolerances counted",
    computing: "Proving the answer for these ranges …",
    swaying: "Swaying in gusts: a sample, no proof",
    following: "Following the wires through ten minutes of gusts …",
    no_gusts: "The sway cannot be shown",
    loading: "Reading and checking …",
    refused: "This scenario is refused",
    unreadable: "This file cannot be read",
    gone_hint: "When it is back, it is read again at once.",
    reload_hint: "Correct and save the file: it is read again at once.",
    joints: "Joints",
    weather: "Weather on the wires",
    temperature: "conductor",
    wind: "wind",
    wind_from: "wind from",
    hour: "hour of day",
    still: "still air",
    go_worst: "Worst case",
    go_start: "Start",
    stop: "Stop",
    wires: "Wires",
    now_column: "Now",
    worst_column: "Worst",
    wire: "Wire",
    ranges: "Ranges of the proven answer",
    ranges_back: "As in the scenario",
    cameras: "Cameras",
    settings: "Settings",
    units: "Units",
    text_size: "Text size",
    lesson: "Lesson",
    show_answer: "Show the answer",
    legend_limit: "limit of approach",
    legend_reach: "where heat and wind can take a wire",
    legend_ghost: "proven worst case",
    worst_label: "worst case",
    help: "Keys",
    help_hint: "H: keys",
    not_ready: "NOT READY",
    coming: "PROVING …",
    no_answer: "NO ANSWER",
    for_changed: "For changed ranges, not those of the file:",
    file: "file",
    only_here: "Clear only if these ranges are held, and nobody is said to hold them",
    missing: "Missing",
    limit_from: "Limit",
    from_memory: "FROM MEMORY: check the rule",
    holds_with: "Holds only with",
    without_them: "without",
    in_the_ground: "In the ground",
    by_hand: "inside the zone, so by hand",
    worst_hour: "Worst hour",
    beyond: "Outside the ranges that were proven",
    proven_for: "proven",
    closer: "this gap is smaller than what is proven for the ranges",
    in_doubt: "not proven to keep the limit",
    from: "from the",
    line: "line",
    spotter_sees: "spotter: sees the gap",
    spotter_blind: "spotter: cannot see the gap from here",
    legend_margin: "thin circle: the wire's tolerances",
    north: "north",
    legend_skin: "skin: where tolerances can put it",
    legend_grid: "grid 1 m, strong lines 10 m",
    blind_here: "From here a spotter cannot see the gap: the machine hides it",
    legend_buried: "buried line, zone to each side",
    legend_control: "control in place",
    zone: "zone",
    saved: "Saved:",
    not_saved: "Not saved:",
    leave: "End the program? Enter: end. Escape: stay.",
    leave_yes: "End",
    leave_no: "Stay",
    full_screen: "Full screen",
    keys: &[
        ("1 to 6", "camera: orbit, plan, along, across, operator, spotter"),
        ("left mouse drag, arrow keys", "turn about the gap"),
        ("right mouse drag", "move sideways"),
        ("mouse wheel, + and -", "nearer, farther"),
        ("W", "go to the proven worst case"),
        ("S", "go to the start of the work"),
        ("space", "play the work, or stop"),
        ("Y", "play the sway of the wires in gusts, a sample"),
        ("T", "play the heat of the day, or cold to hot"),
        ("N or page down, B or page up", "next and last step of the lesson"),
        ("enter", "show the answer of the lesson's question"),
        ("U", "metric or US units"),
        ("P", "panel on and off"),
        ("F11", "full screen, or a window again"),
        ("F12", "save a picture beside the scenario, without the panel"),
        ("H", "this help"),
        ("escape", "close help, or ask whether to end"),
    ],
};

impl Strings {
    /// Button that plays a motion; whether the scenario has hours decides what heat is.
    #[must_use]
    pub fn motion(&self, motion: Motion, has_hours: bool) -> &'static str {
        match (motion, has_hours) {
            (Motion::Work, _) => "Play the work",
            (Motion::Sway, _) => "Play the sway",
            (Motion::Heat, true) => "Play the day",
            (Motion::Heat, false) => "Play the temperature",
        }
    }

    /// Name of a camera.
    #[must_use]
    pub fn sight(&self, sight: Sight) -> &'static str {
        match sight {
            Sight::Orbit => "Orbit",
            Sight::Plan => "Plan",
            Sight::Along => "Along the line",
            Sight::Across => "Across the line",
            Sight::Operator => "Operator's eye",
            Sight::Spotter => "Spotter's eye",
        }
    }
}
