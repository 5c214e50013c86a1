//! The answer of `fixes`: the controls by class, each with its boundary.

use wideberth_plan::fixes::{Class, Control, Fix, MachineFixes, Proof};
use wideberth_report::Units;
use wideberth_report::fixes::{FixesDocument, Sayer};
use wideberth_report::words::VerdictName;
use wideberth_scenario::Job;

use super::{BOLD, paragraph, styled, verdict_style};

/// Columns by which what belongs to a control is indented.
const INDENT: &str = "      ";
/// Pairs shown; JSON has them all.
const MOST_PAIRS: usize = 6;

/// The whole answer.
pub fn render(job: &Job, document: &FixesDocument, found: &[MachineFixes], all: bool, units: Units) -> String {
    if found.is_empty() {
        let word = styled(document.verdict.shout(), verdict_style(document.verdict));
        let says = match document.verdict {
            VerdictName::Clear => "Every machine keeps its limit as it is: there is nothing to mend.",
            _ => {
                "Every machine keeps its limit from the wires, but what enters the ground comes too close to what is buried. Dig elsewhere, or by hand."
            }
        };
        return format!("{word}. {says}\n\n{}{}", to_hold(document), paragraph(document.caution));
    }
    let machines = found.iter().zip(&document.machines).map(|(found, result)| {
        let sayer = Sayer { job, machine: found.machine, units };
        let head = format!("{}: {}", result.verdict.shout(), result.machine);
        let classes: String = Class::ALL.iter().map(|class| class_text(*class, found, &sayer)).collect();
        let rest = if all { not_enough(found, &sayer) } else { String::new() };
        let pairs: String = found.pairs.iter().take(MOST_PAIRS).map(|fix| clear_text(fix, &sayer)).collect();
        let pairs = if pairs.is_empty() { pairs } else { format!("{}\n{pairs}", styled("Two together", BOLD)) };
        format!("{}\n{}\n{classes}{pairs}{rest}", styled(&head, verdict_style(result.verdict)), paragraph(&result.says))
    });
    let machines: Vec<String> = machines.collect();
    [machines.join("\n"), "\n".into(), to_hold(document), paragraph(document.never_alone), paragraph(document.caution)]
        .concat()
}

/// What somebody must hold before the plan is ready; JSON has an entry for each.
fn to_hold(document: &FixesDocument) -> String {
    let items: String = document.to_hold.iter().map(|hold| item("  + ", &hold.words)).collect();
    if items.is_empty() {
        items
    } else {
        format!("{}\n{items}\n", styled("Before it is ready, somebody must hold", BOLD))
    }
}

/// What a class is called.
fn class_words(class: Class) -> &'static str {
    match class {
        Class::Eliminate => "Take the danger or the work away",
        Class::Substitute => "Use something smaller",
        Class::Engineer => "Hold it with stops, limits or barriers",
        Class::Administrate => "Hold it with rules for people (weakest)",
    }
}

fn class_text(class: Class, found: &MachineFixes, sayer: &Sayer<'_>) -> String {
    let own = found.singles.iter().filter(|fix| fix.is_clear() && fix.control.class() == class);
    let texts: String = own.map(|fix| clear_text(fix, sayer)).collect();
    if texts.is_empty() { texts } else { format!("{}\n{texts}", styled(class_words(class), BOLD)) }
}

fn clear_text(fix: &Fix, sayer: &Sayer<'_>) -> String {
    let Proof::Clear { spare, milder } = &fix.proof else { return String::new() };
    let units = sayer.units;
    let spare = spare.map_or("no wire is left".into(), |spare| {
        format!("spare {}", units.length_range(spare.lower_m, spare.upper_m))
    });
    let milder = milder.as_ref().map_or(String::new(), |(control, verdict)| {
        let verdict = VerdictName::from(*verdict).shout().to_lowercase();
        format!("; {}: {verdict}", sayer.setting(control))
    });
    let alone = match fix.control {
        Control::Barrier { .. } => {
            "; check computes nothing for a barrier, which stops wheels and no boom: hold the plane with a stop"
        }
        _ => "",
    };
    item("  + ", &format!("{} ({spare}{milder}{alone})", sayer.words(&fix.control)))
}

fn not_enough(found: &MachineFixes, sayer: &Sayer<'_>) -> String {
    let rest = found.singles.iter().filter(|fix| !fix.is_clear());
    let texts: String = rest.map(|fix| item("  - ", &sayer.words(&fix.control))).collect();
    if texts.is_empty() { texts } else { format!("{}\n{texts}", styled("Not enough, even at the strictest", BOLD)) }
}

fn item(mark: &str, text: &str) -> String {
    let options = textwrap::Options::new(super::width()).initial_indent(mark).subsequent_indent(INDENT);
    textwrap::fill(text, options) + "\n"
}
