//! The words of the trade from all lessons, each with the bench on which it can be seen.

use crate::components::lesson::bench_of;
use crate::components::lesson::words::line;
use crate::store::lesson::LessonDeed;
use crate::store::{Action, use_store};
use lessons::lesson::text::term;
use yew::prelude::*;

/// The leaf.
#[function_component(TermsLeaf)]
pub fn terms_leaf() -> Html {
    let store = use_store();
    let mut rows: Vec<(String, String, String, String)> = Vec::new();
    for lesson in store.ui.learning.lessons() {
        let text = lesson.text(store.ui.learning.language());
        for item in text.items("words") {
            if let Some((word, meaning)) = term(&item)
                && !rows.iter().any(|(other, ..)| other == word)
            {
                rows.push((word.to_owned(), meaning.to_owned(), lesson.id.clone(), text.title("title").to_owned()));
            }
        }
    }
    rows.sort_by_key(|(word, ..)| word.to_lowercase());
    let row = |(word, meaning, lesson, title): &(String, String, String, String)| {
        let onclick = {
            let (store, lesson) = (store.clone(), lesson.clone());
            move |_: MouseEvent| {
                if let Some(lesson) = store.ui.learning.lesson(&lesson) {
                    bench_of(&store, lesson);
                }
                store.ui.dispatch(Action::Lesson(LessonDeed::Leaf(None)));
            }
        };
        html! {
            <div key={word.clone()}>
                <dt translate="no">{ word.clone() }</dt>
                <dd>{ line(meaning) }{ " " }<button type="button" class="plain link" title={format!("The bench of \u{201c}{title}\u{201d}")} {onclick}>{ "on the bench" }</button></dd>
            </div>
        }
    };
    html! {
        <>
            <div class="course-head"><h2>{ "Words of the trade" }</h2><p>{ format!("{} words, each explained in the lesson that needs it first.", rows.len()) }</p></div>
            <dl class="terms columns">{ for rows.iter().map(row) }</dl>
        </>
    }
}
