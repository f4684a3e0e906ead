//! From JSON text to a tree, and from a tree to any writer.

use super::{Kind, Row, Tree};
use serde::de::{MapAccess, SeqAccess, Visitor};
use serde::ser::{SerializeMap, SerializeSeq};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Anything).map(|kind| Tree { kind, at: None })
    }
}

struct Anything;

impl<'de> Visitor<'de> for Anything {
    type Value = Kind;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any valid JSON value")
    }

    fn visit_unit<E>(self) -> Result<Kind, E> {
        Ok(Kind::Nothing)
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Kind, E> {
        Ok(Kind::Truth(truth))
    }

    fn visit_i64<E>(self, whole: i64) -> Result<Kind, E> {
        Ok(Kind::Whole(whole))
    }

    fn visit_u64<E>(self, natural: u64) -> Result<Kind, E> {
        Ok(Kind::Natural(natural))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Kind, E> {
        Ok(Kind::Number(number))
    }

    fn visit_str<E>(self, text: &str) -> Result<Kind, E> {
        Ok(Kind::Text(text.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Kind, A::Error> {
        let mut trees = Vec::new();
        while let Some(tree) = list.next_element()? {
            trees.push(tree);
        }
        Ok(Kind::List(trees))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut table: A) -> Result<Kind, A::Error> {
        let mut rows = Vec::new();
        while let Some((name, tree)) = table.next_entry()? {
            rows.push(Row { name, at: None, tree });
        }
        Ok(Kind::Table(rows))
    }
}

impl Serialize for Tree {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.kind {
            Kind::Missing | Kind::Nothing => serializer.serialize_none(),
            Kind::Truth(truth) => serializer.serialize_bool(*truth),
            Kind::Whole(whole) => serializer.serialize_i64(*whole),
            Kind::Natural(natural) => serializer.serialize_u64(*natural),
            Kind::Huge(whole) => serializer.serialize_i128(*whole),
            Kind::Number(number) => serializer.serialize_f64(*number),
            Kind::Overflow(text) => serializer.serialize_str(text),
            Kind::Text(text) => serializer.serialize_str(text),
            Kind::List(trees) => {
                let mut list = serializer.serialize_seq(Some(trees.len()))?;
                trees.iter().try_for_each(|tree| list.serialize_element(tree))?;
                list.end()
            }
            Kind::Table(rows) => {
                let mut table = serializer.serialize_map(Some(rows.len()))?;
                rows.iter().try_for_each(|row| table.serialize_entry(&row.name, &row.tree))?;
                table.end()
            }
        }
    }
}
