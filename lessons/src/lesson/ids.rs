//! What is to be learnt and what stands in the way: competencies and misconceptions with their stable ids.

/// Something that a learner can do, so that it can be seen.
#[derive(Debug, PartialEq, Eq)]
pub struct Competency {
    /// Stable id, `K01` and on.
    pub id: &'static str,
    /// What the learner can do, behind the word "can".
    pub can: &'static str,
}

/// Something that people believe and that is wrong.
#[derive(Debug, PartialEq, Eq)]
pub struct Misconception {
    /// Stable id, `M01` and on.
    pub id: &'static str,
    /// The belief in a sentence.
    pub belief: &'static str,
}

const fn k(id: &'static str, can: &'static str) -> Competency {
    Competency { id, can }
}

const fn m(id: &'static str, belief: &'static str) -> Misconception {
    Misconception { id, belief }
}

/// All competencies.
pub static COMPETENCIES: [Competency; 38] = [
    k("K01", "follow one pulse of light from the lamp to the count"),
    k("K02", "work out pulses from pitch and distance, and the other way round"),
    k("K03", "tell tape, glass and disc apart by the way the light takes"),
    k("K04", "turn lines a turn and screw lead into distance a count"),
    k("K05", "read amplitude, middle and duty from a trace that shows the threshold"),
    k("K06", "say at which amplitude counting fails, and why not before"),
    k("K07", "tell the direction from the channel that comes first"),
    k("K08", "set two sensors a quarter period apart and show what half a period does"),
    k("K09", "work out the resolution with one, two, four edges and interpolation"),
    k("K10", "work out the highest speed from edge distance or bandwidth"),
    k("K11", "keep resolution, accuracy and repeatability apart"),
    k("K12", "tell gain, middle and phase errors apart on the round figure"),
    k("K13", "estimate the position error within a period from that figure"),
    k("K14", "say what each kind of encoder forgets without power"),
    k("K15", "reference an axis and prove that zero repeats"),
    k("K16", "recognise a zero that is off by exactly one mark or one turn"),
    k("K17", "explain how distance-coded marks and a code track give a place"),
    k("K18", "change a backup battery without losing the turns, or set zero again"),
    k("K19", "draw command, feedback, error and limit of a moving axis"),
    k("K20", "predict the following error from speed and position gain"),
    k("K21", "part feedback causes from drive causes by current and error together"),
    k("K22", "say what motor encoder and scale each see, and measure backlash"),
    k("K23", "decide from a mismatch which of two encoders is wrong"),
    k("K24", "explain why reversed feedback runs away and what stops it"),
    k("K25", "find a dirty place by its amplitude and tell dirt from a scratch"),
    k("K26", "clean as the maker says and name two ways to do harm"),
    k("K27", "tell wedge, tilt and yaw apart by amplitude over travel and figure"),
    k("K28", "set a head so that the signal holds over the whole travel"),
    k("K29", "measure the supply at head and drive under load"),
    k("K30", "find an open, shorted or swapped conductor with the power off"),
    k("K31", "provoke an intermittent by bending or warmth, and record it"),
    k("K32", "tie noise to its source by switching the source off and on"),
    k("K33", "turn a complaint into place, direction, speed, time and event"),
    k("K34", "halve the chain with one measurement"),
    k("K35", "plan a swap test and say what each outcome proves"),
    k("K36", "make the machine safe before touching it and know who may do live work"),
    k("K37", "prove a repair under the conditions of the fault, then reference again"),
    k("K38", "write a service note that somebody else can act on"),
];

/// All misconceptions.
pub static MISCONCEPTIONS: [Misconception; 30] = [
    m("M01", "The encoder sends a distance."),
    m("M02", "A wider pulse means more distance."),
    m("M03", "The encoder knows which line it is over."),
    m("M04", "The sign of the count comes from the command."),
    m("M05", "The second sensor is there for accuracy."),
    m("M06", "Half the light gives half the counts."),
    m("M07", "A square signal is either good or dead."),
    m("M08", "Finer resolution is higher accuracy."),
    m("M09", "A bigger disc gives more counts a turn."),
    m("M10", "An absolute encoder never loses its place."),
    m("M11", "Homing puts every position fault right."),
    m("M12", "The home switch is the zero."),
    m("M13", "A following error means a bad motor."),
    m("M14", "More gain always makes the following error go away."),
    m("M15", "A following error is always a fault."),
    m("M16", "The readout is where the tool is."),
    m("M17", "Motor encoder and scale always agree."),
    m("M18", "Cleaning puts everything right."),
    m("M19", "The more wiping, the better."),
    m("M20", "A head that is right here is right everywhere."),
    m("M21", "Closer is always better."),
    m("M22", "A cable that beeps is a good cable."),
    m("M23", "Noise comes out of the encoder."),
    m("M24", "One rule for the screen fits every machine."),
    m("M25", "A new part is a good part."),
    m("M26", "Ten minutes without an alarm prove the repair."),
    m("M27", "The alarm names the cause."),
    m("M28", "Swap parts and see: that is a method."),
    m("M29", "Finer interpolation costs nothing."),
    m("M30", "Every figure that is not round means the same."),
];

/// The competency of that id.
pub fn competency(id: &str) -> Option<&'static Competency> {
    COMPETENCIES.iter().find(|row| row.id == id)
}

/// The misconception of that id.
pub fn misconception(id: &str) -> Option<&'static Misconception> {
    MISCONCEPTIONS.iter().find(|row| row.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_numbered_without_a_gap() {
        for (i, row) in COMPETENCIES.iter().enumerate() {
            assert_eq!(row.id, format!("K{:02}", i + 1));
            assert_eq!(competency(row.id), Some(row));
        }
        for (i, row) in MISCONCEPTIONS.iter().enumerate() {
            assert_eq!(row.id, format!("M{:02}", i + 1));
            assert!(row.belief.ends_with('.') && misconception(row.id) == Some(row));
        }
    }
}
