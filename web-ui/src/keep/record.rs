//! The learner's record in the browser's own storage.

use super::shelf::Shelf;
use lessons::lesson::learner::Record;

/// Under which name it is kept.
const NAME: &str = "countlight.learner";

/// The record that was kept; without one, or with one that cannot be read, that of a new learner. What cannot be read is
/// put aside and not overwritten, and the person is told.
pub fn kept(shelf: &impl Shelf, new_learner: u32) -> (Record, Option<String>) {
    let Some(text) = shelf.get(NAME) else { return (Record::new(new_learner), None) };
    match Record::read(&text) {
        Ok(record) => (record, None),
        Err(why) => {
            let aside = format!("{NAME}.aside");
            let said = match shelf.put(&aside, &text) {
                Ok(()) => {
                    format!("Your record of lessons could not be read: {why}. It was put aside and a new one begun.")
                }
                Err(_) => format!("Your record of lessons could not be read: {why}. A new one was begun."),
            };
            (Record::new(new_learner), Some(said))
        }
    }
}

/// Keeps the record; false when the browser has no room for it.
pub fn keep(shelf: &impl Shelf, record: &Record) -> bool {
    record.write().is_ok_and(|text| shelf.put(NAME, &text).is_ok())
}

/// Whether a file is a record, by its first letters.
pub fn looks_like_record(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(400)]);
    head.trim_start().starts_with('{') && head.contains("\"learner\"")
}

#[cfg(test)]
mod tests {
    use super::super::shelf::Board;
    use super::*;

    #[test]
    fn a_record_comes_back_and_a_broken_one_is_put_aside() {
        let board = Board::default();
        assert_eq!(kept(&board, 5), (Record::new(5), None));
        let mut record = Record::new(5);
        record.name = "Ada".into();
        assert!(keep(&board, &record));
        assert_eq!(kept(&board, 9), (record.clone(), None));
        assert!(looks_like_record(record.write().unwrap().as_bytes()) && !looks_like_record(b"format = 1"));
        board.put(NAME, "{\"format\":1,").unwrap();
        let (new, said) = kept(&board, 9);
        assert_eq!(new, Record::new(9));
        assert!(said.unwrap().contains("put aside"));
        assert_eq!(board.get("countlight.learner.aside").as_deref(), Some("{\"format\":1,"));
        let mut full = Board::default();
        full.room = Some(3);
        assert!(!keep(&full, &record));
    }
}
