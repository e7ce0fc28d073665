//! What is said of single passes at the desk. Which passes there are, only the
//! recipes know; here their names are kept as written.

use super::{Lower, args};
use crate::model::{Model, Pace, PassSetting};
use crate::quantity::{FrameRate, Hours};
use crate::schema::{Arg, Fact};
use crate::source::Spanned;

impl Lower<'_> {
    pub(super) fn passes(&mut self, model: &mut Model) {
        let rate = model.sequence.rate;
        let of_beats: Vec<_> = self
            .top("beat")
            .filter_map(|beat| Some((Some(args::name(beat, 0)?.value.clone()), beat)))
            .flat_map(|(name, beat)| beat.all("pass").map(move |fact| (name.clone(), fact)))
            .collect();
        let at_top: Vec<_> = self.top("pass").map(|fact| (None, fact)).collect();
        for (beat, fact) in at_top.into_iter().chain(of_beats) {
            let Some(path) = path(fact) else { continue };
            let mut named = self.named(fact, path.value);
            named.span = path.span;
            model.passes.push(PassSetting {
                named,
                beat,
                effort: hours(fact, "effort", rate),
                render: hours(fact, "render", rate),
                review: review(fact, rate),
                priority: priority(fact),
            });
        }
    }
}

/// `leap.orrery.track`, `swoop->land.align`.
fn path(fact: &Fact) -> Option<Spanned<String>> {
    let one = args::name(fact, 0)?;
    let Some(other) = args::group(fact, 1).and_then(|group| group.first()?.name()) else {
        return Some(one.clone());
    };
    Some(Spanned::new(format!("{}->{}", one.value, other.value), one.span.to(other.span)))
}

fn hours(fact: &Fact, word: &str, rate: FrameRate) -> Option<Spanned<Hours>> {
    args::seconds(fact, word, rate).map(|span| Spanned::new(Hours(span.value.0 / 3600.0), span.span))
}

fn review(fact: &Fact, rate: FrameRate) -> Option<Spanned<(Hours, Pace)>> {
    let hours = hours(fact, "review", rate)?;
    let word = args::group(fact.get("review")?, 1).and_then(|group| group.first().and_then(Arg::name));
    let pace = match word {
        Some(word) if word.value == "elapsed" => Pace::Elapsed,
        _ => Pace::Worked,
    };
    Some(Spanned::new((hours.value, pace), hours.span))
}

/// The priority in a block, 1 to 5.
pub(super) fn priority(fact: &Fact) -> Option<Spanned<u32>> {
    args::of(fact, "priority").map(|rank| Spanned::new(rank.value as u32, rank.span))
}
