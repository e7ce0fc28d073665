//! Dates and clocks in zones against Python's zoneinfo.

use crate::random::Random;
use crate::script::{agree, case};
use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Span, Timestamp};
use seamster::quantity::Minute;
use serde_json::{Value, json};

/// A clock near a change of the zone's offset, where it has one after a random
/// moment; else any clock.
fn clock(random: &mut Random, zone: &TimeZone) -> DateTime {
    let latest = random.one_of(&[1_000_000_000, 2_000_000_000, 7_000_000_000]);
    let start = Timestamp::from_second(random.whole(0, latest)).unwrap();
    match zone.following(start).next() {
        Some(change) => {
            let before = zone.to_datetime(change.timestamp() - Span::new().seconds(1));
            before.saturating_add(Span::new().minutes(random.whole(-100, 100)))
        }
        None => zone.to_datetime(start),
    }
    .with()
    .second(0)
    .build()
    .unwrap()
}

/// Every zone, at the changes of its clocks: skipped and repeated hours among them.
#[test]
fn moments_agree_in_every_zone() {
    let mut random = Random::new("civil");
    let (mut skipped, mut repeated) = (0, 0);
    let mut cases: Vec<Value> = Vec::new();
    for name in jiff::tz::db().available() {
        let zone = TimeZone::get(name.as_str()).unwrap();
        for _ in 0..8 {
            let civil = clock(&mut random, &zone);
            let offset = zone.to_ambiguous_zoned_datetime(civil).offset();
            let gap = matches!(offset, AmbiguousOffset::Gap { .. });
            skipped += u32::from(gap);
            repeated += u32::from(matches!(offset, AmbiguousOffset::Fold { .. }));
            let minute = Minute::from_civil(civil, &zone).unwrap();
            cases.push(case(
                json!({"zone": name.as_str(), "civil": format!("{civil}")}),
                json!({
                    "minute": minute.0,
                    "back": format!("{}", minute.civil(&zone)),
                    "clock": minute.clock(&zone),
                    "skipped": gap,
                }),
            ));
        }
    }
    assert!(skipped > 200 && repeated > 200, "{skipped} {repeated} of {}", cases.len());
    agree("civil", "moment", &cases);
}

/// The first minute of dates on which some zone skips or repeats its midnight.
#[test]
fn dates_begin_alike_where_midnight_is_skipped() {
    let mut random = Random::new("midnight");
    let zones = [
        "Africa/Cairo",
        "America/Asuncion",
        "America/Havana",
        "America/Santiago",
        "America/Sao_Paulo",
        "Asia/Beirut",
        "Asia/Amman",
        "Asia/Tehran",
        "Atlantic/Azores",
        "America/Scoresbysund",
    ];
    let mut skipped = 0;
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let name = random.one_of(&zones);
            let zone = TimeZone::get(name).unwrap();
            let day = clock(&mut random, &zone).date();
            let civil = day.at(0, 0, 0, 0);
            let minute = Minute::from_civil(civil, &zone).unwrap();
            let offset = zone.to_ambiguous_zoned_datetime(civil).offset();
            let gap = matches!(offset, AmbiguousOffset::Gap { .. });
            skipped += u32::from(gap);
            case(
                json!({"zone": name, "civil": format!("{civil}")}),
                json!({
                    "minute": minute.0,
                    "back": format!("{}", minute.civil(&zone)),
                    "clock": minute.clock(&zone),
                    "skipped": gap,
                }),
            )
        })
        .collect();
    assert!(skipped > 100, "{skipped}");
    agree("civil", "moment", &cases);
}
