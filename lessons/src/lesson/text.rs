//! The words of a lesson: headings with ids, and what stands below them.

use super::slip::Slip;
use std::ops::Range;

/// A heading with what stands below it.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Id in braces behind the heading.
    pub id: String,
    /// The heading.
    pub title: String,
    /// Markdown below it.
    pub body: String,
    /// Where the heading stands in the file.
    pub at: Range<usize>,
    /// Where the body begins in the file.
    pub body_at: usize,
}

/// The words of a lesson in one language.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text {
    blocks: Vec<Block>,
}

impl Text {
    /// The block of that id.
    pub fn get(&self, id: &str) -> Option<&Block> {
        self.blocks.iter().find(|block| block.id == id)
    }

    /// Heading below an id; empty where there is none.
    pub fn title(&self, id: &str) -> &str {
        self.get(id).map_or("", |block| &block.title)
    }

    /// Markdown below an id; empty where there is none.
    pub fn body(&self, id: &str) -> &str {
        self.get(id).map_or("", |block| &block.body)
    }

    /// All blocks in their order.
    pub fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// The items of the list below an id, without their marks.
    pub fn items(&self, id: &str) -> Vec<String> {
        items(self.body(id))
    }

    /// Reads what stands from `start` on.
    ///
    /// # Errors
    /// A heading without an id, with a wrong one or one that stands twice; words before the first heading.
    pub fn read(text: &str, start: usize) -> Result<Self, Slip> {
        let mut blocks: Vec<Block> = Vec::new();
        let mut at = start;
        for line in text.get(start..).unwrap_or_default().split_inclusive('\n') {
            let place = at..at + line.trim_end().len();
            at += line.len();
            if line.starts_with('#') {
                let block = heading(line, place, at)?;
                if blocks.iter().any(|other| other.id == block.id) {
                    let what = format!("the id {} stands behind two headings", block.id);
                    return Err(Slip::new(block.at, what, "give each heading an id of its own."));
                }
                blocks.push(block);
            } else if let Some(block) = blocks.last_mut() {
                block.body.push_str(line);
            } else if !line.trim().is_empty() {
                return Err(Slip::new(
                    place,
                    "these words stand before the first heading",
                    "write a heading with an id above them, such as # My lesson {#title}.",
                ));
            }
        }
        for block in &mut blocks {
            let body = std::mem::take(&mut block.body);
            block.body_at += body.len() - body.trim_start().len();
            block.body = body.trim().to_owned();
        }
        Ok(Self { blocks })
    }
}

fn heading(line: &str, at: Range<usize>, body_at: usize) -> Result<Block, Slip> {
    let words = line.trim_start_matches('#').trim();
    let mend = "write the id at its end, such as ## What did you see? {#see}.";
    let Some((title, id)) = words.strip_suffix('}').and_then(|w| w.rsplit_once("{#")) else {
        return Err(Slip::new(at, "this heading has no id", mend));
    };
    if !is_id(id) {
        let what = format!("\"{id}\" is no id");
        return Err(Slip::new(at, what, "use small letters, digits and hyphens, a dot before the name of a part."));
    }
    Ok(Block { id: id.to_owned(), title: title.trim().to_owned(), body: String::new(), at, body_at })
}

/// Whether a word may be an id, with dots between its parts.
pub fn is_id(id: &str) -> bool {
    let part = |p: &str| !p.is_empty() && p.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    id.split('.').all(part)
}

/// The items of a Markdown list: each begins with `-`, `*` or a number; lines below an item belong to it.
pub fn items(body: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for line in body.lines() {
        let words = line.trim();
        match (super::markup::item(words), items.last_mut()) {
            (Some((_, item)), _) => items.push(item.to_owned()),
            (None, Some(last)) if !words.is_empty() => {
                last.push(' ');
                last.push_str(words);
            }
            _ => {}
        }
    }
    items
}

/// A glossary item `**term**: meaning` taken apart.
pub fn term(item: &str) -> Option<(&str, &str)> {
    let (term, rest) = item.strip_prefix("**")?.split_once("**")?;
    let meaning = rest.trim_start_matches(':').trim();
    (!term.trim().is_empty() && !meaning.is_empty()).then_some((term.trim(), meaning))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_and_their_bodies_are_found() {
        let text =
            Text::read("# A title {#title}\n\nBody one.\nGoes on.\n## Next {#a.b-2}\n- x\n- y\n  z\n\n1. w\n", 0)
                .unwrap();
        assert_eq!((text.title("title"), text.body("title")), ("A title", "Body one.\nGoes on."));
        assert_eq!(text.items("a.b-2"), ["x", "y z", "w"]);
        assert_eq!(&"# A title {#title}\n\nBody one."[text.get("title").unwrap().body_at..], "Body one.");
        assert_eq!(term("**pitch**: from line to line"), Some(("pitch", "from line to line")));
        assert_eq!(term("pitch: from line to line"), None);
    }

    #[test]
    fn slips_are_told_with_their_place() {
        let slip = |text: &str| Text::read(text, 0).unwrap_err();
        assert_eq!(slip("Words\n# A {#a}\n").at, 0..5);
        assert_eq!(slip("# A {#a}\n## No id\n").at, 9..17);
        assert!(slip("# A {#A b}\n").what.contains("no id"));
        assert!(slip("# A {#a}\n# B {#a}\n").what.contains("two headings"));
    }
}
