//! Chains as sentences.
//!
//! In: chains of the plan. Out: sentences that a maker reads once: what is
//! nearest in full, what lies farther added up.

use seamster::order::Minute;
use seamster::order::explain::{AnchorKind, Chain, Held, Link, LinkKind, Room, listed};

/// Links that are told one by one; what is farther is added up.
const TOLD: usize = 3;

/// Minutes in words: `25 min`, `2 h 05 min`.
pub(super) fn minutes(minutes: i64) -> String {
    match minutes {
        ..120 => format!("{minutes} min"),
        _ => format!("{} h {:02} min", minutes / 60, minutes % 60),
    }
}

/// "the call is at 06:02, arriving … take 15 min, and setting up Cable trolley takes 25 min".
pub(super) fn before(chain: &Chain) -> String {
    let (near, far) = chain.links.split_at(TOLD.min(chain.links.len()));
    let mut parts = added(far);
    parts.extend(near.iter().rev().map(named));
    if parts.is_empty() {
        return chain.anchor.text.clone();
    }
    format!("{}, and then come {}", chain.anchor.text, listed(&parts))
}

/// Why the call is not at another time.
pub(super) fn called(held: &Held, clock: &dyn Fn(Minute) -> String) -> Option<String> {
    let chain = held.called.as_ref()?;
    let call = clock(held.before.anchor.at);
    let anchor = &chain.anchor;
    let between: i64 = chain.links.iter().map(|link| link.to.0 - link.from.0).sum();
    Some(match anchor.kind {
        AnchorKind::Closes(_) => format!(
            "The call is no later than {call} because {}, and what comes up to then takes {}.",
            anchor.text,
            minutes(between)
        ),
        _ => format!(
            "The call is no earlier than {call} because {}, what comes up to then takes {}, \
             and called earlier everybody would wait there.",
            anchor.text,
            minutes(between)
        ),
    })
}

/// By how much it may come later.
pub(super) fn room(held: &Held, room: &Room, clock: &dyn Fn(Minute) -> String) -> String {
    let latest = clock(held.start.plus(room.minutes));
    let until = match room.chain.links.as_slice() {
        [] => String::new(),
        links if links.len() > TOLD + 1 => format!(", and up to then come {}", listed(&added(links))),
        links => {
            let each: Vec<String> = links.iter().map(named).collect();
            format!(", and up to then come {}", listed(&each))
        }
    };
    let head = if room.minutes == 0 {
        "It may not begin a minute later".to_owned()
    } else {
        format!("In this order it may begin as late as {latest}")
    };
    format!("{head}, because {}{until}.", room.chain.anchor.text)
}

/// A link in a few words: `setting up Head band (3 min)`.
fn named(link: &Link) -> String {
    let at = link.text.rfind(" takes ").or_else(|| link.text.rfind(" take "));
    match at.and_then(|at| link.text.get(..at)) {
        Some(what) => format!("{what} ({})", minutes(length(link))),
        None => link.text.clone(),
    }
}

fn length(link: &Link) -> i64 {
    link.to.0 - link.from.0
}

/// Several of it, and whether a link is of it.
type Kind = (&'static str, fn(&LinkKind) -> bool);

/// Links of one kind added up, `3 plates (12 min)`; what is alone of its kind is named.
fn added(links: &[Link]) -> Vec<String> {
    let kinds: [Kind; 8] = [
        ("arrivals", |kind| matches!(kind, LinkKind::Arrive)),
        ("plates", |kind| matches!(kind, LinkKind::Shoot(_))),
        ("ways", |kind| matches!(kind, LinkKind::Way(..) | LinkKind::Pack)),
        ("set-ups", |kind| matches!(kind, LinkKind::Fit(_) | LinkKind::Turn(_))),
        ("resets", |kind| matches!(kind, LinkKind::Reset)),
        ("meals", |kind| matches!(kind, LinkKind::Meal)),
        ("waits", |kind| matches!(kind, LinkKind::Wait | LinkKind::Charge(..))),
        ("passes", |kind| matches!(kind, LinkKind::Pass(_))),
    ];
    let of = |(many, is): &Kind| {
        let own: Vec<&Link> = links.iter().filter(|link| is(&link.kind)).collect();
        let sum: i64 = own.iter().map(|link| length(link)).sum();
        match own.as_slice() {
            [] => None,
            [one] => Some(named(one)),
            _ => Some(format!("{} {many} ({})", own.len(), minutes(sum))),
        }
    };
    kinds.iter().filter_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamster::order::explain::Anchor;

    fn link(from: i64, to: i64, kind: LinkKind, text: &str) -> Link {
        Link { from: Minute(from), to: Minute(to), kind, text: text.into(), span: None }
    }

    fn chain(links: Vec<Link>, at: i64) -> Chain {
        let kind = AnchorKind::EarliestCall(0);
        let anchor =
            Anchor { at: Minute(at), kind, text: "the call is at 06:02".into(), plates: vec![], span: None };
        Chain { links, anchor }
    }

    #[test]
    fn what_is_nearest_is_told_last_and_what_is_far_is_added_up() {
        let near = chain(
            vec![
                link(15, 40, LinkKind::Reset, "drying takes 25 min"),
                link(0, 15, LinkKind::Arrive, "arriving takes 15 min"),
            ],
            0,
        );
        assert_eq!(
            before(&near),
            "the call is at 06:02, and then come arriving (15 min) and drying (25 min)"
        );
        let many = (0..7).rev().map(|at| link(at * 10, at * 10 + 10, LinkKind::Reset, "drying takes 10 min"));
        let told = before(&chain(many.collect(), 0));
        assert!(told.starts_with("the call is at 06:02, and then come 4 resets (40 min), drying"), "{told}");
        assert_eq!(told.matches("drying (10 min)").count(), 3);
        let mut far: Vec<Link> =
            (2..6).rev().map(|at| link(at, at + 1, LinkKind::Reset, "drying takes 1 min")).collect();
        far.push(link(1, 2, LinkKind::Meal, "the meal takes 1 min"));
        far.push(link(0, 1, LinkKind::Arrive, "arriving takes 1 min"));
        let told = before(&chain(far, 0));
        let begins =
            "the call is at 06:02, and then come arriving (1 min), drying (1 min), the meal (1 min), drying";
        assert!(told.starts_with(begins), "{told}");
    }
}
