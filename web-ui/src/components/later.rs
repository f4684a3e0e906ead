//! A component of a part that is fetched when it is first wanted.

use crate::later::{Fetching, Missing, View, at_once};
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// How a component stands.
#[derive(Clone)]
enum Standing {
    Unwanted,
    Coming(Rc<RefCell<Option<Fetching<View>>>>),
    Here(View),
    Missing(Missing),
}

impl Standing {
    fn fetch(view: Fetch) -> Self {
        match at_once(view()) {
            Ok(Ok(view)) => Self::Here(view),
            Ok(Err(fetching)) => Self::Coming(Rc::new(RefCell::new(Some(fetching)))),
            Err(missing) => Self::Missing(missing),
        }
    }
}

/// What fetches a component.
pub type Fetch = fn() -> Fetching<View>;

/// Properties of [`Later`].
#[derive(Properties)]
pub struct LaterProps {
    /// Fetches the component.
    pub view: Fetch,
    /// Whether it is wanted; once it was, it stays.
    #[prop_or(true)]
    pub when: bool,
    /// Leaves it; for what lies over the bench, which would otherwise have no way back until it is here.
    #[prop_or_default]
    pub leave: Option<Callback<MouseEvent>>,
    /// For what has no place of its own on the sheet: nothing is shown until it is here, and who wished for it is told
    /// when it did not arrive. Another wish fetches it anew.
    #[prop_or_default]
    pub lost: Option<Callback<Missing>>,
}

impl PartialEq for LaterProps {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::fn_addr_eq(self.view, other.view)
            && self.when == other.when
            && self.leave.is_some() == other.leave.is_some()
            && self.lost.is_some() == other.lost.is_some()
    }
}

/// Shows the component once its part is here, and says so until then.
#[function_component(Later)]
pub fn later(props: &LaterProps) -> Html {
    let view = props.view;
    let standing = use_state(|| if props.when { Standing::fetch(view) } else { Standing::Unwanted });
    {
        let (standing, lost) = (standing.clone(), props.lost.clone());
        use_effect(move || {
            let Standing::Coming(coming) = &*standing else { return };
            let Some(fetching) = coming.borrow_mut().take() else { return };
            let standing = standing.clone();
            wasm_bindgen_futures::spawn_local(async move {
                match fetching.await {
                    Ok(view) => standing.set(Standing::Here(view)),
                    Err(missing) => {
                        standing.set(Standing::Missing(missing));
                        if let Some(lost) = lost {
                            lost.emit(missing);
                        }
                    }
                }
            });
        });
    }
    if props.when && matches!(*standing, Standing::Unwanted) {
        let fetched = Standing::fetch(view);
        standing.set(fetched.clone());
        if let Standing::Here(view) = fetched {
            return view();
        }
    }
    if !props.when && matches!(*standing, Standing::Missing(_)) {
        standing.set(Standing::Unwanted);
    }
    // What lies over the bench has the page's heading, and so has its stand-in.
    let head = props.leave.as_ref().map(|_| html! { <h1 class="unseen">{ "Countlight" }</h1> });
    let back = props
        .leave
        .clone()
        .map(|onclick| html! { <button type="button" class="plain" {onclick}>{ "To the bench" }</button> });
    match &*standing {
        Standing::Here(view) => view(),
        _ if props.lost.is_some() => Html::default(),
        Standing::Missing(missing) => {
            let again = {
                let standing = standing.clone();
                move |_: MouseEvent| standing.set(Standing::fetch(view))
            };
            html! { <div class="later" role="alert">{ head }<p>{ missing.to_string() }</p><button type="button" onclick={again}>{ "Try again" }</button>{ back }</div> }
        }
        Standing::Coming(_) => {
            html! { <div class="later" role="status">{ head }<span class="turning" aria-hidden="true" /><p>{ "On its way." }</p>{ back }</div> }
        }
        Standing::Unwanted => Html::default(),
    }
}
