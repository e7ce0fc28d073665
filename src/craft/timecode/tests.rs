use super::*;
use proptest::prelude::*;

fn base(rate: f64, counting: Counting) -> Timebase {
    Timebase::new(FrameRate::from_written(rate).unwrap(), counting).unwrap()
}

fn drop(rate: f64) -> Timebase {
    base(rate, Counting::Drop)
}

fn full(rate: f64) -> Timebase {
    base(rate, Counting::NonDrop)
}

/// Every way of counting that there is.
fn all() -> Vec<Timebase> {
    let both = |rate| [Counting::NonDrop, Counting::Drop].map(|counting| Timebase::new(rate, counting));
    TRADE_RATES.into_iter().flat_map(both).flatten().collect()
}

#[track_caller]
fn pair(timebase: Timebase, frame: u64, label: &str) {
    assert_eq!(timebase.label(frame).to_string(), label);
    assert_eq!(timebase.frame(label), Ok(frame), "{label}");
}

#[test]
fn thirteen_rates_and_two_of_them_twice() {
    assert_eq!(all().len(), 15);
    assert_eq!(drop(29.97).to_string(), "29.97 fps drop-frame");
    assert_eq!(full(59.94).to_string(), "59.94 fps non-drop");
    assert_eq!(full(23.976).to_string(), "23.976 fps");
}

/// OpenTimelineIO, tests/test_opentime.py: `test_dropframe_timecode_2997fps`,
/// `test_timecode_2997`, `test_timecode_ntsc_2997fps`; the Perl module
/// Time-Timecode has the first pair too.
#[test]
fn labels_at_2997_are_those_of_the_interchange_library() {
    for (frame, dropped, counted) in [
        (1799, "00:00:59;29", "00:00:59:29"),
        (1800, "00:01:00;02", "00:01:00:00"),
        (8991, "00:04:59;29", "00:04:59:21"),
        (8992, "00:05:00;02", "00:04:59:22"),
        (10789, "00:05:59;29", "00:05:59:19"),
        (10790, "00:06:00;02", "00:05:59:20"),
        (17981, "00:09:59;29", "00:09:59:11"),
        (17982, "00:10:00;00", "00:09:59:12"),
        (17984, "00:10:00;02", "00:09:59:14"),
        (107_892, "01:00:00;00", "00:59:56:12"),
        (1_084_319, "10:03:00;05", "10:02:23:29"),
    ] {
        pair(drop(29.97), frame, dropped);
        pair(full(29.97), frame, counted);
    }
}

/// OpenTimelineIO and the Python package timecode 1.5.1, run for this check; ten
/// minutes are 35,964 frames (FFmpeg, libavutil/timecode.c).
#[test]
fn labels_at_5994_leave_out_four() {
    for (frame, label) in [
        (3599, "00:00:59;59"),
        (3600, "00:01:00;04"),
        (35_964, "00:10:00;00"),
        (215_784, "01:00:00;00"),
        (5_178_815, "23:59:59;59"),
    ] {
        pair(drop(59.94), frame, label);
    }
    pair(drop(29.97), 2_589_407, "23:59:59;29");
}

/// A calculator's manual (citing ANSI/SMPTE 12M-1995): 0 and 1 are left out at each
/// minute but 0, 10, 20, 30, 40, 50, 108 labels an hour. FFmpeg: 0 to 3 at 59.94.
#[test]
fn labels_left_out_are_refused() {
    for (timebase, dropped, in_an_hour) in [(drop(29.97), 2, 108), (drop(59.94), 4, 216)] {
        let mut refused = 0;
        for minute in 0..60 {
            for frame in 0..timebase.nominal() {
                let label = format!("05:{minute:02}:00;{frame:02}");
                let found = timebase.frame(&label);
                let gone = minute % 10 != 0 && frame < dropped;
                assert_eq!(matches!(found, Err(LabelError::LeftOut { .. })), gone, "{label}");
                refused += u64::from(found.is_err());
            }
        }
        assert_eq!(refused, in_an_hour);
    }
    let message = drop(29.97).frame("00:01:00;00").unwrap_err().to_string();
    assert_eq!(
        message,
        "drop-frame leaves '00:01:00;00' out; the frame behind '00:00:59;29' is '00:01:00;02'"
    );
    let late = drop(59.94).frame("23:59:00.03").unwrap_err().to_string();
    assert!(late.ends_with("the frame behind '23:58:59;59' is '23:59:00;04'"), "{late}");
}

/// Arithmetic by the rate 30000/1001; a broadcasters' text has "approximately 2.6
/// frames per day", a primer 18 frames in ten minutes and 86.4 s a day.
#[test]
fn labels_and_the_clock_part_as_the_texts_say() {
    let near = |one: f64, other: f64, within: f64| assert!((one - other).abs() < within, "{one} {other}");
    let (dropped, counted) = (drop(29.97), full(29.97));
    let hour = counted.frame("01:00:00:00").unwrap();
    assert_eq!(hour, 108_000);
    near(counted.time(hour).0, 3603.6, 1e-9);
    near(dropped.time(dropped.frame("01:00:00;00").unwrap()).0, 3599.9964, 1e-9);
    let day = dropped.time(dropped.frames_a_day()).0;
    near(day, 86_399.913_6, 1e-7);
    near((86_400.0 - day) * counted.rate().per_second(), 2.589, 0.001);
    assert_eq!(counted.frame("00:10:00:00").unwrap() - dropped.frame("00:10:00;00").unwrap(), 18);
    near(counted.time(counted.frames_a_day()).0 - 86_400.0, 86.4, 1e-7);
    // After an hour by the clock, a label that uses every number is 3.6 s behind.
    let frame = crate::craft::frames::frame_at(Seconds(3600.0), counted.rate()).unwrap();
    assert_eq!(counted.label(frame).to_string(), "00:59:56:12");
}

/// OpenTimelineIO: `test_timecode_23976_fps`, `test_timecode_24`, and a sample list
/// that starts at 86,501.
#[test]
fn labels_at_whole_rates() {
    pair(full(23.976), 86_400, "01:00:00:00");
    assert!((full(23.976).time(86_400).0 - 3603.6).abs() < 1e-9);
    pair(full(24.0), 10_001, "00:06:56:17");
    pair(full(24.0), 86_501, "01:00:04:05");
    pair(full(25.0), 90_000, "01:00:00:00");
    pair(full(30.0), 108_000, "01:00:00:00");
    pair(full(50.0), 50 * 3600 + 49, "01:00:00:49");
    pair(full(100.0), 199, "00:00:01:99");
    pair(full(120.0), 239, "00:00:01:119");
    pair(full(119.88), 7, "00:00:00:007");
}

/// OpenTimelineIO: frames beyond the rate, a drop-frame mark at 24 fps, negative
/// labels, junk; drop-frame at 23.976 is refused.
#[test]
fn what_is_no_label_is_refused() {
    let film = full(24.0);
    assert!(matches!(film.frame("01:00:13:24"), Err(LabelError::TooLarge { field: "frames", last: 23, .. })));
    assert!(matches!(film.frame("01:00:13;23"), Err(LabelError::DropMark { .. })));
    assert!(matches!(drop(29.97).frame("01:00:13:23"), Err(LabelError::NoDropMark { .. })));
    let junk = [
        "",
        "-01:00:00:00",
        "pancakes",
        "01:00:00",
        "1:00:00:00",
        "01:00:00:000",
        "01;00;00;00",
        "01:00:00:00:00",
        " 01:00:00:00",
        "01:00:00:+1",
        "०१:00:00:00",
        "99999999999999999999:00:00:00",
    ];
    for junk in junk {
        assert!(matches!(film.frame(junk), Err(LabelError::Form { .. })), "{junk}");
    }
    for (label, field) in [("24:00:00:01", "hours"), ("25:00:00:00", "hours"), ("01:60:00:00", "minutes")] {
        let found = film.frame(label);
        assert!(matches!(&found, Err(LabelError::TooLarge { field: named, .. }) if *named == field));
    }
    let rate = |written| FrameRate::from_written(written).unwrap();
    for none in [23.976, 24.0, 30.0, 47.952, 60.0, 119.88] {
        assert_eq!(Timebase::new(rate(none), Counting::Drop), Err(TimebaseError::NoDrop(rate(none))));
    }
    let other = Timebase::new(rate(12.5), Counting::NonDrop).unwrap_err();
    assert!(other.to_string().starts_with("timecode does not count at 12.5 fps"));
    assert!(Timebase::new(FrameRate { num: 50, den: 2 }, Counting::NonDrop).is_ok());
}

/// OpenTimelineIO: 23:59:59:23 at 24 fps is 2,073,599, 24:00:00:00 is 2,073,600.
#[test]
fn labels_wrap_at_midnight() {
    pair(full(24.0), 2_073_599, "23:59:59:23");
    assert_eq!(full(24.0).frame("24:00:00:00"), Ok(2_073_600));
    for timebase in all() {
        let midnight = timebase.frames_a_day();
        assert_eq!(timebase.label(midnight), timebase.label(0));
        assert_eq!(timebase.frame(&timebase.label(midnight - 1).to_string()), Ok(midnight - 1));
    }
}

/// OpenTimelineIO and its edit-list adapter, run for this check: 4 frames.
#[test]
fn spans_count_frames_and_not_labels() {
    assert_eq!(drop(29.97).frames_between("01:00:59;28", "01:01:00;04"), Ok(4));
    assert_eq!(full(25.0).frames_between("23:59:59:00", "00:00:01:00"), Ok(50));
    assert_eq!(drop(29.97).frames_between("23:59:59;28", "00:00:00;00"), Ok(2));
    assert_eq!(full(25.0).frames_between("00:00:00:00", "24:00:00:00"), Ok(2_160_000));
}

#[test]
fn a_label_says_how_it_counts() {
    assert_eq!(Counting::of("01:00:00;00"), Counting::Drop);
    assert_eq!(Counting::of("01:00:00.00"), Counting::Drop);
    assert_eq!(Counting::of("01:00:00:00"), Counting::NonDrop);
    assert_eq!(drop(29.97).label(1800).with_colons(), "00:01:00:02");
    assert_eq!(drop(29.97).frame("00:01:00.02"), Ok(1800));
}

/// Steps that share no factor with any period meet every kind of frame of a day.
#[test]
fn every_frame_of_a_day_comes_back() {
    for timebase in all() {
        for frame in (0..timebase.frames_a_day()).step_by(101) {
            assert_eq!(timebase.frame(&timebase.label(frame).to_string()), Ok(frame), "{timebase}");
        }
    }
}

/// Without gaps: the label of the next frame is the next label that is not left out.
#[test]
fn an_hour_of_drop_frame_has_no_gap_but_the_rules() {
    for timebase in [drop(29.97), drop(59.94)] {
        let labels: Vec<String> =
            (0..timebase.frames_a_day() / 24).map(|frame| timebase.label(frame).to_string()).collect();
        assert!(labels.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(labels.len() as u64, 3600 * timebase.nominal() - 54 * timebase.nominal() / 15);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// The crate smpte-timecode 0.1, an independent implementation.
    #[test]
    fn labels_are_those_of_another_implementation(frame in 0_u32..2_589_408, fast in 0_u32..5_178_816) {
        use smpte_timecode::{FrameRate as Other, Timecode};
        for (ours, theirs, frame) in [
            (drop(29.97), Other::FPS_29_97_DF, frame),
            (full(29.97), Other::FPS_29_97, frame),
            (full(23.976), Other::FPS_23_976, frame % 2_073_600),
            (full(25.0), Other::FPS_25, frame % 2_160_000),
            (drop(59.94), Other::FPS_59_94_DF, fast),
            (full(59.94), Other::FPS_59_94, fast),
        ] {
            let other = Timecode::from_frames(frame, theirs).unwrap();
            let label = ours.label(u64::from(frame));
            let fields = other.fields();
            prop_assert_eq!(
                (label.hours, label.minutes, label.seconds, u32::from(label.frames)),
                (fields.hours, fields.minutes, fields.seconds, u32::from(fields.frames))
            );
            prop_assert_eq!(label.to_string(), other.to_string());
            let parsed = Timecode::parse(&label.to_string(), theirs).unwrap();
            prop_assert_eq!(ours.frame(&label.to_string()).unwrap(), u64::from(parsed.frames()));
            let seconds = other.to_seconds();
            let exact = seconds.numer() as f64 / seconds.denom() as f64;
            prop_assert!((ours.time(u64::from(frame)).0 - exact).abs() < 1e-9);
        }
    }

    /// Any text at all gets an answer; what is accepted prints back as itself.
    #[test]
    fn any_text_gets_an_answer(text in "[0-9:;. -]{0,14}|\\PC{0,20}|[0-2][0-9](:[0-5][0-9]){2}[:;.][0-9]{2}") {
        for timebase in all() {
            match timebase.frame(&text) {
                Ok(frame) if frame < timebase.frames_a_day() =>
                    prop_assert_eq!(timebase.label(frame).to_string(), text.replace('.', ";")),
                Ok(frame) => prop_assert_eq!(frame, timebase.frames_a_day()),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}
