//! Lamps on the mains against light that is summed up over frames.

use crate::random::Random;
use crate::script::{agree, case};
use seamster::craft::flicker::{Evenness, beat, even_exposures, evenness, pulses};
use seamster::quantity::{FrameRate, Frequency, Seconds};
use serde_json::{Value, json};

#[test]
fn frames_are_even_when_they_gather_as_much_light() {
    let mut random = Random::new("flicker");
    let mut even = 0;
    let mut cases: Vec<Value> = Vec::new();
    while cases.len() < 1000 {
        let mains = Frequency(random.one_of(&[50.0, 60.0]));
        let rate = FrameRate { num: random.whole(12_000, 70_000) as u32, den: 1000 };
        // Where the rate runs with the mains every frame is alike at any exposure; and a
        // slow beat has no peak of its own in the spectrum.
        let slow = beat(mains, rate).0;
        if slow < 1.0 || slow > rate.per_second() / 2.0 - 1.0 {
            continue;
        }
        let longest = 1.0 / rate.per_second();
        let any = random.between(0.02 * longest, longest);
        let whole = random.whole(1, 6) as f64 / (2.0 * mains.0);
        let exposure = Seconds(random.one_of(&[any, whole]).min(longest));
        let found = evenness(exposure, mains);
        let off = pulses(exposure, mains) - pulses(exposure, mains).round();
        // What is nearly even is for people to judge.
        if off.abs() > 1e-6 && off.abs() < 0.05 {
            continue;
        }
        even += u32::from(found == Evenness::Even);
        cases.push(case(
            json!({"mains": mains.0, "rate": rate.per_second(), "exposure": exposure.0}),
            json!({
                "even": found == Evenness::Even,
                "evens": even_exposures(mains, rate).len(),
                "beat": slow,
            }),
        ));
    }
    assert!(even > 200, "{even} of {}", cases.len());
    agree("flicker", "lamps", &cases);
}
