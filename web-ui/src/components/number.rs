//! A number in tabular figures with a thin gap for thousands.

use yew::prelude::*;

/// Properties of [`Number`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The number.
    pub value: f64,
    /// Decimals.
    pub decimals: usize,
}

/// A number.
#[function_component(Number)]
pub fn number(props: &Props) -> Html {
    let (sign, thousands, rest) = parts(props.value, props.decimals);
    if thousands.is_empty() {
        html! { <>{ sign }{ rest }</> }
    } else {
        html! { <>{ sign }<span class="thousands">{ thousands }</span>{ rest }</> }
    }
}

/// Sign, thousands and the rest of a number.
fn parts(value: f64, decimals: usize) -> (&'static str, String, String) {
    let text = format!("{:.decimals$}", value.abs());
    let zero = text.chars().all(|c| matches!(c, '0' | '.'));
    let sign = if value < 0.0 && !zero { "\u{2212}" } else { "" };
    let whole = text.find('.').unwrap_or(text.len());
    let split = whole.saturating_sub(3);
    (sign, text[..split].to_owned(), text[split..].to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_stand_apart_and_zero_has_no_sign() {
        assert_eq!(parts(1509.053, 2), ("", "1".into(), "509.05".into()));
        assert_eq!(parts(-0.001, 2), ("", String::new(), "0.00".into()));
        assert_eq!(parts(-12.5, 1), ("\u{2212}", String::new(), "12.5".into()));
    }
}
