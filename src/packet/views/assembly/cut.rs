//! Where the cuts lie, in whole frames.
//!
//! In: how long each piece of the picture is and how far neighbours overlap.
//! Out: lengths on the track, and each overlap parted into what lies before its
//! cut and what lies behind it. Pieces are then as long as their track says, and
//! their sum is the length of the picture.

/// An overlap of a piece with the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Overlap {
    /// In frames.
    pub(super) frames: u64,
    /// Whether it takes from the length of both, as inside a beat; else it lies in
    /// their handles.
    pub(super) takes: bool,
}

/// An overlap as cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Parted {
    /// Frames before the cut, in which the piece behind it is already seen.
    pub(super) before: u64,
    /// Frames behind the cut, in which the piece before it is still seen.
    pub(super) behind: u64,
}

/// A piece of the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    /// On the track, in frames.
    pub(super) frames: u64,
    /// The overlap with the piece before; its whole is less than was asked where
    /// a piece is too short for it.
    pub(super) overlap: Option<Parted>,
}

/// Cuts pieces of these lengths with these overlaps, each with the piece before.
///
/// Every piece keeps a frame that it does not share, so two overlaps never meet.
pub(super) fn cut(pieces: &[(u64, Option<Overlap>)]) -> Vec<Piece> {
    let mut track: Vec<Piece> = Vec::new();
    for &(frames, overlap) in pieces {
        let mut piece = Piece { frames: frames.max(1), overlap: None };
        if let (Some(overlap), Some(last)) = (overlap, track.last_mut()) {
            let behind = overlap.frames / 2;
            let before = overlap.frames - behind;
            if overlap.takes {
                last.frames -= behind.min(last.frames - 1);
                piece.frames -= before.min(piece.frames - 1);
            }
            let shared = last.overlap.map_or(0, |earlier| earlier.behind);
            // Where the earlier overlap has grown past what is left, it gives way.
            if let Some(earlier) = &mut last.overlap {
                earlier.behind = shared.min(last.frames - 1);
            }
            let shared = last.overlap.map_or(0, |earlier| earlier.behind);
            let room = last.frames - 1 - shared;
            piece.overlap = Some(Parted { before: before.min(room), behind: behind.min(piece.frames - 1) });
        }
        track.push(piece);
    }
    track
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inside(frames: u64) -> Option<Overlap> {
        Some(Overlap { frames, takes: true })
    }

    fn across(frames: u64) -> Option<Overlap> {
        Some(Overlap { frames, takes: false })
    }

    fn shape(track: &[Piece]) -> Vec<(u64, u64, u64)> {
        let parts = |piece: &Piece| piece.overlap.map_or((0, 0), |parted| (parted.before, parted.behind));
        track.iter().map(|piece| (piece.frames, parts(piece).0, parts(piece).1)).collect()
    }

    /// Own arithmetic: 50, 75 and 89 frames with overlaps of 6 and 8 are 200 frames,
    /// the 8 s at 25 fps that the beat runs.
    #[test]
    fn an_overlap_inside_a_beat_takes_from_both() {
        let track = cut(&[(50, None), (75, inside(6)), (89, inside(8))]);
        assert_eq!(shape(&track), [(47, 0, 0), (68, 3, 3), (85, 4, 4)]);
        assert_eq!(track.iter().map(|piece| piece.frames).sum::<u64>(), 200);
    }

    /// The language: a join across two beats overlaps handles and takes nothing.
    #[test]
    fn an_overlap_across_beats_takes_nothing() {
        assert_eq!(shape(&cut(&[(100, None), (50, across(7))])), [(100, 0, 0), (50, 4, 3)]);
    }

    #[test]
    fn overlaps_never_meet_in_a_short_piece() {
        for middle in 1..12 {
            for takes in [true, false] {
                let overlap = |frames| Some(Overlap { frames, takes });
                let track = cut(&[(30, None), (middle, overlap(8)), (30, overlap(9)), (1, overlap(4))]);
                for pair in track.windows(2) {
                    let behind = pair[0].overlap.map_or(0, |parted| parted.behind);
                    let before = pair[1].overlap.map_or(0, |parted| parted.before);
                    assert!(behind + before < pair[0].frames, "{middle} {takes}: {track:?}");
                }
                assert!(track.iter().all(|piece| piece.frames > 0));
            }
        }
    }
}
