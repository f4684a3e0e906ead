//! Moments of the calendar in words: "today 16:20", "yesterday 09:05", "3 November 2026, 16:20".

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A moment on the clock of the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wall {
    /// Days since any fixed day, by the local calendar.
    pub day: i64,
    /// Year.
    pub year: u32,
    /// Month, 0 to 11.
    pub month: u32,
    /// Day of the month.
    pub date: u32,
    /// Hour.
    pub hour: u32,
    /// Minute.
    pub minute: u32,
}

impl Wall {
    /// A moment as the browser's own calendar has it, ms since the start of 1970 (UTC).
    pub fn of(ms: f64) -> Self {
        let date = js_sys::Date::new(&ms.into());
        let local_ms = ms - date.get_timezone_offset() * 60e3;
        Self {
            day: (local_ms / 86_400e3).floor() as i64,
            year: date.get_full_year(),
            month: date.get_month(),
            date: date.get_date(),
            hour: date.get_hours(),
            minute: date.get_minutes(),
        }
    }

    /// As people say it at another moment.
    pub fn words(&self, now: &Self) -> String {
        let time = format!("{:02}:{:02}", self.hour, self.minute);
        match now.day - self.day {
            0 => format!("today {time}"),
            1 => format!("yesterday {time}"),
            _ => format!("{}, {time}", self.day_words()),
        }
    }

    /// The day alone.
    pub fn day_words(&self) -> String {
        let month = MONTHS.get(self.month as usize).copied().unwrap_or_default();
        format!("{} {month} {}", self.date, self.year)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_told_as_people_say_them() {
        let then = Wall { day: 20_000, year: 2026, month: 10, date: 25, hour: 16, minute: 5 };
        let on = |day| Wall { day, ..then };
        assert_eq!(then.words(&on(20_000)), "today 16:05");
        assert_eq!(then.words(&on(20_001)), "yesterday 16:05");
        assert_eq!(then.words(&on(20_002)), "25 November 2026, 16:05");
        // A clock that was set back.
        assert_eq!(then.words(&on(19_990)), "25 November 2026, 16:05");
    }
}
