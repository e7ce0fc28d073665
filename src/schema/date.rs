//! Dates and clocks as written.

use crate::diagnostic::{Diagnostic, codes};
use crate::source::Span;
use jiff::civil::{Date, Time};

/// A date that exists, in the years that this tool plans for.
pub(super) fn read_date(text: &str, span: Span) -> Result<Date, Box<Diagnostic>> {
    let mut parts = text.split('-').map(|part| part.parse::<i16>().unwrap_or(-1));
    let (year, month, day) =
        (parts.next().unwrap_or(-1), parts.next().unwrap_or(-1), parts.next().unwrap_or(-1));
    let wrong =
        |message: String, label: &str| Box::new(Diagnostic::new(codes::DATE, span, message).label(label));
    if !(1970..=2199).contains(&year) {
        return Err(wrong(format!("the year {year} is outside 1970 to 2199"), "no such date to plan for"));
    }
    let (Ok(month), Ok(day)) = (i8::try_from(month), i8::try_from(day)) else {
        return Err(wrong(format!("there is no date {text}"), "expected year-month-day, such as 2027-05-14"));
    };
    Date::new(year, month, day).map_err(|_| {
        let help = Date::new(year, month, 1)
            .ok()
            .map(|first| format!("that month has {} days", first.days_in_month()));
        let mut diagnostic = wrong(format!("there is no date {text}"), "this day does not exist");
        diagnostic.help = Some(help.unwrap_or_else(|| "months run from 01 to 12".to_owned()));
        diagnostic
    })
}

/// A clock of a day.
pub(super) fn read_clock(text: &str, span: Span) -> Result<Time, Box<Diagnostic>> {
    let (hour, minute) = text.split_once(':').unwrap_or((text, "0"));
    hour.parse::<i8>()
        .ok()
        .zip(minute.parse::<i8>().ok())
        .and_then(|(hour, minute)| Time::new(hour, minute, 0, 0).ok())
        .ok_or_else(|| {
            Box::new(
                Diagnostic::new(codes::DATE, span, format!("there is no clock {text}"))
                    .label("hours run from 00 to 23, minutes from 00 to 59"),
            )
        })
}
