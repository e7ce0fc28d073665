//! `join-light`: whether the sun stands alike when both sides of a join are shot.
//!
//! In: times as planned or as logged, places, the sun. Out: findings where shadows turn or the sun
//! climbs by more than a join bears, and the clock times between which the second
//! side must be shot.

use crate::craft::sun::{SunPosition, change_between, position};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::model::{Join, JoinId, PlateId};
use crate::order::{Minute, Plan};
use crate::quantity::{Angle, GeoPosition, show};
use crate::rule::advice::{either, light};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::tz::TimeZone;

const CODE: Code = Code { id: "J02", name: "join-light", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Joins, page: include_str!("light.md"), check: Check::Plan(check) };

/// Elevation of the sun below which its colour changes from minute to minute,
/// degrees (common practice, no source).
const WARM: f64 = 10.0;
/// Elevation below which there is no daylight left to match, degrees: the end of
/// civil twilight.
const DARK: f64 = -6.0;
/// How far from the other side's time a window is looked for, minutes.
const REACH: i64 = 120;

/// One side as planned, or as it was shot.
struct Side<'a> {
    plate: PlateId,
    path: &'a str,
    /// As people on location call it.
    label: &'a str,
    at: GeoPosition,
    /// Middle of its planned time, or when the take to use began.
    when: Minute,
    /// Whether it is captured, so that its time cannot be moved.
    shot: bool,
    /// The sun then.
    sun: SunPosition,
    /// Below it the place's own horizon hides the sun.
    horizon: f64,
}

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let Ok(zone) = TimeZone::get(&subject.model.sequence.zone) else { return };
    for (id, join) in subject.model.joins.iter() {
        let sides = (side(subject, plan, join.from), side(subject, plan, join.to));
        let (Some(from), Some(to)) = sides else { continue };
        // The second side is the one that is matched to the other, unless it is shot already.
        let sides = if to.shot && !from.shot { (&to, &from) } else { (&from, &to) };
        check_join(subject, (id, join), sides, &zone, report);
    }
}

/// `None` for lamps, for places without a position, and for what is not planned, or was
/// logged without a clock.
fn side<'a>(subject: &Subject<'a>, plan: &Plan, id: PlateId) -> Option<Side<'a>> {
    let plate = &subject.breakdown.plates[id];
    let place = &subject.model.places[plate.place];
    plate.light.under_sky().then_some(())?;
    let captured = subject.model.record.captured(id);
    let when = match captured {
        Some(capture) => capture.best()?.at?,
        None => {
            let (_, start, end) = plan.shoot.shot.get(&id)?;
            Minute(start.0.midpoint(end.0))
        }
    };
    let at = place.at?.value;
    Some(Side {
        plate: id,
        path: &plate.named.path,
        label: plate.named.label(),
        at,
        when,
        shot: captured.is_some(),
        sun: position(at, when),
        horizon: place.horizon.map_or(0.0, |own| own.0.max(0.0)),
    })
}

fn check_join(
    subject: &Subject<'_>,
    (id, join): (JoinId, &Join),
    (from, to): (&Side<'_>, &Side<'_>),
    zone: &TimeZone,
    report: &mut Report,
) {
    let change = change_between(from.sun, to.sun);
    let budgets = &subject.model.sequence.budgets;
    let fits = |when: Minute| matches(from, to, position(to.at, when), budgets.shadow, budgets.sun);
    let window = window(same_clock(from.when, to.when, zone), fits);
    let how = format!(
        "'{}' {} {}; shadows may turn {} and the sun's height change {}",
        from.label,
        if from.shot { "was shot at" } else { "is planned for" },
        clock(from.when, zone),
        budgets.shadow,
        budgets.sun
    );
    if let Some((first, last)) = window
        && !to.shot
    {
        let clocks = format!("{} and {}", first.clock(zone), last.clock(zone));
        let (date, other) = (first.civil(zone).strftime("%a %-d %b"), from.label);
        // Where the plan itself is outside, the card must not ask for what it does not do.
        let text = if fits(to.when) {
            format!("shoot between {clocks} on {date}, to match '{other}'")
        } else {
            format!("planned at another light than '{other}'; between {clocks} on {date} it would match")
        };
        report.instruct(About::Plate(to.plate), CODE.name, "light", text.clone(), how.clone());
        report.instruct(About::Join(id), CODE.name, "light", text, how);
    }
    if fits(to.when) {
        return;
    }
    let mut diagnostic = Diagnostic::new(
        CODE,
        join.span,
        format!(
            "between {} for '{}' and {} for '{}' shadows turn {} and the sun's height changes by {}",
            clock(from.when, zone),
            from.path,
            clock(to.when, zone),
            to.path,
            change.turn,
            Angle(change.rise.0.abs())
        ),
    )
    .label(format!("{} and {} pass unseen", budgets.shadow, budgets.sun));
    for side in [from, to] {
        let span = subject.breakdown.plates[side.plate].named.span;
        let sun = side.sun;
        diagnostic = diagnostic.other(
            span,
            format!("{}: sun at {} by compass, {} high", clock(side.when, zone), sun.azimuth, sun.elevation),
        );
    }
    if let Some(length) = change.length {
        diagnostic = diagnostic.note(format!("shadows become {} times as long", show::number(length, 2)));
    }
    if [from, to].iter().any(|side| side.sun.elevation.0 < WARM) {
        diagnostic = diagnostic.note("so low, the sun's colour changes from minute to minute");
    }
    if let Some(help) = either(&ways(subject, (from, to), window, zone)) {
        diagnostic = diagnostic.help(help);
    }
    report.find(About::Join(id), diagnostic);
}

/// What would mend it, best first: the same light asked for on both sides, a time
/// within the window, the other side right after.
fn ways(
    subject: &Subject<'_>,
    (from, to): (&Side<'_>, &Side<'_>),
    window: Option<(Minute, Minute)>,
    zone: &TimeZone,
) -> Vec<String> {
    if to.shot {
        return vec![
            "match it in the grade, and write 'accept join-light' with the reason".into(),
            "join by wipe".into(),
            "shoot a side again: write 'spoiled' behind its takes in the log".into(),
        ];
    }
    let plates = &subject.breakdown.plates;
    let (one, other) = (plates[from.plate].light, plates[to.plate].light);
    let mut ways = Vec::new();
    if one != other {
        ways.push(format!("ask for the same light, 'light {}' in '{}'", light(one), to.path));
    }
    if let Some((first, last)) = window {
        ways.push(format!(
            "shoot '{}' between {} and {}{}",
            to.path,
            first.clock(zone),
            last.clock(zone),
            if from.shot {
                String::new()
            } else {
                format!(", with 'after {}' in it and fewer takes between", from.path)
            }
        ));
    } else {
        ways.push("shoot both at the same time of day".into());
    }
    ways.push("join by wipe, and waive this".into());
    ways
}

/// Whether a sun matches that of the other side. Shadows count only while the sun
/// reaches both places; in the dark nothing does.
fn matches(from: &Side<'_>, to: &Side<'_>, sun: SunPosition, shadow: Angle, height: Angle) -> bool {
    let (one, two) = (from.sun.elevation.0, sun.elevation.0);
    if one < DARK && two < DARK {
        return true;
    }
    let change = change_between(from.sun, sun);
    let lit = one > from.horizon && two > to.horizon;
    change.rise.0.abs() <= height.0 && (!lit || change.turn.0 <= shadow.0)
}

/// The first side's time of day on the second side's date.
fn same_clock(first: Minute, second: Minute, zone: &TimeZone) -> Minute {
    let days = second.civil(zone).date().since(first.civil(zone).date()).map_or(0, |span| span.get_days());
    first.plus(i64::from(days) * 1440)
}

/// The minutes around a moment in which a condition holds; `None` where it does
/// not hold at that moment.
fn window(around: Minute, holds: impl Fn(Minute) -> bool) -> Option<(Minute, Minute)> {
    holds(around).then(|| (edge(around, -1, &holds), edge(around, 1, &holds)))
}

/// The last minute in one direction up to which it holds: strides, then halving.
fn edge(around: Minute, direction: i64, holds: impl Fn(Minute) -> bool) -> Minute {
    let (mut good, mut stride) = (0, 8);
    while good < REACH && holds(around.plus(direction * (good + stride))) {
        good += stride;
    }
    while stride > 1 {
        stride /= 2;
        if holds(around.plus(direction * (good + stride))) {
            good += stride;
        }
    }
    around.plus(direction * good)
}

fn clock(when: Minute, zone: &TimeZone) -> String {
    format!("{} on {}", when.clock(zone), when.civil(zone).strftime("%a %-d %b"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_ends_at_its_last_good_minute() {
        let holds = |when: Minute| (-13..=29).contains(&when.0);
        assert_eq!(window(Minute(0), holds), Some((Minute(-13), Minute(29))));
        assert_eq!(window(Minute(40), holds), None);
    }
}
