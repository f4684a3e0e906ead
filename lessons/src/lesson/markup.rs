//! The little Markdown of lessons, taken apart: paragraphs and lists, with words that stand out. What is not read here
//! (tables, pictures, raw HTML) is shown as it is written, so nothing of a text is lost.

/// A piece of text that stands on its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// Points without an order.
    Points(Vec<Vec<Span>>),
    /// Steps in their order.
    Steps(Vec<Vec<Span>>),
}

/// Letters of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Span {
    /// Plain.
    Plain(String),
    /// `**strong**`: a word of the trade at its first use.
    Strong(String),
    /// `*stressed*`.
    Stressed(String),
    /// `` `as typed` ``.
    Typed(String),
}

impl Span {
    /// The letters.
    pub fn text(&self) -> &str {
        match self {
            Self::Plain(text) | Self::Strong(text) | Self::Stressed(text) | Self::Typed(text) => text,
        }
    }
}

/// The blocks of a text.
#[must_use]
pub fn blocks(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    for piece in pieces(text) {
        match piece {
            Piece::Words(words) => blocks.push(Block::Paragraph(spans(&words))),
            Piece::Item(true, words) => match blocks.last_mut() {
                Some(Block::Steps(items)) => items.push(spans(&words)),
                _ => blocks.push(Block::Steps(vec![spans(&words)])),
            },
            Piece::Item(false, words) => match blocks.last_mut() {
                Some(Block::Points(items)) => items.push(spans(&words)),
                _ => blocks.push(Block::Points(vec![spans(&words)])),
            },
        }
    }
    blocks
}

enum Piece {
    Words(String),
    Item(bool, String),
}

/// Lines joined to paragraphs and items.
fn pieces(text: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut open = false;
    for line in text.lines() {
        let words = line.trim();
        if words.is_empty() {
            open = false;
        } else if let Some((ordered, item)) = item(words) {
            pieces.push(Piece::Item(ordered, item.to_owned()));
            open = true;
        } else {
            match pieces.last_mut().filter(|_| open) {
                Some(Piece::Words(last) | Piece::Item(_, last)) => {
                    last.push(' ');
                    last.push_str(words);
                }
                None => pieces.push(Piece::Words(words.to_owned())),
            }
            open = true;
        }
    }
    pieces
}

/// The words of a list item, and whether it carries a number.
pub(super) fn item(line: &str) -> Option<(bool, &str)> {
    if let Some(words) = line.strip_prefix("- ").or_else(|| line.strip_prefix("* ")) {
        return Some((false, words.trim()));
    }
    let digits = line.find(|c: char| !c.is_ascii_digit()).filter(|digits| *digits > 0)?;
    line[digits..].strip_prefix(". ").map(|words| (true, words.trim()))
}

/// Takes the marks out of a line. A mark without its other half is a letter like any other.
#[must_use]
pub fn spans(text: &str) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        match marked(rest) {
            Some((span, after)) => {
                spans.push(span);
                rest = after;
            }
            None => {
                // One mark that opens nothing, then everything up to the next mark.
                let first = rest.chars().next().map_or(1, char::len_utf8);
                let end = rest[first..].find(['*', '`']).map_or(rest.len(), |end| first + end);
                match spans.last_mut() {
                    Some(Span::Plain(last)) => last.push_str(&rest[..end]),
                    _ => spans.push(Span::Plain(rest[..end].to_owned())),
                }
                rest = &rest[end..];
            }
        }
    }
    spans
}

fn marked(rest: &str) -> Option<(Span, &str)> {
    let between = |mark: &str| {
        let inner = rest.strip_prefix(mark)?;
        let end = inner.find(mark).filter(|end| *end > 0)?;
        let words = &inner[..end];
        let tight = !words.starts_with(char::is_whitespace) && !words.ends_with(char::is_whitespace);
        tight.then(|| (words.to_owned(), &inner[end + mark.len()..]))
    };
    between("**")
        .map(|(words, rest)| (Span::Strong(words), rest))
        .or_else(|| between("*").map(|(words, rest)| (Span::Stressed(words), rest)))
        .or_else(|| between("`").map(|(words, rest)| (Span::Typed(words), rest)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> Span {
        Span::Plain(text.to_owned())
    }

    #[test]
    fn paragraphs_and_lists_are_taken_apart() {
        let read = blocks("One\ntwo.\n\nThree:\n- a\n  b\n- c\n\n1. d\n2. e\n");
        let items = |words: &[&str]| words.iter().map(|w| vec![plain(w)]).collect::<Vec<_>>();
        let wanted = [
            Block::Paragraph(vec![plain("One two.")]),
            Block::Paragraph(vec![plain("Three:")]),
            Block::Points(items(&["a b", "c"])),
            Block::Steps(items(&["d", "e"])),
        ];
        assert_eq!(read, wanted);
    }

    #[test]
    fn words_that_stand_out_are_found_and_lone_marks_stay() {
        let read = spans("a **pitch** of *five*, 2 * 3 and `x`");
        let wanted = [
            plain("a "),
            Span::Strong("pitch".into()),
            plain(" of "),
            Span::Stressed("five".into()),
            plain(", 2 "),
            plain("* 3 and "),
            Span::Typed("x".into()),
        ];
        let joined = |spans: &[Span]| spans.iter().map(Span::text).collect::<String>();
        assert_eq!(joined(&read), joined(&wanted));
        assert_eq!(read.iter().filter(|s| !matches!(s, Span::Plain(_))).count(), 3);
        assert_eq!(spans("**"), [plain("**")]);
        assert_eq!(spans("2 * 3 * 4"), [plain("2 * 3 * 4")]);
        assert_eq!(spans(""), []);
    }
}
