//! A lesson from the first leaf to the last, as a learner goes through it.

use lessons::lesson::model::ExitKind;
use lessons::lesson::session::Quiz;
use lessons::lesson::{Lesson, all};
use serde_json::json;
use system_tests::{Page, Result, View};

fn lesson(number: &str) -> Result<Lesson> {
    let lessons = all().map_err(|e| e.to_string())?;
    lessons.into_iter().find(|lesson| lesson.id.starts_with(number)).ok_or_else(|| format!("no {number}").into())
}

/// Seed of the numbers of the learner at this page.
async fn learner(page: &Page) -> Result<u32> {
    page.js("return JSON.parse(localStorage['countlight.learner']).learner").await
}

async fn press(page: &Page, css: &str) -> Result<()> {
    page.css(css).await?.click().await?;
    page.frames(2).await
}

/// Chooses one of the answers by its id and commits to it.
async fn decide(page: &Page, answer: &str) -> Result<()> {
    press(page, &format!(".answer:has(input[value='{answer}'])")).await?;
    press(page, "#commit").await
}

async fn heading(page: &Page, words: &str) -> Result<()> {
    page.until(&format!("the step is `{words}`"), async || Ok(page.text(".step h2").await? == words)).await
}

/// Moves the table by so many millimetres at so many metres a minute, by the row of exact numbers.
async fn move_by(page: &Page, mm: f64, speed: f64) -> Result<()> {
    page.write("#move-by", &mm.to_string()).await?;
    page.write("#move-speed", &speed.to_string()).await?;
    page.click("Move on by this distance").await
}

/// Answers all items of the exit check, the first `wrong` of them wrongly.
async fn exit_check(page: &Page, lesson: &Lesson, attempt: u32, wrong: usize) -> Result<()> {
    let quiz = Quiz::exit(lesson, learner(page).await?, attempt);
    let lessons = std::slice::from_ref(lesson);
    for (i, asked) in quiz.items.iter().enumerate() {
        let (_, item) = asked.of(lessons).ok_or("the item is the lesson's")?;
        match &item.exit.kind {
            ExitKind::Number { .. } => {
                let right = item.right().ok_or("it has a right answer")?;
                let typed = if i < wrong { 3.0 * right + 777.0 } else { right };
                page.write("#answer", &typed.to_string()).await?;
                press(page, "#commit").await?;
            }
            ExitKind::Choice(options) => {
                let right = item.right_option().ok_or("one is right")?;
                let other = options.iter().find(|(o, _)| o.id != right).ok_or("several")?;
                decide(page, if i < wrong { &other.0.id } else { right }).await?;
            }
        }
        page.css(if i < wrong { ".told.wrong" } else { ".told.right" }).await?;
        if i + 1 < quiz.items.len() {
            press(page, "#next-item").await?;
        }
    }
    press(page, "#go-on").await
}

#[tokio::test]
async fn a_learner_goes_through_a_lesson_from_question_to_exit_check() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::LAPTOP).await?;
    page.set_slower(1).await?;
    page.click("Lessons").await?;
    page.css(".lesson-row").await?;
    let rows = page.all(".lesson-row").await?.len();
    assert_eq!(rows, all().map_err(|e| e.to_string())?.len());
    press(&page, "[data-lesson='L01'] button").await?;
    let first = lesson("L01")?;
    let text = first.text("en");
    heading(&page, text.title("title")).await?;
    press(&page, "#go-on").await?;
    // The bench waits for the answer, also for keys.
    heading(&page, text.title("reaches")).await?;
    assert!(page.css(".bench-parts").await?.attr("inert").await?.is_some());
    let before = page.until_figures("the bench stands", |f| !f.running).await?;
    page.strike("k").await?;
    page.frames(6).await?;
    assert_eq!(page.figures().await?.time_s, before.time_s);
    // A wrong answer, then what the bench shows.
    decide(&page, "distance").await?;
    page.until_figures("the bench shows five lines", |f| f.scene.ends_with("-five") && f.running).await?;
    assert!(page.css(".bench-parts").await?.attr("inert").await?.is_none());
    page.until_figures("five pulses were counted", |f| f.count == 5).await?;
    decide(&page, "right").await?;
    let told = page.text(".told.wrong").await?;
    assert!(told.contains(text.title("reaches.distance")), "{told}");
    page.until("the model has worked out the numbers", async || {
        let words = page.text(".step").await?;
        Ok(words.contains("Five lines, 5 pulses") && !words.contains('\u{2026}'))
    })
    .await?;
    // The belief is broken on the bench: a counter that cannot hear.
    press(&page, "#watch").await?;
    let numbers = lessons::lesson::Numbers::of(&first);
    let deaf = numbers.fill("{deaf-counter.count:0}", &|_| None).parse::<i64>()?;
    page.until_figures("the deaf counter has missed its lines", |f| {
        f.scene.ends_with("-deaf-counter") && f.count == deaf
    })
    .await?;
    press(&page, "#go-on").await?;
    // Six millimetres are not twelve; the goal stays open.
    heading(&page, text.title("twelve")).await?;
    move_by(&page, 6.0, 0.3).await?;
    page.until_figures("the move is over", |f| f.count == 6).await?;
    page.frames(40).await?;
    assert!(page.all(".goal #go-on").await?.is_empty());
    press(&page, "#hint").await?;
    assert!(page.text(".hints").await?.contains("Where to look"));
    move_by(&page, 12.0, 0.3).await?;
    press(&page, ".goal #go-on").await?;
    heading(&page, text.title("slow-and-fast")).await?;
    move_by(&page, 5.0, 0.1).await?;
    page.until("the slow move counts", async || Ok(page.all(".goal .met").await?.len() == 1)).await?;
    move_by(&page, 5.0, 2.0).await?;
    press(&page, ".goal #go-on").await?;
    // A setting is behind the other tab; the goal stays in sight.
    heading(&page, text.title("halves")).await?;
    page.click("Break and set").await?;
    page.js::<()>("document.querySelectorAll('.drawer details').forEach((fold) => { fold.open = true; })").await?;
    page.write("#set-input-threshold_mv", "1220").await?;
    move_by(&page, 30.0, 0.6).await?;
    press(&page, ".goal #go-on").await?;
    page.click("Lesson").await?;
    heading(&page, text.title("see")).await?;
    page.css("#seen").await?.send_keys("The slow pulses were wider, their number was the same.").await?;
    press(&page, "#go-on").await?;
    heading(&page, text.title("why")).await?;
    assert!(page.all(".terms dt").await?.len() >= 5);
    press(&page, "#go-on").await?;
    // Two wrong answers are one too many; the next check has other numbers.
    exit_check(&page, &first, 0, 2).await?;
    heading(&page, "3 of 5 right").await?;
    page.click("Take the check again").await?;
    exit_check(&page, &first, 1, 0).await?;
    heading(&page, "5 of 5 right").await?;
    assert!(page.text("#next-lesson").await?.contains(lesson("L02")?.title()));
    // It is kept: after the page is loaded anew the lesson is the learner's.
    page.client().refresh().await?;
    page.ready().await?;
    page.click("Lessons").await?;
    page.css("[data-lesson='L01'].mastered").await?;
    page.css("[data-lesson='L02'].next").await?;
    page.click("What I can do").await?;
    assert_eq!(page.all(".map li.shaky").await?.len(), first.teaches.len(), "shown on one day");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn what_was_learnt_comes_back_after_some_days() -> Result<()> {
    let page = Page::open().await?;
    let today: u32 =
        page.js("const d = new Date(); return Math.floor((d - d.getTimezoneOffset() * 60000) / 864e5)").await?;
    let record = json!({ "format": 1, "learner": 77, "name": "", "lessons": { "L01-one-light-one-line": {
        "version": "1.0.0", "predicted": { "reaches": "right" }, "tasks": {},
        "exits": [{ "day": today - 3, "items": [
            { "item": "how-far", "right": true }, { "item": "how-far", "right": true }, { "item": "how-far", "right": true },
            { "item": "how-far", "right": true }, { "item": "how-many", "right": false, "wrong": "multiplied" }] }] } },
        "recall": { "K02": { "day": today - 3, "firm": 1, "due": today - 1 } } });
    let put = "localStorage['countlight.learner'] = JSON.stringify(arguments[0]); return null";
    page.js_with::<()>(put, vec![record]).await?;
    page.client().refresh().await?;
    page.ready().await?;
    page.click("Lessons").await?;
    assert!(page.text(".course-head").await?.contains("One thing that you learnt is due"));
    press(&page, "[data-lesson='L02'] button").await?;
    heading(&page, "What you learnt before").await?;
    page.write("#answer", "nothing").await?;
    press(&page, "#commit").await?;
    assert!(page.text(".refused").await?.contains("number"));
    page.write("#answer", "123456").await?;
    press(&page, "#commit").await?;
    page.css(".told.wrong").await?;
    let due: u32 = page.js("return JSON.parse(localStorage['countlight.learner']).recall.K02.due").await?;
    assert_eq!(due, today + 1, "what was missed comes again tomorrow");
    press(&page, "#go-on").await?;
    heading(&page, lesson("L02")?.title()).await?;
    page.expect_quiet_console().await
}
