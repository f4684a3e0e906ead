//! Faults of the head and its mounting.

use super::{FaultId, Group, Row};
use crate::chain::alignment::Vibration;
use crate::chain::squaring::SquaringParams;
use crate::num::math::ln;
use crate::params::Params;

const fn row(
    id: FaultId,
    name: &'static str,
    title: &'static str,
    wipes_off: bool,
    apply: fn(&mut Params, f64, f64),
) -> Row {
    Row { id, name, title, group: Group::Head, has_place: false, wipes_off, apply }
}

/// Gap too wide: up to 2.3 times nominal.
pub(super) const GAP_WIDE: Row = row(FaultId::GapWide, "gap-wide", "Gap too wide", false, |params, s, _| {
    params.alignment.pose.gap_m += 1.3 * s * params.scale.gap_nominal_m;
});

/// Close at one end, far at the other: the gap grows by up to 1.3 times nominal over the travel.
pub(super) const GAP_WEDGE: Row = row(FaultId::GapWedge, "gap-wedge", "Wedge along travel", false, |params, s, _| {
    params.alignment.wedge += 1.3 * s * params.scale.gap_nominal_m / params.machine.travel;
});

/// Yaw: at full severity the lines cross the field by almost one period, the first null of the pattern.
pub(super) const YAW: Row = row(FaultId::HeadYaw, "head-yaw", "Head turned (yaw)", false, |params, s, _| {
    let height_m = params.scale.fields.iter().map(|f| f.height_m).fold(0.0, f64::max);
    if height_m > 0.0 {
        params.alignment.pose.yaw_rad += 0.95 * s * params.scale.period_m / height_m;
    }
});

/// Tilt along the travel: at full severity the far field stands a third of the nominal gap further off.
pub(super) const TILT: Row = row(FaultId::HeadTilt, "head-tilt", "Head tilted", false, |params, s, _| {
    let reach_m = params.scale.fields.iter().map(|f| f.x_m.abs()).fold(0.2e-3, f64::max);
    params.alignment.pose.pitch_rad += (0.33 * s * params.scale.gap_nominal_m / reach_m).min(0.2);
});

/// Film on the window: takes up to 70 % of the light everywhere.
pub(super) const WINDOW_FILM: Row =
    row(FaultId::WindowFilm, "window-film", "Film on the window", true, |params, s, _| {
        params.window *= 1.0 - 0.7 * s;
    });

/// Aged light source: up to 60 % darker.
pub(super) const SOURCE_AGED: Row =
    row(FaultId::SourceAged, "source-aged", "Light source aged", false, |params, s, _| {
        params.lamp.age_s += params.lamp.l70_s * ln(1.0 - 0.6 * s) / ln(0.7);
    });

/// Channel A off its centre by up to 0.3 of its amplitude.
pub(super) const CHANNEL_OFFSET: Row =
    row(FaultId::ChannelOffset, "channel-offset", "Channel A off centre", false, |params, s, _| {
        params.offset_v[0] += 0.3 * s * params.nominal_v();
    });

/// Noise: up to 300 times the natural noise of the amplifier.
pub(super) const NOISE: Row = row(FaultId::NoisySignal, "noisy-signal", "Electrical noise", false, |params, s, _| {
    params.noise *= 1.0 + 299.0 * s;
});

/// Light from outside falls into the head: up to twice the mean current of each field.
pub(super) const STRAY_LIGHT: Row = row(FaultId::StrayLight, "stray-light", "Stray light", false, |params, s, _| {
    params.ambient_a += 0.6e-6 * s;
    params.interference.mains.lamp_ripple = 0.3;
});

/// Roll: at full severity the far edge of a field stands a third of the nominal gap further off.
pub(super) const ROLL: Row = row(FaultId::HeadRoll, "head-roll", "Head rolled", false, |params, s, _| {
    let reach_m = params.scale.fields.iter().map(|f| f.y_m.abs() + f.height_m / 2.0).fold(0.2e-3, f64::max);
    params.alignment.pose.roll_rad += (0.33 * s * params.scale.gap_nominal_m / reach_m).min(0.2);
});

/// Head beside the track: at full severity two fifths of a middle field are left on it.
pub(super) const LATERAL: Row =
    row(FaultId::HeadLateral, "head-lateral", "Head beside the track", false, |params, s, _| {
        let height_m = params.scale.fields.iter().map(|f| f.height_m).fold(0.0, f64::max);
        params.alignment.pose.lateral_m += s * (0.5 * params.scale.track_width_m + 0.1 * height_m);
    });

/// Gap too narrow: down to 40 % of nominal.
pub(super) const GAP_NARROW: Row = row(FaultId::GapNarrow, "gap-narrow", "Gap too narrow", false, |params, s, _| {
    params.alignment.pose.gap_m -= 0.6 * s * params.scale.gap_nominal_m;
});

/// Head so close that it rubs: down to 5 % of nominal. Below 30 % it touches, which makes noise, up to ten times the
/// natural one, and drag, up to 20 N.
pub(super) const GAP_RUB: Row = row(FaultId::GapRub, "gap-rub", "Head rubs", false, |params, s, _| {
    params.alignment.pose.gap_m -= 0.95 * s * params.scale.gap_nominal_m;
    let touching = ((0.95 * s - 0.7) / 0.25).clamp(0.0, 1.0);
    params.noise *= 1.0 + 9.0 * touching;
    params.plant.other_dry_n += 20.0 * touching;
});

/// Guide sags: the gap grows by up to the nominal one in the middle of the travel.
pub(super) const GUIDE_SAG: Row = row(FaultId::GuideSag, "guide-sag", "Guide sags", false, |params, s, _| {
    params.alignment.sag_m += s * params.scale.gap_nominal_m;
});

/// Frequency at which a head shakes on a weak bracket, Hz (own, inside the usual 10 to 500).
const BRACKET_HZ: f64 = 120.0;

/// Head shakes: gap by up to 50 um or two fifths of nominal, place by up to 5 um.
pub(super) const VIBRATION: Row =
    row(FaultId::HeadVibration, "head-vibration", "Head shakes", false, |params, s, _| {
        let line = |amplitude_m| Vibration { amplitude_m, frequency_hz: BRACKET_HZ, phase_turns: 0.0 };
        params.alignment.gap_vibration.push(line(s * (0.4 * params.scale.gap_nominal_m).min(50e-6)));
        params.alignment.position_vibration.push(line(5e-6 * s));
    });

/// Light source hotter by up to 60 K: darker by three tenths, and its wavelength moves the planes of the light.
pub(super) const SOURCE_HOT: Row = row(FaultId::SourceHot, "source-hot", "Light source hot", false, |params, s, _| {
    params.lamp.temperature_k += 60.0 * s;
});

/// Loose light source: up to all of the light gone for 1 to 20 ms now and then.
pub(super) const SOURCE_FLICKER: Row =
    row(FaultId::SourceFlicker, "source-flicker", "Light source flickers", false, |params, s, _| {
        params.flicker = params.flicker.max(s);
    });

/// Channel B weaker than A by up to 40 %.
pub(super) const CHANNEL_GAIN: Row =
    row(FaultId::ChannelGain, "channel-gain", "Channel B weak", false, |params, s, _| {
        params.channel_gain[1] *= 1.0 - 0.4 * s;
    });

/// Amplifier too slow: its corner is 2.5 times the signal frequency at the machine's top speed, down to 0.3 times.
pub(super) const BANDWIDTH_LOW: Row =
    row(FaultId::BandwidthLow, "bandwidth-low", "Head amplifier slow", false, |params, s, _| {
        let top_hz = params.machine.limits.speed / params.scale.period_m;
        params.scale.bandwidth_hz = params.scale.bandwidth_hz.min(top_hz * (2.5 - 2.2 * s));
    });

/// Outputs that change too slowly: a head that sends square waves keeps up to `1 - 0.7 s` of the machine's top speed.
/// A head that sends its channels has no such outputs and shows nothing.
pub(super) const EDGE_LIMIT: Row =
    row(FaultId::EdgeLimit, "edge-limit", "Square outputs slow", false, |params, s, _| {
        let speed = (1.0 - 0.7 * s) * params.machine.limits.speed;
        let edge_s = SquaringParams::edge_s_of(params.scale.period_m, params.factor(), speed);
        params.squaring.edge_s = params.squaring.edge_s.max(edge_s);
    });
