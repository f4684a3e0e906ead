//! The words of a lesson on the page: paragraphs and lists, with the numbers that the model worked out.

use crate::store::Store;
use lessons::lesson::Lesson;
use lessons::lesson::draw::Item;
use lessons::lesson::markup::{Block, Span, blocks, spans};
use yew::prelude::*;

/// A text of a lesson with its numbers: those of the scenes, and those of an item where one is asked.
pub fn filled(store: &Store, lesson: &Lesson, text: &str, item: Option<&Item<'_>>) -> String {
    let drawn = |name: &str| {
        let item = item?;
        if name == "answer" { item.right() } else { item.drawn.get(name).copied() }
    };
    // What only the item needs is known at once; an ellipsis stands for what is still being worked out.
    store.ui.learning.numbers(&lesson.id).unwrap_or_default().fill(text, &drawn)
}

/// Words with their marks.
pub fn marked(text: &str) -> Html {
    html! { <>{ for blocks(text).iter().map(block) }</> }
}

/// Words of one line with their marks.
pub fn line(text: &str) -> Html {
    html! { <span translate="no">{ for spans(text).iter().map(span) }</span> }
}

fn block(block: &Block) -> Html {
    let items = |items: &[Vec<Span>]| {
        items.iter().map(|item| html! { <li>{ for item.iter().map(span) }</li> }).collect::<Html>()
    };
    match block {
        Block::Paragraph(words) => html! { <p translate="no">{ for words.iter().map(span) }</p> },
        Block::Points(points) => html! { <ul translate="no">{ items(points) }</ul> },
        Block::Steps(steps) => html! { <ol translate="no">{ items(steps) }</ol> },
    }
}

fn span(span: &Span) -> Html {
    let text = span.text().to_owned();
    match span {
        Span::Plain(_) => html! { { text } },
        Span::Strong(_) => html! { <strong>{ text }</strong> },
        Span::Stressed(_) => html! { <em>{ text }</em> },
        Span::Typed(_) => html! { <code>{ text }</code> },
    }
}
