//! `battery`: how long the charge lasts.

use super::Trouble;
use super::answer::Answer;
use super::read;
use seamster::craft::power::{RESERVE, Stretch, Supply, charge_along};
use seamster::quantity::{Seconds, Share};

/// How long does the battery last?
///
/// Takes of one length with a pause between them, until a tenth of all charge is
/// left; packs charge in the pauses where there is a charger.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Recording time of a full pack, such as 30min
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    battery: Seconds,
    /// Packs in all, full at the start
    #[arg(long, value_parser = read::count, value_name = "COUNT", default_value = "1")]
    packs: u32,
    /// Length of a take, such as 40s
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    take: Seconds,
    /// Pause between takes
    #[arg(long, value_parser = read::time, value_name = "TIME", default_value = "2min")]
    between: Seconds,
    /// Takes that are planned
    #[arg(long, value_parser = read::count, value_name = "COUNT")]
    takes: Option<u32>,
    /// Time for a full charge, where packs charge on location
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    recharge: Option<Seconds>,
    /// Packs that charge at once
    #[arg(long, value_parser = read::count, value_name = "COUNT", default_value = "1", requires = "recharge")]
    chargers: u32,
}

/// The most takes that are tried out.
const MOST: u32 = 1000;

/// Takes and what they leave.
struct Run {
    /// Takes before the reserve is touched; `None` when it never is.
    takes: Option<u32>,
    left: Seconds,
}

fn run(args: &Args, packs: u32, takes: u32) -> Run {
    let pair = [Stretch::Use(args.take), Stretch::Gap(args.between)];
    let day: Vec<Stretch> = (0..takes).flat_map(|_| pair).collect();
    let supply = Supply { packs, lasts: args.battery, recharge: args.recharge, chargers: args.chargers };
    let charge = charge_along(&day, supply);
    let reserve = charge.holds.0 * RESERVE;
    let after = || charge.left.iter().step_by(2);
    let whole = after().take_while(|left| left.0 + 1e-6 >= reserve).count() as u32;
    Run {
        takes: (whole < takes).then_some(whole),
        left: after().next_back().copied().unwrap_or(charge.holds),
    }
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let usable = args.battery * (1.0 - RESERVE);
    if args.take.0 > usable.0 * 1.000_001 {
        return Err(Trouble::new(format!(
            "a take of {} does not fit into a pack of {}, of which {usable} may be used",
            args.take, args.battery
        ))
        .help(format!("keep a take below {usable}, use a larger pack, or power the camera from outside")));
    }
    let all = run(args, args.packs, MOST);
    let round = args.take + args.between;
    let mut answer = match all.takes {
        Some(takes) => Answer::new(format!(
            "{takes} takes of {}: {} of recording, {} with the pauses.",
            args.take,
            args.take * f64::from(takes),
            round * f64::from(takes)
        ))
        .value("takes", f64::from(takes), ""),
        None => Answer::new(format!(
            "More than {MOST} takes: the pauses win back as much as the takes use, or nearly."
        )),
    };
    if let Some(planned) = args.takes {
        answer = planned_takes(answer, args, planned);
    }
    Ok(answer
        .formula("charge left = packs × time of a pack − takes + charged in the pauses, a tenth kept back")
        .input("pack", args.battery)
        .input("packs", args.packs)
        .input("take", args.take)
        .input("pause", args.between)
        .input_if("takes", args.takes)
        .input_if("recharge", args.recharge)
        .input_if("chargers", args.recharge.map(|_| args.chargers))
        .source(format!(
            "{} kept back, charging even over its time: common practice, no source; cold takes more",
            Share(RESERVE)
        ))
        .caution("battery"))
}

/// Whether the planned takes fit, and what would make them.
fn planned_takes(answer: Answer, args: &Args, planned: u32) -> Answer {
    let run_of = |packs| run(args, packs, planned);
    let given = run_of(args.packs);
    if given.takes.is_none() {
        return answer.says(format!("{planned} takes fit; {} are left behind the last.", given.left));
    }
    let answer = answer.says(format!("{planned} takes do not fit."));
    let more =
        (args.packs + 1..=args.packs.saturating_add(1000)).find(|&packs| run_of(packs).takes.is_none());
    let shorter = args.battery * (f64::from(args.packs) * (1.0 - RESERVE) / f64::from(planned));
    answer.or_any(more.map(|packs| format!("bring {packs} packs"))).or(format!("takes of {shorter} at most"))
}
