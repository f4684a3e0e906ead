//! From TOML text to a tree with places, and from a value to TOML text.

use super::{Kind, Row, Tree, TreeError};
use serde::Serialize;
use std::ops::Range;
use toml::de::{DeInteger, DeTable, DeValue};

/// Reads TOML.
///
/// # Errors
/// The text is no TOML: why, and where.
pub(super) fn read(text: &str) -> Result<Tree, TreeError> {
    let table = DeTable::parse(text).map_err(|why| TreeError::new(why.message(), why.span()))?;
    let at = table.span();
    Ok(Tree { kind: rows(table.get_ref()), at: Some(at) })
}

fn rows(table: &DeTable<'_>) -> Kind {
    let row = |name: &toml::Spanned<std::borrow::Cow<'_, str>>, value: &toml::Spanned<DeValue<'_>>| Row {
        name: name.get_ref().clone().into_owned(),
        at: Some(name.span()),
        tree: tree(value),
    };
    Kind::Table(table.iter().map(|(name, value)| row(name, value)).collect())
}

fn tree(value: &toml::Spanned<DeValue<'_>>) -> Tree {
    Tree { kind: kind(value.get_ref(), value.span()), at: Some(value.span()) }
}

fn kind(value: &DeValue<'_>, at: Range<usize>) -> Kind {
    match value {
        DeValue::String(text) => Kind::Text(text.clone().into_owned()),
        DeValue::Integer(whole) => integer(whole),
        DeValue::Float(number) => match number.as_str().parse::<f64>() {
            Ok(n) if n.is_finite() || !number.as_str().contains(|c: char| c.is_ascii_digit()) => Kind::Number(n),
            _ => Kind::Overflow("floating-point number overflowed"),
        },
        DeValue::Boolean(truth) => Kind::Truth(*truth),
        // Nothing that is read here has dates. serde's form of one is a table, and so it is refused as a table is.
        DeValue::Datetime(date) => {
            let tree = Tree { kind: Kind::Text(date.to_string()), at: Some(at.clone()) };
            Kind::Table(vec![Row { name: "date".to_owned(), at: Some(at), tree }])
        }
        DeValue::Array(list) => Kind::List(list.iter().map(tree).collect()),
        DeValue::Table(table) => rows(table),
    }
}

fn integer(whole: &DeInteger<'_>) -> Kind {
    let (text, radix) = (whole.as_str(), whole.radix());
    if let Ok(n) = i64::from_str_radix(text, radix) {
        Kind::Whole(n)
    } else if let Ok(n) = u64::from_str_radix(text, radix) {
        Kind::Natural(n)
    } else if let Ok(n) = i128::from_str_radix(text, radix) {
        Kind::Huge(n)
    } else {
        Kind::Overflow("integer number overflowed")
    }
}

/// The TOML text of a value, by way of its JSON, so that its writer is compiled for one notation.
///
/// # Errors
/// The value has no form in JSON or TOML: a number that is not finite, or names that are not text.
pub fn text(value: &impl Serialize) -> Result<String, String> {
    let json = serde_json::to_string(value).map_err(|why| why.to_string())?;
    let tree = Tree::of_json(&json).map_err(|why| why.to_string())?;
    toml::to_string(&tree).map_err(|why| why.to_string())
}
