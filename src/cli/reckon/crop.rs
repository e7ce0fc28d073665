//! `crop`: how much picture is left to steady, reframe and push.

use super::Trouble;
use super::answer::Answer;
use super::lens::Lens;
use super::read;
use seamster::craft::crop::{Crop, steadied};
use seamster::craft::join::turn_allowed;
use seamster::model::Budgets;
use seamster::quantity::{FrameSize, Pixels, Share, show};

/// How much picture is left to steady, reframe and push?
///
/// With the lens, margins are said in degrees too: what shake steadying takes back,
/// how far a hand-over may be turned.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    lens: Lens,
    /// Captured picture, such as 2560x1440
    #[arg(long, value_parser = read::size, value_name = "SIZE")]
    frame: FrameSize,
    /// Delivered picture
    #[arg(long, value_parser = read::size, value_name = "SIZE", default_value = "1920x1080")]
    picture: FrameSize,
    /// Share of the width that steadying keeps; 100% without steadying
    #[arg(long, value_parser = read::kept, value_name = "SHARE", default_value = "90%")]
    kept: Share,
    /// Reframe at the desk; 100% is none
    #[arg(long, value_parser = read::reframe, value_name = "SHARE", default_value = "100%")]
    reframe: Share,
    /// The most that the picture may be enlarged; 110% unless said
    #[arg(long, value_parser = read::reframe, value_name = "SHARE")]
    enlarge: Option<Share>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let seen = args.lens.seen()?;
    let limit = args.enlarge.unwrap_or(Budgets::default().enlarge);
    let crop = Crop { captured: args.frame, kept: args.kept, reframe: args.reframe, picture: args.picture };
    let (enlarged, most, spare) = (crop.enlargement(), crop.most_reframe(limit), crop.spare(limit));
    let mut answer = if enlarged.0 <= limit.0 + 1e-9 {
        Answer::new(format!("Enough: the picture is at {enlarged} of its pixels, and {limit} is the most."))
            .says(format!("A further push of {} to each side is left.", show::px(spare)))
    } else {
        Answer::new(format!("Too little: the picture is enlarged to {enlarged}, and {limit} is the most."))
    };
    if most.0 >= 1.0 {
        answer = answer.or(format!("reframe to {} at most", Share((most.0 * 100.0 + 1e-9).floor() / 100.0)));
    }
    let needed = |pixels: u32| (f64::from(pixels) * args.reframe.0 / (limit.0 * args.kept.0)).ceil();
    answer = answer
        .or(format!("capture at least {}x{}", needed(args.picture.width), needed(args.picture.height)))
        .value("enlargement", enlarged.0, "")
        .value("spare", spare.0, "px")
        .value("most_reframe", most.0, "");
    if let Some(seen) = seen {
        let shake = steadied(args.kept, args.frame.width, seen.focal(Pixels(f64::from(args.frame.width))));
        // A reframe enlarges, so a degree takes more pixels of the picture.
        let turn = turn_allowed(seen.focal(Pixels(f64::from(args.picture.width))) * args.reframe.0, spare);
        answer = answer
            .says(format!(
                "Steadying takes back a shake of {shake} to each side; the push is worth a turn of {turn}."
            ))
            .input("lens", seen.name())
            .value("steadied", shake.0, "deg")
            .value("turn", turn.0, "deg");
    }
    let size = |size: FrameSize| format!("{}x{}", size.width, size.height);
    answer = answer
        .formula("enlargement = picture / (captured × kept) × reframe, by the scarcer side")
        .formula("push = W/2 × (limit / enlargement − 1); shake = (1 − kept) × W / 2f")
        .input("captured", size(args.frame))
        .input("delivered", size(args.picture))
        .input("kept", args.kept)
        .input("reframe", args.reframe)
        .input("limit", limit)
        .source("counting pixels");
    Ok(match args.enlarge {
        None => answer.source("110 % as the most: common practice, no source"),
        Some(_) => answer,
    })
}
