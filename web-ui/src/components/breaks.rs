//! Break something: the catalogue by place on the machine, each fault with its severity.

use crate::store::use_store;
use sim_core::bench::command::{Break, Command, Percent, PlaceMm};
use sim_core::fault::{FaultId, Group, TABLE};
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Groups that stand open at the first visit: where most trouble begins.
const OPEN: [Group; 2] = [Group::Scale, Group::Head];

/// The faults.
#[function_component(Breaks)]
pub fn breaks() -> Html {
    let store = use_store();
    let wanted = use_state(String::new);
    let mend = {
        let store = store.clone();
        move |_: MouseEvent| {
            store.command(Command::MendAll);
            store.command(Command::WipeAll);
        }
    };
    let look = {
        let wanted = wanted.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                wanted.set(input.value().to_lowercase());
            }
        }
    };
    let active: Vec<FaultId> = store.lab.0.borrow().sim().faults().iter().map(|f| f.id).collect();
    let groups = Group::ALL.iter().filter_map(|group| {
        let rows: Vec<FaultId> = TABLE
            .iter()
            .filter(|row| row.group == *group && row.title.to_lowercase().contains(wanted.as_str()))
            .map(|row| row.id)
            .collect();
        let broken = rows.iter().filter(|id| active.contains(id)).count();
        let open = OPEN.contains(group) || !wanted.is_empty() || broken > 0;
        (!rows.is_empty()).then(|| html! {
            <details class="fold" {open} key={group.title()}>
                <summary>{ group.title() }<small>{ if broken > 0 { format!("{broken} of {} in", rows.len()) } else { rows.len().to_string() } }</small></summary>
                { for rows.iter().map(|id| html! { <FaultRow id={*id} key={id.row().name} /> }) }
            </details>
        })
    });
    let groups: Vec<Html> = groups.collect();
    html! {
        <>
            <h2 class="next">{ "Break something" }</h2>
            <label class="find"><span class="unseen">{ "Find a fault" }</span>
                <input id="find-fault" type="search" placeholder="find: gap, supply, mark\u{2026}" oninput={look} /></label>
            { if groups.is_empty() { html! { <p class="note">{ "No fault has this word in its name." }</p> } } else { html! { <>{ for groups }</> } } }
            <p class="mend"><button type="button" onclick={mend}>{ "Mend everything" }</button></p>
        </>
    }
}

/// Properties of [`FaultRow`].
#[derive(Properties, PartialEq)]
struct FaultProps {
    id: FaultId,
}

#[function_component(FaultRow)]
fn fault_row(props: &FaultProps) -> Html {
    let store = use_store();
    let row = props.id.row();
    let lab = store.lab.0.borrow();
    let active = lab.sim().faults().iter().find(|f| f.id == props.id).copied();
    let percent = active.map_or(0.0, |f| (f.severity * 100.0).round());
    let oninput = {
        let (store, id) = (store.clone(), props.id);
        move |event: InputEvent| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let severity_percent = Percent::nearest(input.value().parse().unwrap_or(0.0));
            let at_mm = id.row().has_place.then(|| {
                // A fault with a place keeps it; a new one comes ahead of the table.
                let lab = store.lab.0.borrow();
                let sim = lab.sim();
                let ahead_m = if sim.record().command_mps < 0.0 { -0.03 } else { 0.03 };
                let there_m = active.map_or(sim.record().table_m + ahead_m, |f| f.at_m);
                PlaceMm::nearest(there_m.clamp(0.0, sim.params().machine.travel) * 1e3)
            });
            store.command(Command::Break(Break { fault: id, severity_percent, at_mm }));
        }
    };
    let id = format!("fault-{}", row.name);
    let shown = if percent > 0.0 { format!("{percent:.0} %") } else { String::new() };
    let place = active.filter(|_| row.has_place).map_or(String::new(), |f| format!(" at {:.0}", f.at_m * 1e3));
    html! {
        <div class={classes!("row", (percent > 0.0).then_some("broken"))}>
            <label for={id.clone()}>{ row.title }{ place }</label>
            <input {id} type="range" min="0" max="100" step="5" value={percent.to_string()} aria-valuetext={format!("{percent:.0} percent")} {oninput} />
            <output>{ shown }</output>
        </div>
    }
}
