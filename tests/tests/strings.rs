//! String-hung sections.
use std::time::Instant;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_tests::generate::Draw;
use wideberth_tests::sections::*;

#[test]
fn explore() {
    let hung = five_spans();
    let t = Instant::now();
    let wire = hung.wire();
    println!("proven in {:?}", t.elapsed());
    let wire = match wire {
        Ok(w) => w,
        Err(e) => {
            println!("{e}");
            panic!()
        }
    };
    for span in wire.spans() {
        println!(
            "{:?} a most {:.0} least {:.0} sag {:.2} {:.2} swing {:?} sway {:.3}",
            span.index(),
            span.envelope().most().constant_m(),
            span.envelope().least().constant_m(),
            span.envelope().most().greatest_sag_m(),
            span.envelope().least().greatest_sag_m(),
            span.envelope().swing_rad(),
            span.cover().greatest_sway_m()
        );
    }
    for tol in [0.1, 0.03, 0.01] {
        let wire = hung.wire().unwrap();
        let t = Instant::now();
        let a = closest_approach(&crane_beside(), &wire, &Options { tolerance_m: tol, ..Options::default() }).unwrap();
        println!("{:?} {:?} cells {} {:?} {:?}", t.elapsed(), a.distance, a.cells, a.stop, a.witness);
    }
    for seed in 0..40 {
        let h = random_section(&mut Draw::new(seed));
        let t = Instant::now();
        match h.wire() {
            Ok(w) => println!("{seed} ok {:?} spans {}", t.elapsed(), w.spans().len()),
            Err(e) => println!("{seed} {:?} {e}", t.elapsed()),
        }
    }
}
