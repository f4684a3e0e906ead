fn main() {
    let t = std::time::Instant::now();
    for c in sim_core::bench::cost::measure(|| t.elapsed().as_secs_f64()) {
        println!("{:32} {:?} {:8.2}", c.name, c.per, c.ns);
    }
}
