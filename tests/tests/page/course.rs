//! The course for an instructor: a lesson in front of a room by keys alone, sheets on paper, a class in one table, lessons
//! of one's own.

use lessons::lesson::class::Member;
use lessons::lesson::code;
use lessons::lesson::draw::{self, Judged};
use lessons::lesson::learner::Mastery;
use lessons::lesson::room::{RoomLeaf, leaves};
use lessons::lesson::{Lesson, LessonFile, all, folders};
use system_tests::{Key, Page, Result, View};

fn first() -> Result<Lesson> {
    let lessons = all().map_err(|e| e.to_string())?;
    lessons.into_iter().next().ok_or_else(|| "no lessons".into())
}

async fn focused(page: &Page) -> Result<String> {
    page.js("return document.activeElement?.textContent ?? ''").await
}

async fn leaf(page: &Page, words: &str) -> Result<()> {
    page.until(&format!("the leaf is `{words}`"), async || Ok(page.text(".present-head .turn").await?.contains(words)))
        .await
}

#[tokio::test]
async fn a_lesson_is_taught_from_the_front_by_keys_alone() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::PROJECTOR).await?;
    let lesson = first()?;
    let text = lesson.text("en");
    page.strike("l").await?;
    page.css(".lesson-row").await?;
    for _ in 0..40 {
        page.strike(&Key::Tab).await?;
        if focused(&page).await? == "Teach it" {
            break;
        }
    }
    assert_eq!(focused(&page).await?, "Teach it");
    page.strike(&Key::Enter).await?;
    page.css(".present-head").await?;
    let leaves = leaves(&lesson);
    for (at, of) in leaves.iter().enumerate() {
        let place = format!(", {} of {}: ", at + 1, leaves.len());
        leaf(&page, &place).await?;
        let title = page.text(".present-head h1").await?;
        match of {
            RoomLeaf::Ask(i) => {
                assert_eq!(title, text.title(&lesson.predicts[*i].id));
                assert_eq!(page.all(".poll li").await?.len(), lesson.predicts[*i].wrongs.len() + 1);
                page.until_figures("the bench waits", |f| !f.running).await?;
                for key in ["2", "1", "4"] {
                    page.strike(key).await?;
                }
                page.strike(&Key::Enter).await?;
                page.until("the hands are counted", async || Ok(page.text("#hands").await? == "14 hands")).await?;
            }
            RoomLeaf::Show(i) => {
                let scene = format!("-{}", lesson.predicts[*i].show);
                page.until_figures("the bench answers", |f| f.running && f.scene.ends_with(&scene)).await?;
            }
            RoomLeaf::Explain(i) => {
                page.css(".poll li.right").await?;
                let right = text.title(&format!("{}.right", lesson.predicts[*i].id));
                assert_eq!(page.text(".room h2").await?, right);
            }
            RoomLeaf::Solve(i) => {
                page.until(&format!("the model has done task {i}"), async || {
                    Ok(!page.all(".goal-rows li").await?.is_empty()
                        && page.all(".goal-rows li:not(.met)").await?.is_empty())
                })
                .await?;
            }
            RoomLeaf::Why => assert_eq!(title, text.title("why")),
            RoomLeaf::Opening
            | RoomLeaf::Break(..)
            | RoomLeaf::Task(_)
            | RoomLeaf::See
            | RoomLeaf::Item(_)
            | RoomLeaf::Answer(_) => {
                page.css(".room p").await?;
            }
        }
        page.strike(&Key::Right).await?;
    }
    // The last leaf stays; one back, then away.
    page.strike(&Key::PageUp).await?;
    leaf(&page, &format!(", {} of {}: ", leaves.len() - 1, leaves.len())).await?;
    page.strike(&Key::Escape).await?;
    page.css(".lesson-row").await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_sheet_and_its_key_have_the_numbers_of_their_variant() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>("window.print = () => { window.printed = (window.printed ?? 0) + 1; }; return null").await?;
    let lesson = first()?;
    page.click("Lessons").await?;
    page.css("[data-lesson='L01'] [title^='Notes']").await?.click().await?;
    assert!(page.text(".notes").await?.contains("Where learners go wrong"));
    page.choose("C").await?;
    page.until_js("the numbers are worked out", "return !document.querySelector('#print-sheet').disabled").await?;
    page.css("#print-sheet").await?.click().await?;
    page.until_js("it is printed", "return window.printed === 1").await?;
    // A gap that keeps a number on the line of its unit is a gap.
    let plain = |text: String| text.replace('\u{a0}', " ");
    let sheet = plain(page.text(".paper .worksheet").await?);
    let items = draw::items(&lesson, 3, 0);
    let numbers = lessons::lesson::Numbers::of(&lesson);
    let words = |id: &str, item: &draw::Item<'_>| {
        let of = |name: &str| if name == "answer" { item.right() } else { item.drawn.get(name).copied() };
        numbers.fill(lesson.text("en").body(id), &of).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for item in &items {
        let asked = words(&item.exit.id, item);
        assert!(sheet.contains(&asked), "{asked}\n{sheet}");
        assert!(!sheet.contains(&words(&format!("{}.answer", item.exit.id), item)), "the sheet tells the answer");
    }
    assert!(page.all(".paper figure svg").await?.len() == 1, "the machine is drawn");
    page.css("#print-key").await?.click().await?;
    page.until_js("it is printed", "return window.printed === 2").await?;
    let key = plain(page.text(".paper .worksheet").await?);
    for item in &items {
        assert!(key.contains(&words(&format!("{}.answer", item.exit.id), item)));
        let right = item.right().map(|right| right.to_string());
        assert!(right.is_none_or(|right| matches!(item.judge(&right), Judged::Right)));
    }
    assert_eq!(page.all(".paper figure svg").await?.len(), lesson.predicts.len());
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_class_stands_in_one_table_with_what_failed_most() -> Result<()> {
    let page = Page::open().await?;
    page.click("Lessons").await?;
    page.click("My class").await?;
    let count = all().map_err(|e| e.to_string())?.len();
    let mut mastery = vec![Mastery::New; count];
    mastery[0] = Mastery::Mastered;
    let mut best = vec![None; count];
    best[0] = Some(5);
    let code = code::write(&Member { name: String::new(), learner: 41, mastery, best });
    let wrong = code.replacen('1', "2", 1);
    page.css("#class-codes").await?.send_keys(&format!("{code}, Ada\n{wrong}, Bo")).await?;
    page.css("#class-take").await?.click().await?;
    let said = page.read_notice().await?;
    assert!(said.contains(&wrong), "{said}");
    let row = page.text(".class tbody tr").await?;
    assert!(row.starts_with("Ada") && row.contains("done5"), "{row}");
    // A whole record, as a learner saves it.
    let record = r#"{"format":1,"learner":42,"name":"Cy","lessons":{"L01-one-light-one-line":{"version":"1.0.0","predicted":{"reaches":"distance"},"tasks":{},"exits":[{"day":3,"items":[{"item":"how-far","right":true},{"item":"how-many","right":false,"wrong":"multiplied"}]}],"opened_anyway":false}},"recall":{}}"#;
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("cy.json");
    std::fs::write(&path, record)?;
    page.css("#class-files").await?.send_keys(&path.to_string_lossy()).await?;
    page.until("the record is in the table", async || Ok(page.all(".class:not(.hardest) tbody tr").await?.len() == 2))
        .await?;
    let hardest = page.text(".hardest tbody").await?;
    assert!(
        hardest.contains("L01") && hardest.contains("1 of 1") && hardest.contains("The number 5 mm (1)"),
        "{hardest}"
    );
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_lesson_of_ones_own_opens_and_a_slip_is_told_with_its_line() -> Result<()> {
    let page = Page::open().await?;
    let (_, files) = folders().into_iter().next().ok_or("no folders")?;
    let own = |from: &str, to: &str| -> Vec<(String, Vec<u8>)> {
        let change = |file: &LessonFile| {
            let text = String::from_utf8_lossy(&file.bytes).replace(from, to);
            (file.name.clone(), text.into_bytes())
        };
        // Its translations would be those of another title.
        files.iter().filter(|file| !file.name.ends_with(".md") || file.name == "lesson.en.md").map(change).collect()
    };
    page.drop_files(&own("pulses(A) = 12", "pulsen(A) = 12")).await?;
    let said = page.read_notice().await?;
    assert!(said.contains("lesson.en.md:") && said.contains("pulsen"), "{said}");
    page.drop_files(&own("# One light, one line {#title}", "# A lesson of our own {#title}")).await?;
    page.until("it stands among the lessons", async || Ok(page.all("[data-lesson='L99'] h3").await?.len() == 1))
        .await?;
    assert_eq!(page.text("[data-lesson='L99'] h3").await?, "A lesson of our own");
    assert!(page.read_notice().await?.contains("L99-dropped"));
    page.css("[data-lesson='L99'] button").await?.click().await?;
    page.until("it is open", async || Ok(page.text(".step h2").await? == "A lesson of our own")).await?;
    page.expect_quiet_console().await
}
