//! Runs shipped scenes and prints what came of them.
use sim_core::instrument::{digest::Digest, summary::Summary};
fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    for shipped in lessons::shipped() {
        if !wanted.is_empty() && !wanted.iter().any(|w| w == shipped.id) {
            continue;
        }
        match lessons::read(shipped.id, shipped.text) {
            Err(e) => println!("{e}"),
            Ok(scene) => {
                let t = std::time::Instant::now();
                let mut tap = (Summary::default(), Digest::default());
                let sim = sim_core::bench::run(&scene, &mut tap);
                let took = t.elapsed();
                println!(
                    "== {} {:?} digest {} x {:.4} counted {:.4}",
                    shipped.id,
                    took,
                    tap.1.hex(),
                    sim.record().table_m,
                    sim.record().counted_m
                );
                let s = &tap.0;
                println!(
                    "  err {:.3} worst {:.3} count {} {:?} illegal {} e {:.3} dep {:.3} amp {:?} ends {:?} alarms {} warn {} i {:.2}",
                    s.readout_error_mm,
                    s.worst_readout_error_mm,
                    s.count,
                    s.count_range,
                    s.illegal_transitions,
                    s.following_error_mm,
                    s.following_departure_mm,
                    s.amplitude_a_v,
                    s.amplitude_ends_v,
                    s.alarms,
                    s.warnings,
                    s.current_a
                );
                for l in s.log.iter().take(14) {
                    println!("    {l}");
                }
            }
        }
    }
}
