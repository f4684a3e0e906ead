//! Guides, screw, coupling, brake and what carries the head: look-alikes of a feedback fault, and causes of one.

use super::Caution::{Glass, HangingAxis, LiveMeasuring, LivePlug, LockOut, MovingAxis, Pressure, Solvent};
use super::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const MECHANICAL: &[Service] = &[
    Service {
        name: "bracket-loose",
        kind: Kind::Mechanical,
        cause: "The bracket of the head is loose and lets the head stay behind at each reversal, by up to 60 µm.",
        seen: &[
            "With the loop closed on the scale the axis hunts and parts show a reversal error; scale and motor encoder \
            disagree when the direction changes, often only when warm.",
        ],
        tells: &[
            "An indicator on the bracket moves against the table at reversal, and the amplitude jumps in the same \
            moment.",
            "A worn nut moves the whole table against the screw; here the table follows and only the head does not.",
        ],
        remedy: "Tighten and pin the bracket, set the gap again and teach the zero point.",
        minutes: 25,
        parts: Parts::None,
        cautions: &[LockOut, MovingAxis],
    },
    Service {
        name: "scale-loose",
        kind: Kind::Mechanical,
        cause: "The scale or its carrier is loose and shifts by up to 100 µm at hard accelerations.",
        seen: &["The zero point creeps after rapids, in steps, though no counts are lost and no alarm comes."],
        tells: &[
            "The count returns to the same value at the reference mark, and yet the mark has moved against the \
            casting.",
            "An indicator between carrier and casting sees the step; with a slipping coupling the scale would be in \
            its place.",
        ],
        remedy: "Fix the scale at its fastening points as the maker describes, without bending it, and teach the zero \
        point.",
        minutes: 60,
        parts: Parts::None,
        cautions: &[LockOut, Glass],
    },
    Service {
        name: "coupling-slip",
        kind: Kind::Mechanical,
        cause: "The coupling between motor and screw slips when the torque peaks.",
        seen: &[
            "With the motor encoder in the loop the position is off after hard stops, and it grows from stop to stop \
            without an alarm.",
            "With the scale in the loop there is a single jerk, and scale and motor encoder disagree.",
        ],
        tells: &[
            "The disagreement of scale and motor encoder makes a step at a hard stop and keeps it.",
            "A witness line across both hubs is broken.",
        ],
        remedy: "Clean the hubs, tighten them to the maker's torque, draw a new witness line and teach the zero point.",
        minutes: 25,
        parts: Parts::P1,
        cautions: &[LockOut, HangingAxis, Solvent],
    },
    Service {
        name: "encoder-coupling",
        kind: Kind::Mechanical,
        cause: "The small coupling between motor shaft and motor encoder is cracked or broken.",
        seen: &["The axis growls and hunts; when the coupling is right through, the axis runs away as soon as it is \
            enabled."],
        tells: &[
            "The speed signal is noisy although its electrical signals are clean.",
            "With the drive off, turning the motor shaft by hand and looking at the count shows play, or no count at \
            all.",
        ],
        remedy: "Replace the coupling, align the commutation where the maker asks for it, and teach the zero point.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, HangingAxis, LivePlug],
    },
    Service {
        name: "nut-worn",
        kind: Kind::Mechanical,
        cause: "The nut of the screw is worn and has up to 120 µm of play.",
        seen: &[
            "Parts are wrong after each reversal; with the motor encoder in the loop no alarm tells of it.",
            "With the scale in the loop the axis hunts or answers late at reversal, and scale and motor encoder \
            disagree by the play.",
        ],
        tells: &[
            "An indicator on the table shows the lost motion, largest at the most used place; with a loose bearing it \
            is alike everywhere.",
            "On a hanging axis the weight keeps one flank loaded, so the play does not show until friction and cutting \
            force exceed the weight.",
        ],
        remedy: "Adjust the preload or replace the nut; a play compensation only hides it.",
        minutes: 120,
        parts: Parts::P4,
        cautions: &[LockOut, HangingAxis, MovingAxis],
    },
    Service {
        name: "bearing-play",
        kind: Kind::Mechanical,
        cause: "The fixed bearing of the screw has play, up to 80 µm, and the whole screw shifts at reversal.",
        seen: &["As a worn nut: parts wrong after reversal, the axis soft and restless."],
        tells: &[
            "An indicator on the end of the screw moves along its axis at reversal; with a worn nut the screw stays.",
            "The lost motion is the same all along the travel.",
        ],
        remedy: "Replace or preload the bearing as the maker describes, then compare the position with the record.",
        minutes: 120,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis, MovingAxis],
    },
    Service {
        name: "screw-cyclic",
        kind: Kind::Mechanical,
        cause: "The thread of the screw wobbles: its error comes back every turn, by up to 20 µm.",
        seen: &["Dimensions are wrong in a pattern that repeats with every lead of the screw, without any alarm."],
        tells: &[
            "A laser finds an error of exactly one period per lead; it is gone with the loop closed on the scale.",
            "The amplitude of the motor encoder is still, so its disc is centred.",
        ],
        remedy: "Enter the measured compensation, close the loop on a scale, or replace the screw.",
        minutes: 150,
        parts: Parts::P4,
        cautions: &[LockOut, HangingAxis],
    },
    Service {
        name: "drive-slack",
        kind: Kind::Mechanical,
        cause: "Rack and pinion have too much play in their mesh, or the belt has lost its tension.",
        seen: &["The axis buzzes, settles slowly after a move, and parts show lost motion at reversal."],
        tells: &[
            "It hums at a resonance that lies lower than in the record of the machine, because the drive has become \
            softer.",
            "A tension gauge on the belt, or a feeler and an indicator at the mesh, shows it at several places of the \
            travel.",
        ],
        remedy: "Set the mesh or the belt tension to the maker's value and record the resonance.",
        minutes: 45,
        parts: Parts::P1,
        cautions: &[LockOut, MovingAxis],
    },
    Service {
        name: "drag-spot",
        kind: Kind::Mechanical,
        cause: "The guide binds at one place: a burr, dried grease or a bent cover rail makes it stiff over some \
        centimetres.",
        seen: &[
            "A mild one shows in the motor current only; a strong one stalls the axis there with a following error or \
            an overload.",
        ],
        tells: &[
            "The current has a bump at the place in both directions and the amplitude is flat; with dirt on the scale \
            it is the other way round.",
            "The steady following error elsewhere is as usual.",
        ],
        remedy: "Free the guide, scrape or stone the burr, lubricate, and record the current over the travel again.",
        minutes: 45,
        parts: Parts::P1,
        cautions: &[LockOut],
    },
    Service {
        name: "dry-guide",
        kind: Kind::Mechanical,
        cause: "The guide runs dry, because no oil reaches it.",
        seen: &[
            "The table sticks and slips at slow feeds, and each reversal leaves a spike on the part, most in the cold.",
        ],
        tells: &[
            "The current is a saw-tooth at creep speed, along the whole travel, and it is gone some strokes after \
            oiling by hand.",
            "The following error at steady feed stays as usual, because the speed loop takes the friction up.",
        ],
        remedy: "Restore the oil: level, pump, metering valves, lines; then oil the guide and move it over its whole \
        travel.",
        minutes: 45,
        parts: Parts::P1,
        cautions: &[LockOut],
    },
    Service {
        name: "gib-tight",
        kind: Kind::Mechanical,
        cause: "The gib is set too tight, or the guide tightens when it warms up, and friction is high everywhere.",
        seen: &["The motor gets hot and an overload comes in long jobs."],
        tells: &[
            "The current is high in both directions all along the travel, and the steady following error is unchanged.",
            "Half the difference of the currents of both directions is the friction; half their sum is the weight, and \
            it has not changed.",
        ],
        remedy: "Set the gib to the maker's value, lubricate, and compare the current with the record cold and warm.",
        minutes: 45,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "cover-catch",
        kind: Kind::Mechanical,
        cause: "A plate of the telescopic cover catches at one place.",
        seen: &["A bang and a short jerk at one place, in one direction only."],
        tells: &[
            "The current has a bump some 15 mm wide in one direction and none in the other, where a stiff guide shows \
            both.",
            "The amplitude is flat, and the plate can be heard and seen with the guard shut.",
        ],
        remedy: "Mend or replace the cover, straighten its guides and scrapers, and remove the chips below it.",
        minutes: 45,
        parts: Parts::P2,
        cautions: &[LockOut, MovingAxis],
    },
    Service {
        name: "brake-drag",
        kind: Kind::Mechanical,
        cause: "The holding brake does not open fully, and the axis drags it along.",
        seen: &["The motor gets hot and an overload comes in busy work, while the following error stays as usual."],
        tells: &[
            "The friction part of the current is high everywhere and the weight part unchanged; a tight gib looks the \
            same but leaves the motor free when uncoupled.",
            "The voltage at the brake coil, measured live, tells a weak supply from a worn brake.",
        ],
        remedy: "Put the supply of the brake right if it is low, otherwise replace the brake or the motor with it, and \
        do the brake test.",
        minutes: 120,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis, LiveMeasuring],
    },
    Service {
        name: "brake-worn",
        kind: Kind::Mechanical,
        cause: "The holding brake is worn and no longer holds the load safely.",
        seen: &["A hanging axis sinks when power goes off, or drops further than in the record."],
        tells: &[
            "In the brake test the closed brake slips under the torque that it has to hold, commonly 1.3 times the \
            load.",
            "A brake that is only slow holds this torque and drops further only at an emergency stop.",
        ],
        remedy: "Replace the brake, do the brake test, and keep the axis propped until it has passed.",
        minutes: 120,
        parts: Parts::P3,
        cautions: &[LockOut, HangingAxis],
    },
    Service {
        name: "brake-slow",
        kind: Kind::Mechanical,
        cause: "The holding brake closes late, up to a quarter of a second, because its relay is slow or its \
        suppressor is the wrong one.",
        seen: &[
            "A hanging axis drops further than before when torque goes off at once, but not at a controlled stop.",
            "On the hanging axes of the bench the drop is 0.5 and 1.9 mm, and without dynamic braking 37 and 129 mm.",
        ],
        tells: &[
            "The test torque of the brake is full, so it is not worn.",
            "The time from switching the coil off to standstill, recorded, is longer than the maker's value.",
        ],
        remedy: "Replace the relay, or fit the suppressor that the maker asks for, and record drop and closing time.",
        minutes: 40,
        parts: Parts::P1,
        cautions: &[LockOut, HangingAxis],
    },
    Service {
        name: "balance-lost",
        kind: Kind::Mechanical,
        cause: "The counterbalance has lost its pressure or its spring, and the drive carries the whole weight.",
        seen: &["Overload when moving up, hasty motion when moving down."],
        tells: &[
            "Half the sum of the currents up and down, the weight part, is well above the record; half their \
            difference, the friction, is as usual.",
            "The gauge of the counterbalance is low.",
        ],
        remedy: "Have the counterbalance refilled or replaced, look for the leak, and compare the currents with the \
        record.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, HangingAxis, Pressure],
    },
    Service {
        name: "screw-growth",
        kind: Kind::Mechanical,
        cause: "The screw warms up in use and grows: 0.5 m of steel grow by 58 µm in 10 K.",
        seen: &[
            "Parts drift during the first hour and then stay; the next morning it starts again.",
            "A motor encoder alone sees nothing; with a scale the two disagree slowly, which trips only a tight limit.",
        ],
        tells: &[
            "The disagreement is in proportion to the distance from the fixed bearing and to the running time, and it \
            is gone when cold.",
            "A loose scale or a slipping coupling makes steps.",
        ],
        remedy: "Warm the machine up before it measures or finishes, cool the screw, or close the loop on the scale.",
        minutes: 30,
        parts: Parts::None,
        cautions: &[MovingAxis],
    },
    Service {
        name: "clamp-on",
        kind: Kind::Mechanical,
        cause: "The clamp of the rotary table stays closed when it should open.",
        seen: &["A following error at standstill or right at the start of a move, and the table does not move at all."],
        tells: &[
            "The current rises to its limit without any motion, and the count stands rightly.",
            "The gauge at the clamp shows pressure when it should not, or none where air has to open it; the valve \
            does not switch.",
        ],
        remedy: "Free or replace the valve, renew the seals of the clamp, and watch the gauge during ten cycles.",
        minutes: 45,
        parts: Parts::P2,
        cautions: &[LockOut, Pressure],
    },
    Service {
        name: "dog-moved",
        kind: Kind::Mechanical,
        cause: "The dog of the home switch has shifted on its rail.",
        seen: &["After homing everything is off by exactly one mark spacing, or the hard limit comes early."],
        tells: &[
            "The distance from switch edge to mark in the homing log differs from the record, and is steady.",
            "With a worn switch the distance scatters instead.",
        ],
        remedy: "Set the dog back so that the mark lies about half a spacing behind the edge, tighten it, home ten \
        times and check the zero point.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[LockOut],
    },
];
