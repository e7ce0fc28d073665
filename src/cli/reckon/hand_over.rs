//! `hand-over`: how far may I be out where one camera hands over to another.

use super::Trouble;
use super::answer::Answer;
use super::lens::{Lens, Seen};
use super::read;
use seamster::craft::join::{
    Depth, LOOSEST, nearest_allowed, offset_allowed, parallax, residual, room, turn_allowed, turn_error,
    whip_turn,
};
use seamster::model::Budgets;
use seamster::quantity::{Angle, FrameRate, Length, Pixels, show};

/// How far may I be out at a hand-over?
///
/// Says how near to the same mark two cameras must be put so that the join between
/// them does not jump. With --apart and --turned it says whether that is close
/// enough, and where it would be.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    lens: Lens,
    /// Nearest thing in view at the hand-over, such as 0.9m
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    near: Length,
    /// Farthest thing in view; the horizon unless said
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    far: Option<Length>,
    /// Width of the delivered picture
    #[arg(long, value_parser = read::width, value_name = "PIXELS", default_value = "1920px")]
    width: Pixels,
    /// What the join hides; a hundredth of the width unless said
    #[arg(long, value_parser = read::any_pixels, value_name = "PIXELS")]
    allow: Option<Pixels>,
    /// What a reframe can push back sideways
    #[arg(long, value_parser = read::any_pixels, value_name = "PIXELS", default_value = "0px")]
    spare: Pixels,
    /// How far the two lenses are apart, both sides together
    #[arg(long, value_parser = read::offset, value_name = "LENGTH")]
    apart: Option<Length>,
    /// How far the two views are turned apart, both sides together
    #[arg(long, value_parser = read::off, value_name = "ANGLE")]
    turned: Option<Angle>,
    /// Frame rate of the delivered picture, to say which turn would hide the join
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: Option<FrameRate>,
}

/// The question in quantities.
struct Asked {
    seen: Seen,
    focal: Pixels,
    depth: Depth,
    allowed: Pixels,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let seen = args.lens.needed()?;
    if let Some(far) = args.far.filter(|far| *far <= args.near) {
        return Err(Trouble::new(format!(
            "the farthest thing, at {far}, is not beyond the nearest, at {}",
            args.near
        ))
        .help("leave --far out for the horizon"));
    }
    let asked = Asked {
        seen,
        focal: seen.focal(args.width),
        depth: Depth { near: args.near, far: args.far },
        allowed: args.allow.unwrap_or(args.width * Budgets::default().join_width.0),
    };
    let answer = if args.apart.is_some() || args.turned.is_some() {
        judged(args, &asked)
    } else {
        tolerance(args, &asked)
    };
    Ok(explained(answer, args, &asked))
}

/// How near both must come, half of what is hidden for each kind of error.
fn tolerance(args: &Args, asked: &Asked) -> Answer {
    let half = asked.allowed * 0.5;
    let turn = turn_allowed(asked.focal, half + args.spare);
    let Some(apart) = offset_allowed(asked.focal, asked.depth, half) else {
        return Answer::new("Nothing slips: near and far are the same.");
    };
    let (offset, off) = ((apart * 0.5).min(LOOSEST.offset), (turn * 0.5).min(LOOSEST.turn));
    let mut answer =
        Answer::new(format!("Each side within {} and {} of the mark.", show::tape(offset), show::level(off)));
    if offset < apart * 0.5 || off < turn * 0.5 {
        answer = answer.says(format!(
            "By the pixels alone it could be {} and {}; framing and perspective change sooner.",
            show::tape(apart * 0.5),
            show::level(turn * 0.5)
        ));
        answer = answer.source(format!(
            "never looser than {} and {} a side, whatever the pixels say: common practice, no source",
            LOOSEST.offset, LOOSEST.turn
        ));
    }
    answer
        .value("apart", apart.0, "m")
        .value("turned", turn.0, "deg")
        .or_any(
            offset_allowed(asked.focal, asked.depth, asked.allowed)
                .map(|all| format!("{} between the two where nothing is turned", show::tape(all))),
        )
        .or_any(farther(args, asked))
        .or_any(hidden(args, asked))
}

/// What twice the distance to the nearest thing would allow.
fn farther(args: &Args, asked: &Asked) -> Option<String> {
    let near = args.near * 2.0;
    let beyond = args.far.is_none_or(|far| near < far);
    let depth = Depth { near, ..asked.depth };
    let apart = offset_allowed(asked.focal, depth, asked.allowed * 0.5).filter(|_| beyond)?;
    Some(format!("{} between the two where nothing is nearer than {near}", show::tape(apart)))
}

/// Whether placings as given are hidden, and what would hide them.
fn judged(args: &Args, asked: &Asked) -> Answer {
    let (apart, turned) = (args.apart.unwrap_or_default(), args.turned.unwrap_or_default());
    let slip = parallax(asked.focal, apart, asked.depth);
    let shift = turn_error(asked.focal, turned);
    let left = residual(slip, shift, args.spare);
    let fits = left.0 <= asked.allowed.0 * 1.000_001;
    let mut answer = Answer::new(format!(
        "{apart} apart and {turned} turned show as {}: {}, {} is hidden.",
        show::px(left),
        if fits { "close enough" } else { "too far out" },
        show::px(asked.allowed)
    ))
    .value("left", left.0, "px")
    .value("slip", slip.0, "px")
    .value("shift", shift.0, "px");
    if fits {
        return answer;
    }
    let room = room(slip, shift, args.spare, asked.allowed);
    let shrunk = |value: f64, by: f64| value * by.min(1.0);
    answer = answer.or(format!(
        "come within {} and {}, both sides together",
        show::tape(Length(shrunk(apart.0, room.offset))),
        show::level(Angle(shrunk(turned.0, room.turn)))
    ));
    let over = (shift - args.spare).max(Pixels(0.0));
    let near = nearest_allowed(asked.focal, apart, args.far, asked.allowed - over)
        .filter(|near| over < asked.allowed && *near > args.near);
    if let Some(near) = near {
        let near = Length((near.0 * 10.0).ceil() / 10.0);
        answer =
            answer.or(format!("hand over where nothing is nearer than {near}")).value("nearest", near.0, "m");
    }
    if over.0 > 0.0 {
        answer = answer.or(format!("keep picture to spare for a reframe of {}", show::px(shift)));
    }
    answer.or_any(hidden(args, asked)).or("let something fill the frame and join by wipe")
}

/// The turn that would hide any of it.
fn hidden(args: &Args, asked: &Asked) -> Option<String> {
    let turn = whip_turn(args.width, asked.focal, args.rate?.per_second());
    Some(format!("turn at {}°/s or more, the same way on both sides, and join by whip", turn.0.ceil()))
}

fn explained(answer: Answer, args: &Args, asked: &Asked) -> Answer {
    let mut answer = answer
        .formula("slip of near against far = f × apart × (1/near − 1/far), f in pixels a radian")
        .formula("shift of the whole = f × turned, less what a reframe pushes back")
        .input("lens", asked.seen.words(args.width))
        .input("near", args.near)
        .input("far", args.far.map_or("the horizon".to_owned(), |far| far.to_string()))
        .input("hidden", show::px(asked.allowed))
        .input("spare", show::px(args.spare))
        .input_if("apart", args.apart)
        .input_if("turned", args.turned)
        .input_if("rate", args.rate)
        .source("disparity of stereo vision, d = f B / Z, between the nearest and the farthest thing");
    if args.allow.is_none() {
        answer = answer.source("a hundredth of the width is hidden: common practice, no source");
    }
    if args.apart.is_none() && args.turned.is_none() {
        answer = answer.source("half of it left to each kind of error: common practice, no source");
    }
    if args.rate.is_some() {
        answer =
            answer.source("two percent of the width in a frame hides a whip: common practice, no source");
    }
    answer
}
