//! The chain from light to alarm in words: what each link does now, and which one is the first to be broken.

use super::Lab;
use crate::draw::view::{LinkState, LinkView};
use sim_core::event::mm;
use sim_core::record::{Doing, Record};

/// Below this share of nominal light or amplitude a link counts as weak.
const WEAK: f64 = 0.6;

impl Lab {
    /// The six links, in the order in which the light becomes an alarm.
    pub fn links(&self) -> Vec<LinkView> {
        let r = self.sim().record();
        let mut links = vec![
            self.light_link(),
            self.current_link(r),
            self.channel_link(r),
            self.count_link(r),
            loop_link(r),
            self.alarm_link(r),
        ];
        mark_first_broken(&mut links);
        links
    }

    fn light_link(&self) -> LinkView {
        let lamp = self.sim().record().light;
        let words = if lamp <= 0.0 { "off".into() } else { format!("on, {:.0} %", lamp * 100.0) };
        let state = match lamp {
            l if l < 0.02 => LinkState::Broken,
            l if l < WEAK => LinkState::Weak,
            _ => LinkState::Good,
        };
        link("Light", words, state)
    }

    fn current_link(&self, r: &Record) -> LinkView {
        let used = self.sim().params().scale.fields.len().clamp(1, 4);
        let mean_ua = r.photocurrent_a[..used].iter().sum::<f64>() / used as f64 * 1e6;
        let words = format!("{mean_ua:.2} \u{b5}A, {:.0} % of the pattern", r.contrast * 100.0);
        link("Current", words, if r.contrast < WEAK { LinkState::Weak } else { LinkState::Good })
    }

    fn channel_link(&self, r: &Record) -> LinkView {
        let params = self.sim().params();
        let amplitude = if params.two_sensors { r.amplitude_a_v.min(r.amplitude_b_v) } else { r.amplitude_a_v };
        // Strong enough and yet never switching: off its middle, or lost between the head and the input.
        let lost = match (r.a_ok, r.b_ok || !params.two_sensors) {
            (true, true) => None,
            (false, true) => Some("A"),
            (true, false) => Some("B"),
            (false, false) => Some("A and B"),
        };
        if let Some(lost) = lost.filter(|_| amplitude >= r.needed_v) {
            return link("Channel", format!("{lost} does not switch"), LinkState::Broken);
        }
        let state = if amplitude < r.needed_v || lost.is_some() {
            LinkState::Broken
        } else if amplitude < WEAK * params.nominal_v() || amplitude < 1.5 * r.needed_v {
            LinkState::Weak
        } else {
            LinkState::Good
        };
        link("Channel", format!("{amplitude:.2} V, needs {:.2}", r.needed_v), state)
    }

    fn count_link(&self, r: &Record) -> LinkView {
        let off_m = self.uncounted_m();
        let words = if r.blind {
            "stands still".to_owned()
        } else if off_m != 0.0 {
            format!("off by {} mm", mm(-off_m, 2))
        } else if r.speed_mps.abs() < 1e-5 {
            "at rest".to_owned()
        } else if r.direction < 0 {
            "counts down".to_owned()
        } else {
            "counts up".to_owned()
        };
        link("Count", words, if r.blind || off_m != 0.0 { LinkState::Broken } else { LinkState::Good })
    }

    fn alarm_link(&self, r: &Record) -> LinkView {
        let primary = &self.sim().bench().state.watch.primary;
        let words = primary.map_or_else(|| "none".to_owned(), |event| event.kind.title().to_lowercase());
        link("Alarm", words, if r.alarm { LinkState::Alarm } else { LinkState::Good })
    }
}

fn loop_link(r: &Record) -> LinkView {
    let behind_mm = r.error_m * 1e3;
    let words = match r.doing {
        Doing::Off | Doing::Tripped => "open, drive off".to_owned(),
        Doing::Stopping => "stopping".to_owned(),
        Doing::Homing => format!("homing, {behind_mm:.1} mm behind"),
        Doing::Holding | Doing::Moving => format!("{behind_mm:.1} mm behind"),
    };
    link("Loop", words, LinkState::Good)
}

fn link(name: &'static str, words: String, state: LinkState) -> LinkView {
    LinkView { name, words, state }
}

/// Only the first broken link is the broken one; what follows it is behind, except the alarm.
fn mark_first_broken(links: &mut [LinkView]) {
    let mut broken = false;
    for link in links {
        match link.state {
            LinkState::Broken if !broken => broken = true,
            LinkState::Alarm => {}
            _ if broken => link.state = LinkState::Behind,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_channel_that_is_strong_and_off_its_middle_breaks_the_chain() {
        let shipped = lessons::shipped_by_name("conductor-on-screen").unwrap();
        let mut lab = Lab::new(shipped.id, lessons::read(shipped.id, shipped.text).unwrap());
        lab.advance((0.2 / 50e-6) as u64);
        let channel = &lab.links()[2];
        assert_eq!((channel.state, channel.words.as_str()), (LinkState::Broken, "B does not switch"));
    }

    #[test]
    fn the_first_broken_link_is_the_channel_when_the_tape_is_dirty() {
        let shipped = lessons::shipped_by_name("wide-smear").unwrap();
        let mut lab = Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).unwrap());
        lab.clock.pause_at_alarm = false;
        lab.advance((0.9 / 50e-6) as u64);
        assert!(lab.links().iter().all(|l| l.state == LinkState::Good), "{:?}", lab.links());
        lab.advance((0.098 / 50e-6) as u64);
        let states: Vec<LinkState> = lab.links().iter().map(|l| l.state).collect();
        assert_eq!(states[2], LinkState::Broken);
        assert_eq!(states[3], LinkState::Behind);
        assert_eq!(states[5], LinkState::Alarm);
        assert!(lab.links()[5].words.contains("following error"));
    }
}
