//! Call-outs as a technician goes through them: what is read comes from the machine, nothing tells the cause before the
//! debrief, and a result that is handed in is played again.

use lessons::callout::code::Ticket;
use lessons::callout::play::{Ask, NoteText, Player};
use lessons::callout::score::PARTS;
use lessons::callout::{Act, Case, read, script};
use serde_json::json;
use sim_core::bench::command::SafetyAct;
use sim_core::fault::TABLE;
use sim_core::setup::BenchId;
use system_tests::{Page, Result, View};

fn case(id: &str) -> Result<Case> {
    let (id, text) = lessons::cases().find(|(of, _)| of.starts_with(id)).ok_or("no such case")?;
    Ok(read(id, text)?)
}

/// Waits until what was begun is done.
async fn done(page: &Page) -> Result<()> {
    page.until_js(
        "it is done",
        "return !document.querySelector('#call-doing, .busy') && !!document.querySelector('.site, #debrief')",
    )
    .await
}

/// Waits for an element behind long work: a case that is made is tried with every check, on a machine that is busy too.
async fn patient(page: &Page, css: &str) -> Result<()> {
    for _ in 0..5 {
        if page.css(css).await.is_ok() {
            return Ok(());
        }
    }
    page.css(css).await.map(drop)
}

/// What the technician turns to for an act, and the id of its button.
fn place(act: Act) -> (&'static str, String) {
    let turn = match act {
        Act::Ask(_) | Act::Log => "Ask",
        Act::Check(check) if check.row().power == diagnosis::check::Power::Dead => "Lock out",
        Act::Check(_) => "Measure",
        Act::Safety(_) | Act::Wait(_) | Act::BreakOut | Act::Ready => "Lock out",
        Act::Remedy(_) => "Put right",
        Act::Prove => "Prove and close",
    };
    (turn, format!("#act-{}", act.to_string().replace(' ', "-")))
}

/// Presses an element with the pointer or a finger.
async fn hit(page: &Page, css: &str, finger: bool) -> Result<()> {
    let element = page.css(css).await?;
    page.js_with::<()>("document.querySelector(arguments[0]).scrollIntoView({ block: 'center' })", vec![json!(css)])
        .await?;
    if finger { page.tap(&element).await } else { Ok(element.click().await?) }
}

/// Goes the expert's way on the page, to the signed note.
async fn solve(page: &Page, case: &Case, finger: bool) -> Result<()> {
    for act in &case.par {
        let (turn, css) = place(*act);
        let tab =
            format!(".turns > .views button:nth-child({})", TURNS.iter().position(|t| *t == turn).unwrap_or(0) + 1);
        hit(page, &tab, finger).await?;
        hit(page, &css, finger).await?;
        done(page).await?;
    }
    hit(page, ".turns > .views button:nth-child(5)", finger).await?;
    let mut causes: Vec<&str> = case.hidden.iter().map(|hidden| diagnosis::family_of(hidden.fault).name).collect();
    causes.dedup();
    for cause in causes {
        page.js_with::<()>(
            "const s = document.querySelector('#note-cause'); s.value = arguments[0]; s.dispatchEvent(new Event('change', { bubbles: true }))",
            vec![json!(cause)],
        )
        .await?;
    }
    for part in 0..PARTS.len() {
        page.write(&format!("#note-{part}"), "as it was").await?;
    }
    Ok(())
}

const TURNS: [&str; 5] = ["Ask", "Measure", "Lock out", "Put right", "Prove and close"];

/// What the same acts give natively.
fn native(case_id: &str, acts: &[Act]) -> Result<lessons::callout::play::Told> {
    let (id, text) = lessons::cases().find(|(of, _)| of.starts_with(case_id)).ok_or("no such case")?;
    let case = case(case_id)?;
    let mut causes: Vec<String> =
        case.hidden.iter().map(|hidden| diagnosis::family_of(hidden.fault).name.to_owned()).collect();
    causes.dedup();
    let note = NoteText { causes, words: vec!["as it was".to_owned(); PARTS.len()] };
    let table = lessons::outcomes(&case.machine().file()).ok_or("no table")?.to_owned();
    let acts = acts.iter().map(Act::to_string).collect();
    let ask = Ask { id: id.to_owned(), case: text.to_owned(), seed: 1, acts, known: 0, close: Some((note, table)) };
    Ok(Player::default().play(&ask, &mut |_| {})?)
}

/// Everything of the page that somebody could read at a glance.
async fn readable(page: &Page) -> Result<String> {
    page.js(
        "const copy = document.documentElement.cloneNode(true);
         copy.querySelectorAll('#note-cause, #guess-family').forEach((list) => list.remove());
         return [copy.outerHTML, document.title, location.href, JSON.stringify({ ...localStorage }), JSON.stringify({ ...sessionStorage })].join('\\n')",
    )
    .await
}

/// Names and titles of what is hidden that can be read now and could not be read before, or not as often: the help of
/// the page has words such as "smear" whatever is hidden.
fn told(before: &str, now: &str, case: &Case) -> Vec<&'static str> {
    let hidden = case.hidden.iter().map(|hidden| hidden.fault.row());
    let times = |text: &str, words: &str| text.to_lowercase().matches(&words.to_lowercase()).count();
    hidden.flat_map(|row| [row.name, row.title]).filter(|words| times(now, words) > times(before, words)).collect()
}

#[tokio::test]
async fn an_expert_goes_through_a_call_and_the_debrief_is_that_of_the_model() -> Result<()> {
    let page = Page::open().await?;
    page.click("Call-outs").await?;
    page.css(".orders .lesson-row").await?;
    assert_eq!(page.all(".orders .lesson-row").await?.len(), lessons::cases().count());
    assert_eq!(page.access_faults().await?, [""; 0], "the work orders");
    page.css("#go-J02").await?.click().await?;
    page.css(".site").await?;
    done(&page).await?;
    let case = case("J02")?;
    assert_eq!(page.text(".work-order h2").await?, case.title);
    solve(&page, &case, false).await?;
    let expected = native("J02", &case.par)?;
    assert_eq!(page.text("#call-minutes").await?, expected.now.minutes.to_string());
    assert_eq!(page.text("#call-cost").await?, expected.now.cost.to_string());
    assert_eq!(page.access_faults().await?, [""; 0], "at the machine");
    page.css("#note-sign").await?.click().await?;
    page.css("#debrief").await?;
    assert_eq!(page.access_faults().await?, [""; 0], "the debrief");
    let debrief = expected.debrief.ok_or("no debrief")?;
    assert_eq!(page.text("#debrief-total").await?, format!("{:.0}", debrief.total));
    assert!(debrief.total > 99.5, "{debrief:?}");
    assert!(page.text("#debrief-cause").await?.contains(&debrief.causes[0]));
    // The page computes the worth of each reading as the native program does.
    let ratios: Vec<String> =
        page.js("return [...document.querySelectorAll('.worth')].map((w) => w.dataset.ratio)").await?;
    let native: Vec<String> = debrief.forks.iter().map(|fork| format!("{:.6}", fork.ratio)).collect();
    assert_eq!(ratios, native);
    // The run can be seen again: the machine as it stood after the second thing that was done, with its cause open.
    page.css(".way li:nth-child(2) .link").await?.click().await?;
    page.css(".machine").await?;
    let faults = page.bench().await?["faults"].to_string();
    assert!(faults.contains("window-film"), "{faults}");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_call_is_solved_on_a_phone_by_touch() -> Result<()> {
    let page = Page::open().await?;
    page.cdp("Emulation.setTouchEmulationEnabled", json!({ "enabled": true, "maxTouchPoints": 5 })).await?;
    page.view(View::PHONE).await?;
    hit(&page, "#calls", true).await?;
    hit(&page, "#go-J17", true).await?;
    page.css(".site").await?;
    done(&page).await?;
    let case = case("J17")?;
    // Nothing stands beside the screen.
    let wide: bool = page.js("return document.documentElement.scrollWidth > innerWidth + 1").await?;
    assert!(!wide, "the page is wider than the phone");
    solve(&page, &case, true).await?;
    hit(&page, "#note-sign", true).await?;
    page.css("#debrief").await?;
    let expected = native("J17", &case.par)?.debrief.ok_or("no debrief")?;
    assert_eq!(page.text("#debrief-total").await?, format!("{:.0}", expected.total));
    let wide: bool = page.js("return document.documentElement.scrollWidth > innerWidth + 1").await?;
    assert!(!wide, "the debrief is wider than the phone");
    page.expect_quiet_console().await
}

/// No case is told before its debrief: not by the document, its title, the address or what the browser keeps.
#[tokio::test]
async fn nothing_readable_tells_a_cause_before_the_debrief() -> Result<()> {
    let page = Page::open().await?;
    page.click("Call-outs").await?;
    page.css(".orders .lesson-row").await?;
    let mut leaks = String::new();
    let before = readable(&page).await?;
    for (id, _) in lessons::cases() {
        let number = id.split('-').next().unwrap_or_default();
        page.css(&format!("#go-{number}")).await?.click().await?;
        page.until_js("the machine is there", "return !!document.querySelector('.site')").await?;
        done(&page).await?;
        let case = case(number)?;
        // Operator, log and a run of the axis; then every turn is looked at.
        for act in ["ask 1", "log", "check traverse"] {
            let act = Act::read(act, false).map_err(|(what, _)| what)?[0];
            let (turn, css) = place(act);
            page.by_role("button", turn).await?.click().await?;
            page.css(&css).await?.click().await?;
            done(&page).await?;
        }
        for turn in TURNS {
            page.by_role("button", turn).await?.click().await?;
            page.frames(1).await?;
            for words in told(&before, &readable(&page).await?, &case) {
                leaks += &format!("{id}, {turn}: tells \"{words}\"\n");
            }
        }
        page.by_role("button", "Work orders").await?.click().await?;
    }
    assert!(leaks.is_empty(), "{leaks}");
    page.expect_quiet_console().await
}

/// Links of every fault that can be hidden: none of them has its name in it, however the letters are turned.
#[tokio::test]
async fn an_instructor_hides_what_is_broken_and_collects_the_result() -> Result<()> {
    let page = Page::open().await?;
    page.choose_scene("clean-shuttle").await?;
    let fault = page.css("#fault-window-film").await?;
    page.slide(&fault, 70.0).await?;
    page.until("it is broken", async || Ok(page.bench().await?["faults"].to_string().contains("window-film"))).await?;
    page.click("Call-outs").await?;
    page.write("#hide-title", "A call of mine").await?;
    page.css("#hide-go").await?.click().await?;
    patient(&page, "#call-address").await?;
    let area = page.css("#call-address").await?;
    let address = area.prop("value").await?.unwrap_or_default();
    let letters = address.rsplit('#').next().unwrap_or_default().to_owned();
    for row in &TABLE {
        assert!(!address.contains(row.name), "{address}");
    }
    let Ticket::Hidden { case } = Ticket::read(&letters)? else { return Err("no hidden case".into()) };
    assert_eq!(case.title, "A call of mine");
    assert!(case.hidden.iter().any(|hidden| hidden.fault.row().name == "window-film"));
    // A learner opens the link, and hands in a result that an instructor's page plays again.
    let learner = Page::open_at(&format!("#{letters}")).await?;
    patient(&learner, ".site").await?;
    done(&learner).await?;
    assert_eq!(learner.text(".work-order h2").await?, "A call of mine");
    assert_eq!(told("", &readable(&learner).await?, &case), [""; 0]);
    let acts: Vec<String> = case.par.iter().map(Act::to_string).collect();
    let handed = json!({ "format": 1, "name": "Ann", "ticket": letters, "acts": acts, "causes": ["window-dim"],
        "words": vec!["as it was"; PARTS.len()] })
    .to_string();
    page.by_role("button", "Results of a class").await?.click().await?;
    page.js_with::<()>(
        "const list = new DataTransfer(); list.items.add(new File([arguments[0]], 'ann.json'));
         list.items.add(new File(['{\"format\": 1}'], 'broken.json'));
         const input = document.querySelector('#call-files'); input.files = list.files;
         input.dispatchEvent(new Event('change', { bubbles: true }))",
        vec![json!(handed)],
    )
    .await?;
    patient(&page, "#call-results tbody tr").await?;
    let row = page.text("#call-results tbody tr").await?;
    assert!(row.contains("Ann") && row.contains("A call of mine"), "{row}");
    assert!(page.read_notice().await?.contains("broken.json"));
    page.expect_quiet_console().await
}

/// A call by chance is the same here as natively, and a visit survives a reload of the page.
#[tokio::test]
async fn chance_gives_the_same_call_everywhere_and_a_reload_loses_nothing() -> Result<()> {
    let ticket = Ticket::Random { bench: BenchId::RouterGantry, level: sim_core::fault::hidden::Level::Clear, seed: 4 };
    let page = Page::open_at(&format!("#{}", ticket.letters())).await?;
    patient(&page, ".site").await?;
    done(&page).await?;
    let table = lessons::outcomes("router-gantry").map(diagnosis::Table::read).transpose()?;
    let case = ticket.case(table.as_ref())?;
    assert_eq!(page.text(".work-order h2").await?, case.title);
    for act in [Act::Log, Act::Safety(SafetyAct::SwitchOff)] {
        let (turn, css) = place(act);
        page.by_role("button", turn).await?.click().await?;
        page.css(&css).await?.click().await?;
        done(&page).await?;
    }
    page.click("Prove and close").await?;
    page.write("#note-1", "half a sentence").await?;
    let minutes = page.text("#call-minutes").await?;
    page.client().refresh().await?;
    page.ready().await?;
    page.click("Call-outs").await?;
    page.css("#call-again").await?.click().await?;
    patient(&page, ".site").await?;
    done(&page).await?;
    assert_eq!(page.text("#call-minutes").await?, minutes);
    assert_eq!(page.all(".notebook ol li").await?.len(), 2);
    page.click("Prove and close").await?;
    let kept = page.css("#note-1").await?.prop("value").await?;
    assert_eq!(kept.as_deref(), Some("half a sentence"));
    // The expert's way, made by chance's own rules, is one.
    assert!(!case.par.is_empty() && script::nothing(&case).causes.is_empty());
    page.expect_quiet_console().await
}
