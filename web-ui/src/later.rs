//! What the page fetches when it is first asked for. The compiled module is taken apart at the functions that are marked
//! with `wasm_split`: what only they reach lies in files of its own, so that the bench is there sooner. A marked function
//! answers at once when its part is here, and always in native tests.
//!
//! There are three parts: `teach` (lessons, call-outs, what stands before a class), `desk` (what is needed now and then
//! at the bench) and `work` (long work, see [`crate::jobs`]).

use std::fmt;
use std::pin::Pin;
use std::task::{Context, Poll, Waker};
use wasm_split_helpers::SplitLoaderError;
use yew::Html;

/// A component without properties, as a part gives it.
pub type View = fn() -> Html;

/// Something of a part, on its way.
pub type Fetching<T> = Pin<Box<dyn Future<Output = Result<T, Missing>>>>;

/// A part did not arrive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Missing;

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(
            "This part of the page did not arrive. Look at the connection and try again, or load the page again.",
        )
    }
}

impl From<SplitLoaderError> for Missing {
    fn from(_: SplitLoaderError) -> Self {
        Self
    }
}

/// What has arrived, or what is still on its way.
///
/// # Errors
/// The part did not arrive.
pub fn at_once<T>(mut fetching: Fetching<T>) -> Result<Result<T, Fetching<T>>, Missing> {
    match fetching.as_mut().poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(arrived) => arrived.map(Ok),
        Poll::Pending => Ok(Err(fetching)),
    }
}

/// Declares a function that gives something of a part: `later! { /// What. pub fn name() -> Type in part = value }`.
macro_rules! later {
    ($(#[$doc:meta])* $vis:vis fn $name:ident() -> $of:ty, in $part:ident = $value:expr) => {
        $(#[$doc])*
        $vis fn $name() -> $crate::later::Fetching<$of> {
            // The mark is an import and an export of the module, which the language calls unsafe.
            #[allow(unsafe_code)]
            mod marked {
                use super::*;
                #[wasm_split_helpers::wasm_split($part, fallible)]
                pub fn $name() -> Result<$of, $crate::later::Missing> {
                    Ok($value)
                }
            }
            Box::pin(marked::$name())
        }
    };
}
pub(crate) use later;

/// Declares a function that gives a component of a part: `later_view! { /// What. pub fn name() of Component, in part }`.
macro_rules! later_view {
    ($(#[$doc:meta])* $vis:vis fn $name:ident() of $component:ident, in $part:ident) => {
        $crate::later::later! {
            $(#[$doc])*
            $vis fn $name() -> $crate::later::View, in $part = || yew::html! { <$component /> }
        }
    };
}
pub(crate) use later_view;

#[cfg(test)]
mod tests {
    use super::*;

    const ANSWER: u32 = 42;

    later! {
        fn answer() -> u32, in teach = ANSWER
    }

    #[test]
    fn natively_everything_is_here() {
        assert!(matches!(at_once(answer()), Ok(Ok(ANSWER))));
    }

    #[test]
    fn what_is_on_its_way_is_given_back_and_what_is_missing_is_told() {
        let never: Fetching<u32> = Box::pin(std::future::pending());
        assert!(matches!(at_once(never), Ok(Err(_))));
        let lost: Fetching<u32> = Box::pin(std::future::ready(Err(Missing)));
        assert!(at_once(lost).is_err_and(|why| why.to_string().contains("did not arrive")));
    }
}
