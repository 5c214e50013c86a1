//! Compares what the sources print with what we compute.

use std::collections::BTreeMap;

use crate::published::data::{Check, Expect, Method, Output};

/// Values by name in SI, one per state.
pub type Values = BTreeMap<&'static str, Vec<f64>>;

/// What we compute from the inputs of a check.
#[derive(Debug, Default)]
pub struct Computed {
    /// By the product.
    pub ours: Values,
    /// By the parabola, written in these tests.
    pub parabola: Values,
}

impl Computed {
    /// One value by the product.
    pub fn with(mut self, name: &'static str, si: f64) -> Self {
        self.ours.insert(name, vec![si]);
        self
    }

    /// Several values by the product.
    pub fn with_list(mut self, name: &'static str, si: Vec<f64>) -> Self {
        self.ours.insert(name, si);
        self
    }

    /// One value by the parabola.
    pub fn by_parabola(mut self, name: &'static str, si: f64) -> Self {
        self.parabola.insert(name, vec![si]);
        self
    }

    fn of(&self, method: Method, name: &str) -> Option<&[f64]> {
        let values = match method {
            Method::Catenary => &self.ours,
            Method::Parabola => &self.parabola,
        };
        values.get(name).map(Vec::as_slice)
    }
}

/// The outcome of comparing one output.
#[derive(Debug)]
pub struct Verdict {
    /// Our values in the printed unit.
    pub ours: Vec<f64>,
    /// The values of the product in the printed unit, where the comparison is with the parabola.
    pub catenary: Vec<f64>,
    /// One word for the table.
    pub word: &'static str,
    /// What is wrong, if the expectation is not met.
    pub failure: Option<String>,
}

impl Verdict {
    fn plain(word: &'static str) -> Self {
        Self { ours: Vec::new(), catenary: Vec::new(), word, failure: None }
    }

    fn failed(message: String) -> Self {
        Self { failure: Some(message), ..Self::plain("FAILS") }
    }
}

/// Judges one output of a check.
pub fn judge(check: &Check, output: &Output, computed: &Result<Computed, String>) -> Verdict {
    match (output.expect, computed) {
        (Expect::Later, _) => Verdict::plain("later"),
        (Expect::Refused, Err(_)) => Verdict::plain("refused"),
        (Expect::Refused, Ok(_)) => Verdict::failed(format!("{}: expected a refusal", check.id)),
        (_, Err(error)) => Verdict::failed(format!("{}: {error}", check.id)),
        (_, Ok(computed)) => compare(check, output, computed),
    }
}

fn compare(check: &Check, output: &Output, computed: &Computed) -> Verdict {
    let place = format!("{} {}", check.id, output.name);
    let in_unit = |method| {
        let values = computed.of(method, &output.name).unwrap_or_default();
        values.iter().map(|si| output.unit.of_si(*si)).collect::<Vec<_>>()
    };
    let ours = in_unit(output.method);
    let catenary = if output.method == Method::Parabola { in_unit(Method::Catenary) } else { Vec::new() };
    if ours.is_empty() {
        return Verdict::failed(format!("{place}: nothing computed"));
    }
    let failure = match (output.expect, within(output, &ours)) {
        (Expect::Agrees, false) => Some(format!("{place}: {ours:?}, printed {:?}", output.printed)),
        (Expect::Disagrees, true) => Some(format!("{place}: agrees although a misprint is expected")),
        _ if !catenary.is_empty() && within(output, &catenary) => {
            Some(format!("{place}: the catenary agrees too, compare with it: {catenary:?}"))
        }
        _ => None,
    };
    let word = if output.expect == Expect::Agrees { "agrees" } else { "disagrees" };
    Verdict { ours, catenary, word: if failure.is_some() { "FAILS" } else { word }, failure }
}

/// Whether every value lies within the tolerance of the printed one (rounding of the conversion included).
fn within(output: &Output, values: &[f64]) -> bool {
    let printed = output.printed.as_slice();
    assert_eq!(printed.len(), values.len(), "{}: as many values as printed ones", output.name);
    printed.iter().zip(values).all(|(printed, value)| {
        let printed: f64 = printed.parse().expect("the printed value is a number");
        (value - printed).abs() <= output.tolerance + 1e-12 * printed.abs()
    })
}
