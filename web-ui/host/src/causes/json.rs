//! The catalogue for other programs.

use serde::Serialize;
use sim_core::fault::service::{Caution, DEFER, Service};

use crate::{Error, Result};

/// Format of the JSON: it grows when a key changes its meaning or goes away.
const FORMAT: u32 = 1;

#[derive(Serialize)]
struct Catalogue {
    format: u32,
    causes: Vec<Cause>,
    /// Each caution that the causes name.
    cautions: Vec<Words>,
    /// What stands below any list of cautions.
    closing: &'static str,
}

#[derive(Serialize)]
struct Cause {
    name: &'static str,
    /// Its name on the bench; null when it cannot be put in there.
    title: Option<&'static str>,
    kind: &'static str,
    cause: &'static str,
    seen: &'static [&'static str],
    tells: &'static [&'static str],
    remedy: &'static str,
    minutes: u16,
    parts: Money,
    cautions: Vec<&'static str>,
}

/// What the parts cost, in any currency.
#[derive(Serialize)]
struct Money {
    from: u32,
    /// Null: no upper end.
    to: Option<u32>,
}

#[derive(Serialize)]
struct Words {
    name: &'static str,
    text: &'static str,
}

impl From<&Service> for Cause {
    fn from(service: &Service) -> Self {
        let (from, to) = service.parts.range();
        Self {
            name: service.name,
            title: service.row().map(|row| row.title),
            kind: service.kind.name(),
            cause: service.cause,
            seen: service.seen,
            tells: service.tells,
            remedy: service.remedy,
            minutes: service.minutes,
            parts: Money { from, to },
            cautions: service.cautions.iter().map(|c| c.name()).collect(),
        }
    }
}

/// Some causes as JSON text.
///
/// # Errors
/// Never: it is all text and whole numbers.
pub fn text(services: &[Service]) -> Result<String> {
    let named = Caution::ALL.into_iter().filter(|c| services.iter().any(|s| s.cautions.contains(c)));
    let catalogue = Catalogue {
        format: FORMAT,
        causes: services.iter().map(Cause::from).collect(),
        cautions: named.map(|c| Words { name: c.name(), text: c.text() }).collect(),
        closing: DEFER,
    };
    let text = serde_json::to_string_pretty(&catalogue)
        .map_err(|e| Error::new(format!("cannot write the causes: {e}"), "standard output", "report this"))?;
    Ok(text + "\n")
}
