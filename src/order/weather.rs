//! What the weather spoils, and what is left to plan once it has.
//!
//! In: a plate, and what a day needs of the weather; or a day that is supposed
//! to have lost it. Out: why the plate cannot be shot while that fails; or the
//! [`Limit`] that holds what is shot to its days, and the rest to later ones.
//! Which plates mind which weather is common practice, no source.

use super::daylight;
use super::window::{Limit, LimitKind};
use crate::model::{DayPlan, Model, Named, Plate, WeatherNeed};
use jiff::civil::Date;

/// Hazards that wind makes worse: what hangs, flies or stands high.
const WINDY: &[&str] = &["height", "overhead", "aircraft"];

/// Why a plate cannot be shot when those needs fail, in words that follow "since": the first
/// reason of several. `None` where it can.
pub fn spoiled(model: &Model, plate: &Plate, needs: &[WeatherNeed]) -> Option<String> {
    needs.iter().find_map(|need| spoils(model, plate, *need))
}

fn spoils(model: &Model, plate: &Plate, need: WeatherNeed) -> Option<String> {
    let (place, rig) = (&model.places[plate.place], &model.rigs[plate.rig]);
    match need {
        WeatherNeed::Dry => (!place.roof).then(|| format!("{} has no roof", place.named.label())),
        WeatherNeed::Clear => {
            plate.light.wants_sun().then(|| format!("it wants {}", daylight::words(plate.light)))
        }
        WeatherNeed::Calm if place.roof => None,
        WeatherNeed::Calm => {
            if rig.flies {
                return Some(format!("{} flies in the open", rig.named.label()));
            }
            if let Some(screen) = plate.screen {
                return Some(format!("{} stands in the open", model.screens[screen].named.label()));
            }
            let hazards = plate.hazards.iter().chain(&rig.hazards);
            let found = hazards.map(|hazard| hazard.value.as_str()).find(|hazard| WINDY.contains(hazard))?;
            Some(format!("wind makes its hazard '{found}' worse"))
        }
    }
}

/// On which date a plate is held by a day whose weather failed; `None` where it comes
/// later. The outer `None` is for a plan in which none has.
pub(crate) fn held(model: &Model, named: &Named) -> Option<Option<Date>> {
    let fallen = model.days.as_ref()?.fallen.as_ref()?;
    Some(fallen.held.get(&named.path).copied())
}

/// That a plate cannot be shot on a day, because of one whose weather failed.
pub(crate) fn limit(model: &Model, named: &Named, day: &DayPlan) -> Option<Limit> {
    let fallen = model.days.as_ref()?.fallen.as_ref()?;
    let failed = fallen.date.strftime("%a %-d %b");
    let what = match fallen.held.get(&named.path) {
        Some(on) if *on == day.date => return None,
        Some(on) => format!("{} is shot on {on} by then", named.label()),
        None if day.date > fallen.date => return None,
        None if day.date == fallen.date => {
            format!("the weather fails on {failed}, and only the cover is shot")
        }
        None => format!("{} is over when the weather fails on {failed}", day.date),
    };
    let (kind, span) = (LimitKind::Weather, Some(fallen.span));
    Some(Limit { kind, windows: Vec::new(), what, span, who: None })
}
