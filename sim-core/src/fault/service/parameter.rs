//! Values of the control that somebody changed, lost or never set: nothing is broken.

use super::Caution::{HangingAxis, LockOut, MovingAxis, SaveParameters};
use super::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const PARAMETER: &[Service] = &[
    Service {
        name: "kv-halved",
        kind: Kind::Parameter,
        cause: "The gain of the position loop was set to about half.",
        seen: &[
            "The following error is twice as large at every speed; a fixed limit trips at rapid and lets slower motion \
            pass.",
        ],
        tells: &[
            "The following error is in proportion to the speed at all places, and speed over error gives the gain.",
            "The gain differs from the record; amplitude and current are as usual.",
        ],
        remedy: "Put the stored gain back, and compare the following error at two speeds with the record.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "kv-high",
        kind: Kind::Parameter,
        cause: "The gains of position and speed loop were set far too high.",
        seen: &["The axis overshoots and hums loudly at some 185 to 270 Hz."],
        tells: &[
            "The hum stops with torque off, and nothing rattles when the table is pushed by hand.",
            "The gains differ from the record; a slack belt hums lower, at the resonance of the machine.",
        ],
        remedy: "Put the stored gains back and listen over the whole travel.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "feed-forward-off",
        kind: Kind::Parameter,
        cause: "The speed feed-forward has been switched off.",
        seen: &[
            "The following error has grown everywhere and still goes with the speed: fivefold where 0.8 of it was fed \
            forward.",
        ],
        tells: &[
            "The value differs from the record, and speed over error gives just the position gain, which is right.",
            "Amplitude and current are as usual, so neither signal nor load does it.",
        ],
        remedy: "Put the stored value back, and compare the following error at two speeds with the record.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "ratio-wrong",
        kind: Kind::Parameter,
        cause: "The number of lines or the lead of the screw is wrong in the control, by a factor.",
        seen: &[
            "Every distance is wrong by one and the same factor; with two encoders they disagree at the first move.",
        ],
        tells: &[
            "Command 100 mm and measure it: the quotient is a plain ratio, such as 2 or 2.5, at every place.",
            "A stretched tape is wrong by a tenth of a millimetre in a metre, and not by a factor.",
        ],
        remedy: "Set the right number from the plates of scale, gear and screw, then measure 100 mm again and home the \
        axis.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "sign-wrong",
        kind: Kind::Parameter,
        cause: "The counting direction is reversed in the control, often after an old backup was loaded.",
        seen: &["The axis runs away when it is enabled or at the first move."],
        tells: &[
            "Pushed by hand with the drive off, the count falls in the plus direction.",
            "Wiring and plugs are as in the drawing, and the parameter differs from the record.",
        ],
        remedy: "Put the stored sign back, then push by hand with the drive off: the count must rise in the plus \
        direction before the drive is enabled.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[HangingAxis, MovingAxis, SaveParameters],
    },
    Service {
        name: "filter-long",
        kind: Kind::Parameter,
        cause: "The input filter asks for too many equal samples and swallows real edges at speed.",
        seen: &[
            "Counts are lost in fast moves only, without any illegal transition; above one speed nothing counts at \
            all.",
        ],
        tells: &[
            "A and B are clean on the oscilloscope at the speed where the count fails.",
            "The filter value differs from the record; a head with slow edges fails with the right value as well.",
        ],
        remedy: "Put the stored filter back, and check the count at a mark after fast strokes.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "mark-near-switch",
        kind: Kind::Parameter,
        cause: "The reference mark lies just where the home switch releases, so chance decides which mark is found.",
        seen: &["On some days the zero point is off by exactly one mark spacing."],
        tells: &[
            "The distance from edge to mark in the homing log is near nothing or near a whole spacing.",
            "Its scatter is as usual, so the switch is not worn.",
        ],
        remedy: "Move the dog by half a spacing, teach the zero point and home ten times.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[LockOut, MovingAxis],
    },
    Service {
        name: "mismatch-tight",
        kind: Kind::Parameter,
        cause: "The limit for the disagreement of scale and motor encoder is tighter than the heat growth of the \
        screw.",
        seen: &["The machine stops when it is warm although it makes good parts."],
        tells: &[
            "The disagreement grows in a straight line with place and temperature: 58 µm for 0.5 m of steel and 10 K.",
            "A slipping coupling or a loose head makes steps, cold as well.",
        ],
        remedy: "Set the limit back to the maker's value, which allows for the growth, and warm the machine up; never \
        set it wider than that.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "soft-limit-wrong",
        kind: Kind::Parameter,
        cause: "The soft limits were not moved along when the zero point was taught anew.",
        seen: &["The axis stops by itself ahead of a place that it used to reach."],
        tells: &[
            "The log has a note of the soft limit and no fault, and the place is the same every time.",
            "From the other side the axis can go further than it should.",
        ],
        remedy: "Set the soft limits to the distances from the machine's stops that the record gives, and run up to \
        both slowly.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "play-comp-wrong",
        kind: Kind::Parameter,
        cause: "The play compensation does not match the real play, by up to 60 µm.",
        seen: &[
            "With the motor encoder in the loop, parts have an error at each reversal although the mechanics are good.",
        ],
        tells: &[
            "An indicator on the table shows an error at reversal that is the difference of set and measured play, and \
            it changes with the value.",
            "A worn nut differs from place to place; this error is alike everywhere.",
        ],
        remedy: "Measure the play with an indicator at three places, repair it if it is above the maker's value, and \
        enter what was measured.",
        minutes: 10,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
    Service {
        name: "zero-not-taught",
        kind: Kind::Parameter,
        cause: "The zero point was not taught again after a head, a scale or a motor was changed.",
        seen: &["Every position is shifted by the same amount, and no alarm tells of it."],
        tells: &[
            "The shift is constant over the whole travel and dates from the exchange; a stretched scale grows with the \
            position.",
            "Homing repeats well, so switch and marks are in order.",
        ],
        remedy: "Teach the zero point at the machine's reference face, and check soft limits and tool change place \
        before the first program.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[MovingAxis, SaveParameters],
    },
];
