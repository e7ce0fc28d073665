//! Motion blur and rolling-shutter skew, and what would keep them small enough.
//!
//! In: turn rate, travel, exposure, focal length in pixels. Out: pixels of the
//! picture that the focal length belongs to; use [`REFERENCE_WIDTH`] for budgets.

use crate::quantity::{Angle, FrameRate, Length, Pixels, Seconds, Speed, TurnRate};

/// Width of the picture to which budgets refer.
pub const REFERENCE_WIDTH: u32 = 1920;

/// How a camera moves while it exposes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Movement {
    /// Turning on purpose.
    pub turn: TurnRate,
    /// Turning that the rig adds.
    pub sway: TurnRate,
    /// Travel, taken as if across the line of sight (the worst case).
    pub travel: Speed,
    /// Nearest thing in view; without it travel adds nothing.
    pub near: Option<Length>,
}

impl Movement {
    /// Pixels a second at the centre of the picture: `(ω + s) f + v f / near`.
    pub fn flow(self, focal: Pixels) -> f64 {
        (self.turn.radians() + self.sway.radians()) * focal.0 + self.travel_flow(focal)
    }

    fn travel_flow(self, focal: Pixels) -> f64 {
        match self.near {
            Some(near) if near.0 > 0.0 => self.travel.0.abs() * focal.0 / near.0,
            _ => 0.0,
        }
    }

    /// Blur during one exposure: flow × exposure. Rotation is `ω e f`; travel is
    /// `v e f / Z`, the rule of aerial survey (blur on the ground is `v e`).
    pub fn blur(self, exposure: Seconds, focal: Pixels) -> Pixels {
        Pixels(self.flow(focal) * exposure.0)
    }

    /// The longest exposure whose blur stays within a budget; `None` when nothing moves.
    pub fn slowest_shutter(self, budget: Pixels, focal: Pixels) -> Option<Seconds> {
        let flow = self.flow(focal);
        (flow > 0.0).then(|| Seconds(budget.0 / flow))
    }

    /// The fastest turn on purpose whose blur stays within a budget; `None` when
    /// sway and travel alone use it up.
    pub fn fastest_turn(self, budget: Pixels, exposure: Seconds, focal: Pixels) -> Option<TurnRate> {
        if exposure.0 <= 0.0 || focal.0 <= 0.0 {
            return None;
        }
        let left = budget.0 / exposure.0 - self.travel_flow(focal);
        let turn = (left / focal.0).to_degrees() - self.sway.0;
        (turn >= 0.0).then_some(TurnRate(turn))
    }
}

impl Movement {
    /// The fastest travel whose blur stays within a budget; `None` when turning alone
    /// uses it up, or where nothing near is known.
    pub fn fastest_travel(self, budget: Pixels, exposure: Seconds, focal: Pixels) -> Option<Speed> {
        let near = self.near.filter(|near| near.0 > 0.0)?;
        let left = self.left_for_travel(budget, exposure, focal)?;
        Some(Speed(left * near.0 / focal.0))
    }

    /// How near things may come at this travel; `None` when turning alone uses the
    /// budget up, or where nothing travels.
    pub fn nearest(self, budget: Pixels, exposure: Seconds, focal: Pixels) -> Option<Length> {
        let left = self.left_for_travel(budget, exposure, focal)?;
        let travel = self.travel.0.abs() * focal.0;
        (travel > 0.0).then(|| Length(travel / left))
    }

    /// Pixels a second that turning leaves of a budget.
    fn left_for_travel(self, budget: Pixels, exposure: Seconds, focal: Pixels) -> Option<f64> {
        if exposure.0 <= 0.0 || focal.0 <= 0.0 {
            return None;
        }
        let left = budget.0 / exposure.0 - (self.turn.radians() + self.sway.radians()) * focal.0;
        (left > 0.0).then_some(left)
    }
}

/// How far an upright leans while the picture is read out: turn rate × readout ×
/// focal length. Exposure time plays no part.
pub fn skew(turn: TurnRate, readout: Seconds, focal: Pixels) -> Pixels {
    Pixels(turn.radians().abs() * readout.0 * focal.0)
}

/// The fastest turn whose skew stays within a budget; `None` without a readout.
pub fn fastest_turn_for_skew(budget: Pixels, readout: Seconds, focal: Pixels) -> Option<TurnRate> {
    let for_each = readout.0 * focal.0;
    (for_each > 0.0).then(|| TurnRate((budget.0 / for_each).to_degrees()))
}

/// The fastest pan that does not judder, with a shutter of 180°: one width of the
/// picture in 7 s at 24 frames a second, sooner at higher rates (a cinema camera
/// maker's page on panning speed; any lens, any sensor).
pub fn smooth_pan(view: Angle, rate: FrameRate) -> TurnRate {
    TurnRate(view.0 / 7.0 * rate.per_second() / 24.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::optics::focal;
    use crate::quantity::{Angle, Projection};

    /// Pixels for a degree, as focal length.
    fn per_degree(pixels: f64) -> Pixels {
        Pixels(pixels.to_degrees())
    }

    /// Own arithmetic from blur = ω t (px/deg): 30°/s, 1/48 s, 42.667 → 26.67 px;
    /// 100°/s, 1/200 s, 32 → 16 px; 60°/s, 1/48 s, 33.51 → 41.9 px.
    #[test]
    fn a_turn_blurs() {
        for (turn, shutter, scale, pixels) in
            [(30.0, 48.0, 42.667, 26.67), (100.0, 200.0, 32.0, 16.0), (60.0, 48.0, 33.51, 41.9)]
        {
            let move_ = Movement { turn: TurnRate(turn), ..Movement::default() };
            let blur = move_.blur(Seconds(1.0 / shutter), per_degree(scale));
            assert!((blur.0 - pixels).abs() < 0.05, "{}", blur.0);
        }
    }

    /// Survey makers' support pages: 15 m/s at 1/60 s smears 0.25 m of ground,
    /// 10 m/s at 1/100 s 0.10 m. With one pixel for a metre at one metre, that is
    /// the blur in pixels.
    #[test]
    fn travel_blurs_what_is_near() {
        for (speed, shutter, smear) in [(15.0, 60.0, 0.25), (10.0, 100.0, 0.10), (10.0, 1000.0, 0.01)] {
            let movement = Movement { travel: Speed(speed), near: Some(Length(1.0)), ..Movement::default() };
            let blur = movement.blur(Seconds(1.0 / shutter), Pixels(1.0));
            assert!((blur.0 - smear).abs() < 1e-9);
        }
    }

    #[test]
    fn the_solved_shutter_and_turn_use_the_budget_up_exactly() {
        let focal = focal(REFERENCE_WIDTH, Angle(118.0), Projection::Equidistant);
        let movement = Movement {
            turn: TurnRate(12.0),
            sway: TurnRate(22.0),
            travel: Speed(1.4),
            near: Some(Length(2.0)),
        };
        let budget = Pixels(4.0);
        let shutter = movement.slowest_shutter(budget, focal).unwrap();
        assert!((movement.blur(shutter, focal).0 - 4.0).abs() < 1e-9);
        let exposure = Seconds(1.0 / 400.0);
        let turn = movement.fastest_turn(budget, exposure, focal).unwrap();
        assert!((Movement { turn, ..movement }.blur(exposure, focal).0 - 4.0).abs() < 1e-9);
        assert_eq!(movement.fastest_turn(budget, Seconds(0.02), focal), None);
        let travel = movement.fastest_travel(budget, exposure, focal).unwrap();
        assert!((Movement { travel, ..movement }.blur(exposure, focal).0 - 4.0).abs() < 1e-9);
        let near = movement.nearest(budget, exposure, focal);
        assert!((Movement { near, ..movement }.blur(exposure, focal).0 - 4.0).abs() < 1e-9);
        assert_eq!(movement.fastest_travel(budget, Seconds(0.02), focal), None);
        assert_eq!(Movement::default().slowest_shutter(budget, focal), None);
    }

    /// Readout of 14.82 ms is that of the table in kalibr's rolling-shutter notes
    /// for one wide mode; 100°/s at 16 px a degree leans 23.7 px.
    #[test]
    fn a_turn_leans_uprights() {
        let lean = skew(TurnRate(100.0), Seconds(0.01482), per_degree(16.0));
        assert!((lean.0 - 23.7).abs() < 0.1);
        let turn = fastest_turn_for_skew(lean, Seconds(0.01482), per_degree(16.0)).unwrap();
        assert!((turn.0 - 100.0).abs() < 1e-9);
        assert_eq!(fastest_turn_for_skew(lean, Seconds(0.0), per_degree(16.0)), None);
    }
    /// Own arithmetic by the same rule, as a flow across the picture: 8,192 px a second
    /// read out in 15 ms lean by 122.9 px.
    #[test]
    fn a_lean_is_flow_times_readout() {
        let lean = skew(TurnRate(1.0_f64.to_degrees()), Seconds(0.015), Pixels(8192.0));
        assert!((lean.0 - 122.9).abs() < 0.05);
    }

    /// A handbook's table for 35 mm film: a pan of 90° with 100 mm at 48 frames takes
    /// 30 s. The rule, which is from another maker, comes to 25.1 s with a gate of
    /// 21.95 mm; a quarter is allowed between the two.
    #[test]
    fn a_pan_is_as_slow_as_in_the_handbook() {
        let view = crate::craft::optics::angle_covered(Length(0.021_95), Length(0.1));
        let turn = smooth_pan(view, FrameRate { num: 48, den: 1 });
        assert!((90.0 / turn.0 - 25.1).abs() < 0.1);
        assert!((90.0 / turn.0 / 30.0 - 1.0).abs() < 0.25);
        let plain = smooth_pan(Angle(70.0), FrameRate { num: 24, den: 1 });
        assert!((plain.0 - 10.0).abs() < 1e-9);
    }
}
