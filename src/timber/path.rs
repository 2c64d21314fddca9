//! The way of the weight: full vessels, board, bearers, joists; each checked under what stands on it.

use super::filling::{Handed, Loaded, board_strips, keep_the_worse, shared_out, spread, unloaded};
use super::plan::{
    BearerPlan, FIND_JOISTS, JoistPlan, Lines, MEASURE_SPAN, Plan, PlatformPlan, READ_CLASS, READ_CLASS_OF_BEARERS,
    SEE_KIND, Shift,
};
use super::{
    ALONE, Borne, Check, HELPED, Kind, Load, Loads, OnFloor, Piece, Shares, Trusses, Unsupported, floor, trusses,
};
use crate::layout::{Id, Lie, LoadDuration, StrengthClass, SupportKind, Survey};
use crate::measure::Site;

/// Loads may stand this far beyond the ends of a span before they are said to, m: a hair, for sums of fractions.
const BEYOND_M: f64 = 1e-9;

/// Between these lies whatever class a timber may be found to be.
pub(super) const WEAKEST: StrengthClass = StrengthClass::ALL[0];
pub(super) const STRONGEST: StrengthClass = StrengthClass::ALL[StrengthClass::ALL.len() - 1];

/// What carries the weight, worked out once for a layout.
#[derive(Debug, Clone, Default)]
pub struct LoadPath {
    /// Each platform that carries cisterns, and each of the loft that carries cylinders, in the order of the layout.
    pub platforms: Vec<OnPlatform>,
    /// Each cylinder on a floor that is not of concrete, and each in the loft without a platform.
    pub floors: Vec<OnFloor>,
    /// The same platforms with timbers of which no class is told taken for the strongest, and for the weakest; none where
    /// all classes are told.
    if_graded: Option<[Vec<OnPlatform>; 2]>,
}

/// Members of one kind below a platform, or what to find out first.
pub type Members = Result<Vec<Member>, String>;

/// A platform with what is below it.
#[derive(Debug, Clone)]
pub struct OnPlatform {
    /// The platform.
    pub platform: Id,
    /// The vessels on it, cisterns first.
    pub vessels: Vec<Id>,
    /// What is borne below it; or what to find out first.
    pub borne: Result<Borne, String>,
    /// What to find out of weights that are missing from what board and bearers bear.
    pub rest: Option<String>,
    /// What to find out of weights that are missing from what the joists bear, of other platforms too, or of what has been cut
    /// out of them.
    pub rest_on_joists: Option<String>,
    /// Whether a frame stands between its board and what carries that.
    pub on_frame: bool,
    /// The board as a strip in each band on which vessels stand; `None` for concrete.
    pub board: Option<Members>,
    /// The bearers; `None` where the board lies on the joists.
    pub bearers: Option<Members>,
    /// The joists; `None` over trussed rafters.
    pub joists: Option<Members>,
    /// The trussed rafters, where it stands on such.
    pub trusses: Option<Result<Trusses, String>>,
    /// How cisterns, and cylinders with them, are said to be reckoned; untold, the harsher answer judges.
    pub duration: Option<LoadDuration>,
}

/// A bearer, a joist, or a strip of board below vessels, with all vessels of the platform full or with one alone.
#[derive(Debug, Clone)]
pub struct Member {
    /// Its centre line, m: x where it is seen end-on, distance behind the section where it lies along it.
    pub at_m: f64,
    /// Which way it runs. Places along it are x where it lies along the section, and distances behind it otherwise.
    pub lie: Lie,
    /// The vessel that is full while the others on the platform are empty; `None` where all are full. One alone is told
    /// of only where it works some timber of the kind harder than all together work any.
    pub alone: Option<Id>,
    /// What comes on it from above, N.
    pub from_above_n: f64,
    /// What it bears and what that does to it.
    pub check: Check,
}

impl LoadPath {
    /// Follows the weight down. Never fails: what is not told stands in the place of what hangs on it.
    #[must_use]
    pub fn of(site: &Site<'_>) -> Self {
        let plan = Plan::of(site, None);
        let graded = |class| platforms(site, &Plan::of(site, None).with_ungraded(Some(class)), Some(class));
        let if_graded = plan.has_ungraded().then(|| [STRONGEST, WEAKEST].map(graded));
        Self { platforms: platforms(site, &plan, None), floors: floor::below_cylinders(site), if_graded }
    }

    /// A platform with its timbers taken for the strongest class, and for the weakest, where nothing but their class is
    /// missing to know the members of a kind.
    pub(super) fn if_graded(&self, platform: usize, kind: Kind) -> Option<[&OnPlatform; 2]> {
        let both = self.if_graded.as_ref()?.each_ref().map(|platforms| &platforms[platform]);
        let is_known = |on: &OnPlatform| kind.of(on).is_some_and(Result::is_ok);
        (!is_known(&self.platforms[platform]) && both.into_iter().all(is_known)).then_some(both)
    }

    /// Whether some timber below a platform is reckoned without what shear adds to its bending.
    #[must_use]
    pub fn leaves_shear_out(&self) -> bool {
        let mut members = self.platforms.iter().flat_map(|on| on.known()).flat_map(|(_, members)| members);
        members.any(|member| member.check.leaves_shear_out())
    }
}

impl OnPlatform {
    /// The members of each kind of which enough is known, from the top, with a name for the kind.
    pub fn known(&self) -> impl Iterator<Item = (&'static str, &[Member])> {
        let kinds = [("board", &self.board), ("bearer", &self.bearers), ("joist", &self.joists)];
        kinds.into_iter().filter_map(|(name, members)| Some((name, members.as_ref()?.as_ref().ok()?.as_slice())))
    }

    /// What to find out of weights that are missing from what members of a kind bear, or of what is missing of them.
    #[must_use]
    pub fn rest_on(&self, kind: Kind) -> Option<&String> {
        match kind {
            Kind::Board | Kind::Bearer => self.rest.as_ref(),
            Kind::Joist => self.rest_on_joists.as_ref(),
        }
    }

    /// The shares of its strength that judge a member: as told, or else the harsher of both.
    #[must_use]
    pub fn judged(&self, check: &Check) -> Shares {
        let (permanent, long_term) = (check.permanent, check.long_term);
        match self.duration {
            Some(duration) => check.shares(duration),
            None => {
                let shear = permanent.shear.max(long_term.shear);
                let is_milder = long_term.bending.value < permanent.bending.value;
                Shares { shear, ..if is_milder { permanent } else { long_term } }
            }
        }
    }

    /// The member that takes the greatest share of its strength in bending.
    #[must_use]
    pub fn hardest_worked<'m>(&self, members: &'m [Member]) -> Option<&'m Member> {
        let share = |member: &Member| self.judged(&member.check).bending.value;
        members.iter().max_by(|a, b| share(a).total_cmp(&share(b)))
    }

    fn doubt(&mut self, shifted: &Self) {
        let pairs = [
            (&mut self.board, &shifted.board),
            (&mut self.bearers, &shifted.bearers),
            (&mut self.joists, &shifted.joists),
        ];
        for (own, other) in pairs {
            let (Some(Ok(own)), Some(Ok(other))) = (own, other) else { continue };
            own.iter_mut().zip(other).for_each(|(own, other)| own.check.doubt(&other.check));
        }
    }
}

/// The platforms of a plan, with timbers of which no class is told taken for one, and what is in doubt of each.
fn platforms(site: &Site<'_>, plan: &Plan<'_>, ungraded: Option<StrengthClass>) -> Vec<OnPlatform> {
    let mut platforms = solve(site, plan, &Kind::ALL);
    let is_measured = site.layout().survey != Survey::Designed;
    let is_in_doubt = |shift: &Shift| is_measured || (*shift == Shift::Water && plan.estimates_water());
    // What the answer would be if each thing were out by its uncertainty, one after another (JCGM 100, 5.1.3).
    for shift in Shift::ALL.into_iter().filter(is_in_doubt) {
        let shifted = solve(site, &Plan::of(site, Some(shift)).with_ungraded(ungraded), shift.reaches());
        platforms.iter_mut().zip(&shifted).for_each(|(own, other)| own.doubt(other));
    }
    for on in &mut platforms {
        let kinds = [&mut on.board, &mut on.bearers, &mut on.joists];
        kinds.into_iter().flatten().flatten().for_each(keep_the_worse);
    }
    platforms
}

/// What a plan does to the members of some kinds; members of other kinds are left out.
fn solve(site: &Site<'_>, plan: &Plan<'_>, kinds: &[Kind]) -> Vec<OnPlatform> {
    let from_boards: Vec<_> =
        plan.platforms.iter().map(|on| on.board_n_m2.clone().and_then(|own| spread(on, own))).collect();
    let on_joists: Vec<_> =
        plan.platforms.iter().zip(&from_boards).map(|(on, lines)| handed_down(plan, on, lines.as_ref())).collect();
    let over_trusses = plan.joists.as_ref().and_then(|joists| joists.kind) == Some(SupportKind::TrussedRafter);
    let on_trusses: Option<Vec<_>> =
        over_trusses.then(|| plan.platforms.iter().map(|on| trusses::handed_down(site, on)).collect());
    let mut solved = Vec::new();
    for (number, on) in plan.platforms.iter().enumerate() {
        let stands_on_floor =
            on.platform.board.is_some_and(|board| board.material == crate::layout::BoardMaterial::Concrete);
        let asked = |kind: Kind| !stands_on_floor && kinds.contains(&kind);
        let bearers = on.bearers.as_ref().filter(|_| asked(Kind::Bearer));
        solved.push(OnPlatform {
            platform: on.platform.id.clone(),
            vessels: on.vessels.iter().map(|vessel| vessel.id().clone()).collect(),
            borne: Borne::of(on),
            rest: on.rest().cloned(),
            rest_on_joists: missing_on_joists(plan, number, &on_joists).or_else(|| cut_joists(site)),
            on_frame: on.platform.frame.is_some(),
            board: asked(Kind::Board).then(|| board_strips(on, plan.service())),
            bearers: bearers.map(|bearers| bearers_under(plan, on, bearers, from_boards[number].as_ref())),
            joists: (asked(Kind::Joist) && !over_trusses).then(|| joists_under(plan, number, &on_joists)),
            trusses: on_trusses.as_ref().filter(|_| !stands_on_floor).map(|all| trusses::below(plan, number, all)),
            duration: plan.joists.as_ref().and_then(|joists| joists.duration),
        });
    }
    solved
}

/// The bearers with their own weight, over the joists that they cross.
fn bearers_under(
    plan: &Plan<'_>,
    on: &PlatformPlan<'_>,
    bearers: &BearerPlan,
    lines: Result<&Vec<Handed>, &String>,
) -> Members {
    let lines = lines.map_err(Clone::clone)?;
    let joists = crossed(on)?;
    let Some(class) = bearers.class else { return Err(READ_CLASS_OF_BEARERS.to_owned()) };
    let piece = Piece::timber(bearers.section, class, plan.service()?, ALONE);
    let places = joists.places_m();
    let member = |filling: &Handed, line: &Loaded| {
        let loads = with_own(on, bearers, line, joists.lie)?;
        let check = Check::of(piece, &places, &loads).map_err(|fault| held_up(fault, "bearers"))?;
        let (lie, alone) = (joists.lie.crossing(), filling.alone.clone());
        Ok(Member { at_m: line.at_m, lie, alone, from_above_n: line.loads.from_above_n(), check })
    };
    lines.iter().flat_map(|filling| filling.timbers.iter().map(move |line| member(filling, line))).collect()
}

fn with_own(on: &PlatformPlan<'_>, bearers: &BearerPlan, line: &Loaded, joists: Lie) -> Result<Loads, String> {
    let (from_m, to_m) = on.outline.clone()?.along(joists.crossing());
    let mut loads = line.loads.clone();
    loads.dead.push(Load::Spread { from_m, to_m, force_n_per_m: bearers.own_n_per_m });
    Ok(loads)
}

/// The joists below bearers, which have to run the other way.
fn crossed<'p>(on: &'p PlatformPlan<'_>) -> Result<&'p Lines, String> {
    let (rests, joists) = (told(&on.rests)?, told(&on.joists_under)?);
    if rests.lie == joists.lie {
        return Err("find what carries the bearers: they run the same way as the joists".to_owned());
    }
    Ok(joists)
}

/// What a platform puts on each joist below it: line loads of the board, or point loads of the bearers.
fn handed_down(
    plan: &Plan<'_>,
    on: &PlatformPlan<'_>,
    lines: Result<&Vec<Handed>, &String>,
) -> Result<Vec<Handed>, String> {
    let lines = lines.map_err(Clone::clone)?;
    if plan.joists.is_none() {
        return Err(FIND_JOISTS.to_owned());
    }
    let Some(bearers) = &on.bearers else {
        let joists = told(&on.joists_under)?;
        let own = |((number, at_m), line): (&(usize, f64), &Loaded)| Loaded {
            number: *number,
            at_m: *at_m,
            loads: line.loads.clone(),
        };
        let under = |filling: &Handed| Handed {
            alone: filling.alone.clone(),
            timbers: joists.centres_m.iter().zip(&filling.timbers).map(own).collect(),
        };
        return Ok(lines.iter().map(under).collect());
    };
    let joists = crossed(on)?;
    let places = joists.places_m();
    let under = |filling: &Handed| {
        let mut timbers = unloaded(&joists.centres_m);
        for line in &filling.timbers {
            let loads = with_own(on, bearers, line, joists.lie)?;
            let forces = shared_out(&places, &loads).map_err(|fault| held_up(fault, "bearers"))?;
            for (joist, (dead, water)) in timbers.iter_mut().zip(forces) {
                joist.loads.dead.push(Load::Point { at_m: line.at_m, force_n: dead });
                joist.loads.water.push(Load::Point { at_m: line.at_m, force_n: water });
            }
        }
        Ok(Handed { alone: filling.alone.clone(), timbers })
    };
    lines.iter().map(under).collect()
}

/// How much is left of timber that has been cut no drawing tells: as whole timber it bears at most so much.
fn cut_joists(site: &Site<'_>) -> Option<String> {
    let joists = site.building().joists.as_ref()?;
    let find_out = || "have a competent person look at the joists that are notched or drilled".to_owned();
    (joists.notched == Some(true)).then(find_out)
}

/// What to find out of weights that are missing from the joists below a platform: of vessels on it and on platforms that
/// may stand on the same joists, and of vessels without a platform.
fn missing_on_joists(plan: &Plan<'_>, number: usize, on_joists: &[Result<Vec<Handed>, String>]) -> Option<String> {
    let on = &plan.platforms[number];
    let of_another = |(other, handed): (&PlatformPlan<'_>, &Result<Vec<Handed>, String>)| {
        let missing = handed.as_ref().err().or_else(|| other.rest()).cloned();
        missing.filter(|_| on.may_share_joists_with(other))
    };
    let bare = || plan.bare_over(on.joists_under.as_ref().ok()?);
    let others = || plan.platforms.iter().zip(on_joists).find_map(of_another);
    on.rest().cloned().or_else(others).or_else(bare)
}

/// The joists below a platform, under all that stands on them; what stands on other platforms is full.
fn joists_under(plan: &Plan<'_>, number: usize, on_joists: &[Result<Vec<Handed>, String>]) -> Members {
    let own = told(&on_joists[number])?;
    let Some(joists) = &plan.joists else { return Err(FIND_JOISTS.to_owned()) };
    let known = Known::of(plan, joists)?;
    let is_helped = own.first().is_some_and(|filling| filling.timbers.len() > 1);
    let sharing = if is_helped { HELPED } else { ALONE };
    let piece = Piece::timber(joists.section, known.class, plan.service()?, sharing);
    let (from_m, to_m) = (known.from_m, known.from_m + known.span_m);
    let even = |force_n_per_m| vec![Load::Spread { from_m, to_m, force_n_per_m }];
    let member = |filling: &Handed, joist: &Loaded| {
        let mut loads = Loads {
            dead: even(known.ceiling_n_m2 * joists.spacing_m + joists.own_n_per_m),
            water: Vec::new(),
            storage: even(known.storage_n_m2 * joists.spacing_m),
        };
        let mut from_above_n = 0.0;
        let others = on_joists.iter().enumerate().filter(|(other, _)| *other != number);
        let full = others.filter_map(|(_, fillings)| fillings.as_ref().ok()?.first());
        for standing in full.chain([filling]) {
            for same in standing.timbers.iter().filter(|other| other.number == joist.number) {
                loads.dead.extend(&same.loads.dead);
                loads.water.extend(&same.loads.water);
                from_above_n += same.loads.from_above_n();
            }
        }
        let ends = loads.dead.iter().chain(&loads.water).map(Load::ends_m);
        if ends.into_iter().any(|(start, stop)| start < from_m - BEYOND_M || stop > to_m + BEYOND_M) {
            return Err(
                "measure where the span of the joists begins and ends: the platform stands beyond it".to_owned()
            );
        }
        let check = Check::of(piece, &[from_m, to_m], &loads).map_err(|fault| held_up(fault, "joists"))?;
        Ok(Member { at_m: joist.at_m, lie: joists.lie, alone: filling.alone.clone(), from_above_n, check })
    };
    own.iter().flat_map(|filling| filling.timbers.iter().map(move |joist| member(filling, joist))).collect()
}

/// What has to be known of joists before they can be checked.
struct Known {
    class: StrengthClass,
    span_m: f64,
    from_m: f64,
    ceiling_n_m2: f64,
    storage_n_m2: f64,
}

impl Known {
    /// All of it, or everything that is missing at once, so that nobody has to climb into the loft twice.
    fn of(plan: &Plan<'_>, joists: &JoistPlan) -> Result<Self, String> {
        let mut missing = Vec::new();
        if joists.kind.is_none() {
            missing.push(SEE_KIND.to_owned());
        }
        if joists.class.is_none() {
            missing.push(READ_CLASS.to_owned());
        }
        if joists.span_m.is_none() {
            missing.push(MEASURE_SPAN.to_owned());
        }
        if joists.from_m.is_none() {
            missing.push("measure where that span begins".to_owned());
        }
        if joists.ceiling_n_m2.is_none() {
            missing
                .push("say what ceiling hangs on the joists (0.25 kN/m² with insulation, common practice)".to_owned());
        }
        if joists.storage_n_m2.is_none() {
            missing.push("say what may be stored on them (0.25 kN/m², common practice)".to_owned());
        }
        missing.extend(plan.service().err());
        let told = (joists.class, joists.span_m, joists.from_m, joists.ceiling_n_m2, joists.storage_n_m2);
        match told {
            (Some(class), Some(span_m), Some(from_m), Some(ceiling_n_m2), Some(storage_n_m2)) if missing.is_empty() => {
                Ok(Self { class, span_m, from_m, ceiling_n_m2, storage_n_m2 })
            }
            _ => Err(missing.join("; ")),
        }
    }
}

pub(super) fn told<T>(found: &Result<T, String>) -> Result<&T, String> {
    found.as_ref().map_err(Clone::clone)
}

pub(super) fn held_up(fault: Unsupported, what: &str) -> String {
    match fault {
        Unsupported::TooFewSupports => format!("find what else carries the {what}: fewer than two timbers lie below"),
        Unsupported::Lost => format!("look at the sizes of the {what} again: no sum can be made of them"),
        Unsupported::Tips => format!("find what holds up the {what}: as drawn the load stands beyond the last timber"),
    }
}
