//! What is left of charge and cards along the days that were planned.

use super::written::night_parcel;
use crate::order::{LevelOf, plan};

/// A day's curves say the same as its sums: nothing rises above full or falls below
/// nothing, the lowest charge is the least that the planner allowed, what cards lose is
/// what is recorded, and charge falls by recording less what charging wins.
#[test]
fn levels_along_a_day_agree_with_its_sums() {
    let (stage, _) = night_parcel();
    let plan = plan(&stage.model, &stage.breakdown, &stage.work);
    let mut seen = 0;
    for day in &plan.shoot.days {
        for level in &day.levels {
            assert!(level.along.windows(2).all(|pair| pair[0].0 <= pair[1].0), "{level:?}");
            assert!(
                level.along.iter().all(|(_, left)| (-1e-6..=level.most + 1e-6).contains(left)),
                "{level:?}"
            );
            let least = level.along.iter().map(|(_, left)| *left).fold(f64::INFINITY, f64::min);
            let last = level.along.last().unwrap().1;
            let used = |id| day.cameras.iter().find(|used| used.camera == id).unwrap();
            match level.of {
                LevelOf::Charge(id) => {
                    let used = used(id);
                    assert!((least - used.least).abs() < 1e-6, "{least} and {}", used.least);
                    let spent = used.records - used.charged;
                    assert!((level.most - last - spent).abs() < 1e-6, "{last} left of {}", level.most);
                }
                LevelOf::Card(id) => {
                    let used = used(id);
                    assert!((level.most - last - used.bytes).abs() < 1.0, "{last} left of {}", level.most);
                    assert_eq!(level.most, used.space);
                }
                LevelOf::Packs(_) => {}
            }
            seen += 1;
        }
    }
    assert!(seen >= 4, "both days draw charge and fill cards");
}
