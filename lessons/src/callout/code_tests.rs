use super::*;
use proptest::prelude::*;
use sim_core::fault::TABLE;

fn tickets() -> impl Strategy<Value = Ticket> {
    let ids: Vec<String> = crate::cases().map(|(id, _)| id.to_owned()).collect();
    let shipped = (prop::sample::select(ids.clone()), any::<u32>()).prop_map(|(id, seed)| Ticket::Shipped { id, seed });
    let random = (prop::sample::select(BenchId::ALL.to_vec()), prop::sample::select(Level::ALL.to_vec()), any::<u64>())
        .prop_map(|(bench, level, seed)| Ticket::Random { bench, level, seed });
    let hidden = prop::sample::select(ids).prop_map(|id| Ticket::hidden(super::shipped(&id).unwrap()));
    prop_oneof![shipped, random, hidden]
}

proptest! {
    #[test]
    fn a_job_comes_back_also_out_of_an_address_and_a_mail(ticket in tickets(), cut in any::<prop::sample::Index>()) {
        let letters = ticket.letters();
        prop_assert!(letters.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b)), "{}", letters);
        prop_assert!(letters.starts_with("job1.") && letters.len() < LONGEST_LINK);
        prop_assert_eq!(Ticket::read(&letters), Ok(ticket.clone()));
        let mut address = ticket.address("https://training.example/countlight/#bench=1.abc");
        prop_assert_eq!(Ticket::read(&address), Ok(ticket.clone()));
        prop_assert!(Ticket::looks_like(&address) && Ticket::looks_like(&letters));
        address.insert_str(cut.index(address.len()), "\n ");
        prop_assert_eq!(Ticket::read(&format!("<{address}>.")), Ok(ticket));
    }

    #[test]
    fn a_slip_is_refused_or_changes_nothing(
        ticket in tickets(), at in any::<prop::sample::Index>(), by in "[A-Za-z0-9_.~-]", kind in 0_u8..3
    ) {
        let letters = ticket.letters();
        let at = at.index(letters.len());
        let mut slip: Vec<char> = letters.chars().collect();
        match kind {
            0 => slip[at] = by.chars().next().unwrap(),
            1 => drop(slip.remove(at)),
            _ => slip.insert(at, by.chars().next().unwrap()),
        }
        let slip: String = slip.into_iter().collect();
        match Ticket::read(&slip) {
            Ok(read) => prop_assert_eq!(read, ticket, "{}", slip),
            Err(why) => prop_assert!(!why.what().is_empty() && why.mend().ends_with('.')),
        }
    }

    #[test]
    fn no_text_makes_the_reader_fall_over(text in "\\PC{0,80}", letters in "(job1\\.)?[A-Za-z0-9_-]{0,80}") {
        let _ = (Ticket::read(&text), Ticket::read(&letters), Ticket::looks_like(&text));
    }
}

/// What may be seen of letters: themselves, and what a decoder of base64 makes of them, in small letters.
fn seen(letters: &str) -> String {
    let (_, body) = letters.split_once('.').unwrap();
    let decoded = crate::share::packed::bytes_of(body).unwrap();
    format!("{body} {}", String::from_utf8_lossy(&decoded)).to_lowercase()
}

/// Each fault in a case whose texts tell everything, as an instructor may write it.
#[test]
fn no_fault_is_to_be_seen_in_the_letters() {
    let shipped = super::shipped("J01-x-stops-at-one-place").unwrap();
    for row in &TABLE {
        let mut case = shipped.clone();
        case.lesson = format!("It was this: {}. {}", row.title, row.name);
        case.hidden[0].fault = row.id;
        let seen = seen(&Ticket::hidden(case).letters());
        assert!(!seen.contains(row.name), "{}", row.name);
        // Shorter words may come about by chance in some hundred letters.
        for word in row.title.split(|c: char| !c.is_alphanumeric()).filter(|word| word.len() > 4) {
            assert!(!seen.contains(&word.to_lowercase()), "{}: {word}", row.name);
        }
    }
}

#[test]
fn links_to_a_bench_and_jobs_are_told_apart() {
    let scene = crate::read("five-lines", crate::shipped_by_name("five-lines").unwrap().text).unwrap();
    let link = crate::share::link_of(&scene);
    assert_eq!(Ticket::read(&link), Err(TicketError::NotAJob));
    assert!(!Ticket::looks_like(&crate::share::address_of("https://training.example/", &link)));
    let ticket = Ticket::Shipped { id: "J01-x-stops-at-one-place".to_owned(), seed: 7 };
    assert_eq!(crate::share::scene_of(&ticket.letters()), Err(ShareError::NotALink));
    assert_eq!(ticket.case(None).unwrap().id, "J01-x-stops-at-one-place");
    assert_eq!((ticket.bench(), ticket.seed()), (Some(BenchId::RouterGantry), 7));
}

#[test]
fn what_is_wrong_is_told_with_its_remedy() {
    let letters = Ticket::Random { bench: BenchId::SmallMill, level: Level::Any, seed: 12 }.letters();
    let of = |text: &str| format!("job1.{}", veil(text));
    let texts = [
        String::new(),
        letters.replace("job1", "job2"),
        letters.replace("job1.", "job1.~"),
        letters[..letters.len() - 3].to_owned(),
        format!("job1.{}", "a".repeat(LONGEST_LINK)),
        of("painted 1 X"),
        of("shipped many X"),
        of("random 1 2"),
        of("random 1 9 small-mill"),
        of("random 1 2 large-mill"),
        of("hidden title = \"x\""),
    ];
    let told: Vec<String> = texts.iter().map(|text| Ticket::read(text).unwrap_err().to_string()).collect();
    insta::assert_snapshot!(told.join("\n"));
    let missing = Ticket::Shipped { id: "J01".to_owned(), seed: 1 };
    assert!(missing.case(None).unwrap_err().starts_with("there is no case \"J01\" here; did you mean \"J01-x"));
}
