//! Gusts along a span from a published spectrum and given random numbers.

use std::f64::consts::PI;

use rustfft::FftPlanner;
use rustfft::num_complex::Complex;
use thiserror::Error;

/// The turbulence of a wind at one height.
///
/// Spectrum of EN 1991-1-4:2005 annex B.1 (the form of Kaimal et al. 1972): n·S(n)/σ² = 6.8·f/(1 + 10.2·f)^(5/3), f = n·L/U.
/// Likeness of gusts at a distance s along the span (Davenport 1961): coherence exp(−c·n·s/U) of the amplitudes, c = 11.5
/// (EN 1991-1-4:2005 annex C). Both from memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turbulence {
    /// Mean speed over 10 minutes across the span, m/s.
    pub mean_m_per_s: f64,
    /// Standard deviation of the speed, m/s.
    pub deviation_m_per_s: f64,
    /// Length scale L of the gusts, m.
    pub scale_m: f64,
}

/// Decay of likeness along the span.
const DECAY: f64 = 11.5;
/// Gusts quicker than this are left out, Hz: they are smaller than the wire feels as a whole.
const QUICKEST_HZ: f64 = 2.0;

/// Wind speeds across a span at each inner node, in the middle of each step.
#[derive(Clone, Debug, PartialEq)]
pub struct Gusts {
    step_s: f64,
    places: usize,
    speeds_m_per_s: Vec<f64>,
}

/// Why there are no gusts.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum GustsError {
    /// A quantity outside its range.
    #[error("{quantity} must be above 0 and finite, not {value}")]
    Quantity {
        /// Which.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// The random numbers ended.
    #[error("the random numbers ended before the gusts were made")]
    Deviates,
}

impl Turbulence {
    /// Power of the gusts at a frequency, (m/s)²/Hz, one-sided.
    #[must_use]
    pub fn spectrum_m2_per_s(&self, frequency_hz: f64) -> f64 {
        let f = frequency_hz * self.scale_m / self.mean_m_per_s;
        let shape = 6.8 * f / (1.0 + 10.2 * f).powf(5.0 / 3.0);
        self.deviation_m_per_s.powi(2) * shape / frequency_hz
    }

    /// Coherence of the amplitudes of gusts at a distance, 0..1.
    #[must_use]
    pub fn coherence(&self, frequency_hz: f64, apart_m: f64) -> f64 {
        (-DECAY * frequency_hz * apart_m / self.mean_m_per_s).exp()
    }
}

impl Gusts {
    /// A steady wind, m/s.
    #[must_use]
    pub fn steady(wind_m_per_s: f64, places: usize, step_s: f64, steps: usize) -> Self {
        Self::even(&vec![wind_m_per_s; steps], places, step_s)
    }

    /// The same wind at all places: its speed in the middle of each step, m/s.
    #[must_use]
    pub fn even(speeds_m_per_s: &[f64], places: usize, step_s: f64) -> Self {
        let speeds_m_per_s = speeds_m_per_s.iter().flat_map(|speed| std::iter::repeat_n(*speed, places)).collect();
        Self { step_s, places, speeds_m_per_s }
    }

    /// Gusts over `steps` steps at `places` places `apart_m` from each other, from standard normal deviates.
    ///
    /// Spectral representation: u(t) = Σ √(S(n)·Δn)·(a·cos 2πnt − b·sin 2πnt), n a multiple of Δn = 1/duration, with
    /// amplitudes that are standard normal and alike along the span. A likeness that falls off exponentially makes the
    /// amplitudes a Markov chain along the span: each is the last one times the coherence, plus a new deviate. The power below
    /// the slowest frequency of so short a time is given to that frequency, so that no gust is lost.
    ///
    /// # Errors
    /// A quantity that is not positive; deviates that end.
    pub fn new(
        turbulence: &Turbulence,
        (places, apart_m): (usize, f64),
        (steps, step_s): (usize, f64),
        deviates: &mut impl Iterator<Item = f64>,
    ) -> Result<Self, GustsError> {
        let positive = [
            ("the mean wind", turbulence.mean_m_per_s),
            ("the gusts' deviation", turbulence.deviation_m_per_s),
            ("the gusts' length scale", turbulence.scale_m),
            ("the distance of the places", apart_m),
            ("the step in time", step_s),
        ];
        if let Some((quantity, value)) = positive.into_iter().find(|(_, v)| !(v.is_finite() && *v > 0.0)) {
            return Err(GustsError::Quantity { quantity, value });
        }
        let mut parts: Vec<Vec<(f64, f64)>> = Vec::new();
        let slowest_hz = 1.0 / (steps as f64 * step_s);
        let count = (QUICKEST_HZ / slowest_hz).floor() as usize;
        for index in 1..=count {
            let frequency_hz = index as f64 * slowest_hz;
            let power = if index == 1 {
                slow_power(turbulence, 1.5 * slowest_hz)
            } else {
                turbulence.spectrum_m2_per_s(frequency_hz) * slowest_hz
            };
            let likeness = turbulence.coherence(frequency_hz, apart_m);
            parts.push(amplitudes(power.sqrt(), likeness, places, deviates).ok_or(GustsError::Deviates)?);
        }
        let mut gusts = Self::steady(turbulence.mean_m_per_s, places, step_s, steps);
        gusts.add(&parts);
        Ok(gusts)
    }

    /// Adds waves by their cosine and sine amplitudes at each place, the first once in the whole time, the next twice, and so on:
    /// Σ(a·cos θ − b·sin θ) is the real part of Σ(a + ib)·exp(iθ), a Fourier transform over the steps.
    fn add(&mut self, waves: &[Vec<(f64, f64)>]) {
        let steps = self.speeds_m_per_s.len() / self.places;
        let transform = FftPlanner::<f64>::new().plan_fft_inverse(steps);
        let mut sums = vec![Complex::<f64>::default(); steps];
        for place in 0..self.places {
            sums.fill(Complex::default());
            for (times, wave) in (1..).zip(waves) {
                let (a, b) = wave[place];
                // In the middle of each step; waves quicker than the steps look like slower ones.
                sums[times % steps] += Complex::new(a, b) * Complex::cis(PI * times as f64 / steps as f64);
            }
            transform.process(&mut sums);
            let speeds = self.speeds_m_per_s.iter_mut().skip(place).step_by(self.places);
            speeds.zip(&sums).for_each(|(speed, sum)| *speed += sum.re);
        }
    }

    /// The same gusts blowing to the span's left (1) or right (-1).
    #[must_use]
    pub fn toward(mut self, side: f64) -> Self {
        self.speeds_m_per_s.iter_mut().for_each(|speed| *speed *= side);
        self
    }

    /// Length of a step, s.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// Number of places along the span.
    #[must_use]
    pub fn places(&self) -> usize {
        self.places
    }

    /// Speeds at all places, m/s, step by step.
    pub fn steps(&self) -> impl Iterator<Item = &[f64]> {
        self.speeds_m_per_s.chunks_exact(self.places)
    }
}

/// Power of all gusts slower than a frequency: ∫S dn = σ²·(1 − (1 + 10.2·f)^(−2/3)), the spectrum's own integral.
fn slow_power(turbulence: &Turbulence, below_hz: f64) -> f64 {
    let f = below_hz * turbulence.scale_m / turbulence.mean_m_per_s;
    turbulence.deviation_m_per_s.powi(2) * (1.0 - (1.0 + 10.2 * f).powf(-2.0 / 3.0))
}

/// Cosine and sine amplitudes along the span.
fn amplitudes(
    size: f64,
    likeness: f64,
    places: usize,
    deviates: &mut impl Iterator<Item = f64>,
) -> Option<Vec<(f64, f64)>> {
    let fresh = (1.0 - likeness * likeness).sqrt();
    let mut last: Option<(f64, f64)> = None;
    (0..places)
        .map(|_| {
            let (a, b) = (size * deviates.next()?, size * deviates.next()?);
            let amplitude = last.map_or((a, b), |(c, d)| (likeness * c + fresh * a, likeness * d + fresh * b));
            last = Some(amplitude);
            Some(amplitude)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn waves_add_up_one_by_one(
            steps in 2..40_usize, waves in prop::collection::vec(prop::collection::vec((-1.0..1.0, -1.0..1.0_f64), 3), 1..50),
        ) {
            let mut gusts = Gusts::steady(8.0, 3, 0.1, steps);
            gusts.add(&waves);
            for (step, row) in gusts.steps().enumerate() {
                for (place, speed) in row.iter().enumerate() {
                    let wave = |(times, wave): (usize, &Vec<(f64, f64)>)| {
                        let (sin, cos) = (2.0 * PI * times as f64 * (step as f64 + 0.5) / steps as f64).sin_cos();
                        wave[place].0 * cos - wave[place].1 * sin
                    };
                    let expected = 8.0 + (1..).zip(&waves).map(wave).sum::<f64>();
                    prop_assert!((speed - expected).abs() < 1e-11, "{} instead of {}", speed, expected);
                }
            }
        }
    }
}
