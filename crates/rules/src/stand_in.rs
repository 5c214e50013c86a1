//! What stands in where a place has no table of its own. Nothing smaller than any table that may hold there is taken.

use crate::book::RuleBook;
use crate::choice::{LimitChoice, StandIn, StandInBy};
use crate::error::LimitError;
use crate::model::RuleSet;
use crate::places::{ELSEWHERE, PartsTake, country_of};
use crate::quantity::LengthUnit;
use crate::query::Query;
use crate::select::{usable, work_fit};
use crate::unknown::COMMON_PRACTICE_UNKNOWN_M;
use crate::words::{Crew, Force, Measured, Origin, Provenance, Scope, Work};

impl RuleBook {
    /// The limit for a place without a table of its own: the law above it, else the largest distance known in its country,
    /// else the larger of common practice and the largest distance known anywhere.
    ///
    /// # Errors
    /// [`LimitError::NothingForPlace`] for work other than with machines, of which only tables of the place itself know, and
    /// whatever the law above refuses.
    pub(crate) fn stand_in(&self, query: &Query) -> Result<LimitChoice, LimitError> {
        if matches!(query.work, Work::SiteStructure | Work::Consult) {
            let (place, work) = (query.name.clone(), query.work);
            return Err(LimitError::NothingForPlace { place, work, by_name: Vec::new() });
        }
        if let Some(condition) = query.confirmed.first() {
            let (rule, condition) = (query.name.clone(), condition.clone());
            return Err(LimitError::UnknownCondition { rule, condition, known: Vec::new() });
        }
        let country = country_of(&query.name);
        match country.and_then(|country| Some((country, country.parts_take?))) {
            Some((country, PartsTake::LawAbove)) => {
                let above = Query { name: country.name.clone(), ..query.clone() };
                let choice = self.select_place(&above)?;
                Ok(self.standing_in(choice, query, StandInBy::LawAbove { law: country.name.clone() }))
            }
            Some((country, PartsTake::LargestOfCountry)) => {
                let largest = self.largest_of(query, |rule| country.parts.contains(&rule.place))?;
                let by = StandInBy::LargestOfCountry { country: country.name.clone(), of: largest.place.clone() };
                Ok(self.standing_in(largest, query, by))
            }
            None => self.largest_known(query),
        }
    }

    /// The least distance that any built-in table gives for a voltage and a kind of work, m: nobody's word goes below it.
    #[must_use]
    pub fn floor_m(&self, query: &Query) -> Option<f64> {
        let answers = self.general(query, |_| true).filter_map(|rule| self.select_rule(rule, query).ok());
        answers.map(|choice| choice.distance_m).min_by(f64::total_cmp)
    }

    fn largest_known(&self, query: &Query) -> Result<LimitChoice, LimitError> {
        let mut choice = self.largest_of(query, |_| true)?;
        let by = if choice.distance_m >= COMMON_PRACTICE_UNKNOWN_M {
            StandInBy::LargestKnown { of: choice.place.clone() }
        } else {
            choice.distance_m = COMMON_PRACTICE_UNKNOWN_M;
            (choice.printed, choice.printed_unit) = ("7 m".into(), LengthUnit::Metre);
            // No table stands behind it: nothing of the one that was smaller may be named as its source.
            choice.row = None;
            choice.place.clone_from(&query.name);
            choice.rule_id = ELSEWHERE.into();
            choice.instrument = "no table is known for this place".into();
            (choice.section, choice.edition) = ("common practice".into(), "not a rule".into());
            choice.who = "any machine or load".into();
            (choice.force, choice.provenance) = (Force::TradeGuidance, Provenance::Memory);
            choice.notes.clear();
            choice.source.clear();
            choice.resolutions.clear();
            choice.warnings.clear();
            StandInBy::CommonPractice
        };
        Ok(self.standing_in(choice, query, by))
    }

    /// The largest answer among the general rules for ordinary crews that a place may have. Rules that do not reach this
    /// voltage say nothing; where none reaches it, the refusal of the first is handed on.
    fn largest_of(&self, query: &Query, at: impl Fn(&RuleSet) -> bool) -> Result<LimitChoice, LimitError> {
        let query = Query { crew: Crew::Ordinary, ..query.clone() };
        let (found, refused): (Vec<_>, Vec<_>) =
            self.general(&query, at).map(|rule| self.select_rule(rule, &query)).partition(Result::is_ok);
        let largest = found.into_iter().flatten().reduce(|a, b| if b.distance_m > a.distance_m { b } else { a });
        largest.ok_or_else(|| LimitError::PlaceRefused {
            place: query.name.clone(),
            refusals: refused.into_iter().filter_map(Result::err).take(1).collect(),
        })
    }

    fn general<'a>(&'a self, query: &Query, at: impl Fn(&RuleSet) -> bool) -> impl Iterator<Item = &'a RuleSet> {
        let work = query.work;
        self.rule_sets().iter().filter(move |rule| {
            rule.origin == Origin::Embedded
                && rule.scope == Scope::General
                && rule.measured == Measured::AnyDirection
                && usable(rule, Crew::Ordinary).is_ok()
                && work_fit(rule, work).is_some()
                && at(rule)
        })
    }

    /// The choice in the name of the place that was asked for. Duties and planning distances of another country's law do not
    /// follow; the one duty is to ask.
    fn standing_in(&self, mut choice: LimitChoice, query: &Query, by: StandInBy) -> LimitChoice {
        if !matches!(by, StandInBy::LawAbove { .. }) {
            choice.triggers.clear();
            choice.duties.clear();
            choice.others.clear();
        }
        let known = self.is_place(&query.name) || country_of(&query.name).is_some() || query.name == ELSEWHERE;
        let nearest = if known { Vec::new() } else { self.nearest_names(&query.name) };
        let stand_in = StandIn { place: query.name.clone(), by, nearest };
        choice.warnings.insert(0, stand_in.words());
        choice.stand_in = Some(stand_in);
        choice
    }
}
