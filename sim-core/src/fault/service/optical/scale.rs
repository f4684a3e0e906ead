//! The scale itself, the discs and rings, the reference marks and the code, and what else distorts A and B.

use crate::fault::service::Caution::{
    Glass, HangingAxis, LightSource, LivePlug, LockOut, SaveParameters, Solvent, Static,
};
use crate::fault::service::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const SCALE: &[Service] = &[
    Service {
        name: "tape-lift",
        kind: Kind::Optical,
        cause: "The tape has come off its bed over a stretch, because the glue has failed.",
        seen: &["The signal fails or counts are lost at one place, more when the machine is warm."],
        tells: &[
            "The dip of the amplitude grows and moves with heat, and cleaning does not change it.",
            "The feeler finds the gap smaller by 0.05 to 0.4 mm over some centimetres, and glue or a hollow can be \
            seen.",
            "An indicator or a laser finds a length error of up to 20 µm at the place.",
        ],
        remedy: "Bond the tape again as its maker describes or replace it, then check gap and length, home the axis \
        and teach the zero point.",
        minutes: 150,
        parts: Parts::P3,
        cautions: &[LockOut, Glass],
    },
    Service {
        name: "tape-stretch",
        kind: Kind::Optical,
        cause: "The tape is stretched or its end clamp has slipped, so that it reads up to 0.1 mm too little for each \
        metre.",
        seen: &["Parts are wrong in proportion to their length, and no alarm tells of it."],
        tells: &[
            "Against a laser or a length gauge the error grows in a straight line with the position, cold and warm \
            alike.",
            "The motor encoder agrees with the laser and the scale does not; with a grown screw it is the other way \
            round.",
        ],
        remedy: "Set the tension and fix the clamp as the maker describes, or enter the measured correction, and prove \
        it with the gauge.",
        minutes: 60,
        parts: Parts::None,
        cautions: &[LockOut, SaveParameters],
    },
    Service {
        name: "disc-eccentric",
        kind: Kind::Optical,
        cause: "The disc of the motor encoder, or the ring on the table, does not sit in the middle of its shaft.",
        seen: &["The position is wrong once per turn: 50 µm on a radius of 50 mm are 1 mrad, or 206 seconds of arc."],
        tells: &[
            "The amplitude breathes once per turn, and load or direction make no difference.",
            "An indicator on the collar of the ring shows the run-out; an error of the screw leaves the amplitude \
            still.",
        ],
        remedy: "Centre the ring with the indicator or replace the encoder; two heads 180 degrees apart cancel what \
        remains.",
        minutes: 120,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis, LivePlug, Static],
    },
    Service {
        name: "disc-dirt",
        kind: Kind::Optical,
        cause: "Dirt or damage covers a sector of the disc in the motor encoder.",
        seen: &["A jerk, or an alarm of the mark spacing, once per turn of the motor, anywhere on the travel."],
        tells: &[
            "The distance from event to event is the travel per turn, the lead of the screw, at all places; a fault of \
            the scale stays at one place.",
            "The signals of the scale are good at that moment and those of the motor encoder are not.",
        ],
        remedy: "Replace the motor encoder, align its commutation again and teach the zero point.",
        minutes: 120,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis, LivePlug, Static],
    },
    Service {
        name: "channel-offset",
        kind: Kind::Optical,
        cause: "Channel A is shifted off its centre, by the amplifier in the head or a field with uneven light.",
        seen: &[
            "The position ripples once per signal period, and the squared signal is longer high than low.",
            "An offset of 0.3 of the amplitude is 5 % of a period to either side, or 1 µm at a period of 20 µm.",
        ],
        tells: &[
            "A against B is a circle beside the centre, and it is alike at both ends of the cable, so neither wiring \
            nor input does it.",
            "Stray light shifts both channels and comes and goes with the light.",
        ],
        remedy: "Adjust the offset where the maker provides for it, otherwise replace the head and teach the zero \
        point.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static],
    },
    Service {
        name: "channel-gain",
        kind: Kind::Optical,
        cause: "One channel is weaker than the other, by its amplifier or its light detector.",
        seen: &[
            "The position ripples twice per signal period: a channel 20 % weak makes 1.6 % of a period to either side, \
            or 0.3 µm at 20 µm.",
            "The weak channel is the first to fall under the level that the input needs.",
        ],
        tells: &[
            "A against B is an upright ellipse over the whole travel, alike at both ends of the cable.",
            "Levelling the head does not change it, as it would with a tilt; a poor contact shows at the control's end \
            only.",
        ],
        remedy: "Adjust the gain where the maker provides for it, otherwise replace the head and teach the zero point.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, Static],
    },
    Service {
        name: "mark-dirty",
        kind: Kind::Optical,
        cause: "Dirt covers the reference mark.",
        seen: &["Homing sometimes finds no mark and gives up, or takes the next one; the axis counts well otherwise."],
        tells: &[
            "A and B are good at the mark, and the pulse of the mark is low on the oscilloscope.",
            "The home switch releases at its usual place, so the search begins where it should.",
        ],
        remedy: "Clean the scale at the mark and home ten times: every time at the same place.",
        minutes: 15,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent],
    },
    Service {
        name: "mark-false",
        kind: Kind::Optical,
        cause: "A scratch or a speck looks like a reference mark to the head.",
        seen: &["The axis homes to an odd place, or the control complains about the spacing of the marks."],
        tells: &[
            "The shift is no multiple of the mark spacing, as it would be with a moved dog or a worn switch.",
            "A recording of the mark channel over the travel shows a pulse that the plan of the scale does not have.",
        ],
        remedy: "Clean the place; if the pulse stays, the scale is scratched and has to be replaced.",
        minutes: 60,
        parts: Parts::P3,
        cautions: &[LockOut, Glass, Solvent],
    },
    Service {
        name: "code-dirt",
        kind: Kind::Optical,
        cause: "Dirt covers the code track of an absolute scale, while the lines beside it are still readable.",
        seen: &["The control cannot read the code at one place, mostly at switch-on with the axis standing there."],
        tells: &[
            "It is always the same place and the same wrong bits; a bad line makes random errors everywhere.",
            "A and B are good there, so the axis counts on across the place once it knows where it is.",
        ],
        remedy: "Clean the code track with the permitted agent, then switch on at several places, the bad one among \
        them.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent],
    },
    Service {
        name: "stray-light",
        kind: Kind::Optical,
        cause: "Light from outside falls into the head.",
        seen: &[
            "Illegal transitions or a restless count near a window or a lamp, at certain hours or with a door open.",
        ],
        tells: &[
            "A and B are shifted off centre together, often with a ripple at 100 or 120 Hz, twice the mains frequency.",
            "A dark cloth over the head takes it away, laid on with the machine locked out, and it follows the light \
            and not the place.",
        ],
        remedy: "Shade the head or fit its cover again.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[LockOut, LightSource],
    },
];
