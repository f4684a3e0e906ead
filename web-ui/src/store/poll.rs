//! A show of hands: a question, up to five answers, hands counted by keys. No names, nothing leaves the page.

/// Questions that lie ready.
pub const QUESTIONS: [&str; 6] = [
    "What will the count do?",
    "Will the axis stop, and why?",
    "What will A and B look like?",
    "Where is the first broken link?",
    "Which reading tells the cause?",
    "Is the readout still right?",
];

/// Answers that lie ready.
pub const ANSWERS: [&str; 4] = ["counts on", "stands", "counts wrong", "stops with an alarm"];

/// Most answers.
pub const MOST: usize = 5;
/// Most hands of one answer.
pub const MOST_HANDS: u32 = 999;

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its words.
    pub words: String,
    /// Hands up.
    pub hands: u32,
}

/// The poll.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Poll {
    /// It stands beside the instruments.
    pub open: bool,
    /// The question.
    pub question: String,
    /// The answers.
    pub answers: Vec<Answer>,
    /// The one that was right, once that is known.
    pub right: Option<usize>,
    /// The answer whose hands are being typed.
    pub chosen: Option<usize>,
    /// What has been typed of the number.
    pub typed: String,
}

impl Default for Poll {
    fn default() -> Self {
        let answers = ANSWERS.iter().map(|words| Answer { words: (*words).to_owned(), hands: 0 }).collect();
        let question = QUESTIONS[0].to_owned();
        Self { open: false, question, answers, right: None, chosen: None, typed: String::new() }
    }
}

/// A change of the poll.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PollDeed {
    /// Opens or closes it.
    Open(bool),
    /// Asks something else.
    Ask(String),
    /// Words of an answer.
    Words(usize, String),
    /// One answer more.
    More,
    /// The last answer goes.
    Fewer,
    /// Chooses the answer whose hands are typed next.
    Choose(Option<usize>),
    /// A digit of the number.
    Digit(char),
    /// Takes the last digit back.
    Back,
    /// The number is complete.
    Enter,
    /// Adds hands to an answer.
    Hands(usize, i32),
    /// Marks the right answer, or takes the mark away.
    Right(usize),
    /// Forgets hands and mark; question and answers stay.
    Clear,
    /// Lays a question with its answers ready, and opens the poll.
    Ready(String, Vec<String>),
}

impl Poll {
    /// All hands.
    pub fn all_hands(&self) -> u32 {
        self.answers.iter().map(|answer| answer.hands).sum()
    }

    /// Share of an answer, whole per cent; 0 while no hand is up.
    pub fn percent(&self, index: usize) -> u32 {
        let (all, of) = (self.all_hands(), self.answers.get(index).map_or(0, |answer| answer.hands));
        (of * 100 + all / 2).checked_div(all).unwrap_or(0)
    }

    /// What a key means while the poll is open; `None` when it is none of the poll's.
    pub fn key(&self, key: &str) -> Option<PollDeed> {
        let mut letters = key.chars();
        match (key, self.chosen, letters.next(), letters.next()) {
            ("Enter", Some(_), ..) => Some(PollDeed::Enter),
            ("Backspace", Some(_), ..) => Some(PollDeed::Back),
            ("Escape", Some(_), ..) => Some(PollDeed::Choose(None)),
            (_, Some(_), Some(digit @ '0'..='9'), None) => Some(PollDeed::Digit(digit)),
            (_, None, Some(digit @ '1'..='9'), None) => {
                let index = digit as usize - '1' as usize;
                (index < self.answers.len()).then_some(PollDeed::Choose(Some(index)))
            }
            _ => None,
        }
    }

    /// The poll after a change.
    #[must_use]
    pub fn after(mut self, deed: PollDeed) -> Self {
        match deed {
            PollDeed::Open(open) => (self.open, self.chosen) = (open, None),
            PollDeed::Ask(question) => self.question = question,
            PollDeed::Words(index, words) => {
                if let Some(answer) = self.answers.get_mut(index) {
                    answer.words = words;
                }
            }
            PollDeed::More if self.answers.len() < MOST => {
                self.answers.push(Answer { words: "something else".to_owned(), hands: 0 });
            }
            PollDeed::More => {}
            PollDeed::Fewer => {
                if self.answers.len() > 2 {
                    self.answers.pop();
                }
                self.right = self.right.filter(|index| *index < self.answers.len());
                self.chosen = None;
            }
            PollDeed::Choose(index) => (self.chosen, self.typed) = (index, String::new()),
            PollDeed::Digit(digit) => {
                if self.typed.len() < 3 {
                    self.typed.push(digit);
                }
            }
            PollDeed::Back => {
                self.typed.pop();
            }
            PollDeed::Enter => {
                if let (Some(answer), Ok(hands)) =
                    (self.chosen.and_then(|index| self.answers.get_mut(index)), self.typed.parse())
                {
                    answer.hands = hands;
                }
                (self.chosen, self.typed) = (None, String::new());
            }
            PollDeed::Hands(index, by) => {
                if let Some(answer) = self.answers.get_mut(index) {
                    answer.hands = answer.hands.saturating_add_signed(by).min(MOST_HANDS);
                }
            }
            PollDeed::Right(index) => self.right = (self.right != Some(index)).then_some(index),
            PollDeed::Ready(question, words) => {
                let answers = words.into_iter().take(MOST).map(|words| Answer { words, hands: 0 }).collect();
                self = Self { open: true, question, answers, ..Self::default() };
            }
            PollDeed::Clear => {
                self.answers.iter_mut().for_each(|answer| answer.hands = 0);
                (self.right, self.chosen, self.typed) = (None, None, String::new());
            }
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(poll: Poll, keys: &[&str]) -> Poll {
        keys.iter().fold(poll, |poll, key| match poll.key(key) {
            Some(deed) => poll.after(deed),
            None => poll,
        })
    }

    #[test]
    fn an_answer_is_chosen_and_its_hands_are_typed() {
        let poll = typed(Poll::default(), &["2", "1", "2", "Enter", "4", "5", "Backspace", "4", "Enter"]);
        let hands: Vec<u32> = poll.answers.iter().map(|answer| answer.hands).collect();
        assert_eq!(hands, [0, 12, 0, 4]);
        assert_eq!((poll.percent(1), poll.percent(3), poll.percent(0)), (75, 25, 0));
        assert_eq!(poll.key("5"), None, "there are four answers");
        let left = typed(poll.clone(), &["1", "9", "Escape"]);
        assert_eq!(left.answers, poll.answers);
    }

    #[test]
    fn clearing_keeps_the_question_and_forgets_hands_and_mark() {
        let poll = Poll::default().after(PollDeed::Ask("Why?".into())).after(PollDeed::Hands(0, 3));
        let poll = poll.after(PollDeed::Right(1)).after(PollDeed::Clear);
        assert_eq!((poll.question.as_str(), poll.all_hands(), poll.right), ("Why?", 0, None));
        assert_eq!(poll.percent(0), 0);
        assert_eq!(poll.after(PollDeed::Hands(0, -1)).all_hands(), 0);
    }

    #[test]
    fn there_are_two_to_five_answers() {
        let more = (0..9).fold(Poll::default(), |poll, _| poll.after(PollDeed::More));
        assert_eq!(more.answers.len(), MOST);
        let few = (0..9).fold(more.after(PollDeed::Right(4)), |poll, _| poll.after(PollDeed::Fewer));
        assert_eq!((few.answers.len(), few.right), (2, None));
    }
}
