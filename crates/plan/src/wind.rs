//! The wind in which a load may be lifted, and the wind that topples a standing shell. Equations and sources in
//! `docs/theory/falling.md`.

use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_rules::{DragRow, Shape, WindLoads};
use wideberth_scenario::Job;
use wideberth_scenario::job::{Lift, Topple};

/// The wind in which a machine may lift its load.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftingWind {
    /// Index of the machine.
    pub machine: usize,
    /// The strongest wind in which it may lift this load, m/s.
    pub limit_m_per_s: f64,
    /// The wind up to which its chart allows full loads, m/s.
    pub chart_m_per_s: f64,
    /// What the same manual's other formula, without the root, would print, m/s. It is told, not used.
    pub without_root_m_per_s: f64,
    /// The drag that was taken.
    pub drag: DragRow,
    /// The strongest wind in which the job allows work, m/s.
    pub windiest_m_per_s: f64,
}

/// The wind that topples a structure.
#[derive(Clone, Debug, PartialEq)]
pub struct TopplingWind {
    /// Index of the structure.
    pub structure: usize,
    /// The wind that topples it with the largest published drag, m/s: what it must be judged by.
    pub limit_m_per_s: f64,
    /// The wind that topples it with the smallest published drag, m/s.
    pub at_most_m_per_s: f64,
    /// The largest published drag.
    pub largest: DragRow,
    /// The smallest published drag.
    pub smallest: DragRow,
    /// The strongest wind of the conditions, m/s.
    pub windiest_m_per_s: f64,
}

impl LiftingWind {
    /// Whether the job allows work in stronger wind.
    #[must_use]
    pub fn is_exceeded(&self) -> bool {
        self.windiest_m_per_s > self.limit_m_per_s
    }
}

impl TopplingWind {
    /// Whether the conditions hold a wind that topples it.
    #[must_use]
    pub fn is_exceeded(&self) -> bool {
        self.windiest_m_per_s > self.limit_m_per_s
    }
}

/// v = v_chart·√(1.2 m²/t · m / (A·C_d)), never above v_chart (practice of crane charts; FEM 5.016, from memory).
#[must_use]
pub fn lifting_limit_m_per_s(lift: &Lift, drag: f64, sail_per_mass_m2_per_t: f64) -> f64 {
    lift.chart_wind_m_per_s * share_of_sail(lift, drag, sail_per_mass_m2_per_t).sqrt().min(1.0)
}

/// The sail that the chart takes for granted over the sail that is there.
fn share_of_sail(lift: &Lift, drag: f64, sail_per_mass_m2_per_t: f64) -> f64 {
    sail_per_mass_m2_per_t * (lift.mass_kg / 1000.0) / (lift.sail_m2 * drag)
}

/// ½·ρ·v²·C·(D·h)·(h/2) = m·g·b, so v = √(4·m·g·b / (ρ·C·D·h²)): moments about the edge of the base.
#[must_use]
pub fn toppling_limit_m_per_s(topple: &Topple, drag: f64, air_density_kg_per_m3: f64) -> f64 {
    let holds_nm = topple.mass_kg * GRAVITY_M_PER_S2 * topple.lever_m;
    let pushes = air_density_kg_per_m3 * drag * topple.width_m * topple.height_m.powi(2) / 4.0;
    (holds_nm / pushes).sqrt()
}

/// The wind for every load that a machine of the job lifts.
#[must_use]
pub fn lifting(job: &Job) -> Vec<LiftingWind> {
    let loads = WindLoads::embedded();
    let windiest_m_per_s = windiest_m_per_s(job);
    let machines = job.machines.iter().enumerate();
    let lifts = machines.filter_map(|(machine, info)| Some((machine, info.lift.as_ref()?)));
    let of = |(machine, lift): (usize, &Lift)| {
        let drag = loads.lifting_drag(lift.shape)?.clone();
        let share = share_of_sail(lift, drag.drag, loads.sail_per_mass_m2_per_t);
        Some(LiftingWind {
            machine,
            limit_m_per_s: lifting_limit_m_per_s(lift, drag.drag, loads.sail_per_mass_m2_per_t),
            chart_m_per_s: lift.chart_wind_m_per_s,
            without_root_m_per_s: lift.chart_wind_m_per_s * share.min(1.0),
            drag,
            windiest_m_per_s,
        })
    };
    lifts.filter_map(of).collect()
}

/// The wind for every structure that may topple and is not braced.
#[must_use]
pub fn toppling(job: &Job) -> Vec<TopplingWind> {
    let loads = WindLoads::embedded();
    let density_kg_per_m3 =
        job.lines.iter().map(|line| line.conditions.air_density_kg_per_m3).fold(f64::NEG_INFINITY, f64::max);
    let free = job.topples.iter().enumerate().filter(|(_, topple)| topple.machine.is_some());
    let of = |(structure, topple): (usize, &Topple)| {
        let (smallest, largest) = drags(&loads, topple.shape)?;
        Some(TopplingWind {
            structure,
            limit_m_per_s: toppling_limit_m_per_s(topple, largest.drag, density_kg_per_m3),
            at_most_m_per_s: toppling_limit_m_per_s(topple, smallest.drag, density_kg_per_m3),
            largest,
            smallest,
            windiest_m_per_s: windiest_m_per_s(job),
        })
    };
    free.filter_map(of).collect()
}

fn drags(loads: &WindLoads, shape: Shape) -> Option<(DragRow, DragRow)> {
    loads.standing_drags(shape).map(|(smallest, largest)| (smallest.clone(), largest.clone()))
}

/// The strongest wind that the conditions of any line allow, m/s: it blows on the machine too.
fn windiest_m_per_s(job: &Job) -> f64 {
    job.lines.iter().map(|line| line.conditions.wind_m_per_s.high()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sail_as_the_chart_expects_leaves_the_chart_alone() {
        let lift = Lift { mass_kg: 2000.0, sail_m2: 2.4, shape: Shape::Cylinder, chart_wind_m_per_s: 10.0 };
        assert!((lifting_limit_m_per_s(&lift, 1.0, 1.2) - 10.0).abs() < 1e-12);
        // Four times the sail, half the wind; a smaller sail allows no more than the chart.
        assert!((lifting_limit_m_per_s(&Lift { sail_m2: 9.6, ..lift }, 1.0, 1.2) - 5.0).abs() < 1e-12);
        assert!((lifting_limit_m_per_s(&Lift { sail_m2: 0.5, ..lift }, 1.0, 1.2) - 10.0).abs() < 1e-12);
    }

    #[test]
    fn moments_about_the_edge_are_equal_at_the_limit() {
        let topple = Topple {
            name: "shell".into(),
            machine: None,
            width_m: 4.3,
            lever_m: 2.15,
            height_m: 7.5,
            mass_kg: 2000.0,
            shape: Shape::Cylinder,
        };
        let v = toppling_limit_m_per_s(&topple, 0.63, 1.225);
        let push_nm = 0.5 * 1.225 * v * v * 0.63 * (4.3 * 7.5) * 3.75;
        assert!((push_nm - 2000.0 * GRAVITY_M_PER_S2 * 2.15).abs() < 1e-6);
    }
}
