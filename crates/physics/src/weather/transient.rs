//! How fast a wire follows its current and its weather.
//!
//! Source: IEEE Std 738-2012, equation 2a: m·C_p·dT/dt = q_s + I²·R(T) − q_c − q_r.

use ode_solvers::{Dopri5, OutputType, System, Vector1};

use super::heat::{Balance, check_heat, within};
use super::{Air, HeatBalance, HeatError, HeatRanges};
use crate::interval::Interval;

/// Heat that a metre of wire stores per kelvin, J/(m·K).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatCapacity(f64);

/// Specific heat of aluminium, J/(kg·K) (IEEE Std 738-2012, from memory).
const ALUMINIUM_J_PER_KGK: f64 = 955.0;
/// Specific heat of steel, J/(kg·K) (IEEE Std 738-2012, from memory).
const STEEL_J_PER_KGK: f64 = 476.0;
/// Specific heat of copper, J/(kg·K) (IEEE Std 738-2012, from memory).
const COPPER_J_PER_KGK: f64 = 423.0;

impl HeatCapacity {
    /// A given capacity, J/(m·K).
    ///
    /// # Errors
    /// Outside 5 to 20,000 J/(m·K).
    pub fn new(joule_per_mk: f64) -> Result<Self, HeatError> {
        within("heat capacity", joule_per_mk, "J/(m K)", 5.0, 20_000.0)?;
        Ok(Self(joule_per_mk))
    }

    /// From the masses of the metals, kg/m: Σ m·c.
    ///
    /// # Errors
    /// When the sum is none that a wire has.
    pub fn of_metals(aluminium_kg_per_m: f64, steel_kg_per_m: f64, copper_kg_per_m: f64) -> Result<Self, HeatError> {
        Self::new(
            aluminium_kg_per_m * ALUMINIUM_J_PER_KGK
                + steel_kg_per_m * STEEL_J_PER_KGK
                + copper_kg_per_m * COPPER_J_PER_KGK,
        )
    }

    /// The capacity, J/(m·K).
    #[must_use]
    pub fn joule_per_mk(&self) -> f64 {
        self.0
    }
}

/// A time with constant current, air and sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatStep {
    /// How long, s.
    pub duration_s: f64,
    /// Current, A.
    pub current_a: f64,
    /// Air.
    pub air: Air,
    /// Solar gain, W/m.
    pub solar_w_per_m: f64,
}

/// A wire that warms and cools in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transient {
    balance: HeatBalance,
    capacity: HeatCapacity,
}

/// Accepted error of each step of the integration, relative and in K.
const TOLERANCE: f64 = 1e-8;
/// Most steps of the integration.
const STEPS_MAX: u32 = 1_000_000;
/// Half-width of the range in which a temperature after a step lies, K.
const PROVEN_K: f64 = 1e-3;

impl Transient {
    /// The wire of a heat balance, with its heat capacity.
    #[must_use]
    pub fn new(balance: HeatBalance, capacity: HeatCapacity) -> Self {
        Self { balance, capacity }
    }

    /// Temperature after a step, °C.
    ///
    /// # Errors
    /// When an input is impossible, the wire has no steady temperature below 250 °C, or the integration fails.
    pub fn after_degc(&self, start_degc: f64, step: &HeatStep) -> Result<f64, HeatError> {
        let (balance, steady_degc) = self.prepared(start_degc, step)?;
        if step.duration_s == 0.0 {
            return Ok(start_degc);
        }
        let longest_s = step.duration_s.min(self.shortest_time_s(&balance, [start_degc, steady_degc]));
        let failed = HeatError::NotConverged { near_degc: start_degc };
        let end_degc = integrated(Rate { balance, capacity: self.capacity }, start_degc, step.duration_s, longest_s);
        let end_degc = end_degc.ok_or(failed)?;
        let reachable = Interval::hull(start_degc, steady_degc);
        if reachable.widened(PROVEN_K).contains(end_degc) { Ok(end_degc) } else { Err(failed) }
    }

    /// The shortest of the local time constants m·C_p/|dq/dT| at some temperatures, s.
    fn shortest_time_s(&self, balance: &Balance, temperatures_degc: [f64; 2]) -> f64 {
        let times = temperatures_degc.map(|t| self.capacity.joule_per_mk() / balance.surplus_with_rate(t).1.abs());
        times[0].min(times[1])
    }

    /// Temperatures at the end of each step, °C.
    ///
    /// # Errors
    /// As for [`Transient::after_degc`].
    pub fn follow_degc(&self, start_degc: f64, steps: &[HeatStep]) -> Result<Vec<f64>, HeatError> {
        let mut temperature_degc = start_degc;
        let advance = |step: &HeatStep| {
            temperature_degc = self.after_degc(temperature_degc, step)?;
            Ok(temperature_degc)
        };
        steps.iter().map(advance).collect()
    }

    /// A range that holds the temperature after a time, for every start in a range and every current, air and sun of the
    /// ranges, even if they change all the time, °C.
    ///
    /// The rate of change at a temperature is greatest in the hot corner and least in the cold one; a solution that
    /// starts above another and never falls faster stays above it.
    ///
    /// # Errors
    /// As for [`Transient::after_degc`].
    pub fn range_after_degc(
        &self,
        start_degc: Interval,
        ranges: &HeatRanges,
        duration_s: f64,
    ) -> Result<Interval, HeatError> {
        let end = |hot: bool, start_degc: f64| {
            let (current_a, air, solar_w_per_m) = ranges.corner(hot);
            self.after_degc(start_degc, &HeatStep { duration_s, current_a, air, solar_w_per_m })
        };
        let (low, high) = (end(false, start_degc.low())?, end(true, start_degc.high())?);
        Ok(Interval::hull(low, high).widened(PROVEN_K))
    }

    /// Time constant of a step, s: what the change of temperature would take at the first moment's rate,
    /// τ = m·C_p·(T_∞ − T₀)/q(T₀).
    ///
    /// # Errors
    /// As for [`Transient::after_degc`].
    pub fn time_constant_s(&self, start_degc: f64, step: &HeatStep) -> Result<f64, HeatError> {
        let (balance, steady_degc) = self.prepared(start_degc, step)?;
        let (surplus, rate) = balance.surplus_with_rate(start_degc);
        let settled = (steady_degc - start_degc).abs() < 1e-3;
        let per_k = if settled { -rate } else { surplus / (steady_degc - start_degc) };
        Ok(self.capacity.joule_per_mk() / per_k)
    }

    fn prepared(&self, start_degc: f64, step: &HeatStep) -> Result<(Balance, f64), HeatError> {
        check_heat(step.current_a, step.solar_w_per_m)?;
        step.air.check()?;
        within("first wire temperature", start_degc, "degC", -90.0, super::heat::HOTTEST_DEGC)?;
        within("duration", step.duration_s, "s", 0.0, 1e6)?;
        let balance = self.balance.balance(&step.air, step.current_a, step.solar_w_per_m);
        let steady_degc = balance.root()?;
        Ok((balance, steady_degc))
    }
}

/// Temperature after a time by the method of Dormand and Prince, with steps that are never longer than a time constant.
fn integrated(rate: Rate, start_degc: f64, duration_s: f64, longest_s: f64) -> Option<f64> {
    let (safety, smoothing, shrink, grow) = (0.9, 0.04, 0.2, 10.0);
    let mut solver = Dopri5::from_param(
        rate,
        0.0,
        duration_s,
        duration_s,
        Vector1::new(start_degc),
        TOLERANCE,
        TOLERANCE,
        safety,
        smoothing,
        shrink,
        grow,
        longest_s,
        0.1 * longest_s,
        STEPS_MAX,
        STEPS_MAX,
        OutputType::Sparse,
    );
    solver.integrate().ok()?;
    solver.y_out().last().map(|y| y[0]).filter(|t| t.is_finite())
}

/// dT/dt of a wire.
struct Rate {
    balance: Balance,
    capacity: HeatCapacity,
}

impl System<f64, Vector1<f64>> for Rate {
    fn system(&self, _: f64, y: &Vector1<f64>, dy: &mut Vector1<f64>) {
        dy[0] = self.balance.surplus_with_rate(y[0]).0 / self.capacity.joule_per_mk();
    }
}
