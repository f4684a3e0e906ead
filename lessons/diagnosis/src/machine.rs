//! A machine as it is delivered, or with settings of its own: what a table of outcomes holds for.
//!
//! A nut that is worn shows elsewhere when the axis runs on its motor encoder, so another setting is another table.

use sim_core::bench::command::SettingList;
use sim_core::names::{Setting, Value};
use sim_core::setup::{BenchId, Setup};

/// A machine and what differs on it from delivery.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Which.
    pub bench: BenchId,
    /// What differs; nothing on a machine as it is delivered.
    pub set: SettingList,
}

impl From<BenchId> for Machine {
    fn from(bench: BenchId) -> Self {
        Self { bench, set: SettingList::default() }
    }
}

impl Machine {
    /// The healthy machine.
    #[must_use]
    pub fn setup(&self) -> Setup {
        let mut setup = Setup::healthy(self.bench);
        for (setting, value) in &self.set.0 {
            // Checked when it was read.
            let _ = setting.set(&mut setup, value);
        }
        setup
    }

    /// Its name and its settings, such as `small-mill servo.feedback=motor`.
    #[must_use]
    pub fn words(&self) -> String {
        let plain = |value: &Value| match value {
            Value::Number(number) => number.to_string(),
            Value::Word(word) => word.clone(),
        };
        let settings = self.set.0.iter().map(|(setting, value)| format!(" {}={}", setting.row().name, plain(value)));
        settings.fold(self.bench.name().to_owned(), |words, setting| words + &setting)
    }

    /// The name of the file of its table, without its ending.
    #[must_use]
    pub fn file(&self) -> String {
        self.words().replace(' ', "+")
    }

    /// A machine from its words.
    ///
    /// # Errors
    /// The word that is no machine, no setting, or a value that this machine cannot have.
    pub fn read(words: &str) -> Result<Self, String> {
        let mut words = words.split_whitespace();
        let name = words.next().unwrap_or_default();
        let bench = BenchId::ALL
            .into_iter()
            .find(|bench| bench.name() == name)
            .ok_or_else(|| format!("there is no machine \"{name}\"; name one, such as {}", BenchId::ALL[0].name()))?;
        let mut machine = Self::from(bench);
        for word in words {
            let (name, value) = word
                .split_once('=')
                .ok_or_else(|| format!("\"{word}\" is no setting; write for example servo.feedback=motor"))?;
            let setting = Setting::by_name(name).map_err(|why| why.to_string())?;
            let value = value.parse().map_or_else(|_| Value::Word(value.to_owned()), Value::Number);
            setting.check_on(&machine.setup(), &value).map_err(|why| why.to_string())?;
            machine.set.0.push((setting, value));
        }
        Ok(machine)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_machine_is_words_and_back() {
        for words in
            ["router-gantry", "small-mill servo.feedback=motor", "small-mill head.gap_um=300 monitor.comparison=on"]
        {
            let machine = Machine::read(words).unwrap();
            assert_eq!(machine.words(), words);
            assert_eq!(machine.setup() == Setup::healthy(machine.bench), machine.set.0.is_empty(), "{words}");
        }
        assert_eq!(Machine::read("small-mill servo.feedback=motor").unwrap().file(), "small-mill+servo.feedback=motor");
    }

    #[test]
    fn slips_are_told() {
        for (words, told) in [
            ("", "there is no machine \"\""),
            ("lathe", "there is no machine \"lathe\""),
            ("small-mill feedback", "\"feedback\" is no setting"),
            ("small-mill servo.fedback=motor", "servo.feedback"),
            ("small-mill servo.feedback=hope", "is not one of its words"),
            ("small-mill head.gap_um=-1", "head.gap_um"),
        ] {
            let why = Machine::read(words).unwrap_err();
            assert!(why.contains(told), "{words}: {why}");
        }
    }
}
