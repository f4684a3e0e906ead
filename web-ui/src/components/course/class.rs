//! A class in one table, from the records and codes that its learners handed in; and which questions failed most.
//! Nothing is kept and nothing leaves the page.

use crate::components::keep_files::handed_out;
use crate::keep::browser;
use crate::store::lesson::{Handed, LessonDeed};
use crate::store::{Action, Store, use_store};
use crate::web;
use lessons::lesson::class::{Outcome, member, outcomes};
use lessons::lesson::code;
use lessons::lesson::learner::{Mastery, Record};
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// Most rows of the list of questions.
const HARDEST: usize = 12;

/// The leaf.
#[function_component(ClassLeaf)]
pub fn class_leaf() -> Html {
    let store = use_store();
    let typed = use_node_ref();
    let learning = &store.ui.learning;
    let lessons = learning.lessons();
    let open = {
        let store = store.clone();
        move |event: Event| {
            web::chosen_files(&event, |file| {
                web::read_record(store.clone(), file);
            });
        }
    };
    let take_codes = {
        let (ui, typed) = (store.ui.clone(), typed.clone());
        move |_: MouseEvent| {
            let Some(area) = typed.cast::<HtmlTextAreaElement>() else { return };
            let mut left = Vec::new();
            for line in area.value().lines().filter(|line| !line.trim().is_empty()) {
                // A name may stand behind the code, after a comma.
                let (letters, name) = line.split_once(',').unwrap_or((line, ""));
                match code::read(letters) {
                    Ok(mut member) => {
                        member.name = name.trim().to_owned();
                        ui.dispatch(Action::Lesson(LessonDeed::Hand(Handed::Code(member))));
                    }
                    Err(why) => left.push(format!("{line}: {why}")),
                }
            }
            area.set_value(
                &left.iter().map(|l| l.split(':').next().unwrap_or_default()).collect::<Vec<_>>().join("\n"),
            );
            if !left.is_empty() {
                ui.dispatch(Action::Notice(format!("These codes could not be read:\n{}", left.join("\n"))));
            }
        }
    };
    let rows: Vec<_> = learning
        .class
        .iter()
        .map(|handed| match handed {
            Handed::Record(record) => member(lessons, record),
            Handed::Code(member) => member.clone(),
        })
        .collect();
    let records: Vec<Record> = learning
        .class
        .iter()
        .filter_map(|handed| if let Handed::Record(record) = handed { Some((**record).clone()) } else { None })
        .collect();
    let number = |i: usize| lessons.get(i).map_or("", |lesson| lesson.id.split('-').next().unwrap_or_default());
    let cell = |mastery: Mastery, best: Option<usize>| {
        let (class, words) = match mastery {
            Mastery::New => ("new", "not begun"),
            Mastery::Begun => ("begun", "begun"),
            Mastery::Shaky => ("shaky", "passed, a task is open"),
            Mastery::Mastered => ("mastered", "done"),
        };
        let best = best.map_or(String::new(), |right| right.to_string());
        html! { <td class={class} title={words}><span class="mark" aria-hidden="true" /><span class="unseen">{ words }</span>{ best }</td> }
    };
    let name = |name: &str, learner: u32| if name.is_empty() { format!("learner {learner}") } else { name.to_owned() };
    let table = rows.iter().map(|row| {
        html! {
            <tr key={row.learner}><th scope="row" translate={(!row.name.is_empty()).then_some("no")}>{ name(&row.name, row.learner) }</th>
                { for (0..lessons.len()).map(|i| cell(row.mastery.get(i).copied().unwrap_or(Mastery::New), row.best.get(i).copied().flatten())) }</tr>
        }
    });
    let hardest: Vec<Outcome> = outcomes(lessons, &records).into_iter().filter(|o| o.wrong > 0).take(HARDEST).collect();
    let save = {
        let ui = store.ui.clone();
        let text = csv(&rows, &(0..lessons.len()).map(|i| number(i).to_owned()).collect::<Vec<_>>());
        move |_: MouseEvent| {
            let name = "countlight-class.csv";
            ui.dispatch(Action::Notice(handed_out(name, browser::hand_out(name, "text/csv", text.as_bytes()).is_ok())));
        }
    };
    let clear = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Lesson(LessonDeed::NoClass))
    };
    html! {
        <>
            <div class="course-head">
                <h2>{ "My class" }</h2>
                <p>{ "Learners save their record on the leaf \u{201c}What I can do\u{201d}, or read out its code. Open the files here, or type the codes." }</p>
                <p class="ends off-paper"><label class="button file solid">{ "Open records" }<input type="file" id="class-files" multiple=true accept=".json" onchange={open} /></label></p>
                <label class="write off-paper"><span>{ "Codes, one on a line; a name may stand behind it, after a comma" }</span><textarea ref={typed} id="class-codes" rows="3" spellcheck="false" /></label>
                <p class="ends off-paper"><button type="button" id="class-take" onclick={take_codes}>{ "Take these codes" }</button></p>
            </div>
            { if rows.is_empty() { Html::default() } else { html! {
                <>
                    <div class="wide-table"><table class="class">
                        <caption>{ format!("{}; the number is the best exit check, right answers of five", if rows.len() == 1 { "One learner".to_owned() } else { format!("{} learners", rows.len()) }) }</caption>
                        <thead><tr><th scope="col">{ "Learner" }</th>{ for (0..lessons.len()).map(|i| html! { <th scope="col" title={lessons[i].text(store.ui.learning.language()).title("title").to_owned()}>{ number(i) }</th> }) }</tr></thead>
                        <tbody>{ for table }</tbody>
                    </table></div>
                    { if hardest.is_empty() { Html::default() } else { html! {
                        <table class="class hardest">
                            <caption>{ "What failed most" }</caption>
                            <thead><tr><th scope="col">{ "Question" }</th><th scope="col">{ "wrong" }</th><th scope="col">{ "most often said" }</th></tr></thead>
                            <tbody>{ for hardest.iter().map(|outcome| hard_row(&store, outcome)) }</tbody>
                        </table>
                    } } }
                    <p class="ends off-paper">
                        <button type="button" onclick={|_: MouseEvent| browser::print()}>{ "Print this page" }</button>
                        <button type="button" onclick={save}>{ "Save as CSV" }</button>
                        <button type="button" class="plain" onclick={clear}>{ "Clear the table" }</button>
                    </p>
                </>
            } } }
            <p class="note">{ "A record can be altered by whoever has it: it shows what somebody worked on, it proves nobody's identity. For a mark that counts, sit in the room." }</p>
        </>
    }
}

fn hard_row(store: &Store, outcome: &Outcome) -> Html {
    let Some(lesson) = store.ui.learning.lesson(&outcome.lesson) else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let kind = if outcome.predict { "question" } else { "exit check" };
    let number = lesson.id.split('-').next().unwrap_or_default();
    let said = outcome.commonest.as_ref().map_or(String::new(), |(id, n)| {
        let title = text.title(&format!("{}.{id}", outcome.part));
        let belief =
            lesson.answers().find(|(of, _)| *of == format!("{}.{id}", outcome.part)).and_then(|(_, w)| w.believes);
        let words = if title.is_empty() { belief.map_or(id.as_str(), |belief| belief.belief) } else { title };
        format!("{words} ({n})")
    });
    html! {
        <tr><td>{ format!("{number}, {kind}: {}", text.title(&outcome.part)) }</td><td>{ format!("{} of {}", outcome.wrong, outcome.asked) }</td><td>{ said }</td></tr>
    }
}

/// The table as comma-separated values after RFC 4180.
fn csv(rows: &[lessons::lesson::class::Member], numbers: &[String]) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut text = format!("learner,{}\r\n", numbers.join(","));
    for row in rows {
        let who = if row.name.is_empty() { row.learner.to_string() } else { row.name.clone() };
        let cells = (0..numbers.len()).map(|i| {
            let state = match row.mastery.get(i) {
                Some(Mastery::Begun) => "begun",
                Some(Mastery::Shaky) => "passed",
                Some(Mastery::Mastered) => "done",
                _ => "",
            };
            let best = row.best.get(i).copied().flatten();
            best.map_or(state.to_owned(), |right| format!("{state} {right}"))
        });
        text += &format!("{},{}\r\n", quoted(&who), cells.collect::<Vec<_>>().join(","));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use lessons::lesson::class::Member;

    #[test]
    fn the_table_is_comma_separated_and_quoted() {
        let row = Member {
            name: "Ann \"A\", B".into(),
            learner: 4,
            mastery: vec![Mastery::Mastered, Mastery::New],
            best: vec![Some(5), None],
        };
        assert_eq!(csv(&[row], &["L01".into(), "L02".into()]), "learner,L01,L02\r\n\"Ann \"\"A\"\", B\",done 5,\r\n");
    }
}
