//! What to try after the demonstration.

/// A few commands.
pub fn next_steps() -> String {
    "\nThis was the built-in demonstration, in an invented place. Try next:\n\
     \x20 wideberth new --machine mobile-crane > job.json   start a scenario of your own\n\
     \x20 wideberth check job.json                          check it\n\
     \x20 wideberth sag job.json                            wire heights on cold and hot days\n\
     \x20 wideberth limit --list                            rules and places it knows\n\
     \x20 wideberth --help                                  everything else\n"
        .into()
}
