//! What is left of a captured picture after steadying and reframing.
//!
//! In: frames captured and delivered, the share that steadying keeps, reframes.
//! Out: enlargement (1 is pixel for pixel, above 1 is enlarged) and picture to
//! spare. Counting pixels; what may be enlarged is the writer's to say.

use crate::quantity::{Angle, FrameSize, Pixels, Share};

/// A picture and what is cut from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crop {
    /// As captured.
    pub captured: FrameSize,
    /// Share of the width, and of the height, that steadying keeps.
    pub kept: Share,
    /// Reframe at the desk; 1 is none.
    pub reframe: Share,
    /// As delivered.
    pub picture: FrameSize,
}

impl Crop {
    /// How much the captured picture is enlarged to fill the delivered one, by the
    /// side that has fewer pixels.
    pub fn enlargement(self) -> Share {
        let kept = self.kept.0.clamp(0.01, 1.0);
        let side = |picture: u32, captured: u32| f64::from(picture) / (f64::from(captured.max(1)) * kept);
        let across = side(self.picture.width, self.captured.width);
        let down = side(self.picture.height, self.captured.height);
        Share(across.max(down) * self.reframe.0)
    }

    /// How far a further reframe may push the picture to one side before it is
    /// enlarged beyond a limit, in pixels of the delivered picture:
    /// `W/2 × (limit / enlargement − 1)`; nothing when it is beyond already.
    pub fn spare(self, limit: Share) -> Pixels {
        let room = limit.0 / self.enlargement().0.max(1e-6) - 1.0;
        Pixels(f64::from(self.picture.width) / 2.0 * room.max(0.0))
    }

    /// The strongest reframe in all that stays within a limit; below 1 there is none.
    pub fn most_reframe(self, limit: Share) -> Share {
        Share(self.reframe.0 * limit.0 / self.enlargement().0.max(1e-6))
    }
}

/// The shake that steadying can take back before an edge shows: the margin of one
/// side as an angle at the middle of the picture, `(1 − kept) W / 2f`, with the
/// focal length in pixels of the captured picture.
pub fn steadied(kept: Share, captured_width: u32, focal: Pixels) -> Angle {
    let margin = (1.0 - kept.0.clamp(0.0, 1.0)) * f64::from(captured_width) / 2.0;
    Angle(if focal.0 > 0.0 { (margin / focal.0).to_degrees() } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    const HD: FrameSize = FrameSize { width: 1920, height: 1080 };

    fn crop(width: u32, height: u32, kept: f64, reframe: f64) -> Crop {
        let captured = FrameSize { width, height };
        Crop { captured, kept: Share(kept), reframe: Share(reframe), picture: HD }
    }

    /// Counting pixels: 3,840 for 1,920 is a half; a tenth lost to steadying (what one
    /// user of an action camera measured) makes 2,560 × 1,440 into 2,304 × 1,296.
    #[test]
    fn pixels_are_counted_by_the_scarcer_side() {
        assert!((crop(3840, 2160, 1.0, 1.0).enlargement().0 - 0.5).abs() < 1e-12);
        assert!((crop(2560, 1440, 0.9, 1.0).enlargement().0 - 1920.0 / 2304.0).abs() < 1e-12);
        assert!((crop(3840, 1080, 1.0, 1.0).enlargement().0 - 1.0).abs() < 1e-12);
        assert!((crop(1920, 1080, 1.0, 1.5).enlargement().0 - 1.5).abs() < 1e-12);
    }

    /// Pushed by what is to spare, the picture is cut to exactly what the limit allows.
    #[test]
    fn what_is_spare_uses_the_limit_up() {
        let limit = Share(1.1);
        let crop = crop(2560, 1440, 0.9, 1.1);
        let pushed = 1.0 + 2.0 * crop.spare(limit).0 / 1920.0;
        assert!((crop.enlargement().0 * pushed - limit.0).abs() < 1e-12);
        let most = Crop { reframe: crop.most_reframe(limit), ..crop };
        assert!((most.enlargement().0 - limit.0).abs() < 1e-12);
        assert_eq!(Crop { reframe: Share(3.0), ..crop }.spare(limit), Pixels(0.0));
    }

    /// Own arithmetic: 3,840 px over 120° are 32 px a degree, so the 192 px that a
    /// kept 90 % leaves on each side are 6°.
    #[test]
    fn a_margin_is_an_angle() {
        let focal = crate::craft::optics::focal(3840, Angle(120.0), crate::quantity::Projection::Equidistant);
        assert!((steadied(Share(0.9), 3840, focal).0 - 6.0).abs() < 1e-9);
        assert_eq!(steadied(Share(1.0), 3840, focal).0, 0.0);
        assert_eq!(steadied(Share(0.9), 3840, Pixels(0.0)).0, 0.0);
    }
}
