//! Frames at a rate, exactly: the trade's rates and the real time of a frame.
//!
//! In: rates as fractions, frame numbers, times. Out: the same. All whole-number
//! arithmetic is done before anything is rounded, so no day drifts.

use crate::quantity::{FrameRate, Seconds};

const fn whole(frames: u32) -> FrameRate {
    FrameRate { num: frames, den: 1 }
}

/// A rate slowed by 1000/1001, as colour television of 60 Hz countries did.
const fn slowed(frames: u32) -> FrameRate {
    FrameRate { num: frames * 1000, den: 1001 }
}

/// The rates at which pictures are delivered and timecode counts, slowest first.
pub const TRADE_RATES: [FrameRate; 13] = [
    slowed(24),
    whole(24),
    whole(25),
    slowed(30),
    whole(30),
    slowed(48),
    whole(48),
    whole(50),
    slowed(60),
    whole(60),
    whole(100),
    slowed(120),
    whole(120),
];

/// The trade's rate that a measured or rounded number means: 23.98 is 24000/1001,
/// 23.999999 is 24. `None` when none is within 0.02 fps.
pub fn nearest_trade_rate(rate: f64) -> Option<FrameRate> {
    let off = |trade: &FrameRate| (trade.per_second() - rate).abs();
    TRADE_RATES.into_iter().min_by(|one, two| off(one).total_cmp(&off(two))).filter(|trade| off(trade) < 0.02)
}

/// Real time from the start of frame 0 to the start of a frame: `F × den / num`.
pub fn real_time(frame: u64, rate: FrameRate) -> Seconds {
    let (num, den) = (u128::from(rate.num.max(1)), u128::from(rate.den.max(1)));
    let all = u128::from(frame) * den;
    Seconds((all / num) as f64 + (all % num) as f64 / num as f64)
}

/// The frame that is on screen at a time: `⌊t × num / den⌋`. A time within a
/// millionth of a frame before one belongs to it, since its own start time, as a
/// number, may lie that little before. `None` before frame 0 and beyond 10¹² frames.
pub fn frame_at(time: Seconds, rate: FrameRate) -> Option<u64> {
    let frame = (time.0 * rate.per_second() + 1e-6).floor();
    (0.0..=1e12).contains(&frame).then_some(frame as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// OpenTimelineIO, `test_nearest_smpte_timecode_rate`, and the halves and doubles.
    #[test]
    fn measured_rates_snap_to_the_trades() {
        for (measured, rate) in [
            (23.97, slowed(24)),
            (23.976, slowed(24)),
            (23.98, slowed(24)),
            (29.97, slowed(30)),
            (59.94, slowed(60)),
            (23.999999, whole(24)),
            (30.01, whole(30)),
            (60.01, whole(60)),
            (47.95, slowed(48)),
            (119.88, slowed(120)),
        ] {
            assert_eq!(nearest_trade_rate(measured), Some(rate), "{measured}");
        }
        for none in [0.0, -24.0, 12.5, 90.0, 240.0, f64::NAN, f64::INFINITY] {
            assert_eq!(nearest_trade_rate(none), None, "{none}");
        }
    }

    /// The table and the language's own reading of written rates agree.
    #[test]
    fn written_rates_are_in_the_table() {
        for written in
            [23.976, 24.0, 25.0, 29.97, 30.0, 47.952, 48.0, 50.0, 59.94, 60.0, 100.0, 119.88, 120.0]
        {
            let rate = FrameRate::from_written(written).unwrap();
            assert!(TRADE_RATES.contains(&rate), "{written}");
            assert_eq!(nearest_trade_rate(written), Some(rate));
        }
    }

    #[test]
    fn a_frame_is_on_screen_from_its_own_start_on() {
        for rate in TRADE_RATES {
            for frame in (0..9_000_000_u64).step_by(997) {
                assert_eq!(frame_at(real_time(frame, rate), rate), Some(frame));
                let last = Seconds(real_time(frame + 1, rate).0 - 1e-4);
                assert_eq!(frame_at(last, rate), Some(frame));
            }
        }
        assert_eq!(frame_at(Seconds(-1.0), whole(25)), None);
        assert_eq!(frame_at(Seconds(f64::NAN), whole(25)), None);
    }
}
