//! `turn`: how slowly must I turn, or which shutter.

use super::Trouble;
use super::answer::Answer;
use super::lens::{Lens, Seen, exposure};
use super::read::{self, Shutter};
use seamster::craft::blur::{Movement, REFERENCE_WIDTH, fastest_turn_for_skew, skew, smooth_pan};
use seamster::craft::shutter::usual;
use seamster::model::Budgets;
use seamster::quantity::{FrameRate, Length, Pixels, Seconds, Speed, TurnRate, show};

/// How slowly must I turn, or which shutter do I need?
///
/// Give the turn and get the shutter, give the shutter and get the turn, or give
/// both and hear whether the blur is small enough to track or to mask.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("known").args(["turn", "shutter"]).multiple(true).required(true)))]
pub(super) struct Args {
    #[command(flatten)]
    lens: Lens,
    /// How fast the camera turns on purpose, such as 40deg/s
    #[arg(long, value_parser = read::turn_rate, value_name = "RATE")]
    turn: Option<TurnRate>,
    /// Exposure: 1/240, or 180deg with --rate
    #[arg(long, value_parser = read::shutter, value_name = "EXPOSURE")]
    shutter: Option<Shutter>,
    /// Frame rate of capture, such as 50fps
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: Option<FrameRate>,
    /// Turn that the rig adds, such as 4deg/s
    #[arg(long, value_parser = read::turn_rate, value_name = "RATE", default_value = "0deg/s")]
    sway: TurnRate,
    /// How fast the camera travels; needs --near
    #[arg(long, value_parser = read::start_speed, value_name = "SPEED", requires = "near")]
    moves: Option<Speed>,
    /// Nearest thing in view, such as 2m
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    near: Option<Length>,
    /// The picture is masked, not tracked: three times the blur is allowed
    #[arg(long, conflicts_with = "budget")]
    masked: bool,
    /// Blur that is allowed, at 1,920 wide; 4px for tracking unless said
    #[arg(long, value_parser = read::pixels, value_name = "PIXELS")]
    budget: Option<Pixels>,
    /// Rolling shutter, top line to bottom line, such as 16ms
    #[arg(long, value_parser = read::readout, value_name = "TIME")]
    readout: Option<Seconds>,
}

const WIDTH: Pixels = Pixels(REFERENCE_WIDTH as f64);

/// What is asked, in quantities.
struct Asked {
    seen: Seen,
    focal: Pixels,
    movement: Movement,
    budget: Pixels,
    /// How long a frame lasts, where the rate was given.
    frame: Option<Seconds>,
}

impl Asked {
    /// The slowest shutter for a turn, no slower than a frame where its rate is
    /// known; `None` where any would do.
    fn limit_for(&self, turn: TurnRate) -> Option<Seconds> {
        let slowest = Movement { turn, ..self.movement }.slowest_shutter(self.budget, self.focal)?;
        Some(self.frame.map_or(slowest, |frame| slowest.min(frame)))
    }

    /// The slowest usual shutter for a turn.
    fn shutter_for(&self, turn: TurnRate) -> Option<Seconds> {
        self.limit_for(turn).and_then(usual)
    }

    /// The fastest turn for a shutter, rounded down to what can be held.
    fn turn_for(&self, exposure: Seconds) -> Option<TurnRate> {
        let fastest = self.movement.fastest_turn(self.budget, exposure, self.focal)?;
        Some(held(fastest)).filter(|turn| turn.0 > 0.0)
    }
}

/// A rate rounded down to what a hand can hold: whole degrees, tenths below two.
fn held(turn: TurnRate) -> TurnRate {
    TurnRate(if turn.0 >= 2.0 { (turn.0 + 1e-9).floor() } else { (turn.0 * 10.0 + 1e-9).floor() / 10.0 })
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let seen = args.lens.needed()?;
    let budgets = Budgets::default();
    let usual = if args.masked { budgets.masked_blur } else { budgets.tracked_blur };
    let asked = Asked {
        seen,
        focal: seen.focal(WIDTH),
        movement: Movement {
            turn: args.turn.unwrap_or_default(),
            sway: args.sway,
            travel: args.moves.unwrap_or_default(),
            near: args.near,
        },
        budget: args.budget.unwrap_or(usual),
        frame: args.rate.map(|rate| Seconds(1.0 / rate.per_second())),
    };
    let exposure = args.shutter.map(|shutter| exposure(shutter, args.rate)).transpose()?;
    let mut answer = match (args.turn, exposure) {
        (Some(turn), Some(exposure)) => both(&asked, turn, exposure),
        (None, Some(exposure)) => only_shutter(&asked, exposure),
        (turn, None) => only_turn(&asked, turn.unwrap_or_default()),
    };
    if let Some(readout) = args.readout {
        answer = lean(answer, &asked, readout);
    }
    if let Some(rate) = args.rate {
        let pan = held(smooth_pan(seen.view, rate));
        answer = answer
            .says(format!("A pan that is to look smooth at {rate} and a shutter of 180°: at most {pan}."))
            .value("smooth_pan", pan.0, "deg/s");
    }
    Ok(explained(answer, args, &asked, exposure))
}

fn both(asked: &Asked, turn: TurnRate, exposure: Seconds) -> Answer {
    let blur = asked.movement.blur(exposure, asked.focal);
    let fits = blur.0 <= asked.budget.0 * 1.000_001;
    let verdict = if fits { "small enough" } else { "too much" };
    let mut answer = Answer::new(format!(
        "Turning at {turn} with {} blurs by {}: {verdict}, {} is allowed.",
        show::exposure(exposure),
        show::px(blur),
        show::px(asked.budget)
    ))
    .value("blur", blur.0, "px");
    if let Some(most) = asked.turn_for(exposure) {
        answer = answer.or(format!("turn at most {most} with {}", show::exposure(exposure))).value(
            "fastest_turn",
            most.0,
            "deg/s",
        );
    } else if !fits {
        answer = answer.says(format!(
            "No turn is slow enough at {}: sway and travel alone are too much.",
            show::exposure(exposure)
        ));
    }
    let answer = with_shutter(answer, asked, turn);
    if fits { answer } else { answer.or_any(travel_ways(asked, exposure)) }
}

/// What else than turn and shutter could give way, where it travels.
fn travel_ways(asked: &Asked, exposure: Seconds) -> Vec<String> {
    if asked.movement.travel.0 <= 0.0 {
        return Vec::new();
    }
    let slower = asked.movement.fastest_travel(asked.budget, exposure, asked.focal);
    let away = asked.movement.nearest(asked.budget, exposure, asked.focal);
    let slower =
        slower.map(|speed| Speed((speed.0 * 10.0 + 1e-9).floor() / 10.0)).filter(|speed| speed.0 > 0.0);
    let away = away.map(|near| Length((near.0 * 10.0 - 1e-9).ceil() / 10.0));
    let slower = slower.map(|speed| format!("travel at most {speed}"));
    slower.into_iter().chain(away.map(|near| format!("keep {near} away from what is nearest"))).collect()
}

fn with_shutter(answer: Answer, asked: &Asked, turn: TurnRate) -> Answer {
    match asked.shutter_for(turn) {
        Some(shutter) => answer
            .or(format!("shutter {} or shorter at {turn}", show::exposure(shutter)))
            .value("slowest_shutter", shutter.0, "s"),
        None => answer,
    }
}

fn only_shutter(asked: &Asked, exposure: Seconds) -> Answer {
    let shown = show::exposure(exposure);
    let answer = match asked.turn_for(exposure) {
        Some(most) => {
            Answer::new(format!("Turn at most {most} with {shown}.")).value("fastest_turn", most.0, "deg/s")
        }
        None => Answer::new(format!(
            "No turn is slow enough with {shown}: sway and travel alone blur by {}.",
            show::px(asked.movement.blur(exposure, asked.focal))
        )),
    };
    let shorter = [2.0, 4.0].into_iter().filter_map(|by| {
        let shutter = usual(Seconds(exposure.0 / by))?;
        let turn = asked.turn_for(shutter)?;
        Some(format!("{turn} with {}", show::exposure(shutter)))
    });
    answer.or_any(shorter.collect::<Vec<_>>())
}

fn only_turn(asked: &Asked, turn: TurnRate) -> Answer {
    let Some(slowest) = asked.limit_for(turn) else {
        return Answer::new("Any shutter will do: nothing moves, so nothing blurs.");
    };
    let found = asked.shutter_for(turn);
    let answer = match found {
        Some(shutter) => Answer::new(format!(
            "Shutter {} or shorter at {turn}; {} is the limit.",
            show::exposure(shutter),
            show::exposure(slowest)
        )),
        None => Answer::new(format!(
            "No usual shutter is short enough at {turn}: {} is the limit.",
            show::exposure(slowest)
        )),
    };
    let slower = [0.5, 0.25].into_iter().filter_map(|by| {
        let turn = held(TurnRate(turn.0 * by));
        let shutter = asked.shutter_for(turn).filter(|_| turn.0 > 0.0)?;
        (Some(shutter) != found).then(|| format!("{} or shorter at {turn}", show::exposure(shutter)))
    });
    answer.value("slowest_shutter", slowest.0, "s").or_any(slower.collect::<Vec<_>>())
}

/// What a rolling shutter makes of uprights.
fn lean(answer: Answer, asked: &Asked, readout: Seconds) -> Answer {
    let budget = Budgets::default().skew;
    let turn = asked.movement.turn + asked.movement.sway;
    let lean = skew(turn, readout, asked.focal);
    let answer = if turn.0 > 0.0 {
        answer
            .says(format!(
                "Uprights lean by {} while it turns at {turn}; {} is allowed.",
                show::px(lean),
                show::px(budget)
            ))
            .value("lean", lean.0, "px")
    } else {
        answer
    };
    match fastest_turn_for_skew(budget, readout, asked.focal) {
        Some(most) => answer
            .says(format!(
                "For upright lines turn at most {}, sway counted, whatever the shutter.",
                held(most)
            ))
            .value("fastest_turn_for_uprights", most.0, "deg/s"),
        None => answer,
    }
}

fn explained(answer: Answer, args: &Args, asked: &Asked, exposure: Option<Seconds>) -> Answer {
    let mut answer = answer
        .formula("blur = (turn + sway) × exposure × f + speed × exposure × f / near, f in pixels a radian");
    if args.readout.is_some() {
        answer = answer.formula("lean = (turn + sway) × readout × f");
    }
    if args.rate.is_some() {
        answer =
            answer.formula("smooth pan = one width of the picture in 7 s at 24 fps, sooner at higher rates");
    }
    answer = answer
        .input("lens", asked.seen.words(WIDTH))
        .input_if("turn", args.turn)
        .input_if("shutter", exposure.map(show::exposure))
        .input_if("rate", args.rate)
        .input("sway", args.sway)
        .input_if("moves", args.moves)
        .input_if("near", args.near)
        .input("budget", format!("{} at {} wide", show::px(asked.budget), REFERENCE_WIDTH))
        .input_if("readout", args.readout)
        .source("rotation: plain geometry; travel: aerial survey, blur on the ground is speed × exposure");
    if args.budget.is_none() {
        answer = answer
            .source("budgets of 4 px to track, 12 px to mask and 6 px of lean: common practice, no source");
    }
    if args.rate.is_some() {
        answer =
            answer.source("smooth pan: a cinema camera maker's rule, 7 s a picture width at 24 fps and 180°");
    }
    answer
}
