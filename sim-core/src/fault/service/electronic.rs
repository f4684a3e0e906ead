//! Receivers, amplifiers, counters and the electronics of the drive.

use super::Caution::{HangingAxis, LivePlug, LockOut, MovingAxis, SaveParameters, Solvent, Static};
use super::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const ELECTRONIC: &[Service] = &[
    Service {
        name: "input-damaged",
        kind: Kind::Electronic,
        cause: "A receiver of the control's input card is damaged, by static or a wrong plug, and no longer switches \
        where it should.",
        seen: &["One channel is missing or off its middle, and a new head did not help."],
        tells: &[
            "With the machine locked out, the plugs of two like inputs are exchanged: the fault stays at the input and \
            does not go with the cable.",
            "At the plug the signals are right.",
        ],
        remedy: "Replace the card, restore its settings and home the axis.",
        minutes: 40,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static],
    },
    Service {
        name: "noisy-signal",
        kind: Kind::Electronic,
        cause: "The amplifier in the head has become noisy.",
        seen: &[
            "The count dithers at standstill, the axis hisses, and illegal transitions come at the weakest places.",
        ],
        tells: &[
            "A against B is a fuzzy ring, as wide on every side, also with drives and neighbours off, so nothing comes \
            in from outside.",
            "The fuzz is there at the head's end of the cable, and it does not go with vibration or with current.",
        ],
        remedy: "Replace the head, align it, home the axis and teach the zero point.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static],
    },
    Service {
        name: "bandwidth-low",
        kind: Kind::Electronic,
        cause: "The amplifier of the head is too slow for the speed of the axis.",
        seen: &["The amplitude falls as the speed rises, down to signal low at rapid, and slow motion is perfect."],
        tells: &[
            "At the same speed it is alike at every place; at a crawl A against B is full and round.",
            "At the corner frequency the amplitude is 0.71 of the slow one: speed over signal period gives the \
            frequency.",
        ],
        remedy: "Replace the head with one that is fast enough, or lower the rapid until it is there.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static],
    },
    Service {
        name: "edge-limit",
        kind: Kind::Electronic,
        cause: "The square-wave head puts out its edges too slowly for the speed of the axis.",
        seen: &["Position is lost at rapid only, and silently."],
        tells: &[
            "The speed where it begins is signal period over four times interpolation factor and shortest edge time: \
            40 µm, factor 5 and 2 µs make 1 m/s.",
            "The sine signals inside are good, and slower motion loses nothing.",
        ],
        remedy: "Lower the interpolation factor or the rapid, or choose a head with shorter edges; then check the \
        count at a mark after fast strokes.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[SaveParameters],
    },
    Service {
        name: "counter-narrow",
        kind: Kind::Electronic,
        cause: "The counter is 16 bits wide and its extension in the control has failed, so it starts again after \
        65536 counts.",
        seen: &["The position jumps at one place of the travel, the same after each homing."],
        tells: &[
            "The jump is exactly 65536 counts, 65.536 mm at 1 µm a count; no dirt makes such a number.",
            "The signals are clean at that place, and the place moves with the zero point.",
        ],
        remedy: "Restore the firmware or the setting of the counter, or replace the card, and run across the place \
        both ways.",
        minutes: 40,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static, SaveParameters],
    },
    Service {
        name: "code-bits",
        kind: Kind::Electronic,
        cause: "Single bits of the absolute position arrive wrong, by noise on the line or a faint code.",
        seen: &["The control reports that it cannot read the code, now and then."],
        tells: &[
            "Errors at one place point to dirt on the code track; errors everywhere, in time with drives or \
            neighbours, point to the line.",
            "The check sum of the frame refuses the wrong words, so the position itself does not jump.",
        ],
        remedy: "Mend the screen and the plug if the errors come everywhere; clean the code track if they come at one \
        place.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug, Solvent],
    },
    Service {
        name: "phase-missing",
        kind: Kind::Electronic,
        cause: "One phase of the motor gets no current: a broken conductor, a burnt contact or a dead half of the \
        output stage.",
        seen: &["The axis shudders, starts weakly and draws a high current; a hanging axis may sink."],
        tells: &[
            "The shudder repeats with the pole pitch of the motor and not with the lead or the scale.",
            "With the cable off, the ohmmeter finds unequal windings or an open conductor; another motor on this drive \
            tells which side it is.",
        ],
        remedy: "Replace the cable, the motor or the drive, whichever the ohmmeter and the exchange have found.",
        minutes: 60,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis, LivePlug],
    },
    Service {
        name: "commutation-off",
        kind: Kind::Electronic,
        cause: "The drive no longer knows the angle of the rotor: the motor encoder was changed or its alignment value \
        is wrong.",
        seen: &[
            "High current and a weak, hot motor since the encoder was changed; beyond 90 degrees the motor turns the \
            wrong way.",
        ],
        tells: &[
            "The current for the same load is one over the cosine of the error: twice as much at 60 degrees.",
            "It is alike at every place and in both directions, and friction has not grown when the axis is pushed by \
            hand.",
        ],
        remedy: "Align the commutation as the maker describes, and compare the holding current with the record.",
        minutes: 40,
        parts: Parts::None,
        cautions: &[LockOut, HangingAxis, MovingAxis, SaveParameters],
    },
    Service {
        name: "current-limit-low",
        kind: Kind::Electronic,
        cause: "The current limit of the drive is set too low or has been cut back by the drive.",
        seen: &["A following error at acceleration only; steady motion is in order."],
        tells: &[
            "The recorded current has a flat top well below the peak current of the drive.",
            "The guide is not stiff: at steady speed the current is as in the record.",
        ],
        remedy: "Compare the parameter with the record and set it back; if the drive cut it back itself, find out why.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[SaveParameters],
    },
];
