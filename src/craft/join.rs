//! How far apart two sides of a join can be, and how far apart they may be.
//!
//! In: how closely each rig is placed, what is seen at the hand-over, how the
//! camera moves there. Out: errors and allowance in pixels of the delivered
//! picture, and the tolerance to set with a tape and a phone's level.

use crate::model::JoinKind;
use crate::quantity::{Angle, Length, Pixels, Share, TurnRate};

/// What a wipe hides, and a whip that is fast enough: nearly all of the picture's
/// width (common practice, no source).
const COVERED: f64 = 0.9;
/// Flow at which a whip hides its join, as a share of the width for each frame
/// (common practice, no source).
const WHIP: f64 = 0.02;
/// What each frame of overlap blends away in a match or dissolve, as a share of
/// the width (common practice, no source).
const BLEND: f64 = 0.0025;
/// The most that blending hides (common practice, no source).
const BLEND_MOST: f64 = 0.05;

/// How closely one camera comes to the mark, to each side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placing {
    /// Off the mark.
    pub offset: Length,
    /// Turned away from it.
    pub turn: Angle,
}

/// What is seen at the hand-over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    /// Nearest thing in view.
    pub near: Length,
    /// Farthest; `None` is the horizon.
    pub far: Option<Length>,
}

impl Depth {
    /// `1/near − 1/far`, never negative.
    fn spread(self) -> f64 {
        let inverse = |length: Length| if length.0 > 0.0 { 1.0 / length.0 } else { 0.0 };
        (inverse(self.near) - self.far.map_or(0.0, inverse)).max(0.0)
    }
}

/// How far near and far things slip against each other: `f (p₁ + p₂) (1/near − 1/far)`,
/// the disparity `d = f B / Z` of stereo vision taken twice. No reframe mends it.
pub fn parallax(focal: Pixels, off_by: Length, depth: Depth) -> Pixels {
    Pixels(focal.0 * off_by.0 * depth.spread())
}

/// How far the whole picture is turned away: `f (a₁ + a₂)`. A reframe mends it
/// while there is picture to spare.
pub fn turn_error(focal: Pixels, off_by: Angle) -> Pixels {
    Pixels(focal.0 * off_by.radians())
}

/// Flow from one frame to the next: pixels a second by frames a second; 0 without a rate.
pub fn flow_per_frame(pixels_a_second: f64, frames_a_second: f64) -> Pixels {
    Pixels(if frames_a_second > 0.0 { pixels_a_second / frames_a_second } else { 0.0 })
}

/// What carries an allowance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// The writer said so.
    Writer,
    /// A warp or reframe of a share of the width.
    Width,
    /// Half of what the picture moves in a frame.
    Flow,
    /// The kind of join itself.
    Kind,
}

impl Carrier {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Carrier::Writer => "set by hand",
            Carrier::Width => "what a warp hides",
            Carrier::Flow => "half of the movement in a frame",
            Carrier::Kind => "what this kind of join covers",
        }
    }
}

/// How much a join may be out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// Pixels of the picture.
    pub pixels: Pixels,
    /// What carried it.
    pub by: Carrier,
}

/// What a kind of join hides by itself, given its overlap and how the picture moves.
pub fn covered_by_kind(kind: JoinKind, width: Pixels, overlap_frames: f64, flow: Pixels) -> Pixels {
    match kind {
        JoinKind::Wipe => width * COVERED,
        JoinKind::Whip if flow.0 >= WHIP * width.0 => width * COVERED,
        JoinKind::Match | JoinKind::Dissolve => width * (BLEND * overlap_frames.max(0.0)).min(BLEND_MOST),
        JoinKind::Whip | JoinKind::Stitch => Pixels(0.0),
    }
}

/// The turn that hides a whip: two percent of the width in each frame of the
/// picture (common practice, no source). `ω = 0.02 W r / f`.
pub fn whip_turn(width: Pixels, focal: Pixels, frames_a_second: f64) -> TurnRate {
    TurnRate((WHIP * width.0 * frames_a_second / focal.0.max(1e-9)).to_degrees())
}

/// The largest of: a share of the width, half of the flow in a frame, what the
/// kind covers. All three are common practice without a source.
pub fn allowance(width: Pixels, share: Share, flow: Pixels, kind: Pixels) -> Allowance {
    let mut best = Allowance { pixels: width * share.0, by: Carrier::Width };
    for (pixels, by) in [(flow * 0.5, Carrier::Flow), (kind, Carrier::Kind)] {
        if pixels > best.pixels {
            best = Allowance { pixels, by };
        }
    }
    best
}

/// What is left to see: parallax whole, and the turn beyond what a reframe of
/// `spare` pixels takes back.
pub fn residual(parallax: Pixels, turn: Pixels, spare: Pixels) -> Pixels {
    parallax + (turn - spare).max(Pixels(0.0))
}

/// By how much placings may grow (or must shrink) until a join just hides them;
/// 1 is just enough, below 1 is too far out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// For the distance from the mark.
    pub offset: f64,
    /// For the turn away from it.
    pub turn: f64,
}

impl Room {
    /// Whether the placings fit as they are.
    pub fn fits(self) -> bool {
        self.offset >= 1.0 && self.turn >= 1.0
    }
}

/// The room that a join leaves. While a reframe can take back the whole turn, the
/// allowance is left to parallax and the turn may use up the reframe; else both
/// grow or shrink together.
pub fn room(parallax: Pixels, turn: Pixels, spare: Pixels, allowed: Pixels) -> Room {
    let (parallax, turn, spare, allowed) = (parallax.0, turn.0, spare.0.max(0.0), allowed.0.max(0.0));
    let ratio = |limit: f64, is: f64| if is > 0.0 { limit / is } else { f64::INFINITY };
    let both = ratio(allowed + spare, parallax + turn);
    if turn <= spare || both * turn <= spare {
        Room { offset: ratio(allowed, parallax), turn: ratio(spare, turn) }
    } else {
        Room { offset: both, turn: both }
    }
}

/// Loosest placing that is ever printed, unless a rig itself is looser: beyond it
/// perspective and framing change whatever the pixels say (common practice, no source).
pub const LOOSEST: Placing = Placing { offset: Length(0.25), turn: Angle(5.0) };

/// The placing that is close enough, for one side: what its rig does, times the
/// room, and never looser than makes sense.
pub fn tolerance(placing: Placing, room: Room) -> Placing {
    let grown =
        |value: f64, by: f64, most: f64| if value > 0.0 { (value * by).min(most.max(value)) } else { 0.0 };
    Placing {
        offset: Length(grown(placing.offset.0, room.offset, LOOSEST.offset.0)),
        turn: Angle(grown(placing.turn.0, room.turn, LOOSEST.turn.0)),
    }
}

/// The nearest thing that the hand-over may show so that parallax alone uses up
/// what is left: `1/near = left / (f p) + 1/far`. `None` when nothing is out of place.
pub fn nearest_allowed(focal: Pixels, off_by: Length, far: Option<Length>, left: Pixels) -> Option<Length> {
    let for_each = focal.0 * off_by.0;
    let far = far.filter(|far| far.0 > 0.0).map_or(0.0, |far| 1.0 / far.0);
    let inverse = left.0.max(0.0) / for_each + far;
    (for_each > 0.0 && inverse > 0.0).then(|| Length(1.0 / inverse))
}

/// How far the two sides may be apart at a hand-over so that near and far slip by
/// no more than this: `px / (f (1/near − 1/far))`. `None` where nothing slips, so
/// that any distance would do.
pub fn offset_allowed(focal: Pixels, depth: Depth, slip: Pixels) -> Option<Length> {
    let for_each = focal.0 * depth.spread();
    (for_each > 0.0).then(|| Length(slip.0.max(0.0) / for_each))
}

/// How far the two sides may be turned apart so that the picture shifts by no more
/// than this: `px / f`.
pub fn turn_allowed(focal: Pixels, shift: Pixels) -> Angle {
    Angle((shift.0.max(0.0) / focal.0.max(1e-9)).to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::optics::focal;
    use crate::quantity::Projection;

    fn depth(near: f64, far: f64) -> Depth {
        Depth { near: Length(near), far: Some(Length(far)) }
    }

    /// The worked feel of the rule's page: 118° equidistant over 2,560 px has
    /// 1,243 px a radian; rigs placed to 6 cm and 3 cm are 122 px apart at 0.9 m
    /// and 26 px at 4 m.
    #[test]
    fn the_worked_example_of_the_rules_page() {
        let focal = focal(2560, Angle(118.0), Projection::Equidistant);
        assert!((focal.0 - 1243.0).abs() < 0.5);
        let slip = |near| parallax(focal, Length(0.06) + Length(0.03), depth(near, 60.0)).0;
        assert!((slip(0.9) - 122.0).abs() < 0.7, "{}", slip(0.9));
        assert!((slip(4.0) - 26.0).abs() < 0.5, "{}", slip(4.0));
        assert!((slip(0.9) / 2560.0 - 0.048).abs() < 0.0005);
    }

    /// OpenCV's depth tutorial, d = f B / Z: 0.05 m at 1,920 px is 48 px at 2 m and
    /// 9.6 px at 10 m, so they slip by 38.4 px.
    #[test]
    fn parallax_is_the_difference_of_stereo_disparities() {
        let slip = parallax(Pixels(1920.0), Length(0.05), depth(2.0, 10.0));
        assert!((slip.0 - 38.4).abs() < 1e-9);
        let horizon = parallax(Pixels(1920.0), Length(0.05), Depth { near: Length(2.0), far: None });
        assert!((horizon.0 - 48.0).abs() < 1e-9);
    }

    /// Own arithmetic for a turn about the entrance pupil: 1,920 px a radian, 1° is 33.5 px.
    #[test]
    fn a_turn_moves_the_whole_picture() {
        assert!((turn_error(Pixels(1920.0), Angle(1.0)).0 - 33.51).abs() < 0.005);
        assert_eq!(residual(Pixels(10.0), Pixels(33.0), Pixels(40.0)), Pixels(10.0));
        assert_eq!(residual(Pixels(10.0), Pixels(33.0), Pixels(30.0)), Pixels(13.0));
    }

    /// No more than a pixel, at 1,920 px a radian: 1.04 mm for what is 2 m away and
    /// 5.2 mm for what is 10 m away (a turn about the entrance pupil has no
    /// parallax; own arithmetic by B = Z / f).
    #[test]
    fn what_is_nearer_allows_less() {
        let allowed =
            |near, far| offset_allowed(Pixels(1920.0), Depth { near: Length(near), far }, Pixels(1.0));
        assert!((allowed(2.0, None).unwrap().0 * 1000.0 - 1.04).abs() < 0.002);
        assert!((allowed(10.0, None).unwrap().0 * 1000.0 - 5.2).abs() < 0.01);
        assert_eq!(allowed(2.0, Some(Length(2.0))), None);
        let back = parallax(Pixels(1920.0), allowed(2.0, Some(Length(10.0))).unwrap(), depth(2.0, 10.0));
        assert!((back.0 - 1.0).abs() < 1e-12);
        let turn = turn_allowed(Pixels(1920.0), Pixels(33.51));
        assert!((turn.0 - 1.0).abs() < 0.0005);
    }

    #[test]
    fn the_largest_carrier_wins() {
        let width = Pixels(1920.0);
        let still = allowance(width, Share(0.01), Pixels(0.0), Pixels(0.0));
        assert_eq!((still.by, still.pixels), (Carrier::Width, Pixels(19.2)));
        let moving = allowance(width, Share(0.01), Pixels(60.0), Pixels(0.0));
        assert_eq!((moving.by, moving.pixels), (Carrier::Flow, Pixels(30.0)));
        let whip = |flow| covered_by_kind(JoinKind::Whip, width, 4.0, Pixels(flow));
        assert_eq!(whip(10.0), Pixels(0.0));
        assert_eq!(allowance(width, Share(0.01), Pixels(60.0), whip(60.0)).by, Carrier::Kind);
        assert!(covered_by_kind(JoinKind::Match, width, 8.0, Pixels(0.0)) > Pixels(19.2));
    }

    /// The turn that hides a whip makes exactly the flow that counts as one.
    #[test]
    fn a_whip_at_its_turn_covers_its_join() {
        let (width, focal) = (Pixels(1920.0), Pixels(932.0));
        let turn = whip_turn(width, focal, 25.0);
        let flow = flow_per_frame(turn.radians() * focal.0, 25.0);
        assert!((flow.0 / width.0 - 0.02).abs() < 1e-12);
        assert!(covered_by_kind(JoinKind::Whip, width, 4.0, flow * 1.000_001).0 > 1000.0);
    }

    /// Scaling both placings by the room brings the residual to the allowance, and
    /// placings fit exactly when their residual does.
    #[test]
    fn the_room_is_exactly_used_up() {
        for (slip, turn, spare, allowed) in [
            (122.0, 60.0, 0.0, 20.0),
            (12.0, 60.0, 100.0, 20.0),
            (12.0, 60.0, 70.0, 20.0),
            (12.0, 90.0, 70.0, 20.0),
            (200.0, 90.0, 70.0, 20.0),
            (5.0, 30.0, 29.0, 20.0),
        ] {
            let room = room(Pixels(slip), Pixels(turn), Pixels(spare), Pixels(allowed));
            let left = residual(Pixels(slip * room.offset), Pixels(turn * room.turn), Pixels(spare));
            assert!((left.0 - allowed).abs() < 1e-9, "{left:?}");
            let fits = residual(Pixels(slip), Pixels(turn), Pixels(spare)).0 <= allowed;
            assert_eq!(fits, room.fits());
        }
        let none = room(Pixels(0.0), Pixels(0.0), Pixels(0.0), Pixels(1.0));
        let exact = Placing { offset: Length(0.0), turn: Angle(0.0) };
        assert_eq!(tolerance(exact, none), exact);
    }

    #[test]
    fn the_nearest_thing_allowed_uses_up_what_is_left() {
        let focal = Pixels(1243.0);
        let near = nearest_allowed(focal, Length(0.09), Some(Length(60.0)), Pixels(26.0)).unwrap();
        let slip = parallax(focal, Length(0.09), Depth { near, far: Some(Length(60.0)) });
        assert!((slip.0 - 26.0).abs() < 1e-9);
    }
}
