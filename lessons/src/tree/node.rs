//! From a tree to a value. It does what serde_json's and toml's own readers do, with one difference that matters for the
//! size of the page: a struct gets its fields in its own order, so that no table of field names is compiled for it. A
//! name that a struct does not have is always refused.
//!
//! Both notations have words and rules of their own here: benches in JSON are written by the program, so nothing may be
//! left out, and what is wrong is told with its path; scenes in TOML are written by people, so what may be empty may be
//! left out, and what is wrong is told with its place, in the words that `words.rs` knows.

use super::{Kind, MISSING, Row, Tree, TreeError, find, spanned};
use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error as _, IntoDeserializer, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use std::cell::Cell;
use std::slice::Iter;

type Read<T> = Result<T, TreeError>;

/// A node of the tree.
#[derive(Clone, Copy)]
pub struct Node<'a>(pub &'a Tree);

impl Tree {
    /// Whether it comes from a notation with places.
    fn placed(&self) -> bool {
        self.at.is_some()
    }

    fn fault(&self, message: impl Into<String>) -> TreeError {
        TreeError::new(message, self.at.clone())
    }

    /// What stands here, for a reader of JSON.
    fn wrong(&self, wanted: &str) -> TreeError {
        let found = match &self.kind {
            Kind::Missing | Kind::Nothing => "nothing".to_owned(),
            Kind::Table(_) => "a table".to_owned(),
            Kind::List(_) => "a list".to_owned(),
            _ => serde_json::to_string(self).unwrap_or_default(),
        };
        self.fault(format!("{found} stands where {wanted} belongs"))
    }

    /// What stands here, in serde's words.
    fn unexpected(&self) -> Unexpected<'_> {
        match &self.kind {
            Kind::Missing | Kind::Nothing => Unexpected::Unit,
            Kind::Truth(truth) => Unexpected::Bool(*truth),
            Kind::Whole(n) => Unexpected::Signed(*n),
            Kind::Natural(n) => Unexpected::Unsigned(*n),
            Kind::Huge(_) | Kind::Overflow(_) => Unexpected::Other("a number"),
            Kind::Number(x) => Unexpected::Float(*x),
            Kind::Text(text) => Unexpected::Str(text),
            Kind::List(_) => Unexpected::Seq,
            Kind::Table(_) => Unexpected::Map,
        }
    }

    /// The parser's word for what stands here, where a table would have to.
    fn no_table(&self) -> TreeError {
        let found = match &self.kind {
            Kind::Text(_) => "string",
            Kind::Number(_) => "float",
            Kind::Truth(_) => "boolean",
            Kind::List(_) => "array",
            Kind::Table(_) => "table",
            _ => "integer",
        };
        self.fault(format!("expected table, found {found}"))
    }

    /// Refuses a name that a struct does not have.
    fn refuse_strays(&self, rows: &[Row], name: &str, fields: &'static [&'static str], variant: bool) -> Read<()> {
        let mut strays = rows.iter().filter(|row| !fields.contains(&row.name.as_str()));
        let Some(stray) = strays.next() else { return Ok(()) };
        let why = if !self.placed() {
            TreeError::custom(format!("{name} has no field `{}`", stray.name))
        } else if variant {
            let all = strays.fold(stray.name.clone(), |all, row| all + ", " + &row.name);
            let known = fields.join(", ");
            TreeError::custom(format!("unexpected keys in table: {all}, available keys: {known}"))
        } else {
            TreeError::unknown_field(&stray.name, fields)
        };
        Err(why.or_at(&stray.at))
    }
}

impl<'a> Node<'a> {
    /// The fields of a struct.
    fn fields<'de, V: Visitor<'de>>(self, rows: &[Row], fields: &'static [&'static str], visitor: V) -> Read<V::Value> {
        let missing = Cell::new(None);
        let read = visitor.visit_seq(Fields { rows, placed: self.0.placed(), names: fields.iter(), missing: &missing });
        read.map_err(|why| match missing.get() {
            Some(field) => TreeError::missing_field(field),
            None => why,
        })
    }
}

impl<'de> IntoDeserializer<'de, TreeError> for Node<'_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Node<'_> {
    type Error = TreeError;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Read<V::Value> {
        let read = match &self.0.kind {
            Kind::Missing => Err(TreeError::custom("it is missing")),
            Kind::Nothing => visitor.visit_unit(),
            Kind::Truth(truth) => visitor.visit_bool(*truth),
            Kind::Whole(whole) => visitor.visit_i64(*whole),
            Kind::Natural(natural) => visitor.visit_u64(*natural),
            Kind::Huge(whole) => visitor.visit_i128(*whole),
            Kind::Overflow(why) => Err(TreeError::custom(why)),
            Kind::Number(number) => visitor.visit_f64(*number),
            Kind::Text(text) => visitor.visit_str(text),
            Kind::List(trees) => visitor.visit_seq(List(trees.iter())),
            Kind::Table(rows) => visitor.visit_map(Table { rows: rows.iter(), value: None }),
        };
        read.map_err(|why| why.or_at(&self.0.at))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Read<V::Value> {
        match self.0.kind {
            Kind::Missing | Kind::Nothing => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, name: &'static str, visitor: V) -> Read<V::Value> {
        if name == spanned::NAME {
            return visitor.visit_seq(Place { node: self, asked: 0 });
        }
        visitor.visit_newtype_struct(self).map_err(|why| why.or_at(&self.0.at))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Read<V::Value> {
        match &self.0.kind {
            Kind::Table(rows) => {
                self.0.refuse_strays(rows, name, fields, false)?;
                self.fields(rows, fields, visitor).map_err(|why| why.or_at(&self.0.at))
            }
            _ if self.0.placed() => Err(TreeError::invalid_type(self.0.unexpected(), &visitor).or_at(&self.0.at)),
            _ => Err(self.0.wrong(name)),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Read<V::Value> {
        let placed = self.0.placed();
        let read = match &self.0.kind {
            Kind::Text(word) => visitor.visit_enum(Variant { word, at: &self.0.at, content: None }),
            Kind::Table(rows) => match rows.as_slice() {
                [row] => visitor.visit_enum(Variant { word: &row.name, at: &row.at, content: Some(&row.tree) }),
                [] if placed => Err(TreeError::custom("wanted exactly 1 element, found 0 elements")),
                _ if placed => Err(TreeError::custom("wanted exactly 1 element, more than 1 element")),
                _ => Err(self.0.wrong(name)),
            },
            _ if placed => Err(TreeError::custom("wanted string or table")),
            _ => Err(self.0.wrong(name)),
        };
        read.map_err(|why| why.or_at(&self.0.at))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map identifier ignored_any
    }
}

/// A value with its place: where it begins, where it ends, and the value.
struct Place<'a> {
    node: Node<'a>,
    asked: u8,
}

impl<'de> SeqAccess<'de> for Place<'_> {
    type Error = TreeError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<Option<T::Value>> {
        let Some(at) = &self.node.0.at else { return Ok(None) };
        self.asked += 1;
        match self.asked {
            1 => seed.deserialize((at.start as u64).into_deserializer()).map(Some),
            2 => seed.deserialize((at.end as u64).into_deserializer()).map(Some),
            _ => seed.deserialize(self.node).map(Some),
        }
    }
}

/// A list.
struct List<'a>(Iter<'a, Tree>);

impl<'de> SeqAccess<'de> for List<'_> {
    type Error = TreeError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<Option<T::Value>> {
        self.0.next().map(|tree| seed.deserialize(Node(tree))).transpose()
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.0.len())
    }
}

/// The fields of a struct in its own order. A field that is not there is told as the end of the list: a field with a
/// default then takes it, another refuses; the next one is asked for all the same.
struct Fields<'a> {
    rows: &'a [Row],
    placed: bool,
    names: Iter<'static, &'static str>,
    /// The field that was asked for last, if it is not there.
    missing: &'a Cell<Option<&'static str>>,
}

impl<'de> SeqAccess<'de> for Fields<'_> {
    type Error = TreeError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<Option<T::Value>> {
        let Some(name) = self.names.next() else { return Ok(None) };
        let found = find(self.rows, name);
        self.missing.set(if found.is_none() { Some(*name) } else { None });
        let tree = match found {
            Some(tree) => tree,
            None if self.placed => &MISSING,
            None => return Ok(None),
        };
        match seed.deserialize(Node(tree)) {
            Ok(value) => {
                self.missing.set(None);
                Ok(Some(value))
            }
            Err(_) if found.is_none() => Ok(None),
            Err(why) if self.placed => Err(why.or_at(&tree.at)),
            Err(why) => Err(TreeError::custom(format!("{name}: {why}"))),
        }
    }
}

/// A table whose names are data.
struct Table<'a> {
    rows: Iter<'a, Row>,
    value: Option<&'a Tree>,
}

impl<'de> MapAccess<'de> for Table<'_> {
    type Error = TreeError;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Read<Option<K::Value>> {
        let Some(row) = self.rows.next() else { return Ok(None) };
        self.value = Some(&row.tree);
        let name: StrDeserializer<'_, TreeError> = row.name.as_str().into_deserializer();
        seed.deserialize(name).map(Some).map_err(|why| why.or_at(&row.at))
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Read<T::Value> {
        match self.value.take() {
            Some(tree) => seed.deserialize(Node(tree)).map_err(|why| why.or_at(&tree.at)),
            None => Err(TreeError::custom("a value without its name")),
        }
    }
}

/// A variant: its word with its place, and what it holds.
struct Variant<'a> {
    word: &'a str,
    at: &'a Option<std::ops::Range<usize>>,
    content: Option<&'a Tree>,
}

impl<'a, 'de> EnumAccess<'de> for Variant<'a> {
    type Error = TreeError;
    type Variant = Content<'a>;

    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Read<(T::Value, Content<'a>)> {
        let word: StrDeserializer<'_, TreeError> = self.word.into_deserializer();
        let value = seed.deserialize(word).map_err(|why| why.or_at(self.at))?;
        Ok((value, Content { tree: self.content, placed: self.at.is_some() }))
    }
}

/// What a variant holds.
struct Content<'a> {
    tree: Option<&'a Tree>,
    placed: bool,
}

impl<'a> Content<'a> {
    fn node(&self, wanted: &'static str) -> Read<Node<'a>> {
        self.tree.map(Node).ok_or_else(|| match self.placed {
            true => TreeError::invalid_type(Unexpected::UnitVariant, &wanted),
            false => TreeError::custom("this word needs something with it"),
        })
    }
}

impl<'de> VariantAccess<'de> for Content<'_> {
    type Error = TreeError;

    fn unit_variant(self) -> Read<()> {
        let Some(tree) = self.tree else { return Ok(()) };
        match &tree.kind {
            Kind::Nothing => Ok(()),
            _ if !self.placed => Err(tree.wrong("nothing")),
            Kind::List(trees) if trees.is_empty() => Ok(()),
            Kind::Table(rows) if rows.is_empty() => Ok(()),
            Kind::List(_) => Err(tree.fault("expected empty array")),
            Kind::Table(_) => Err(tree.fault("expected empty table")),
            _ => Err(tree.no_table()),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Read<T::Value> {
        seed.deserialize(self.node("newtype variant")?)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Read<V::Value> {
        self.node("tuple variant")?.deserialize_any(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(self, fields: &'static [&'static str], visitor: V) -> Read<V::Value> {
        let node = self.node("struct variant")?;
        if let (Kind::Table(rows), true) = (&node.0.kind, self.placed) {
            node.0.refuse_strays(rows, "", fields, true)?;
        }
        node.deserialize_struct("this variant", fields, visitor)
    }
}
