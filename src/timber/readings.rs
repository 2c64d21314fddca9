//! Readings of the load path: the worst member of each kind, with its working and its place on the drawing.

use super::path::{STRONGEST, WEAKEST};
use super::plan::{MEASURE_SPAN, READ_CLASS, SEE_KIND};
use super::{
    Check, Combination, Kind, LoadPath, Member, Members, OnPlatform, Shares, SpanFrom, Trusses, greatest_span_mm,
};
use crate::layout::{Joists, Lie, LoadDuration, Platform, StrengthClass, SupportKind};
use crate::measure::platform::joists_in_doubt;
use crate::measure::{Feature, Have, Place, Reading, Site, standing, whole_mm};
use crate::units::{Amount, MM_IN_A_METRE, Measured, Unit};

/// Said beside every number of this chapter.
pub const CONFIRM: &str = "an estimate: a competent person must confirm a structure";
/// Said beside every number about trussed rafters.
pub const ENGINEER: &str = "trussed rafters are not joists: have an engineer confirm";
/// Said of timber that is reckoned without what shear adds to its bending; the shares by finite elements of our own.
pub const STIFF_IN_SHEAR: &str = "what shear adds to the bending of timber over more than two supports is not reckoned: \
                                  where its spans are short it sinks some 3 to 12 % more";

/// Said beside what timbers below a frame bear.
const UNDER_FRAME: &str = "the frame is taken to hand the load down where the board would rest, and to weigh nothing";

/// The greatest standard uncertainty of what gives way beyond all use, as a share of it: what a small slip of a section does
/// tells nothing of a larger one there, and with half again of its depth a slip of wood a millimetre deep still sinks by metres.
const GREATEST_DOUBT: f64 = 0.25;
/// Beyond all use is what takes so many times its strength, or sinks by so much of its span (common practice, no source).
const SHARE_BEYOND_USE: f64 = 2.0;
const SAG_BEYOND_USE: f64 = 1.0 / 20.0;

/// Which strength is asked about.
#[derive(Clone, Copy)]
enum Strength {
    Bending,
    Shear,
    Either,
}

impl Strength {
    fn share(self, shares: Shares) -> Measured {
        match self {
            Self::Bending => shares.bending,
            Self::Shear => shares.shear,
            Self::Either => shares.bending.max(shares.shear),
        }
    }
}

/// Share of its strength in bending that the board takes.
#[must_use]
pub fn board_stress(path: &LoadPath) -> Vec<Reading> {
    hardest_stressed(path, Kind::Board, Strength::Bending)
}

/// How far the board sinks in the end, against the span.
#[must_use]
pub fn board_sag(path: &LoadPath) -> Vec<Reading> {
    deepest_sunk(path, Kind::Board)
}

/// Share of its strength, in bending or in shear, that the hardest worked bearer takes.
#[must_use]
pub fn bearer_stress(path: &LoadPath) -> Vec<Reading> {
    hardest_stressed(path, Kind::Bearer, Strength::Either)
}

/// How far the bearer sinks that sinks most, in the end, against its span.
#[must_use]
pub fn bearer_sag(path: &LoadPath) -> Vec<Reading> {
    deepest_sunk(path, Kind::Bearer)
}

/// Share of its strength in bending that the hardest worked joist takes.
#[must_use]
pub fn joist_bending(path: &LoadPath) -> Vec<Reading> {
    hardest_stressed(path, Kind::Joist, Strength::Bending)
}

/// Share of its strength in shear that the hardest worked joist takes.
#[must_use]
pub fn joist_shear(path: &LoadPath) -> Vec<Reading> {
    hardest_stressed(path, Kind::Joist, Strength::Shear)
}

/// How far the joist sinks that sinks most, in the end, against its span.
#[must_use]
pub fn joist_sag(path: &LoadPath) -> Vec<Reading> {
    deepest_sunk(path, Kind::Joist)
}

/// What comes on each node of the trussed rafters' ties, where it is most.
#[must_use]
pub fn truss_node(path: &LoadPath) -> Vec<Reading> {
    of_trusses(path, |on, trusses| {
        let shared = trusses.shared.iter().map(|other| {
            format!(
                "{} puts {:.0} N on each node of {} of them",
                other.platform.with_article(),
                other.node_n,
                other.common
            )
        });
        let reading = Reading::amount(&on.platform, trusses.node_n, Unit::Newton).working(format!(
            "filled to the water line, over 2 nodes of each of {} trussed rafters: {:.0} N",
            trusses.count, trusses.own_node_n
        ));
        let reading = reading.workings(shared);
        let (at_most_n, to_rim_n) = (trusses.node_n.value, trusses.node_to_rim_n);
        let reading = match trusses.shared.is_empty() {
            true => reading,
            false => reading.working(format!("together at most {at_most_n:.0} N on one node")),
        };
        reading
            .working(format!("filled to the rim it would be {to_rim_n:.0} N"))
            .but_for(trusses.rest_of_water.clone().or_else(|| trusses.rest_of_weight.clone()))
    })
}

/// What is stored over trussed rafters, on all platforms that stand on some of them, against how many share it.
#[must_use]
pub fn stored_over_trusses(path: &LoadPath) -> Vec<Reading> {
    of_trusses(path, |on, trusses| {
        let reading = Reading::amount(&on.platform, trusses.stored_l, Unit::Litre)
            .against(Measured::exact(trusses.count as f64))
            .working(format!("{} trussed rafters below the platform", trusses.count));
        let shared = trusses.shared.iter().map(|other| {
            let litres = Amount::litres(other.stored_l);
            let (spoken, count) = (other.platform.with_article(), other.count);
            format!("{spoken} stores {litres} over {count} trussed rafters, {} of them the same", other.common)
        });
        let reading = reading.workings(shared);
        let (own, all) = (Amount::litres(trusses.own_l), Amount::litres(trusses.stored_l.value));
        let reading = match (trusses.shared.is_empty(), trusses.hardest_l) {
            (true, _) => reading,
            (false, None) => reading.working(format!("{own} on this platform, together {all}")),
            (false, Some(litres)) => reading.working(format!(
                "{own} on this platform; the one that bears most has {litres:.1} L, and with so much on each of {} that makes \
                 {all}",
                trusses.count
            )),
        };
        reading.but_for(trusses.rest_of_water.clone())
    })
}

/// What each cylinder puts on a floor of timber.
#[must_use]
pub fn cylinder_on_floor(path: &LoadPath) -> Vec<Reading> {
    let reading = |on: &super::OnFloor| {
        let place = Place::of(&on.cylinder, Feature::Base);
        match &on.weight {
            Err(find_out) => Reading::untold(&on.cylinder, find_out.clone()).at(place),
            Ok(weight) => {
                let reading = Reading::amount(&on.cylinder, weight.force_kn, Unit::Kilonewton).at(place);
                let mut reading = reading.but_for(weight.rest.clone());
                reading.working.clone_from(&weight.working);
                reading.working(CONFIRM)
            }
        }
    };
    path.floors.iter().map(reading).collect()
}

/// The span of the joists of which a loft has been built, against what ceiling joists may span without a cistern.
#[must_use]
pub fn joist_span(site: &Site<'_>) -> Vec<Reading> {
    let Some(joists) = &site.building().joists else { return Vec::new() };
    let mut over = standing::over_joists(site);
    over.retain(|(platform, _)| lies_over(joists, platform));
    let Some((platform, _)) = over.first() else { return Vec::new() };
    if joists.kind == Some(SupportKind::TrussedRafter) {
        return Vec::new();
    }
    let place = Place::joist(f64::midpoint(platform.span_mm().0, platform.span_mm().1));
    let reading = match joists_in_doubt(joists).map_or_else(|| span_told(joists).map_err(str::to_owned), Err) {
        Err(find_out) => Reading::untold(&platform.id, find_out),
        Ok(span_mm) => {
            let (greatest_mm, how) = greatest_span_mm(joists.breadth, joists.depth, joists.spacing);
            let size =
                format!("{} × {}", Amount::mm(joists.breadth.to_mm()).digits(), Amount::mm(joists.depth.to_mm()));
            let how = match how {
                SpanFrom::Table => "by the table",
                SpanFrom::Reckoned => "reckoned as the table is, which lacks this size",
            };
            // What is stronger may span further than the table has it, and how far no table here tells.
            let stronger = joists.grade.filter(|grade| *grade != StrengthClass::C16);
            let rest = stronger.map(|grade| {
                let class = grade.words();
                format!("have the span confirmed for {class}: the table holds for C16, and what is stronger may span further")
            });
            Reading::mm(&platform.id, site.taped(span_mm))
                .against(Measured::exact(greatest_mm))
                .working(format!(
                    "{size} at {} centres may span {greatest_mm:.0} mm in C16, {how}; without any cistern",
                    Amount::mm(joists.spacing.to_mm())
                ))
                .unless(rest)
        }
    };
    vec![reading.about_all(over.iter().map(|(platform, _)| &platform.id)).at(place)]
}

/// Whether a platform lies over some of the joists, as far as the section shows.
fn lies_over(joists: &Joists, platform: &Platform) -> bool {
    let (from_mm, to_mm) = platform.span_mm();
    joists.lie != Lie::EndOn || joists.centres_between_mm(from_mm, to_mm).next().is_some()
}

fn span_told(joists: &Joists) -> Result<f64, &'static str> {
    match (joists.kind, joists.span, joists.grade) {
        (None, _, _) => Err(SEE_KIND),
        (_, None, _) => Err(MEASURE_SPAN),
        (_, _, None) => Err(READ_CLASS),
        (_, _, Some(StrengthClass::C14)) => Err("have the span confirmed: the table holds for C16 or better"),
        (_, Some(span), _) => Ok(span.to_mm()),
    }
}

/// What was read of one member: the reading still without a place.
struct Read {
    value: Measured,
    unit: Unit,
    against: Option<Measured>,
    /// Where it is worst, along the member.
    at_m: f64,
    working: Vec<String>,
}

fn hardest_stressed(path: &LoadPath, kind: Kind, asked: Strength) -> Vec<Reading> {
    let share = |on: &OnPlatform, member: &Member| asked.share(on.judged(&member.check)).value;
    worst(path, kind, share, |on, member| stress(on, member, asked))
}

fn deepest_sunk(path: &LoadPath, kind: Kind) -> Vec<Reading> {
    worst(path, kind, |_, member| member.sinks_by(), |_, member| sag(member))
}

/// For each platform the member of a kind that takes the greatest share of what it may take.
fn worst(
    path: &LoadPath,
    kind: Kind,
    share: impl Fn(&OnPlatform, &Member) -> f64,
    read: impl Fn(&OnPlatform, &Member) -> Read,
) -> Vec<Reading> {
    let reading = |on: &OnPlatform| {
        let middle = Place::of(&on.platform, Feature::Middle);
        let members = match kind.of(on)? {
            Err(find_out) => {
                return Some(Reading::untold(&on.platform, find_out.clone()).along_with(&on.vessels).at(middle));
            }
            Ok(members) => members,
        };
        let member = members.iter().max_by(|a, b| share(on, a).total_cmp(&share(on, b)))?;
        let read = read(on, member);
        let x_mm = MM_IN_A_METRE
            * match member.lie {
                Lie::EndOn => member.at_m,
                Lie::Along => read.at_m,
            };
        let place = match kind {
            Kind::Joist => Place::joist(x_mm),
            Kind::Board | Kind::Bearer => Place::of(&on.platform, Feature::Timber(x_mm)),
        };
        let mut reading =
            Reading::amount(&on.platform, read.value_in_doubt(), read.unit).along_with(&on.vessels).at(place);
        reading = reading.but_for(on.rest_on(kind).cloned());
        reading.against = read.against;
        reading.working = vec![member.described(kind)];
        reading.working.extend(read.working);
        reading.working.extend((on.on_frame && kind != Kind::Board).then(|| UNDER_FRAME.to_owned()));
        Some(reading.working(CONFIRM))
    };
    let of_any_class = |(number, on): (usize, &OnPlatform)| match path.if_graded(number, kind) {
        Some([strongest, weakest]) => Some(whatever_class(kind.of(on)?, reading(strongest)?, reading(weakest)?)),
        None => reading(on),
    };
    path.platforms.iter().enumerate().filter_map(of_any_class).collect()
}

/// What holds of timbers whatever class they are: what even the strongest break is broken, what even the weakest keep is kept.
fn whatever_class(untold: &Members, strongest: Reading, weakest: Reading) -> Reading {
    let words = [(STRONGEST, &strongest), (WEAKEST, &weakest)].map(|(class, reading)| match reading.have {
        Have::Amount(Measured { value, .. }, unit) => format!("{} in {}", Amount { value, unit }, class.words()),
        _ => format!("not known in {}", class.words()),
    });
    let said =
        format!("no class is told: {}, the strongest that is reckoned with, and {}, the weakest", words[0], words[1]);
    let [strongest, weakest] = [strongest, weakest].map(|reading| reading.working(said.clone()));
    match (untold, strongest.rest()) {
        (Err(find_out), None) => strongest.at_worst(find_out.clone(), weakest),
        _ => strongest,
    }
}

impl Read {
    /// The value; of what is beyond all use with no more doubt than its share. Whatever else is read keeps all of its doubt.
    fn value_in_doubt(&self) -> Measured {
        let usable = self.against.map_or(SHARE_BEYOND_USE, |span| SAG_BEYOND_USE * span.value);
        if self.value.value <= usable {
            return self.value;
        }
        Measured { variance: self.value.variance.min((GREATEST_DOUBT * self.value.value).powi(2)), ..self.value }
    }
}

fn stress(on: &OnPlatform, member: &Member, asked: Strength) -> Read {
    let check = &member.check;
    let [permanent, long_term] = LoadDuration::ALL.map(|duration| asked.share(check.shares(duration)));
    let value = asked.share(on.judged(check));
    let judged_by = match on.duration {
        Some(duration) => format!("judged as {}, as told", duration.words()),
        None => "judged by the harsher; how long the load lasts is not told".to_owned(),
    };
    let at_m = check.strip.greatest_moment().0;
    let mut working = match asked {
        Strength::Bending => Vec::new(),
        Strength::Shear | Strength::Either => vec![shear_words(check)],
    };
    if !matches!(asked, Strength::Shear) {
        working.push(moment_words(member, at_m));
        working.extend(LoadDuration::ALL.map(|duration| bending_words(check, duration)));
    }
    working.push(format!(
        "share of its strength with the full vessels as a permanent load {:.3}, as a long-term load {:.3}; {judged_by}",
        permanent.value, long_term.value
    ));
    Read { value, unit: Unit::Share, against: None, at_m, working }
}

fn moment_words(member: &Member, at_m: f64) -> String {
    let from = match member.lie {
        Lie::EndOn => " behind the section",
        Lie::Along => "",
    };
    let moment_n_m = member.check.strip.greatest_moment().1;
    format!("greatest moment {:.3} kN·m at {} mm{from}", moment_n_m / 1000.0, whole_mm(at_m * MM_IN_A_METRE))
}

/// σ = M / W against k_mod k_sys f / γ_M, with the numbers put in.
fn bending_words(check: &Check, vessels: LoadDuration) -> String {
    let (shares, piece) = (check.shares(vessels), &check.piece);
    let Combination { dead, water, storage, duration } = shares.under;
    let stress_pa = shares.moment_n_m.abs() / piece.section.modulus_m3();
    format!(
        "full vessels as {}: {dead} × dead + {water} × vessels + {storage} × storage = {:.3} kN·m; σ = {:.2} N/mm², \
         of {} (k_mod) × {} (k_sys) × {:.2} / {} = {:.2} N/mm²",
        vessels.words(),
        shares.moment_n_m / 1000.0,
        stress_pa / 1e6,
        piece.k_mod(duration),
        piece.sharing,
        piece.bending_pa / 1e6,
        piece.gamma_m(),
        piece.bending_design_pa(duration) / 1e6
    )
}

fn shear_words(check: &Check) -> String {
    let unfactored_kn = check.strip.greatest_shear_n() / 1000.0;
    format!("greatest shear {unfactored_kn:.3} kN; τ = 1.5 V / (k_cr b h), loads factored as for bending")
}

fn sag(member: &Member) -> Read {
    let (now, last) = (member.check.at_once, member.check.at_last);
    let mm = |metres: Measured| metres.scaled(MM_IN_A_METRE);
    let (down_mm, span_mm) = (mm(last.down), mm(last.span));
    let mut working = vec![format!(
        "sinks {:.2} mm at once and {:.2} mm in the end (creep: k_def {}), over a span of {:.0} mm",
        mm(now.down).value,
        down_mm.value,
        member.check.piece.k_def(),
        span_mm.value
    )];
    working.extend(member.check.leaves_shear_out().then(|| STIFF_IN_SHEAR.to_owned()));
    Read { value: down_mm, unit: Unit::Millimetre, against: Some(span_mm), at_m: last.at_m, working }
}

fn of_trusses(path: &LoadPath, read: impl Fn(&OnPlatform, &Trusses) -> Reading) -> Vec<Reading> {
    let reading = |on: &OnPlatform| {
        let middle = Place::of(&on.platform, Feature::Middle);
        let reading = match on.trusses.as_ref()? {
            Err(find_out) => Reading::untold(&on.platform, find_out.clone()),
            Ok(trusses) => {
                let others = trusses.shared.iter().map(|other| &other.platform);
                let reading = read(on, trusses).workings(on.on_frame.then_some(UNDER_FRAME)).working(ENGINEER);
                reading.along_with(&on.vessels).along_with(others)
            }
        };
        Some(reading.along_with(&on.vessels).at(middle))
    };
    path.platforms.iter().filter_map(reading).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_beyond_all_use_loses_its_doubt() {
        let doubted = |value: f64, against: Option<f64>| {
            let value = Measured { value, variance: value * value };
            let read = Read {
                value,
                unit: Unit::Share,
                against: against.map(Measured::exact),
                at_m: 0.0,
                working: Vec::new(),
            };
            read.value_in_doubt().standard_uncertainty() / value.value
        };
        for (value, against) in [(0.6, None), (2.0, None), (7.0, Some(2500.0)), (125.0, Some(2500.0))] {
            assert!((doubted(value, against) - 1.0).abs() < 1e-9, "{value} of {against:?}");
        }
        for (value, against) in [(2.1, None), (16_000.0, Some(800.0))] {
            assert!((doubted(value, against) - GREATEST_DOUBT).abs() < 1e-9, "{value} of {against:?}");
        }
    }
}
