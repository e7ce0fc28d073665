//! Charge along a list of recordings and gaps, card space, and flights.
//!
//! In: what is recorded in which order with which gaps, packs and chargers. Out:
//! the least charge at any moment, what charging won, bytes and flights. Packs
//! charge in gaps only; what a spare could win during a recording is left as reserve.

use crate::quantity::{Data, Seconds, Stream};

/// Share of a charge that is kept back: the clock of a small battery is not
/// exact, and cold shortens it (common practice, no source).
pub const RESERVE: f64 = 0.1;

/// A stretch of the day for one kind of battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stretch {
    /// The camera records, or the rig flies.
    Use(Seconds),
    /// Nothing draws; packs charge.
    Gap(Seconds),
}

/// Packs and what charges them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Supply {
    /// Packs in all (bodies × packs each), full at the start.
    pub packs: u32,
    /// Use of one full pack.
    pub lasts: Seconds,
    /// Time to charge one pack from empty; `None` means not on location.
    pub recharge: Option<Seconds>,
    /// Packs that can charge at once.
    pub chargers: u32,
}

/// What became of the charge.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// Used in all.
    pub used: Seconds,
    /// At hand at the start.
    pub holds: Seconds,
    /// Won by charging, in time of use.
    pub charged: Seconds,
    /// Least left at any moment; below zero that much is missing.
    pub least: Seconds,
    /// Left behind each stretch.
    pub left: Vec<Seconds>,
    /// The first stretch that cannot be covered (index).
    pub short_at: Option<usize>,
}

/// Runs a day. The fullest pack is used first and the emptiest charged first, so
/// that as many chargers as possible stay busy. Charging is taken as even over its time.
pub fn charge_along(stretches: &[Stretch], supply: Supply) -> Charge {
    let full = supply.lasts.0.max(0.0);
    let mut packs = vec![full; supply.packs.min(10_000) as usize];
    let holds = full * packs.len() as f64;
    let (mut used, mut charged, mut missing, mut least) = (0.0, 0.0, 0.0, holds);
    let mut left = Vec::with_capacity(stretches.len());
    let mut short_at = None;
    for (index, stretch) in stretches.iter().enumerate() {
        match *stretch {
            Stretch::Use(time) => {
                used += time.0.max(0.0);
                missing += draw(&mut packs, time.0.max(0.0));
                if missing > 1e-6 && short_at.is_none() {
                    short_at = Some(index);
                }
            }
            Stretch::Gap(time) => charged += recharge(&mut packs, time.0.max(0.0), supply),
        }
        let now = packs.iter().sum::<f64>() - missing;
        least = f64::min(least, now);
        left.push(Seconds(now));
    }
    Charge {
        used: Seconds(used),
        holds: Seconds(holds),
        charged: Seconds(charged),
        least: Seconds(least),
        left,
        short_at,
    }
}

/// Draws a time of use from the fullest packs on; returns what they lack.
fn draw(packs: &mut [f64], time: f64) -> f64 {
    packs.sort_by(|one, other| other.total_cmp(one));
    let mut wanted = time;
    for pack in packs {
        let taken = pack.min(wanted);
        *pack -= taken;
        wanted -= taken;
    }
    wanted
}

/// Charges the emptiest packs for a time, swapping each as it fills; returns what was won.
fn recharge(packs: &mut [f64], time: f64, supply: Supply) -> f64 {
    let full = supply.lasts.0.max(0.0);
    let Some(rate) = supply.recharge.filter(|takes| takes.0 > 0.0).map(|takes| full / takes.0) else {
        return 0.0;
    };
    let (mut left, mut won) = (time, 0.0);
    // Each round fills at least one pack, so there are no more rounds than packs.
    for _ in 0..packs.len() {
        packs.sort_by(f64::total_cmp);
        let mut on: Vec<&mut f64> =
            packs.iter_mut().filter(|pack| **pack < full - 1e-9).take(supply.chargers as usize).collect();
        let Some(first_full) = on.iter().map(|pack| (full - **pack) / rate).reduce(f64::min) else { break };
        let span = first_full.min(left);
        for pack in &mut on {
            **pack += span * rate;
            won += span * rate;
        }
        left -= span;
        if left <= 1e-9 {
            break;
        }
    }
    won
}

/// Data of a recording: bit rate × time / 8, decimal (1 GB is 10⁹ bytes).
pub fn recorded(stream: Stream, time: Seconds) -> Data {
    Data(stream.0.max(0.0) * time.0.max(0.0) / 8.0)
}

/// Recording time that a card holds; `None` without a stream.
pub fn card_time(card: Data, stream: Stream) -> Option<Seconds> {
    (stream.0 > 0.0).then(|| Seconds(card.0 * 8.0 / stream.0))
}

/// Flights that takes need when each must end on the pack it began with and
/// `reserve` of a pack is kept for the way home. `None` when one take alone is too long.
pub fn flights(takes: &[Seconds], endurance: Seconds, reserve: f64) -> Option<u32> {
    let usable = endurance.0 * (1.0 - reserve.clamp(0.0, 1.0));
    let (mut flights, mut left) = (0, 0.0);
    for take in takes.iter().map(|take| take.0.max(0.0)) {
        if take > usable {
            return None;
        }
        if take > left {
            flights += 1;
            left = usable;
        }
        left -= take;
    }
    Some(flights)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn minutes(minutes: f64) -> Seconds {
        Seconds::minutes(minutes)
    }

    /// Own arithmetic: 100 Mb/s is 0.75 GB a minute and 45 GB an hour (decimal; some
    /// vendors print 43.95). A maker's list: 1.5 Mb/s is 675 MB an hour, 16.2 GB a day.
    /// 64 GB hold 853.3 min at 10 Mb/s and 7.11 h at 20 Mb/s (two readers' tables).
    #[test]
    fn cards_fill_as_makers_say() {
        assert!((recorded(Stream(100e6), minutes(1.0)).0 - 0.75e9).abs() < 1.0);
        assert!((recorded(Stream(100e6), minutes(60.0)).0 - 45e9).abs() < 1.0);
        assert!((recorded(Stream(1.5e6), minutes(60.0)).0 - 675e6).abs() < 1.0);
        assert!((card_time(Data(64e9), Stream(10e6)).unwrap().0 / 60.0 - 853.3).abs() < 0.05);
        assert!((card_time(Data(64e9), Stream(20e6)).unwrap().0 / 3600.0 - 7.11).abs() < 0.005);
        assert!((card_time(Data(64e9), Stream(100e6)).unwrap().0 / 60.0 - 85.3).abs() < 0.05);
        // A chapter of 4 GiB, as older cameras write, at 100 Mb/s.
        assert!((card_time(Data(4.0 * 1024.0_f64.powi(3)), Stream(100e6)).unwrap().0 - 343.6).abs() < 0.05);
        assert!((recorded(Stream(1.5e6), minutes(24.0 * 60.0)).0 - 16.2e9).abs() < 1.0);
        assert_eq!(card_time(Data(64e9), Stream(0.0)), None);
    }

    #[test]
    fn charging_fills_the_gap_and_no_more() {
        let supply = Supply { packs: 2, lasts: minutes(30.0), recharge: Some(minutes(60.0)), chargers: 1 };
        let day = [Stretch::Use(minutes(40.0)), Stretch::Gap(minutes(20.0)), Stretch::Use(minutes(25.0))];
        let charge = charge_along(&day, supply);
        // 60 at hand, 40 used, 10 won in 20 minutes, 25 used: 5 left.
        assert!((charge.charged.0 - minutes(10.0).0).abs() < 1e-6);
        assert!((charge.least.0 - minutes(5.0).0).abs() < 1e-6);
        assert_eq!(charge.short_at, None);
        let long = charge_along(&[Stretch::Use(minutes(10.0)), Stretch::Gap(minutes(600.0))], supply);
        assert!((long.charged.0 - minutes(10.0).0).abs() < 1e-6);
    }

    #[test]
    fn two_chargers_fill_two_packs_at_once() {
        let day = [Stretch::Use(minutes(60.0)), Stretch::Gap(minutes(30.0))];
        let with = |chargers| {
            let supply = Supply { packs: 2, lasts: minutes(30.0), recharge: Some(minutes(60.0)), chargers };
            charge_along(&day, supply).charged.0 / 60.0
        };
        assert!((with(1) - 15.0).abs() < 1e-6);
        assert!((with(2) - 30.0).abs() < 1e-6);
        assert!((with(9) - 30.0).abs() < 1e-6);
        assert_eq!(with(0), 0.0);
    }

    #[test]
    fn what_is_missing_is_counted_once() {
        let supply = Supply { packs: 1, lasts: minutes(30.0), recharge: None, chargers: 1 };
        let day = [Stretch::Use(minutes(20.0)), Stretch::Gap(minutes(60.0)), Stretch::Use(minutes(25.0))];
        let charge = charge_along(&day, supply);
        assert!((charge.least.0 + minutes(15.0).0).abs() < 1e-6);
        assert_eq!(charge.short_at, Some(2));
    }

    #[test]
    fn a_take_never_spans_two_packs() {
        let take = minutes(7.0);
        assert_eq!(flights(&[take, take, take], minutes(18.0), 0.2), Some(2));
        assert_eq!(flights(&[minutes(17.0)], minutes(18.0), 0.2), None);
        assert_eq!(flights(&[], minutes(18.0), 0.2), Some(0));
    }
}
