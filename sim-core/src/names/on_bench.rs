//! What a setting may be on one bench: narrower than its row where the bench's optics cover less.

use super::{Kind, Setting, SettingError, Value, spaced};
use crate::numbers;
use crate::setup::Setup;

impl Setting {
    /// What the setting may be on this bench: the range of the row, narrower where the bench's optics cover less.
    pub fn kind_on(self, setup: &Setup) -> Kind {
        let kind = self.row().kind;
        match (self, kind) {
            (Setting::HeadGap, Kind::Number { low, high, step, whole }) => {
                let (least, most) = setup.gap_range_um();
                Kind::Number { low: low.max(least), high: high.min(most), step, whole }
            }
            _ => kind,
        }
    }

    /// Checks a value against the row and against what this bench covers.
    ///
    /// # Errors
    /// See [`SettingError`].
    pub fn check_on(self, setup: &Setup, value: &Value) -> Result<(), SettingError> {
        self.check(value)?;
        self.fits(setup, value)?;
        let (Kind::Number { low, high, .. }, Value::Number(n)) = (self.kind_on(setup), value) else { return Ok(()) };
        let row = self.row();
        let unit = || format!("{} of the {} scale", spaced(row.unit), setup.scale().name());
        numbers::check(*n, low, high).map(|_| ()).map_err(|error| SettingError::Number {
            name: row.name,
            unit: unit(),
            error,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Setting, SettingError, Value};
    use crate::setup::{BenchId, Setup};

    #[test]
    fn a_gap_past_what_the_optics_cover_is_refused_with_the_range_of_its_scale() {
        let text = |r: Result<(), SettingError>| r.unwrap_err().to_string();
        let mut setup = Setup::healthy(BenchId::RouterGantry);
        assert_eq!(
            text(Setting::HeadGap.set(&mut setup, &Value::Number(3000.0))),
            "head.gap_um: 3000 is outside the allowed range 0 to 2200 um of the tape-40 scale"
        );
        assert_eq!(Setting::HeadGap.set(&mut setup.clone(), &Value::Number(2200.0)), Ok(()));
        let mut mill = Setup::healthy(BenchId::SmallMill);
        assert_eq!(
            text(Setting::HeadGap.set(&mut mill, &Value::Number(401.0))),
            "head.gap_um: 401 is outside the allowed range 0 to 400 um of the glass-20 scale"
        );
    }
}
