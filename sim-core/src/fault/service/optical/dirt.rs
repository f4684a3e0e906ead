//! Dirt and damage on the scale and on the window: what takes the light away at one place or everywhere.

use crate::fault::service::Caution::{Glass, LightSource, LockOut, Pressure, Solvent};
use crate::fault::service::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const DIRT: &[Service] = &[
    Service {
        name: "tape-smear",
        kind: Kind::Optical,
        cause: "A smear of oil, grease or coolant lies on the scale and takes the light away over a few millimetres.",
        seen: &[
            "The signal sinks and the count stands or slips at one place of the travel, both ways and at any speed.",
            "A wide smear ends in a following error or in a disagreement of scale and motor encoder; a narrow one \
            loses counts without any alarm.",
        ],
        tells: &[
            "In the amplitude over the travel A and B dip together and smoothly over 4 to 15 mm, always at the same \
            place.",
            "The motor current is flat across the place, so nothing mechanical binds there.",
            "Cleaning takes the dip away; a scratch would stay.",
        ],
        remedy: "Clean the scale with the permitted agent and a lint-free cloth, let it dry, home the axis and compare \
        the count at a reference mark beyond the place.",
        minutes: 15,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent],
    },
    Service {
        name: "tape-scratch",
        kind: Kind::Optical,
        cause: "The scale is scratched: over 0.05 to 2 mm its lines are gone for good.",
        seen: &[
            "Counts are lost or the signal fails at one place, the same for ever, both ways.",
            "A fine scratch may only nudge the position for a moment, because the head looks at many lines at once.",
        ],
        tells: &[
            "The dip of A and B has sharp edges and is still there after cleaning; a magnifier shows torn or bare \
            lines.",
            "Motor current and gap are right at the place.",
        ],
        remedy: "Replace the tape or the scale, set gap and angles of the head anew, home the axis and teach the zero \
        point.",
        minutes: 150,
        parts: Parts::P3,
        cautions: &[LockOut, Glass],
    },
    Service {
        name: "missing-lines",
        kind: Kind::Optical,
        cause: "Over a few millimetres the lines have come off the scale, by wear, chemicals or a blow, down to bare \
        metal or glass.",
        seen: &[
            "The count stands at one place while the table moves on; beyond it the position is off by a whole number \
            of signal periods.",
            "A long bare stretch ends in a following error, a short one passes without an alarm.",
        ],
        tells: &[
            "A and B stop changing there although light comes back: its mean level stays or even rises, where dirt \
            would make it fall.",
            "The count at a mark before the place and at one beyond it differ from the plan by whole periods.",
            "It stays after cleaning, the current is flat, and a magnifier shows the place.",
        ],
        remedy: "Replace the tape or the scale, find what wore the lines off, set the head anew, home the axis and \
        teach the zero point.",
        minutes: 150,
        parts: Parts::P3,
        cautions: &[LockOut, Glass],
    },
    Service {
        name: "window-film",
        kind: Kind::Optical,
        cause: "A film of oil mist or fine dust covers the window of the head.",
        seen: &[
            "The signal is low over the whole travel, and the first warning comes at rapid.",
            "The count stays right until the weaker channel no longer reaches the level that the input needs.",
        ],
        tells: &[
            "A against B is round and centred, only small, and the regulation of the light source, where it can be \
            read, stands high.",
            "The supply at the head is right, 4.75 to 5.25 V, and so is the gap along the whole travel.",
            "One wipe brings the signal back; an aged light source stays weak.",
        ],
        remedy: "Clean the window with the permitted agent and a lint-free cloth, and find where the mist comes from.",
        minutes: 15,
        parts: Parts::P1,
        cautions: &[LockOut, LightSource, Solvent],
    },
    Service {
        name: "oil-film",
        kind: Kind::Optical,
        cause: "A thin film of oil lies over the whole scale, from a wiper, an overfed guide or oil mist in the air.",
        seen: &["The signal is somewhat low everywhere, and more so in the hours after each pulse of the central \
            lubrication."],
        tells: &[
            "It looks like a film on the window, but wiping a few centimetres of the scale shows as a step up of the \
            amplitude just there.",
            "A clear film also bends the light: the head sees a gap that is shorter by about a third of the film's \
            thickness, while the feeler finds it right.",
        ],
        remedy: "Clean the scale from end to end and stop the oil: set the lubrication, mend the wiper, renew the \
        filter of the purge air.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent],
    },
    Service {
        name: "fingerprint",
        kind: Kind::Optical,
        cause: "Somebody touched the scale with a bare finger: a centimetre of greasy ridges lies on the lines.",
        seen: &[
            "The signal dips at one place, often just enough for a warning.",
            "It began right after work at the scale, at a place that a hand can reach.",
        ],
        tells: &[
            "The dip is ragged and not smooth as under a smear, because the ridges stand about half a millimetre \
            apart.",
            "The current is flat there, and cleaning takes it away.",
        ],
        remedy: "Clean the place with the permitted agent, and from then on wear gloves at the scale.",
        minutes: 15,
        parts: Parts::P1,
        cautions: &[LockOut, Glass, Solvent],
    },
    Service {
        name: "dried-residue",
        kind: Kind::Optical,
        cause: "Coolant has dried on the scale and left a pale crust over 50 to 300 mm.",
        seen: &["The signal is low over a long stretch, where the jobs are cut, and it gets worse from week to week."],
        tells: &[
            "The amplitude sinks over tens of centimetres without a sharp bottom; a smear is a dip of 4 to 15 mm.",
            "The crust can be seen where splashes reach, and a dry wipe does not take it off.",
            "The feeler finds the gap right over the whole stretch, so the bed does not sag there.",
        ],
        remedy: "Soften the crust with the permitted agent and clean it off without rubbing, for it scratches; keep \
        splashes away with cover, wiper and nozzle.",
        minutes: 25,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent],
    },
    Service {
        name: "purge-lost",
        kind: Kind::Optical,
        cause: "The purge air of the enclosed scale has failed, so mist and dust settle inside its housing.",
        seen: &[
            "The low signal comes back days or weeks after every cleaning, worst in the middle of the travel.",
            "Right after cleaning nothing is wrong.",
        ],
        tells: &[
            "The gauge at the air unit shows no pressure or the filter is full, and the inside of the housing is oily.",
            "The amplitude, recorded after cleaning and again after 100 working hours, has fallen steadily, by up to \
            half.",
            "With worn lips the air is there and escapes; with a film on the window the loss is the same all along the \
            travel.",
        ],
        remedy: "Bring clean, dry air back at the pressure that the maker asks for, renew filter and torn lips, then \
        clean the scale as the maker permits.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, Solvent, Pressure],
    },
    Service {
        name: "lips-worn",
        kind: Kind::Optical,
        cause: "The sealing lips of the enclosed scale are worn or torn, and dust and mist get in past them.",
        seen: &["Over some hundred hours a film builds up and the signal sinks; each cleaning helps for a while."],
        tells: &[
            "The gauge shows the purge air as it should be, so the air is not lost; it escapes where the lips gape.",
            "Looking along the lips, with the machine locked out, shows where they are torn; the signal is weakest \
            near there.",
        ],
        remedy: "Replace the lips, clean the inside as the maker permits, and set the purge air anew.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, Glass, Solvent, Pressure],
    },
    Service {
        name: "coolant-drop",
        kind: Kind::Optical,
        cause: "Drops of coolant reach the scale or the window, bend the light and run on.",
        seen: &[
            "The signal dips or counts are lost at changing places, and only in wet jobs.",
            "Some ten minutes after the coolant is off the machine is in order again.",
        ],
        tells: &[
            "Two recordings of the amplitude show dips of 2 to 6 mm at different places, and at standstill the \
            amplitude flickers.",
            "The same program run dry shows nothing.",
        ],
        remedy: "Clean and dry the scale, then keep the coolant away: seal the cover, turn the nozzle, mend the wiper.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, Solvent, Pressure],
    },
    Service {
        name: "chip-on-tape",
        kind: Kind::Optical,
        cause: "A chip lies on the scale: the head loses its light there and is pushed off its gap as it runs over.",
        seen: &["A jerk, a short dip of the signal and perhaps a scraping sound at one place, both ways."],
        tells: &[
            "The motor current has a bump at the very place of the dip, about 5 mm wide and up to a tenth of the peak \
            current; dirt leaves it flat.",
            "The gap is off by up to 0.2 mm there, and the chip can be seen.",
        ],
        remedy: "Lift the chip off with a soft brush instead of wiping it along, look for a scratch under it, and mend \
        the wiper or cover that let it in.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[LockOut, Glass],
    },
    Service {
        name: "condensation",
        kind: Kind::Optical,
        cause: "Moist air has left dew on the cold scale or the cold window, and the dew scatters the light.",
        seen: &[
            "In the first minutes of a cold morning the signal is low over the whole travel, then everything heals by \
            itself.",
        ],
        tells: &[
            "The amplitude rises without any work done, within about half an hour, and it is low again on the next \
            cold day.",
            "A thermometer at the scale and a hygrometer in the shop show that the scale is below the dew point.",
            "Oil or dust would not leave by itself.",
        ],
        remedy: "Warm the machine up before work, keep dry purge air on overnight, or fit a small heater.",
        minutes: 30,
        parts: Parts::P2,
        cautions: &[LockOut],
    },
];
