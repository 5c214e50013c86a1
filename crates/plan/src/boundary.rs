//! Where along a scale of settings a machine becomes clear: bisection between a setting that is proven clear and one that is
//! not.
//!
//! Settings are counted in whole steps from 0, the scenario as it is, toward stricter ones. Nothing is taken for granted
//! about what lies between two settings: the setting that is answered was proven clear by its own search.

use wideberth_physics::verdict::Verdict;

use crate::decide::PlanError;

/// What a trial of one setting found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tried {
    /// Its verdict.
    pub verdict: Verdict,
    /// Every setting up to this one is too close by the same pose and state.
    pub rules_out: Option<u32>,
}

/// Two neighbouring settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boundary {
    /// Proven clear.
    pub clear: u32,
    /// One step less: not clear.
    pub not_clear: u32,
    /// Its verdict: too close by a pose and state that were found, or not proven.
    pub verdict: Verdict,
}

/// Stricter settings allow a part of what milder ones allow: once the strictest is not clear, none is.
///
/// # Errors
/// As the trials.
pub fn nested(
    strictest: u32,
    present: Verdict,
    mut attempt: impl FnMut(u32) -> Result<Tried, PlanError>,
) -> Result<Option<Boundary>, PlanError> {
    if strictest == 0 || attempt(strictest)?.verdict != Verdict::Clear {
        return Ok(None);
    }
    bisect((0, present), strictest, attempt).map(Some)
}

/// Settings of which one says nothing of the next: tried in doubling steps from `first`, then bisected.
///
/// # Errors
/// As the trials.
pub fn outward(
    first: u32,
    last: u32,
    present: Verdict,
    mut attempt: impl FnMut(u32) -> Result<Tried, PlanError>,
) -> Result<Option<Boundary>, PlanError> {
    let (mut low, mut at) = ((0, present), first.clamp(1, last.max(1)));
    loop {
        let tried = attempt(at)?;
        if tried.verdict == Verdict::Clear {
            return bisect(low, at, attempt).map(Some);
        }
        if at >= last {
            return Ok(None);
        }
        low = (at, tried.verdict);
        at = (2 * at).min(last);
    }
}

/// Halves the gap until the settings are neighbours. Keeps: `clear` is proven clear, `low` is not.
fn bisect(
    mut low: (u32, Verdict),
    mut clear: u32,
    mut attempt: impl FnMut(u32) -> Result<Tried, PlanError>,
) -> Result<Boundary, PlanError> {
    while clear - low.0 > 1 {
        let middle = low.0 + (clear - low.0) / 2;
        let tried = attempt(middle)?;
        if tried.verdict == Verdict::Clear {
            clear = middle;
        } else {
            low = (tried.rules_out.unwrap_or(middle).clamp(middle, clear - 1), tried.verdict);
        }
    }
    Ok(Boundary { clear, not_clear: low.0, verdict: low.1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clear_from(edge: u32, at: u32) -> Result<Tried, PlanError> {
        let verdict = if at >= edge { Verdict::Clear } else { Verdict::TooClose };
        Ok(Tried { verdict, rules_out: None })
    }

    #[test]
    fn finds_neighbours_wherever_the_edge_lies() {
        for edge in 1..200 {
            let wanted = Boundary { clear: edge, not_clear: edge - 1, verdict: Verdict::TooClose };
            assert_eq!(nested(250, Verdict::TooClose, |at| clear_from(edge, at)), Ok(Some(wanted)));
            assert_eq!(outward(3, 250, Verdict::TooClose, |at| clear_from(edge, at)), Ok(Some(wanted)));
        }
    }

    #[test]
    fn says_so_where_nothing_is_clear() {
        assert_eq!(nested(250, Verdict::TooClose, |at| clear_from(251, at)), Ok(None));
        assert_eq!(outward(3, 250, Verdict::TooClose, |at| clear_from(251, at)), Ok(None));
        assert_eq!(nested(0, Verdict::TooClose, |at| clear_from(0, at)), Ok(None));
    }

    #[test]
    fn what_is_answered_was_tried_itself_even_where_clear_and_not_clear_alternate() {
        for seed in 0_u32..50 {
            let clear = |at: u32| (at.wrapping_mul(2_654_435_761) ^ seed).count_ones().is_multiple_of(2);
            let attempt = |at| {
                let verdict = if clear(at) { Verdict::Clear } else { Verdict::TooClose };
                Ok(Tried { verdict, rules_out: None })
            };
            if let Ok(Some(found)) = outward(1, 1000, Verdict::TooClose, attempt) {
                assert!(clear(found.clear) && found.not_clear + 1 == found.clear);
            }
        }
    }

    #[test]
    fn a_witness_saves_trials() {
        let trials = |rules_out| {
            let mut count = 0;
            let found = nested(1000, Verdict::TooClose, |at| {
                count += 1;
                let verdict = if at >= 999 { Verdict::Clear } else { Verdict::TooClose };
                Ok(Tried { verdict, rules_out })
            });
            assert_eq!(found.map(|f| f.map(|f| f.clear)), Ok(Some(999)));
            count
        };
        let (alone, with) = (trials(None), trials(Some(998)));
        assert!(with < alone - 5, "{with} with a witness, {alone} without");
    }
}
