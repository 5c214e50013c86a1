//! The stable codes of problems, and a text for each: why it matters and how to mend it.

use std::fmt;

/// An enum of kinds that people meet by a stable name, each with a text that explains it.
#[macro_export]
macro_rules! stable_names {
    ($(#[$about:meta])* $kind:ident: $($(#[$doc:meta])* $variant:ident = $name:literal: $text:literal,)+) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $kind { $($(#[$doc])* $variant,)+ }

        impl $kind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// The stable name, in lower case with hyphens.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name),+ }
            }

            /// Why it matters and how to mend it.
            #[must_use]
            pub fn explain(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }
    };
}

stable_names! {
    /// What kind of problem it is. The names never change their meaning.
    Code:
    /// Larger than any sensible file.
    TooLarge = "too-large":
        "The file is larger than 4 MiB. No scenario needs that much; most likely it is another kind of file. \
         Give the scenario file itself; describe long lines by their spans near the machine.",
    /// Not UTF-8.
    NotText = "not-text":
        "The file is not text in UTF-8, so it cannot be a scenario. It may be a document of an office program, a \
         picture, or text saved in an old encoding. Save it as plain text in UTF-8.",
    /// Lists and objects inside one another too deep.
    TooDeep = "too-deep":
        "Lists and objects are nested deeper than 32 levels. Neither format needs more than about ten. Usually a closing \
         bracket is missing over and over, or the file is not a scenario.",
    /// Not JSON.
    Syntax = "syntax":
        "The text is not JSON with comments, so nothing in it can be relied on. Usual causes: a comma missing or one too \
         many before a closing bracket, a quote or bracket not closed, the end of the file cut off. The place named is \
         where reading failed; the cause is there or shortly before.",
    /// The same key twice.
    DuplicateKey = "duplicate-key":
        "The same key stands twice in one object. Only one of them could count, and it is not for this program to choose \
         which, so neither is used. Keep one.",
    /// Characters that nobody sees.
    Invisible = "invisible-character":
        "A text or a key holds a character that nobody sees: a control character, a mark that turns the direction of writing, a filler. On a screen \
         or on paper it could move, hide or forge a line, or make two names look alike, so none is taken, whatever it is for. Write the text again \
         on the keyboard, without line ends; the message gives the number of the character.",
    /// Another format.
    WrongFormat = "wrong-format":
        "The key \"format\" says which kind of file it is: \"wideberth-scenario\" for a scenario, \"wideberth-machine\" \
         for a machine. This file is of another kind or says something else.",
    /// Another version.
    WrongVersion = "wrong-version":
        "The file is written in a version of the format that this program does not read. Reading it as if it were the \
         known version could change its meaning. Use a program that knows that version, or bring the file to version 1.",
    /// A key that the format does not have.
    UnknownKey = "unknown-key":
        "The format has no such key here. It is refused because a mistyped key would otherwise be left out silently: a \
         tolerance, say, that somebody relies on. Correct the spelling, move the key to where it belongs, or turn it into a comment.",
    /// A key that must be there.
    MissingKey = "missing-key":
        "A value that nothing can be computed without is not given. Add the key. Nothing is guessed in its place.",
    /// Another type of value.
    WrongType = "wrong-type":
        "The value is of another type than the format asks for here: for example a list where a text belongs. The message says \
         what is expected.",
    /// A word outside a closed list.
    UnknownWord = "unknown-word":
        "Only certain words can stand here. The message lists them, or names the nearest.",
    /// None or several of alternatives.
    OneOf = "one-of":
        "Several ways to say the same thing exist here and exactly one must be chosen. With none, something is missing; with several, \
         they could contradict each other.",
    /// An empty list.
    EmptyList = "empty-list":
        "The list must not be empty: without an entry there is nothing to assess, and an empty plan must never look like a \
         safe one.",
    /// Too many or too few items.
    WrongLength = "wrong-length":
        "The list has another number of entries than the format asks for. A place on the map has two (east, north), a point \
         three (x, y, z), a range two (lower end, upper end).",
    /// An empty or overlong text.
    WrongText = "wrong-text":
        "The text is empty or too long for what it names. Names appear in reports and on the crew's sheet; they must say something.",
    /// A number without unit.
    BareNumber = "bare-number":
        "A quantity is written as a number alone. Metres mistaken for feet, or degrees Celsius for Fahrenheit, are a known way to \
         an accident, so every quantity is a text with its unit, such as \"62 m\", \"41 ft\" or \"24 degC\".",
    /// A text without unit.
    MissingUnit = "missing-unit":
        "The quantity has a number but no unit. Write the unit behind it, such as \"62 m\" or \"12.47 kV\".",
    /// A unit that nobody knows.
    UnknownUnit = "unknown-unit":
        "The unit is not one that this program reads. Units are spelled as in docs/formats.md, small and capital letters count: \
         m, ft, deg, degC, m/s, kV, kN, %.",
    /// A unit of another dimension.
    WrongUnit = "wrong-unit":
        "The unit belongs to another kind of quantity: a length where a speed belongs, for example. Correct the unit or move the \
         value to where it belongs.",
    /// A number that cannot be read.
    UnreadableNumber = "unreadable-number":
        "The number cannot be read. Write digits with a point for decimals and without separators for thousands: 12470 V \
         or 12.47 kV, not 12,470 V.",
    /// NaN or infinity.
    NotFinite = "not-finite":
        "The value is not a number or infinite (or too large to represent). Neither has a meaning for a length, a speed or a temperature here.",
    /// Outside the sensible range.
    OutOfRange = "out-of-range":
        "The value lies outside the range that this quantity can sensibly have. Most often the unit is wrong (mm for m, degF for \
         degC) or a digit slipped. The ranges are wide and listed in docs/formats.md; values are never clamped to them.",
    /// Lower end above upper end.
    InvertedRange = "inverted-range":
        "The lower end of the range lies above its upper end. Ranges are written [lowest, highest]. They are not swapped for \
         you, because one of the two may be mistyped.",
    /// The same name twice.
    DuplicateName = "duplicate-name":
        "Two things of the same kind have the same name. Reports name them, and a crew must not mix them up. Give each a name of its own.",
    /// Supports closer than a span can be.
    ZeroSpan = "zero-span":
        "Two supports that follow each other stand at the same place, or less than 1 m apart on the map, so there is no span \
         between them. Check both positions and their units.",
    /// A span too steep.
    SteepSpan = "steep-span":
        "The span rises more than 1 m per metre on the map. The model does not cover that. Check ground levels and \
         attachment heights.",
    /// A support that the line does not have.
    UnknownSupport = "unknown-support":
        "The name is not that of a support of this line. Supports are named in the list \"supports\" of the same line.",
    /// Attachments do not match supports.
    Attachments = "attachments":
        "A wire needs exactly one attachment at each support of its line, in the order of the supports. One is missing, one is too many, \
         or the order differs.",
    /// No such conductor.
    UnknownConductor = "unknown-conductor":
        "The conductor is not in the catalogue. Use one of its ids, or describe the conductor by its own diameter, mass, modulus, \
         area, expansion and strength.",
    /// Impossible conductor.
    Conductor = "impossible-conductor":
        "The properties of the conductor do not fit any overhead wire, taken together. Check the numbers and their units against \
         the catalogue of its maker.",
    /// Tension above strength.
    AboveStrength = "tension-above-strength":
        "The wire would be pulled with more than its rated strength, when strung or in the coldest, windiest or iciest state of the \
         conditions: it would be torn, so such a state cannot occur with this wire. Check tension, temperature, wind, ice and conductor.",
    /// Strength not known.
    NoStrength = "no-strength":
        "The tension is given as a share of the rated strength, but the conductor states no strength. Give its strength, the \
         tension itself, or a measured height.",
    /// A height that does not fit.
    KnownHeight = "impossible-height":
        "The measured height does not fit the wire: it would hang at or above the straight line between its attachments, below the \
         ground, or at no possible tension. Check the height, its tolerance, the attachments and the ground there.",
    /// A place outside the span.
    KnownPlace = "place-outside-span":
        "The measured height must lie inside one span: between two neighbouring supports, and the distance from the first \
         smaller than the span is long.",
    /// No shape.
    Shape = "no-shape":
        "The wire has no shape that the model covers in one of its states; for example, it hangs so slack that the sag exceeds \
         the span. Check tension, temperatures and the positions of the supports.",
    /// A string where the wire ends.
    StringAtEnd = "string-at-end":
        "A suspension string holds the wire up but not back: it swings along the line until both sides pull alike. At the first and the last \
         support of the line there is only one side, so nothing would hold the wire. Leave the string out there, as if the wire were \
         dead-ended, or describe the line up to its next dead end.",
    /// A string that cannot hang so.
    ImpossibleString = "impossible-string":
        "The suspension string does not fit where it hangs: it is longer than the wire is high, or hangs where the line turns, so that it \
         would lean into the bend instead of hanging plumb. The message says which.",
    /// A lifted string.
    StringLifted = "string-lifted":
        "In one of the states the neighbouring spans pull the wire upward at this support, so that the string would have to push. It cannot; \
         the wire would rise, and the model does not follow it there. Usual causes: a support much lower than its neighbours, a tension too \
         high, a wrong height. Where it is true, the line's owner knows what holds the wire down.",
    /// No proof of balance.
    StringsNotProven = "strings-not-proven":
        "The balance of the suspension strings could not be proven for every state of the conditions, so no distance to this wire could be \
         proven either. Describe fewer spans between rigid attachments, or narrow temperatures, wind, ice and tolerances.",
    /// The wind lifts a wire.
    WindLifts = "wind-lifts-wire":
        "The wire climbs so steeply, or the wind is so strong, that the wind along it could carry more than half of its weight. The model does \
         not follow it there. Check the attachment heights and the wind speed; where the wind comes only from some directions, state them.",
    /// Key without meaning here.
    Needless = "needless-key":
        "The key has no meaning together with the others given here, and would be ignored. Remove it, or give what it belongs to.",
    /// No crossarm direction.
    Crossarm = "crossarm-direction":
        "The line turns back on itself at this support, so no direction is square to both spans and offsets along the crossarm have no \
         meaning. Give the support a \"direction\": the bearing toward which the right end of its crossarm points.",
    /// Basis does not go with current.
    VoltageBasis = "voltage-basis":
        "Alternating current is stated phase to phase or phase to ground, direct current pole to pole or pole to ground. The two \
         given do not go together, so one of them is wrong, and the limit could be taken from the wrong row.",
    /// No such machine.
    UnknownMachine = "unknown-machine":
        "The library has no machine with this id. Use one of its ids, name a file of your own, or write the machine in place.",
    /// No such joint.
    UnknownJoint = "unknown-joint":
        "The machine has no such joint. The message names those it has.",
    /// No such body.
    UnknownBody = "unknown-body":
        "An allowance for deflection is given for a body or hang point that the machine and its load do not have. The message names \
         those they have.",
    /// Outside the machine's range.
    JointRange = "joint-outside-machine":
        "The working range of a joint reaches beyond what the machine itself can do. Check the range, or the machine. It is not cut to \
         the machine's range for you, because one of the two is wrong.",
    /// Angle for length or the other way round.
    JointKind = "joint-kind":
        "A hinge needs angles and a slide needs lengths. The value given is of the other kind.",
    /// No such hang point.
    UnknownHangPoint = "unknown-hang-point":
        "The machine has no hang point with this name, so the load cannot hang there. The message names those it has.",
    /// No such frame.
    UnknownFrame = "unknown-frame":
        "A part hangs on a frame that does not exist, or that comes later in the list. A frame must be listed after the one it \
         hangs on.",
    /// Impossible machine.
    Machine = "impossible-machine":
        "The parts do not make a machine: an axis without length, a body without extent, too many joints before one body, and the like. \
         The message says which part.",
    /// Machine on a support.
    MachineOnSupport = "machine-on-support":
        "The machine stands on a support of the line: within the distance from its own reference point that its base covers. Both \
         cannot be at one place. Check both positions and their units.",
    /// A sail swings the load further than stated.
    SailSwing = "sail-swing":
        "The wind of the conditions swings the load, by its sail area and mass, further than its stated swing, or further than any load may \
         hang. The swing is taken as twice the lean in a steady wind of the gusts' speed. State the larger swing, or the wind at which \
         the lift stops.",
    /// No such rule or place.
    UnknownRule = "unknown-rule":
        "No limit of approach is known under this id or for this place. Use one of the ids or places that `limit` lists, or your own \
         table of limits.",
    /// No rule given.
    NoRule = "no-rule":
        "Neither the scenario nor the machine says which rule applies. Give \"rule\" with a place or an id.",
    /// The rule refuses.
    LimitRefused = "limit-refused":
        "The rule gives no limit for this voltage, work and crew. A table for qualified electrical workers cannot be used by others, a \
         table for alternating current not for direct current, and beyond its last row the line's owner or an engineer decides. \
         Use a rule that covers the case; no distance is made up.",
    /// Only for qualified electrical workers.
    QualifiedOnly = "qualified-only":
        "The rule is for electrical workers who are qualified in its sense, with their training, tools and permits. Its distances are shorter \
         because of that and never hold for an ordinary crew. Use the rule of the place. If the crew is qualified, say so with \"crew\".",
    /// Measured in another way.
    MeasuredOtherwise = "limit-measured-otherwise":
        "The rule sets a horizontal distance or a height, while the approach computed here is the straight distance in space. Keeping the \
         straight distance would not prove that the horizontal one is kept. Use a rule that is measured in any direction, or a distance \
         stated by the line's owner.",
    /// A faulty table of limits.
    RuleTable = "rule-table":
        "The table of limits that the scenario names has problems of its own; they are listed. None of its rows is used until they are mended.",
    /// A file that cannot be read.
    File = "unreadable-file":
        "A file that the scenario names cannot be read. Its name is relative to the scenario's own folder.",
    /// No such name in the scenario.
    UnknownName = "unknown-name":
        "A control or a part that digs belongs to a machine, line or structure of the scenario, by its name. There is none with this \
         name, so it would belong to nothing. The help names those that the scenario has.",
    /// Contradiction.
    Contradiction = "contradictory-controls":
        "Two controls set the same thing in ways that cannot both be true: two places for one machine, two stops on one joint without a \
         position in common. It is not for this program to choose which one the crew will follow. Correct one, or keep one.",
    /// Nothing left to do.
    NoWorkLeft = "no-work-left":
        "The control leaves nothing of what the scenario wants to do: a stop outside the working range, a cut-off below the mildest weather \
         of the conditions. Clear would then mean that nobody works. Check the control and its unit.",
    /// No day.
    Date = "bad-date":
        "A day is written as year, month and day: \"2031-05-04\", a time as hours and minutes: \"07:30\", a clock as its offset from universal \
         time: \"UTC-05:00\". Other spellings mean different days in different countries, and names of time zones are not read, because \
         clocks change on dates that somebody decides.",
    /// Days in the wrong order.
    InvertedDates = "inverted-dates":
        "The last day comes before the first one. One of the two is mistyped, or they are swapped. They are not put in order for you, \
         because what expires is judged by them.",
    /// No hour.
    Hour = "bad-hour":
        "An hour of the day is written with two digits each for hours and minutes, from \"00:00\" to \"23:59\".",
    /// No rule for digging.
    GroundRule = "unknown-ground-rule":
        "No rule for digging is known for this place. Use one of those that the help names, or leave the place out and give each buried line \
         its own tolerance zone, as its owner states it.",
    /// No tolerance zone.
    NoZone = "no-tolerance-zone":
        "A mark on the ground says only about where a buried line lies. Its tolerance zone is what must be kept from the mark, and no width is \
         made up here: give \"zone\", or a place whose rule has one.",
    /// Impossible structure.
    ImpossibleShape = "impossible-structure":
        "The sizes of the structure do not go together: a narrow width wider than the width, or a middle of mass outside the base. Check the \
         sizes and their units.",
    /// Impossible wind sector.
    WindSector = "wind-sector":
        "The wind comes from a sector of bearings that starts at \"from\" and runs clockwise to \"to\". Both ends are the same, so the sector is \
         empty or a full circle. Write \"any\" for every direction.",
    /// Impossible placement.
    Placement = "impossible-placement":
        "The machine cannot stand as stated. Check position, heading, slope and tolerances.",
    /// A key needs another.
    NeedsWeather = "needs-weather":
        "Something is to come from the weather, but the scenario does not say enough to know it: it needs \"site\", \"date\" and \
         \"weather\", or it is stated for a time that the weather does not cover. Give them, or state the range itself.",
    /// Not a weather file.
    WeatherFile = "weather-file":
        "The file of weather is not what it should be: an hourly table (CSV) whose header names each column with its unit, or a climate file \
         in the EPW format that is whole. Nothing of it is used until it is right. docs/formats.md lists the columns.",
    /// Hours that do not follow each other.
    WeatherGap = "weather-gap":
        "The weather must be known through every hour. Here hours or values are missing, repeated or out of order. Where clocks change in spring \
         or autumn, write each time with its offset from universal time. Nothing is filled in.",
    /// Impossible weather.
    WeatherValue = "weather-value":
        "A value of the weather is none that the weather has, such as 293 degC or a wind of -1 m/s. Most likely a column holds something \
         else, or in another unit, than its name says.",
    /// Weather that does not fit the place.
    WeatherPlace = "weather-place":
        "The weather does not fit the site: the climate file is of another part of the world, the sun shines in the file while it is below the \
         horizon of the site, or the clock is one that the longitude does not have. One of latitude, longitude, time zone and file is wrong.",
    /// No conductor temperature.
    HeatBalance = "heat-balance":
        "The temperature of the wire cannot be worked out from the weather: the resistance of the conductor is not known, the current is more \
         than any steady temperature carries, or the rated temperature is reached without current. Check the load and the conductor, or state \
         the conductor temperature.",
    /// No such wire can be.
    WireClass = "impossible-wire-class":
        "No conductor of the class can hang as it was measured, or one of them would be torn in the conditions. Check the class, the height and the \
         conditions, or name the conductor.",
    /// A lesson names a machine that is not there.
    LessonMachine = "lesson-machine":
        "A step of the lesson sets joints of a machine that the scenario does not have. Machines are named as in \"machines\".",
    /// A lesson shows what cannot be.
    LessonOutside = "lesson-outside-scenario":
        "A step of the lesson shows a pose or weather that the scenario does not allow, so the proven answer would not cover what people \
         see. Show a value inside the ranges, or widen them.",
    /// Names that do not match.
    Structure = "unreadable":
        "The file has the right keys, but its values cannot be brought together. The message says why.",
}

impl Code {
    /// The code with this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|code| code.name() == name)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_found_again() {
        for &code in Code::ALL {
            assert_eq!(Code::from_name(code.name()), Some(code));
            assert!(code.name().chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{code}");
            assert!(code.explain().len() > 60, "{code} explains too little");
        }
        assert_eq!(Code::from_name("nothing"), None);
    }
}
