//! A day's charge against a simulation in steps, and flights against every cut.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::power::{Stretch, Supply, charge_along, flights};
use seamster::quantity::Seconds;
use serde_json::{Value, json};

/// The steps of the simulation; everything is a multiple of them.
const STEP: i64 = 10;

#[test]
fn charge_agrees_with_a_day_that_passes_in_steps() {
    let mut random = Random::new("charge");
    let mut short = 0;
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let lasts = STEP * random.whole(60, 540);
            // A pack charges so many times as long as it lasts.
            let times = random.one_of(&[None, Some(1), Some(2), Some(3), Some(4)]);
            let (packs, chargers) = (random.whole(1, 6), random.whole(0, 4));
            // What a gap charges is a whole number of steps of use, too.
            let gap = STEP * times.unwrap_or(1);
            let stretches: Vec<(&str, i64)> = (0..random.whole(1, 16))
                .map(|index| {
                    let uses = index % 2 == 0;
                    let longest = if uses { 300 } else { 300 / times.unwrap_or(1) };
                    (
                        if uses { "use" } else { "gap" },
                        random.whole(1, longest) * if uses { STEP } else { gap },
                    )
                })
                .collect();
            let seconds = |time: i64| Seconds(time as f64);
            let day: Vec<Stretch> =
                stretches
                    .iter()
                    .map(|&(kind, time)| {
                        if kind == "use" { Stretch::Use(seconds(time)) } else { Stretch::Gap(seconds(time)) }
                    })
                    .collect();
            let supply = Supply {
                packs: packs as u32,
                lasts: seconds(lasts),
                recharge: times.map(|times| seconds(times * lasts)),
                chargers: chargers as u32,
            };
            let charge = charge_along(&day, supply);
            short += u32::from(charge.short_at.is_some());
            case(
                json!({
                    "lasts": lasts, "times_as_long": times, "packs": packs, "chargers": chargers,
                    "stretches": stretches,
                }),
                json!({
                    "used": charge.used.0,
                    "holds": charge.holds.0,
                    "charged": charge.charged.0,
                    "least": charge.least.0,
                    "short_at": charge.short_at,
                }),
            )
        })
        .collect();
    assert!((200..800).contains(&short), "{short} days run short");
    agree("power", "day", &cases);
}

#[test]
fn flights_are_the_fewest_of_every_cut() {
    let mut random = Random::new("flights");
    let cases: Vec<Value> = (0..1000)
        .map(|_| {
            let endurance = random.whole(300, 1800) as f64;
            let reserve = random.one_of(&[0.0, 0.25, 0.5]);
            let longest = (endurance * random.between(0.2, 0.55)) as i64;
            let takes: Vec<i64> = (0..random.whole(0, 14)).map(|_| random.whole(1, longest)).collect();
            let lengths: Vec<Seconds> = takes.iter().map(|&take| Seconds(take as f64)).collect();
            let usable = endurance * (1.0 - reserve);
            case(
                json!({"takes": takes, "usable": usable}),
                json!({"flights": flights(&lengths, Seconds(endurance), reserve)}),
            )
        })
        .collect();
    agree("power", "flights", &cases);
}
