//! What stands on a board at once, and what the board hands down under it. A board may lift off, so what several vessels
//! do together is not the sum of what each does alone: each filling is solved whole, with the board's own weight.

use super::path::{held_up, told};
use super::plan::{Foot, PlatformPlan, Rectangle, board_piece};
use super::{Check, Load, Loads, Member, Members, Strip};
use crate::layout::{Id, Lie, ServiceClass};

/// More vessels than this on one platform are a slip of the keyboard.
const MOST_ON_ONE: usize = 20;
/// A band of board no broader than this is not looked at by itself, m: no tape tells it.
const SEAM_M: f64 = 1e-3;
/// One vessel alone works a timber harder only if it does so by more than this share: less comes from rounding.
const TRACE: f64 = 1e-9;

/// Which vessels of a platform are full at once: all of them, or one of several while the others are empty.
pub(super) struct Filling<'p> {
    alone: Option<Id>,
    feet: Vec<&'p Foot>,
}

/// What the timbers of a kind get from above under one filling.
pub(super) struct Handed {
    pub(super) alone: Option<Id>,
    pub(super) timbers: Vec<Loaded>,
}

/// What one timber gets from above: its number, its centre line, its loads.
#[derive(Clone)]
pub(super) struct Loaded {
    pub(super) number: usize,
    pub(super) at_m: f64,
    pub(super) loads: Loads,
}

/// The fillings of a platform: all full first; then, where there are several vessels, each alone.
fn fillings<'p>(on: &'p PlatformPlan<'_>) -> Result<Vec<Filling<'p>>, String> {
    let feet = told(&on.feet)?;
    if feet.len() > MOST_ON_ONE {
        return Err(format!("look at the vessels again: more than {MOST_ON_ONE} stand on one platform"));
    }
    let mut fillings = vec![Filling { alone: None, feet: feet.iter().collect() }];
    if feet.len() > 1 {
        let each = on.vessels.iter().zip(feet);
        fillings.extend(each.map(|(vessel, foot)| Filling { alone: Some(vessel.id().clone()), feet: vec![foot] }));
    }
    Ok(fillings)
}

/// A band of the board along what carries it, with the same vessels on it from end to end.
struct Band<'p> {
    from_m: f64,
    to_m: f64,
    feet: Vec<&'p Foot>,
    /// What the board itself weighs there, across what carries it; nothing beyond its edge.
    own: Option<Load>,
}

impl<'p> Filling<'p> {
    /// The board, and vessels that reach beyond it, cut where a vessel begins or ends.
    fn bands(&self, board: &Rectangle, own_n_m2: f64, rests: Lie) -> Vec<Band<'p>> {
        let (board_m, across_m) = (board.along(rests), board.across(rests));
        let ends = self.feet.iter().map(|foot| foot.base.along(rests)).chain([board_m]);
        let mut cuts: Vec<f64> = ends.flat_map(|(from_m, to_m)| [from_m, to_m]).collect();
        cuts.sort_by(f64::total_cmp);
        let bands = cuts.windows(2).filter(|ends| ends[1] > ends[0]).map(|ends| {
            let covers = |(from_m, to_m): (f64, f64)| from_m <= ends[0] && ends[1] <= to_m;
            let (from_m, to_m) = across_m;
            Band {
                from_m: ends[0],
                to_m: ends[1],
                feet: self.feet.iter().copied().filter(|foot| covers(foot.base.along(rests))).collect(),
                own: covers(board_m).then_some(Load::Spread { from_m, to_m, force_n_per_m: own_n_m2 }),
            }
        });
        bands.collect()
    }
}

impl Band<'_> {
    /// What is on a strip of it one metre wide.
    fn loads(&self, rests: Lie) -> Loads {
        let pressed = self.feet.iter().map(|foot| {
            let (from_m, to_m) = foot.base.across(rests);
            Load::Spread { from_m, to_m, force_n_per_m: foot.force_n / foot.base.area_m2() }
        });
        Loads { dead: self.own.into_iter().collect(), water: pressed.collect(), storage: Vec::new() }
    }
}

/// The board one metre wide, over what it rests on, in each band on which a vessel stands.
pub(super) fn board_strips(on: &PlatformPlan<'_>, service: Result<ServiceClass, String>) -> Members {
    let (outline, rests) = (on.outline.clone()?, told(&on.rests)?);
    let fillings = fillings(on)?;
    let piece = board_piece(on.platform, service?)?;
    let own_n_m2 = on.board_n_m2.clone()?;
    let places = rests.places_m();
    let mut strips = Vec::new();
    for filling in &fillings {
        let is_strip = |band: &Band<'_>| !band.feet.is_empty() && band.to_m - band.from_m > SEAM_M;
        for band in filling.bands(&outline, own_n_m2, rests.lie).into_iter().filter(is_strip) {
            let check = Check::of(piece, &places, &band.loads(rests.lie)).map_err(|fault| held_up(fault, "board"))?;
            strips.push(Member {
                at_m: f64::midpoint(band.from_m, band.to_m),
                // The strip runs across the timbers that carry it.
                lie: rests.lie.crossing(),
                alone: filling.alone.clone(),
                from_above_n: band.feet.iter().map(|foot| foot.force_n).sum(),
                check,
            });
        }
    }
    Ok(strips)
}

/// What the board puts on each timber that it rests on, as line loads along it.
pub(super) fn spread(on: &PlatformPlan<'_>, own_n_m2: f64) -> Result<Vec<Handed>, String> {
    let (outline, fillings, rests) = (on.outline.clone()?, fillings(on)?, told(&on.rests)?);
    let places = rests.places_m();
    let mut handed = Vec::new();
    for filling in fillings {
        let mut timbers = unloaded(&rests.centres_m);
        for band in filling.bands(&outline, own_n_m2, rests.lie) {
            let forces = shared_out(&places, &band.loads(rests.lie)).map_err(|fault| held_up(fault, "board"))?;
            for (timber, (dead, water)) in timbers.iter_mut().zip(forces) {
                go_on(&mut timber.loads.dead, (band.from_m, band.to_m), dead);
                go_on(&mut timber.loads.water, (band.from_m, band.to_m), water);
            }
        }
        handed.push(Handed { alone: filling.alone, timbers });
    }
    Ok(handed)
}

/// Lets a line load go on over one more stretch, as the same load where it changes nothing.
fn go_on(line: &mut Vec<Load>, (from_m, to_m): (f64, f64), force_n_per_m: f64) {
    match line.last_mut() {
        Some(Load::Spread { to_m: end_m, force_n_per_m: so_far, .. })
            if *end_m == from_m && *so_far == force_n_per_m =>
        {
            *end_m = to_m;
        }
        _ if force_n_per_m > 0.0 => line.push(Load::Spread { from_m, to_m, force_n_per_m }),
        _ => {}
    }
}

/// Timbers that nothing has come on yet.
pub(super) fn unloaded(centres_m: &[(usize, f64)]) -> Vec<Loaded> {
    let bare = |(number, at_m): &(usize, f64)| Loaded { number: *number, at_m: *at_m, loads: Loads::default() };
    centres_m.iter().map(bare).collect()
}

/// What comes on each support: of what never goes away, and of vessels. Both lie on the strip at once and are solved at
/// once; of the sum so much is dead load as there would be without vessels, as far as the strip does not lift off.
pub(super) fn shared_out(places_m: &[f64], loads: &Loads) -> Result<Vec<(f64, f64)>, super::Unsupported> {
    let all = Strip::over(places_m, &loads.factored(1.0, 1.0, 1.0))?;
    if loads.water.is_empty() {
        return Ok(all.reactions_n.iter().map(|force| (*force, 0.0)).collect());
    }
    let empty = Strip::over(places_m, &loads.dead)?;
    let parted =
        all.reactions_n.iter().zip(&empty.reactions_n).map(|(all, dead)| (dead.min(*all), (all - dead).max(0.0)));
    Ok(parted.collect())
}

/// Leaves of what one vessel alone does only what is worse, for a kind of timber, than anything that all of them do.
pub(super) fn keep_the_worse(members: &mut Vec<Member>) {
    let is_full = |member: &&Member| member.alone.is_none();
    let together: Vec<[f64; 5]> = members.iter().filter(is_full).map(Member::taken).collect();
    let most = |number: usize| together.iter().map(|taken| taken[number]).fold(0.0, f64::max);
    let most: [f64; 5] = std::array::from_fn(most);
    let is_worse = |member: &Member| member.taken().iter().zip(most).any(|(own, most)| *own > most * (1.0 + TRACE));
    members.retain(|member| member.alone.is_none() || is_worse(member));
}
