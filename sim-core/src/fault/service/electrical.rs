//! Conductors, plugs, screens, supply, switches and battery.

use super::Caution::{HangingAxis, LiveMeasuring, LivePlug, LockOut, MovingAxis};
use super::{Kind, Parts, Service};

/// Its part of the catalogue.
pub(in crate::fault::service) const ELECTRICAL: &[Service] = &[
    Service {
        name: "conductor-open",
        kind: Kind::Electrical,
        cause: "A conductor of channel A is broken or its pin has slipped back in the plug.",
        seen: &[
            "With sine signals A falls to half its amplitude or, across a termination, to almost nothing; a square \
            input sticks or chatters.",
            "The count runs wrong or stands, more so at speed, and the axis picks up every disturbance nearby.",
        ],
        tells: &[
            "B and the mark are good and only A is not, at every place of the travel.",
            "The signal is right at the head's end of the cable and wrong at the control's end.",
            "With the cable off at both ends, the ohmmeter shows no passage in one conductor.",
        ],
        remedy: "Replace the cable or renew the pin, and home the axis.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "conductor-short",
        kind: Kind::Electrical,
        cause: "A conductor of channel B touches the screen: chafed insulation or a stray strand in the plug.",
        seen: &["B is off its middle, clipped or stuck, and the count stands or dithers between two values."],
        tells: &[
            "B has a large offset, near half the supply, where a broken conductor has none.",
            "With the cable off at both ends, the ohmmeter finds a passage from the conductor to the screen.",
            "If bending the cable changes it, the place is in the moving part.",
        ],
        remedy: "Replace the cable or make the plug anew, and find what chafed it.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "conductor-supply",
        kind: Kind::Electrical,
        cause: "A conductor of channel A touches the 5 V supply of the head.",
        seen: &[
            "A is stuck or far off its middle, the count stands or dithers, and the driver in the head may run warm.",
        ],
        tells: &[
            "The voltage of the conductor against 0 V stands near 5 V, where a short to the screen pulls it to 0 V.",
            "With the cable off at both ends, the ohmmeter finds a passage from the conductor to the supply.",
        ],
        remedy: "Replace the cable or make the plug anew, then check the channel at the head before the old head is \
        trusted again.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "contact-poor",
        kind: Kind::Electrical,
        cause: "A contact of channel B is corroded or loose and adds some hundred ohm.",
        seen: &[
            "A sine channel loses up to 80 % of its amplitude at 600 ohm, while a square channel still switches and \
            only loses its reserve.",
            "It comes and goes when somebody touches the plug.",
        ],
        tells: &[
            "A against B is an upright ellipse at the control's end and round at the head's end.",
            "With the cable off, the ohmmeter shows more than a few ohm in one conductor, and it changes as the pin is \
            moved.",
        ],
        remedy: "Renew the contact, seat and lock the plug, and measure the conductor again.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "flex-break",
        kind: Kind::Electrical,
        cause: "A conductor of the encoder cable is broken inside its sheath and opens where the cable bends.",
        seen: &[
            "Signal lost or a wrong count for 0.5 to 50 ms, always at one place of the cable's bend, also when the \
            axis stands there.",
        ],
        tells: &[
            "Bending the cable with a remote tool while the axis is held brings it on at standstill.",
            "The scale is clean and its amplitude is good at that place when the cable lies otherwise.",
            "A smear never acts at standstill off its place, and a loose light source takes all channels at once.",
        ],
        remedy: "Replace the cable with one made for moving, keep its bend radius, and home the axis.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, LivePlug, MovingAxis],
    },
    Service {
        name: "pairs-swapped",
        kind: Kind::Electrical,
        cause: "Channels A and B are exchanged in a plug.",
        seen: &["The count goes backward; the axis runs away when it is enabled or at the first move after a refit."],
        tells: &[
            "With the drive off and the axis pushed by hand in its plus direction, the count falls.",
            "The direction parameter is as in the record, so it is the wiring.",
        ],
        remedy: "Wire the pairs as the drawing says, then push by hand with the drive off: the count must rise in the \
        plus direction before the drive is enabled.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[LockOut, HangingAxis, LivePlug],
    },
    Service {
        name: "channel-inverted",
        kind: Kind::Electrical,
        cause: "The two conductors of channel A are exchanged in a plug.",
        seen: &[
            "The count goes backward, as with A and B exchanged, and the axis runs away when it is enabled.",
            "The reference mark may be missed, because it no longer falls into its gate.",
        ],
        tells: &[
            "Pushed by hand with the drive off, the count falls in the plus direction; amplitude and phase are in \
            order.",
            "Against the record A is upside down; with the pairs exchanged A and B have changed places.",
        ],
        remedy: "Wire the pair as the drawing says, then push by hand with the drive off: the count must rise in the \
        plus direction before the drive is enabled.",
        minutes: 20,
        parts: Parts::None,
        cautions: &[LockOut, HangingAxis, LivePlug],
    },
    Service {
        name: "axis-plugs-swapped",
        kind: Kind::Electrical,
        cause: "The encoder plugs of two axes are exchanged.",
        seen: &["A following error, or a runaway, as soon as either axis is asked to move."],
        tells: &[
            "With the drives off, pushing one axis makes the readout of the other one count.",
            "It began with work at the cabinet or the cables.",
        ],
        remedy: "Exchange the plugs, mark them, and push each axis by hand before the drives are enabled.",
        minutes: 5,
        parts: Parts::None,
        cautions: &[LockOut, HangingAxis, LivePlug],
    },
    Service {
        name: "supply-thin",
        kind: Kind::Electrical,
        cause: "Too much resistance lies in the supply of the head: conductors too thin, too long, or a poor contact.",
        seen: &["The signal is low everywhere and worse when warm; the control may report a low head supply."],
        tells: &[
            "5.0 V leave the control and less than 4.75 V arrive at the head, measured under load by an authorised \
            person.",
            "6 ohm on the way and a head that draws 150 mA lose 0.9 V; an aged light source is weak with the right \
            voltage.",
        ],
        remedy: "Fit conductors of the right cross-section or a second pair, connect the sense lines, and mend the \
        contact.",
        minutes: 60,
        parts: Parts::P2,
        cautions: &[LockOut, LivePlug, LiveMeasuring],
    },
    Service {
        name: "plug-wet",
        kind: Kind::Electrical,
        cause: "Coolant or washing water has got into a plug of the encoder cable.",
        seen: &["The signals drift and get noisy for hours after washing, and the supply at the head may sag."],
        tells: &[
            "It is gone when the plug has dried, and the contacts are green or dark.",
            "Offsets and noise change with time and not with the place on the travel.",
        ],
        remedy: "Dry the plug or replace it, renew its seal, and turn it so that water runs off.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "screen-open",
        kind: Kind::Electrical,
        cause: "The screen of the encoder cable is open or not clamped all round.",
        seen: &["The count walks while the axis stands, at no certain place, and it began with a neighbour that was \
            switched on."],
        tells: &[
            "It happens only while an inverter or a welder nearby runs, and stops with it.",
            "The count walks in steps of four, one full cycle of the square signals.",
            "The ohmmeter finds no passage along the screen from plug to plug.",
        ],
        remedy: "Mend the screen, clamp it all round at both ends as the maker describes, and count for an hour at \
        standstill with the neighbour running.",
        minutes: 50,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "ground-lift",
        kind: Kind::Electrical,
        cause: "Machine and control stand on different earth potentials, and mains current flows along the screen.",
        seen: &[
            "A hum at 50 or 60 Hz on the signals; a single-ended input counts it, a pair bears it until its receiver \
            leaves its range of about 7 V either way.",
        ],
        tells: &[
            "The voltage between the earth of the machine and that of the control is several volts, measured live by \
            an authorised person.",
            "A clamp meter shows current in the screen; bursts of an inverter are short spikes instead.",
        ],
        remedy: "Have the earthing put right by an electrician: one bonding conductor of full section between machine \
        and cabinet, then check the screen.",
        minutes: 50,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug, LiveMeasuring],
    },
    Service {
        name: "power-cable-near",
        kind: Kind::Electrical,
        cause: "The encoder cable runs together with a motor cable.",
        seen: &["Illegal transitions or wrong counts when the axis accelerates or cuts hard."],
        tells: &[
            "It is gone with the drive off, and it grows with the motor current and not with the place.",
            "Another machine running makes no difference, and the screen is sound from end to end.",
        ],
        remedy: "Lay the encoder cable apart from power cables, at least 0.2 m as a rule of the trade, and cross them \
        at right angles.",
        minutes: 50,
        parts: Parts::None,
        cautions: &[LockOut],
    },
    Service {
        name: "termination-missing",
        kind: Kind::Electrical,
        cause: "The resistor that ends the line at the control is missing, and every edge comes back along a long \
        cable.",
        seen: &["Wrong counts or illegal transitions at any speed, with long cables above all."],
        tells: &[
            "The errors grow with the number of edges and not with time: standing still nothing happens.",
            "The oscilloscope shows one to three extra edges within a microsecond after each real one; a longer input \
            filter hides them.",
        ],
        remedy: "Fit the termination that the input asks for, commonly 120 ohm across each pair, at the control's end \
        only.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "switch-worn",
        kind: Kind::Electrical,
        cause: "The home switch is worn, and its edge comes now earlier, now later.",
        seen: &["The zero point falls into two clusters, exactly one mark spacing apart."],
        tells: &[
            "Ten homings one after the other scatter, and so does the distance from edge to mark in the log.",
            "With a moved dog the distance is wrong but steady.",
        ],
        remedy: "Replace the switch, set the dog so that the mark lies about half a spacing behind the edge, and home \
        ten times.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "switch-wire",
        kind: Kind::Electrical,
        cause: "The wire of the home switch is broken; a normally closed switch then reads pressed for ever.",
        seen: &[
            "Homing backs off and never sees the switch released, or a hard limit is reported in the middle of the \
            travel.",
        ],
        tells: &[
            "Its input in the control never changes, whether the axis stands on the switch or off it.",
            "The ohmmeter at the plug shows no passage with the switch at rest.",
        ],
        remedy: "Mend the wire, look where it was bent or crushed, and home the axis.",
        minutes: 30,
        parts: Parts::P1,
        cautions: &[LockOut, LivePlug],
    },
    Service {
        name: "battery-flat",
        kind: Kind::Electrical,
        cause: "The battery that keeps the turns of the absolute encoder is flat.",
        seen: &[
            "After holidays the control has lost the turns and the axis is no longer referenced; the place within one \
            turn is still right.",
        ],
        tells: &[
            "The battery has less than 3.1 V, the usual warning, or less than 2.6 V, where turns are lost.",
            "The log has the message at power-up, and never during work.",
        ],
        remedy: "Have an authorised person change the battery with the control on and the drive off, then reference \
        the axis again and check the zero point before any move.",
        minutes: 20,
        parts: Parts::P1,
        cautions: &[HangingAxis, LiveMeasuring],
    },
    Service {
        name: "bus-sag",
        kind: Kind::Electrical,
        cause: "The link voltage of the drive sags at speed: a mains phase, a fuse or the supply unit is weak.",
        seen: &["Low link voltage at rapid, in bad cases a following error, and nothing at feed."],
        tells: &[
            "The recorded link voltage falls as the speed rises, and the current is held back at the same time.",
            "A low current limit acts at acceleration from rest as well, and leaves the voltage alone.",
        ],
        remedy: "Have mains, fuses and supply unit checked by an electrician, and record the voltage at rapid again.",
        minutes: 40,
        parts: Parts::P2,
        cautions: &[LockOut, LiveMeasuring],
    },
];
