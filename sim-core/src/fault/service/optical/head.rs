//! The head: its light source, its gap and its angles.

use crate::fault::service::Caution::{Glass, LightSource, LivePlug, LockOut, MovingAxis, Static};
use crate::fault::service::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const HEAD: &[Service] = &[
    Service {
        name: "source-aged",
        kind: Kind::Optical,
        cause: "The light source of the head has aged and gives too little light, although its regulation is already \
        at its end.",
        seen: &[
            "The signal is low everywhere, the reference mark is weak as well, and it gets worse as the head warms up.",
        ],
        tells: &[
            "Window and scale are clean, the gap is right, and 4.75 to 5.25 V arrive at the head.",
            "A against B is round, centred and small, and the mark is weaker in the same proportion.",
            "A source that is only hot gives its full light again when it is cold.",
        ],
        remedy: "Replace the head, align it, home the axis and teach the zero point.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, LightSource, Static],
    },
    Service {
        name: "source-hot",
        kind: Kind::Optical,
        cause: "The light source runs too hot, because heat of a motor, a spindle or a closed cover reaches the head.",
        seen: &["In order when cold, low everywhere after an hour of work, in order again the next morning."],
        tells: &[
            "The amplitude follows the temperature of the head's housing, roughly half a percent less for each kelvin, \
            and neither place nor speed.",
            "The supply at the head stays right when warm, which rules out a thin conductor.",
            "An aged source is weak when cold as well.",
        ],
        remedy: "Keep the heat away: open the air path, shield the hot part, restore the cooling, and bring the head \
        back below the temperature that its maker allows.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, LightSource],
    },
    Service {
        name: "source-flicker",
        kind: Kind::Optical,
        cause: "A joint at the light source inside the head is loose, and the light is gone for 1 to 20 ms now and \
        then.",
        seen: &["Signal lost, rarely, at any place of the travel, more often with vibration."],
        tells: &[
            "In a triggered recording A, B and the mark vanish in one instant and come back together.",
            "Bending the cable with a remote tool changes nothing, and the supply at the head stays up through the \
            dropout.",
            "A broken conductor takes only its own channel away.",
        ],
        remedy: "Replace the head, align it, home the axis and teach the zero point.",
        minutes: 50,
        parts: Parts::P3,
        cautions: &[LockOut, LivePlug, LightSource, Static],
    },
    Service {
        name: "gap-wide",
        kind: Kind::Optical,
        cause: "The head was set too far from the scale.",
        seen: &["The signal has been low over the whole travel since the head was set or hit."],
        tells: &[
            "The feeler goes in with room to spare, by the same amount at both ends and in the middle.",
            "A against B is round and small, the window is clean and the supply right, and the amplitude rises as the \
            gap is closed.",
        ],
        remedy: "Set the gap with the foil or gauge that the maker names, at both ends and in the middle, and write \
        the amplitude down.",
        minutes: 15,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "gap-narrow",
        kind: Kind::Optical,
        cause: "The head was set too close to the scale.",
        seen: &[
            "The signal is too high, or low and misshapen, over the whole travel since the head was set.",
            "Nothing rubs yet, but a chip or a bump of the tape has no room left.",
        ],
        tells: &[
            "The foil of the nominal gap does not go in, at both ends alike.",
            "The amplitude comes back to its nominal value as the gap is opened; there is no streak on the scale and \
            no extra friction.",
        ],
        remedy: "Set the gap with the foil or gauge that the maker names, at both ends and in the middle.",
        minutes: 15,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "gap-wedge",
        kind: Kind::Optical,
        cause: "The path of the head and the scale are not parallel, so the gap grows from one end of the travel to \
        the other.",
        seen: &["Faults gather toward one end, and the other end is faultless."],
        tells: &[
            "The amplitude over the travel is a straight ramp without dips.",
            "The feeler finds different gaps at the two ends, while dirt leaves the gap alone.",
        ],
        remedy: "Shim or realign the bed of the scale: the shim is the slope of the gap times the distance between the \
        screws.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut],
    },
    Service {
        name: "guide-sag",
        kind: Kind::Optical,
        cause: "The guide or the bed sags, and the head moves away from the scale toward the middle of the travel.",
        seen: &["The signal is low in the middle of the travel and right at both ends."],
        tells: &[
            "The amplitude over the travel is one smooth bow over the whole length, not a dip of a few centimetres, \
            and cleaning does not change it.",
            "The feeler finds the gap right at both ends and wide in the middle; a level along the guide shows the \
            same bow.",
        ],
        remedy: "Level the machine and shim the bed of the scale to the line of the guide; a worn guide is a case for \
        the machine's maker.",
        minutes: 90,
        parts: Parts::P1,
        cautions: &[LockOut],
    },
    Service {
        name: "gap-rub",
        kind: Kind::Optical,
        cause: "The head stands so close that it rubs on the scale.",
        seen: &["The signal is too high or noisy, something scrapes, and a bright streak runs along the scale."],
        tells: &[
            "No foil goes in: less than a third of the nominal gap is left.",
            "The noise comes with motion and stops at standstill, where electrical noise would go on; the current \
            shows up to 20 N more friction.",
        ],
        remedy: "Set the gap, then look at the lines under the streak and at the window before the axis runs again.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[LockOut, LightSource, Glass],
    },
    Service {
        name: "head-yaw",
        kind: Kind::Optical,
        cause: "The head is turned about the normal of the scale, so its fields lie across the lines.",
        seen: &[
            "The contrast is low over the whole travel, the position ripples twice per signal period, and illegal \
            transitions come at rapid.",
        ],
        tells: &[
            "A against B is an ellipse that leans at 45 degrees: the phase between A and B is off 90 degrees by the \
            same amount everywhere.",
            "The gap is right, everything is clean, and it began with a collision or a setting.",
        ],
        remedy: "Turn the head against its stop edge until A and B stand 90 degrees apart and the amplitude is \
        largest, tighten it and look again.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "head-tilt",
        kind: Kind::Optical,
        cause: "The head is tilted along the travel, so that one of its ends stands further from the scale.",
        seen: &["One channel is lower than the other everywhere, and the position ripples twice per signal period."],
        tells: &[
            "A against B is an upright ellipse, alike over the whole travel, with the phase at 90 degrees.",
            "The feeler finds different gaps under the front and the rear edge of the head.",
            "A channel that is weak in the amplifier stays weak when the head is levelled.",
        ],
        remedy: "Level the head along the travel with the foil under both ends, tighten it and look at A against B \
        again.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "head-roll",
        kind: Kind::Optical,
        cause: "The head is rolled about the direction of travel: one long side is nearer to the scale than the other.",
        seen: &["Both channels are low alike over the whole travel, and the reference mark may be weak."],
        tells: &[
            "The feeler finds different gaps under the two long sides, and equal ones along the travel.",
            "A against B stays round and centred as with a wide gap, so only the feeler tells the two apart.",
        ],
        remedy: "Level the head across the travel with the foil under both sides, and tighten it.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "head-lateral",
        kind: Kind::Optical,
        cause: "The head sits beside its track, and part of its fields looks past the lines.",
        seen: &["The signal has been low since the head was fitted, and homing may miss the reference mark."],
        tells: &[
            "The distance from the edge of the head to the edge of the scale differs from the drawing, while gap and \
            angles are right.",
            "The amplitude rises as the head is moved sideways; if it changes along the travel at a constant gap, the \
            scale runs askew.",
        ],
        remedy: "Set the head to the distance in the maker's drawing, at both ends of the travel.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "head-vibration",
        kind: Kind::Optical,
        cause: "The head shakes on a weak or loose bracket.",
        seen: &[
            "Amplitude and position tremble by some micrometres, at certain speeds or while the spindle runs, and the \
            axis growls.",
        ],
        tells: &[
            "The ripple keeps its own frequency between 10 and 500 Hz at any travel speed; errors of the lines go with \
            the speed.",
            "A vibration sensor on the bracket shows the same frequency, and a temporary clamp changes it.",
            "Electrical noise is there at rest as well, and a loose bracket shows a dead zone at reversal.",
        ],
        remedy: "Tighten and stiffen the bracket, shorten its arm, and find out what makes it shake.",
        minutes: 40,
        parts: Parts::P1,
        cautions: &[LockOut, MovingAxis],
    },
];
