//! The record of a learner as a short code to be read out, typed or written on a slip: how far each lesson has got and
//! its best exit check. It finds slips of the pen; it is no seal, since whoever has the page can make one.

use super::class::Member;
use super::learner::Mastery;

/// Letters that are told apart when written by hand and read aloud: digits and capitals without I, L, O, U.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// The layout of codes that this program writes and reads.
const LAYOUT: u32 = 1;
/// Letters of the learner's number.
const LEARNER: usize = 7;
/// Letters that find a mistake.
const CHECK: usize = 2;
/// Letters of a group.
const GROUP: usize = 4;
/// Most lessons of a code.
const MOST: usize = 31;

/// The code of a row.
#[must_use]
pub fn write(member: &Member) -> String {
    let lessons = member.mastery.len().min(MOST);
    let mut digits = vec![LAYOUT, lessons as u32];
    digits.extend((0..LEARNER).rev().map(|i| ((u64::from(member.learner) >> (5 * i)) & 31) as u32));
    digits.extend(member.mastery.iter().zip(&member.best).take(lessons).map(|(mastery, best)| {
        let state = match mastery {
            Mastery::New => 0,
            Mastery::Begun => 1,
            Mastery::Shaky => 2,
            Mastery::Mastered => 3,
        };
        8 * state + best.map_or(0, |right| right as u32 + 1).min(7)
    }));
    let sum = check_of(&digits);
    digits.extend([sum >> 5, sum & 31]);
    let letters: Vec<u8> = digits.iter().map(|digit| LETTERS[*digit as usize & 31]).collect();
    let groups: Vec<String> = letters.chunks(GROUP).map(|group| String::from_utf8_lossy(group).into_owned()).collect();
    groups.join("-")
}

/// Reads a code; small letters, gaps and hyphens do not matter, and O, I and L are taken for 0, 1 and 1.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read(code: &str) -> Result<Member, String> {
    let mut digits = Vec::new();
    for letter in code.chars().filter(|c| !c.is_whitespace() && *c != '-') {
        let letter = match letter.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        };
        let digit = LETTERS.iter().position(|l| char::from(*l) == letter);
        digits
            .push(digit.ok_or_else(|| format!("\u{201c}{letter}\u{201d} is no letter of a code; look at it again"))?
                as u32);
    }
    if digits.len() < 2 + LEARNER + CHECK {
        return Err("a code has at least eleven letters; some are missing".to_owned());
    }
    let (body, check) = digits.split_at(digits.len() - CHECK);
    if body[0] != LAYOUT {
        return Err("this code was made by another version of the page, or its first letter is wrong".to_owned());
    }
    if body.len() != 2 + LEARNER + body[1] as usize {
        return Err(format!(
            "this code should have {} letters; it has {}",
            2 + LEARNER + CHECK + body[1] as usize,
            digits.len()
        ));
    }
    if check_of(body) != check[0] << 5 | check[1] {
        return Err("a letter of this code is wrong or two stand in the wrong order; compare it once more".to_owned());
    }
    let learner = body[2..2 + LEARNER].iter().fold(0_u64, |number, digit| number << 5 | u64::from(*digit));
    let learner = u32::try_from(learner).map_err(|_| "the number of the learner is too large".to_owned())?;
    let lessons = &body[2 + LEARNER..];
    let mastery = |digit: &u32| match digit >> 3 {
        0 => Mastery::New,
        1 => Mastery::Begun,
        2 => Mastery::Shaky,
        _ => Mastery::Mastered,
    };
    let best = |digit: &u32| (digit & 7).checked_sub(1).map(|right| right as usize);
    Ok(Member {
        name: String::new(),
        learner,
        mastery: lessons.iter().map(mastery).collect(),
        best: lessons.iter().map(best).collect(),
    })
}

/// Ten bits over all digits and their places.
fn check_of(digits: &[u32]) -> u32 {
    let bytes: Vec<u8> = digits.iter().map(|digit| *digit as u8).collect();
    crate::sum::crc32(&bytes) & 0x3ff
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn members() -> impl Strategy<Value = Member> {
        let row = (0_u32..4, prop::option::of(0_usize..6));
        (any::<u32>(), prop::collection::vec(row, 0..20)).prop_map(|(learner, rows)| {
            let state = |n: u32| [Mastery::New, Mastery::Begun, Mastery::Shaky, Mastery::Mastered][n as usize];
            Member {
                name: String::new(),
                learner,
                mastery: rows.iter().map(|(n, _)| state(*n)).collect(),
                best: rows.iter().map(|(_, best)| *best).collect(),
            }
        })
    }

    proptest! {
        #[test]
        fn a_code_comes_back_as_it_was(member in members()) {
            let code = write(&member);
            prop_assert_eq!(read(&code.to_lowercase().replace('-', " ")), Ok(member));
        }

        #[test]
        fn a_wrong_letter_is_found(member in members(), at in any::<prop::sample::Index>(), by in 1_usize..32) {
            let code = write(&member);
            let letters: Vec<char> = code.chars().filter(|c| *c != '-').collect();
            let at = at.index(letters.len());
            let mut other = letters.clone();
            let digit = LETTERS.iter().position(|l| char::from(*l) == letters[at]).unwrap();
            other[at] = char::from(LETTERS[(digit + by) % 32]);
            let other: String = other.into_iter().collect();
            prop_assert!(read(&other).is_err(), "{} read as {}", code, other);
        }

        #[test]
        fn no_text_breaks_the_reader(text in "\\PC{0,60}") {
            let _ = read(&text);
        }
    }

    #[test]
    fn two_letters_exchanged_are_found() {
        let member = Member {
            name: String::new(),
            learner: 0x0102_0304,
            mastery: vec![Mastery::Mastered, Mastery::Begun],
            best: vec![Some(5), Some(2)],
        };
        let code: Vec<char> = write(&member).chars().filter(|c| *c != '-').collect();
        for i in 1..code.len() {
            let mut other = code.clone();
            other.swap(i - 1, i);
            assert!(other == code || read(&other.iter().collect::<String>()).is_err());
        }
        assert!(read("").unwrap_err().contains("missing"));
        assert!(read("A!").unwrap_err().contains("no letter"));
    }
}
