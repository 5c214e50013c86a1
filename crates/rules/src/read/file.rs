//! The format `wideberth-rules`, version 1, key by key.

use super::check;
use super::json::Json;
use super::node::{Fields, Node, Problems};
use crate::error::{Fault, Problem, TableErrors};
use crate::model::{
    Condition, Distance, Duty, Edge, OtherPrint, PerHeight, PerKv, Row, RuleSet, Trigger, UnknownDefault,
    UnknownVoltage,
};
use crate::words::{
    Basis, BelowFirstRow, BetweenRows, Crew, Force, Measured, Origin, PartSteps, Provenance, Purpose, Scope, Status,
    TableCurrent, Work,
};

const FORMAT: &str = "wideberth-rules";
const FILE_KEYS: &[&str] = &["format", "version", "title", "rule_sets"];
const RULE_KEYS: &[&str] = &[
    "id",
    "place",
    "place_also",
    "within",
    "instrument",
    "section",
    "edition",
    "force",
    "status",
    "instead",
    "scope",
    "purpose",
    "work",
    "crew",
    "who",
    "basis",
    "current",
    "measured",
    "between_rows",
    "below_first_row",
    "provenance",
    "rows",
    "unknown_voltage",
    "triggers",
    "duties",
    "notes",
    "source",
];
const ROW_KEYS: &[&str] = &[
    "over",
    "from",
    "up_to",
    "below",
    "current",
    "distance",
    "per_kv",
    "per_height",
    "words",
    "other_prints",
    "condition",
    "label",
    "provenance",
];

/// Rule sets with their JSON paths.
type Found = Vec<(String, RuleSet)>;

/// Reads a file of tables: what could be read, and every problem.
pub(crate) fn rule_sets(text: &str, origin: Origin) -> Result<(Found, Vec<Problem>), TableErrors> {
    let json = Json::parse(text)?;
    let problems = Problems::default();
    let rules = file(&Node { json: &json, path: "$".into(), problems: &problems }, origin);
    Ok((rules.unwrap_or_default(), problems.into_vec()))
}

fn file(node: &Node<'_>, origin: Origin) -> Option<Found> {
    let fields = node.object(FILE_KEYS)?;
    format_and_version(&fields);
    fields.text("title");
    fields.required("rule_sets")?.list(|rule| {
        let path = rule.path.clone();
        rule_set(&rule, origin).map(|rule| (path, rule))
    })
}

fn format_and_version(fields: &Fields<'_>) {
    let wrong = |node: &Node<'_>, wanted, found| node.problems.note(&node.path, Fault::WrongFormat { wanted, found });
    if let Some(node) = fields.required("format") {
        match node.json {
            Json::Text(text) if text == FORMAT => {}
            Json::Text(text) => wrong(&node, "the format \"wideberth-rules\"", format!("\"{text}\"")),
            other => wrong(&node, "the format \"wideberth-rules\"", other.kind().into()),
        }
    }
    if let Some(node) = fields.required("version") {
        match node.json {
            Json::Number(version) if *version == 1.0 => {}
            Json::Number(version) => wrong(&node, "version 1", version.to_string()),
            other => wrong(&node, "version 1", other.kind().into()),
        }
    }
}

macro_rules! word {
    ($node:expr, $kind:ident) => {
        $node.and_then(|node| node.word($kind::ALL, $kind::words))
    };
}

fn rule_set(node: &Node<'_>, origin: Origin) -> Option<RuleSet> {
    let before = node.problems.count();
    let f = node.object(RULE_KEYS)?;
    let provenance = word!(f.required("provenance"), Provenance);
    let current = word!(f.required("current"), TableCurrent);
    let defaults = Inherited {
        provenance: provenance.unwrap_or(Provenance::Memory),
        current: current.unwrap_or(TableCurrent::Ac),
    };
    let rows = f.required("rows").and_then(|rows| rows.list(|row_node| row(&row_node, defaults)));
    // Read everything before giving up on anything, so that all problems are noted at once.
    let (id, place, instrument, section, edition) =
        (f.text("id"), f.text("place"), f.text("instrument"), f.text("section"), f.text("edition"));
    let (force, status, scope) =
        (word!(f.required("force"), Force), word!(f.required("status"), Status), word!(f.required("scope"), Scope));
    let (purpose, crew, basis) =
        (word!(f.required("purpose"), Purpose), word!(f.required("crew"), Crew), word!(f.required("basis"), Basis));
    let (measured, between_rows) =
        (word!(f.required("measured"), Measured), word!(f.required("between_rows"), BetweenRows));
    let below_first_row = word!(f.required("below_first_row"), BelowFirstRow);
    let work = f.required("work").and_then(|list| list.list(|work| word!(Some(work), Work)));
    let (who, instead) = (f.text("who"), f.optional("instead").and_then(|id| id.owned()));
    let unknown_voltage = f.required("unknown_voltage").and_then(|unknown| unknown_voltage(&unknown, defaults));
    let (triggers, duties) = (f.list("triggers", |one| trigger(&one)), f.list("duties", |one| duty(&one)));
    let texts = |key| f.list(key, |text| text.owned());
    let (place_also, within, notes, source) = (texts("place_also"), texts("within"), texts("notes"), texts("source"));
    f.required("source");
    let rule = RuleSet {
        id: id?,
        place: place?,
        place_also: place_also?,
        within: within?,
        instrument: instrument?,
        section: section?,
        edition: edition?,
        force: force?,
        status: status?,
        instead,
        scope: scope?,
        purpose: purpose?,
        work: work?,
        crew: crew?,
        who: who?,
        basis: basis?,
        current: current?,
        measured: measured?,
        between_rows: between_rows?,
        below_first_row: below_first_row?,
        provenance: provenance?,
        rows: rows?,
        unknown_voltage: unknown_voltage?,
        triggers: triggers?,
        duties: duties?,
        notes: notes?,
        source: source?,
        origin,
    };
    // Contradictions are only looked for in what could be read whole: a lost row would shift the others.
    if f.problems.count() == before {
        check::rule_set(&rule, &f.path, f.problems);
    }
    Some(rule)
}

/// What rows take over from their table.
#[derive(Clone, Copy)]
struct Inherited {
    provenance: Provenance,
    current: TableCurrent,
}

impl Inherited {
    fn provenance(self, f: &Fields<'_>) -> Option<Provenance> {
        f.optional("provenance").map_or(Some(self.provenance), |node| word!(Some(node), Provenance))
    }

    fn current(self, f: &Fields<'_>) -> Option<TableCurrent> {
        f.optional("current").map_or(Some(self.current), |node| word!(Some(node), TableCurrent))
    }
}

fn row(node: &Node<'_>, inherited: Inherited) -> Option<Row> {
    let f = node.object(ROW_KEYS)?;
    let (lower, upper) = (edge(&f, "over", "from"), edge(&f, "below", "up_to"));
    let (distance, other_prints) = (distance(&f), f.list("other_prints", |one| other_print(&one)));
    let condition = f.optional("condition").map(|one| condition(&one));
    let label = f.optional("label").map(|label| label.owned());
    let (current, provenance) = (inherited.current(&f), inherited.provenance(&f));
    Some(Row {
        lower: lower?,
        upper: upper?,
        current: current?,
        distance: distance?,
        other_prints: other_prints?,
        condition: condition.map_or(Some(None), |read| read.map(Some))?,
        label: label.map_or(Some(None), |read| read.map(Some))?,
        provenance: provenance?,
    })
}

/// An edge that may be absent: `Some(None)`. `None` when it does not fit.
fn edge(f: &Fields<'_>, exclusive: &'static str, inclusive: &'static str) -> Option<Option<Edge>> {
    match (f.optional(exclusive), f.optional(inclusive)) {
        (None, None) => Some(None),
        (Some(node), None) => Some(Some(Edge { voltage_kv: node.voltage_kv()?, inclusive: false })),
        (None, Some(node)) => Some(Some(Edge { voltage_kv: node.voltage_kv()?, inclusive: true })),
        (Some(_), Some(_)) => {
            f.problems.note(&f.path, Fault::TwoEdges { first: exclusive, second: inclusive });
            None
        }
    }
}

fn distance(f: &Fields<'_>) -> Option<Distance> {
    let ways = [f.optional("distance"), f.optional("per_kv"), f.optional("per_height"), f.optional("words")];
    let given = ways.iter().flatten().count();
    if given != 1 {
        f.problems
            .note(&f.path, Fault::OneOf { choices: "\"distance\", \"per_kv\", \"per_height\", \"words\"", given });
        return None;
    }
    let [fixed, kv, height, words] = ways;
    let fixed = fixed.and_then(|node| node.length()).map(Distance::Fixed);
    let kv = kv.and_then(|node| per_kv(&node)).map(Distance::PerKv);
    let height = height.and_then(|node| per_height(&node)).map(Distance::PerHeight);
    fixed.or(kv).or(height).or(words.and_then(|node| node.owned()).map(Distance::Words))
}

fn per_kv(node: &Node<'_>) -> Option<PerKv> {
    let f = node.object(&["base", "above", "add", "per", "part_steps"])?;
    let length = |key| f.required(key).and_then(|node| node.length());
    let voltage_kv = |key| f.required(key).and_then(|node| node.voltage_kv());
    let (base, above_kv, add, per_kv) = (length("base"), voltage_kv("above"), length("add"), voltage_kv("per"));
    let part_steps = word!(f.required("part_steps"), PartSteps);
    Some(PerKv { base: base?, above_kv: above_kv?, add: add?, per_kv: per_kv?, part_steps: part_steps? })
}

fn per_height(node: &Node<'_>) -> Option<PerHeight> {
    let f = node.object(&["times", "add", "height"])?;
    let (times, add) =
        (f.required("times").and_then(|node| node.factor()), f.required("add").and_then(|node| node.length()));
    let height = f.text("height");
    Some(PerHeight { times: times?, add: add?, height: height? })
}

fn other_print(node: &Node<'_>) -> Option<OtherPrint> {
    let f = node.object(&["distance", "where"])?;
    let (distance, place_of_print) = (f.required("distance").and_then(|node| node.length()), f.text("where"));
    Some(OtherPrint { distance: distance?, place_of_print: place_of_print? })
}

fn condition(node: &Node<'_>) -> Option<Condition> {
    let f = node.object(&["id", "says", "confirmable"])?;
    let (id, says, confirmable) =
        (f.text("id"), f.text("says"), f.required("confirmable").and_then(|node| node.flag()));
    Some(Condition { id: id?, says: says?, confirmable: confirmable? })
}

fn unknown_voltage(node: &Node<'_>, inherited: Inherited) -> Option<UnknownVoltage> {
    let f = node.object(&["defaults", "note"])?;
    let note = f.optional("note").map(|note| note.owned());
    let defaults = f.required("defaults").and_then(|list| list.list(|one| unknown_default(&one, inherited)));
    Some(UnknownVoltage { defaults: defaults?, note: note.flatten() })
}

fn unknown_default(node: &Node<'_>, inherited: Inherited) -> Option<UnknownDefault> {
    let f = node.object(&["distance", "not_above", "other_prints", "provenance"])?;
    let distance = f.required("distance").and_then(|node| node.length());
    let not_above_kv = f.optional("not_above").map(|node| node.voltage_kv());
    let (other_prints, provenance) = (f.list("other_prints", |one| other_print(&one)), inherited.provenance(&f));
    Some(UnknownDefault {
        not_above_kv: not_above_kv.map_or(Some(None), |read| read.map(Some))?,
        distance: distance?,
        other_prints: other_prints?,
        provenance: provenance?,
    })
}

fn trigger(node: &Node<'_>) -> Option<Trigger> {
    let f = node.object(&["distance", "measured", "over", "up_to", "who", "does", "provenance"])?;
    let edge = |key| f.optional(key).map_or(Some(None), |node| node.voltage_kv().map(Some));
    let (distance, over_kv, up_to_kv) =
        (f.required("distance").and_then(|node| node.length()), edge("over"), edge("up_to"));
    let (who, does, provenance) = (f.text("who"), f.text("does"), word!(f.required("provenance"), Provenance));
    let measured = f.optional("measured").map_or(Some(Measured::AnyDirection), |node| word!(Some(node), Measured));
    Some(Trigger {
        distance: distance?,
        measured: measured?,
        over_kv: over_kv?,
        up_to_kv: up_to_kv?,
        who: who?,
        does: does?,
        provenance: provenance?,
    })
}

fn duty(node: &Node<'_>) -> Option<Duty> {
    let f = node.object(&["who", "does", "when", "lead_time", "provenance"])?;
    let (who, does, when) = (f.text("who"), f.text("does"), f.text("when"));
    let lead_time = f.optional("lead_time").map_or(Some(None), |node| node.owned().map(Some));
    let provenance = word!(f.required("provenance"), Provenance);
    Some(Duty { who: who?, does: does?, when: when?, lead_time: lead_time?, provenance: provenance? })
}
