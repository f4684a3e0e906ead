//! Makes the table of outcomes of a machine: `cargo run --release -p diagnosis --example outcomes -- 16 router-gantry`, with
//! settings that differ from delivery behind it, such as `servo.feedback=motor`.

use diagnosis::{Check, Machine, Table};
use std::io::Write as _;

fn main() -> Result<(), String> {
    let mut words = std::env::args().skip(1);
    let forms = words.next().unwrap_or_default();
    let forms: u32 = forms.parse().map_err(|_| format!("\"{forms}\" is no number of forms; write one, such as 16"))?;
    let machine = Machine::read(&words.collect::<Vec<_>>().join(" "))?;
    let checks: Vec<Check> = Check::all().collect();
    let mut told = std::io::stderr();
    let table = Table::build(&machine, forms, &checks, &mut |share| {
        // Nobody may be listening.
        let _ = write!(told, "\r{:3.0} %", share * 100.0);
    });
    std::io::stdout().lock().write_all(table.text().as_bytes()).map_err(|why| why.to_string())
}
