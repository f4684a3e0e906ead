//! Faults of the head and its mounting.

use super::{FaultId, Group, Row};
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
