//! Timecode against OpenTimelineIO, and against the library `timecode`.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::frames::{TRADE_RATES, nearest_trade_rate};
use seamster::craft::timecode::{Counting, Timebase};
use serde_json::{Value, json};

/// Every rate with every way of counting that it has.
fn timebases() -> Vec<Timebase> {
    TRADE_RATES
        .into_iter()
        .flat_map(|rate| [Counting::NonDrop, Counting::Drop].map(|counting| Timebase::new(rate, counting)))
        .filter_map(Result::ok)
        .collect()
}

fn given(timebase: Timebase) -> Value {
    let drop = timebase.counting() == Counting::Drop;
    json!({"rate": [timebase.rate().num, timebase.rate().den], "drop": drop})
}

/// A frame of the day; one in four lies near a minute's end, where labels are left out.
fn frame(random: &mut Random, timebase: Timebase) -> u64 {
    let near_minute = random.whole(0, 3) == 0;
    let frame = if near_minute {
        let minute = format!("{:02}:{:02}:59", random.whole(0, 23), random.whole(0, 59));
        let mark = if timebase.counting() == Counting::Drop { ';' } else { ':' };
        let frames = if timebase.nominal() > 100 { "000" } else { "00" };
        let start = timebase.frame(&format!("{minute}{mark}{frames}")).unwrap();
        start + random.whole(0, 3 * timebase.nominal() as i64) as u64
    } else {
        random.whole(0, i64::MAX - 1) as u64
    };
    frame % timebase.frames_a_day()
}

fn frames(name: &str, fastest: u64) -> Vec<Value> {
    let mut random = Random::new(name);
    timebases()
        .into_iter()
        .filter(|timebase| timebase.nominal() <= fastest)
        .flat_map(|timebase| (0..200).map(|_| (timebase, frame(&mut random, timebase))).collect::<Vec<_>>())
        .map(|(timebase, frame)| {
            let label = timebase.label(frame);
            let mut given = given(timebase);
            given["frame"] = json!(frame);
            given["label"] = json!(label.to_string());
            case(
                given,
                json!({
                    "label": [label.hours, label.minutes, label.seconds, label.frames],
                    "dropping": label.to_string().contains(';'),
                    "frame": timebase.frame(&label.to_string()).ok(),
                    "time": timebase.time(frame).0,
                }),
            )
        })
        .collect()
}

#[test]
fn labels_are_those_of_the_timeline_library() {
    agree("labels", "timeline_library", &frames("timeline", 60));
}

#[test]
fn labels_are_those_of_the_timecode_library() {
    let mut cases = frames("timecode", 120);
    for case in &mut cases {
        case["ours"].as_object_mut().unwrap().remove("time");
    }
    agree("labels", "timecode_library", &cases);
}

/// Labels as somebody may write them, a third of them beyond the last frame and
/// many left out by drop-frame.
#[test]
fn what_is_a_label_is_one_for_the_timeline_library() {
    let mut random = Random::new("written");
    let (mut known, mut unknown) = (0, 0);
    let cases: Vec<Value> = (0..3000)
        .map(|_| {
            let all: Vec<Timebase> = timebases().into_iter().filter(|base| base.nominal() <= 60).collect();
            let timebase = random.one_of(&all);
            let most = random.one_of(&[4, timebase.nominal() as i64 * 3 / 2]);
            let latest = random.one_of(&[0, 0, 65]);
            let (seconds, frames) = (random.whole(0, latest), random.whole(0, most));
            let mark = if timebase.counting() == Counting::Drop { ';' } else { ':' };
            let (hours, minutes) = (random.whole(0, 23), random.whole(0, 61));
            let label = format!("{hours:02}:{minutes:02}:{seconds:02}{mark}{frames:02}");
            let found = timebase.frame(&label).ok();
            known += u32::from(found.is_some());
            unknown += u32::from(found.is_none());
            let mut given = given(timebase);
            given["label"] = json!(label);
            case(given, json!({"frame": found}))
        })
        .collect();
    assert!(known > 1000 && unknown > 500, "{known} {unknown}");
    agree("labels", "written", &cases);
}

/// Measured rates near those of the trade.
#[test]
fn measured_rates_are_those_of_the_timeline_library() {
    let mut random = Random::new("rates");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let trade = random.one_of(&TRADE_RATES[..10]).per_second();
            let measured = trade + random.between(-0.011, 0.011);
            let found = nearest_trade_rate(measured).map(|rate| rate.per_second());
            case(json!({"measured": measured}), json!({"rate": found}))
        })
        .collect();
    agree("labels", "nearest_rate", &cases);
}
