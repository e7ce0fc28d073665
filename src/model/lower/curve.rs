//! Speed curves as written.

use crate::diagnostic::{Diagnostic, codes};
use crate::model::SpeedPoint;
use crate::quantity::Share;
use crate::schema::Arg;
use crate::source::Span;

/// One speed, a range, or a curve of points in order, from the entries of a
/// `speed` statement. What is wrong with it comes beside it.
pub fn speed_curve(entries: &[Vec<Arg>]) -> (Vec<SpeedPoint>, Vec<Diagnostic>) {
    let (mut points, mut wrong) = (Vec::new(), Vec::new());
    let many = entries.len() > 1;
    for entry in entries {
        let Some(Arg::Range(from, to)) = entry.first() else { continue };
        let (Some(from), Some(to)) = (from.number(), to.number()) else { continue };
        let at = match entry.get(1) {
            Some(Arg::Group(parts)) => parts.first().and_then(Arg::number),
            _ => None,
        };
        match at {
            Some(speed) => {
                points.push((
                    SpeedPoint { at: Share(from.value.value), speed: Share(speed.value.value) },
                    from.span,
                ));
            }
            None if many => wrong.push(
                Diagnostic::new(codes::VALUE, from.span, "a point of a speed curve needs its speed")
                    .label("expected 'at' and a speed")
                    .help("write points as in 'speed 0% at 100%, 40% at 50%, 100% at 300%'"),
            ),
            None => {
                points.push((SpeedPoint { at: Share(0.0), speed: Share(from.value.value) }, from.span));
                points.push((SpeedPoint { at: Share(1.0), speed: Share(to.value.value) }, to.span));
            }
        }
    }
    check(&points, &mut wrong);
    (points.into_iter().map(|(point, _)| point).collect(), wrong)
}

fn check(points: &[(SpeedPoint, Span)], wrong: &mut Vec<Diagnostic>) {
    for pair in points.windows(2) {
        let [(first, _), (second, span)] = pair else { continue };
        if second.at.0 <= first.at.0 {
            wrong.push(
                Diagnostic::new(codes::RANGE, *span, "the points of a speed curve must move forward")
                    .label("not after the point before it"),
            );
        }
    }
    for (point, span) in points {
        if !(0.0..=1.0).contains(&point.at.0) {
            wrong.push(
                Diagnostic::new(codes::RANGE, *span, "a point of a speed curve lies from 0% to 100%")
                    .label("outside the result"),
            );
        }
        if point.speed.0 < 0.0 {
            wrong.push(
                Diagnostic::new(codes::RANGE, *span, "a speed curve does not run backwards")
                    .label("below 0%")
                    .help("use the recipe 'reverse' for what is played backwards"),
            );
        } else if point.speed.0 == 0.0 || point.speed.0 > 100.0 {
            wrong.push(
                Diagnostic::new(codes::RANGE, *span, "a speed lies above 0% and up to 10,000%")
                    .label("outside what is possible")
                    .help("use the recipe 'freeze' for what stands still"),
            );
        }
    }
}
