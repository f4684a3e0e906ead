//! Makes the table of outcomes of a machine: `cargo run --release -p diagnosis --example outcomes -- 16 router-gantry`, with
//! settings that differ from delivery behind it, such as `servo.feedback=motor`, and names of checks to make those alone.

use diagnosis::{Check, Machine, Table};
use std::io::Write as _;

fn main() -> Result<(), String> {
    let mut words = std::env::args().skip(1);
    let forms = words.next().unwrap_or_default();
    let forms: u32 = forms.parse().map_err(|_| format!("\"{forms}\" is no number of forms; write one, such as 16"))?;
    let (checks, machine): (Vec<String>, Vec<String>) = words.partition(|word| Check::by_name(word).is_some());
    let machine = Machine::read(&machine.join(" "))?;
    let named: Vec<Check> = checks.iter().filter_map(|name| Check::by_name(name)).collect();
    let checks = if named.is_empty() { Check::all().collect() } else { named };
    let mut told = std::io::stderr();
    let table = Table::build(&machine, forms, &checks, &mut |share| {
        // Nobody may be listening.
        let _ = write!(told, "\r{:3.0} %", share * 100.0);
    });
    std::io::stdout().lock().write_all(table.text().as_bytes()).map_err(|why| why.to_string())
}
