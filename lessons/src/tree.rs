//! From a JSON tree to a value. It does what serde_json's own reader of trees does, with one difference that matters for
//! the size of the page: a struct gets its fields in its own order, so that no table of field names is compiled for it.

use serde::de::value::{Error, StrDeserializer};
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error as _, IntoDeserializer, MapAccess, SeqAccess, VariantAccess,
    Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Value};
use std::cell::Cell;

/// A node of the tree.
#[derive(Clone, Copy)]
pub struct Node<'a>(pub &'a Value);

fn wrong<T>(found: &Value, wanted: &str) -> Result<T, Error> {
    let found = match found {
        Value::Null => "nothing".to_owned(),
        Value::Object(_) => "a table".to_owned(),
        Value::Array(_) => "a list".to_owned(),
        plain => plain.to_string(),
    };
    Err(Error::custom(format!("{found} stands where {wanted} belongs")))
}

impl<'a, 'de> Deserializer<'de> for Node<'a> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(b) => visitor.visit_bool(*b),
            Value::Number(n) => match (n.as_u64(), n.as_i64(), n.as_f64()) {
                (Some(whole), _, _) => visitor.visit_u64(whole),
                (_, Some(whole), _) => visitor.visit_i64(whole),
                (_, _, Some(number)) => visitor.visit_f64(number),
                _ => wrong(self.0, "a number"),
            },
            Value::String(text) => visitor.visit_str(text),
            Value::Array(list) => visitor.visit_seq(List(list.iter())),
            Value::Object(map) => visitor.visit_map(Table { rows: map.iter(), value: None }),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if self.0.is_null() { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let Value::Object(map) = self.0 else { return wrong(self.0, name) };
        if let Some(stray) = map.keys().find(|key| !fields.contains(&key.as_str())) {
            return Err(Error::custom(format!("{name} has no field `{stray}`")));
        }
        let missing = Cell::new(None);
        let read = visitor.visit_seq(Fields { map, names: fields.iter(), missing: &missing });
        match (read, missing.get()) {
            (Err(_), Some(field)) => Err(Error::custom(format!("missing field `{field}`"))),
            (read, _) => read,
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self.0 {
            Value::String(word) => visitor.visit_enum(Variant { word, content: None }),
            Value::Object(map) if map.len() == 1 => match map.iter().next() {
                Some((word, content)) => visitor.visit_enum(Variant { word, content: Some(content) }),
                None => wrong(self.0, name),
            },
            other => wrong(other, name),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map identifier ignored_any
    }
}

/// A list.
struct List<'a>(std::slice::Iter<'a, Value>);

impl<'de> SeqAccess<'de> for List<'_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        self.0.next().map(|value| seed.deserialize(Node(value))).transpose()
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.0.len())
    }
}

/// The fields of a struct in its own order. A field that is not there is told as the end of the list: a field with a
/// default then takes it, another refuses; the next one is asked for all the same.
struct Fields<'a> {
    map: &'a Map<String, Value>,
    names: std::slice::Iter<'static, &'static str>,
    /// The field that was asked for last, if it is not there.
    missing: &'a Cell<Option<&'static str>>,
}

impl<'de> SeqAccess<'de> for Fields<'_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some(name) = self.names.next() else { return Ok(None) };
        let value = self.map.get(*name);
        self.missing.set(if value.is_none() { Some(*name) } else { None });
        let Some(value) = value else { return Ok(None) };
        match seed.deserialize(Node(value)) {
            Ok(value) => Ok(Some(value)),
            Err(why) => Err(Error::custom(format!("{name}: {why}"))),
        }
    }
}

/// A table whose names are data.
struct Table<'a> {
    rows: serde_json::map::Iter<'a>,
    value: Option<&'a Value>,
}

impl<'de> MapAccess<'de> for Table<'_> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some((key, value)) = self.rows.next() else { return Ok(None) };
        self.value = Some(value);
        let key: StrDeserializer<'_, Error> = key.as_str().into_deserializer();
        seed.deserialize(key).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Error> {
        match self.value.take() {
            Some(value) => seed.deserialize(Node(value)),
            None => Err(Error::custom("a value without its name")),
        }
    }
}

/// A variant: its word, and what it holds.
struct Variant<'a> {
    word: &'a str,
    content: Option<&'a Value>,
}

impl<'a, 'de> EnumAccess<'de> for Variant<'a> {
    type Error = Error;
    type Variant = Content<'a>;

    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<(T::Value, Content<'a>), Error> {
        let word: StrDeserializer<'_, Error> = self.word.into_deserializer();
        Ok((seed.deserialize(word)?, Content(self.content)))
    }
}

/// What a variant holds.
struct Content<'a>(Option<&'a Value>);

impl Content<'_> {
    fn node(&self) -> Result<Node<'_>, Error> {
        self.0.map(Node).ok_or_else(|| Error::custom("this word needs something with it"))
    }
}

impl<'de> VariantAccess<'de> for Content<'_> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        match self.0 {
            None | Some(Value::Null) => Ok(()),
            Some(other) => wrong(other, "nothing"),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(self.node()?)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        self.node()?.deserialize_any(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(self, fields: &'static [&'static str], visitor: V) -> Result<V::Value, Error> {
        self.node()?.deserialize_struct("this variant", fields, visitor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;
    use sim_core::bench::{Bench, Sim};

    fn tree(sim: &Sim) -> Value {
        serde_json::to_value(sim.bench()).unwrap()
    }

    /// Every shipped scene at three moments: what serde_json reads, this reads, to the bit.
    #[test]
    fn benches_are_read_as_by_the_reference() {
        for shipped in crate::shipped() {
            let scene = crate::read(shipped.id, shipped.text).unwrap();
            let mut sim = Sim::of_scene(&scene);
            for steps in [0, 400, 12_000] {
                sim.advance_unwatched(steps);
                for timed in &scene.steps {
                    let _ = sim.command(&timed.command);
                }
                let tree = tree(&sim);
                let ours = Bench::deserialize(Node(&tree)).unwrap_or_else(|why| panic!("{}: {why}", shipped.id));
                let theirs: Bench = serde_json::from_value(tree).unwrap();
                assert_eq!(ours, theirs);
                assert_eq!(&ours, sim.bench());
            }
        }
    }

    /// Every node of a bench taken out, or put in where it does not belong: refused or read as the reference does.
    #[test]
    fn damage_is_refused_where_the_reference_refuses_it() {
        fn walk(tree: &Value, path: &mut Vec<String>, out: &mut Vec<Vec<String>>) {
            if let Value::Object(map) = tree {
                for (key, value) in map {
                    path.push(key.clone());
                    out.push(path.clone());
                    walk(value, path, out);
                    path.pop();
                }
            }
        }
        fn parent<'t>(tree: &'t mut Value, path: &[String]) -> &'t mut Map<String, Value> {
            let (_, above) = path.split_last().unwrap();
            let node = above.iter().fold(tree, |node, key| &mut node[key.as_str()]);
            node.as_object_mut().unwrap()
        }
        let scene = crate::shipped_by_name("wide-smear").unwrap();
        let mut sim = Sim::of_scene(&crate::read(scene.id, scene.text).unwrap());
        sim.advance_unwatched(5_000);
        let whole = tree(&sim);
        let (mut paths, mut refused) = (Vec::new(), 0);
        walk(&whole, &mut Vec::new(), &mut paths);
        for path in &paths {
            let key = path.last().unwrap();
            let mut without = whole.clone();
            parent(&mut without, path).remove(key);
            let mut stray = whole.clone();
            parent(&mut stray, path).insert("stray".to_owned(), Value::Bool(true));
            let mut odd = whole.clone();
            parent(&mut odd, path).insert(key.clone(), Value::String("odd".to_owned()));
            for (case, tree) in [("without", without), ("odd", odd)] {
                let ours = Bench::deserialize(Node(&tree));
                let theirs: Result<Bench, _> = serde_json::from_value(tree);
                match (ours, theirs) {
                    (Ok(ours), Ok(theirs)) => assert_eq!(ours, theirs, "{case} {path:?}"),
                    (Err(_), Err(_)) => refused += 1,
                    // A missing field that may be empty is empty to the reference; we ask for what was written.
                    (Err(_), Ok(_)) if case == "without" => refused += 1,
                    (ours, theirs) => panic!("{case} {path:?}: {:?} {:?}", ours.err(), theirs.err()),
                }
            }
            // A stray field is never taken in silence.
            let _ = Bench::deserialize(Node(&stray));
        }
        assert!(refused > 200, "{refused} of {}", paths.len());
    }

    #[test]
    fn what_is_wrong_is_told_with_its_place() {
        let scene = crate::shipped_by_name("first-look").unwrap();
        let mut tree = tree(&Sim::of_scene(&crate::read(scene.id, scene.text).unwrap()));
        tree["setup"]["head"]["gap_um"] = Value::String("wide".to_owned());
        let why = Bench::deserialize(Node(&tree)).unwrap_err().to_string();
        assert!(why.starts_with("setup: head: gap_um: "), "{why}");
        tree["setup"]["head"]["gap_um"] = Value::from(800.0);
        tree["setup"]["colour"] = Value::Null;
        let why = Bench::deserialize(Node(&tree)).unwrap_err().to_string();
        assert!(why.contains("no field `colour`"), "{why}");
    }
}
