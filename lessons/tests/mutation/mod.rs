//! What becomes of the bytes of a file on its way: mutations for the property tests.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;

#[derive(Clone, Debug)]
pub enum Mutation {
    /// A byte is another.
    Change(Index, u8),
    /// Bytes come in.
    Insert(Index, Vec<u8>),
    /// A stretch is lost.
    Drop(Index, usize),
    /// A stretch stands twice.
    Double(Index, usize),
    /// The file ends early.
    Cut(Index),
    /// A number is another: the only mutation that often leaves a scene that reads.
    Number(Index, String),
    /// A line stands elsewhere.
    MoveLine(Index, Index),
}

/// Any of them.
pub fn mutation() -> impl Strategy<Value = Mutation> {
    let number = prop_oneof![
        (-1000.0..5000.0).prop_map(|n: f64| format!("{n:.3}")),
        any::<i64>().prop_map(|n| n.to_string()),
        any::<f64>().prop_map(|n| format!("{n:e}").replace("NaN", "nan")),
        Just("0".to_owned()),
        Just("0.00001".to_owned()),
    ];
    prop_oneof![
        2 => (any::<Index>(), any::<u8>()).prop_map(|(i, b)| Mutation::Change(i, b)),
        1 => (any::<Index>(), vec(any::<u8>(), 1..20)).prop_map(|(i, b)| Mutation::Insert(i, b)),
        1 => (any::<Index>(), "[\\[\\]{}=\",.0-9a-z \n]{1,12}").prop_map(|(i, t)| Mutation::Insert(i, t.into_bytes())),
        1 => (any::<Index>(), 1..40_usize).prop_map(|(i, n)| Mutation::Drop(i, n)),
        1 => (any::<Index>(), 1..200_usize).prop_map(|(i, n)| Mutation::Double(i, n)),
        1 => any::<Index>().prop_map(Mutation::Cut),
        8 => (any::<Index>(), number).prop_map(|(i, n)| Mutation::Number(i, n)),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(i, j)| Mutation::MoveLine(i, j)),
    ]
}

/// Does it to the bytes of a file.
pub fn mutate(bytes: &mut Vec<u8>, mutation: &Mutation) {
    if bytes.is_empty() {
        return;
    }
    let stretch = |i: &Index, n: usize| i.index(bytes.len())..(i.index(bytes.len()) + n).min(bytes.len());
    match mutation {
        Mutation::Change(i, b) => {
            let i = i.index(bytes.len());
            bytes[i] = *b;
        }
        Mutation::Insert(i, new) => {
            let i = i.index(bytes.len());
            bytes.splice(i..i, new.iter().copied());
        }
        Mutation::Drop(i, n) => {
            bytes.drain(stretch(i, *n));
        }
        Mutation::Double(i, n) => {
            let stretch = stretch(i, *n);
            let copy = bytes[stretch.clone()].to_vec();
            bytes.splice(stretch.end..stretch.end, copy);
        }
        Mutation::Cut(i) => bytes.truncate(i.index(bytes.len())),
        Mutation::Number(i, new) => {
            let digit = |b: u8| b.is_ascii_digit() || b == b'.';
            let starts: Vec<usize> =
                (1..bytes.len()).filter(|k| digit(bytes[*k]) && b" =".contains(&bytes[k - 1])).collect();
            if !starts.is_empty() {
                let start = starts[i.index(starts.len())];
                let end = (start..bytes.len()).find(|k| !digit(bytes[*k])).unwrap_or(bytes.len());
                bytes.splice(start..end, new.bytes());
            }
        }
        Mutation::MoveLine(i, j) => {
            let mut lines: Vec<Vec<u8>> = bytes.split(|b| *b == b'\n').map(<[u8]>::to_vec).collect();
            let line = lines.remove(i.index(lines.len()));
            lines.insert(j.index(lines.len() + 1), line);
            *bytes = lines.join(&b'\n');
        }
    }
}
