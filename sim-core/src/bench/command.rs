//! Commands: everything that can be done to a running bench. Keyboard, pointer, scenes and tests all speak this.

use crate::fault::FaultId;
use crate::names::{ROWS, Setting, SettingError, Value, nearest_hint};
use crate::numbers::Within;
use crate::setup::Setup;
use serde::de::{self, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeMap;
use std::fmt;

mod care;
mod hands;
mod kind;
pub use care::{Age, Hours, Smear, SmearWindow, Wipe, WipeAllWith, WipeWindow};
pub use hands::{Flex, Look, Part, SafetyAct};

/// A place on the axis, mm from machine zero.
pub type PlaceMm = Within<-100, 4000>;
/// A speed, m/min.
pub type SpeedMPerMin = Within<0, 60>;
/// A share, percent.
pub type Percent = Within<0, 100>;

/// One command.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Command {
    /// Changes settings.
    Set(SettingList),
    /// Puts a fault in, or changes its severity.
    Break(Break),
    /// Takes a fault out.
    Mend(FaultId),
    /// Takes every fault out.
    MendAll,
    /// Smears dirt on the scale.
    Smear(Smear),
    /// Cleans a stretch of the scale.
    Wipe(Wipe),
    /// Takes everything off the whole scale and the head window and harms nothing.
    WipeAll,
    /// Cleans the whole scale and the head window in one of the ways, for better or worse.
    WipeAllWith(WipeAllWith),
    /// Lifts chips and dust off a stretch of the scale, with a brush or tweezers, before anything is wiped.
    PickChips(Stretch),
    /// Lays dirt on the head's window.
    SmearWindow(SmearWindow),
    /// Cleans the head's window.
    WipeWindow(WipeWindow),
    /// Lets time pass in the shop.
    Age(Age),
    /// Moves at a speed until told otherwise.
    Jog(Jog),
    /// Moves to a place.
    MoveTo(MoveTo),
    /// Moves by a distance.
    MoveBy(MoveBy),
    /// Moves to and fro between two places.
    Shuttle(Shuttle),
    /// Stops under control.
    Stop,
    /// Switches the drive on at standstill, or off (the table then stays where friction holds it).
    Drive(DriveSwitch),
    /// Acknowledges an alarm; refused while its condition stands.
    Acknowledge,
    /// Goes to the home switch, finds the reference mark and takes zero from it.
    Home,
    /// Calls the present place zero on the readout.
    ZeroReadout,
    /// Switches the cabinet off at standstill and on again after a while; the drive is off afterwards.
    PowerCycle(PowerCycle),
    /// An act of making the machine safe, or ready again.
    Safety(SafetyAct),
    /// Looks at something with an instrument; changes nothing.
    Look(Look),
    /// Bends the cable place by place while the axis stands.
    Flex(Flex),
    /// Exchanges a part for a new one.
    Replace(Part),
}

/// `power_cycle`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerCycle {
    /// How long the cabinet stays off; the model's clock does not count it.
    pub off_s: Within<1, 10_000_000>,
}

/// `break`: a fault with its severity.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Break {
    /// Which fault.
    pub fault: FaultId,
    /// Severity, percent.
    pub severity_percent: Percent,
    /// Where on the axis, for faults that have a place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_mm: Option<PlaceMm>,
}

/// A stretch of the axis.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stretch {
    /// Start.
    pub from_mm: PlaceMm,
    /// End.
    pub to_mm: PlaceMm,
}

/// Which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Away from the home switch, the count rises.
    Forward,
    /// Toward the home switch.
    Back,
}

/// `jog`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Jog {
    /// Which way.
    pub direction: Direction,
    /// How fast.
    pub speed_m_per_min: SpeedMPerMin,
}

/// `move_to`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveTo {
    /// Where to.
    pub to_mm: PlaceMm,
    /// How fast.
    pub speed_m_per_min: SpeedMPerMin,
}

/// `move_by`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveBy {
    /// How far, negative toward the home switch.
    pub by_mm: Within<-4000, 4000>,
    /// How fast.
    pub speed_m_per_min: SpeedMPerMin,
}

/// `shuttle`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shuttle {
    /// One end.
    pub from_mm: PlaceMm,
    /// The other end.
    pub to_mm: PlaceMm,
    /// How fast.
    pub speed_m_per_min: SpeedMPerMin,
    /// Rest at each end, s.
    #[serde(default = "half_second")]
    pub dwell_s: Within<0, 60>,
}

fn half_second() -> Within<0, 60> {
    Within::nearest(0.5)
}

/// `drive`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DriveSwitch {
    /// On, holding the present place.
    On,
    /// Off, no torque.
    Off,
}

/// A list of settings with their new values: in files a table of tables (`head.gap_um = 800`).
#[derive(Clone, Debug, PartialEq, Default)]
pub struct SettingList(pub Vec<(Setting, Value)>);

impl SettingList {
    /// Whether a bench with this set-up takes every one of them.
    ///
    /// # Errors
    /// The first that it does not, with its name, value and range.
    pub fn check(&self, setup: &Setup) -> Result<(), SettingError> {
        self.0.iter().try_for_each(|(setting, value)| setting.check_on(setup, value))
    }
}

impl Serialize for SettingList {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut groups: BTreeMap<&str, BTreeMap<&str, Plain>> = BTreeMap::new();
        for (setting, value) in &self.0 {
            if let Some((group, key)) = setting.row().name.split_once('.') {
                groups.entry(group).or_default().insert(key, Plain(value.clone()));
            }
        }
        groups.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for SettingList {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(GroupsVisitor)
    }
}

struct GroupsVisitor;

impl<'de> Visitor<'de> for GroupsVisitor {
    type Value = SettingList;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("settings such as head.gap_um = 800")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<SettingList, M::Error> {
        let mut list = Vec::new();
        while let Some(group) = map.next_key::<Group>()? {
            map.next_value_seed(KeysSeed { group: group.0, list: &mut list })?;
        }
        Ok(SettingList(list))
    }
}

/// The part of a setting's name before the dot, checked as it is read so that the error points at it.
struct Group(String);

impl<'de> Deserialize<'de> for Group {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let name = String::deserialize(deserializer)?;
        let groups = || ROWS.iter().filter_map(|row| row.name.split_once('.')).map(|(group, _)| group);
        if groups().any(|group| group == name) {
            return Ok(Group(name));
        }
        let mut known: Vec<&str> = groups().collect();
        known.dedup();
        Err(de::Error::custom(format!(
            "there is no group of settings \"{name}\"; {}",
            nearest_hint(&name, known.iter().copied())
        )))
    }
}

struct KeysSeed<'a> {
    group: String,
    list: &'a mut Vec<(Setting, Value)>,
}

impl<'de> de::DeserializeSeed<'de> for KeysSeed<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for KeysSeed<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "settings of {}, such as {}", self.group, {
            ROWS.iter().map(|r| r.name).find(|n| n.starts_with(&self.group)).unwrap_or("head.gap_um")
        })
    }

    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<(), M::Error> {
        while let Some(setting) = map.next_key_seed(KeySeed { group: &self.group })? {
            let value = map.next_value_seed(ValueSeed { setting })?;
            self.list.push((setting, value));
        }
        Ok(())
    }
}

struct KeySeed<'a> {
    group: &'a str,
}

impl<'de> de::DeserializeSeed<'de> for KeySeed<'_> {
    type Value = Setting;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Setting, D::Error> {
        let key = String::deserialize(deserializer)?;
        Setting::by_name(&format!("{}.{key}", self.group)).map_err(de::Error::custom)
    }
}

struct ValueSeed {
    setting: Setting,
}

impl<'de> de::DeserializeSeed<'de> for ValueSeed {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        let value = Plain::deserialize(deserializer)?.0;
        self.setting.check(&value).map_err(de::Error::custom)?;
        Ok(value)
    }
}

/// A number or a word as it stands in a file.
struct Plain(Value);

impl Serialize for Plain {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.0 {
            Value::Number(n) => serializer.serialize_f64(*n),
            Value::Word(w) => serializer.serialize_str(w),
        }
    }
}

impl<'de> Deserialize<'de> for Plain {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct PlainVisitor;
        impl Visitor<'_> for PlainVisitor {
            type Value = Plain;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number or a word in quotes")
            }
            fn visit_f64<E: de::Error>(self, n: f64) -> Result<Plain, E> {
                Ok(Plain(Value::Number(n)))
            }
            fn visit_i64<E: de::Error>(self, n: i64) -> Result<Plain, E> {
                Ok(Plain(Value::Number(n as f64)))
            }
            fn visit_u64<E: de::Error>(self, n: u64) -> Result<Plain, E> {
                Ok(Plain(Value::Number(n as f64)))
            }
            fn visit_str<E: de::Error>(self, w: &str) -> Result<Plain, E> {
                Ok(Plain(Value::Word(w.to_owned())))
            }
        }
        deserializer.deserialize_any(PlainVisitor)
    }
}

/// Whether a place is on the bench: within 20 mm of the travel, anywhere on an axis that turns for ever.
///
/// # Errors
/// What is wrong and what is allowed, in words.
pub fn check_place(setup: &Setup, place_mm: f64) -> Result<(), String> {
    let machine = setup.machine().spec();
    let travel_mm = machine.travel * 1e3;
    if machine.endless {
        // The place is a type with bounds of its own; a turn that goes on and on has none.
        return Ok(());
    }
    if (-20.0..=travel_mm + 20.0).contains(&place_mm) {
        return Ok(());
    }
    Err(format!("{place_mm} mm is off this axis; its travel is 0 to {travel_mm} mm"))
}

fn check_speed(setup: &Setup, speed_m_per_min: f64) -> Result<(), String> {
    let most = setup.machine().spec().limits.speed * 60.0;
    if speed_m_per_min <= 0.0 {
        return Err("a move needs a speed above 0 m/min".to_owned());
    }
    if speed_m_per_min > most * (1.0 + 1e-9) {
        return Err(format!("{speed_m_per_min} m/min is too fast for this axis; it reaches {most:.1} m/min"));
    }
    Ok(())
}

fn check_stretch(setup: &Setup, from_mm: f64, to_mm: f64) -> Result<(), String> {
    check_place(setup, from_mm)?;
    check_place(setup, to_mm)?;
    if from_mm < to_mm { Ok(()) } else { Err(format!("from_mm = {from_mm} must be less than to_mm = {to_mm}")) }
}

impl Command {
    /// Whether the command makes sense on a bench with this set-up.
    ///
    /// # Errors
    /// What is wrong and what is allowed, in words.
    pub fn check(&self, setup: &Setup) -> Result<(), String> {
        match self {
            Command::Set(list) => list.check(setup).map_err(|e| e.to_string()),
            Command::Smear(s) => s.check(setup),
            Command::SmearWindow(s) => s.check(),
            Command::Wipe(s) => check_stretch(setup, s.from_mm.get(), s.to_mm.get()),
            Command::PickChips(s) => check_stretch(setup, s.from_mm.get(), s.to_mm.get()),
            Command::Jog(j) => check_speed(setup, j.speed_m_per_min.get()),
            Command::MoveTo(m) => {
                check_place(setup, m.to_mm.get())?;
                check_speed(setup, m.speed_m_per_min.get())
            }
            Command::MoveBy(m) => check_speed(setup, m.speed_m_per_min.get()),
            Command::Shuttle(s) => {
                check_place(setup, s.from_mm.get())?;
                check_place(setup, s.to_mm.get())?;
                if (s.from_mm.get() - s.to_mm.get()).abs() < 1.0 {
                    return Err("the two ends of a shuttle must be at least 1 mm apart".to_owned());
                }
                check_speed(setup, s.speed_m_per_min.get())
            }
            Command::Break(b) => b.at_mm.map_or(Ok(()), |at| check_place(setup, at.get())),
            Command::Safety(act) => act.check(setup),
            Command::Flex(f) => f.check(setup),
            Command::Mend(_)
            | Command::MendAll
            | Command::WipeAll
            | Command::WipeAllWith(_)
            | Command::WipeWindow(_)
            | Command::Age(_)
            | Command::Stop
            | Command::Drive(_)
            | Command::Acknowledge
            | Command::Home
            | Command::ZeroReadout
            | Command::PowerCycle(_)
            | Command::Look(_)
            | Command::Replace(_) => Ok(()),
        }
    }
}
