//! Makes the table of outcomes of a machine: `cargo run --release -p diagnosis --example outcomes -- router-gantry 16`.
//! Names of checks behind it make a table of those alone.

use diagnosis::{Check, Table};
use sim_core::setup::BenchId;
use std::io::Write as _;

fn main() -> Result<(), String> {
    let mut words = std::env::args().skip(1);
    let (name, forms) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    let bench = BenchId::ALL
        .into_iter()
        .find(|bench| bench.name() == name)
        .ok_or_else(|| format!("there is no machine \"{name}\"; name one, such as router-gantry"))?;
    let forms: u32 = forms.parse().map_err(|_| format!("\"{forms}\" is no number of forms; write one, such as 16"))?;
    let named = words.map(|name| Check::by_name(&name).ok_or_else(|| format!("there is no check \"{name}\"")));
    let named: Vec<Check> = named.collect::<Result<_, _>>()?;
    let checks = if named.is_empty() { Check::all().collect() } else { named };
    let mut told = std::io::stderr();
    let table = Table::build(bench, forms, &checks, &mut |share| {
        // Nobody may be listening.
        let _ = write!(told, "\r{:3.0} %", share * 100.0);
    });
    std::io::stdout().lock().write_all(table.text().as_bytes()).map_err(|why| why.to_string())
}
