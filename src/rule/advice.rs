//! Advice: what would mend a finding, in words that can be written into the text.
//!
//! In: computed limits. Out: statements of the language, rounded to the safe side,
//! so that what is advised does mend it; several ways as one sentence, best first.

use crate::model::{Light, LightEdge, SunEvent};
use crate::quantity::{Angle, Length, Seconds, Share, Speed, TurnRate, show};

/// Several ways to mend, best first, as one sentence. The last is joined by `or`.
pub(super) fn either(ways: &[String]) -> Option<String> {
    match ways {
        [] => None,
        [one] => Some(one.clone()),
        [first @ .., last] => Some(format!("{}, or {last}", first.join(", or "))),
    }
}

/// The next step not below a number.
pub(super) fn up(value: f64, step: f64) -> f64 {
    (value / step - 1e-9).ceil() * step
}

/// The next step not above a number.
pub(super) fn down(value: f64, step: f64) -> f64 {
    (value / step + 1e-9).floor() * step
}

/// `3.1 s`, at least so long; minutes from ten on.
pub(super) fn at_least(span: Seconds) -> String {
    if span.0 >= 600.0 {
        format!("{} min", show::number(up(span.0 / 60.0, 0.5), 1))
    } else {
        format!("{} s", show::number(up(span.0, 0.1), 1))
    }
}

/// `3 s`, at most so long.
pub(super) fn at_most(span: Seconds) -> String {
    if span.0 >= 600.0 {
        format!("{} min", show::number(down(span.0 / 60.0, 0.5), 1))
    } else {
        format!("{} s", show::number(down(span.0, 0.1), 1))
    }
}

/// `1.45 m`, at least so far.
pub(super) fn beyond(length: Length) -> String {
    format!("{} m", show::number(up(length.0, 0.05), 2))
}

/// `1.4 m`, at most so far.
pub(super) fn within(length: Length) -> String {
    format!("{} m", show::number(down(length.0, 0.05), 2))
}

/// `12 deg/s`, at most so fast.
pub(super) fn turn(turn: TurnRate) -> String {
    format!("{} deg/s", show::number(down(turn.0, 1.0), 0))
}

/// `1.2 m/s`, at most so fast.
pub(super) fn pace(speed: Speed) -> String {
    format!("{} m/s", show::number(down(speed.0, 0.1), 1))
}

/// `35 deg`, to a tenth.
pub(super) fn degrees(angle: Angle) -> String {
    format!("{} deg", show::number(angle.0, 1))
}

/// `150%`, at most so much.
pub(super) fn share(share: Share) -> String {
    format!("{}%", show::number(down(share.0 * 100.0, 1.0), 0))
}

/// A light as it is written.
pub(super) fn light(light: Light) -> String {
    let edge = |edge: LightEdge| {
        let event = match edge.event {
            SunEvent::FirstLight => "first_light",
            SunEvent::Sunrise => "sunrise",
            SunEvent::Noon => "noon",
            SunEvent::Sunset => "sunset",
            SunEvent::LastLight => "last_light",
        };
        let minutes = show::number(edge.offset.0.abs() / 60.0, 1);
        match edge.offset {
            offset if offset.0 > 0.0 => format!("{event} + {minutes} min"),
            offset if offset.0 < 0.0 => format!("{event} - {minutes} min"),
            _ => event.to_owned(),
        }
    };
    match light {
        Light::Sun => "sun".into(),
        Light::Sky => "sky".into(),
        Light::Lamp => "lamp".into(),
        Light::GoldenMorning => "golden morning".into(),
        Light::GoldenEvening => "golden evening".into(),
        Light::Dusk => "dusk".into(),
        Light::Night => "night".into(),
        Light::Between(from, to) => format!("{} .. {}", edge(from), edge(to)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_advised_is_on_the_safe_side() {
        assert_eq!(at_least(Seconds(3.01)), "3.1 s");
        assert_eq!(at_least(Seconds(3.0)), "3 s");
        assert_eq!(at_most(Seconds(3.09)), "3 s");
        assert_eq!(at_most(Seconds(1000.0)), "16.5 min");
        assert_eq!((beyond(Length(1.41)), within(Length(1.44))), ("1.45 m".into(), "1.4 m".into()));
        assert_eq!(turn(TurnRate(12.99)), "12 deg/s");
        assert_eq!(share(Share(1.109)), "110%");
    }

    #[test]
    fn lights_read_as_they_are_written() {
        let edge = |event, minutes| LightEdge { event, offset: Seconds::minutes(minutes) };
        let window = Light::Between(edge(SunEvent::Sunset, -50.0), edge(SunEvent::LastLight, 0.0));
        assert_eq!(light(window), "sunset - 50 min .. last_light");
        assert_eq!(light(Light::GoldenMorning), "golden morning");
    }
}
